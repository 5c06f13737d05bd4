//! Pictures of a lift that was played, where the program can draw.

#[cfg(feature = "view")]
pub use drawn::{draw, of};

#[cfg(feature = "view")]
mod drawn {
    use super::super::common::bar;
    use super::super::say;
    use crate::debrief::{Debrief, Picture, Pictures};
    use crate::view::{Studio, data_address};
    use std::path::Path;

    /// Draws the kept moments as numbered PNG files.
    pub fn draw(debrief: &Debrief, dir: &Path, quiet: bool) -> Result<(), String> {
        let refuse = |why: String| format!("no pictures: {why}");
        std::fs::create_dir_all(dir).map_err(|e| refuse(format!("{}: {e}", dir.display())))?;
        let bar = bar(debrief.moments.len(), "[{bar:30}] picture {pos} of {len}");
        let mut studio = Studio::new(1280, 720, &debrief.scene).map_err(refuse)?;
        for (index, moment) in debrief.moments.iter().enumerate() {
            let path = dir.join(format!("{index:04}.png"));
            studio.shoot(moment, debrief.units, &path).map_err(refuse)?;
            bar.inc(1);
        }
        bar.finish_and_clear();
        if !quiet {
            let count = debrief.moments.len();
            say::line(format_args!("{count} pictures in {}", dir.display()));
        }
        Ok(())
    }

    /// Pictures for a page: the start, each finding and the end.
    pub fn of(debrief: &Debrief) -> Pictures {
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
                let png = studio.take(moment, debrief.units)?.png()?;
                Ok(Picture { t_s: moment.snapshot.t_s, address: data_address(&png) })
            })
            .collect()
    }
}

#[cfg(not(feature = "view"))]
pub use not_drawn::{draw, of};

#[cfg(not(feature = "view"))]
mod not_drawn {
    use crate::debrief::{Debrief, Pictures};
    use std::path::Path;

    pub fn of(_: &Debrief) -> Pictures {
        Err("this program was built without the feature `view`".into())
    }

    pub fn draw(_: &Debrief, _: &Path, _: bool) -> Result<(), String> {
        Err("no pictures: this program was built without the feature `view`".into())
    }
}
