//! A plain training dummy: one calm colour, no face, nothing harmed. The limbs that
//! the scene traps lie where the scene says.

use super::form::{Form, two_sided};
use super::shown::{Drawing, Drawn, Root, renewed};
use crate::scene::Limb;
use bevy::prelude::*;

const CLOTH: Color = Color::srgb(0.58, 0.68, 0.60);

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(renewed::<YARD>).in_set(Drawing::Build));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    root: Res<Root<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let form = dummy(&scene.limbs);
    if form.is_empty() {
        return;
    }
    commands.spawn((
        Mesh3d(meshes.add(form.build())),
        MeshMaterial3d(materials.add(StandardMaterial {
            // It lies in the vehicle's shadow and is to be seen there.
            emissive: CLOTH.to_linear() * 0.10,
            reflectance: 0.2,
            ..two_sided(CLOTH, 0.95)
        })),
        ChildOf(root.0),
    ));
}

fn is_leg(limb: &Limb) -> bool {
    ["leg", "foot", "thigh", "shin", "knee", "ankle"].iter().any(|w| limb.name.contains(w))
}

/// The trapped limbs, and the body that they belong to.
fn dummy(limbs: &[Limb]) -> Form {
    let mut form = Form::default();
    // Outwards from the vehicle, on the side where the limbs lie.
    let out = if limbs.iter().map(|l| l.at[1]).sum::<f64>() < 0.0 { -1.0f32 } else { 1.0 };
    for limb in limbs {
        let (x, z) = (limb.at[0] as f32, limb.at[1] as f32);
        let radius = (0.5 * limb.thickness_m as f32).max(0.02);
        let half = (0.5 * limb.size[1] as f32 - radius).max(0.02);
        form.capsule(
            Vec3::new(x, radius, z - half),
            Vec3::new(x, radius, z + half),
            radius,
            radius,
        );
    }
    let legs: Vec<&Limb> = limbs.iter().filter(|l| is_leg(l)).collect();
    let arms: Vec<&Limb> = limbs.iter().filter(|l| !is_leg(l)).collect();
    match (legs.first(), arms.first()) {
        (Some(leg), Some(arm)) => stretched(&mut form, leg, arm),
        (Some(_), None) => by_the_legs(&mut form, &legs, out),
        (None, Some(arm)) => by_the_arm(&mut form, arm, out),
        (None, None) => {}
    }
    form
}

/// The end of a limb that lies towards `side` (+1 or -1 along Z).
fn end(limb: &Limb, side: f32) -> Vec3 {
    let reach = side * (0.5 * limb.size[1] as f32 - 0.05).max(0.0);
    Vec3::new(limb.at[0] as f32, 0.5 * limb.thickness_m as f32, limb.at[1] as f32 + reach)
}

/// On its back between a trapped leg and a trapped arm.
fn stretched(form: &mut Form, leg: &Limb, arm: &Limb) {
    let side = if arm.at[1] < leg.at[1] { -1.0 } else { 1.0 };
    let (knee, elbow) = (end(leg, side), end(arm, -side));
    let way = elbow - knee;
    let along = Vec3::new(way.x, 0.0, way.z).try_normalize().unwrap_or(Vec3::NEG_X);
    let across = Vec3::Y.cross(along);
    // Thigh, trunk and upper arm share the distance.
    let span = Vec3::new(way.x, 0.0, way.z).length();
    let hip = knee + along * (span - 0.80).clamp(0.38, 0.60);
    let hip = Vec3::new(hip.x, 0.10, hip.z);
    form.capsule(knee, hip + across * 0.09 * side, 0.06, 0.085);
    // The free leg is drawn up beside the other.
    let root = hip - across * 0.09 * side;
    let free = root - along * 0.36 - across * 0.16 * side;
    let bent = Vec3::new(free.x, 0.07, free.z);
    form.capsule(root, bent, 0.085, 0.06);
    form.capsule(bent, bent + along * 0.30 - across * 0.14 * side, 0.06, 0.042);
    let shoulder = hip + along * 0.49 + across * 0.19 * side;
    form.capsule(Vec3::new(shoulder.x, 0.10, shoulder.z), elbow, 0.055, 0.045);
    torso(form, hip, along, across, [side > 0.0, side < 0.0]);
}

