//! The scene's beam under the forces that its contacts measure: what it bears, and that it
//! breaks in two where it bears too much.

use super::beam::{Across, BeamSection, LoadedBeam};
use super::bodies::Bodies;
use super::engine::{BodySpec, Engine, Groups, Mass, RigidBodyHandle};
use super::shapes::{collider, plain};
use crate::scene::{Beam, Scene};
use crate::snapshot::{BeamState, Load, PartId, PartKind, Shape};
use crate::tables::{CRACK_SHARE, GRADE_SHARE, Material, SHIM_LENGTH_M, SHORT_LOAD, TIMBER_KG_M3};

/// A beam breaks once it has borne too much for this many ticks in a row: a jolt of a tick or
/// two breaks no timber.
const TICKS: u32 = 3;
/// Half the gap between the two pieces, m, so that they do not overlap.
const GAP_M: f64 = 0.002;
/// It never breaks nearer to an end than this, m.
const END_M: f64 = 0.10;
/// What presses on a beam presses over this length at least, m (assumed: edges bite in).
const BEARS_OVER_M: f64 = 0.05;
/// Pieces that the deflection is summed over.
const CELLS: usize = 64;

/// The state of the beam: whether it has borne too much, and the strength that a crack has
/// left.
#[derive(Clone)]
pub(super) struct Rupture {
    /// Ticks in a row for which it has borne too much.
    over: u32,
    broken: bool,
    /// The share of its strength that a crack has left.
    left: f64,
}

impl Default for Rupture {
    fn default() -> Self {
        Self { over: 0, broken: false, left: 1.0 }
    }
}

/// What stands on the beam, and where along it each presses.
type Forces = Vec<(Option<PartId>, Across)>;

