//! The sloping face over a bag: whether friction holds against it, and the wedge that
//! squares it (dry friction; textbook).

/// A bag that tilts less than this needs no wedge, rad: three degrees (assumed).
pub const LEVEL_RAD: f64 = 0.0524;

/// Height of a wedge between its thin and its thick end, m, that squares a face over a
/// length.
pub fn wedge_m(length_m: f64, face_rad: f64) -> f64 {
    length_m * face_rad.abs().tan()
}

/// Gap in the middle of a bag, m, below which its faces meet on the closing side:
/// `h = W phi / 2`.
pub fn faces_meet_m(side_m: f64, tilt_rad: f64) -> f64 {
    side_m * tilt_rad.abs() / 2.0
}
