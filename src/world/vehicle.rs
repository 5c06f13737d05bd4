//! The vehicle in the engine: its body, the sheet metal on it that yields, and what a ray
//! from below or from the side meets of it.

use super::bodies::Bodies;
use super::engine::{
    Ball, BodySpec, ColliderHandle, Cuboid, Engine, Groups, Mass, MassProperties, PlacedShape,
    Pose, Ray, Real, RigidBodyHandle, Rotation, Vector,
};
use super::roof::Roof;
use super::shapes::{self, PANEL_M, collider, plain, vector};
use super::sight::{BOX_OFF_M, first_met};
use super::suspension::SprungWheel;
use super::yielding::{Law, YieldingSupport, strip_m};
use crate::scene::{Footprint, Panel, RestsOn, Scene, Vehicle, VehicleEdge};
use crate::snapshot::{Load, PartId, PartKind, Shape};
use crate::tables::{Material, SNUG_M};

/// Mass of a sheet-metal panel's plate, kg (assumed; it only gives the plate a body, its weight
/// is in the vehicle's).
const PANEL_KG: f64 = 8.0;
/// Springs of a panel across the vehicle: its corners, an eighth of it, yield by themselves.
const SPRINGS: usize = 8;
/// A plate is let go when something has come this near to it, m: before it bears, yet not for a
/// wedge that is snug under the rail beside it.
const NEAR_M: f64 = 0.5 * SNUG_M;
/// A plate that nothing has touched for this many steps is the vehicle's again: half a second,
/// in which its springs come to rest.
const LET_GO_STEPS: usize = 60;
/// What is sent up to the vehicle comes from this height, under all that may be pressed into
/// the ground, and goes this far, m.
const FROM_M: f64 = -0.5;
const REACH_M: f64 = 4.0;
/// The room over what has no vehicle above it, m: the height up to which is measured.
pub(super) const CLEAR_M: f64 = FROM_M + REACH_M;
/// Half the thickness of a plate that is sent up, m; it alone counts for no height.
const HALF_PLATE_M: f64 = 0.01;
/// What the wheels leave of a moment of inertia at least, no unit (assumed).
const LEAST_MOMENT_SHARE: f64 = 0.3;
/// A hidden load is a block of this side, m (assumed).
const BLOCK_M: f64 = 0.5;

/// The vehicle's part, and what yields of it.
#[derive(Clone, Default)]
pub(super) struct VehicleBody {
    pub part: PartId,
    panels: Vec<SheetMetal>,
    roof: Roof,
    /// The wheels' shapes where they are fast to it.
    fast_wheels: Vec<ColliderHandle>,
    /// On its wheels only: lying otherwise its wheels are as good as fast to it.
    wheels: Vec<SprungWheel>,
}

/// A zone of sheet metal: a plate on a strip of springs across the vehicle, so that it gives
/// and rolls. While nothing touches it, its shape is the vehicle's: a plate on its joint costs a
/// twentieth of a step whether it bears or not.
#[derive(Clone)]
struct SheetMetal {
    support: YieldingSupport,
    shape: ColliderHandle,
    /// The plate in the vehicle while it is the vehicle's; none while it moves by itself.
    laid_by: Option<Pose>,
    untouched_steps: usize,
}

/// The vehicle without its wheels where it stands on them: kg, centre of mass, m, and moments
/// about that, kg m2.
fn shell(v: &Vehicle, lies: RestsOn) -> (f64, [f64; 3], [f64; 3]) {
    if lies != RestsOn::Wheels {
        return (v.mass_kg, v.com_m, v.inertia_kg_m2);
    }
    let (wheel_kg, middles) = (v.wheel_kg(), shapes::wheel_middles(v));
    let kg = v.mass_kg - 4.0 * wheel_kg;
    let of_wheels = |i: usize| middles.iter().map(|at| wheel_kg * at[i]).sum::<f64>();
    let com = [0, 1, 2].map(|i| (v.mass_kg * v.com_m[i] - of_wheels(i)) / kg);
    // The parallel axis theorem; a wheel is small enough to count as a point.
    let off = |at: [f64; 3], i: usize| {
        let [j, k] = [(i + 1) % 3, (i + 2) % 3].map(|axis| at[axis] - v.com_m[axis]);
        j * j + k * k
    };
    let inertia = [0, 1, 2].map(|i| {
        let away = middles.iter().map(|at| wheel_kg * off(*at, i)).sum::<f64>() + kg * off(com, i);
        // A vehicle whose given moments leave too little keeps a part of them.
        (v.inertia_kg_m2[i] - away).max(LEAST_MOMENT_SHARE * v.inertia_kg_m2[i])
    });
    (kg, com, inertia)
}

