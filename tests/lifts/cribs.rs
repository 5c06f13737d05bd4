//! What cribs give under their load. In play a crib gives as its contacts do, whose stiffness goes
//! with the mass of its timbers; wood gives by its own stiffness across the grain. What lies
//! between the two is held against the margin of every shipped lift.

use inchwise::scene::{self, Outcome, Scene, Stack};
use inchwise::statics::plan::Plan;
use inchwise::statics::sheet::{RowQuantity, Sheet};
use inchwise::statics::stacks::crossings;
use inchwise::tables::TIMBER_KG_M3;
use inchwise::units::UnitSystem;
use inchwise::world::solver::Settings;
use std::f64::consts::TAU;

/// A real crib seats itself and has gaps: it gives up to so many times as much as its wood alone
/// (`load.crib_stiffness` in docs/VERIFICATION.md; assumed).
const SEATS: f64 = 3.0;

/// Stiffness of a joint between two layers in play, N/m: springs of the contacts' frequency with
/// the mass that two crossing timbers show at each corner of their crossing
/// (`load.contact_spring`).
fn played_n_m(stack: &Stack) -> f64 {
    let (width, height, length) = (stack.timber.width_m, stack.timber.height_m, stack.length_m);
    let kg = width * height * length * TIMBER_KG_M3;
    let inertia = |a: f64, b: f64| kg * (a * a + b * b) / 12.0;
    let half = width / 2.0;
    let outer = stack.outer_m();
    let lightness = |along: f64| {
        1.0 / kg + along * along / inertia(length, height) + half * half / inertia(width, height)
    };
    let places: Vec<f64> = (0..stack.members)
        .map(|i| outer * (2.0 * i as f64 / (stack.members - 1) as f64 - 1.0))
        .flat_map(|at| [at - half, at + half])
        .collect();
    let each = |a: &f64| places.iter().map(|b| 1.0 / (lightness(*a) + lightness(*b))).sum::<f64>();
    places.iter().map(each).sum::<f64>() * (TAU * Settings::SHIPPED.contact_hz).powi(2)
}

/// Stiffness of a joint by the wood: the depth of one timber across the grain, N/m.
fn wood_n_m(stack: &Stack, across_pa: f64) -> f64 {
    across_pa * crossings(stack) as f64 * stack.timber.width_m.powi(2) / stack.timber.height_m
}

/// How much more or less high the stacks of a scene stand with wood in the place of contacts, m.
fn apart_m(scene: &Scene, plan: &Plan) -> f64 {
    let Some(lift) = &plan.lift else { return 0.0 };
    let state = lift.end();
    let of_point = |point: &inchwise::statics::plan::LiftPoint| {
        let stack = &scene.stacks[point.stack];
        let force_n = lift.force_n(point, &state) + point.dead_n;
        let joints = stack.layers.saturating_sub(1) as f64;
        let played_m = joints * force_n / played_n_m(stack);
        let wood_m = joints * force_n / wood_n_m(stack, scene.wood.across_pa());
        (wood_m - played_m).abs().max((SEATS * wood_m - played_m).abs())
    };
    lift.points.iter().map(of_point).fold(0.0, f64::max)
}

#[test]
fn what_cribs_give_turns_no_lesson() {
    let (mut checked, mut most_m) = (0, 0.0_f64);
    let mut near = Vec::new();
    for name in scene::builtin_names() {
        let Ok(loaded) = scene::load(&name, &[]) else { panic!("{name} loads") };
        let scene = loaded.scene;
        let Some(plan) = Plan::new(&scene) else { continue };
        let apart_m = apart_m(&scene, &plan);
        most_m = most_m.max(apart_m);
        if scene.expect.outcome != Outcome::Lifted || plan.lift.is_none() {
            continue;
        }
        checked += 1;
        let sheet = Sheet::new(&scene, UnitSystem::Si);
        let gaps = sheet.rows.iter().filter(|row| *row.quantity() == RowQuantity::Gap);
        for row in gaps {
            let (Some(gap), Some(limit)) = (row.result, row.limit) else { continue };
            let left_m = gap.value() - limit.figure().value();
            // A gap grows by less than what the stacks give, whatever the lever.
            if left_m < apart_m {
                near.push(format!("{name}: {} has {left_m} m left, {apart_m} m apart", row.what()));
            }
        }
    }
    println!("{checked} lifts; stacks stand {most_m} m apart at most");
    assert!(checked >= 20, "only {checked} lifts");
    // By a millimetre and a half of a stack no stack topples: its line moves by less.
    assert!(most_m < 1.5e-3, "{most_m} m");
    assert!(near.is_empty(), "{}", near.join("\n"));
}
