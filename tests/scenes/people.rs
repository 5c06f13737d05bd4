//! Law protected: a casualty is a body. Its trapped parts lie where the scene says, the rest
//! follows from its measures, and nothing but what is said to press it stands or lies on it.

use approx::assert_relative_eq;
use inchwise::scene::{
    BodyPart, BodySide, Lying, Problem, Scene, bodies, builtin_names, load, say_people,
};

fn scene(name: &str, changes: &[&str]) -> Scene {
    let changes: Vec<String> = changes.iter().map(ToString::to_string).collect();
    match load(name, &changes) {
        Ok(loaded) => loaded.scene,
        Err(problems) => panic!("{name}: {problems:#?}"),
    }
}

fn problems(name: &str, changes: &[&str]) -> Vec<Problem> {
    let changes: Vec<String> = changes.iter().map(ToString::to_string).collect();
    load(name, &changes).err().unwrap_or_default()
}

/// The set-ups of ten lessons as they once stood, which say nothing of how their casualty lies.
const NOBODY: &[&str] = &["people=[]"];
const CRIBS_OF_THE_NOSE: &[&str] = &[
    "people=[]",
    "casualty=[(name: \"lower leg\", at: [\"1.48 m\", \"-0.12 m\"], thickness: \"125 mm\", \
     size: [\"120 mm\", \"300 mm\"], gap_needed: \"145 mm\"), \
     (name: \"forearm\", part: \"forearm\", at: [\"-0.14 m\", \"0.42 m\"], thickness: \"85 mm\", \
     size: [\"90 mm\", \"250 mm\"], gap_needed: \"87 mm\")]",
    "captures.left cowl.at=[\"1.08 m\", \"0.55 m\"]",
    "captures.right cowl.at=[\"1.08 m\", \"-0.55 m\"]",
];

/// Cribs stood in the body of ten lessons; each is told with the part, and how to get clear.
#[test]
fn cribs_that_stood_in_a_body_are_refused() {
    for (names, changes) in [
        (&["method-beam", "method-beam-thin", "lower-together", "lower-one-side"][..], NOBODY),
        (&["side-crib", "side-no-crib"], NOBODY),
        (&["nose-raised", "nose-raised-filled", "timber-dry", "timber-wet"], CRIBS_OF_THE_NOSE),
    ] {
        for name in names {
            let told: Vec<String> =
                problems(name, changes).iter().map(ToString::to_string).collect();
            let stands = told.iter().any(|text| {
                text.contains("deep in the")
                    && text.contains("move it by")
                    && text.contains("people")
            });
            assert!(stands, "{name}: {told:#?}");
        }
    }
}

/// A head under the roof's edge, where that bears, is refused; so it was in the beam lift.
#[test]
fn a_head_under_a_loaded_edge_is_refused() {
    let laid = "people.driver.inside=false";
    let told = problems("beam-lift", &[laid]);
    assert!(told.iter().any(|p| p.to_string().contains("would lie on the")), "{told:#?}");
    // Beside the car, the head in under the roof rail.
    let laid = "people=[(name: \"driver\", at: [\"0.72 m\", \"-0.10 m\"], head_towards: \"140 deg\", \
                stature: \"1.85 m\", inside: true), \
                (name: \"b\", at: [\"0.13 m\", \"1.35 m\"], head_towards: \"-90 deg\")]";
    let told = problems("beam-lift", &[laid]);
    assert!(told.iter().any(|p| p.to_string().contains("would lie on the head")), "{told:#?}");
}

/// Of whom a scene says nothing, no more is asked than that no crib stands where the first rule
/// lays them: a limb that they do not reach lies by itself.
#[test]
fn a_limb_that_nobody_reaches_lies_by_itself() {
    let far = "casualty=[(name: \"one\", at: [\"-0.20 m\", \"0.45 m\"], thickness: \"125 mm\", gap_needed: \"150 mm\"), \
               (name: \"two\", at: [\"-0.20 m\", \"-0.45 m\"], thickness: \"125 mm\", gap_needed: \"150 mm\")]";
    let scene = scene("deck-lid-wedged", &[far, "decides=slide", "after=Nothing."]);
    let body = &bodies(&scene)[0];
    assert_eq!(body.misfits.len(), 1);
    let missed = body.misfits[0].limb;
    let at = scene.limbs[missed].at;
    assert!(body.segments.iter().any(|s| s.limb == Some(missed) && s.covers(at)));
}

