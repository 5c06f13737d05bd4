//! The vehicle's outline, from the side and in a cut across its length.

use super::canvas::SvgCanvas;
use crate::scene::{Envelope, ProfilePoint, RestsOn, SidePose, TYRE_HALF_M, Vehicle};
use crate::statics::plan::Plan;
use crate::statics::plane::LaidOut;

/// The vehicle's outline from the side.
pub fn vehicle_side(c: &mut SvgCanvas, plan: &Plan, side_pose: SidePose, class: &str, solid: bool) {
    let v = &plan.scene.vehicle;
    let envelope = Envelope::posed(v, side_pose);
    c.path(class, &envelope.body(), true);
    let [header, rear] = envelope.roof();
    let [_, _, cowl, deck, ..] = envelope.body();
    c.path(if solid { "glass" } else { class }, &[cowl, header, rear, deck], false);
    if !solid {
        return;
    }
    c.line("roof", header, rear);
    for post in &v.posts {
        let [roof, belt] = envelope.post_ends(post);
        c.line("post", roof, belt);
    }
    if plan.scene.lies() != RestsOn::Roof {
        for tyre in tyres_across(v, plan.scene.lies()) {
            c.path("wheel", &tyre.map(|p| side_pose.ground(p)), true);
        }
        return;
    }
    for x in v.wheel_x_m {
        let at = side_pose.ground([x, v.wheel_radius_m]);
        c.circle("wheel", at, v.wheel_radius_m);
        c.circle("hub", at, v.wheel_radius_m * 0.55);
    }
}

/// Both tyres in the cross-section of a vehicle that turns about one of them, on its outline.
fn tyres_across(v: &Vehicle, lies: RestsOn) -> [[ProfilePoint; 4]; 2] {
    let (wide, high) = (2.0 * TYRE_HALF_M, 2.0 * v.wheel_radius_m);
    let [x, y] = v.profile.nose;
    let size = if lies == RestsOn::Wheels { [wide, high] } else { [high, wide] };
    let other = if lies == RestsOn::Wheels { [x - v.track_m, y] } else { [x, y - v.track_m] };
    [[x, y], other].map(|[x, y]| {
        let (far, up) = (x - size[0], y - size[1]);
        [[x, y], [far, y], [far, up], [x, up]]
    })
}

/// Height of the floor over a place along the ground, m: the lower side of the upright
/// vehicle, and the upper one now.
pub fn floor_m(vehicle: &Vehicle, side_pose: SidePose, x_m: f64) -> f64 {
    let [x, y] = side_pose.ground([side_pose.profile([x_m, 0.0])[0], vehicle.profile.floor_y]);
    y + (x - x_m) * side_pose.pitch_rad.tan()
}

/// A cut through the vehicle across its length at the place of the lift, seen from the tail.
pub fn vehicle_tail(c: &mut SvgCanvas, v: &Vehicle, side_pose: SidePose, x_m: f64, solid: bool) {
    let envelope = Envelope::posed(v, side_pose);
    let (body, roof) = (v.half_width.body, v.half_width.roof);
    let belt = envelope.underside([x_m, body - 1e-3]);
    let floor = floor_m(v, side_pose, x_m);
    let (outline, pane) = if solid { ("body", "glass") } else { ("before", "before") };
    let Some(belt) = belt else { return };
    c.path(outline, &[[-body, belt], [-body, floor], [body, floor], [body, belt]], true);
    if let Some([rail, _]) = envelope.opening_heights([x_m; 2]) {
        for side in [-1.0, 1.0] {
            c.line(pane, [side * body, belt], [side * roof, rail]);
        }
        c.line(if solid { "roof" } else { "before" }, [-roof, rail], [roof, rail]);
    }
}

/// The highest place of the vehicle in any of its poses, m.
pub fn reach_up(scene: &LaidOut, poses: [SidePose; 2]) -> f64 {
    let (v, on_roof) = (&scene.vehicle, scene.lies() == RestsOn::Roof);
    poses
        .into_iter()
        .flat_map(|side_pose| {
            let wheels = v.wheel_x_m.map(|x| side_pose.ground([x, v.wheel_radius_m])[1]);
            let wheels = wheels.into_iter().filter(|_| on_roof).map(|y| y + v.wheel_radius_m);
            wheels.chain(Envelope::posed(v, side_pose).body().map(|p| p[1]))
        })
        .fold(0.0, f64::max)
}
