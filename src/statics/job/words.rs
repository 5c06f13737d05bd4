//! What a task is called.

use super::task::Task;
use crate::scene::TaskKind;

impl Task {
    /// Its words, with those of an order by its index.
    pub fn words(&self, order: impl Fn(usize) -> String) -> String {
        let what = match self.kind {
            _ if self.order.is_some() => return self.order.map_or(String::new(), order),
            None => "",
            Some(TaskKind::SizeUp) => "size up",
            Some(TaskKind::MakeSafe) => "make the scene safe",
            Some(TaskKind::LayOut) => "lay out the kit",
            Some(TaskKind::Reach) => "reach and protect the casualty",
            Some(TaskKind::Chock) => "chock",
            Some(TaskKind::Stake) => "stake",
            Some(TaskKind::Strut) => "set strut",
            Some(TaskKind::Strap) => "draw strap",
            Some(TaskKind::Packing) => "pack",
            Some(TaskKind::StackTimber) => "build crib",
            Some(TaskKind::AirSupply) => "set up and try the air",
            Some(TaskKind::Bag) => "place bag",
            Some(TaskKind::Block) => "set block",
            Some(TaskKind::Glass) => "clear the windows",
            Some(TaskKind::Beam) => "pass the beam through",
            Some(TaskKind::Shims) => "shim the beam",
            Some(TaskKind::Agree) => "agree the release with the medics, all clear",
            Some(TaskKind::Raise) => "raise",
            Some(TaskKind::Capture) => "capture",
            Some(TaskKind::LockOut) => "lock out",
            Some(TaskKind::MoveHose) => "move a hose",
            Some(TaskKind::BringOut) => "bring the casualty out",
        };
        // A bag that is called "bag" is not told twice.
        if what.ends_with(&self.part) { what.to_owned() } else { format!("{what} {}", self.part) }
    }
}
