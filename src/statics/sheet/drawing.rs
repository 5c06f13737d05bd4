//! Drawings to scale: the lift from the side and from the tail, at its full height, with
//! the vehicle as it lay in thin dashes. Black, white and greys only, so that a copier
//! does not lose anything.
//!
//! Space: 100 drawing units to a metre, downwards positive as SVG has it.

use super::Sheet;
use crate::scene::{
    Chock, CutFace, Footprint, Lie, Lies, Lying, ProfilePoint, Scene, Sole, Stack, TYRE_HALF_M,
    Vehicle,
};
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::{gap, stacks as crib};
use crate::tables::Timber;
use crate::units::System;
use std::fmt::Write;

/// Drawing units in a metre.
const SCALE: f64 = 100.0;
/// Height of letters, in drawing units.
const LETTERS: f64 = 9.0;
/// Height of a row of labels under the ground.
const ROW: f64 = 13.0;

/// A picture being drawn; marks are written in m and turned to drawing units.
struct Canvas {
    body: String,
    left_m: f64,
    right_m: f64,
    /// Room over the ground, m.
    sky_m: f64,
    labels: Vec<(f64, f64, String)>,
}

impl Canvas {
    fn new(left_m: f64, right_m: f64, sky_m: f64) -> Self {
        Self { body: String::new(), left_m, right_m, sky_m, labels: Vec::new() }
    }

    fn x(&self, m: f64) -> f64 {
        (m - self.left_m) * SCALE
    }

    fn y(&self, m: f64) -> f64 {
        (self.sky_m - m) * SCALE
    }

    fn add(&mut self, mark: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.body.write_fmt(mark);
        self.body.push('\n');
    }

    fn path(&mut self, class: &str, points: &[[f64; 2]], closed: bool) {
        let mut d = String::new();
        for (i, p) in points.iter().enumerate() {
            let _ = write!(
                d,
                "{}{:.1} {:.1}",
                if i == 0 { "M" } else { " L" },
                self.x(p[0]),
                self.y(p[1])
            );
        }
        if closed {
            d.push('Z');
        }
        self.add(format_args!("<path class=\"{class}\" d=\"{d}\"/>"));
    }

    fn line(&mut self, class: &str, a: [f64; 2], b: [f64; 2]) {
        self.path(class, &[a, b], false);
    }

    /// A box by its left lower corner and its size, m.
    fn rect(&mut self, class: &str, at: [f64; 2], size: [f64; 2], round_m: f64) {
        let (x, y) = (self.x(at[0]), self.y(at[1] + size[1]));
        let (w, h, r) = (size[0] * SCALE, size[1] * SCALE, round_m * SCALE);
        self.add(format_args!(
            "<rect class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" \
             rx=\"{r:.1}\"/>"
        ));
    }

    fn circle(&mut self, class: &str, at: [f64; 2], radius_m: f64) {
        let (x, y, r) = (self.x(at[0]), self.y(at[1]), radius_m * SCALE);
        self.add(format_args!(
            "<circle class=\"{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\"/>"
        ));
    }

