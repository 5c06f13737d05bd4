//! The obvious changes to a set-up with what is on its truck: what anybody would try first. A task
//! that is said to have no good lift is held against them. Each is a list of changes as `--change`
//! takes them; whether one can be made, and what comes of it, is seen where it is played.

use super::model::LiftTask;
use crate::draft::{Draft, Edit, ItemKind};
use crate::scene::{Bag, CarriedBy, Kit, Order, Piece, Scene};
use crate::units::UnitSystem;

/// A valve that is opened this far only.
const SLOWLY: &str = "\"20 %\"";
/// So many times as long, s at the most.
const LONGER: f64 = 5.0;
const LONGEST_S: f64 = 120.0;
/// Timbers in a layer of a broader crib.
const BROADER: usize = 3;

/// The obvious changes, none of which needs more than the truck has of its kind at all; whether
/// it has enough is for the sheet to say.
pub fn obvious_changes(task: &LiftTask) -> Vec<Vec<String>> {
    let scene = &*task.scene;
    let all = [
        stakes(scene),
        chocks(task),
        slowly(scene),
        layers(scene, |layers| layers + 1),
        layers(scene, |layers| layers.saturating_sub(1)),
        broader(scene),
        soles(scene),
        blocks(scene),
        other_bags(scene),
    ];
    all.into_iter().filter(|changes| !changes.is_empty()).collect()
}

/// A stake behind every chock.
fn stakes(scene: &Scene) -> Vec<String> {
    let loose = scene.chocks.iter().enumerate().filter(|(_, chock)| !chock.staked);
    loose.map(|(i, _)| format!("chocks.{i}.staked=true")).collect()
}

/// Chocks on both sides where there are none, where the set-up stage would bring them.
fn chocks(task: &LiftTask) -> Vec<String> {
    let has = pieces(&task.scene).any(|piece| piece == Piece::Chock);
    if !has || !task.scene.chocks.is_empty() {
        return Vec::new();
    }
    let Ok(mut draft) = Draft::new(task.doc.clone()) else { return Vec::new() };
    let bring = Edit::Add { kind: ItemKind::Chock, at: None, on: None };
    if draft.edit(&bring, true, UnitSystem::Si).is_err() {
        return Vec::new();
    }
    let brought = draft.seen().scene.chocks.iter().enumerate();
    let brought: Vec<String> = brought
        .map(|(i, chock)| {
            let [x_m, z_m] = chock.at;
            format!("(name: \"chock {i}\", at: [\"{x_m} m\", \"{z_m} m\"])")
        })
        .collect();
    vec![format!("chocks=[{}]", brought.join(", "))]
}

/// Air let in slowly, for as much longer.
fn slowly(scene: &Scene) -> Vec<String> {
    let orders = scene.orders.iter().enumerate();
    let raises = orders.filter_map(|(i, order)| match order {
        Order::Raise { at_most_s, .. } => Some((i, (LONGER * at_most_s).min(LONGEST_S))),
        _ => None,
    });
    let slowly = raises.flat_map(|(i, at_most_s)| {
        [format!("orders.{i}.opening={SLOWLY}"), format!("orders.{i}.at_most=\"{at_most_s} s\"")]
    });
    slowly.collect()
}

/// Every stack of another height.
fn layers(scene: &Scene, other: impl Fn(usize) -> usize) -> Vec<String> {
    let stacks = scene.stacks.iter().enumerate();
    stacks.map(|(i, stack)| format!("stacks.{i}.layers={}", other(stack.layers))).collect()
}

/// Three timbers a layer.
fn broader(scene: &Scene) -> Vec<String> {
    let stacks = scene.stacks.iter().enumerate();
    let narrow = stacks.filter(|(_, stack)| stack.members < BROADER);
    narrow.map(|(i, _)| format!("stacks.{i}.members={BROADER}")).collect()
}

/// The largest board under every stack.
fn soles(scene: &Scene) -> Vec<String> {
    let boards = pieces(scene).filter_map(|piece| match piece {
        Piece::Board { size_m, thickness_m } => Some((size_m, thickness_m)),
        _ => None,
    });
    let largest = boards.max_by(|(a, _), (b, _)| (a[0] * a[1]).total_cmp(&(b[0] * b[1])));
    let Some((size_m, thickness_m)) = largest else { return Vec::new() };
    let bare = scene.stacks.iter().enumerate().filter(|(_, stack)| stack.sole.is_none());
    let sole = format!("(size: {}, thickness: \"{thickness_m} m\")", size(size_m));
    bare.map(|(i, _)| format!("stacks.{i}.sole={sole}")).collect()
}

/// A block cut to the face on every topmost bag that bears against the vehicle itself.
fn blocks(scene: &Scene) -> Vec<String> {
    let block = pieces(scene).find_map(|piece| match piece {
        Piece::Block { size_m } => Some(size_m),
        _ => None,
    });
    let (Some(size_m), None) = (block, &scene.beam) else { return Vec::new() };
    let carries = |bag: usize| {
        scene.bags.iter().any(|other: &Bag| other.on == CarriedBy::Bag(bag))
            || scene.wedges.iter().any(|wedge| wedge.on == CarriedBy::Bag(bag))
    };
    let bare: Vec<String> = (0..scene.bags.len())
        .filter(|&bag| !carries(bag))
        .map(|bag| {
            let on = scene.bags[bag].name.escape_default();
            format!("(name: \"block {bag}\", on: \"{on}\", size: {})", size(size_m))
        })
        .collect();
    if bare.is_empty() || !scene.wedges.is_empty() {
        return Vec::new();
    }
    vec![format!("wedges=[{}]", bare.join(", "))]
}

/// Every bag the strongest of the truck: the largest area at its working pressure.
fn other_bags(scene: &Scene) -> Vec<String> {
    let push_n = |size_m: [f64; 2], working_pa: f64| size_m[0] * size_m[1] * working_pa;
    let bags = pieces(scene).filter_map(|piece| match piece {
        Piece::Bag { size_m, working_pa } => Some((size_m, working_pa)),
        _ => None,
    });
    let strongest = bags.max_by(|a, b| push_n(a.0, a.1).total_cmp(&push_n(b.0, b.1)));
    let Some((size_m, working_pa)) = strongest else { return Vec::new() };
    let weaker =
        scene.bags.iter().enumerate().filter(|(_, bag)| {
            push_n(bag.size, bag.working_pa) < 0.99 * push_n(size_m, working_pa)
        });
    let changes = weaker.flat_map(|(i, _)| {
        [
            format!("bags.{i}.size={}", size(size_m)),
            format!("bags.{i}.working=\"{} bar\"", working_pa / 1e5),
        ]
    });
    changes.collect()
}

fn pieces(scene: &Scene) -> impl Iterator<Item = Piece> {
    scene.kit.iter().flat_map(|kit: &Kit| kit.stock.iter().map(|stock| stock.piece))
}

fn size([x_m, z_m]: [f64; 2]) -> String {
    format!("[\"{x_m} m\", \"{z_m} m\"]")
}
