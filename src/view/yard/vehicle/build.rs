//! Turns the scene's vehicle into a car: a shell lofted from its side profile and
//! widths, posts, roof, wheels, inside and underbody.
//!
//! Space: the upright vehicle frame, X forwards, Y up, Z to its right.

use super::car::Car;
use super::outline::Outline;
use crate::scene::{Panel, Vehicle};
use crate::snapshot::{PartKind, Shape};
use crate::view::yard::form::{Form, two_sided};
use crate::view::yard::shown::{Drawing, Drawn, Follows, Root, half_size, renewed, vec3};
use bevy::prelude::*;

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
    let (Some(scene), Some(vehicle_id)) = (&shown.scene, shown.find(PartKind::Vehicle)) else {
        return;
    };
    // A zone with a part of its own is left open in the shell.
    let zones: Vec<&Panel> = scene
        .vehicle
        .panels
        .iter()
        .enumerate()
        .filter(|(i, _)| shown.find(PartKind::Panel(*i)).is_some())
        .map(|(_, panel)| panel)
        .collect();
    // Wheels on their springs move by themselves.
    let sprung: Vec<(usize, usize)> =
        (0..4).filter_map(|wheel| Some((wheel, shown.find(PartKind::Wheel(wheel))?))).collect();
    let car = car_of(&scene.vehicle, &zones, sprung.is_empty());
    let looks = CarMaterials::new(&mut materials);
    let at = |id| (Transform::default(), Visibility::Hidden, Follows::<YARD>(id), ChildOf(root.0));
    let body = commands.spawn(at(vehicle_id)).id();
    spawn_body(&mut commands, &mut meshes, car, &looks, body);
    for (wheel, id) in sprung {
        let mut alone = Car::default();
        alone.wheel(&Outline::new(&scene.vehicle), wheel);
        let hub = commands.spawn(at(id)).id();
        for (form, material) in
            [(alone.rubber, &looks.rubber), (alone.alloy, &looks.alloy), (alone.dark, &looks.dark)]
        {
            let mesh = Mesh3d(meshes.add(form.build()));
            commands.spawn((mesh, MeshMaterial3d(material.clone()), ChildOf(hub)));
        }
    }
    for (id, part) in shown.parts.iter().enumerate() {
        if matches!(part.kind, PartKind::Panel(_)) {
            let mesh = Mesh3d(meshes.add(zone(&part.shape).build()));
            commands.spawn((mesh, MeshMaterial3d(looks.paint.clone()), at(id)));
        }
    }
}

/// What the car's meshes are made of.
struct CarMaterials {
    paint: Handle<StandardMaterial>,
    dark: Handle<StandardMaterial>,
    rubber: Handle<StandardMaterial>,
    alloy: Handle<StandardMaterial>,
    trim: Handle<StandardMaterial>,
    cloth: Handle<StandardMaterial>,
    metal: Handle<StandardMaterial>,
    lamp: Handle<StandardMaterial>,
    tail_lamp: Handle<StandardMaterial>,
    glass: Handle<StandardMaterial>,
}

impl CarMaterials {
    fn new(materials: &mut Assets<StandardMaterial>) -> Self {
        // Sheet metal is seen from both sides.
        let mut sheet = |r: f32, g: f32, b: f32, rough: f32, metallic: f32| {
            materials.add(StandardMaterial { metallic, ..two_sided(Color::srgb(r, g, b), rough) })
        };
        Self {
            paint: sheet(0.30, 0.47, 0.57, 0.42, 0.0),
            dark: sheet(0.085, 0.09, 0.095, 0.95, 0.0),
            rubber: sheet(0.09, 0.09, 0.095, 0.9, 0.0),
            alloy: sheet(0.74, 0.75, 0.76, 0.4, 0.3),
            trim: sheet(0.17, 0.18, 0.19, 0.8, 0.0),
            cloth: sheet(0.27, 0.28, 0.30, 0.95, 0.0),
            metal: sheet(0.46, 0.45, 0.43, 0.6, 0.2),
            lamp: sheet(0.90, 0.92, 0.93, 0.2, 0.0),
            tail_lamp: sheet(0.50, 0.15, 0.15, 0.3, 0.0),
            glass: materials.add(StandardMaterial {
                alpha_mode: AlphaMode::Blend,
                ..two_sided(Color::srgba(0.52, 0.66, 0.72, 0.26), 0.15)
            }),
        }
    }
}

/// The meshes of the car, which move with its body.
fn spawn_body(
    commands: &mut Commands,
    meshes: &mut Assets<Mesh>,
    car: Car,
    looks: &CarMaterials,
    body: Entity,
) {
    for (form, material) in [
        (car.paint, &looks.paint),
        (car.trim, &looks.trim),
        (car.dark, &looks.dark),
        (car.cloth, &looks.cloth),
        (car.metal, &looks.metal),
        (car.rubber, &looks.rubber),
        (car.alloy, &looks.alloy),
        (car.lamp, &looks.lamp),
        (car.tail_lamp, &looks.tail_lamp),
    ] {
        let mesh = Mesh3d(meshes.add(form.build()));
        commands.spawn((mesh, MeshMaterial3d(material.clone()), ChildOf(body)));
    }
    commands.spawn((
        Mesh3d(meshes.add(car.glass.build())),
        MeshMaterial3d(looks.glass.clone()),
        bevy::light::NotShadowCaster,
        ChildOf(body),
    ));
}

/// A zone of sheet metal with a part of its own.
fn zone(shape: &Shape) -> Form {
    let mut form = Form::default();
    match shape {
        Shape::Hull(points) => {
            let points: Vec<Vec3> = points.iter().map(|p| vec3(*p)).collect();
            for face in Form::hull_faces(&points) {
                form.triangle(face, [Vec2::ZERO; 3]);
            }
        }
        shape => form.cuboid(Vec3::ZERO, half_size(shape)),
    }
    form
}

/// The whole car, with its wheels or without; zones with a part of their own are left open in it.
fn car_of(vehicle: &Vehicle, zones: &[&Panel], with_wheels: bool) -> Car {
    let outline = Outline::new(vehicle);
    let mut car = Car::default();
    car.sides(&outline);
    car.lids(&outline, zones);
    for front in [true, false] {
        car.end(&outline, front);
    }
    car.roof(&outline, zones);
    car.posts(&outline);
    car.screens(&outline);
    car.inside(&outline);
    car.doors(&outline);
    if with_wheels {
        car.wheels(&outline);
    }
    car.underbody(&outline);
    car
}
