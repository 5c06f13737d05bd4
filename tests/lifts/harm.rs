//! What a failure did over the casualty: moments made by hand, whose law of motion is known, and
//! lifts that are played, each with one that only just escapes it.

use crate::played::played;
use approx::{abs_diff_eq, assert_abs_diff_eq};
use inchwise::debrief::{CrewAfter, Debrief};
use inchwise::practice::{Freed, Practice, Record};
use inchwise::scene::{self, Cause, Scene};
use inchwise::snapshot::{LimbRecord, LimbState, LimbTrace, Part, PartKind, Pose, Shape, Snapshot};
use inchwise::units::GRAVITY_M_S2;

/// A tick, s.
const DT_S: f64 = 1.0 / 60.0;
/// Where the vehicle stands over the limb before it moves, m.
const HIGH_M: f64 = 0.4;

fn scene_of(name: &str) -> Scene {
    scene::load(name, &[]).unwrap_or_else(|problems| panic!("{problems:?}")).scene
}

fn vehicle() -> Vec<Part> {
    let (name, kind) = ("vehicle".to_owned(), PartKind::Vehicle);
    vec![Part { name, kind, shape: Shape::Vehicle, present: true }]
}

/// A moment: where the vehicle stands, and the gap and the load of every limb.
fn moment(scene: &Scene, t_s: f64, [x, y]: [f64; 2], state: LimbState) -> Snapshot {
    let pose = Pose { position: [x as f32, y as f32, 0.0], ..Pose::ORIGIN };
    let limbs = vec![state; scene.limbs.len()];
    Snapshot { t_s, poses: vec![pose], limbs, ..Snapshot::default() }
}

/// The record of the first limb over moments that a function of the time makes.
fn recorded(scene: &Scene, ticks: u32, at: impl Fn(f64) -> ([f64; 2], LimbState)) -> LimbRecord {
    let rows: Vec<Snapshot> = (0..=ticks)
        .map(|tick| f64::from(tick) * DT_S)
        .map(|t_s| {
            let (place, state) = at(t_s);
            moment(scene, t_s, place, state)
        })
        .collect();
    let rows: Vec<&Snapshot> = rows.iter().collect();
    let traces = LimbTrace::over(scene, &vehicle(), &rows);
    LimbRecord::new(&scene.limbs[0], &traces[0], 0.0)
}

fn over(gap_m: f64, load_n: f64) -> LimbState {
    LimbState { gap_m, load_n, covered: true }
}

/// A vehicle in free fall: after `t` it is `g t² / 2` down and goes at `g t`. The speed is that of
/// the way in a tick, which is the one in the tick's middle, half a tick's `g` less.
#[test]
fn val_a_free_fall_has_its_way_and_its_speed() {
    let scene = scene_of("beam-lift");
    for ticks in [6, 12, 17] {
        let end_s = f64::from(ticks) * DT_S;
        let fell_m = |t_s: f64| 0.5 * GRAVITY_M_S2 * t_s * t_s;
        let record =
            recorded(&scene, ticks, |t| ([0.0, HIGH_M - fell_m(t)], over(HIGH_M - fell_m(t), 0.0)));
        assert!(abs_diff_eq!(record.down_m, fell_m(end_s), epsilon = 1e-6), "{record:?}");
        let speed_m_s = GRAVITY_M_S2 * (end_s - DT_S / 2.0);
        assert!(
            abs_diff_eq!(record.fastest_m_s, speed_m_s, epsilon = 1e-4),
            "{record:?}, not {speed_m_s} m/s"
        );
        let (gap_m, at_s) = record.least_gap.expect("it is covered");
        assert!(
            abs_diff_eq!(gap_m, HIGH_M - fell_m(end_s), epsilon = 1e-9)
                && abs_diff_eq!(at_s, end_s, epsilon = 1e-9)
        );
    }
}

/// Where the vehicle does not stand over the limb, its fall is no fall over it.
#[test]
fn a_fall_beside_the_limb_is_no_fall_over_it() {
    let scene = scene_of("beam-lift");
    let beside = |gap_m: f64| LimbState { covered: false, ..over(gap_m, 0.0) };
    let record = recorded(&scene, 12, |t| ([0.0, HIGH_M - 2.0 * t], beside(HIGH_M - 2.0 * t)));
    assert_eq!((record.down_m, record.fastest_m_s, record.least_gap), (0.0, 0.0, None));
}

