//! The vehicle in the engine: its body, the sheet metal on it that yields, and what a ray
//! from below or from the side meets of it.

use super::bodies::Bodies;
use super::engine::{
    BodySpec, Cuboid, Engine, Groups, Mass, MassProperties, PlacedShape, Pose, Ray, Real,
    RigidBodyHandle, Rotation,
};
use super::shapes::{self, PANEL_M, collider, vector};
use super::yielding::{Law, YieldingSupport};
use crate::scene::{Footprint, Panel, Scene, Vehicle};
use crate::snapshot::{PartId, PartKind, Shape};
use crate::tables::Material;

/// Mass of a sheet-metal panel, kg (assumed; taken out of the vehicle's).
const PANEL_KG: f64 = 8.0;
/// A shape's box may be off by less than this, m: positions are single precision.
const BOX_OFF_M: f64 = 1e-4;
/// What is sent up to the vehicle comes from this height, under all that may be pressed into
/// the ground, and goes this far, m.
const FROM_M: f64 = -0.5;
const REACH_M: f64 = 4.0;
/// The room over what has no vehicle above it, m: the height up to which is measured.
pub(super) const CLEAR_M: f64 = FROM_M + REACH_M;
/// Half the thickness of a plate that is sent up, m; it alone counts for no height.
const HALF_PLATE_M: f64 = 0.01;
/// A hidden load is a block of this side, m (assumed).
const BLOCK_M: f64 = 0.5;

/// The vehicle's part, and what yields of it.
#[derive(Clone)]
pub(super) struct VehicleBody {
    pub part: PartId,
    panels: Vec<YieldingSupport>,
}

/// The vehicle without its panels' plates, kg.
fn shell_kg(v: &Vehicle) -> f64 {
    v.mass_kg - PANEL_KG * v.panels.len() as f64
}

impl VehicleBody {
    /// Lays the vehicle down as the scene says. A checked scene's vehicle lies still so.
    pub fn lay(engine: &mut Engine, bodies: &mut Bodies, scene: &Scene) -> Self {
        let v = &scene.vehicle;
        let Some(rest_pose) = v.rest_pose(scene.lies) else {
            return Self { part: 0, panels: Vec::new() };
        };
        let rotation = Rotation::from_rotation_z(-rest_pose.pitch_rad as Real)
            * Rotation::from_rotation_x(rest_pose.turn_rad as Real);
        let pose = Pose::from_parts(vector(rest_pose.origin), rotation);
        let spec = BodySpec {
            position: pose.translation,
            rotation,
            shapes: shapes::vehicle_colliders(v),
            mass: Mass::Given {
                kg: shell_kg(v),
                com: vector(v.com_m),
                inertia: vector(v.inertia_kg_m2),
            },
            fixed: false,
            friction: bodies.grip_of(Material::Sheet),
            groups: Groups::Vehicle,
        };
        let part = bodies.add(engine, v.name.clone(), PartKind::Vehicle, Shape::Vehicle, spec);
        let body = bodies.handles[part];
        let rubber = bodies.grip_of(Material::Rubber);
        for wheel in shapes::wheel_colliders(v) {
            engine.add_shape(body, wheel, rubber);
        }
        let mut vehicle = Self { part, panels: Vec::new() };
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
        let volume = 8.0 * half.iter().product::<f64>();
        let spec = BodySpec {
            position: at.translation,
            rotation: at.rotation,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Density(PANEL_KG / volume),
            fixed: false,
            friction: bodies.grip_of(Material::Sheet),
            groups: Groups::Vehicle,
        };
        let part = bodies.add(engine, panel.name.clone(), PartKind::Panel(index), shape, spec);
        let law = Law {
            stiffness_n_m: panel.stiffness_n_m,
            plateau_n: panel.plateau_n,
            rest_m: 0.0,
            limits_m: [-panel.depth_m, 0.0],
        };
        let (vehicle, plate) = (bodies.handles[self.part], bodies.handles[part]);
        self.panels.push(YieldingSupport::new(engine, vehicle, plate, frame, law));
    }

