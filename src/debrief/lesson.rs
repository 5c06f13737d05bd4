//! A scene's lesson with the numbers of a played lift in it.

use crate::scene::{LessonNumber, LessonQuantity, Scene, TextPiece};
use crate::snapshot::{Finding, NearestApproach, Reading, Snapshot};
use crate::units::{Dimension, UnitSystem};

/// What a lesson's numbers are read off.
pub struct Readings<'a> {
    pub scene: &'a Scene,
    /// The moments of the lift in turn, the first from before the orders.
    pub history: &'a [&'a Snapshot],
    pub findings: &'a [Finding],
    pub nearest_approaches: &'a [NearestApproach],
    /// What its twin is called; by its file's name where none is given.
    pub twin: Option<&'a str>,
    pub units: UnitSystem,
}

impl Readings<'_> {
    /// What the lesson says after the lift, with its numbers.
    pub fn after(&self) -> String {
        let say = |piece: &TextPiece| match piece {
            TextPiece::Words(words) => words.clone(),
            TextPiece::Number(measure) => {
                let reading = self.read(measure);
                reading.map_or("(no number)".into(), |r| self.units.show(r.dimension, r.value))
            }
        };
        self.scene.lesson.after.iter().map(say).collect()
    }

    /// The lines about a lesson once it has been played, what it teaches first.
    pub fn lines(&self) -> Vec<String> {
        let lesson = &self.scene.lesson;
        let decided = self.decided().map(|d| format!("Deciding figure: {d}."));
        let near = lesson.near.then(|| {
            "A near thing: mass, friction, place or sheet metal within their spreads may turn \
             it."
            .to_owned()
        });
        let twin = lesson.twin.as_deref().map(|file| self.twin.unwrap_or(file));
        let twin = twin.map(|t| format!("Paired lesson (one change, opposite result): {t}."));
        let teaches = Some(self.scene.teaches.clone()).filter(|teaches| !teaches.is_empty());
        let after = Some(self.after()).filter(|after| !after.is_empty());
        [teaches, after, decided, near, twin].into_iter().flatten().collect()
    }

    /// The number that decides, against its limit.
    pub fn decided(&self) -> Option<String> {
        let measure = self.scene.lesson.decides.as_ref()?;
        let reading = self.read(measure)?;
        let show = |si| self.units.show(reading.dimension, si);
        let against = match (measure.what, reading.limit) {
            (LessonQuantity::Gap, Some(limit)) => format!(", {} needed", show(limit)),
            (_, Some(limit)) => format!(", limit {}", show(limit)),
            (_, None) => String::new(),
        };
        Some(format!("{}: {}{against}", name(measure), show(reading.value)))
    }

    /// Reads one number; none where the lift has no such thing.
    pub fn read(&self, measure: &LessonNumber) -> Option<Reading> {
        let of = measure.of.as_deref();
        let came = |cause| {
            let share = |r: &NearestApproach| r.value / r.limit;
            self.nearest_approaches
                .iter()
                .filter(|r| r.cause == cause && of.is_none_or(|of| of == r.part))
                .max_by(|a, b| share(a).total_cmp(&share(b)))
        };
        let plain = |dimension, value| Some(Reading { dimension, value, limit: None });
        let scene = self.scene;
        let limb = || scene.limbs.iter().position(|l| Some(l.name.as_str()) == of);
        let stack = || scene.stacks.iter().position(|s| Some(s.name.as_str()) == of);
        let capture = || scene.captures.iter().position(|c| Some(c.name.as_str()) == of);
        let bag = || scene.bags.iter().position(|b| Some(b.name.as_str()) == of);
        match measure.what {
            LessonQuantity::Came(cause) => {
                let r = came(cause)?;
                Some(Reading { dimension: r.dimension, value: r.value, limit: Some(r.limit) })
            }
            LessonQuantity::Limit(cause) => came(cause).and_then(|r| plain(r.dimension, r.limit)),
            LessonQuantity::Gap => {
                let limb = limb()?;
                let value = self.history.last()?.limbs.get(limb)?.gap_m;
                let limit = Some(scene.limbs[limb].gap_needed_m);
                Some(Reading { dimension: Dimension::Length, value, limit })
            }
            LessonQuantity::StartLoad => {
                plain(Dimension::Force, self.history.first()?.limbs.get(limb()?)?.load_n)
            }
            LessonQuantity::Load => {
                let most = match (stack(), capture()) {
                    (Some(s), _) => self.most(|now| now.stacks.get(s).map(|s| s.load_n)),
                    (None, Some(c)) => self.most(|now| now.captures.get(c).map(|c| c.load_n)),
                    _ => None,
                };
                plain(Dimension::Force, most?)
            }
            LessonQuantity::Lean => {
                let s = stack()?;
                plain(Dimension::Length, self.most(|now| Some(now.stacks.get(s)?.lean_m))?)
            }
            LessonQuantity::Thrust => {
                let s = stack()?;
                let least = |now: &Snapshot| Some(-now.stacks.get(s)?.least_margin_m()?);
                plain(Dimension::Length, -self.most(least)?)
            }
            LessonQuantity::Height => {
                let b = bag()?;
                plain(Dimension::Length, self.most(|now| Some(now.bags.get(b)?.height_m))?)
            }
            LessonQuantity::Pressure => {
                let b = bag()?;
                plain(Dimension::Pressure, self.most(|now| Some(now.bags.get(b)?.gauge_pa))?)
            }
            LessonQuantity::Force => {
                let b = bag()?;
                plain(Dimension::Force, self.most(|now| Some(now.bags.get(b)?.force_n))?)
            }
            LessonQuantity::Tilt => {
                let b = bag()?;
                plain(Dimension::Angle, self.most(|now| Some(now.bags.get(b)?.tilt_rad))?)
            }
            LessonQuantity::Rise => plain(Dimension::Length, self.most(|now| Some(now.rise_m))?),
            LessonQuantity::Time => plain(Dimension::Time, self.until_s()),
        }
    }

    /// When the first thing that went wrong was noticed, or the end, s.
    fn until_s(&self) -> f64 {
        let first = self.findings.iter().map(|f| f.t_s).min_by(f64::total_cmp);
        first.unwrap_or_else(|| self.history.last().map_or(0.0, |now| now.t_s))
    }

    /// The largest value up to when the first thing went wrong: what comes after tells
    /// nothing of why.
    fn most(&self, value: impl Fn(&Snapshot) -> Option<f64>) -> Option<f64> {
        let until_s = self.until_s();
        let before = self.history.iter().filter(|now| now.t_s <= until_s + 1e-9);
        before.filter_map(|now| value(now)).max_by(f64::total_cmp)
    }
}

