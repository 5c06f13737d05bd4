//! The plane in which a lift is balanced. On its roof that is the side view. On its side or
//! on its wheels a vehicle turns about a line along it, the tyres; there it is balanced in
//! its cross-section, which is laid out here as a side view of its own: the tyres that it
//! turns about where the nose would be, the lifted side where the tail would be. Everything
//! that stands by it is turned with it (geometry).

use crate::bag_law::Membrane;
use crate::scene::{
    Aims, Air, Bag, Beam, BearingEdge, Capture, CarriedBy, Chock, EdgeSection, Ground, HalfWidth,
    Limb, Measurements, Order, Profile, ProfilePoint, RestPose, RestsOn, Scene, SidePose,
    SolePlate, Spread, Stack, StepChock, Strap, Strut, TYRE_HALF_M, Vehicle, VehicleEdge, VoidFill,
    Wedge, WheelLaw,
};
use crate::tables::{FrictionPair, Material, ROOF_DEPTH_M, Wood};
use crate::units::UnitSystem;

/// A cross-section's heights count down from here, m: above any vehicle.
const TOP_M: f64 = 6.0;
/// What stands beside a cross-section may stand anywhere along the vehicle, m.
const ANYWHERE_M: f64 = 12.0;
/// A floor ends at least this far inside its tyres' outer walls, m.
const INSIDE_M: f64 = 0.02;

/// A scene laid out in the plane that it is balanced in: everything that has a place or a
/// direction is turned into that plane's frame, and the rest reads as the scene tells it.
///
/// A type of its own, because the same fields of a [`Scene`] are in another frame: in a
/// cross-section the ground's two slopes change places, and so do the sides of bags. What is
/// worked out in the plane takes this type, and only [`LaidOut::new`] makes it:
///
/// ```
/// use inchwise::statics::plane::LaidOut;
/// use inchwise::statics::vehicle::{Balance, InputVariation};
///
/// let scene = inchwise::scene::load("sill-crib", &[]).expect("a shipped scene").scene;
/// let laid_out = LaidOut::new(&scene).expect("it is lifted on one side");
/// Balance::new(&laid_out, [0.0, 0.0], InputVariation::NONE);
/// ```
///
/// The scene as it stands does not compile there:
///
/// ```compile_fail,E0308
/// use inchwise::statics::plane::LaidOut;
/// use inchwise::statics::vehicle::{Balance, InputVariation};
///
/// let scene = inchwise::scene::load("sill-crib", &[]).expect("a shipped scene").scene;
/// Balance::new(&scene, [0.0, 0.0], InputVariation::NONE);
/// ```
#[derive(Clone, Debug)]
pub struct LaidOut {
    pub vehicle: Vehicle,
    pub ground: Ground,
    pub limbs: Vec<Limb>,
    pub stacks: Vec<Stack>,
    pub void_fill: Vec<VoidFill>,
    pub step_chocks: Vec<StepChock>,
    pub captures: Vec<Capture>,
    pub chocks: Vec<Chock>,
    pub wedges: Vec<Wedge>,
    pub bags: Vec<Bag>,
    /// Where each strut's head is set to the vehicle: X, height and Z, m.
    pub strut_heads: Vec<[f64; 3]>,
    /// Where the vehicle can bear on the ground.
    pub edges: Vec<PlaneEdge>,
    /// The floor of a vehicle on its wheels goes so far to either side in the plane, m: a sill, which
    /// stands out over the tyres, is as high, and has no place there. Without bound in other poses.
    floor_m: f64,
    /// Z of the plane is so many times X of the vehicle where it lies on its side or its wheels.
    side: f64,
    /// The scene as it stands, for what reads the same in either frame. Private: its places
    /// and slopes are in the wrong one.
    told: Scene,
}

