//! The chosen thing of the set-up: what is wrong with it, its figures, and what can be done
//! with it.

use super::icon::Icon;
use super::input::Inputs;
use super::problems::problems;
use super::typing::typing;
use super::widget::{self, ButtonState, button, chip, press};
use super::words::capital;
use crate::draft::{
    Edit, Entry, Field, Item, ItemKind, Refers, fields, from_typed, in_units, sole_parts, to_typed,
};
use crate::scene::tree::{Node, Place, Value};
use crate::session::{Action, Ask, Bench};
use crate::units::{Dimension, UnitSystem};
use crate::view::theme;
use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

/// Degrees as files have them; the window has their sign.
const DEGREES: &str = " deg";

/// The chosen thing: what is wrong with it, its figures, what can be done with it.
pub fn chosen(ui: &mut Ui, units: UnitSystem, bench: &Bench, actions: &mut Inputs) {
    let doc = bench.draft.doc();
    let Some(item) = bench.selected else {
        if bench.planning {
            widget::heading(ui, "No order chosen");
            widget::body(ui, "Choose an order of the plan on the left, or add one.");
            problems(ui, units, bench, None);
            return;
        }
        widget::heading(ui, "Nothing chosen");
        widget::body(
            ui,
            "Add equipment, or click on it in the yard. Drag it or nudge it \
             with the arrow keys. Its figures are here.",
        );
        problems(ui, units, bench, None);
        return;
    };
    name_line(ui, bench, item, actions);
    problems(ui, units, bench, Some(item));
    for field in fields(item.kind) {
        field_line(ui, units, bench, item, *field, actions);
    }
    if let Some(snapped) = &bench.snapped {
        let to: Vec<&str> = snapped.to.iter().flatten().map(String::as_str).collect();
        if !to.is_empty() {
            widget::soft(ui, format!("Placed {}.", to.join(", ")));
        }
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 5.0);
        let placed = item.at(doc).is_some();
        let sized = item.node(doc).is_some_and(|n| n.get("size").is_some());
        let brought = ItemKind::BROUGHT.contains(&item.kind);
        let mirrored = brought && item.kind != ItemKind::Beam;
        let about = "The same on the other side";
        for (show, what, pressed) in [
            (mirrored, Ask::Mirror, press("Mirror", "X", about).with(Icon::Mirror)),
            (placed, Ask::Centre, press("Centre", "O", "Onto the middle line")),
            (sized, Ask::Turn, press("Turn", "R", "A quarter turn").with(Icon::Again)),
            (
                brought,
                Ask::Remove,
                press("Remove", "Del", "With what lies on it").with(Icon::Remove),
            ),
        ] {
            if show && chip(ui, pressed, false).clicked() {
                actions.push(Action::Bench(what));
            }
        }
    });
    problems(ui, units, bench, None);
}

/// The name, which can be typed over.
fn name_line(ui: &mut Ui, bench: &Bench, item: Item, actions: &mut Inputs) {
    let name = item.name(bench.draft.doc());
    ui.horizontal(|ui| {
        let noun = item.kind.noun();
        if item.kind.single() {
            widget::heading(ui, &capital(noun));
            return;
        }
        widget::heading(ui, &capital(noun));
        let id = ui.id().with(("name", item));
        if let Some(typed) = typing(ui, id, &name, ui.available_width(), "name") {
            actions.push(Action::Bench(Ask::Edit(Edit::Rename(item, typed))));
        }
    });
}

fn field_line(
    ui: &mut Ui,
    units: UnitSystem,
    bench: &Bench,
    item: Item,
    field: Field,
    actions: &mut Inputs,
) {
    // Hoses that are not written out lead one to each bag.
    let value = field.value(item.node(bench.draft.doc()));
    let mut set = |value: Value| {
        actions.push(Action::Bench(Ask::Edit(Edit::Set { item, key: field.key, value })));
    };
    ui.horizontal(|ui| {
        label(ui, field);
        let (width, id) = (ui.available_width(), ui.id().with((item, field.key)));
        let input = FieldInput { field, value: &value, units, id, width };
        match field.entry {
            Entry::Flag => input.flag(ui, &mut set),
            Entry::Count(least, most) => input.count(ui, [least, most], &mut set),
            Entry::Pair => input.pair(ui, &mut set),
            Entry::Group(_) => {
                ui.vertical(|ui| input.sole_plate(ui, &mut set));
            }
            Entry::Quantity(_) | Entry::Lengths(_) => input.quantity(ui, &mut set),
            _ => {
                // At the height of its label.
                ui.vertical(|ui| input.choice(ui, bench, item, &mut set));
            }
        }
    });
}

