//! The title of the window.

use super::state::CurrentSession;
use crate::session::{Screen, Stage};
use bevy::prelude::*;
use bevy::window::PrimaryWindow;

/// The window's title tells the scene, the stage and how it stands.
pub fn entitle(session: Res<CurrentSession>, mut window: Single<&mut Window, With<PrimaryWindow>>) {
    // The room is not to read there what it is asked.
    let class = session.class().map(|class| (class.step() + 1, class.class().steps.len()));
    let title = match (class, session.screen()) {
        (Some((step, steps)), Screen::Settling(_)) => {
            format!("Class, step {step} of {steps}, being set up - Inchwise")
        }
        (Some((step, steps)), _) => format!("Class, step {step} of {steps} - Inchwise"),
        (None, Screen::Shelf) => "Inchwise".into(),
        (None, Screen::Settling(settling)) => {
            format!("{}, being set up - Inchwise", settling.scene().name)
        }
        (None, Screen::Lift(play)) => {
            let name = &play.scene().name;
            let stage = Stage::ALL.into_iter().find(|(stage, _)| *stage == session.stage());
            let stage = stage.map_or_else(String::new, |(_, word)| word.to_lowercase());
            let limbs = &play.scene().limbs;
            let clear = limbs.iter().zip(&play.now().limbs);
            let clear = clear.filter(|(limb, now)| now.is_clear(limb.gap_needed_m)).count();
            let failure = match play.findings().first() {
                None => "no failures".into(),
                Some(first) => first.cause().say().to_lowercase(),
            };
            let gaps = format!("{clear} of {} gaps enough", limbs.len());
            format!("{name}, {stage}: {gaps}, {failure} - Inchwise")
        }
    };
    if window.title != title {
        window.title = title;
    }
}
