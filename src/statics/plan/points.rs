//! The places where the vehicle is lifted: one stack with its bags each, and the face that
//! they press on.

use crate::scene::{Bag, CarriedBy, Envelope, LeaningSeat, SidePose, Wedge, column_on};
use crate::statics::plane::LaidOut;
use crate::statics::supports::{face_slope_rad, panel_at};
use crate::tables::{BAG_FACE_KG_M2, Material, SNUG_M, TIMBER_KG_M3};
use crate::units::GRAVITY_M_S2;

/// A place where the vehicle is lifted: one stack with its bags.
#[derive(Clone, Debug)]
pub struct LiftPoint {
    pub stack: usize,
    /// From the lowest up.
    pub bags: Vec<usize>,
    /// Share of the lift, 0 to 1.
    pub share: f64,
    /// What the bags must swell before they bear, m.
    pub slack_m: f64,
    /// The zone of thin metal they press on.
    pub panel: Option<usize>,
    /// How far that can slip over them along the metal, m, towards the nose and towards the
    /// tail: the edge of the dent stops it.
    pub room_m: [f64; 2],
    /// The uppermost bag, counted from the lowest, that is longer than the metal left beside it
    /// and bears on the body round the dent.
    pub stops: Option<usize>,
    /// A wedge squares the face above them.
    pub wedged: bool,
    /// The face of the wedge under them, where there is one.
    pub seat: Option<LeaningSeat>,
    /// Height of the wedge, or of the beam with its shims, m: it turns with the vehicle.
    pub stiff_m: f64,
    /// Weight on the stack beside the vehicle, N: bags, wedges, its share of the beam.
    pub dead_n: f64,
}

impl LiftPoint {
    /// How far the column of bags leans on the wedge under it, rad: towards the nose is positive.
    pub fn leans_rad(&self) -> f64 {
        self.seat.map_or(0.0, |seat| seat.lean_rad())
    }
}

/// Friction between the lifted face and what lifts it, static and what it may fall to:
/// timber where a beam or a wedge bears, else rubber.
pub fn face_friction(scene: &LaidOut, by_beam: bool) -> Option<[f64; 2]> {
    let timber = by_beam || scene.wedges.iter().any(|w| matches!(w.on, CarriedBy::Bag(_)));
    let under = if timber { Material::Timber } else { Material::Rubber };
    let pair = scene.friction(Material::Sheet, under)?;
    Some(pair.friction(scene.ground.wet))
}

/// Bags in columns, each from the lowest up.
pub fn columns(scene: &LaidOut) -> Vec<Vec<usize>> {
    let columns = (0..scene.stacks.len()).map(|stack| column_on(&scene.bags, stack));
    columns.filter(|column| !column.is_empty()).collect()
}

/// Height of the top of a column of empty bags with what lies between it and the beam, m.
pub fn column_top_m(scene: &LaidOut, column: &[usize]) -> f64 {
    let stack = &scene.stacks[CarriedBy::Bag(column[0]).stack(&scene.bags)];
    stack.height_m() + column.len() as f64 * Bag::FLAT_M + pad_m(scene, column)
}

/// Thickness of the board between a column of bags and the beam, m.
fn pad_m(scene: &LaidOut, column: &[usize]) -> f64 {
    let top = column.last().map(|&bag| CarriedBy::Bag(bag));
    let pad = scene.beam().zip(top).and_then(|(beam, top)| beam.pad_on(top));
    pad.unwrap_or(0.0)
}

/// Where the lift acts as the vehicle lies: under the belt line for a beam, else in the
/// middle of what the bags press on.
pub fn lift_place(
    scene: &LaidOut,
    envelope: &Envelope<'_>,
    columns: &[Vec<usize>],
) -> Option<[f64; 2]> {
    if columns.is_empty() {
        return None;
    }
    if let Some(beam) = scene.beam() {
        let [_, belt] = envelope.opening_heights([beam.at[0]; 2])?;
        return Some([beam.at[0], belt]);
    }
    let places: Vec<[f64; 2]> = columns
        .iter()
        .filter_map(|c| {
            let [x, z] = scene.stacks[CarriedBy::Bag(c[0]).stack(&scene.bags)].at;
            Some([x, envelope.underside([x, z])?])
        })
        .collect();
    let mean = |i: usize| places.iter().map(|p| p[i]).sum::<f64>() / places.len() as f64;
    (!places.is_empty()).then(|| [mean(0), mean(1)])
}

