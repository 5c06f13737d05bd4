//! The side to which a vehicle would go while it is lifted, where chocks have to hold it.

use super::record::Record;
use crate::scene::StrapEnd;
use crate::snapshot::Snapshot;
use crate::tables::SNUG_M;

/// A lift nearer than this to the centre of mass has no far end, m (assumed): a chock at either
/// holds it.
const MIDDLE_M: f64 = 0.3;
/// A flatter slope drives nothing, rad (assumed: 1 deg).
const LEVEL_RAD: f64 = std::f64::consts::PI / 180.0;

/// What stands no further from the vehicle stands hard up against it, m (a finger's breadth;
/// common practice, no source): a vehicle that has room to move has moved before anything holds it.
pub(super) const HARD_UP_M: f64 = 0.015;

/// The side to which a vehicle would go: along X, or along Z where it lies on its side, as chocks
/// reach.
#[derive(Clone, Copy)]
pub(super) struct Going {
    axis: usize,
    /// The vehicle's centre of mass that way before the lift, m.
    middle_m: f64,
    /// The way it would go, by its sign; zero where either side may be meant.
    way: f64,
    /// A slope drives it that way.
    pub downhill: bool,
}

impl Going {
    /// Away from where it is lifted; none where there is no bag.
    pub fn from_the_lift(record: &Record<'_>) -> Option<Self> {
        let (com, arm) = record.lever()?;
        let axis = usize::from(record.scene.lies.on_side());
        let way = if arm[axis].abs() < MIDDLE_M { 0.0 } else { arm[axis] };
        Some(Self { axis, middle_m: com[axis], way, downhill: false })
    }

    /// Down a slope, and away from where it is lifted where there is none.
    pub fn of(record: &Record<'_>) -> Option<Self> {
        let lifted = Self::from_the_lift(record)?;
        let ground = &record.scene.ground;
        let slope_rad = [ground.slope_rad, ground.cross_slope_rad][lifted.axis];
        let downhill = slope_rad.abs() >= LEVEL_RAD;
        Some(if downhill { Self { way: slope_rad, downhill, ..lifted } } else { lifted })
    }

    /// Whether a place lies on that side.
    pub fn is_at(&self, at: [f64; 2]) -> bool {
        self.way == 0.0 || (at[self.axis] - self.middle_m) * self.way > 0.0
    }

    /// How many step chocks stand snug there. They hold by friction alone; down a slope that is no
    /// chock.
    pub fn snug_steps(&self, record: &Record<'_>, now: &Snapshot) -> usize {
        let steps = record.scene.step_chocks.iter().zip(&now.step_chocks);
        let there =
            steps.filter(|(chock, state)| self.is_at(chock.at) && state.clearance_m < SNUG_M);
        if self.downhill { 0 } else { there.count() }
    }

    /// How many struts stand there whose feet are tied or staked. Down a slope a strut, which
    /// turns about its foot, is no chock.
    pub fn tied_struts(&self, record: &Record<'_>) -> usize {
        let struts = record.scene.struts.iter().enumerate();
        let there = struts.filter(|(i, s)| self.is_at(s.at) && record.holds_of_foot(*i) > 0);
        if self.downhill { 0 } else { there.count() }
    }

    /// The least room between the vehicle and a chock that is set there, m; none where no chock
    /// is, or none that the vehicle is as low as.
    pub fn chock_gap_m(&self, record: &Record<'_>, now: &Snapshot) -> Option<f64> {
        let chocks = record.scene.chocks.iter().zip(&now.chocks);
        let there = chocks.filter(|(chock, _)| self.is_at(chock.at));
        there.filter_map(|(_, state)| state.gap_m).reduce(f64::min)
    }
}

/// How many struts and straps hold the vehicle against going a way along X (axis 0) or Z (axis 1),
/// which its sign tells: struts on that side that lean against it and whose feet are tied or
/// staked, and straps to the ground that pull the other way.
pub(super) fn braces(record: &Record<'_>, now: &Snapshot, axis: usize, way: f64) -> usize {
    let scene = record.scene;
    let middle_m = now.vehicle.com[2 * axis];
    let struts = scene.struts.iter().enumerate().filter(|(i, strut)| {
        let (out_m, leans_m) = (strut.at[axis] - middle_m, strut.at[axis] - strut.head[axis]);
        out_m * way > 0.0 && leans_m * way > 0.0 && record.holds_of_foot(*i) > 0
    });
    let straps = scene.straps.iter().filter(|strap| {
        let pulls_m = match strap.ends {
            [StrapEnd::Vehicle(from), StrapEnd::Ground(to)]
            | [StrapEnd::Ground(to), StrapEnd::Vehicle(from)] => to[axis] - from[2 * axis],
            _ => 0.0,
        };
        pulls_m * way < 0.0
    });
    struts.count() + straps.count()
}
