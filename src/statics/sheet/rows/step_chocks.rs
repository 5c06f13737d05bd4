//! Step chocks: what the step that is snug bears, and what friction holds of it along the ground.

use super::context::{RowContext, STATICS};
use crate::scene::{Cause, StepChock};
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::supports::SupportKind;
use crate::tables::Material;

pub fn step_chocks(d: &RowContext<'_>) -> Vec<Row> {
    let chocks = d.scene.step_chocks.iter().enumerate();
    chocks.flat_map(|(index, chock)| rows(d, index, chock)).collect()
}

/// The most that a step chock bears, N: at the start or in the lift.
pub(super) fn most_n(d: &RowContext<'_>, index: usize) -> f64 {
    let on = |state| d.plan.balance.load_on(state, |on| on == SupportKind::StepChock(index)).0;
    let start_n = on(&d.plan.start);
    d.lift().map_or(start_n, |lift| lift.up_to_rise().map(on).fold(start_n, f64::max))
}

fn rows(d: &RowContext<'_>, index: usize, chock: &StepChock) -> Vec<Row> {
    let u = d.units;
    let part = RowPart::StepChock(chock.name.clone());
    let Some(snug) = d.plan.snug[index] else {
        let why = "no step of it is snug there; move `step_chocks` or take other steps";
        return vec![Row::missing(RowGroup::StepChocks, RowQuantity::StepBears.of(part), why)];
    };
    let load_n = most_n(d, index);
    let ground = &d.scene.ground;
    let pair = d.scene.friction(Material::Timber, Material::Ground(ground.surface));
    let bears = Row::new(
        RowGroup::StepChocks,
        RowQuantity::StepBears.of(part.clone()),
        Figure::Load(load_n),
    )
    .by(
        "moments and forces cancel; against what crushes a step, tread x width",
        format!(
            "{} of step; step {} of {}, {} high, under a packer of {}",
            u.area(chock.step_m2()),
            snug.step + 1,
            chock.steps,
            u.gap(chock.top_m(snug.step)),
            u.gap(snug.packer_m)
        ),
        STATICS,
    )
    .at_most(Figure::Load(d.scene.wood().bearing_pa * chock.step_m2()))
    .warns(Cause::Crush)
    .note("As if packed snug. The step that is snug bears all of it.");
    let holds = pair.map(|pair| {
        let [rests, slides] = pair.friction(ground.wet);
        Row::new(
            RowGroup::StepChocks,
            RowQuantity::StepHolds.of(part),
            Figure::Force(rests * load_n),
        )
        .by("mu N", format!("mu {rests:.2}, {slides:.2} once it slides",), pair.source)
        .note("Along the ground, by friction alone: it does not chock what slides.")
    });
    std::iter::once(bears).chain(holds).collect()
}
