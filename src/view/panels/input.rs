//! What the panels and the keys ask for in a frame.

use crate::session::{Action, Lever};

/// One thing that is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// An action of the session.
    Do(Action),
    /// An outlet's lever is held in this frame.
    Hold(usize, Lever),
    /// Something in the yard is pointed at.
    Pointer(Pointer),
}

/// What is pointed at, by places in the window, points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pointer {
    /// A drag over the bench's yard: from where it began to where it is, and how far it has
    /// gone in this frame.
    Drag { from: [f32; 2], to: [f32; 2], by: [f32; 2], done: bool },
    /// A thing on the bench is chosen.
    Choose([f32; 2]),
    /// A measurement is taken.
    Measure([f32; 2]),
}

impl From<Action> for Input {
    fn from(action: Action) -> Self {
        Self::Do(action)
    }
}

impl From<Pointer> for Input {
    fn from(pointer: Pointer) -> Self {
        Self::Pointer(pointer)
    }
}

/// All that is asked for in a frame, in turn.
#[derive(Debug, Default, PartialEq)]
pub struct Inputs(Vec<Input>);

impl Inputs {
    pub fn push(&mut self, input: impl Into<Input>) {
        self.0.push(input.into());
    }

    /// Gives everything away.
    pub fn take(&mut self) -> Vec<Input> {
        std::mem::take(&mut self.0)
    }

    pub fn extend(&mut self, more: Self) {
        self.0.extend(more.0);
    }
}
