//! Bag by bag, and the air they take.

use super::context::{RowContext, THUMB, bag_part, no_lift, stack_part};
use crate::bag_law::Membrane;
use crate::scene::{Cause, named};
use crate::statics::plan::{BagNow, LiftPlan, LiftPoint, OrderOutcome};
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::{air, bags};
use crate::tables::FREE_STROKE_SHARE;

const LAW: &str = "F = p A(h), inextensible membrane (geometry; gauge pressure)";

pub fn bags(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else {
        return vec![Row::missing(RowGroup::Bags, RowQuantity::All(RowGroup::Bags), no_lift(d))];
    };
    let Some(last) = lift.highest() else {
        return vec![Row::missing(
            RowGroup::Bags,
            RowQuantity::BagByBag,
            "no order raises a bag: heights, pressures, air and time need `orders`",
        )];
    };
    let mut rows: Vec<Row> =
        lift.points.iter().flat_map(|point| column(d, lift, point, last)).collect();
    rows.extend(last.on_y.iter().map(|pair| y_row(d, *pair, last)));
    for step in &lift.steps {
        if let Some(stuck) = step.stuck {
            let why = stuck.words(d.scene);
            let order = d.scene.order_text(step.order, d.units);
            let row = Row::new(
                RowGroup::Bags,
                RowQuantity::RiseReached.of(RowPart::Order(step.order)),
                Figure::Gap(step.rise_m),
            )
            .by("rise", format!("at which {why}"), LAW);
            rows.push(match wanted_m(d, step) {
                Some(wanted) => row.at_least(Figure::Gap(wanted)).note(format!("Order: {order}.")),
                None => row.note(format!("It stops short of what is asked. Order: {order}.")),
            });
        }
    }
    rows
}

/// Two bags on a Y where the load stands highest: at one pressure the one that bears more
/// stands lower.
fn y_row(d: &RowContext<'_>, pair: [usize; 2], last: &OrderOutcome) -> Row {
    let u = d.units;
    let [first, second] = pair.map(|bag| last.bags[bag]);
    let stands = pair.map(|bag| {
        let now = last.bags[bag];
        let name = &d.scene.bags[bag].name;
        format!("{name} {} under {}", u.gap(now.gap_m), u.force(now.force_n))
    });
    Row::new(
        RowGroup::Bags,
        RowQuantity::YApart.of(bag_part(&d.scene.bags[pair[0]])),
        Figure::Gap((first.gap_m - second.gap_m).abs()),
    )
    .by(
        "p A(h_1) = F_1, p A(h_2) = F_2",
        format!("{}, both at {}", stands.join(", "), u.pressure(first.gauge_pa)),
        LAW,
    )
    .note("A Y gives both one pressure: the side that bears more goes down and feeds the other.")
}

/// The rise that an order asked for, m; none where it asked for something else.
fn wanted_m(d: &RowContext<'_>, step: &OrderOutcome) -> Option<f64> {
    use crate::scene::{Order, Until};
    match &d.scene.orders()[step.order] {
        Order::Raise { until: Until::Rise(m), .. } => Some(*m),
        _ => None,
    }
}

fn column(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint, last: &OrderOutcome) -> Vec<Row> {
    let u = d.units;
    let supply = d.scene.air().regulator_pa.min(d.scene.air().cylinder_pa);
    let mut rows = vec![free_stroke_row(d, lift, point)];
    for &index in &point.bags {
        let spec = &d.scene.bags[index];
        let bag = d.scene.membrane(index);
        // The moment at which it is asked for the most pressure.
        let most = lift
            .steps
            .iter()
            .map(|s| s.bags[index])
            .max_by(|a, b| a.gauge_pa.total_cmp(&b.gauge_pa))
            .unwrap_or(last.bags[index]);
        let can = spec.working_pa.min(supply);
        rows.push(pressure_row(d, lift, index, most, can));
        let height = bags::highest_m(bag, can, most.force_n);
        rows.push(
            Row::new(
                RowGroup::Bags,
                RowQuantity::BagHeight.of(bag_part(spec)),
                Figure::Gap(most.gap_m),
            )
            .by(
                "p A(h) = F, A = (W - pi h/2) (L - pi h/2)",
                format!(
                    "{} x {} bag at {}",
                    u.gap(spec.size[0]),
                    u.gap(spec.size[1]),
                    u.pressure(can)
                ),
                LAW,
            )
            .at_most(Figure::Gap(height.unwrap_or(0.0)))
            .note(format!(
                "Flat at {} it would push {}; at this height {}. Force falls as it rises.",
                u.pressure(can),
                u.force(bag.force_n(can, 0.0)),
                u.force(bag.force_n(can, most.gap_m))
            )),
        );
    }
    rows.extend(point.bags.last().and_then(|&top| sinks_row(d, top, last)));
    if let [lower, upper] = point.bags[..] {
        rows.push(pair_row(d, lift, point, [lower, upper], last, supply));
    }
    rows
}