/// The way out that a problem tells is one: moved by it, the stack is clear.
#[test]
fn a_stack_that_is_moved_as_told_is_clear() {
    let from = [-0.35, 0.10];
    let clear = |[x, z]: [f64; 2]| {
        problems("deck-lid-wedged", &[&format!("captures.left rail.at=[\"{x} m\", \"{z} m\"]")])
    };
    let told = clear(from);
    let [problem] = &told[..] else { panic!("{told:#?}") };
    let text = problem.to_string();
    let (by, rest) = text.split_once("move it by ").unwrap().1.split_once(" m along ").unwrap();
    let by: f64 = by.parse().unwrap();
    let moved = |by: f64| match rest.starts_with('x') {
        true => [from[0] + by, from[1]],
        false => [from[0], from[1] + by],
    };
    assert!(clear(moved(by)).is_empty(), "{text}: {:#?}", clear(moved(by)));
    // A step less is not enough: the way is the shortest to a centimetre.
    assert!(!clear(moved(by - 0.011 * by.signum())).is_empty(), "{text}");
}

/// Hips too far from the pad: told with both distances, and moved by the difference the leg
/// reaches.
#[test]
fn what_cannot_be_reached_is_told_with_the_mend() {
    let laid = |z: f64| {
        format!("people=[(name: \"p\", at: [\"-0.29 m\", \"{z} m\"], head_towards: \"90 deg\")]")
    };
    let told = problems("deck-lid-wedged", &[&laid(1.30)]);
    let [problem] = &told[..] else { panic!("{told:#?}") };
    let text = problem.to_string();
    assert!(text.contains("the lower leg of \"p\" cannot lie there"), "{text}");
    let by = text.split("hips by ").nth(1).unwrap().split(" mm towards it").next().unwrap();
    let by: f64 = by.parse().unwrap();
    assert!(problems("deck-lid-wedged", &[&laid(1.30 - by / 1e3 - 1e-3)]).is_empty());
}

/// Sole to crown in a straight line is the stature, to a thousandth.
#[test]
fn a_body_is_as_long_as_its_stature() {
    for stature in ["1.50 m", "1.75 m", "2.00 m"] {
        let laid = format!(
            "people=[(name: \"p\", at: [\"0.81 m\", \"0.68 m\"], head_towards: \"90 deg\", stature: \"{stature}\")]"
        );
        let Ok(loaded) = load("van-sill", &[laid]) else { continue };
        let body = &bodies(&loaded.scene)[0];
        let z = |part: BodyPart, end: usize| {
            let mut own = body.segments.iter().filter(|s| s.part == part);
            own.next_back().unwrap().ends[end][2]
        };
        let length = z(BodyPart::Head, 1) - z(BodyPart::Foot, 1);
        assert_relative_eq!(length, body.person.stature_m, max_relative = 1e-3);
    }
}

/// Each bone of a body that reaches for its pads keeps its length, and the trapped part passes
/// over the middle of its pad.
#[test]
fn a_trapped_part_lies_on_its_pad() {
    for name in builtin_names() {
        let scene = scene(&name, &[]);
        let laid = bodies(&scene);
        for (i, limb) in scene.limbs.iter().enumerate() {
            let own = &laid[limb.of.unwrap_or(0)].segments;
            let part = own.iter().find(|s| s.limb == Some(i));
            let part = part.unwrap_or_else(|| panic!("{name}: {} is nowhere", limb.name));
            assert!(part.covers(limb.at), "{name}: {}", limb.name);
            assert!(part.held, "{name}: {}", limb.name);
        }
    }
}

