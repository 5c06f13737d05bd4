//! Drawings to scale: the lift from the side and from the tail, at its full height, with
//! the vehicle as it lay in thin dashes. Black, white and greys only, so that a copier
//! does not lose anything.
//!
//! Space: 100 drawing units to a metre, downwards positive as SVG has it.

mod canvas;
mod job_chart;
mod marks;
mod outline;
mod scale_bar;
mod set_up;

pub use canvas::escape;
pub use job_chart::job_chart;

use super::Sheet;
use crate::scene::{Envelope, RestsOn};
use canvas::{PAGE_UNITS, SCALE, SvgCanvas, ViewSide};
use marks::{marks, standing};
use outline::{floor_m, reach_up, vehicle_side, vehicle_tail};
use scale_bar::scale_bar;
use set_up::set_up;

/// From the side and from the tail; across the vehicle only, where it turns about its tyres.
/// What is not known is left out.
pub fn views(sheet: &Sheet<'_>) -> Vec<String> {
    let Some(plan) = &sheet.plan else { return Vec::new() };
    let (scene, u) = (&plan.scene, sheet.units);
    let vehicle = &scene.vehicle;
    let before = plan.start.side_pose;
    let end = plan.lift.as_ref().map_or(before, |lift| lift.end().side_pose);
    let body = |side_pose| Envelope::posed(vehicle, side_pose).body();
    let reach = |pick: fn(f64, f64) -> f64, start: f64| {
        body(before).iter().chain(&body(end)).map(|p| p[0]).fold(start, pick)
    };
    // Room for the heights written beside the stacks.
    let parts = standing(scene).map(|(at, length)| at[0] - length / 2.0 - 0.60);
    let rear = parts.fold(reach(f64::min, 0.0) - 0.30, f64::min);
    let front = reach(f64::max, 0.0) + 0.55;
    let sky = reach_up(scene, [before, end]) + 0.25;
    let mut side = SvgCanvas::new(rear, front.min(rear + PAGE_UNITS / SCALE), sky);
    vehicle_side(&mut side, plan, end, "body", true);
    vehicle_side(&mut side, plan, before, "before", false);
    set_up(&mut side, ViewSide::Side, plan, end);
    side.hide_what_is_pushed_in();
    if let Some(lift) = &plan.lift {
        marks(&mut side, ViewSide::Side, u, plan, lift);
    }
    if scene.lies() != RestsOn::Roof {
        scale_bar(&mut side, u);
        return vec![side.finish("A cut across the vehicle at the lift")];
    }
    let x = plan.lift.as_ref().map_or(plan.com[0], |lift| lift.place[0]);
    let wide = scene.stacks.iter().map(|s| s.at[1].abs() + s.length_m).fold(1.3, f64::max);
    let sky = [before, end]
        .map(|side_pose| floor_m(vehicle, side_pose, x))
        .into_iter()
        .fold(0.0, f64::max);
    let mut tail = SvgCanvas::new(-wide - 0.3, wide + 0.3, sky + 0.22);
    vehicle_tail(&mut tail, vehicle, end, x, true);
    vehicle_tail(&mut tail, vehicle, before, x, false);
    set_up(&mut tail, ViewSide::Tail, plan, end);
    tail.hide_what_is_pushed_in();
    if let Some(lift) = &plan.lift {
        marks(&mut tail, ViewSide::Tail, u, plan, lift);
    }
    scale_bar(&mut side, u);
    scale_bar(&mut tail, u);
    vec![
        side.finish("The lift from the vehicle's left"),
        tail.finish("A cut at the lift, seen from the tail"),
    ]
}
