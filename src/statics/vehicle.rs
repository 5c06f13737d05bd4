//! The vehicle as it lies and as it rises: what it bears on, the load on each, about what
//! it turns, and the force that lifts it. A rigid body in the side view on supports that
//! only push: the ground, sheet metal that gives way, packing, trapped limbs.
//!
//! For a given rise of the lift point the nose-down angle is the one at which the moments
//! about the lift point cancel; the force of the lift is then what is missing in the
//! vertical (statics; textbook). Sheet metal remembers how far it was pushed in, so a lift
//! is worked out in small steps from the start.
//!
//! A vehicle on its wheels stands on four springs, and turns out of the plane as well: at every
//! place it rolls until the moments about the lift point cancel there too, `sum F_i (z_i - z_l) =
//! W (z_c - z_l)`, each wheel's force by its law at its own height.
//!
//! Space: the ground frame of [`crate::scene`]; SI.

use super::plane::LaidOut;
use super::root::root;
use super::slide;
use super::supports::{
    Roll, SnugStep, SupportKind, SupportPoint, fill_supports, ground_supports, lay_on_soil,
    limb_support, spring_tyres, step_support, strut_support, tan_of_sum,
};
use crate::scene::{CarriedBy, Chock, Envelope, ProfilePoint, RestsOn, SidePose};
use crate::tables::{FIRM_M, Material};
use crate::units::GRAVITY_M_S2;

/// Steps of a lift, m.
pub const STEP_M: f64 = 0.0025;
/// How far from where it stood the nose's angle is looked for: at first, and before the search
/// is given up, rad.
const TURN_FIRST_RAD: f64 = 0.01;
const TURN_MOST_RAD: f64 = 0.7;
/// The nose's angle and the height at rest are found to this: a hundredth of a newton.
const TURN_GRAIN_RAD: f64 = 1e-10;
const REST_GRAIN_M: f64 = 1e-10;
/// How far a vehicle on its springs is looked for out of the plane, rad.
const ROLL_MOST_RAD: f64 = 0.3;

/// Staked chocks in front of the nose. Once the nose leans on them they hold what pushes the
/// vehicle along, and because it goes down along their face as the tail rises, friction
/// makes them carry a part of the weight too.
#[derive(Clone, Copy, Debug)]
struct Brace {
    /// Where their face stands, and how high it reaches, m.
    x_m: f64,
    high_m: f64,
    /// Friction there once the nose slides down their face.
    mu: f64,
}

/// What the chocks hold, N: along the ground, and of the weight.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Braced {
    pub along_n: f64,
    pub up_n: f64,
}

/// The line along which the lift pushes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiftLine {
    /// Share of its force with which it pushes the vehicle towards the nose.
    pub push: f64,
    /// How far from the lift point it runs at the height of that, m towards the nose.
    pub off_m: f64,
}

/// A moment of the lift.
#[derive(Clone, Debug)]
pub struct State {
    /// Rise of the lift point since the start, m.
    pub rise_m: f64,
    pub side_pose: SidePose,
    /// Out of the plane, about the middle of the lift points; none but of a vehicle on its springs.
    pub roll: Roll,
    /// Force of the lift, N.
    pub lift_n: f64,
    /// In the order of the supports, N.
    pub loads_n: Vec<f64>,
    /// What sheet metal bears of them, N.
    pub on_metal_n: f64,
    pub braced: Braced,
}

/// The balance of a vehicle on its supports.
#[derive(Clone, Debug)]
pub struct Balance {
    /// Weight across the ground, and along it towards the nose, N.
    pub pressed_n: f64,
    pub along_n: f64,
    pub com: ProfilePoint,
    /// Where it is lifted, in the vehicle's frame.
    pub lift: ProfilePoint,
    pub supports: Vec<SupportPoint>,
    side_pose: SidePose,
    nose_x: f64,
    brace: Option<Brace>,
    /// The nose leans on the chocks.
    leans: bool,
    line: LiftLine,
    springs: Option<OnSprings>,
}

/// What turns a vehicle on its springs out of the plane.
#[derive(Clone, Copy, Debug)]
struct OnSprings {
    /// Where its weight acts and where it is lifted, m along Z.
    com_z: f64,
    lift_z: f64,
    /// Weight along the ground across the plane, N.
    across_n: f64,
    /// Stacks apart along it: as they raise it, it stays as it stood.
    stays: bool,
    stood_rad: Option<f64>,
}

