//! Friction has two figures: what a pair holds at rest, and what is left of it once it slides.
//!
//! A pair that has slipped a little at the limit of its friction slides; once its friction has
//! been below the limit for a while it holds as before (Coulomb). The engine has one figure a
//! pair, which can be changed as its contacts are worked out. Pairs that ask for that are
//! never recycled, and creep: so only those that slide do.

use bevy_rapier3d::rapier::prelude::*;

/// Way at the limit of friction after which a pair slides, m: the grains of two faces let go of
/// each other within a tenth of a millimetre or so (assumed).
const SLIP_M: Real = 1e-4;
/// Friction this near to what is possible is at its limit, as a share.
const AT_LIMIT: Real = 0.98;
/// A pair holds again when it has been below the limit for this many steps, a tenth of a second
/// (assumed).
const HOLDS_STEPS: usize = 12;
/// A contact under this neither slides nor holds anything, N.
const LEAST_N: Real = 1.0;

/// The bit of a solver contact's index that marks it as new.
const NEW_CONTACT: u32 = 1 << 31;

/// What is left of the friction of a pair once it slides, by the kinds of its two outsides.
pub type SlidingShares = Vec<Vec<f64>>;

/// How the outside of a body holds.
#[derive(Clone, Copy, Debug)]
pub struct Friction {
    /// At rest a pair's friction is the geometric mean of two figures.
    pub figure: f64,
    /// Which row of the [`SlidingShares`] it has; one past them loses nothing as it slides.
    pub kind: usize,
}

impl From<f64> for Friction {
    /// The same friction at rest and sliding.
    fn from(figure: f64) -> Self {
        Self { figure, kind: u32::MAX as usize }
    }
}

/// A pair at the limit of its friction.
#[derive(Clone)]
struct Slip {
    pair: [ColliderHandle; 2],
    /// The one of the two that asks for the change.
    asks: ColliderHandle,
    /// What is left of its friction once it slides.
    share: Real,
    way_m: Real,
    steps_below: usize,
    slides: bool,
}

/// The pairs that slide, or are about to.
#[derive(Clone, Default)]
pub struct Sliding {
    pub shares: SlidingShares,
    slips: Vec<Slip>,
}

impl PhysicsHooks for Sliding {
    fn modify_solver_contacts(&self, context: &mut ContactModificationContext<'_>) {
        let pair = [context.collider1, context.collider2];
        if let Some(slip) = self.slips.iter().find(|slip| slip.slides && slip.pair == pair) {
            *context.friction *= slip.share;
        }
    }
}

impl Sliding {
    /// After a step: which pairs have begun to slide, which hold again.
    pub fn note(
        &mut self,
        narrow_phase: &NarrowPhase,
        bodies: &RigidBodySet,
        colliders: &mut ColliderSet,
        step: &IntegrationParameters,
    ) {
        for slip in &mut self.slips {
            slip.steps_below += 1;
        }
        let least = LEAST_N * step.dt / step.num_solver_iterations as Real;
        for pair in narrow_phase.contact_pairs() {
            for manifold in pair.solver_manifolds() {
                if let Some(speed) = speed_at_limit(bodies, manifold, least) {
                    let pair = [pair.collider1, pair.collider2];
                    self.slipped(bodies, colliders, pair, speed * step.dt);
                }
            }
        }
        let (holds, slips): (Vec<Slip>, Vec<Slip>) =
            self.slips.drain(..).partition(|slip| slip.steps_below > HOLDS_STEPS);
        self.slips = slips;
        for slip in holds.iter().filter(|slip| slip.slides) {
            self.holds(colliders, slip.asks);
        }
    }

