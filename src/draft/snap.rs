//! Where a thing that is moved about comes to rest: in line with what is there, beside a
//! limb, under a face that can be lifted, or on a grid. Each axis snaps by itself and
//! says to what.

use super::item::{Item, ItemKind};
use super::place::{BESIDE_M, CLEAR_M, LIFT_FROM_M, opening_middles};
use crate::scene::{Chock, Envelope, RestsOn, Scene, StepChock};
use crate::units::UnitSystem;

/// A snapped place, and what each of its coordinates snapped to.
#[derive(Clone, Debug, PartialEq)]
pub struct Snap {
    pub at: [f64; 2],
    pub to: [Option<String>; 2],
}

/// Nearest grid line, m: 10 mm, or a half inch.
fn on_grid(m: f64, units: UnitSystem) -> f64 {
    let step = match units {
        UnitSystem::Si => 0.01,
        UnitSystem::Us => 0.0127,
    };
    (m / step).round() * step
}

/// A mark that a coordinate may snap to.
struct SnapLine {
    m: f64,
    to: String,
}

/// Snaps a place for a thing: to marks no further than `reach_m`, else to the grid.
pub fn snap(scene: &Scene, item: Item, raw: [f64; 2], reach_m: f64, units: UnitSystem) -> Snap {
    let marks = marks(scene, item);
    let one = |axis: usize| {
        let near = marks[axis]
            .iter()
            .map(|mark| ((mark.m - raw[axis]).abs(), mark))
            .filter(|(off, _)| *off <= reach_m)
            .min_by(|(a, _), (b, _)| a.total_cmp(b));
        match near {
            Some((_, mark)) => (mark.m, Some(mark.to.clone())),
            None => (on_grid(raw[axis], units), None),
        }
    };
    let ((x, to_x), (z, to_z)) = (one(0), one(1));
    Snap { at: [x, z], to: [to_x, to_z] }
}

fn marks(scene: &Scene, item: Item) -> [Vec<SnapLine>; 2] {
    let (mut xs, mut zs) = (Vec::new(), vec![SnapLine { m: 0.0, to: "on the middle line".into() }]);
    // The part's own size decides where it stands beside something else.
    let own = size(scene, item);
    let placed = placed(scene);
    for (other, name, at) in &placed {
        if *other == item {
            continue;
        }
        xs.push(SnapLine { m: at[0], to: format!("in line with {name}") });
        zs.push(SnapLine { m: at[1], to: format!("in line with {name}") });
        if at[1].abs() > 1e-3 {
            zs.push(SnapLine { m: -at[1], to: format!("across from {name}") });
        }
    }
    if item.kind != ItemKind::Limb {
        for limb in &scene.limbs {
            for (axis, out) in [&mut xs, &mut zs].into_iter().enumerate() {
                let off = (own[axis] + limb.size[axis]) / 2.0 + BESIDE_M;
                for side in [-off, off] {
                    out.push(SnapLine {
                        m: limb.at[axis] + side,
                        to: format!("beside the {}", limb.name),
                    });
                }
            }
        }
    }
    if scene.lies != RestsOn::Roof {
        beside_a_vehicle(scene, own, &mut xs, &mut zs);
    }
    // In the side view, which a vehicle on its roof has.
    if scene.lies == RestsOn::Roof
        && let Some(envelope) = Envelope::new(&scene.vehicle, scene.lies)
    {
        let v = &scene.vehicle;
        let side_pose = envelope.side_pose();
        for panel in &v.panels {
            let middle = (panel.x[0] + panel.x[1]) / 2.0;
            let at = side_pose.ground([middle, v.profile.upper_y(middle)]);
            // What lies on the ground cannot be lifted at.
            if at[1] > LIFT_FROM_M {
                xs.push(SnapLine {
                    m: at[0],
                    to: format!("under the middle of the {}", panel.name),
                });
            }
        }
        for (opening, x) in v.openings.iter().rev().zip(opening_middles(scene, &envelope)) {
            xs.push(SnapLine { m: x, to: format!("in the middle of the {}", opening.name) });
        }
        let com = side_pose.ground([v.com_m[0], v.com_m[1]]);
        xs.push(SnapLine { m: com[0], to: "under the centre of mass".into() });
        let aside = v.half_width.body + own[1] / 2.0 + CLEAR_M;
        for side in [-aside, aside] {
            zs.push(SnapLine { m: side, to: "close beside the body".into() });
        }
    }
    [xs, zs]
}

