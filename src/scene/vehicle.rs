//! A vehicle by its side profile, widths, posts, openings and mass, and how it
//! lies when it has come to rest on its roof, on a side or on its wheels.
//!
//! Space: the vehicle frame, upright. X forwards from the middle of the wheelbase,
//! Y up from the ground it drives on, Z to its right. On its roof it is turned by
//! half a turn about X, so that its left side points to +Z of the ground frame.

use crate::tables::{BUMP_M, RIDE_HZ, UNSPRUNG_SHARE};
use crate::units::GRAVITY_M_S2;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// A point of the side profile, m: x forwards, y up.
pub type ProfilePoint = [f64; 2];

/// Half the width of every tyre, m (assumed).
pub const TYRE_HALF_M: f64 = 0.10;

#[derive(Clone, Debug)]
pub struct Vehicle {
    pub name: String,
    /// Where its figures come from.
    pub data: String,
    pub mass_kg: f64,
    /// Centre of mass: x forwards, y up, z to the right, m.
    pub com_m: [f64; 3],
    /// Principal moments about x (roll), y (yaw), z (pitch), kg m².
    pub inertia_kg_m2: [f64; 3],
    pub profile: Profile,
    pub half_width: HalfWidth,
    /// Tyre radius and the wheels' x, front and rear, m.
    pub wheel_radius_m: f64,
    pub wheel_x_m: [f64; 2],
    /// Distance between the middles of the left and the right tyres, m.
    pub track_m: f64,
    pub springs: Springs,
    pub posts: Vec<Post>,
    pub openings: Vec<Opening>,
    pub panels: Vec<Panel>,
    /// What a corner of the roof bears before it goes in for good, N.
    pub roof_n: f64,
    /// How far its nose is said to be down where it lies on its roof, rad: of several poses in
    /// which it would lie still it takes the one nearest to this.
    pub said_pitch_rad: f64,
}

/// The upper outline from nose to tail, and the underbody.
#[derive(Clone, Copy, Debug)]
pub struct Profile {
    /// Upper edge of the nose: where the bonnet begins.
    pub nose: ProfilePoint,
    /// Foot of the windscreen; the belt line begins here.
    pub cowl: ProfilePoint,
    /// Front edge of the roof.
    pub header: ProfilePoint,
    /// Rear edge of the roof.
    pub roof_rear: ProfilePoint,
    /// Foot of the rear window; the belt line ends here.
    pub deck_front: ProfilePoint,
    /// Rear edge of the deck lid.
    pub deck_rear: ProfilePoint,
    /// Height of the underbody.
    pub floor_y: f64,
    /// Height at which the body is widest.
    pub waist_y: f64,
}

impl Profile {
    /// The upper outline from nose to tail.
    pub fn upper(&self) -> [ProfilePoint; 6] {
        [self.nose, self.cowl, self.header, self.roof_rear, self.deck_front, self.deck_rear]
    }

    /// Height of the belt line at x, m.
    pub fn belt_y(&self, x: f64) -> f64 {
        let t = (x - self.cowl[0]) / (self.deck_front[0] - self.cowl[0]);
        self.cowl[1] + t * (self.deck_front[1] - self.cowl[1])
    }

    /// Height of the upper outline at x, m.
    pub fn upper_y(&self, x: f64) -> f64 {
        let points = self.upper();
        let pair = points
            .windows(2)
            .find(|w| (w[1][0]..=w[0][0]).contains(&x))
            .map_or([points[0], points[5]], |w| [w[0], w[1]]);
        let [a, b] = pair;
        if a[0] == b[0] { a[1] } else { a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]) }
    }
}

/// Half widths, m.
#[derive(Clone, Copy, Debug)]
pub struct HalfWidth {
    /// The body where it is widest, at the waist.
    pub body: f64,
    /// The body at the highest point of the belt line; its side is flat from there down to
    /// the waist.
    pub belt: f64,
    /// The body at its floor.
    pub sill: f64,
    /// The roof panel.
    pub roof: f64,
}

