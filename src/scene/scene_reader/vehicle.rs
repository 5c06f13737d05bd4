//! Reads a vehicle: its own fields, and what they say together.

use crate::scene::field_reader::{Fields, all, names_differ};
use crate::scene::schema::entry::{Pair, Typed};
use crate::scene::schema::{
    com, half_width, inertia, opening, panel, post, profile, vehicle as field, wheels,
};
use crate::scene::vehicle::{
    HalfWidth, Opening, Panel, Post, Profile, ProfilePoint, Springs, TYRE_HALF_M, Vehicle,
};
use crate::tables::ROOF_WEIGHTS;
use crate::units::Dimension::Length;
use crate::units::GRAVITY_M_S2;

/// How far from the body's side the middle of a tyre stands where a vehicle gives no track, m.
const TYRE_FROM_SIDE_M: f64 = TYRE_HALF_M + 0.01;
/// A roof rail beside the roof's skin is at least this wide, m (assumed).
const RAIL_WIDTH_M: f64 = 0.05;
/// Two points of the outline are this far apart at least along X, m (assumed).
const LEAST_STEP_M: f64 = 0.02;

impl Vehicle {
    /// Reads a vehicle: its own fields, and what they say together.
    pub fn read(f: &Fields<'_>) -> Option<Self> {
        let name = f.take(field::NAME);
        let data = f.take(field::DATA);
        let mass_kg = f.take(field::MASS);
        let com = f.group(field::COM).and_then(|g| com(&g));
        let inertia = inertia(f);
        let profile = profile(f);
        let half_width = half_width(f);
        let wheels = f.group(field::WHEELS).and_then(|g| wheels(&g, half_width));
        let posts = posts(f);
        let openings = openings(f, posts.as_deref());
        let panels = panels(f, profile, half_width);
        let weight_n = mass_kg.unwrap_or(0.0) * GRAVITY_M_S2;
        let roof_n = f.take_or(field::ROOF_BEARS, ROOF_WEIGHTS * weight_n);
        f.end();
        let (wheel_radius_m, wheel_x_m, track_m, springs) = wheels?;
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
            springs,
            posts: posts?,
            openings: openings?,
            panels: panels?,
            roof_n: roof_n?,
            said_pitch_rad: 0.0,
        };
        if vehicle.roof_pose().is_none() {
            f.complain(
                field::COM.key(),
                "the vehicle would not lie still on its roof: its centre of mass lies beyond \
             every pair of points it could rest on; move it towards the middle",
            );
            return None;
        }
        Some(vehicle)
    }
}

fn com(g: &Fields<'_>) -> Option<[f64; 3]> {
    let (x, y, z) = (g.take(com::X), g.take(com::Y), g.take(com::Z));
    g.end();
    Some([x?, y?, z?])
}

fn inertia(f: &Fields<'_>) -> Option<[f64; 3]> {
    let g = f.group(field::INERTIA)?;
    let (roll, yaw, pitch) = (g.take(inertia::ROLL), g.take(inertia::YAW), g.take(inertia::PITCH));
    g.end();
    let all = [roll?, yaw?, pitch?];
    // No body has one moment above the sum of the others.
    if all.iter().any(|i| 2.0 * i > all.iter().sum::<f64>()) {
        f.complain(
            field::INERTIA.key(),
            "one moment is larger than the other two together, which no body can have; \
             for a car pitch and yaw are about four times roll",
        );
        return None;
    }
    Some(all)
}

fn profile(f: &Fields<'_>) -> Option<Profile> {
    let g = f.group(field::PROFILE)?;
    let point = |entry: Typed<Pair>| {
        let [x, y] = g.take(entry)?;
        if y > 0.05 {
            return Some([x, y]);
        }
        g.complain(
            entry.key(),
            "lies below the wheels; give its height above the ground it drives on",
        );
        None
    };
    let nose = point(profile::NOSE);
    let cowl = point(profile::COWL);
    let header = point(profile::HEADER);
    let roof_rear = point(profile::ROOF_REAR);
    let slope_rad = g.take_if_there(profile::DECK_SLOPE).flatten();
    let lid = turned(point(profile::DECK_FRONT), point(profile::DECK_REAR), slope_rad);
    let floor_y = g.take(profile::FLOOR);
    // Without a height of its own the waist is half way up to the nose's edge.
    let halfway = f64::midpoint(floor_y.unwrap_or(0.2), nose.map_or(0.8, |n| n[1]));
    let waist_y = g.take_or(profile::WAIST, halfway);
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
    profile_holds(f, profile).then_some(profile)
}

