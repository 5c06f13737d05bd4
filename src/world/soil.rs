//! Soil that gives way under the bases: one plate of earth a base, on a bed of points that
//! are elastic up to what the soil bears and then keep their set. A base that is loaded off
//! its middle leans. Hard ground has none of this.

use super::bedding::EARTH_KG;
use super::bodies::Bodies;
use super::engine::{
    BodySpec, ColliderBuilder, Engine, Friction, Groups, Mass, Pose, Real, RigidBodyHandle,
    Rotation,
};
use super::shapes::vector;
use super::yielding::{Law, YieldingSupport};
use crate::scene::{Chock, Crib, Scene, SolePlate};
use crate::snapshot::{BaseState, Footing};
use crate::tables::{Bed, FIRM_M, Material};

const EARTH_HALF_M: f64 = 0.05;
/// A plate reaches this far beyond its base, so that a base that slides stays on it, m; but
/// no further than half-way to the next base.
const BEYOND_M: f64 = 0.15;
/// Points of a bearing timber along its length, and of a sole plate either way.
const POINTS: usize = 4;

/// The soil under every base of the scene; nothing on hard ground.
#[derive(Clone, Default)]
pub(super) struct Soil {
    bases: Vec<BaseOnSoil>,
}

/// A base and the soil under it.
#[derive(Clone)]
struct BaseOnSoil {
    of: Footing,
    capacity_n: f64,
    bed: YieldingSupport,
}

/// What a base presses on: rectangles by their middle and half size, m.
struct BaseLayout {
    of: Footing,
    at: [f64; 2],
    /// Half of what it covers.
    half: [f64; 2],
    /// Half of each bearing strip, and the strips' middles from `at`.
    strip: [f64; 2],
    middles: Vec<[f64; 2]>,
}

impl BaseLayout {
    /// A crib's lowest timbers, which lie along X.
    fn crib(of: Footing, crib: Crib, members: usize) -> Self {
        let long = crib.length_m / 2.0;
        let middles = crib.offsets_m(members).into_iter().map(|z| [0.0, z]).collect();
        let strip = [long, crib.timber.width_m / 2.0];
        Self { of, at: crib.at, half: [long; 2], strip, middles }
    }

    /// Points that stand for equal shares of the bearing area, from `at`.
    fn points(&self) -> Vec<[f64; 2]> {
        let across = if self.middles.len() == 1 { POINTS } else { 1 };
        let spread =
            |half: f64, count: usize, i: usize| half * ((2 * i + 1) as f64 / count as f64 - 1.0);
        let mut points = Vec::new();
        for [x, z] in &self.middles {
            for i in 0..POINTS {
                for j in 0..across {
                    let [dx, dz] =
                        [spread(self.strip[0], POINTS, i), spread(self.strip[1], across, j)];
                    points.push([x + dx, z + dz]);
                }
            }
        }
        points
    }

    fn area_m2(&self) -> f64 {
        4.0 * self.strip[0] * self.strip[1] * self.middles.len() as f64
    }
}

/// Every base of a scene whose vehicle has its middle at `middle`, and the `snug` step of each step
/// chock, seen from above.
fn plans(scene: &Scene, middle: [f64; 2], snug: &[Option<usize>]) -> Vec<BaseLayout> {
    let plan = |of, crib: Crib, members, sole: Option<SolePlate>| match sole {
        None => BaseLayout::crib(of, crib, members),
        Some(sole) => {
            let (half, strip) = (sole.size, sole.bears_m(crib.length_m));
            let [half, strip] = [half, strip].map(|sides| sides.map(|side| side / 2.0));
            BaseLayout { of, at: crib.at, half, strip, middles: vec![[0.0; 2]] }
        }
    };
    let stacks = scene
        .stacks
        .iter()
        .enumerate()
        .map(|(i, s)| plan(Footing::Stack(i), s.crib_of(0), s.members, s.sole));
    let fills = scene.void_fill.iter().enumerate();
    let fills = fills.map(|(i, f)| plan(Footing::VoidFill(i), f.crib(), 2, f.sole));
    let captures = scene.captures.iter().enumerate();
    let captures = captures.map(|(i, c)| plan(Footing::Capture(i), c.lowest_crib(), 2, c.sole));
    let chocks = scene.chocks.iter().enumerate().map(|(i, c)| {
        let (away, [depth, _, width]) = (c.away(scene.lies, middle), Chock::SIZE_M);
        let at = [0, 1].map(|k| c.at[k] + away[k] * depth / 2.0);
        let half = away.map(|way| if way == 0.0 { width / 2.0 } else { depth / 2.0 });
        BaseLayout { of: Footing::Chock(i), at, half, strip: half, middles: vec![[0.0; 2]] }
    });
    let steps = scene.step_chocks.iter().zip(snug).enumerate();
    let steps = steps.filter_map(|(i, (s, step))| {
        let half = s.size_m().map(|side| side / 2.0);
        let at = s.middle((*step)?, s.away(middle));
        let of = Footing::StepChock(i);
        Some(BaseLayout { of, at, half, strip: half, middles: vec![[0.0; 2]] })
    });
    let struts = scene.struts.iter().enumerate().map(|(i, s)| {
        let half = [s.plate_m / 2.0; 2];
        BaseLayout { of: Footing::Strut(i), at: s.at, half, strip: half, middles: vec![[0.0; 2]] }
    });
    stacks.chain(fills).chain(captures).chain(chocks).chain(steps).chain(struts).collect()
}

