//! The plan of the lift on the bench: the orders in turn, and the chosen one's words and
//! figures. Plain egui functions from a [`Bench`] to [`Action`]s.

use super::icon::Icon;
use super::input::Inputs;
use super::typing::typing;
use super::widget::{self, ButtonState, button, chip, press};
use crate::draft::order::{self, OrderTargets, VERBS, WAYS};
use crate::draft::{Entry, ItemKind, from_typed, in_units, to_typed};
use crate::scene::tree::{Node, Place, Value};
use crate::session::{Action, Ask, Bench};
use crate::units::{Dimension, UnitSystem};
use crate::view::theme;
use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

fn text(value: impl Into<String>) -> Node {
    Node { place: Place::Hand, value: Value::Text(value.into()) }
}

fn put(actions: &mut Inputs, orders: Vec<Node>, chosen: Option<usize>) {
    actions.push(Action::Bench(Ask::Plan { orders, chosen }));
}

/// Every order in words, in turn.
pub fn list(ui: &mut Ui, units: UnitSystem, bench: &Bench, actions: &mut Inputs) {
    let orders = order::orders_in(bench.draft.doc());
    let about = "Puts an order after the chosen one, or at the end";
    if button(ui, press("Add an order", "", about).with(Icon::Add), ButtonState::Plain, 0.0)
        .clicked()
    {
        let mut orders = orders.to_vec();
        let at = bench.order.map_or(orders.len(), |i| (i + 1).min(orders.len()));
        orders.insert(at, order::fresh(&bench.draft, &VERBS[0]));
        put(actions, orders, Some(at));
    }
    ui.spacing_mut().item_spacing.y = 2.0;
    if orders.is_empty() {
        widget::soft(ui, "No plan: the lift is made by hand.");
    }
    for index in 0..orders.len() {
        let on = bench.order == Some(index);
        let said = order::say(&bench.draft, index, units);
        let fill = if on { theme::PALE_BLUE.on(ui) } else { egui::Color32::TRANSPARENT };
        let frame = egui::Frame::new().fill(fill).corner_radius(5).inner_margin(vec2(8.0, 4.0));
        let shown = frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                widget::soft(ui, format!("{}", index + 1));
                let font = if on { theme::bold } else { theme::plain };
                let words = RichText::new(&said).font(font(theme::BODY));
                ui.add(egui::Label::new(words).wrap());
            });
        });
        let response =
            ui.interact(shown.response.rect, ui.id().with(("order", index)), Sense::click());
        let name = format!("order {}", index + 1);
        response
            .widget_info(|| egui::WidgetInfo::selected(egui::WidgetType::Button, true, on, &name));
        let response = response.on_hover_text("Chooses this order; its figures are on the right");
        if response.clicked() {
            actions.push(Action::Bench(Ask::Order(Some(index))));
        }
    }
}

