//! Shapes of parts as plain geometry, and of the vehicle as convex pieces.

use super::engine::{ColliderBuilder, Real, Vector};
use crate::scene::{Panel, RestsOn, TREADS, TYRE_HALF_M, Vehicle};
use crate::snapshot::Shape;
use crate::tables::POST_END_M;

/// Thickness of a sheet-metal panel's plate and of the roof, m (assumed; they only
/// give the plates a body, stiffness comes from the scene).
pub const PANEL_M: f64 = 0.016;
/// Radius of the edges of every hull, m. Rounded hulls touch before their cores overlap;
/// sharp ones were seen to flip a contact's direction where an edge slid along a face,
/// which threw the whole vehicle.
const ROUND_M: f64 = 0.0025;
const ROOF_M: f64 = 0.04;
const POST_M: f64 = 0.05;

pub fn vector([x, y, z]: [f64; 3]) -> Vector {
    Vector::new(x as Real, y as Real, z as Real)
}

pub fn plain(v: Vector) -> [f64; 3] {
    [v.x.into(), v.y.into(), v.z.into()]
}

/// The collider of a plain shape. Hulls come from fits and are never flat; should one
/// be, its box stands in for it.
pub fn collider(shape: &Shape) -> Option<ColliderBuilder> {
    match shape {
        Shape::Box([x, y, z]) => Some(ColliderBuilder::cuboid(*x as Real, *y as Real, *z as Real)),
        Shape::Hull(points) => hull(points),
        Shape::Vehicle => None,
    }
}

/// Half of what bears of a shim along its beam, m: a rounded edge.
const CREST_HALF_M: f64 = 0.004;

/// The collider of a shim (four lower corners, then the four above them, as a wedge's): it
/// bears along a crest over its middle. How a block shares its load between its two ends hangs
/// on how far block and beam give, which rigid bodies do not tell: under a flat one the place
/// of the load wandered over the block's length, and the beam's moment with it, by 12 %.
pub fn crest(shape: &Shape) -> Option<ColliderBuilder> {
    let Shape::Hull(points) = shape else { return collider(shape) };
    let [_, _, _, _, a, b, c, d] = *<&[[f64; 3]; 8]>::try_from(points.as_slice()).ok()?;
    let drawn_in = |p: [f64; 3], other: [f64; 3]| {
        let share = 2.0 * CREST_HALF_M / (p[2] - other[2]).abs();
        [0, 1, 2].map(|i| f64::midpoint(p[i], other[i]) + share * (p[i] - other[i]) / 2.0)
    };
    let above = [drawn_in(a, b), drawn_in(b, a), drawn_in(c, d), drawn_in(d, c)];
    hull(&[&points[..4], &above].concat())
}

/// A slab (four lower corners, then the four above them) whose edges are rounded by
/// [`ROUND_M`] and whose faces stay where they were: its sharp core has every face drawn
/// in by as much.
fn hull(points: &[[f64; 3]]) -> Option<ColliderBuilder> {
    let corners: [[f64; 3]; 8] = points.try_into().ok()?;
    let middle = mean(&corners);
    // Bottom, top, and the side between corners k and k + 1.
    let face = |a: usize, b: usize, c: usize, d: usize| {
        let quad = [a, b, c, d].map(|i| corners[i]);
        let normal = cross(minus(quad[2], quad[0]), minus(quad[3], quad[1]));
        let length = dot(normal, normal).sqrt();
        let centre = mean(&quad);
        let sign = dot(normal, minus(centre, middle)).signum() / length;
        let normal = normal.map(|n| n * sign);
        (normal, dot(normal, centre) - ROUND_M)
    };
    let ends = [face(0, 1, 2, 3), face(4, 5, 6, 7)];
    let sides = [0, 1, 2, 3].map(|k| face(k, (k + 1) % 4, 4 + (k + 1) % 4, 4 + k));
    let core: Vec<Vector> =
        (0..8).map(|i| vector(meet(ends[i / 4], sides[i % 4], sides[(i % 4 + 3) % 4]))).collect();
    if core.iter().any(|p| !p.is_finite()) {
        return None;
    }
    ColliderBuilder::round_convex_hull(&core, ROUND_M as Real)
}

