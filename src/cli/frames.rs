//! The job of `inchwise frames`: how fast this machine draws.

use super::common::{Common, width_and_height};
use super::failure::Failure;
use clap::Args;
use std::path::PathBuf;
use web_time::Instant;

#[derive(Args)]
#[cfg_attr(not(feature = "view"), allow(dead_code, reason = "there is nothing to measure"))]
pub struct FramesArgs {
    /// A scene, by its name on the shelf or by the path of its file
    scene: String,
    #[command(flatten)]
    common: Common,
    /// Frames to draw
    #[arg(long, default_value_t = 600, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    count: u32,
    /// Width and height in pixels
    #[arg(long, default_value = "1920x1080", value_name = "WxH", value_parser = size_px)]
    size: [u32; 2],
    /// Without shadows and smooth edges
    #[arg(long)]
    plain: bool,
    /// Write the times as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
}

/// Sizes from 64 to 8192 px.
fn size_px(text: &str) -> Result<[u32; 2], &'static str> {
    let size = width_and_height(text);
    let size = size.filter(|size| size.iter().all(|side| (64..=8192).contains(side)));
    size.ok_or("write WIDTHxHEIGHT in numbers from 64 to 8192, such as 1920x1080")
}

/// Measures since when the program runs, too.
#[cfg(feature = "view")]
pub fn run(args: &FramesArgs, begun: Instant) -> Result<u8, Failure> {
    let FramesArgs { scene: name, common, count, plain, json, .. } = args;
    let scene = common.load(name)?;
    super::outputs::Outputs::default().and("--json", json).check(&common.files_read([name]))?;
    let times = crate::view::frame_times(scene, args.size, *count as usize, *plain, begun)
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
