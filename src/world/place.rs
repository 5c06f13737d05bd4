//! Puts the vehicle and the set-up in place: everything touches, nothing overlaps.
//! Wedges, shims and void fill are cut to the face above them ([`CutFace`]), as a crew
//! drives them until they are snug.

use super::air::Cylinder;
use super::bag::GasBag;
use super::engine::{BodySpec, Engine, Groups, Mass, RigidBodyHandle};
use super::give::{Giving, Law};
use super::shapes::{self, PANEL_M, collider, plain, vector};
use super::{Outlet, Yard};
use crate::membrane::Membrane;
use crate::scene::{Bag, Chock, Crib, CutFace, Footprint, Rest, Scene, Sole, Stack, Wedge};
use crate::snapshot::{Footing, Part, PartId, PartKind, Shape, Snapshot};
use crate::tables::{
    BAG_FACE_KG_M2, BAG_FACE_M, DRIVEN_M, LIMB_KG, LIMB_LEAST_SHARE, Material, SHIM_IN_M,
    SHIM_LENGTH_M, SNUG_M, TIMBER_KG_M3, Timber,
};
use crate::units::{GRAVITY_M_S2, Words};
use bevy_rapier3d::rapier::prelude::*;
use std::sync::Arc;

/// Mass of a sheet-metal panel, kg (assumed; taken out of the vehicle's).
const PANEL_KG: f64 = 8.0;
const LIMB_HALF_M: f64 = 0.012;
/// The thickest wedge that is driven on a capture, m (assumed).
const WEDGE_MOST_M: f64 = 0.18;

/// A part whose underside is this near the ground is laid on it, m.
const ON_GROUND_M: f64 = 0.002;

/// How far a capture stack has been built.
#[derive(Clone, Debug, Default)]
pub struct CaptureBuild {
    /// Layers so far, and layers still at hand.
    pub layers: usize,
    pub steps_left: usize,
    pub wedges: Vec<PartId>,
}

/// How a wedge is cut: the room left above it, and the thickest it may be, m.
#[derive(Clone, Copy)]
struct Cut {
    room_m: f64,
    most_m: f64,
}

impl Cut {
    const SNUG: Self = Self { room_m: SNUG_M, most_m: f64::INFINITY };
}

impl Yard {
    /// The ground, the vehicle on its roof, its panels, and the limbs under it.
    pub(super) fn with_vehicle(scene: Arc<Scene>) -> Self {
        let grip = scene.grip();
        let gravity = vector(scene.ground.down().map(|part| part * GRAVITY_M_S2));
        let mut engine = Engine::new(gravity);
        let ground = engine.add_ground(grip.ground);
        let mut yard = Self {
            chocks_set: Vec::new(),
            captures: Vec::new(),
            parts: Vec::new(),
            snapshot: Snapshot::default(),
            engine,
            bodies: Vec::new(),
            ground,
            grip,
            vehicle: 0,
            panels: Vec::new(),
            limbs: Vec::new(),
            bases: Vec::new(),
            crossings: Vec::new(),
            rupture: Default::default(),
            bags: Vec::new(),
            outlets: Vec::new(),
            cylinder: Cylinder::new(0.0, 0.0),
            regulator_pa: 0.0,
            leaks: Vec::new(),
            beam_left: 1.0,
            stacks_left: Vec::new(),
            // What has struck while the vehicle was laid down does not strike again.
            hidden_struck: vec![false; scene.faults.len()],
            struck: Vec::new(),
            start: None,
            ticks: 0,
            slip: [0.0; 2],
            before: Vec::new(),
            scene: scene.clone(),
        };
        yard.bring(scene);
        yard.place_vehicle();
        yard.place_limbs();
        yard
    }

    /// What the scene's crew has at hand: the air supply, and nothing placed yet.
    pub(super) fn bring(&mut self, scene: Arc<Scene>) {
        self.cylinder = Cylinder::new(scene.air.cylinder_m3, scene.air.cylinder_pa);
        let outlets = scene.air.outlets.iter();
        self.outlets = outlets
            .map(|o| Outlet { to: o.to, opening: 0.0, burst: false, stuck: false })
            .collect();
        self.regulator_pa = scene.air.regulator_pa;
        self.leaks = vec![0.0; scene.bags.len()];
        self.stacks_left = vec![1.0; scene.stacks.len()];
        self.captures = vec![CaptureBuild::default(); scene.captures.len()];
        self.chocks_set = vec![false; scene.chocks.len()];
        self.scene = scene;
    }

