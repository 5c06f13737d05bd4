//! The bending moment along the beam, on the side in tension.

use super::canvas::{Pen, turned};
use super::colours::BENDING;
use super::labels::Label;
use crate::session::Shown;
use crate::snapshot::{PartId, PartKind};
use crate::tables::TIMBER_KG_M3;
use crate::units::GRAVITY_M_S2;
use crate::view::yard::shown::vec3;
use crate::world::beam::{Across, LoadedBeam};
use bevy::prelude::*;
use bevy_egui::egui::{Pos2, Shape, Stroke};

/// The largest bending moment is drawn this far from the beam, m.
const MOMENT_M: f32 = 0.35;
/// Smaller moments are not drawn, N m.
const LEAST_NM: f64 = 20.0;

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
    let beam = LoadedBeam {
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

pub fn bending(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::snapshot::{Load, Pose};

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
        use crate::statics::beam::{Overhang, centre_load};
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
                    let overhang = Overhang { force_n: n, arm_m: end - 0.5 * span };
                    let moment = overhang.moment_nm();
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