impl VehicleBody {
    /// Lays the vehicle down as the scene says. A checked scene's vehicle lies still so.
    pub fn lay(engine: &mut Engine, bodies: &mut Bodies, scene: &Scene) -> Self {
        let v = &scene.vehicle;
        let Some(rest_pose) = v.rest_pose(scene.lies) else {
            return Self::default();
        };
        let (kg, com, inertia) = shell(v, scene.lies);
        let rotation = Rotation::from_rotation_z(-rest_pose.pitch_rad as Real)
            * Rotation::from_rotation_x(rest_pose.turn_rad as Real);
        let pose = Pose::from_parts(vector(rest_pose.origin), rotation);
        let hard_ground = scene.ground.soil.is_none();
        let roof = shapes::roof_colliders(v, hard_ground).into_iter();
        let (corners, over): (Vec<usize>, Vec<_>) = roof.unzip();
        let body = shapes::body_colliders(v);
        let below = body.len();
        let spec = BodySpec {
            position: pose.translation,
            rotation,
            shapes: body.into_iter().chain(over).collect(),
            mass: Mass::Given { kg, com: vector(com), inertia: vector(inertia) },
            fixed: false,
            friction: bodies.grip_of(Material::Sheet),
            groups: Groups::Vehicle,
        };
        let part = bodies.add(engine, v.name.clone(), PartKind::Vehicle, Shape::Vehicle, spec);
        let body = bodies.handles[part];
        let over = engine.bodies[body].colliders().iter().skip(below).copied();
        let roof = Roof::new(corners.into_iter().zip(over).collect());
        let rubber = bodies.grip_of(Material::Rubber);
        let mut vehicle = Self { part, roof, ..Self::default() };
        for (index, shape) in shapes::wheel_colliders(v, scene.lies).into_iter().enumerate() {
            if scene.lies == RestsOn::Wheels {
                vehicle.wheels.push(SprungWheel::hang(engine, bodies, scene, index, shape, part));
            } else {
                engine.add_shape(body, shape, rubber);
                vehicle.fast_wheels.extend(engine.bodies[body].colliders().last());
            }
        }
        for (index, panel) in v.panels.iter().enumerate() {
            vehicle.hang(engine, bodies, v, (index, panel), pose);
        }
        vehicle
    }

    /// Hangs a panel's plate on the vehicle, which stands in `pose`.
    fn hang(
        &mut self,
        engine: &mut Engine,
        bodies: &mut Bodies,
        v: &Vehicle,
        (index, panel): (usize, &Panel),
        pose: Pose,
    ) {
        let (face, half_length, slope) = shapes::panel_face(v, panel);
        let tilt = Rotation::from_rotation_z(slope as Real);
        // The plate's outer face lies in the outline; its middle half a plate below.
        let middle = vector([face[0], face[1], 0.0]) - tilt * vector([0.0, PANEL_M / 2.0, 0.0]);
        let frame = Pose::from_parts(middle, tilt);
        let at = pose * frame;
        let half = [half_length, PANEL_M / 2.0, panel.half_width_m];
        let shape = Shape::Box(half);
        let [x2, y2, z2] = half.map(|h| h * h);
        let spec = BodySpec {
            position: at.translation,
            rotation: at.rotation,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Given {
                kg: PANEL_KG,
                com: vector([0.0; 3]),
                inertia: vector([y2 + z2, x2 + z2, x2 + y2].map(|sum| PANEL_KG / 3.0 * sum)),
            },
            fixed: false,
            friction: bodies.grip_of(Material::Sheet),
            groups: Groups::Vehicle,
        };
        let part = bodies.add(engine, panel.name.clone(), PartKind::Panel(index), shape, spec);
        let law = Law {
            stiffness_n_m: panel.stiffness_n_m / SPRINGS as f64,
            plateau_n: panel.plateau_n / SPRINGS as f64,
            rest_m: 0.0,
            limits_m: [-panel.depth_m, 0.0],
            pulls: true,
        };
        let (vehicle, plate) = (bodies.handles[self.part], bodies.handles[part]);
        engine.bodies[plate].set_gravity_scale(0.0, false);
        let springs = strip_m::<SPRINGS>(2.0 * panel.half_width_m).map(|z| [0.0, z]);
        let support = YieldingSupport::bed(engine, vehicle, plate, frame, law, &springs);
        let Some(shape) = engine.bodies[plate].colliders().first().copied() else { return };
        let mut metal = SheetMetal { support, shape, laid_by: None, untouched_steps: 0 };
        metal.lay_by(engine, vehicle);
        self.panels.push(metal);
    }

