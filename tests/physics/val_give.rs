//! What gives way: sheet metal, by the one mechanism that limbs share.
//!
//! Law: elastic up to a plateau force, then a permanent set, and unloading along the
//! elastic line (any textbook of plasticity: elastic, perfectly plastic). The shipped
//! vehicle's plateaus are assumed. Soil is in `val_soil.rs`.

use crate::common::{Claim, G, Unit, block, density, gravity, run, steps, v};
use bevy_rapier3d::rapier::prelude::Pose;
use inchwise::world::engine::{Engine, RigidBodyHandle};
use inchwise::world::{Law, YieldingSupport};

struct Panel {
    engine: Engine,
    body: RigidBodyHandle,
    giving: YieldingSupport,
}

const PANEL_KG: f64 = 8.0;

impl Panel {
    fn new(stiffness_n_m: f64, plateau_n: f64) -> Self {
        let mut engine = Engine::new(gravity(0.0));
        let ground = engine.add_ground(0.5);
        let half = [0.2, 0.008, 0.3];
        let body = block(&mut engine, half, [0.0, 0.5, 0.0], density(PANEL_KG, half), 0.5);
        // The ground body's frame lies 1 m under its surface.
        let frame = Pose::from_translation(v([0.0, 1.5, 0.0]));
        let law = Law { stiffness_n_m, plateau_n, rest_m: 0.0, limits_m: [-0.2, 0.0], pulls: true };
        let giving = YieldingSupport::new(&mut engine, ground, body, frame, law);
        Self { engine, body, giving }
    }

    /// Presses it down with a force, its own weight counted in, until it lies still.
    fn press(&mut self, n: f64, seconds: f64) {
        for _ in 0..steps(seconds) {
            self.giving.advance(&mut self.engine);
            let body = &mut self.engine.bodies[self.body];
            body.add_force(v([0.0, PANEL_KG * G - n, 0.0]), true);
            run(&mut self.engine, 1.0 / 120.0);
        }
    }

    fn pushed_in_m(&self) -> f64 {
        0.5 - f64::from(self.engine.bodies[self.body].translation().y)
    }
}

#[test]
fn a_panel_is_elastic_to_its_plateau_and_keeps_its_set() {
    let mut elastic = Claim {
        id: "give.elastic",
        claim: "a panel below its plateau is pushed in by F / k and comes back",
        source: "Hooke's law",
        range: "100 to 400 N/mm, plateau 2 to 9 kN, 20 to 90 % of it",
        tolerance: 0.002,
        unit: Unit::Share,
        reason: "settled to a micrometre of at least 1 mm",
    }
    .begin();
    let mut set = Claim {
        id: "give.set",
        claim: "past its plateau it stays pushed in by the way it went, less plateau / k",
        source: "elastic, perfectly plastic body, closed form",
        range: "the same panels, pressed with 1.2 times the plateau for 0.15 to 0.4 s",
        tolerance: 0.002,
        unit: Unit::Share,
        reason: "settled to a micrometre of at least 1 mm",
    }
    .begin();
    let mut unloading = Claim {
        id: "give.unloading",
        claim: "from its plateau it unloads along the elastic line",
        source: "elastic, perfectly plastic body, closed form",
        range: "the same panels, unloaded to 75, 50 and 25 % of the plateau",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "settled to a micrometre of a difference of at least 5 mm / 4",
    }
    .begin();
    for k in [100e3, 200e3, 400e3] {
        for plateau in [2e3, 4e3, 9e3] {
            let mut panel = Panel::new(k, plateau);
            for share in [0.2, 0.5, 0.9] {
                panel.press(share * plateau, 2.0);
                let at = format!("{k} N/m, {share} of {plateau} N");
                elastic.compare(panel.pushed_in_m(), share * plateau / k, at);
            }
            for seconds in [0.15, 0.4] {
                let mut panel = Panel::new(k, plateau);
                panel.press(1.2 * plateau, seconds);
                // Held just under the plateau it comes to rest at the end of its way.
                panel.press(0.999 * plateau, 2.0);
                let furthest = panel.pushed_in_m() + 0.001 * plateau / k;
                let at = format!("{k} N/m, {plateau} N, {seconds} s");
                assert!(furthest > 1.02 * plateau / k, "{at}: it has not yielded");
                for share in [0.75, 0.5, 0.25] {
                    panel.press(share * plateau, 2.0);
                    let back = furthest - panel.pushed_in_m();
                    unloading.compare(back, (1.0 - share) * plateau / k, &at);
                }
                panel.press(1.0, 2.0);
                set.residual(
                    (panel.pushed_in_m() - 1.0 / k - (furthest - plateau / k)).abs() / furthest,
                    at,
                );
            }
        }
    }
    elastic.end();
    set.end();
    unloading.end();
}

/// While it yields it pushes back with its plateau, neither more nor less.
#[test]
fn a_yielding_panel_pushes_back_with_its_plateau() {
    let mut residuals = Claim {
        id: "give.plateau",
        claim: "a panel that yields carries its plateau force",
        source: "elastic, perfectly plastic body",
        range: "100 to 400 N/mm, plateau 2 to 9 kN, pressed with 1.1 times as much",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "read in motion: a step's travel is still counted as spring; its own weight \
                 is left out",
    }
    .begin();
    for k in [100e3, 400e3] {
        for plateau in [2e3, 9e3] {
            let mut panel = Panel::new(k, plateau);
            panel.press(1.1 * plateau, 0.2);
            let found = panel.giving.force_n(&panel.engine) + PANEL_KG * G;
            residuals.compare(found, plateau, format!("{k} N/m, {plateau} N"));
        }
    }
    residuals.end();
}
