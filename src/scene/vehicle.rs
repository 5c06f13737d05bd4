//! A vehicle by its side profile, widths, posts, openings and mass, and how it
//! lies when it has come to rest on its roof, on a side or on its wheels.
//!
//! Space: the vehicle frame, upright. X forwards from the middle of the wheelbase,
//! Y up from the ground it drives on, Z to its right. On its roof it is turned by
//! half a turn about X, so that its left side points to +Z of the ground frame.

use super::read::{Fields, all, names_differ};
use crate::units::Dimension::{Angle, Force, Inertia, Length, Mass, Stiffness};
use std::f64::consts::{FRAC_PI_2, PI};

/// A point of the side profile, m: x forwards, y up.
pub type ProfilePoint = [f64; 2];

/// Half the width of every tyre, m (assumed), and how far from the body's side the middle
/// of a tyre stands where a vehicle gives no track.
pub const TYRE_HALF_M: f64 = 0.10;
const TYRE_FROM_SIDE_M: f64 = TYRE_HALF_M + 0.01;

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
    pub posts: Vec<Post>,
    pub openings: Vec<Opening>,
    pub panels: Vec<Panel>,
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

/// A roof rail beside the roof's skin is at least this wide, m (assumed).
const RAIL_M: f64 = 0.05;

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
pub struct Lie {
    /// Nose-down angle, rad.
    pub pitch_rad: f64,
    /// Ground position of the vehicle frame's origin, m.
    pub origin: [f64; 2],
}

impl Lie {
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

/// What the vehicle has come to rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    Roof,
    /// The side that is the driver's left.
    LeftSide,
    RightSide,
    Wheels,
}

impl Lies {
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
pub struct Pose {
    /// Turn about X, rad: none on its wheels, half a turn on its roof.
    pub turn_rad: f64,
    /// Nose-down angle, rad.
    pub pitch_rad: f64,
    /// Ground position of the vehicle frame's origin, m.
    pub origin: [f64; 3],
}

impl Pose {
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

    /// The pose in which it lies, as a rigid body before it settles; none where it would not
    /// lie still so.
    pub fn pose(&self, lies: Lies) -> Option<Pose> {
        match lies {
            Lies::Roof => self.lie().map(|lie| Pose {
                turn_rad: PI,
                pitch_rad: lie.pitch_rad,
                origin: [lie.origin[0], lie.origin[1], 0.0],
            }),
            Lies::Wheels => {
                let [front, rear] = self.wheel_x_m;
                let stands = (rear..=front).contains(&self.com_m[0])
                    && self.com_m[2].abs() < self.track_m / 2.0;
                stands.then_some(Pose { turn_rad: 0.0, pitch_rad: 0.0, origin: [0.0; 3] })
            }
            Lies::LeftSide => self.pose_on_side(-1.0),
            Lies::RightSide => self.pose_on_side(1.0),
        }
    }

    /// On its side it rests on two lines along it: of tyres, sill, waist, belt line and roof
    /// rail those between which its centre of mass stands. `down` is the sign of the side's z.
    fn pose_on_side(&self, down: f64) -> Option<Pose> {
        let (p, w) = (&self.profile, self.half_width);
        let tyre = self.track_m / 2.0 + TYRE_HALF_M;
        let belt = p.belt_y(self.com_m[0].clamp(p.deck_front[0], p.cowl[0]));
        let roof = p.header[1].min(p.roof_rear[1]);
        // Height on the upright vehicle, and how far out.
        let points =
            [[0.0, tyre], [p.floor_y, w.sill], [p.waist_y, w.body], [belt, w.belt], [roof, w.roof]];
        let com = [self.com_m[1], down * self.com_m[2]];
        let outermost = |a: ProfilePoint, b: ProfilePoint| {
            points
                .iter()
                .all(|p| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) <= 1e-9)
        };
        for (i, &a) in points.iter().enumerate() {
            for &b in &points[i + 1..] {
                let along = [b[0] - a[0], b[1] - a[1]];
                let share = ((com[0] - a[0]) * along[0] + (com[1] - a[1]) * along[1])
                    / (along[0] * along[0] + along[1] * along[1]);
                if outermost(a, b) && (0.0..=1.0).contains(&share) {
                    let tilt = along[1].atan2(along[0]);
                    let turn_rad = down * (FRAC_PI_2 - tilt);
                    let flat = Pose { turn_rad, pitch_rad: 0.0, origin: [0.0; 3] };
                    let [low, _] = flat.section(a[0], down * a[1]);
                    return Some(Pose { origin: [0.0, -low, 0.0], ..flat });
                }
            }
        }
        None
    }