/// What the bags climb before they bear, against the height of the one that is filled first.
fn free_stroke_row(d: &RowContext<'_>, lift: &LiftPlan, point: &LiftPoint) -> Row {
    let u = d.units;
    let filled = lift.steps.iter().flat_map(|s| &s.moved).find(|b| point.bags.contains(b));
    let filled = *filled.unwrap_or(&point.bags[0]);
    let (first, height) = (&d.scene.bags[filled], d.scene.membrane(filled).height_limit_m());
    Row::new(
        RowGroup::Bags,
        RowQuantity::FreeStroke.of(stack_part(&d.scene.stacks[point.stack])),
        Figure::Gap(point.slack_m),
    )
    .by(
        "room between what lifts and the vehicle",
        format!("the {} closes up at {}", named(&first.name, "bag"), u.gap(height)),
        "geometry of the outline",
    )
    .at_most(Figure::Gap(FREE_STROKE_SHARE * height))
    .warns(Cause::BagOverload)
    .note(format!(
        "The bags rise and the vehicle does not. At {:.0} % of that height (assumed) a quarter of \
         the bag's force is left; fill the room with timber before the lift.",
        100.0 * FREE_STROKE_SHARE
    ))
}

/// What a beam on a bare bag costs of its height.
fn sinks_row(d: &RowContext<'_>, index: usize, last: &OrderOutcome) -> Option<Row> {
    let u = d.units;
    let (spec, now) = (&d.scene.bags[index], last.bags[index]);
    let bag = d.scene.membrane(index);
    let covered = Membrane::of_size(spec.size);
    let under_board = bags::highest_m(covered, now.gauge_pa, now.force_n)?;
    (bag.face_m < spec.size[0]).then(|| {
        Row::new(
            RowGroup::Bags,
            RowQuantity::StrokeLostToBeam.of(bag_part(spec)),
            Figure::Gap((under_board - now.gap_m).max(0.0)),
        )
        .by(
            "h = R (1 + cos t), W - b = R (pi + t + sin t), F = p L (b + 2 R sin t)",
            format!(
                "under {} of timber it stands {} high, under a board {}",
                u.gap(bag.face_m),
                u.gap(now.gap_m),
                u.gap(under_board)
            ),
            LAW,
        )
        .note(
            "A narrow face sinks in: the bag stands up beside it and bears on less. A board as \
             large as the bag between them, `beam.pad`, gives the height back.",
        )
    })
}

fn pressure_row(d: &RowContext<'_>, lift: &LiftPlan, index: usize, most: BagNow, can: f64) -> Row {
    let u = d.units;
    let spec = &d.scene.bags[index];
    let state = lift.end();
    let ends = lift.changed.iter().map(|s| {
        let now = crate::statics::vehicle::at_rise(s, lift.rise_m).lift_n;
        most.gauge_pa * now / state.lift_n
    });
    let low = ends.clone().fold(most.gauge_pa, f64::min);
    let high = ends.fold(most.gauge_pa, f64::max);
    Row::new(
        RowGroup::Bags,
        RowQuantity::BagPressure.of(bag_part(spec)),
        Figure::Air(most.gauge_pa),
    )
    .by(
        "p = F / A(h)",
        if most.gauge_pa > 0.0 {
            format!(
                "{} / {} at {}",
                u.force(most.force_n),
                u.area(d.scene.membrane(index).area_m2(most.gap_m)),
                u.gap(most.gap_m)
            )
        } else {
            "not filled: it lies flat and passes the load on".to_owned()
        },
        LAW,
    )
    .at_most(Figure::Air(can))
    .between([Figure::Air(low), Figure::Air(high)])
}

