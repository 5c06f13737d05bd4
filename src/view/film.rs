//! A film of a lift, drawn off screen picture by picture: a camera that goes from place to
//! place, slower around what goes wrong, alone or beside another lift. The same lift gives
//! the same pictures each time.

use super::camera::{Stand, View};
use super::frame::{Animation, Frame};
use super::offscreen::Studio;
use super::overlay::Overlays;
use super::shown::Shown;
use crate::debrief::Moment;
use crate::lift::Lift;
use crate::scene::Scene;
use crate::units::System;
use crate::world::TICK_S;
use std::f32::consts::TAU;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A move from one place to the next takes the last seconds before it, s.
const GLIDE_S: f64 = 2.0;
/// It goes slower from this long before a finding to this long after it, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;

/// Where the camera is sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goal {
    View(View),
    /// Once around, until it is sent elsewhere or the film ends.
    Around,
}

/// Where the camera is sent when; never without a place.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraPath(Vec<(f64, Goal)>);

impl CameraPath {
    const WORDS: [(&str, Goal); 5] = [
        ("three-quarter", Goal::View(View::ThreeQuarter)),
        ("side", Goal::View(View::Side)),
        ("front", Goal::View(View::Front)),
        ("casualty", Goal::View(View::Casualty)),
        ("around", Goal::Around),
    ];

    /// Stands in one place.
    pub fn fixed(view: View) -> Self {
        Self(vec![(0.0, Goal::View(view))])
    }

    /// Reads places such as `10 s=side`; without one at 0 s it starts three-quarter.
    ///
    /// # Errors
    /// What is wrong with one of them and how to write it.
    pub fn parse(places: &[String]) -> Result<Self, String> {
        let known = || Self::WORDS.map(|(word, _)| word).join(", ");
        let mut keys = places
            .iter()
            .map(|text| {
                let show = "write TIME=PLACE such as '10 s=side'";
                let (at, word) =
                    text.split_once('=').ok_or(format!("\"{text}\" has no `=`; {show}"))?;
                let at_s = crate::units::parse(at, crate::units::Dimension::Time)?;
                let found = Self::WORDS.iter().find(|(w, _)| *w == word.trim());
                let (_, goal) = found.ok_or(format!(
                    "\"{}\" is no place to look from; choose from {}",
                    word.trim(),
                    known()
                ))?;
                if at_s < 0.0 {
                    return Err(format!("\"{text}\" lies before the start; {show}"));
                }
                Ok((at_s, *goal))
            })
            .collect::<Result<Vec<_>, String>>()?;
        keys.sort_by(|a, b| a.0.total_cmp(&b.0));
        if keys.first().is_none_or(|(at_s, _)| *at_s > 0.0) {
            keys.insert(0, (0.0, Goal::View(View::ThreeQuarter)));
        }
        Ok(Self(keys))
    }

    /// Where the camera stands at a time of a lift that ends at `end_s`.
    pub(super) fn stand(&self, t_s: f64, end_s: f64, shown: &Shown) -> Stand {
        let here = self.0.iter().rposition(|(at_s, _)| *at_s <= t_s).unwrap_or(0);
        let place = |index: usize| {
            let (from_s, goal) = self.0[index];
            let to_s = self.0.get(index + 1).map_or(end_s, |next| next.0);
            match goal {
                Goal::View(view) => Stand::of(view, shown),
                Goal::Around => {
                    let share = ((t_s - from_s) / (to_s - from_s).max(1e-9)).clamp(0.0, 1.0);
                    let start = Stand::of(View::ThreeQuarter, shown);
                    Stand { yaw: start.yaw + TAU * share as f32, ..start }
                }
            }
        };
        let now = place(here);
        let Some((next_s, _)) = self.0.get(here + 1) else { return now };
        let share = (1.0 - (next_s - t_s) / GLIDE_S).clamp(0.0, 1.0) as f32;
        // Starts and stops softly.
        let share = share * share * (3.0 - 2.0 * share);
        let next = place(here + 1);
        let turn = next.yaw - now.yaw;
        Stand {
            focus: now.focus.lerp(next.focus, share),
            // The shorter way around.
            yaw: now.yaw + share * (turn - TAU * (turn / TAU).round()),
            pitch: now.pitch + share * (next.pitch - now.pitch),
            radius: now.radius + share * (next.radius - now.radius),
        }
    }
}

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
    pub units: System,
}

