//! Compressed air: flow through a valve, and what a cylinder still holds.

use crate::tables::{
    AIR_REFERENCE_KG_M3, AIR_RT_J_KG, VALVE_B, Y_LEG_CONDUCTANCE, air_compressibility,
};
use crate::units::ATMOSPHERE_PA;

/// Conductance of a bag's coupling that is open to the air, its hose taken off or torn off,
/// m³/(s Pa): 10 L/(s bar), a bore of about 8 mm (assumed).
pub const COUPLING_CONDUCTANCE: f64 = 10e-8;

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

/// Air for a mass flow over a time, as `p V`, J.
pub fn air_of_flow_j(kg_s: f64, step_s: f64) -> f64 {
    kg_s * AIR_RT_J_KG * step_s
}

/// The valve in front of a Y's joint.
#[derive(Clone, Copy, Debug)]
pub enum Feed {
    Shut,
    /// Air comes from a supply of this absolute pressure, Pa, through a conductance.
    From {
        supply_pa: f64,
        conductance: f64,
    },
    /// Air goes out into the open through a conductance.
    Out {
        conductance: f64,
    },
}

/// The end of one leg of a Y.
#[derive(Clone, Copy, Debug)]
pub enum LegEnd {
    /// A bag with its air as `p V`, J, its volume at its present height and its absolute
    /// pressure: at least the atmosphere's, because slack walls hold none.
    Bag { air_j: f64, volume_m3: f64, absolute_pa: f64 },
    /// The leg is torn off: it ends in the open.
    Torn,
}

/// Two bags whose pressures differ by less are left alone with the valve shut, Pa, so that
/// what lies on them can sleep: 2 N on a tenth of a square metre.
const EVEN_PA: f64 = 20.0;

impl Feed {
    /// What comes out of the valve into the joint in a step, as `p V`, J.
    fn into_joint_j(self, joint_pa: f64, step_s: f64) -> f64 {
        match self {
            Self::Shut => 0.0,
            Self::From { supply_pa, conductance } => {
                air_of_flow_j(mass_flow(conductance, supply_pa, joint_pa), step_s)
            }
            Self::Out { conductance } => {
                -air_of_flow_j(mass_flow(conductance, joint_pa, ATMOSPHERE_PA), step_s)
            }
        }
    }
}

impl LegEnd {
    fn absolute_pa(self) -> f64 {
        match self {
            Self::Bag { absolute_pa, .. } => absolute_pa,
            Self::Torn => ATMOSPHERE_PA,
        }
    }

    /// What it holds above the atmosphere, as `p V`, J.
    fn spare_j(self) -> f64 {
        match self {
            Self::Bag { air_j, volume_m3, .. } => (air_j - ATMOSPHERE_PA * volume_m3).max(0.0),
            Self::Torn => 0.0,
        }
    }

    /// What goes from the joint into the leg's end in a step, as `p V`, J; below 0 the other
    /// way. At the most what brings the bag to the joint's pressure at its present height: a
    /// whole step at the first pressures would overshoot a small bag.
    fn joint_gives_j(self, joint_pa: f64, step_s: f64) -> f64 {
        let flow_j = |up, down| air_of_flow_j(mass_flow(Y_LEG_CONDUCTANCE, up, down), step_s);
        match self {
            Self::Torn => flow_j(joint_pa, ATMOSPHERE_PA),
            Self::Bag { air_j, volume_m3, absolute_pa } => {
                let to_joint_j = joint_pa * volume_m3 - air_j;
                if joint_pa > absolute_pa {
                    flow_j(joint_pa, absolute_pa).min(to_joint_j.max(0.0))
                } else {
                    -flow_j(absolute_pa, joint_pa).min((-to_joint_j).max(0.0))
                }
            }
        }
    }
}

/// What a step lets through a Y, as `p V`, J: into the joint through the valve, and from the
/// joint into each leg's end. The joint holds no air, so its pressure is where these come to
/// the same: bisection, as what comes in falls with that pressure and what goes out rises. The
/// last leg takes the rest, so that no air is lost or made.
pub fn through_y_j(feed: Feed, legs: &[LegEnd], step_s: f64) -> (f64, Vec<f64>) {
    let pressures = legs.iter().map(|leg| leg.absolute_pa());
    let most_pa = pressures.clone().fold(ATMOSPHERE_PA, f64::max);
    let least_pa = pressures.fold(f64::INFINITY, f64::min);
    let torn = legs.iter().any(|leg| matches!(leg, LegEnd::Torn));
    if (torn || matches!(feed, Feed::Out { .. })) && most_pa - ATMOSPHERE_PA < EVEN_PA {
        // The last of it goes at once; flows that small would take for ever.
        let into: Vec<f64> = legs.iter().map(|leg| -leg.spare_j()).collect();
        return (into.iter().sum(), into);
    }
    let even = matches!(feed, Feed::Shut) && !torn && most_pa - least_pa < EVEN_PA;
    if legs.is_empty() || even {
        return (0.0, vec![0.0; legs.len()]);
    }
    let (mut low, mut high) = (ATMOSPHERE_PA, most_pa);
    if let Feed::From { supply_pa, .. } = feed {
        high = high.max(supply_pa);
    }
    let into_j = |joint_pa| legs.iter().map(move |leg| leg.joint_gives_j(joint_pa, step_s));
    for _ in 0..60 {
        let joint_pa = f64::midpoint(low, high);
        let stays_j = feed.into_joint_j(joint_pa, step_s) - into_j(joint_pa).sum::<f64>();
        if stays_j > 0.0 { low = joint_pa } else { high = joint_pa }
    }
    let joint_pa = f64::midpoint(low, high);
    let fed_j = feed.into_joint_j(joint_pa, step_s);
    let mut into: Vec<f64> = into_j(joint_pa).collect();
    if let Some((last, others)) = into.split_last_mut() {
        *last = fed_j - others.iter().sum::<f64>();
    }
    (fed_j, into)
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
        assert_relative_eq!(bore_conductance(0.008), COUPLING_CONDUCTANCE, max_relative = 2e-2);
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
