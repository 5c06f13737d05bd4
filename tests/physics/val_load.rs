//! Loads read at contacts.
//!
//! Law: Newton. What bears on a body sums to its weight and its inertia; a hinged body is
//! lifted by the moment of its weight over the lever; two supports share by the lever, four
//! equal ones by their places. Cribs: their rated capacities are 500 psi over the crossings
//! (California State Fire Training, Rescue Systems 1, ch. 30, December 2000: 24,000 lb of two
//! 4x4, 55,000 lb of three; 60,000 lb of two 6x6 seen in a magazine). Crib stiffness: E_perp A
//! / H with Wood Handbook FPL-GTR-190 ratios for Douglas-fir.

use crate::common::cases::{rated_crib, two_supports};
use crate::common::{
    Claim, Crib, FOUR_M, G, LOAD_HALF_M, SIX_M, TIMBER_KG_M3, Unit, block, density, force, gravity,
    hinge_push_n, note_table, run, steps,
};
use crate::recorded::{Tick, shipped};
use inchwise::snapshot::PartKind;
use inchwise::world::engine::Engine;
use inchwise::world::solver::{STEP_S, Settings};

/// A long body on a hinge at its lower left edge, lying on a smooth round support: the
/// push stands square on its face, so that `N s = W (x cos t - z sin t)` with s the way
/// along the face.
#[test]
fn a_hinged_body_is_lifted_by_its_lever() {
    let mut residuals = Claim {
        id: "load.hinge",
        claim: "lift force on a hinged body over its rise",
        source: "pivot statics: N s = W (x cos t - z sin t)",
        range: "1300 kg, 4 m long, centre 0.4 m up, lifted 0 to 25 deg at 2.5, 3 and 3.6 m",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "the hinge is a joint and the support is read as a contact",
    }
    .begin();
    for lever in [2.5, 3.0, 3.6] {
        for degrees in [0.0_f64, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0] {
            let t = degrees.to_radians();
            let (sin, cos) = t.sin_cos();
            let found = hinge_push_n(t, lever);
            let expected = 1300.0 * G * (2.0 * cos - 0.4 * sin) / lever;
            residuals.compare(found, expected, format!("{degrees} deg at {lever} m"));
        }
    }
    residuals.end();
}

