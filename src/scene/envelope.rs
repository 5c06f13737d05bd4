//! The outside of a vehicle as it lies, before anything has given way: what room is left
//! under it and beside its posts. Rigid: on its roof in the side view, with half widths; on
//! its side by its cross-sections; on its wheels by its floor and its tyres. The world finds
//! how it settles.

use super::vehicle::{Post, ProfilePoint, RestPose, RestsOn, SidePose, TYRE_HALF_M, Vehicle};

/// How deep the roof is with its rails, m (assumed).
pub(super) const ROOF_DEPTH_M: f64 = 0.05;

/// A box that stands on the ground: extent along X and Z, and the height of its top, m.
#[derive(Clone, Copy, Debug)]
pub struct Solid {
    pub x: [f64; 2],
    pub z: [f64; 2],
    pub top: f64,
}

impl Solid {
    /// A box by its middle and its size along X and Z.
    pub fn around(at: [f64; 2], size: [f64; 2], top: f64) -> Self {
        let span = |i: usize| [at[i] - size[i] / 2.0, at[i] + size[i] / 2.0];
        Self { x: span(0), z: span(1), top }
    }

    /// How far two boxes overlap along X and along Z, m; negative where they are apart.
    pub fn overlap(&self, other: &Self) -> [f64; 2] {
        let shared = |a: [f64; 2], b: [f64; 2]| a[1].min(b[1]) - a[0].max(b[0]);
        [shared(self.x, other.x), shared(self.z, other.z)]
    }

    /// Whether the strip from `-half_width` to `half_width` reaches into it.
    fn within(&self, half_width: f64) -> bool {
        self.z[0] < half_width && self.z[1] > -half_width
    }
}

/// A place where a box reaches into the vehicle.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// The part of the vehicle, in words.
    pub part: String,
    /// Height of that part's lowest point over the box, m.
    pub height_m: f64,
}

/// A vehicle with the pose in which it lies.
pub struct Envelope<'a> {
    vehicle: &'a Vehicle,
    side_pose: SidePose,
    /// How it lies where that is not on its roof.
    other: Option<(RestsOn, RestPose)>,
}

impl<'a> Envelope<'a> {
    /// `None` where it would not lie still in that pose.
    pub fn new(vehicle: &'a Vehicle, lies: RestsOn) -> Option<Self> {
        let (side_pose, pose) = (vehicle.roof_pose()?, vehicle.rest_pose(lies)?);
        Some(Self { vehicle, side_pose, other: (lies != RestsOn::Roof).then_some((lies, pose)) })
    }

    /// On its roof in another pose, such as one it has been raised to.
    pub fn posed(vehicle: &'a Vehicle, side_pose: SidePose) -> Self {
        Self { vehicle, side_pose, other: None }
    }

    pub fn side_pose(&self) -> SidePose {
        self.side_pose
    }

    /// The body's lower outline: front face, bonnet, belt line, deck lid, rear face.
    pub fn body(&self) -> [ProfilePoint; 6] {
        let p = &self.vehicle.profile;
        let front = [p.nose[0], p.floor_y];
        let rear = [p.deck_rear[0], p.floor_y];
        [front, p.nose, p.cowl, p.deck_front, p.deck_rear, rear]
            .map(|point| self.side_pose.ground(point))
    }

    /// Front and rear edge of the roof.
    pub fn roof(&self) -> [ProfilePoint; 2] {
        let p = &self.vehicle.profile;
        [p.header, p.roof_rear].map(|point| self.side_pose.ground(point))
    }

    /// Height of the lowest point of body and roof straight above a place, m, or none
    /// where no vehicle is above it.
    pub fn underside(&self, [x, z]: [f64; 2]) -> Option<f64> {
        self.underside_over(&Solid { x: [x, x], z: [z, z], top: 0.0 }).map(|clash| clash.height_m)
    }

