//! The vehicle as it lies, the force that lifts it, and the gap that comes of it.

use super::context::{RowContext, STATICS, limb_part, stack_part};
use crate::scene::{Cause, Lies, Limb, ProfilePoint};
use crate::statics::gap;
use crate::statics::plan::{COM_SHARE, LiftPlan};
use crate::statics::sheet::{Bearing, Figure, Group, Part, Pivot, Quantity, Row, When};
use crate::statics::vehicle::{State, SupportKind, at_rise};

/// A limb's load may waver by this much before it counts as more, N (assumed).
const LIMB_NOISE_N: f64 = 15.0;

pub fn vehicle(d: &RowContext<'_>) -> Vec<Row> {
    let (u, v, plan) = (d.units, &d.scene.vehicle, d.plan);
    let known = d.scene.spread().mass_share;
    let place = if d.on_roof() {
        format!(
            "nose down {}, x {}, left of the middle {}",
            u.angle(plan.start.lie.pitch_rad),
            u.span(plan.com[0]),
            u.gap(plan.com[2])
        )
    } else {
        let tyres_x = plan.start.lie.ground(v.profile.nose)[0];
        format!(
            "{} across from the tyres that it turns about; x runs across it, towards them",
            u.span(tyres_x - plan.com[0])
        )
    };
    let weak = match d.scene.lies() {
        Lies::Roof => ["its place along the vehicle", "the wheelbase"],
        Lies::Wheels => ["its place across the vehicle", "the track"],
        _ => ["its height on the upright vehicle", "itself"],
    };
    let mut rows = vec![
        Row::new(Group::Vehicle, Quantity::Weight, Figure::Force(plan.weight_n))
            .by("W = m g", format!("{} x g", u.mass(v.mass_kg)), &format!("scene; {}", v.data))
            .between([1.0 - known, 1.0 + known].map(|s| Figure::Force(s * plan.weight_n)))
            .note(format!("Load, fuel and people: {:.0} % either way (assumed).", 100.0 * known)),
        Row::new(Group::Vehicle, Quantity::CentreHeight, Figure::Span(plan.com[1]))
            .by("turned over with its outline", place, "geometry of the outline")
            .note(format!(
                "It rests where its weight falls between two points of the outline. Weak: {} is \
                 known to {:.0} % of {} (assumed).",
                weak[0],
                100.0 * COM_SHARE,
                weak[1]
            )),
    ];
    // What it bears on before anything is done.
    let mut bears: Vec<(Bearing, f64, f64)> = Vec::new();
    for (support, n) in plan.balance.supports.iter().zip(&plan.start.loads_n) {
        let x = plan.start.lie.ground(support.point)[0];
        let on = match support.on {
            SupportKind::Ground => bears_on(d, support.point),
            SupportKind::Panel(i) => Bearing::Panel(v.panels[i].name.clone()),
            SupportKind::VoidFill(i) => Bearing::VoidFill(d.scene.void_fill[i].name.clone()),
            SupportKind::Limb(i) => Bearing::Limb(d.scene.limbs[i].name.clone()),
        };
        if *n > 1.0 {
            bears.push((on, x, *n));
        }
    }
    for (on, x, n) in bears {
        rows.push(Row::new(Group::Vehicle, Quantity::BearsOn(on), Figure::Force(n)).by(
            "moments and forces cancel",
            format!("at x {}", u.span(x)),
            STATICS,
        ));
    }
    if let Some(lift) = d.lift() {
        let state = lift.end();
        if let Some(pivot) = plan.pivot_x(&state) {
            let end = match (d.on_roof(), pivot > plan.com[0]) {
                (true, true) => Pivot::Nose,
                (true, false) => Pivot::Tail,
                (false, _) => Pivot::Tyres,
            };
            rows.push(
                Row::new(Group::Vehicle, Quantity::TurnsAbout(end), Figure::Span(pivot))
                    .by(
                        "x_p = sum N x / sum N",
                        format!(
                            "ground {}, void fill {}",
                            u.force(plan.on_ground_n(&state)),
                            u.force(plan.on_fill_n(&state))
                        ),
                        STATICS,
                    )
                    .note("Stabilise this end first: everything that is not lifted bears here."),
            );
        }
    }
    for (fill, packed) in d.scene.void_fill.iter().zip(&plan.packed) {
        if !packed {
            rows.push(Row::missing(
                Group::Vehicle,
                Quantity::PackingRoom.of(Part::VoidFill(fill.name.clone())),
                "there is no room for packing here; move `void_fill` or leave it out",
            ));
        }
    }
    rows
}

/// What of the outline a point belongs to.
fn bears_on(d: &RowContext<'_>, point: ProfilePoint) -> Bearing {
    let outline = &d.scene.vehicle.profile;
    match d.scene.lies() {
        Lies::Roof => Bearing::BodyOrRoof,
        _ if point == outline.nose => Bearing::TurningTyres,
        Lies::Wheels if point == outline.deck_rear => Bearing::LiftedTyres,
        _ if point == outline.deck_rear => Bearing::RoofRail,
        _ => Bearing::Body,
    }
}

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
    let com_x = state.lie.ground(d.plan.balance.com)[0];
    let lift_x = state.lie.ground(lift.lift)[0];
    let pivot = d.plan.pivot_x(&state).unwrap_or(com_x);
    Row::new(Group::Lift, Quantity::LiftForce(when), Figure::Force(state.lift_n))
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
        .between([Figure::Force(low), Figure::Force(high)])
}

