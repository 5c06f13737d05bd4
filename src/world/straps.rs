//! Straps and chains: each pulls its two ends together, by how much longer it is than it rests
//! at, and never pushes.
//!
//! As with sheet metal, what it pulls with at the beginning of a step is given as a force, and a
//! motor along its line has only what changes within the step. The engine solves the motor
//! implicitly in each substep, so that no stiffness is too large for the step.

use super::bodies::Bodies;
use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxesMask, JointAxis, MotorModel, Real,
    RigidBodyHandle, Vector,
};
use super::shapes::{plain, vector};
use super::site::Site;
use super::struts::Struts;
use crate::scene::{Scene, Strap, StrapEnd, Strut};
use crate::snapshot::{Load, StrapState};
use crate::tables::{STAKE_OUT_M, stake_holds_n};

/// Damping per stiffness, s: settles motion within a few steps.
const DAMPING_S: f64 = 0.02;
/// A strap is no shorter than this, m (assumed).
const LEAST_M: f64 = 0.05;
/// It is drawn no further than this past where it was tight at first, m (assumed): the crew
/// stops where the pull moves what it is to hold.
const TAKES_UP_M: f64 = 0.02;
/// It may end so far past the place that it is led to, m: the vehicle has settled a little.
const PAST_M: f64 = 0.05;

/// The straps of a scene, in its order; none where nothing of the vehicle was on the line.
#[derive(Clone, Default)]
pub(super) struct Straps {
    all: Vec<Option<Tied>>,
    /// The lift has begun: nobody draws them tighter.
    begun: bool,
}

/// An end of a strap: a body, and a place in its frame.
type TiedEnd = (RigidBodyHandle, Vector);

#[derive(Clone)]
struct Tied {
    ends: [TiedEnd; 2],
    joint: ImpulseJointHandle,
    /// Its length without a pull, m, and the least that it is drawn to.
    rest_m: f64,
    shortest_m: f64,
    per_strain_n: f64,
    preload_n: f64,
    parts_at_n: f64,
    /// What its anchor in the ground holds, N; infinite without one, or where nothing is known.
    anchor_n: f64,
    dragged_m: f64,
    tension_n: f64,
    parted: bool,
}

impl Straps {
    /// Ties every strap, drawn tight.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene, struts: &Struts) {
        self.all =
            scene.straps.iter().map(|strap| Tied::place(site, scene, struts, strap)).collect();
    }

    /// The first that meets nothing of the vehicle.
    pub fn misses(&self) -> Option<usize> {
        self.all.iter().position(Option::is_none)
    }

    /// From here on each keeps its length.
    pub fn begin(&mut self) {
        self.begun = true;
    }

    /// Has every strap pull for one step. The caller clears the forces on the vehicle and on the
    /// feet first.
    pub fn advance(&mut self, engine: &mut Engine) {
        for tied in self.all.iter_mut().flatten().filter(|tied| !tied.parted) {
            tied.advance(engine, self.begun);
        }
    }

    /// What each pulls its ends with.
    pub fn loads(&self, engine: &Engine, bodies: &Bodies) -> Vec<Load> {
        let load = |tied: &Tied| {
            let [one, other] = tied.at(engine);
            let pull = (other - one).normalize_or_zero() * tied.tension_n as Real;
            let parts = tied.ends.map(|(body, _)| bodies.part_of(body));
            // The ground is never the one that is listed as pushed.
            let (on, by, point, force) = match parts {
                [Some(on), by] => (on, by, one, pull),
                [None, Some(on)] => (on, None, other, -pull),
                [None, None] => return None,
            };
            Some(Load { on, by, point: plain(point), force: plain(force) })
        };
        let pulls = self.all.iter().flatten().filter(|tied| tied.tension_n > 0.0);
        pulls.filter_map(load).collect()
    }

    pub fn states(&self, engine: &Engine) -> Vec<StrapState> {
        let state = |tied: &Option<Tied>| {
            let Some(tied) = tied else { return StrapState::default() };
            StrapState {
                ends: tied.at(engine).map(plain),
                tension_n: tied.tension_n,
                dragged_m: tied.dragged_m,
                parted: tied.parted,
            }
        };
        self.all.iter().map(state).collect()
    }
}

/// Where an end is tied that needs no other end to be known: the body and the place, m.
fn fixed_end(site: &Site<'_>, struts: &Struts, end: StrapEnd) -> Option<(RigidBodyHandle, Vector)> {
    match end {
        StrapEnd::Foot(strut) => {
            let foot = site.bodies.handles[struts.foot(strut)?];
            let up = vector([0.0, Strut::PLATE_M / 2.0 + Strut::PIN_M, 0.0]);
            Some((foot, *site.engine.bodies[foot].position() * up))
        }
        StrapEnd::Ground([x, z]) => Some((site.bodies.ground, vector([x, 0.0, z]))),
        StrapEnd::Vehicle(_) => None,
    }
}

