//! What the window's systems share.

use crate::session::Session;
use crate::view::panels::input::Inputs;
use crate::view::yard::shown::YARDS;
use bevy::prelude::*;
use bevy_egui::egui;

/// When what was asked for is handed to the session.
#[derive(SystemSet, Clone, Debug, PartialEq, Eq, Hash)]
pub struct ActionsCarriedOut;

/// The session that the window drives.
#[derive(Resource, Deref, DerefMut)]
pub struct CurrentSession(pub Session);

/// What came of the panels and the keys in the last frame.
#[derive(Resource)]
pub struct WindowInput {
    pub inputs: Inputs,
    /// The parts of the window that the panels left free for the yards, points.
    pub yards: [egui::Rect; YARDS],
    /// A text is being typed: keys are letters, not orders.
    pub typing: bool,
    /// Something on screen has the focus of the keyboard.
    pub focused: bool,
    pub zoom: f32,
}

impl Default for WindowInput {
    fn default() -> Self {
        Self {
            inputs: Inputs::default(),
            yards: [egui::Rect::NOTHING; YARDS],
            typing: false,
            focused: false,
            zoom: 1.0,
        }
    }
}
