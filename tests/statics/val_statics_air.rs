//! Bags and air on paper against closed forms, gas tables and the definition of a
//! valve's conductance.

use approx::assert_relative_eq;
use inchwise::bag_law::{DEAD_VOLUME_M3, Membrane};
use inchwise::statics::air::{cylinder_air_m3, fill_s, free_air_m3, shut_gap_m, valve_flow_w};
use inchwise::statics::bags::{air_j, highest_m, pair, pressure_needed_pa, stiffness_n_m};
use inchwise::tables::{AIR_REFERENCE_KG_M3, AIR_RT_J_KG};
use std::f64::consts::PI;

const BAG: Membrane = Membrane::of_size([0.5, 0.5]);
const ATMOSPHERE_PA: f64 = 101_325.0;

/// Geometry of an inextensible envelope, half a metre square at 8 bar: 175.7, 142.1, 94.1,
/// 55.9 and 27.6 kN at 20, 50, 100, 150 and 200 mm; lying flat 200 kN, which is the 20.4 t
/// of a bag of that class.
#[test]
fn force_falls_with_height_and_back_again() {
    for (gap_m, kn) in
        [(0.0, 200.0), (0.02, 175.7), (0.05, 142.1), (0.1, 94.1), (0.15, 55.9), (0.2, 27.6)]
    {
        let pressure = pressure_needed_pa(BAG, kn * 1e3, gap_m);
        assert_relative_eq!(pressure, 8e5, max_relative = 2e-3);
        let height = highest_m(BAG, 8e5, kn * 1e3).expect("it carries that");
        assert_relative_eq!(height, gap_m, epsilon = 3e-4);
    }
    assert_eq!(highest_m(BAG, 8e5, 201e3), None);
    assert!(pressure_needed_pa(BAG, 1.0, 2.0 * 0.5 / PI + 1e-6).is_infinite());
    // Whatever the sides, the root puts back the force.
    let oblong = Membrane::of_size([0.4, 0.7]);
    let height = highest_m(oblong, 5e5, 30e3).expect("it carries that");
    assert_relative_eq!(oblong.force_n(5e5, height), 30e3, max_relative = 1e-9);
}

/// Both of a pair carry the whole load: the height is the sum, the smaller one gives less.
#[test]
fn a_pair_is_as_strong_as_its_weaker_member() {
    let small = Membrane::of_size([0.3, 0.3]);
    let (height, weaker) = pair([BAG, small], 8e5, 50e3).expect("both carry it");
    assert_eq!(weaker, 1);
    let each = [BAG, small].map(|b| highest_m(b, 8e5, 50e3).expect("it carries that"));
    assert_relative_eq!(height, each[0] + each[1], max_relative = 1e-12);
    // 0.09 m² at 8 bar is 72 kN: the pair cannot carry more, whatever the lower one can.
    assert_eq!(pair([BAG, small], 8e5, 73e3), None);
}

/// Boyle: a shut bag keeps `p V`; three times the load presses it down to where it does.
#[test]
fn a_shut_bag_keeps_its_air() {
    let held = air_j(BAG, 2e5, 0.12);
    assert_relative_eq!(held, (2e5 + ATMOSPHERE_PA) * BAG.volume_m3(0.12), max_relative = 1e-12);
    let force = BAG.force_n(2e5, 0.12);
    assert_relative_eq!(shut_gap_m(BAG, held, force), 0.12, epsilon = 1e-6);
    let lower = shut_gap_m(BAG, held, 3.0 * force);
    let gauge = 3.0 * force / BAG.area_m2(lower);
    assert_relative_eq!(air_j(BAG, gauge, lower), held, max_relative = 1e-6);
    assert!(lower < 0.12);
}

/// A shut bag's stiffness is the slope of the load over the height that it comes to.
#[test]
fn a_shut_bag_is_as_stiff_as_its_air() {
    for gap in [0.03, 0.12, 0.2] {
        let (held, force) = (air_j(BAG, 2e5, gap), BAG.force_n(2e5, gap));
        let at = |share: f64| shut_gap_m(BAG, held, share * force);
        let slope = 0.02 * force / (at(0.99) - at(1.01));
        assert_relative_eq!(stiffness_n_m(BAG, force, gap), slope, max_relative = 2e-3);
    }
}

/// Free air of a fill by hand: at 150 mm and 8 bar gauge the half metre bag holds 22.60 L
/// besides its dead volume, that is 23.10 L x 9.013 bar / 1.013 bar = 205.5 L of free air.
#[test]
fn free_air_of_a_fill() {
    let litres = free_air_m3(air_j(BAG, 8e5, 0.15)) * 1e3;
    let by_hand = (22.60 + DEAD_VOLUME_M3 * 1e3) * 9.013_25 / 1.013_25;
    assert_relative_eq!(litres, by_hand, max_relative = 1e-3);
}

/// Lemmon et al. (2000) equation of state through CoolProp, 20 degC: a 6.8 L cylinder at
/// 300 bar gauge holds 1,827 L of free air, not the 2,040 L of `p V`. Straight lines between
/// the table's rows cost under half a per cent; what stays behind at atmospheric pressure
/// is the cylinder's own 6.8 L.
#[test]
fn a_cylinder_holds_real_air() {
    let litres = cylinder_air_m3(6.8e-3, 300e5, 0.0) * 1e3;
    assert_relative_eq!(litres + 6.8, 1827.0, max_relative = 5e-3);
    // The last 100 bar of 300 are worth less than the first.
    let last = cylinder_air_m3(10e-3, 300e5, 200e5) * 1e3;
    assert!(last < 900.0 && last > 700.0, "{last} L");
}

/// ISO 6358-1 (formula from memory, not verified): C = 1 dm³/(s bar) at 9 bar absolute
/// passes 540 L/min of reference air (ISO 8778: 1.185 kg/m³) choked, 0.01067 kg/s, by the
/// definition of C. Past the critical ratio b = 0.35 it falls along an ellipse:
/// `sqrt(1 - ((r - b) / (1 - b))²)`, at r = 0.7 0.8427.
#[test]
fn a_valve_passes_what_its_conductance_says() {
    let kg_s = valve_flow_w(1e-8, 9e5, 1e5) / AIR_RT_J_KG;
    assert_relative_eq!(kg_s, 0.010_67, max_relative = 1e-3);
    assert_relative_eq!(kg_s / AIR_REFERENCE_KG_M3 * 6e4, 540.0, max_relative = 1e-3);
    let choked = valve_flow_w(1e-8, 9e5, 1e5);
    let half: f64 = (0.7 - 0.35) / 0.65;
    assert_relative_eq!(
        valve_flow_w(1e-8, 9e5, 0.7 * 9e5),
        choked * (1.0 - half * half).sqrt(),
        max_relative = 1e-9
    );
    assert_eq!(valve_flow_w(1e-8, 9e5, 9e5), 0.0);
}

/// While the flow is choked, time is air over flow; nothing fills past its supply.
#[test]
fn filling_takes_air_over_flow() {
    let flow = valve_flow_w(0.15e-8, 8e5 + ATMOSPHERE_PA, ATMOSPHERE_PA);
    let took = fill_s(0.15e-8, 8e5, (100.0, 0.0), (2100.0, 1e5)).expect("it fills");
    assert_relative_eq!(took, 2000.0 / flow, max_relative = 1e-9);
    assert_eq!(fill_s(0.15e-8, 8e5, (0.0, 0.0), (100.0, 8.1e5)), None);
    assert_eq!(fill_s(0.0, 8e5, (0.0, 0.0), (100.0, 1e5)), None);
}