/// The measure in words.
pub fn name(measure: &LessonNumber) -> String {
    use crate::scene::Cause;
    let words = match measure.what {
        LessonQuantity::Came(cause) | LessonQuantity::Limit(cause) => match cause {
            Cause::Slide => "travel over the ground",
            Cause::Roll => "roll of the vehicle",
            Cause::KickOut => "movement off the seat",
            Cause::Topple => "movement of the stack's top",
            Cause::Drop => "fall of the load",
            Cause::CasualtyLoad => "load on the limb",
            Cause::BagOverload => "demand on the bag",
            Cause::Sink => "depth of the base's deepest corner",
            Cause::Crush => "crushing where timbers cross",
            Cause::Strut => "load or slip of the strut",
            Cause::Strap => "pull of the strap",
            Cause::Beam => "bending stress in the beam",
        },
        LessonQuantity::Gap => "gap",
        LessonQuantity::StartLoad => "load before the lift",
        LessonQuantity::Load => "load",
        LessonQuantity::Lean => "lean",
        LessonQuantity::Thrust => "thrust line inside the edge",
        LessonQuantity::Height => "height",
        LessonQuantity::Pressure => "pressure",
        LessonQuantity::Force => "force",
        LessonQuantity::Tilt => "tilt",
        LessonQuantity::Rise => "rise",
        LessonQuantity::Time => "time",
    };
    match &measure.of {
        Some(of) => format!("{words} ({of})"),
        None => words.to_owned(),
    }
}
