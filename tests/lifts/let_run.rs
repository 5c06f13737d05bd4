//! A failure that is let run: what it comes to is seen, and what led to it stays the same. From
//! where it is looked at.

use crate::played::played;
use inchwise::debrief::Debrief;
use inchwise::framing::Stand;
use inchwise::scene::{OnFailure, Outcome};
use inchwise::snapshot::{Part, PartKind, Pose, Shape, Snapshot};
use inchwise::units::GRAVITY_M_S2;

const STOP: &str = "on_failure=stop";
const LET_RUN: &str = "on_failure=let run";

/// How far the part that moved most went from one row to the next, m.
fn way_m(before: &Snapshot, now: &Snapshot) -> f64 {
    let way = |(a, b): (&[f64; 3], &[f64; 3])| (0..3).map(|i| (b[i] - a[i]).powi(2)).sum::<f64>();
    let places = |row: &Snapshot| row.poses.iter().map(|pose| pose.at()).collect::<Vec<_>>();
    let most = places(before).iter().zip(&places(now)).map(way).fold(0.0, f64::max);
    most.sqrt()
}

/// How far the vehicle came down towards the limbs or slid over one of them under load, m.
fn harm_m(debrief: &Debrief) -> f64 {
    let harm = debrief.harm().unwrap_or_else(|| panic!("{}", debrief.text()));
    harm.limbs.iter().map(|limb| limb.dragged_m).fold(harm.down_m, f64::max)
}

/// Until the officer would have called stop the lift is the same to the bit; then it goes on until
/// all is at rest, and comes to more. Where the beam breaks that is beside the casualty: its end
/// comes down 0.6 m outside the vehicle, which stays where it is over the limbs.
#[test]
fn a_lift_that_is_let_run_goes_on_from_where_the_officer_would_have_stopped_it() {
    for name in ["beam-far", "stack-narrow"] {
        let (stopped, run) = (played(name, &[STOP]), played(name, &[LET_RUN]));
        assert_eq!((stopped.outcome, run.outcome), (Outcome::Failed, Outcome::Failed), "{name}");
        assert_eq!(stopped.cause, run.cause, "{name}");
        let until_s = stopped.findings[0].t_s;
        let same = stopped.history.iter().zip(&run.history).take_while(|(a, b)| a == b);
        assert!(same.last().unwrap().0.t_s > until_s - 0.11, "{name}: same until {until_s} s");
        let [before_m, m] = [&stopped, &run].map(|debrief| harm_m(debrief));
        assert_eq!(m > before_m + 0.01, name != "beam-far", "{name}: {before_m} m, then {m} m");
        assert!(run.findings.len() > stopped.findings.len(), "{name}");
        let [.., before, last] = run.history.as_slice() else { panic!("{name}: no rows") };
        assert!(way_m(before, last) < 0.002, "{name}: it still moves at {} s", last.t_s);
    }
}

/// A lift that goes well is the same lift, whatever the officer would do.
#[test]
fn a_lift_that_goes_well_is_not_changed() {
    let [stop, run] = [STOP, LET_RUN].map(|set| played("sill-crib", &[set]));
    assert_eq!((stop.outcome, run.outcome), (Outcome::Lifted, Outcome::Lifted));
    assert_eq!((stop.state_hash, stop.harm()), (run.state_hash, None));
}

/// Nothing that falls is faster than in free fall from as high (v² = 2 g h), whatever is in its
/// way: energy, and no table. The fall is that over the limb where it is deepest, and a point beyond
/// it may go further, so that the bound has no slack to hide in.
#[test]
fn no_load_comes_down_faster_than_in_free_fall() {
    for name in ["beam-far", "deck-lid-tall", "side-no-crib"] {
        let run = played(name, &[LET_RUN]);
        let harm = run.harm().unwrap_or_else(|| panic!("{name}"));
        assert_eq!(run.scene.on_failure, OnFailure::LetRun);
        assert!(harm.fastest_m_s > 0.05, "{name}: {} m/s", harm.fastest_m_s);
        let free_m_s = (2.0 * GRAVITY_M_S2 * harm.down_m).sqrt();
        assert!(harm.fastest_m_s < free_m_s, "{name}: {} of {free_m_s} m/s", harm.fastest_m_s);
    }
}

/// From where the first finding is looked at.
fn stand(debrief: &Debrief, parts: &[Part], rows: &[Snapshot]) -> Stand {
    let rows: Vec<&Snapshot> = rows.iter().collect();
    Stand::before(&debrief.scene, parts, &rows, (&debrief.findings[0]).into())
}

/// A vehicle that slides along its length is looked at from its side; nobody looks from under the
/// ground, and the place is in the middle of the picture, or nearly.
#[test]
fn a_finding_is_looked_at_across_its_way() {
    for name in ["chocks-missing", "beam-far", "face-bare", "stack-narrow", "void-not-filled"] {
        let run = played(name, &[]);
        let seen = stand(&run, &run.parts, &run.history);
        let ([x, y, z], place) = (seen.eye(), run.findings[0].place);
        assert!(y > 0.1, "{name}: {seen:?}");
        let off = (0..3).map(|i| (seen.focus[i] - place[i]).powi(2)).sum::<f64>().sqrt();
        assert!(off < 0.5 * seen.radius_m, "{name}: {off} m off, {seen:?}");
        if name == "chocks-missing" {
            let [to_x, to_z] = [x - seen.focus[0], z - seen.focus[2]];
            assert!(to_x.abs() < to_z.abs(), "{name}: {seen:?}");
        }
    }
}

/// Where a board is put up between the eye and the place, the eye goes elsewhere.
#[test]
fn a_finding_is_looked_at_past_what_is_in_the_way() {
    let run = played("stack-narrow", &[]);
    let free = stand(&run, &run.parts, &run.history);
    let board = |i: usize| 0.4 * free.focus[i] + 0.6 * free.eye()[i];
    let mut parts = run.parts.clone();
    let (name, kind) = ("board".to_owned(), PartKind::Limb(0));
    parts.push(Part { name, kind, shape: Shape::Box([0.6, 0.6, 0.02]), present: true });
    let (s, c) = (0.5 * free.yaw_rad).sin_cos();
    let position = [0, 1, 2].map(|i| board(i) as f32);
    let pose = Pose { position, turn: [0.0, s as f32, 0.0, c as f32] };
    let mut rows = run.history.clone();
    rows.iter_mut().for_each(|row| row.poses.push(pose));
    let past = stand(&run, &parts, &rows);
    let apart = (past.yaw_rad - free.yaw_rad).cos();
    assert!(apart < 0.9 || past.pitch_rad > free.pitch_rad, "{free:?} {past:?}");
}
