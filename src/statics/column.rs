//! Bags in a column on a stack, under something that turns and moves along the ground as
//! it rises: how the faces between them tilt, how far their walls shear, what they push
//! sideways, and where the load enters the stack (statics; textbook, small angles).
//!
//! A bag's force `V` stands square to the plane midway between its faces, at `b` from
//! upright. Its walls shear by `s` from that line with `c V / h`, so that of the load the share
//! `b - c s / h` goes sideways, the same for each bag of the column. Turned upside down a bag is
//! the same bag, so the force runs through the point midway between the middles of its faces,
//! and past it by what its contact patch moves as it tilts; the moments on the two faces between
//! a pair cancel.
//!
//! Where the column lies on a wedge all this holds along and across its own axis; [`Lean::on_seat`]
//! turns what it pushes, and where, back to the ground.
//!
//! Space: along X, towards the nose, m; a tilt towards the nose is positive, rad.

use crate::tables::{BAG_FACE_M, BAG_SHEAR_LEAST_M, BAG_SHEAR_SHARE};

/// How far a bag's force turns with its upper face, as a share of the tilt between its
/// faces: half, because a bag has no up and down.
const FOLLOWS_UPPER: f64 = 0.5;
/// The two faces between a pair, m.
const BETWEEN_M: f64 = 2.0 * BAG_FACE_M;

/// A force leans so far at most that this share of it is upright.
const LEAST_UPRIGHT: f64 = 0.05;

/// A bag of a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColumnBag {
    /// Gap between its faces, m.
    pub gap_m: f64,
    /// How far its contact patch moves along X for every radian of tilt between them, m.
    pub arm_m: f64,
}

impl ColumnBag {
    /// Shear for a share of the load that goes sideways, m.
    fn shear_arm_m(self) -> f64 {
        self.gap_m.max(BAG_SHEAR_LEAST_M) / BAG_SHEAR_SHARE
    }

    /// How far its top moves for a tilt of its force, m.
    fn lean_arm_m(self) -> f64 {
        self.gap_m + self.shear_arm_m()
    }

    /// How far its top moves for a tilt of its force and a share of the load that goes sideways, m.
    fn moves_m(self, square_rad: f64, push: f64) -> f64 {
        self.lean_arm_m() * square_rad - self.shear_arm_m() * push
    }
}

/// What lies on a column, and what it does to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Above {
    /// Tilt of the topmost face.
    pub tilt_rad: f64,
    /// Way along the ground of what lies on it, m.
    pub way_m: f64,
    /// The least and the greatest share of the load that can go sideways before what lies
    /// above slips over it, and those that go sideways while it slips: friction is less then.
    pub cone: [f64; 2],
    pub slipping: [f64; 2],
    /// How far it can slip until something stops it, m: itself towards the nose, and towards
    /// the tail.
    pub room_m: [f64; 2],
}

/// How a column stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Lean {
    /// Tilt of each bag's upper face.
    pub tilts_rad: Vec<f64>,
    /// Shear of each bag's walls, m.
    pub shears_m: Vec<f64>,
    /// Share of the load that the column pushes towards the nose; it pushes the stack as
    /// much the other way.
    pub push: f64,
    /// Way that what lies above slips over it, m.
    pub slip_m: f64,
    /// How much lower its top stands than upright, m.
    pub dip_m: f64,
    /// Where the load enters the uppermost bag, m off the middle of its upper face.
    pub onto_m: f64,
    /// Where the load enters the stack, m off its middle.
    pub enters_m: f64,
    /// Height of what lies above over the stack, m.
    pub height_m: f64,
    /// How much less it pushes for every metre that the stack's top gives way, 1/m; none
    /// where it slips.
    pub eased_per_m: f64,
    /// How much nearer to where it was the load then enters, as a share of that.
    pub eased_share: f64,
}

/// Force along an axis that leans by so much, N, of a column that bears a load upright and
/// pushes a share of that force across its axis: `V / (cos a - p sin a)`.
pub fn along_n(load_n: f64, axis_rad: f64, push: f64) -> f64 {
    let (sin, cos) = axis_rad.sin_cos();
    load_n / (cos - push * sin).max(LEAST_UPRIGHT)
}