impl HalfWidth {
    /// Whether the sides stand upright, from the floor to the belt line.
    pub fn upright(&self) -> bool {
        self.belt == self.body && self.sill == self.body
    }
}

/// A roof post on both sides, leaning from the belt line to the roof.
#[derive(Clone, Debug)]
pub struct Post {
    pub name: String,
    pub belt_x: f64,
    pub roof_x: f64,
    /// Fore-and-aft width, m.
    pub width_m: f64,
}

/// A side window without its glass, on both sides, between two posts.
#[derive(Clone, Debug)]
pub struct Opening {
    pub name: String,
    /// Indices of the posts in front of it and behind it.
    pub posts: [usize; 2],
}

/// A zone of thin sheet metal that gives way: elastic up to its plateau, then it
/// stays pushed in.
#[derive(Clone, Debug)]
pub struct Panel {
    pub name: String,
    /// From its front edge to its rear edge, m.
    pub x: [f64; 2],
    pub half_width_m: f64,
    pub stiffness_n_m: f64,
    pub plateau_n: f64,
    /// How far it can be pushed in, m.
    pub depth_m: f64,
}

impl Panel {
    /// Whether it is roof skin, between the roof's front and rear edges.
    pub fn on_roof(&self, profile: &Profile) -> bool {
        self.x[0] <= profile.header[0] && self.x[1] >= profile.roof_rear[0]
    }
}

/// A rigid pose in the vertical plane: how the vehicle lies before it has settled.
#[derive(Clone, Copy, Debug)]
pub struct SidePose {
    /// Nose-down angle, rad.
    pub pitch_rad: f64,
    /// Ground position of the vehicle frame's origin, m.
    pub origin: [f64; 2],
}

impl SidePose {
    /// Ground x and y of a point of the side profile.
    pub fn ground(&self, [x, y]: ProfilePoint) -> [f64; 2] {
        // Half a turn about X flips y; then nose down by the pitch.
        let (s, c) = self.pitch_rad.sin_cos();
        [self.origin[0] + c * x - s * y, self.origin[1] - s * x - c * y]
    }

    /// The point of the side profile that lies at a ground x and y.
    pub fn profile(&self, [x, y]: [f64; 2]) -> ProfilePoint {
        let (s, c) = self.pitch_rad.sin_cos();
        let (dx, dy) = (x - self.origin[0], y - self.origin[1]);
        [c * dx - s * dy, -s * dx - c * dy]
    }
}

/// What a wheel stands on and hangs by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Springs {
    /// Of one wheel's spring, N/m; none where [`RIDE_HZ`] says it.
    pub rate_n_m: Option<f64>,
    /// How far a wheel goes down until its stop, m.
    pub droop_m: f64,
    /// Of one tyre, N/m.
    pub tyre_n_m: f64,
}

/// The rate of a spring on which a load, N, bobs [`RIDE_HZ`] times a second, N/m.
fn ride_rate_n_m(load_n: f64) -> f64 {
    load_n / GRAVITY_M_S2 * (2.0 * PI * RIDE_HZ).powi(2)
}

/// Axles that are lashed to the body, so that their springs cannot stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lashed {
    None,
    Front,
    Rear,
    Both,
}

impl Lashed {
    pub const WORDS: &[(&str, Self)] =
        &[("none", Self::None), ("front", Self::Front), ("rear", Self::Rear), ("both", Self::Both)];

    /// Whether an axle is: 0 is the front one, 1 the rear one.
    pub fn holds(self, axle: usize) -> bool {
        matches!((self, axle), (Self::Both, _) | (Self::Front, 0) | (Self::Rear, 1))
    }
}

/// How hard the ground presses on a wheel as the body goes up over it: spring and tyre in a row,
/// each with Hooke's law; then, with the spring at its stop, the tyre alone. One law, as a
/// bag's is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelLaw {
    /// As the vehicle stands on the level, N.
    pub standing_n: f64,
    /// Spring and tyre in a row, N/m.
    both_n_m: f64,
    tyre_n_m: f64,
    /// The body's way up at which the wheel is off the ground, m.
    pub off_m: f64,
}

