//! The set-up stage around the yard: what can be brought and what is there on the left,
//! the chosen thing's figures and what the sheet says on the right, what was done below.
//! Plain egui functions from a [`Bench`] to [`Inputs`]; they know nothing of Bevy.

use super::bring::BRING;
use super::head::{bands, sights};
use super::input::{Inputs, Pointer};
use super::layout::{BUTTONS_HIGH, LEFT, RIGHT, column, strip};
use super::state::LiftState;
use super::typing::typing;
use super::widget::{self, Look, button, chip, press, section};
use super::{guide, plan};
use crate::draft::{
    Edit, Entry, Field, Item, Kind, Refers, fields, from_typed, in_units, sole_parts, to_typed,
};
use crate::scene::doc::{Node, Place, Value};
use crate::session::{Action, Ask, Bench, Stage};
use crate::statics::sheet::{Row, Verdict};
use crate::units::{Dimension, System};
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Margin, Rect, RichText, Sense, Ui, vec2};

fn ask(actions: &mut Inputs, ask: Ask) {
    actions.push(Action::Bench(ask));
}

/// Draws the stage; gives what was asked for, and the free rectangle for the yard.
pub fn screen(ui: &mut Ui, s: &LiftState<'_>, bench: &Bench) -> (Inputs, Rect) {
    let mut actions = Inputs::default();
    bands(ui, s, &bench.draft.seen().scene, &mut actions);
    strip(ui, "bench", BUTTONS_HIGH, |ui| done(ui, bench, s.units, &mut actions));
    column(ui, egui::Panel::left("bring"), LEFT, |ui| {
        sides(ui, bench, &mut actions);
        if bench.planning {
            plan::list(ui, s.units, bench, &mut actions);
        } else {
            bring(ui, &mut actions);
            there(ui, s.units, bench, &mut actions);
        }
    });
    column(ui, egui::Panel::right("chosen"), RIGHT, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        match bench.order {
            Some(index) => {
                plan::chosen(ui, s.units, bench, index, &mut actions);
                problems(ui, s.units, bench, None);
            }
            None => chosen(ui, s.units, bench, &mut actions),
        }
        verdicts(ui, s.units, bench);
    });
    sights(ui, s, &mut actions);
    let yard = ui.available_rect_before_wrap();
    hand(ui, yard, &mut actions);
    if let Some(guide) = s.guide {
        guide::card(ui, guide, yard, &mut actions);
    }
    if let Some(text) = &bench.note {
        note(ui, yard, text);
    }
    if bench.naming {
        naming(ui, bench, &mut actions);
    }
    (actions, yard)
}

/// What came of the last thing that was asked for, or why not, over the foot of the yard and
/// above its legend; hands reach through it.
fn note(ui: &Ui, yard: Rect, text: &str) {
    egui::Area::new("note".into())
        .pivot(egui::Align2::CENTER_BOTTOM)
        .fixed_pos(yard.center_bottom() - vec2(0.0, 60.0))
        .interactable(false)
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(Margin::symmetric(14, 9)).show(ui, |ui| {
                ui.set_max_width((yard.width() - 80.0).clamp(120.0, 560.0));
                ui.label(RichText::new(text).font(theme::bold(theme::BODY)));
            });
        });
}

/// Dragging things and walking around.
fn hand(ui: &mut Ui, yard: Rect, actions: &mut Inputs) {
    let response = ui.interact(yard, ui.id().with("yard"), Sense::click_and_drag());
    let point = |p: egui::Pos2| [p.x, p.y];
    let primary = egui::PointerButton::Primary;
    let at = response.interact_pointer_pos();
    if (response.dragged_by(primary) || response.drag_stopped_by(primary))
        && let Some(at) = at
    {
        let from = ui.input(|i| i.pointer.press_origin()).unwrap_or(at);
        let by = response.drag_delta();
        let done = response.drag_stopped_by(primary);
        let (from, to, by) = (point(from), point(at), [by.x, by.y]);
        actions.push(Pointer::Drag { from, to, by, done });
    } else if response.clicked_by(primary)
        && let Some(at) = at
    {
        actions.push(Pointer::Choose(point(at)));
    } else if response.drag_delta() != egui::Vec2::ZERO {
        let by = response.drag_delta();
        actions.push(Action::Shift([by.x, by.y]));
    }
    let scroll = ui.input(|i| i.smooth_scroll_delta().y);
    if response.hovered() && scroll != 0.0 {
        actions.push(Action::Nearer(scroll));
    }
}