impl Lean {
    /// The column turned with its axis by `axis_rad` on a wedge whose upper face is `seat_m` high
    /// in the middle: pushes and places along the ground and at the top of the stack.
    ///
    /// The force stands at `a + atan p` off upright, and goes down through the wedge from where
    /// it enters that. A stack that gives way by 1 m leaves the column `cos a` further over it.
    pub fn on_seat(self, axis_rad: f64, seat_m: f64) -> Self {
        let (sin, cos) = axis_rad.sin_cos();
        let push = (sin + self.push * cos) / (cos - self.push * sin).max(LEAST_UPRIGHT);
        // What enters the wedge this far along its face enters it lower by the face's slope.
        let depth_m = seat_m - self.enters_m * sin;
        let turns = (1.0 + push * push) / (1.0 + self.push * self.push);
        let eased_per_m = self.eased_per_m * cos * turns;
        let moves = (self.eased_share + 1.0) * cos * (cos + push * sin);
        Self {
            push,
            enters_m: self.enters_m * cos - push * depth_m,
            height_m: self.height_m * cos + seat_m,
            eased_per_m,
            eased_share: moves + eased_per_m * depth_m - 1.0,
            ..self
        }
    }
}

/// Way that the middle of a flat bag's top goes while it swells against a face that slopes
/// over it, m: the edge that touches first stays where it is, and the top turns about it.
pub fn touched_m(side_m: f64, tilt_rad: f64) -> f64 {
    side_m / 2.0 * (1.0 - tilt_rad.cos()) * tilt_rad.signum()
}

/// How a column of one or two bags stands. A flat bag takes no tilt: bags that hold no air
/// are left out, unless none does.
pub fn lean(bags: &[ColumnBag], above: Above) -> Lean {
    let column = BearingColumn::new(bags, above.tilt_rad);
    let (slip_m, at) = column.rests(above);
    // A stack that gives way leaves the column's top further over it; all of it is a line in that.
    let (eased_per_m, eased_share) = if slip_m == 0.0 {
        let [stuck, given] = [0.0, 1.0].map(|more_m| column.sticking(above.way_m + more_m));
        (stuck[1] - given[1], column.enters_m(given) - column.enters_m(stuck) - 1.0)
    } else {
        (0.0, 0.0)
    };
    Lean { slip_m, eased_per_m, eased_share, ..column.leaning(bags.len(), at) }
}

/// What bears of a column, with two lines in the tilt between a pair of bags (0 under a single
/// one) and the share of the load that goes sideways: `[of the tilt, of the share, the rest]`.
/// Where a column stands is such a tilt and share, in this order.
struct BearingColumn {
    /// Places of the lowest and of the highest bag that bear, one place where a bag bears alone.
    first: usize,
    last: usize,
    upper: ColumnBag,
    /// Under another one that bears.
    lower: Option<ColumnBag>,
    /// Tilt of the topmost face.
    tilt_rad: f64,
    /// Thickness of the faces, and of the flat bags, that turn with what lies above, m.
    cap_m: f64,
    /// How far the column's top goes, m.
    way: [f64; 3],
    /// The moment on the faces between a pair, m for every newton of the load: none where they
    /// stand.
    moments: [f64; 3],
}

impl BearingColumn {
    fn new(bags: &[ColumnBag], t: f64) -> Self {
        let inflated: Vec<usize> = (0..bags.len()).filter(|&i| bags[i].gap_m > 0.0).collect();
        let used: Vec<usize> = if inflated.is_empty() { vec![0] } else { inflated };
        let (first, last) = (used[0], used[used.len() - 1]);
        let cap_m = BAG_FACE_M + BETWEEN_M * (bags.len() - 1 - last) as f64;
        let upper = bags[last];
        let lower = (first != last).then(|| bags[first]);
        let (from_below, from_above) = (1.0 - FOLLOWS_UPPER, FOLLOWS_UPPER);
        let arm = upper.lean_arm_m();
        let (way, moments) = match lower {
            None => ([0.0, -upper.shear_arm_m(), t * (from_above * arm + cap_m)], [1.0, 0.0, 0.0]),
            Some(lower) => (
                [
                    from_above * lower.lean_arm_m() + from_below * arm + BETWEEN_M,
                    -lower.shear_arm_m() - upper.shear_arm_m(),
                    t * (from_above * arm + cap_m),
                ],
                [
                    (from_above * lower.lean_arm_m() + from_below * arm) / 2.0 + BETWEEN_M
                        - lower.arm_m
                        - upper.arm_m,
                    -(lower.lean_arm_m() + arm) / 2.0 - BETWEEN_M,
                    t * (upper.arm_m + from_above * arm / 2.0),
                ],
            ),
        };
        Self { first, last, upper, lower, tilt_rad: t, cap_m, way, moments }
    }

