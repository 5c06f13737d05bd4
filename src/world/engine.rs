//! The physics engine's sets in one struct, stepped and read: bodies of one or more convex
//! shapes, forces read back in newtons. Knows nothing of vehicles, stacks or bags. The rest
//! of `world` lays joints and forces itself, with the engine's own types, which it takes from
//! here: only this file and `solver` name the engine's package.

use super::sliding::{Sliding, ask_afresh, centre_frame, solved_points};
use super::solver::Settings;
use crate::snapshot::Pose as PlainPose;
use bevy_rapier3d::rapier::parry;
use bevy_rapier3d::rapier::parry::bounding_volume::BoundingVolume;
use bevy_rapier3d::rapier::parry::query::{ShapeCastOptions, cast_shapes};
use bevy_rapier3d::rapier::prelude::*;

pub use super::sliding::{Friction, SlidingShares};
pub use bevy_rapier3d::rapier::prelude::{
    Ball, ColliderBuilder, ColliderHandle, Cuboid, GenericJoint, ImpulseJointHandle, JointAxesMask,
    JointAxis, MassProperties, MotorModel, Pose, Ray, Real, RigidBody, RigidBodyHandle, Rotation,
    Shape, Vector,
};

/// The ground is a slab that ends this far from its middle, m: near enough for single precision
/// to find its contacts to a hundredth of a millimetre.
const SLAB_HALF_M: f64 = 60.0;
/// Half the thickness of a bed of soil, m: nothing falls through it in a step.
const BED_HALF_M: f64 = 0.5;
/// What is further out than this lies on ground without an end, m.
const FAR_OUT_M: f64 = 50.0;

/// What a body is made of, for collision and weight.
pub struct BodySpec {
    pub position: Vector,
    pub rotation: Rotation,
    pub shapes: Vec<ColliderBuilder>,
    pub mass: Mass,
    pub fixed: bool,
    pub friction: Friction,
    pub groups: Groups,
}

/// Who collides with whom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Groups {
    /// Everything but limbs.
    Part,
    /// A part that bears on soil: it meets earth where others meet the ground.
    BaseOnSoil,
    /// Soil under a base.
    Earth,
    /// The vehicle: parts and limbs.
    Vehicle,
    /// Limbs touch nothing but the vehicle.
    Limb,
    Ground,
    /// Ground that is slippery, for what has been set on it.
    Slick,
    /// Ground without an end, for what has gone far out.
    Far,
    /// Soil under one edge of the vehicle, by the edge's index, less than [`BEDS_MOST`]: it meets
    /// what has been set on it.
    Bed(u32),
}

/// The vehicle has no more beds than this.
pub const BEDS_MOST: u32 = 8;

impl Groups {
    fn interaction(self) -> InteractionGroups {
        let (part, vehicle, limb, ground) =
            (Group::GROUP_1, Group::GROUP_2, Group::GROUP_3, Group::GROUP_4);
        let (base, earth) = (Group::GROUP_5, Group::GROUP_6);
        let (slick, far) = (Group::GROUP_7, Group::GROUP_8);
        let (own, others) = match self {
            Self::Part => (part, part | base | vehicle | ground),
            Self::BaseOnSoil => (base, part | base | vehicle | earth),
            Self::Earth => (earth, base),
            Self::Vehicle => (vehicle, part | base | vehicle | limb | ground),
            Self::Limb => (limb, vehicle),
            Self::Ground => (ground, part | vehicle),
            Self::Slick => (slick, part | vehicle),
            Self::Far => (far, part | vehicle),
            Self::Bed(index) => (bed_group(index), vehicle),
        };
        InteractionGroups::new(own, others, InteractionTestMode::And)
    }
}

fn bed_group(index: u32) -> Group {
    Group::from_bits_truncate(1 << (8 + index % BEDS_MOST))
}

/// How a body's mass is spread.
pub enum Mass {
    /// Uniform over its shapes, kg/m³.
    Density(f64),
    /// As given: mass, centre in the body's frame, principal moments.
    Given { kg: f64, com: Vector, inertia: Vector },
}

/// A force between two bodies at a place, N.
#[derive(Clone, Copy, Debug)]
pub struct RawLoad {
    pub on: RigidBodyHandle,
    pub by: RigidBodyHandle,
    pub point: Vector,
    /// On `on`.
    pub force: Vector,
}

/// How far under a shape's box another one begins its way up to it, m.
const CAST_FROM_M: Real = 0.05;

