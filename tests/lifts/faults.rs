//! Faults do what their physics says, without any notice to the crew; the officer stops a lift
//! that fails.
//!
//! Sources: flow through a hole and a valve, ISO 6358-1 (formula from memory, not verified)
//! and the choked flow of an ideal nozzle (textbook); air at constant temperature; sums of
//! weights; the inclined plane (textbook).

use crate::common::alone;
use crate::played::{by_hand, played};
use approx::{abs_diff_eq, assert_relative_eq, relative_eq};
use inchwise::bag_law::Membrane;
use inchwise::lift::Lift;
use inchwise::scene::{self, Cause, Fault, HiddenFault, Order, Outcome, Scene, SlickTarget, Until};
use inchwise::snapshot::{PartKind, Snapshot, Told};
use inchwise::tables::{AIR_RT_J_KG, Grip, Material, VALVE_B, friction_pair};
use inchwise::units::{ATMOSPHERE_PA, GRAVITY_M_S2, UnitSystem};
use inchwise::world::{TICK_S, Yard};
use std::sync::Arc;

fn scene(name: &str, sets: &[&str]) -> Scene {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    scene::load(name, &sets).unwrap_or_else(|p| panic!("{p:?}")).scene
}

/// The lift at the deck lid by hand, its lower bag raised for some seconds and shut.
fn raised(sets: &[&str], seconds: f64) -> Lift {
    let mut lift = by_hand("deck-lid-wedged", sets);
    lift.order_by_hand(&raise());
    run(&mut lift, seconds);
    lift.order_by_hand(&Order::Stop { bags: vec![0] });
    lift
}

fn raise() -> Order {
    Order::Raise { bags: vec![0], opening: 0.6, until: Until::Now, at_most_s: 60.0 }
}

fn run(lift: &mut Lift, seconds: f64) {
    for _ in 0..(seconds / TICK_S).round() as usize {
        lift.tick();
    }
}

/// `p V` of the air in the lower bag, J.
fn air_j(lift: &Lift) -> f64 {
    let (bag, size) = (&lift.snapshot().bags[0], lift.scene().bags[0].size);
    let membrane = Membrane::of_size([size[0], size[1]]);
    (bag.gauge_pa + ATMOSPHERE_PA) * membrane.volume_m3(bag.height_m)
}

/// What leaves in a tick is the nozzle's `0.0404 A p / sqrt(T)` at 20 degC while the flow is
/// choked, less by the ellipse of ISO 6358 above that; what is left in the bag is less by
/// just that, whether the shut-off is open or not. To 1 %: the pressure is read once a tick.
#[test]
fn val_a_leak_is_the_flow_through_its_bore() {
    for (bore_m, lock_out) in [(0.002, false), (0.004, true)] {
        let mut lift = raised(&[], 6.0);
        run(&mut lift, 1.0);
        if lock_out {
            lift.order_by_hand(&Order::LockOut { bags: vec![0] });
        }
        let before = air_j(&lift);
        lift.strike(&Fault::Leak { bag: 0, bore_m });
        let area = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
        let mut left_j = 0.0;
        for _ in 0..180 {
            let absolute = lift.snapshot().bags[0].gauge_pa + ATMOSPHERE_PA;
            let ratio = ATMOSPHERE_PA / absolute;
            let share = if ratio <= VALVE_B {
                1.0
            } else {
                (1.0 - ((ratio - VALVE_B) / (1.0 - VALVE_B)).powi(2)).sqrt()
            };
            let kg_s = 0.040_42 * area * absolute / 293.15_f64.sqrt() * share;
            left_j += kg_s * AIR_RT_J_KG * TICK_S;
            lift.tick();
        }
        let gone = before - air_j(&lift);
        assert!(gone > 10.0, "{bore_m}: {gone} J of {before}");
        assert!(
            relative_eq!(gone, left_j, max_relative = 0.01),
            "{bore_m}: {gone} J, nozzle {left_j} J"
        );
    }
    // Beside it: without a hole nothing leaves a shut bag.
    let mut lift = raised(&[], 6.0);
    run(&mut lift, 1.0);
    let before = air_j(&lift);
    run(&mut lift, 3.0);
    assert_relative_eq!(air_j(&lift), before, max_relative = 1e-4);
}