/// A plane `n . x = d`.
type FacePlane = ([f64; 3], f64);

/// The point that three planes share (Cramer's rule).
fn meet((n1, d1): FacePlane, (n2, d2): FacePlane, (n3, d3): FacePlane) -> [f64; 3] {
    let determinant = dot(n1, cross(n2, n3));
    let (a, b, c) = (cross(n2, n3), cross(n3, n1), cross(n1, n2));
    [0, 1, 2].map(|i| (d1 * a[i] + d2 * b[i] + d3 * c[i]) / determinant)
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn mean(points: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2].map(|i| points.iter().map(|p| p[i]).sum::<f64>() / points.len() as f64)
}

/// A slab between two quads that share the corner order.
fn slab(lower: [[f64; 3]; 4], upper: [[f64; 3]; 4]) -> Vec<[f64; 3]> {
    lower.into_iter().chain(upper).collect()
}

/// The middle, the length along the outline and the slope of a panel on the profile:
/// (x, y of its outer face's middle, half length, slope rad).
pub fn panel_face(vehicle: &Vehicle, panel: &Panel) -> ([f64; 2], f64, f64) {
    let [front, rear] = panel.x;
    let (yf, yr) = (vehicle.profile.upper_y(front), vehicle.profile.upper_y(rear));
    let (dx, dy) = (front - rear, yf - yr);
    ([(front + rear) / 2.0, (yf + yr) / 2.0], dx.hypot(dy) / 2.0, dy.atan2(dx))
}

/// The vehicle's rigid pieces in its own upright frame: the body below the belt line
/// in slices, recessed under its panels. Windows stay open.
fn body_pieces(vehicle: &Vehicle) -> Vec<Vec<[f64; 3]>> {
    let on_roof = |panel: &&Panel| panel.on_roof(&vehicle.profile);
    let lids: Vec<&Panel> = vehicle.panels.iter().filter(|panel| !on_roof(panel)).collect();
    body_slices(vehicle, &lids)
}

/// The rigid pieces over the belt line: the roof, and its posts.
fn roof_pieces(vehicle: &Vehicle, hard_ground: bool) -> Vec<Vec<[f64; 3]>> {
    let skins = vehicle.panels.iter().filter(|panel| panel.on_roof(&vehicle.profile));
    let mut pieces = roof_strips(vehicle, &skins.collect::<Vec<_>>(), hard_ground);
    pieces.extend(posts(vehicle));
    pieces
}

/// Places along the vehicle where its slices meet, front to rear.
fn stations(ends: &[f64], panels: &[&Panel]) -> Vec<f64> {
    let mut stations = ends.to_vec();
    stations.extend(panels.iter().flat_map(|panel| panel.x));
    stations.sort_by(|a, b| b.total_cmp(a));
    stations.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    stations
}

/// The body below the belt line, recessed under the lids on it.
fn body_slices(vehicle: &Vehicle, lids: &[&Panel]) -> Vec<Vec<[f64; 3]>> {
    let p = &vehicle.profile;
    let outer = |x: f64| {
        if (p.deck_front[0]..=p.cowl[0]).contains(&x) { p.belt_y(x) } else { p.upper_y(x) }
    };
    stations(&[p.nose[0], p.cowl[0], p.deck_front[0], p.deck_rear[0]], lids)
        .windows(2)
        .flat_map(|w| {
            let (front, rear) = (w[0], w[1]);
            let middle = (front + rear) / 2.0;
            let recess = lids
                .iter()
                .filter(|panel| (panel.x[1]..=panel.x[0]).contains(&middle))
                .map(|panel| panel.depth_m)
                .fold(0.0, f64::max);
            // The sides stay flat: a twisted face would stand out of the outline.
            let quad = |yf: f64, yr: f64| {
                let (f, r) = (vehicle.side_at(yf), vehicle.side_at(yr));
                [[front, yf, -f], [front, yf, f], [rear, yr, r], [rear, yr, -r]]
            };
            let floor = quad(p.floor_y, p.floor_y);
            let top = quad(outer(front) - recess, outer(rear) - recess);
            if vehicle.half_width.upright() {
                return vec![slab(floor, top)];
            }
            let waist = quad(p.waist_y, p.waist_y);
            vec![slab(floor, waist), slab(waist, top)]
        })
        .collect()
}

