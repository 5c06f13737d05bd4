//! Reads what a truck carries.

use crate::scene::field_reader::{Fields, all};
use crate::scene::kit::{Kit, Piece, Stock};
use crate::scene::schema::{
    blocks, boards, carried_step_chocks, cylinders, kit as field, lifting_bags, rated_straps,
    rated_struts, scene, timbers,
};

/// The kit, or none where the scene names none; `None` where it cannot be read.
pub(super) fn kit(f: &Fields<'_>) -> Option<Option<Kit>> {
    let Some(g) = f.optional_group(scene::KIT) else { return Some(None) };
    let (name, data) = (g.take(field::NAME), g.take(field::DATA));
    let lists = [
        all(g.list(field::TIMBERS).iter().map(timber)),
        all(g.list(field::BOARDS).iter().map(board)),
        all(g.list(field::BLOCKS).iter().map(block)),
        all(g.list(field::STEP_CHOCKS).iter().map(step_chock)),
        all(g.list(field::STRUTS).iter().map(strut)),
        all(g.list(field::STRAPS).iter().map(strap)),
        all(g.list(field::BAGS).iter().map(bag)),
        all(g.list(field::CYLINDERS).iter().map(cylinder)),
    ];
    let counts = [
        (Piece::WedgePair, g.take(field::WEDGES)),
        (Piece::Chock, g.take(field::CHOCKS)),
        (Piece::Stake, g.take(field::STAKES)),
        (Piece::Outlet, g.take(field::OUTLETS)),
    ];
    g.end();
    let mut stock: Vec<Stock> = all(lists)?.into_iter().flatten().collect();
    for (piece, count) in counts {
        stock.push(Stock { piece, count: count? });
    }
    stock.retain(|stock| stock.count > 0);
    Some(Some(Kit { name: name?, data: data?, stock }))
}

fn timber(g: &Fields<'_>) -> Option<Stock> {
    let (timber, length) = (g.take(timbers::SECTION), g.take(timbers::LENGTH));
    let count = g.take(timbers::COUNT);
    g.end();
    Some(Stock { piece: Piece::Timber { timber: timber?, length_m: length? }, count: count? })
}

fn board(g: &Fields<'_>) -> Option<Stock> {
    let (size, thickness) = (g.take(boards::SIZE), g.take(boards::THICKNESS));
    let count = g.take(boards::COUNT);
    g.end();
    Some(Stock { piece: Piece::Board { size_m: size?, thickness_m: thickness? }, count: count? })
}

fn block(g: &Fields<'_>) -> Option<Stock> {
    let (size, count) = (g.take(blocks::SIZE), g.take(blocks::COUNT));
    g.end();
    Some(Stock { piece: Piece::Block { size_m: size? }, count: count? })
}

fn step_chock(g: &Fields<'_>) -> Option<Stock> {
    let (rise, tread) = (g.take(carried_step_chocks::RISE), g.take(carried_step_chocks::TREAD));
    let (steps, width) = (g.take(carried_step_chocks::STEPS), g.take(carried_step_chocks::WIDTH));
    let count = g.take(carried_step_chocks::COUNT);
    g.end();
    let piece = Piece::StepChock { rise_m: rise?, tread_m: tread?, width_m: width?, steps: steps? };
    Some(Stock { piece, count: count? })
}

fn strut(g: &Fields<'_>) -> Option<Stock> {
    let (capacity, count) = (g.take(rated_struts::CAPACITY), g.take(rated_struts::COUNT));
    g.end();
    Some(Stock { piece: Piece::Strut { capacity_n: capacity? }, count: count? })
}

fn strap(g: &Fields<'_>) -> Option<Stock> {
    let (capacity, count) = (g.take(rated_straps::CAPACITY), g.take(rated_straps::COUNT));
    g.end();
    Some(Stock { piece: Piece::Strap { capacity_n: capacity? }, count: count? })
}

fn bag(g: &Fields<'_>) -> Option<Stock> {
    let (size, working) = (g.take(lifting_bags::SIZE), g.take(lifting_bags::WORKING));
    let count = g.take(lifting_bags::COUNT);
    g.end();
    Some(Stock { piece: Piece::Bag { size_m: size?, working_pa: working? }, count: count? })
}

fn cylinder(g: &Fields<'_>) -> Option<Stock> {
    let (water, filled) = (g.take(cylinders::WATER), g.take(cylinders::FILLED));
    let count = g.take(cylinders::COUNT);
    g.end();
    Some(Stock { piece: Piece::Cylinder { water_m3: water?, filled_pa: filled? }, count: count? })
}
