//! The gap at each trapped limb, and what the limb carries.

use super::context::{RowContext, STATICS, limb_part};
use crate::scene::{Cause, Limb};
use crate::statics::gap;
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::supports::SupportKind;
use crate::statics::vehicle::State;

/// A limb's load may waver by this much before it counts as more, N (assumed).
const LIMB_NOISE_N: f64 = 15.0;

pub fn gaps(d: &RowContext<'_>) -> Vec<Row> {
    if d.scene.limbs.is_empty() {
        let why = "the scene names no trapped limb that can be read: gaps need `casualty`";
        return vec![Row::missing(RowGroup::Gap, RowQuantity::CasualtyGap, why)];
    }
    let Some(lift) = d.lift() else {
        return d
            .scene
            .limbs
            .iter()
            .map(|l| {
                Row::missing(
                    RowGroup::Gap,
                    RowQuantity::GapWithoutLift.of(limb_part(l)),
                    "nothing lifts: see Lift force",
                )
            })
            .collect();
    };
    d.scene.limbs.iter().enumerate().flat_map(|(i, limb)| limb_rows(d, lift, i, limb)).collect()
}

fn limb_rows(d: &RowContext<'_>, lift: &LiftPlan, index: usize, limb: &Limb) -> Vec<Row> {
    let mut rows = vec![gap_row(d, lift, index, limb)];
    rows.extend(limb_load_rows(d, lift, index, limb));
    rows
}

fn gap_row(d: &RowContext<'_>, lift: &LiftPlan, index: usize, limb: &Limb) -> Row {
    let u = d.units;
    let subject = RowQuantity::Gap.of(limb_part(limb));
    let at = |state: &State| gap::gap_m(d.scene, state.side_pose, state.roll, index);
    let (Some(from), Some(to)) = (at(&d.plan.start), at(&lift.end())) else {
        return Row::missing(
            RowGroup::Gap,
            subject,
            "the vehicle is not above it at one end of the lift; move `casualty.at`",
        );
    };
    let ends = [-0.02, 0.0].map(|less| {
        let rise = (lift.rise_m + less).max(0.0);
        Figure::Gap(at(&lift.at(rise)).unwrap_or(to))
    });
    Row::new(RowGroup::Gap, subject, Figure::Gap(to))
        .by(
            "least height over its pad, turned about the pivot",
            format!("{} at the start, gained {}", u.gap(from), u.gap(to - from)),
            "geometry of the outline",
        )
        .at_least(Figure::Gap(limb.gap_needed_m))
        .between(ends)
        .note(format!("For a rise of {}; the spread is {} less.", u.gap(lift.rise_m), u.gap(0.02)))
}

/// What a limb carries at most, with packing and without.
fn limb_load_rows(d: &RowContext<'_>, lift: &LiftPlan, index: usize, limb: &Limb) -> Vec<Row> {
    let (u, plan) = (d.units, d.plan);
    let held = |state: &State| plan.on_limb_n(state, index);
    let before = held(&plan.start);
    let most = |states: &[State]| {
        let until = lift.rise_m + 1e-9;
        states
            .iter()
            .take_while(|s| s.rise_m <= until)
            .map(|s| s.loads_n.get(limb_place(plan, index)).copied().unwrap_or(0.0))
            .fold(0.0, f64::max)
    };
    let found = held(&plan.found);
    let mut rows = vec![
        Row::new(
            RowGroup::Gap,
            RowQuantity::LimbLoad.of(limb_part(limb)),
            Figure::Load((most(&lift.states) - found).max(0.0)),
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
        .at_most(Figure::Load(LIMB_NOISE_N))
        .warns(Cause::CasualtyLoad)
        .note("It must never carry more than it was found with."),
    ];
    if !d.scene.void_fill.is_empty() {
        rows.push(
            Row::new(
                RowGroup::Gap,
                RowQuantity::LimbLoadUnpacked.of(limb_part(limb)),
                Figure::Load((most(&lift.unpacked) - found).max(0.0)),
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
fn limb_place(plan: &Plan, limb: usize) -> usize {
    plan.balance.supports.iter().position(|s| s.on == SupportKind::Limb(limb)).unwrap_or(usize::MAX)
}