/// Hoses crossed at the controller: the lever of one side fills the other side's bag, and its
/// "lower" lets that one down, though hoses and bags are named as before.
#[test]
fn crossed_hoses_move_the_other_side() {
    let mut lift = by_hand("beam-lift", &[]);
    let left = |up| {
        let (bags, opening, until, at_most_s) = (vec![0], 0.5, Until::Now, 60.0);
        if up {
            Order::Raise { bags, opening, until, at_most_s }
        } else {
            Order::Lower { bags, opening, until, at_most_s }
        }
    };
    lift.strike(&Fault::Cross { outlets: [0, 1] });
    lift.order_by_hand(&left(true));
    run(&mut lift, 3.0);
    let bags = &lift.snapshot().bags;
    assert_eq!((bags[0].hose, bags[1].hose), (Some(0), Some(1)), "nobody sees it");
    let filled = bags[1].gauge_pa;
    assert!(bags[0].gauge_pa == 0.0 && filled > 1e4, "{bags:?}");
    lift.order_by_hand(&left(false));
    run(&mut lift, 20.0);
    let now = lift.snapshot().bags[1].gauge_pa;
    assert!(now < 0.9 * filled, "{now} Pa of {filled} Pa");
    // Crossed once more they are right again.
    lift.strike(&Fault::Cross { outlets: [1, 0] });
    lift.order_by_hand(&left(true));
    run(&mut lift, 3.0);
    assert!(lift.snapshot().bags[0].gauge_pa > 1e4);
}

/// One lever fills both bags of a Y, to one pressure, until one of them is shut off; torn off
/// at the first, the hose lets both down.
#[test]
fn a_y_fills_two_bags_and_a_burst_empties_both() {
    let y = "air.outlets=[(name: \"both\", to: \"left lower\", and: \"right lower\")]";
    let orders = "orders=[(wait: (for: \"1 s\"))]";
    let mut lift = by_hand("beam-lift", &[y, orders]);
    let raise =
        |bag| Order::Raise { bags: vec![bag], opening: 0.5, until: Until::Now, at_most_s: 60.0 };
    lift.order_by_hand(&raise(0));
    run(&mut lift, 6.0);
    let stop = Order::Stop { bags: vec![1] };
    lift.order_by_hand(&stop);
    run(&mut lift, 3.0);
    let pressures = |lift: &Lift| [0, 1].map(|bag| lift.snapshot().bags[bag].gauge_pa);
    let [left, right] = pressures(&lift);
    assert!(left > 1e4 && relative_eq!(left, right, max_relative = 1e-3), "{left} and {right} Pa");
    lift.order_by_hand(&Order::LockOut { bags: vec![1] });
    lift.order_by_hand(&raise(0));
    run(&mut lift, 2.0);
    lift.order_by_hand(&Order::Stop { bags: vec![0] });
    let [more, same] = pressures(&lift);
    assert!(more > 1.1 * left, "{more} Pa from {left} Pa, the other {same} Pa");
    lift.order_by_hand(&Order::Unlock { bags: vec![1] });
    lift.strike(&Fault::Burst { outlet: 0 });
    run(&mut lift, 20.0);
    assert_eq!(pressures(&lift), [0.0, 0.0]);
}

/// A valve that sticks open goes on filling after "stop", until the shut-off at the bag is
/// closed; one that sticks shut fills nothing. The crew knows of neither.
#[test]
fn a_stuck_valve_does_not_follow_its_lever() {
    let mut lift = raised(&[], 0.0);
    lift.order_by_hand(&raise());
    run(&mut lift, 2.0);
    lift.strike(&Fault::Valve { outlet: 0 });
    lift.order_by_hand(&Order::Stop { bags: vec![0] });
    let before = air_j(&lift);
    run(&mut lift, 2.0);
    let after = air_j(&lift);
    assert!(after > 1.2 * before, "{before} J, {after} J");
    lift.order_by_hand(&Order::LockOut { bags: vec![0] });
    run(&mut lift, 1.0);
    let locked = air_j(&lift);
    run(&mut lift, 1.0);
    assert_relative_eq!(air_j(&lift), locked, max_relative = 1e-6);

    let mut shut = raised(&[], 0.0);
    shut.strike(&Fault::Valve { outlet: 0 });
    shut.order_by_hand(&raise());
    let empty = air_j(&shut);
    run(&mut shut, 2.0);
    assert_relative_eq!(air_j(&shut), empty, max_relative = 1e-6);
    assert!(shut.records().iter().all(|said| said.refused.is_none()), "{:?}", shut.records());
}

