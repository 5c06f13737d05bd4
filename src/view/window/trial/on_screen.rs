//! What a frame puts on screen, from the same tree that a screen reader gets, and as it is painted.

use bevy::math::{Rect, Vec2};
use bevy::prelude::{Query, ResMut, Resource};
use bevy_egui::egui::accesskit::{Node, NodeId, Role, Toggled};
use bevy_egui::egui::epaint::ClippedShape;
use bevy_egui::{EguiContext, EguiFullOutput, egui};
use std::collections::HashMap;

/// Something on screen that a hand can meet or an eye can read.
#[derive(Clone, Debug)]
pub struct Widget {
    /// What it says.
    pub label: String,
    pub role: Role,
    /// Where it is, in the window's logical pixels.
    pub rect: Rect,
    /// The part of it that a hand can reach; the rest is scrolled away. In logical pixels.
    pub reached: Rect,
    /// What lies over it or under it has another.
    pub layer: Option<egui::LayerId>,
    /// Switched on, ticked, or the chosen one.
    pub on: bool,
}

/// A list that can be scrolled.
#[derive(Clone, Copy, Debug)]
pub struct Scrolled {
    /// What is seen of it, points.
    pub rect: egui::Rect,
    /// There is more above, and below.
    pub more: [bool; 2],
}

/// What the last frame put on screen.
#[derive(Resource)]
pub(super) struct OnScreen {
    pub widgets: Vec<Widget>,
    pub texts: Vec<String>,
    pub painted: Vec<ClippedShape>,
    pub scrolled: Vec<Scrolled>,
    /// The whole of the window, points.
    pub whole: egui::Rect,
}

impl Default for OnScreen {
    fn default() -> Self {
        Self {
            widgets: Vec::new(),
            texts: Vec::new(),
            painted: Vec::new(),
            scrolled: Vec::new(),
            whole: egui::Rect::NOTHING,
        }
    }
}

/// Notes what a frame puts on screen.
pub(super) fn see(
    mut contexts: Query<(&mut EguiContext, &EguiFullOutput)>,
    mut seen: ResMut<OnScreen>,
) {
    for (mut context, output) in &mut contexts {
        let ctx = context.get_mut();
        ctx.enable_accesskit();
        let Some(output) = &output.0 else { continue };
        let places = places(ctx);
        let zoom = ctx.zoom_factor();
        seen.widgets.clear();
        seen.scrolled.clear();
        if let Some(update) = &output.platform_output.accesskit_update {
            let widgets = update.nodes.iter();
            seen.widgets.extend(
                widgets.filter_map(|(id, node)| widget(node, places.get(id).copied(), zoom)),
            );
            seen.scrolled.extend(update.nodes.iter().filter_map(|(_, node)| scrolled(node)));
        }
        seen.texts.clear();
        for clipped in &output.shapes {
            texts(&clipped.shape, &mut seen.texts);
        }
        seen.painted.clone_from(&output.shapes);
        seen.whole = ctx.viewport_rect();
    }
}

/// The layer and the part in reach of everything that a hand can meet, points.
fn places(ctx: &egui::Context) -> HashMap<NodeId, (egui::LayerId, egui::Rect)> {
    ctx.viewport(|viewport| {
        let layers = viewport.prev_pass.widgets.layers();
        layers
            .flat_map(|(layer, widgets)| {
                widgets.iter().map(|w| (w.id.accesskit_id(), (*layer, w.interact_rect)))
            })
            .collect()
    })
}

/// In logical pixels; what is scrolled away stays less than nothing.
fn pixels(min: [f32; 2], max: [f32; 2], zoom: f32) -> Rect {
    Rect { min: zoom * Vec2::from_array(min), max: zoom * Vec2::from_array(max) }
}

fn widget(node: &Node, place: Option<(egui::LayerId, egui::Rect)>, zoom: f32) -> Option<Widget> {
    let label = node.label().or_else(|| node.value())?.to_owned();
    let b = node.bounds()?;
    let rect = pixels([b.x0 as f32, b.y0 as f32], [b.x1 as f32, b.y1 as f32], zoom);
    let reached = place.map_or(rect, |(_, seen)| pixels(seen.min.into(), seen.max.into(), zoom));
    let on = node.toggled() == Some(Toggled::True) || node.is_selected() == Some(true);
    let layer = place.map(|(layer, _)| layer);
    Some(Widget { label, role: node.role(), rect, reached, layer, on })
}

fn scrolled(node: &Node) -> Option<Scrolled> {
    let (at, most, b) = (node.scroll_y()?, node.scroll_y_max()?, node.bounds()?);
    let corner = |x: f64, y: f64| egui::pos2(x as f32, y as f32);
    let rect = egui::Rect::from_min_max(corner(b.x0, b.y0), corner(b.x1, b.y1));
    Some(Scrolled { rect, more: [at > 0.5, at < most - 0.5] })
}

fn texts(shape: &egui::Shape, into: &mut Vec<String>) {
    match shape {
        egui::Shape::Text(text) => into.push(text.galley.text().to_owned()),
        egui::Shape::Vec(shapes) => shapes.iter().for_each(|s| texts(s, into)),
        _ => {}
    }
}
