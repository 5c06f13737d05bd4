//! A vehicle on its side or on its wheels that is turned about its tyres: how far, how far it
//! could go before it falls over, what keeps the tyres where they are, and what catches it.

use super::context::{RowContext, STATICS, THUMB};
use crate::scene::{Cause, Order, RestsOn};
use crate::statics::plan::LiftPlan;
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::slide;
use crate::tables::Material;

/// The uncertainty of a centre of mass's height, as a share (the head of each vehicle's file).
const COM_HEIGHT_SHARE: f64 = 0.05;
/// Tyres that it turns about: each has its chock.
const TYRES: f64 = 2.0;

pub fn turn(d: &RowContext<'_>) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(lift) = d.lift() {
        rows.extend(turned(d, lift));
        rows.push(comes_down(d, lift));
        rows.extend(tyres(d, lift));
    }
    let chocks = d.scene.chocks.len() as f64;
    let missing = (TYRES - chocks).max(0.0);
    rows.push(
        Row::new(RowGroup::Turn, RowQuantity::ChocksMissing, Figure::Number(missing))
            .by(
                "one at each tyre that it turns about",
                format!("{TYRES:.0} - {chocks:.0} in the scene"),
                THUMB,
            )
            .at_most(Figure::Number(0.0))
            .note(
                "Tyres roll as soon as they carry the turn: chock them before anything is raised.",
            ),
    );
    rows
}

/// Where the centre of mass stands from what it turns about, m: along the ground, and up.
fn com_m(d: &RowContext<'_>, lift: &LiftPlan) -> Option<[f64; 2]> {
    let off = lift.at(lift.off_m);
    let pivot = match d.scene.lies() {
        RestsOn::Wheels => off.side_pose.ground(d.scene.vehicle.profile.nose)[0],
        _ => d.plan.pivot_x(&off)?,
    };
    let [x, y] = off.side_pose.ground(d.plan.balance.com);
    // Back to the angle at which it lay.
    let (s, c) = lift.turn_rad(&off).sin_cos();
    let [x, y] = [pivot - x, y];
    Some([c * x + s * y, c * y - s * x])
}

fn turned(d: &RowContext<'_>, lift: &LiftPlan) -> Vec<Row> {
    let u = d.units;
    let turn = lift.turn_rad(&lift.end());
    let mut rows = vec![
        Row::new(RowGroup::Turn, RowQuantity::Turned, Figure::Angle(turn))
            .by(
                "moments about the lift point cancel at each rise",
                format!("risen {} at the lift", u.gap(lift.rise_m)),
                STATICS,
            )
            .at_most(Figure::Angle(d.scene.aims().roll_rad))
            .warns(Cause::Roll)
            .note("The limit is the scene's own."),
    ];
    let Some([out, up]) = com_m(d, lift) else { return rows };
    let balance = |share: f64| {
        // On its side the height of the upright vehicle lies along the ground.
        let [out, up] =
            if d.scene.lies() == RestsOn::Wheels { [out, share * up] } else { [share * out, up] };
        Figure::Angle(out.atan2(up))
    };
    let weak = if d.scene.lies() == RestsOn::Wheels { 1.0 } else { -1.0 };
    let over =
        if d.scene.lies() == RestsOn::Wheels { "onto its other side" } else { "onto its wheels" };
    rows.push(
        Row::new(RowGroup::Turn, RowQuantity::TurnedAgainstBalance, Figure::Angle(turn))
            .by(
                "t = atan(x_c / y_c)",
                format!("centre of mass {} from the tyres, {} up", u.span(out), u.span(up)),
                STATICS,
            )
            .at_most(balance(1.0))
            .or_only(balance(1.0 + weak * COM_HEIGHT_SHARE))
            .note(format!(
                "There its weight stands over the tyres; past it, it goes over {over} by itself. \
                 Bags push, they do not hold back: something on the far side has to, well before \
                 (common practice, no source)."
            )),
    );
    rows
}

/// How far it would come down if the bag let go at full height.
fn comes_down(d: &RowContext<'_>, lift: &LiftPlan) -> Row {
    let u = d.units;
    let highest = lift.highest();
    // Captures follow the orders that raise it; what was raised after the last one falls free.
    let last = d.scene.orders().iter().rposition(|o| matches!(o, Order::Capture { .. }));
    let held_m = last.map_or(0.0, |at| {
        let before = lift.steps.iter().rev().find(|s| s.order < at);
        before.map_or(0.0, |s| s.rise_m)
    });
    let falls_m = highest.map_or(0.0, |s| (s.rise_m - held_m).max(0.0));
    Row::new(RowGroup::Turn, RowQuantity::FallIfBagLetsGo, Figure::Gap(falls_m))
        .by(
            "rise - rise at the last capture",
            format!("{} - {}", u.gap(highest.map_or(0.0, |s| s.rise_m)), u.gap(held_m)),
            THUMB,
        )
        .at_most(Figure::Gap(d.scene.aims().drop_m))
        .note(
            "A crib follows the lift at every step, so that what a bag lets go comes down on \
             timber. While it is raised from step to step it can still fall by that step.",
        )
}

/// What pushes the tyres along the ground.
fn tyres(d: &RowContext<'_>, lift: &LiftPlan) -> Option<Row> {
    let u = d.units;
    let g = &d.scene.ground;
    let end = lift.end();
    let bears = d.plan.on_ground_n(&end) + d.plan.on_fill_n(&end);
    let (_, along) = slide::weight_on_slope_n(d.plan.weight_n, g.slope_rad, g.cross_slope_rad);
    let pull = along[0].hypot(along[1]);
    let arcs: f64 = lift.points.iter().map(|p| lift.column(p, lift.rise_m).sideways_n).sum();
    let pair = d.scene.friction(Material::Rubber, Material::Ground(g.surface))?;
    let [mu, least] = pair.friction(g.wet);
    let row = Row::new(RowGroup::Turn, RowQuantity::TyresPushed, Figure::Force(pull + arcs.abs()))
        .by(
            "W sin slope + H against mu N",
            format!(
                "{} + {} against {mu:.2} x {} that the tyres bear",
                u.force(pull),
                u.force(arcs.abs()),
                u.force(bears)
            ),
            pair.source,
        )
        .at_most(Figure::Force(mu * bears))
        .or_only(Figure::Force(least * bears))
        .note("By friction alone, as if the tyres could not roll: chocks see to that.");
    Some(if d.scene.chocks.iter().any(|c| c.staked) { row } else { row.warns(Cause::Slide) })
}