/// No air flows into a bag that holds what the regulator lets through, and it takes in air
/// until it does: `p` ends at the regulator's, to 2 % after the flow has all but died.
#[test]
fn val_a_stuck_regulator_sets_the_pressure() {
    let mut lift = raised(&[], 6.0);
    run(&mut lift, 1.0);
    let gauge = lift.snapshot().bags[0].gauge_pa;
    let held = air_j(&lift);
    lift.strike(&Fault::Regulator { pa: 0.8 * gauge });
    lift.order_by_hand(&raise());
    run(&mut lift, 3.0);
    assert!(relative_eq!(air_j(&lift), held, max_relative = 1e-4), "{held} J, {} J", air_j(&lift));
    lift.strike(&Fault::Regulator { pa: 1.05 * gauge });
    run(&mut lift, 12.0);
    let end = lift.snapshot().bags[0].gauge_pa;
    assert!(
        relative_eq!(end, 1.05 * gauge, max_relative = 0.02),
        "{gauge} Pa before, {end} Pa after"
    );
    assert!(air_j(&lift) > 1.01 * held);
}

/// A cylinder that is nearly empty: it and the bag end at one pressure, and what left the
/// one is in the other: `p V` at constant temperature, to 1 % (air is not quite ideal).
#[test]
fn val_an_empty_cylinder_ends_at_one_pressure_with_the_bag() {
    let mut lift = raised(&["air.outlets.tail.conductance=4 L/(s bar)"], 0.0);
    lift.strike(&Fault::Cylinder { pa: 4e5 });
    run(&mut lift, 0.1);
    let volume_m3 = lift.scene().air.cylinder_m3;
    let cylinder_j = |now: &Snapshot| (now.cylinder_pa + ATMOSPHERE_PA) * volume_m3;
    let (cylinder, bag) = (cylinder_j(lift.snapshot()), air_j(&lift));
    assert_relative_eq!(lift.snapshot().cylinder_pa, 4e5, max_relative = 1e-3);
    lift.order_by_hand(&raise());
    run(&mut lift, 15.0);
    let now = lift.snapshot();
    let gauge = now.bags[0].gauge_pa;
    assert!(
        relative_eq!(now.cylinder_pa, gauge, max_relative = 0.02),
        "{} Pa, {gauge} Pa",
        now.cylinder_pa
    );
    let (left, got) = (cylinder - cylinder_j(now), air_j(&lift) - bag);
    assert!(
        left > 500.0 && relative_eq!(got, left, max_relative = 0.01),
        "{left} J left, {got} J arrived"
    );
    // A cylinder does not fill itself.
    lift.strike(&Fault::Cylinder { pa: 300e5 });
    run(&mut lift, 0.1);
    assert!(lift.snapshot().cylinder_pa < 4e5);
}

/// A boot full of luggage: the ground carries both weights, and the common centre of mass is
/// where the sum of moments puts it; from the start or live. Loads to the 1 % that they
/// are read to (what falls asleep keeps the forces of its last step), place to a millimetre.
/// The sheet goes on with the vehicle that the crew believes in.
#[test]
fn val_a_hidden_load_adds_its_weight_at_its_place() {
    let (kg, place_m) = (180.0, [-1.6, 0.75, 0.25]);
    let load = Fault::Load { kg, place_m };
    let bare = alone(scene("deck-lid-wedged", &[]));
    let (mass, com) = (bare.vehicle.mass_kg, bare.vehicle.com_m);
    let mut hiding = bare.clone();
    hiding.faults.push(HiddenFault { fault: load.clone(), at_s: 0.0 });
    let hidden = Yard::new(Arc::new(hiding.clone()));
    let mut live = Yard::new(Arc::new(bare));
    live.apply_fault(&load);
    (0..300).for_each(|_| live.tick());
    for yard in [&hidden, &live] {
        let now = &yard.snapshot;
        let weight = (mass + kg) * GRAVITY_M_S2;
        assert!(
            relative_eq!(now.vehicle.ground_n, weight, max_relative = 0.01),
            "{} of {weight}",
            now.vehicle.ground_n
        );
        let has = now.poses[0].local(now.vehicle.com);
        for i in 0..3 {
            let expected = (mass * com[i] + kg * place_m[i]) / (mass + kg);
            assert!(
                abs_diff_eq!(has[i], expected, epsilon = 1e-3),
                "axis {i}: {} m, {expected} m",
                has[i]
            );
        }
    }
    assert_eq!(hidden.struck().len(), 1);
    let plan = inchwise::statics::plan::Plan::new(&hiding).expect("a plan");
    assert!(abs_diff_eq!(plan.weight_n, mass * GRAVITY_M_S2, epsilon = 1.0), "{}", plan.weight_n);
}

