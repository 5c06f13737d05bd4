//! How finely the yards are drawn: in full where a machine can, and in steps with fewer dots and
//! then without shadows where it cannot hold 30 frames a second. Panels, text and overlays are
//! drawn in full everywhere.

use super::state::{CurrentSession, WindowInput};
use crate::session::Pace;
use bevy::prelude::*;

/// The least size inside a whole window, px: at 1280 x 720 three quarters a side, at which a
/// timber's end and a gap of a finger's width are still seen from where a lift is first looked at.
const LEAST_INSIDE_PX: Vec2 = Vec2::new(960.0, 540.0);
/// Steps down to that size; the last one, which is seen most, takes the shadows away.
const SIZES: usize = 3;
const COARSEST: usize = SIZES + 1;

/// Frames that last longer are too few, s: 30 a second, with room for a display's own jitter.
const LONG_S: f32 = 1.05 / 30.0;
/// Frames that are shorter leave room for a step up, s. A step has at most 1.8 times the dots,
/// and displays of 48 frames a second and more can be told from slow ones.
const SHORT_S: f32 = 1.0 / 46.0;
/// What is judged is the middle frame of so long, s, and of so many: one long frame says nothing.
const LOOK_S: f32 = 0.7;
const LOOK_FRAMES: usize = 5;
/// There must be room for so long before a step up, s.
const PATIENCE_S: f32 = 3.0;
/// A step up that does not hold for so long, s, was a mistake: the next one waits twice as long.
const PROVEN_S: f32 = 5.0;
const PATIENCE_AT_MOST_S: f32 = 60.0;

/// How finely the yards are drawn, and what it is judged by.
#[derive(Resource, Clone, Debug)]
pub struct Detail {
    /// Steps down from everything.
    steps: usize,
    /// The frames since the last judgement, s.
    frames_s: Vec<f32>,
    /// There has been room for so long, s.
    room_s: f32,
    patience_s: f32,
    since_step_up_s: f32,
}

impl Default for Detail {
    fn default() -> Self {
        Self {
            steps: 0,
            frames_s: Vec::new(),
            room_s: 0.0,
            patience_s: PATIENCE_S,
            since_step_up_s: f32::INFINITY,
        }
    }
}

impl Detail {
    /// The coarsest there is.
    pub fn coarsest() -> Self {
        Self { steps: COARSEST, ..default() }
    }

    /// Takes note of a frame that lasted so long, s.
    pub fn note(&mut self, frame_s: f32) {
        self.frames_s.push(frame_s);
        let looked_s: f32 = self.frames_s.iter().sum();
        if looked_s < LOOK_S || self.frames_s.len() < LOOK_FRAMES {
            return;
        }
        self.frames_s.sort_by(f32::total_cmp);
        let middle_s = self.frames_s[self.frames_s.len() / 2];
        self.frames_s.clear();
        self.since_step_up_s += looked_s;
        self.room_s = if middle_s < SHORT_S { self.room_s + looked_s } else { 0.0 };
        if middle_s > LONG_S && self.steps < COARSEST {
            self.steps += 1;
            let mistaken = self.since_step_up_s < PROVEN_S;
            self.patience_s = if mistaken { 2.0 * self.patience_s } else { PATIENCE_S };
            self.patience_s = self.patience_s.min(PATIENCE_AT_MOST_S);
        } else if self.steps > 0 && self.room_s >= self.patience_s {
            self.steps -= 1;
            (self.room_s, self.since_step_up_s) = (0.0, 0.0);
        }
    }

    /// The size of what is drawn inside a window of this size, px, as a share of it.
    pub fn inside(&self, window_px: Vec2) -> f32 {
        let least = (LEAST_INSIDE_PX / window_px.max(Vec2::ONE)).max_element().min(1.0);
        let share = self.steps.min(SIZES) as f32 / SIZES as f32;
        1.0 - share * (1.0 - least)
    }

    /// Whether there are shadows, where graphics are not plain.
    pub fn shadows(&self) -> bool {
        self.steps < COARSEST
    }
}