/// A scene and its mirror image have bodies that are mirror images: places across are negative,
/// left is right.
#[test]
fn a_mirrored_scene_has_a_mirrored_body() {
    let laid = |sign: f64, head: f64| {
        let casualty = format!(
            "casualty=[(name: \"lower leg\", at: [\"-0.20 m\", \"{} m\"], thickness: \"125 mm\", gap_needed: \"150 mm\"), \
             (name: \"forearm\", part: \"forearm\", at: [\"0.00 m\", \"{} m\"], thickness: \"90 mm\", gap_needed: \"150 mm\", size: [\"80 mm\", \"100 mm\"])]",
            0.45 * sign,
            1.25 * sign
        );
        let people = format!(
            "people=[(name: \"p\", at: [\"-0.29 m\", \"{} m\"], head_towards: \"{head} deg\")]",
            1.05 * sign
        );
        let Some(scene) = inchwise::scene::tree_of("bag-pair", &[casualty, people])
            .ok()
            .and_then(|doc| inchwise::scene::read_and_check(&doc).0)
        else {
            panic!("cannot be read")
        };
        bodies(&scene).remove(0)
    };
    for head in [90.0, 60.0, 115.0] {
        let (one, other) = (laid(1.0, head), laid(-1.0, -head));
        assert_eq!(one.misfits.len(), other.misfits.len());
        let swapped = |side| match side {
            BodySide::Left => BodySide::Right,
            BodySide::Right => BodySide::Left,
        };
        assert!(one.segments.iter().any(|s| s.limb.is_some()));
        for part in &one.segments {
            let mirrored: Vec<_> = other
                .segments
                .iter()
                .filter(|s| s.part == part.part && s.side == part.side.map(swapped))
                .collect();
            let same = mirrored.iter().any(|s| {
                s.limb == part.limb
                    && s.ends.iter().zip(part.ends).all(|(a, b)| {
                        let off = [a[0] - b[0], a[1] - b[1], a[2] + b[2]];
                        off.iter().all(|d| d.abs() < 1e-9)
                    })
            });
            assert!(same, "{head}: {part:?}\n{mirrored:#?}");
        }
    }
}

/// However one lies, nothing of the body is under the ground, and on a side one lies narrower
/// and higher than on the back.
#[test]
fn a_body_lies_on_the_ground() {
    let tallest = |lies: Lying| {
        let word = lies.word();
        let people = format!(
            "people=[(name: \"p\", at: [\"-3 m\", \"3 m\"], head_towards: \"0 deg\", lies: \"{word}\")]"
        );
        let doc = inchwise::scene::tree_of("bag-pair", &[people]).unwrap();
        let scene = inchwise::scene::read_and_check(&doc).0.unwrap();
        let body = bodies(&scene).remove(0);
        for segment in &body.segments {
            assert!(segment.bottom_m() > -1e-9, "{word}: {segment:?}");
        }
        let trunk = body.segments.iter().filter(|s| s.side.is_none());
        trunk.map(|s| s.ends[0][1] + s.half[0][1]).fold(0.0, f64::max)
    };
    assert_relative_eq!(tallest(Lying::Back), 0.2523, epsilon = 1e-3);
    assert_relative_eq!(tallest(Lying::Front), tallest(Lying::Back), epsilon = 1e-9);
    assert_relative_eq!(tallest(Lying::LeftSide), 0.3430, epsilon = 1e-3);
    assert_relative_eq!(tallest(Lying::RightSide), tallest(Lying::LeftSide), epsilon = 1e-9);
}

#[test]
fn how_people_lie_is_said_in_one_sentence() {
    assert_eq!(
        say_people(&scene("beam-lift", &[])),
        ["The driver lies on the back in the cabin, head towards the tail; trapped: right lower \
          leg, left forearm."]
    );
    assert_eq!(
        say_people(&scene("deck-lid-wedged", &[])),
        ["The casualty lies on the back, head towards the vehicle's left; trapped: right lower \
          leg."]
    );
}

/// A limb is the first person's, unless it says whose it is.
#[test]
fn a_limb_of_several_people_says_whose_it_is() {
    let two = "people=[(name: \"a\", at: [\"-0.29 m\", \"1.09 m\"], head_towards: \"90 deg\"), \
               (name: \"b\", at: [\"-3 m\", \"3 m\"], head_towards: \"0 deg\")]";
    assert_eq!(scene("deck-lid-wedged", &[two]).limbs[0].of, Some(0));
    let told = problems("deck-lid-wedged", &[two, "casualty.lower leg.of=b"]);
    assert!(told.iter().any(|p| p.to_string().contains("of \"b\" cannot lie there")), "{told:#?}");
    let told = problems("deck-lid-wedged", &[two, "casualty.lower leg.of=c"]);
    assert!(told.iter().any(|p| p.to_string().contains("choose from a, b")), "{told:#?}");
}
