//! Draws over the yard what the eye cannot see: loads at bearing points, the thrust
//! line through each stack, gaps at the casualty, the centre of mass. Each has a
//! key and a line in the legend; each has its own shape as well as its colour.

use super::shown::{Shown, ground_turn, vec3};
use super::theme;
use crate::snapshot::{PartId, PartKind};
use bevy::prelude::*;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke, pos2};

/// Which overlays are drawn.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Overlays {
    pub loads: bool,
    pub thrust: bool,
    pub gaps: bool,
    pub mass: bool,
}

impl Default for Overlays {
    fn default() -> Self {
        Self { loads: false, thrust: false, gaps: true, mass: false }
    }
}

/// One of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Overlay {
    Gaps,
    Loads,
    Thrust,
    Mass,
}

impl Overlays {
    /// Those of some names, and no others.
    ///
    /// # Errors
    /// A name that is none, with those that are.
    pub fn named(names: &[String]) -> Result<Self, String> {
        const NAMES: [(&str, Overlay); 4] = [
            ("gaps", Overlay::Gaps),
            ("loads", Overlay::Loads),
            ("thrust", Overlay::Thrust),
            ("mass", Overlay::Mass),
        ];
        let mut on = Self { loads: false, thrust: false, gaps: false, mass: false };
        for name in names {
            let found = NAMES.iter().find(|(word, _)| word == name);
            let (_, which) = found.ok_or_else(|| {
                let known = NAMES.map(|(word, _)| word).join(", ");
                format!("\"{name}\" is no overlay; choose from {known}")
            })?;
            if !on.has(*which) {
                on.toggle(*which);
            }
        }
        Ok(on)
    }

    pub fn has(&self, which: Overlay) -> bool {
        match which {
            Overlay::Gaps => self.gaps,
            Overlay::Loads => self.loads,
            Overlay::Thrust => self.thrust,
            Overlay::Mass => self.mass,
        }
    }

    /// Switches one on or off.
    pub fn toggle(&mut self, which: Overlay) {
        let slot = match which {
            Overlay::Gaps => &mut self.gaps,
            Overlay::Loads => &mut self.loads,
            Overlay::Thrust => &mut self.thrust,
            Overlay::Mass => &mut self.mass,
        };
        *slot = !*slot;
    }
}

const LOAD: Color32 = theme::BLUE;
const THRUST: Color32 = theme::PURPLE;
const GAP: Color32 = theme::GREEN;
const MASS: Color32 = theme::INK;
const AMISS: Color32 = theme::VERMILION;

/// Loads smaller than this are left out, N: they carry nothing and hide the rest.
const SMALLEST_N: f64 = 250.0;

/// Whether the legend names the keys: a picture has none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Keys {
    Shown,
    Hidden,
}

/// Turns places of the ground frame into places on the screen.
struct Screen<'a> {
    camera: &'a Camera,
    from: GlobalTransform,
    turn: Quat,
    points: f32,
}

impl Screen<'_> {
    fn at(&self, ground: Vec3) -> Option<Pos2> {
        let world = self.turn * ground;
        if !world.is_finite() {
            return None;
        }
        let p = self.camera.world_to_viewport(&self.from, world).ok()?;
        Some(pos2(p.x * self.points, p.y * self.points))
    }
}

/// A label that still looks for its place.
struct Label {
    at: Pos2,
    text: String,
    color: Color32,
}

/// Where overlays are drawn.
pub(super) struct Canvas<'a> {
    pub ctx: &'a egui::Context,
    /// The yard's part of the screen.
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

/// Draws what is switched on.
pub(super) fn paint(canvas: &Canvas<'_>, shown: &Shown, on: Overlays) {
    let &Canvas { rect, size, keys, .. } = canvas;
    let Some(scene) = &shown.scene else { return };
    let screen = Screen {
        camera: canvas.camera,
        from: GlobalTransform::from(*canvas.stand),
        turn: ground_turn(scene),
        points: canvas.points,
    };
    let painter = canvas.ctx.layer_painter(egui::LayerId::background()).with_clip_rect(rect);
    let mut labels = Vec::new();
    let pen = Pen { painter: &painter, screen: &screen, width: size / 6.0 };
    if on.thrust {
        thrust_lines(&pen, shown, &mut labels);
    }
    if on.loads {
        load_arrows(&pen, shown, &mut labels);
    }
    if on.mass {
        centre_of_mass(&pen, shown, &mut labels);
    }
    if on.gaps {
        gap_lines(&pen, shown, &mut labels);
    }
    for finding in &shown.findings {
        if let Some(p) = screen.at(vec3(finding.place)) {
            marker(&painter, p, size * 0.55);
        }
    }
    let legend = legend(&painter, rect, on, size, keys);
    place_labels(&painter, rect, labels, size, legend);
}

