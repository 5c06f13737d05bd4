//! Each stack: how high it is, and what presses on its crossings.

use super::context::{RowContext, THUMB, stack_part};
use super::thrust::{lean_over_m, thrust};
use crate::scene::{Bag, CarriedBy, Cause, Stack};
use crate::statics::plan::{LiftPlan, LiftPoint};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::stacks as crib;
use crate::tables::{CLEAR_BEARING, CRIB_RATING_PA, CRIB_SLENDER, WEAKEST_BEARING_PA};
use crate::units::percent;

const CRIBS: &str = "California State Fire Training, Rescue Systems 1 (2000), ch. 30";

pub fn stacks(d: &RowContext<'_>) -> Vec<Row> {
    if d.scene.stacks.is_empty() {
        return vec![Row::missing(
            RowGroup::Stacks,
            RowQuantity::All(RowGroup::Stacks),
            "the scene names no `stacks`",
        )];
    }
    let mut rows = Vec::new();
    for (index, stack) in d.scene.stacks.iter().enumerate() {
        let point = d.lift().and_then(|l| Some((l, l.points.iter().find(|p| p.stack == index)?)));
        rows.extend(shape_rows(d, stack, point.map_or(0.0, |(lift, at)| carries_m(d, lift, at))));
        match point {
            Some((lift, point)) => rows.extend(load_rows(d, lift, point, stack)),
            None => rows.push(Row::missing(
                RowGroup::Stacks,
                RowQuantity::StackUnderLoad.of(stack_part(stack)),
                "no bag of the lift lies on it: bearing, thrust line and margins need one",
            )),
        }
    }
    rows
}

/// Height of what stands on a stack when the load stands highest, m: the wedge under its bags, the
/// bags, and the block or the board on them.
fn carries_m(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint) -> f64 {
    let seat_m = point.seat.map_or(0.0, |seat| seat.middle_m);
    let top = point.bags.last().map(|&bag| CarriedBy::Bag(bag));
    let on_bags_m = match d.scene.beam() {
        Some(beam) => top.and_then(|top| beam.pad_on(top)).unwrap_or(0.0),
        None => point.stiff_m,
    };
    seat_m + Bag::column_m(lift.column(point, lift.rise_m).gaps_m) + on_bags_m
}

/// A stack that has something `carries_m` high standing on it.
fn shape_rows(d: &RowContext<'_>, stack: &Stack, carries_m: f64) -> [Row; 3] {
    let u = d.units;
    let height = stack.height_m();
    let base = 2.0 * stack.bearing_half_m();
    [
        Row::new(
            RowGroup::Stacks,
            RowQuantity::StackHeight.of(stack_part(stack)),
            Figure::Gap(height),
        )
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
        .at_most(Figure::Gap(stack.timber.crib_ceiling_m()))
        .note("Rule of thumb: 48 in for 4x4, 6 ft for 6x6 (common practice, no source)."),
        Row::new(
            RowGroup::Stacks,
            RowQuantity::HeightToBase.of(stack_part(stack)),
            Figure::Number(stack.height_to_base(carries_m)),
        )
        .by(
            "(H + h) / B, B over the outer timbers, h of what stands on it at full height",
            format!("({} + {}) / {}", u.gap(height), u.gap(carries_m), u.gap(base)),
            THUMB,
        )
        .at_most(Figure::Number(CRIB_SLENDER))
        .note(format!(
            "Bags, and the block or the board on them, make a stack taller. Rule of thumb 3 with \
             all corners loaded, less with fewer (common practice). By statics a load's line tips \
             the timber at atan(B/2H) = {}.",
            u.angle(crib::tip_angle_rad(base / 2.0, height))
        )),
        Row::new(
            RowGroup::Stacks,
            RowQuantity::EndsPastCrossing.of(stack_part(stack)),
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
    let force = lift.force_n(point, &lift.end()) + point.dead_n;
    let total = force + crib::weight_n(stack);
    let stand = lift.column(point, lift.rise_m);
    let mut rows = thrust(d, lift, point, force, &stand);

    // Bearing at the crossings. The lowest carries the timber above it too, which is little
    // beside the load: every one is taken to carry it all.
    let worst = (0..=stack.layers)
        .flat_map(|k| {
            let below = stack.height_m() - crib::joint_height_m(stack, k);
            let at = crib::thrust_m(stand.lean.enters_m, stand.sideways_n, force, below);
            [at + lean_over_m(d, stack, k, 0), lean_over_m(d, stack, k, 1)]
        })
        .map(|at| (at, crib::crossing_stress_pa(stack, total, at)))
        .fold((0.0, 0.0), |worst, one| if one.1 > worst.1 { one } else { worst });
    rows.extend(crossing_rows(d, stack, total, worst));
    rows.push(rated_row(d, stack, total));
    rows
}

/// What presses on the worst crossing, Pa, where the load passes so far off the middle, m: against
/// the grade's figure, and against what the wood bears.
fn crossing_rows(
    d: &RowContext<'_>,
    stack: &Stack,
    total_n: f64,
    (off_m, stress): (f64, f64),
) -> [Row; 2] {
    let u = d.units;
    let grade = stack.timber.grade();
    let wood = d.scene.wood();
    [
        Row::new(
            RowGroup::Stacks,
            RowQuantity::CrossingBearing.of(stack_part(stack)),
            Figure::Stress(stress),
        )
        .by(
            "f = F (1/n + e o / sum o²) / n / b²",
            format!(
                "{} over {} crossings of {}, {} off the middle",
                u.force(total_n),
                crib::crossings(stack),
                u.gap(stack.timber.width_m),
                u.gap(off_m.abs())
            ),
            grade.source,
        )
        .at_most(Figure::Stress(stack.strength_share * grade.bearing_pa))
        .or_only(Figure::Stress(stack.strength_share * WEAKEST_BEARING_PA))
        .note(format!("{}, across the grain; only so much for spruce-pine-fir.", grade.name)),
        Row::new(
            RowGroup::Stacks,
            RowQuantity::CrossingCrush.of(stack_part(stack)),
            Figure::Stress(stress),
        )
        .by(
            "f against what the wood bears across the grain",
            format!("{}, {} of it", wood.name, percent(stack.strength_share)),
            wood.source,
        )
        .at_most(Figure::Stress(stack.strength_share * wood.bearing_pa))
        .or_only(Figure::Stress(
            stack.strength_share * wood.bearing_pa * (1.0 - 2.0 * CLEAR_BEARING.variation),
        ))
        .warns(Cause::Crush)
        .note("On average, or two standard deviations below: past it the crossing keeps a set."),
    ]
}

fn rated_row(d: &RowContext<'_>, stack: &Stack, total_n: f64) -> Row {
    let u = d.units;
    let rated = crib::rated_n(crib::crossings(stack), stack.timber.width_m, CRIB_RATING_PA);
    Row::new(RowGroup::Stacks, RowQuantity::RatedLoad.of(stack_part(stack)), Figure::Load(total_n))
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
        .at_most(Figure::Load(rated))
        .note("There 24,000 lb with two 4x4 a layer, 55,000 lb with three.")
}
