//! Bags and their supply: cylinder, regulator, valves, hoses, shut-offs and leaks.

use super::air::{self, BURST_CONDUCTANCE, Cylinder};
use super::bag::GasBag;
use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::up_n;
use crate::scene::{Air, Scene};
use crate::snapshot::{BagState, Load, OutletState, PartId, PartKind};
use crate::tables::AIR_RT_J_KG;
use crate::units::ATMOSPHERE_PA;

/// Everything that holds or lets through air.
#[derive(Clone)]
pub(super) struct Pneumatics {
    /// In the scene's order; none before the set-up is placed.
    pub bags: Vec<GasBag>,
    pub outlets: Vec<HoseLine>,
    cylinder: Cylinder,
    /// What the regulator lets through, Pa gauge.
    regulator_pa: f64,
    /// Sonic conductance of each bag's holes, m³/(s Pa).
    leaks: Vec<f64>,
}

/// A valve of the controller with its hose.
#[derive(Clone)]
pub(super) struct HoseLine {
    /// Bag at the end of its hose.
    pub to: usize,
    /// Above 0 filling, below 0 letting out; a share of the open valve.
    pub opening: f64,
    pub burst: bool,
    /// Its valve no longer follows the lever.
    stuck: bool,
}

impl Pneumatics {
    /// A scene's supply with every valve shut, and no bag yet.
    pub fn new(scene: &Scene) -> Self {
        let outlet = |to| HoseLine { to, opening: 0.0, burst: false, stuck: false };
        Self {
            bags: Vec::new(),
            outlets: scene.air.outlets.iter().map(|o| outlet(o.to)).collect(),
            cylinder: Cylinder::new(scene.air.cylinder_m3, scene.air.cylinder_pa),
            regulator_pa: scene.air.regulator_pa,
            leaks: vec![0.0; scene.bags.len()],
        }
    }

    /// Lets air through each hose and hole for one step, then lays the bags' motors.
    pub fn advance(&mut self, engine: &mut Engine, supply: &Air) {
        let step_s = engine.step_s();
        let mut air_j = vec![0.0; self.bags.len()];
        self.let_through_hoses(supply, step_s, &mut air_j);
        // A hole lets air out whatever the hose and the shut-off do.
        for ((bag, air_j), leak) in self.bags.iter().zip(&mut air_j).zip(&self.leaks) {
            if *leak > 0.0 {
                let kg_s = air::mass_flow(*leak, bag.absolute_pa(), ATMOSPHERE_PA);
                *air_j -= air_of_flow_j(kg_s, step_s).min((bag.spare_air_j() + *air_j).max(0.0));
            }
        }
        for (bag, air_j) in self.bags.iter_mut().zip(air_j) {
            bag.advance(engine, air_j);
        }
    }

    /// What each bag gets or loses through its hose in one step, as `p V`, J.
    fn let_through_hoses(&mut self, supply: &Air, step_s: f64, air_j: &mut [f64]) {
        let supply_gauge = self.cylinder.gauge_pa().min(self.regulator_pa);
        for (outlet, spec) in self.outlets.iter().zip(&supply.outlets) {
            // While the vehicle settles no bag is there yet.
            let Some(bag) = self.bags.get(outlet.to) else { continue };
            if bag.locked_out {
                continue;
            }
            let out_j = |conductance| {
                let kg_s = air::mass_flow(conductance, bag.absolute_pa(), ATMOSPHERE_PA);
                air_of_flow_j(kg_s, step_s).min(bag.spare_air_j())
            };
            if outlet.burst {
                air_j[outlet.to] -= out_j(BURST_CONDUCTANCE);
            } else if outlet.opening > 0.0 {
                let open = outlet.opening * spec.conductance;
                let from = supply_gauge + ATMOSPHERE_PA;
                let kg = air::mass_flow(open, from, bag.absolute_pa()) * step_s;
                let kg = self.cylinder.take(kg);
                air_j[outlet.to] += kg * AIR_RT_J_KG;
            } else if outlet.opening < 0.0 {
                air_j[outlet.to] -= out_j(-outlet.opening * spec.conductance);
            }
        }
    }