/// What a film is made of: a scene, how long it is played and when its findings are made.
pub struct Take {
    pub scene: Arc<Scene>,
    pub end_s: f64,
    pub findings_s: Vec<f64>,
}

/// Where the pictures go.
pub struct Reel<'a> {
    pub folder: &'a Path,
    /// An animated PNG as well, at so many pictures a second.
    pub animation: Option<&'a Path>,
    pub rate: u16,
}

impl Film {
    /// The ticks at which a picture is taken.
    fn ticks(&self, takes: &[Take]) -> Vec<u64> {
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
        takes: &[Take],
        reel: &Reel<'_>,
        told: &mut dyn FnMut(usize, usize),
    ) -> Result<Vec<PathBuf>, String> {
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
                Ok(Stage { studio, lift, ticks: 0 })
            })
            .collect::<Result<Vec<_>, String>>()?;
        let mut animation = None;
        let mut files = Vec::new();
        for (index, &tick) in ticks.iter().enumerate() {
            let frames = stages
                .iter_mut()
                .map(|stage| stage.take(tick, self.units))
                .collect::<Result<Vec<Frame>, String>>()?;
            let Some(frame) = frames.into_iter().reduce(|a, b| a.beside(&b)) else { break };
            let path = reel.folder.join(format!("{index:04}.png"));
            frame.save(&path)?;
            files.push(path);
            if let Some(path) = reel.animation {
                if animation.is_none() {
                    let count = ticks.len() as u32;
                    animation = Some(Animation::new(path, &frame, count, reel.rate)?);
                }
                if let Some(animation) = &mut animation {
                    animation.add(&frame)?;
                }
            }
            told(index + 1, ticks.len());
        }
        if let Some(animation) = animation {
            animation.end()?;
        }
        Ok(files)
    }
}

/// One lift and the place where its pictures are taken.
struct Stage {
    studio: Studio,
    lift: Lift,
    ticks: u64,
}

impl Stage {
    /// Plays on to a tick, or to the lift's end, and draws.
    fn take(&mut self, tick: u64, units: System) -> Result<Frame, String> {
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

    fn film(every_s: f64, slow: u32) -> Film {
        Film {
            every_s,
            slow,
            path: CameraPath::fixed(View::Side),
            overlays: Overlays::of(&[]),
            captions: true,
            size: [64, 64],
            units: System::Si,
        }
    }

    fn take(end_s: f64, findings_s: &[f64]) -> Take {
        let scene = Arc::new(crate::scene::load("beam-lift", &[]).ok().unwrap().scene);
        Take { scene, end_s, findings_s: findings_s.to_vec() }
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

    #[test]
    fn the_camera_goes_where_it_is_sent() {
        let texts = |places: &[&str]| places.iter().map(|t| (*t).to_owned()).collect::<Vec<_>>();
        let path = CameraPath::parse(&texts(&["10 s=side", "20 s=around"])).unwrap();
        let shown = Shown::default();
        let yaw = |t_s| path.stand(t_s, 60.0, &shown).yaw;
        let three_quarter = Stand::of(View::ThreeQuarter, &shown).yaw;
        assert_eq!(yaw(0.0), three_quarter);
        assert_eq!(yaw(7.9), three_quarter);
        assert_eq!(yaw(9.0), (three_quarter + Stand::of(View::Side, &shown).yaw) / 2.0);
        assert_eq!(yaw(12.0), Stand::of(View::Side, &shown).yaw);
        assert!((yaw(40.0) - three_quarter - TAU / 2.0).abs() < 1e-5);
        for (text, word) in
            [("side", "no `=`"), ("5=side", "no unit"), ("5 s=moon", "three-quarter, side")]
        {
            let why = CameraPath::parse(&texts(&[text])).unwrap_err();
            assert!(why.contains(word), "{text}: {why}");
        }
    }
}
