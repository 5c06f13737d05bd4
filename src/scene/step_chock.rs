//! Step chocks: a block of steps that is pushed in under an edge of the vehicle until one of its
//! steps goes under it, and packed there. How it stands is geometry that paper and simulation
//! share (common practice, no source).

use super::cut::Footprint;
use super::equipment::Wedge;

/// A block of steps under an edge of the vehicle, with a packer on the step that is snug. Its steps
/// rise away from the vehicle's middle.
#[derive(Clone, Debug)]
pub struct StepChock {
    pub name: String,
    /// Middle of the step that bears, over the ground, m.
    pub at: [f64; 2],
    /// It lies across the vehicle, as under a sill; otherwise along it, as under a bonnet.
    pub across: bool,
    pub rise_m: f64,
    pub tread_m: f64,
    pub steps: usize,
    pub width_m: f64,
}

impl StepChock {
    /// A packer is so much shorter than its step, m: it does not rub on the next one (assumed).
    const PACKER_SHORT_M: f64 = 0.004;

    /// Along the treads, and across them, as X and Z.
    fn turned(&self, [along, wide]: [f64; 2]) -> [f64; 2] {
        if self.across { [wide, along] } else { [along, wide] }
    }

    /// Height of a step's top, m; steps count from 0.
    pub fn top_m(&self, step: usize) -> f64 {
        (step + 1) as f64 * self.rise_m
    }

    /// What it covers along X and Z, m.
    pub fn size_m(&self) -> [f64; 2] {
        self.turned([self.steps as f64 * self.tread_m, self.width_m])
    }

    /// What one step covers along X and Z, m.
    pub fn step_size_m(&self) -> [f64; 2] {
        self.turned([self.tread_m, self.width_m])
    }

    /// Area of a step, m2.
    pub fn step_m2(&self) -> f64 {
        self.tread_m * self.width_m
    }

    /// The way its steps rise, as a unit vector over the ground, from the vehicle's middle.
    pub fn away(&self, middle: [f64; 2]) -> [f64; 2] {
        let axis = usize::from(self.across);
        let mut away = [0.0; 2];
        away[axis] = if self.at[axis] >= middle[axis] { 1.0 } else { -1.0 };
        away
    }

    /// The step that bears.
    pub fn tread(&self) -> Footprint {
        Footprint::of_size(self.at, self.step_size_m())
    }

    /// The packer on it.
    pub fn packer(&self) -> Footprint {
        let tread_m = self.tread_m - Self::PACKER_SHORT_M;
        Footprint::of_size(self.at, self.turned([tread_m, self.width_m]))
    }

    /// The thickest packer, m: with more room another step would fit, or it is out of reach.
    pub fn packer_most_m(&self) -> f64 {
        self.rise_m + 2.0 * Wedge::LEAST_M
    }

    /// The highest step that goes under an edge so high over the ground with a packer, m; none
    /// where not even the lowest does, or where the edge is out of the highest one's reach.
    pub fn snug_step(&self, edge_m: f64) -> Option<usize> {
        let fit = (edge_m - Wedge::LEAST_M) / self.rise_m;
        let step = (fit.floor().max(0.0) as usize).min(self.steps).checked_sub(1)?;
        (edge_m - self.top_m(step) <= self.packer_most_m()).then_some(step)
    }

    /// Middle of all of it over the ground, m, with a step at its place.
    pub fn middle(&self, step: usize, away: [f64; 2]) -> [f64; 2] {
        let off = (self.steps as f64 - 1.0) / 2.0 - step as f64;
        [0, 1].map(|k| self.at[k] + off * self.tread_m * away[k])
    }

    /// Its lower and its upper ends along the way it rises, from the step at its place, m: what is
    /// as high as a step or higher.
    pub fn from_step(&self, layer: usize, step: usize) -> [f64; 2] {
        [layer, self.steps].map(|k| (k as f64 - step as f64 - 0.5) * self.tread_m)
    }
}