/// A cast may end so far from what it meets, m; and one that meets it flatter than this, as a
/// cosine, is not corrected.
const CAST_OFF_M: f64 = 0.005;
const SQUARE: Real = 0.2;

/// A shape where it stands.
#[derive(Clone, Copy)]
pub struct PlacedShape<'a> {
    pub shape: &'a dyn Shape,
    pub pose: Pose,
    bounds: Aabb,
}

impl<'a> PlacedShape<'a> {
    pub fn new(shape: &'a dyn Shape, pose: Pose) -> Self {
        Self { shape, pose, bounds: shape.compute_aabb(&pose) }
    }

    /// Whether a ray may meet it within its reach, m. Most shapes are far off, and their boxes
    /// show it at a tenth of the cost of the ray's cast.
    pub fn is_near(&self, ray: &Ray, reach_m: f64) -> bool {
        self.bounds.intersects_local_ray(ray, reach_m as Real)
    }

    /// How far this shape can rise before it meets another one straight above it, m, where that
    /// is less than `below_m`: the library's own cast of one convex shape against another.
    /// Zero where they overlap; none where the other is not above it, or lies under it
    /// altogether.
    pub fn room_under(&self, above: &Self, below_m: f64) -> Option<f64> {
        let (low, high) = (&self.bounds, &above.bounds);
        let apart =
            |axis: usize| low.maxs[axis] < high.mins[axis] || low.mins[axis] > high.maxs[axis];
        // All but a few shapes are beside it or further up, which their boxes tell.
        if apart(0) || apart(2) || low.mins.y > high.maxs.y {
            return None;
        }
        // The cast is the better the shorter it is.
        let up = (high.mins.y - low.maxs.y - CAST_FROM_M).max(0.0);
        if f64::from(up) >= below_m {
            return None;
        }
        let raised = Pose::from_translation(Vector::Y * up) * self.pose;
        let options = ShapeCastOptions {
            max_time_of_impact: below_m as Real - up,
            compute_impact_geometry_on_penetration: false,
            ..ShapeCastOptions::default()
        };
        let (still, rise) = (Vector::ZERO, Vector::Y);
        let met = cast_shapes(&raised, rise, self.shape, &above.pose, still, above.shape, options);
        met.ok().flatten().map(|hit| f64::from(up + hit.time_of_impact))
    }

    /// How far it can go along a unit vector before it meets another one, m, within a reach; none
    /// where it does not.
    pub fn way_to(&self, other: &Self, along: Vector, reach_m: f64) -> Option<f64> {
        let options = ShapeCastOptions {
            max_time_of_impact: reach_m as Real,
            compute_impact_geometry_on_penetration: false,
            ..ShapeCastOptions::default()
        };
        let still = Vector::ZERO;
        let met =
            cast_shapes(&self.pose, along, self.shape, &other.pose, still, other.shape, options);
        let way = met.ok().flatten()?.time_of_impact;
        // The cast ends within a millimetre of it; how near they stand there is known better.
        let there = Pose::from_translation(along * way) * self.pose;
        let near = CAST_OFF_M as Real;
        let gap = parry::query::contact(&there, self.shape, &other.pose, other.shape, near);
        let left = gap.ok().flatten().map_or(0.0, |c| c.dist / c.normal1.dot(along).max(SQUARE));
        Some(f64::from(way + left))
    }

    /// Whether its box is above or below some of a level rectangle, given by its least and its
    /// greatest X and Z, m.
    pub fn is_over(&self, least: [f64; 2], greatest: [f64; 2]) -> bool {
        let Aabb { mins, maxs } = self.bounds;
        let reaches = |low: Real, high: Real, axis: usize| {
            f64::from(low) <= greatest[axis] && f64::from(high) >= least[axis]
        };
        reaches(mins.x, maxs.x, 0) && reaches(mins.z, maxs.z, 1)
    }

    /// The height of its box's bottom, m.
    pub fn bottom_m(&self) -> f64 {
        self.bounds.mins.y.into()
    }
}

/// What tells two shapes' contacts from all others: the colliders, and the part of each shape.
type ManifoldName = [u32; 6];

fn manifold_name(pair: &ContactPair, manifold: &ContactManifold) -> ManifoldName {
    let [(a, a_age), (b, b_age)] =
        [pair.collider1, pair.collider2].map(ColliderHandle::into_raw_parts);
    [a, a_age, b, b_age, manifold.subshape1, manifold.subshape2]
}