/// The chosen order: what is told, whom it concerns, until when; and its place in the plan.
pub fn chosen(ui: &mut Ui, units: UnitSystem, bench: &Bench, index: usize, actions: &mut Inputs) {
    let orders = order::orders_in(bench.draft.doc());
    let Some(this) = orders.get(index) else { return };
    widget::heading(ui, &format!("Order {} of {}", index + 1, orders.len()));
    widget::body(ui, order::say(&bench.draft, index, units));
    let mut new: Option<Node> = None;
    let verb = order::verb_of(this);
    line(ui, "What", |ui| {
        let shown = verb.map_or("choose", |verb| verb.word);
        let words: Vec<String> = VERBS.iter().map(|v| v.word.to_owned()).collect();
        if let Some(k) = one_of(ui, "what is told", shown, &words) {
            let other = &VERBS[k];
            let mut fresh = order::fresh(&bench.draft, other);
            // Whom it concerns stays where that can be.
            if let Some(verb) =
                verb.filter(|v| v.names == other.names && v.names != OrderTargets::Nothing)
            {
                let kept = this.get(verb.key).cloned();
                fresh = order::with(&fresh, other.key, kept);
            }
            new = Some(fresh);
        }
    });
    if let Some(verb) = verb {
        concerned(ui, bench, this, verb, &mut new);
        if matches!(verb.key, "raise" | "lower") {
            let shown = this.get("opening").map_or("100 %".to_owned(), |n| to_typed(&n.value));
            figure(ui, units, "Valve opens to", &shown, Dimension::Fraction, |node| {
                new = Some(order::with(this, "opening", Some(node)));
            });
        }
        if verb.lasts {
            done(ui, units, bench, this, verb.key, &mut new);
        }
    }
    let mut put_new = None;
    if let Some(new) = new {
        let mut orders = orders.to_vec();
        orders[index] = new;
        put_new = Some((orders, Some(index)));
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 5.0);
        let mut swap = |with: usize| {
            let mut orders = orders.to_vec();
            orders.swap(index, with);
            put_new = Some((orders, Some(with)));
        };
        if index > 0 && chip(ui, press("Move up", "", "Before the order above"), false).clicked() {
            swap(index - 1);
        }
        let more = index + 1 < orders.len();
        if more && chip(ui, press("Move down", "", "After the order below"), false).clicked() {
            swap(index + 1);
        }
        if chip(
            ui,
            press("Remove", "Del", "Takes the order out of the plan").with(Icon::Remove),
            false,
        )
        .clicked()
        {
            let mut orders = orders.to_vec();
            orders.remove(index);
            put_new = Some((orders, None));
        }
    });
    if let Some((orders, chosen)) = put_new {
        put(actions, orders, chosen);
    }
}

/// Whom or what an order concerns.
fn concerned(ui: &mut Ui, bench: &Bench, this: &Node, verb: &order::Verb, new: &mut Option<Node>) {
    let doc = bench.draft.doc();
    let scene = &bench.draft.seen().scene;
    let all = |kind: ItemKind| -> Vec<String> {
        bench.draft.items(kind).into_iter().map(|item| item.name(doc)).collect()
    };
    let named = order::names(this, verb);
    let kind = match verb.names {
        OrderTargets::Bags => ItemKind::Bag,
        OrderTargets::Captures => ItemKind::Capture,
        OrderTargets::Chocks => ItemKind::Chock,
        OrderTargets::Nothing => return,
        OrderTargets::Hose => {
            let hoses: Vec<String> = scene.air.outlets.iter().map(|o| o.name.clone()).collect();
            let bags = all(ItemKind::Bag);
            for (key, label, choices) in [(verb.key, "Hose", &hoses), ("to", "To the bag", &bags)] {
                line(ui, label, |ui| {
                    let shown = this.get(key).map_or(String::new(), |n| to_typed(&n.value));
                    if let Some(k) = one_of(ui, label, &shown, choices) {
                        *new = Some(order::with(this, key, Some(text(choices[k].as_str()))));
                    }
                });
            }
            return;
        }
    };
    line(ui, "Which", |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
            // Names that are there no more are shown too, so that they can be taken off.
            let mut choices = all(kind);
            choices
                .extend(named.iter().filter(|n| !choices.contains(n)).cloned().collect::<Vec<_>>());
            for name in choices {
                let on = named.contains(&name);
                let about = "What the order is for";
                if chip(ui, press(&name, "", about), on).clicked() {
                    let mut names = named.clone();
                    if on {
                        names.retain(|n| *n != name);
                    } else {
                        names.push(name);
                    }
                    let list = names.into_iter().map(text).collect();
                    let list = Node { place: Place::Hand, value: Value::List(list) };
                    *new = Some(order::with(this, verb.key, Some(list)));
                }
            }
        });
    });
}

