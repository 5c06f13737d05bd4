//! The force that lifts the vehicle, and how the stacks share it.

use super::context::{RowContext, STATICS, no_lift, stack_part};
use crate::scene::Cause;
use crate::statics::plan::LiftPlan;
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity, When};
use crate::statics::vehicle::at_rise;

/// The rise at which a force of the lift is told, m.
fn rise_m(lift: &LiftPlan, when: When) -> f64 {
    match when {
        When::Start => lift.off_m,
        When::FullHeight => lift.rise_m,
    }
}

/// The lift force and its lever in words.
fn lever_row(d: &RowContext<'_>, lift: &LiftPlan, when: When) -> Row {
    let u = d.units;
    let rise_m = rise_m(lift, when);
    let state = lift.at(rise_m);
    let ends = lift.changed.iter().map(|states| at_rise(states, rise_m).lift_n);
    let low = ends.clone().fold(state.lift_n, f64::min);
    let high = ends.fold(state.lift_n, f64::max);
    let com_x = state.side_pose.ground(d.plan.balance.com)[0];
    let lift_x = state.side_pose.ground(lift.lift)[0];
    let pivot = d.plan.pivot_x(&state).unwrap_or(com_x);
    Row::new(RowGroup::Lift, RowQuantity::LiftForce(when), Figure::Load(state.lift_n))
        .by(
            "F = W (x_p - x_c) / (x_p - x_l) - limbs",
            format!(
                "{} x {} / {}, limbs bear {}",
                u.force(d.plan.balance.pressed_n),
                u.span(pivot - com_x),
                u.span(pivot - lift_x),
                u.force((0..d.scene.limbs.len()).map(|i| d.plan.on_limb_n(&state, i)).sum())
            ),
            STATICS,
        )
        .between([Figure::Load(low), Figure::Load(high)])
}

pub fn force(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else {
        return vec![Row::missing(
            RowGroup::Lift,
            RowQuantity::All(RowGroup::Lift),
            format!("{}; without that no lift, bag, air or face row", no_lift(d)),
        )];
    };
    let (u, off) = (d.units, lift.off_m);
    let mut rows = vec![
        lever_row(d, lift, When::Start)
            .note(format!("Once the load is off what it lay on: {} up.", u.gap(off))),
        lever_row(d, lift, When::FullHeight).note(format!(
            "Risen {} ({}), {} {} further. The lever changes as it turns.",
            u.gap(lift.rise_m),
            lift.rise_from,
            if d.on_roof() { "nose down" } else { "turned" },
            u.angle(lift.turn_rad(&lift.end()))
        )),
    ];
    for when in [When::Start, When::FullHeight] {
        let state = lift.at(rise_m(lift, when));
        for point in &lift.points {
            let stack = &d.scene.stacks[point.stack];
            let force = lift.force_n(point, &state);
            rows.push(
                Row::new(
                    RowGroup::Lift,
                    RowQuantity::StackLoad(when).of(stack_part(stack)),
                    Figure::Load(force + point.dead_n),
                )
                .by(
                    "F_i = F (1/n + (z_F - z) (z_i - z) / sum (z_i - z)²) + G",
                    format!(
                        "{} x {:.0} % + {} of bags, wedge and beam",
                        u.force(state.lift_n),
                        100.0 * point.share,
                        u.force(point.dead_n)
                    ),
                    STATICS,
                ),
            );
        }
    }
    rows.extend(roll(d, lift));
    rows.extend(uneven(d, lift));
    rows.extend(
        lift.left_out
            .iter()
            .map(|why| Row::missing(RowGroup::Lift, RowQuantity::OrderLeftOut, why.to_string())),
    );
    rows
}

/// Left against right: mass off the middle, a cross-slope, stacks that stand differently.
fn roll(d: &RowContext<'_>, lift: &LiftPlan) -> Option<Row> {
    let (u, plan, side) = (d.units, d.plan, &lift.sideways);
    (lift.points.len() > 1).then(|| {
        Row::new(RowGroup::Lift, RowQuantity::RollHeld, Figure::Moment(side.rolls_nm.abs()))
            .by(
                "W z_c + W sin slope h - F z, against sum N b",
                format!(
                    "z_c {} left of the middle, h {}; what bears there over its half width",
                    u.gap(plan.com[2]),
                    u.span(plan.com[1])
                ),
                STATICS,
            )
            .at_most(Figure::Moment(side.holds_nm))
            .note(format!(
                "Bags filled equally push equally as long as the far end holds it: it bears over a \
             width. What is more goes on to the stacks, {} off their middle. Without the far end \
             the mass off the middle would load its own side.",
                u.gap((side.at_z - lift.middle_z()).abs())
            ))
    })
}

/// Hoses that pass different amounts.
fn uneven(d: &RowContext<'_>, lift: &LiftPlan) -> Option<Row> {
    let angle = lift.uneven_rad()?;
    Some(
        Row::new(RowGroup::Lift, RowQuantity::RollFromHoses, Figure::Angle(angle))
            .by(
                "phi = atan(rise (q_l - q_r) / q / width)",
                format!("rise {}", d.units.gap(lift.rise_m)),
                "geometry; each side rises as its hose fills it",
            )
            .at_most(Figure::Angle(d.scene.aims().roll_rad))
            .warns(Cause::Roll)
            .note("Raise both sides evenly (common practice, no source)."),
    )
}
