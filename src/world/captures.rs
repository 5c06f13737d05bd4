//! Capture stacks: built up under the vehicle or the beam as it rises, so that it cannot fall far.

use super::above::{BeamUnderside, OverCapture};
use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::up_n;
use super::site::{Cut, Site};
use super::soil::Soil;
use super::vehicle::{CLEAR_M, PlacedVehicle};
use crate::scene::{Capture, CaptureUnder, Footprint, Scene, Wedge};
use crate::snapshot::{CaptureState, Footing, Load, PartId, PartKind, Refusal};
use crate::tables::SNUG_M;

/// A capture stack that carries more than this is not built higher, N.
pub const UNLOADED_N: f64 = 50.0;
/// The thickest wedge that is driven on a capture, m (assumed).
const WEDGE_MOST_M: f64 = 0.18;
const CUT: Cut = Cut { room_m: SNUG_M, most_m: WEDGE_MOST_M };

/// How far each capture stack has been built.
#[derive(Clone, Default)]
pub(super) struct Captures {
    builds: Vec<Build>,
}

#[derive(Clone, Default)]
struct Build {
    /// Layers so far, and layers still at hand.
    layers: usize,
    steps_left: usize,
    wedges: Vec<PartId>,
}

/// Where a capture stack stands, and under what.
#[derive(Clone, Copy)]
pub(super) struct Around<'a> {
    pub engine: &'a Engine,
    pub bodies: &'a Bodies,
    pub outline: &'a PlacedVehicle<'a>,
    pub soil: &'a Soil,
}

impl<'a> Around<'a> {
    /// What a capture stack follows.
    fn above(&self, spec: &Capture) -> OverCapture<'a> {
        match spec.under {
            CaptureUnder::Vehicle => OverCapture::Vehicle(self.outline),
            CaptureUnder::Beam => beam_above(self.engine, self.bodies),
        }
    }
}

/// The beam where it lies now.
fn beam_above<'a>(engine: &Engine, bodies: &Bodies) -> OverCapture<'a> {
    BeamUnderside::of(engine, bodies).map_or(OverCapture::Nothing, OverCapture::Beam)
}

impl Captures {
    pub fn none_built(count: usize) -> Self {
        Self { builds: vec![Build::default(); count] }
    }