    fn text(&mut self, anchor: &str, at: [f64; 2], text: &str) {
        let (x, y) = (self.x(at[0]), self.y(at[1]));
        self.add(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{}</text>",
            escape(text)
        ));
    }

    /// An arrow from `tail` to `head`, m.
    fn arrow(&mut self, tail: [f64; 2], head: [f64; 2]) {
        self.line("load", tail, head);
        let (dx, dy) = (head[0] - tail[0], head[1] - tail[1]);
        let long = dx.hypot(dy).max(1e-9);
        let (ux, uy) = (dx / long, dy / long);
        let back = |side: f64| {
            [head[0] - 0.07 * ux - side * 0.025 * uy, head[1] - 0.07 * uy + side * 0.025 * ux]
        };
        self.path("head", &[head, back(1.0), back(-1.0)], true);
    }

    /// A label under the ground, led from a place above it.
    fn label(&mut self, at: [f64; 2], text: String) {
        self.labels.push((at[0], at[1], text));
    }

    /// Places the labels in as few rows as do not overlap; returns how many rows.
    fn place_labels(&mut self) -> usize {
        let mut labels = std::mem::take(&mut self.labels);
        labels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut ends: Vec<f64> = Vec::new();
        let mut words = String::new();
        let width = (self.right_m - self.left_m) * SCALE;
        for (x_m, y_m, text) in labels {
            // Letters of a wide face take three fifths of their height.
            let half = text.chars().count() as f64 * LETTERS * 0.30;
            let x = self.x(x_m);
            let middle = x.clamp(half, (width - half).max(half));
            let row = ends.iter().position(|end| middle - half > end + 6.0).unwrap_or(ends.len());
            if row == ends.len() {
                ends.push(0.0);
            }
            ends[row] = middle + half;
            let (from, to) = (self.y(y_m), self.y(0.0) + 12.0 + row as f64 * ROW);
            self.add(format_args!(
                "<path class=\"lead\" d=\"M{x:.1} {from:.1} L{x:.1} {to:.1}\"/>"
            ));
            // Words come after all leads, on a patch that hides the lead of a lower row.
            let _ = writeln!(
                words,
                "<rect class=\"under\" x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>\
                 <text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
                middle - half,
                to + 0.5,
                2.0 * half,
                LETTERS + 2.0,
                to + LETTERS,
                escape(&text)
            );
        }
        self.body.push_str(&words);
        ends.len()
    }

    /// Sheet metal that has given way would show under the ground.
    fn hide_what_is_pushed_in(&mut self) {
        let size = [self.right_m - self.left_m, 0.3];
        self.rect("under", [self.left_m, -size[1]], size, 0.0);
    }

    /// Ground, scale bar, and the picture as one SVG element of its own width.
    fn finish(mut self, title: &str, units: System) -> String {
        self.line("ground", [self.left_m, 0.0], [self.right_m, 0.0]);
        let rows = self.place_labels();
        let (bar, name) = match units {
            System::Si => (1.0, "1 m"),
            System::Us => (0.9144, "3 ft"),
        };
        let (x, y) = (self.left_m + 0.08, self.sky_m - 0.10);
        self.line("dim", [x, y], [x + bar, y]);
        self.line("dim", [x, y - 0.02], [x, y + 0.02]);
        self.line("dim", [x + bar, y - 0.02], [x + bar, y + 0.02]);
        self.text("start", [x + bar + 0.05, y - 0.03], name);
        let width = (self.right_m - self.left_m) * SCALE;
        let height = self.sky_m * SCALE + 16.0 + rows as f64 * ROW + 8.0;
        format!(
            "<svg viewBox=\"0 0 {width:.0} {height:.0}\" style=\"width:{:.1}%\" role=\"img\" \
             aria-label=\"{title}\">\n{DEFS}{}</svg>\n",
            100.0 * width / PAGE_UNITS,
            self.body
        )
    }
}

/// Drawing units across a page: both views keep to one scale.
const PAGE_UNITS: f64 = 580.0;

/// Hatchings: end grain, and soft parts.
const DEFS: &str = "<defs>\
<pattern id=\"grain\" width=\"3\" height=\"3\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><path d=\"M0 0H3M0 0V3\" stroke=\"#777\" stroke-width=\".5\"/></pattern>\
<pattern id=\"soft\" width=\"3\" height=\"3\" patternUnits=\"userSpaceOnUse\">\
<circle cx=\"1\" cy=\"1\" r=\".6\" fill=\"#333\"/></pattern></defs>\n";

/// Text as it may stand in SVG.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Which way one looks.
#[derive(Clone, Copy, PartialEq)]
enum Look {
    /// From the vehicle's left: the nose points to the right.
    Side,
    /// From the tail: the vehicle's left is on the left.
    Tail,
}

