//! Kick-out: a bag, a wedge, a pad or the beam leaves its seat: it moves over what it
//! lies on, or over what it lifts, by more than a share of its width; or a bag bears at a tilt
//! at which friction is not sure to hold it.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::bag_law::thrown_out_rad;
use crate::scene::{CarriedBy, Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach, Part, PartId, PartKind, Pose};
use crate::tables::RUBBER_LEAST;
use crate::units::Dimension;

/// Bags shear and roll as they swell; a smaller movement than this is no kick-out, m.
const ONSET_M: f64 = 0.025;
/// A seat is lost when this share of the smaller side has moved off it.
const SHARE: f64 = 0.18;
/// Over what it lifts a bag is watched once it carries this, N.
const LOADED_N: f64 = 300.0;

/// One part and what it must stay on, or under.
#[derive(Clone)]
struct Seat {
    part: PartId,
    other: PartId,
    /// Whether `other` is what is lifted: watched only under load.
    lifted: bool,
    limit_m: f64,
    /// Middle of the part in the other's frame when watching began.
    start: Option<[f64; 3]>,
    tracker: LimitTracker,
}

#[derive(Clone)]
pub(super) struct KickOutWatch {
    seats: Vec<Seat>,
    /// The tilt of each bag while it bears.
    tilts: Vec<LimitTracker>,
}

/// Middle of a part in another's frame.
fn seat_of(poses: &[Pose], part: PartId, other: PartId) -> Option<[f64; 3]> {
    Some(poses.get(other)?.local(poses.get(part)?.at()))
}

