//! A wedge under bags: it lies on a stack's top, and its upper face is cut parallel to the face
//! above, so that the bags on it lean square to that face.

use super::cut::{CutFace, Footprint};
use super::equipment::{Bag, CarriedBy, Stack, Wedge};
use crate::tables::SNUG_M;

/// The upper face of a wedge under bags, as seen from the middle of its stack's top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeaningSeat {
    /// How high its middle is, m.
    pub middle_m: f64,
    /// How far it climbs for every metre along X and along Z.
    pub slope: [f64; 2],
    /// Half of what it covers along X and Z, m.
    half: [f64; 2],
}

impl LeaningSeat {
    /// The face that a wedge is cut to where what is above a place stands `underside` m high,
    /// with so little room that the empty bags are snug; none where nothing lies on it or
    /// the vehicle is not above the middle half of it.
    pub fn of(
        wedge: &Wedge,
        stacks: &[Stack],
        bags: &[Bag],
        underside: impl Fn([f64; 2]) -> Option<f64>,
    ) -> Option<Self> {
        let CarriedBy::Stack(stack) = wedge.on else { return None };
        let count = column_on(bags, stack).len();
        let stack = &stacks[stack];
        // A bag may stick out beyond the vehicle by a quarter of its side.
        let half = wedge.size.map(|side| side / 2.0);
        let middle_half = Footprint { at: stack.at, half: half.map(|side| side / 2.0) };
        let face = CutFace::under(middle_half, underside)?;
        let slope = face.slope(middle_half);
        // Bags are as thick across their faces as ever: straight up that is more.
        let steep = (1.0 + slope[0].powi(2) + slope[1].powi(2)).sqrt();
        let bags_m = count as f64 * Bag::FLAT_M * steep;
        let middle_m = face.middle_m() - stack.height_m() - bags_m - SNUG_M;
        (count > 0).then_some(Self { middle_m, slope, half })
    }

    /// How thick the wedge is at the corners of its footprint, in their order, m.
    pub fn corners_m(&self) -> [f64; 4] {
        let ([x, z], [hx, hz]) = (self.slope, self.half);
        [[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]]
            .map(|[sx, sz]| self.middle_m + sx * hx * x + sz * hz * z)
    }

    /// How thick it is at its thin and at its thick end, m.
    pub fn ends_m(&self) -> [f64; 2] {
        let corners = self.corners_m();
        [corners.into_iter().fold(f64::MAX, f64::min), corners.into_iter().fold(0.0, f64::max)]
    }

    /// Square to it and up, unit length.
    pub fn square(&self) -> [f64; 3] {
        let [x, z] = self.slope;
        let length = (1.0 + x * x + z * z).sqrt();
        [-x / length, 1.0 / length, -z / length]
    }

    /// How far the bags on it lean along X, rad: towards the nose is positive.
    pub fn lean_rad(&self) -> f64 {
        -self.slope[0].atan()
    }
}

/// The bags on a stack, from the lowest up.
pub fn column_on(bags: &[Bag], stack: usize) -> Vec<usize> {
    let on = |rest| bags.iter().position(|bag| bag.on == rest);
    let lowest = on(CarriedBy::Stack(stack));
    std::iter::successors(lowest, |&bag| on(CarriedBy::Bag(bag))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::{RestsOn, load};
    use approx::assert_relative_eq;

    /// Under a plane face that climbs by 0.3 along X and 0.1 along Z the seat has its slopes, and
    /// two bags of so much each lie between them, across both.
    #[test]
    fn a_seat_is_parallel_to_the_face_above() {
        let scene = load("deck-lid-wedged", &[]).expect("a scene of the shelf").scene;
        assert_eq!(scene.lies, RestsOn::Roof);
        let on = CarriedBy::Stack(0);
        let wedge = Wedge { name: "under".into(), on, size: [0.4, 0.45] };
        let at = scene.stacks[0].at;
        let face = |[x, z]: [f64; 2]| 1.2 + 0.3 * (x - at[0]) + 0.1 * (z - at[1]);
        let seat = LeaningSeat::of(&wedge, &scene.stacks, &scene.bags, |at| Some(face(at)));
        let seat = seat.expect("bags lie on the stack, and a face is above it");
        assert_relative_eq!(seat.slope[0], 0.3, epsilon = 1e-9);
        assert_relative_eq!(seat.slope[1], 0.1, epsilon = 1e-9);
        let across_m = (1.2 - scene.stacks[0].height_m() - seat.middle_m) * seat.square()[1];
        let snug_m = SNUG_M * seat.square()[1];
        assert_relative_eq!(across_m - snug_m, 2.0 * Bag::FLAT_M, epsilon = 1e-9);
        let [thin, thick] = seat.ends_m();
        assert_relative_eq!(thick - thin, 0.4 * 0.3 + 0.45 * 0.1, epsilon = 1e-9);
    }
}
