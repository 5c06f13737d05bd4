//! Law protected: what is measured in the yard by eye and tape is what is there. Places
//! and faces that a ray meets are held against the scene's own figures and the outline's
//! geometry; a yard that is only furnished stands as the played one before it is let go.

use approx::{abs_diff_eq, assert_abs_diff_eq};
use inchwise::scene;
use inchwise::snapshot::PartKind;
use inchwise::world::Yard;
use std::sync::Arc;

fn yard(sets: &[&str]) -> Yard {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    let Ok(loaded) = scene::load("deck-lid-tall", &sets) else { panic!("cannot be read") };
    let scene = Arc::new(loaded.scene);
    Yard::vehicle_settled(scene.clone()).preview(scene)
}

/// Straight down onto a stack's bag: its top stands at layers, pads and two flat bags; its
/// face is level. Tolerance: the rounding of corners, 2.5 mm, which leaves faces in place.
#[test]
fn val_a_top_is_as_high_as_what_it_is_built_of() {
    let yard = yard(&[]);
    let stack = &yard.scene.stacks[0];
    // From under the deck lid.
    let bags = 2.0 * scene::Bag::FLAT_M;
    let height = stack.height_m() + bags;
    let down = yard.sight([stack.at[0], height + 0.01, 0.0], [0.0, -1.0, 0.0]).unwrap();
    assert!(abs_diff_eq!(down.point[1], height, epsilon = 1e-3), "{down:?} against {height}");
    assert!(down.normal[1] > 0.9999);
    assert!(matches!(yard.parts()[down.part.unwrap()].kind, PartKind::BagFace { upper: true, .. }));
    // Past everything: the ground, then the sky.
    let ground = yard.sight([4.0, 1.0, 3.0], [0.0, -2.0, 0.0]).unwrap();
    assert_eq!((ground.part, ground.point), (None, [4.0, 0.0, 3.0]));
    assert!(yard.sight([4.0, 1.0, 3.0], [0.0, 1.0, 0.0]).is_none());
    assert!(yard.sight([0.0, 1.0, 0.0], [0.0, 0.0, 0.0]).is_none());
    assert!(yard.sight([f64::NAN, 1.0, 0.0], [0.0, 1.0, 0.0]).is_none());
}

/// The deck lid's angle against level. By hand: on the upright saloon it falls from
/// (-1.55, 1.07) to (-2.20, 1.00), 6.147 deg down to the rear; turned over and nose down
/// by the 16.436 deg of its lie it is 16.436 + 6.147 = 22.58 deg up to the tail. The
/// bonnet's edge gives a little, which turns the nose further down: less than half a
/// degree (60 mm over the 2 m from header to nose would be 1.7 deg, its load presses it
/// in by a quarter of that at most).
#[test]
fn val_a_face_stands_at_the_outlines_angle() {
    let yard = yard(&[]);
    let up = yard.sight([-1.9, 0.05, 0.5], [0.0, 1.0, 0.0]).unwrap();
    let [nx, ny, nz] = up.normal;
    assert!(nz.abs() < 1e-3, "the lid is level across: {up:?}");
    let angle = (-ny).acos().to_degrees();
    assert!(abs_diff_eq!(angle, 22.58, epsilon = 0.5), "{angle} deg");
    assert!(nx < 0.0 || ny < 0.0, "it looks down: {up:?}");
    // A tape between two places of the lid tells the same angle: rise over run.
    let a = yard.sight([-1.50, 0.05, 0.5], [0.0, 1.0, 0.0]).unwrap().point;
    let b = yard.sight([-1.85, 0.05, 0.5], [0.0, 1.0, 0.0]).unwrap().point;
    let slope = ((b[1] - a[1]) / (a[0] - b[0])).atan().to_degrees();
    assert!(abs_diff_eq!(slope, angle, epsilon = 0.1), "{slope} against {angle}");
}

/// Level is across the plumb line, which a slope tilts: sines of the two slopes along the
/// ground's axes, unit length.
#[test]
fn val_plumb_follows_the_slope() {
    let yard = yard(&["ground=(slope: \"3 deg\", cross_slope: \"-2 deg\")"]);
    let [x, y, z] = yard.plumb();
    assert_abs_diff_eq!(x, 3_f64.to_radians().sin(), epsilon = 1e-12);
    assert_abs_diff_eq!(z, -2_f64.to_radians().sin(), epsilon = 1e-12);
    assert!(abs_diff_eq!(x * x + y * y + z * z, 1.0, epsilon = 1e-12) && y < 0.0);
}

/// A laid yard takes any set-up in turn, and keeps nothing of the one before.
#[test]
fn a_laid_yard_is_furnished_anew_each_time() {
    let load = |name: &str| {
        let Ok(loaded) = scene::load(name, &[]) else { panic!("{name}") };
        Arc::new(loaded.scene)
    };
    let (tall, wedged) = (load("deck-lid-tall"), load("deck-lid-wedged"));
    let laid = Yard::vehicle_settled(tall.clone());
    let before = laid.preview(wedged.clone());
    let own = Yard::vehicle_settled(wedged.clone()).preview(wedged);
    assert_eq!(before.parts(), own.parts());
    assert_eq!(before.snapshot.poses, own.snapshot.poses);
    let again = laid.preview(tall.clone());
    assert_eq!(again.parts().len(), laid.preview(tall).parts().len());
    assert_ne!(again.parts().len(), before.parts().len());
}
