//! The scene's beam under the forces that its contacts measure: what it bears, and that it
//! breaks in two where it bears too much.

use super::Yard;
use super::beam::{Across, Beam, Section};
use super::engine::{BodySpec, Groups, Mass, RigidBodyHandle};
use super::shapes::{collider, plain};
use crate::snapshot::{BeamState, Load, PartId, PartKind, Shape};
use crate::tables::{CRACK_SHARE, GRADE_SHARE, Material, SHORT_LOAD, TIMBER_KG_M3};
use bevy_rapier3d::rapier::prelude::*;

/// A beam breaks once it has borne too much for this many ticks on end: a jolt of a tick
/// or two breaks no timber.
const TICKS: u32 = 3;
/// Half of the saw's way between the two pieces, so that they do not overlap, m.
const GAP_M: f64 = 0.002;
/// It never breaks nearer to an end than this, m.
const END_M: f64 = 0.10;
/// What presses on a beam presses over this length at least, m (assumed: edges bite in).
const BEARS_OVER_M: f64 = 0.05;
/// Pieces that the deflection is summed over.
const CELLS: usize = 64;

/// What the yard knows of the beam from tick to tick.
#[derive(Clone, Default)]
pub(super) struct Rupture {
    /// Ticks on end for which it has borne too much.
    over: u32,
    broken: bool,
}

impl Yard {
    fn beam_part(&self) -> Option<PartId> {
        self.parts.iter().position(|part| part.kind == PartKind::Beam)
    }

    pub(super) fn beam_state(&self, loads: &[Load]) -> Option<BeamState> {
        let spec = self.scene.beam.as_ref()?;
        if self.rupture.broken {
            return self.snapshot.beam.map(|state| BeamState { broken: true, ..state });
        }
        let part = self.beam_part()?;
        let pose = self.engine.pose(self.bodies[part]);
        let up = pose.turned([0.0, 1.0, 0.0]);
        let dot = |a: [f64; 3], b: [f64; 3]| -> f64 { (0..3).map(|i| a[i] * b[i]).sum() };
        // Forces on the beam along its own upright, from its left end at -z.
        let mut forces: Vec<(Option<PartId>, Across)> = Vec::new();
        for load in loads {
            let (sign, other) = match (load.on == part, load.by == Some(part)) {
                (true, _) => (1.0, load.by),
                (_, true) => (-1.0, Some(load.on)),
                _ => continue,
            };
            let at_m = pose.local(load.point)[2] + spec.length_m / 2.0;
            forces.push((other, Across { at_m, n: sign * dot(load.force, up) }));
        }
        let body = &self.engine.bodies[self.bodies[part]];
        let gravity = plain(self.engine.gravity);
        let beam = Beam {
            length_m: spec.length_m,
            weight_n_m: -f64::from(body.mass()) * dot(gravity, up) / spec.length_m,
            forces: forces.iter().map(|(_, across)| *across).collect(),
        };
        let wood = self.scene.wood;
        // A hidden crack takes some of what the scene gives it.
        let strength = spec.strength_share * self.beam_left();
        let (width_m, height_m) = (spec.timber.width_m, spec.timber.height_m);
        let section = Section { width_m, height_m, modulus_pa: wood.elastic_pa };
        let (mut moment, mut at_m, mut shear_n) = (0.0_f64, spec.length_m / 2.0, 0.0_f64);
        for force in &beam.forces {
            let here = beam.moment_nm(force.at_m);
            if here.abs() > moment.abs() {
                (moment, at_m) = (here, force.at_m);
            }
            let after = beam.shear_n(force.at_m);
            shear_n = shear_n.max(after.abs()).max((after - force.n).abs());
        }
        let (bending_pa, shear_pa) = (section.bending_pa(moment), section.shear_pa(shear_n));
        let bearing_pa = bearing_pa(&forces, width_m);
        let grade = spec.timber.grade();
        // Bearing gets no more for a short load.
        let design_share = (bending_pa / (SHORT_LOAD * grade.bending_pa))
            .max(shear_pa / (SHORT_LOAD * grade.shear_pa))
            .max(bearing_pa / grade.bearing_pa)
            / strength;
        let rupture_pa = wood.rupture_pa * GRADE_SHARE * strength;
        Some(BeamState {
            moment_nm: moment,
            at_m: at_m - spec.length_m / 2.0,
            shear_n,
            bending_pa,
            shear_pa,
            bearing_pa,
            sag_m: sag_m(&beam, section),
            design_share,
            cracks_pa: CRACK_SHARE * rupture_pa,
            rupture_pa,
            shears_pa: wood.shear_pa * strength,
            broken: false,
        })
    }

    /// Breaks the beam where it has borne too much for long enough.
    pub(super) fn break_beam(&mut self) {
        let Some(state) = self.snapshot.beam else { return };
        if state.broken || self.snapshot.asleep {
            return;
        }
        let over = state.bending_pa > state.rupture_pa || state.shear_pa > state.shears_pa;
        self.rupture.over = if over { self.rupture.over + 1 } else { 0 };
        if self.rupture.over >= TICKS {
            self.rupture.broken = true;
            if let Some(part) = self.beam_part() {
                self.break_at(part, state.at_m);
            }
            self.snapshot.beam = Some(BeamState { broken: true, ..state });
        }
    }

