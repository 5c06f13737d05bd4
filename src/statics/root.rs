//! The root of a function, for balances that have no closed form.

/// The root of a rising function between two places, by false position (the Illinois rule); the
/// nearer end where there is no root between them.
pub(super) fn root(f: impl Fn(f64) -> f64, [mut low, mut high]: [f64; 2], grain: f64) -> f64 {
    let (mut below, mut above) = (f(low), f(high));
    if below >= 0.0 || above <= 0.0 {
        return if below >= 0.0 { low } else { high };
    }
    let mut at = low;
    for _ in 0..100 {
        let next = (low * above - high * below) / (above - below);
        let (value, moved) = (f(next), (next - at).abs());
        // An end that stays twice counts half; otherwise the search would stall.
        if value < 0.0 {
            if at == low {
                above /= 2.0;
            }
            (low, below) = (next, value);
        } else {
            if at == high {
                below /= 2.0;
            }
            (high, above) = (next, value);
        }
        at = next;
        if moved < grain || value == 0.0 {
            break;
        }
    }
    at
}
