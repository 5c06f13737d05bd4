//! How a piece of timber is cut to the face above it: wedges, shims, and the wedges on void
//! fill and captures. Its upper face is plane, touches the vehicle's and comes above it
//! nowhere. Where the outline bends, or a part of it stands lower, it follows the face over
//! its middle as far as that goes, and light shows beside it (common practice, no source).

use crate::tables::Timber;

/// A face is looked at in spots no further apart than this, m. A bend of 20 deg right over the
/// middle, between two spots, is then found to within the millimetre that a wedge is left.
const SPOTS_M: f64 = 0.01;
/// A face that comes less than this below the plane through the corners counts as plane, m: no
/// crew cuts finer, and the engine's rays find a face to 0.7 mm only (measured).
const PLANE_M: f64 = 1e-3;
/// Heights that differ by less than this count as equal, m.
const EQUAL_M: f64 = 1e-9;

/// A level rectangle that a piece of timber covers: its middle and half its size along X and
/// Z, m.
#[derive(Clone, Copy, Debug)]
pub struct Footprint {
    pub at: [f64; 2],
    pub half: [f64; 2],
}

impl Footprint {
    pub fn of_size(at: [f64; 2], size: [f64; 2]) -> Self {
        Self { at, half: size.map(|side| side / 2.0) }
    }

    /// The two wedges along X on the outer timbers of a crib of two to a layer.
    pub fn on_crib(at: [f64; 2], timber: Timber, length_m: f64) -> [Self; 2] {
        let outer = timber.outer_m(2, length_m);
        let size = [length_m, timber.width_m];
        [-outer, outer].map(|offset| Self::of_size([at[0], at[1] + offset], size))
    }

    pub fn corners(&self) -> [[f64; 2]; 4] {
        let ([x, z], [hx, hz]) = (self.at, self.half);
        [[x - hx, z - hz], [x - hx, z + hz], [x + hx, z + hz], [x + hx, z - hz]]
    }

    /// Spots all over it, about its middle, m: none right on the middle, so that a plane which
    /// is to be high there has spots on either side to lie on.
    fn spots(&self) -> impl Iterator<Item = [f64; 2]> {
        let half = self.half;
        let steps = half.map(|h| (2.0 * h / SPOTS_M).ceil() as usize | 1);
        let spot =
            move |axis: usize, i: usize| half[axis] * (2.0 * i as f64 / steps[axis] as f64 - 1.0);
        (0..=steps[0]).flat_map(move |i| (0..=steps[1]).map(move |j| [spot(0, i), spot(1, j)]))
    }
}

/// The upper face of a piece that is cut until it touches what is above it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutFace {
    /// Its height at the corners of its footprint, in their order, m.
    pub corners_m: [f64; 4],
    /// The largest gap between it and the face above at a corner, m: zero unless that face
    /// bends down between the corners.
    pub light_m: f64,
}

impl CutFace {
    /// Cuts it under what stands `underside` m high above each place; none where nothing is
    /// above a corner.
    pub fn under(foot: Footprint, underside: impl Fn([f64; 2]) -> Option<f64>) -> Option<Self> {
        let corners = foot.corners();
        let mut heights = [0.0; 4];
        for (height, corner) in heights.iter_mut().zip(corners) {
            *height = underside(corner)?;
        }
        let about = |[x, z]: [f64; 2]| [x - foot.at[0], z - foot.at[1]];
        let ends = [0, 1, 2, 3].map(|i| {
            let [x, z] = about(corners[i]);
            [x, heights[i], z]
        });
        let face: Vec<[f64; 3]> = foot
            .spots()
            .filter_map(|[x, z]| Some([x, underside([foot.at[0] + x, foot.at[1] + z])?, z]))
            .chain(ends)
            .collect();
        let across = CutPlane::between(ends);
        if deepest_in(&face, across).is_none_or(|(over_m, _)| over_m <= PLANE_M) {
            return Some(Self { corners_m: heights, light_m: 0.0 });
        }
        let plane = CutPlane::beneath(&face, [ends[0], ends[1], ends[2]]);
        let corners_m = ends.map(|[x, _, z]| plane.at(x, z));
        let light_m = (0..4).map(|i| heights[i] - corners_m[i]).fold(0.0, f64::max);
        Some(Self { corners_m, light_m })
    }