/// What is worked on: the things of the set-up, or the plan of the lift.
fn sides(ui: &mut Ui, bench: &Bench, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let half = 0.5 * (ui.available_width() - theme::STEP);
        for (text, key, planning, about) in [
            ("Things", "", false, "What is brought and what is there"),
            ("Plan", "Q", true, "The orders of the lift, in turn"),
        ] {
            let look = if bench.planning == planning { Look::On } else { Look::Plain };
            if button(ui, press(text, key, about), look, half).clicked() {
                ask(actions, Ask::Planning(planning));
            }
        }
    });
}

fn bring(ui: &mut Ui, actions: &mut Inputs) {
    widget::heading(ui, "Bring");
    let half = 0.5 * (ui.available_width() - theme::STEP);
    for pair in BRING.chunks(2) {
        ui.horizontal(|ui| {
            for (kind, text, key, about) in pair {
                if button(ui, press(text, key, about), Look::Plain, half).clicked() {
                    ask(actions, Ask::Bring(*kind));
                }
            }
        });
    }
    ui.add_space(0.5 * theme::STEP);
}

/// Everything that was brought, kind by kind, and what was there before.
fn there(ui: &mut Ui, units: System, bench: &Bench, actions: &mut Inputs) {
    let doc = bench.draft.doc();
    widget::heading(ui, "What is there");
    let brought: Vec<Kind> =
        Kind::BROUGHT.into_iter().filter(|k| !bench.draft.items(*k).is_empty()).collect();
    if brought.is_empty() {
        widget::soft(ui, "Nothing has been brought yet.");
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    for kind in brought.into_iter().chain(Kind::FOUND) {
        section(ui, &title(kind));
        for item in bench.draft.items(kind) {
            row(ui, units, bench, item, doc, actions);
        }
    }
    ui.add_space(theme::STEP);
    let any = Kind::BROUGHT.into_iter().any(|k| !bench.draft.items(k).is_empty());
    if any
        && button(
            ui,
            press(
                "Clear the set-up",
                "",
                "Takes away all that was brought, and the plan; undo brings it back",
            ),
            Look::Plain,
            0.0,
        )
        .clicked()
    {
        ask(actions, Ask::Edit(Edit::Bare));
    }
}

fn title(kind: Kind) -> String {
    match kind {
        Kind::Stack => "STACKS",
        Kind::Bag => "BAGS",
        Kind::Wedge => "WEDGES",
        Kind::Beam => "BEAM",
        Kind::Capture => "CAPTURES",
        Kind::VoidFill => "VOID FILL",
        Kind::Chock => "CHOCKS",
        Kind::Outlet => "HOSES",
        Kind::Limb => "CASUALTY",
        Kind::Air => "AIR SUPPLY",
        Kind::Ground => "GROUND",
    }
    .into()
}

fn row(ui: &mut Ui, units: System, bench: &Bench, item: Item, doc: &Node, actions: &mut Inputs) {
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
        widget::finding_sign(painter, egui::pos2(x + 7.0, rect.center().y), 7.0);
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
    let words = line(&name, font, theme::INK.on(ui), 0.62 * rect.width());
    let room = rect.max.x - 8.0 - x - words.size().x - 10.0;
    let about = line(&about, theme::plain(theme::SMALL), theme::SOFT.on(ui), room);
    let middle = |h: f32| rect.center().y - 0.5 * h;
    painter.galley(egui::pos2(x, middle(words.size().y)), words, theme::INK.on(ui));
    let at = egui::pos2(rect.max.x - 8.0 - about.size().x, middle(about.size().y));
    painter.galley(at, about, theme::SOFT.on(ui));
    if response.on_hover_text("Chooses it; its figures stand on the right").clicked() {
        ask(actions, Ask::Select(Some(item)));
    }
}

/// What matters most of a thing, in few words.
fn about(units: System, bench: &Bench, item: Item) -> String {
    let scene = &bench.draft.seen().scene;
    let i = item.index;
    let text = || {
        Some(match item.kind {
            Kind::Stack => format!("{} high", units.gap(scene.stacks.get(i)?.height_m())),
            Kind::Bag => {
                let bag = scene.bags.get(i)?;
                format!("{} x {}", units.gap(bag.size[0]), units.gap(bag.size[1]))
            }
            Kind::Wedge => {
                let bag = scene.bags.get(scene.wedges.get(i)?.on)?;
                format!("on {}", bag.name)
            }
            Kind::Beam => units.span(scene.beam.as_ref()?.length_m),
            Kind::Capture => {
                let c = scene.captures.get(i)?;
                format!("{} + {} at hand", c.layers, c.steps)
            }
            Kind::VoidFill => scene.void_fill.get(i)?.timber.nominal.to_owned(),
            Kind::Chock => {
                let staked = scene.chocks.get(i)?.staked;
                if staked { "staked" } else { "by friction" }.to_owned()
            }
            Kind::Outlet => {
                format!("to {}", scene.bags.get(scene.air.outlets.get(i)?.to)?.name)
            }
            Kind::Limb => format!("needs {}", units.gap(scene.limbs.get(i)?.gap_needed_m)),
            Kind::Air => units.free_air(scene.air.cylinder_m3),
            Kind::Ground => scene.ground.surface.to_string(),
        })
    };
    text().unwrap_or_default()
}

/// The chosen thing: what is wrong with it, its figures, what can be done with it.
fn chosen(ui: &mut Ui, units: System, bench: &Bench, actions: &mut Inputs) {
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
            "Bring something, or click on a thing in the yard or on the left. Drag it over the \
             ground, nudge it with the arrow keys, or type its figures here.",
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
            widget::soft(ui, format!("Stands {}.", to.join(", ")));
        }
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 5.0);
        let placed = item.at(doc).is_some();
        let sized = item.node(doc).is_some_and(|n| n.get("size").is_some());
        let brought = Kind::BROUGHT.contains(&item.kind);
        for (text, key, show, what, about) in [
            (
                "Mirror",
                "X",
                brought && item.kind != Kind::Beam,
                Ask::Mirror,
                "The same on the other side",
            ),
            ("Centre", "O", placed, Ask::Centre, "Onto the middle line"),
            ("Turn", "R", sized, Ask::Turn, "A quarter turn"),
            ("Remove", "Del", brought, Ask::Remove, "With what lies on it"),
        ] {
            if show && chip(ui, press(text, key, about), false).clicked() {
                ask(actions, what);
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
            ask(actions, Ask::Edit(Edit::Rename(item, typed)));
        }
    });
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().to_string() + letters.as_str()).unwrap_or_default()
}