impl OnSprings {
    fn new(scene: &LaidOut, across_n: f64) -> Self {
        let lifts = scene.bags.iter().filter_map(|bag| match bag.on {
            CarriedBy::Stack(s) => Some(scene.stacks[s].at[1]),
            CarriedBy::Bag(_) => None,
        });
        let places: Vec<f64> = lifts.collect();
        let lift_z = places.iter().sum::<f64>() / places.len().max(1) as f64;
        let stays = places.iter().any(|z| (z - lift_z).abs() > 0.01);
        Self { com_z: -scene.vehicle.com_m[2], lift_z, across_n, stays, stood_rad: None }
    }
}

/// Changes of weak inputs, as shares or m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputVariation {
    pub mass_share: f64,
    pub com_m: f64,
}

impl InputVariation {
    pub const NONE: Self = Self { mass_share: 0.0, com_m: 0.0 };
}

impl Balance {
    /// The vehicle of a scene on the ground and on its trapped limbs, lifted at `lift`, a
    /// point of the side profile.
    pub fn new(scene: &LaidOut, lift: ProfilePoint, change: InputVariation) -> Option<Self> {
        let v = &scene.vehicle;
        let side_pose = v.roof_pose()?;
        let weight = v.mass_kg * (1.0 + change.mass_share) * GRAVITY_M_S2;
        let (pressed_n, along) =
            slide::weight_on_slope_n(weight, scene.ground.slope_rad, scene.ground.cross_slope_rad);
        let envelope = Envelope::posed(v, side_pose);
        let mu = |under| scene.friction(Material::Sheet, under);
        let mu = |under| mu(under).map_or([0.0; 2], |pair| pair.friction(scene.ground.wet));
        let mut supports =
            ground_supports(v, side_pose, mu(Material::Ground(scene.ground.surface)));
        let wheels = scene.wheels();
        if let Some(wheels) = wheels {
            spring_tyres(&mut supports, v, wheels);
        }
        lay_on_soil(&mut supports, scene, side_pose);
        supports.extend(
            scene.limbs.iter().enumerate().filter_map(|(i, limb)| limb_support(&envelope, i, limb)),
        );
        let mut balance = Self {
            pressed_n,
            along_n: along[0],
            com: [v.com_m[0] + change.com_m, v.com_m[1]],
            lift,
            supports,
            side_pose,
            nose_x: v.profile.nose[0],
            brace: brace(scene, side_pose, mu(Material::Timber)[1]),
            leans: false,
            line: LiftLine::default(),
            springs: wheels.map(|_| OnSprings::new(scene, along[1])),
        };
        balance.settle();
        Some(balance)
    }

    /// Packs a void fill of the scene, by its index, under the vehicle as it lies; false where
    /// there is no room for it.
    pub fn pack(&mut self, scene: &LaidOut, index: usize) -> bool {
        let packed = fill_supports(scene, self.side_pose, index);
        let has_room = packed.is_some();
        self.supports.extend(packed.into_iter().flatten());
        has_room
    }

    /// Sets a step chock of the scene, by its index, under the vehicle as it lies; none where no
    /// step of it is snug.
    pub fn set_step_chock(&mut self, scene: &LaidOut, index: usize) -> Option<SnugStep> {
        let (support, snug) = step_support(scene, self.side_pose, index)?;
        self.supports.push(support);
        Some(snug)
    }

    /// Sets every strut of the scene to the vehicle as it lies.
    pub fn set_struts(&mut self, scene: &LaidOut) {
        let heads = 0..scene.strut_heads.len();
        self.supports.extend(heads.map(|i| strut_support(scene, self.side_pose, i)));
    }

    /// Where staked chocks stand in front of the nose, m along X.
    pub fn brace_x(&self) -> Option<f64> {
        self.brace.map(|brace| brace.x_m)
    }

    /// How it lies now.
    pub fn side_pose(&self) -> SidePose {
        self.side_pose
    }

    /// Height of the lift point as it lies, m.
    pub fn lift_place(&self) -> [f64; 2] {
        self.side_pose.ground(self.lift)
    }

    /// Pose with the lift point at a place and the nose down by `pitch`.
    fn pose_at(&self, place: [f64; 2], pitch_rad: f64) -> SidePose {
        let turned = SidePose { pitch_rad, origin: [0.0; 2] };
        let [x, y] = turned.ground(self.lift);
        SidePose { pitch_rad, origin: [place[0] - x, place[1] - y] }
    }

