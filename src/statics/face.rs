//! The sloping face over a bag: whether friction holds against it, and the wedge that
//! squares it (dry friction; textbook).

/// Height of a wedge between its thin and its thick end, m, that squares a face over a
/// length.
pub fn wedge_m(length_m: f64, face_rad: f64) -> f64 {
    length_m * face_rad.abs().tan()
}

/// How far an outline comes down below the straight line between its ends over a stretch, m:
/// heights at even steps along it. None where it is straight or arched.
pub fn bends_m(heights_m: &[f64]) -> Option<f64> {
    let [first, .., last] = heights_m else { return None };
    let run = (heights_m.len() - 1) as f64;
    let below = |(i, y): (usize, &f64)| first + (last - first) * i as f64 / run - y;
    let most = heights_m.iter().enumerate().map(below).fold(0.0, f64::max);
    (most > 0.0).then_some(most)
}

/// Gap in the middle of a bag, m, below which its faces meet on the closing side:
/// `h = W phi / 2`.
pub fn faces_meet_m(side_m: f64, tilt_rad: f64) -> f64 {
    side_m * tilt_rad.abs() / 2.0
}