    /// Holds back the sway of its sheet metal while it is laid down, and no longer.
    pub fn hold_back(&mut self, laid_down: bool) {
        for panel in &mut self.panels {
            panel.support.hold_back(laid_down);
        }
    }

    /// Has the panels yield and the springs push for one step. They push the vehicle afresh each
    /// time.
    pub fn advance(&mut self, engine: &mut Engine, bodies: &Bodies) {
        let vehicle = &mut engine.bodies[bodies.handles[self.part]];
        vehicle.reset_forces(false);
        vehicle.reset_torques(false);
        for panel in self.panels.iter_mut().filter(|panel| panel.laid_by.is_none()) {
            panel.support.advance(engine);
        }
        for wheel in &mut self.wheels {
            wheel.advance(engine);
        }
    }

    /// After a step: lets go the plates that something has come near, lays by those that have
    /// been left alone.
    pub fn tend(&mut self, engine: &mut Engine, bodies: &Bodies) {
        let vehicle = bodies.handles[self.part];
        for panel in &mut self.panels {
            panel.tend(engine, vehicle);
        }
    }

    /// Lets the roof go in where it bore more in the last step than it can.
    pub fn give_way(&mut self, engine: &mut Engine, bodies: &Bodies, v: &Vehicle, loads: &[Load]) {
        self.roof.give(engine, bodies, (self.part, v), loads);
    }

    /// The most that a corner of the roof has gone in, m.
    pub fn roof_set_m(&self) -> f64 {
        self.roof.set_m()
    }

    /// Its shapes, each with the edge by which that would meet the ground; none of what is over
    /// the wheels that it stands on.
    pub fn shapes_by_edge(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        scene: &Scene,
    ) -> Vec<(ColliderHandle, VehicleEdge)> {
        let v = &scene.vehicle;
        let p = &v.profile;
        let of_wheel = |(i, wheel): (usize, &SprungWheel)| {
            let shapes = engine.bodies[wheel.body].colliders();
            shapes.iter().map(move |shape| (*shape, VehicleEdge::Wheel(i))).collect::<Vec<_>>()
        };
        if scene.lies == RestsOn::Wheels {
            return self.wheels.iter().enumerate().flat_map(of_wheel).collect();
        }
        let on_side = scene.lies.on_side();
        let body_middle_x = f64::midpoint(p.cowl[0], p.deck_front[0]);
        let of_body = |shape: ColliderHandle| match engine.middle_of(shape) {
            _ if on_side => VehicleEdge::Side,
            Some(middle) if f64::from(middle.x) > body_middle_x => VehicleEdge::Nose,
            _ => VehicleEdge::Tail,
        };
        let of_roof = |front: bool| match front {
            _ if on_side => VehicleEdge::RoofRail,
            true => VehicleEdge::RoofFront,
            false => VehicleEdge::RoofRear,
        };
        // Of the roof's two edges the one that lies lower has the skin between them.
        let side_pose = v.roof_pose();
        let low_front =
            side_pose.is_some_and(|pose| pose.ground(p.header)[1] <= pose.ground(p.roof_rear)[1]);
        let of = |shape: ColliderHandle| {
            let panel = self.panels.iter().position(|panel| panel.shape == shape);
            if self.fast_wheels.contains(&shape) && on_side {
                VehicleEdge::Tyres
            } else if let Some(corner) = self.roof.corner_of(shape) {
                of_roof(corner < 2)
            } else if panel.is_some_and(|index| v.panels[index].on_roof(p)) {
                of_roof(low_front)
            } else {
                of_body(shape)
            }
        };
        let shapes = engine.bodies[bodies.handles[self.part]].colliders();
        shapes.iter().map(|shape| (*shape, of(*shape))).collect()
    }

