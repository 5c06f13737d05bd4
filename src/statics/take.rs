//! What a set-up takes off the truck, piece by piece, and what the truck is short of.

use super::plan::Plan;
use super::supports::fill_edges;
use crate::scene::{CarriedBy, Envelope, Kit, Piece, Scene, SolePlate, StepChock, Stock, VoidFill};
use crate::tables::Timber;

/// What is needed of a piece, and what the truck has for it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    pub taken: Stock,
    /// Of the very piece.
    pub has: usize,
    /// Larger pieces that do in its place and that nothing else takes.
    pub does: Option<Stock>,
}

impl Need {
    /// How many are missing.
    pub fn short(&self) -> usize {
        let does = self.does.map_or(0, |stock| stock.count);
        self.taken.count.saturating_sub(self.has + does)
    }
}

/// The set-up counted against what the truck carries.
pub struct KitCount<'a> {
    pub kit: &'a Kit,
    pub needs: Vec<Need>,
}

impl<'a> KitCount<'a> {
    /// None where the scene names no kit.
    pub fn new(scene: &'a Scene, plan: &Plan) -> Option<Self> {
        let kit = scene.kit.as_ref()?;
        Some(Self { kit, needs: needs(kit, &taken(scene, Some(plan))) })
    }

    /// How many kinds of pieces the truck is short of.
    pub fn short(&self) -> usize {
        self.needs.iter().filter(|need| need.short() > 0).count()
    }
}

/// What the truck has for everything that is taken. First every piece goes where it belongs; then
/// what is left over does for what is missing, the smallest that does first.
fn needs(kit: &Kit, taken: &[Stock]) -> Vec<Need> {
    let mut left = kit.stock.clone();
    let mut needs: Vec<Need> = Vec::new();
    for &taken in taken {
        let mut same = left.iter_mut().filter(|stock| stock.piece.same(taken.piece));
        let has = same.next().map_or(0, |stock| {
            let has = stock.count;
            stock.count -= has.min(taken.count);
            has
        });
        needs.push(Need { taken, has, does: None });
    }
    for need in &mut needs {
        let missing = need.short();
        let does = |stock: &&mut Stock| {
            stock.count > 0
                && !stock.piece.same(need.taken.piece)
                && stock.piece.does_for(need.taken.piece)
        };
        let smallest = |a: &&mut Stock, b: &&mut Stock| a.piece.size().total_cmp(&b.piece.size());
        if missing == 0 {
            continue;
        }
        if let Some(stock) = left.iter_mut().filter(does).min_by(smallest) {
            let count = stock.count.min(missing);
            need.does = Some(Stock { piece: stock.piece, count });
            stock.count -= count;
        }
    }
    needs
}

/// Timbers in a layer of packing and of a capture crib.
const MEMBERS: usize = 2;
/// Pairs of wedges that make packing or a capture snug: one on each timber of its top layer.
const SNUG_PAIRS: usize = 2;
/// Pairs of shims between the beam and the vehicle: one at either opening.
const SHIM_PAIRS: usize = 2;

/// The pieces of a set-up, each kind once: everything that stands before the lift or is added on
/// the way. Layers of packing are as many as fit under the vehicle as it lies; they are left out
/// where there is no plan to tell its height.
pub fn taken(scene: &Scene, plan: Option<&Plan>) -> Vec<Stock> {
    let mut list = Vec::new();
    let mut take = |piece, count| Stock::add(&mut list, piece, count);
    for stack in &scene.stacks {
        take(timber(stack.timber, stack.length_m), stack.layers * stack.members);
        for &thickness_m in &stack.pads_m {
            take(Piece::Board { size_m: [stack.length_m; 2], thickness_m }, 1);
        }
    }
    for (index, fill) in scene.void_fill.iter().enumerate() {
        if let Some(layers) = plan.and_then(|plan| packing_layers(plan, index)) {
            take(timber(fill.timber, fill.length_m), MEMBERS * layers);
        }
        take(Piece::WedgePair, SNUG_PAIRS);
    }
    for capture in &scene.captures {
        take(timber(capture.timber, capture.length_m), MEMBERS * capture.layers);
        take(timber(capture.step, capture.length_m), MEMBERS * capture.steps);
        take(Piece::WedgePair, SNUG_PAIRS);
    }
    for sole in soles(scene) {
        take(Piece::Board { size_m: sole.size, thickness_m: sole.thickness_m }, 1);
    }
    if let Some(beam) = &scene.beam {
        take(timber(beam.timber, beam.length_m), 1);
        take(Piece::WedgePair, if beam.shims { SHIM_PAIRS } else { 0 });
        for on in &beam.rests_on {
            if let (CarriedBy::Bag(bag), Some(thickness_m)) = (*on, beam.pad_m) {
                take(Piece::Board { size_m: scene.bags[bag].size, thickness_m }, 1);
            }
        }
    }
    for wedge in &scene.wedges {
        take(Piece::Block { size_m: wedge.size }, 1);
    }
    take(Piece::Chock, scene.chocks.len());
    let staked_chocks = scene.chocks.iter().filter(|chock| chock.staked).count();
    let staked_struts = scene.struts.iter().filter(|strut| strut.staked).count();
    take(Piece::Stake, staked_chocks + staked_struts);
    for &StepChock { rise_m, tread_m, width_m, steps, .. } in &scene.step_chocks {
        take(Piece::StepChock { rise_m, tread_m, width_m, steps }, 1);
        // Its packer is a pair that is driven from either side.
        take(Piece::WedgePair, 1);
    }
    for strut in &scene.struts {
        take(Piece::Strut { capacity_n: strut.capacity_n }, 1);
    }
    for strap in &scene.straps {
        take(Piece::Strap { capacity_n: strap.capacity_n }, 1);
    }
    for bag in &scene.bags {
        take(Piece::Bag { size_m: bag.size, working_pa: bag.working_pa }, 1);
    }
    if !scene.bags.is_empty() {
        let air = &scene.air;
        take(Piece::Cylinder { water_m3: air.cylinder_m3, filled_pa: air.cylinder_pa }, 1);
        take(Piece::Outlet, air.outlets.len());
    }
    list
}

fn timber(timber: Timber, length_m: f64) -> Piece {
    Piece::Timber { timber, length_m }
}

fn soles(scene: &Scene) -> impl Iterator<Item = SolePlate> {
    let stacks = scene.stacks.iter().map(|stack| stack.sole);
    let fills = scene.void_fill.iter().map(|fill| fill.sole);
    let captures = scene.captures.iter().map(|capture| capture.sole);
    stacks.chain(fills).chain(captures).flatten()
}

/// How many layers fit under the lower edge of a void fill's top; none where it has no room.
fn packing_layers(plan: &Plan, index: usize) -> Option<usize> {
    let fill: &VoidFill = &plan.scene.void_fill[index];
    let envelope = Envelope::posed(&plan.scene.vehicle, plan.found.side_pose);
    let [rear, front] = fill_edges(&envelope, fill, fill.length_m / 2.0)?;
    let room_m = rear[1].min(front[1]) - fill.sole_m();
    plan.packed[index].then(|| (room_m / fill.timber.height_m).max(0.0) as usize)
}