/// The impulses that contact points started a step from, in the pairs' order.
#[derive(Clone, Default)]
struct Starts {
    /// By the manifold's name, and where its points end.
    manifolds: Vec<(ManifoldName, usize)>,
    /// By the features of either shape that a point lies on.
    points: Vec<([u32; 2], Real)>,
}

fn point_name(point: &TrackedContact<ContactData>) -> [u32; 2] {
    [point.fid1.0, point.fid2.0]
}

impl Starts {
    /// What a step would start from now.
    fn of_next_step(narrow_phase: &NarrowPhase) -> Self {
        let mut starts = Self::default();
        for pair in narrow_phase.contact_pairs() {
            for manifold in pair.solver_manifolds() {
                let points = manifold.points.iter();
                starts.points.extend(points.map(|p| (point_name(p), p.data.warmstart_impulse)));
                starts.manifolds.push((manifold_name(pair, manifold), starts.points.len()));
            }
        }
        starts
    }

    /// After a step: takes what it started from. What sleeps now was not solved in it: the
    /// impulses of its points are those of an earlier step, and so is what they started from.
    fn take(&mut self, of_step: Self, solved: impl Fn(ManifoldName) -> bool) {
        let earlier = std::mem::take(self);
        let (mut from, mut next) = (0, 0);
        for (name, end) in of_step.manifolds {
            let points = &of_step.points[from..end];
            from = end;
            let then = earlier.of(name, &mut next);
            let keeps = !then.is_empty() && !solved(name);
            self.points.extend_from_slice(if keeps { then } else { points });
            self.manifolds.push((name, self.points.len()));
        }
    }

    /// The points of a manifold. Manifolds keep their order from step to step: the `next` one
    /// is mostly the one that is sought.
    fn of(&self, name: ManifoldName, next: &mut usize) -> &[([u32; 2], Real)] {
        let mut ahead = (*next..self.manifolds.len()).chain(0..*next);
        let Some(found) = ahead.find(|i| self.manifolds[*i].0 == name) else { return &[] };
        *next = found + 1;
        let from = found.checked_sub(1).map_or(0, |before| self.manifolds[before].1);
        &self.points[from..self.manifolds[found].1]
    }
}

/// The physics world and nothing else.
pub struct Engine {
    settings: Settings,
    pub gravity: Vector,
    pub parameters: IntegrationParameters,
    pub bodies: RigidBodySet,
    pub colliders: ColliderSet,
    pub joints: ImpulseJointSet,
    islands: IslandManager,
    broad_phase: DefaultBroadPhase,
    narrow_phase: NarrowPhase,
    multibody_joints: MultibodyJointSet,
    ccd: CCDSolver,
    /// Each body's orientation when its contacts were last recomputed.
    fresh: Vec<(RigidBodyHandle, Rotation)>,
    /// What each contact point started the last step from in which it was solved.
    starts: Starts,
    /// Something was added, taken away or changed since the last step.
    disturbed: bool,
    sliding: Sliding,
    /// The bodies that lie on ground without an end.
    far_out: Vec<RigidBodyHandle>,
    /// Working memory only; holds nothing between steps.
    pipeline: PhysicsPipeline,
}

impl Clone for Engine {
    fn clone(&self) -> Self {
        Self {
            settings: self.settings,
            gravity: self.gravity,
            parameters: self.parameters,
            bodies: self.bodies.clone(),
            colliders: self.colliders.clone(),
            joints: self.joints.clone(),
            islands: self.islands.clone(),
            broad_phase: self.broad_phase.clone(),
            narrow_phase: self.narrow_phase.clone(),
            multibody_joints: self.multibody_joints.clone(),
            ccd: self.ccd.clone(),
            fresh: self.fresh.clone(),
            starts: self.starts.clone(),
            disturbed: self.disturbed,
            sliding: self.sliding.clone(),
            far_out: self.far_out.clone(),
            pipeline: PhysicsPipeline::new(),
        }
    }
}

impl Engine {
    /// An empty world under `gravity`, m/s², with the solver settings that are shipped.
    pub fn new(gravity: Vector) -> Self {
        Self::with_settings(gravity, Settings::SHIPPED)
    }

