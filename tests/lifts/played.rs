//! Each lift is played once for all tests that look at it: the same scene ends in the same
//! state, to the last bit (`outcomes::the_same_scene_gives_the_same_bits` plays afresh).

use crate::typed::{inchwise, said, scratch};
use inchwise::debrief::{Debrief, FrameRetention, play};
use inchwise::lift::Lift;
use inchwise::scene::{self, Scene};
use inchwise::units::UnitSystem;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, OnceLock};

type Slot = Arc<OnceLock<Arc<Debrief>>>;

static PLAYED: LazyLock<Mutex<HashMap<String, Slot>>> = LazyLock::new(Mutex::default);

/// A shipped scene with some changes, played to its end.
pub fn played(name: &str, changes: &[&str]) -> Arc<Debrief> {
    let key = format!("{name} {changes:?}");
    let slot = PLAYED.lock().expect("no test panics here").entry(key).or_default().clone();
    // Outside the lock, so that other lifts are played meanwhile.
    slot.get_or_init(|| Arc::new(afresh(name, changes))).clone()
}

/// As [`played`], played again whether it was or not.
pub fn afresh(name: &str, changes: &[&str]) -> Debrief {
    play(changed(name, changes), UnitSystem::Si, FrameRetention::None, &mut |_, _| {})
}

/// A shipped scene with some changes at rest, by hand: the script is off. Let settle once for
/// all tests.
pub fn by_hand(name: &str, changes: &[&str]) -> Lift {
    static AT_REST: LazyLock<Mutex<HashMap<String, Arc<OnceLock<Lift>>>>> =
        LazyLock::new(Mutex::default);
    let key = format!("{name} {changes:?}");
    let slot = AT_REST.lock().expect("no test panics here").entry(key).or_default().clone();
    let mut lift = slot.get_or_init(|| Lift::new(changed(name, changes))).clone();
    lift.set_script(false);
    lift
}

/// A shipped scene with some changes.
fn changed(name: &str, changes: &[&str]) -> Arc<Scene> {
    let texts: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    let loaded = scene::load(name, &texts).unwrap_or_else(|problems| {
        let told: String = problems.iter().map(|problem| format!("\n{problem}")).collect();
        panic!("{name} {changes:?}: {told}")
    });
    Arc::new(loaded.scene)
}

/// What the program prints and reports of the wedged deck lid, with its sheet first; played
/// once, in a process of its own.
pub static BY_THE_PROGRAM: LazyLock<(String, serde_json::Value)> = LazyLock::new(|| {
    let folder = scratch();
    let json = folder.path().join("wedged.json");
    let path = json.to_str().expect("a plain path");
    let out = inchwise(&["run", "deck-lid-wedged", "--sheet", "--json", path]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let report = std::fs::read_to_string(&json).expect("a report");
    (said(&out), serde_json::from_str(&report).expect("JSON"))
});