/// When an order is done, and after how long it is given up.
fn done(
    ui: &mut Ui,
    units: UnitSystem,
    bench: &Bench,
    this: &Node,
    verb: &'static str,
    new: &mut Option<Node>,
) {
    let waits = verb == "wait";
    let key = if waits { "wait" } else { "until" };
    let until = order::until(this);
    let limbs: Vec<String> = {
        let doc = bench.draft.doc();
        bench.draft.items(ItemKind::Limb).into_iter().map(|limb| limb.name(doc)).collect()
    };
    let limb = |group: Option<&Node>| {
        let named = group.and_then(|g| g.get("at")).map(|n| to_typed(&n.value));
        named.or_else(|| limbs.first().cloned()).unwrap_or_default()
    };
    line(ui, "Until", |ui| {
        // A wait names no bags, and is always for something; a raise takes load off timber.
        let serves = |way: &str| match verb {
            "wait" => way != "height",
            "raise" => way != "on_timber",
            _ => true,
        };
        let ways: Vec<_> = WAYS.into_iter().filter(|(way, ..)| serves(way)).collect();
        let mut words: Vec<String> = ways.iter().map(|(_, word, _)| (*word).to_owned()).collect();
        if !waits {
            words.push("at once: the next order is given meanwhile".into());
        }
        let shown = match until {
            Some((_, way)) => WAYS.iter().find(|(key, ..)| *key == way).map_or("", |(_, w, _)| w),
            None => "at once",
        };
        if let Some(k) = one_of(ui, "when it is done", shown, &words) {
            let group = ways.get(k).map(|(way, _, figure)| {
                order::group(way, figure, &limb(until.map(|(group, _)| group)))
            });
            *new = Some(order::with(this, key, group));
        }
    });
    let Some((group, way)) = until else { return };
    let dimension = match way {
        "for" => Dimension::Time,
        "on_timber" => Dimension::Fraction,
        _ => Dimension::Length,
    };
    let shown = group.get(way).map_or(String::new(), |n| to_typed(&n.value));
    let label = if way == "for" { "Time" } else { "Figure" };
    figure(ui, units, label, &shown, dimension, |node| {
        let group = order::with(group, way, Some(node));
        *new = Some(order::with(this, key, Some(group)));
    });
    if way == "gap" {
        line(ui, "At the", |ui| {
            if let Some(k) = one_of(ui, "limb", &limb(Some(group)), &limbs) {
                let group = order::with(group, "at", Some(text(limbs[k].as_str())));
                *new = Some(order::with(this, key, Some(group)));
            }
        });
    }
    if way != "for" {
        let shown = this.get("at_most").map_or("60 s".to_owned(), |n| to_typed(&n.value));
        figure(ui, units, "Given up after", &shown, Dimension::Time, |node| {
            *new = Some(order::with(this, "at_most", Some(node)));
        });
    }
}

/// A label on the left, and what belongs to it.
fn line(ui: &mut Ui, label: &str, more: impl FnOnce(&mut Ui)) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(104.0, 27.0), Sense::hover());
        ui.painter().text(
            rect.left_center(),
            egui::Align2::LEFT_CENTER,
            label,
            theme::plain(theme::BODY),
            theme::SOFT.on(ui),
        );
        ui.vertical(more);
    });
}

fn figure(
    ui: &mut Ui,
    units: UnitSystem,
    label: &str,
    written: &str,
    dimension: Dimension,
    set: impl FnOnce(Node),
) {
    line(ui, label, |ui| {
        let id = ui.id().with(("plan", label));
        let shown = in_units(written, dimension, units);
        let width = ui.available_width();
        if let Some(typed) = typing(ui, id, &shown, width, label) {
            let value = from_typed(Entry::Quantity(dimension), &typed, units);
            set(Node { place: Place::Hand, value });
        }
    });
}

/// One of some words.
fn one_of(ui: &mut Ui, label: &str, shown: &str, choices: &[String]) -> Option<usize> {
    let mut chosen = None;
    let combo = egui::ComboBox::from_id_salt(("plan", label))
        .selected_text(RichText::new(shown).font(theme::plain(theme::BODY)))
        .width(ui.available_width())
        .truncate()
        .show_ui(ui, |ui| {
            for (k, word) in choices.iter().enumerate() {
                if ui.selectable_label(word == shown, word).clicked() {
                    chosen = Some(k);
                }
            }
        });
    combo
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::ComboBox, true, label));
    chosen
}