/// Half of the way from one base to the next, seen along X or along Z, m.
fn half_way_m(plan: &BaseLayout, other: &BaseLayout) -> f64 {
    let apart = |k: usize| (plan.at[k] - other.at[k]).abs() - plan.half[k] - other.half[k];
    (apart(0).max(apart(1)) / 2.0).max(0.0)
}

impl Soil {
    /// Lays the soil under every base that the scene names; the vehicle's middle is at `middle`, and
    /// `snug` is the step of each step chock.
    pub fn place(
        engine: &mut Engine,
        bodies: &Bodies,
        scene: &Scene,
        middle: [f64; 2],
        snug: &[Option<usize>],
    ) -> Self {
        let mut soil = Self::default();
        let Some(bed) = scene.ground.soil else { return soil };
        engine.add_firm_ground(bodies.ground, FIRM_M);
        let friction = bodies.grip_of(Material::Ground(scene.ground.surface));
        let plans = plans(scene, middle, snug);
        for (i, plan) in plans.iter().enumerate() {
            let beyond = plans
                .iter()
                .enumerate()
                .filter(|(j, _)| *j != i)
                .map(|(_, other)| half_way_m(plan, other))
                .fold(BEYOND_M, f64::min);
            soil.bases.push(BaseOnSoil::place(engine, bodies.ground, plan, bed, friction, beyond));
        }
        soil
    }

    /// Lets every base's soil yield and push for one step.
    pub fn advance(&mut self, engine: &mut Engine) {
        for base in &mut self.bases {
            base.bed.advance(engine);
        }
    }

    pub fn states(&self, engine: &Engine) -> Vec<BaseState> {
        let state = |base: &BaseOnSoil| {
            let [sunk_m, deepest_m, set_m] = base.bed.sunk_m(engine, 0.0);
            BaseState {
                of: base.of,
                load_n: base.bed.force_n(engine),
                capacity_n: base.capacity_n,
                sunk_m,
                deepest_m,
                set_m,
            }
        };
        self.bases.iter().map(state).collect()
    }

    fn under(&self, of: Footing) -> Option<&BaseOnSoil> {
        self.bases.iter().find(|base| base.of == of)
    }

    /// How far a base's middle has gone down, m; nothing on hard ground.
    pub fn sunk_m(&self, engine: &Engine, of: Footing) -> f64 {
        self.under(of).map_or(0.0, |base| base.bed.sunk_m(engine, 0.0)[0])
    }

    /// The plate of earth under a base; none on hard ground.
    pub fn earth_under(&self, of: Footing) -> Option<RigidBodyHandle> {
        self.under(of).map(|base| base.bed.body)
    }
}

impl BaseOnSoil {
    fn place(
        engine: &mut Engine,
        ground: RigidBodyHandle,
        plan: &BaseLayout,
        soil: Bed,
        friction: Friction,
        beyond_m: f64,
    ) -> Self {
        let half = [plan.half[0] + beyond_m, EARTH_HALF_M, plan.half[1] + beyond_m];
        let [x, z] = plan.at;
        let [hx, hy, hz] = half.map(|h| h as Real);
        let body = engine.add(BodySpec {
            position: vector([x, -EARTH_HALF_M, z]),
            rotation: Rotation::IDENTITY,
            shapes: vec![ColliderBuilder::cuboid(hx, hy, hz)],
            mass: Mass::Density(EARTH_KG / (8.0 * half.iter().product::<f64>())),
            fixed: false,
            friction,
            groups: Groups::Earth,
        });
        engine.bodies[body].set_gravity_scale(0.0, false);
        let points = plan.points();
        let share_m2 = plan.area_m2() / points.len() as f64;
        let law = Law {
            stiffness_n_m: soil.subgrade_pa_m(2.0 * plan.strip[0].min(plan.strip[1])) * share_m2,
            plateau_n: soil.plateau_pa * share_m2,
            rest_m: 0.0,
            limits_m: [-FIRM_M, 0.0],
            pulls: false,
        };
        // The ground body's frame lies 1 m under its surface.
        let frame = Pose::from_translation(vector([x, 1.0 - EARTH_HALF_M, z]));
        let bed = YieldingSupport::bed(engine, ground, body, frame, law, &points);
        Self { of: plan.of, capacity_n: soil.plateau_pa * plan.area_m2(), bed }
    }
}