    /// As [`Self::new`], with other settings.
    pub fn with_settings(gravity: Vector, settings: Settings) -> Self {
        Self {
            settings,
            gravity,
            parameters: settings.parameters(),
            bodies: RigidBodySet::new(),
            colliders: ColliderSet::new(),
            joints: ImpulseJointSet::new(),
            islands: IslandManager::new(),
            broad_phase: DefaultBroadPhase::default(),
            narrow_phase: NarrowPhase::new(),
            multibody_joints: MultibodyJointSet::new(),
            ccd: CCDSolver::new(),
            fresh: Vec::new(),
            starts: Starts::default(),
            disturbed: false,
            sliding: Sliding::default(),
            far_out: Vec::new(),
            pipeline: PhysicsPipeline::new(),
        }
    }

    /// What is left of a pair's friction once it slides; without it, all of it.
    pub fn set_sliding_shares(&mut self, shares: SlidingShares) {
        self.sliding.shares = shares;
    }

    /// A flat ground whose upper face is y = 0.
    pub fn add_ground(&mut self, friction: impl Into<Friction>) -> RigidBodyHandle {
        self.add_flat(friction.into(), Groups::Ground)
    }

    /// Sets bodies on a ground of their own in the place of the common one, with another
    /// friction.
    pub fn set_on_slick(&mut self, bodies: &[RigidBodyHandle], friction: Friction) {
        self.add_flat(friction, Groups::Slick);
        self.set_on(bodies, Groups::Slick);
    }

    /// Sets bodies on another ground than the one they lie on.
    fn set_on(&mut self, bodies: &[RigidBodyHandle], other: Groups) {
        let [ground, slick, other] =
            [Groups::Ground, Groups::Slick, other].map(|g| g.interaction().memberships);
        let colliders = bodies.iter().flat_map(|body| self.bodies[*body].colliders());
        for collider in colliders.copied().collect::<Vec<_>>() {
            if let Some(collider) = self.colliders.get_mut(collider) {
                let mut groups = collider.collision_groups();
                groups.filter = (groups.filter - ground - slick) | other;
                collider.set_collision_groups(groups);
            }
        }
    }

    /// Sets a shape of the vehicle on a bed of soil of its own in the place of the ground.
    pub fn set_on_bed(&mut self, shape: ColliderHandle, index: u32) {
        let ground = Groups::Ground.interaction().memberships;
        if let Some(shape) = self.colliders.get_mut(shape) {
            let mut groups = shape.collision_groups();
            groups.filter = (groups.filter - ground) | bed_group(index);
            shape.set_collision_groups(groups);
        }
    }

    /// A bed of soil with a level top, a body that can move: its middle and its top's height are
    /// those of `position`. It is as large as the ground, so that nothing slides off it, and as
    /// heavy to move and to turn as `kg` of earth spread over `long_m`.
    pub fn add_bed(
        &mut self,
        position: Vector,
        [kg, long_m]: [f64; 2],
        friction: Friction,
        index: u32,
    ) -> RigidBodyHandle {
        let half = BED_HALF_M as Real;
        let about = (kg * long_m * long_m / 12.0) as Real;
        let body = self.add(BodySpec {
            position,
            rotation: Rotation::IDENTITY,
            shapes: vec![
                ColliderBuilder::cuboid(SLAB_HALF_M as Real, half, SLAB_HALF_M as Real)
                    .translation(Vector::new(0.0, -half, 0.0)),
            ],
            mass: Mass::Given { kg, com: Vector::ZERO, inertia: Vector::splat(about) },
            fixed: false,
            friction,
            groups: Groups::Bed(index),
        });
        self.bodies[body].set_gravity_scale(0.0, false);
        body
    }

    /// Sets what has gone far out on ground without an end, so that nothing falls off its edge.
    fn catch_far_out(&mut self) {
        let gone = |(handle, body): (RigidBodyHandle, &RigidBody)| {
            let at = body.translation();
            let far = at.x.abs().max(at.z.abs()) > FAR_OUT_M as Real;
            (far && !body.is_fixed() && !self.far_out.contains(&handle)).then_some(handle)
        };
        let gone: Vec<RigidBodyHandle> = self.bodies.iter().filter_map(gone).collect();
        if gone.is_empty() {
            return;
        }
        if self.far_out.is_empty() {
            self.add_endless();
        }
        self.set_on(&gone, Groups::Far);
        self.far_out.extend(gone);
    }

