//! Law protected: the gap at a limb is the least height of the vehicle over all of the limb's
//! pad, however the vehicle lies. The cast that finds it is held against closed forms, and the
//! gaps of whole vehicles against rays and against each other.

use crate::common::{Real, Rotation, Vector};
use approx::abs_diff_eq;
use inchwise::scene::{self, Scene};
use inchwise::snapshot::PartKind;
use inchwise::world::Yard;
use inchwise::world::engine::{Cuboid, PlacedShape, Pose};
use std::sync::Arc;

/// Half the sides of the box that is stood on a corner, m.
const BOX_HALF_M: [f64; 3] = [0.6, 0.5, 0.7];

/// A turned box's lowest corner, and the slopes along X and Z of the three faces that meet
/// there: over any place near the corner the box is as high as the highest of their planes.
fn lowest_corner(turn: Rotation, middle: [f64; 3]) -> ([f64; 3], Vec<[f64; 2]>) {
    let axis = |i: usize| (turn * Vector::AXES[i]).to_array().map(f64::from);
    let axes = [0, 1, 2].map(axis);
    let mut corner = middle;
    for (axis, half) in axes.iter().zip(BOX_HALF_M) {
        let down = if axis[1] > 0.0 { -half } else { half };
        corner = [0, 1, 2].map(|i| corner[i] + down * axis[i]);
    }
    // The plane n . (p - corner) = 0; an upright face bounds nothing from below.
    let faces = axes.iter().filter(|n| n[1].abs() > 1e-6);
    (corner, faces.map(|n| [-n[0] / n[1], -n[2] / n[1]]).collect())
}

/// The room over a level plate under a box that stands on a corner: boxes turned by 3 to 40 deg
/// about two axes, plates of 20 to 400 mm, up to 300 mm aside. To 0.1 mm: places are single
/// precision, and the cast ends at a millionth of the way that it goes.
#[test]
fn val_a_plate_meets_a_box_where_geometry_says() {
    for (about_x, about_z) in [(3.0, 5.0), (-12.0, 20.0), (25.0, -9.0), (0.0, 30.0), (40.0, 33.0)] {
        let turn = Rotation::from_rotation_x((about_x as Real).to_radians())
            * Rotation::from_rotation_z((about_z as Real).to_radians());
        let middle = [0.31, 1.7, -0.22];
        let (corner, slopes) = lowest_corner(turn, middle);
        let cuboid = Cuboid::new(Vector::from_array(BOX_HALF_M.map(|half| half as Real)));
        let at = Pose::from_parts(Vector::from_array(middle.map(|m| m as Real)), turn);
        let above = PlacedShape::new(&cuboid, at);
        let height = |x: f64, z: f64| {
            let over = slopes.iter().map(|s| s[0] * (x - corner[0]) + s[1] * (z - corner[2]));
            corner[1] + over.fold(f64::MIN, f64::max)
        };
        for half in [0.01, 0.05, 0.2] {
            // From the corner towards the middle of the box and to either side of that way.
            let inwards = [middle[0] - corner[0], middle[2] - corner[2]];
            let length = inwards[0].hypot(inwards[1]);
            let [ix, iz] = inwards.map(|part| part / length);
            for [along, aside] in [[0.0, 0.0], [0.1, 0.0], [0.25, 0.08], [0.3, -0.1], [0.02, 0.0]] {
                let [dx, dz] = [along * ix - aside * iz, along * iz + aside * ix];
                let [x, z] = [corner[0] + dx, corner[2] + dz];
                // Convex: over the corner itself, or on the plate's edge, every 0.2 mm at most.
                let inside = dx.abs() <= half && dz.abs() <= half;
                let edge = (-1000..=1000).map(|i| half * f64::from(i) / 1000.0).flat_map(|d| {
                    [[d, -half], [d, half], [-half, d], [half, d]]
                        .map(|[ex, ez]| height(x + ex, z + ez))
                });
                let expected = if inside { corner[1] } else { edge.fold(f64::MAX, f64::min) };
                let plate = Cuboid::new(Vector::new(half as Real, 0.01, half as Real));
                let pose = Pose::from_translation(Vector::new(x as Real, -0.51, z as Real));
                let found = PlacedShape::new(&plate, pose).room_under(&above, 4.0);
                let found = found.expect("it is above") - 0.5;
                let case = format!("{about_x}, {about_z} deg, {half} m, {dx}, {dz}");
                assert!(
                    abs_diff_eq!(found, expected, epsilon = 1e-4),
                    "{case}: {found}, expected {expected}"
                );
            }
        }
    }
}