    /// The outlet whose hose goes to a bag.
    pub fn outlet_of(&self, bag: usize) -> Option<usize> {
        self.outlets.iter().position(|o| o.to == bag)
    }

    /// Moves a valve's lever; a stuck valve does not follow, without any notice to the crew.
    pub fn turn_valve(&mut self, outlet: usize, opening: f64) {
        let outlet = &mut self.outlets[outlet];
        if !outlet.stuck {
            outlet.opening = opening;
        }
    }

    /// Shuts the valves of some bags, as far as they follow.
    pub fn close_valves(&mut self, bags: &[usize]) {
        for &bag in bags {
            if let Some(outlet) = self.outlet_of(bag) {
                self.turn_valve(outlet, 0.0);
            }
        }
    }

    /// Shuts every valve, as far as it follows.
    pub fn shut_valves(&mut self) {
        (0..self.outlets.len()).for_each(|outlet| self.turn_valve(outlet, 0.0));
    }

    /// A hose tears off at its bag.
    pub fn burst(&mut self, outlet: usize) {
        self.outlets[outlet].burst = true;
    }

    /// A valve sticks as it is.
    pub fn stick(&mut self, outlet: usize) {
        self.outlets[outlet].stuck = true;
    }

    /// A bag gets a hole of a bore, m.
    pub fn leak(&mut self, bag: usize, bore_m: f64) {
        self.leaks[bag] += air::bore_conductance(bore_m);
    }

    /// The regulator lets through another pressure, Pa gauge.
    pub fn set_regulator(&mut self, pa: f64) {
        self.regulator_pa = pa;
    }

    /// The cylinder turns out to hold no more than this, Pa gauge: it does not fill itself.
    pub fn drain_cylinder(&mut self, cylinder_m3: f64, pa: f64) {
        self.cylinder = Cylinder::new(cylinder_m3, pa.min(self.cylinder.gauge_pa()));
    }

    pub fn cylinder_pa(&self) -> f64 {
        self.cylinder.gauge_pa()
    }

    pub fn outlet_states(&self) -> Vec<OutletState> {
        self.outlets.iter().map(|o| OutletState { opening: o.opening, burst: o.burst }).collect()
    }

    pub fn bag_states(&self, bodies: &Bodies, loads: &[Load]) -> Vec<BagState> {
        let state = |(index, bag): (usize, &GasBag)| BagState {
            height_m: bag.height_m,
            height_limit_m: bag.membrane.height_limit_m(),
            gauge_pa: bag.gauge_pa,
            force_n: bag.force_n,
            load_n: borne_n(bodies, loads, index),
            tilt_rad: bag.tilt_rad,
            shear_m: bag.shear_m,
            locked_out: bag.locked_out,
            hose: self.outlet_of(index),
            relieving: bag.relieving,
        };
        self.bags.iter().enumerate().map(state).collect()
    }

    /// Hoses and shut-offs are changed by hand while all is at rest, too.
    pub fn update_hoses(&self, states: &mut [BagState]) {
        for (index, (state, bag)) in states.iter_mut().zip(&self.bags).enumerate() {
            state.locked_out = bag.locked_out;
            state.hose = self.outlet_of(index);
        }
    }
}

/// What lies on a bag presses it with, N.
fn borne_n(bodies: &Bodies, loads: &[Load], bag: usize) -> f64 {
    let is = |part: PartId, upper| bodies.parts[part].kind == PartKind::BagFace { bag, upper };
    up_n(loads, |part| is(part, true), |part| !is(part, false)).max(0.0)
}

/// Air for a mass flow over one step, as `p V`, J.
fn air_of_flow_j(kg_s: f64, step_s: f64) -> f64 {
    kg_s * AIR_RT_J_KG * step_s
}