pub fn force(d: &RowContext<'_>) -> Vec<Row> {
    let Some(lift) = d.lift() else {
        return vec![Row::missing(
            Group::Lift,
            Quantity::All(Group::Lift),
            "the scene names no `bags` on a stack; without them no lift, bag, air or face row",
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
                    Group::Lift,
                    Quantity::StackLoad(when).of(stack_part(stack)),
                    Figure::Force(force + point.dead_n),
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
            .map(|why| Row::missing(Group::Lift, Quantity::OrderLeftOut, why.to_string())),
    );
    rows
}

/// Left against right: mass off the middle, a cross-slope, stacks that do not stand alike.
fn roll(d: &RowContext<'_>, lift: &LiftPlan) -> Option<Row> {
    let (u, plan, side) = (d.units, d.plan, &lift.sideways);
    (lift.points.len() > 1).then(|| {
        Row::new(
            Group::Lift,
            Quantity::RollHeld,
            Figure::Moment(side.rolls_nm.abs()),
        )
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
            "Bags that are filled alike push alike as long as the far end holds it: it bears over \
             a width. What is more goes on to the stacks, {} off their middle. Without the far \
             end the mass off the middle would load its own side.",
            u.gap((side.at_z - lift.middle_z()).abs())
        ))
    })
}

/// Hoses that pass unlike amounts.
fn uneven(d: &RowContext<'_>, lift: &LiftPlan) -> Option<Row> {
    let angle = lift.uneven_rad()?;
    Some(
        Row::new(Group::Lift, Quantity::RollFromHoses, Figure::Angle(angle))
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

pub fn gaps(d: &RowContext<'_>) -> Vec<Row> {
    if d.scene.limbs.is_empty() {
        let why = "the scene names no trapped limb that can be read: gaps need `casualty`";
        return vec![Row::missing(Group::Gap, Quantity::CasualtyGap, why)];
    }
    let Some(lift) = d.lift() else {
        return d
            .scene
            .limbs
            .iter()
            .map(|l| {
                Row::missing(
                    Group::Gap,
                    Quantity::GapWithoutLift.of(limb_part(l)),
                    "nothing lifts: see Lift force",
                )
            })
            .collect();
    };
    d.scene.limbs.iter().enumerate().flat_map(|(i, limb)| limb_rows(d, lift, i, limb)).collect()
}

fn limb_rows(d: &RowContext<'_>, lift: &LiftPlan, index: usize, limb: &Limb) -> Vec<Row> {
    let (u, plan) = (d.units, d.plan);
    let (start, end) = (&plan.start, lift.end());
    let at = |lie| gap::gap_m(d.scene, lie, index);
    let mut rows = Vec::new();
    match (at(start.lie), at(end.lie)) {
        (Some(from), Some(to)) => {
            let ends = [-0.02, 0.0].map(|less| {
                let rise = (lift.rise_m + less).max(0.0);
                Figure::Gap(at(lift.at(rise).lie).unwrap_or(to))
            });
            rows.push(
                Row::new(Group::Gap, Quantity::Gap.of(limb_part(limb)), Figure::Gap(to))
                    .by(
                        "least height over its pad, turned about the pivot",
                        format!("{} at the start, gained {}", u.gap(from), u.gap(to - from)),
                        "geometry of the outline",
                    )
                    .at_least(Figure::Gap(limb.gap_needed_m))
                    .between(ends)
                    .note(format!(
                        "For a rise of {}; the spread is {} less.",
                        u.gap(lift.rise_m),
                        u.gap(0.02)
                    )),
            );
        }
        _ => rows.push(Row::missing(
            Group::Gap,
            Quantity::Gap.of(limb_part(limb)),
            "the vehicle is not above it at one end of the lift; move `casualty.at`",
        )),
    }
    let held = |state: &State| plan.on_limb_n(state, index);
    let before = held(start);
    let most = |states: &[State]| {
        let until = lift.rise_m + 1e-9;
        states
            .iter()
            .take_while(|s| s.rise_m <= until)
            .map(|s| s.loads_n.get(limb_place(plan, index)).copied().unwrap_or(0.0))
            .fold(0.0, f64::max)
    };
    let found = held(&plan.found);
    rows.push(
        Row::new(
            Group::Gap,
            Quantity::LimbLoad.of(limb_part(limb)),
            Figure::Force((most(&lift.states) - found).max(0.0)),
        )
        .by(
            "F = k (thickness - height), most in the lift",
            format!(
                "{} as found, {} before the lift, most {}",
                u.force(found),
                u.force(before),
                u.force(most(&lift.states))
            ),
            "stiffness assumed; statics",
        )
        .at_most(Figure::Force(LIMB_NOISE_N))
        .warns(Cause::CasualtyLoad)
        .note("It must never carry more than it was found with."),
    );
    if !d.scene.void_fill.is_empty() {
        rows.push(
            Row::new(
                Group::Gap,
                Quantity::LimbLoadUnpacked.of(limb_part(limb)),
                Figure::Force((most(&lift.unpacked) - found).max(0.0)),
            )
            .by(
                "the same without packing",
                format!("most {}", u.force(most(&lift.unpacked))),
                STATICS,
            )
            .note("What the packing is for: as the far end rises, the pivot sinks in."),
        );
    }
    rows
}

/// Where a limb stands among the supports.
fn limb_place(plan: &crate::statics::plan::Plan, limb: usize) -> usize {
    plan.balance.supports.iter().position(|s| s.on == SupportKind::Limb(limb)).unwrap_or(usize::MAX)
}
