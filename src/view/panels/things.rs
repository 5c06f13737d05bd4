//! What can be brought to the set-up, and what is there.

use super::bring::BRING;
use super::icon::Icon;
use super::input::Inputs;
use super::widget::{self, ButtonState, button, press, section};
use crate::draft::{Edit, Item, ItemKind};
use crate::scene::CarriedBy;
use crate::scene::tree::Node;
use crate::session::{Action, Ask, Bench};
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, Rect, Sense, Ui, vec2};

pub fn bring(ui: &mut Ui, actions: &mut Inputs) {
    widget::heading(ui, "Add");
    let half = 0.5 * (ui.available_width() - theme::STEP);
    for pair in BRING.chunks(2) {
        ui.horizontal(|ui| {
            for (kind, sign, text, key, about) in pair {
                let what = press(text, key, about).with(*sign);
                if button(ui, what, ButtonState::Plain, half).clicked() {
                    actions.push(Action::Bench(Ask::Bring(*kind)));
                }
            }
        });
    }
    ui.add_space(0.5 * theme::STEP);
}

/// Everything that was brought, kind by kind, and what was there before.
pub fn there(ui: &mut Ui, units: UnitSystem, bench: &Bench, actions: &mut Inputs) {
    let doc = bench.draft.doc();
    widget::heading(ui, "On scene");
    let is_there = |kind: &ItemKind| !bench.draft.items(*kind).is_empty();
    let any = ItemKind::BROUGHT.iter().any(is_there);
    if !any {
        widget::soft(ui, "No equipment yet.");
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    for kind in ItemKind::BROUGHT.into_iter().chain(ItemKind::FOUND).filter(is_there) {
        section(ui, &title(kind));
        for item in bench.draft.items(kind) {
            row(ui, units, bench, item, doc, actions);
        }
    }
    ui.add_space(theme::STEP);
    if any
        && button(
            ui,
            press("Clear the set-up", "", "Removes all equipment and the plan; undo restores them")
                .with(Icon::Remove),
            ButtonState::Plain,
            0.0,
        )
        .clicked()
    {
        actions.push(Action::Bench(Ask::Edit(Edit::Bare)));
    }
}

fn title(kind: ItemKind) -> String {
    match kind {
        ItemKind::Stack => "STACKS",
        ItemKind::Bag => "BAGS",
        ItemKind::Wedge => "WEDGES",
        ItemKind::Beam => "BEAM",
        ItemKind::Capture => "CAPTURES",
        ItemKind::VoidFill => "VOID FILL",
        ItemKind::Chock => "CHOCKS",
        ItemKind::StepChock => "STEP CHOCKS",
        ItemKind::Strut => "STRUTS",
        ItemKind::Strap => "STRAPS",
        ItemKind::Outlet => "HOSES",
        ItemKind::Limb => "TRAPPED",
        ItemKind::Person => "PEOPLE",
        ItemKind::Air => "AIR SUPPLY",
        ItemKind::Ground => "GROUND",
    }
    .into()
}

fn row(
    ui: &mut Ui,
    units: UnitSystem,
    bench: &Bench,
    item: Item,
    doc: &Node,
    actions: &mut Inputs,
) {
    let on = bench.selected == Some(item);
    let faulty = bench.draft.seen().faulty(doc, item);
    let name = item.name(doc);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::WidgetType::Button, true, on, &name));
    let painter = ui.painter();
    if on {
        painter.rect_filled(rect, 5.0, theme::PALE_BLUE.on(ui));
        painter.rect_filled(
            Rect::from_min_size(rect.min, vec2(4.0, 26.0)),
            2.0,
            theme::BLUE.on(ui),
        );
    } else if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 5.0, theme::SUNK.on(ui));
    }
    let mut x = rect.min.x + 10.0;
    if faulty {
        widget::pin(painter, egui::pos2(x + 7.0, rect.center().y), 7.0, "!");
        x += 20.0;
    }
    let line = |text: &str, font, color, width: f32| {
        ui.painter().layout_job(egui::text::LayoutJob {
            wrap: egui::text::TextWrapping::truncate_at_width(width.max(20.0)),
            ..egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color)
        })
    };
    let font = if on { theme::bold(theme::BODY) } else { theme::plain(theme::BODY) };
    let about = about(units, bench, item);
    let words = line(&name, font, theme::INK.on(ui), rect.max.x - 8.0 - x);
    let room = rect.max.x - 8.0 - x - words.size().x - 10.0;
    let about = line(&about, theme::plain(theme::SMALL), theme::SOFT.on(ui), room);
    let told = !about.elided;
    let middle = |h: f32| rect.center().y - 0.5 * h;
    painter.galley(egui::pos2(x, middle(words.size().y)), words, theme::INK.on(ui));
    let at = egui::pos2(rect.max.x - 8.0 - about.size().x, middle(about.size().y));
    // The name comes first: its figure is on the right, too.
    if told {
        painter.galley(at, about, theme::SOFT.on(ui));
    }
    if response.on_hover_text("Chooses it; its figures are on the right").clicked() {
        actions.push(Action::Bench(Ask::Select(Some(item))));
    }
}

/// What matters most of a thing, in few words.
fn about(units: UnitSystem, bench: &Bench, item: Item) -> String {
    let scene = &bench.draft.seen().scene;
    let i = item.index;
    let text = || {
        Some(match item.kind {
            ItemKind::Stack => format!("{} high", units.gap(scene.stacks.get(i)?.height_m())),
            ItemKind::Bag => {
                let bag = scene.bags.get(i)?;
                format!("{} x {}", units.gap(bag.size[0]), units.gap(bag.size[1]))
            }
            ItemKind::Wedge => {
                let name = match scene.wedges.get(i)?.on {
                    CarriedBy::Bag(bag) => &scene.bags.get(bag)?.name,
                    CarriedBy::Stack(stack) => &scene.stacks.get(stack)?.name,
                };
                format!("on {name}")
            }
            ItemKind::Beam => units.span(scene.beam.as_ref()?.length_m),
            ItemKind::Capture => {
                let c = scene.captures.get(i)?;
                format!("{} + {} at hand", c.layers, c.steps)
            }
            ItemKind::VoidFill => scene.void_fill.get(i)?.timber.nominal.to_owned(),
            ItemKind::Chock => {
                let staked = scene.chocks.get(i)?.staked;
                if staked { "staked" } else { "by friction" }.to_owned()
            }
            ItemKind::StepChock => {
                let chock = scene.step_chocks.get(i)?;
                format!("{} steps of {}", chock.steps, units.gap(chock.rise_m))
            }
            ItemKind::Strut => {
                format!("rated for {}", units.force(scene.struts.get(i)?.capacity_n))
            }
            ItemKind::Strap => {
                format!("holds {}", units.force(scene.straps.get(i)?.capacity_n))
            }
            ItemKind::Outlet => {
                let bags = scene.air.outlets.get(i)?.bags();
                let bags = bags.filter_map(|bag| scene.bags.get(bag));
                let names: Vec<&str> = bags.map(|bag| bag.name.as_str()).collect();
                format!("to {}", names.join(" and "))
            }
            ItemKind::Limb => format!("needs {}", units.gap(scene.limbs.get(i)?.gap_needed_m)),
            ItemKind::Person => scene.people.get(i)?.lies.word().to_owned(),
            ItemKind::Air => units.free_air(scene.air.cylinder_m3),
            ItemKind::Ground => scene.ground.surface.to_string(),
        })
    };
    text().unwrap_or_default()
}
