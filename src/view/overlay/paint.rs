//! Draws over the yard what the eye cannot see: loads at bearing points, the thrust
//! line through each stack and the bearing corners it must keep within, friction where
//! it is nearly used up, bending along the beam, gaps at the casualty, the centre of mass.
//! Each has a key and a line in the legend; each has its own shape as well as its colour.

use crate::session::{Overlay, Overlays, Shown};
use crate::snapshot::{Finding, Load, PartId, PartKind, Pose, Reading};
use crate::tables::{Grip, Material, TIMBER_KG_M3};
use crate::units::{GRAVITY_M_S2, System};
use crate::view::theme;
use crate::view::yard::shown::{ground_turn, vec3};
use crate::world::beam::{Across, Beam};
use bevy::prelude::*;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke, pos2};

const LOAD: Color32 = theme::BLUE.day;
const THRUST: Color32 = theme::PURPLE.day;
const GAP: Color32 = theme::GREEN.day;
const CONE: Color32 = theme::INK.day;
const BENDING: Color32 = theme::OCHRE.day;
const MASS: Color32 = theme::INK.day;
const AMISS: Color32 = theme::VERMILION.day;

/// Loads smaller than this are left out, N: they carry nothing and hide the rest.
const SMALLEST_N: f64 = 250.0;
/// A cone is drawn where more than this share of the friction is used.
const NEAR_A_SLIDE: f64 = 0.6;
/// Height of a drawn cone, m.
const CONE_M: f32 = 0.34;
/// The largest bending moment is drawn this far from the beam, m.
const MOMENT_M: f32 = 0.35;
/// Smaller moments are not drawn, N m.
const LEAST_NM: f64 = 20.0;

/// Whether the legend names the keys: a picture has none. The second of two yards needs no
/// legend of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keys {
    Shown,
    Hidden,
    NoLegend,
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
pub struct Label {
    pub at: Pos2,
    pub text: String,
    pub color: Color32,
}

/// Where overlays are drawn.
pub struct Canvas<'a> {
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

