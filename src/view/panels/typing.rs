//! A field of text.

use crate::view::theme;
use bevy_egui::egui::{self, Margin, Ui};

/// A field of text that is done with Enter or by leaving it; what was typed, once.
pub fn typing(ui: &mut Ui, id: egui::Id, value: &str, width: f32, label: &str) -> Option<String> {
    let held = ui.data(|d| d.get_temp::<String>(id));
    let mut text = held.clone().unwrap_or_else(|| value.to_owned());
    let edit = egui::TextEdit::singleline(&mut text)
        .id(id)
        .font(theme::plain(theme::BODY))
        .desired_width(width)
        .margin(Margin::symmetric(6, 3));
    let response = ui.add(edit);
    response.widget_info(|| {
        let mut info = egui::WidgetInfo::labeled(egui::WidgetType::TextEdit, true, label);
        info.current_text_value = Some(text.clone());
        info
    });
    if response.has_focus() {
        if response.gained_focus() {
            // All of it is chosen, so that typing replaces it.
            if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), id) {
                let all = egui::text::CCursorRange::two(
                    egui::text::CCursor::new(0),
                    egui::text::CCursor::new(text.chars().count()),
                );
                state.cursor.set_char_range(Some(all));
                state.store(ui.ctx(), id);
            }
        }
        ui.data_mut(|d| d.insert_temp(id, text));
        return None;
    }
    if response.lost_focus() || held.is_some() {
        ui.data_mut(|d| d.remove::<String>(id));
        let given_up = ui.input(|i| i.key_pressed(egui::Key::Escape));
        return held.filter(|held| !given_up && held.trim() != value.trim());
    }
    None
}