    /// How far the nose still is from the chocks, m.
    fn to_brace_m(&self, brace: Brace, side_pose: SidePose) -> f64 {
        let (s, c) = side_pose.pitch_rad.sin_cos();
        let y = (side_pose.origin[1] - s * self.nose_x - brace.high_m) / c;
        brace.x_m - side_pose.ground([self.nose_x, y])[0]
    }

    /// What the chocks hold in a pose: what pulls the vehicle along, and because its underside
    /// goes back over what it bears on as it turns about them, friction there too. Their own
    /// friction holds the nose up. Everything slips.
    fn braced(&self, side_pose: SidePose, loads_n: impl Iterator<Item = f64>) -> Braced {
        let Some(brace) = self.brace.filter(|_| self.leans) else { return Braced::default() };
        let pushed = |(support, n): (&SupportPoint, f64)| match support.on {
            SupportKind::Limb(_) => 0.0,
            _ => n * tan_of_sum(support.slope(side_pose), support.mu[1]),
        };
        let (mut along_n, mut lift_n) = (self.along_n, self.pressed_n);
        for (support, n) in self.supports.iter().zip(loads_n) {
            along_n += pushed((support, n));
            lift_n -= n;
        }
        // What they hold of the weight is not lifted, and the lift pushes by so much less.
        let held = tan_of_sum(side_pose.pitch_rad.tan(), brace.mu);
        let along_n =
            ((along_n + self.line.push * lift_n) / (1.0 + self.line.push * held)).max(0.0);
        Braced { along_n, up_n: along_n * held }
    }

    /// Whether what pulls the vehicle towards the chocks is more than friction holds.
    fn slides(&self, state: &State) -> bool {
        self.along_n + self.line.push * state.lift_n > self.holds_n(state, 1.0)[0]
    }

    /// What friction at all that bears the vehicle, limbs apart, holds of a pull along the ground, N,
    /// at rest and once it slides: each place by its own friction, and a face that slopes up towards
    /// the tail helps it along to the nose (dry friction; textbook). The way of the pull along X is
    /// 1 towards the nose, -1 towards the tail, 0 across the plane.
    pub fn holds_n(&self, state: &State, way: f64) -> [f64; 2] {
        let mut sum = [0.0; 2];
        for (support, n) in self.supports.iter().zip(&state.loads_n) {
            if !matches!(support.on, SupportKind::Limb(_)) {
                let holds = support.holds(state.side_pose, way);
                sum = [0, 1].map(|i| sum[i] + n * holds[i]);
            }
        }
        sum
    }

    /// Moment of everything about the lift point, nose up, N m.
    fn moment_nm(&self, side_pose: SidePose, lift_x: f64) -> f64 {
        let [com_x, com_y] = side_pose.ground(self.com);
        let mut moment = -self.pressed_n * (com_x - lift_x) - self.along_n * com_y;
        let mut lift_n = self.pressed_n;
        let roll = self.roll(side_pose);
        for support in &self.supports {
            let [force_n, _] = support.force(side_pose, roll, 0.0);
            if force_n > 0.0 {
                moment += force_n * (support.acts_x(side_pose) - lift_x);
                lift_n -= force_n;
            }
        }
        if let Some(brace) = self.brace.filter(|_| self.leans) {
            let braced = self.braced(side_pose, self.loads_n(side_pose, roll));
            moment += braced.up_n * (brace.x_m - lift_x) + braced.along_n * brace.high_m;
            lift_n -= braced.up_n;
        }
        // What the ground holds of it along itself has no arm.
        moment + lift_n * (self.line.off_m - self.line.push * side_pose.ground(self.lift)[1])
    }

    fn loads_n(&self, side_pose: SidePose, roll: Roll) -> impl Iterator<Item = f64> {
        self.supports.iter().map(move |support| support.force(side_pose, roll, 0.0)[0])
    }