    /// Height of its middle, m.
    pub fn middle_m(&self) -> f64 {
        self.corners_m.iter().sum::<f64>() / 4.0
    }

    /// How far it climbs for every metre along X and along Z of its footprint.
    pub fn slope(&self, foot: Footprint) -> [f64; 2] {
        let [a, b, c, d] = self.corners_m;
        [(c + d - a - b) / (4.0 * foot.half[0]), (b + c - a - d) / (4.0 * foot.half[1])]
    }
}

/// The most that a plane comes above a face, m, and where.
fn deepest_in(face: &[[f64; 3]], plane: CutPlane) -> Option<(f64, [f64; 3])> {
    face.iter().map(|&[x, y, z]| (plane.at(x, z) - y, [x, y, z])).max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Its height over the middle of a footprint, m, and its slopes along X and Z.
#[derive(Clone, Copy)]
struct CutPlane {
    middle_m: f64,
    slope: [f64; 2],
}

impl CutPlane {
    fn at(&self, x: f64, z: f64) -> f64 {
        self.middle_m + self.slope[0] * x + self.slope[1] * z
    }

    /// The plane between a footprint's corners, as the body of a slab has it: level with their
    /// mean, along both diagonals.
    fn between([a, b, c, d]: [[f64; 3]; 4]) -> Self {
        let (ac, bd) = (c[1] - a[1], d[1] - b[1]);
        Self {
            middle_m: (a[1] + b[1] + c[1] + d[1]) / 4.0,
            slope: [(ac + bd) / (2.0 * (c[0] - a[0])), (ac - bd) / (2.0 * (c[2] - a[2]))],
        }
    }

    fn through(three: [[f64; 3]; 3]) -> Self {
        let level = |x: f64, z: f64| -> f64 {
            shares(three, [x, z]).iter().zip(three).map(|(share, [_, y, _])| share * y).sum()
        };
        let middle_m = level(0.0, 0.0);
        Self { middle_m, slope: [level(1.0, 0.0) - middle_m, level(0.0, 1.0) - middle_m] }
    }

    /// The highest plane over the middle that comes above no spot of a face. Such a plane lies
    /// on three spots with the middle between them; from any three such spots on, the spot
    /// that is lowest under their plane takes the place of one of them until none is (the
    /// simplex method).
    fn beneath(face: &[[f64; 3]], mut on: [[f64; 3]; 3]) -> Self {
        for _ in 0..face.len() {
            let Some((over_m, lowest)) = deepest_in(face, Self::through(on)) else { break };
            if over_m <= EQUAL_M {
                break;
            }
            let middle = shares(on, [0.0; 2]);
            let new = shares(on, [lowest[0], lowest[2]]);
            let leaves = (0..3)
                .filter(|&i| new[i] > EQUAL_M)
                .min_by(|&i, &j| (middle[i] / new[i]).total_cmp(&(middle[j] / new[j])));
            let Some(leaves) = leaves else { break };
            on[leaves] = lowest;
        }
        Self::through(on)
    }
}

/// The shares of three spots in a place between them (barycentric coordinates).
fn shares([a, b, c]: [[f64; 3]; 3], [x, z]: [f64; 2]) -> [f64; 3] {
    let area = |p: [f64; 2], q: [f64; 3], r: [f64; 3]| {
        (q[0] - p[0]) * (r[2] - p[1]) - (r[0] - p[0]) * (q[2] - p[1])
    };
    let place = [x, z];
    let of = [area(place, b, c), area(place, c, a), area(place, a, b)];
    let whole: f64 = of.iter().sum();
    of.map(|part| part / whole)
}
