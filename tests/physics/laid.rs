//! The vehicles of shipped scenes at rest, before anything is brought to them. Scenes have much
//! in common: a vehicle that lies in the same way is let settle once for all tests.

use inchwise::scene::Scene;
use inchwise::scene::tree::Node;
use inchwise::world::Yard;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, OnceLock};

/// What the vehicle's coming to rest depends on: while these are the same it lies the same.
const LYING: [&str; 8] =
    ["vehicle", "lies", "nose_down", "ground", "casualty", "friction", "faults", "aims"];

/// One number for each of them; none for what a scene leaves out.
pub type Lying = [Option<u64>; 8];

pub fn lying(doc: &Node) -> Lying {
    LYING.map(|key| doc.get(key).map(|node| node.digest(&[])))
}

type Slot = Arc<OnceLock<Yard>>;

static LAID: LazyLock<Mutex<HashMap<Lying, Slot>>> = LazyLock::new(Mutex::default);

/// The vehicle of a shipped scene at rest.
pub fn laid(doc: &Node, scene: &Arc<Scene>) -> Yard {
    let slot = LAID.lock().expect("no test panics here").entry(lying(doc)).or_default().clone();
    // Outside the lock, so that other vehicles settle meanwhile.
    slot.get_or_init(|| Yard::vehicle_settled(scene.clone())).clone()
}