/// On hard ground a roof's middle lies this much lower than its sides, m, so that a vehicle on its
/// roof stands on the roof's corners, over rails and posts. Where corners and middle bear in one
/// line, the last digit of single precision says which of them does, and friction there jumps by a
/// tenth of the weight from tick to tick. In soil the whole of an edge bears, on the points of its
/// bed. What has gone into a skin lies on bows that are flat: on hollow ones two bags under the
/// skin leaned apart, by 5 deg where flat ones tilt them by 1.
const MIDDLE_M: f64 = 5e-5;

/// The roof crosswise in slices, each parted along its middle; a slice with skin on it has a
/// rail on either side and, where the skin ends, the bows between them.
fn roof_strips(vehicle: &Vehicle, skins: &[&Panel], hard_ground: bool) -> Vec<Vec<[f64; 3]>> {
    let p = &vehicle.profile;
    let roof = vehicle.half_width.roof;
    let mut strips = Vec::new();
    for w in stations(&[p.header[0], vehicle.roof_middle_x(), p.roof_rear[0]], skins).windows(2) {
        let (front, rear) = (w[0], w[1]);
        let mut strip = |drop: f64, [left, right]: [f64; 2]| {
            let middle_m = if hard_ground && drop == 0.0 { MIDDLE_M } else { 0.0 };
            let quad = |drop: f64| {
                let at = |x: f64, z: f64| {
                    let hollow = if z == 0.0 { middle_m } else { 0.0 };
                    [x, p.upper_y(x) - drop - hollow, z]
                };
                [at(front, left), at(front, right), at(rear, right), at(rear, left)]
            };
            strips.push(slab(quad(drop + ROOF_M), quad(drop)));
        };
        let middle = (front + rear) / 2.0;
        match skins.iter().find(|skin| (skin.x[1]..=skin.x[0]).contains(&middle)) {
            None => {
                strip(0.0, [-roof, 0.0]);
                strip(0.0, [0.0, roof]);
            }
            Some(skin) => {
                let half = skin.half_width_m;
                strip(0.0, [-roof, -half]);
                strip(skin.depth_m, [-half, 0.0]);
                strip(skin.depth_m, [0.0, half]);
                strip(0.0, [half, roof]);
            }
        }
    }
    strips
}

/// The posts between belt line and roof, one on either side.
fn posts(vehicle: &Vehicle) -> Vec<Vec<[f64; 3]>> {
    let (p, roof) = (&vehicle.profile, vehicle.half_width.roof);
    let mut pieces = Vec::new();
    for post in &vehicle.posts {
        for side in [-1.0, 1.0] {
            let end = |x: f64, y: f64, z: f64| {
                let (w, t) = (post.width_m / 2.0, POST_M / 2.0);
                [
                    [x + w, y, side * (z - t)],
                    [x + w, y, side * (z + t)],
                    [x - w, y, side * (z + t)],
                    [x - w, y, side * (z - t)],
                ]
            };
            let foot = p.belt_y(post.belt_x) - 0.02;
            let lower = end(post.belt_x, foot, vehicle.side_at(foot) - POST_M / 2.0);
            let head = p.upper_y(post.roof_x) - POST_END_M;
            let upper = end(post.roof_x, head, roof - POST_M / 2.0);
            pieces.push(slab(lower, upper));
        }
    }
    pieces
}

/// The middles of the wheels, front left, front right, rear left, rear right, m.
pub fn wheel_middles(vehicle: &Vehicle) -> [[f64; 3]; 4] {
    let [front, rear] = vehicle.wheel_x_m;
    let half = vehicle.track_m / 2.0;
    [[front, -half], [front, half], [rear, -half], [rear, half]]
        .map(|[x, z]| [x, vehicle.wheel_radius_m, z])
}