pub fn point(
    scene: &LaidOut,
    envelope: &Envelope<'_>,
    bags: Vec<usize>,
    stack: usize,
    share: f64,
) -> LiftPoint {
    let at = scene.stacks[stack].at;
    let top = column_top_m(scene, &bags);
    let above = envelope.underside(at).unwrap_or(top);
    let topmost = bags[bags.len() - 1];
    let wedge = scene.wedges.iter().find(|w| w.on == CarriedBy::Bag(topmost));
    let under = scene.wedges.iter().find(|w| w.on == CarriedBy::Stack(stack));
    let seat = under
        .and_then(|w| LeaningSeat::of(w, &scene.stacks, &scene.bags, |at| envelope.underside(at)));
    let mut dead_kg: f64 = bags
        .iter()
        .map(|&b| 2.0 * BAG_FACE_KG_M2 * scene.bags[b].size[0] * scene.bags[b].size[1])
        .sum();
    if let (Some(w), Some(seat)) = (under, seat) {
        dead_kg += TIMBER_KG_M3 * w.size[0] * w.size[1] * seat.middle_m;
    }
    let mut room_m = [f64::INFINITY; 2];
    let mut stops = None;
    let (slack_m, panel, stiff_m) = match (scene.beam(), wedge) {
        (Some(beam), _) => {
            let columns = beam.rests_on.len().max(1) as f64;
            dead_kg +=
                TIMBER_KG_M3 * beam.timber.width_m * beam.timber.height_m * beam.length_m / columns;
            let half = beam.timber.width_m / 2.0;
            let belt = envelope.opening_heights([beam.at[0] - half, beam.at[0] + half]);
            let room = belt.map_or(0.0, |[_, belt]| belt - top - beam.timber.height_m).max(0.0);
            let board = pad_m(scene, &bags);
            let [along, across] = scene.bags[topmost].size;
            dead_kg += TIMBER_KG_M3 * along * across * board;
            let depth = board + beam.timber.height_m;
            if beam.shims { (SNUG_M, None, depth + room) } else { (room, None, depth) }
        }
        (None, wedge) => {
            if let Some(w) = wedge {
                let thick = (above - top).max(Wedge::LEAST_M);
                dead_kg += TIMBER_KG_M3 * w.size[0] * w.size[1] * thick;
            }
            let x = envelope.side_pose().profile([at[0], above])[0];
            let panel = panel_at(&scene.vehicle, x)
                .and_then(|p| scene.vehicle.panels.iter().position(|q| q.name == p.name));
            if let Some(zone) = panel.map(|i| &scene.vehicle.panels[i]) {
                let half = wedge.map_or(scene.bags[topmost].size[0], |w| w.size[0]) / 2.0;
                let edge = |dx: f64| {
                    let [x, z] = [at[0] + dx, at[1]];
                    envelope.side_pose().profile([x, envelope.underside([x, z]).unwrap_or(above)])
                        [0]
                };
                // Along the metal, which slopes in the vehicle too.
                let [front, rear] = zone.x.map(|x| [x, scene.vehicle.profile.upper_y(x)]);
                let along = (front[0] - rear[0]).hypot(front[1] - rear[1]) / (front[0] - rear[0]);
                let beside = |half: f64| [edge(-half) - zone.x[1], zone.x[0] - edge(half)];
                room_m = beside(half).map(|m| m.max(0.0) * along);
                let under = if wedge.is_some() { bags.len() } else { bags.len() - 1 };
                let past =
                    |&b: &usize| beside(scene.bags[b].size[0] / 2.0).iter().any(|room| *room < 0.0);
                stops = bags[..under].iter().rposition(past);
            }
            let room = (above - top).max(0.0);
            match (wedge, seat) {
                (Some(_), _) => (SNUG_M, panel, room),
                (None, Some(seat)) => (SNUG_M * seat.square()[1], panel, 0.0),
                (None, None) => (room, panel, 0.0),
            }
        }
    };
    let wedged = wedge.is_some();
    let dead_n = dead_kg * GRAVITY_M_S2;
    LiftPoint { stack, bags, share, slack_m, panel, room_m, stops, wedged, seat, stiff_m, dead_n }
}

/// Slope of the face that is lifted by: the belt line over a beam, else the outline over
/// the first column.
pub fn lifted_face_rad(
    scene: &LaidOut,
    side_pose: SidePose,
    points: &[LiftPoint],
    by_beam: bool,
) -> f64 {
    let p = &scene.vehicle.profile;
    if by_beam {
        return face_slope_rad(side_pose, p.cowl, p.deck_front);
    }
    let Some(first) = points.first() else { return 0.0 };
    let at = scene.stacks[first.stack].at;
    let envelope = Envelope::posed(&scene.vehicle, side_pose);
    let middle = side_pose.profile([at[0], envelope.underside(at).unwrap_or(0.0)])[0];
    let ends = [middle + 0.02, middle - 0.02].map(|x| [x, p.upper_y(x)]);
    face_slope_rad(side_pose, ends[0], ends[1])
}
