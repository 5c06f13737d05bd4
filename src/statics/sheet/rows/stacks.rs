//! Each stack: how high it is, what presses on its crossings, and where the load runs.

use super::context::{RowContext, STATICS, THUMB, stack_part};
use crate::scene::{Cause, Lies, Stack};
use crate::statics::plan::{ColumnState, LiftPlan, LiftPoint};
use crate::statics::sheet::{Figure, Group, Quantity, Row};
use crate::statics::stacks as crib;
use crate::tables::{CRIB_RATING_PA, Material, TIMBER_KG_M3, WEAKEST_BEARING_PA};
use crate::units::GRAVITY_M_S2;

/// Usual ceiling of a crib of 4x4 timber, m: 48 in (common practice, no source).
const CEILING_M: f64 = 1.2192;
/// Height to base with all corners loaded (common practice, no source).
const SLENDER: f64 = 3.0;

const CRIBS: &str = "California State Fire Training, Rescue Systems 1 (2000), ch. 30";

/// Weight of a stack's timber, N.
pub fn weight_n(stack: &Stack) -> f64 {
    let layer =
        stack.members as f64 * stack.timber.width_m * stack.timber.height_m * stack.length_m;
    let pads: f64 = stack.pads_m.iter().map(|t| t * stack.length_m * stack.length_m).sum();
    (layer * stack.layers as f64 + pads) * TIMBER_KG_M3 * GRAVITY_M_S2
}

pub fn stacks(d: &RowContext<'_>) -> Vec<Row> {
    if d.scene.stacks.is_empty() {
        return vec![Row::missing(
            Group::Stacks,
            Quantity::All(Group::Stacks),
            "the scene names no `stacks`",
        )];
    }
    let mut rows = Vec::new();
    for (index, stack) in d.scene.stacks.iter().enumerate() {
        rows.extend(shape_rows(d, stack));
        let point = d.lift().and_then(|l| Some((l, l.points.iter().find(|p| p.stack == index)?)));
        match point {
            Some((lift, point)) => rows.extend(load_rows(d, lift, point, stack)),
            None => rows.push(Row::missing(
                Group::Stacks,
                Quantity::StackUnderLoad.of(stack_part(stack)),
                "no bag of the lift lies on it: bearing, thrust line and margins need one",
            )),
        }
    }
    rows
}

fn shape_rows(d: &RowContext<'_>, stack: &Stack) -> [Row; 3] {
    let u = d.units;
    let height = stack.height_m();
    let base = 2.0 * stack.bearing_half_m();
    [
        Row::new(Group::Stacks, Quantity::StackHeight.of(stack_part(stack)), Figure::Gap(height))
            .by(
                "sole + layers x timber + pads",
                format!(
                    "{} + {} x {} + {}",
                    u.gap(stack.sole_m()),
                    stack.layers,
                    u.gap(stack.timber.height_m),
                    u.gap(stack.pads_m.iter().sum())
                ),
                THUMB,
            )
            .at_most(Figure::Gap(CEILING_M))
            .note("Rule of thumb: 48 in for 4x4 (common practice)."),
        Row::new(
            Group::Stacks,
            Quantity::HeightToBase.of(stack_part(stack)),
            Figure::Number(height / base),
        )
        .by(
            "H / B, B over the outer timbers",
            format!("{} / {}", u.gap(height), u.gap(base)),
            THUMB,
        )
        .at_most(Figure::Number(SLENDER))
        .note(format!(
            "Rule of thumb 3 with all corners loaded, less with fewer (common practice). By \
                 statics a load's line tips it at atan(B/2H) = {}.",
            u.angle(crib::tip_angle_rad(base / 2.0, height))
        )),
        Row::new(
            Group::Stacks,
            Quantity::EndsPastCrossing.of(stack_part(stack)),
            Figure::Gap(stack.length_m / 2.0 - stack.bearing_half_m()),
        )
        .by(
            "L/2 - half bearing",
            format!("{} / 2 - {}", u.gap(stack.length_m), u.gap(stack.bearing_half_m())),
            CRIBS,
        )
        .note("Ends stick out by about the timber's own width."),
    ]
}

