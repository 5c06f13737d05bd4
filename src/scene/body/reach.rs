//! How two bones reach a place: where the joint between them lies.

/// The two places where the joint between bones of lengths `first` and `second` can lie over
/// the ground, so that they reach from `root` to `target`, all m: the law of cosines. None where
/// they are too short, or too long to fold up that far.
pub fn two_bone(
    root: [f64; 2],
    target: [f64; 2],
    first: f64,
    second: f64,
) -> Option<[[f64; 2]; 2]> {
    /// Places this near are reached, m.
    const NEAR_M: f64 = 1e-9;
    let way = [target[0] - root[0], target[1] - root[1]];
    let far = way[0].hypot(way[1]);
    if far > first + second + NEAR_M || far < (first - second).abs() - NEAR_M || far < NEAR_M {
        return None;
    }
    let along = (far * far + first * first - second * second) / (2.0 * far);
    let aside = (first * first - along * along).max(0.0).sqrt();
    let [u, v] = way.map(|w| w / far);
    Some([1.0, -1.0].map(|side| {
        [root[0] + along * u - side * aside * v, root[1] + along * v + side * aside * u]
    }))
}

#[cfg(test)]
mod tests {
    use super::two_bone;
    use approx::assert_relative_eq;

    /// Bones of 3 and 4 that reach 5 stand square to each other: the joint is 3 cos a along
    /// and 3 sin a aside, with cos a = 3/5.
    #[test]
    fn a_right_triangle_in_closed_form() {
        let [left, right] = two_bone([1.0, 2.0], [6.0, 2.0], 3.0, 4.0).unwrap();
        assert_relative_eq!(left[0], 1.0 + 9.0 / 5.0, epsilon = 1e-12);
        assert_relative_eq!(left[1], 2.0 + 12.0 / 5.0, epsilon = 1e-12);
        assert_relative_eq!(right[1], 2.0 - 12.0 / 5.0, epsilon = 1e-12);
    }

    /// Both bones keep their lengths wherever the target is.
    #[test]
    fn bones_keep_their_lengths() {
        for k in 0..24 {
            let turn = f64::from(k) * std::f64::consts::TAU / 24.0;
            let far = 0.2 + 0.02 * f64::from(k);
            let target = [0.3 + far * turn.cos(), -0.7 + far * turn.sin()];
            for joint in two_bone([0.3, -0.7], target, 0.43, 0.30).unwrap() {
                let length = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
                assert_relative_eq!(length([0.3, -0.7], joint), 0.43, epsilon = 1e-12);
                assert_relative_eq!(length(joint, target), 0.30, epsilon = 1e-12);
            }
        }
    }

    #[test]
    fn what_is_out_of_reach_has_no_joint() {
        assert!(two_bone([0.0; 2], [0.74, 0.0], 0.43, 0.30).is_none());
        assert!(two_bone([0.0; 2], [0.12, 0.0], 0.43, 0.30).is_none());
    }
}