impl WheelLaw {
    /// A wheel that bears `standing_n`, its own weight `own_n` in it.
    fn new(springs: Springs, [standing_n, own_n]: [f64; 2], lashed: bool) -> Self {
        let sprung_n = (standing_n - own_n).max(0.3 * standing_n);
        let rate_n_m = springs.rate_n_m.unwrap_or_else(|| ride_rate_n_m(sprung_n));
        let droop_m = if lashed { 0.0 } else { springs.droop_m.min(sprung_n / rate_n_m) };
        let tyre_n_m = springs.tyre_n_m;
        Self {
            standing_n,
            both_n_m: rate_n_m * tyre_n_m / (rate_n_m + tyre_n_m),
            tyre_n_m,
            off_m: droop_m + standing_n / tyre_n_m,
        }
    }

    /// With the body so far over where it stands, N, and how fast it falls there, N/m. Below
    /// nothing the wheel is held by its stop, by that much.
    pub fn presses(&self, up_m: f64) -> [f64; 2] {
        let soft = [self.standing_n - self.both_n_m * up_m, self.both_n_m];
        let on_stop = [self.tyre_n_m * (self.off_m - up_m), self.tyre_n_m];
        let down = -up_m - BUMP_M;
        let bumped =
            [self.standing_n + self.both_n_m * BUMP_M + self.tyre_n_m * down, self.tyre_n_m];
        if down > 0.0 {
            bumped
        } else if on_stop[0] < soft[0] {
            on_stop
        } else {
            soft
        }
    }
}

/// What the vehicle has come to rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RestsOn {
    Roof,
    /// The side that is the driver's left.
    LeftSide,
    RightSide,
    Wheels,
}

impl RestsOn {
    pub const WORDS: &[(&str, Self)] = &[
        ("roof", Self::Roof),
        ("left side", Self::LeftSide),
        ("right side", Self::RightSide),
        ("wheels", Self::Wheels),
    ];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, l)| *l == self).map_or("", |(w, _)| w)
    }

    pub fn on_side(self) -> bool {
        matches!(self, Self::LeftSide | Self::RightSide)
    }

    /// What of the vehicle points along +Z of the ground frame, and what along -Z.
    pub fn sides(self) -> [&'static str; 2] {
        match self {
            Self::Roof => ["left side", "right side"],
            Self::LeftSide => ["wheels", "roof"],
            Self::RightSide => ["roof", "wheels"],
            Self::Wheels => ["right side", "left side"],
        }
    }
}

/// A rigid pose: the vehicle's frame turned about X, then its nose lowered, then set down.
#[derive(Clone, Copy, Debug)]
pub struct RestPose {
    /// Turn about X, rad: none on its wheels, half a turn on its roof.
    pub turn_rad: f64,
    /// Nose-down angle, rad.
    pub pitch_rad: f64,
    /// Ground position of the vehicle frame's origin, m.
    pub origin: [f64; 3],
    /// How far it lies from what is said of it, rad: level, or with its nose down so far.
    pub off_rad: f64,
    /// Share of its weight that its tyres bear on level ground, 0 to 1; sheet metal bears the
    /// rest.
    pub tyre_share: f64,
}

/// A line along a vehicle's side that it can rest on.
struct SideLine {
    /// Height on the upright vehicle, and how far out, m.
    at: ProfilePoint,
    /// From its rear end to its front end, m.
    x: [f64; 2],
    tyres: bool,
}

impl RestPose {
    /// Past half a right angle from what is said a vehicle lies on something else: nose, tail,
    /// roof.
    pub const MOST_OFF_RAD: f64 = FRAC_PI_4;

    /// Ground Y and Z of a place in the vehicle's cross-section, from the frame's origin.
    fn section(&self, y: f64, z: f64) -> [f64; 2] {
        let (s, c) = self.turn_rad.sin_cos();
        [self.origin[1] + c * y - s * z, self.origin[2] + s * y + c * z]
    }

