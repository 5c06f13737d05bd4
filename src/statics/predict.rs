//! What the sheet says that a played lift can be held against.

use super::gap;
use super::plan::Plan;
use super::sheet::Figure;
use crate::scene::{Lies, Order, Until};

/// What is foretold, by the scene's indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Load on a stack's top once the load is off the ground.
    StackAtStart(usize),
    StackAtFullHeight(usize),
    /// What the vehicle bears on besides the lift and trapped limbs: ground, void fill and
    /// chocks together. How they share it hangs on who is stiffer, not on statics.
    PivotAtStart,
    PivotAtFullHeight,
    /// Load on a limb before the lift.
    LimbBefore(usize),
    /// Rise of the lift points.
    Rise,
    GapAtFullHeight(usize),
    BagPressure(usize),
    BagHeight(usize),
    /// How far the vehicle stands with its nose down, or on its side or its wheels how far it
    /// has turned about its tyres.
    Turned,
    FreeAir,
    Time,
}

#[derive(Clone, Debug)]
pub struct Prediction {
    pub asked: Asked,
    pub what: String,
    pub figure: Figure,
}

/// A moment at which a played lift is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moment {
    /// The load has risen so far, m.
    Risen(f64),
    /// A limb has this gap, m.
    Freed { limb: usize, gap_m: f64 },
}

/// When the start of a lift is read, and its full height: by what the order that ends there
/// asks for.
pub fn moments(plan: &Plan) -> Option<[Moment; 2]> {
    let lift = plan.lift.as_ref()?;
    let last = lift.highest()?;
    let full = match &plan.scene.orders[last.order] {
        Order::Raise { until: Until::Gap { limb, m }, .. } if last.stuck.is_none() => {
            Moment::Freed { limb: *limb, gap_m: *m }
        }
        _ => Moment::Risen(lift.rise_m),
    };
    Some([Moment::Risen(lift.off_m), full])
}

/// Everything that can be read off a played lift; nothing where no order lifts.
pub fn predictions(plan: &Plan) -> Vec<Prediction> {
    let scene = &plan.scene;
    let Some((lift, last)) = plan.lift.as_ref().and_then(|l| Some((l, l.highest()?))) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let mut add = |asked, what: String, figure| out.push(Prediction { asked, what, figure });
    let (start, end) = (lift.at(lift.off_m), lift.end());
    for (i, limb) in scene.limbs.iter().enumerate() {
        let load = Figure::Force(plan.on_limb_n(&plan.start, i));
        add(Asked::LimbBefore(i), format!("{}: load before the lift", limb.name), load);
    }
    for point in &lift.points {
        let (s, name) = (point.stack, &scene.stacks[point.stack].name);
        let load = |state| Figure::Force(lift.force_n(point, state) + point.dead_n);
        add(Asked::StackAtStart(s), format!("{name}: load at the start"), load(&start));
        add(Asked::StackAtFullHeight(s), format!("{name}: load at full height"), load(&end));
    }
    let pivot =
        |state| Figure::Force(plan.on_ground_n(state) + plan.on_fill_n(state) + state.braced.up_n);
    add(Asked::PivotAtStart, "on ground and void fill at the start".into(), pivot(&start));
    add(Asked::PivotAtFullHeight, "on ground and void fill at full height".into(), pivot(&end));
    add(Asked::Rise, "rise at full height".into(), Figure::Gap(lift.rise_m));
    let turned = match scene.lies {
        Lies::Roof => ("nose-down angle at full height", end.lie.pitch_rad),
        _ => ("turned about its tyres at full height", lift.turn_rad(&end)),
    };
    add(Asked::Turned, turned.0.into(), Figure::Angle(turned.1));
    for (i, limb) in scene.limbs.iter().enumerate() {
        if let Some(gap) = gap::gap_m(&scene.vehicle, end.lie, limb) {
            add(Asked::GapAtFullHeight(i), format!("{}: gap", limb.name), Figure::Gap(gap));
        }
    }
    for &b in lift.points.iter().flat_map(|p| &p.bags) {
        let (name, now) = (&scene.bags[b].name, last.bags[b]);
        add(Asked::BagHeight(b), format!("{name}: height"), Figure::Gap(now.gap_m));
        add(Asked::BagPressure(b), format!("{name}: pressure"), Figure::Air(now.gauge_pa));
    }
    add(Asked::FreeAir, "free air used".into(), Figure::Volume(lift.air_used_m3(scene)));
    let waited: f64 = scene
        .orders
        .iter()
        .take(last.order)
        .map(|order| match order {
            Order::Wait { until: Until::For(s), .. } => *s,
            _ => 0.0,
        })
        .sum();
    let until = lift.steps.iter().take_while(|s| s.order <= last.order);
    let filled: f64 = until.map(|s| s.time_s).sum();
    add(Asked::Time, "time to full height".into(), Figure::Time(filled + waited));
    out
}
