//! Box cribs: what each crossing carries, where the load's line
//! runs down through them, and when they tip or slide (statics; textbook, the layout is
//! common practice, no source).

use crate::scene::Stack;
use crate::tables::TIMBER_KG_M3;
use crate::units::GRAVITY_M_S2;

/// Weight of a stack's timber, N.
pub fn weight_n(stack: &Stack) -> f64 {
    let layer =
        stack.members as f64 * stack.timber.width_m * stack.timber.height_m * stack.length_m;
    let pads: f64 = stack.pads_m.iter().map(|t| t * stack.length_m * stack.length_m).sum();
    (layer * stack.layers as f64 + pads) * TIMBER_KG_M3 * GRAVITY_M_S2
}

/// Height of the joint under a layer, m.
pub fn joint_height_m(stack: &Stack, layer: usize) -> f64 {
    let timbers = layer.min(stack.layers) as f64 * stack.timber.height_m;
    let pads: f64 = stack.pads_m.iter().take(layer.saturating_sub(stack.layers)).sum();
    stack.sole_m() + timbers + pads
}

/// Crossings between two layers.
pub fn crossings(stack: &Stack) -> usize {
    stack.members * stack.members
}

/// Area of one crossing, m².
pub fn crossing_m2(stack: &Stack) -> f64 {
    stack.timber.width_m.powi(2)
}

/// Load a crib is rated for, N: a bearing stress on every crossing.
pub fn rated_n(contacts: usize, width_m: f64, stress_pa: f64) -> f64 {
    contacts as f64 * width_m * width_m * stress_pa
}

/// Stress of the hardest pressed crossing, Pa, under a load that is `eccentric_m` off the
/// middle of two or more rows of timbers with the outer ones at `outer_m`: straight-line
/// distribution over the rows.
pub fn crossing_stress_pa(stack: &Stack, load_n: f64, eccentric_m: f64) -> f64 {
    let n = stack.members as f64;
    let outer = stack.outer_m();
    let squares: f64 =
        (0..stack.members).map(|i| (outer * (2.0 * i as f64 / (n - 1.0) - 1.0)).powi(2)).sum();
    // Share of the outermost row; the rows across it share equally.
    let row = 1.0 / n + eccentric_m.abs() * outer / squares;
    load_n * row.min(1.0) / n / crossing_m2(stack)
}

/// Where the load's line crosses a joint, m from the middle: `e = e0 + (H/V) d`, with `d`
/// the height below the place where it enters at `e0`.
pub fn thrust_m(enters_m: f64, sideways_n: f64, load_n: f64, below_m: f64) -> f64 {
    enters_m + sideways_n / load_n * below_m
}

/// How much nearer a load's line comes to a joint's edge, m, while the stack leans by `lean_m`
/// on that edge: what it is pushed with eases by `k` of the load for every metre, and where it
/// enters by a share `e` of it, so at a joint `below_m` under that place `x (e + k d)`.
pub fn leaned_m(lean_m: f64, eased_per_m: f64, eased_share: f64, below_m: f64) -> f64 {
    lean_m * (eased_share + eased_per_m * below_m).max(0.0)
}

/// Sideways force, N, that brings a load's line to the edge of a joint `below_m` under the
/// place where it enters: `H = V (b - e) / d`, with `e` off the middle towards the side that
/// the force pushes to.
pub fn tipping_n(load_n: f64, half_m: f64, enters_m: f64, below_m: f64) -> f64 {
    load_n * (half_m - enters_m) / below_m
}

/// Angle of a load's line that tips a stack, rad: `atan(B / 2H)`.
pub fn tip_angle_rad(half_m: f64, height_m: f64) -> f64 {
    (half_m / height_m).atan()
}