    /// Ground without an end, level with the slab and as rough.
    fn add_endless(&mut self) {
        let is_ground = |(_, c): &(ColliderHandle, &Collider)| {
            c.collision_groups() == Groups::Ground.interaction()
        };
        let of = |c: &Collider| Friction {
            figure: f64::from(c.friction()),
            kind: usize::try_from(c.user_data).unwrap_or(usize::MAX),
        };
        let ground = self.colliders.iter().find(is_ground);
        let friction = ground.map_or(Friction::from(0.0), |(_, c)| of(c));
        self.add(BodySpec {
            position: Vector::ZERO,
            rotation: Rotation::IDENTITY,
            shapes: vec![ColliderBuilder::new(SharedShape::halfspace(Vector::Y))],
            mass: Mass::Density(1.0),
            fixed: true,
            friction,
            groups: Groups::Far,
        });
    }

    /// Gives a body another friction. Contacts that are recycled keep the one they had until
    /// they are recomputed.
    pub fn set_friction(&mut self, body: RigidBodyHandle, friction: f64) {
        for collider in self.bodies[body].colliders().to_vec() {
            if let Some(collider) = self.colliders.get_mut(collider) {
                collider.set_friction(friction as Real);
                ask_afresh(collider);
            }
        }
    }

    fn add_flat(&mut self, friction: Friction, groups: Groups) -> RigidBodyHandle {
        self.add(BodySpec {
            position: Vector::new(0.0, -1.0, 0.0),
            rotation: Rotation::IDENTITY,
            shapes: vec![ColliderBuilder::cuboid(SLAB_HALF_M as Real, 1.0, SLAB_HALF_M as Real)],
            mass: Mass::Density(1.0),
            fixed: true,
            friction,
            groups,
        })
    }

    /// Firm ground `depth_m` under the surface, for bases on soil.
    pub fn add_firm_ground(&mut self, ground: RigidBodyHandle, depth_m: f64) {
        let like = self.bodies[ground].colliders()[0];
        let surface = self.colliders[like].clone();
        let firm = ColliderBuilder::new(surface.shared_shape().clone())
            .translation(Vector::new(0.0, -depth_m as Real, 0.0))
            .friction(surface.friction())
            .user_data(surface.user_data)
            .friction_combine_rule(surface.friction_combine_rule())
            .collision_groups(Groups::Earth.interaction());
        self.colliders.insert_with_parent(firm, ground, &mut self.bodies);
    }

    pub fn add(&mut self, spec: BodySpec) -> RigidBodyHandle {
        self.disturbed = true;
        let mut builder =
            if spec.fixed { RigidBodyBuilder::fixed() } else { RigidBodyBuilder::dynamic() };
        builder = builder.pose(Pose::from_parts(spec.position, spec.rotation));
        let density = match spec.mass {
            Mass::Density(d) => d,
            Mass::Given { kg, com, inertia } => {
                builder = builder
                    .additional_mass_properties(MassProperties::new(com, kg as Real, inertia));
                0.0
            }
        };
        let mut body = builder.build();
        self.settings.set_activation(body.activation_mut());
        let handle = self.bodies.insert(body);
        if !spec.fixed {
            self.fresh.push((handle, spec.rotation));
        }
        for shape in spec.shapes {
            let collider = shape
                .density(density as Real)
                .friction(spec.friction.figure as Real)
                .user_data(spec.friction.kind as u128)
                // One figure a material; a pair's friction is their geometric mean.
                .friction_combine_rule(CoefficientCombineRule::GeometricMean)
                .collision_groups(spec.groups.interaction());
            self.colliders.insert_with_parent(collider, handle, &mut self.bodies);
        }
        handle
    }

    /// Adds a shape without mass to a body, in the groups of its others, with a friction of
    /// its own.
    pub fn add_shape(&mut self, body: RigidBodyHandle, shape: ColliderBuilder, friction: Friction) {
        let like = self.bodies[body].colliders().first().and_then(|c| self.colliders.get(*c));
        let Some(groups) = like.map(Collider::collision_groups) else { return };
        self.disturbed = true;
        let collider = shape
            .density(0.0)
            .friction(friction.figure as Real)
            .user_data(friction.kind as u128)
            .friction_combine_rule(CoefficientCombineRule::GeometricMean)
            .collision_groups(groups);
        self.colliders.insert_with_parent(collider, body, &mut self.bodies);
    }

