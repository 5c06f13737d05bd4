//! Where the load's line runs down through a stack, and whether it stays inside and is steep
//! enough for friction.

use super::context::{RowContext, STATICS, stack_part};
use crate::scene::{Cause, RestsOn, Stack};
use crate::statics::plan::{ColumnState, LiftPlan, LiftPoint};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::stacks::{self as crib, weight_n};
use crate::tables::Material;

/// The line along the vehicle, across it, and its slope.
pub fn thrust(
    d: &RowContext<'_>,
    lift: &LiftPlan,
    point: &LiftPoint,
    force: f64,
    stand: &ColumnState,
) -> Vec<Row> {
    let stack = &d.scene.stacks[point.stack];
    let Some(line) = line_rows(d, point, force, stand) else { return Vec::new() };
    let mut rows: Vec<Row> = line.into();
    rows.extend(slope_rows(d, point, stack, force, stand));
    rows.extend(across_row(d, lift, point, stack, force));
    rows
}

/// Across the vehicle, on ground that falls sideways.
fn across_row(
    d: &RowContext<'_>,
    lift: &LiftPlan,
    point: &LiftPoint,
    stack: &Stack,
    force: f64,
) -> Option<Row> {
    let u = d.units;
    let cross = d.scene.ground.cross_slope_rad;
    if cross == 0.0 && stack.lean[1] == 0.0 {
        return None;
    }
    let across = d.plan.across_n(lift, &lift.end()) * point.share;
    let (joint, at, half) = weakest(&joints(d, stack, [0.0, across, force], 1))?;
    Some(
        Row::new(
            RowGroup::Stacks,
            RowQuantity::ThrustLineAcross.of(stack_part(stack)),
            Figure::Gap(at.abs()),
        )
        .by(
            "e = (W sin slope (x_p - x_c) / (x_p - x_l) / V) d + lean",
            format!(
                "{} / {} x depth, top {} off the foot, at the joint under layer {}",
                u.force(across.abs()),
                u.force(force),
                u.gap(stack.lean[1].abs()),
                joint + 1
            ),
            STATICS,
        )
        .at_most(Figure::Gap(half))
        .warns(Cause::Topple)
        .note(format!(
            "The ground falls by {} across the vehicle, and the lifted end would swing downhill. \
             Friction at the other end, which holds a part of it, is left out.",
            u.angle(cross)
        )),
    )
}

/// A joint by the layer over it, where the load's line crosses it and half its bearing, m.
type Joint = (usize, f64, f64);

/// How far the middle of a stack's top stands off the middle of what bears at the joint under a
/// layer, along an axis of the plane that the lift is balanced in, m: its lean from there up.
pub fn lean_over_m(d: &RowContext<'_>, stack: &Stack, joint: usize, axis: usize) -> f64 {
    let ends = stack.joint_ends(joint)[ground_axis(d, axis)];
    stack.at[axis] - stack.layer_at(ends)[axis]
}

/// Even layers lie along the vehicle, which is across that plane where it is a cross-section.
fn ground_axis(d: &RowContext<'_>, axis: usize) -> usize {
    if d.scene.lies() == RestsOn::Roof { axis } else { 1 - axis }
}

/// Every joint of a stack from the ground up, along X (axis 0) or Z (axis 1) of the plane that
/// the lift is balanced in.
fn joints(
    d: &RowContext<'_>,
    stack: &Stack,
    [enters_m, sideways_n, load_n]: [f64; 3],
    axis: usize,
) -> Vec<Joint> {
    let joint = |k| {
        let below = stack.height_m() - crib::joint_height_m(stack, k);
        let at = crib::thrust_m(enters_m, sideways_n, load_n, below);
        let at = at + lean_over_m(d, stack, k, axis);
        (k, at, stack.joint_half_m(k)[ground_axis(d, axis)])
    };
    (0..=stack.layers_with_pads()).map(joint).collect()
}

/// The joint whose edge the load's line comes nearest to, or is furthest past.
fn weakest(joints: &[Joint]) -> Option<Joint> {
    let left = |(_, at, half): &Joint| half - at.abs();
    joints.iter().copied().min_by(|a, b| left(a).total_cmp(&left(b)))
}