/// A limb that was let go and borne on again was struck; one that was only eased was not.
#[test]
fn a_limb_is_struck_again_where_it_was_let_go() {
    let scene = scene_of("beam-lift");
    let thick_m = scene.limbs[0].thickness_m;
    let lifted_m = |most_m: f64| move |t: f64| most_m * (1.0 - (t - 0.5).abs() / 0.5);
    let struck = |most_m: f64| {
        let up_m = lifted_m(most_m);
        // It is pressed by 10 mm at the start, at 30 N/mm.
        recorded(&scene, 60, |t| {
            let gap_m = thick_m - 0.010 + up_m(t);
            ([0.0, gap_m], over(gap_m, 3e4 * (thick_m - gap_m).max(0.0)))
        })
    };
    let [hard, eased] = [0.030, 0.012].map(struck);
    let again = hard.struck.expect("it was let go by 20 mm");
    // It comes down at 60 mm/s and bears on the limb, 20 mm lower, a third of a second later.
    assert!(abs_diff_eq!(again.t_s, 0.5 + 1.0 / 3.0, epsilon = 2.0 * DT_S), "{again:?}");
    assert!(
        abs_diff_eq!(again.most_n, 300.0, epsilon = 1e-6)
            && abs_diff_eq!(again.most_s, 1.0, epsilon = 1e-9),
        "{again:?}"
    );
    assert_abs_diff_eq!(hard.start_load_n, 300.0, epsilon = 1e-6);
    assert_eq!(eased.struck, None, "by 2 mm it was not let go");
}

/// The way over a limb counts while it bears, and forth and back is none.
#[test]
fn a_limb_is_dragged_by_what_slides_over_it_under_load() {
    let scene = scene_of("beam-lift");
    let slid = |load_n: f64, way: fn(f64) -> f64| {
        recorded(&scene, 60, |t| ([way(t), HIGH_M], over(HIGH_M, load_n)))
    };
    let dragged = slid(300.0, |t| 0.24 * t);
    assert!(
        abs_diff_eq!(dragged.dragged_m, 0.24, epsilon = 1e-6) && dragged.is_dragged(),
        "{dragged:?}"
    );
    assert!(!slid(0.0, |t| 0.24 * t).is_dragged(), "it slid clear over the limb");
    assert!(!slid(300.0, |t| 0.24 * t * (1.0 - t)).is_dragged(), "it came back");
}

/// When there is no vehicle over the limb any more; where it comes back, it has not left.
#[test]
fn it_is_told_when_the_vehicle_has_left_a_limb() {
    let scene = scene_of("beam-lift");
    let gone = |from_s: f64, to_s: f64| {
        recorded(&scene, 60, |t| {
            let covered = !(from_s..to_s).contains(&t);
            ([0.0, HIGH_M], LimbState { covered, ..over(HIGH_M, 0.0) })
        })
    };
    let left_s = gone(0.5, 2.0).left_s.expect("it is gone at the end");
    assert!(abs_diff_eq!(left_s, 0.5, epsilon = DT_S), "{left_s} s");
    assert_eq!(gone(0.5, 0.8).left_s, None);
}

/// How the people of a scene lie after moments made by hand, one state for every limb.
fn people(scene: &Scene, states: &[Vec<LimbState>], moved_m: &[f64]) -> Vec<Freed> {
    let rows: Vec<Snapshot> = (states.iter().zip(moved_m).enumerate())
        .map(|(i, (limbs, x))| Snapshot {
            limbs: limbs.clone(),
            ..moment(scene, 0.1 * i as f64, [*x, HIGH_M], LimbState::default())
        })
        .collect();
    let rows: Vec<&Snapshot> = rows.iter().collect();
    let parts = vehicle();
    let record = Record::new(scene, &parts, &rows, &[], &[], true);
    Practice::of(&record).people.iter().map(|person| person.freed).collect()
}

/// The states are the person's: one limb that is held holds the person, and nobody else. A limb
/// that was slid over is not free, whatever the gap over it.
#[test]
fn a_person_is_as_free_as_the_worst_limb() {
    let one = scene_of("beam-lift");
    let two = scene_of("struts-tied");
    assert_eq!(
        (one.people.len(), two.people.len(), one.limbs.len(), two.limbs.len()),
        (1, 2, 2, 2)
    );
    let (held, clear) = (over(0.05, 300.0), over(HIGH_M, 0.0));
    let lie =
        |scene, end: [LimbState; 2]| people(scene, &[vec![held; 2], end.to_vec()], &[0.0, 0.0]);
    assert_eq!(lie(&one, [clear, clear]), [Freed::ToBeReleased]);
    assert_eq!(lie(&one, [held, clear]), [Freed::Trapped]);
    let mut apart = lie(&two, [held, clear]);
    apart.sort();
    assert_eq!(apart, [Freed::Trapped, Freed::ToBeReleased]);
    // Slid over one of them by 0.2 m before it was lifted off both.
    let dragged = people(&one, &[vec![held; 2], vec![held; 2], vec![clear; 2]], &[0.0, 0.2, 0.2]);
    assert_eq!(dragged, [Freed::Trapped]);
}

fn limb<'a>(records: &'a [LimbRecord], name: &str) -> &'a LimbRecord {
    records.iter().find(|limb| limb.at == name).unwrap_or_else(|| panic!("{name}: {records:?}"))
}