impl Look {
    /// Across the picture, m.
    fn across(self, at: [f64; 2]) -> f64 {
        match self {
            Self::Side => at[0],
            Self::Tail => -at[1],
        }
    }
}

/// A layer of timbers seen from a side.
fn layer(c: &mut Canvas, look: Look, at: [f64; 2], timber: Timber, shape: Layer, bottom_m: f64) {
    let middle = look.across(at);
    let lengthwise = (look == Look::Side) == shape.along_x;
    if lengthwise {
        let size = [shape.length_m, timber.height_m];
        c.rect("timber", [middle - shape.length_m / 2.0, bottom_m], size, 0.0);
        return;
    }
    for i in 0..shape.members {
        let share = 2.0 * i as f64 / (shape.members as f64 - 1.0) - 1.0;
        let left = middle + shape.outer_m * share - timber.width_m / 2.0;
        c.rect("timber", [left, bottom_m], [timber.width_m, timber.height_m], 0.0);
        c.rect("grain", [left, bottom_m], [timber.width_m, timber.height_m], 0.0);
    }
}

struct Layer {
    along_x: bool,
    members: usize,
    length_m: f64,
    outer_m: f64,
}

fn stack(c: &mut Canvas, look: Look, stack: &Stack) {
    for k in 0..stack.layers {
        let shape = Layer {
            along_x: k.is_multiple_of(2),
            members: stack.members,
            length_m: stack.length_m,
            outer_m: crib::outer_m(stack),
        };
        layer(
            c,
            look,
            stack.at,
            stack.timber,
            shape,
            stack.sole_m() + k as f64 * stack.timber.height_m,
        );
    }
    board(c, look, stack.at, stack.sole);
    let mut bottom = stack.sole_m() + stack.layers as f64 * stack.timber.height_m;
    for thick in &stack.pads_m {
        let left = look.across(stack.at) - stack.length_m / 2.0;
        c.rect("timber", [left, bottom], [stack.length_m, *thick], 0.0);
        bottom += thick;
    }
}

/// What a crib stands on, where it is not the ground.
fn board(c: &mut Canvas, look: Look, at: [f64; 2], sole: Option<Sole>) {
    if let Some(sole) = sole {
        let wide = sole.size[if look == Look::Side { 0 } else { 1 }];
        c.rect("timber", [look.across(at) - wide / 2.0, 0.0], [wide, sole.thickness_m], 0.0);
    }
}

/// Layers of two timbers from a height on, as many of each timber as given, and no higher
/// than `to_m`; what is left is a wedge. So packing and captures are built.
fn pile(
    c: &mut Canvas,
    look: Look,
    at: [f64; 2],
    layers: impl Iterator<Item = Timber>,
    length_m: f64,
    [from_m, to_m]: [f64; 2],
) {
    let mut bottom = from_m;
    for (k, timber) in layers.enumerate() {
        if bottom + timber.height_m > to_m {
            break;
        }
        let shape = Layer {
            along_x: k.is_multiple_of(2),
            members: 2,
            length_m,
            outer_m: timber.outer_m(2, length_m),
        };
        layer(c, look, at, timber, shape, bottom);
        bottom += timber.height_m;
    }
    let left = look.across(at) - length_m / 2.0;
    if to_m > bottom {
        c.rect("wedge", [left, bottom], [length_m, to_m - bottom], 0.0);
    }
}

