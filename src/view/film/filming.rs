//! A film of a lift, drawn off screen picture by picture: a camera that goes from place to
//! place, slower around what goes wrong, alone or beside another lift. The caution stands on
//! its first picture and its last. The same lift gives the same pictures each time.

use super::frame::{Frame, animate};
use super::studio::Studio;
use crate::debrief::Moment;
use crate::framing::{Event, Stand};
use crate::lift::{Lift, Played};
use crate::scene::Scene;
use crate::session::Overlays;
use crate::units::UnitSystem;
use crate::view::picture_error::PictureError;
use crate::view::yard::camera_path::CameraPath;
use crate::world::TICK_S;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// It goes slower from this long before something begins to go wrong to this long after it is
/// found, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;
/// Between these a film of a given length looks for the time between two pictures, s.
const INTERVAL_S: [f64; 2] = [TICK_S, 600.0];

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

/// What a film is made of: a scene, how long it is played, from when to when something goes
/// wrong, and from where it is seen best.
pub struct FilmedLift {
    pub scene: Arc<Scene>,
    pub end_s: f64,
    /// From when each finding began to when it was made, s.
    pub findings_s: Vec<[f64; 2]>,
    pub stand: Stand,
}

impl FilmedLift {
    /// Of a lift that was played: seen from where its first finding is seen best, or the limb
    /// with the least room where there is none.
    pub fn of(played: &Played) -> Self {
        let history: Vec<&_> = played.history.iter().collect();
        let event = played.findings.first().map_or_else(|| least_room(played), Event::from);
        Self {
            scene: played.scene.clone(),
            end_s: played.sim_s,
            findings_s: played.findings.iter().map(|f| [f.began_s, f.t_s]).collect(),
            stand: Stand::before(&played.scene, &played.parts, &history, event),
        }
    }
}

/// The whole lift at the limb that has the least room to spare at its end.
fn least_room(played: &Played) -> Event {
    let spare_m = |i: &usize| played.gaps.get(*i).map_or(0.0, |gap| gap.end_m - gap.needed_m);
    let limbs = &played.scene.limbs;
    let least = (0..limbs.len()).min_by(|a, b| spare_m(a).total_cmp(&spare_m(b)));
    let place = least.map_or([0.0; 3], |i| {
        let [x, z] = limbs[i].at;
        [x, limbs[i].thickness_m, z]
    });
    Event { place, began_s: 0.0, t_s: played.sim_s, of_the_vehicle: true }
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
                .any(|[began, made]| (began - BEFORE_S..made + AFTER_S).contains(&t_s))
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

    /// The same film with so many pictures at most, and as many as that allows.
    pub fn of_pictures(mut self, takes: &[FilmedLift], count: usize) -> Self {
        let [mut least, mut most] = INTERVAL_S;
        for _ in 0..40 {
            self.every_s = 0.5 * (least + most);
            if self.ticks(takes).len() > count { least = self.every_s } else { most = self.every_s }
        }
        // Not one too many.
        self.every_s = most;
        self
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
                studio.follow(self.path.clone().near(take.stand), end_s);
                studio.overlay(self.overlays);
                studio.caption(self.captions);
                let lift = Lift::new(take.scene.clone());
                Ok(FilmStage { studio, lift, ticks: 0 })
            })
            .collect::<Result<Vec<_>, PictureError>>()?;
        let mut files = Vec::new();
        for (index, &tick) in ticks.iter().enumerate() {
            let at_the_edge = index == 0 || index + 1 == ticks.len();
            let frames = stages
                .iter_mut()
                .map(|stage| {
                    stage.studio.caution(at_the_edge);
                    stage.take(tick, self.units)
                })
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

    fn take(end_s: f64, findings_s: &[[f64; 2]]) -> FilmedLift {
        let scene = Arc::new(crate::scene::load("beam-lift", &[]).ok().unwrap().scene);
        let stand = Stand { focus: [0.0; 3], yaw_rad: 0.0, pitch_rad: 0.2, radius_m: 4.0 };
        FilmedLift { scene, end_s, findings_s: findings_s.to_vec(), stand }
    }

    /// Twenty seconds at one a second are 21 pictures; from 9 to 12 s, around a finding at
    /// 10 s, there are four for each one.
    #[test]
    fn it_goes_slower_around_a_finding() {
        assert_eq!(film(1.0, 4).ticks(&[take(20.0, &[])]).len(), 21);
        let ticks = film(1.0, 4).ticks(&[take(20.0, &[[10.0, 10.0]])]);
        assert_eq!(ticks.len(), 21 + 3 * 3);
        assert!(ticks.windows(2).all(|w| w[0] < w[1]));
        assert_eq!(ticks[8..14], [480, 540, 555, 570, 585, 600]);
        // What began earlier is shown slowly from then on.
        assert_eq!(film(1.0, 4).ticks(&[take(20.0, &[[8.0, 10.0]])]).len(), 21 + 5 * 3);
        // A film of a length that is asked for has its pictures, slow parts and all.
        for findings_s in [&[][..], &[[8.0, 10.0]], &[[1.0, 19.0]]] {
            let takes = [take(20.0, findings_s)];
            let count = film(1.0, 4).of_pictures(&takes, 100).ticks(&takes).len();
            assert!((96..=100).contains(&count), "{count} pictures instead of 100");
        }
        // Never more often than the simulation ticks.
        assert_eq!(film(0.05, 100).ticks(&[take(4.0, &[[2.0, 2.0]])]).len(), 3 * 60 + 20 + 1);
    }
}
