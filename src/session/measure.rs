//! The size-up: tape, angle and height taken by hand in the yard, and questions to people who
//! know the vehicle.

use super::ray::Ray;
use crate::scene::Scene;
use crate::statics::sheet::{Row, RowGroup, RowQuantity, Sheet};
use crate::units::UnitSystem;
use crate::world::Sight;
use std::sync::Arc;

/// What is measured with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// Distance, rise and level run between two places.
    Tape,
    /// A face's angle against level.
    Angle,
    /// A place's height above the ground.
    Height,
}

/// What hands ask of it.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasureAction {
    /// Take up a tool, or lay it down.
    Tool(Tool),
    /// Measure where a line of sight meets something; none looks past the yard.
    Click(Option<Ray>),
    /// Remove all measurements.
    Forget,
    /// Ask a question, or put it away again.
    Ask(Question),
}

/// What can be asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// How heavy is it?
    Weight,
    /// What does it bear on?
    Bears,
    /// Where is its centre of mass?
    Centre,
    /// Who is trapped, and where?
    Trapped,
}

/// One measurement, places in the ground frame, m and rad.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasuredValue {
    /// From one place to another; the rise is along the plumb line.
    Tape {
        /// Where the tape begins.
        from: [f64; 3],
        /// Where it ends.
        to: [f64; 3],
        /// How much higher that is, m.
        rise_m: f64,
    },
    /// A face and its angle against level.
    Angle {
        /// Where it was taken.
        at: [f64; 3],
        /// The angle, rad.
        rad: f64,
    },
    /// A place above the ground.
    Height {
        /// The place.
        at: [f64; 3],
    },
}

/// What has been measured and asked on one scene.
#[derive(Default)]
pub struct Measure {
    /// The tool in use.
    pub tool: Option<Tool>,
    /// Where the tape was begun.
    pub from: Option<[f64; 3]>,
    /// What has been measured, the oldest first.
    pub taken: Vec<MeasuredValue>,
    /// The questions whose answers are open.
    pub open: Vec<Question>,
    /// What the sheet says of the vehicle as it lies.
    rows: Vec<Row>,
    rows_of: Option<(Arc<Scene>, UnitSystem)>,
}

/// The most measurements that stay on screen; the oldest goes first.
const MOST: usize = 6;

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

impl Measure {
    /// Takes a tool up, or lays it down.
    pub(super) fn take_up(&mut self, tool: Tool) {
        self.from = None;
        self.tool = (self.tool != Some(tool)).then_some(tool);
    }

    /// Opens a question's answer, or closes it.
    pub(super) fn ask(&mut self, question: Question) {
        if self.open.contains(&question) {
            self.open.retain(|q| *q != question);
        } else {
            self.open.push(question);
        }
    }

    /// Removes all measurements.
    pub(super) fn forget(&mut self) {
        self.taken.clear();
        self.from = None;
    }

    /// Measures where a ray met something; `plumb` points straight down.
    pub(super) fn touch(&mut self, sight: Sight, plumb: [f64; 3]) {
        let at = sight.point;
        let taken = match (self.tool, self.from) {
            (None, _) => return,
            (Some(Tool::Tape), None) => {
                self.from = Some(at);
                return;
            }
            (Some(Tool::Tape), Some(from)) => {
                self.from = None;
                MeasuredValue::Tape { from, to: at, rise_m: -dot(minus(at, from), plumb) }
            }
            (Some(Tool::Angle), _) => {
                let rad = dot(sight.normal, plumb).abs().min(1.0).acos();
                MeasuredValue::Angle { at, rad }
            }
            (Some(Tool::Height), _) => MeasuredValue::Height { at },
        };
        self.taken.push(taken);
        let more = self.taken.len().saturating_sub(MOST);
        self.taken.drain(..more);
    }

    /// What the sheet says of its weight.
    pub fn weight(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| *row.quantity() == RowQuantity::Weight)
    }

    /// What it bears on as it lies, each with its row of the sheet.
    pub fn bears_on(&self) -> impl Iterator<Item = (String, &Row)> {
        self.rows.iter().filter_map(|row| match row.quantity() {
            RowQuantity::BearsOn(on) => Some((on.to_string(), row)),
            _ => None,
        })
    }

    /// Works out what can be answered.
    pub(super) fn work_out(&mut self, scene: &Arc<Scene>, units: UnitSystem) {
        let fresh =
            self.rows_of.as_ref().is_some_and(|(s, u)| Arc::ptr_eq(s, scene) && *u == units);
        if fresh {
            return;
        }
        // For another scene: measurements of the last one do not apply.
        if self.rows_of.as_ref().is_some_and(|(s, _)| !Arc::ptr_eq(s, scene)) {
            self.forget();
        }
        self.rows = Sheet::new(scene, units).rows;
        self.rows.retain(|row| row.group == RowGroup::Vehicle);
        self.rows_of = Some((scene.clone(), units));
    }
}

impl MeasuredValue {
    /// In words, with its figures.
    pub fn say(&self, units: UnitSystem) -> String {
        match self {
            Self::Tape { from, to, rise_m } => {
                let length = dot(minus(*to, *from), minus(*to, *from)).sqrt();
                let run = (length * length - rise_m * rise_m).max(0.0).sqrt();
                format!(
                    "{}: {} level, {} {}",
                    units.gap(length),
                    units.gap(run),
                    units.gap(rise_m.abs()),
                    if *rise_m < 0.0 { "down" } else { "up" }
                )
            }
            Self::Angle { rad, .. } => format!("{} against level", units.angle(*rad)),
            Self::Height { at } => format!("{} above the ground", units.gap(at[1])),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sight(point: [f64; 3], normal: [f64; 3]) -> Sight {
        Sight { part: None, point, normal }
    }

    /// A tape over 3 m along and 4 m up is 5 m long; plumb decides what is up.
    #[test]
    fn val_a_tape_tells_distance_rise_and_run() {
        let mut m = Measure::default();
        m.take_up(Tool::Tape);
        let down = [0.0, -1.0, 0.0];
        m.touch(sight([0.0, 0.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert!(m.taken.is_empty(), "one end says nothing yet");
        m.touch(sight([3.0, 4.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[0].say(UnitSystem::Si), "5000 mm: 3000 mm level, 4000 mm up");
        // On a slope of 30 deg down to the nose a tape along the ground falls by a half.
        let slope = 30_f64.to_radians();
        let down = [slope.sin(), -slope.cos(), 0.0];
        m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        m.touch(sight([1.0, 0.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[1].say(UnitSystem::Si), "1000 mm: 866 mm level, 500 mm down");
        // The ground itself stands at the slope's angle.
        m.take_up(Tool::Angle);
        m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[2].say(UnitSystem::Si), "30.0° against level");
        m.take_up(Tool::Height);
        m.touch(sight([0.0, 0.254, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[3].say(UnitSystem::Us), "10.00 in above the ground");
        m.take_up(Tool::Height);
        assert_eq!(m.tool, None, "taken up twice it is laid down");
        for _ in 0..20 {
            m.tool = Some(Tool::Height);
            m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        }
        assert_eq!(m.taken.len(), MOST);
    }
}