struct Pen<'a> {
    painter: &'a egui::Painter,
    screen: &'a Screen<'a>,
    width: f32,
}

impl Pen<'_> {
    /// A line with a pale edge, so that it shows on dark and light alike.
    fn line(&self, a: Pos2, b: Pos2, color: Color32) {
        let edge = Color32::from_white_alpha(190);
        self.painter.line_segment([a, b], Stroke::new(self.width + 2.5, edge));
        self.painter.line_segment([a, b], Stroke::new(self.width, color));
    }

    fn dashed(&self, a: Pos2, b: Pos2, color: Color32) {
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
    fn arrow(&self, tail: Pos2, tip: Pos2, color: Color32) {
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

/// All that one thing puts on the vehicle.
struct Bearing {
    /// What bears: a kind and an index, or none for the ground.
    by: Option<(usize, usize)>,
    force: Vec3,
    /// Places weighted by force, and the weights.
    moment: Vec3,
    weight: f32,
}

fn bearings(shown: &Shown) -> Vec<Bearing> {
    let is_vehicle = |id: PartId| {
        matches!(
            shown.parts.get(id).map(|p| p.kind),
            Some(PartKind::Vehicle | PartKind::Panel(_) | PartKind::Beam)
        )
    };
    // What belongs together is one bearing: a capture stack's wedges, a chock.
    let group = |by: Option<PartId>| {
        by.and_then(|id| shown.parts.get(id)).map(|part| match part.kind {
            PartKind::CaptureTimber { capture, .. } | PartKind::CaptureWedge(capture) => {
                (0, capture)
            }
            PartKind::VoidFill(i) => (1, i),
            PartKind::Chock(i) => (2, i),
            PartKind::BagFace { bag, .. } | PartKind::Wedge(bag) => (3, bag),
            PartKind::Limb(i) => (4, i),
            _ => (5, by.unwrap_or_default()),
        })
    };
    let mut sums: Vec<Bearing> = Vec::new();
    for load in &shown.snapshot.loads {
        // Only what carries the vehicle; not what the vehicle's parts do to each other.
        if !is_vehicle(load.on) || load.by.is_some_and(is_vehicle) {
            continue;
        }
        let (force, point) = (vec3(load.force), vec3(load.point));
        let (by, weight) = (group(load.by), force.length());
        match sums.iter_mut().find(|s| s.by == by) {
            Some(sum) => {
                sum.force += force;
                sum.moment += point * weight;
                sum.weight += weight;
            }
            None => sums.push(Bearing { by, force, moment: point * weight, weight }),
        }
    }
    sums
}

fn load_arrows(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let mut carried: Vec<(Vec3, Vec3)> = bearings(shown)
        .into_iter()
        .filter(|b| b.weight > 0.0)
        .map(|b| (b.moment / b.weight, b.force))
        .collect();
    let Some(scene) = &shown.scene else { return };
    for (stack, state) in scene.stacks.iter().zip(&shown.snapshot.stacks) {
        let at = stack.at.map(|v| v as f32);
        carried.push((Vec3::new(at[0], 0.0, at[1]), Vec3::Y * state.load_n as f32));
    }
    carried.retain(|(_, force)| f64::from(force.length()) >= SMALLEST_N);
    let most = carried.iter().map(|(_, force)| force.length()).fold(1.0, f32::max);
    for (point, force) in carried {
        // Long for the largest load, never too short to see.
        let length = 0.16 + 0.34 * force.length() / most;
        let tail = pen.screen.at(point - force.normalize_or(Vec3::Y) * length);
        if let (Some(tip), Some(tail)) = (pen.screen.at(point), tail) {
            pen.arrow(tail, tip, LOAD);
            let text = shown.units.force(f64::from(force.length()));
            labels.push(Label { at: tail, text, color: LOAD });
        }
    }
}

fn thrust_lines(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    for stack in &shown.snapshot.stacks {
        let points: Vec<(Pos2, f64)> = stack
            .thrust
            .iter()
            .filter(|t| vec3(t.force).length() > 1.0)
            .filter_map(|t| Some((pen.screen.at(vec3(t.point))?, t.margin_m)))
            .collect();
        for pair in points.windows(2) {
            pen.line(pair[0].0, pair[1].0, THRUST);
        }
        for &(p, margin) in &points {
            let r = 1.5 * pen.width;
            if margin >= 0.0 {
                pen.painter.circle(p, r, THRUST, Stroke::new(1.2, Color32::WHITE));
            } else {
                // Outside the bearing corners: a cross.
                let d = egui::vec2(2.0 * r, 2.0 * r);
                let e = egui::vec2(2.0 * r, -2.0 * r);
                pen.line(p - d, p + d, AMISS);
                pen.line(p - e, p + e, AMISS);
            }
        }
        let nearest = points.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(&(at, margin)) = nearest {
            let gap = shown.units.gap(margin.abs());
            let (text, color) = if margin >= 0.0 {
                (format!("{gap} inside"), THRUST)
            } else {
                (format!("{gap} outside"), AMISS)
            };
            labels.push(Label { at, text, color });
        }
    }
}

fn gap_lines(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let Some(scene) = &shown.scene else { return };
    for (limb, state) in scene.limbs.iter().zip(&shown.snapshot.limbs) {
        let foot = Vec3::new(limb.at[0] as f32, 0.0, limb.at[1] as f32);
        let head = foot + Vec3::Y * state.gap_m as f32;
        let (Some(a), Some(b)) = (pen.screen.at(foot), pen.screen.at(head)) else { continue };
        pen.line(a, b, GAP);
        let tick = egui::vec2(4.0 * pen.width, 0.0);
        for p in [a, b] {
            pen.line(p - tick, p + tick, GAP);
        }
        let enough = state.gap_m >= limb.gap_needed_m;
        let text = format!(
            "{}: gap {}{}",
            limb.name,
            shown.units.gap(state.gap_m),
            if enough { ", free" } else { "" }
        );
        labels.push(Label { at: a.lerp(b, 0.5), text, color: GAP });
    }
}

fn centre_of_mass(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let com = vec3(shown.snapshot.vehicle.com);
    let Some(scene) = &shown.scene else { return };
    // Plumb on screen, which is not square to a sloping ground.
    let down = ground_turn(scene).inverse() * Vec3::NEG_Y;
    let foot = com + down * (com.y / -down.y.min(-0.1));
    if let (Some(a), Some(b)) = (pen.screen.at(com), pen.screen.at(foot)) {
        pen.dashed(a, b, MASS);
        let r = 2.6 * pen.width;
        pen.painter.circle(a, r + 1.5, Color32::WHITE, Stroke::NONE);
        // A plumb bob: a ring above, a point on the ground.
        pen.painter.circle(a, r, Color32::WHITE, Stroke::new(pen.width, MASS));
        pen.painter.circle_filled(a, 0.9 * pen.width, MASS);
        let bob = vec![
            b,
            b + egui::vec2(-1.6 * pen.width, -4.0 * pen.width),
            b + egui::vec2(1.6 * pen.width, -4.0 * pen.width),
        ];
        pen.painter.add(Shape::convex_polygon(bob, MASS, Stroke::new(1.0, Color32::WHITE)));
        labels.push(Label {
            at: a,
            text: format!("centre of mass, {}", shown.units.mass(scene.vehicle.mass_kg)),
            color: MASS,
        });
    }
}

/// The sign for a place where something went wrong: a square on its corner with a stroke.
fn marker(painter: &egui::Painter, p: Pos2, r: f32) {
    let corners =
        [(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)].map(|(x, y)| p + egui::vec2(x, y)).to_vec();
    painter.add(Shape::convex_polygon(corners, AMISS, Stroke::new(2.0, Color32::WHITE)));
    let bar = Stroke::new(0.24 * r, Color32::WHITE);
    painter.line_segment([p - egui::vec2(0.0, 0.5 * r), p + egui::vec2(0.0, 0.12 * r)], bar);
    painter.circle_filled(p + egui::vec2(0.0, 0.45 * r), 0.14 * r, Color32::WHITE);
}

/// Puts labels beside their points, each moved until it covers no other and not `kept`.
fn place_labels(
    painter: &egui::Painter,
    rect: egui::Rect,
    mut labels: Vec<Label>,
    size: f32,
    kept: egui::Rect,
) {
    labels.sort_by(|a, b| a.at.y.total_cmp(&b.at.y));
    let mut taken: Vec<egui::Rect> = vec![kept];
    for label in labels {
        if !rect.contains(label.at) {
            continue;
        }
        let text = painter.layout_no_wrap(label.text, theme::bold(size), label.color);
        let pad = egui::vec2(0.45 * size, 0.25 * size);
        let box_size = text.size() + 2.0 * pad;
        let mut min = label.at + egui::vec2(size, -0.5 * box_size.y);
        min.x = min.x.clamp(rect.min.x, (rect.max.x - box_size.x).max(rect.min.x));
        let mut place = egui::Rect::from_min_size(min, box_size);
        for _ in 0..40 {
            let Some(hit) = taken.iter().find(|t| t.intersects(place)) else { break };
            // Down past another label; up past the legend, under which nothing is seen.
            let dy = if *hit == kept {
                hit.min.y - place.max.y - 3.0
            } else {
                hit.max.y - place.min.y + 3.0
            };
            place = place.translate(egui::vec2(0.0, dy));
        }
        taken.push(place.expand(1.0));
        painter.line_segment(
            [label.at, pos2(place.min.x, place.center().y)],
            Stroke::new(1.2, label.color),
        );
        painter.rect(
            place,
            4.0,
            Color32::from_white_alpha(238),
            Stroke::new(1.2, label.color),
            egui::StrokeKind::Inside,
        );
        painter.galley(place.min + pad, text, label.color);
    }
}

/// What the drawn signs mean, in the yard's lower left corner.
fn legend(
    painter: &egui::Painter,
    rect: egui::Rect,
    on: Overlays,
    size: f32,
    keys: Keys,
) -> egui::Rect {
    let size = 0.9 * size;
    let lines: Vec<(String, Color32, Sign)> = [
        (on.gaps, "Gap at the casualty", "G", GAP, Sign::Dimension),
        (on.loads, "Load carried", "L", LOAD, Sign::Arrow),
        (on.thrust, "Thrust line, a cross is outside", "T", THRUST, Sign::Chain),
        (on.mass, "Centre of mass and plumb line", "M", MASS, Sign::Bob),
    ]
    .into_iter()
    .filter(|(on, ..)| *on)
    .map(|(_, text, key, color, sign)| match keys {
        Keys::Shown => (format!("{text}  {key}"), color, sign),
        Keys::Hidden => (text.to_owned(), color, sign),
    })
    .collect();
    if lines.is_empty() {
        return egui::Rect::NOTHING;
    }
    let row = 1.75 * size;
    let texts: Vec<_> = lines
        .iter()
        .map(|(text, ..)| painter.layout_no_wrap(text.clone(), theme::plain(size), theme::INK))
        .collect();
    let wide = texts.iter().map(|t| t.size().x).fold(0.0, f32::max);
    let box_size = egui::vec2(wide + 4.6 * size, row * lines.len() as f32 + 0.8 * size);
    let place = egui::Rect::from_min_size(
        pos2(rect.min.x + size, rect.max.y - size - box_size.y),
        box_size,
    );
    painter.rect(
        place,
        6.0,
        Color32::from_white_alpha(225),
        Stroke::new(1.0, theme::LINE),
        egui::StrokeKind::Inside,
    );
    for (i, ((_, color, sign), text)) in lines.iter().zip(texts).enumerate() {
        let y = place.min.y + 0.4 * size + row * (i as f32 + 0.5);
        let middle = pos2(place.min.x + 1.9 * size, y);
        let (l, r) = (middle - egui::vec2(size, 0.0), middle + egui::vec2(size, 0.0));
        let pen = Stroke::new(0.18 * size, *color);
        let up = egui::vec2(0.0, 0.45 * size);
        match sign {
            Sign::Dimension => {
                painter.line_segment([l, r], pen);
                painter.line_segment([l - up, l + up], pen);
                painter.line_segment([r - up, r + up], pen);
            }
            Sign::Arrow => {
                painter.line_segment([l, middle], pen);
                let head = vec![r, middle - up, middle + up];
                painter.add(Shape::convex_polygon(head, *color, Stroke::NONE));
            }
            Sign::Chain => {
                painter.line_segment([l, r], pen);
                for p in [l, middle, r] {
                    painter.circle_filled(p, 0.28 * size, *color);
                }
            }
            Sign::Bob => {
                painter.circle_stroke(l + egui::vec2(0.3 * size, 0.0), 0.34 * size, pen);
                painter.extend(Shape::dashed_line(&[middle, r], pen, 3.0, 3.0));
            }
        }
        let at = pos2(place.min.x + 3.8 * size, y - 0.5 * text.size().y);
        painter.galley(at, text, theme::INK);
    }
    place
}

enum Sign {
    Dimension,
    Arrow,
    Chain,
    Bob,
}