/// Where the load's line runs, and what pushes it.
fn line_rows(
    d: &RowContext<'_>,
    point: &LiftPoint,
    force: f64,
    stand: &ColumnState,
) -> Option<[Row; 2]> {
    let u = d.units;
    let stack = &d.scene.stacks[point.stack];
    let enters = stand.lean.enters_m;
    let height = stack.height_m();
    // Along X: that is where the arc runs.
    let joints = joints(d, stack, [enters, stand.sideways_n, force], 0);
    let left: Vec<String> = joints.iter().map(|(_, at, half)| u.gap(half - at.abs())).collect();
    let (joint, at, half) = weakest(&joints)?;
    let towards = (enters + lean_over_m(d, stack, joint, 0)) * stand.sideways_n.signum();
    let below = height - crib::joint_height_m(stack, joint);
    // The joint under the topmost layer may be at the load's own height.
    let tipping = crib::tipping_n(force, half, towards, below.max(stack.timber.height_m));
    // It leans by half a timber at most before it counts as going over.
    let [eased, share] = [stand.lean.eased_per_m, stand.lean.eased_share];
    let leaned = crib::leaned_m(stack.timber.width_m / 2.0, eased, share, below);
    Some([
        Row::new(
            RowGroup::Stacks,
            RowQuantity::ThrustLine.of(stack_part(stack)),
            Figure::Gap(at.abs()),
        )
        .by(
            "e = e0 + (H/V) d + lean",
            format!(
                "{} + {} / {} x depth, top {} off the foot, at the joint under layer {}",
                u.gap(enters),
                u.force(stand.sideways_n),
                u.force(force),
                u.gap(stack.lean[0].abs()),
                joint + 1
            ),
            STATICS,
        )
        .at_most(Figure::Gap(half + leaned))
        .or_only(Figure::Gap(half))
        .warns(Cause::Topple)
        .note(format!(
            "Past half the bearing at the weakest joint the layers above rock on their edge and \
             lean, which eases the bags that push them. At half a timber of lean, the limit for \
             going over, it eases them by {}. Left at every joint from the ground up: {}.",
            u.gap(leaned),
            left.join(", ")
        )),
        Row::new(
            RowGroup::Stacks,
            RowQuantity::SidewaysForce.of(stack_part(stack)),
            Figure::Force(stand.sideways_n.abs()),
        )
        .by(
            if point.seat.is_some() {
                "H = V tan(wedge + atan(b - c s / h)), H_tip = V (b - e) / d"
            } else {
                "H = V (c s / h - b), H_tip = V (b - e) / d"
            },
            format!(
                "the bags' top would go {} along {}, {} of it slips",
                u.gap(stand.way_m),
                if point.seat.is_some() { "the wedge's face" } else { "the ground" },
                u.gap(stand.lean.slip_m)
            ),
            "bag shear c = 0.5 assumed; statics",
        )
        .note(format!(
            "{} {} brings the line to the edge of the weakest joint.",
            if point.seat.is_some() {
                "The bags push square to the wedge under them, and lean further as they swell \
                 along it while the lift point goes up."
            } else {
                "The lift point follows an arc and drags the bags' top with it."
            },
            u.force(tipping.max(0.0))
        )),
    ])
}

/// Whether the line is too flat for friction, in the stack and under it.
fn slope_rows(
    d: &RowContext<'_>,
    point: &LiftPoint,
    stack: &Stack,
    force: f64,
    stand: &ColumnState,
) -> Vec<Row> {
    let u = d.units;
    let mu = |a, b| d.scene.friction(a, b).map(|p| p.friction(d.scene.ground.wet));
    let timber = mu(Material::Timber, Material::Timber).unwrap_or([0.0; 2]);
    let share = stand.sideways_n.abs() / force;
    let mut rows = vec![
        Row::new(
            RowGroup::Stacks,
            RowQuantity::ThrustSlope.of(stack_part(stack)),
            Figure::Number(share),
        )
        .by(
            "H / V against mu, timber on timber",
            format!("{} / {}", u.force(stand.sideways_n.abs()), u.force(force)),
            d.scene.friction(Material::Timber, Material::Timber).map_or("", |p| p.source),
        )
        .at_most(Figure::Number(timber[0]))
        .or_only(Figure::Number(timber[1]))
        .note(if point.seat.is_some() {
            "At every layer, and first of all under the wedge. The bags push square to its face, \
             and this friction has to hold the sideways part. Less once it moves."
        } else {
            "At every layer; less once it moves."
        }),
    ];
    if let Some(base) = mu(Material::Timber, Material::Ground(d.scene.ground.surface)) {
        let below = force + weight_n(stack);
        let slope = d.scene.ground.slope_rad.hypot(d.scene.ground.cross_slope_rad).tan();
        let share = stand.sideways_n.abs() / below + slope;
        rows.push(
            Row::new(
                RowGroup::Stacks,
                RowQuantity::ThrustSlopeAtBase.of(stack_part(stack)),
                Figure::Number(share),
            )
            .by(
                "H / V + slope against mu, timber on ground",
                format!(
                    "{} / {} on {}",
                    u.force(stand.sideways_n.abs()),
                    u.force(below),
                    d.scene.ground.surface
                ),
                d.scene
                    .friction(Material::Timber, Material::Ground(d.scene.ground.surface))
                    .map_or("", |p| p.source),
            )
            .at_most(Figure::Number(base[0]))
            .or_only(Figure::Number(base[1])),
        );
    }
    rows
}
