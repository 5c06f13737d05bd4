//! The job of `inchwise film`: its options, progress and files.

use super::common::{Common, width_and_height};
use super::failure::Failure;
use super::outputs::Outputs;
use crate::files;
use crate::units::{self, Dimension, QuantityError};
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub struct FilmArgs {
    /// A scene, by its name on the shelf or by the path of its file
    scene: String,
    #[command(flatten)]
    common: Common,
    /// Folder for the pictures
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Simulated time between two pictures
    #[arg(long, default_value = "2 s", value_name = "TIME")]
    every: String,
    /// How long the film is to last; the time between two pictures follows from it
    #[arg(long, value_name = "TIME", conflicts_with = "every")]
    lasts: Option<String>,
    /// So many pictures for one around each finding [default: 1, or 6 with --lasts]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=60))]
    slow: Option<u32>,
    /// Send the camera to a place at a time, such as "10 s=side"; "0 s=near" is where what goes
    /// wrong is seen best; may be given again
    #[arg(long, value_name = "TIME=PLACE")]
    look: Vec<String>,
    /// What is drawn over the yard, such as gaps,loads,thrust,corners; "none" for nothing
    #[arg(long, default_value = "gaps,loads", value_name = "NAMES")]
    overlays: String,
    /// Leave the strip with scene, time and gaps away
    #[arg(long)]
    no_captions: bool,
    /// Draw another scene's lift to the right of it
    #[arg(long, value_name = "SCENE")]
    beside: Option<String>,
    /// Width and height of the pictures
    #[arg(long, default_value = "1280x720", value_name = "WxH")]
    size: String,
    /// Write an animated PNG as well
    #[arg(long, value_name = "FILE")]
    animation: Option<PathBuf>,
    /// Write a video as well; needs ffmpeg
    #[arg(long, value_name = "FILE")]
    video: Option<PathBuf>,
    /// Pictures a second in the animation and the video
    #[arg(long, default_value_t = 10, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=60))]
    rate: u16,
}

/// What cannot be a film.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
enum FilmError {
    #[error(transparent)]
    Time(#[from] QuantityError),
    #[error("{s} s is outside 0.05 s to 600 s; choose a time between them")]
    Interval { s: f64 },
    #[error(
        "\"{text}\" is not a size; write WIDTHxHEIGHT in even numbers from 64 to 4096, such as \
         1280x720"
    )]
    Size { text: String },
}

/// Text such as "2 s" as seconds, within what a film can use.
fn interval_s(text: &str) -> Result<f64, FilmError> {
    let s = units::parse(text, Dimension::Time)?;
    if (0.05..=600.0).contains(&s) { Ok(s) } else { Err(FilmError::Interval { s }) }
}

/// Even sizes from 64 to 4096 px: a video takes no odd ones.
fn size_px(text: &str) -> Result<[u32; 2], FilmError> {
    let fits = |n: &u32| (64..=4096).contains(n) && n.is_multiple_of(2);
    let size = width_and_height(text).filter(|size| size.iter().all(fits));
    size.ok_or_else(|| FilmError::Size { text: text.to_owned() })
}

pub fn run(args: &FilmArgs) -> Result<u8, Failure> {
    let every_s = interval_s(&args.every).map_err(|why| Failure::option("--every", why))?;
    let lasts_s = args.lasts.as_deref().map(interval_s).transpose();
    let lasts_s = lasts_s.map_err(|why| Failure::option("--lasts", why))?;
    let size = size_px(&args.size).map_err(|why| Failure::option("--size", why))?;
    let read = args.common.files_read([&args.scene].into_iter().chain(&args.beside));
    let outputs = Outputs::default().and("--animation", &args.animation);
    outputs.and("--video", &args.video).check(&read)?;
    if let Some(path) = args.animation.as_ref().filter(|path| is_picture_of(&args.out, path)) {
        let why = format_args!(
            "{} has the name of a picture in the film's own folder; give it another name",
            path.display()
        );
        return Err(Failure::option("--animation", why));
    }
    shoot(args, FilmPace { every_s, lasts_s }, size)
}

/// How much of a lift goes into how many pictures.
#[cfg_attr(not(feature = "view"), expect(dead_code, reason = "nothing is drawn"))]
struct FilmPace {
    every_s: f64,
    /// Goes before it where it is given.
    lasts_s: Option<f64>,
}

/// Whether a file is one of those that a film's pictures go into, such as `0001.png`.
fn is_picture_of(folder: &Path, file: &Path) -> bool {
    let place = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let stem = file.file_stem().map(|stem| stem.to_string_lossy());
    let numbered = stem.is_some_and(|stem| stem.chars().all(|c| c.is_ascii_digit()));
    numbered && place(files::folder_of(file)) == place(folder)
}

#[cfg(not(feature = "view"))]
use super::pictures;

#[cfg(not(feature = "view"))]
fn shoot(args: &FilmArgs, _: FilmPace, _: [u32; 2]) -> Result<u8, Failure> {
    args.common.load(&args.scene)?;
    Err(Failure::ours(format_args!("no pictures: {}", pictures::NotBuilt)))
}

#[cfg(feature = "view")]
use drawn::shoot;

#[cfg(feature = "view")]
mod drawn {
    use super::super::common::{bar, play, verdict};
    use super::super::failure::{Failure, OUR_FAULT};
    use super::super::pictures::{DrawingError, make_folder};
    use super::super::say;
    use super::{FilmArgs, FilmPace};
    use crate::debrief::FrameRetention;
    use crate::files::{self, OutputPath, WriteError};
    use crate::view::{CameraPath, Film, FilmFiles, FilmedLift, Overlays, PictureError};
    use std::path::{Path, PathBuf};
    use std::process::{Command, Stdio};
    use std::{fs, io};