    /// Where its top goes a way with what lies on it, m.
    fn sticking(&self, way_m: f64) -> [f64; 2] {
        let Self { way, moments, .. } = self;
        let det = way[0] * moments[1] - way[1] * moments[0];
        let asked = [way_m - way[2], -moments[2]];
        [
            (asked[0] * moments[1] - way[1] * asked[1]) / det,
            (way[0] * asked[1] - moments[0] * asked[0]) / det,
        ]
    }

    /// How far its top goes, m.
    fn reach_m(&self, [between, push]: [f64; 2]) -> f64 {
        self.way[0] * between + self.way[1] * push + self.way[2]
    }

    /// How far what lies on it slips over it, m, and where it stands then.
    fn rests(&self, above: Above) -> (f64, [f64; 2]) {
        let stuck = self.sticking(above.way_m);
        if (above.cone[0]..=above.cone[1]).contains(&stuck[1]) {
            return (0.0, stuck);
        }
        // What slips goes with the share at the edge of the smaller cone; the faces between a
        // pair that would not stand by itself tip over at once.
        let edge = if stuck[1] > above.cone[1] { above.slipping[1] } else { above.slipping[0] };
        let moments = self.moments;
        let between = -(moments[1] * edge + moments[2]) / moments[0].min(-1e-3);
        let slipping = [if self.lower.is_some() { between } else { 0.0 }, edge];
        let free_m = above.way_m - self.reach_m(slipping);
        let slip_m = free_m.clamp(-above.room_m[1], above.room_m[0]);
        let at = if slip_m == free_m { slipping } else { self.sticking(above.way_m - slip_m) };
        (slip_m, at)
    }

    /// Tilt of the middle of the uppermost bag that bears.
    fn upper_square_rad(&self, between: f64) -> f64 {
        (1.0 - FOLLOWS_UPPER) * between + FOLLOWS_UPPER * self.tilt_rad
    }

    /// Height of what lies above over the stack, m.
    fn height_m(&self) -> f64 {
        let upper_m = self.upper.gap_m + BAG_FACE_M * (2 * self.first + 1) as f64;
        self.lower.map_or(upper_m, |lower| upper_m + (lower.gap_m + BETWEEN_M))
    }

    /// Where the load enters the uppermost bag, m off the middle of its upper face. The force
    /// runs midway between the middles of the bag's faces, of which the upper one is `cap_m`
    /// under the top; the bag's moment moves it towards the closing side.
    fn onto_m(&self, [between, push]: [f64; 2]) -> f64 {
        let upper = self.upper;
        let moves_m = upper.moves_m(self.upper_square_rad(between), push);
        upper.arm_m * (self.tilt_rad - between) - (moves_m - push * upper.gap_m) / 2.0
    }

    /// Where the load enters the stack, m off its middle.
    fn enters_m(&self, at: [f64; 2]) -> f64 {
        let top_m = self.reach_m(at) - self.cap_m * self.tilt_rad;
        top_m + self.onto_m(at) - at[1] * self.height_m()
    }

    /// How it stands there, of `count` bags, where nothing slips or gives way.
    fn leaning(&self, count: usize, at: [f64; 2]) -> Lean {
        let [between, push] = at;
        let shear = |bag: ColumnBag, square: f64| bag.shear_arm_m() * (square - push);
        let dip = |bag: ColumnBag, square: f64| {
            bag.gap_m * (1.0 - square.cos()) + shear(bag, square) * square.sin()
        };
        let (mut tilts_rad, mut shears_m) = (vec![0.0; count], vec![0.0; count]);
        let mut dip_m = self.cap_m * (1.0 - self.tilt_rad.cos());
        if let Some(lower) = self.lower {
            let square = FOLLOWS_UPPER * between;
            tilts_rad[self.first] = between;
            shears_m[self.first] = shear(lower, square);
            dip_m += dip(lower, square) + BETWEEN_M * (1.0 - between.cos());
        }
        let square = self.upper_square_rad(between);
        shears_m[self.last] = shear(self.upper, square);
        dip_m += dip(self.upper, square);
        for tilt in &mut tilts_rad[self.last..] {
            *tilt = self.tilt_rad;
        }
        Lean {
            tilts_rad,
            shears_m,
            push,
            slip_m: 0.0,
            dip_m,
            onto_m: self.onto_m(at),
            enters_m: self.enters_m(at),
            height_m: self.height_m(),
            eased_per_m: 0.0,
            eased_share: 0.0,
        }
    }
}