    pub fn read(f: &Fields<'_>) -> Option<Self> {
        let name = f.text("name");
        let data = f.text("data");
        let mass_kg = f.quantity("mass", Mass, 300.0..=5000.0);
        let com = f.group("com").and_then(|g| {
            let x = g.quantity("x", Length, -1.5..=1.5);
            let y = g.quantity("y", Length, 0.1..=2.0);
            let z = g.quantity_or("z", Length, -0.4..=0.4, 0.0);
            g.end();
            Some([x?, y?, z?])
        });
        let inertia = f.group("inertia").and_then(|g| {
            let read = |key| g.quantity(key, Inertia, 20.0..=30_000.0);
            let (roll, yaw, pitch) = (read("roll"), read("yaw"), read("pitch"));
            g.end();
            let all = [roll?, yaw?, pitch?];
            // No body has one moment above the sum of the others.
            if all.iter().any(|i| 2.0 * i > all.iter().sum::<f64>()) {
                f.complain(
                    "inertia",
                    "one moment is larger than the other two together, which no body can have; \
                     for a car pitch and yaw are about four times roll",
                );
                return None;
            }
            Some(all)
        });
        let profile = f.group("profile").and_then(|g| {
            let point = |key| {
                let [x, y] = g.pair(key, -4.0..=4.0)?;
                if y > 0.05 {
                    return Some([x, y]);
                }
                g.complain(
                    key,
                    "lies below the wheels; give its height above the ground it drives on",
                );
                None
            };
            let nose = point("nose");
            let cowl = point("cowl");
            let header = point("header");
            let roof_rear = point("roof_rear");
            let steepest = 40_f64.to_radians();
            let slope_rad = g
                .has("deck_slope")
                .then(|| g.quantity("deck_slope", Angle, -steepest..=steepest))
                .flatten();
            let lid = turned(point("deck_front"), point("deck_rear"), slope_rad);
            let floor_y = g.quantity("floor", Length, 0.05..=1.0);
            // Without a height of its own the waist is half way up to the nose's edge.
            let halfway = f64::midpoint(floor_y.unwrap_or(0.2), nose.map_or(0.8, |n| n[1]));
            let waist_y = g.quantity_or("waist", Length, 0.1..=2.0, halfway);
            g.end();
            let profile = Profile {
                nose: nose?,
                cowl: cowl?,
                header: header?,
                roof_rear: roof_rear?,
                deck_front: lid?[0],
                deck_rear: lid?[1],
                floor_y: floor_y?,
                waist_y: waist_y?,
            };
            check_profile(f, profile).then_some(profile)
        });
        let half_width = f.group("half_width").and_then(|g| {
            let body = g.quantity("body", Length, 0.4..=1.5);
            let roof = g.quantity("roof", Length, 0.3..=1.5);
            let upright = body.unwrap_or(1.5);
            let belt = g.quantity_or("belt", Length, 0.3..=1.5, upright);
            let sill = g.quantity_or("sill", Length, 0.3..=1.5, upright);
            g.end();
            let half_width = HalfWidth { body: body?, belt: belt?, sill: sill?, roof: roof? };
            let HalfWidth { body, belt, sill, roof } = half_width;
            for (key, half) in [("roof", roof), ("belt", belt), ("sill", sill)] {
                if half > body {
                    f.complain(
                        "half_width",
                        format!("`{key}` is wider than the body; make it the smaller"),
                    );
                    return None;
                }
            }
            Some(half_width)
        });
        let wheels = f.group("wheels").and_then(|g| {
            let radius = g.quantity("radius", Length, 0.15..=0.8);
            let front = g.quantity("front", Length, 0.3..=3.5);
            let rear = g.quantity("rear", Length, -3.5..=-0.3);
            // Without a track of their own the tyres stand flush with the body, nearly.
            let flush = half_width.map_or(1.5, |w: HalfWidth| 2.0 * (w.body - TYRE_FROM_SIDE_M));
            let track = g.quantity_or("track", Length, 0.6..=3.0, flush);
            g.end();
            let track = track?;
            if let Some(w) = half_width
                && track / 2.0 + TYRE_HALF_M > w.body
            {
                g.complain(
                    "track",
                    format!(
                        "the tyres, {} wide, stand out of the body at {}; make it at most {}",
                        Length.show(2.0 * TYRE_HALF_M),
                        Length.show(track),
                        Length.show(2.0 * (w.body - TYRE_HALF_M))
                    ),
                );
                return None;
            }
            Some((radius?, [front?, rear?], track))
        });
        let posts = read_posts(f);
        let opening_items = f.list("openings");
        names_differ("opening", &opening_items);
        let openings = all(opening_items.into_iter().map(|g| {
            let name = g.text("name");
            let between = g.names("between").and_then(|names| {
                let found = all(names.iter().map(|n| {
                    let posts = posts.as_ref()?;
                    let at = posts.iter().position(|p| p.name == *n);
                    if at.is_none() {
                        let known: Vec<_> = posts.iter().map(|p| p.name.as_str()).collect();
                        g.complain(
                            "between",
                            format!("there is no post \"{n}\"; choose from {}", known.join(", ")),
                        );
                    }
                    at
                }));
                match found?.as_slice() {
                    [a, b] => Some([*a, *b]),
                    _ => {
                        g.complain("between", "needs the two posts it lies between, front first");
                        None
                    }
                }
            });
            g.end();
            Some(Opening { name: name?, posts: between? })
        }));
        let panel_items = f.list("panels");
        names_differ("panel", &panel_items);
        let panels = all(panel_items.into_iter().map(|g| {
            let name = g.text("name");
            let x = g.pair("x", -4.0..=4.0);
            let half_width_m = g.quantity("half_width", Length, 0.1..=1.5);
            let stiffness_n_m = g.quantity("stiffness", Stiffness, 5e3..=5e6);
            let plateau_n = g.quantity("plateau", Force, 100.0..=1e6);
            let depth_m = g.quantity("depth", Length, 0.005..=0.3);
            g.end();
            let x = x?;
            if let Some(p) = profile
                && !(p.deck_rear[0] <= x[1] && x[1] + 0.05 <= x[0] && x[0] <= p.nose[0])
            {
                g.complain(
                    "x",
                    format!(
                        "must run from its front edge back to its rear edge, at least 50 mm, \
                             between {} m and {} m",
                        p.nose[0], p.deck_rear[0]
                    ),
                );
                return None;
            }
            if let (Some(p), Some(w), Some(depth)) = (profile, half_width, depth_m) {
                // The body's rigid pieces begin under the panel's full way.
                let bed = if w.upright() { p.floor_y } else { p.waist_y };
                let room = p.upper_y(x[0]).min(p.upper_y(x[1])) - bed - 0.02;
                if depth > room {
                    g.complain(
                        "depth",
                        format!(
                            "it cannot be pushed in by {}: there are {} down to the waist or, in \
                             a body with upright sides, to the floor",
                            Length.show(depth),
                            Length.show(room)
                        ),
                    );
                    return None;
                }
            }
            let panel = Panel {
                name: name?,
                x,
                half_width_m: half_width_m?,
                stiffness_n_m: stiffness_n_m?,
                plateau_n: plateau_n?,
                depth_m: depth_m?,
            };
            if let (Some(p), Some(width)) = (profile, half_width)
                && panel.on_roof(&p)
                && panel.half_width_m + RAIL_M > width.roof
            {
                g.complain(
                    "half_width",
                    format!(
                        "leaves no roof rail beside the skin; the roof's half width is {} m, so \
                         make it at most {:.2} m",
                        width.roof,
                        width.roof - RAIL_M
                    ),
                );
                return None;
            }
            Some(panel)
        }));
        f.end();
        let (wheel_radius_m, wheel_x_m, track_m) = wheels?;
        let vehicle = Self {
            name: name?,
            data: data?,
            mass_kg: mass_kg?,
            com_m: com?,
            inertia_kg_m2: inertia?,
            profile: profile?,
            half_width: half_width?,
            wheel_radius_m,
            wheel_x_m,
            track_m,
            posts: posts?,
            openings: openings?,
            panels: panels?,
        };
        if vehicle.lie().is_none() {
            f.complain(
                "com",
                "the vehicle would not lie still on its roof: its centre of mass lies beyond \
                 every pair of points it could rest on; move it towards the middle",
            );
            return None;
        }
        Some(vehicle)
    }