/// Everything that stands on the ground, and the bags with what lies on them.
fn set_up(c: &mut Canvas, look: Look, plan: &Plan, lie: Lie) {
    let scene = &plan.scene;
    let lying = Lying::posed(&scene.vehicle, lie);
    let under = |at: [f64; 2], length_m: f64| {
        let spots = [-0.5, 0.0, 0.5].map(|s| [at[0] + s * length_m, at[1]]);
        spots.into_iter().filter_map(|p| lying.underside(p)).fold(f64::INFINITY, f64::min)
    };
    for limb in &scene.limbs {
        let wide = if look == Look::Side { limb.size[0] } else { limb.size[1] };
        let at = [look.across(limb.at) - wide / 2.0, 0.0];
        let high = limb.thickness_m.min(under(limb.at, limb.size[0]));
        c.rect("limb", at, [wide, high], 0.03);
    }
    for fill in &scene.void_fill {
        let to = under(fill.at, fill.length_m);
        if to.is_finite() {
            board(c, look, fill.at, fill.sole);
            let layers = std::iter::repeat(fill.timber);
            pile(c, look, fill.at, layers, fill.length_m, [fill.sole_m(), to]);
        }
    }
    for capture in &scene.captures {
        let most = capture.height_m() + capture.steps as f64 * capture.step.height_m;
        let to = under(capture.at, capture.length_m).min(most);
        board(c, look, capture.at, capture.sole);
        let layers = std::iter::repeat_n(capture.timber, capture.layers)
            .chain(std::iter::repeat_n(capture.step, capture.steps));
        pile(c, look, capture.at, layers, capture.length_m, [capture.sole_m(), to]);
    }
    // On its wheels chocks stand before and behind the tyres, out of this plane.
    let shown = look == Look::Side && scene.lies != Lies::Wheels;
    for chock in scene.chocks.iter().filter(|_| shown) {
        let away = (chock.at[0] - plan.com[0]).signum();
        let [run, height, _] = Chock::SIZE_M;
        let x = chock.at[0];
        let far = x + away * run;
        c.path("wedge", &[[x, 0.0], [x, height], [far, Chock::TOE_M], [far, 0.0]], true);
    }
    for s in &scene.stacks {
        stack(c, look, s);
    }
    let Some(lift) = &plan.lift else { return };
    let last = lift.highest();
    for point in &lift.points {
        let s = &scene.stacks[point.stack];
        let mut bottom = s.height_m();
        let middle = look.across(s.at);
        for &b in &point.bags {
            let flat = crate::scene::Bag::FLAT_M;
            let high = flat + last.map_or(0.0, |step| step.bags[b].gap_m);
            let wide = scene.bags[b].size[usize::from(look == Look::Tail)];
            c.rect("bag", [middle - wide / 2.0, bottom], [wide, high], high / 2.0);
            bottom += high;
        }
        let wedge = scene.wedges.iter().find(|w| point.bags.last() == Some(&w.on));
        if let (None, Some(wedge)) = (&scene.beam, wedge) {
            let wide = wedge.size[usize::from(look == Look::Tail)];
            let x = s.at[0];
            let corners = match look {
                Look::Side => {
                    let foot = Footprint::of_size(s.at, wedge.size);
                    let cut = CutFace::under(foot, |at| lying.underside(at));
                    let [rear, _, front, _] = cut.map_or([bottom; 4], |cut| cut.corners_m);
                    let [l, r] = [x - wide / 2.0, x + wide / 2.0];
                    [[l, bottom], [l, rear], [r, front], [r, bottom]]
                }
                Look::Tail => {
                    let top = lying.underside(s.at).unwrap_or(bottom);
                    let (l, r) = (middle - wide / 2.0, middle + wide / 2.0);
                    [[l, bottom], [l, top], [r, top], [r, bottom]]
                }
            };
            c.path("wedge", &corners, true);
        }
        if let Some(beam) = &scene.beam
            && look == Look::Side
        {
            let (w, h) = (beam.timber.width_m, beam.timber.height_m);
            c.rect("timber", [beam.at[0] - w / 2.0, bottom], [w, h], 0.0);
            c.rect("grain", [beam.at[0] - w / 2.0, bottom], [w, h], 0.0);
        }
    }
    if let (Look::Tail, Some(beam), Some(point)) = (look, &scene.beam, lift.points.first()) {
        let bags: f64 = point
            .bags
            .iter()
            .map(|&b| crate::scene::Bag::FLAT_M + last.map_or(0.0, |s| s.bags[b].gap_m))
            .sum();
        let bottom = scene.stacks[point.stack].height_m() + bags;
        let left = -beam.at[1] - beam.length_m / 2.0;
        c.rect("timber", [left, bottom], [beam.length_m, beam.timber.height_m], 0.0);
        // Shims between the beam and the body.
        let belt = lying.opening_heights([beam.at[0]; 2]).map_or(bottom, |[_, belt]| belt);
        let top = bottom + beam.timber.height_m;
        for side in [-1.0, 1.0] {
            let z = side * (scene.vehicle.half_width.belt - crate::statics::plan::SHIM_IN_M);
            c.rect("wedge", [z - 0.05, top], [0.10, (belt - top).max(0.0)], 0.0);
        }
    }
}