fn pair_row(
    d: &RowContext<'_>,
    lift: &LiftPlan,
    point: &LiftPoint,
    pair: [usize; 2],
    last: &OrderOutcome,
    supply: f64,
) -> Row {
    let u = d.units;
    let bag = pair.map(|b| &d.scene.bags[b]);
    let can = bag[0].working_pa.min(bag[1].working_pa).min(supply);
    let force = last.bags[pair[0]].force_n;
    let swell = lift.column(point, lift.rise_m).swell_m;
    let subject = RowQuantity::PairHeight.of(stack_part(&d.scene.stacks[point.stack]));
    match bags::pair(pair.map(|b| d.scene.membrane(b)), can, force) {
        Some((height, weaker)) => Row::new(RowGroup::Bags, subject, Figure::Gap(swell))
            .by(
                "h = h_lower + h_upper, each at p A(h) = F",
                format!("both carry {} at {}", u.force(force), u.pressure(can)),
                LAW,
            )
            .at_most(Figure::Gap(height))
            .note(format!(
                "The pair is as strong as its weaker member, here the {} one. Larger bag below, two \
                 at most (common practice, no source).",
                ["lower", "upper"][weaker]
            )),
        None => Row::new(RowGroup::Bags, subject, Figure::Gap(swell))
            .by("h = h_lower + h_upper", format!("one of them cannot carry {}", u.force(force)), LAW)
            .at_most(Figure::Gap(0.0)),
    }
}

pub fn air(d: &RowContext<'_>) -> Vec<Row> {
    let (u, a) = (d.units, &d.scene.air());
    let full = air::cylinder_air_m3(a.cylinder_m3, a.cylinder_pa, a.regulator_pa);
    let mut rows =
        vec![Row::new(RowGroup::Air, RowQuantity::CylinderAir, Figure::Volume(full)).by(
            "V (p1/Z1 - p2/Z2) / p_atm",
            format!(
                "{} from {} to {}",
                u.free_air(a.cylinder_m3),
                u.pressure(a.cylinder_pa),
                u.pressure(a.regulator_pa)
            ),
            "real gas, Lemmon et al. (2000) equation of state, 20 degC",
        )];
    let Some(lift) = d.lift().filter(|l| !l.steps.is_empty()) else {
        rows.push(Row::missing(RowGroup::Air, RowQuantity::AirUsed, "no order raises a bag"));
        return rows;
    };
    let used = lift.air_used_m3();
    rows.push(
        Row::new(RowGroup::Air, RowQuantity::FreeAirUsed, Figure::Volume(used))
            .by(
                "sum of (p + p_atm) V(h) / p_atm",
                format!("{} bags, until the load stands highest", d.scene.bags.len()),
                "isothermal (Boyle); membrane volume",
            )
            .at_most(Figure::Volume(full)),
    );
    let cylinders = (used / full).ceil().max(1.0);
    rows.push(
        Row::new(RowGroup::Air, RowQuantity::CylindersNeeded, Figure::Number(cylinders))
            .by(
                "used / given, rounded up",
                format!("{} / {}", u.free_air(used), u.free_air(full)),
                "arithmetic of the rows above",
            )
            .note(format!("Keep one more at hand ({THUMB}).")),
    );
    let time: f64 = lift.steps.iter().map(|s| s.time_s).sum();
    rows.push(
        Row::new(RowGroup::Air, RowQuantity::ValveTime, Figure::Time(time))
            .by(
                "sum of d(pV) / q, q = C p1 f(p2/p1)",
                format!("{} orders that let air in or out", lift.steps.len()),
                "ISO 6358-1 (formula from memory, not verified); b = 0.35",
            )
            .note("The slowest hose of each order decides."),
    );
    rows
}
