//! Pictures of a lift that was played, where the program can draw.

#[cfg(feature = "view")]
pub use drawn::{DrawingError, draw, draw_ending, for_page, make_folder};

#[cfg(feature = "view")]
mod drawn {
    use super::super::common::bar;
    use super::super::say;
    use crate::debrief::{Debrief, MomentPicture, Pictures};
    use crate::view::{DriverError, PictureError, Studio, data_address};
    use std::path::{Path, PathBuf};
    use std::{fs, io};

    /// Why there are no pictures, or not all of them.
    #[derive(Debug, thiserror::Error)]
    pub enum DrawingError {
        #[error("{}: {source}", path.display())]
        Folder { path: PathBuf, source: io::Error },
        #[error(transparent)]
        Picture(#[from] PictureError),
    }

    impl From<DriverError> for DrawingError {
        fn from(why: DriverError) -> Self {
            Self::Picture(why.into())
        }
    }

    /// Makes a folder for pictures, and those that it stands in.
    pub fn make_folder(path: &Path) -> Result<(), DrawingError> {
        fs::create_dir_all(path)
            .map_err(|source| DrawingError::Folder { path: path.to_owned(), source })
    }

    /// Draws the kept moments as numbered PNG files.
    pub fn draw(debrief: &Debrief, dir: &Path, quiet: bool) -> Result<(), DrawingError> {
        make_folder(dir)?;
        let bar = bar(debrief.moments.len(), "[{bar:30}] picture {pos} of {len}");
        let mut studio = Studio::new(1280, 720, &debrief.scene)?;
        for (index, moment) in debrief.moments.iter().enumerate() {
            let path = dir.join(format!("{index:04}.png"));
            studio.shoot(moment, debrief.units, &path)?;
            bar.inc(1);
        }
        bar.finish_and_clear();
        if !quiet {
            let count = debrief.moments.len();
            say::line(format_args!("{count} pictures in {}", dir.display()));
        }
        Ok(())
    }

    /// Draws how a lift ended, small; a failure from where what went wrong first is seen best.
    pub fn draw_ending(debrief: &Debrief, file: &Path) -> Result<(), DrawingError> {
        let Some(last) = debrief.moments.last() else { return Ok(()) };
        if let Some(folder) = file.parent() {
            make_folder(folder)?;
        }
        let mut studio = Studio::new(480, 270, &debrief.scene)?;
        studio.look_at(debrief, debrief.findings.first());
        let mut frame = studio.take(last, debrief.units)?;
        frame.soften();
        Ok(frame.save(file)?)
    }

    /// Pictures for a page: the start, each finding and the end.
    pub fn for_page(debrief: &Debrief) -> Pictures {
        let mut studio = Studio::new(960, 540, &debrief.scene)?;
        let times: Vec<f64> = debrief.findings.iter().map(|f| f.t_s).collect();
        let last = debrief.moments.len().saturating_sub(1);
        debrief
            .moments
            .iter()
            .enumerate()
            .filter(|(i, m)| {
                *i == 0 || *i == last || times.iter().any(|t| (t - m.snapshot.t_s).abs() < 1e-6)
            })
            .map(|(_, moment)| {
                let t_s = moment.snapshot.t_s;
                let made = debrief.findings.iter().find(|f| (f.t_s - t_s).abs() < 1e-6);
                studio.look_at(debrief, made);
                let png = studio.take(moment, debrief.units)?.png()?;
                Ok(MomentPicture { t_s, address: data_address(&png) })
            })
            .collect()
    }
}

#[cfg(not(feature = "view"))]
pub use not_drawn::{NotBuilt, draw, draw_ending, for_page};

#[cfg(not(feature = "view"))]
mod not_drawn {
    use crate::debrief::{Debrief, Pictures};
    use std::path::Path;

    /// This program cannot draw.
    #[derive(Debug, thiserror::Error)]
    #[error("this program was built without the feature `view`")]
    pub struct NotBuilt;

    pub fn for_page(_: &Debrief) -> Pictures {
        Err(NotBuilt.into())
    }

    pub fn draw(_: &Debrief, _: &Path, _: bool) -> Result<(), NotBuilt> {
        Err(NotBuilt)
    }

    pub fn draw_ending(_: &Debrief, _: &Path) -> Result<(), NotBuilt> {
        Err(NotBuilt)
    }
}
