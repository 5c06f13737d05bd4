//! The sheet's predictions that a played lift can be compared with.

use super::gap;
use super::plan::Plan;
use super::sheet::Figure;
use crate::scene::{Order, RestsOn, Scene, Until};

/// What is predicted, by the scene's indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PredictedQuantity {
    /// Load on a stack's top once the load is off the ground.
    StackAtStart(usize),
    StackAtFullHeight(usize),
    /// What the vehicle bears on besides the lift and trapped limbs: ground, void fill, struts
    /// and chocks together. How they share it depends on which is stiffer, not on statics.
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

impl PredictedQuantity {
    /// Its name, with the parts of the scene that it is foretold for.
    pub fn name(self, scene: &Scene) -> String {
        let stack = |s: usize| &scene.stacks[s].name;
        let limb = |l: usize| &scene.limbs[l].name;
        let bag = |b: usize| &scene.bags[b].name;
        match self {
            Self::StackAtStart(s) => format!("{}: load at the start", stack(s)),
            Self::StackAtFullHeight(s) => format!("{}: load at full height", stack(s)),
            Self::PivotAtStart => "on ground, void fill and struts at the start".into(),
            Self::PivotAtFullHeight => "on ground, void fill and struts at full height".into(),
            Self::LimbBefore(l) => format!("{}: load before the lift", limb(l)),
            Self::Rise => "rise at full height".into(),
            Self::GapAtFullHeight(l) => format!("{}: gap", limb(l)),
            Self::BagPressure(b) => format!("{}: pressure", bag(b)),
            Self::BagHeight(b) => format!("{}: height", bag(b)),
            Self::Turned if scene.lies == RestsOn::Roof => "nose-down angle at full height".into(),
            Self::Turned => "turned about its tyres at full height".into(),
            Self::FreeAir => "free air used".into(),
            Self::Time => "time to full height".into(),
        }
    }
}

/// One figure that is foretold.
#[derive(Clone, Copy, Debug)]
pub struct PredictedFigure {
    pub quantity: PredictedQuantity,
    pub figure: Figure,
}

/// A moment at which a played lift is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadAt {
    /// The load has risen so far, m.
    Risen(f64),
    /// A limb has this gap, m.
    Freed { limb: usize, gap_m: f64 },
}

/// When the start of a lift is read, and its full height: by what the order that ends there
/// asks for.
pub fn moments(plan: &Plan) -> Option<[ReadAt; 2]> {
    let lift = plan.lift.as_ref()?;
    let last = lift.highest()?;
    let full = match &plan.scene.orders()[last.order] {
        Order::Raise { until: Until::Gap { limb, m }, .. } if last.stuck.is_none() => {
            ReadAt::Freed { limb: *limb, gap_m: *m }
        }
        _ => ReadAt::Risen(lift.rise_m),
    };
    Some([ReadAt::Risen(lift.off_m), full])
}

/// Everything that can be read off a played lift; nothing where no order lifts.
pub fn predictions(plan: &Plan) -> Vec<PredictedFigure> {
    use PredictedQuantity as Of;
    let scene = &plan.scene;
    let Some((lift, last)) = plan.lift.as_ref().and_then(|l| Some((l, l.highest()?))) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let mut add = |quantity, figure| out.push(PredictedFigure { quantity, figure });
    let (start, end) = (lift.at(lift.off_m), lift.end());
    for i in 0..scene.limbs.len() {
        add(Of::LimbBefore(i), Figure::Load(plan.on_limb_n(&plan.start, i)));
    }
    for point in &lift.points {
        let load = |state| Figure::Load(lift.force_n(point, state) + point.dead_n);
        add(Of::StackAtStart(point.stack), load(&start));
        add(Of::StackAtFullHeight(point.stack), load(&end));
    }
    let pivot = |state| Figure::Load(plan.stands_n(state) + state.braced.up_n);
    add(Of::PivotAtStart, pivot(&start));
    add(Of::PivotAtFullHeight, pivot(&end));
    add(Of::Rise, Figure::Gap(lift.rise_m));
    let turned = match scene.lies() {
        RestsOn::Roof => end.side_pose.pitch_rad,
        _ => lift.turn_rad(&end),
    };
    add(Of::Turned, Figure::Angle(turned));
    for i in 0..scene.limbs.len() {
        if let Some(gap) = gap::gap_m(scene, end.side_pose, end.roll, i) {
            add(Of::GapAtFullHeight(i), Figure::Gap(gap));
        }
    }
    for &b in lift.points.iter().flat_map(|p| &p.bags) {
        add(Of::BagHeight(b), Figure::Gap(last.bags[b].gap_m));
        add(Of::BagPressure(b), Figure::Air(last.bags[b].gauge_pa));
    }
    add(Of::FreeAir, Figure::Volume(lift.air_used_m3()));
    let waited: f64 = scene
        .orders()
        .iter()
        .take(last.order)
        .map(|order| match order {
            Order::Wait { until: Until::For(s), .. } => *s,
            _ => 0.0,
        })
        .sum();
    let until = lift.steps.iter().take_while(|s| s.order <= last.order);
    let filled: f64 = until.map(|s| s.time_s).sum();
    add(Of::Time, Figure::Time(filled + waited));
    out
}
