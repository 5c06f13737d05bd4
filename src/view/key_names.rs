//! The keys of stages and overlays as the panels and the legend write them; `window/keys.rs`
//! listens to the same.

use crate::session::{Overlay, Stage};

/// The key of a stage.
pub fn stage_key(stage: Stage) -> &'static str {
    match stage {
        Stage::SizeUp => "5",
        Stage::SetUp => "6",
        Stage::Lift => "7",
        Stage::LookBack => "8",
    }
}

/// The key of an overlay.
pub fn overlay_key(overlay: Overlay) -> &'static str {
    match overlay {
        Overlay::Gaps => "G",
        Overlay::Loads => "L",
        Overlay::Thrust => "T",
        Overlay::Corners => "Y",
        Overlay::Friction => "F",
        Overlay::Moment => "J",
        Overlay::Mass => "M",
    }
}