impl Tied {
    fn place(site: &mut Site<'_>, scene: &Scene, struts: &Struts, strap: &Strap) -> Option<Self> {
        let vehicle = site.bodies.handles[site.vehicle.part];
        let known = strap.ends.map(|end| fixed_end(site, struts, end));
        let from = known.into_iter().flatten().next()?.1;
        let outline = site.vehicle.outline(site.engine, site.bodies);
        let mut ends = Vec::new();
        for (end, known) in strap.ends.into_iter().zip(known) {
            ends.push(match end {
                StrapEnd::Vehicle(to) => (vehicle, outline.first_met(from, vector(to), PAST_M)?),
                StrapEnd::Foot(_) | StrapEnd::Ground(_) => known?,
            });
        }
        let [one, other] = <[(RigidBodyHandle, Vector); 2]>::try_from(ends).ok()?;
        let length_m = f64::from((other.1 - one.1).length());
        if length_m < LEAST_M {
            return None;
        }
        let ends = [one, other]
            .map(|(body, at)| (body, site.engine.bodies[body].position().inverse() * at));
        let mut joint =
            GenericJoint { coupled_axes: JointAxesMask::LIN_AXES, ..Default::default() };
        joint.set_motor_model(JointAxis::LinX, MotorModel::ForceBased);
        joint.set_local_anchor1(ends[0].1);
        joint.set_local_anchor2(ends[1].1);
        let joint = site.engine.join(ends[0].0, ends[1].0, joint);
        let per_strain_n = strap.per_strain_n();
        let rest_m = length_m / (1.0 + strap.preload_n / per_strain_n);
        let ground = &scene.ground;
        let holds_n = || stake_holds_n(ground.surface, ground.soil, ground.wet);
        let anchored = strap.ends.iter().any(|end| matches!(end, StrapEnd::Ground(_)));
        let mut tied = Self {
            ends,
            joint,
            rest_m,
            shortest_m: rest_m - TAKES_UP_M,
            per_strain_n,
            preload_n: strap.preload_n,
            parts_at_n: Strap::PARTS_AT * strap.capacity_n,
            anchor_n: if anchored { holds_n().unwrap_or(f64::INFINITY) } else { f64::INFINITY },
            dragged_m: 0.0,
            tension_n: strap.preload_n,
            parted: false,
        };
        tied.hold(site.engine, length_m);
        Some(tied)
    }

    fn at(&self, engine: &Engine) -> [Vector; 2] {
        self.ends.map(|(body, at)| *engine.bodies[body].position() * at)
    }

    fn stiffness_n_m(&self) -> f64 {
        self.per_strain_n / self.rest_m
    }

    fn advance(&mut self, engine: &mut Engine, begun: bool) {
        let [one, other] = self.at(engine);
        let length_m = f64::from((other - one).length());
        if !begun {
            // The crew draws it tight until the lift begins, and lets nothing out.
            let tight_m = length_m / (1.0 + self.preload_n / self.per_strain_n);
            self.rest_m = self.rest_m.min(tight_m.max(self.shortest_m));
        }
        let pull_n = |tied: &Self| tied.stiffness_n_m() * (length_m - tied.rest_m).max(0.0);
        let over_n = pull_n(self) - self.anchor_n;
        if over_n > 0.0 {
            let dragged_m = over_n / self.stiffness_n_m();
            self.rest_m += dragged_m;
            self.dragged_m += dragged_m;
        }
        self.tension_n = pull_n(self);
        if self.tension_n > self.parts_at_n || self.dragged_m > STAKE_OUT_M {
            (self.parted, self.tension_n) = (true, 0.0);
            engine.part(self.joint);
            return;
        }
        let pull = (other - one).normalize_or_zero() * self.tension_n as Real;
        for ((body, _), at, force) in [(self.ends[0], one, pull), (self.ends[1], other, -pull)] {
            engine.bodies[body].add_force_at_point(force, at, false);
        }
        self.hold(engine, length_m);
    }

    /// Sets the motor to what changes from here; a slack strap has none.
    fn hold(&mut self, engine: &mut Engine, length_m: f64) {
        let stiffness = self.stiffness_n_m();
        let Some(joint) = engine.joints.get_mut(self.joint, false) else { return };
        let pulls = self.tension_n > 0.0;
        if joint.data.is_enabled() != pulls {
            joint.data.set_enabled(pulls);
        }
        let [at, k, damping] = [length_m, stiffness, DAMPING_S * stiffness].map(|v| v as Real);
        joint.data.set_motor(JointAxis::LinX, at, 0.0, k, damping);
    }
}
