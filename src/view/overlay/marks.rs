//! Draws over the yard what the set-up and the size-up point at: the chosen thing, what
//! does not fit, where a thing has snapped to, and what was measured.

use super::canvas::Canvas;
use super::labels::{Label, place_labels};
use crate::draft::{Item, ItemKind};
use crate::scene::{Scene, bodies};
use crate::session::{Bench, Measure, MeasuredValue, Shown};
use crate::snapshot::Shape as Outside;
use crate::units::UnitSystem;
use crate::view::panels::widget::pin;
use crate::view::theme;
use crate::view::yard::shown::{ground_turn, half_size, place_of, vec3};
use bevy::prelude::*;
use bevy_egui::egui::{self, Align2, Color32, Pos2, Stroke, vec2};

/// From places of the ground frame to places on the screen, and a brush.
struct Sketch<'a> {
    canvas: &'a Canvas<'a>,
    from: GlobalTransform,
    turn: Quat,
    painter: egui::Painter,
}

impl<'a> Sketch<'a> {
    fn new(canvas: &'a Canvas<'a>, scene: &Scene) -> Self {
        let painter =
            canvas.ctx.layer_painter(egui::LayerId::background()).with_clip_rect(canvas.rect);
        let from = GlobalTransform::from(*canvas.stand);
        Self { canvas, from, turn: ground_turn(scene), painter }
    }

    fn at(&self, ground: Vec3) -> Option<Pos2> {
        let world = self.turn * ground;
        let p = self.canvas.camera.world_to_viewport(&self.from, world).ok()?;
        let p = self.canvas.rect.min + vec2(p.x, p.y) * self.canvas.points;
        (p.x.abs() < 1e5 && p.y.abs() < 1e5).then_some(p)
    }

    /// A line with a pale edge, so that it shows on both dark and light ground.
    fn line(&self, a: Vec3, b: Vec3, stroke: Stroke) {
        if let (Some(a), Some(b)) = (self.at(a), self.at(b)) {
            let edge = Color32::from_white_alpha(170);
            self.painter.line_segment([a, b], Stroke::new(stroke.width + 2.0, edge));
            self.painter.line_segment([a, b], stroke);
        }
    }

    fn dashed(&self, a: Vec3, b: Vec3, color: Color32) {
        if let (Some(a), Some(b)) = (self.at(a), self.at(b)) {
            let stroke = Stroke::new(1.5, color);
            self.painter.extend(egui::Shape::dashed_line(&[a, b], stroke, 7.0, 5.0));
        }
    }

    fn dot(&self, at: Vec3, color: Color32) {
        if let Some(p) = self.at(at) {
            self.painter.circle(p, 4.0, color, Stroke::new(1.5, Color32::WHITE));
        }
    }
}

/// The box around a thing in the ground frame.
fn around(bench: &Bench, shown: &Shown, item: Item) -> Option<[Vec3; 2]> {
    if item.kind == ItemKind::Person {
        return around_body(shown, item.index);
    }
    let mut reach: Option<[Vec3; 2]> = None;
    for id in bench.parts_of(item) {
        let (Some(part), Some(pose)) = (shown.parts.get(id), place_of(shown, id)) else { continue };
        let half = half_size(&part.shape);
        let corners: Vec<Vec3> = match &part.shape {
            Outside::Hull(points) => points.iter().map(|p| vec3(*p)).collect(),
            _ => (0..8)
                .map(|k| {
                    let sign = |bit: u32| if k >> bit & 1 == 1 { 1.0 } else { -1.0 };
                    half * Vec3::new(sign(0), sign(1), sign(2))
                })
                .collect(),
        };
        for corner in corners {
            let p = pose * corner;
            let [low, high] = reach.unwrap_or([p, p]);
            reach = Some([low.min(p), high.max(p)]);
        }
    }
    reach
}

/// The box about a body that lies there.
fn around_body(shown: &Shown, index: usize) -> Option<[Vec3; 2]> {
    let bodies = bodies(shown.scene.as_ref()?);
    let segments = &bodies.get(index)?.segments;
    let places = segments.iter().flat_map(|segment| {
        let ends = segment.ends.iter().zip(segment.half);
        ends.flat_map(|(end, [breadth, thickness])| {
            let at = vec3(*end);
            let half = Vec3::new(breadth as f32, thickness as f32, breadth as f32);
            [at - half, at + half]
        })
    });
    places.fold(None, |reach, p| {
        let [low, high] = reach.unwrap_or([p, p]);
        Some([low.min(p), high.max(p)])
    })
}

