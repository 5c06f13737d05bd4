//! Timber crushed across the grain where two timbers of a crib cross: elastic in the
//! engine's contacts up to what the wood bears there, then the crossing keeps a set, and
//! the timbers grow thinner by it. Driven by the forces that the contacts measure; no body
//! or joint is added, and a face is only ever drawn back, so that nothing is thrown.

use super::bodies::Bodies;
use super::engine::Engine;
use super::shapes::collider;
use super::yielding::yielded_m;
use crate::scene::Scene;
use crate::snapshot::{CrossingState, Load, PartId, PartKind, Shape};

/// Share of what a crossing would have to give that it gives in one tick. The engine's contacts
/// are stiffer than the wood from which the set is computed; giving all at once would let go of
/// the load and catch it again.
const EASE: f64 = 0.3;
/// Past this share of the two half timbers all cells are crushed, and the wood bears any load
/// (assumed).
const DENSE_SHARE: f64 = 0.4;
/// Colliders are cut again when a set has grown by this, m.
const CUT_M: f64 = 2e-5;

/// What has been crushed, and what cracks have left of the stacks.
#[derive(Clone, Default)]
pub(super) struct Crushing {
    /// Crossings of timbers that have been crushed.
    crossings: Vec<CrushedCrossing>,
    /// The share of each stack's strength that a crack has left.
    stacks_left: Vec<f64>,
}

/// Two timbers that cross, by their parts, and what has stayed of the crushing.
#[derive(Clone)]
struct CrushedCrossing {
    lower: PartId,
    upper: PartId,
    set_m: f64,
    /// The set to which the colliders have been cut, m.
    cut_m: f64,
}

/// A level timber of a crib: its half sizes, and whether it lies along X.
fn timber_of(bodies: &Bodies, part: PartId) -> Option<([f64; 3], bool)> {
    let part = &bodies.parts[part];
    let crib = matches!(
        part.kind,
        PartKind::StackTimber { .. } | PartKind::CaptureTimber { .. } | PartKind::VoidFill(_)
    );
    match part.shape {
        Shape::Box(half) if crib => Some((half, half[0] > half[2])),
        _ => None,
    }
}

impl Crushing {
    /// Nothing crushed or cracked yet.
    pub fn new(stacks: usize) -> Self {
        Self { crossings: Vec::new(), stacks_left: vec![1.0; stacks] }
    }

    /// A crack leaves this share of a stack's strength.
    pub fn crack(&mut self, stack: usize, left: f64) {
        self.stacks_left[stack] = left;
    }

    /// What is left of a part's strength across the grain, a hidden crack counted in.
    fn strength_share(&self, scene: &Scene, kind: PartKind) -> f64 {
        match kind {
            PartKind::StackTimber { stack, .. } => {
                scene.stacks[stack].strength_share * self.stacks_left[stack]
            }
            _ => 1.0,
        }
    }

    /// What has stayed of the crushing between two timbers.
    fn find(&self, state: &CrossingState) -> Option<&CrushedCrossing> {
        self.crossings.iter().find(|c| (c.lower, c.upper) == (state.lower, state.upper))
    }

    /// What each crossing bears now.
    pub fn states(&self, bodies: &Bodies, scene: &Scene, loads: &[Load]) -> Vec<CrossingState> {
        let mut states: Vec<CrossingState> = Vec::new();
        for load in loads {
            let Some(by) = load.by else { continue };
            let (Some((a, along_a)), Some((b, along_b))) =
                (timber_of(bodies, load.on), timber_of(bodies, by))
            else {
                continue;
            };
            if along_a == along_b {
                continue;
            }
            // A load pushes its part away from the other: up where that lies below.
            let up = load.force[1] > 0.0;
            let (lower, upper) = if up { (by, load.on) } else { (load.on, by) };
            let n = load.force[1].abs();
            // The contacts of two parts follow on each other.
            let known = states.iter_mut().rev().find(|s| (s.lower, s.upper) == (lower, upper));
            if let Some(state) = known {
                state.force_n += n;
                continue;
            }
            let area_m2 = 4.0 * a[0].min(a[2]) * b[0].min(b[2]);
            let [of_lower, of_upper] =
                [lower, upper].map(|part| self.strength_share(scene, bodies.parts[part].kind));
            let mut state = CrossingState {
                lower,
                upper,
                at: load.point,
                force_n: n,
                area_m2,
                bears_pa: scene.wood.bearing_pa * of_lower.min(of_upper),
                set_m: 0.0,
            };
            state.set_m = self.find(&state).map_or(0.0, |c| c.set_m);
            states.push(state);
        }
        states
    }

