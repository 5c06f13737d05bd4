//! How large the parts of a body are.
//!
//! Lengths along the body as shares of stature: R. Drillis and R. Contini, Body Segment
//! Parameters (1966), as D. A. Winter prints them in Biomechanics and Motor Control of Human
//! Movement (the shares from memory). Breadths, depths and girths: medians of the 4082 men of
//! the public data of the 2012 Anthropometric Survey of U.S. Army Personnel (ANSUR II,
//! NATICK/TR-15/007), as shares of their median stature of 1755 mm; a girth counts as a
//! circle's. A body is so as broad for its stature as the median man; weight is left out.

/// Measures of a body, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    pub stature: f64,
    /// Hip to knee, knee to ankle, ankle to sole.
    pub leg: [f64; 3],
    /// Shoulder to elbow, elbow to wrist, wrist to fingertips.
    pub arm: [f64; 3],
    /// From the hips towards the head: where the pelvis ends and the chest begins, the
    /// shoulders, where the neck ends and the head begins, the crown.
    pub along: TrunkLengths,
    /// From the middle to a hip joint, and to the middle of an arm beside the chest.
    pub hip_out: f64,
    pub arm_out: f64,
    /// Breadth and depth.
    pub pelvis: [f64; 2],
    pub chest: [f64; 2],
    pub head: [f64; 2],
    /// Diameters.
    pub neck: f64,
    pub thigh: f64,
    pub knee: f64,
    pub calf: f64,
    pub ankle: f64,
    pub upper_arm: f64,
    pub forearm: f64,
    pub wrist: f64,
    /// Breadths and thicknesses of what lies flat.
    pub foot: [f64; 2],
    pub hand: [f64; 2],
}

/// Places from the hips towards the head, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrunkLengths {
    /// The seat, on the other side of the hips.
    pub seat: f64,
    pub waist: f64,
    pub shoulder: f64,
    pub chin: f64,
    pub crown: f64,
}

/// Stature of the median man, mm, of which the breadths are shares.
const MEDIAN_MM: f64 = 1755.0;

impl Measures {
    pub fn of(stature: f64) -> Self {
        let share = |share: f64| share * stature;
        let mm = |mm: f64| mm / MEDIAN_MM * stature;
        let round = |girth_mm: f64| mm(girth_mm / std::f64::consts::PI);
        let upper_arm = round(357.0);
        Self {
            stature,
            leg: [0.245, 0.246, 0.039].map(share),
            arm: [0.186, 0.146, 0.108].map(share),
            along: TrunkLengths {
                // Assumed: half of the buttock's depth under the hip joint.
                seat: share(-0.05),
                // Assumed: the upper edge of the pelvis.
                waist: share(0.10),
                shoulder: share(0.288),
                chin: share(0.340),
                crown: share(0.470),
            },
            // Assumed.
            hip_out: share(0.052),
            // The arm lies beside the chest: both are as broad as bideltoid breadth.
            arm_out: mm(509.0) / 2.0 - upper_arm / 2.0,
            pelvis: [344.0, 246.0].map(mm),
            chest: [289.0, 253.0].map(mm),
            head: [154.0, 200.0].map(mm),
            neck: round(395.0),
            thigh: round(624.0),
            knee: round(408.0),
            calf: round(392.0),
            ankle: round(228.0),
            upper_arm,
            forearm: round(310.0),
            wrist: round(176.0),
            // A foot that has fallen outwards lies as long as half of it on either side of the
            // leg, and as thick as it is broad.
            foot: [271.0 / 2.0, 102.0].map(mm),
            // Thickness assumed.
            hand: [88.0, 30.0].map(mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Measures;
    use approx::assert_relative_eq;

    /// Sole to knee to hip to shoulder to chin to crown is the stature: the shares sum to one.
    #[test]
    fn the_parts_are_as_long_as_the_body() {
        for stature in [1.2, 1.525, 1.755, 2.0] {
            let m = Measures::of(stature);
            let whole = m.leg.iter().sum::<f64>() + m.along.crown;
            assert_relative_eq!(whole, stature, max_relative = 1e-9);
        }
    }

    /// Against the public data of ANSUR II: 5th percentile, median and 95th percentile of men
    /// and of women, each at the stature of that percentile, mm. Breadths follow weight more
    /// than stature: the median man's are within 1 %, the ends and women within 21 %.
    #[test]
    fn val_body_percentiles() {
        // Stature; shoulder height; bideltoid breadth; chest depth; hip breadth; buttock depth;
        // head breadth; calf girth.
        let rows = [
            [1648.0, 1339.0, 459.0, 211.0, 308.0, 204.0, 146.0, 346.0],
            [1755.0, 1439.0, 509.0, 253.0, 344.0, 246.0, 154.0, 392.0],
            [1870.0, 1546.0, 567.0, 298.0, 387.0, 291.0, 163.0, 443.0],
            [1525.0, 1242.0, 406.0, 205.0, 311.0, 196.0, 140.0, 328.0],
            [1626.0, 1332.0, 450.0, 245.0, 353.0, 231.0, 147.0, 372.0],
            [1740.0, 1434.0, 499.0, 296.0, 400.0, 277.0, 156.0, 423.0],
        ];
        for (i, [stature, shoulder, bideltoid, chest, hip, buttock, head, calf]) in
            rows.into_iter().enumerate()
        {
            let m = Measures::of(stature / 1e3);
            let mm = |m: f64| 1e3 * m;
            assert_relative_eq!(
                mm(m.leg.iter().sum::<f64>() + m.along.shoulder),
                shoulder,
                max_relative = 0.02
            );
            let within = if i == 1 { 0.01 } else { 0.21 };
            let girth = std::f64::consts::PI * m.calf;
            for (ours, published) in [
                (2.0 * m.arm_out + m.upper_arm, bideltoid),
                (m.chest[1], chest),
                (m.pelvis[0], hip),
                (m.pelvis[1], buttock),
                (m.head[0], head),
                (girth, calf),
            ] {
                assert_relative_eq!(mm(ours), published, max_relative = within);
            }
        }
    }
}