fn beam_part(bodies: &Bodies) -> Option<PartId> {
    bodies.parts.iter().position(|part| part.kind == PartKind::Beam)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

impl Rupture {
    /// A crack leaves this share of the beam's strength.
    pub fn crack(&mut self, left: f64) {
        self.left = left;
    }

    /// What the scene's beam bears now; as it was last where it is broken.
    pub fn state(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        scene: &Scene,
        loads: &[Load],
        last: Option<BeamState>,
    ) -> Option<BeamState> {
        let spec = scene.beam.as_ref()?;
        if self.broken {
            return last.map(|state| BeamState { broken: true, ..state });
        }
        let (beam, forces) = loaded_beam(engine, bodies, beam_part(bodies)?, spec, loads);
        let wood = scene.wood;
        // A hidden crack takes some of what the scene gives it.
        let strength = spec.strength_share * self.left;
        let (width_m, height_m) = (spec.timber.width_m, spec.timber.height_m);
        let section = BeamSection { width_m, height_m, modulus_pa: wood.elastic_pa };
        let (moment, at_m, shear_n) = worst_section(&beam);
        let (bending_pa, shear_pa) = (section.bending_pa(moment), section.shear_pa(shear_n));
        // A shim bears along a crest here, and over its length on the beam.
        let over_m = |other: Option<PartId>| {
            let shim = spec.shims && other.is_some_and(|part| bodies.is_vehicle(part));
            if shim { SHIM_LENGTH_M } else { BEARS_OVER_M }
        };
        let bearing_pa = bearing_pa(&forces, width_m, over_m);
        let grade = spec.timber.grade();
        // Bearing strength is no higher for a short load.
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

    /// Breaks the beam where it has borne too much for long enough; true once, when it does.
    pub fn advance(
        &mut self,
        engine: &mut Engine,
        bodies: &mut Bodies,
        scene: &Scene,
        state: BeamState,
    ) -> bool {
        let over = state.bending_pa > state.rupture_pa || state.shear_pa > state.shears_pa;
        self.over = if over { self.over + 1 } else { 0 };
        if self.over < TICKS {
            return false;
        }
        self.broken = true;
        if let (Some(part), Some(spec)) = (beam_part(bodies), &scene.beam) {
            break_at(engine, bodies, part, spec, state.at_m);
        }
        true
    }
}

/// The beam with the forces on it along its own upright, from its left end at -z.
fn loaded_beam(
    engine: &Engine,
    bodies: &Bodies,
    part: PartId,
    spec: &Beam,
    loads: &[Load],
) -> (LoadedBeam, Forces) {
    let pose = engine.pose(bodies.handles[part]);
    let up = pose.turned([0.0, 1.0, 0.0]);
    let mut forces = Forces::new();
    for load in loads {
        let (sign, other) = match (load.on == part, load.by == Some(part)) {
            (true, _) => (1.0, load.by),
            (_, true) => (-1.0, Some(load.on)),
            _ => continue,
        };
        let at_m = pose.local(load.point)[2] + spec.length_m / 2.0;
        forces.push((other, Across { at_m, n: sign * dot(load.force, up) }));
    }
    let gravity = plain(engine.gravity);
    let beam = LoadedBeam {
        length_m: spec.length_m,
        weight_n_m: -f64::from(bodies.rigid(engine, part).mass()) * dot(gravity, up)
            / spec.length_m,
        forces: forces.iter().map(|(_, across)| *across).collect(),
    };
    (beam, forces)
}

/// The largest moment, N m, where it is, m, and the largest shear force, N.
fn worst_section(beam: &LoadedBeam) -> (f64, f64, f64) {
    let (mut moment, mut at_m, mut shear_n) = (0.0_f64, beam.length_m / 2.0, 0.0_f64);
    for force in &beam.forces {
        let here = beam.moment_nm(force.at_m);
        if here.abs() > moment.abs() {
            (moment, at_m) = (here, force.at_m);
        }
        let after = beam.shear_n(force.at_m);
        shear_n = shear_n.max(after.abs()).max((after - force.n).abs());
    }
    (moment, at_m, shear_n)
}

/// Two pieces take the beam's place. Both keep the frame that the beam had, so that a
/// shim stays where it was on the piece that it is nailed to.
fn break_at(engine: &mut Engine, bodies: &mut Bodies, part: PartId, beam: &Beam, at_m: f64) {
    let (whole, half) = (bodies.handles[part], beam.length_m / 2.0);
    let at_m = at_m.clamp(END_M - half, half - END_M);
    let old = &engine.bodies[whole];
    let (centre, speed, spin) = (old.center_of_mass(), old.linvel(), old.angvel());
    let ends = [[-half, at_m - GAP_M], [at_m + GAP_M, half]];
    let pieces = ends.map(|ends| add_piece(engine, bodies, beam, whole, ends));
    for shim in 0..bodies.parts.len() {
        if bodies.handles[shim] != whole || shim == part {
            continue;
        }
        let Shape::Hull(points) = &bodies.parts[shim].shape else { continue };
        let middle = points.iter().map(|p| p[2]).sum::<f64>() / points.len() as f64;
        let piece = pieces[usize::from(middle > at_m)];
        bodies.nail(engine, shim, piece);
    }
    for piece in pieces {
        if let Some(body) = engine.bodies.get_mut(piece) {
            body.recompute_mass_properties_from_colliders(&engine.colliders);
            body.set_angvel(spin, true);
            body.set_linvel(speed + spin.cross(body.center_of_mass() - centre), true);
        }
    }
    bodies.take_away(engine, part);
}

/// A piece of the broken beam between two places along it, m.
fn add_piece(
    engine: &mut Engine,
    bodies: &mut Bodies,
    beam: &Beam,
    whole: RigidBodyHandle,
    [from, to]: [f64; 2],
) -> RigidBodyHandle {
    let (hx, hy) = (beam.timber.width_m / 2.0, beam.timber.height_m / 2.0);
    let corners = [[-hx, from], [-hx, to], [hx, to], [hx, from]];
    let at = |y: f64| corners.map(|[x, z]| [x, y, z]);
    let shape = Shape::Hull(at(-hy).into_iter().chain(at(hy)).collect());
    let old = &engine.bodies[whole];
    let spec = BodySpec {
        position: old.translation(),
        rotation: *old.rotation(),
        shapes: collider(&shape).into_iter().collect(),
        mass: Mass::Density(TIMBER_KG_M3),
        fixed: false,
        friction: bodies.grip_of(Material::Timber),
        groups: Groups::Part,
    };
    let piece = bodies.add(engine, "beam piece".into(), PartKind::Beam, shape, spec);
    bodies.handles[piece]
}

/// The largest bearing stress: what each part presses with, over the width of the beam and
/// the length that its contacts lie apart, or `over_m` where that is more.
fn bearing_pa(forces: &Forces, width_m: f64, over_m: impl Fn(Option<PartId>) -> f64) -> f64 {
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
            worst = worst.max(sum.abs() / (width_m * (to - from).max(over_m(*other))));
        }
    }
    worst
}

/// How far the beam bends between the two places that carry it, m.
fn sag_m(beam: &LoadedBeam, section: BeamSection) -> f64 {
    let middle = beam.length_m / 2.0;
    let support = |left: bool| {
        let up = beam.forces.iter().filter(|f| f.n > 0.0 && (f.at_m < middle) == left);
        let (sum, moment) = up.fold((0.0, 0.0), |(s, m), f| (s + f.n, m + f.n * f.at_m));
        (sum > 0.0).then(|| moment / sum)
    };
    let (Some(a), Some(b)) = (support(true), support(false)) else { return 0.0 };
    beam.deflections_m(section, [a, b], &[(a + b) / 2.0], CELLS)[0].abs()
}
