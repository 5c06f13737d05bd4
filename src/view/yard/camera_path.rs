//! The path that a camera goes along in a film.

use super::camera::CameraPose;
use crate::framing::Stand;
use crate::session::{Shown, View};
use crate::units::{self, Dimension, QuantityError};
use std::f32::consts::TAU;

/// A move from one place to the next takes the last seconds before it, s.
const GLIDE_S: f64 = 2.0;

/// Where the camera is sent.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Goal {
    View(View),
    Stand(Stand),
    /// Once around, until it is sent elsewhere or the film ends.
    Around,
    /// Where the lift that is filmed is seen best: three-quarter until that is told.
    Near,
}

/// Why a text is no place of a camera's path.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CameraPathError {
    #[error("\"{text}\" has no `=`; write TIME=PLACE such as '10 s=side'")]
    NoEquals { text: String },
    #[error(transparent)]
    Time(#[from] QuantityError),
    #[error("\"{word}\" is no place to look from; choose from {}", CameraPath::places())]
    UnknownPlace { word: String },
    #[error("\"{text}\" lies before the start; write TIME=PLACE such as '10 s=side'")]
    BeforeStart { text: String },
}

/// Where the camera is sent when; never without a place.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraPath(Vec<(f64, Goal)>);

impl CameraPath {
    fn goals() -> impl Iterator<Item = (&'static str, Goal)> {
        let views = View::WORDS.into_iter().map(|(word, view)| (word, Goal::View(view)));
        views.chain([("around", Goal::Around), ("near", Goal::Near)])
    }

    fn places() -> String {
        Self::goals().map(|(word, _)| word).collect::<Vec<_>>().join(", ")
    }

    /// Stands in one place.
    pub fn fixed(view: View) -> Self {
        Self(vec![(0.0, Goal::View(view))])
    }

    /// Stands where a finding is seen best.
    pub fn standing(stand: Stand) -> Self {
        Self(vec![(0.0, Goal::Stand(stand))])
    }

    /// The same path, which stands here where it was sent near.
    pub fn near(mut self, stand: Stand) -> Self {
        for (_, goal) in self.0.iter_mut().filter(|(_, goal)| *goal == Goal::Near) {
            *goal = Goal::Stand(stand);
        }
        self
    }

    /// Reads places such as `10 s=side`; without one at 0 s it starts three-quarter.
    ///
    /// # Errors
    /// What is wrong with one of them and how to write it.
    pub fn parse(places: &[String]) -> Result<Self, CameraPathError> {
        let mut keys = places
            .iter()
            .map(|text| {
                let (at, word) = text
                    .split_once('=')
                    .ok_or_else(|| CameraPathError::NoEquals { text: text.clone() })?;
                let word = word.trim();
                let at_s = units::parse(at, Dimension::Time)?;
                let found = Self::goals().find(|(w, _)| *w == word);
                let (_, goal) =
                    found.ok_or_else(|| CameraPathError::UnknownPlace { word: word.to_owned() })?;
                if at_s < 0.0 {
                    return Err(CameraPathError::BeforeStart { text: text.clone() });
                }
                Ok((at_s, goal))
            })
            .collect::<Result<Vec<_>, CameraPathError>>()?;
        keys.sort_by(|a, b| a.0.total_cmp(&b.0));
        if keys.first().is_none_or(|(at_s, _)| *at_s > 0.0) {
            keys.insert(0, (0.0, Goal::View(View::ThreeQuarter)));
        }
        Ok(Self(keys))
    }

    /// Where the camera is at a time of a lift that ends at `end_s`.
    pub(in crate::view) fn pose(&self, t_s: f64, end_s: f64, shown: &Shown) -> CameraPose {
        let here = self.0.iter().rposition(|(at_s, _)| *at_s <= t_s).unwrap_or(0);
        let place = |index: usize| {
            let (from_s, goal) = self.0[index];
            let to_s = self.0.get(index + 1).map_or(end_s, |next| next.0);
            match goal {
                Goal::View(view) => CameraPose::new(view, shown),
                Goal::Near => CameraPose::new(View::ThreeQuarter, shown),
                Goal::Stand(stand) => CameraPose::standing(stand, shown),
                Goal::Around => {
                    let share = ((t_s - from_s) / (to_s - from_s).max(1e-9)).clamp(0.0, 1.0);
                    let start = CameraPose::new(View::ThreeQuarter, shown);
                    CameraPose { yaw: start.yaw + TAU * share as f32, ..start }
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
        CameraPose {
            focus: now.focus.lerp(next.focus, share),
            // The shorter way around.
            yaw: now.yaw + share * (turn - TAU * (turn / TAU).round()),
            pitch: now.pitch + share * (next.pitch - now.pitch),
            radius: now.radius + share * (next.radius - now.radius),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_camera_goes_where_it_is_sent() {
        let texts = |places: &[&str]| places.iter().map(|t| (*t).to_owned()).collect::<Vec<_>>();
        let path = CameraPath::parse(&texts(&["10 s=side", "20 s=around"])).unwrap();
        let shown = Shown::default();
        let yaw = |t_s| path.pose(t_s, 60.0, &shown).yaw;
        let three_quarter = CameraPose::new(View::ThreeQuarter, &shown).yaw;
        assert_eq!(yaw(0.0), three_quarter);
        assert_eq!(yaw(7.9), three_quarter);
        assert_eq!(yaw(9.0), (three_quarter + CameraPose::new(View::Side, &shown).yaw) / 2.0);
        assert_eq!(yaw(12.0), CameraPose::new(View::Side, &shown).yaw);
        assert!((yaw(40.0) - three_quarter - TAU / 2.0).abs() < 1e-5);
        let stand = Stand { focus: [0.5, 0.2, 0.1], yaw_rad: 0.7, pitch_rad: 0.2, radius_m: 2.0 };
        let near = CameraPath::parse(&texts(&["0 s=near"])).unwrap();
        assert_eq!(near.pose(0.0, 60.0, &shown).yaw, three_quarter);
        assert_eq!(near.near(stand).pose(0.0, 60.0, &shown).radius, 2.0);
        for (text, word) in
            [("side", "no `=`"), ("5=side", "no unit"), ("5 s=moon", "three-quarter, side")]
        {
            let why = CameraPath::parse(&texts(&[text])).unwrap_err();
            assert!(why.to_string().contains(word), "{text}: {why}");
        }
    }
}