fn field_line(
    ui: &mut Ui,
    units: System,
    bench: &Bench,
    item: Item,
    field: Field,
    actions: &mut Inputs,
) {
    let doc = bench.draft.doc();
    // Hoses that are not written out lead one to each bag.
    let value = field.value(item.node(doc));
    let length = |written: &str| in_units(written, Dimension::Length, units);
    let mut set = |value: Value| ask(actions, Ask::Edit(Edit::Set { item, key: field.key, value }));
    ui.horizontal(|ui| {
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
        let width = ui.available_width();
        let id = ui.id().with((item, field.key));
        match field.entry {
            Entry::Flag => {
                let on = value == Value::Flag(true);
                if chip(ui, press(if on { "yes" } else { "no" }, "", field.label()), on).clicked() {
                    set(Value::Flag(!on));
                }
            }
            Entry::Count(least, most) => {
                let now = match value {
                    Value::Number(n) => n,
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
                    let look = if fits { Look::Plain } else { Look::Idle };
                    if button(ui, press(sign, "", field.label()), look, 34.0).clicked() && fits {
                        set(Value::Number(next));
                    }
                }
            }
            Entry::Pair => {
                let mut parts: Vec<String> = match &value {
                    Value::List(items) => {
                        items.iter().map(|n| length(&to_typed(&n.value))).collect()
                    }
                    _ => Vec::new(),
                };
                parts.resize(2, String::new());
                let each = 0.5 * (width - theme::STEP);
                for (k, part) in parts.iter().enumerate() {
                    let which = if k == 0 { "along" } else { "across" };
                    let label = format!("{} {which}", field.label());
                    if let Some(typed) = typing(ui, id.with(k), part, each, &label) {
                        let mut both = parts.clone();
                        both[k] = typed;
                        set(from_typed(field.entry, &both.join(", "), units));
                    }
                }
            }
            Entry::Group(_) => {
                let parts = sole_parts(&value);
                ui.vertical(|ui| {
                    let on = parts.is_some();
                    let about = "A board between the lowest timbers and the ground";
                    let word = if on { "laid" } else { "none" };
                    if chip(ui, press(word, "", about), on).clicked() {
                        let typed = if on { "" } else { "0.9 m, 0.9 m, 1.5 in" };
                        set(from_typed(field.entry, typed, units));
                    }
                    let Some(parts) = parts else { return };
                    let parts = parts.map(|part| length(&part));
                    for (k, which) in ["along", "across", "thick"].into_iter().enumerate() {
                        ui.horizontal(|ui| {
                            let label = format!("{} {which}", field.label());
                            if let Some(typed) = typing(ui, id.with(k), &parts[k], 96.0, &label) {
                                let mut all = parts.clone();
                                all[k] = typed;
                                set(from_typed(field.entry, &all.join(", "), units));
                            }
                            widget::soft(ui, which);
                        });
                    }
                });
            }
            Entry::Quantity(_) | Entry::Lengths(_) => {
                let shown = match (&value, field.entry) {
                    (Value::List(items), _) => {
                        let parts = items.iter().map(|n| length(&to_typed(&n.value)));
                        parts.collect::<Vec<_>>().join(", ")
                    }
                    (_, Entry::Quantity(dimension)) => {
                        in_units(&to_typed(&value), dimension, units)
                    }
                    _ => to_typed(&value),
                };
                if let Some(typed) = typing(ui, id, &shown, width, field.label()) {
                    set(from_typed(field.entry, &typed, units));
                }
            }
            _ => choice(ui, bench, id, (item, field), &value, width, &mut set),
        }
    });
}

