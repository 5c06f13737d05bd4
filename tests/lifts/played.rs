//! Each lift is played once for all tests that look at it: the same scene ends in the same
//! state, to the last bit (`outcomes::the_same_scene_gives_the_same_bits` plays afresh).

use inchwise::debrief::{Debrief, FrameRetention, play};
use inchwise::scene;
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
    let texts: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    let loaded = scene::load(name, &texts).unwrap_or_else(|problems| {
        let told: String = problems.iter().map(|problem| format!("\n{problem}")).collect();
        panic!("{name} {changes:?}: {told}")
    });
    play(Arc::new(loaded.scene), UnitSystem::Si, FrameRetention::None, &mut |_, _| {})
}