/// The vehicle's outline from the side.
fn vehicle_side(c: &mut Canvas, plan: &Plan, lie: Lie, class: &str, solid: bool) {
    let v = &plan.scene.vehicle;
    let lying = Lying::posed(v, lie);
    c.path(class, &lying.body(), true);
    let [header, rear] = lying.roof();
    let [_, _, cowl, deck, ..] = lying.body();
    c.path(if solid { "glass" } else { class }, &[cowl, header, rear, deck], false);
    if !solid {
        return;
    }
    c.line("roof", header, rear);
    for post in &v.posts {
        let [roof, belt] = lying.post_ends(post);
        c.line("post", roof, belt);
    }
    if plan.scene.lies != Lies::Roof {
        for tyre in tyres_across(v, plan.scene.lies) {
            c.path("wheel", &tyre.map(|p| lie.ground(p)), true);
        }
        return;
    }
    for x in v.wheel_x_m {
        let at = lie.ground([x, v.wheel_radius_m]);
        c.circle("wheel", at, v.wheel_radius_m);
        c.circle("hub", at, v.wheel_radius_m * 0.55);
    }
}

/// Both tyres in the cross-section of a vehicle that turns about one of them, on its outline.
fn tyres_across(v: &Vehicle, lies: Lies) -> [[ProfilePoint; 4]; 2] {
    let (wide, high) = (2.0 * TYRE_HALF_M, 2.0 * v.wheel_radius_m);
    let [x, y] = v.profile.nose;
    let size = if lies == Lies::Wheels { [wide, high] } else { [high, wide] };
    let other = if lies == Lies::Wheels { [x - v.track_m, y] } else { [x, y - v.track_m] };
    [[x, y], other].map(|[x, y]| {
        let (far, up) = (x - size[0], y - size[1]);
        [[x, y], [far, y], [far, up], [x, up]]
    })
}

/// Height of the floor over a place along the ground, m: the lower side of the upright
/// vehicle, and the upper one now.
fn floor_m(vehicle: &Vehicle, lie: Lie, x_m: f64) -> f64 {
    let [x, y] = lie.ground([lie.profile([x_m, 0.0])[0], vehicle.profile.floor_y]);
    y + (x - x_m) * lie.pitch_rad.tan()
}

/// A cut through the vehicle across its length at the place of the lift, seen from the tail.
fn vehicle_tail(c: &mut Canvas, v: &Vehicle, lie: Lie, x_m: f64, solid: bool) {
    let lying = Lying::posed(v, lie);
    let (body, roof) = (v.half_width.body, v.half_width.roof);
    let belt = lying.underside([x_m, body - 1e-3]);
    let floor = floor_m(v, lie, x_m);
    let (outline, pane) = if solid { ("body", "glass") } else { ("before", "before") };
    let Some(belt) = belt else { return };
    c.path(outline, &[[-body, belt], [-body, floor], [body, floor], [body, belt]], true);
    if let Some([rail, _]) = lying.opening_heights([x_m; 2]) {
        for side in [-1.0, 1.0] {
            c.line(pane, [side * body, belt], [side * roof, rail]);
        }
        c.line(if solid { "roof" } else { "before" }, [-roof, rail], [roof, rail]);
    }
}