/// An edge by which the vehicle can bear on the ground, laid out in the plane.
#[derive(Clone, Debug)]
pub struct PlaneEdge {
    pub edge: BearingEdge,
    /// A wheel's section, which stays upright and is seen across the plane.
    pub upright: Option<EdgeSection>,
}

impl PlaneEdge {
    /// The point of the laid out profile at its lowest in a pose.
    pub fn lowest(&self, side_pose: SidePose) -> ProfilePoint {
        side_pose.profile(self.edge.lowest(|[x, y, _]| side_pose.ground([x, y])))
    }
}

impl LaidOut {
    /// Lays a scene out; on its roof it is in its plane already. None where a vehicle on its
    /// wheels is lifted on both sides, and so does not turn, or where it would not lie still.
    pub fn new(scene: &Scene) -> Option<Self> {
        if scene.lies == RestsOn::Roof {
            return Some(Self::as_it_stands(scene));
        }
        let pose = scene.vehicle.rest_pose(scene.lies)?;
        Some(Turn { side: lifted_side(scene)? }.lay_out(scene, pose))
    }

    fn as_it_stands(scene: &Scene) -> Self {
        Self {
            vehicle: scene.vehicle.clone(),
            ground: scene.ground.clone(),
            limbs: scene.limbs.clone(),
            stacks: scene.stacks.clone(),
            void_fill: scene.void_fill.clone(),
            step_chocks: scene.step_chocks.clone(),
            captures: scene.captures.clone(),
            chocks: scene.chocks.clone(),
            wedges: scene.wedges.clone(),
            bags: scene.bags.clone(),
            strut_heads: scene.struts.iter().map(Strut::aims_at).collect(),
            edges: edges(scene, |[x, y, _]| [x, y]),
            floor_m: f64::INFINITY,
            side: 1.0,
            told: scene.clone(),
        }
    }

    /// What of the vehicle is on the ground.
    pub fn lies(&self) -> RestsOn {
        self.told.lies
    }

    /// A bag's membrane under what lies on it.
    pub fn membrane(&self, bag: usize) -> Membrane {
        Membrane::of_size(self.bags[bag].size).under(Bag::face_m(bag, self.beam()))
    }

    /// Only a vehicle on its roof is lifted by a beam, and there the plane is the scene's own.
    pub fn beam(&self) -> Option<&Beam> {
        self.told.beam.as_ref()
    }

    /// Where the face that a step chock meets is read, along X, m.
    pub fn over_step_m(&self, chock: &StepChock) -> f64 {
        chock.at[0].clamp(-self.floor_m, self.floor_m)
    }

    /// Struts and straps as they stand: lengths and angles are the same in either frame.
    pub fn struts(&self) -> &[Strut] {
        &self.told.struts
    }

    pub fn straps(&self) -> &[Strap] {
        &self.told.straps
    }

    pub fn air(&self) -> &Air {
        &self.told.air
    }

    pub fn orders(&self) -> &[Order] {
        &self.told.orders
    }

    /// An order in words, by its index.
    pub fn order_text(&self, order: usize, units: UnitSystem) -> String {
        self.told.orders[order].say(&self.told, units)
    }

    pub fn aims(&self) -> &Aims {
        &self.told.aims
    }

    /// What was measured where it is played.
    pub fn measured(&self) -> Option<&Measurements> {
        self.told.measured.as_ref()
    }

    pub fn spread(&self) -> &Spread {
        &self.told.spread
    }

    pub fn wood(&self) -> &Wood {
        &self.told.wood
    }

    /// The front and the rear wheel of either side of a vehicle on its wheels: its law, and where
    /// it stands along Z, m.
    pub fn wheels(&self) -> Option<[(WheelLaw, f64); 2]> {
        let v = &self.told.vehicle;
        let of = |axle| (v.wheel_law(axle, self.told.lashed), self.side * v.wheel_x_m[axle]);
        (self.told.lies == RestsOn::Wheels).then(|| [of(0), of(1)])
    }

