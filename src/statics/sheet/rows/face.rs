//! The face that is lifted by, and the sheet metal under a bag.

use super::context::{RowContext, bag_part, stack_part};
use crate::bag_law::thrown_out_rad;
use crate::scene::{CarriedBy, Cause, CutFace, Envelope, Footprint};
use crate::statics::plan::{ColumnState, LiftPlan, LiftPoint};
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::{face as slope, panel};
use crate::tables::{Material, RUBBER_LEAST, SNUG_M};

/// Share of its side by which a bag may be pushed over (assumed).
const SEAT_SHARE: f64 = 0.18;
const BAG_SHEAR: &str = "dry friction; bag shear c = 0.5 assumed";

pub fn face(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else {
        return vec![Row::missing(
            RowGroup::Face,
            RowQuantity::All(RowGroup::Face),
            "nothing lifts: see Lift force",
        )];
    };
    let mut rows = Vec::new();
    let u = d.units;
    let state = lift.end();
    // Where every column leans on a wedge, only what the vehicle has turned since is left of it.
    let leans = lift.points.iter().map(LiftPoint::leans_rad).reduce(f64::min).unwrap_or(0.0);
    let steep = lift.face_rad + lift.turn_rad(&state) - leans;
    let under = if lift.by_beam || lift.points.iter().any(|p| p.wedged) {
        Material::Timber
    } else {
        Material::Rubber
    };
    match d.scene.friction(Material::Sheet, under) {
        Some(pair) => {
            let wet = d.scene.ground.wet;
            let ([mu, least], slides_rad) = (pair.friction(wet), pair.slides_from_rad(wet));
            rows.push(Row::new(RowGroup::Face, RowQuantity::FaceSlope, Figure::Angle(steep.abs()))
                .by(
                    "slope against atan mu",
                    format!(
                        "{} as it lies + {} of turn{}; mu {mu:.2}",
                        u.angle(lift.face_rad),
                        u.angle(lift.turn_rad(&state)),
                        if leans != 0.0 {
                            format!(" - {} of the wedge under the bags", u.angle(leans))
                        } else {
                            String::new()
                        }
                    ),
                    pair.source,
                )
                .at_most(Figure::Angle(slides_rad))
                .or_only(Figure::Angle(least.atan()))
                .note(if steep.abs() > slides_rad {
                    "Steeper than friction holds: what lies under it is pushed out until the bag's \
                     shear holds it. Lock it, or lift elsewhere."
                } else {
                    "Friction holds it, as long as nothing moves."
                }));
        }
        None => rows.push(Row::missing(
            RowGroup::Face,
            RowQuantity::FaceSlope,
            "no friction is known for this pair",
        )),
    }
    for point in &lift.points {
        rows.extend(point_rows(d, lift, point));
    }
    rows
}

fn point_rows(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint) -> Vec<Row> {
    let stand = lift.column(point, lift.rise_m);
    let mut rows = vec![slip_row(d, lift, point, &stand)];
    rows.extend(shear_rows(d, point, &stand));
    rows.extend(bend_row(d, point));
    rows.push(tilt_row(d, lift, point));
    rows
}

fn slip_row(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint, stand: &ColumnState) -> Row {
    let u = d.units;
    let slip_m = stand.lean.slip_m;
    Row::new(
        RowGroup::Face,
        RowQuantity::FaceSlip.of(stack_part(&d.scene.stacks[point.stack])),
        Figure::Gap(slip_m.abs()),
    )
    .by(
        "s - H h / (c F), slope - atan mu <= atan(H/F) <= slope + atan mu",
        format!("way {}, side force {}", u.gap(stand.way_m), u.force(stand.sideways_n)),
        BAG_SHEAR,
    )
    .note(format!(
        "Costs {} of height, because the face is higher further back.",
        u.gap((slip_m * lift.across_rad(point, &lift.end()).tan()).max(0.0))
    ))
}

fn shear_rows(d: &RowContext<'_>, point: &LiftPoint, stand: &ColumnState) -> Vec<Row> {
    let row = |(&bag, sheared): (&usize, &f64)| {
        let bag = &d.scene.bags[bag];
        Row::new(
            RowGroup::Face,
            RowQuantity::BagShear.of(bag_part(bag)),
            Figure::Gap(sheared.abs()),
        )
        .by(
            "s = h (b + H/F) / c",
            format!("side force {}", d.units.force(stand.sideways_n)),
            BAG_SHEAR,
        )
        .at_most(Figure::Gap(SEAT_SHARE * bag.size[0]))
        .warns(Cause::KickOut)
        .note("Past this share of its side, 18 % (assumed), a bag counts as rolled over.")
    };
    point.bags.iter().zip(&stand.lean.shears_m).map(row).collect()
}