    /// How far it turns out of the plane in a pose: until the moments about the lift point cancel.
    /// Its feet stay where they are, and what is higher goes over them.
    fn roll(&self, side_pose: SidePose) -> Roll {
        let Some(on) = self.springs else { return Roll::NONE };
        let (com_y, lift_y) = (side_pose.ground(self.com)[1], side_pose.ground(self.lift)[1]);
        let at = |rad: f64| Roll { rad, about_z: on.lift_z };
        if let Some(rad) = on.stood_rad {
            return at(rad);
        }
        let down_nm = |rad: f64| {
            let (com_z, lift_z) = (on.com_z - rad * com_y, on.lift_z - rad * lift_y);
            let up_nm = |support: &SupportPoint| support.force(side_pose, at(rad), lift_z)[1];
            self.pressed_n * (com_z - lift_z) + on.across_n * com_y
                - self.supports.iter().map(up_nm).sum::<f64>()
        };
        at(root(down_nm, [-ROLL_MOST_RAD, ROLL_MOST_RAD], TURN_GRAIN_RAD))
    }

    /// What its wheels leave of the moment that turns it out of the plane at a state, N m, and how
    /// they hold against more of it, N m/rad; none of a vehicle that does not stand on springs.
    pub fn wheels_nm(&self, state: &State) -> Option<[f64; 2]> {
        let on = self.springs?;
        let (pose, roll) = (state.side_pose, state.roll);
        let moment_nm: f64 = self.supports.iter().map(|s| s.force(pose, roll, on.lift_z)[1]).sum();
        let turns_nm = self.pressed_n * (on.com_z - on.lift_z)
            + on.across_n * pose.ground(self.com)[1]
            - moment_nm;
        let holds = self.supports.iter().map(|s| s.wheels_nm_rad(pose, roll)).sum();
        Some([turns_nm, holds])
    }

    /// The state in which the lift point stands at a height.
    fn at_height(&self, x: f64, height_m: f64) -> State {
        let start = self.side_pose.pitch_rad;
        // Nose further down: more moment that lifts it.
        let moment_nm = |pitch| self.moment_nm(self.pose_at([x, height_m], pitch), x);
        let mut either = TURN_FIRST_RAD;
        while either < TURN_MOST_RAD
            && (moment_nm(start - either) > 0.0 || moment_nm(start + either) < 0.0)
        {
            either *= 3.0;
        }
        let pitch = root(moment_nm, [start - either, start + either], TURN_GRAIN_RAD);
        let side_pose = self.pose_at([x, height_m], pitch);
        let roll = self.roll(side_pose);
        let loads_n: Vec<f64> = self.loads_n(side_pose, roll).collect();
        let braced = self.braced(side_pose, loads_n.iter().copied());
        let lift_n = self.pressed_n - loads_n.iter().sum::<f64>() - braced.up_n;
        let metal = self.supports.iter().zip(&loads_n);
        let metal = metal.filter(|(support, _)| matches!(support.on, SupportKind::Panel(_)));
        let on_metal_n = metal.map(|(_, n)| n).sum();
        State { rise_m: 0.0, side_pose, roll, lift_n, loads_n, on_metal_n, braced }
    }

    fn keep(&mut self, state: &State) {
        for support in &mut self.supports {
            support.keep_set(state.side_pose, state.roll);
        }
    }

    /// How far what it bears on would have moved along the ground between two poses, each
    /// place counted by its load, m; none where it bears on nothing but limbs, and struts, which
    /// turn about their feet and hold nothing along the ground.
    fn slip_m(&self, from: SidePose, to: &State) -> Option<f64> {
        let (mut slip, mut load) = (0.0, 0.0);
        for (support, n) in self.supports.iter().zip(&to.loads_n) {
            if !matches!(support.on, SupportKind::Limb(_) | SupportKind::Strut(_)) {
                slip += n * (support.bears_x(to.side_pose) - support.bears_x(from));
                load += n;
            }
        }
        (load > 1.0).then(|| slip / load)
    }

    /// Lets it come to rest with nothing lifting; the state it comes to. What it bears on stays
    /// where it is.
    pub fn settle(&mut self) -> State {
        let [x, y] = self.side_pose.ground(self.lift);
        let sinks_m = if self.supports.iter().any(SupportPoint::is_on_soil) { FIRM_M } else { 0.0 };
        let (mut low, mut high) = (y - 0.15 - sinks_m, y + 0.05);
        // Sheet metal that yields needs a few rounds until nothing moves any more.
        let mut state = self.at_height(x, y);
        for _ in 0..3 {
            let height = root(|height| self.at_height(x, height).lift_n, [low, high], REST_GRAIN_M);
            state = self.at_height(x, height);
            self.keep(&state);
            (low, high) = (height - 0.02, height + 0.02);
        }
        state.side_pose.origin[0] -= self.slip_m(self.side_pose, &state).unwrap_or(0.0);
        self.side_pose = state.side_pose;
        state
    }