/// A vehicle by itself, as it lies, over pads of several sizes at each of some places.
fn over_pads(vehicle: &str, lies: &str, places: &[[f64; 2]]) -> Yard {
    let pad = |(i, [x, z]): (usize, &[f64; 2])| {
        SIDES_MM.map(|side| {
            format!(
                "(name: \"{i} of {side}\", at: [\"{x} m\", \"{z} m\"], size: [\"{side} mm\", \
                 \"{side} mm\"], thickness: \"60 mm\", gap_needed: \"70 mm\"),"
            )
        })
    };
    let pads: String = places.iter().enumerate().flat_map(pad).collect();
    let text = format!(
        "(name: \"Pads\", teaches: \"Nothing.\", vehicle: \"{vehicle}\", lies: \"{lies}\", \
         casualty: [{pads}], orders: [(wait: (for: \"1 s\"))])"
    );
    let read = scene::tree_of_text(&text).and_then(|tree| scene::scene_from_tree(&tree));
    let scene: Arc<Scene> = Arc::new(read.unwrap_or_else(|p| panic!("{vehicle}, {lies}: {p:#?}")));
    Yard::vehicle_settled(scene.clone()).preview(scene)
}

const SIDES_MM: [u32; 5] = [50, 100, 120, 200, 400];

/// In each lie: a larger pad about the same place never has a larger gap, and no ray from a
/// pad meets the vehicle below its gap. Off by 0.1 mm at most, as above; rays by the 0.7 mm
/// that they are measured to be off.
#[test]
fn a_larger_pad_never_has_a_larger_gap() {
    for (vehicle, lies, places) in [
        ("hatchback", "left side", vec![[-0.6, -1.42], [-0.6, -1.405]]),
        ("hatchback", "right side", vec![[-0.6, 1.42]]),
        ("saloon", "roof", vec![[-0.4, 0.0], [1.0, 0.5], [-1.2, 0.4]]),
        ("pickup", "roof", vec![[-1.2, 0.1], [1.4, -0.5]]),
        ("van", "wheels", vec![[0.3, 0.2]]),
    ] {
        let yard = over_pads(vehicle, lies, &places);
        let gaps: Vec<f64> = yard.snapshot.limbs.iter().map(|limb| limb.gap_m).collect();
        for (pads, [x, z]) in gaps.chunks(SIDES_MM.len()).zip(&places) {
            let at = format!("{vehicle} on its {lies}, {x}, {z}: {pads:?}");
            assert!(pads.windows(2).all(|pair| pair[1] <= pair[0] + 1e-4), "{at}");
            for (gap_m, side_mm) in pads.iter().zip(SIDES_MM) {
                let spots = (-10..=10).map(|i| f64::from(i) / 20.0 * f64::from(side_mm) / 1e3);
                for (dx, dz) in spots.clone().flat_map(|dx| spots.clone().map(move |dz| (dx, dz))) {
                    let seen = yard.sight([x + dx, 0.061, z + dz], [0.0, 1.0, 0.0]);
                    let part = seen.and_then(|sight| sight.part.map(|part| (part, sight.point[1])));
                    let Some((part, height_m)) = part else { continue };
                    let limb = matches!(yard.parts()[part].kind, PartKind::Limb(_));
                    assert!(limb || height_m > gap_m - 1e-3, "{at}: {height_m} over {dx}, {dz}");
                }
            }
        }
    }
}

/// The hatchback on its left side, where rays from the corners and the middle of a pad passed
/// by the roof's end post: there is 300 mm of room there whatever the pad, and a limb that
/// needs 400 mm is not free.
#[test]
fn the_gap_under_a_car_on_its_side_is_that_to_its_post() {
    let yard = over_pads("hatchback", "left side", &[[-0.6, -1.42], [-0.6, -1.405]]);
    for limb in &yard.snapshot.limbs {
        assert!(abs_diff_eq!(limb.gap_m, 0.3, epsilon = 2e-3), "{limb:?}");
        assert!(limb.load_n < 1.0, "{limb:?}");
    }
}
