//! Compressed air on paper: what a cylinder holds, what the bags take, how long a valve
//! needs. Real gas in the cylinder, ideal gas in the bags (within 0.5 % below 12 bar).

use crate::bag_law::Membrane;
use crate::tables::{AIR_REFERENCE_KG_M3, AIR_RT_J_KG, VALVE_B, air_compressibility};
use crate::units::ATMOSPHERE_PA;

/// Air as `p V`, J, per volume at one atmosphere, m³.
pub fn free_air_m3(air_j: f64) -> f64 {
    air_j / ATMOSPHERE_PA
}

/// Free air, m³, that a cylinder gives between two gauge pressures at 20 degC:
/// `V / p_atm (p1 / Z1 - p2 / Z2)`, absolute pressures.
pub fn cylinder_air_m3(volume_m3: f64, full_pa: f64, left_pa: f64) -> f64 {
    let content = |gauge: f64| {
        let absolute = gauge + ATMOSPHERE_PA;
        absolute / air_compressibility(absolute)
    };
    volume_m3 * (content(full_pa) - content(left_pa)) / ATMOSPHERE_PA
}

/// Flow through a valve of sonic conductance `C`, as `p V` per second, W. ISO 6358-1
/// (formula from memory, not verified): choked `C p1 rho0` below the critical ratio `b`,
/// times `sqrt(1 - ((p2/p1 - b) / (1 - b))^2)` above it; absolute pressures, 20 degC.
pub fn valve_flow_w(conductance: f64, upstream_pa: f64, downstream_pa: f64) -> f64 {
    let choked = conductance * upstream_pa * AIR_REFERENCE_KG_M3 * AIR_RT_J_KG;
    let over = (downstream_pa / upstream_pa - VALVE_B) / (1.0 - VALVE_B);
    choked * (1.0 - over.clamp(0.0, 1.0).powi(2)).sqrt()
}

/// Time to bring a bag from one state to the next, each its air as `p V`, J, and its gauge
/// pressure, Pa, in s: air let in over the mean flow at
/// the two pressures. None where the supply cannot reach the pressure.
pub fn fill_s(conductance: f64, supply_pa: f64, from: (f64, f64), to: (f64, f64)) -> Option<f64> {
    let flow =
        |gauge: f64| valve_flow_w(conductance, supply_pa + ATMOSPHERE_PA, gauge + ATMOSPHERE_PA);
    let mean = f64::midpoint(flow(from.1), flow(to.1));
    (mean > 0.0 && to.1 < supply_pa).then(|| (to.0 - from.0) / mean)
}

/// Time to let a bag down from one state to the next into the open, s: air let out over the
/// mean flow at the two pressures. States as in [`fill_s`].
pub fn empty_s(conductance: f64, from: (f64, f64), to: (f64, f64)) -> f64 {
    let flow = |gauge: f64| valve_flow_w(conductance, gauge + ATMOSPHERE_PA, ATMOSPHERE_PA);
    let mean = f64::midpoint(flow(from.1), flow(to.1));
    if mean > 0.0 { (from.0 - to.0) / mean } else { 0.0 }
}

/// Gap of a shut bag that holds `air_j` under a load, m: where
/// `(pV / V(h) - p_atm) A(h) = F`, by bisection (the left side falls with h).
pub fn shut_gap_m(bag: Membrane, air_j: f64, force_n: f64) -> f64 {
    let (mut low, mut high) = (0.0, bag.height_limit_m());
    for _ in 0..40 {
        let h = f64::midpoint(low, high);
        let gauge = air_j / bag.volume_m3(h) - ATMOSPHERE_PA;
        if gauge * bag.area_m2(h) > force_n { low = h } else { high = h }
    }
    f64::midpoint(low, high)
}