fn half_width(f: &Fields<'_>) -> Option<HalfWidth> {
    let g = f.group(field::HALF_WIDTH)?;
    let body = g.take(half_width::BODY);
    let roof = g.take(half_width::ROOF);
    let upright = body.unwrap_or(1.5);
    let belt = g.take_or(half_width::BELT, upright);
    let sill = g.take_or(half_width::SILL, upright);
    g.end();
    let half_width = HalfWidth { body: body?, belt: belt?, sill: sill?, roof: roof? };
    let HalfWidth { body, belt, sill, roof } = half_width;
    let others = [(half_width::ROOF, roof), (half_width::BELT, belt), (half_width::SILL, sill)];
    for (entry, half) in others {
        if half > body {
            f.complain(
                field::HALF_WIDTH.key(),
                format!("`{}` is wider than the body; make it the smaller", entry.key()),
            );
            return None;
        }
    }
    Some(half_width)
}

/// Radius, x of the front and the rear wheels, and track, m; and what they are sprung on.
fn wheels(g: &Fields<'_>, half_width: Option<HalfWidth>) -> Option<(f64, [f64; 2], f64, Springs)> {
    let radius = g.take(wheels::RADIUS);
    let front = g.take(wheels::FRONT);
    let rear = g.take(wheels::REAR);
    // Without a track of their own the tyres stand flush with the body, nearly.
    let flush = half_width.map_or(1.5, |w| 2.0 * (w.body - TYRE_FROM_SIDE_M));
    let track = g.take_or(wheels::TRACK, flush);
    let rate_n_m = g.take_if_there(wheels::RATE);
    let droop_m = g.take(wheels::DROOP);
    let tyre_n_m = g.take(wheels::TYRE);
    g.end();
    let track = track?;
    if let Some(w) = half_width
        && track / 2.0 + TYRE_HALF_M > w.body
    {
        g.complain(
            wheels::TRACK.key(),
            format!(
                "the tyres, {} wide, stand out of the body at {}; make it at most {}",
                Length.show(2.0 * TYRE_HALF_M),
                Length.show(track),
                Length.show(2.0 * (w.body - TYRE_HALF_M))
            ),
        );
        return None;
    }
    let springs = Springs { rate_n_m: rate_n_m?, droop_m: droop_m?, tyre_n_m: tyre_n_m? };
    Some((radius?, [front?, rear?], track, springs))
}

fn posts(f: &Fields<'_>) -> Option<Vec<Post>> {
    let items = f.list(field::POSTS);
    names_differ("post", &items);
    let posts = all(items.into_iter().map(|g| {
        let name = g.take(post::NAME);
        let belt_x = g.take(post::BELT);
        let roof_x = g.take(post::ROOF);
        let width_m = g.take(post::WIDTH);
        g.end();
        Some(Post { name: name?, belt_x: belt_x?, roof_x: roof_x?, width_m: width_m? })
    }))?;
    if posts.len() < 2 {
        f.complain(field::POSTS.key(), "at least two posts hold the roof; write them front first");
        return None;
    }
    Some(posts)
}

fn openings(f: &Fields<'_>, posts: Option<&[Post]>) -> Option<Vec<Opening>> {
    let items = f.list(field::OPENINGS);
    names_differ("opening", &items);
    all(items.into_iter().map(|g| {
        let name = g.take(opening::NAME);
        let between = between(&g, posts);
        g.end();
        Some(Opening { name: name?, posts: between? })
    }))
}