    /// Adds a body for a part and remembers both.
    pub(super) fn add(
        &mut self,
        name: String,
        kind: PartKind,
        shape: Shape,
        spec: BodySpec,
    ) -> PartId {
        let body = self.engine.add(spec);
        self.parts.push(Part { name, kind, shape, present: true });
        self.bodies.push(body);
        self.parts.len() - 1
    }

    pub(super) fn grip_of(&self, material: Material) -> f64 {
        self.grip.of(material)
    }

    /// A level timber part. What is laid on the ground where that gives way bears on earth;
    /// chocks are too light to count.
    fn timber(&mut self, name: String, kind: PartKind, shape: Shape, centre: [f64; 3]) -> PartId {
        let bottom_m = centre[1] + shape.lowest_m();
        let on_soil = self.scene.ground.soil.is_some()
            && bottom_m < ON_GROUND_M
            && !matches!(kind, PartKind::Chock(_));
        let groups = if on_soil { Groups::Base } else { Groups::Part };
        let spec = BodySpec {
            position: vector(centre),
            rotation: Rotation::IDENTITY,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Density(TIMBER_KG_M3),
            fixed: false,
            friction: self.grip_of(Material::Timber),
            groups,
        };
        self.add(name, kind, shape, spec)
    }

    /// The vehicle without its panels' plates, kg.
    pub(super) fn shell_kg(&self) -> f64 {
        let v = &self.scene.vehicle;
        v.mass_kg - PANEL_KG * v.panels.len() as f64
    }

    fn place_vehicle(&mut self) {
        let scene = self.scene.clone();
        let v = &scene.vehicle;
        // A checked scene's vehicle lies still as the scene says.
        let Some(lie) = v.pose(scene.lies) else { return };
        let rotation = Rotation::from_rotation_z(-lie.pitch_rad as Real)
            * Rotation::from_rotation_x(lie.turn_rad as Real);
        let position = vector(lie.origin);
        let pose = Pose::from_parts(position, rotation);
        let friction = self.grip_of(Material::Sheet);
        let kg = self.shell_kg();
        self.vehicle = self.add(
            v.name.clone(),
            PartKind::Vehicle,
            Shape::Vehicle,
            BodySpec {
                position,
                rotation,
                shapes: shapes::vehicle_colliders(v),
                mass: Mass::Given { kg, com: vector(v.com_m), inertia: vector(v.inertia_kg_m2) },
                fixed: false,
                friction,
                groups: Groups::Vehicle,
            },
        );
        let body = self.bodies[self.vehicle];
        let rubber = self.grip_of(Material::Rubber);
        for wheel in shapes::wheel_colliders(v) {
            self.engine.add_shape(body, wheel, rubber);
        }
        for (index, panel) in v.panels.iter().enumerate() {
            let (face, half_length, slope) = shapes::panel_face(v, panel);
            let tilt = Rotation::from_rotation_z(slope as Real);
            // The plate's outer face lies in the outline; its middle half a plate below.
            let middle = vector([face[0], face[1], 0.0]) - tilt * vector([0.0, PANEL_M / 2.0, 0.0]);
            let frame = Pose::from_parts(middle, tilt);
            let at = pose * frame;
            let half = [half_length, PANEL_M / 2.0, panel.half_width_m];
            let shape = Shape::Box(half);
            let volume = 8.0 * half.iter().product::<f64>();
            let part = self.add(
                panel.name.clone(),
                PartKind::Panel(index),
                shape.clone(),
                BodySpec {
                    position: at.translation,
                    rotation: at.rotation,
                    shapes: collider(&shape).into_iter().collect(),
                    mass: Mass::Density(PANEL_KG / volume),
                    fixed: false,
                    friction,
                    groups: Groups::Vehicle,
                },
            );
            let giving = Giving::new(
                &mut self.engine,
                self.bodies[self.vehicle],
                self.bodies[part],
                frame,
                Law {
                    stiffness_n_m: panel.stiffness_n_m,
                    plateau_n: panel.plateau_n,
                    rest_m: 0.0,
                    limits_m: [-panel.depth_m, 0.0],
                },
            );
            self.panels.push(giving);
        }
    }

