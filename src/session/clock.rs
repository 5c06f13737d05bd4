//! How fast the time of a lift goes on beside the clock on the wall.

/// Slow motion, as a share of real time.
pub(super) const SLOW_MOTION: f64 = 0.25;

/// What is judged is at least so much time, s, and so many frames.
const LOOK_S: f64 = 1.0;
const LOOK_FRAMES: usize = 5;
/// A machine that plays a smaller share of what was asked for is too slow. Less than a tenth is
/// not noticed, and a frame may be late.
const SLOW_BELOW: f64 = 0.9;

/// Holds the time that was played against the time that passed.
#[derive(Clone, Debug, Default)]
pub(super) struct Clock {
    passed_s: f64,
    asked_s: f64,
    played_s: f64,
    frames: usize,
    /// What came of the last two times, latest first: as a share of real time, and of what was
    /// asked for.
    seen: [Option<(f64, f64)>; 2],
}

impl Clock {
    /// Takes note of a frame: the time that passed on the wall, s, how many times as fast the lift
    /// was to go, and what was played, s.
    pub(super) fn note(&mut self, passed_s: f64, speed: f64, played_s: f64) {
        self.passed_s += passed_s;
        self.asked_s += passed_s * speed;
        self.played_s += played_s;
        self.frames += 1;
        if self.passed_s >= LOOK_S && self.frames >= LOOK_FRAMES {
            let now = (self.played_s / self.passed_s, self.played_s / self.asked_s);
            *self = Self { seen: [Some(now), self.seen[0]], ..Self::default() };
        }
    }

    /// The share of real time, where it is less than was asked for. It must be so twice in turn,
    /// so that one long frame says nothing; the better of the two is told.
    pub(super) fn slowed_to(&self) -> Option<f64> {
        let [Some((now, kept)), Some((before, kept_before))] = self.seen else { return None };
        (kept.max(kept_before) < SLOW_BELOW).then_some(now.max(before))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME_S: f64 = 1.0 / 60.0;

    fn played(share: f64, speed: f64) -> Clock {
        let mut clock = Clock::default();
        for _ in 0..200 {
            clock.note(FRAME_S, speed, FRAME_S * speed * share);
        }
        clock
    }

    #[test]
    fn the_share_of_real_time_is_told_where_the_machine_is_too_slow() {
        assert_eq!(played(1.0, 1.0).slowed_to(), None);
        assert_eq!(played(0.95, 1.0).slowed_to(), None);
        let told = played(0.6, 1.0).slowed_to().expect("it is told");
        assert!((told - 0.6).abs() < 1e-9, "{told}");
        assert_eq!(played(1.0, 0.25).slowed_to(), None, "slow motion is as asked for");
        let told = played(0.4, 0.25).slowed_to().expect("it is told");
        assert!((told - 0.1).abs() < 1e-9, "{told}");
    }

    #[test]
    fn one_long_frame_says_nothing() {
        let mut clock = Clock::default();
        for frame in 0..600 {
            clock.note(if frame % 200 == 100 { 3.0 } else { FRAME_S }, 1.0, FRAME_S);
            assert_eq!(clock.slowed_to(), None, "frame {frame}");
        }
    }
}