/// One of some names, or several of them.
fn choice(
    ui: &mut Ui,
    bench: &Bench,
    id: egui::Id,
    (item, field): (Item, Field),
    value: &Value,
    width: f32,
    set: &mut impl FnMut(Value),
) {
    let doc = bench.draft.doc();
    // Nothing lies on itself.
    let names = |kinds: &[Kind]| -> Vec<String> {
        let all = kinds.iter().flat_map(|k| bench.draft.items(*k));
        all.filter(|i| *i != item).map(|i| i.name(doc)).collect()
    };
    let choices: Vec<String> = match field.entry {
        Entry::Name(Refers::Support) | Entry::Names(Refers::Support) => {
            names(&[Kind::Stack, Kind::Bag])
        }
        Entry::Name(Refers::Bag) => names(&[Kind::Bag]),
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
        .width(width - 8.0)
        .truncate()
        .show_ui(ui, |ui| {
            for name in choices {
                let on = chosen.contains(&name);
                let text = if several && on { format!("\u{2713} {name}") } else { name.clone() };
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
    shown
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::ComboBox, true, field.label()));
}

/// What does not fit: of one thing, or of everything else.
fn problems(ui: &mut Ui, units: System, bench: &Bench, item: Option<Item>) {
    let seen = bench.draft.seen();
    let doc = bench.draft.doc();
    let own = |p: &crate::scene::Problem, item: Item| {
        let one = crate::draft::Seen { problems: vec![p.clone()], ..seen.clone() };
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
                    widget::finding_sign(ui.painter(), rect.center(), 9.0);
                    ui.vertical(|ui| {
                        if item.is_none() {
                            let all = Kind::BROUGHT.into_iter().chain(Kind::FOUND);
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

/// The sheet beside the set-up: what fails first, then what is close, then what holds.
fn verdicts(ui: &mut Ui, units: System, bench: &Bench) {
    ui.add_space(4.0);
    widget::heading(ui, "On paper");
    let hold = bench.rows_hold();
    if !hold {
        let why = if bench.draft.seen().problems.is_empty() {
            "Being worked out."
        } else {
            "Worked out again once everything fits."
        };
        widget::soft(ui, why);
        if !bench.draft.seen().problems.is_empty() {
            return;
        }
    }
    let count = |v: Verdict| bench.rows.iter().filter(|r| r.verdict() == Some(v)).count();
    ui.horizontal_wrapped(|ui| {
        for v in [Verdict::Fails, Verdict::Close, Verdict::Holds] {
            let (sign, color) = sign_of(v, ui);
            ui.label(
                RichText::new(format!("{sign} {} {}", count(v), v.word()))
                    .font(theme::bold(theme::BODY))
                    .color(color),
            );
        }
    });
    if bench.rows.iter().all(|r| r.verdict().is_none()) {
        widget::soft(ui, "There is nothing to judge yet: bring what lifts.");
    }
    let mine = |row: &Row| bench.is_about_chosen(row);
    let mut rows: Vec<&Row> = bench.rows.iter().filter(|r| r.verdict().is_some()).collect();
    rows.sort_by_key(|row| {
        let order = match row.verdict() {
            Some(Verdict::Fails) => 0,
            Some(Verdict::Close) => 1,
            _ => 2,
        };
        (order, !mine(row))
    });
    for row in rows {
        let Some(verdict) = row.verdict() else { continue };
        let (sign, color) = sign_of(verdict, ui);
        let response = ui
            .horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
                ui.painter().text(
                    rect.center(),
                    egui::Align2::CENTER_CENTER,
                    sign,
                    theme::bold(theme::BODY),
                    color,
                );
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 0.0;
                    let font = if mine(row) { theme::bold } else { theme::plain };
                    let what = RichText::new(capital(&row.what())).font(font(theme::BODY));
                    ui.add(egui::Label::new(what).wrap());
                    let limit = row.limit.map(|l| l.figure().show(units));
                    let result = row.result.map(|r| r.show(units)).unwrap_or_default();
                    widget::soft(ui, format!("{result} of {}", limit.unwrap_or_default()));
                });
            })
            .response;
        response.on_hover_ui(|ui| {
            ui.set_max_width(380.0);
            widget::body(ui, &row.formula);
            widget::body(ui, &row.numbers);
            if !row.note.is_empty() {
                widget::body(ui, &row.note);
            }
            widget::soft(ui, &row.source);
        });
    }
}

fn sign_of(verdict: Verdict, ctx: &egui::Context) -> (&'static str, egui::Color32) {
    match verdict {
        Verdict::Fails => ("\u{00D7}", theme::VERMILION.on(ctx)),
        Verdict::Close => ("\u{25B2}", theme::PURPLE.on(ctx)),
        Verdict::Holds => ("\u{2713}", theme::GREEN.on(ctx)),
    }
}

/// What was done, how it is done, and the way on.
fn done(ui: &mut Ui, bench: &Bench, units: System, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let [undo, redo] = bench.draft.undoes();
        let look = |there: bool| if there { Look::Plain } else { Look::Idle };
        let about = |what: Option<&str>| what.map_or_else(|| "Nothing".to_owned(), capital);
        let what = about(undo);
        let pressed = button(ui, press("Undo", "Ctrl Z", &what), look(undo.is_some()), 0.0);
        if pressed.clicked() {
            ask(actions, Ask::Undo);
        }
        let what = about(redo);
        let pressed = button(ui, press("Redo", "Ctrl Y", &what), look(redo.is_some()), 0.0);
        if pressed.clicked() {
            ask(actions, Ask::Redo);
        }
        let both = if bench.both { Look::On } else { Look::Plain };
        let about = "What is done on one side is done on the other";
        if button(ui, press("Both sides", "E", about), both, 0.0).clicked() {
            ask(actions, Ask::Both);
        }
        let step = format!("Step {}", units.gap(bench.step_m(units)));
        let about = "How far an arrow key moves a thing: up to the nose, down to the tail, left \
                     and right across";
        if button(ui, press(&step, "N", about), Look::Plain, 0.0).clicked() {
            ask(actions, Ask::NextStep);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let ready = bench.draft.seen().ready().is_some();
            let look = if ready { Look::Main } else { Look::Idle };
            let about = "Builds it up and goes to the lift";
            if button(ui, press("To the lift", "Space", about), look, 0.0).clicked() {
                actions.push(Action::Stage(Stage::Lift));
            }
            if button(ui, press("Save as", "", "Under another name"), Look::Plain, 0.0).clicked() {
                ask(actions, Ask::SaveAs);
            }
            let look = if bench.draft.dirty() { Look::Plain } else { Look::Idle };
            let pressed = button(
                ui,
                press("Save", "Ctrl S", "As a scene file that opens again the same"),
                look,
                0.0,
            );
            if pressed.clicked() && bench.draft.dirty() {
                ask(actions, Ask::Save);
            }
            let text = if bench.draft.dirty() {
                "Not saved yet; nothing is lost if you leave."
            } else {
                ""
            };
            ui.add(
                egui::Label::new(
                    RichText::new(text).font(theme::plain(theme::SMALL)).color(theme::SOFT.on(ui)),
                )
                .truncate(),
            );
        });
    });
}