/// What is left of a material's friction on a yard's ground once it slides.
fn sliding_share(of: Material, yard: &Yard) -> f64 {
    let surface = yard.scene.ground.surface;
    let pair = friction_pair(surface, of, Material::Ground(surface)).expect("a pair");
    let [rests, slides] = pair.friction(false);
    slides / rests
}

/// On a slope of 12 deg the vehicle stays while `tan` of it is under what is left of its sliding
/// friction, and where it is over what is left of its friction at rest it slides off with
/// `g (sin - mu cos)`, `mu` that of sliding. Between them nose and roof, which share the pull as
/// they happened to come down, let go one after the other. To 6 %: the nose gives.
#[test]
fn val_a_slick_patch_leaves_a_share_of_the_friction() {
    let slope = 12_f64.to_radians();
    let mut scene = alone(scene("deck-lid-wedged", &["ground.slope=12 deg"]));
    scene.aims.slide_m = 1.0;
    let grip = Grip::fit(scene.ground.surface, false);
    let mu = (grip.share_of(Material::Sheet)
        * grip.share_of(Material::Ground(scene.ground.surface)))
    .sqrt();
    let mut lies = Yard::new(Arc::new(scene));
    (0..60).for_each(|_| lies.tick());
    let travelled = |left: f64| {
        let mut yard = lies.clone();
        yard.apply_fault(&Fault::Slick { under: SlickTarget::Vehicle, left });
        let way: Vec<f64> = (0..90)
            .map(|_| {
                yard.tick();
                yard.snapshot.vehicle.com[0]
            })
            .collect();
        way
    };
    let holds = slope.tan() / mu;
    assert!(holds < 0.9, "it would slide on the clean ground: {mu}");
    let slides = sliding_share(Material::Sheet, &lies);
    let way = travelled(holds / slides * 1.08);
    assert!(abs_diff_eq!(way[89], way[0], epsilon = 0.002), "it slid {} m", way[89] - way[0]);
    for share in [0.4, 0.7] {
        let way = travelled(holds * share);
        let left = share * holds * slides;
        let expected = GRAVITY_M_S2 * (slope.sin() - left * mu * slope.cos());
        // Second difference over the last second.
        let has = (way[89] - 2.0 * way[59] + way[29]) / 0.25;
        assert!(
            relative_eq!(has, expected, max_relative = 0.06),
            "{share}: {has} m/s2, {expected} m/s2"
        );
    }
}

/// A stack by itself on a slope of 12 deg, on hard ground and on soil: it stays while `tan` of
/// the slope is under what is left of its friction at rest (its timbers bear equally, so none lets
/// go before the others), and else slides off with `g (sin - mu cos)`, `mu` that of sliding.
/// To 6 %, as the vehicle above.
#[test]
fn val_a_slick_patch_lets_a_stack_slide_on_hard_ground_and_on_soil() {
    let slope = 12_f64.to_radians();
    let stack =
        "stacks=[(name: \"tail\", at: [\"-1.78 m\", \"0 m\"], length: \"24 in\", layers: 2)]";
    for soil in ["", ", soil: \"gravel\""] {
        let ground = format!("ground=(surface: \"gravel\", slope: \"12 deg\"{soil})");
        let mut scene = scene("deck-lid-wedged", &[stack, &ground]);
        let stacks = std::mem::take(&mut scene.stacks);
        let chocks = std::mem::take(&mut scene.chocks);
        scene = alone(scene);
        (scene.stacks, scene.chocks, scene.aims.slide_m) = (stacks, chocks, 1.0);
        let grip = Grip::fit(scene.ground.surface, false);
        let ground = Material::Ground(scene.ground.surface);
        let mu = (grip.share_of(Material::Timber) * grip.share_of(ground)).sqrt();
        let holds = slope.tan() / mu;
        assert!(holds < 0.9, "it would slide on the clean ground: {mu}");
        // Where the stack's lowest timber is, tick by tick after the patch.
        let mut stands = Yard::new(Arc::new(scene));
        (0..60).for_each(|_| stands.tick());
        let way = |left: f64| -> Vec<f64> {
            let mut yard = stands.clone();
            yard.apply_fault(&Fault::Slick { under: SlickTarget::Stack(0), left });
            let kind = PartKind::StackTimber { stack: 0, layer: 0 };
            let timber = yard.parts().iter().position(|p| p.kind == kind).expect("a timber");
            let mut x = || {
                yard.tick();
                yard.snapshot.poses[timber].at()[0]
            };
            (0..30).map(|_| x()).collect()
        };
        let stays = way(holds * 1.08);
        assert!(
            abs_diff_eq!(stays[29], stays[0], epsilon = 0.002),
            "{soil}: it slid {}",
            stays[29] - stays[0]
        );
        let slid = way(holds * 0.5);
        let left = 0.5 * holds * sliding_share(Material::Timber, &stands);
        let expected = GRAVITY_M_S2 * (slope.sin() - left * mu * slope.cos());
        // Second difference over a third of a second.
        let has = (slid[25] - 2.0 * slid[15] + slid[5]) / (10.0 * TICK_S).powi(2);
        assert!(
            relative_eq!(has, expected, max_relative = 0.06),
            "{soil}: {has} m/s2, {expected} m/s2"
        );
    }
}