/// A whole vehicle hinging over its nose, side view: moments about where it bears on the
/// ground. `N (p - s) = W (p - x)` and what other things push, upright and level, each by its
/// own arm; p, s and x are where it bears on the ground, where it is lifted and its centre of
/// mass.
#[test]
fn a_vehicle_is_lifted_by_its_lever_over_the_whole_rise() {
    let mut residuals = Claim {
        id: "load.vehicle_hinge",
        claim: "lift force on a vehicle that hinges over its nose, over its whole rise",
        source: "pivot statics: N = (W (p - x) - other moments) / (p - s), about where it bears \
                 on the ground",
        range: "beam lift, wedged deck lid, plumb stack: every second with more than a \
                millimetre of rise, a fifth of a second apart",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "means over a second; level loads waver in their reading (load.level_mean), on \
                 arms of up to a metre",
    }
    .begin();
    for name in ["beam-lift", "deck-lid-wedged", "stack-plumb"] {
        let whole = shipped(name);
        let (mut lift, mut ground, mut weight, mut moment) = ([0.0; 2], [0.0; 2], [0.0; 2], 0.0);
        let (mut ticks, mut fifths, mut rises) = (0, Vec::new(), Vec::new());
        let on_vehicle = |part: usize| whole.is_vehicle(part);
        let g = -whole.gravity[1];
        for Tick { snapshot, members, .. } in &whole.ticks {
            if snapshot.asleep || snapshot.rise_m < 0.001 {
                continue;
            }
            for member in members.iter().filter(|m| on_vehicle(m.part)) {
                weight[0] += member.kg * g;
                weight[1] += member.kg * g * member.com[0];
            }
            for load in &snapshot.loads {
                let (on, by) = (on_vehicle(load.on), load.by.is_some_and(on_vehicle));
                if on == by {
                    continue;
                }
                let sign = if on { 1.0 } else { -1.0 };
                let [along, up] = [sign * load.force[0], sign * load.force[1]];
                let [x, y, _] = load.point;
                let other = if on { load.by } else { Some(load.on) };
                // Level pushes turn it by their height over the ground.
                moment += along * y;
                match other.map(|part| whole.kind(part)) {
                    None => ground = [ground[0] + up, ground[1] + up * x],
                    Some(
                        PartKind::Beam
                        | PartKind::Wedge(_)
                        | PartKind::BagFace { .. }
                        | PartKind::StackTimber { .. }
                        | PartKind::Pad { .. },
                    ) => lift = [lift[0] + up, lift[1] + up * x],
                    // Limbs, chocks, captures and void fill: about the origin for now.
                    Some(_) => {
                        weight[0] -= up;
                        weight[1] -= up * x;
                    }
                }
            }
            ticks += 1;
            if ticks % 12 == 0 {
                fifths.push([lift[0], lift[1], ground[0], ground[1], weight[0], weight[1], moment]);
                rises.push((snapshot.t_s, snapshot.rise_m));
                (lift, ground, weight, moment) = ([0.0; 2], [0.0; 2], [0.0; 2], 0.0);
            }
        }
        for (second, (t_s, rise_m)) in fifths.windows(5).zip(&rises[4..]) {
            let [lift, lift_m, ground, ground_m, weight, weight_m, moment] =
                std::array::from_fn(|i| second.iter().map(|fifth| fifth[i]).sum::<f64>());
            let p = ground_m / ground;
            let expected = (weight * p - weight_m - moment) / (p - lift_m / lift);
            residuals.compare(lift, expected, format!("{name}, {t_s:.1} s, {rise_m:.3} m"));
        }
        let most = rises.iter().fold(0.0_f64, |most, (_, rise_m)| most.max(*rise_m));
        assert!(rises.len() > 20 && most > 0.05, "{name}: {} moments to {most} m", rises.len());
    }
    residuals.end();
}

#[test]
fn two_supports_share_by_the_lever() {
    let mut residuals = Claim {
        id: "load.two_supports",
        claim: "two supports share a load by the lever, R1 = W b / L",
        source: "statics, closed form; the plank's own weight halved between them",
        range: "50 to 2000 kg at 0.1 to 0.9 of 2 m",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "feet are 10 mm wide: 0.5 % of the shortest arm at most",
    }
    .begin();
    for kg in [50.0, 400.0, 2000.0] {
        for case in two_supports(Settings::SHIPPED, kg) {
            residuals.residual(case.off(), case);
        }
    }
    residuals.end();
}

#[test]
fn four_alike_supports_share_by_their_places() {
    let mut residuals = Claim {
        id: "load.four_supports",
        claim: "four equal supports at (+-a, +-b) under a stiff plate: W / 4 (1 +- x/a) (+- z/b)",
        source: "statics of a stiff plate on four equal springs: W / 4 (1 + sx x/a + sz z/b)",
        range: "600 kg at nine places within half of a and b",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "one way of sharing is settled by stiffness alone, which in a contact goes with \
                 the impulses that it began with",
    }
    .begin();
    for x in [-0.25, 0.0, 0.25] {
        for z in [-0.2, 0.0, 0.2] {
            let mut engine = Engine::new(gravity(0.0));
            engine.add_ground(0.6);
            let (a, b) = (0.6, 0.5);
            let foot = [0.03, 0.05, 0.03];
            let mut posts = Vec::new();
            for (sx, sz) in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)] {
                let at = [sx * a, 0.05, sz * b];
                let post = block(&mut engine, foot, at, density(3.0, foot), 0.6);
                posts.push((post, sx, sz));
            }
            let half = [0.7, 0.04, 0.6];
            let plate = block(&mut engine, half, [0.0, 0.14, 0.0], density(40.0, half), 0.6);
            let load = [0.1, 0.1, 0.1];
            block(&mut engine, load, [x, 0.28, z], density(600.0, load), 0.6);
            run(&mut engine, 3.0);
            for (post, sx, sz) in posts {
                let share = 1.0 + sx * x / a + sz * z / b;
                let expected = (600.0 * share + 40.0) / 4.0 * G;
                let found = force(&engine, plate, post)[1];
                // Against the mean share, so that a lightly loaded post counts as much.
                let mean = 640.0 / 4.0 * G;
                residuals.residual(
                    (found - expected).abs() / mean,
                    format!("load at {x}, {z}, post {sx}, {sz}: {found} for {expected}"),
                );
            }
        }
    }
    residuals.end();
}

