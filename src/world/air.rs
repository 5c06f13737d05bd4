//! Compressed air: flow through a valve, and what a cylinder still holds.

use crate::tables::{AIR_REFERENCE_KG_M3, AIR_RT_J_KG, VALVE_B, air_compressibility};
use crate::units::ATMOSPHERE_PA;

/// Conductance of a hose torn off at the bag, m³/(s Pa): 10 L/(s bar), a bore of about
/// 8 mm (assumed).
pub const BURST_CONDUCTANCE: f64 = 10e-8;

/// Mass flow through a valve, kg/s, from `upstream_pa` to `downstream_pa` (absolute,
/// both gases at 20 degC): choked below the critical ratio, an ellipse above it.
/// ISO 6358-1 (formula from memory, not verified). No flow against the pressure.
pub fn mass_flow(conductance: f64, upstream_pa: f64, downstream_pa: f64) -> f64 {
    let ratio = downstream_pa / upstream_pa;
    if ratio >= 1.0 {
        return 0.0;
    }
    let choked = conductance * upstream_pa * AIR_REFERENCE_KG_M3;
    if ratio <= VALVE_B {
        choked
    } else {
        choked * (1.0 - ((ratio - VALVE_B) / (1.0 - VALVE_B)).powi(2)).sqrt()
    }
}

/// Sonic conductance of a round hole, m³/(s Pa), by its bore: the choked flow of an ideal
/// nozzle of that area, `A p sqrt(k / (R T)) (2 / (k + 1))^((k + 1) / (2 (k - 1)))` with
/// k = 1.4 (textbook), over the reference density. A sharp edge lets 15 to 40 % less through.
pub fn bore_conductance(bore_m: f64) -> f64 {
    const HEATS: f64 = 1.4;
    let area = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
    let choked = HEATS.sqrt() * (2.0 / (HEATS + 1.0)).powf((HEATS + 1.0) / (2.0 * (HEATS - 1.0)));
    area * choked / AIR_RT_J_KG.sqrt() / AIR_REFERENCE_KG_M3
}

/// A cylinder of real air at 20 degC.
#[derive(Clone, Debug)]
pub struct Cylinder {
    volume_m3: f64,
    kg: f64,
}

impl Cylinder {
    /// Filled to a gauge pressure.
    pub fn new(volume_m3: f64, gauge_pa: f64) -> Self {
        let absolute = gauge_pa + ATMOSPHERE_PA;
        let kg = absolute * volume_m3 / (air_compressibility(absolute) * AIR_RT_J_KG);
        Self { volume_m3, kg }
    }

    /// Takes air out; returns how much could be taken, kg.
    pub fn take(&mut self, kg: f64) -> f64 {
        let taken = kg.min(self.kg);
        self.kg -= taken;
        taken
    }

    /// Gauge pressure, Pa: `p V = Z(p) m R T`, solved by repeated substitution, which
    /// closes because Z changes slowly with p.
    pub fn gauge_pa(&self) -> f64 {
        let ideal = self.kg * AIR_RT_J_KG / self.volume_m3;
        let absolute = (0..30).fold(ideal, |p, _| air_compressibility(p) * ideal);
        (absolute - ATMOSPHERE_PA).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A 6.8 L cylinder at 300 bar gauge holds 1827 L of free air at 20 degC (1 atm,
    /// 1.204 kg/m³), not 2040 L: Lemmon et al. (2000) equation of state through
    /// CoolProp. Straight lines between table rows cost under 0.5 %.
    #[test]
    fn val_a_full_cylinder_holds_real_air() {
        let cylinder = Cylinder::new(6.8e-3, 300e5);
        assert_relative_eq!(cylinder.kg / 1.204 * 1e3, 1827.0, max_relative = 5e-3);
        assert_relative_eq!(cylinder.gauge_pa(), 300e5, max_relative = 1e-6);
    }

    /// The choked flow of an ideal nozzle at 20 degC is 0.0404 A p / sqrt(T) in SI (textbook
    /// constant of air): a bore of 8 mm passes 10 L/(s bar), as a torn hose does here.
    #[test]
    fn val_a_bore_passes_what_a_nozzle_does() {
        let area = std::f64::consts::FRAC_PI_4 * 0.002_f64.powi(2);
        let kg_s = 0.040_42 * area * 5e5 / 293.15_f64.sqrt();
        assert_relative_eq!(
            mass_flow(bore_conductance(0.002), 5e5, 1e5),
            kg_s,
            max_relative = 2e-3
        );
        assert_relative_eq!(bore_conductance(0.008), BURST_CONDUCTANCE, max_relative = 2e-2);
    }

    /// C = 1 dm³/(s bar) at 9 bar absolute passes 540 L/min of reference air choked
    /// (0.01067 kg/s), by definition of C.
    #[test]
    fn val_choked_flow_is_the_definition_of_c() {
        assert_relative_eq!(mass_flow(1e-8, 9e5, 1e5), 0.010_67, max_relative = 1e-3);
        assert_relative_eq!(mass_flow(1e-8, 9e5, 1e5) / 1.185 * 6e4, 540.0, max_relative = 1e-3);
        assert_eq!(mass_flow(1e-8, 1e5, 9e5), 0.0);
        // Continuous at the critical ratio and falling to zero at equal pressures.
        let at = |ratio: f64| mass_flow(1e-8, 9e5, 9e5 * ratio);
        assert_relative_eq!(at(VALVE_B + 1e-9), at(VALVE_B), max_relative = 1e-6);
        assert!(at(0.999) < 0.1 * at(VALVE_B));
    }
}
