//! Bags and their supply: cylinder, regulator, valves, hoses, shut-offs and leaks.

use super::air::{self, COUPLING_CONDUCTANCE, Cylinder, Feed, LegEnd, air_of_flow_j};
use super::bag::GasBag;
use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::up_n;
use crate::scene::{Air, Outlet, Scene};
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
    /// The bag at the end of its hose; two where it has a Y.
    pub legs: Vec<usize>,
    /// The outlet whose valve its hose is on: its own, unless hoses are crossed.
    fed_by: usize,
    /// Above 0 filling, below 0 letting out; a share of the open valve.
    pub opening: f64,
    pub burst: bool,
    /// Its valve no longer follows the lever.
    stuck: bool,
}

impl Pneumatics {
    /// A scene's supply with every valve shut, and no bag yet.
    pub fn new(scene: &Scene) -> Self {
        let line = |(fed_by, outlet): (usize, &Outlet)| HoseLine {
            legs: outlet.bags().collect(),
            fed_by,
            opening: 0.0,
            burst: false,
            stuck: false,
        };
        Self {
            bags: Vec::new(),
            outlets: scene.air.outlets.iter().enumerate().map(line).collect(),
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
        for bag in self.open_bags() {
            air_j[bag] -= self.vented_j(bag, COUPLING_CONDUCTANCE, step_s);
        }
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
        let supply_pa = self.cylinder.gauge_pa().min(self.regulator_pa) + ATMOSPHERE_PA;
        for line in 0..self.outlets.len() {
            let HoseLine { legs, fed_by, burst, .. } = &self.outlets[line];
            let open = self.outlets[*fed_by].opening * supply.outlets[*fed_by].conductance;
            match *legs.as_slice() {
                // While the vehicle settles no bag is there yet.
                _ if self.bags.is_empty() => {}
                [bag] => air_j[bag] += self.through_hose_j(bag, *burst, open, supply_pa, step_s),
                [first, second] => {
                    let bags = [first, second];
                    self.let_through_y(bags, *burst, open, supply_pa, step_s, air_j);
                }
                _ => {}
            }
        }
    }

    /// What a bag gets through a hose of its own in one step, as `p V`, J; `open` is the
    /// valve's conductance, below 0 where it lets out.
    fn through_hose_j(
        &mut self,
        bag: usize,
        burst: bool,
        open: f64,
        supply_pa: f64,
        step_s: f64,
    ) -> f64 {
        if self.bags[bag].locked_out {
            0.0
        } else if burst {
            -self.vented_j(bag, COUPLING_CONDUCTANCE, step_s)
        } else if open > 0.0 {
            let kg = air::mass_flow(open, supply_pa, self.bags[bag].absolute_pa()) * step_s;
            self.cylinder.take(kg) * AIR_RT_J_KG
        } else if open < 0.0 {
            -self.vented_j(bag, -open, step_s)
        } else {
            0.0
        }
    }

    /// Lets air through a valve and a Y for one step, and from one of its bags into the other.
    /// Its hose tears off at the first of them.
    fn let_through_y(
        &mut self,
        [first, second]: [usize; 2],
        burst: bool,
        open: f64,
        supply_pa: f64,
        step_s: f64,
        air_j: &mut [f64],
    ) {
        let mut legs = Vec::with_capacity(2);
        if burst {
            if !self.bags[first].locked_out {
                air_j[first] -= self.vented_j(first, COUPLING_CONDUCTANCE, step_s);
            }
            legs.push((None, LegEnd::Torn));
        }
        for bag in [first, second].into_iter().skip(usize::from(burst)) {
            let end = &self.bags[bag];
            if !end.locked_out {
                legs.push((Some(bag), end.leg_end()));
            }
        }
        let feed = if open > 0.0 {
            Feed::From { supply_pa, conductance: open }
        } else if open < 0.0 {
            Feed::Out { conductance: -open }
        } else {
            Feed::Shut
        };
        let ends: Vec<LegEnd> = legs.iter().map(|(_, end)| *end).collect();
        let (fed_j, mut into_j) = air::through_y_j(feed, &ends, step_s);
        if let (true, Some(last)) = (fed_j > 0.0, into_j.last_mut()) {
            *last -= fed_j - self.cylinder.take(fed_j / AIR_RT_J_KG) * AIR_RT_J_KG;
        }
        for ((bag, _), into_j) in legs.iter().zip(into_j) {
            if let Some(bag) = bag {
                air_j[*bag] += into_j;
            }
        }
    }

    /// What a bag lets into the open through a conductance in one step, as `p V`, J.
    fn vented_j(&self, bag: usize, conductance: f64, step_s: f64) -> f64 {
        let bag = &self.bags[bag];
        let kg_s = air::mass_flow(conductance, bag.absolute_pa(), ATMOSPHERE_PA);
        air_of_flow_j(kg_s, step_s).min(bag.spare_air_j())
    }

    /// The bags whose coupling is open to the air: neither a hose nor a closed shut-off holds
    /// their air in, because a bag's own coupling has no valve (common practice, no source).
    pub fn open_bags(&self) -> Vec<usize> {
        (0..self.bags.len()).filter(|&bag| self.is_open(bag)).collect()
    }

    fn is_open(&self, bag: usize) -> bool {
        !self.bags[bag].locked_out && self.outlet_of(bag).is_none()
    }

    /// A burst hose is torn off at the first bag that it leads to.
    fn is_torn(&self, bag: usize) -> bool {
        self.outlets.iter().any(|line| line.burst && line.legs.first() == Some(&bag))
    }

    /// The outlet whose hose goes to a bag.
    pub fn outlet_of(&self, bag: usize) -> Option<usize> {
        self.outlets.iter().position(|o| o.legs.contains(&bag))
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

    /// The hoses of two outlets change places at the controller, so that each lever moves the
    /// other's bags.
    pub fn cross(&mut self, one: usize, other: usize) {
        let on = self.outlets[one].fed_by;
        self.outlets[one].fed_by = self.outlets[other].fed_by;
        self.outlets[other].fed_by = on;
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
            open: self.is_open(index),
            torn: self.is_torn(index),
            relieving: bag.relieving,
        };
        self.bags.iter().enumerate().map(state).collect()
    }

    /// Hoses and shut-offs are changed by hand while all is at rest, too.
    pub fn update_hoses(&self, states: &mut [BagState]) {
        for (index, (state, bag)) in states.iter_mut().zip(&self.bags).enumerate() {
            state.locked_out = bag.locked_out;
            state.hose = self.outlet_of(index);
            state.open = self.is_open(index);
            state.torn = self.is_torn(index);
        }
    }
}

/// What lies on a bag presses it with, N.
fn borne_n(bodies: &Bodies, loads: &[Load], bag: usize) -> f64 {
    let is = |part: PartId, upper| bodies.parts[part].kind == PartKind::BagFace { bag, upper };
    up_n(loads, |part| is(part, true), |part| !is(part, false)).max(0.0)
}
