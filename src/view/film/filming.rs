//! A film of a lift, drawn off screen picture by picture: a camera that goes from place to
//! place, slower around what goes wrong, alone or beside another lift. The same lift gives
//! the same pictures each time.

use super::frame::{Frame, animate};
use super::studio::Studio;
use crate::debrief::Moment;
use crate::lift::Lift;
use crate::scene::Scene;
use crate::session::Overlays;
use crate::units::UnitSystem;
use crate::view::picture_error::PictureError;
use crate::view::yard::camera_path::CameraPath;
use crate::world::TICK_S;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// It goes slower from this long before a finding to this long after it, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;

/// How a film is made.
pub struct Film {
    /// Simulated time between two pictures, s.
    pub every_s: f64,
    /// So many pictures for one around each finding.
    pub slow: u32,
    pub path: CameraPath,
    pub overlays: Overlays,
    pub captions: bool,
    /// Of the whole picture, px.
    pub size: [u32; 2],
    pub units: UnitSystem,
}

/// What a film is made of: a scene, how long it is played and when its findings are made.
pub struct FilmedLift {
    pub scene: Arc<Scene>,
    pub end_s: f64,
    pub findings_s: Vec<f64>,
}

/// Where the pictures go.
pub struct FilmFiles<'a> {
    pub folder: &'a Path,
    /// An animated PNG as well, at this many pictures a second.
    pub animation: Option<&'a Path>,
    pub rate: u16,
}

impl Film {
    /// The ticks at which a picture is taken.
    fn ticks(&self, takes: &[FilmedLift]) -> Vec<u64> {
        let end_s = takes.iter().map(|t| t.end_s).fold(0.0, f64::max);
        let slow = |t_s: f64| {
            takes
                .iter()
                .flat_map(|t| &t.findings_s)
                .any(|f| (f - BEFORE_S..f + AFTER_S).contains(&t_s))
        };
        let last = (end_s / TICK_S).round() as u64;
        let mut ticks = Vec::new();
        let mut t_s: f64 = 0.0;
        while t_s < end_s {
            let tick = (t_s / TICK_S).round() as u64;
            if ticks.last() != Some(&tick) {
                ticks.push(tick);
            }
            t_s +=
                if slow(t_s) { self.every_s / f64::from(self.slow.max(1)) } else { self.every_s };
        }
        if ticks.last() != Some(&last) {
            ticks.push(last);
        }
        ticks
    }

    /// Plays the lifts side by side and draws them; tells how many pictures are done, of how
    /// many. The files, in order.
    ///
    /// # Errors
    /// One sentence where there is no driver or a file cannot be written.
    pub fn shoot(
        &self,
        takes: &[FilmedLift],
        reel: &FilmFiles<'_>,
        told: &mut dyn FnMut(usize, usize),
    ) -> Result<Vec<PathBuf>, PictureError> {
        let ticks = self.ticks(takes);
        let end_s = takes.iter().map(|t| t.end_s).fold(0.0, f64::max);
        let width = self.size[0] / takes.len().max(1) as u32;
        let mut stages = takes
            .iter()
            .map(|take| {
                let mut studio = Studio::new(width, self.size[1], &take.scene)?;
                studio.follow(self.path.clone(), end_s);
                studio.overlay(self.overlays);
                studio.caption(self.captions);
                let lift = Lift::new(take.scene.clone());
                Ok(FilmStage { studio, lift, ticks: 0 })
            })
            .collect::<Result<Vec<_>, PictureError>>()?;
        let mut files = Vec::new();
        for (index, &tick) in ticks.iter().enumerate() {
            let frames = stages
                .iter_mut()
                .map(|stage| stage.take(tick, self.units))
                .collect::<Result<Vec<Frame>, PictureError>>()?;
            let Some(frame) = frames.into_iter().reduce(|a, b| a.beside(&b)) else { break };
            let path = reel.folder.join(format!("{index:04}.png"));
            frame.save(&path)?;
            files.push(path);
            told(index + 1, ticks.len());
        }
        if let Some(path) = reel.animation {
            animate(path, &files, reel.rate)?;
        }
        Ok(files)
    }
}

/// One lift and the place where its pictures are taken.
struct FilmStage {
    studio: Studio,
    lift: Lift,
    ticks: u64,
}

impl FilmStage {
    /// Plays on to a tick, or to the lift's end, and draws.
    fn take(&mut self, tick: u64, units: UnitSystem) -> Result<Frame, PictureError> {
        while self.ticks < tick && !self.lift.done() {
            self.lift.tick();
            self.ticks += 1;
        }
        let moment = Moment {
            parts: Arc::new(self.lift.parts().to_vec()),
            snapshot: self.lift.snapshot().clone(),
            findings: self.lift.findings().to_vec(),
        };
        self.studio.take(&moment, units)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::View;

    fn film(every_s: f64, slow: u32) -> Film {
        Film {
            every_s,
            slow,
            path: CameraPath::fixed(View::Side),
            overlays: Overlays::only(&[]),
            captions: true,
            size: [64, 64],
            units: UnitSystem::Si,
        }
    }

    fn take(end_s: f64, findings_s: &[f64]) -> FilmedLift {
        let scene = Arc::new(crate::scene::load("beam-lift", &[]).ok().unwrap().scene);
        FilmedLift { scene, end_s, findings_s: findings_s.to_vec() }
    }

    /// Twenty seconds at one a second are 21 pictures; from 9 to 12 s, around a finding at
    /// 10 s, there are four for each one.
    #[test]
    fn it_goes_slower_around_a_finding() {
        assert_eq!(film(1.0, 4).ticks(&[take(20.0, &[])]).len(), 21);
        let ticks = film(1.0, 4).ticks(&[take(20.0, &[10.0])]);
        assert_eq!(ticks.len(), 21 + 3 * 3);
        assert!(ticks.windows(2).all(|w| w[0] < w[1]));
        assert_eq!(ticks[8..14], [480, 540, 555, 570, 585, 600]);
        // Never more often than the simulation ticks.
        assert_eq!(film(0.05, 100).ticks(&[take(4.0, &[2.0])]).len(), 3 * 60 + 20 + 1);
    }
}
