//! Timber that holds the vehicle meets a face that it does not slide on.

use crate::practice::record::{BEARS_N, Record, passes};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::snapshot::{Part, PartId, PartKind, Pose, Shape, Snapshot};
use crate::tables::Material;
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "steep_face",
    asks: "timber bears against a face that it does not slide on",
    unit: Unit::Si(Dimension::Angle),
    limit: RuleLimit::OfThePart(
        "at most the angle at which timber begins to slide on sheet metal: 21.8° dry, 18.3° wet",
    ),
    takes: "how steep the face is that loaded timber is cut to: the block on a bag; the wedges of \
            a capture stack, step chock or void fill; a beam does not count as such a face",
    source: "the friction pair: European Best Practice Guidelines on Cargo Securing for Road \
             Transport, 8.2, wet assumed; the rule is common practice, no source",
    find,
    say: |point, _, u| {
        format!(
            "{} bore against a face of {}, on which timber slides from {}",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(pair) = record.scene.friction(Material::Timber, Material::Sheet) else {
        return Vec::new();
    };
    let limit_rad = pair.slides_from_rad(record.scene.ground.wet);
    let blocks = (0..record.scene.wedges.len()).map(PartKind::Wedge);
    let fills = (0..record.scene.void_fill.len()).map(PartKind::VoidFill);
    let steps = (0..record.scene.step_chocks.len()).map(PartKind::StepPacker);
    let captures = (0..record.scene.captures.len()).map(PartKind::CaptureWedge);
    let point = |kind: PartKind| {
        let moments = record.history.iter().filter_map(|now| {
            let (part, rad) = steepest(record.parts, kind, now)?;
            Some((*now, part, rad))
        });
        let (now, part, most_rad) = passes(limit_rad, moments)?;
        let name = match kind {
            PartKind::Wedge(i) => &record.scene.wedges[i].name,
            PartKind::VoidFill(i) => &record.scene.void_fill[i].name,
            PartKind::StepPacker(i) => &record.scene.step_chocks[i].name,
            PartKind::CaptureWedge(i) => &record.scene.captures[i].name,
            _ => return None,
        };
        let place = now.poses.get(part)?.at();
        Some(RULE.point((now.t_s, name, place), Some(most_rad), limit_rad))
    };
    blocks.chain(fills).chain(steps).chain(captures).filter_map(point).collect()
}

/// The steepest wedge of a kind that the vehicle bears on at a moment, and the angle between its
/// face and the ground, rad.
fn steepest(parts: &[Part], kind: PartKind, now: &Snapshot) -> Option<(PartId, f64)> {
    let is_vehicle = |part: PartId| parts.get(part).is_some_and(|p| p.kind.is_vehicle());
    let wedge = |part: PartId| parts.get(part).filter(|p| p.kind == kind).map(|_| part);
    let loads = now.loads.iter().filter(|load| load.force[1].abs() > BEARS_N);
    let borne = loads.filter_map(|load| match load.by {
        Some(by) if is_vehicle(by) => wedge(load.on),
        Some(by) if is_vehicle(load.on) => wedge(by),
        _ => None,
    });
    let faces = borne
        .filter_map(|part| Some((part, face_rad(&parts.get(part)?.shape, now.poses.get(part)?)?)));
    faces.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The angle between the ground and the upper face of a wedge, rad; none for a level timber.
fn face_rad(shape: &Shape, pose: &Pose) -> Option<f64> {
    // A wedge is its four lower corners, then its four upper ones in the same order.
    let Shape::Hull(points) = shape else { return None };
    let upper: &[[f64; 3]; 4] = points.get(4..8)?.try_into().ok()?;
    let way = |from: usize, to: usize| [0, 1, 2].map(|i| upper[to][i] - upper[from][i]);
    let (a, b) = (pose.turned(way(0, 2)), pose.turned(way(1, 3)));
    let normal = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    let level = normal[0].hypot(normal[2]);
    Some(level.atan2(normal[1].abs()))
}