impl KickOutWatch {
    /// What rests on something is watched from where it was `placed`; what lifts, once it is
    /// loaded.
    pub fn new(seen: &Observation<'_>, placed: &[Pose]) -> Self {
        let find = |kind: PartKind| seen.parts.iter().position(|p| p.kind == kind);
        let vehicle = find(PartKind::Vehicle);
        let beam = find(PartKind::Beam);
        let face = |bag, upper| find(PartKind::BagFace { bag, upper });
        let mut seats = Vec::new();
        let mut seat = |part: Option<PartId>, other: Option<PartId>, side_m: f64, lifted| {
            if let (Some(part), Some(other)) = (part, other) {
                seats.push(Seat {
                    part,
                    other,
                    lifted,
                    limit_m: SHARE * side_m,
                    start: if lifted { None } else { seat_of(placed, part, other) },
                    tracker: LimitTracker::default(),
                });
            }
        };
        let scene = seen.scene;
        let wedge_on = |on: CarriedBy| {
            let wedge = scene.wedges.iter().position(|w| w.on == on);
            wedge.and_then(|w| find(PartKind::Wedge(w)))
        };
        for (index, stack) in scene.stacks.iter().enumerate() {
            for k in 0..stack.pads_m.len() {
                let layer = stack.layers + k;
                let pad = find(PartKind::Pad { stack: index, layer });
                let below = match layer.checked_sub(1) {
                    Some(layer) if k > 0 => find(PartKind::Pad { stack: index, layer }),
                    Some(layer) => find(PartKind::StackTimber { stack: index, layer }),
                    None => None,
                };
                seat(pad, below, stack.length_m, false);
            }
        }
        for (index, bag) in scene.bags.iter().enumerate() {
            let side = bag.size[0].min(bag.size[1]);
            let below = match bag.on {
                CarriedBy::Bag(b) => face(b, true),
                CarriedBy::Stack(s) => {
                    let stack = &scene.stacks[s];
                    let top = (stack.layers + stack.pads_m.len()).saturating_sub(1);
                    let top = find(PartKind::Pad { stack: s, layer: top })
                        .or_else(|| find(PartKind::StackTimber { stack: s, layer: top }));
                    let wedge = wedge_on(bag.on);
                    seat(wedge, top, side, false);
                    wedge.or(top)
                }
            };
            seat(face(index, false), below, side, false);
            // The upper face over the lower one: the bag itself rolls over.
            seat(face(index, true), face(index, false), side, false);
            let topmost = !scene.bags.iter().any(|b| b.on == CarriedBy::Bag(index));
            if topmost {
                match wedge_on(CarriedBy::Bag(index)) {
                    Some(wedge) => {
                        seat(Some(wedge), face(index, true), side, false);
                        seat(Some(wedge), vehicle, side, true);
                    }
                    None if beam.is_some() => {
                        seat(find(PartKind::BagPad(index)), face(index, true), side, false);
                        seat(face(index, true), beam, side, true);
                    }
                    None => seat(face(index, true), vehicle, side, true),
                }
            }
        }
        if let Some(spec) = &scene.beam {
            seat(beam, vehicle, spec.timber.width_m * 4.0, true);
        }
        Self { seats, tilts: vec![LimitTracker::default(); scene.bags.len()] }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = self.observe_tilts(seen);
        for seat in &mut self.seats {
            // A beam that broke has left no seat of its own.
            if ![seat.part, seat.other].iter().all(|id| seen.parts[*id].present) {
                continue;
            }
            let (Some(part), Some(here)) =
                (seen.now.poses.get(seat.part), seat_of(&seen.now.poses, seat.part, seat.other))
            else {
                continue;
            };
            let carried = || -> f64 {
                seen.now
                    .loads
                    .iter()
                    .filter(|l| l.on == seat.part || l.by == Some(seat.part))
                    .map(|l| l.force[1].abs())
                    .sum()
            };
            // Counted twice: once from below, once from above.
            if seat.lifted && seat.start.is_none() && carried() < 2.0 * LOADED_N {
                continue;
            }
            let start = *seat.start.get_or_insert(here);
            let moved = (here[0] - start[0]).hypot(here[2] - start[2]);
            let Some(began_s) = seat.tracker.track(seen.now.t_s, moved, ONSET_M, seat.limit_m, 0.0)
            else {
                continue;
            };
            let (moving, over) = (&seen.parts[seat.part], &seen.parts[seat.other]);
            let measured = Measured::KickOut {
                kind: moving.kind,
                // A bag's two faces share its name.
                over: (moving.name != over.name).then(|| over.spoken().to_owned()),
                moved_m: moved,
                limit_m: seat.limit_m,
            };
            found.push(seen.finding(began_s, &moving.name, part.at(), measured));
        }
        found
    }

    fn observe_tilts(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (i, bag) in seen.now.bags.iter().enumerate() {
            let tilt_rad = if bag.force_n > LOADED_N { bag.tilt_rad } else { 0.0 };
            let limit_rad = thrown_out_rad(RUBBER_LEAST);
            // A bag may tilt: it begins to go wrong at the limit.
            let began = self.tilts[i].track(seen.now.t_s, tilt_rad, limit_rad, limit_rad, 0.0);
            if let Some(began_s) = began {
                let upper = PartKind::BagFace { bag: i, upper: true };
                let place = seen.place_of(upper).unwrap_or_default();
                let measured = Measured::BagTilt { tilt_rad, limit_rad };
                found.push(seen.finding(began_s, &seen.scene.bags[i].name, place, measured));
            }
        }
        found
    }

    /// Seats, and the tilts that were too much.
    pub fn nearest<'a>(
        &'a self,
        scene: &'a Scene,
        parts: &'a [Part],
    ) -> impl Iterator<Item = NearestApproach> + 'a {
        let seats = self.seats.iter().filter_map(|seat| {
            let name = &parts.get(seat.part)?.name;
            seat.tracker.nearest(Cause::KickOut, name, Dimension::Length)
        });
        let tilts = self.tilts.iter().zip(&scene.bags).filter(|(tilt, _)| tilt.passed());
        let tilts =
            tilts.filter_map(|(t, bag)| t.nearest(Cause::KickOut, &bag.name, Dimension::Angle));
        seats.chain(tilts)
    }
}