/// Under which name to save.
fn naming(ui: &mut Ui, bench: &Bench, actions: &mut Inputs) {
    let id = egui::Id::new("save under");
    let suggested = || {
        let name = &bench.draft.seen().scene.name;
        if bench.draft.path().is_some() { name.clone() } else { format!("{name}, my own") }
    };
    let mut name = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(suggested);
    let modal = egui::Modal::new(id.with("modal")).frame(theme::card(ui).inner_margin(20)).show(
        ui.ctx(),
        |ui| {
            ui.set_width(460.0);
            widget::heading(ui, "Save this set-up");
            let edit = egui::TextEdit::singleline(&mut name)
                .id(id)
                .font(theme::plain(theme::HEAD))
                .desired_width(440.0)
                .margin(Margin::symmetric(8, 6))
                .char_limit(80);
            let response = ui.add(edit);
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::WidgetType::TextEdit, true, "name of the set-up")
            });
            let path = bench.file_for(&name);
            let there = path.exists() && bench.draft.path() != Some(path.as_path());
            widget::soft(ui, format!("File: {}", path.display()));
            if there {
                ui.label(
                    RichText::new("There is a file of this name; saving replaces it.")
                        .font(theme::bold(theme::SMALL))
                        .color(theme::VERMILION.on(ui)),
                );
            }
            ui.add_space(theme::STEP);
            let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if !enter {
                response.request_focus();
            }
            let mut done = None;
            ui.horizontal(|ui| {
                let text = if there { "Replace it" } else { "Save it" };
                let named = !name.trim().is_empty();
                let look = if named { Look::Main } else { Look::Idle };
                // Enter never replaces a file.
                if (button(ui, press(text, "", "Writes the scene file"), look, 120.0).clicked()
                    || (enter && !there))
                    && named
                {
                    done = Some(Ask::SaveUnder(name.trim().to_owned()));
                }
                if button(
                    ui,
                    press("Not now", "Esc", "Goes on without saving; nothing is lost"),
                    Look::Plain,
                    0.0,
                )
                .clicked()
                {
                    done = Some(Ask::NotNow);
                }
            });
            done
        },
    );
    ui.data_mut(|d| d.insert_temp(id, name));
    let away = modal.should_close().then_some(Ask::NotNow);
    if let Some(done) = modal.inner.or(away) {
        ui.data_mut(|d| d.remove::<String>(id));
        ask(actions, done);
    }
}