/// How far the bags' faces are out of parallel at the end, against what they may be.
fn tilt_row(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint) -> Row {
    let u = d.units;
    let stack = stack_part(&d.scene.stacks[point.stack]);
    let tilt = lift.tilt_rad(point, &lift.end());
    let row =
        |stack| Row::new(RowGroup::Face, RowQuantity::BagTilt.of(stack), Figure::Angle(tilt.abs()));
    if !lift.by_beam && !point.wedged && point.seat.is_none() {
        let side = point.bags.last().map_or(0.0, |&b| d.scene.bags[b].size[0]);
        let meet_m = slope::faces_meet_m(side, tilt);
        return row(stack)
            .by(
                "slope of the face, no wedge",
                format!("faces meet until the bags stand {} high (W phi / 2)", u.gap(meet_m)),
                "membrane geometry",
            )
            .at_most(Figure::Angle(slope::LEVEL_RAD))
            .note(format!(
                "A wedge {} thicker at one end than at the other squares it. Until then the bag \
                 bears on one edge and can kick out.",
                u.gap(slope::wedge_m(side, lift.face_rad))
            ));
    }
    let Some(limit) = tilt_limit_rad(d, lift, point) else {
        return Row::missing(
            RowGroup::Face,
            RowQuantity::BagTilt.of(stack),
            "no order raises a bag: its height needs `orders`",
        );
    };
    let (formula, under) = match (lift.by_beam, point.seat) {
        (true, _) => ("turn of the vehicle only", "under a beam".to_owned()),
        (false, None) => ("turn of the vehicle only", "under a wedge cut to the face".to_owned()),
        (false, Some(seat)) => (
            "slope of the face - slope of the wedge under the bags",
            format!("on a wedge cut to {}", u.angle(seat.lean_rad())),
        ),
    };
    row(stack)
        .by(formula, under, "membrane geometry, friction of rubber")
        .at_most(Figure::Angle(limit))
        .note(
            "Limit: the smaller one of each bag. Its faces meet on the closing side at 2 h / W, \
             or it may be thrown out at 2 atan mu.",
        )
}

/// A wedge over which the outline bends: it follows the face over its middle only.
fn bend_row(d: &RowContext<'_>, point: &LiftPoint) -> Option<Row> {
    let u = d.units;
    let wedge = d
        .scene
        .wedges
        .iter()
        .find(|w| point.bags.last().map(|&b| CarriedBy::Bag(b)) == Some(w.on))?;
    let at = d.scene.stacks[point.stack].at;
    let foot = Footprint::of_size(at, wedge.size);
    let envelope = Envelope::posed(&d.scene.vehicle, d.plan.start.side_pose);
    let cut = CutFace::under(foot, |at| envelope.underside(at))?;
    if cut.light_m <= SNUG_M {
        return None;
    }
    Some(
        Row::new(
            RowGroup::Face,
            RowQuantity::LightPastBend.of(RowPart::Wedge(wedge.name.clone())),
            Figure::Gap(cut.light_m),
        )
        .by(
            "outline - plane of the face over its middle",
            format!("{} long, middle at x {}", u.gap(wedge.size[0]), u.span(at[0])),
            "geometry of the outline",
        )
        .note(
            "A wedge is cut to the face over its middle and bears there: past the bend the face \
             stands clear of it. Make it shorter, or move it off the bend.",
        ),
    )
}

/// Tilt that all bags of a point can take together, rad; none where no order fills them.
fn tilt_limit_rad(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint) -> Option<f64> {
    let last = lift.highest()?;
    let limit = |&b: &usize| {
        let meets = d.scene.membrane(b).tilt_limit_rad(last.bags[b].gap_m, d.scene.bags[b].size[0]);
        meets.min(thrown_out_rad(RUBBER_LEAST))
    };
    Some(point.bags.iter().map(limit).sum())
}

pub fn metal(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else { return Vec::new() };
    let u = d.units;
    let mut rows = Vec::new();
    for point in &lift.points {
        let stack = &d.scene.stacks[point.stack];
        let Some(p) = point.panel.map(|i| &d.scene.vehicle.panels[i]) else { continue };
        let force = lift.force_n(point, &lift.end());
        let yields = panel::yields_n(p.plateau_n, lift.face_rad);
        rows.push(
            Row::new(
                RowGroup::Metal,
                RowQuantity::PanelForce { panel: p.name.clone() }.of(stack_part(stack)),
                Figure::Force(force),
            )
            .by(
                "F against plateau / cos slope",
                format!("{} / cos {}", u.force(p.plateau_n), u.angle(lift.face_rad)),
                &d.scene.vehicle.data,
            )
            .at_most(Figure::Force(yields))
            .or_only(Figure::Force(0.7 * yields))
            .note("Past it the metal goes on giving way. Its strength is assumed, to 30 %."),
        );
        rows.push(
            Row::new(
                RowGroup::Metal,
                RowQuantity::PanelHeightLost { panel: p.name.clone() }.of(stack_part(stack)),
                Figure::Gap(lift.lost_m(point, force)),
            )
            .by(
                "F / k up to where it yields, then the whole depth",
                format!(
                    "{} / {:.0} N/mm up to {}, then {}",
                    u.force(force),
                    p.stiffness_n_m / 1e3,
                    u.force(p.plateau_n),
                    u.gap(p.depth_m)
                ),
                &d.scene.vehicle.data,
            )
            .at_most(Figure::Gap(p.depth_m))
            .note("The bags must give this on top of the rise."),
        );
    }
    if rows.is_empty() {
        rows.push(Row::missing(
            RowGroup::Metal,
            RowQuantity::PanelUnderBag,
            if lift.by_beam {
                "the beam lifts the body, not a panel"
            } else {
                "no panel of the vehicle lies over a bag"
            },
        ));
    }
    rows
}