/// On its back at right angles to the vehicle, one leg or both under it.
fn by_the_legs(form: &mut Form, legs: &[&Limb], out: f32) {
    let count = legs.len() as f32;
    let middle_x = legs.iter().map(|l| l.at[0] as f32).sum::<f32>() / count;
    let single = legs.len() == 1;
    let middle_x = if single { middle_x - 0.10 } else { middle_x };
    let end_z = legs.iter().map(|l| end(l, out).z * out).fold(f32::MIN, f32::max) * out;
    let hip = Vec3::new(middle_x, 0.10, end_z + out * 0.42);
    for leg in legs {
        let side = if single { 1.0 } else { (leg.at[0] as f32 - middle_x).signum() };
        let root = hip + Vec3::X * 0.09 * side;
        form.capsule(end(leg, out), root, 0.5 * leg.thickness_m as f32, 0.085);
    }
    if single {
        // The free leg is drawn up beside it.
        let root = hip - Vec3::X * 0.09;
        let knee = root + Vec3::new(-0.16, -0.02, -out * 0.30);
        let heel = Vec3::new(knee.x - 0.12, 0.05, hip.z - out * 0.02);
        form.capsule(root, knee, 0.085, 0.06);
        form.capsule(knee, heel, 0.06, 0.042);
    }
    torso(form, hip, Vec3::Z * out, Vec3::X, [true, true]);
}

/// Beside the vehicle, the trapped arm stretched out under it.
fn by_the_arm(form: &mut Form, arm: &Limb, out: f32) {
    let elbow = end(arm, out);
    let shoulder = elbow + Vec3::new(0.0, 0.04, out * 0.24);
    form.capsule(elbow, shoulder, 0.045, 0.055);
    // Feet towards the tail, where there is more room.
    let along = Vec3::NEG_X;
    let across = Vec3::Z * out;
    let hip = shoulder + along * 0.52 + across * 0.17;
    torso(form, hip, -along, across, [false, true]);
    for side in [-1.0, 1.0] {
        let root = hip + across * 0.09 * side;
        let knee = root + along * 0.42 + across * 0.03 * side + Vec3::Y * 0.03;
        let heel = knee + along * 0.42 - Vec3::Y * 0.07;
        form.capsule(root, knee, 0.085, 0.06);
        form.capsule(knee, heel, 0.06, 0.045);
        form.capsule(heel, heel + Vec3::new(0.0, 0.13, 0.0) + along * 0.03, 0.045, 0.032);
    }
}

/// Hips, chest, head and arms from the hip towards the head. `arms` says which
/// arms lie free, the one at -`across` first.
fn torso(form: &mut Form, hip: Vec3, along: Vec3, across: Vec3, arms: [bool; 2]) {
    let turn = Quat::from_mat3(&Mat3::from_cols(across, Vec3::Y, across.cross(Vec3::Y)));
    let lift = |p: Vec3, y: f32| Vec3::new(p.x, y, p.z);
    form.cushion(lift(hip + along * 0.02, 0.10), Vec3::new(0.165, 0.095, 0.13), turn);
    form.cushion(lift(hip + along * 0.22, 0.10), Vec3::new(0.135, 0.085, 0.16), turn);
    form.cushion(lift(hip + along * 0.41, 0.115), Vec3::new(0.185, 0.11, 0.17), turn);
    form.capsule(lift(hip + along * 0.54, 0.10), lift(hip + along * 0.64, 0.10), 0.055, 0.055);
    form.capsule(lift(hip + along * 0.73, 0.105), lift(hip + along * 0.80, 0.105), 0.085, 0.095);
    for (free, side) in arms.into_iter().zip([-1.0, 1.0]) {
        if !free {
            continue;
        }
        let shoulder = lift(hip + along * 0.49 + across * 0.19 * side, 0.10);
        let elbow = lift(hip + along * 0.26 + across * 0.30 * side, 0.06);
        let hand = lift(hip + along * 0.02 + across * 0.32 * side, 0.045);
        form.capsule(shoulder, elbow, 0.055, 0.042);
        form.capsule(elbow, hand, 0.042, 0.032);
        form.capsule(hand, hand - along * 0.09, 0.036, 0.026);
    }
}