/// Indices of the posts in front of an opening and behind it.
fn between(g: &Fields<'_>, posts: Option<&[Post]>) -> Option<[usize; 2]> {
    let key = opening::BETWEEN.key();
    let names = g.take(opening::BETWEEN)?;
    let found = all(names.iter().map(|n| {
        let posts = posts?;
        let at = posts.iter().position(|p| p.name == *n);
        if at.is_none() {
            let known: Vec<_> = posts.iter().map(|p| p.name.as_str()).collect();
            g.complain(key, format!("there is no post \"{n}\"; choose from {}", known.join(", ")));
        }
        at
    }));
    match found?.as_slice() {
        [a, b] => Some([*a, *b]),
        _ => {
            g.complain(key, "needs the two posts it lies between, front first");
            None
        }
    }
}

fn panels(
    f: &Fields<'_>,
    profile: Option<Profile>,
    half_width: Option<HalfWidth>,
) -> Option<Vec<Panel>> {
    let items = f.list(field::PANELS);
    names_differ("panel", &items);
    all(items.into_iter().map(|g| panel(&g, profile, half_width)))
}

fn panel(g: &Fields<'_>, profile: Option<Profile>, half_width: Option<HalfWidth>) -> Option<Panel> {
    let name = g.take(panel::NAME);
    let x = g.take(panel::X);
    let half_width_m = g.take(panel::HALF_WIDTH);
    let stiffness_n_m = g.take(panel::STIFFNESS);
    let plateau_n = g.take(panel::PLATEAU);
    let depth_m = g.take(panel::DEPTH);
    g.end();
    let x = x?;
    if let Some(p) = profile
        && !(p.deck_rear[0] <= x[1] && x[1] + 0.05 <= x[0] && x[0] <= p.nose[0])
    {
        g.complain(
            panel::X.key(),
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
                panel::DEPTH.key(),
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
        && panel.half_width_m + RAIL_WIDTH_M > width.roof
    {
        g.complain(
            panel::HALF_WIDTH.key(),
            format!(
                "leaves no roof rail beside the skin; the roof's half width is {} m, so \
                 make it at most {:.2} m",
                width.roof,
                width.roof - RAIL_WIDTH_M
            ),
        );
        return None;
    }
    Some(panel)
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

/// Whether the outline can be a vehicle's; where it cannot, that is told.
fn profile_holds(f: &Fields<'_>, p: Profile) -> bool {
    let key = field::PROFILE.key();
    let upper = p.upper();
    let names = [
        profile::NOSE,
        profile::COWL,
        profile::HEADER,
        profile::ROOF_REAR,
        profile::DECK_FRONT,
        profile::DECK_REAR,
    ]
    .map(|entry| entry.key());
    let close = |i: &usize| upper[*i][0] <= upper[i + 1][0] + LEAST_STEP_M;
    if let Some(i) = (0..upper.len() - 1).find(close) {
        let [front, rear] = [i, i + 1].map(|i| Length.show(upper[i][0]));
        f.complain(
            key,
            format!(
                "its points run backwards, each at least {:.0} mm behind the one before, but {} is \
                 at x {front} and {} at x {rear}; move one of them (nose, cowl, header, \
                 roof_rear, deck_front, deck_rear)",
                LEAST_STEP_M * 1e3,
                names[i],
                names[i + 1]
            ),
        );
        return false;
    }
    let lowest_roof = p.header[1].min(p.roof_rear[1]);
    if lowest_roof < p.cowl[1].max(p.deck_front[1]) + 0.15 {
        f.complain(key, "the roof must stand at least 150 mm above the belt line");
        return false;
    }
    if upper.iter().any(|q| q[1] < p.floor_y + 0.15) {
        f.complain(key, "every point must stand at least 150 mm above the floor");
        return false;
    }
    let lowest = upper.iter().map(|q| q[1]).fold(f64::INFINITY, f64::min);
    if !(p.floor_y + 0.05..=lowest - 0.02).contains(&p.waist_y) {
        f.complain(
            key,
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
