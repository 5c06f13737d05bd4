//! A load that comes down with nothing under it.
//!
//! Law: conservation of energy, `m v^2 / 2 = m g h`, and of momentum, `sum F dt = m v + m g t`
//! (any textbook of mechanics). An inch of free drop of 1400 kg is 0.706 m/s and 349 J, 50 mm
//! 0.990 m/s and 686 J, 100 mm 1.400 m/s and 1373 J.

use crate::common::{
    Claim, FOUR_M, G, TIMBER_KG_M3, Unit, block, density, force, gravity, run, steps,
};
use approx::abs_diff_eq;
use inchwise::world::engine::{Engine, Mass};
use inchwise::world::solver::STEP_S;

const HALF: [f64; 3] = [0.5, 0.2, 0.4];

/// Height, and speed and energy at the end of it for 1400 kg, as handbooks round them.
const CASES: [(f64, f64, f64); 3] =
    [(0.0254, 0.706, 349.0), (0.050, 0.990, 686.0), (0.100, 1.400, 1373.0)];

#[test]
fn a_load_falls_on_two_timbers_with_the_energy_of_its_drop() {
    let mut speed = Claim {
        id: "drop.speed",
        claim: "speed of a load at the end of a free drop, v = sqrt(2 g h)",
        source: "conservation of energy; 0.706, 0.990 and 1.400 m/s",
        range: "200, 1400 and 4000 kg from 25.4, 50 and 100 mm onto two 4x4 timbers",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "the bar for free fall; read at the last step before it touches, and carried on \
                 over what is left of the way, at most a step's",
    }
    .begin();
    let mut energy = Claim {
        id: "drop.energy",
        claim: "energy that the load brings down, its kinetic energy at the end of the drop, m g h",
        source: "conservation of energy; 349, 686 and 1373 J of 1400 kg",
        range: "the same",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "twice the speed's",
    }
    .begin();
    let mut blow = Claim {
        id: "drop.blow",
        claim: "what the timbers push back with, summed over the fall and the second after it, is \
                the load's weight times that time",
        source: "momentum: it is at rest before and after",
        range: "the same",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "a load that still settles by a tenth of a millimetre a second",
    }
    .begin();
    for kg in [200.0, 1400.0, 4000.0] {
        for (height, speed_m_s, energy_j) in CASES {
            let mut engine = Engine::new(gravity(0.0));
            engine.add_ground(0.6);
            let t = FOUR_M / 2.0;
            let timbers = [-0.2, 0.2].map(|x| {
                let mass = Mass::Density(TIMBER_KG_M3);
                block(&mut engine, [t, t, 0.3], [x, t, 0.0], mass, 0.5)
            });
            run(&mut engine, 1.0);
            let rest = FOUR_M + HALF[1];
            let load = block(&mut engine, HALF, [0.0, rest + height, 0.0], density(kg, HALF), 0.5);
            let (mut last, mut impulse, mut touched) = (0.0, 0.0, false);
            let whole = (2.0 * height / G).sqrt() + 1.0;
            let count = steps(whole);
            for _ in 0..count {
                let left = f64::from(engine.bodies[load].translation().y) - rest;
                let down = -f64::from(engine.bodies[load].linvel().y);
                let push: f64 = timbers.iter().map(|t| force(&engine, load, *t)[1]).sum();
                if !touched && push == 0.0 {
                    last = (down * down + 2.0 * G * left.max(0.0)).sqrt();
                }
                touched |= push != 0.0;
                engine.step();
                impulse +=
                    timbers.iter().map(|t| force(&engine, load, *t)[1]).sum::<f64>() * STEP_S;
            }
            assert!(touched, "it came down");
            let at = format!("{kg} kg from {height} m");
            let (v, e) = ((2.0 * G * height).sqrt(), kg * G * height);
            // The closed form is the handbooks', to their last digit.
            assert!(
                abs_diff_eq!(v, speed_m_s, epsilon = 6e-4)
                    && abs_diff_eq!(e * 1400.0 / kg, energy_j, epsilon = 0.6)
            );
            speed.compare(last, v, &at);
            energy.compare(kg * last * last / 2.0, e, &at);
            blow.compare(impulse, kg * G * count as f64 * STEP_S, &at);
        }
    }
    speed.end();
    energy.end();
    blow.end();
}
