//! The vehicle's outline, from the side and in a cut across its length.

use super::canvas::Canvas;
use crate::scene::{Lie, Lies, Lying, ProfilePoint, TYRE_HALF_M, Vehicle};
use crate::statics::plan::Plan;
use crate::statics::plane::LaidOut;

/// The vehicle's outline from the side.
pub fn vehicle_side(c: &mut Canvas, plan: &Plan, lie: Lie, class: &str, solid: bool) {
    let v = &plan.scene.vehicle;
    let lying = Lying::posed(v, lie);
    c.path(class, &lying.body(), true);
    let [header, rear] = lying.roof();
    let [_, _, cowl, deck, ..] = lying.body();
    c.path(if solid { "glass" } else { class }, &[cowl, header, rear, deck], false);
    if !solid {
        return;
    }
    c.line("roof", header, rear);
    for post in &v.posts {
        let [roof, belt] = lying.post_ends(post);
        c.line("post", roof, belt);
    }
    if plan.scene.lies() != Lies::Roof {
        for tyre in tyres_across(v, plan.scene.lies()) {
            c.path("wheel", &tyre.map(|p| lie.ground(p)), true);
        }
        return;
    }
    for x in v.wheel_x_m {
        let at = lie.ground([x, v.wheel_radius_m]);
        c.circle("wheel", at, v.wheel_radius_m);
        c.circle("hub", at, v.wheel_radius_m * 0.55);
    }
}

/// Both tyres in the cross-section of a vehicle that turns about one of them, on its outline.
fn tyres_across(v: &Vehicle, lies: Lies) -> [[ProfilePoint; 4]; 2] {
    let (wide, high) = (2.0 * TYRE_HALF_M, 2.0 * v.wheel_radius_m);
    let [x, y] = v.profile.nose;
    let size = if lies == Lies::Wheels { [wide, high] } else { [high, wide] };
    let other = if lies == Lies::Wheels { [x - v.track_m, y] } else { [x, y - v.track_m] };
    [[x, y], other].map(|[x, y]| {
        let (far, up) = (x - size[0], y - size[1]);
        [[x, y], [far, y], [far, up], [x, up]]
    })
}

/// Height of the floor over a place along the ground, m: the lower side of the upright
/// vehicle, and the upper one now.
pub fn floor_m(vehicle: &Vehicle, lie: Lie, x_m: f64) -> f64 {
    let [x, y] = lie.ground([lie.profile([x_m, 0.0])[0], vehicle.profile.floor_y]);
    y + (x - x_m) * lie.pitch_rad.tan()
}

/// A cut through the vehicle across its length at the place of the lift, seen from the tail.
pub fn vehicle_tail(c: &mut Canvas, v: &Vehicle, lie: Lie, x_m: f64, solid: bool) {
    let lying = Lying::posed(v, lie);
    let (body, roof) = (v.half_width.body, v.half_width.roof);
    let belt = lying.underside([x_m, body - 1e-3]);
    let floor = floor_m(v, lie, x_m);
    let (outline, pane) = if solid { ("body", "glass") } else { ("before", "before") };
    let Some(belt) = belt else { return };
    c.path(outline, &[[-body, belt], [-body, floor], [body, floor], [body, belt]], true);
    if let Some([rail, _]) = lying.opening_heights([x_m; 2]) {
        for side in [-1.0, 1.0] {
            c.line(pane, [side * body, belt], [side * roof, rail]);
        }
        c.line(if solid { "roof" } else { "before" }, [-roof, rail], [roof, rail]);
    }
}

/// The highest place of the vehicle in any of its poses, m.
pub fn reach_up(scene: &LaidOut, poses: [Lie; 2]) -> f64 {
    let (v, on_roof) = (&scene.vehicle, scene.lies() == Lies::Roof);
    poses
        .into_iter()
        .flat_map(|lie| {
            let wheels = v.wheel_x_m.map(|x| lie.ground([x, v.wheel_radius_m])[1]);
            let wheels = wheels.into_iter().filter(|_| on_roof).map(|y| y + v.wheel_radius_m);
            wheels.chain(Lying::posed(v, lie).body().map(|p| p[1]))
        })
        .fold(0.0, f64::max)
}