/// Nothing that was lifted without a finding struck a limb again or slid over it, and no report
/// of one tells of harm.
#[test]
fn a_lift_that_goes_well_does_no_harm() {
    for name in ["beam-lift", "sill-crib", "deck-lid-wedged"] {
        let run = played(name, &[]);
        assert_eq!(run.harm(), None, "{name}");
        for limb in run.limb_records() {
            assert!(
                limb.struck.is_none() && !limb.is_dragged() && limb.left_s.is_none(),
                "{name}: {limb:?}"
            );
        }
    }
}

/// In the report, in its page and in its JSON.
fn told(run: &Debrief, words: &str) {
    let text = run.text();
    assert!(text.contains(words), "\"{words}\" is missing in\n{text}");
    let page = run.html(&Err("none are drawn here".into()));
    assert!(page.contains(words), "\"{words}\" is missing in the page");
}

/// The roof rail comes down on the arm that it had been lifted off, and onto the ground and
/// what stands there; with the crib in place it does not.
#[test]
fn a_load_that_nothing_catches_comes_down_on_the_limb_again() {
    let run = played("side-no-crib", &["on_failure=let run"]);
    let harm = run.harm().unwrap_or_else(|| panic!("{}", run.text()));
    let arm = limb(&harm.limbs, "forearm");
    let struck = arm.struck.unwrap_or_else(|| panic!("{}", run.text()));
    let first_s = run.findings[0].began_s;
    assert!(struck.t_s > first_s && struck.most_s >= struck.t_s, "{struck:?} after {first_s} s");
    assert!(struck.most_n <= arm.max_load_n && arm.start_load_n > 20.0, "{arm:?}");
    assert!(harm.down_m > 0.05 && harm.over == "forearm", "{}", run.text());
    told(&run, "was struck again at");
    told(&run, "Nobody called stop");
    assert!(run.text().contains("struck again, trapped"), "{}", run.text());
    let json: serde_json::Value =
        serde_json::from_str(&run.json().expect("numbers")).expect("JSON");
    assert_eq!(json["gaps"][0]["struck_n"].as_f64(), Some(struck.most_n));
    assert_eq!(json["harm"]["over"], "forearm");
    let caught = played("side-crib", &[]);
    assert_eq!(limb(&caught.limb_records(), "forearm").struck, None, "{}", caught.text());
}

/// Of a beam that breaks, the ends outside the vehicle come down, and the vehicle does not over the
/// casualty: what is told is told there, though the lift points have fallen by more than a drop.
/// Where it slid over a limb, that it did not come down is no comfort, and is not told.
#[test]
fn a_beam_that_breaks_is_told_where_the_vehicle_is() {
    let stayed_up = "Over the casualty the vehicle did not come down.";
    for (name, words) in [("beam-far", stayed_up), ("method-beam-thin", "The vehicle slid 10 mm")] {
        let run = played(name, &[]);
        let harm = run.harm().unwrap_or_else(|| panic!("{name}"));
        assert!(run.findings.iter().any(|f| f.cause() == Cause::Drop), "{name}: {}", run.text());
        assert!(harm.down_m < 0.01, "{name}: {harm:?}");
        told(&run, words);
        assert_eq!(run.text().contains(stayed_up), words == stayed_up, "{name}: {}", run.text());
    }
}

/// What the crew did after a failure is told as it was: stopped, with every valve shut, or
/// carried on with its orders.
#[test]
fn what_the_crew_went_on_with_is_told() {
    let stopped = played("beam-far", &["on_failure=stop"]);
    let run = played("beam-far", &[]);
    let crew = |debrief: &Debrief| debrief.harm().and_then(|harm| harm.crew);
    assert!(matches!(crew(&stopped), Some(CrewAfter::Stopped { .. })), "{}", stopped.text());
    told(&stopped, "The officer called stop at");
    let Some(CrewAfter::WentOn { orders, .. }) = crew(&run) else { panic!("{}", run.text()) };
    let first_s = run.findings[0].t_s;
    let after = run.records.iter().filter(|r| r.refused.is_none() && r.t_s > first_s);
    assert_eq!(orders.len(), after.count());
    assert!(!orders.is_empty() && orders.iter().all(|(t_s, _)| *t_s > first_s), "{orders:?}");
}

/// The twin's difference comes first, and no more than four lines.
#[test]
fn what_to_try_next_begins_with_the_twin() {
    for name in ["beam-far", "capture-late", "void-not-filled"] {
        let text = played(name, &[]).text();
        let after = text.split("What to try next\n").nth(1).unwrap_or_else(|| panic!("{text}"));
        let lines: Vec<&str> = after.lines().take_while(|line| !line.is_empty()).collect();
        assert!((1..=4).contains(&lines.len()), "{lines:?}");
        assert!(lines[0].contains("differs in") && lines[0].contains("Play its twin"), "{lines:?}");
    }
}
