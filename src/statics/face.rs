//! The sloping face over a bag: whether friction holds against it, and the wedge that
//! squares it (dry friction; textbook).

/// Angle between the force that a part puts on a face and the face's normal, rad. The face
/// slopes by `face_rad` (up towards the tail is positive); what lies under it is pushed
/// towards the nose by `sideways_n` while it carries `load_n`.
pub fn off_normal_rad(face_rad: f64, sideways_n: f64, load_n: f64) -> f64 {
    face_rad + (sideways_n / load_n).atan()
}

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
