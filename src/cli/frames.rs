//! The job of `inchwise frames`: how fast this machine draws.

use super::common::Common;
use super::failure::Failure;
use clap::Args;
use std::path::PathBuf;
use web_time::Instant;

#[derive(Args)]
#[cfg_attr(not(feature = "view"), allow(dead_code, reason = "there is nothing to measure"))]
pub struct FramesArgs {
    scene: String,
    #[command(flatten)]
    common: Common,
    /// Frames to draw
    #[arg(long, default_value_t = 600, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    count: u32,
    /// Width and height in pixels
    #[arg(long, num_args = 2, default_values_t = [1920, 1080], value_names = ["W", "H"],
          value_parser = clap::value_parser!(u32).range(64..=8192))]
    size: Vec<u32>,
    /// Without shadows and smooth edges
    #[arg(long)]
    plain: bool,
    /// Write the times as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
}

/// Measures since when the program runs, too.
#[cfg(feature = "view")]
pub fn run(args: &FramesArgs, begun: Instant) -> Result<u8, Failure> {
    let FramesArgs { scene: name, common, count, plain, json, .. } = args;
    let scene = common.load(name)?;
    super::outputs::Outputs::default().and("--json", json).check(&common.files_read([name]))?;
    let size = [args.size[0], args.size[1]];
    let times = crate::view::frame_times(scene, size, *count as usize, *plain, begun)
        .map_err(Failure::ours)?;
    super::say::line(&times);
    if let Some(path) = json {
        let text = serde_json::to_string_pretty(&times).map(|text| text + "\n");
        super::run::write_text(path, text)?;
    }
    Ok(super::failure::MET)
}

#[cfg(not(feature = "view"))]
pub fn run(_: &FramesArgs, _: Instant) -> Result<u8, Failure> {
    Err(Failure::ours("no frames: this program was built without the feature `view`"))
}