    /// Adds a shape of a density, kg/m3, to a body, in everything else like its first.
    pub fn add_shape_like_first(
        &mut self,
        body: RigidBodyHandle,
        shape: ColliderBuilder,
        density: f64,
    ) {
        let Some(like) = self.bodies[body].colliders().first() else { return };
        let like = &self.colliders[*like];
        self.disturbed = true;
        let shape = shape
            .density(density as Real)
            .friction(like.friction())
            .user_data(like.user_data)
            .friction_combine_rule(like.friction_combine_rule())
            .collision_groups(like.collision_groups());
        self.colliders.insert_with_parent(shape, body, &mut self.bodies);
    }

    /// Makes a shape of one body another's, at a pose in it. Neither body's mass changes: the
    /// shape has none.
    pub fn hand_over(&mut self, shape: ColliderHandle, to: RigidBodyHandle, pose: Pose) {
        self.colliders.set_parent(shape, Some(to), &mut self.bodies);
        self.move_shape(shape, pose);
    }

    /// The middle of a shape's box in its body's frame.
    pub fn middle_of(&self, shape: ColliderHandle) -> Option<Vector> {
        let shape = self.colliders.get(shape)?;
        let middle = shape.shape().compute_local_aabb().center();
        Some(shape.position_wrt_parent().map_or(middle, |local| *local * middle))
    }

    /// Moves a shape to a pose in its body.
    pub fn move_shape(&mut self, shape: ColliderHandle, pose: Pose) {
        if let Some(shape) = self.colliders.get_mut(shape) {
            shape.set_position_wrt_parent(pose);
        }
    }

    /// Whether a shape stands nearer to another one than this, m. Contacts are made long before
    /// they bear, and one that is recycled keeps the distance that it was found at: the distance
    /// is that of its points as they stand now.
    pub fn stands_near(&self, shape: ColliderHandle, near_m: f64) -> bool {
        let pairs = self.narrow_phase.contact_pairs_with(shape);
        let mut manifolds = pairs.flat_map(ContactPair::solver_manifolds);
        manifolds.any(|manifold| {
            let data = &manifold.data;
            let [one, other] = [data.rigid_body1, data.rigid_body2].map(|body| self.centre(body));
            let near = |contact: &SolverContact| {
                let gap = (other * contact.anchor2 - one * contact.anchor1).dot(data.normal);
                f64::from(gap) < near_m
            };
            data.solver_contacts.iter().any(near)
        })
    }

    /// The frame that a body's contact points are kept in: its own at its centre of mass, the
    /// world's for what cannot move.
    fn centre(&self, body: Option<RigidBodyHandle>) -> Pose {
        match body.and_then(|body| self.bodies.get(body)) {
            Some(body) if body.is_dynamic() => centre_frame(body),
            _ => Pose::IDENTITY,
        }
    }