    /// Has the panels yield and push for one step. They push the vehicle afresh each time.
    pub fn advance(&mut self, engine: &mut Engine, bodies: &Bodies) {
        let vehicle = &mut engine.bodies[bodies.handles[self.part]];
        vehicle.reset_forces(false);
        vehicle.reset_torques(false);
        for panel in &mut self.panels {
            panel.advance(engine);
        }
    }

    /// The vehicle as the scene has it, with loads in it that nobody knew of: kg and place.
    pub fn load_up(
        &self,
        engine: &mut Engine,
        bodies: &Bodies,
        v: &Vehicle,
        hidden: impl Iterator<Item = (f64, [f64; 3])>,
    ) {
        let bare =
            MassProperties::new(vector(v.com_m), shell_kg(v) as Real, vector(v.inertia_kg_m2));
        let all = hidden.fold(bare, |sum, (kg, place_m)| {
            let about = vector([kg * BLOCK_M * BLOCK_M / 6.0; 3]);
            sum + MassProperties::new(vector(place_m), kg as Real, about)
        });
        if let Some(body) = engine.bodies.get_mut(bodies.handles[self.part]) {
            body.set_additional_mass_properties(all, true);
        }
        engine.wake_all();
    }

    /// Its shapes as it stands now, its panels' with them.
    pub fn outline<'a>(&'a self, engine: &'a Engine, bodies: &Bodies) -> Outline<'a> {
        let own: RigidBodyHandle = bodies.handles[self.part];
        let all = std::iter::once(own).chain(self.panels.iter().map(|panel| panel.body));
        Outline(all.flat_map(|body| engine.shapes(body)).collect())
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
                if let Some(d) = outline.cast(&[ray], 12.0) {
                    let reach = sign * (6.0 - d);
                    let further = outermost.is_none_or(|o| sign * reach > sign * o);
                    outermost = if further { Some(reach) } else { outermost };
                }
            }
        }
        outermost
    }
}

/// The vehicle's shapes where they stand at a moment, for what comes from below or from the
/// side.
pub(super) struct Outline<'a>(Vec<PlacedShape<'a>>);

impl<'a> Outline<'a> {
    /// Only the shapes that stand over some of a footprint, the lowest first: whatever is over
    /// a spot of it is met among them, and mostly at once.
    pub fn over(&self, foot: Footprint) -> Outline<'a> {
        let [least, greatest] = [-1.0, 1.0]
            .map(|way| [0, 1].map(|axis| foot.at[axis] + way * (foot.half[axis] + BOX_OFF_M)));
        let mut over: Vec<PlacedShape<'a>> =
            self.0.iter().filter(|at| at.is_over(least, greatest)).copied().collect();
        over.sort_by(|a, b| a.bottom_m().total_cmp(&b.bottom_m()));
        Outline(over)
    }

    /// Height of its lowest point above a place on the ground, m.
    pub fn underside(&self, [x, z]: [f64; 2]) -> Option<f64> {
        let up = Ray::new(vector([x, FROM_M, z]), vector([0.0, 1.0, 0.0]));
        self.cast(&[up], REACH_M).map(|d| FROM_M + d)
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

    /// How far along any of some rays it is met first, m.
    fn cast(&self, rays: &[Ray], reach_m: f64) -> Option<f64> {
        let mut first: Option<f64> = None;
        for at in &self.0 {
            for ray in rays {
                // What is met further off than something else need not be known.
                let reach_m = first.map_or(reach_m, |first| reach_m.min(first + BOX_OFF_M));
                if !at.is_near(ray, reach_m) {
                    continue;
                }
                let met = at.shape.cast_ray(&at.pose, ray, reach_m as Real, true).map(f64::from);
                first = [first, met].into_iter().flatten().reduce(f64::min);
            }
        }
        first
    }
}
