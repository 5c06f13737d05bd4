//! One part of a body where it lies: straight, as broad and as thick at either end as it is.

use crate::scene::envelope::Solid;
use crate::scene::person::{BodyPart, BodySide};

#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    pub part: BodyPart,
    /// Of the person's limbs.
    pub side: Option<BodySide>,
    /// The ends of its middle line, m.
    pub ends: [[f64; 3]; 2],
    /// Half of its breadth over the ground and half of its thickness, at either end, m.
    pub half: [[f64; 2]; 2],
    /// The limb of the scene that is this part.
    pub limb: Option<usize>,
    /// The vehicle lies on it, or it lies beyond a part that the vehicle lies on.
    pub held: bool,
    /// It lies on the ground, not in the vehicle.
    pub outside: bool,
}

impl Segment {
    /// What it is called: "left thigh".
    pub fn say(&self) -> String {
        match self.side {
            Some(side) => format!("{} {}", side.word(), self.part.word()),
            None => self.part.word().to_owned(),
        }
    }

    /// A hand or a foot.
    pub fn is_tip(&self) -> bool {
        matches!(self.part, BodyPart::Hand | BodyPart::Foot)
    }

    /// Its middle line over the ground: a place, the way along it, unit length, and its length.
    fn line(&self) -> ([f64; 2], [f64; 2], f64) {
        let [a, b] = self.ends.map(|[x, _, z]| [x, z]);
        let way = [b[0] - a[0], b[1] - a[1]];
        let length = way[0].hypot(way[1]);
        let unit = if length > 0.0 { way.map(|w| w / length) } else { [1.0, 0.0] };
        (a, unit, length)
    }

    /// The corners of the ground that it covers.
    pub fn corners(&self) -> [[f64; 2]; 4] {
        let (from, [u, v], length) = self.line();
        let at = |along: f64, aside: f64| {
            [from[0] + along * u - aside * v, from[1] + along * v + aside * u]
        };
        let [a, b] = self.half.map(|[breadth, _]| breadth);
        [at(0.0, -a), at(0.0, a), at(length, b), at(length, -b)]
    }

    /// Height of its underside, m.
    pub fn bottom_m(&self) -> f64 {
        let under = |k: usize| self.ends[k][1] - self.half[k][1];
        under(0).min(under(1))
    }

    /// How deep a box on the ground stands in it, m: the shortest way out; none where it does
    /// not. Both are convex, so an axis square to a side of either parts them if any does.
    pub fn overlap_m(&self, solid: &Solid) -> Option<f64> {
        let corners = self.corners();
        let (_, [u, v], _) = self.line();
        let [x, z] = [solid.x, solid.z];
        let square = [[x[0], z[0]], [x[0], z[1]], [x[1], z[1]], [x[1], z[0]]];
        let span = |points: &[[f64; 2]], [p, q]: [f64; 2]| {
            points
                .iter()
                .map(|at| p * at[0] + q * at[1])
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
                    [low.min(at), high.max(at)]
                })
        };
        let shared = |axis: [f64; 2]| {
            let ([a, b], [c, d]) = (span(&corners, axis), span(&square, axis));
            (b - c).min(d - a)
        };
        let mut least = f64::INFINITY;
        for axis in [[1.0, 0.0], [0.0, 1.0], [u, v], [-v, u]] {
            least = least.min(shared(axis));
            // Parted along one axis, they are parted.
            if least <= 0.0 {
                return None;
            }
        }
        Some(least)
    }

    /// Places all over it, and how high it is there, m: its section is an ellipse.
    pub fn tops(&self) -> Vec<([f64; 2], f64)> {
        /// Places are no further apart along it than this, m.
        const STEP_M: f64 = 0.04;
        const ACROSS: [f64; 5] = [-0.9, -0.5, 0.0, 0.5, 0.9];
        let (from, [u, v], length) = self.line();
        let steps = (length / STEP_M).ceil().max(1.0);
        let mut out = Vec::new();
        for i in 0..=steps as usize {
            let t = i as f64 / steps;
            let between = |a: f64, b: f64| a + t * (b - a);
            let [breadth, depth] = [0, 1].map(|k| between(self.half[0][k], self.half[1][k]));
            let middle_m = between(self.ends[0][1], self.ends[1][1]);
            for aside in ACROSS {
                let [along, out_m] = [t * length, aside * breadth];
                let at = [from[0] + along * u - out_m * v, from[1] + along * v + out_m * u];
                out.push((at, middle_m + depth * (1.0 - aside * aside).sqrt()));
            }
        }
        out
    }

    /// Where a line of sight passes within it, by its middle line and its thicker half: how far
    /// from the eye, m; none where it passes by.
    pub fn met_m(&self, from: [f64; 3], towards: [f64; 3]) -> Option<f64> {
        let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let less = |a: [f64; 3], b: [f64; 3]| [0, 1, 2].map(|k| a[k] - b[k]);
        let length = dot(towards, towards).sqrt();
        let sight = towards.map(|w| w / length);
        let [a, b] = self.ends;
        let (axis, off) = (less(b, a), less(a, from));
        let (long, along) = (dot(axis, axis), dot(axis, sight));
        let square = long - along * along;
        // A part that points to the eye is looked at in its near end.
        let share = match square > 1e-12 {
            true => (along * dot(off, sight) - dot(off, axis)) / square,
            false => 0.0,
        };
        let share = share.clamp(0.0, 1.0);
        let place = [0, 1, 2].map(|k| a[k] + share * axis[k]);
        let way = less(place, from);
        let far_m = dot(way, sight);
        let past_m = (dot(way, way) - far_m * far_m).max(0.0).sqrt();
        let radius_m = self.half.iter().flatten().fold(0.0, |most: f64, half| most.max(*half));
        (far_m > 0.0 && past_m < radius_m).then_some(far_m)
    }

    /// Whether a place on the ground is under it.
    pub fn covers(&self, [x, z]: [f64; 2]) -> bool {
        self.overlap_m(&Solid::around([x, z], [1e-6; 2], 0.0)).is_some()
    }

    /// How far a place on the ground is from the ground that it covers, m.
    pub fn off_m(&self, at: [f64; 2]) -> f64 {
        let (from, [u, v], length) = self.line();
        let way = [at[0] - from[0], at[1] - from[1]];
        let (along, aside) = (way[0] * u + way[1] * v, way[1] * u - way[0] * v);
        let breadth = self.half[0][0].max(self.half[1][0]);
        let past = (along - along.clamp(0.0, length)).abs();
        past.hypot((aside.abs() - breadth).max(0.0))
    }
}