#[test]
fn a_crib_at_its_rated_load_bears_500_psi() {
    const PSI: f64 = 6894.757;
    const LB: f64 = 0.453_592_37;
    let mut stress = Claim {
        id: "load.crib_stress",
        claim: "mean bearing stress at each joint of a crib at its rated capacity is 500 psi",
        source: "Rescue Systems 1, ch. 30 (2000): 24,000 lb of two 4x4 a layer (4 crossings), \
                 55,000 lb of three (9); 60,000 lb of two 6x6 (a trade magazine, \
                 title not kept)",
        range: "6 layers, each joint between layers, 8 s after it was loaded",
        tolerance: 0.025,
        unit: Unit::Share,
        reason: "the ratings are rounded: 490, 499 and 496 psi by arithmetic",
    }
    .begin();
    let mut joint = Claim {
        id: "load.crib_joint",
        claim: "... and what goes through each joint is the weight of all above it",
        source: "statics",
        range: "the same cribs and joints",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "at rest; a crib bobs for some seconds when its load is put on at once",
    }
    .begin();
    let mut stiffness = Claim {
        id: "load.crib_stiffness",
        claim: "a crib shortens at 24,000 lb by 1 to 3 times F H / (E A); how far the ratio is \
                from 2, as a share of that",
        source: "E_perp 0.050 x 1.10 x 13.4 GPa (Wood Handbook FPL-GTR-190 tables 5-1 and 5-3a), \
                 A of four crossings; an upper bound on stiffness (no gaps, no seating)",
        range: "two 4x4 a layer, 3, 6 and 10 layers",
        tolerance: 0.5,
        unit: Unit::Share,
        reason: "timbers are stiff bodies here and only their contacts give; that stiffness \
                 depends on the mass of the timbers and not on their wood (load.contact_spring); \
                 a real crib seats itself and gives more than the bound",
    }
    .begin();
    let mut spring = Claim {
        id: "load.contact_spring",
        claim: "... and that is what the contacts' springs say: each joint gives by F / k, k the \
                sum of m_eff (2 pi f)^2 over its points",
        source: "springs in a row; a contact point is a spring of f = 960 Hz with the mass that \
                 two timbers show at that point",
        range: "the same cribs: what 3 and 7 layers more shorten it by",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "points lie 2 mm and less off the corners, and a loaded crib settles",
    }
    .begin();
    for (timber_m, members, pounds) in
        [(FOUR_M, 2, 24_000.0), (FOUR_M, 3, 55_000.0), (SIX_M, 2, 60_000.0)]
    {
        for case in rated_crib(Settings::SHIPPED, timber_m, members, pounds, 8.0) {
            joint.residual(case.off(), &case);
            stress.compare(case.found / PSI, 500.0, case);
        }
    }
    let kg = 24_000.0 * LB;
    let mut shortenings = Vec::new();
    for layers in [3, 6, 10] {
        let settle = |kg: f64| {
            let crib = Crib { layers, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: kg };
            let mut engine = Engine::new(gravity(0.0));
            engine.add_ground(0.6);
            let (_, load) = crib.build(&mut engine, 0.5, TIMBER_KG_M3);
            run(&mut engine, 4.0);
            crib.height_m() + LOAD_HALF_M[0] - f64::from(engine.bodies[load].translation().y)
        };
        let shortening = settle(kg) - settle(10.0);
        let height = layers as f64 * FOUR_M;
        let expected = kg * G * height / (0.05 * 1.1 * 13.4e9 * 4.0 * FOUR_M * FOUR_M);
        let at = format!("{layers} layers: {shortening} m for {expected} m");
        stiffness.residual((shortening / expected / 2.0 - 1.0).abs(), at);
        shortenings.push((layers, shortening));
    }
    // A point at a along a timber and c across its middle line meets 1 / m + a^2 / I + c^2 / I'
    // of it, and as much of the timber that crosses it. Four points at the corners of a
    // crossing, four crossings a joint.
    let timber_kg = FOUR_M * FOUR_M * 0.6096 * TIMBER_KG_M3;
    let [middle, half] = [0.6096 / 2.0 - 1.5 * FOUR_M, FOUR_M / 2.0];
    let inertia = |a: f64, b: f64| timber_kg * (a * a + b * b) / 12.0;
    let lightness = |along: f64| {
        1.0 / timber_kg
            + along * along / inertia(0.6096, FOUR_M)
            + half * half / inertia(FOUR_M, FOUR_M)
    };
    let ends = [middle - half, middle + half];
    let crossing_kg: f64 = ends
        .iter()
        .flat_map(|a| ends.iter().map(move |b| (a, b)))
        .map(|(a, b)| 1.0 / (lightness(*a) + lightness(*b)))
        .sum();
    let joint_n_m =
        4.0 * crossing_kg * (2.0 * std::f64::consts::PI * Settings::SHIPPED.contact_hz).powi(2);
    let a_joint_m = kg * G / joint_n_m;
    for pair in [[0, 1], [0, 2]] {
        let [(few, less), (many, more)] = pair.map(|i| shortenings[i]);
        let expected = (many - few) as f64 * a_joint_m;
        spring.compare(more - less, expected, format!("{few} to {many} layers"));
    }
    stress.end();
    joint.end();
    stiffness.end();
    spring.end();
}