    /// The row of the pair table for two materials, with the shares that hold here.
    pub fn friction(&self, a: Material, b: Material) -> Option<FrictionPair> {
        self.told.friction(a, b)
    }

    /// Friction between what the vehicle lies on and the ground.
    pub fn rest_friction(&self) -> Option<FrictionPair> {
        self.told.rest_friction()
    }

    /// What pulls downhill in the plane and across it where no staked chock stands in the way,
    /// as shares of the weight.
    pub fn unchocked_pull(&self) -> [f64; 2] {
        let [x, z] = self.told.unchocked_pull();
        // Magnitudes: which way either falls is told by the ground.
        if self.told.lies == RestsOn::Roof { [x.abs(), z.abs()] } else { [z.abs(), x.abs()] }
    }
}

/// The vehicle's edges, laid out; both wheels of a side are one.
fn edges(scene: &Scene, point: impl Fn([f64; 3]) -> ProfilePoint) -> Vec<PlaneEdge> {
    let all = scene.vehicle.bearing_edges(scene.lies).into_iter();
    let laid = |edge: BearingEdge| {
        let stands = matches!(edge.of, VehicleEdge::Wheel(_));
        let upright = stands.then(|| edge.section(|[x, y, _]| [x, y]));
        PlaneEdge { edge: edge.laid_out(&point), upright }
    };
    all.filter(|edge| !matches!(edge.of, VehicleEdge::Wheel(2..))).map(laid).collect()
}

/// The lifted side along Z of a vehicle on its side or its wheels; none where it is both.
fn lifted_side(scene: &Scene) -> Option<f64> {
    match scene.lies {
        RestsOn::LeftSide => Some(-1.0),
        RestsOn::RightSide => Some(1.0),
        _ => {
            let mut sides = scene.bags.iter().filter_map(|bag| match bag.on {
                CarriedBy::Stack(s) => Some(scene.stacks[s].at[1].signum()),
                CarriedBy::Bag(_) => None,
            });
            // Where nothing lifts, both sides give the same.
            let side = sides.next().unwrap_or(1.0);
            sides.all(|other| other == side).then_some(side)
        }
    }
}

fn swapped([x, z]: [f64; 2]) -> [f64; 2] {
    [z, x]
}

/// How far to either side the floor of a vehicle on its wheels goes in the plane, m: to its sills,
/// and not into its tyres.
fn floor_m(v: &Vehicle) -> f64 {
    v.half_width.sill.min(v.track_m / 2.0 - INSIDE_M)
}

/// The turn of the ground that brings the tyres it turns about to the front.
#[derive(Clone, Copy)]
struct Turn {
    side: f64,
}

impl Turn {
    fn place(self, [x, z]: [f64; 2]) -> [f64; 2] {
        [-self.side * z, self.side * x]
    }

    fn lay_out(self, scene: &Scene, pose: RestPose) -> LaidOut {
        let mut out = LaidOut::as_it_stands(scene);
        out.side = self.side;
        out.vehicle = self.vehicle(&scene.vehicle, scene.lies, pose);
        if scene.lies == RestsOn::Wheels {
            out.floor_m = floor_m(&scene.vehicle) - INSIDE_M;
        }
        out.edges = edges(scene, |[_, y, z]| self.point(pose, [y, z]));
        out.ground.slope_rad = -self.side * scene.ground.cross_slope_rad;
        out.ground.cross_slope_rad = self.side * scene.ground.slope_rad;
        let turn_sole = |sole: &mut Option<SolePlate>| {
            if let Some(sole) = sole {
                sole.size = swapped(sole.size);
            }
        };
        for limb in &mut out.limbs {
            limb.at = self.place(limb.at);
            limb.size = swapped(limb.size);
        }
        for stack in &mut out.stacks {
            stack.at = self.place(stack.at);
            stack.lean = self.place(stack.lean);
            turn_sole(&mut stack.sole);
        }
        for fill in &mut out.void_fill {
            fill.at = self.place(fill.at);
            turn_sole(&mut fill.sole);
        }
        for chock in &mut out.step_chocks {
            chock.at = self.place(chock.at);
            chock.across = !chock.across;
        }
        for capture in &mut out.captures {
            capture.at = self.place(capture.at);
            turn_sole(&mut capture.sole);
        }
        for head in &mut out.strut_heads {
            let [x, z] = self.place([head[0], head[2]]);
            *head = [x, head[1], z];
        }
        for chock in &mut out.chocks {
            chock.at = self.place(chock.at);
        }
        for wedge in &mut out.wedges {
            wedge.size = swapped(wedge.size);
        }
        for bag in &mut out.bags {
            bag.size = swapped(bag.size);
        }
        out
    }

