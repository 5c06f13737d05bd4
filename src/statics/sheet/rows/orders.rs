//! Order by order: how the lift stands at the end of each.

use super::context::{RowContext, STATICS};
use crate::scene::Cause;
use crate::statics::plan::{LiftPlan, OrderOutcome};
use crate::statics::plane::LaidOut;
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::stacks as crib;
use crate::tables::CRIB_RATING_PA;

/// Less than this is no roll, rad (assumed).
const LEVEL_RAD: f64 = 1e-4;

pub fn orders(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else { return Vec::new() };
    let step_rows = |step| {
        let load = load_row(d, lift, step);
        std::iter::once(load).chain(roll_row(d, lift, step))
    };
    lift.steps.iter().flat_map(step_rows).collect()
}

fn rated_n(scene: &LaidOut, stack: usize) -> f64 {
    let stack = &scene.stacks[stack];
    crib::rated_n(crib::crossings(stack), stack.timber.width_m, CRIB_RATING_PA)
}

/// The stack that is loaded hardest, and how everything stands.
fn load_row(d: &RowContext<'_>, lift: &LiftPlan, step: &OrderOutcome) -> Row {
    let u = d.units;
    let scene = d.scene;
    let loads = || lift.points.iter().zip(&step.loads_n).map(|(p, n)| (p.stack, *n));
    let share = |(stack, n): (usize, f64)| n / rated_n(scene, stack);
    let worst = loads().max_by(|a, b| share(*a).total_cmp(&share(*b)));
    let (stack, most) = worst.unwrap_or((0, 0.0));
    let on: Vec<String> =
        loads().map(|(s, n)| format!("{} {}", scene.stacks[s].name, u.force(n))).collect();
    let bags: Vec<String> = lift
        .points
        .iter()
        .flat_map(|p| &p.bags)
        .filter(|&&b| step.bags[b].gap_m > 0.0)
        .map(|&b| {
            let now = step.bags[b];
            format!("{} {} at {}", scene.bags[b].name, u.gap(now.gap_m), u.pressure(now.gauge_pa))
        })
        .collect();
    let gaps: Vec<String> = scene
        .limbs
        .iter()
        .enumerate()
        .filter_map(|(i, l)| Some(format!("{} {}", l.name, u.gap(lift.gap_m(step, i)?))))
        .collect();
    let parts = [("loads", on), ("bags", bags), ("gaps", gaps)];
    let states: String = parts
        .into_iter()
        .filter(|(_, each)| !each.is_empty())
        .map(|(what, each)| format!("; {what}: {}", each.join(", ")))
        .collect();
    let stuck = step
        .stuck
        .map_or(String::new(), |stuck| format!("It ends there: {}. ", stuck.words(scene)));
    Row::new(
        RowGroup::Orders,
        RowQuantity::HardestLoadedStack.of(RowPart::Order(step.order)),
        Figure::Load(most),
    )
    .by(
        "sum F, sum F z, each bag p A(h) = F",
        format!("risen {}, {:.0} s{states}", u.gap(step.rise_m), step.time_s),
        STATICS,
    )
    .at_most(Figure::Load(rated_n(scene, stack)))
    .note(format!(
        "Order: {}. {stuck}Limit: the rating of stack {}.",
        scene.order_text(step.order, u),
        scene.stacks[stack].name
    ))
}

/// Lift points that stand differently.
fn roll_row(d: &RowContext<'_>, lift: &LiftPlan, step: &OrderOutcome) -> Option<Row> {
    let u = d.units;
    (step.roll_most_rad.abs() > LEVEL_RAD).then(|| {
        let rises: Vec<String> = lift
            .points
            .iter()
            .zip(&step.rises_most_m)
            .map(|(p, rise)| format!("{} {}", d.scene.stacks[p.stack].name, u.gap(*rise)))
            .collect();
        Row::new(
            RowGroup::Orders,
            RowQuantity::MostRoll.of(RowPart::Order(step.order)),
            Figure::Angle(step.roll_most_rad.abs()),
        )
        .by(
            "phi = atan((r_i - r_j) / (z_i - z_j))",
            format!("risen by then: {}", rises.join(", ")),
            STATICS,
        )
        .at_most(Figure::Angle(d.scene.aims().roll_rad))
        .warns(Cause::Roll)
        .note(
            "Raise and lower both sides together (common practice, no source). The far end holds \
             the roll as long as it can and takes load off the side that goes down; the side that \
             stays up then carries more.",
        )
    })
}
