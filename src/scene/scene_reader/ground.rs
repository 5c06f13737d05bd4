//! Reads the ground, the spread of what is not known for sure, and the aims.

use crate::scene::equipment::{Aims, Ground};
use crate::scene::field_reader::Fields;
use crate::scene::schema::{aims, ground, scene, spread};
use crate::scene::spread::Spread;

pub(super) fn ground(f: &Fields<'_>) -> Option<Ground> {
    let g = f.group_or_bare(scene::GROUND);
    let surface = g.take(ground::SURFACE);
    let wet = g.take(ground::WET);
    let soil = g.take(ground::SOIL);
    let friction_share = g.take(ground::FRICTION);
    let slope_rad = g.take(ground::SLOPE);
    let cross_slope_rad = g.take(ground::CROSS_SLOPE);
    g.end();
    Some(Ground {
        surface: surface?,
        wet: wet?,
        soil: soil?,
        friction_share: friction_share?,
        slope_rad: slope_rad?,
        cross_slope_rad: cross_slope_rad?,
    })
}

pub(super) fn spread(f: &Fields<'_>) -> Option<Spread> {
    let g = f.group_or_bare(scene::SPREAD);
    let mass_share = g.take(spread::MASS);
    let friction_share = g.take(spread::FRICTION);
    let springs_share = g.take(spread::SPRINGS);
    let place_m = g.take(spread::PLACE);
    g.end();
    Some(Spread {
        mass_share: mass_share?,
        friction_share: friction_share?,
        springs_share: springs_share?,
        place_m: place_m?,
    })
}

pub(super) fn aims(f: &Fields<'_>) -> Option<Aims> {
    let g = f.group_or_bare(scene::AIMS);
    let roll_rad = g.take(aims::ROLL);
    let slide_m = g.take(aims::SLIDE);
    let drop_m = g.take(aims::DROP);
    let clearance_m = g.take(aims::CLEARANCE);
    g.end();
    Some(Aims {
        roll_rad: roll_rad?,
        slide_m: slide_m?,
        drop_m: drop_m?,
        clearance_m: clearance_m?,
    })
}