fn load_rows(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint, stack: &Stack) -> Vec<Row> {
    let u = d.units;
    let state = lift.end();
    let force = lift.force_n(point, &state) + point.dead_n;
    let own = weight_n(stack);
    let stand = lift.column(point, lift.rise_m);
    let mut rows = thrust_rows(d, stack, force, &stand);
    rows.extend(across_row(d, lift, point, stack, force));

    // Bearing at the crossings. The lowest carries the timber above it too, which is little
    // beside the load: every one is taken to carry it all.
    let total = force + own;
    let (low, stress) = (0..=stack.layers)
        .map(|k| {
            let below = stack.height_m() - crib::joint_height_m(stack, k);
            let at = crib::thrust_m(stand.lean.enters_m, stand.sideways_n, force, below);
            (at, crib::crossing_stress_pa(stack, total, at))
        })
        .fold((0.0, 0.0), |worst, one| if one.1 > worst.1 { one } else { worst });
    let grade = stack.timber.grade();
    rows.push(
        Row::new(
            Group::Stacks,
            Quantity::CrossingBearing.of(stack_part(stack)),
            Figure::Stress(stress),
        )
        .by(
            "f = F (1/n + e o / sum o²) / n / b²",
            format!(
                "{} over {} crossings of {}, {} off the middle",
                u.force(total),
                crib::crossings(stack),
                u.gap(stack.timber.width_m),
                u.gap(low.abs())
            ),
            grade.source,
        )
        .at_most(Figure::Stress(grade.bearing_pa))
        .or_only(Figure::Stress(WEAKEST_BEARING_PA))
        .note(format!("{}, across the grain; only so much for spruce-pine-fir.", grade.name)),
    );
    let rated = crib::rated_n(crib::crossings(stack), stack.timber.width_m, CRIB_RATING_PA);
    rows.push(
        Row::new(Group::Stacks, Quantity::RatedLoad.of(stack_part(stack)), Figure::Force(total))
            .by(
                "n² b² x 500 psi",
                format!(
                    "{} crossings x {} x {}",
                    crib::crossings(stack),
                    u.area(crib::crossing_m2(stack)),
                    u.stress(CRIB_RATING_PA)
                ),
                CRIBS,
            )
            .at_most(Figure::Force(rated))
            .note("There 24,000 lb with two 4x4 a layer, 55,000 lb with three."),
    );
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
    if cross == 0.0 {
        return None;
    }
    let across = d.plan.across_n(lift, &lift.end()) * point.share;
    let (joint, at, half) = weakest(&joints(d, stack, [0.0, across, force], 1))?;
    Some(
        Row::new(
            Group::Stacks,
            Quantity::ThrustLineAcross.of(stack_part(stack)),
            Figure::Gap(at.abs()),
        )
        .by(
            "e = (W sin slope (x_p - x_c) / (x_p - x_l) / V) d",
            format!(
                "{} / {} x depth, at the joint under layer {}",
                u.force(across.abs()),
                u.force(force),
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

/// Every joint of a stack from the ground up, along X (axis 0) or Z (axis 1) of the plane that
/// the lift is balanced in.
fn joints(
    d: &RowContext<'_>,
    stack: &Stack,
    [enters_m, sideways_n, load_n]: [f64; 3],
    axis: usize,
) -> Vec<Joint> {
    // Even layers lie along the vehicle, which is across that plane where it is a cross-section.
    let axis = if d.scene.lies() == Lies::Roof { axis } else { 1 - axis };
    let joint = |k| {
        let below = stack.height_m() - crib::joint_height_m(stack, k);
        let at = crib::thrust_m(enters_m, sideways_n, load_n, below);
        (k, at, stack.joint_half_m(k)[axis])
    };
    (0..=stack.layers_with_pads()).map(joint).collect()
}

/// The joint whose edge the load's line comes nearest to, or is furthest past.
fn weakest(joints: &[Joint]) -> Option<Joint> {
    let left = |(_, at, half): &Joint| half - at.abs();
    joints.iter().copied().min_by(|a, b| left(a).total_cmp(&left(b)))
}

fn thrust_rows(d: &RowContext<'_>, stack: &Stack, force: f64, stand: &ColumnState) -> Vec<Row> {
    let u = d.units;
    let enters = stand.lean.enters_m;
    let height = stack.height_m();
    // Along X: that is where the arc runs.
    let joints = joints(d, stack, [enters, stand.sideways_n, force], 0);
    let left: Vec<String> = joints.iter().map(|(_, at, half)| u.gap(half - at.abs())).collect();
    let Some((joint, at, half)) = weakest(&joints) else { return Vec::new() };
    let towards = enters * stand.sideways_n.signum();
    let below = height - crib::joint_height_m(stack, joint);
    // The joint under the topmost layer may be at the load's own height.
    let tipping = crib::tipping_n(force, half, towards, below.max(stack.timber.height_m));
    // It leans by half a timber at most before it counts as going over.
    let arm = stand.lean.height_m + below;
    let leaned = crib::leaned_m(stack.timber.width_m / 2.0, stand.lean.eased_per_m, arm);
    let mu = |a, b| d.scene.friction(a, b).map(|p| p.friction(d.scene.ground.wet));
    let timber = mu(Material::Timber, Material::Timber).unwrap_or([0.0; 2]);
    let mut rows = vec![
        Row::new(
            Group::Stacks,
            Quantity::ThrustLine.of(stack_part(stack)),
            Figure::Gap(at.abs()),
        )
        .by(
            "e = e0 + (H/V) d",
            format!(
                "{} + {} / {} x depth, at the joint under layer {}",
                u.gap(enters),
                u.force(stand.sideways_n),
                u.force(force),
                joint + 1
            ),
            STATICS,
        )
        .at_most(Figure::Gap(half + leaned))
        .or_only(Figure::Gap(half))
        .warns(Cause::Topple)
        .note(format!(
            "Past half the bearing at the weakest joint the layers above rock on their edge and \
                 lean, which eases the bags that push them: at half a timber of lean, past which a \
                 stack counts as going over, by {}. Left at every joint from the ground up: {}.",
            u.gap(leaned),
            left.join(", ")
        )),
        Row::new(
            Group::Stacks,
            Quantity::SidewaysForce.of(stack_part(stack)),
            Figure::Force(stand.sideways_n.abs()),
        )
        .by(
            "H = V (c s / h - b), H_tip = V (b - e) / d",
            format!(
                "the bags' top would go {} along the ground, {} of it slips",
                u.gap(stand.way_m),
                u.gap(stand.lean.slip_m)
            ),
            "bag shear c = 0.5 assumed; statics",
        )
        .note(format!(
            "The lift point follows an arc and drags the bags' top with it. {} brings the line to \
                 the edge of the weakest joint.",
            u.force(tipping.max(0.0))
        )),
    ];
    let share = stand.sideways_n.abs() / force;
    rows.push(
        Row::new(Group::Stacks, Quantity::ThrustSlope.of(stack_part(stack)), Figure::Number(share))
            .by(
                "H / V against mu, timber on timber",
                format!("{} / {}", u.force(stand.sideways_n.abs()), u.force(force)),
                d.scene.friction(Material::Timber, Material::Timber).map_or("", |p| p.source),
            )
            .at_most(Figure::Number(timber[0]))
            .or_only(Figure::Number(timber[1]))
            .note("At every layer; less once it moves."),
    );
    if let Some(base) = mu(Material::Timber, Material::Ground(d.scene.ground.surface)) {
        let below = force + weight_n(stack);
        let slope = d.scene.ground.slope_rad.hypot(d.scene.ground.cross_slope_rad).tan();
        let share = stand.sideways_n.abs() / below + slope;
        rows.push(
            Row::new(
                Group::Stacks,
                Quantity::ThrustSlopeAtBase.of(stack_part(stack)),
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