    fn place_limbs(&mut self) {
        let scene = self.scene.clone();
        for (index, limb) in scene.limbs.iter().enumerate() {
            let foot = Footprint::of_size(limb.at, limb.size);
            let space = self.clearance(foot, 0.0).unwrap_or(limb.thickness_m);
            let top = space.clamp(LIMB_LEAST_SHARE * limb.thickness_m, limb.thickness_m);
            let half = [limb.size[0] / 2.0, LIMB_HALF_M, limb.size[1] / 2.0];
            let centre = [limb.at[0], top - LIMB_HALF_M, limb.at[1]];
            let shape = Shape::Box(half);
            let friction = self.grip_of(Material::Rubber);
            let part = self.add(
                limb.name.clone(),
                PartKind::Limb(index),
                shape.clone(),
                BodySpec {
                    position: vector(centre),
                    rotation: Rotation::IDENTITY,
                    shapes: collider(&shape).into_iter().collect(),
                    mass: Mass::Density(LIMB_KG / (8.0 * half.iter().product::<f64>())),
                    fixed: false,
                    friction,
                    groups: Groups::Limb,
                },
            );
            // The ground body's frame lies 1 m under its surface.
            let frame = Pose::from_translation(vector([limb.at[0], 1.0, limb.at[1]]));
            let giving = Giving::new(
                &mut self.engine,
                self.ground,
                self.bodies[part],
                frame,
                Law {
                    stiffness_n_m: limb.stiffness_n_m,
                    // A limb springs back whatever presses it.
                    plateau_n: f64::from(f32::MAX),
                    rest_m: limb.thickness_m - LIMB_HALF_M,
                    limits_m: [LIMB_LEAST_SHARE * limb.thickness_m - LIMB_HALF_M, limb.thickness_m],
                },
            );
            self.limbs.push(giving);
        }
    }

    /// Everything the crew brings.
    pub(super) fn place_set_up(&mut self) {
        let scene = self.scene.clone();
        self.place_soil();
        for index in 0..scene.chocks.len() {
            if scene.chocks[index].set {
                self.set_chock(index);
            }
        }
        for (index, fill) in scene.void_fill.iter().enumerate() {
            let kind = |_| PartKind::VoidFill(index);
            self.place_sole(&fill.name, Footing::VoidFill(index), fill.at, fill.sole);
            let base_m = fill.sole_m();
            let foot = Footprint::of_size(fill.at, [fill.length_m; 2]);
            let space = self.clearance(foot, base_m).unwrap_or(0.0);
            let fit = ((space - Wedge::LEAST_M) / fill.timber.height_m).max(0.0) as usize;
            let crib = fill.crib();
            for layer in 0..fit {
                let bottom = base_m + layer as f64 * fill.timber.height_m;
                self.layer(&fill.name, crib, layer, 2, bottom, kind);
            }
            let top = base_m + fit as f64 * fill.timber.height_m;
            self.strips(
                &fill.name,
                crib,
                top,
                Cut { room_m: -DRIVEN_M, most_m: f64::INFINITY },
                kind,
            );
        }
        for (index, stack) in scene.stacks.iter().enumerate() {
            self.place_stack(index, stack);
        }
        for (index, capture) in scene.captures.iter().enumerate() {
            let crib = capture.first_crib();
            self.place_sole(&capture.name, Footing::Capture(index), capture.at, capture.sole);
            for layer in 0..capture.layers {
                let bottom = capture.sole_m() + layer as f64 * capture.timber.height_m;
                let kind = |layer| PartKind::CaptureTimber { capture: index, layer };
                self.layer(&capture.name, crib, layer, 2, bottom, kind);
            }
            self.captures[index] = CaptureBuild {
                layers: capture.layers,
                steps_left: capture.steps,
                wedges: Vec::new(),
            };
        }
        for index in 0..scene.bags.len() {
            self.place_bag(&scene, index);
        }
        for (index, wedge) in scene.wedges.iter().enumerate() {
            let (at, bottom_m) = self.top_of(&scene, Rest::Bag(wedge.on));
            let foot = Footprint::of_size(at, wedge.size);
            self.fitted(&wedge.name, PartKind::Wedge(index), foot, bottom_m, Cut::SNUG);
        }
        self.place_beam(&scene);
    }

