//! The vehicle as it lies.

use super::context::{RowContext, STATICS};
use crate::scene::{ProfilePoint, RestsOn};
use crate::statics::plan::COM_SHARE;
use crate::statics::sheet::{BearingPart, Figure, Pivot, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::supports::SupportKind;

/// How the vehicle lies, what it bears on, and about what it turns.
pub fn vehicle(d: &RowContext<'_>) -> Vec<Row> {
    let mut rows: Vec<Row> = weight_rows(d).into();
    rows.extend(bears_rows(d));
    rows.extend(pivot_row(d));
    let packing = d.scene.void_fill.iter().zip(&d.plan.packed);
    rows.extend(packing.filter(|(_, packed)| !**packed).map(|(fill, _)| {
        Row::missing(
            RowGroup::Vehicle,
            RowQuantity::PackingRoom.of(RowPart::VoidFill(fill.name.clone())),
            "there is no room for packing here; move `void_fill` or leave it out",
        )
    }));
    rows
}

/// What it weighs, and where.
fn weight_rows(d: &RowContext<'_>) -> [Row; 2] {
    let (u, v, plan) = (d.units, &d.scene.vehicle, d.plan);
    let known = d.scene.spread().mass_share;
    let place = if d.on_roof() {
        format!(
            "nose down {}, x {}, left of the middle {}",
            u.angle(plan.start.side_pose.pitch_rad),
            u.span(plan.com[0]),
            u.gap(plan.com[2])
        )
    } else {
        let tyres_x = plan.start.side_pose.ground(v.profile.nose)[0];
        format!(
            "{} across from the tyres that it turns about; x runs across it, towards them",
            u.span(tyres_x - plan.com[0])
        )
    };
    let weak = match d.scene.lies() {
        RestsOn::Roof => ["its place along the vehicle", "the wheelbase"],
        RestsOn::Wheels => ["its place across the vehicle", "the track"],
        _ => ["its height on the upright vehicle", "itself"],
    };
    [
        Row::new(RowGroup::Vehicle, RowQuantity::Weight, Figure::Load(plan.weight_n))
            .by("W = m g", format!("{} x g", u.mass(v.mass_kg)), &format!("scene; {}", v.data))
            .between([1.0 - known, 1.0 + known].map(|s| Figure::Load(s * plan.weight_n)))
            .note(format!("Load, fuel and people: {:.0} % either way (assumed).", 100.0 * known)),
        Row::new(RowGroup::Vehicle, RowQuantity::CentreHeight, Figure::Span(plan.com[1]))
            .by("turned over with its outline", place, "geometry of the outline")
            .note(format!(
                "It rests where its weight falls between two points of the outline. Weak: {} is \
                 known to {:.0} % of {} (assumed).",
                weak[0],
                100.0 * COM_SHARE,
                weak[1]
            )),
    ]
}

/// What it bears on before anything is done.
fn bears_rows(d: &RowContext<'_>) -> impl Iterator<Item = Row> {
    let plan = d.plan;
    let loads = plan.balance.supports.iter().zip(&plan.start.loads_n).filter(|(_, n)| **n > 1.0);
    loads.map(move |(support, n)| {
        let x = plan.start.side_pose.ground(support.point)[0];
        let on = match support.on {
            SupportKind::Ground => bears_on(d, support.point),
            SupportKind::Panel(i) => BearingPart::Panel(d.scene.vehicle.panels[i].name.clone()),
            SupportKind::VoidFill(i) => BearingPart::VoidFill(d.scene.void_fill[i].name.clone()),
            SupportKind::StepChock(i) => {
                BearingPart::StepChock(d.scene.step_chocks[i].name.clone())
            }
            SupportKind::Strut(i) => BearingPart::Strut(d.scene.struts()[i].name.clone()),
            SupportKind::Limb(i) => BearingPart::Limb(d.scene.limbs[i].name.clone()),
        };
        Row::new(RowGroup::Vehicle, RowQuantity::BearsOn(on), Figure::Load(*n)).by(
            "moments and forces cancel",
            format!("at x {}", d.units.span(x)),
            STATICS,
        )
    })
}

/// Where the end stands about which it turns.
fn pivot_row(d: &RowContext<'_>) -> Option<Row> {
    let (u, plan) = (d.units, d.plan);
    let state = d.lift()?.end();
    let pivot = plan.pivot_x(&state)?;
    let end = match (d.on_roof(), pivot > plan.com[0]) {
        (true, true) => Pivot::Nose,
        (true, false) => Pivot::Tail,
        (false, _) => Pivot::Tyres,
    };
    Some(
        Row::new(RowGroup::Vehicle, RowQuantity::TurnsAbout(end), Figure::Span(pivot))
            .by(
                "x_p = sum N x / sum N",
                format!(
                    "ground {}, void fill {}, struts {}",
                    u.force(plan.on_ground_n(&state)),
                    u.force(plan.on_fill_n(&state)),
                    u.force(plan.on_struts_n(&state))
                ),
                STATICS,
            )
            .note("Stabilise this end first: everything that is not lifted bears here."),
    )
}

/// What of the outline a point belongs to.
fn bears_on(d: &RowContext<'_>, point: ProfilePoint) -> BearingPart {
    let outline = &d.scene.vehicle.profile;
    match d.scene.lies() {
        RestsOn::Roof => BearingPart::BodyOrRoof,
        _ if point == outline.nose => BearingPart::TurningTyres,
        RestsOn::Wheels if point == outline.deck_rear => BearingPart::LiftedTyres,
        _ if point == outline.deck_rear => BearingPart::RoofRail,
        _ => BearingPart::Body,
    }
}