    /// The point of the profile at a height of the vehicle and a place across it.
    fn point(self, pose: RestPose, [y, z]: [f64; 2]) -> ProfilePoint {
        let [across, up] = pose.across(y, z);
        [-self.side * across, TOP_M - up]
    }

    fn vehicle(self, v: &Vehicle, lies: RestsOn, pose: RestPose) -> Vehicle {
        let point = |y: f64, z: f64| self.point(pose, [y, z]);
        let (p, w) = (&v.profile, v.half_width);
        // A wheel on its spring stays flat on the ground, and turns about its middle.
        let wall = if lies == RestsOn::Wheels { 0.0 } else { TYRE_HALF_M };
        let tyre = v.track_m / 2.0 + wall;
        let roof = p.header[1].min(p.roof_rear[1]);
        // The highest place as it lies.
        let top = |y: f64, z: f64| point(y, z)[1];
        let (outline, floor_y, wheelbase) = if lies == RestsOn::Wheels {
            let (far, near) = (-self.side, self.side);
            let sill = floor_m(v);
            let floor = |share: f64| point(p.floor_y, share * far * sill);
            let outline = [
                point(0.0, far * tyre),
                floor(1.0),
                floor(0.5),
                floor(-0.5),
                floor(-1.0),
                point(0.0, near * tyre),
            ];
            (outline, top(roof, 0.0), v.track_m)
        } else {
            let down = if lies == RestsOn::LeftSide { -1.0 } else { 1.0 };
            let belt = p.belt_y(v.com_m[0].clamp(p.deck_front[0], p.cowl[0]));
            let outline = [
                point(0.0, down * tyre),
                point(p.floor_y, down * w.sill),
                point(p.waist_y, down * w.body),
                point(belt, down * v.side_at(belt)),
                point(roof - ROOF_DEPTH_M, down * w.roof),
                point(roof, down * w.roof),
            ];
            (outline, top(p.waist_y, -down * w.body), v.com_m[1])
        };
        let [nose, cowl, header, roof_rear, deck_front, deck_rear] = outline;
        let [com_x, com_y] = point(v.com_m[1], v.com_m[2]);
        Vehicle {
            com_m: [com_x, com_y, -self.side * v.com_m[0]],
            profile: Profile {
                nose,
                cowl,
                header,
                roof_rear,
                deck_front,
                deck_rear,
                floor_y,
                waist_y: floor_y,
            },
            half_width: HalfWidth {
                body: ANYWHERE_M,
                belt: ANYWHERE_M,
                sill: ANYWHERE_M,
                // What bears at the tyres bears over the wheelbase.
                roof: (v.wheel_x_m[0] - v.wheel_x_m[1]) / 2.0,
            },
            // The uncertainty of its centre of mass is a share of this.
            wheel_x_m: [wheelbase / 2.0, -wheelbase / 2.0],
            posts: Vec::new(),
            openings: Vec::new(),
            panels: Vec::new(),
            // Laid out as it lies already.
            said_pitch_rad: 0.0,
            ..v.clone()
        }
    }
}
