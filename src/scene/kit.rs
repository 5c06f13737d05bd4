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
    /// A block of steps.
    StepChock {
        rise_m: f64,
        tread_m: f64,
        width_m: f64,
        steps: usize,
    },
    Strut {
        capacity_n: f64,
    },
    Strap {
        capacity_n: f64,
    },
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
    /// The sizes that tell it from others of its kind, SI.
    fn sizes(self) -> [f64; 3] {
        match self {
            Self::Timber { length_m, .. } => [length_m, 1.0, 1.0],
            Self::Board { size_m: [x, z], thickness_m } => [x, z, thickness_m],
            Self::Block { size_m: [x, z] } => [x, z, 1.0],
            Self::Bag { size_m: [x, z], working_pa } => [x, z, working_pa],
            Self::Cylinder { water_m3, filled_pa } => [water_m3, filled_pa, 1.0],
            Self::StepChock { rise_m, tread_m, width_m, .. } => [rise_m, tread_m, width_m],
            Self::Strut { capacity_n } | Self::Strap { capacity_n } => [capacity_n, 1.0, 1.0],
            Self::WedgePair | Self::Chock | Self::Stake | Self::Outlet => [1.0; 3],
        }
    }

    /// Orders pieces of a kind from small to large.
    pub fn size(self) -> f64 {
        self.sizes().into_iter().product()
    }

    /// Whether it is the same thing as another.
    pub fn same(self, other: Self) -> bool {
        let near = |a: f64, b: f64| (a / b).max(b / a) - 1.0 <= SAME_SHARE;
        let mut pairs = self.sizes().into_iter().zip(other.sizes());
        self.same_kind(other) && pairs.all(|(a, b)| near(a, b))
    }

    /// Whether it does in the place of another: a longer timber of the same section, a larger
    /// board of the same thickness, a larger block, a stronger strut or strap, a cylinder that holds more. A bag does only
    /// for one of its own size: a larger one reaches another height.
    pub fn does_for(self, other: Self) -> bool {
        let larger = |a: [f64; 2], b: [f64; 2]| a[0] >= b[0] && a[1] >= b[1];
        self.same(other)
            || self.same_kind(other)
                && match (self, other) {
                    (Self::Timber { length_m: a, .. }, Self::Timber { length_m: b, .. }) => a > b,
                    (
                        Self::Board { size_m: a, thickness_m: thick_m },
                        Self::Board { size_m: b, thickness_m },
                    ) => larger(a, b) && (thick_m / thickness_m - 1.0).abs() <= SAME_SHARE,
                    (Self::Strut { capacity_n: a }, Self::Strut { capacity_n: b })
                    | (Self::Strap { capacity_n: a }, Self::Strap { capacity_n: b }) => a > b,
                    (Self::Block { size_m: a }, Self::Block { size_m: b }) => larger(a, b),
                    (
                        Self::Cylinder { water_m3: a, filled_pa: full },
                        Self::Cylinder { water_m3: b, filled_pa },
                    ) => a * full > b * filled_pa,
                    _ => false,
                }
    }

    /// Timbers of other sections are another kind, and step chocks of other numbers of steps.
    fn same_kind(self, other: Self) -> bool {
        let section = match (self, other) {
            (Self::Timber { timber: a, .. }, Self::Timber { timber: b, .. }) => a == b,
            (Self::StepChock { steps: a, .. }, Self::StepChock { steps: b, .. }) => a == b,
            _ => true,
        };
        std::mem::discriminant(&self) == std::mem::discriminant(&other) && section
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
