//! How fast a machine draws: the window's own frames, off screen, with the lift played
//! behind them.

use crate::scene::Loaded;
use crate::view::window::trial::{Trial, TrialError};
use bevy::render::renderer::RenderAdapterInfo;
use serde::Serialize;
use std::fmt;
use web_time::Instant;

/// Frames drawn before it is measured: pipelines and fonts are made in them.
const WARM_UP: usize = 20;

/// Frame times of one scene on one machine. A frame ends when the graphics device has
/// finished drawing it, so these are upper bounds: a window prepares the next meanwhile.
#[derive(Clone, Debug, Serialize)]
pub struct FrameTimes {
    pub scene: String,
    /// The graphics device.
    pub device: String,
    /// Its kind: a processor that draws by itself says "Cpu".
    pub kind: String,
    pub size: [u32; 2],
    /// The size of the yard's picture at the end, px: smaller than its part of the frame where
    /// the machine is too slow for more.
    pub yard: [u32; 2],
    pub plain_graphics: bool,
    pub frames: usize,
    /// From the start of the command to the first frame with everything in it, s. At a
    /// machine's first start the driver translates the shaders, which it then keeps.
    pub first_frame_s: f64,
    /// ... and to the first frame of the lift, which has to be set up, s.
    pub first_lift_frame_s: f64,
    pub median_ms: f64,
    /// 99 of 100 frames are shorter.
    pub p99_ms: f64,
    pub longest_ms: f64,
    /// Time of the lift that was played in each second.
    pub played_s_per_s: f64,
}

/// Draws this many frames of a scene with every overlay on while its own orders are carried
/// out.
///
/// # Errors
/// One sentence that says that there is no graphics driver, and what mends it.
pub fn frame_times(
    scene: Loaded,
    size: [u32; 2],
    frames: usize,
    plain_graphics: bool,
    begun: Instant,
) -> Result<FrameTimes, TrialError> {
    let name = scene.scene.name.clone();
    let mut trial = Trial::paced(scene, size, plain_graphics)?;
    trial.whole_frame();
    let first_frame_s = begun.elapsed().as_secs_f64();
    while trial.now().is_none() {
        trial.drawn_frame();
    }
    trial.whole_frame();
    let first_lift_frame_s = begun.elapsed().as_secs_f64();
    trial.play_with_everything_on();
    for _ in 0..WARM_UP {
        trial.drawn_frame();
    }
    let played = |trial: &Trial| trial.now().map_or(0.0, |now| now.t_s);
    let (from, clock) = (played(&trial), Instant::now());
    let mut times_ms: Vec<f64> = (0..frames.max(1))
        .map(|_| {
            let begun = Instant::now();
            trial.drawn_frame();
            begun.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    let played_s_per_s = (played(&trial) - from) / clock.elapsed().as_secs_f64();
    times_ms.sort_by(f64::total_cmp);
    let at = |share: f64| times_ms[((times_ms.len() - 1) as f64 * share).round() as usize];
    let adapter = trial.resource::<RenderAdapterInfo>();
    let (device, kind) = adapter.map_or_else(
        || ("unknown".to_owned(), "unknown".to_owned()),
        |a| (a.name.clone(), format!("{:?}", a.device_type)),
    );
    Ok(FrameTimes {
        scene: name,
        device,
        kind,
        size,
        yard: trial.picture_px().to_array(),
        plain_graphics,
        frames: times_ms.len(),
        first_frame_s,
        first_lift_frame_s,
        median_ms: at(0.5),
        p99_ms: at(0.99),
        longest_ms: at(1.0),
        played_s_per_s,
    })
}

impl fmt::Display for FrameTimes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [width, height] = self.size;
        writeln!(f, "\"{}\" at {width} x {height}, every overlay on", self.scene)?;
        writeln!(f, "  drawn by          {} ({})", self.device, self.kind)?;
        let [width, height] = self.yard;
        writeln!(f, "  yard drawn at     {width} x {height}")?;
        writeln!(f, "  first frame       {:.2} s after the start", self.first_frame_s)?;
        writeln!(f, "  first of the lift {:.2} s", self.first_lift_frame_s)?;
        writeln!(
            f,
            "  {} frames: median {:.1} ms ({:.0} a second), 99 % within {:.1} ms, longest {:.1} ms",
            self.frames,
            self.median_ms,
            1e3 / self.median_ms,
            self.p99_ms,
            self.longest_ms
        )?;
        write!(f, "  the lift ran at {:.2} times real time", self.played_s_per_s)
    }
}