    /// The lowest part of body and roof over a box's footprint.
    pub fn underside_over(&self, solid: &Solid) -> Option<Clash> {
        let nearest =
            |parts: Vec<Clash>| parts.into_iter().min_by(|a, b| a.height_m.total_cmp(&b.height_m));
        match self.other {
            Some((RestsOn::Wheels, _)) => return nearest(self.over_on_wheels(solid)),
            Some((lies, pose)) => return nearest(self.over_on_side(solid, lies, pose)),
            None => {}
        }
        let width = self.vehicle.half_width;
        let part = |name: &str, line: &[ProfilePoint], half_width| {
            let height_m = lowest(line, solid.x).filter(|_| solid.within(half_width))?;
            Some(Clash { part: name.to_owned(), height_m })
        };
        [part("body", &self.body(), width.body), part("roof", &self.roof(), width.roof)]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.height_m.total_cmp(&b.height_m))
    }

    /// On its wheels: the floor, and the tyres' round treads.
    fn over_on_wheels(&self, solid: &Solid) -> Vec<Clash> {
        let (v, p) = (self.vehicle, &self.vehicle.profile);
        let mut parts = Vec::new();
        if solid.x[0] < p.nose[0] && solid.x[1] > p.deck_rear[0] && solid.within(v.half_width.body)
        {
            parts.push(Clash { part: "body".to_owned(), height_m: p.floor_y });
        }
        let r = v.wheel_radius_m;
        for (wheel, side) in v.wheel_x_m.into_iter().flat_map(|x| [(x, -1.0), (x, 1.0)]) {
            let z = side * v.track_m / 2.0;
            let dx = (wheel - wheel.clamp(solid.x[0], solid.x[1])).abs();
            if dx < r && solid.z[0] < z + TYRE_HALF_M && solid.z[1] > z - TYRE_HALF_M {
                let height_m = r - (r * r - dx * dx).sqrt();
                parts.push(Clash { part: "wheel".to_owned(), height_m });
            }
        }
        parts
    }

    /// On its side: sill, waist and belt line, the tyres' outer walls, the roof rail.
    fn over_on_side(&self, solid: &Solid, lies: RestsOn, pose: RestPose) -> Vec<Clash> {
        let (v, p, w) = (self.vehicle, &self.vehicle.profile, self.vehicle.half_width);
        let down = if lies == RestsOn::LeftSide { -1.0 } else { 1.0 };
        let place = |y: f64, out: f64| pose.across(y, down * out);
        let meets = |x: [f64; 2]| solid.x[0] < x[1] && solid.x[1] > x[0];
        let mut parts = Vec::new();
        let mut add = |part: &str, line: &[[f64; 2]]| {
            if let Some(height_m) = lowest(line, solid.z) {
                parts.push(Clash { part: part.to_owned(), height_m });
            }
        };
        if meets([p.deck_rear[0], p.nose[0]]) {
            // The body's upper edge is straight between these places.
            let ends = solid.x.map(|x| x.clamp(p.deck_rear[0], p.nose[0]));
            let turns = [p.cowl[0], p.deck_front[0]];
            let inside = turns.into_iter().filter(|x| (ends[0]..=ends[1]).contains(x));
            for x in ends.into_iter().chain(inside) {
                let in_cabin = (p.deck_front[0]..=p.cowl[0]).contains(&x);
                let edge = if in_cabin { p.belt_y(x) } else { p.upper_y(x) };
                add(
                    "body",
                    &[
                        place(p.floor_y, w.sill),
                        place(p.waist_y, w.body),
                        place(edge, v.side_at(edge)),
                    ],
                );
            }
        }
        if meets([p.roof_rear[0], p.header[0]]) {
            let edge = p.header[1].min(p.roof_rear[1]);
            add("roof", &[place(edge - ROOF_DEPTH_M, w.roof), place(edge, w.roof)]);
        }
        let (r, wall) = (v.wheel_radius_m, v.track_m / 2.0 + TYRE_HALF_M);
        if v.wheel_x_m.into_iter().any(|x| meets([x - r, x + r])) {
            add("wheel", &[place(0.0, wall), place(2.0 * r, wall)]);
        }
        for post in &v.posts {
            let (low, high) = (post.belt_x.min(post.roof_x), post.belt_x.max(post.roof_x));
            if meets([low - post.width_m / 2.0, high + post.width_m / 2.0]) {
                let line =
                    [place(p.belt_y(post.belt_x), w.belt), place(p.upper_y(post.roof_x), w.roof)];
                add(&format!("{} post", post.name), &line);
            }
        }
        parts
    }

    /// Where a box reaches into body, roof or a post.
    pub fn clash(&self, solid: &Solid) -> Option<Clash> {
        let reached = self.underside_over(solid).filter(|clash| clash.height_m < solid.top);
        if self.other.is_some() {
            return reached;
        }
        reached.or_else(|| self.vehicle.posts.iter().find_map(|post| self.post_clash(post, solid)))
    }

    /// A post is looked at in points along it, close enough for a timber not to slip through.
    fn post_clash(&self, post: &Post, solid: &Solid) -> Option<Clash> {
        const POINTS: usize = 20;
        let width = self.vehicle.half_width;
        (0..=POINTS).find_map(|i| {
            let t = i as f64 / POINTS as f64;
            let [roof, belt] = self.post_ends(post);
            let [x, y] = [0, 1].map(|k| roof[k] + t * (belt[k] - roof[k]));
            let z = width.roof + t * (width.belt - width.roof);
            let around = post.width_m / 2.0;
            let inside = solid.x[0] < x + around
                && solid.x[1] > x - around
                && [z, -z].iter().any(|z| (solid.z[0]..=solid.z[1]).contains(z))
                && y < solid.top;
            inside.then(|| Clash { part: format!("{} post", post.name), height_m: y })
        })
    }

    /// A post's ends at the roof and at the belt line.
    pub fn post_ends(&self, post: &Post) -> [ProfilePoint; 2] {
        let p = &self.vehicle.profile;
        let roof = self.side_pose.ground([post.roof_x, p.upper_y(post.roof_x)]);
        [roof, self.side_pose.ground([post.belt_x, p.belt_y(post.belt_x)])]
    }

    /// Where a post's front and rear edges stand at a height, m along X: rear, front.
    pub fn post_span(&self, post: &Post, height_m: f64) -> [f64; 2] {
        let [roof, belt] = self.post_ends(post);
        let t = ((height_m - roof[1]) / (belt[1] - roof[1])).clamp(0.0, 1.0);
        let x = roof[0] + t * (belt[0] - roof[0]);
        [x - post.width_m / 2.0, x + post.width_m / 2.0]
    }

    /// Free height inside the side openings over a stretch along X: from the roof rail up to
    /// the belt line, m. `None` where there is no roof under it, or where it does not lie on
    /// its roof.
    pub fn opening_heights(&self, x: [f64; 2]) -> Option<[f64; 2]> {
        let [header, rear] = self.roof();
        if self.other.is_some() || x[0] < rear[0] || x[1] > header[0] {
            return None;
        }
        let rail =
            x.map(|x| header[1] + (x - header[0]) / (rear[0] - header[0]) * (rear[1] - header[1]));
        let [_, _, cowl, deck_front, ..] = self.body();
        let belt = lowest(&[cowl, deck_front], x)?;
        Some([rail[0].max(rail[1]) + ROOF_DEPTH_M, belt])
    }
}

