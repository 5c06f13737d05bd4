//! Lines of sight.

/// A line of sight from an eye, in the ground frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// The eye, m.
    pub from: [f64; 3],
    /// Where it looks; of any length.
    pub towards: [f64; 3],
}

impl Ray {
    /// Where it meets a level plane, m along X and Z; `None` behind the eye, or where it is too
    /// far off to place anything.
    pub fn at_height(&self, height_m: f64) -> Option<[f64; 2]> {
        let t = (height_m - self.from[1]) / self.towards[1];
        let at = [0, 2].map(|k| self.from[k] + t * self.towards[k]);
        (t.is_finite() && t > 0.0 && at.iter().all(|m| m.abs() < 12.0)).then_some(at)
    }
}
