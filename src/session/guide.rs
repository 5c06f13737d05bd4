//! The guided first lift: teaches the window by doing. Each step waits until the user has
//! really done it, on a scene of the shelf that holds.

use super::action::Action;
use super::overlays::{Overlay, Overlays};
use super::play::Play;
use super::stage::Stage;
use crate::framing::View;
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
    /// The script goes on, and every gap is enough.
    Free,
    /// The user has gone back along the time line.
    WentBack,
}

/// One step of the guided lift.
#[derive(Debug)]
pub struct GuideStep {
    /// What to do.
    pub what: &'static str,
    /// Why.
    pub why: &'static str,
    wish: Wish,
}

const STEPS: [GuideStep; 10] = [
    GuideStep {
        what: "Drag over the yard with the left button: walk round the vehicle.",
        why: "See what it bears on and what could slide or roll. See where the casualty is. \
         The mouse wheel zooms.",
        wish: Wish::Turned,
    },
    GuideStep {
        what: "Press 4: look at the casualty.",
        why: "The green line is the free height over each trapped limb. The panel on the right says \
         how much is needed.",
        wish: Wish::Looked(View::Casualty),
    },
    GuideStep {
        what: "Press 6: what has been set up.",
        why: "Two cribs carry a beam through the windows. Chocks and void fill keep the vehicle \
         from moving while it rises.",
        wish: Wish::At(Stage::SetUp),
    },
    GuideStep {
        what: "Press 7: the lift.",
        why: "The left panel has the controller and the bag gauges. The right panel shows the \
         casualty's gaps and loads.",
        wish: Wish::At(Stage::Lift),
    },
    GuideStep {
        what: "Hold Q and W together until the load has risen 30 mm. Let go.",
        why: "Even air lifts evenly. Air on one side only rolls it. The Raise buttons do the same \
         as the keys.",
        wish: Wish::Risen(0.030),
    },
    GuideStep {
        what: "Press C: the cribs follow the load.",
        why: "Lift an inch, pack an inch. If a bag fails, the load drops only the gap left.",
        wish: Wish::Captured,
    },
    GuideStep {
        what: "Press L: the loads.",
        why: "Each arrow is a force carried now. The buttons over the yard show more: thrust \
         lines, friction, bending.",
        wish: Wish::Shows(Overlay::Loads),
    },
    GuideStep {
        what: "Press X: the script goes on with the lift.",
        why: "It gives the same orders that you can give. Watch the gaps until both are enough. \
         Space pauses and resumes. Z is slow motion.",
        wish: Wish::Free,
    },
    GuideStep {
        what: "Press 8: look back.",
        why: "See what went wrong, what was gained, and each measure over time.",
        wish: Wish::At(Stage::LookBack),
    },
    GuideStep {
        what: "Drag along a plot or along the line of time.",
        why: "The yard goes back to that moment. An order given there restarts the lift from it. \
         The old run remains as a thin line.",
        wish: Wish::WentBack,
    },
];

/// The progress of the guided lift.
#[derive(Default)]
pub struct Guide {
    at: usize,
    /// How many orders had been given when the step began.
    records: usize,
}

impl Guide {
    /// How many steps there are.
    pub const STEPS: usize = STEPS.len();

    /// The current step; `None` once all are done.
    pub fn step(&self) -> Option<&'static GuideStep> {
        STEPS.get(self.at)
    }

    /// How many steps have been done.
    pub fn done(&self) -> usize {
        self.at
    }

    /// Moves to the next step once the user has done what this one waits for: by an action that
    /// is about to be carried out, or by the state of the session.
    pub(super) fn see(&mut self, action: Option<&Action>, play: &Play, stage: Stage, on: Overlays) {
        let Some(step) = self.step() else { return };
        // Looking back takes some orders back.
        self.records = self.records.min(play.records().len());
        let done = match &step.wish {
            Wish::Turned => matches!(action, Some(Action::Turn(_))),
            Wish::Looked(view) => action == Some(&Action::Look(*view)),
            Wish::At(goal) => stage == *goal,
            Wish::Risen(m) => play.now().rise_m >= *m,
            Wish::Captured => play.records().iter().skip(self.records).any(has_captured),
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
            self.records = play.records().len();
        }
    }
}

/// Whether an order had the captures follow the load.
fn has_captured(record: &OrderRecord) -> bool {
    record.refused.is_none() && matches!(record.told, Told::Order(Order::Capture { .. }))
}