/// Marks at a vehicle on its side or its wheels: its axles, its centre of mass, its sills,
/// and close beside it.
fn beside_a_vehicle(scene: &Scene, own: [f64; 2], xs: &mut Vec<SnapLine>, zs: &mut Vec<SnapLine>) {
    let v = &scene.vehicle;
    let Some(pose) = v.rest_pose(scene.lies) else { return };
    for (x, which) in v.wheel_x_m.into_iter().zip(["front", "rear"]) {
        let m = pose.ground([x, 0.0, 0.0])[0];
        xs.push(SnapLine { m, to: format!("in line with the {which} axle") });
    }
    let com = pose.ground(v.com_m);
    xs.push(SnapLine { m: com[0], to: "in line with the centre of mass".into() });
    zs.push(SnapLine { m: com[2], to: "in line with the centre of mass".into() });
    let off = own[1] / 2.0 + CLEAR_M;
    if scene.lies.on_side() {
        // The tyres stand at one edge of the ground it covers, the roof at the other.
        let treads = pose.ground([0.0, 0.0, 0.0])[2];
        let roof = pose.ground([0.0, v.profile.header[1], 0.0])[2];
        let out = (roof - treads).signum();
        for (edge, out, of) in [(treads, -out, "wheels"), (roof, out, "roof")] {
            zs.push(SnapLine { m: edge + out * off, to: format!("close beside the {of}") });
            zs.push(SnapLine { m: edge - out * own[1] / 2.0, to: format!("under the {of}") });
        }
    } else {
        let body = v.half_width.body;
        for side in [-1.0, 1.0] {
            zs.push(SnapLine { m: side * (body + off), to: "close beside the body".into() });
            zs.push(SnapLine { m: side * (body - own[1] / 2.0), to: "under the sill".into() });
        }
    }
}

/// Everything with a place of its own, and its name.
fn placed(scene: &Scene) -> Vec<(Item, &str, [f64; 2])> {
    let mut out: Vec<(Item, &str, [f64; 2])> = Vec::new();
    let mut add =
        |kind: ItemKind, index: usize, name, at| out.push((Item::new(kind, index), name, at));
    scene
        .stacks
        .iter()
        .enumerate()
        .for_each(|(i, s)| add(ItemKind::Stack, i, s.name.as_str(), s.at));
    scene.captures.iter().enumerate().for_each(|(i, c)| add(ItemKind::Capture, i, &c.name, c.at));
    scene.void_fill.iter().enumerate().for_each(|(i, f)| add(ItemKind::VoidFill, i, &f.name, f.at));
    scene.chocks.iter().enumerate().for_each(|(i, c)| add(ItemKind::Chock, i, &c.name, c.at));
    let steps = scene.step_chocks.iter().enumerate();
    steps.for_each(|(i, s)| add(ItemKind::StepChock, i, &s.name, s.at));
    scene.struts.iter().enumerate().for_each(|(i, s)| add(ItemKind::Strut, i, &s.name, s.at));
    if let Some(beam) = &scene.beam {
        add(ItemKind::Beam, 0, "the beam", beam.at);
    }
    out
}

/// Size along X and Z of what is moved, m.
fn size(scene: &Scene, item: Item) -> [f64; 2] {
    let square = |m: f64| [m, m];
    let found = match item.kind {
        ItemKind::Stack => scene.stacks.get(item.index).map(|s| square(s.length_m)),
        ItemKind::Capture => scene.captures.get(item.index).map(|c| square(c.length_m)),
        ItemKind::VoidFill => scene.void_fill.get(item.index).map(|f| square(f.length_m)),
        ItemKind::Chock => Some([Chock::SIZE_M[0], Chock::SIZE_M[2]]),
        ItemKind::StepChock => scene.step_chocks.get(item.index).map(StepChock::size_m),
        ItemKind::Strut => scene.struts.get(item.index).map(|s| square(s.plate_m)),
        ItemKind::Limb => scene.limbs.get(item.index).map(|l| l.size),
        _ => None,
    };
    found.unwrap_or([0.0; 2])
}