    /// Two pieces take the beam's place. Both keep the frame that the beam had, so that a
    /// shim stays where it was on the piece that it is nailed to.
    fn break_at(&mut self, part: PartId, at_m: f64) {
        let Some(spec) = self.scene.clone().beam.clone() else { return };
        let (whole, half) = (self.bodies[part], spec.length_m / 2.0);
        let at_m = at_m.clamp(END_M - half, half - END_M);
        let (hx, hy) = (spec.timber.width_m / 2.0, spec.timber.height_m / 2.0);
        let old = &self.engine.bodies[whole];
        let (position, rotation) = (old.translation(), *old.rotation());
        let (centre, speed, spin) = (old.center_of_mass(), old.linvel(), old.angvel());
        let pieces = [[-half, at_m - GAP_M], [at_m + GAP_M, half]].map(|[from, to]| {
            let corners = [[-hx, from], [-hx, to], [hx, to], [hx, from]];
            let at = |y: f64| corners.map(|[x, z]| [x, y, z]);
            let shape = Shape::Hull(at(-hy).into_iter().chain(at(hy)).collect());
            let spec = BodySpec {
                position,
                rotation,
                shapes: collider(&shape).into_iter().collect(),
                mass: Mass::Density(TIMBER_KG_M3),
                fixed: false,
                friction: self.grip.of(Material::Timber),
                groups: Groups::Part,
            };
            let piece = self.add("beam piece".into(), PartKind::Beam, shape, spec);
            self.bodies[piece]
        });
        for shim in 0..self.parts.len() {
            if self.bodies[shim] != whole || shim == part {
                continue;
            }
            let Shape::Hull(points) = &self.parts[shim].shape else { continue };
            let middle = points.iter().map(|p| p[2]).sum::<f64>() / points.len() as f64;
            let piece = pieces[usize::from(middle > at_m)];
            self.nail(shim, piece);
        }
        for piece in pieces {
            if let Some(body) = self.engine.bodies.get_mut(piece) {
                body.recompute_mass_properties_from_colliders(&self.engine.colliders);
                body.set_angvel(spin, true);
                body.set_linvel(speed + spin.cross(body.center_of_mass() - centre), true);
            }
        }
        self.engine.remove(whole);
        self.parts[part].present = false;
    }

    /// Makes a shim share a beam's body.
    pub(super) fn nail(&mut self, shim: PartId, beam: RigidBodyHandle) {
        self.bodies[shim] = beam;
        let Some(builder) = collider(&self.parts[shim].shape) else { return };
        let like = self.engine.bodies[beam].colliders()[0];
        let template = self.engine.colliders[like].clone();
        let builder = builder
            .density(TIMBER_KG_M3 as Real)
            .friction(template.friction())
            .friction_combine_rule(template.friction_combine_rule())
            .collision_groups(template.collision_groups());
        self.engine.colliders.insert_with_parent(builder, beam, &mut self.engine.bodies);
    }
}

/// The largest bearing stress: what each part presses with, over the width of the beam and
/// the length that its contacts lie apart.
fn bearing_pa(forces: &[(Option<PartId>, Across)], width_m: f64) -> f64 {
    let mut worst = 0.0_f64;
    for (i, (other, _)) in forces.iter().enumerate() {
        if forces[..i].iter().any(|(before, _)| before == other) {
            continue;
        }
        // The vehicle presses on either side of the beam's middle by itself.
        for side in [-1.0, 1.0] {
            let mut sum = 0.0;
            let (mut from, mut to) = (f64::MAX, f64::MIN);
            let middle = forces.iter().map(|(_, a)| a.at_m).fold(0.0, f64::max) / 2.0;
            for (_, a) in forces.iter().filter(|(by, _)| by == other) {
                if (a.at_m - middle) * side >= 0.0 {
                    sum += a.n;
                    (from, to) = (from.min(a.at_m), to.max(a.at_m));
                }
            }
            worst = worst.max(sum.abs() / (width_m * (to - from).max(BEARS_OVER_M)));
        }
    }
    worst
}

/// How far the beam bends between the two places that carry it, m.
fn sag_m(beam: &Beam, section: Section) -> f64 {
    let middle = beam.length_m / 2.0;
    let support = |left: bool| {
        let up = beam.forces.iter().filter(|f| f.n > 0.0 && (f.at_m < middle) == left);
        let (sum, moment) = up.fold((0.0, 0.0), |(s, m), f| (s + f.n, m + f.n * f.at_m));
        (sum > 0.0).then(|| moment / sum)
    };
    let (Some(a), Some(b)) = (support(true), support(false)) else { return 0.0 };
    beam.deflections_m(section, [a, b], &[(a + b) / 2.0], CELLS)[0].abs()
}