    fn slipped(
        &mut self,
        bodies: &RigidBodySet,
        colliders: &mut ColliderSet,
        pair: [ColliderHandle; 2],
        way_m: Real,
    ) {
        let index = self.slips.iter().position(|slip| slip.pair == pair).or_else(|| {
            let share = self.share(colliders, pair).filter(|share| *share < 1.0)?;
            // Not the ground: it has contacts with everything.
            let moves = |shape: &ColliderHandle| {
                let body = colliders.get(*shape).and_then(Collider::parent);
                body.and_then(|body| bodies.get(body)).is_some_and(RigidBody::is_dynamic)
            };
            let asks = pair.into_iter().find(moves)?;
            self.slips.push(Slip { pair, asks, share, way_m: 0.0, steps_below: 0, slides: false });
            Some(self.slips.len() - 1)
        });
        let Some(slip) = index.map(|index| &mut self.slips[index]) else { return };
        slip.steps_below = 0;
        slip.way_m += way_m;
        if !slip.slides && slip.way_m > SLIP_M {
            slip.slides = true;
            if let Some(asks) = colliders.get_mut(slip.asks) {
                asks.set_active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS);
            }
        }
    }

    /// Gives a pair back what it holds at rest.
    fn holds(&self, colliders: &mut ColliderSet, asks: ColliderHandle) {
        let Some(shape) = colliders.get_mut(asks) else { return };
        ask_afresh(shape);
        if !self.slips.iter().any(|slip| slip.slides && slip.asks == asks) {
            shape.set_active_hooks(ActiveHooks::empty());
        }
    }

    fn share(&self, colliders: &ColliderSet, pair: [ColliderHandle; 2]) -> Option<Real> {
        let kind = |shape| Some(colliders.get(shape)?.user_data as usize);
        Some(*self.shares.get(kind(pair[0])?)?.get(kind(pair[1])?)? as Real)
    }
}

/// The points of a manifold that the solver works on. The others keep an impulse of the time when
/// they still touched.
pub fn solved_points(
    manifold: &ContactManifold,
) -> impl Iterator<Item = &TrackedContact<ContactData>> + Clone {
    let solver_contacts = manifold.data.solver_contacts.iter();
    solver_contacts.filter_map(|s| manifold.points.get((s.contact_id[0] & !NEW_CONTACT) as usize))
}

/// How fast a manifold's faces move along each other, m/s, where its friction is at its limit.
fn speed_at_limit(bodies: &RigidBodySet, manifold: &ContactManifold, least: Real) -> Option<Real> {
    let data = &manifold.data;
    // The points share one friction, each has a copy of it.
    let mut solved = solved_points(manifold);
    let first = solved.next()?;
    let tangent = first.data.warmstart_tangent_world;
    let others: Real = solved.map(|point| point.data.warmstart_impulse).sum();
    let normal = first.data.warmstart_impulse + others;
    if normal < least || tangent.length() < AT_LIMIT * data.friction * normal {
        return None;
    }
    let contact = data.solver_contacts.first()?;
    let [one, other] = [data.rigid_body1, data.rigid_body2].map(|body| bodies.get(body?));
    let place = [(one, contact.anchor1), (other, contact.anchor2)].into_iter().find_map(
        |(body, anchor)| {
            let body = body.filter(|body| body.is_dynamic())?;
            Some(centre_frame(body) * anchor)
        },
    )?;
    let speed =
        |body: Option<&RigidBody>| body.map_or(Vector::ZERO, |body| body.velocity_at_point(place));
    let apart = speed(other) - speed(one);
    Some((apart - data.normal * apart.dot(data.normal)).length())
}

/// The frame that a moving body's contact points are kept in: its own, at its centre of mass.
pub fn centre_frame(body: &RigidBody) -> Pose {
    body.position().prepend_translation(body.mass_properties().local_mprops.local_com)
}

/// Forces a collider's contacts to be recomputed. A change of groups is the lightest one that
/// asks for a full update; nothing else is in this group.
pub fn ask_afresh(collider: &mut Collider) {
    let mut groups = collider.collision_groups();
    groups.memberships ^= Group::GROUP_32;
    collider.set_collision_groups(groups);
}
