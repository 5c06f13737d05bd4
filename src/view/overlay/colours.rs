//! The colours of the overlays, the same by day and by night: they lie over the yard.

use crate::view::theme;
use bevy_egui::egui::Color32;

pub const LOAD: Color32 = theme::BLUE.day;
pub const THRUST: Color32 = theme::PURPLE.day;
pub const GAP: Color32 = theme::GREEN.day;
pub const CONE: Color32 = theme::INK.day;
pub const BENDING: Color32 = theme::OCHRE.day;
pub const MASS: Color32 = theme::INK.day;
pub const FAILED: Color32 = theme::VERMILION.day;
