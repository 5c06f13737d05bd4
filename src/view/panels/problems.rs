//! What does not fit of the set-up.

use super::widget;
use super::words::capital;
use crate::draft::{Item, ItemKind};
use crate::session::Bench;
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

/// What does not fit: of one thing, or of everything else.
pub fn problems(ui: &mut Ui, units: UnitSystem, bench: &Bench, item: Option<Item>) {
    let seen = bench.draft.seen();
    let doc = bench.draft.doc();
    let own = |p: &crate::scene::Problem, item: Item| {
        let one = crate::draft::LastRead { problems: vec![p.clone()], ..seen.clone() };
        one.faulty(doc, item)
    };
    let listed: Vec<_> = seen
        .problems
        .iter()
        .filter(|p| match (item, bench.selected) {
            (Some(item), _) => own(p, item),
            (None, Some(chosen)) => !own(p, chosen),
            (None, None) => true,
        })
        .collect();
    if listed.is_empty() {
        return;
    }
    if item.is_none() {
        ui.add_space(4.0);
        widget::heading(ui, "What does not fit");
    }
    for problem in listed {
        egui::Frame::new().fill(theme::PALE_WARN.on(ui)).corner_radius(6).inner_margin(9).show(
            ui,
            |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 3.0;
                ui.horizontal_top(|ui| {
                    let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
                    widget::pin(ui.painter(), rect.center(), 9.0, "!");
                    ui.vertical(|ui| {
                        if item.is_none() {
                            let all = ItemKind::BROUGHT.into_iter().chain(ItemKind::FOUND);
                            let where_ = all
                                .flat_map(|kind| bench.draft.items(kind))
                                .find(|item| own(problem, *item))
                                .map_or_else(|| spoken(&problem.path), |item| item.name(doc));
                            ui.label(RichText::new(where_).font(theme::bold(theme::BODY)));
                        }
                        widget::body(ui, capital(problem.text.in_units(units)));
                    });
                });
            },
        );
    }
}

/// A field's path as one says it, where no thing of the set-up has it.
fn spoken(path: &str) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    match parts.as_slice() {
        ["orders", nth, ..] if let Ok(nth) = nth.parse::<usize>() => format!("Order {}", nth + 1),
        _ => path.replace(['.', '_'], " "),
    }
}