/// Draws what is switched on; gives what its labels and its legend cover.
pub fn paint(canvas: &Canvas<'_>, shown: &Shown, on: Overlays) -> Vec<egui::Rect> {
    let &Canvas { rect, size, keys, .. } = canvas;
    let Some(scene) = &shown.scene else { return Vec::new() };
    let screen = Screen {
        camera: canvas.camera,
        from: GlobalTransform::from(*canvas.stand),
        turn: ground_turn(scene),
        points: canvas.points,
    };
    let painter = canvas.ctx.layer_painter(egui::LayerId::background()).with_clip_rect(rect);
    let mut labels = Vec::new();
    let pen = Pen { painter: &painter, screen: &screen, width: size / 6.0 };
    for (which, draw) in [
        (Overlay::Corners, bearing_corners as fn(&Pen<'_>, &Shown, &mut Vec<Label>)),
        (Overlay::Moment, bending),
        (Overlay::Thrust, thrust_lines),
        (Overlay::Friction, friction_cones),
        (Overlay::Loads, load_arrows),
        (Overlay::Mass, centre_of_mass),
        (Overlay::Gaps, gap_lines),
    ] {
        if on.has(which) {
            draw(&pen, shown, &mut labels);
        }
    }
    for (i, finding) in shown.findings.iter().enumerate() {
        let Some(p) = screen.at(vec3(finding.place)) else { continue };
        marker(&painter, p, size * 0.55);
        let text = format!("{}: {}", i + 1, number(finding, shown.units));
        labels.push(Label { at: p, text, color: AMISS });
    }
    let mut taken = vec![legend(&painter, rect, on, size, keys)];
    place_labels(&painter, rect, labels, size, &mut taken);
    taken
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

/// The outline that the thrust line must keep within, at every layer that carries.
fn bearing_corners(pen: &Pen<'_>, shown: &Shown, _: &mut Vec<Label>) {
    for thrust in shown.snapshot.stacks.iter().flat_map(|s| &s.thrust) {
        let corners: Vec<Pos2> =
            thrust.corners.iter().filter_map(|c| pen.screen.at(vec3(*c))).collect();
        if corners.len() < 4 {
            continue;
        }
        let color = if thrust.margin_m >= 0.0 { THRUST } else { AMISS };
        let ring = [corners[0], corners[1], corners[2], corners[3], corners[0]];
        let edge = Stroke::new(0.5 * pen.width + 1.5, Color32::from_white_alpha(120));
        pen.painter.add(Shape::line(ring.to_vec(), edge));
        pen.painter.add(Shape::line(ring.to_vec(), Stroke::new(0.5 * pen.width, color)));
        for corner in corners {
            let half = egui::Vec2::splat(0.8 * pen.width);
            pen.painter.rect_filled(egui::Rect::from_center_size(corner, 2.0 * half), 0.0, color);
        }
    }
}

/// What a part's outside is made of.
fn material(kind: PartKind) -> Material {
    match kind {
        PartKind::Vehicle | PartKind::Panel(_) => Material::Sheet,
        PartKind::BagFace { .. } | PartKind::Limb(_) => Material::Rubber,
        _ => Material::Timber,
    }
}

/// How a force stands to the friction where it is passed on.
struct Hold {
    point: Vec3,
    force: Vec3,
    normal: Vec3,
    friction: f64,
}

impl Hold {
    /// The rim of the cone of the forces that friction holds, so far along the normal, m: its
    /// half angle is that of friction, whose tangent is the coefficient.
    fn rim(&self, length: f32) -> [Vec3; 25] {
        let side = self.normal.any_orthonormal_vector();
        let other = self.normal.cross(side);
        std::array::from_fn(|i| {
            let a = std::f32::consts::TAU * i as f32 / 24.0;
            let out = (side * a.cos() + other * a.sin()) * (length * self.friction as f32);
            self.point + self.normal * length + out
        })
    }

    /// Where the line of the force meets the rim's plane.
    fn tip(&self, length: f32) -> Vec3 {
        self.point + self.force * (length / self.force.dot(self.normal).max(1e-3))
    }

    /// The share of the friction that is used.
    fn used(&self) -> f64 {
        let press = f64::from(self.force.dot(self.normal));
        let across = f64::from(self.force.reject_from_normalized(self.normal).length());
        across / (self.friction * press).max(1e-6)
    }
}

/// The face that passes a force on is the one of a box that looks most along it; the
/// ground's looks up. Between two parts that are no boxes the face is not known.
fn hold(shown: &Shown, grip: &Grip, ground: Material, load: &Load) -> Option<Hold> {
    let force = vec3(load.force);
    let face_of = |id: PartId| {
        let (part, pose) = (shown.parts.get(id)?, shown.snapshot.poses.get(id)?);
        if !matches!(part.shape, crate::snapshot::Shape::Box(_)) {
            return None;
        }
        let axes = [Vec3::X, Vec3::Y, Vec3::Z].map(|a| turned(pose, a));
        let best =
            axes.into_iter().max_by(|a, b| force.dot(*a).abs().total_cmp(&force.dot(*b).abs()))?;
        Some(best * force.dot(best).signum())
    };
    let by = load.by.and_then(|id| shown.parts.get(id));
    let normal = match load.by {
        None => Vec3::Y,
        Some(by) => face_of(by).or_else(|| face_of(load.on))?,
    };
    let under = by.map_or(ground, |part| material(part.kind));
    let over = material(shown.parts.get(load.on)?.kind);
    let friction = (grip.of(under) * grip.of(over)).sqrt();
    Some(Hold { point: vec3(load.point), force, normal, friction })
}

/// All that one part puts on another as one force: friction is known for the whole of
/// it, not point by point.
fn between(loads: &[Load]) -> Vec<Load> {
    let mut sums: Vec<(Load, f64)> = Vec::new();
    for load in loads {
        let weight = f64::from(vec3(load.force).length());
        if let Some((sum, total)) =
            sums.iter_mut().find(|(s, _)| (s.on, s.by) == (load.on, load.by))
        {
            let share = weight / (*total + weight).max(1e-9);
            for i in 0..3 {
                sum.force[i] += load.force[i];
                sum.point[i] += share * (load.point[i] - sum.point[i]);
            }
            *total += weight;
        } else {
            sums.push((*load, weight));
        }
    }
    sums.into_iter().map(|(load, _)| load).collect()
}

fn turned(pose: &Pose, v: Vec3) -> Vec3 {
    Quat::from_array(pose.turn) * v
}

/// A cone of the forces that friction holds, where the force is near its edge.
fn friction_cones(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let Some(scene) = &shown.scene else { return };
    let (grip, ground) = (scene.grip(), Material::Ground(scene.ground.surface));
    let whole = between(&shown.snapshot.loads);
    let near = whole
        .iter()
        .filter(|load| f64::from(vec3(load.force).length()) > SMALLEST_N)
        .filter_map(|load| hold(shown, &grip, ground, load))
        .filter(|hold| hold.used() > NEAR_A_SLIDE);
    for hold in near {
        let rim: Vec<Pos2> =
            hold.rim(CONE_M).into_iter().filter_map(|p| pen.screen.at(p)).collect();
        let Some(apex) = pen.screen.at(hold.point) else { continue };
        if rim.len() < 25 {
            continue;
        }
        let used = hold.used();
        let color = if used < 0.97 { CONE } else { AMISS };
        let thin = Stroke::new(0.5 * pen.width, color);
        let edge = Stroke::new(0.5 * pen.width + 2.0, Color32::from_white_alpha(150));
        // The two lines from the tip that are widest apart on screen.
        let way = |p: &Pos2| (*p - apex).angle();
        let middle = (rim[0] + (rim[12] - rim[0]) * 0.5 - apex).angle();
        let off = |p: &&Pos2| {
            let a = way(p) - middle;
            a.sin().atan2(a.cos())
        };
        let least = rim.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        let most = rim.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
        for stroke in [edge, thin] {
            for end in least.into_iter().chain(most) {
                pen.painter.line_segment([apex, *end], stroke);
            }
            pen.painter.add(Shape::line(rim.clone(), stroke));
        }
        if let Some(tip) = pen.screen.at(hold.tip(CONE_M)) {
            pen.line(apex, tip, color);
            let text = if used < 0.97 {
                format!("{:.0} % of the friction", 100.0 * used)
            } else {
                "friction is used up".to_owned()
            };
            labels.push(Label { at: tip, text, color });
        }
    }
}

/// The bending moment along the beam as it is drawn.
struct Diagram {
    /// Places along the beam's middle line with those that stand off by the moment there, on
    /// the side in tension, and the moment, N m, sagging positive.
    ordinates: Vec<(Vec3, Vec3, f64)>,
    /// Which of them is the largest.
    most: usize,
}

/// The bending moment along the beam, from the forces that it bears now.
fn diagram(shown: &Shown) -> Option<Diagram> {
    let spec = shown.scene.as_ref()?.beam.as_ref()?;
    let id = shown.find(PartKind::Beam).filter(|&id| shown.parts[id].present)?;
    let pose = shown.snapshot.poses.get(id)?;
    let length = spec.length_m as f32;
    // It lies across the vehicle.
    let along = turned(pose, Vec3::Z);
    let up = (Vec3::Y - along * along.y).normalize_or(Vec3::Y);
    let middle = vec3(pose.at());
    // Shims are one with the beam.
    let ours = |part: PartId| {
        part == id || shown.parts.get(part).is_some_and(|p| p.kind == PartKind::Shim)
    };
    let forces = shown.snapshot.loads.iter().filter_map(|load| {
        let force = match (ours(load.on), load.by.is_some_and(ours)) {
            (true, false) => vec3(load.force),
            (false, true) => -vec3(load.force),
            _ => return None,
        };
        let at = (vec3(load.point) - middle).dot(along) + 0.5 * length;
        Some(Across { at_m: f64::from(at), n: f64::from(force.dot(up)) })
    });
    let area = spec.timber.width_m * spec.timber.height_m;
    let beam = Beam {
        length_m: spec.length_m,
        weight_n_m: area * TIMBER_KG_M3 * GRAVITY_M_S2,
        forces: forces.collect(),
    };
    const CELLS: usize = 60;
    let moments: Vec<(f32, f64)> = (0..=CELLS)
        .map(|i| {
            let x = spec.length_m * i as f64 / CELLS as f64;
            (x as f32, beam.moment_nm(x))
        })
        .collect();
    let most = (0..=CELLS).max_by(|&a, &b| moments[a].1.abs().total_cmp(&moments[b].1.abs()))?;
    let largest = moments[most].1.abs();
    let ordinate = |(x, m): (f32, f64)| {
        let on_axis = middle + along * (x - 0.5 * length);
        (on_axis, on_axis - up * (MOMENT_M * (m / largest) as f32), m)
    };
    (largest > LEAST_NM)
        .then(|| Diagram { ordinates: moments.into_iter().map(ordinate).collect(), most })
}

fn bending(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let Some(Diagram { ordinates, most }) = diagram(shown) else { return };
    let fill = BENDING.gamma_multiply(0.35);
    for pair in ordinates.windows(2) {
        let [(a, off_a, _), (b, off_b, _)] = [pair[0], pair[1]];
        let corners: Vec<Pos2> =
            [a, b, off_b, off_a].iter().filter_map(|p| pen.screen.at(*p)).collect();
        if corners.len() == 4 {
            pen.painter.add(Shape::convex_polygon(corners.clone(), fill, Stroke::NONE));
            pen.line(corners[3], corners[2], BENDING);
        }
    }
    let (foot, tip, moment) = ordinates[most];
    if let (Some(foot), Some(tip)) = (pen.screen.at(foot), pen.screen.at(tip)) {
        pen.line(foot, tip, BENDING);
        let text = format!("bending {}", shown.units.moment(moment.abs()));
        labels.push(Label { at: tip, text, color: BENDING });
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

/// What a finding measured, against its limit.
fn number(finding: &Finding, units: System) -> String {
    let Reading { dimension, value, limit } = finding.measured.reading();
    let limit = limit.map_or(String::new(), |l| format!(", limit {}", units.show(dimension, l)));
    format!("{}, {}{limit}", finding.part, units.show(dimension, value))
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

/// Puts labels beside their points, each where it covers no other and nothing that is taken.
pub fn place_labels(
    painter: &egui::Painter,
    rect: egui::Rect,
    mut labels: Vec<Label>,
    size: f32,
    taken: &mut Vec<egui::Rect>,
) {
    labels.sort_by(|a, b| a.at.y.total_cmp(&b.at.y));
    for label in labels {
        if !rect.contains(label.at) {
            continue;
        }
        let text = painter.layout_no_wrap(label.text, theme::bold(size), label.color);
        let pad = egui::vec2(0.45 * size, 0.25 * size);
        let box_size = text.size() + 2.0 * pad;
        let place = free_place(rect, label.at, box_size, size, taken);
        taken.push(place.expand(1.0));
        painter.line_segment(
            [label.at, pos2(label.at.x.clamp(place.min.x, place.max.x), place.center().y)],
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

/// The nearest place for a label, to the right or the left of its point, that covers none
/// of what is there; beside the point where there is none.
fn free_place(
    rect: egui::Rect,
    at: Pos2,
    label: egui::Vec2,
    size: f32,
    taken: &[egui::Rect],
) -> egui::Rect {
    let place = |left: f32, rows: f32| {
        let left = left.clamp(rect.min.x, (rect.max.x - label.x).max(rect.min.x));
        let top = at.y - 0.5 * label.y + rows * (label.y + 3.0);
        egui::Rect::from_min_size(pos2(left, top), label)
    };
    let (right, left) = (at.x + size, at.x - size - label.x);
    // Row by row away from the point, first downwards.
    let rows = (0..24).flat_map(|k| [k as f32, -(k as f32)]);
    rows.flat_map(|row| [place(right, row), place(left, row)])
        .find(|p| rect.contains_rect(*p) && !taken.iter().any(|t| t.intersects(*p)))
        .unwrap_or_else(|| place(right, 0.0))
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
    let lines: Vec<(String, Color32, Sign)> = Overlay::ALL
        .into_iter()
        .filter(|(which, ..)| on.has(*which) && keys != Keys::NoLegend)
        .map(|(which, _, key)| {
            let (color, sign) = match which {
                Overlay::Gaps => (GAP, Sign::Dimension),
                Overlay::Loads => (LOAD, Sign::Arrow),
                Overlay::Thrust => (THRUST, Sign::Chain),
                Overlay::Corners => (THRUST, Sign::Corners),
                Overlay::Friction => (CONE, Sign::Cone),
                Overlay::Moment => (BENDING, Sign::Sag),
                Overlay::Mass => (MASS, Sign::Bob),
            };
            let text = match keys {
                Keys::Shown => format!("{}  {key}", which.about()),
                Keys::Hidden | Keys::NoLegend => which.about().to_owned(),
            };
            (text, color, sign)
        })
        .collect();
    if lines.is_empty() {
        return egui::Rect::NOTHING;
    }
    let row = 1.75 * size;
    let texts: Vec<_> = lines
        .iter()
        .map(|(text, ..)| painter.layout_no_wrap(text.clone(), theme::plain(size), theme::INK.day))
        .collect();
    // In as many columns as go in, so that it stays flat.
    let wide = texts.iter().map(|t| t.size().x).fold(0.0, f32::max) + 5.2 * size;
    let room = rect.width() - 2.0 * size;
    let columns = ((room / wide) as usize).clamp(1, lines.len());
    let rows = lines.len().div_ceil(columns);
    let box_size = egui::vec2(wide * columns as f32, row * rows as f32 + 0.8 * size);
    let place = egui::Rect::from_min_size(
        pos2(rect.min.x + size, rect.max.y - size - box_size.y),
        box_size,
    );
    painter.rect(
        place,
        6.0,
        Color32::from_white_alpha(225),
        Stroke::new(1.0, theme::LINE.day),
        egui::StrokeKind::Inside,
    );
    for (i, ((_, color, sign), text)) in lines.iter().zip(texts).enumerate() {
        let left = place.min.x + wide * (i / rows) as f32;
        let y = place.min.y + 0.4 * size + row * ((i % rows) as f32 + 0.5);
        let middle = pos2(left + 1.9 * size, y);
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
            Sign::Corners => {
                let ring = [l - up, r - up, r + up, l + up];
                painter.add(Shape::closed_line(ring.to_vec(), Stroke::new(0.1 * size, *color)));
                for p in ring {
                    let dot = egui::Rect::from_center_size(p, egui::Vec2::splat(0.26 * size));
                    painter.rect_filled(dot, 0.0, *color);
                }
            }
            Sign::Cone => {
                let tip = middle + up;
                let ends = [middle - up - 0.6 * (middle - l), middle - up + 0.6 * (r - middle)];
                let thin = Stroke::new(0.1 * size, *color);
                painter.line_segment([tip, ends[0]], thin);
                painter.line_segment([tip, ends[1]], thin);
                painter.line_segment([ends[0], ends[1]], thin);
                painter.line_segment([tip, middle - up + 0.3 * (r - middle)], pen);
            }
            Sign::Sag => {
                painter.line_segment([l - up, r - up], Stroke::new(0.1 * size, *color));
                let bow = vec![l - up, middle + up, r - up];
                painter.add(Shape::convex_polygon(bow, color.gamma_multiply(0.4), pen));
            }
            Sign::Bob => {
                painter.circle_stroke(l + egui::vec2(0.3 * size, 0.0), 0.34 * size, pen);
                painter.extend(Shape::dashed_line(&[middle, r], pen, 3.0, 3.0));
            }
        }
        let at = pos2(left + 3.8 * size, y - 0.5 * text.size().y);
        painter.galley(at, text, theme::INK.day);
    }
    place
}

enum Sign {
    Dimension,
    Arrow,
    Chain,
    Corners,
    Cone,
    Sag,
    Bob,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However many labels share one point, none covers another or the legend while there
    /// is room, and all stay in the yard.
    #[test]
    fn labels_never_cover_each_other() {
        let rect = egui::Rect::from_min_size(pos2(100.0, 50.0), egui::vec2(340.0, 330.0));
        let legend = egui::Rect::from_min_size(pos2(110.0, 330.0), egui::vec2(300.0, 40.0));
        for at in [rect.center(), pos2(430.0, 320.0), pos2(105.0, 370.0), pos2(300.0, 55.0)] {
            let mut taken = vec![legend];
            for i in 0..9 {
                let label = egui::vec2(60.0 + 20.0 * (i % 4) as f32, 22.0);
                let place = free_place(rect, at, label, 15.0, &taken);
                assert!(rect.contains_rect(place), "{place:?}");
                assert!(!taken.iter().any(|t| t.intersects(place)), "{i} at {at:?}: {place:?}");
                taken.push(place);
            }
        }
    }

    /// The cone's half angle is the angle of friction, `atan mu` (Coulomb; any handbook of
    /// mechanics), and the force's line leaves the normal by its own angle: it stays inside as
    /// long as less than all of the friction is used. A block at rest on a slope `a` uses
    /// `tan a / mu` of it. Single precision leaves a millionth.
    #[test]
    fn val_a_friction_cone_has_the_angle_of_friction() {
        for mu in [0.1, 0.3, 0.45, 0.62, 1.0] {
            for tilt in [0.0f32, 3.0, 10.0, 20.0, 31.0, 40.0] {
                for turn in [0.0f32, 1.1, 4.0] {
                    let tilt = tilt.to_radians();
                    let normal =
                        Vec3::new(tilt.sin() * turn.cos(), tilt.cos(), tilt.sin() * turn.sin());
                    // The slope carries the block's weight.
                    let (point, force) = (Vec3::new(0.4, 0.1, -0.7), Vec3::Y * 900.0);
                    let hold = Hold { point, force, normal, friction: mu };
                    let angle = |place: Vec3| f64::from((place - point).angle_between(normal));
                    for place in hold.rim(CONE_M) {
                        assert!((angle(place) - mu.atan()).abs() < 2e-6, "mu {mu}");
                    }
                    let drawn = angle(hold.tip(CONE_M));
                    assert!((drawn - f64::from(tilt)).abs() < 5e-4, "{drawn}, not {tilt}");
                    let used = f64::from(tilt.tan()) / mu;
                    assert!((hold.used() - used).abs() < 1e-5 * (1.0 + used), "mu {mu}");
                    assert_eq!(drawn < mu.atan() - 1e-3, used < 1.0 - 1e-2, "{drawn} of {mu}");
                }
            }
        }
    }

    /// A scene's beam alone, lying as `turn` says, with forces across it at places from its
    /// middle, N and m.
    fn loaded(turn: Quat, forces: &[(f64, f64)]) -> (Shown, f64, f64) {
        let scene = crate::scene::load("beam-lift", &[]).ok().unwrap().scene;
        let spec = scene.beam.clone().unwrap();
        let weight_n_m = spec.timber.width_m * spec.timber.height_m * TIMBER_KG_M3 * GRAVITY_M_S2;
        let at = Vec3::new(-1.0, 0.6, 0.2);
        let pose = Pose { position: at.to_array(), turn: turn.to_array() };
        let along = turn * Vec3::Z;
        let up = (Vec3::Y - along * along.y).normalize();
        let part = crate::snapshot::Part {
            name: "beam".into(),
            kind: PartKind::Beam,
            shape: crate::snapshot::Shape::Box([0.07, 0.07, 0.5 * spec.length_m]),
            present: true,
        };
        let mut shown = Shown::default();
        shown.snapshot.poses = vec![pose];
        shown.snapshot.loads = forces
            .iter()
            .map(|&(x, n)| Load {
                on: 0,
                by: None,
                point: (at + along * x as f32).to_array().map(f64::from),
                force: (up * n as f32).to_array().map(f64::from),
            })
            .collect();
        shown.parts = std::sync::Arc::new(vec![part]);
        shown.scene = Some(std::sync::Arc::new(scene));
        (shown, spec.length_m, weight_n_m)
    }

    /// The largest drawn moment is the closed form's, and every drawn place stands off the
    /// beam in proportion, downwards where it sags. Two cases of any beam table: pushed up at
    /// both ends and held down at two places (`F a` between them), and a simple beam with a
    /// load in the middle (`P L / 4`), each with the beam's own weight on its whole length.
    /// The diagram has 60 pieces: a middle load falls on one of their ends.
    #[test]
    fn val_the_drawn_moment_is_the_closed_form() {
        use crate::statics::beam::{centre_load, two_overhangs};
        for turn in [Quat::IDENTITY, Quat::from_rotation_y(0.4), Quat::from_rotation_x(0.1)] {
            for n in [800.0, 2500.0, 6000.0] {
                for span in [0.9, 1.4] {
                    let (_, length, w) = loaded(turn, &[]);
                    let end = 0.5 * length;
                    let half = 0.5 * w * length;
                    let check = |shown: &Shown, sag: f64| {
                        let drawn = diagram(shown).unwrap();
                        let (foot, tip, m) = drawn.ordinates[drawn.most];
                        assert!((m - sag).abs() < 2e-3 * sag.abs(), "{m}, not {sag}");
                        assert!(((tip - foot).length() - MOMENT_M).abs() < 1e-4);
                        assert_eq!(tip.y < foot.y, sag > 0.0, "on the side in tension");
                        for (foot, tip, at) in &drawn.ordinates {
                            let off = f64::from((*tip - *foot).length() / MOMENT_M);
                            assert!((off - (at / m).abs()).abs() < 1e-3);
                        }
                    };
                    // Up at the ends, down where the vehicle bears.
                    let up = n + half;
                    let held = [-0.5 * span, 0.5 * span];
                    let (shown, ..) =
                        loaded(turn, &[(-end, up), (held[0], -n), (held[1], -n), (end, up)]);
                    let (moment, _) = two_overhangs(n, end - 0.5 * span, span, 1.0);
                    check(&shown, moment + w * length * length / 8.0);
                    // On two supports at its ends, loaded in the middle.
                    let (shown, ..) =
                        loaded(turn, &[(-end, 0.5 * n + half), (0.0, -n), (end, 0.5 * n + half)]);
                    let (moment, _) = centre_load(n, length, 1.0);
                    check(&shown, moment + w * length * length / 8.0);
                    // Held in the middle, loaded at both ends: it hogs.
                    let (shown, ..) =
                        loaded(turn, &[(-end, -0.5 * n), (0.0, n + 2.0 * half), (end, -0.5 * n)]);
                    check(&shown, -(moment + w * length * length / 8.0));
                }
            }
        }
    }

    /// In a lift that is played, the largest drawn moment is the one that the watch holds
    /// against the beam's strength. The diagram has 60 pieces, the measure looks at every
    /// force: the peak may lie between two places, by a hundredth at most.
    #[test]
    fn the_drawn_moment_is_the_watched_one() {
        let scene = crate::scene::load("beam-lift", &[]).ok().unwrap().scene;
        let mut lift = crate::lift::Lift::new(std::sync::Arc::new(scene));
        let mut shown = Shown::default();
        let parts = std::sync::Arc::new(lift.parts().to_vec());
        shown.begin(lift.scene().clone(), &parts, lift.snapshot());
        let mut seen = 0;
        for tick in 0..900 {
            lift.tick();
            if tick % 90 != 0 {
                continue;
            }
            shown.snapshot = lift.snapshot().clone();
            let watched = shown.snapshot.beam.unwrap().moment_nm.abs();
            if watched < 200.0 {
                continue;
            }
            let drawn = diagram(&shown).unwrap();
            let moment = drawn.ordinates[drawn.most].2.abs();
            assert!((moment - watched).abs() < 0.03 * watched, "{moment}, watched {watched}");
            seen += 1;
        }
        assert!(seen > 3, "{seen}");
    }
}