/// A loaded crib on a slope, kept awake as by a lift and left alone.
#[test]
fn what_has_settled_does_not_creep() {
    let claim = |id, claim, range, tolerance, reason| {
        let source = "a body at rest stays at rest";
        Claim { id, claim, source, range, tolerance, unit: Unit::Mm, reason }.begin()
    };
    let mut awake = claim(
        "load.creep",
        "how far the load of a crib creeps in a minute while it is kept awake",
        "13 layers of two 4x4 under 400 kg on a slope of 0.1 rad, put on over 2 s; 30 s",
        4.0,
        "the bar for the time that a lift is moving; it is numerical, and another at each setting",
    );
    let mut asleep = claim(
        "load.settled",
        "... and in the minute after it is left alone and has fallen asleep",
        "the same crib, 60 s",
        0.0005,
        "none is allowed",
    );
    let crib = Crib { layers: 13, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: 400.0 };
    let mut engine = Engine::new(gravity(0.0));
    engine.add_ground(0.7);
    let (_, load) = crib.build(&mut engine, 0.7, TIMBER_KG_M3);
    let mut at_s = |from: f64, seconds: f64, awake: bool| {
        for step in 0..steps(seconds) {
            let share = ((from + step as f64 * STEP_S) / 2.0).clamp(0.0, 1.0);
            engine.gravity = gravity(0.1 * share * share * (3.0 - 2.0 * share));
            if awake {
                engine.wake_all();
            }
            engine.step();
        }
        (engine.bodies[load].translation(), engine.asleep())
    };
    let first = at_s(0.0, 5.0, true).0;
    let last = at_s(5.0, 30.0, true).0;
    awake.residual(f64::from((last - first).length()) * 2e3, "13 layers");
    let (first, settled) = at_s(35.0, 5.0, false);
    assert!(settled, "it falls asleep when nothing wakes it");
    let last = at_s(40.0, 60.0, false).0;
    asleep.residual(f64::from((last - first).length()) * 1e3, "13 layers");
    awake.end();
    asleep.end();
}

