//! Shapes of parts as plain geometry, and of the vehicle as convex pieces.

use crate::scene::{Panel, Vehicle};
use crate::snapshot::Shape;
use bevy_rapier3d::rapier::prelude::*;

/// Thickness of a sheet-metal panel's plate and of the roof, m (assumed; they only
/// give the plates a body, stiffness comes from the scene).
pub const PANEL_M: f64 = 0.016;
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

fn hull(points: &[[f64; 3]]) -> Option<ColliderBuilder> {
    let points: Vec<Vector> = points.iter().copied().map(vector).collect();
    ColliderBuilder::convex_hull(&points)
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
/// in slices, recessed under its panels; the roof; the posts. Windows stay open.
pub fn vehicle_pieces(vehicle: &Vehicle) -> Vec<Vec<[f64; 3]>> {
    let p = &vehicle.profile;
    let mut stations = vec![p.nose[0], p.cowl[0], p.deck_front[0], p.deck_rear[0]];
    stations.extend(vehicle.panels.iter().flat_map(|panel| panel.x));
    stations.sort_by(|a, b| b.total_cmp(a));
    stations.dedup_by(|a, b| (*a - *b).abs() < 1e-3);

    let outer = |x: f64| {
        if (p.deck_front[0]..=p.cowl[0]).contains(&x) { p.belt_y(x) } else { p.upper_y(x) }
    };
    let half = vehicle.half_width.body;
    let mut pieces: Vec<Vec<[f64; 3]>> = stations
        .windows(2)
        .map(|w| {
            let (front, rear) = (w[0], w[1]);
            let middle = (front + rear) / 2.0;
            let recess = vehicle
                .panels
                .iter()
                .filter(|panel| (panel.x[1]..=panel.x[0]).contains(&middle))
                .map(|panel| panel.depth_m)
                .fold(0.0, f64::max);
            let quad = |yf: f64, yr: f64| {
                [[front, yf, -half], [front, yf, half], [rear, yr, half], [rear, yr, -half]]
            };
            slab(quad(p.floor_y, p.floor_y), quad(outer(front) - recess, outer(rear) - recess))
        })
        .collect();

    let roof = vehicle.half_width.roof;
    let quad = |drop: f64| {
        let [hx, hy] = p.header;
        let [rx, ry] = p.roof_rear;
        [
            [hx, hy - drop, -roof],
            [hx, hy - drop, roof],
            [rx, ry - drop, roof],
            [rx, ry - drop, -roof],
        ]
    };
    pieces.push(slab(quad(ROOF_M), quad(0.0)));

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
            let lower = end(post.belt_x, p.belt_y(post.belt_x) - 0.02, half - POST_M / 2.0);
            let upper = end(post.roof_x, p.upper_y(post.roof_x) - 0.01, roof - POST_M / 2.0);
            pieces.push(slab(lower, upper));
        }
    }
    pieces
}

/// Colliders of [`vehicle_pieces`].
pub fn vehicle_colliders(vehicle: &Vehicle) -> Vec<ColliderBuilder> {
    vehicle_pieces(vehicle).iter().filter_map(|piece| hull(piece)).collect()
}