    /// Builds the layers that each starts with.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene) {
        for (index, capture) in scene.captures.iter().enumerate() {
            let crib = capture.first_crib();
            site.sole(&capture.name, Footing::Capture(index), capture.at, capture.sole);
            for layer in 0..capture.layers {
                let bottom = capture.sole_m() + layer as f64 * capture.timber.height_m;
                let kind = PartKind::CaptureTimber { capture: index, layer };
                site.layer(&capture.name, crib, layer, 2, bottom, kind);
            }
            self.builds[index] =
                Build { layers: capture.layers, steps_left: capture.steps, wedges: Vec::new() };
        }
    }

    /// How many layers a capture stack can be raised by now.
    ///
    /// # Errors
    /// Why it cannot follow the load.
    pub fn plan(&self, around: Around<'_>, index: usize, spec: &Capture) -> Result<usize, Refusal> {
        let build = &self.builds[index];
        let room_m = self.room_m(around, index, spec);
        if room_m < Wedge::LEAST_M {
            return Err(Refusal::NoRoom { capture: index, room_m });
        }
        let thin_end_m = Wedge::LEAST_M + 2.0 * SNUG_M;
        let fit = ((room_m - thin_end_m).max(0.0) / spec.step.height_m) as usize;
        let layers = fit.min(build.steps_left);
        let now_m = self.top_m(around.engine, around.bodies, around.soil, index, spec);
        let top_m = now_m + layers as f64 * spec.step.height_m;
        let above = around.above(spec);
        let driven = (spec.steps_crib().strips().into_iter())
            .all(|foot| above.wedge_points(foot, top_m, CUT).is_some());
        if driven {
            return Ok(layers);
        }
        let nearest_m = room_m - layers as f64 * spec.step.height_m;
        Err(Refusal::NoWedge {
            capture: index,
            nearest_m,
            most_m: WEDGE_MOST_M,
            used_up: build.steps_left <= fit,
        })
    }

    /// Follows the load with a capture stack: takes the old wedges out, adds layers,
    /// drives new wedges.
    pub fn raise(
        &mut self,
        site: &mut Site<'_>,
        soil: &Soil,
        index: usize,
        spec: &Capture,
        layers: usize,
    ) {
        for part in std::mem::take(&mut self.builds[index].wedges) {
            site.bodies.take_away(site.engine, part);
        }
        let crib = spec.steps_crib();
        for _ in 0..layers {
            let layer = self.builds[index].layers;
            let top_m = self.top_m(site.engine, site.bodies, soil, index, spec);
            let kind = PartKind::CaptureTimber { capture: index, layer };
            site.layer(&spec.name, crib, layer, 2, top_m, kind);
            let build = &mut self.builds[index];
            build.layers += 1;
            build.steps_left -= 1;
        }
        let top_m = self.top_m(site.engine, site.bodies, soil, index, spec);
        let kind = PartKind::CaptureWedge(index);
        self.builds[index].wedges = match spec.under {
            CaptureUnder::Vehicle => site.strips(&spec.name, crib, top_m, CUT, kind),
            CaptureUnder::Beam => {
                let above = beam_above(site.engine, site.bodies);
                let name = format!("{} wedge", spec.name);
                let cut = crib.strips().into_iter().filter_map(|foot| {
                    let corners = above.wedge_points(foot, top_m, CUT)?;
                    Some(site.lay_wedge(&name, kind, (foot, top_m), corners))
                });
                cut.collect()
            }
        };
    }

    /// Where the top of a capture stack's layers stands now, without wedges, m: what it has
    /// carried may have pressed it down.
    fn top_m(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        soil: &Soil,
        index: usize,
        spec: &Capture,
    ) -> f64 {
        let Some(layer) = self.builds[index].layers.checked_sub(1) else {
            return spec.sole_m() - soil.sunk_m(engine, Footing::Capture(index));
        };
        let kind = PartKind::CaptureTimber { capture: index, layer };
        let parts = bodies.parts.iter().enumerate().filter(|(_, part)| part.kind == kind);
        let tops = parts.map(|(id, part)| {
            f64::from(bodies.rigid(engine, id).translation().y) - part.shape.lowest_m()
        });
        let (sum, count) = tops.fold((0.0, 0.0), |(sum, count), top| (sum + top, count + 1.0));
        sum / count
    }

    /// Room above a capture stack's layers, m.
    fn room_m(&self, around: Around<'_>, index: usize, spec: &Capture) -> f64 {
        let Around { engine, bodies, soil, .. } = around;
        let top_m = self.top_m(engine, bodies, soil, index, spec);
        around.above(spec).clearance_m(square(spec), top_m).unwrap_or(0.0)
    }

    /// How far a layer's middle has gone sideways from where it was laid, the furthest, m.
    fn lean_m(&self, around: Around<'_>, index: usize, spec: &Capture) -> f64 {
        let Around { engine, bodies, .. } = around;
        let went = |layer: usize| {
            let kind = PartKind::CaptureTimber { capture: index, layer };
            let parts = (0..bodies.parts.len()).filter(|part| bodies.parts[*part].kind == kind);
            let (sum, count) = parts.fold(([0.0; 2], 0.0), |([x, z], count), part| {
                let at = bodies.rigid(engine, part).translation();
                ([x + f64::from(at.x), z + f64::from(at.z)], count + 1.0)
            });
            (sum[0] / count - spec.at[0]).hypot(sum[1] / count - spec.at[1])
        };
        (0..self.builds[index].layers).map(went).fold(0.0, f64::max)
    }

    /// What each capture stack bears, and the room above it.
    pub fn states(&self, around: Around<'_>, scene: &Scene, loads: &[Load]) -> Vec<CaptureState> {
        let state = |(index, spec): (usize, &Capture)| {
            let bodies = around.bodies;
            let timber = |part: PartId| belongs(bodies.parts[part].kind, index);
            let follows = |part: PartId| match spec.under {
                CaptureUnder::Vehicle => bodies.is_vehicle(part),
                CaptureUnder::Beam => bodies.parts[part].kind == PartKind::Beam,
            };
            let load_n = up_n(loads, timber, follows).max(0.0);
            // What bears has no room: its contact gives by less than is worth telling.
            let room_m = || top_room_m(around, index, spec);
            CaptureState {
                load_n,
                clearance_m: if load_n > 0.0 { 0.0 } else { room_m() },
                steps_left: self.builds[index].steps_left,
                lean_m: self.lean_m(around, index, spec),
            }
        };
        scene.captures.iter().enumerate().map(state).collect()
    }
}

/// What a capture stack covers, seen from above.
fn square(spec: &Capture) -> Footprint {
    Footprint::of_size(spec.at, [spec.length_m; 2])
}

/// Whether a part is timber of a capture stack, its wedges among it.
fn belongs(kind: PartKind, index: usize) -> bool {
    match kind {
        PartKind::CaptureTimber { capture, .. } => capture == index,
        PartKind::CaptureWedge(capture) => capture == index,
        _ => false,
    }
}

/// Least room between a capture stack's timber and what it follows straight above, m.
fn top_room_m(around: Around<'_>, index: usize, spec: &Capture) -> f64 {
    let above = around.above(spec);
    let least = above.least_room_m(around.engine, around.bodies, |kind| belongs(kind, index));
    least.or_else(|| above.clearance_m(square(spec), spec.sole_m())).unwrap_or(CLEAR_M)
}
