//! The room between timber that stands under the vehicle and the vehicle above it.

use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::up_n;
use super::vehicle::{CLEAR_M, PlacedVehicle};
use crate::scene::Scene;
use crate::snapshot::{FillState, Load, PartKind};

/// Least room between some timber and the vehicle straight above it, m; none where nothing is
/// above it.
pub(super) fn over_timber_m(
    engine: &Engine,
    bodies: &Bodies,
    outline: &PlacedVehicle<'_>,
    is_timber: impl Fn(PartKind) -> bool,
) -> Option<f64> {
    let timber = bodies
        .parts
        .iter()
        .zip(&bodies.handles)
        .filter(|(part, _)| part.present && is_timber(part.kind));
    // The last that was laid is on top, and settles most of the others at once.
    let shapes = timber.rev().flat_map(|(_, body)| engine.shapes(*body));
    outline.least_room_over(shapes)
}

/// The room over each void fill.
pub(super) fn void_fill_states(
    engine: &Engine,
    bodies: &Bodies,
    outline: &PlacedVehicle<'_>,
    scene: &Scene,
    loads: &[Load],
) -> Vec<FillState> {
    let state = |fill: usize| {
        let is_timber = |kind: PartKind| kind == PartKind::VoidFill(fill);
        let by = |part: usize| is_timber(bodies.parts[part].kind);
        // What bears has no room: its contact gives by less than is worth telling.
        let bears = up_n(loads, by, |part| bodies.is_vehicle(part)) > 0.0;
        let room_m = || over_timber_m(engine, bodies, outline, is_timber).unwrap_or(CLEAR_M);
        FillState { clearance_m: if bears { 0.0 } else { room_m() } }
    };
    (0..scene.void_fill.len()).map(state).collect()
}