    /// How it lies on its roof as a rigid body: turned over, it rests on the edge of
    /// its upper outline's hull over which its centre of mass stands.
    pub fn lie(&self) -> Option<Lie> {
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
        hull.windows(2).find_map(|edge| {
            let [front, rear] = [edge[0], edge[1]];
            let along = [front[0] - rear[0], front[1] - rear[1]];
            let length = along[0].hypot(along[1]);
            let t =
                ((com[0] - rear[0]) * along[0] + (com[1] - rear[1]) * along[1]) / (length * length);
            (0.0..=1.0).contains(&t).then(|| {
                // Where the front point stands lower on the upright vehicle, the nose has
                // further to fall once it is turned over: nose down.
                let pitch_rad = (-along[1]).atan2(along[0]);
                let turned = Lie { pitch_rad, origin: [0.0; 2] };
                let roof = turned.ground([0.0, self.profile.upper_y(0.0)]);
                let down = turned.ground(rear);
                Lie { pitch_rad, origin: [-roof[0], -down[1]] }
            })
        })
    }
}

/// The ends of the deck lid, turned about its middle to a slope where one is given: falling
/// towards the tail is positive.
fn turned(
    front: Option<ProfilePoint>,
    rear: Option<ProfilePoint>,
    slope_rad: Option<f64>,
) -> Option<[ProfilePoint; 2]> {
    let (front, rear) = (front?, rear?);
    let Some(slope_rad) = slope_rad else { return Some([front, rear]) };
    let middle = f64::midpoint(front[1], rear[1]);
    let up = (front[0] - rear[0]) / 2.0 * slope_rad.tan();
    Some([[front[0], middle + up], [rear[0], middle - up]])
}