    /// Ground X, Y and Z of a place in the vehicle's frame.
    pub fn ground(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let (s, c) = self.pitch_rad.sin_cos();
        let turned = Self { origin: [0.0; 3], ..*self };
        let [up, across] = turned.section(y, z);
        [self.origin[0] + c * x + s * up, self.origin[1] - s * x + c * up, self.origin[2] + across]
    }

    /// Ground Z and Y, in this order, of a place of a vehicle that lies level on its side.
    pub fn across(&self, y: f64, z: f64) -> [f64; 2] {
        let [up, across] = self.section(y, z);
        [across, up]
    }
}

impl Vehicle {
    /// Half width of the body at a height of the upright vehicle, m.
    pub fn side_at(&self, y: f64) -> f64 {
        let (p, w) = (&self.profile, self.half_width);
        let (at, half) = if y < p.waist_y {
            (p.floor_y, w.sill)
        } else {
            (p.cowl[1].max(p.deck_front[1]), w.belt)
        };
        w.body + (half - w.body) * (y - p.waist_y) / (at - p.waist_y)
    }

    /// A wheel with its hub and its share of the axle, kg.
    pub fn wheel_kg(&self) -> f64 {
        UNSPRUNG_SHARE * self.mass_kg
    }

    /// The rate of its springs where it says none, the mean of both axles, N/m.
    pub fn mean_ride_rate_n_m(&self) -> f64 {
        ride_rate_n_m((self.mass_kg / 4.0 - self.wheel_kg()) * GRAVITY_M_S2)
    }

    /// The law of either wheel of an axle, 0 the front one, 1 the rear one. Springs are set so
    /// that it stands level with its centre of mass in the middle.
    pub fn wheel_law(&self, axle: usize, lashed: Lashed) -> WheelLaw {
        let [front, rear] = self.wheel_x_m;
        let share = match axle {
            0 => (self.com_m[0] - rear) / (front - rear),
            _ => (front - self.com_m[0]) / (front - rear),
        };
        let standing_n = share * self.mass_kg * GRAVITY_M_S2 / 2.0;
        let own_n = self.wheel_kg() * GRAVITY_M_S2;
        WheelLaw::new(self.springs, [standing_n, own_n], lashed.holds(axle))
    }

    /// The pose in which it lies, as a rigid body before it settles: of those in which it would
    /// lie still, the nearest to what is said; `None` where there is none.
    pub fn rest_pose(&self, lies: RestsOn) -> Option<RestPose> {
        self.rest_poses(lies).into_iter().next()
    }

    /// Every pose on roof, side or wheels in which it would lie still on level ground as a rigid
    /// body (its centre of mass stands over what it rests on), the nearest to what is said first.
    pub fn rest_poses(&self, lies: RestsOn) -> Vec<RestPose> {
        let mut poses = match lies {
            RestsOn::Roof => {
                let turned = |side_pose: SidePose| RestPose {
                    turn_rad: PI,
                    pitch_rad: side_pose.pitch_rad,
                    origin: [side_pose.origin[0], side_pose.origin[1], 0.0],
                    off_rad: (side_pose.pitch_rad - self.said_pitch_rad).abs(),
                    tyre_share: 0.0,
                };
                self.roof_poses().map(turned).collect()
            }
            RestsOn::Wheels => self.pose_on_wheels().into_iter().collect(),
            RestsOn::LeftSide => self.poses_on_side(-1.0),
            RestsOn::RightSide => self.poses_on_side(1.0),
        };
        poses.sort_by(|a, b| a.off_rad.total_cmp(&b.off_rad));
        poses
    }