/// What a field is called, on the left of its line.
fn label(ui: &mut Ui, field: Field) {
    // Two figures need more room than one.
    let wide = if field.entry == Entry::Pair { 104.0 } else { 124.0 };
    let (rect, _) = ui.allocate_exact_size(vec2(wide, 27.0), Sense::hover());
    let label = ui.painter().layout_job(egui::text::LayoutJob {
        wrap: egui::text::TextWrapping::truncate_at_width(rect.width()),
        ..egui::text::LayoutJob::simple_singleline(
            field.label().to_owned(),
            theme::plain(theme::BODY),
            theme::SOFT.on(ui),
        )
    });
    let y = rect.center().y - 0.5 * label.size().y;
    ui.painter().galley(egui::pos2(rect.min.x, y), label, theme::SOFT.on(ui));
}

/// Where a field's value is changed, on the right of its label: one way for each kind of entry.
/// Each hands a new value to `set`.
#[derive(Clone, Copy)]
struct FieldInput<'a> {
    field: Field,
    value: &'a Value,
    units: UnitSystem,
    id: egui::Id,
    /// Room for it, points.
    width: f32,
}

impl FieldInput<'_> {
    /// A length of a file in the reader's units.
    fn length(self, written: &str) -> String {
        in_units(written, Dimension::Length, self.units)
    }

    /// Yes or no.
    fn flag(self, ui: &mut Ui, set: &mut impl FnMut(Value)) {
        let on = *self.value == Value::Flag(true);
        if chip(ui, press(if on { "yes" } else { "no" }, "", self.field.label()), on).clicked() {
            set(Value::Flag(!on));
        }
    }

    /// A whole number, one less or one more.
    fn count(self, ui: &mut Ui, [least, most]: [usize; 2], set: &mut impl FnMut(Value)) {
        let now = match self.value {
            Value::Number(n) => *n,
            _ => least as f64,
        };
        for (sign, by) in [("\u{2212}", -1.0), ("+", 1.0)] {
            if by > 0.0 {
                let (rect, _) = ui.allocate_exact_size(vec2(34.0, 27.0), Sense::hover());
                ui.painter().text(
                    rect.center(),
                    egui::Align2::CENTER_CENTER,
                    format!("{now:.0}"),
                    theme::bold(theme::HEAD),
                    theme::INK.on(ui),
                );
            }
            let next = now + by;
            let fits = (least as f64..=most as f64).contains(&next);
            let look = if fits { ButtonState::Plain } else { ButtonState::Idle };
            if button(ui, press(sign, "", self.field.label()), look, 34.0).clicked() && fits {
                set(Value::Number(next));
            }
        }
    }

    /// Two lengths side by side.
    fn pair(self, ui: &mut Ui, set: &mut impl FnMut(Value)) {
        let mut parts: Vec<String> = match self.value {
            Value::List(items) => items.iter().map(|n| self.length(&to_typed(&n.value))).collect(),
            _ => Vec::new(),
        };
        parts.resize(2, String::new());
        let each = 0.5 * (self.width - theme::STEP);
        for (k, part) in parts.iter().enumerate() {
            let which = if k == 0 { "along" } else { "across" };
            let label = format!("{} {which}", self.field.label());
            let typed = ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                let typed = typing(ui, self.id.with(k), part, each, &label);
                widget::soft(ui, which);
                typed
            });
            if let Some(typed) = typed.inner {
                let mut both = parts.clone();
                both[k] = typed;
                set(from_typed(self.field.entry, &both.join(", "), self.units));
            }
        }
    }

    /// Whether there is a sole plate, and its three lengths below each other.
    fn sole_plate(self, ui: &mut Ui, set: &mut impl FnMut(Value)) {
        let parts = sole_parts(self.value);
        let on = parts.is_some();
        let about = "A board between the lowest timbers and the ground";
        let word = if on { "laid" } else { "none" };
        if chip(ui, press(word, "", about), on).clicked() {
            let typed = if on { "" } else { "0.9 m, 0.9 m, 1.5 in" };
            set(from_typed(self.field.entry, typed, self.units));
        }
        let Some(parts) = parts else { return };
        let parts = parts.map(|part| self.length(&part));
        for (k, which) in ["along", "across", "thick"].into_iter().enumerate() {
            ui.horizontal(|ui| {
                let label = format!("{} {which}", self.field.label());
                if let Some(typed) = typing(ui, self.id.with(k), &parts[k], 96.0, &label) {
                    let mut all = parts.clone();
                    all[k] = typed;
                    set(from_typed(self.field.entry, &all.join(", "), self.units));
                }
                widget::soft(ui, which);
            });
        }
    }

    /// One quantity, or a list of lengths, as it is typed.
    fn quantity(self, ui: &mut Ui, set: &mut impl FnMut(Value)) {
        let Self { field, value, units, id, width } = self;
        let shown = match (value, field.entry) {
            (Value::List(items), _) => {
                let parts = items.iter().map(|n| self.length(&to_typed(&n.value)));
                parts.collect::<Vec<_>>().join(", ")
            }
            (_, Entry::Quantity(dimension)) => {
                in_units(&to_typed(value), dimension, units).replace(DEGREES, "\u{00B0}")
            }
            _ => to_typed(value),
        };
        if let Some(typed) = typing(ui, id, &shown, width, field.label()) {
            let typed = typed.replace('\u{00B0}', DEGREES);
            set(from_typed(field.entry, &typed, units));
        }
    }

    /// One of some names, or several of them.
    fn choice(self, ui: &mut Ui, bench: &Bench, item: Item, set: &mut impl FnMut(Value)) {
        let Self { field, value, id, width, .. } = self;
        let doc = bench.draft.doc();
        // Nothing lies on itself.
        let names = |kinds: &[ItemKind]| -> Vec<String> {
            let all = kinds.iter().flat_map(|k| bench.draft.items(*k));
            all.filter(|i| *i != item).map(|i| i.name(doc)).collect()
        };
        let choices: Vec<String> = match field.entry {
            Entry::Name(Refers::Support) | Entry::Names(Refers::Support) => {
                names(&[ItemKind::Stack, ItemKind::Bag])
            }
            Entry::Name(Refers::Bag) => names(&[ItemKind::Bag]),
            Entry::Names(Refers::Opening) => {
                let openings = &bench.draft.seen().scene.vehicle.openings;
                openings.iter().map(|o| o.name.clone()).collect()
            }
            _ => field.choices().into_iter().map(str::to_owned).collect(),
        };
        let several = matches!(field.entry, Entry::Names(_));
        let chosen: Vec<String> = match value {
            Value::List(items) => items.iter().map(|n| to_typed(&n.value)).collect(),
            other => vec![to_typed(other)],
        };
        let shown = egui::ComboBox::from_id_salt(id)
            .selected_text(RichText::new(to_typed(value)).font(theme::plain(theme::BODY)))
            .width(width)
            .truncate()
            .show_ui(ui, |ui| {
                for name in choices {
                    let on = chosen.contains(&name);
                    let text =
                        if several && on { format!("\u{2713} {name}") } else { name.clone() };
                    if !ui.selectable_label(on, text).clicked() {
                        continue;
                    }
                    if several {
                        let mut all = chosen.clone();
                        if on {
                            all.retain(|n| *n != name);
                        } else {
                            all.push(name);
                        }
                        let node = |text| Node { place: Place::Hand, value: Value::Text(text) };
                        set(Value::List(all.into_iter().map(node).collect()));
                    } else {
                        set(Value::Text(name));
                    }
                }
            });
        shown.response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::WidgetType::ComboBox, true, field.label())
        });
    }
}
