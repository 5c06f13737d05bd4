//! Kick-out: a bag, a wedge, a pad or the beam leaves its seat: it moves over what it
//! lies on, or over what it lifts, by more than a share of its width.

use super::{Crossing, Moment};
use crate::scene::{Cause, Rest};
use crate::snapshot::{Finding, Part, PartId, PartKind, Reach};
use crate::units::{Dimension, Words};

/// Bags shear and roll on as they swell; less than this is no kick-out yet, m.
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
    crossing: Crossing,
}

#[derive(Clone)]
pub(super) struct KickOut(Vec<Seat>);

impl KickOut {
    pub fn new(m: &Moment<'_>) -> Self {
        let find = |kind: PartKind| m.parts.iter().position(|p| p.kind == kind);
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
                    start: None,
                    crossing: Crossing::default(),
                });
            }
        };
        let scene = m.scene;
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
                Rest::Bag(b) => face(b, true),
                Rest::Stack(s) => {
                    let stack = &scene.stacks[s];
                    let top = (stack.layers + stack.pads_m.len()).saturating_sub(1);
                    find(PartKind::Pad { stack: s, layer: top })
                        .or_else(|| find(PartKind::StackTimber { stack: s, layer: top }))
                }
            };
            seat(face(index, false), below, side, false);
            // The upper face over the lower one: the bag itself rolls over.
            seat(face(index, true), face(index, false), side, false);
            let topmost = !scene.bags.iter().any(|b| b.on == Rest::Bag(index));
            if topmost {
                let wedge = scene.wedges.iter().position(|w| w.on == index);
                match wedge.and_then(|w| find(PartKind::Wedge(w))) {
                    Some(wedge) => {
                        seat(Some(wedge), face(index, true), side, false);
                        seat(Some(wedge), vehicle, side, true);
                    }
                    None if beam.is_some() => seat(face(index, true), beam, side, true),
                    None => seat(face(index, true), vehicle, side, true),
                }
            }
        }
        if let Some(spec) = &scene.beam {
            seat(beam, vehicle, spec.timber.width_m * 4.0, true);
        }
        Self(seats)
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for seat in &mut self.0 {
            // A beam that broke has left no seat of its own.
            if ![seat.part, seat.other].iter().all(|id| m.parts[*id].present) {
                continue;
            }
            let (Some(part), Some(other)) =
                (m.now.poses.get(seat.part), m.now.poses.get(seat.other))
            else {
                continue;
            };
            let carried = || -> f64 {
                m.now
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
            let here = other.local(part.at());
            let start = *seat.start.get_or_insert(here);
            let moved = (here[0] - start[0]).hypot(here[2] - start[2]);
            let Some(began_s) = seat.crossing.look(m.now.t_s, moved, ONSET_M, seat.limit_m, 0.0)
            else {
                continue;
            };
            let (name, over) = (&m.parts[seat.part].name, &m.parts[seat.other].name);
            let what = match m.parts[seat.part].kind {
                PartKind::BagFace { .. } => format!("the {name} bag"),
                _ => format!("the {name}"),
            };
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::KickOut,
                part: name.clone(),
                place: part.at(),
                text: if name == over {
                    Words::of(|u| format!(
                        "{what} rolled over: its upper face moved {} over its lower one (limit {})",
                        u.gap(moved),
                        u.gap(seat.limit_m)
                    ))
                } else {
                    Words::of(|u| format!(
                        "{what} left its seat: it moved {} over the {over} (limit {})",
                        u.gap(moved),
                        u.gap(seat.limit_m)
                    ))
                },
                values: vec![("moved_m", moved), ("limit_m", seat.limit_m)],
                follows: None,
            });
        }
        found
    }

    pub fn reach<'a>(&'a self, parts: &'a [Part]) -> impl Iterator<Item = Reach> + 'a {
        self.0.iter().filter_map(|seat| {
            let name = &parts.get(seat.part)?.name;
            seat.crossing.reach(Cause::KickOut, name, Dimension::Length)
        })
    }
}