    fn pose_on_wheels(&self) -> Option<RestPose> {
        let [front, rear] = self.wheel_x_m;
        let stands =
            (rear..=front).contains(&self.com_m[0]) && self.com_m[2].abs() < self.track_m / 2.0;
        stands.then_some(RestPose {
            turn_rad: 0.0,
            pitch_rad: 0.0,
            origin: [0.0; 3],
            off_rad: 0.0,
            tyre_share: 1.0,
        })
    }

    /// The lines along its side, from its tyres' treads up to its roof.
    fn side_lines(&self) -> [SideLine; 5] {
        let (p, w) = (&self.profile, self.half_width);
        let [front, rear] = self.wheel_x_m;
        let belt = p.belt_y(self.com_m[0].clamp(p.deck_front[0], p.cowl[0]));
        let roof = p.header[1].min(p.roof_rear[1]);
        let body = [p.deck_rear[0], p.nose[0]];
        let metal = |at: ProfilePoint, x: [f64; 2]| SideLine { at, x, tyres: false };
        [
            SideLine { at: [0.0, self.track_m / 2.0 + TYRE_HALF_M], x: [rear, front], tyres: true },
            metal([p.floor_y, w.sill], body),
            metal([p.waist_y, w.body], body),
            metal([belt, w.belt], [p.deck_front[0], p.cowl[0]]),
            metal([roof, w.roof], [p.roof_rear[0], p.header[0]]),
        ]
    }

    /// On its side it rests on two lines along it, between which its centre of mass stands.
    /// `down` is the sign of the side's z.
    fn poses_on_side(&self, down: f64) -> Vec<RestPose> {
        let lines = self.side_lines();
        let com = [self.com_m[1], down * self.com_m[2]];
        let outermost = |a: ProfilePoint, b: ProfilePoint| {
            lines.iter().all(|SideLine { at: p, .. }| {
                (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) <= 1e-9
            })
        };
        let pairs = lines.iter().enumerate();
        let pairs = pairs.flat_map(|(i, low)| lines[i + 1..].iter().map(move |high| (low, high)));
        pairs
            .filter_map(|(low, high)| {
                let (a, b) = (low.at, high.at);
                let along = [b[0] - a[0], b[1] - a[1]];
                let share = ((com[0] - a[0]) * along[0] + (com[1] - a[1]) * along[1])
                    / (along[0] * along[0] + along[1] * along[1]);
                // What the two lines span where the centre of mass stands between them.
                let [rear, front] = [0, 1].map(|k| low.x[k] + share * (high.x[k] - low.x[k]));
                let stands =
                    (0.0..=1.0).contains(&share) && (rear..=front).contains(&self.com_m[0]);
                if !stands || !outermost(a, b) {
                    return None;
                }
                let tilt = along[1].atan2(along[0]);
                let flat = RestPose {
                    turn_rad: down * (FRAC_PI_2 - tilt),
                    pitch_rad: 0.0,
                    origin: [0.0; 3],
                    off_rad: tilt.abs(),
                    tyre_share: if low.tyres { 1.0 - share } else { 0.0 },
                };
                let [height, _] = flat.section(a[0], down * a[1]);
                Some(RestPose { origin: [0.0, -height, 0.0], ..flat })
            })
            .collect()
    }

