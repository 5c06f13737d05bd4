//! Where a crib's timbers lie, and what each layer of a stack bears on: geometry that paper
//! and simulation share (the layout is common practice, no source).

use super::cut::Footprint;
use super::equipment::{Capture, Stack, VoidFill};
use crate::tables::Timber;

/// A crib: where it stands, and the timber and length of its layers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crib {
    /// Its middle along X and Z, m.
    pub at: [f64; 2],
    pub timber: Timber,
    pub length_m: f64,
}

impl Crib {
    /// Middles of a layer's timbers across their length, from the middle of the crib, m.
    pub fn offsets_m(&self, members: usize) -> Vec<f64> {
        let outer = self.timber.outer_m(members, self.length_m);
        let gaps = (members - 1) as f64;
        (0..members).map(|i| outer * (2.0 * i as f64 / gaps - 1.0)).collect()
    }

    /// Where the two wedges along X on top of it lie.
    pub fn strips(&self) -> [Footprint; 2] {
        Footprint::on_crib(self.at, self.timber, self.length_m)
    }
}

impl VoidFill {
    pub fn crib(&self) -> Crib {
        Crib { at: self.at, timber: self.timber, length_m: self.length_m }
    }
}

impl Capture {
    /// The layers that it is raised by.
    pub fn steps_crib(&self) -> Crib {
        Crib { at: self.at, timber: self.step, length_m: self.length_m }
    }

    /// The layers that it starts with.
    pub fn first_crib(&self) -> Crib {
        Crib { at: self.at, timber: self.timber, length_m: self.length_m }
    }

    /// Its lowest layer, which bears on the ground.
    pub fn lowest_crib(&self) -> Crib {
        Crib { at: self.at, timber: self.lowest(), length_m: self.length_m }
    }
}

impl Stack {
    /// One of its layers, from 0, where it lies.
    pub fn crib_of(&self, layer: usize) -> Crib {
        Crib { at: self.layer_at(layer), timber: self.timber, length_m: self.length_m }
    }

    /// Number of its layers with its pads.
    pub fn layers_with_pads(&self) -> usize {
        self.layers + self.pads_m.len()
    }

    /// Middle of a layer's outer timbers from the middle of the crib, m.
    pub fn outer_m(&self) -> f64 {
        self.timber.outer_m(self.members, self.length_m)
    }

    /// Half width of the bearing across a layer's timbers, m.
    pub fn bearing_half_m(&self) -> f64 {
        self.timber.bearing_half_m(self.members, self.length_m)
    }

    /// Its height with so much standing on it, m, as a multiple of the width over its outer
    /// timbers.
    pub fn height_to_base(&self, carries_m: f64) -> f64 {
        (self.height_m() + carries_m) / (2.0 * self.bearing_half_m())
    }

    /// Half widths of its bearing along X and Z at the joint under a layer, m. Layers count
    /// on through the pads, and the joint under layer 0 is the ground.
    pub fn joint_half_m(&self, layer: usize) -> [f64; 2] {
        let ends = self.joint_ends(layer);
        [0, 1].map(|axis| self.layer_half_m(ends[axis])[axis])
    }

    /// The layer whose timbers end the bearing along X, and the one that ends it along Z, at
    /// the joint under a layer: the narrower of the two that meet there.
    pub fn joint_ends(&self, layer: usize) -> [usize; 2] {
        let below = layer.saturating_sub(1);
        let (over, under) = (self.layer_half_m(layer), self.layer_half_m(below));
        [0, 1].map(|axis| if under[axis] < over[axis] && layer > 0 { below } else { layer })
    }

    /// Half of what a layer covers along X and Z, m. Even layers lie along X, odd ones along Z;
    /// pads are as wide as the stack.
    fn layer_half_m(&self, layer: usize) -> [f64; 2] {
        let (long, across) = (self.length_m / 2.0, self.bearing_half_m());
        match layer {
            k if k >= self.layers => [long, long],
            k if k.is_multiple_of(2) => [long, across],
            _ => [across, long],
        }
    }
}