    /// Raises the lift point from the start in steps to `rise_m` and a little further.
    /// Along the ground the vehicle moves so that what it bears on does not, each place
    /// counted by its load. At each step the lift pushes along a line; past the last of them, and
    /// where there is none, straight up at the lift point.
    pub fn raise(&self, rise_m: f64, lines: &[LiftLine]) -> Vec<State> {
        let mut now = self.clone();
        let stood_rad = self.roll(self.side_pose).rad;
        if let Some(on) = now.springs.as_mut().filter(|on| on.stays) {
            on.stood_rad = Some(stood_rad);
        }
        let [start_x, start_y] = self.lift_place();
        let mut states: Vec<State> = Vec::new();
        let mut shift = 0.0;
        let steps = (rise_m / STEP_M).ceil() as usize + 1;
        for step in 0..=steps {
            let rise = step as f64 * STEP_M;
            now.line = lines.get(step).copied().unwrap_or_default();
            let mut state = now.at_height(start_x + shift, start_y + rise);
            if let Some(last) = states.last() {
                let mut moved = -now.slip_m(last.side_pose, &state).unwrap_or(0.0);
                if let Some(brace) = now.brace {
                    let room = now.to_brace_m(brace, state.side_pose);
                    if !now.leans && (room <= moved || now.slides(&state)) {
                        now.leans = true;
                        state = now.at_height(start_x + shift, start_y + rise);
                    }
                    if now.leans {
                        moved = now.to_brace_m(brace, state.side_pose);
                    }
                }
                shift += moved;
                state.side_pose.origin[0] += moved;
            }
            state.rise_m = rise;
            now.keep(&state);
            now.side_pose = state.side_pose;
            states.push(state);
        }
        states
    }

    /// Load on one kind of support, N, and where it acts along X, m (the ground x of its
    /// points, weighted by load).
    pub fn load_on(&self, state: &State, on: impl Fn(SupportKind) -> bool) -> (f64, Option<f64>) {
        let (mut sum, mut moment) = (0.0, 0.0);
        for (support, n) in self.supports.iter().zip(&state.loads_n) {
            if on(support.on) {
                sum += n;
                moment += n * support.acts_x(state.side_pose);
            }
        }
        (sum, (sum > 1.0).then(|| moment / sum))
    }
}

/// The state at a rise, between two worked out ones.
pub fn at_rise(states: &[State], rise_m: f64) -> State {
    let place = (rise_m / STEP_M).clamp(0.0, states.len() as f64 - 1.0);
    let low = (place as usize).min(states.len().saturating_sub(2));
    let t = place - low as f64;
    let (a, b) = (&states[low], &states[(low + 1).min(states.len() - 1)]);
    let mix = |a: f64, b: f64| a + t * (b - a);
    State {
        rise_m,
        side_pose: SidePose {
            pitch_rad: mix(a.side_pose.pitch_rad, b.side_pose.pitch_rad),
            origin: [0, 1].map(|i| mix(a.side_pose.origin[i], b.side_pose.origin[i])),
        },
        roll: Roll { rad: mix(a.roll.rad, b.roll.rad), about_z: a.roll.about_z },
        lift_n: mix(a.lift_n, b.lift_n),
        loads_n: a.loads_n.iter().zip(&b.loads_n).map(|(a, b)| mix(*a, *b)).collect(),
        on_metal_n: mix(a.on_metal_n, b.on_metal_n),
        braced: Braced {
            along_n: mix(a.braced.along_n, b.braced.along_n),
            up_n: mix(a.braced.up_n, b.braced.up_n),
        },
    }
}

/// The staked chocks that stand in front of the nose from the start. On its side or its wheels
/// chocks only keep tyres from rolling.
fn brace(scene: &LaidOut, side_pose: SidePose, mu: f64) -> Option<Brace> {
    if scene.lies() != RestsOn::Roof {
        return None;
    }
    let com_x = side_pose.ground([scene.vehicle.com_m[0], scene.vehicle.com_m[1]])[0];
    let staked = scene.chocks.iter().filter(|c| c.staked && c.set && c.at[0] > com_x);
    let x_m = staked.map(|c| c.at[0]).reduce(f64::min)?;
    Some(Brace { x_m, high_m: Chock::SIZE_M[1], mu })
}