    /// How it lies on its roof as a rigid body: of the poses in which it lies still, the
    /// nearest to what is said.
    pub fn roof_pose(&self) -> Option<SidePose> {
        let off = |pose: &SidePose| (pose.pitch_rad - self.said_pitch_rad).abs();
        self.roof_poses().min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// Turned over, it rests on an edge of its upper outline's hull over which its centre of
    /// mass stands: each such edge, from nose to tail.
    fn roof_poses(&self) -> impl Iterator<Item = SidePose> {
        let mut points = self.profile.upper().to_vec();
        points.sort_by(|a, b| b[0].total_cmp(&a[0]));
        // Upper hull from nose to tail (monotone chain).
        let mut hull: Vec<ProfilePoint> = Vec::new();
        for p in points {
            while let [.., a, b] = hull.as_slice() {
                let turn = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
                if turn >= 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(p);
        }
        let com = [self.com_m[0], self.com_m[1]];
        let edges: Vec<[ProfilePoint; 2]> = hull.windows(2).map(|w| [w[0], w[1]]).collect();
        edges.into_iter().filter_map(move |[front, rear]| {
            let along = [front[0] - rear[0], front[1] - rear[1]];
            let length = along[0].hypot(along[1]);
            let t =
                ((com[0] - rear[0]) * along[0] + (com[1] - rear[1]) * along[1]) / (length * length);
            (0.0..=1.0).contains(&t).then(|| {
                // Where the front point stands lower on the upright vehicle, the nose has
                // further to fall once it is turned over: nose down.
                let pitch_rad = (-along[1]).atan2(along[0]);
                let turned = SidePose { pitch_rad, origin: [0.0; 2] };
                let roof = turned.ground([0.0, self.profile.upper_y(0.0)]);
                let down = turned.ground(rear);
                SidePose { pitch_rad, origin: [-roof[0], -down[1]] }
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    /// A lid from (-1.55, 1.07) to (-2.20, 1.00) has its middle at 1.035: turned to 12 deg its
    /// ends stand 0.325 tan 12 deg = 0.06908 over and under that.
    #[test]
    fn val_a_lid_is_turned_about_its_middle() {
        let set = ["vehicle.profile.deck_slope=12 deg".to_owned()];
        let p = crate::scene::load("beam-lift", &set).unwrap().scene.vehicle.profile;
        assert_relative_eq!(p.deck_front[1], 1.035 + 0.06908, epsilon = 1e-5);
        assert_relative_eq!(p.deck_rear[1], 1.035 - 0.06908, epsilon = 1e-5);
        assert_eq!([p.deck_front[0], p.deck_rear[0]], [-1.55, -2.20]);
    }

    /// The shipped saloon by hand. Turned over, its hull's edge from nose (2.15, 0.84) to
    /// header (0.15, 1.43) carries it: its centre of mass (0.25, 0.54) projects onto that
    /// edge at 0.1667 of its length from the header. Pitch is atan(0.59 / 2.00) = 16.436
    /// deg, nose down; with cos = 0.95914 and sin = 0.28295 the nose lands at
    /// 2.15 cos - 0.84 sin + 1.42727 sin = 2.2283 m, the tail's edge (-2.20, 1.00) stands
    /// (0.15 + 2.20) sin + (1.43 - 1.00) cos = 1.0774 m high.
    #[test]
    fn val_the_saloon_lies_on_nose_and_header() {
        let vehicle = crate::scene::load("beam-lift", &[]).unwrap().scene.vehicle;
        let side_pose = vehicle.roof_pose().unwrap();
        assert_relative_eq!(side_pose.pitch_rad.to_degrees(), 16.436, epsilon = 1e-3);
        let p = vehicle.profile;
        let [nose, header, tail] =
            [p.nose, p.header, p.deck_rear].map(|point| side_pose.ground(point));
        assert_relative_eq!(nose[0], 2.2283, epsilon = 1e-3);
        assert_relative_eq!(nose[1], 0.0, epsilon = 1e-12);
        assert_relative_eq!(header[1], 0.0, epsilon = 1e-12);
        assert_relative_eq!(tail[1], 1.0774, epsilon = 1e-3);
        assert_relative_eq!(side_pose.ground([0.0, p.upper_y(0.0)])[0], 0.0, epsilon = 1e-12);
    }

    /// No point of the outline lies under the ground, wherever the weight is.
    #[test]
    fn no_point_lies_under_the_ground() {
        let mut vehicle = crate::scene::load("beam-lift", &[]).unwrap().scene.vehicle;
        for step in -15..=15 {
            vehicle.com_m[0] = f64::from(step) * 0.1;
            let Some(side_pose) = vehicle.roof_pose() else { continue };
            for point in vehicle.profile.upper() {
                assert!(side_pose.ground(point)[1] > -1e-9, "{} at {}", point[0], vehicle.com_m[0]);
            }
        }
    }
}
