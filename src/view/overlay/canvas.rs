//! Where overlays are drawn, and with what.

use crate::snapshot::Pose;
use bevy::prelude::*;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke, vec2};

/// Whether the legend names the keys: a picture has none. The second of two yards needs no
/// legend of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keys {
    Shown,
    Hidden,
    NoLegend,
}

/// Where overlays are drawn.
pub struct Canvas<'a> {
    pub ctx: &'a egui::Context,
    /// The yard's part of the screen; what its camera sees begins in its upper left corner.
    pub rect: egui::Rect,
    pub camera: &'a Camera,
    /// Where the camera stands now; its global transform is a frame behind.
    pub stand: &'a Transform,
    /// Screen points a logical pixel.
    pub points: f32,
    /// Height of the labels, points.
    pub size: f32,
    pub keys: Keys,
}

/// Turns places of the ground frame into places on the screen.
pub struct Projection<'a> {
    pub camera: &'a Camera,
    pub from: GlobalTransform,
    pub turn: Quat,
    pub points: f32,
    /// Where the camera's picture begins.
    pub corner: Pos2,
}

impl Projection<'_> {
    /// Where a place of the ground frame is on the screen.
    pub fn at(&self, ground: Vec3) -> Option<Pos2> {
        let world = self.turn * ground;
        if !world.is_finite() {
            return None;
        }
        let p = self.camera.world_to_viewport(&self.from, world).ok()?;
        Some(self.corner + vec2(p.x, p.y) * self.points)
    }
}

/// What the cards over the yard cover.
pub fn cards(ctx: &egui::Context) -> Vec<egui::Rect> {
    let is_card = |layer: &egui::LayerId| {
        matches!(layer.order, egui::Order::Middle | egui::Order::Foreground)
    };
    ctx.memory(|memory| {
        let layers = memory.areas().visible_layer_ids().into_iter().filter(is_card);
        layers.filter_map(|layer| memory.area_rect(layer.id)).collect()
    })
}

/// What overlays are drawn with.
pub struct Pen<'a> {
    pub painter: &'a egui::Painter,
    pub screen: &'a Projection<'a>,
    /// Of a line, points.
    pub width: f32,
}

impl Pen<'_> {
    /// A line with a pale edge, so that it shows on both dark and light ground.
    pub fn line(&self, a: Pos2, b: Pos2, color: Color32) {
        let edge = Color32::from_white_alpha(190);
        self.painter.line_segment([a, b], Stroke::new(self.width + 2.5, edge));
        self.painter.line_segment([a, b], Stroke::new(self.width, color));
    }

    /// A dashed line with a pale edge.
    pub fn dashed(&self, a: Pos2, b: Pos2, color: Color32) {
        let edge = Color32::from_white_alpha(150);
        self.painter.line_segment([a, b], Stroke::new(self.width + 2.0, edge));
        let dash = 3.5 * self.width;
        self.painter.extend(Shape::dashed_line(
            &[a, b],
            Stroke::new(self.width, color),
            dash,
            0.8 * dash,
        ));
    }

    /// An arrow that ends at `tip`.
    pub fn arrow(&self, tail: Pos2, tip: Pos2, color: Color32) {
        let way = (tip - tail).normalized();
        let head = (5.0 * self.width).min(0.6 * tail.distance(tip));
        let neck = tip - way * head;
        let side = way.rot90() * head * 0.5;
        self.line(tail, neck, color);
        let triangle = vec![tip, neck + side, neck - side];
        let edge = Stroke::new(1.5, Color32::from_white_alpha(200));
        self.painter.add(Shape::convex_polygon(triangle, color, edge));
    }
}

pub fn turned(pose: &Pose, v: Vec3) -> Vec3 {
    Quat::from_array(pose.turn) * v
}