    /// A body's shapes, each where it stands now.
    pub fn shapes(&self, body: RigidBodyHandle) -> impl Iterator<Item = PlacedShape<'_>> {
        let body = &self.bodies[body];
        body.colliders().iter().map(|collider| {
            let collider = &self.colliders[*collider];
            let pose = *body.position();
            let pose = collider.position_wrt_parent().map_or(pose, |local| pose * *local);
            let shape = collider.shape();
            PlacedShape::new(shape, pose)
        })
    }

    /// Gives a body of one shape another one, with the same density, friction and groups. The
    /// old shape is taken out: the engine would go on with contact points on its faces for
    /// as long as the body hardly moves.
    pub fn reshape(&mut self, body: RigidBodyHandle, shape: ColliderBuilder) {
        let &[old] = self.bodies[body].colliders() else { return };
        let old = self.colliders.remove(old, &mut self.islands, &mut self.bodies, true);
        let Some(old) = old else { return };
        self.disturbed = true;
        let shape = shape
            .density(old.density())
            .friction(old.friction())
            .user_data(old.user_data)
            .friction_combine_rule(old.friction_combine_rule())
            .collision_groups(old.collision_groups());
        self.colliders.insert_with_parent(shape, body, &mut self.bodies);
    }

    pub fn remove(&mut self, body: RigidBodyHandle) {
        self.disturbed = true;
        self.fresh.retain(|(handle, _)| *handle != body);
        self.bodies.remove(
            body,
            &mut self.islands,
            &mut self.colliders,
            &mut self.joints,
            &mut self.multibody_joints,
            true,
        );
    }

    /// How deep two bodies overlap that may touch, m; zero where they are apart.
    pub fn overlap_m(&self, a: RigidBodyHandle, b: RigidBodyHandle) -> f64 {
        let colliders = |body: RigidBodyHandle| {
            let handles = self.bodies.get(body).map_or(&[][..], RigidBody::colliders);
            handles.iter().filter_map(|handle| self.colliders.get(*handle))
        };
        let mut deepest = 0.0_f64;
        for one in colliders(a) {
            let bounds = one.compute_aabb();
            for other in colliders(b) {
                if !one.collision_groups().test(other.collision_groups())
                    || !bounds.intersects(&other.compute_aabb())
                {
                    continue;
                }
                let contact = parry::query::contact(
                    one.position(),
                    one.shape(),
                    other.position(),
                    other.shape(),
                    0.0,
                );
                if let Ok(Some(contact)) = contact {
                    deepest = deepest.max(f64::from(-contact.dist));
                }
            }
        }
        deepest
    }

    pub fn join(
        &mut self,
        a: RigidBodyHandle,
        b: RigidBodyHandle,
        joint: GenericJoint,
    ) -> ImpulseJointHandle {
        self.disturbed = true;
        self.joints.insert(a, b, joint, true)
    }

    /// Takes a joint out.
    pub fn part(&mut self, joint: ImpulseJointHandle) {
        self.joints.remove(joint, true);
    }

    /// Forces the contacts of bodies that have turned to be recomputed. While contacts are
    /// recycled their lever arms stay as they were in the world, by up to 11 degrees: two
    /// bodies that lean together would stand as if they were upright.
    fn refresh_turned(&mut self) {
        let most = (self.settings.refresh_rad / 2.0) as Real;
        for (handle, then) in &mut self.fresh {
            let body = &self.bodies[*handle];
            let now = *body.rotation();
            let turn = then.inverse() * now;
            if !body.is_enabled() || body.is_sleeping() || turn.xyz().length() < most {
                continue;
            }
            *then = now;
            for collider in body.colliders() {
                if let Some(collider) = self.colliders.get_mut(*collider) {
                    ask_afresh(collider);
                }
            }
        }
    }

    /// One step, s.
    pub fn step_s(&self) -> f64 {
        self.settings.step_s()
    }

    /// One step of [`Self::step_s`].
    pub fn step(&mut self) {
        // What the engine itself wakes in the middle of a step, because something new touches
        // it, has no contacts in that step: a vehicle at rest would fall by 0.7 mm and bounce.
        // See also `keep_awake`.
        if std::mem::take(&mut self.disturbed) {
            self.wake_all();
        }
        let starts = Starts::of_next_step(&self.narrow_phase);
        self.refresh_turned();
        self.catch_far_out();
        self.pipeline.step(
            self.gravity,
            &self.parameters,
            &mut self.islands,
            &mut self.broad_phase,
            &mut self.narrow_phase,
            &mut self.bodies,
            &mut self.colliders,
            &mut self.joints,
            &mut self.multibody_joints,
            &mut self.ccd,
            &self.sliding,
            &(),
        );
        self.sliding.note(&self.narrow_phase, &self.bodies, &mut self.colliders, &self.parameters);
        let awake = |index, age| {
            let collider = self.colliders.get(ColliderHandle::from_raw_parts(index, age));
            let body = collider.and_then(Collider::parent).and_then(|body| self.bodies.get(body));
            body.is_some_and(|body| body.is_dynamic() && !body.is_sleeping())
        };
        self.starts.take(starts, |[a, a_age, b, b_age, ..]| awake(a, a_age) || awake(b, b_age));
    }

    /// Whether every body that can move is asleep.
    pub fn asleep(&self) -> bool {
        self.bodies.iter().all(|(_, b)| b.is_fixed() || !b.is_enabled() || b.is_sleeping())
    }

    /// Keeps a body awake while anything else is: what is woken by a touch in the middle of a
    /// step has no contacts in it.
    pub fn keep_awake(&mut self, body: RigidBodyHandle) {
        if self.bodies.get(body).is_some_and(RigidBody::is_sleeping) && !self.asleep() {
            self.islands.wake_up(&mut self.bodies, body, true);
        }
    }

    /// Wakes everything, after a change that the engine cannot see.
    pub fn wake_all(&mut self) {
        let all: Vec<_> = self.bodies.iter().map(|(handle, _)| handle).collect();
        for handle in all {
            self.islands.wake_up(&mut self.bodies, handle, true);
        }
    }

    /// True once any body's position is not finite; the engine has switched that body off.
    pub fn broken(&self) -> bool {
        self.bodies.iter().any(|(_, b)| !b.translation().is_finite())
    }

    pub fn pose(&self, body: RigidBodyHandle) -> PlainPose {
        let pose = self.bodies[body].position();
        PlainPose { position: pose.translation.to_array(), turn: pose.rotation.to_array() }
    }

    /// Turns an impulse of the last substep into a force, N.
    fn force_per_impulse(&self) -> Real {
        self.parameters.num_solver_iterations as Real / self.parameters.dt
    }

    /// Force of a joint's impulse, N.
    pub fn force_of_impulse(&self, impulse: Real) -> f64 {
        f64::from(impulse * self.force_per_impulse())
    }

    /// Every contact that carries load, as its mean over the last step, in a fixed
    /// order. A body that sleeps keeps its last forces, and those stay true.
    ///
    /// The mean, not the last substep: positions are single precision, and the last digit
    /// of a heavy body's place is worth hundreds of newtons in a stiff contact. From one
    /// substep to the next a force wavers by that much; over the step it is what changed
    /// the body's momentum.
    pub fn loads(&self) -> Vec<RawLoad> {
        // The engine sums a contact's impulses over the n substeps and adds the one that
        // it started from, which a contact just made does not have.
        let mut next = 0;
        let last_scale = self.force_per_impulse();
        let mut out = Vec::new();
        for pair in self.narrow_phase.contact_pairs() {
            let (Some(c1), Some(c2)) =
                (self.colliders.get(pair.collider1), self.colliders.get(pair.collider2))
            else {
                continue;
            };
            let (Some(b1), Some(b2)) = (c1.parent(), c2.parent()) else { continue };
            for manifold in pair.solver_manifolds() {
                let starts = self.starts.of(manifold_name(pair, manifold), &mut next);
                let solved = solved_points(manifold);
                // Friction is known for the last substep only, one value a manifold, copied
                // to each of its points. It goes with the normal force that it had then, so
                // that it never leaves the friction cone, and is shared out by normal forces.
                let last: Real =
                    solved.clone().map(|c| c.data.warmstart_impulse).sum::<Real>() * last_scale;
                let friction_scale = if last > 0.0 { last_scale / last } else { 0.0 };
                let first = out.len();
                let (mut twist, mut sum) = (0.0, 0.0);
                for contact in solved {
                    let name = point_name(contact);
                    let start = starts.iter().find(|s| s.0 == name).map_or(0.0, |s| s.1);
                    let normal = (contact.data.impulse - start).max(0.0) / self.parameters.dt;
                    if normal <= 0.0 {
                        continue;
                    }
                    let force = -manifold.data.normal * normal
                        + contact.data.warmstart_tangent_world * (friction_scale * normal);
                    let point = c1.position() * contact.local_p1;
                    out.push(RawLoad { on: b1, by: b2, point, force });
                    (twist, sum) = (contact.data.warmstart_twist_impulse, sum + normal);
                }
                let torque = -twist * friction_scale * sum;
                resist_twist(&mut out[first..], manifold.data.normal, torque);
            }
        }
        out
    }
}

