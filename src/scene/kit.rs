//! What a truck carries, by the piece.

use crate::tables::Timber;

/// Sizes of one piece differ so little, as a share (assumed): saws and tapes.
const SAME_SHARE: f64 = 0.02;

/// A kind of piece that a crew carries and sets.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Piece {
    Timber {
        timber: Timber,
        length_m: f64,
    },
    /// A pad, or a sole plate.
    Board {
        size_m: [f64; 2],
        thickness_m: f64,
    },
    /// Two wedges that are driven against each other.
    WedgePair,
    /// What squares a bag to a sloping face.
    Block {
        size_m: [f64; 2],
    },
    Chock,
    Stake,
    Bag {
        size_m: [f64; 2],
        working_pa: f64,
    },
    Cylinder {
        water_m3: f64,
        filled_pa: f64,
    },
    /// A valve of the controller with its hose.
    Outlet,
}

/// So many pieces of a kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    pub piece: Piece,
    pub count: usize,
}

/// What a truck carries.
#[derive(Clone, Debug)]
pub struct Kit {
    pub name: String,
    /// Where its data come from.
    pub data: String,
    pub stock: Vec<Stock>,
}

impl Piece {
    /// The sizes that tell it from others of its kind, SI; the kind by its discriminant and, of
    /// timber, the section.
    fn sizes(self) -> [f64; 3] {
        match self {
            Self::Timber { length_m, .. } => [length_m, 1.0, 1.0],
            Self::Board { size_m: [x, z], thickness_m } => [x, z, thickness_m],
            Self::Block { size_m: [x, z] } => [x, z, 1.0],
            Self::Bag { size_m: [x, z], working_pa } => [x, z, working_pa],
            Self::Cylinder { water_m3, filled_pa } => [water_m3, filled_pa, 1.0],
            Self::WedgePair | Self::Chock | Self::Stake | Self::Outlet => [1.0; 3],
        }
    }

    /// How unlike another piece of its kind it is, as the largest ratio of their sizes less one;
    /// none for another kind. Timbers of other sections are another kind.
    pub fn unlike(self, other: Self) -> Option<f64> {
        let section = match (self, other) {
            (Self::Timber { timber: a, .. }, Self::Timber { timber: b, .. }) => a == b,
            _ => true,
        };
        let kind = std::mem::discriminant(&self) == std::mem::discriminant(&other) && section;
        kind.then(|| {
            let ratio = |a: f64, b: f64| (a / b).max(b / a) - 1.0;
            let pairs = self.sizes().into_iter().zip(other.sizes());
            pairs.map(|(a, b)| ratio(a, b)).fold(0.0, f64::max)
        })
    }

    /// Whether it is the same thing as another.
    pub fn same(self, other: Self) -> bool {
        self.unlike(other).is_some_and(|share| share <= SAME_SHARE)
    }
}

impl Stock {
    /// Adds pieces to a list that has each kind once.
    pub fn add(list: &mut Vec<Self>, piece: Piece, count: usize) {
        match list.iter_mut().find(|stock| stock.piece.same(piece)) {
            _ if count == 0 => {}
            Some(stock) => stock.count += count,
            None => list.push(Self { piece, count }),
        }
    }
}

impl Kit {
    /// How many of a piece it has.
    pub fn has(&self, piece: Piece) -> usize {
        self.stock.iter().filter(|stock| stock.piece.same(piece)).map(|stock| stock.count).sum()
    }

    /// The piece most like one that it has not; none where it has nothing of the kind.
    pub fn nearest(&self, piece: Piece) -> Option<Stock> {
        let others = self.stock.iter().filter(|stock| !stock.piece.same(piece));
        let unlike = others.filter_map(|stock| Some((stock.piece.unlike(piece)?, *stock)));
        unlike.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, stock)| stock)
    }
}