/// Thrust lines, loads and labels of the lift, from one side.
fn marks(c: &mut Canvas, look: Look, u: System, plan: &Plan, lift: &LiftPlan) {
    let scene = &plan.scene;
    let end = lift.end();
    let mut seen: Vec<f64> = Vec::new();
    for point in &lift.points {
        let s = &scene.stacks[point.stack];
        let middle = look.across(s.at);
        // Stacks behind one another are labelled once.
        if seen.iter().any(|x| (x - middle).abs() < 0.05) {
            continue;
        }
        seen.push(middle);
        let force = lift.force_n(point, &end) + point.dead_n;
        let stand = lift.stand(scene, point, lift.rise_m);
        let (enters, side) = match look {
            Look::Side => (stand.lean.enters_m, stand.sideways_n),
            Look::Tail => (0.0, 0.0),
        };
        let top = s.height_m();
        let down = |d: f64| [middle + crib::thrust_m(enters, side, force, d), top - d];
        let above = [down(0.0)[0] - side / force * 0.45, top + 0.45];
        c.line("thrust", above, down(top));
        c.arrow(above, down(0.0));
        let each = if lift.points.len() > 1 && look == Look::Side { " on each stack" } else { "" };
        c.label([down(top)[0], 0.0], format!("{}{each}", u.force(force)));
        // Height of the stack beside it, on the side away from the vehicle's middle.
        let out = if middle < 0.1 { -1.0 } else { 1.0 };
        let text = u.gap(top);
        let room = 0.06 + text.chars().count() as f64 * LETTERS * 0.60 / SCALE;
        let edge = middle + out * s.length_m / 2.0;
        let x = out * clear_of(scene, look, out, out * edge, room);
        c.line("lead", [edge, top], [x, top]);
        dimension(c, x, 0.0, top);
        let anchor = if out < 0.0 { "end" } else { "start" };
        c.text(anchor, [x + out * 0.03, (top - 0.12).max(0.03)], &text);
    }
    for limb in &scene.limbs {
        if let Some(free) = gap::gap_m(&scene.vehicle, end.lie, limb) {
            let x = look.across(limb.at);
            dimension(c, x, 0.0, free);
            c.label([x, 0.0], format!("gap {} {}", limb.name, u.gap(free)));
        }
    }
    let com = end.lie.ground(plan.balance.com);
    let at = if look == Look::Side { com } else { [-plan.com[2], com[1]] };
    c.circle("com", at, 0.035);
    c.line("com", [at[0] - 0.06, at[1]], [at[0] + 0.06, at[1]]);
    c.line("plumb", at, [at[0], 0.0]);
    c.label([at[0], 0.0], format!("W {}", u.force(plan.weight_n)));
    if look == Look::Side
        && let Some(pivot) = plan.pivot_x(&end)
    {
        let n = plan.on_ground_n(&end) + plan.on_fill_n(&end);
        c.arrow([pivot, -0.16], [pivot, 0.0]);
        c.label([pivot, -0.10], format!("bears {}", u.force(n)));
    }
}

/// What stands on the ground: its place and its length, m.
fn standing(scene: &Scene) -> impl Iterator<Item = ([f64; 2], f64)> {
    let stacks = scene.stacks.iter().map(|s| (s.at, s.length_m));
    let fills = scene.void_fill.iter().map(|f| (f.at, f.length_m));
    let captures = scene.captures.iter().map(|c| (c.at, c.length_m));
    stacks.chain(fills).chain(captures)
}