/// Closer together than this, root mean square, points cannot hold a turn, m.
const TOGETHER_M: Real = 0.01;

/// Adds the friction that holds two surfaces against turning on each other. The engine has it
/// as one torque about the normal, N m on the first body, and its other friction at the middle
/// of the points; here every force is at a point, and together they turn as much.
fn resist_twist(points: &mut [RawLoad], normal: Vector, torque: Real) {
    let presses = |load: &RawLoad| -load.force.dot(normal);
    let sum: Real = points.iter().map(presses).sum();
    let middle = points.iter().map(|load| load.point).sum::<Vector>() / points.len() as Real;
    let centre = points.iter().map(|load| load.point * (presses(load) / sum)).sum::<Vector>();
    let arm = |load: &RawLoad| (load.point - centre).reject_from_normalized(normal);
    let spread: Real = points.iter().map(|load| presses(load) * arm(load).length_squared()).sum();
    if points.len() < 2 || spread < sum * TOGETHER_M * TOGETHER_M {
        return;
    }
    let friction = points.iter().map(|load| load.force).sum::<Vector>();
    let off = (middle - centre).cross(friction).dot(normal);
    let turn = normal * ((torque + off) / spread);
    for load in points {
        load.force += turn.cross(arm(load)) * presses(load);
    }
}