/// Each wheel in the vehicle's frame, in the order of [`wheel_middles`]: prisms with rounded edges.
/// They do not turn. A vehicle that stands on them stands on an edge of their tread: what a round
/// tyre bears goes up through its axle however the body leans along it, and on a flat it would go
/// to the flat's end. Lying otherwise it has a flat there.
pub fn wheel_colliders(vehicle: &Vehicle, lies: RestsOn) -> Vec<ColliderBuilder> {
    let r = vehicle.wheel_radius_m - ROUND_M;
    let half = TYRE_HALF_M - ROUND_M;
    let (turn, corner) = match lies {
        RestsOn::Wheels => (0.0, r),
        _ => (0.5, r / (std::f64::consts::PI / TREADS as f64).cos()),
    };
    let wheels = wheel_middles(vehicle).into_iter();
    wheels
        .filter_map(|[x, y, z]| {
            let points: Vec<Vector> = (0..TREADS)
                .flat_map(|k| {
                    let a = std::f64::consts::TAU * (k as f64 + turn) / TREADS as f64;
                    let (dx, dy) = (corner * a.sin(), -corner * a.cos());
                    [-half, half].map(|dz| vector([x + dx, y + dy, z + dz]))
                })
                .collect();
            ColliderBuilder::round_convex_hull(&points, ROUND_M as Real)
        })
        .collect()
}

/// Colliders of the vehicle below its belt line.
pub fn body_colliders(vehicle: &Vehicle) -> Vec<ColliderBuilder> {
    body_pieces(vehicle).iter().filter_map(|piece| hull(piece)).collect()
}

/// Colliders of the roof and its posts, each with the corner of the roof that it belongs to.
pub fn roof_colliders(vehicle: &Vehicle, hard_ground: bool) -> Vec<(usize, ColliderBuilder)> {
    let corner = |piece: &[[f64; 3]]| {
        let [x, _, z] =
            [0, 1, 2].map(|k| piece.iter().map(|p| p[k]).sum::<f64>() / piece.len() as f64);
        roof_corner(vehicle, x, z)
    };
    roof_pieces(vehicle, hard_ground).iter().filter_map(|p| Some((corner(p), hull(p)?))).collect()
}

/// Corners of a roof: front left, front right, rear left, rear right.
pub const ROOF_CORNERS: usize = 4;

/// The corner of the roof at a place of the vehicle, forwards and to its right, m.
pub fn roof_corner(vehicle: &Vehicle, x: f64, z: f64) -> usize {
    2 * usize::from(x < vehicle.roof_middle_x()) + usize::from(z > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::world::engine::{Pose, Ray};
    use approx::assert_relative_eq;

    /// A wedge with a face at 22 degrees: rays straight down must meet the rounded hull
    /// on the face as drawn, to a tenth of a millimetre.
    #[test]
    fn rounding_leaves_faces_where_they_were() {
        let (low, high, half, width) = (0.006, 0.129, 0.15, 0.045);
        let lower = [[-half, -width], [-half, width], [half, width], [half, -width]];
        let points: Vec<[f64; 3]> = lower
            .iter()
            .map(|[x, z]| [*x, 0.0, *z])
            .chain(lower.iter().map(|[x, z]| {
                let y = if *x < 0.0 { high } else { low };
                [*x, y, *z]
            }))
            .collect();
        let collider = hull(&points).expect("a hull").build();
        for x in [-0.12, -0.05, 0.0, 0.05, 0.12] {
            let ray = Ray::new(vector([x, 1.0, 0.01]), -Vector::Y);
            let hit = collider
                .shape()
                .cast_ray(&Pose::IDENTITY, &ray, 2.0, true)
                .expect("the ray meets the wedge");
            let face = high + (low - high) * (x + half) / (2.0 * half);
            assert_relative_eq!(1.0 - f64::from(hit), face, epsilon = 1e-4);
        }
    }
}
