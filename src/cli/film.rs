//! The job of `inchwise film`: its options, progress and files.

#[cfg(not(feature = "view"))]
use super::OUR_FAULT;
use super::{BAD_INPUT, Common};
use crate::units::{self, Dimension};
use clap::Args;
use std::path::PathBuf;

#[derive(Args)]
pub struct Asked {
    /// Folder for the pictures
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Simulated time between two pictures
    #[arg(long, default_value = "2 s", value_name = "TIME")]
    every: String,
    /// So many pictures for one around each finding
    #[arg(long, default_value_t = 1, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=60))]
    slow: u32,
    /// Send the camera to a place at a time, such as "10 s=side"; may be given again
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

/// Text such as "2 s" as seconds, within what a film can use.
fn interval_s(text: &str) -> Result<f64, String> {
    let s = units::parse(text, Dimension::Time)?;
    if (0.05..=600.0).contains(&s) {
        Ok(s)
    } else {
        Err(format!("{s} s is outside 0.05 s to 600 s; choose a time between them"))
    }
}

/// Even sizes from 64 to 4096 px: a video takes no odd ones.
fn size_px(text: &str) -> Result<[u32; 2], String> {
    let side = |text: &str| {
        text.trim().parse::<u32>().ok().filter(|n| (64..=4096).contains(n) && n.is_multiple_of(2))
    };
    text.split_once('x').and_then(|(w, h)| Some([side(w)?, side(h)?])).ok_or(format!(
        "\"{text}\" is no size; write WIDTHxHEIGHT in even numbers from 64 to 4096, such as 1280x720"
    ))
}

pub fn run(name: &str, common: &Common, asked: &Asked) -> u8 {
    let checked = interval_s(&asked.every).map_err(|why| format!("--every: {why}")).and_then(|s| {
        size_px(&asked.size).map(|px| (s, px)).map_err(|why| format!("--size: {why}"))
    });
    match checked {
        Ok((every_s, size)) => shoot(name, common, asked, every_s, size),
        Err(why) => {
            eprintln!("{why}");
            BAD_INPUT
        }
    }
}

#[cfg(not(feature = "view"))]
fn shoot(name: &str, common: &Common, _: &Asked, _: f64, _: [u32; 2]) -> u8 {
    if let Err(code) = super::load(name, common) {
        return code;
    }
    eprintln!("no pictures: this program was built without the feature `view`");
    OUR_FAULT
}

#[cfg(feature = "view")]
use drawn::shoot;

#[cfg(feature = "view")]
mod drawn {
    use super::super::{BAD_INPUT, Common, OUR_FAULT, load, play, verdict};
    use super::Asked;
    use crate::debrief::{Debrief, Keep};
    use crate::view::{CameraPath, Film, Overlays, Reel, Take};
    use indicatif::{ProgressBar, ProgressStyle};
    use std::path::Path;
    use std::process::{Command, Stdio};

    pub fn shoot(name: &str, common: &Common, asked: &Asked, every_s: f64, size: [u32; 2]) -> u8 {
        let path = match CameraPath::parse(&asked.look) {
            Ok(path) => path,
            Err(why) => {
                eprintln!("--look: {why}");
                return BAD_INPUT;
            }
        };
        let names = asked.overlays.split(',').map(str::trim);
        let overlays = match Overlays::named(names.filter(|n| *n != "none" && !n.is_empty())) {
            Ok(overlays) => overlays,
            Err(why) => {
                eprintln!("--overlays: {why}");
                return BAD_INPUT;
            }
        };
        let mut debriefs = Vec::new();
        for name in [name].into_iter().chain(asked.beside.as_deref()) {
            match load(name, common) {
                // How long it takes and what goes wrong is known before it is drawn.
                Ok(loaded) => debriefs.push(play(loaded, common.units.into(), Keep::Nothing)),
                Err(code) => return code,
            }
        }
        let film = Film {
            every_s,
            slow: asked.slow,
            path,
            overlays,
            captions: !asked.no_captions,
            size,
            units: common.units.into(),
        };
        match draw(&film, &debriefs, asked) {
            Ok(count) => {
                println!("{count} pictures in {}", asked.out.display());
                debriefs.iter().map(verdict).next().unwrap_or(OUR_FAULT)
            }
            Err(why) => {
                eprintln!("no pictures: {why}");
                OUR_FAULT
            }
        }
    }

    fn draw(film: &Film, debriefs: &[Debrief], asked: &Asked) -> Result<usize, String> {
        std::fs::create_dir_all(&asked.out).map_err(|e| format!("{}: {e}", asked.out.display()))?;
        let takes: Vec<Take> = debriefs
            .iter()
            .map(|d| Take {
                scene: d.scene.clone(),
                end_s: d.sim_s,
                findings_s: d.findings.iter().map(|f| f.t_s).collect(),
            })
            .collect();
        let bar = ProgressBar::new(0);
        if let Ok(style) =
            ProgressStyle::with_template("[{bar:30}] picture {pos} of {len}, {eta} left")
        {
            bar.set_style(style);
        }
        let animation = asked.animation.as_deref();
        let reel = Reel { folder: &asked.out, animation, rate: asked.rate };
        let files = film.shoot(&takes, &reel, &mut |done, of| {
            bar.set_length(of as u64);
            bar.set_position(done as u64);
        })?;
        bar.finish_and_clear();
        if let Some(path) = &asked.video {
            video(&asked.out, files.len(), asked.rate, path)?;
        }
        Ok(files.len())
    }

    /// Strings the pictures together by ffmpeg, where it is present.
    fn video(folder: &Path, count: usize, rate: u16, path: &Path) -> Result<(), String> {
        let kept = format!("the pictures are in {}", folder.display());
        let status = Command::new("ffmpeg")
            .args(["-y", "-loglevel", "error", "-framerate", &rate.to_string(), "-i"])
            .arg(folder.join("%04d.png"))
            // The folder may hold the rest of an earlier, longer film.
            .args(["-frames:v", &count.to_string(), "-pix_fmt", "yuv420p"])
            .arg(path)
            .stdin(Stdio::null())
            .status()
            .map_err(|e| format!("no video, because ffmpeg cannot be started ({e}); {kept}"))?;
        if status.success() {
            Ok(())
        } else {
            Err(format!("no video: ffmpeg gave up on {}; {kept}", path.display()))
        }
    }
}