/// What is left of a stack's timber bears that share of the wood's proportional limit, no more,
/// from the moment it cracks; under 5 kN, 8 % of it is crushed on four crossings a layer. With
/// sound timber nothing is. The sheet goes on with the timber that the crew believes in.
#[test]
fn a_crack_in_a_stack_takes_its_strength() {
    let sound = "stacks.tail.strength=100 %";
    let hidden = "faults=[(crack: \"tail\", to: \"8 %\", at: \"2 s\")]";
    let ends = |sets: &[&str]| played("layers-of-two", sets);
    let held = ends(&[sound]);
    assert_eq!(held.outcome, Outcome::Lifted, "{}", held.text());
    let cracked = ends(&[sound, hidden]);
    let ending = (cracked.outcome, cracked.cause);
    assert_eq!(ending, (Outcome::Failed, Some(Cause::Crush)), "{}", cracked.text());
    let wood_pa = scene("layers-of-two", &[]).wood.bearing_pa;
    for now in &cracked.history {
        let left = if now.t_s > 2.0 + TICK_S { 0.08 } else { 1.0 };
        for crossing in now.crossings.iter().filter(|_| (now.t_s - 2.0).abs() > 2.0 * TICK_S) {
            let lower = &cracked.parts[crossing.lower].kind;
            if matches!(lower, PartKind::StackTimber { .. }) {
                assert!(
                    relative_eq!(crossing.bears_pa, left * wood_pa, max_relative = 1e-9),
                    "{crossing:?}"
                );
            }
        }
    }
    assert!(cracked.text().contains("the timbers of tail are cracked: 8 %"), "{}", cracked.text());
    let plan = |sets: &[&str]| {
        let scene = scene("layers-of-two", sets);
        inchwise::statics::sheet::Sheet::new(&scene, UnitSystem::Si).text()
    };
    assert_eq!(plan(&[sound]), plan(&[sound, hidden]));
}

/// The officer stops a lift at its first finding: no order after it, every valve shut, and
/// six seconds for what it set off. By hand nobody is stopped.
#[test]
fn the_officer_stops_a_lift_that_fails() {
    let leak = "faults=[(leak: \"tail lower\", bore: \"0.3 mm\", at: \"5 s\")]";
    let debrief = played("deck-lid-tall", &[leak]);
    assert_eq!(debrief.outcome, Outcome::Failed);
    let first = debrief.findings.iter().map(|f| f.t_s).fold(f64::INFINITY, f64::min);
    assert!(
        abs_diff_eq!(debrief.sim_s - first, 6.0, epsilon = 2.5 * TICK_S),
        "{} s",
        debrief.sim_s
    );
    let last = debrief.records.last().expect("something was said");
    assert!(
        last.told == Told::OfficerStop && abs_diff_eq!(last.t_s, first, epsilon = 2.5 * TICK_S),
        "{last:?}"
    );
    let end = debrief.history.last().expect("an end");
    assert!(end.outlets.iter().all(|o| o.opening == 0.0));
    assert!(
        debrief.text().contains("What the crew was not told\n     5.0 s  the tail lower bag leaks")
    );

    let mut by_hand = by_hand("pad-missing", &[]);
    by_hand.order_by_hand(&raise());
    run(&mut by_hand, 10.0);
    assert!(!by_hand.findings().is_empty() && !by_hand.stopped() && !by_hand.done());
}