/// The chosen thing and whatever does not fit; `taken` is covered already.
pub fn bench(
    canvas: &Canvas<'_>,
    shown: &Shown,
    bench: &Bench,
    units: UnitSystem,
    mut taken: Vec<egui::Rect>,
) {
    let Some(scene) = &shown.scene else { return };
    let sketch = Sketch::new(canvas, scene);
    let doc = bench.draft.doc();
    let seen = bench.draft.seen();
    let all = ItemKind::BROUGHT
        .into_iter()
        .chain([ItemKind::Limb, ItemKind::Person])
        .flat_map(|k| bench.draft.items(k));
    let mut labels = Vec::new();
    for item in all {
        let chosen = bench.selected == Some(item);
        let faulty = seen.faulty(doc, item);
        if !chosen && !faulty {
            continue;
        }
        let Some([low, high]) = around(bench, shown, item) else { continue };
        let stroke = stroke_of(faulty);
        corners(&sketch, low, high, stroke);
        let top = Vec3::new(0.5 * (low.x + high.x), high.y, 0.5 * (low.z + high.z));
        if faulty && let Some(p) = sketch.at(top) {
            pin(&sketch.painter, p, 9.0, "!");
        }
        if chosen && let Some(p) = sketch.at(Vec3::new(high.x, high.y, high.z)) {
            let height = units.gap(f64::from(high.y));
            let text = format!("{}, top {height}", item.name(doc));
            labels.push(Label { at: p, text, color: stroke.color });
        }
        if chosen && let Some(snap) = &bench.snapped {
            snapped(&sketch, snap, stroke.color);
        }
    }
    // Over every sign.
    let lines = sketch.painter.add(egui::Shape::Noop);
    place_labels(&sketch.painter, lines, canvas.rect, labels, canvas.size, &mut taken);
}

/// Only the corners of a box: what stands in it stays in sight.
fn corners(sketch: &Sketch<'_>, low: Vec3, high: Vec3, stroke: Stroke) {
    for k in 0..8 {
        let pick = |bit: u32, axis: usize| if k >> bit & 1 == 1 { high[axis] } else { low[axis] };
        let corner = Vec3::new(pick(0, 0), pick(1, 1), pick(2, 2));
        for axis in 0..3 {
            let mut end = corner;
            let way = if corner[axis] == low[axis] { 1.0 } else { -1.0 };
            end[axis] += way * 0.28 * (high[axis] - low[axis]);
            sketch.line(corner, end, stroke);
        }
    }
}

/// The lines that a thing has snapped to.
fn snapped(sketch: &Sketch<'_>, snap: &crate::draft::Snap, color: Color32) {
    let [x, z] = snap.at.map(|m| m as f32);
    let lines = [
        (&snap.to[0], Vec3::new(x, 0.003, -2.4), Vec3::new(x, 0.003, 2.4)),
        (&snap.to[1], Vec3::new(-3.4, 0.003, z), Vec3::new(3.4, 0.003, z)),
    ];
    for (to, a, b) in lines {
        if to.is_some() {
            sketch.dashed(a, b, color);
        }
    }
}

/// What was measured; `covered` is so already.
pub fn measured(
    canvas: &Canvas<'_>,
    shown: &Shown,
    measure: &Measure,
    units: UnitSystem,
    mut covered: Vec<egui::Rect>,
) {
    let Some(scene) = &shown.scene else { return };
    let mut labels = Vec::new();
    let sketch = Sketch::new(canvas, scene);
    let color = theme::PURPLE.day;
    let stroke = Stroke::new(2.5, color);
    for (i, taken) in measure.taken.iter().enumerate() {
        let text = format!("{}   {}", i + 1, taken.say(units));
        let at = match taken {
            MeasuredValue::Tape { from, to, .. } => {
                let (a, b) = (vec3(*from), vec3(*to));
                sketch.line(a, b, stroke);
                sketch.dot(a, color);
                sketch.dot(b, color);
                a.lerp(b, 0.5)
            }
            MeasuredValue::Angle { at, .. } => {
                sketch.dot(vec3(*at), color);
                vec3(*at)
            }
            MeasuredValue::Height { at } => {
                let top = vec3(*at);
                sketch.line(Vec3::new(top.x, 0.0, top.z), top, stroke);
                sketch.dot(top, color);
                top
            }
        };
        labels.extend(sketch.at(at).map(|at| Label { at, text, color }));
    }
    let lines = sketch.painter.add(egui::Shape::Noop);
    place_labels(&sketch.painter, lines, canvas.rect, labels, canvas.size, &mut covered);
    if let Some(from) = measure.from {
        sketch.dot(vec3(from), color);
        if let Some(p) = sketch.at(vec3(from)) {
            sketch.painter.text(
                p + vec2(10.0, 0.0),
                Align2::LEFT_CENTER,
                "from here",
                theme::bold(canvas.size),
                color,
            );
        }
    }
}

/// An outline around a thing and its text, to be drawn over the yard.
fn stroke_of(faulty: bool) -> Stroke {
    Stroke::new(2.0, if faulty { theme::VERMILION.day } else { theme::BLUE.day })
}