/// The other side of each sum: whatever touches the vehicle holds its weight and changes
/// its momentum.
#[test]
fn loads_on_the_vehicle_sum_to_weight_and_inertia_at_all_times() {
    let mut upright = Claim {
        id: "load.bearing_sum",
        claim: "upright loads on the vehicle sum to its weight and inertia at every tick",
        source: "Newton: sum of loads = m (a - g), with a from the momentum's change",
        range: "beam lift and wedged deck lid, every tick of the whole lift",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "a scene's worst load residual is to be under 1 %",
    }
    .begin();
    let mut level = Claim {
        id: "load.level_sum",
        claim: "level loads on the vehicle sum to its inertia, as a share of its weight: 99 of \
                100 ticks",
        source: "the same",
        range: "the same",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "the engine gives friction of the last substep only, and friction against a \
                 heavy body wavers by a hundred newtons in single precision; the worst tick is \
                 several times as far off",
    }
    .begin();
    let mut level_mean = Claim {
        id: "load.level_mean",
        claim: "... and their mean over a fifth of a second: every such mean of the lift",
        source: "the same",
        range: "the same, means over 12 ticks, from 0.5 s on; before that the load goes over to \
                the bags, and sliding parts are read up to 1.3 % off",
        tolerance: 0.012,
        unit: Unit::Share,
        reason: "the wavering is in the reading of one substep and not in the motion; the most while \
                 a load goes over from air to timber and what bears it slides",
    }
    .begin();
    let mut table = "| scene | upright, worst tick | level, 99 of 100 ticks | level, worst tick | \
                     level, worst mean over 1/5 s |\n|---|---|---|---|---|\n"
        .to_owned();
    for name in ["beam-lift", "deck-lid-wedged"] {
        let whole = shipped(name);
        let (mut worst, mut sideways, mut level_sums) = (0.0_f64, Vec::new(), Vec::new());
        let on_vehicle = |part: usize| whole.is_vehicle(part);
        let gravity = whole.gravity;
        for Tick { snapshot, members, .. } in &whole.ticks {
            if snapshot.asleep {
                continue;
            }
            let (mut sum, mut kg) = ([0.0; 3], 0.0);
            for member in members.iter().filter(|m| on_vehicle(m.part)) {
                kg += member.kg;
                for (i, sum) in sum.iter_mut().enumerate() {
                    *sum += member.kg * (gravity[i] - member.acceleration[i]);
                }
            }
            for load in &snapshot.loads {
                let (on, by) = (on_vehicle(load.on), load.by.is_some_and(on_vehicle));
                let sign = f64::from(u8::from(on)) - f64::from(u8::from(by));
                for (sum, part) in sum.iter_mut().zip(load.force) {
                    *sum += sign * part;
                }
            }
            let at = format!("{name}, {:.2} s: {:.0} N", snapshot.t_s, sum[1]);
            upright.residual(sum[1].abs() / (kg * G), at);
            worst = worst.max(sum[1].abs() / (kg * G));
            sideways.push(sum[0].hypot(sum[2]) / (kg * G));
            level_sums.push([sum[0], sum[2]].map(|n| n / (kg * G)));
        }
        let mut worst_mean = 0.0_f64;
        for few in level_sums[30..].windows(12) {
            let mean = [0, 1].map(|i| few.iter().map(|sum| sum[i]).sum::<f64>() / 12.0);
            level_mean.residual(mean[0].hypot(mean[1]), name);
            worst_mean = worst_mean.max(mean[0].hypot(mean[1]));
        }
        sideways.sort_by(f64::total_cmp);
        let (most, worst_level) =
            (sideways[sideways.len() * 99 / 100], sideways[sideways.len() - 1]);
        level.residual(most, name);
        let cells = [worst, most, worst_level, worst_mean].map(|s| format!("{:.2} %", 100.0 * s));
        table += &format!("| {name} | {} |\n", cells.join(" | "));
    }
    note_table("loads", &table);
    upright.end();
    level.end();
    level_mean.end();
}
