//! The guided first lift: teaches the window by doing. Each step waits until the user has
//! really done it, on a scene of the shelf that holds.

use super::action::Action;
use super::overlays::{Overlay, Overlays};
use super::play::Play;
use super::stage::Stage;
use super::viewpoint::View;
use crate::scene::Order;
use crate::snapshot::{OrderRecord, Told};

/// The scene that the first lift is made on, by its file name.
pub const SCENE: &str = "beam-lift";

/// What a step waits for.
#[derive(Clone, Copy, Debug)]
enum Wish {
    Turned,
    Looked(View),
    At(Stage),
    /// The load has risen so far, m.
    Risen(f64),
    /// The cribs have followed the load.
    Captured,
    Shows(Overlay),
    /// Somebody has been told to go on by the script, and every gap is enough.
    Free,
    /// The line of time has been gone back along.
    WentBack,
}

/// One step of the guided lift.
#[derive(Debug)]
pub struct Step {
    /// What to do.
    pub what: &'static str,
    /// Why.
    pub why: &'static str,
    wish: Wish,
}

const STEPS: [Step; 10] = [
    Step {
        what: "Drag over the yard with the left button: walk round the vehicle.",
        why: "Look for what it bears on, what could slide or roll, and where the casualty is. \
         The wheel of the mouse goes nearer.",
        wish: Wish::Turned,
    },
    Step {
        what: "Press 4: look at the casualty.",
        why: "The green line is the free height over each trapped limb. The panel on the right says \
         how much is needed.",
        wish: Wish::Looked(View::Casualty),
    },
    Step {
        what: "Press F3: what has been set up.",
        why: "Two cribs carry a beam through the windows. Chocks and void fill keep the vehicle \
         from moving while it rises.",
        wish: Wish::At(Stage::SetUp),
    },
    Step {
        what: "Press F4: the lift.",
        why: "On the left are the controller and the gauges of the bags, on the right what it does \
         for the casualty.",
        wish: Wish::At(Stage::Lift),
    },
    Step {
        what: "Hold Q and W together until the load has risen 30 mm. Let go.",
        why: "Even air lifts evenly. Only one side, and it rolls. The buttons marked Raise do the \
         same as the keys.",
        wish: Wish::Risen(0.030),
    },
    Step {
        what: "Press C: the cribs follow the load.",
        why: "Lift a little, follow at once: whatever fails, the load can only fall by what has not \
         been followed yet.",
        wish: Wish::Captured,
    },
    Step {
        what: "Press L: the loads.",
        why: "Every arrow is a force that is carried now. The chips over the yard show more: thrust \
         lines, friction, bending.",
        wish: Wish::Shows(Overlay::Loads),
    },
    Step {
        what: "Press X: the script goes on with the lift.",
        why: "It gives the same orders that you can give. Watch the gaps until both are enough. \
         Space stands still and goes on again, Z is slow motion.",
        wish: Wish::Free,
    },
    Step {
        what: "Press F5: look back.",
        why: "What went wrong, what was gained, and every measure along time.",
        wish: Wish::At(Stage::LookBack),
    },
    Step {
        what: "Drag along a plot or along the line of time.",
        why: "The yard goes back to that moment. An order given there takes the lift up again from \
         it, and the old run stays as a thin line to compare with.",
        wish: Wish::WentBack,
    },
];

/// How far the guided lift has got.
#[derive(Default)]
pub struct Guide {
    at: usize,
    /// How many orders had been given when the step began.
    said: usize,
}

impl Guide {
    /// How many steps there are.
    pub const STEPS: usize = STEPS.len();

    /// The step that waits to be done; none when the whole of it has been.
    pub fn step(&self) -> Option<&'static Step> {
        STEPS.get(self.at)
    }

    /// How many steps have been done.
    pub fn done(&self) -> usize {
        self.at
    }

    /// Goes on where what the step waits for has been done: by an action that is about to be
    /// carried out, or by how things stand.
    pub(super) fn see(&mut self, action: Option<&Action>, play: &Play, stage: Stage, on: Overlays) {
        let Some(step) = self.step() else { return };
        // Going back unsays some.
        self.said = self.said.min(play.said().len());
        let done = match &step.wish {
            Wish::Turned => matches!(action, Some(Action::Turn(_))),
            Wish::Looked(view) => action == Some(&Action::Look(*view)),
            Wish::At(goal) => stage == *goal,
            Wish::Risen(m) => play.now().rise_m >= *m,
            Wish::Captured => play.said().iter().skip(self.said).any(has_captured),
            Wish::Shows(which) => on.has(*which),
            Wish::Free => {
                let limbs = &play.scene().limbs;
                play.script()
                    && limbs.iter().zip(&play.now().limbs).all(|(l, s)| s.gap_m >= l.gap_needed_m)
            }
            Wish::WentBack => play.looking_back() && matches!(action, Some(Action::Seek(_))),
        };
        if done {
            self.at += 1;
            self.said = play.said().len();
        }
    }
}

/// Whether an order had the captures follow the load.
fn has_captured(record: &OrderRecord) -> bool {
    record.refused.is_none() && matches!(record.told, Told::Order(Order::Capture { .. }))
}
