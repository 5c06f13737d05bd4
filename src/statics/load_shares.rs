//! What part of a load each of several supports in a row gets (statics; textbook).

/// Shares of a load among supports in a row at `places` m, for a load at `at` m: the
/// straight-line distribution, `1/n + (at - mean) (z - mean) / sum (z - mean)^2`. Two
/// supports share by the distance to the other one, one takes all.
pub fn row_shares(places: &[f64], at: f64) -> Vec<f64> {
    let n = places.len() as f64;
    let mean = places.iter().sum::<f64>() / n;
    let spread: f64 = places.iter().map(|z| (z - mean).powi(2)).sum();
    let slope = |z: f64| if spread > 1e-9 { (at - mean) * (z - mean) / spread } else { 0.0 };
    places.iter().map(|&z| 1.0 / n + slope(z)).collect()
}
