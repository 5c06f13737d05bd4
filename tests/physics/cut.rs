//! Law protected: what is cut to the vehicle touches it and comes above its face nowhere, so
//! that nothing carries before the lift. Held against the geometry of faces given by formula,
//! and against every shipped scene at its start. That a wedge follows the face over its
//! middle, and that light shows where it bends away, is common practice, no source.

use crate::laid::laid;
use approx::{abs_diff_eq, assert_abs_diff_eq};
use inchwise::parallel::{ThreadsError, each};
use inchwise::scene::{self, CutFace, Footprint};
use inchwise::snapshot::PartKind;
use std::sync::Arc;

/// A piece 350 mm by 90 mm.
const FOOT: Footprint = Footprint { at: [1.05, -0.4], half: [0.175, 0.045] };

/// The cut face over a place of its footprint: the plane through its corners, which must lie
/// in one.
fn height_m(cut: &CutFace, foot: Footprint, [x, z]: [f64; 2]) -> f64 {
    let [a, b, c, d] = cut.corners_m;
    assert!(abs_diff_eq!(a + c, b + d, epsilon = 1e-6), "{cut:?} is no plane");
    let [u, w] = [(x - foot.at[0]) / foot.half[0], (z - foot.at[1]) / foot.half[1]];
    (a + b + c + d) / 4.0 + u * (c + d - a - b) / 4.0 + w * (b + c - a - d) / 4.0
}

/// The most that a cut face comes above the face it was cut to, m, looked at in spots 1 mm
/// apart.
fn over_m(cut: &CutFace, foot: Footprint, face: impl Fn([f64; 2]) -> f64) -> f64 {
    let steps = foot.half.map(|h| (2000.0 * h).round() as usize);
    let at = |axis: usize, i: usize| {
        foot.at[axis] + foot.half[axis] * (2.0 * i as f64 / steps[axis] as f64 - 1.0)
    };
    (0..=steps[0])
        .flat_map(|i| (0..=steps[1]).map(move |j| [i, j]))
        .map(|[i, j]| [at(0, i), at(1, j)])
        .map(|place| height_m(cut, foot, place) - face(place))
        .fold(f64::MIN, f64::max)
}

/// A face that bends down by an angle at a line: slope s1 before it, s2 > s1 behind. Over
/// which side the middle stands, that side's plane is the cut: it meets the bend, comes above
/// the other side nowhere, and over that side's corners, b from the bend, leaves b (s2 - s1).
/// Swept over the angle, the slope, the place of the bend, and along both axes. The planes
/// are exact, so is what is expected, to rounding.
#[test]
fn val_a_cut_under_a_bend_meets_it_and_leaves_light_past_it() {
    for (bend_deg, slope_deg) in [(2.0, 0.0), (4.0, 20.0), (8.0, -15.0), (20.0, 5.0), (60.0, -30.0)]
    {
        let [s1, s2] = [-0.5, 0.5].map(|k: f64| (slope_deg + k * bend_deg).to_radians().tan());
        // How far in front of the piece's rear end, as a share of it.
        for share in [0.2, 0.35, 0.5, 0.65, 0.8] {
            for axis in [0, 1] {
                let bend = FOOT.at[axis] + FOOT.half[axis] * (2.0 * share - 1.0);
                let face = |place: [f64; 2]| {
                    let from = place[axis] - bend;
                    0.3 + f64::max(s1 * from, s2 * from)
                };
                let case = format!("{bend_deg} deg about {slope_deg} deg at {share} along {axis}");
                let length = 2.0 * FOOT.half[axis];
                // Under so slight a bend it is cut straight through: 1 mm, and what the face
                // turns by within half of the 10 mm between two spots.
                let deep = length * share * (1.0 - share) * (s2 - s1);
                let cut = CutFace::under(FOOT, |at| Some(face(at))).expect("a face");
                let between_m = 0.005 * (s2 - s1) / 2.0;
                if cut.light_m == 0.0 {
                    assert!(deep < 1e-3 + between_m, "{case}: {deep} m");
                    continue;
                }
                assert!(deep >= 1e-3, "{case}: {deep} m");
                // A bend right over the middle lies between two spots; it may have either side's
                // plane, or one between.
                let off_m = if share == 0.5 { between_m } else { 0.0 } + 1e-8;
                let over = over_m(&cut, FOOT, face);
                assert!(over < off_m, "{case}: {over}");
                let mut at_bend = FOOT.at;
                at_bend[axis] = bend;
                let met = (height_m(&cut, FOOT, at_bend) - 0.3).abs();
                assert!(met < off_m, "{case}: {cut:?}");
                let past = length * share.min(1.0 - share);
                let light = past * (s2 - s1);
                if share == 0.5 {
                    assert!(cut.light_m > 0.0 && cut.light_m < light + 1e-8, "{case}: {cut:?}");
                } else {
                    assert!(
                        abs_diff_eq!(cut.light_m, light, epsilon = 1e-8),
                        "{case}: {cut:?} for {light}"
                    );
                }
            }
        }
    }
}