    /// The vehicle as the scene has it, with loads in it that nobody knew of: kg and place.
    pub fn load_up(
        &self,
        engine: &mut Engine,
        bodies: &Bodies,
        scene: &Scene,
        hidden: impl Iterator<Item = (f64, [f64; 3])>,
    ) {
        let (kg, com, inertia) = shell(&scene.vehicle, scene.lies);
        let bare = MassProperties::new(vector(com), kg as Real, vector(inertia));
        let all = hidden.fold(bare, |sum, (kg, place_m)| {
            let about = vector([kg * BLOCK_M * BLOCK_M / 6.0; 3]);
            sum + MassProperties::new(vector(place_m), kg as Real, about)
        });
        if let Some(body) = engine.bodies.get_mut(bodies.handles[self.part]) {
            body.set_additional_mass_properties(all, true);
        }
        engine.wake_all();
    }

    /// The centre of mass of the vehicle with its wheels, m.
    pub fn com(&self, engine: &Engine, bodies: &Bodies) -> [f64; 3] {
        let parts = std::iter::once(bodies.handles[self.part]);
        let parts = parts.chain(self.wheels.iter().map(|wheel| wheel.body));
        let (kg, moment) = parts.fold((0.0, Vector::ZERO), |(kg, moment), body| {
            let body = &engine.bodies[body];
            (kg + body.mass(), moment + body.center_of_mass() * body.mass())
        });
        plain(moment / kg)
    }

    /// Its shapes as it stands now, its panels' and its wheels' with them.
    pub fn outline<'a>(&'a self, engine: &'a Engine, bodies: &Bodies) -> PlacedVehicle<'a> {
        let own: RigidBodyHandle = bodies.handles[self.part];
        let panels = self.panels.iter().map(|panel| panel.support.body);
        let wheels = self.wheels.iter().map(|wheel| wheel.body);
        let all = std::iter::once(own).chain(panels).chain(wheels);
        PlacedVehicle(all.flat_map(|body| engine.shapes(body)).collect())
    }

    /// How far out along `away` the vehicle reaches between the ground and `height`, over a
    /// width about a place: its x on one end, its z on one side.
    pub fn face_towards(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        at: [f64; 2],
        away: [f64; 2],
        [half, height]: [f64; 2],
    ) -> Option<f64> {
        let axis = usize::from(away[0] == 0.0);
        let sign = away[axis];
        let outline = self.outline(engine, bodies);
        let mut outermost: Option<f64> = None;
        for side in [-half, 0.0, half] {
            for step in 0..8 {
                let y = height * (f64::from(step) + 0.5) / 8.0;
                let mut from = [at[0], y, at[1]];
                from[2 * axis] = sign * 6.0;
                from[2 - 2 * axis] += side;
                let ray = Ray::new(vector(from), vector([-away[0], 0.0, -away[1]]));
                if let Some(d) = outline.cast(&ray, 12.0) {
                    let reach = sign * (6.0 - d);
                    let further = outermost.is_none_or(|o| sign * reach > sign * o);
                    outermost = if further { Some(reach) } else { outermost };
                }
            }
        }
        outermost
    }
}

impl SheetMetal {
    fn tend(&mut self, engine: &mut Engine, vehicle: RigidBodyHandle) {
        let touched = engine.stands_near(self.shape, NEAR_M);
        match self.laid_by {
            Some(pose) if touched => self.let_go(engine, vehicle, pose),
            Some(pose) => {
                let at = *engine.bodies[vehicle].position() * pose;
                engine.bodies[self.support.body].set_position(at, false);
            }
            None if touched => self.untouched_steps = 0,
            None => {
                self.untouched_steps += 1;
                if self.untouched_steps >= LET_GO_STEPS {
                    self.lay_by(engine, vehicle);
                }
            }
        }
    }

    /// The plate moves by itself, on its springs.
    fn let_go(&mut self, engine: &mut Engine, vehicle: RigidBodyHandle, pose: Pose) {
        let body = &engine.bodies[vehicle];
        let at = *body.position() * pose;
        let (velocity, spin) = (body.velocity_at_point(at.translation), body.angvel());
        let plate = &mut engine.bodies[self.support.body];
        plate.set_position(at, true);
        plate.set_linvel(velocity, true);
        plate.set_angvel(spin, true);
        plate.set_enabled(true);
        engine.hand_over(self.shape, self.support.body, Pose::IDENTITY);
        (self.laid_by, self.untouched_steps) = (None, 0);
    }