/// The lowest height of a line over a stretch along X; none where it does not pass it.
fn lowest(line: &[ProfilePoint], x: [f64; 2]) -> Option<f64> {
    line.windows(2)
        .filter_map(|w| {
            let (a, b) = if w[0][0] <= w[1][0] { (w[0], w[1]) } else { (w[1], w[0]) };
            let (from, to) = (x[0].max(a[0]), x[1].min(b[0]));
            if from > to {
                return None;
            }
            let run = b[0] - a[0];
            let y = |x: f64| {
                if run == 0.0 { a[1].min(b[1]) } else { a[1] + (x - a[0]) / run * (b[1] - a[1]) }
            };
            Some(y(from).min(y(to)))
        })
        .reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_lowest_where_it_turns_or_ends() {
        let line = [[2.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
        assert_eq!(lowest(&line, [0.5, 1.5]), Some(0.0));
        assert_eq!(lowest(&line, [1.5, 1.75]), Some(0.5));
        assert_eq!(lowest(&line, [2.5, 3.0]), None);
    }

    #[test]
    fn boxes_touch_without_overlapping() {
        let a = Solid::around([0.0, 0.0], [1.0, 1.0], 0.5);
        let b = Solid::around([1.0, 0.25], [1.0, 1.0], 0.5);
        assert_eq!(a.overlap(&b), [0.0, 0.75]);
    }
}
