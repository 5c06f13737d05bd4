//! Reads what was measured in a yard, and has it stand in for the figures of vehicle and bags.

use crate::scene::crew::Drill;
use crate::scene::equipment::Bag;
use crate::scene::field_reader::{Fields, all};
use crate::scene::measured::{MeasuredSlide, Measurements, RaisedBag, SCALES_SHARE, weigh};
use crate::scene::schema::{drill, measured as field, raised, scene, slide, weights};
use crate::scene::spread::Spread;
use crate::scene::vehicle::Vehicle;

/// What was measured, or none where nothing was; `None` where it cannot be read. A weighed
/// vehicle gets the mass and the centre of mass that its wheels tell.
pub(super) fn measured(
    f: &Fields<'_>,
    vehicle: Option<&mut Vehicle>,
) -> Option<Option<Measurements>> {
    let Some(g) = f.optional_group(scene::MEASURED) else { return Some(None) };
    let data = g.take(field::DATA);
    let weighed = match g.optional_group(field::WEIGHTS) {
        Some(wheels) => wheels_n(&wheels).map(Some),
        None => Some(None),
    };
    let slides = all(g.list(field::SLIDES).iter().map(measured_slide));
    let raised = all(g.list(field::RAISED).iter().map(raised_bag));
    let drills = all(g.list(field::DRILLS).iter().map(timed));
    g.end();
    let weights = match (weighed?, vehicle) {
        (Some(wheels_n), Some(vehicle)) => Some(weigh(vehicle, wheels_n)),
        _ => None,
    };
    Some(Some(Measurements {
        data: data?,
        weights,
        slides: slides?,
        raised: raised?,
        drills: drills?,
    }))
}

/// Has what was measured stand in for the size of the bags, and for how far the mass is known.
pub(super) fn stand_in(measured: &Measurements, bags: &mut [Bag], spread: Option<&mut Spread>) {
    let share = measured.bag_share();
    bags.iter_mut().for_each(|bag| bag.size = bag.size.map(|side| share * side));
    if measured.weights.is_some()
        && let Some(spread) = spread
    {
        spread.mass_share = spread.mass_share.min(SCALES_SHARE);
    }
}

fn wheels_n(g: &Fields<'_>) -> Option<[f64; 4]> {
    let all = [weights::FRONT_LEFT, weights::FRONT_RIGHT, weights::REAR_LEFT, weights::REAR_RIGHT]
        .map(|wheel| g.take(wheel));
    g.end();
    let [a, b, c, d] = all;
    Some([a?, b?, c?, d?])
}

fn measured_slide(g: &Fields<'_>) -> Option<MeasuredSlide> {
    let (what, on, angle) = (g.take(slide::WHAT), g.take(slide::ON), g.take(slide::ANGLE));
    g.end();
    Some(MeasuredSlide { what: what?, on: on?, angle_rad: angle? })
}

fn timed(g: &Fields<'_>) -> Option<Drill> {
    let (task, least, most) = (g.take(drill::TASK), g.take(drill::LEAST), g.take(drill::MOST));
    g.end();
    let range_s = [least?, most?];
    if range_s[1] < range_s[0] {
        g.complain(drill::MOST.key(), "is less than `least`; exchange the two");
        return None;
    }
    Some(Drill { task: task?, range_s })
}

fn raised_bag(g: &Fields<'_>) -> Option<RaisedBag> {
    let (size, load) = (g.take(raised::SIZE), g.take(raised::LOAD));
    let (pressure, height) = (g.take(raised::PRESSURE), g.take(raised::HEIGHT));
    g.end();
    Some(RaisedBag { size: size?, load_n: load?, gauge_pa: pressure?, height_m: height? })
}