    /// A collapse takes a third of a second: a film to be watched takes so many pictures for one
    /// around it.
    const SLOW_OF_A_FILM: u32 = 6;

    /// Why there is no film, or no video of it.
    #[derive(Debug, thiserror::Error)]
    enum NoFilm {
        #[error(transparent)]
        Pictures(#[from] DrawingError),
        #[error(transparent)]
        Unwritten(#[from] WriteError),
        #[error(
            "no video, because ffmpeg cannot be started ({source}); the pictures are in {}",
            folder.display()
        )]
        Ffmpeg { folder: PathBuf, source: io::Error },
        #[error(
            "no video: ffmpeg gave up on {}; the pictures are in {}",
            path.display(),
            folder.display()
        )]
        Video { path: PathBuf, folder: PathBuf },
    }

    /// Why no video can be made.
    #[derive(Debug, thiserror::Error)]
    #[error("ffmpeg cannot be started ({0}); install it, or leave the option away")]
    struct NoFfmpeg(#[source] io::Error);

    impl From<PictureError> for NoFilm {
        fn from(why: PictureError) -> Self {
            Self::Pictures(why.into())
        }
    }

    pub fn shoot(args: &FilmArgs, pace: FilmPace, size: [u32; 2]) -> Result<u8, Failure> {
        let path = CameraPath::parse(&args.look).map_err(|why| Failure::option("--look", why))?;
        let names = args.overlays.split(',').map(str::trim);
        let overlays = Overlays::named(names.filter(|n| *n != "none" && !n.is_empty()))
            .map_err(|why| Failure::option("--overlays", why))?;
        let units = args.common.units.into();
        if args.video.is_some() {
            has_ffmpeg().map_err(|why| Failure::option("--video", why))?;
        }
        // How long each takes and what goes wrong is known before it is drawn.
        let debriefs = [&args.scene]
            .into_iter()
            .chain(&args.beside)
            .map(|name| play(args.common.load(name)?, units, FrameRetention::None))
            .collect::<Result<Vec<_>, Failure>>()?;
        let takes: Vec<FilmedLift> = debriefs.iter().map(|d| FilmedLift::of(d)).collect();
        let mut film = Film {
            every_s: pace.every_s,
            slow: args.slow.unwrap_or(if pace.lasts_s.is_some() { SLOW_OF_A_FILM } else { 1 }),
            path,
            overlays,
            captions: !args.no_captions,
            size,
            units,
        };
        if let Some(lasts_s) = pace.lasts_s {
            film = film.of_pictures(&takes, (lasts_s * f64::from(args.rate)).round() as usize);
        }
        let count = draw(&film, &takes, args)
            .map_err(|why| Failure::ours(format_args!("no pictures: {why}")))?;
        say::line(format_args!("{count} pictures in {}", args.out.display()));
        Ok(debriefs.first().map_or(OUR_FAULT, verdict))
    }

    fn draw(film: &Film, takes: &[FilmedLift], args: &FilmArgs) -> Result<usize, NoFilm> {
        make_folder(&args.out)?;
        let bar = bar(0, "[{bar:30}] picture {pos} of {len}, {eta} left");
        let animation = args.animation.as_deref();
        let reel = FilmFiles { folder: &args.out, animation, rate: args.rate };
        let files = film.shoot(takes, &reel, &mut |done, of| {
            bar.set_length(of as u64);
            bar.set_position(done as u64);
        })?;
        bar.finish_and_clear();
        if let Some(path) = &args.video {
            video(&args.out, files.len(), args.rate, path)?;
        }
        Ok(files.len())
    }

    /// Whether ffmpeg is there, before a film is drawn for it.
    fn has_ffmpeg() -> Result<(), NoFfmpeg> {
        let started = Command::new("ffmpeg")
            .arg("-version")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        started.map(drop).map_err(NoFfmpeg)
    }

    /// Strings the pictures together by ffmpeg. Into a file beside, which then takes the
    /// place: a video that fails leaves what stood there.
    fn video(folder: &Path, count: usize, rate: u16, path: &Path) -> Result<(), NoFilm> {
        let unwritten = |source| WriteError::new(path, source);
        let Ok(OutputPath::File(target)) = OutputPath::follow(path) else {
            return encode(folder, count, rate, path, path);
        };
        let beside = tempfile::Builder::new()
            .prefix(".inchwise-")
            .tempdir_in(files::folder_of(&target))
            .map_err(unwritten)?;
        // Its ending tells ffmpeg the kind of video.
        let new = beside.path().join(target.file_name().unwrap_or_default());
        encode(folder, count, rate, &new, path)?;
        Ok(fs::rename(&new, &target).map_err(unwritten)?)
    }

    /// `told` is the path that a problem names.
    fn encode(
        folder: &Path,
        count: usize,
        rate: u16,
        path: &Path,
        told: &Path,
    ) -> Result<(), NoFilm> {
        let status = Command::new("ffmpeg")
            .args(["-y", "-loglevel", "error", "-framerate", &rate.to_string(), "-i"])
            .arg(folder.join("%04d.png"))
            // The folder may hold the rest of an earlier, longer film.
            .args(["-frames:v", &count.to_string(), "-pix_fmt", "yuv420p"])
            .arg(path)
            .stdin(Stdio::null())
            .status()
            .map_err(|source| NoFilm::Ffmpeg { folder: folder.to_owned(), source })?;
        if status.success() {
            Ok(())
        } else {
            Err(NoFilm::Video { path: told.to_owned(), folder: folder.to_owned() })
        }
    }
}