/// Lets the yards be drawn as finely as the machine can.
pub fn adapt(
    time: Res<Time<Real>>,
    session: Res<CurrentSession>,
    asked: Res<WindowInput>,
    mut detail: ResMut<Detail>,
) {
    if session.low_power() {
        *detail = Detail::coarsest();
    } else if asked.yards[0].is_positive() && session.pace() == Pace::Free {
        detail.note(time.delta_secs());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Vec2 = Vec2::new(1280.0, 720.0);

    /// Draws for so long at the frame time that a machine takes for the share that is drawn;
    /// gives how often the detail changed.
    fn draw(detail: &mut Detail, s: f32, frame_s: impl Fn(&Detail) -> f32) -> usize {
        let (mut passed_s, mut changes) = (0.0, 0);
        while passed_s < s {
            let (steps, frame_s) = (detail.steps, frame_s(detail));
            detail.note(frame_s);
            passed_s += frame_s;
            changes += usize::from(detail.steps != steps);
        }
        changes
    }

    #[test]
    fn at_fifteen_frames_a_second_it_steps_down_within_two_seconds_and_up_again_when_it_is_fast() {
        let mut detail = Detail::default();
        draw(&mut detail, 2.0, |_| 1.0 / 15.0);
        assert!(detail.inside(WINDOW) < 0.9, "{detail:?}");
        draw(&mut detail, 8.0, |_| 1.0 / 15.0);
        assert!(!detail.shadows());
        assert_eq!(detail.inside(WINDOW), 0.75, "and never below 960 x 540");
        draw(&mut detail, 20.0, |_| 1.0 / 60.0);
        assert!(detail.shadows());
        assert_eq!(detail.inside(WINDOW), 1.0);
    }

    /// The floor is one of size: a large window has further to go, a small one nowhere.
    #[test]
    fn the_floor_is_960_by_540_in_every_window() {
        let coarsest = Detail::coarsest();
        for (window, share) in
            [([1920.0, 1080.0], 0.5), ([1280.0, 1024.0], 0.75), ([800.0, 480.0], 1.0)]
        {
            assert_eq!(coarsest.inside(Vec2::from_array(window)), share);
        }
    }

    #[test]
    fn a_machine_that_holds_thirty_is_left_alone() {
        for per_s in [30.0, 36.0, 48.0, 60.0, 144.0] {
            let mut detail = Detail::default();
            assert_eq!(draw(&mut detail, 60.0, |_| 1.0 / per_s), 0, "{per_s}");
        }
    }

    #[test]
    fn one_long_frame_does_nothing() {
        for long_s in [0.1, 1.0, 30.0] {
            let mut detail = Detail::default();
            for frame in 0..600 {
                detail.note(if frame % 150 == 75 { long_s } else { 1.0 / 60.0 });
                assert_eq!(detail.steps, 0, "{long_s}");
            }
        }
    }

    /// A machine that fits a step or the next one, but no further: it settles, and what it tries
    /// grows rare.
    #[test]
    fn it_does_not_flicker_at_the_border() {
        // Whatever a frame in full takes; a display of 60 Hz shows whole ones of its own.
        for full_ms in 30..70 {
            let mut detail = Detail::default();
            let frame_s = |detail: &Detail| {
                let dots = detail.inside(WINDOW).powi(2);
                let shadows = if detail.shadows() { 1.0 } else { 0.8 };
                let needs_s = 1e-3 * full_ms as f32 * dots * shadows;
                (60.0 * needs_s).ceil() / 60.0
            };
            draw(&mut detail, 60.0, frame_s);
            let changes = draw(&mut detail, 120.0, frame_s);
            assert!(changes <= 6, "{full_ms} ms: {changes} changes in two minutes");
        }
        // One step holds 60 frames a second, the step above not even 30.
        let mut detail = Detail::default();
        let frame_s = |detail: &Detail| if detail.steps < 2 { 0.05 } else { 1.0 / 60.0 };
        draw(&mut detail, 60.0, frame_s);
        let changes = draw(&mut detail, 120.0, frame_s);
        assert!(changes <= 6, "{changes} changes in two minutes");
    }
}