/// Where a height that takes `room` m is written: outwards from `edge`, past all that would
/// cover it. Distances count along `out`, 1 or -1, m.
fn clear_of(scene: &Scene, look: Look, out: f64, edge: f64, room: f64) -> f64 {
    let mut spans: Vec<[f64; 2]> = standing(scene)
        .map(|(at, length)| (out * look.across(at), length / 2.0))
        .map(|(middle, half)| [middle - half, middle + half])
        .collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let past = |x: f64, [from, to]: [f64; 2]| {
        if from < x + room && to + 0.06 > x { to + 0.06 } else { x }
    };
    spans.into_iter().fold(edge + 0.06, past)
}

/// A dimension line upright at `x`.
fn dimension(c: &mut Canvas, x: f64, from: f64, to: f64) {
    c.line("dim", [x, from], [x, to]);
    for y in [from, to] {
        c.line("dim", [x - 0.03, y], [x + 0.03, y]);
    }
}

/// The highest place of the vehicle in any of its poses, m.
fn reach_up(scene: &Scene, poses: [Lie; 2]) -> f64 {
    let (v, on_roof) = (&scene.vehicle, scene.lies == Lies::Roof);
    poses
        .into_iter()
        .flat_map(|lie| {
            let wheels = v.wheel_x_m.map(|x| lie.ground([x, v.wheel_radius_m])[1]);
            let wheels = wheels.into_iter().filter(|_| on_roof).map(|y| y + v.wheel_radius_m);
            wheels.chain(Lying::posed(v, lie).body().map(|p| p[1]))
        })
        .fold(0.0, f64::max)
}

/// From the side and from the tail; across the vehicle only, where it turns about its tyres.
/// What is not known is left out.
pub fn views(sheet: &Sheet<'_>) -> Vec<String> {
    let Some(plan) = &sheet.plan else { return Vec::new() };
    let (scene, u) = (&plan.scene, sheet.units);
    let vehicle = &scene.vehicle;
    let before = plan.start.lie;
    let end = plan.lift.as_ref().map_or(before, |lift| lift.end().lie);
    let body = |lie| Lying::posed(vehicle, lie).body();
    let reach = |pick: fn(f64, f64) -> f64, start: f64| {
        body(before).iter().chain(&body(end)).map(|p| p[0]).fold(start, pick)
    };
    // Room for the heights written beside the stacks.
    let parts = standing(scene).map(|(at, length)| at[0] - length / 2.0 - 0.60);
    let rear = parts.fold(reach(f64::min, 0.0) - 0.30, f64::min);
    let front = reach(f64::max, 0.0) + 0.55;
    let sky = reach_up(scene, [before, end]) + 0.25;
    let mut side = Canvas::new(rear, front.min(rear + PAGE_UNITS / SCALE), sky);
    vehicle_side(&mut side, plan, end, "body", true);
    vehicle_side(&mut side, plan, before, "before", false);
    set_up(&mut side, Look::Side, plan, end);
    side.hide_what_is_pushed_in();
    if let Some(lift) = &plan.lift {
        marks(&mut side, Look::Side, u, plan, lift);
    }
    if scene.lies != Lies::Roof {
        return vec![side.finish("A cut across the vehicle at the lift", u)];
    }
    let x = plan.lift.as_ref().map_or(plan.com[0], |lift| lift.place[0]);
    let wide = scene.stacks.iter().map(|s| s.at[1].abs() + s.length_m).fold(1.3, f64::max);
    let sky = [before, end].map(|lie| floor_m(vehicle, lie, x)).into_iter().fold(0.0, f64::max);
    let mut tail = Canvas::new(-wide - 0.3, wide + 0.3, sky + 0.22);
    vehicle_tail(&mut tail, vehicle, end, x, true);
    vehicle_tail(&mut tail, vehicle, before, x, false);
    set_up(&mut tail, Look::Tail, plan, end);
    tail.hide_what_is_pushed_in();
    if let Some(lift) = &plan.lift {
        marks(&mut tail, Look::Tail, u, plan, lift);
    }
    vec![
        side.finish("The lift from the vehicle's left", u),
        tail.finish("A cut at the lift, seen from the tail", u),
    ]
}