/// Under a plane face, level or not, and under one that arches up, it is cut from corner to
/// corner: the very heights that were found there, to the last bit.
#[test]
fn val_a_cut_under_a_plane_or_an_arch_goes_from_corner_to_corner() {
    let planes = [[0.0, 0.0], [0.4, 0.0], [-0.17, 0.05]];
    for slope in planes {
        for arch in [0.0, 0.5, 8.0] {
            let face = |[x, z]: [f64; 2]| {
                let from = x - FOOT.at[0];
                0.4 + slope[0] * x + slope[1] * z - arch * from * from
            };
            let cut = CutFace::under(FOOT, |at| Some(face(at))).expect("a face");
            assert_eq!(cut, CutFace { corners_m: FOOT.corners().map(face), light_m: 0.0 });
        }
    }
}

/// Under the end of a roof that slopes by 0.3, with the belt line 0.35 m higher behind it, it
/// is cut to the roof as long as its middle is under that; and under two bends it lies on
/// both. Where nothing is above a corner it is not cut.
#[test]
fn val_a_cut_follows_what_stands_lowest() {
    for end in [0.02, 0.10, 0.16] {
        let roof = |x: f64| 0.2 + 0.3 * (x - FOOT.at[0]);
        let step = |[x, _]: [f64; 2]| if x <= FOOT.at[0] + end { roof(x) } else { 0.55 };
        let cut = CutFace::under(FOOT, |at| Some(step(at))).expect("a face");
        for (height, [x, _]) in cut.corners_m.into_iter().zip(FOOT.corners()) {
            assert!(abs_diff_eq!(height, roof(x), epsilon = 1e-8), "{end}: {cut:?}");
        }
        assert_abs_diff_eq!(cut.light_m, 0.55 - roof(FOOT.at[0] + FOOT.half[0]), epsilon = 1e-8);
    }
    // Bends 0.1 m to either side of the middle, the face between them 5 mm higher.
    let bends = |[x, _]: [f64; 2]| {
        let from = (x - FOOT.at[0]).abs();
        0.3 + if from > 0.1 { 0.2 * (from - 0.1) } else { 0.05 * (0.1 - from) }
    };
    let cut = CutFace::under(FOOT, |at| Some(bends(at))).expect("a face");
    // Off by what the face rises by within half of the 10 mm between two spots.
    assert!(abs_diff_eq!(cut.corners_m[0], 0.3, epsilon = 0.2 * 0.005), "{cut:?}");
    assert!(over_m(&cut, FOOT, bends) < 0.2 * 0.005);
    assert_abs_diff_eq!(cut.light_m, 0.2 * 0.075, epsilon = 0.2 * 0.005);
    assert_eq!(CutFace::under(FOOT, |[x, _]| (x < FOOT.at[0]).then_some(0.3)), None);
}

/// Nothing that is placed lifts a shipped scene's vehicle before the lift, nor does a bag
/// bear before it is filled: while the set-up settles the centre of mass and the places over
/// the stacks rise by less than half a millimetre, as much as void fill is driven by, and what
/// lies on empty bags is pressed with less than 2 % of the vehicle's weight (assumed: a wedge
/// pushed home by hand).
#[test]
fn nothing_lifts_a_shipped_vehicle_before_the_lift() {
    let names = scene::builtin_names();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let wrong = each(
        &names,
        threads,
        |name| {
            let loaded = scene::load(name, &[]).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            let scene = Arc::new(loaded.scene);
            let laid = laid(&loaded.doc, &scene);
            let before = laid.preview(scene.clone()).snapshot;
            let yard = laid.equipment_settled(scene.clone());
            let body = yard.parts().iter().position(|p| p.kind == PartKind::Vehicle).expect("it");
            let rise_m = |place: [f64; 3]| {
                let on_it = before.poses[body].local(place);
                let pose = yard.snapshot.poses[body];
                pose.turned(on_it)[1] + pose.at()[1] - place[1]
            };
            let over_stacks = scene.stacks.iter().map(|s| [s.at[0], 0.5, s.at[1]]);
            let places = over_stacks.chain([before.vehicle.com]);
            let risen_m = places.map(rise_m).fold(f64::MIN, f64::max);
            let vehicle = |id: usize| yard.parts()[id].kind.is_vehicle();
            let lifts = |id: usize| {
                use PartKind::{BagFace, Beam, Shim, Wedge};
                matches!(yard.parts()[id].kind, BagFace { .. } | Wedge(_) | Beam | Shim)
            };
            let up_n: f64 = (yard.snapshot.loads.iter())
                .filter_map(|load| match (load.on, load.by?) {
                    (on, by) if vehicle(on) && lifts(by) => Some(load.force[1]),
                    (on, by) if vehicle(by) && lifts(on) => Some(-load.force[1]),
                    _ => None,
                })
                .sum();
            let most_n = 0.02 * scene.vehicle.mass_kg * 9.80665;
            let good = risen_m < 0.5e-3 && up_n < most_n;
            (!good).then(|| format!("{name}: {:.2} mm, {up_n:.0} N on bags", risen_m * 1e3))
        },
        &mut |_| Ok::<_, ThreadsError>(()),
    )
    .unwrap();
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    assert!(wrong.is_empty(), "raised before the lift: {wrong:#?}");
}