    fn place_sole(&mut self, name: &str, of: Footing, at: [f64; 2], sole: Option<Sole>) {
        let Some(sole) = sole else { return };
        let half = [sole.size[0] / 2.0, sole.thickness_m / 2.0, sole.size[1] / 2.0];
        let name = format!("{name} sole plate");
        self.timber(name, PartKind::Sole(of), Shape::Box(half), [at[0], half[1], at[1]]);
    }

    fn place_stack(&mut self, index: usize, stack: &Stack) {
        self.place_sole(&stack.name, Footing::Stack(index), stack.layer_at(0), stack.sole);
        for layer in 0..stack.layers {
            let crib = stack.crib_of(layer);
            let bottom = stack.sole_m() + layer as f64 * stack.timber.height_m;
            let kind = |layer| PartKind::StackTimber { stack: index, layer };
            self.layer(&stack.name, crib, layer, stack.members, bottom, kind);
        }
        let mut bottom = stack.sole_m() + stack.layers as f64 * stack.timber.height_m;
        for (k, thickness) in stack.pads_m.iter().enumerate() {
            let half = stack.length_m / 2.0;
            self.timber(
                format!("{} pad {}", stack.name, k + 1),
                PartKind::Pad { stack: index, layer: stack.layers + k },
                Shape::Box([half, thickness / 2.0, half]),
                [stack.at[0], bottom + thickness / 2.0, stack.at[1]],
            );
            bottom += thickness;
        }
    }

    /// Middle and height of the top of a stack or bag as placed, m.
    fn top_of(&self, scene: &Scene, rest: Rest) -> ([f64; 2], f64) {
        match rest {
            Rest::Stack(i) => (scene.stacks[i].at, scene.stacks[i].height_m()),
            Rest::Bag(i) => {
                let (at, below) = self.top_of(scene, scene.bags[i].on);
                (at, below + Bag::FLAT_M)
            }
        }
    }

    fn place_bag(&mut self, scene: &Scene, index: usize) {
        let bag = &scene.bags[index];
        let (at, bottom) = self.top_of(scene, bag.on);
        let half = [bag.size[0] / 2.0, BAG_FACE_M / 2.0, bag.size[1] / 2.0];
        let friction = self.grip_of(Material::Rubber);
        let mut face = |upper: bool| {
            let shape = Shape::Box(half);
            let y = bottom + BAG_FACE_M * if upper { 1.5 } else { 0.5 };
            let part = self.add(
                bag.name.clone(),
                PartKind::BagFace { bag: index, upper },
                shape.clone(),
                BodySpec {
                    position: vector([at[0], y, at[1]]),
                    rotation: Rotation::IDENTITY,
                    shapes: collider(&shape).into_iter().collect(),
                    mass: Mass::Density(BAG_FACE_KG_M2 / BAG_FACE_M),
                    fixed: false,
                    friction,
                    groups: Groups::Part,
                },
            );
            self.bodies[part]
        };
        let (lower, upper) = (face(false), face(true));
        let membrane = Membrane::of_size(bag.size);
        self.bags.push(GasBag::new(&mut self.engine, lower, upper, membrane, bag.working_pa));
    }