    /// Lets every crossing that bears more than its wood does give way a little. `across_pa`
    /// is the wood's stiffness across the grain.
    pub fn advance(
        &mut self,
        engine: &mut Engine,
        bodies: &Bodies,
        across_pa: f64,
        states: &[CrossingState],
    ) {
        let mut cut = Vec::new();
        for state in states {
            self.crush(bodies, across_pa, state, &mut cut);
        }
        cut.sort_unstable();
        cut.dedup();
        cut.into_iter().for_each(|part| self.cut(engine, bodies, states, part));
    }

    fn crush(
        &mut self,
        bodies: &Bodies,
        across_pa: f64,
        state: &CrossingState,
        cut: &mut Vec<PartId>,
    ) {
        let (Some((a, _)), Some((b, _))) =
            (timber_of(bodies, state.lower), timber_of(bodies, state.upper))
        else {
            return;
        };
        let depth_m = a[1] + b[1];
        let plateau_n = state.bears_pa * state.area_m2;
        let stiffness = across_pa * state.area_m2 / depth_m;
        let grows = EASE * yielded_m(state.force_n / stiffness, stiffness, plateau_n);
        if grows <= 0.0 {
            return;
        }
        let known = |c: &CrushedCrossing| (c.lower, c.upper) == (state.lower, state.upper);
        let index = self.crossings.iter().position(known).unwrap_or_else(|| {
            let (lower, upper) = (state.lower, state.upper);
            self.crossings.push(CrushedCrossing { lower, upper, set_m: 0.0, cut_m: 0.0 });
            self.crossings.len() - 1
        });
        let crossing = &mut self.crossings[index];
        crossing.set_m = (crossing.set_m + grows).min(DENSE_SHARE * depth_m);
        if crossing.set_m - crossing.cut_m > CUT_M {
            crossing.cut_m = crossing.set_m;
            cut.extend([state.lower, state.upper]);
        }
    }

    /// Cuts a timber's collider to the sets of its crossings: each takes half of a set, and
    /// top and bottom are planes laid through the crossings on them. The part is drawn
    /// whole: crushed timbers bite into each other.
    fn cut(&self, engine: &mut Engine, bodies: &Bodies, states: &[CrossingState], part: PartId) {
        let Some((half, along_x)) = timber_of(bodies, part) else { return };
        let axis = if along_x { 0 } else { 2 };
        let here = engine.pose(bodies.handles[part]);
        let face = |top: bool| {
            let sets: Vec<(f64, f64)> = states
                .iter()
                .filter_map(|state| {
                    let (own, other) =
                        if top { (state.lower, state.upper) } else { (state.upper, state.lower) };
                    let at = here.local(engine.pose(bodies.handles[other]).at())[axis];
                    (own == part).then(|| (at, self.find(state).map_or(0.0, |c| c.cut_m / 2.0)))
                })
                .collect();
            let (middle, slope) = line(&sets);
            let long = half[axis];
            [-long, long].map(|s| (middle + slope * s).clamp(-half[1] / 2.0, half[1] / 2.0))
        };
        let (bottom, top) = (face(false), face(true));
        let corners = [[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]];
        let corner = |[x, z]: [f64; 2], up: bool| {
            let end = usize::from(if along_x { x > 0.0 } else { z > 0.0 });
            let y = if up { half[1] - top[end] } else { bottom[end] - half[1] };
            [x * half[0], y, z * half[2]]
        };
        let points = corners.map(|c| corner(c, false)).into_iter();
        let points = points.chain(corners.map(|c| corner(c, true))).collect();
        let Some(builder) = collider(&Shape::Hull(points)) else { return };
        engine.reshape(bodies.handles[part], builder);
    }
}

/// The straight line that lies nearest to some points: its height at 0 and its slope.
fn line(points: &[(f64, f64)]) -> (f64, f64) {
    let count = points.len().max(1) as f64;
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(&|p| p.0), mean(&|p| p.1));
    let (xx, xy) = (mean(&|p| (p.0 - x).powi(2)), mean(&|p| (p.0 - x) * (p.1 - y)));
    let slope = if xx > 1e-6 { xy / xx } else { 0.0 };
    (y - slope * x, slope)
}
