//! The plane in which a lift is balanced. On its roof that is the side view. On its side or
//! on its wheels a vehicle turns about a line along it, the tyres; there it is balanced in
//! its cross-section, which is laid out here as a side view of its own: the tyres that it
//! turns about where the nose would be, the lifted side where the tail would be. Everything
//! that stands by it is turned with it (geometry).

use crate::scene::{
    Capture, Chock, HalfWidth, Lies, Limb, Pose, Profile, ProfilePoint, Rest, Scene, Sole, Stack,
    TYRE_HALF_M, Vehicle, VoidFill, Wedge,
};

/// A cross-section's heights count down from here, m: above any vehicle.
const TOP_M: f64 = 6.0;
/// What stands beside a cross-section may stand anywhere along the vehicle, m.
const ANYWHERE_M: f64 = 12.0;
/// How deep the roof is with its rails, m (assumed).
const RAIL_M: f64 = 0.05;
/// A floor ends at least this far inside its tyres' outer walls, m.
const INSIDE_M: f64 = 0.02;

/// A scene in the plane that it is balanced in; on its roof it is that already. None where a
/// vehicle on its wheels is lifted on both sides, and so does not turn.
pub fn of(scene: &Scene) -> Option<Scene> {
    if scene.lies == Lies::Roof {
        return Some(scene.clone());
    }
    let pose = scene.vehicle.pose(scene.lies)?;
    // The lifted side along Z.
    let side = match scene.lies {
        Lies::LeftSide => -1.0,
        Lies::RightSide => 1.0,
        _ => {
            let mut sides = scene.bags.iter().filter_map(|bag| match bag.on {
                Rest::Stack(s) => Some(scene.stacks[s].at[1].signum()),
                Rest::Bag(_) => None,
            });
            // Where nothing lifts, either side tells the same.
            let side = sides.next().unwrap_or(1.0);
            if sides.any(|other| other != side) {
                return None;
            }
            side
        }
    };
    let turn = Turn { side };
    let mut flat = scene.clone();
    flat.vehicle = turn.vehicle(&scene.vehicle, scene.lies, pose);
    let ground = &scene.ground;
    flat.ground.slope_rad = -side * ground.cross_slope_rad;
    flat.ground.cross_slope_rad = side * ground.slope_rad;
    let at = |at: [f64; 2]| turn.place(at);
    let sole = |sole: Option<Sole>| sole.map(|s| Sole { size: swapped(s.size), ..s });
    flat.limbs = (scene.limbs.iter())
        .map(|l| Limb { at: at(l.at), size: swapped(l.size), ..l.clone() })
        .collect();
    flat.stacks = (scene.stacks.iter())
        .map(|s| Stack { at: at(s.at), lean: at(s.lean), sole: sole(s.sole), ..s.clone() })
        .collect();
    flat.void_fill = (scene.void_fill.iter())
        .map(|f| VoidFill { at: at(f.at), sole: sole(f.sole), ..f.clone() })
        .collect();
    flat.captures = (scene.captures.iter())
        .map(|c| Capture { at: at(c.at), sole: sole(c.sole), ..c.clone() })
        .collect();
    flat.chocks = scene.chocks.iter().map(|c| Chock { at: at(c.at), ..c.clone() }).collect();
    flat.wedges =
        scene.wedges.iter().map(|w| Wedge { size: swapped(w.size), ..w.clone() }).collect();
    for bag in &mut flat.bags {
        bag.size = swapped(bag.size);
    }
    Some(flat)
}

fn swapped([x, z]: [f64; 2]) -> [f64; 2] {
    [z, x]
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

    fn vehicle(self, v: &Vehicle, lies: Lies, pose: Pose) -> Vehicle {
        let point = |y: f64, z: f64| -> ProfilePoint {
            let [across, up] = pose.across(y, z);
            [-self.side * across, TOP_M - up]
        };
        let (p, w) = (&v.profile, v.half_width);
        let tyre = v.track_m / 2.0 + TYRE_HALF_M;
        let roof = p.header[1].min(p.roof_rear[1]);
        // The highest place as it lies.
        let top = |y: f64, z: f64| point(y, z)[1];
        let (outline, floor_y, wheelbase) = if lies == Lies::Wheels {
            let (far, near) = (-self.side, self.side);
            let sill = w.sill.min(tyre - INSIDE_M);
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
            let down = if lies == Lies::LeftSide { -1.0 } else { 1.0 };
            let belt = p.belt_y(v.com_m[0].clamp(p.deck_front[0], p.cowl[0]));
            let outline = [
                point(0.0, down * tyre),
                point(p.floor_y, down * w.sill),
                point(p.waist_y, down * w.body),
                point(belt, down * v.side_at(belt)),
                point(roof - RAIL_M, down * w.roof),
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
            // Its centre of mass is known to a share of this.
            wheel_x_m: [wheelbase / 2.0, -wheelbase / 2.0],
            posts: Vec::new(),
            openings: Vec::new(),
            panels: Vec::new(),
            ..v.clone()
        }
    }
}