    fn place_beam(&mut self, scene: &Scene) {
        let Some(beam) = &scene.beam else { return };
        let bottom = beam.rests_on.iter().map(|r| self.top_of(scene, *r).1).fold(0.0, f64::max);
        let half = [beam.timber.width_m / 2.0, beam.timber.height_m / 2.0, beam.length_m / 2.0];
        let centre = [beam.at[0], bottom + half[1], beam.at[1]];
        let part = self.timber("beam".into(), PartKind::Beam, Shape::Box(half), centre);
        if !beam.shims {
            return;
        }
        // Shims are nailed to the beam: they share its body.
        let inner = scene.vehicle.half_width.belt - SHIM_IN_M;
        for side in [-1.0, 1.0] {
            let foot =
                Footprint { at: [beam.at[0], side * inner], half: [half[0], SHIM_LENGTH_M / 2.0] };
            let top_m = bottom + 2.0 * half[1];
            let Some(points) = self.wedge_points(foot, top_m, Cut::SNUG) else { continue };
            let in_beam: Vec<[f64; 3]> = points
                .into_iter()
                .map(|p| [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]])
                .collect();
            let shape = Shape::Hull(in_beam);
            let body = self.bodies[part];
            self.parts.push(Part {
                name: "shim".into(),
                kind: PartKind::Shim,
                shape,
                present: true,
            });
            self.bodies.push(body);
            self.nail(self.parts.len() - 1, body);
        }
    }

    /// Sets a chock against the vehicle: its upright face as near as it goes.
    pub(super) fn set_chock(&mut self, index: usize) {
        let scene = self.scene.clone();
        let chock = &scene.chocks[index];
        let [depth, height, width] = Chock::SIZE_M;
        let toe = Chock::TOE_M;
        let com = plain(self.engine.bodies[self.bodies[self.vehicle]].center_of_mass());
        let away = chock.away(scene.lies, [com[0], com[2]]);
        let axis = usize::from(scene.lies.on_side());
        let face = self.face_towards(chock.at, away, width / 2.0, height);
        let mut at = chock.at;
        if let Some(face) = face
            && away[axis] * (chock.at[axis] - face) < 0.003
        {
            at[axis] = face + away[axis] * 0.003;
        }
        // Points about the middle of its foot: `run` away from the vehicle, `side` across.
        let point = |run: f64, y: f64, side: f64| {
            [run * away[0] + side * away[1].abs(), y, run * away[1] + side * away[0].abs()]
        };
        let (near, far, half) = (-depth / 2.0, depth / 2.0, width / 2.0);
        let lower = [(near, -half), (near, half), (far, half), (far, -half)];
        let top = |run: f64| if run < 0.0 { height } else { toe };
        let shape = Shape::Hull(
            lower
                .iter()
                .map(|(run, side)| point(*run, 0.0, *side))
                .chain(lower.iter().map(|(run, side)| point(*run, top(*run), *side)))
                .collect(),
        );
        let foot = [at[0] + away[0] * depth / 2.0, 0.0, at[1] + away[1] * depth / 2.0];
        let part = self.timber(chock.name.clone(), PartKind::Chock(index), shape, foot);
        if chock.staked {
            // A light body held to the ground, not a part of it: a contact is as stiff as
            // the lighter of its two bodies is heavy, and the vehicle against something
            // that cannot move at all chatters on the last digit of its place.
            let mut stakes = GenericJoint::default();
            stakes.lock_axes(JointAxesMask::LOCKED_FIXED_AXES);
            // The ground body's frame lies 1 m under its surface.
            stakes.set_local_anchor1(vector(foot) + Vector::Y);
            stakes.set_contacts_enabled(false);
            self.engine.join(self.ground, self.bodies[part], stakes);
        }
        self.chocks_set[index] = true;
    }

    /// How many layers a capture stack can be raised by now.
    ///
    /// # Errors
    /// Why it cannot follow the load.
    pub(super) fn plan_capture(&self, index: usize) -> Result<usize, Words> {
        let spec = &self.scene.captures[index];
        let build = &self.captures[index];
        let room = self.capture_room(index);
        if room < Wedge::LEAST_M {
            return Err(Words::of(|u| {
                format!("there are only {} above {}", u.gap(room), spec.name)
            }));
        }
        let thin_end_m = Wedge::LEAST_M + 2.0 * SNUG_M;
        let fit = ((room - thin_end_m).max(0.0) / spec.step.height_m) as usize;
        let layers = fit.min(build.steps_left);
        let top_m = self.capture_top_m(index) + layers as f64 * spec.step.height_m;
        let wedges = spec.steps_crib().strips();
        let cut = Cut { room_m: SNUG_M, most_m: WEDGE_MOST_M };
        let driven = wedges.into_iter().all(|foot| self.wedge_points(foot, top_m, cut).is_some());
        if driven {
            return Ok(layers);
        }
        let why = if build.steps_left <= fit { "; its timber is used up" } else { "" };
        Err(Words::of(|u| {
            let nearest = u.gap(room - layers as f64 * spec.step.height_m);
            format!(
                "no wedge of at most {} fits between {} and the vehicle, {nearest} above it at the \
                 nearest{why}",
                u.gap(WEDGE_MOST_M),
                spec.name
            )
        }))
    }

    /// Follows the load with a capture stack: takes the old wedges out, adds layers,
    /// drives new wedges.
    pub(super) fn raise_capture(&mut self, index: usize, layers: usize) {
        let scene = self.scene.clone();
        let spec = &scene.captures[index];
        for part in std::mem::take(&mut self.captures[index].wedges) {
            self.engine.remove(self.bodies[part]);
            self.parts[part].present = false;
        }
        let crib = spec.steps_crib();
        for _ in 0..layers {
            let layers = self.captures[index].layers;
            let top_m = self.capture_top_m(index);
            let kind = |layer| PartKind::CaptureTimber { capture: index, layer };
            self.layer(&spec.name, crib, layers, 2, top_m, kind);
            let build = &mut self.captures[index];
            build.layers += 1;
            build.steps_left -= 1;
        }
        let cut = Cut { room_m: SNUG_M, most_m: WEDGE_MOST_M };
        let kind = |_| PartKind::CaptureWedge(index);
        let top_m = self.capture_top_m(index);
        self.captures[index].wedges = self.strips(&spec.name, crib, top_m, cut, kind);
    }

    /// One layer of a crib. Even layers lie along X, odd ones along Z.
    fn layer(
        &mut self,
        name: &str,
        crib: Crib,
        layer: usize,
        members: usize,
        bottom_m: f64,
        kind: impl Fn(usize) -> PartKind,
    ) {
        let Timber { width_m, height_m, .. } = crib.timber;
        let along_x = layer.is_multiple_of(2);
        for offset in crib.offsets_m(members) {
            let long = crib.length_m / 2.0;
            let (half, x, z) = if along_x {
                ([long, height_m / 2.0, width_m / 2.0], 0.0, offset)
            } else {
                ([width_m / 2.0, height_m / 2.0, long], offset, 0.0)
            };
            self.timber(
                format!("{name} layer {}", layer + 1),
                kind(layer),
                Shape::Box(half),
                [crib.at[0] + x, bottom_m + height_m / 2.0, crib.at[1] + z],
            );
        }
    }

    /// Two wedges along X on top of a crib, cut to the vehicle above.
    fn strips(
        &mut self,
        name: &str,
        crib: Crib,
        bottom_m: f64,
        cut: Cut,
        kind: impl Fn(usize) -> PartKind,
    ) -> Vec<PartId> {
        crib.strips()
            .into_iter()
            .filter_map(|foot| self.fitted(&format!("{name} wedge"), kind(0), foot, bottom_m, cut))
            .collect()
    }

    /// A wedge of timber cut to the face above a footprint, or none where there is no
    /// room for its thin end or it would be too thick.
    fn fitted(
        &mut self,
        name: &str,
        kind: PartKind,
        foot: Footprint,
        bottom_m: f64,
        cut: Cut,
    ) -> Option<PartId> {
        let points = self.wedge_points(foot, bottom_m, cut)?;
        let centre = [foot.at[0], bottom_m, foot.at[1]];
        let about = points
            .into_iter()
            .map(|p| [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]])
            .collect();
        Some(self.timber(name.to_owned(), kind, Shape::Hull(about), centre))
    }

    /// Bottom corners, then top corners under the face above.
    fn wedge_points(&self, foot: Footprint, bottom_m: f64, cut: Cut) -> Option<Vec<[f64; 3]>> {
        let corners = foot.corners();
        let face = CutFace::under(foot, |[x, z]| self.underside(x, z))?;
        let tops = face.corners_m.map(|height| height - cut.room_m - bottom_m);
        let (least, most) =
            tops.iter().fold((f64::MAX, 0.0_f64), |(a, b), t| (a.min(*t), b.max(*t)));
        if least < Wedge::LEAST_M || most > cut.most_m {
            return None;
        }
        let lower = corners.map(|[x, z]| [x, bottom_m, z]);
        let upper = [0, 1, 2, 3].map(|i| [corners[i][0], bottom_m + tops[i], corners[i][1]]);
        Some(lower.into_iter().chain(upper).collect())
    }

    /// Smallest room between a level footprint and the vehicle above it, m; none where
    /// nothing is above it.
    fn clearance(&self, foot: Footprint, bottom_m: f64) -> Option<f64> {
        let mut spots = foot.corners().to_vec();
        spots.push(foot.at);
        spots
            .into_iter()
            .filter_map(|[x, z]| self.underside(x, z))
            .reduce(f64::min)
            .map(|height| height - bottom_m)
    }

    /// Where the top of a capture stack's layers stands now, without wedges, m: what it has
    /// carried may have pressed it down.
    fn capture_top_m(&self, index: usize) -> f64 {
        let Some(layer) = self.captures[index].layers.checked_sub(1) else {
            return self.scene.captures[index].sole_m() - self.sunk_m(Footing::Capture(index));
        };
        let kind = PartKind::CaptureTimber { capture: index, layer };
        let tops = self.parts.iter().zip(&self.bodies).filter(|(part, _)| part.kind == kind).map(
            |(part, body)| {
                f64::from(self.engine.bodies[*body].translation().y) - part.shape.lowest_m()
            },
        );
        let (sum, count) = tops.fold((0.0, 0.0), |(sum, count), top| (sum + top, count + 1.0));
        sum / count
    }

    /// Room above a capture stack's layers, m.
    pub(super) fn capture_room(&self, index: usize) -> f64 {
        let spec = &self.scene.captures[index];
        let foot = Footprint::of_size(spec.at, [spec.length_m; 2]);
        self.clearance(foot, self.capture_top_m(index)).unwrap_or(0.0)
    }

    /// Height of the vehicle's lowest point above a place on the ground, m.
    pub(super) fn underside(&self, x: f64, z: f64) -> Option<f64> {
        let ray = Ray::new(vector([x, -0.5, z]), Vector::Y);
        self.cast_on_vehicle(&ray, 4.0).map(|d| d - 0.5)
    }

    /// How far out along `away` the vehicle reaches between the ground and `height`, over a
    /// width about a place: its x on one end, its z on one side.
    fn face_towards(&self, at: [f64; 2], away: [f64; 2], half: f64, height: f64) -> Option<f64> {
        let axis = usize::from(away[0] == 0.0);
        let sign = away[axis];
        let mut outermost: Option<f64> = None;
        for side in [-half, 0.0, half] {
            for step in 0..8 {
                let y = height * (f64::from(step) + 0.5) / 8.0;
                let mut from = [at[0], y, at[1]];
                from[2 * axis] = sign * 6.0;
                from[2 - 2 * axis] += side;
                let ray = Ray::new(vector(from), vector([-away[0], 0.0, -away[1]]));
                if let Some(d) = self.cast_on_vehicle(&ray, 12.0) {
                    let reach = sign * (6.0 - d);
                    let further = outermost.is_none_or(|o| sign * reach > sign * o);
                    outermost = if further { Some(reach) } else { outermost };
                }
            }
        }
        outermost
    }

    fn cast_on_vehicle(&self, ray: &Ray, reach: f64) -> Option<f64> {
        let bodies: Vec<RigidBodyHandle> = std::iter::once(self.bodies[self.vehicle])
            .chain(self.panels.iter().map(|p| p.body))
            .collect();
        bodies
            .into_iter()
            .flat_map(|body| {
                let body = &self.engine.bodies[body];
                body.colliders().iter().map(|c| (*body.position(), *c)).collect::<Vec<_>>()
            })
            .filter_map(|(pose, collider)| {
                let collider = &self.engine.colliders[collider];
                let pose = match collider.position_wrt_parent() {
                    Some(local) => pose * *local,
                    None => pose,
                };
                // Most pieces are nowhere near: their boxes tell at a tenth of the price.
                let shape = collider.shape();
                shape
                    .compute_aabb(&pose)
                    .intersects_local_ray(ray, reach as Real)
                    .then(|| shape.cast_ray(&pose, ray, reach as Real, true))
                    .flatten()
            })
            .map(f64::from)
            .reduce(f64::min)
    }
}