    /// The plate stays where it is in the vehicle, as a shape of the vehicle's.
    fn lay_by(&mut self, engine: &mut Engine, vehicle: RigidBodyHandle) {
        let at = *engine.bodies[self.support.body].position();
        let pose = engine.bodies[vehicle].position().inverse() * at;
        engine.hand_over(self.shape, vehicle, pose);
        engine.bodies[self.support.body].set_enabled(false);
        self.laid_by = Some(pose);
    }
}

/// The vehicle's shapes where they stand at a moment, for what comes from below or from the
/// side.
pub(super) struct PlacedVehicle<'a>(Vec<PlacedShape<'a>>);

impl<'a> PlacedVehicle<'a> {
    /// Only the shapes that stand over some of a footprint, the lowest first: whatever is over
    /// a spot of it is met among them, and mostly at once.
    pub fn over(&self, foot: Footprint) -> PlacedVehicle<'a> {
        let [least, greatest] = [-1.0, 1.0]
            .map(|way| [0, 1].map(|axis| foot.at[axis] + way * (foot.half[axis] + BOX_OFF_M)));
        let mut over: Vec<PlacedShape<'a>> =
            self.0.iter().filter(|at| at.is_over(least, greatest)).copied().collect();
        over.sort_by(|a, b| a.bottom_m().total_cmp(&b.bottom_m()));
        PlacedVehicle(over)
    }

    /// Height of its lowest point above a place on the ground, m.
    pub fn underside(&self, [x, z]: [f64; 2]) -> Option<f64> {
        let up = Ray::new(vector([x, FROM_M, z]), vector([0.0, 1.0, 0.0]));
        self.cast(&up, REACH_M).map(|d| FROM_M + d)
    }

    /// How far a ball's middle comes from a place on the way to another and past it, m, before the
    /// ball meets any of it: the library's own cast of one convex shape against another. None
    /// where nothing is on the way, or the ball stands in it.
    pub fn ball_reaches(&self, radius_m: f64, from: Vector, to: Vector) -> Option<f64> {
        let ball = Ball::new(radius_m as Real);
        let ball = PlacedShape::new(&ball, Pose::from_translation(from));
        let along = (to - from).normalize();
        let met = self.0.iter().filter_map(|at| ball.way_to(at, along, REACH_M));
        met.reduce(f64::min).filter(|way_m| *way_m > 0.0)
    }

    /// The first of it on the way from a place to another, or so far past that, m.
    pub fn first_met(&self, from: Vector, to: Vector, past_m: f64) -> Option<Vector> {
        let along = (to - from).normalize();
        let reach_m = f64::from((to - from).length()) + past_m;
        let way_m = self.cast(&Ray::new(from, along), reach_m)?;
        Some(from + along * way_m as Real)
    }

    /// Smallest room between a level footprint and all of the vehicle above it, m; none where
    /// nothing is above it. A plate of that size is what is sent up, so that nothing between
    /// spots is missed and a larger footprint never has more room.
    pub fn clearance(&self, foot: Footprint, bottom_m: f64) -> Option<f64> {
        let plate = Cuboid::new(vector([foot.half[0], HALF_PLATE_M, foot.half[1]]));
        let middle = vector([foot.at[0], FROM_M - HALF_PLATE_M, foot.at[1]]);
        let plate = PlacedShape::new(&plate, Pose::from_translation(middle));
        self.least_room_over([plate]).map(|room| FROM_M + room - bottom_m)
    }

    /// Smallest room between some shapes and all of the vehicle straight above them, m; none
    /// where nothing is above them.
    pub fn least_room_over<'s>(
        &self,
        shapes: impl IntoIterator<Item = PlacedShape<'s>>,
    ) -> Option<f64> {
        let pairs = shapes.into_iter().flat_map(|low| self.0.iter().map(move |above| (low, above)));
        pairs.fold(None, |least, (low, above)| {
            low.room_under(above, least.unwrap_or(REACH_M)).or(least)
        })
    }

    /// How far along a ray it is met first, m.
    fn cast(&self, ray: &Ray, reach_m: f64) -> Option<f64> {
        first_met(ray, reach_m, self.0.iter().map(|at| ((), *at))).map(|(d, ..)| d)
    }
}
