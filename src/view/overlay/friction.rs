//! The friction cones, where a slide is near.

use super::canvas::{Pen, turned};
use super::colours::{CONE, FAILED};
use super::labels::Label;
use super::loads::SMALLEST_N;
use crate::session::Shown;
use crate::snapshot::{Load, PartId, PartKind};
use crate::tables::{Grip, Material};
use crate::view::yard::shown::vec3;
use bevy::prelude::*;
use bevy_egui::egui::{Color32, Pos2, Shape, Stroke};

/// A cone is drawn where more than this share of the friction is used.
const NEAR_A_SLIDE: f64 = 0.6;
/// Height of a drawn cone, m.
const CONE_M: f32 = 0.34;

/// What a part's outside is made of.
fn material(kind: PartKind) -> Material {
    match kind {
        PartKind::Vehicle | PartKind::Panel(_) => Material::Sheet,
        PartKind::Wheel(_) => Material::Rubber,
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
    let friction = (grip.share_of(under) * grip.share_of(over)).sqrt();
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

/// So many of them are told in words, those that are nearest to a slide; the rest have their cone
/// alone.
const IN_WORDS: usize = 4;

/// A cone of the forces that friction holds, where the force is near its edge.
pub fn friction_cones(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let Some(scene) = &shown.scene else { return };
    let (grip, ground) = (scene.grip(), Material::Ground(scene.ground.surface));
    let whole = between(&shown.snapshot.loads);
    let mut near: Vec<Hold> = whole
        .iter()
        .filter(|load| f64::from(vec3(load.force).length()) > SMALLEST_N)
        .filter_map(|load| hold(shown, &grip, ground, load))
        .filter(|hold| hold.used() > NEAR_A_SLIDE)
        .collect();
    near.sort_by(|a, b| b.used().total_cmp(&a.used()));
    for (i, hold) in near.iter().enumerate() {
        let rim: Vec<Pos2> =
            hold.rim(CONE_M).into_iter().filter_map(|p| pen.screen.at(p)).collect();
        let Some(apex) = pen.screen.at(hold.point) else { continue };
        if rim.len() < 25 {
            continue;
        }
        let used = hold.used();
        let color = if used < 0.97 { CONE } else { FAILED };
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
            if i >= IN_WORDS {
                continue;
            }
            let text = if used < 0.97 {
                format!("{:.0} % of the friction", 100.0 * used)
            } else {
                "friction is used up".to_owned()
            };
            labels.push(Label { at: tip, text, color });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
