//! Limits that fields of several groups share, and of a whole set-up, in SI.

/// Everything stands within this distance of the origin, m.
pub(super) const YARD: [f64; 2] = [-6.0, 6.0];
/// Sizes of wedges and limbs, m.
pub(super) const SIDE: [f64; 2] = [0.05, 1.2];
pub(super) const TIMBER_LENGTH: [f64; 2] = [0.2, 1.5];
/// What friction may be of the table's.
pub(super) const FRICTION_SHARE: [f64; 2] = [0.05, 1.5];
/// A timber's strength as a share of its grade's: less with a fault in it, more where it is
/// clear of knots.
pub(super) const STRENGTH_SHARE: [f64; 2] = [0.01, 10.0];
/// The most timbers of one set-up: thirty times as many as any scene of the shelf has.
pub const MOST_TIMBERS: usize = 600;
/// A step chock's steps, m, and how many it has.
pub(super) const STEP_RISE: [f64; 2] = [0.02, 0.15];
pub(super) const STEP_TREAD: [f64; 2] = [0.04, 0.3];
pub(super) const STEP_WIDTH: [f64; 2] = [0.05, 0.6];
pub(super) const STEP_COUNT: [usize; 2] = [1, 8];