/// Two points of the outline are this far apart at least along X, m (assumed).
const LEAST_STEP_M: f64 = 0.02;

fn check_profile(f: &Fields<'_>, p: Profile) -> bool {
    let upper = p.upper();
    const NAMES: [&str; 6] = ["nose", "cowl", "header", "roof_rear", "deck_front", "deck_rear"];
    let close = |i: &usize| upper[*i][0] <= upper[i + 1][0] + LEAST_STEP_M;
    if let Some(i) = (0..upper.len() - 1).find(close) {
        let [front, rear] = [i, i + 1].map(|i| Length.show(upper[i][0]));
        f.complain(
            "profile",
            format!(
                "its points run backwards, each at least {:.0} mm behind the one before, but {} is \
                 at x {front} and {} at x {rear}; move one of them (nose, cowl, header, \
                 roof_rear, deck_front, deck_rear)",
                LEAST_STEP_M * 1e3,
                NAMES[i],
                NAMES[i + 1]
            ),
        );
        return false;
    }
    let lowest_roof = p.header[1].min(p.roof_rear[1]);
    if lowest_roof < p.cowl[1].max(p.deck_front[1]) + 0.15 {
        f.complain("profile", "the roof must stand at least 150 mm above the belt line");
        return false;
    }
    if upper.iter().any(|q| q[1] < p.floor_y + 0.15) {
        f.complain("profile", "every point must stand at least 150 mm above the floor");
        return false;
    }
    let lowest = upper.iter().map(|q| q[1]).fold(f64::INFINITY, f64::min);
    if !(p.floor_y + 0.05..=lowest - 0.02).contains(&p.waist_y) {
        f.complain(
            "profile",
            format!(
                "its waist, where the body is widest, must lie between {} and {}",
                Length.show(p.floor_y + 0.05),
                Length.show(lowest - 0.02)
            ),
        );
        return false;
    }
    true
}

fn read_posts(f: &Fields<'_>) -> Option<Vec<Post>> {
    let items = f.list("posts");
    names_differ("post", &items);
    let posts = all(items.into_iter().map(|g| {
        let name = g.text("name");
        let belt_x = g.quantity("belt", Length, -4.0..=4.0);
        let roof_x = g.quantity("roof", Length, -4.0..=4.0);
        let width_m = g.quantity("width", Length, 0.02..=5.0);
        g.end();
        Some(Post { name: name?, belt_x: belt_x?, roof_x: roof_x?, width_m: width_m? })
    }))?;
    if posts.len() < 2 {
        f.complain("posts", "at least two posts hold the roof; write them front first");
        return None;
    }
    Some(posts)
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
        let lie = vehicle.lie().unwrap();
        assert_relative_eq!(lie.pitch_rad.to_degrees(), 16.436, epsilon = 1e-3);
        let p = vehicle.profile;
        let [nose, header, tail] = [p.nose, p.header, p.deck_rear].map(|point| lie.ground(point));
        assert_relative_eq!(nose[0], 2.2283, epsilon = 1e-3);
        assert_relative_eq!(nose[1], 0.0, epsilon = 1e-12);
        assert_relative_eq!(header[1], 0.0, epsilon = 1e-12);
        assert_relative_eq!(tail[1], 1.0774, epsilon = 1e-3);
        assert_relative_eq!(lie.ground([0.0, p.upper_y(0.0)])[0], 0.0, epsilon = 1e-12);
    }

    /// No point of the outline lies under the ground, wherever the weight is.
    #[test]
    fn no_point_lies_under_the_ground() {
        let mut vehicle = crate::scene::load("beam-lift", &[]).unwrap().scene.vehicle;
        for step in -15..=15 {
            vehicle.com_m[0] = f64::from(step) * 0.1;
            let Some(lie) = vehicle.lie() else { continue };
            for point in vehicle.profile.upper() {
                assert!(lie.ground(point)[1] > -1e-9, "{} at {}", point[0], vehicle.com_m[0]);
            }
        }
    }
}
