//! A vehicle on its wheels, lifted at one place of its side: four springs on paper against the
//! closed form of a rigid body on springs.

use approx::assert_relative_eq;
use inchwise::scene;
use inchwise::statics::plan::Plan;
use std::f64::consts::TAU;

/// What the hatchback's file and the defaults of the format say.
const G: f64 = 9.806_65;
const KG: f64 = 1020.0;
const WHEEL_KG: f64 = 0.03 * KG;
const COM_M: [f64; 2] = [0.22, 0.52];
const HALF_BASE_M: f64 = 1.26;
const TRACK_M: f64 = 1.45;
const TYRE_N_M: f64 = 200e3;
/// How far off the middle the sill is lifted.
const LIFT_Z: f64 = 0.55;

/// Both wheels of an axle, each a spring and its tyre in a row: 0 is the front one.
fn axle_n_m(axle: usize) -> f64 {
    let share = 0.5 + [0.5, -0.5][axle] * COM_M[0] / HALF_BASE_M;
    let spring = (share * KG / 2.0 - WHEEL_KG) * (TAU * 1.3).powi(2);
    2.0 * spring * TYRE_N_M / (spring + TYRE_N_M)
}

fn raised(x: f64) -> Plan {
    let sets = [
        "lashed=none".to_owned(),
        // Thin enough to bear nothing; nothing else of the body is in the stack's way.
        "casualty.hip.thickness=100 mm".to_owned(),
        "casualty.hip.at=[\"0.62 m\", \"0 m\"]".to_owned(),
        "people=[(name: \"casualty\", at: [\"0.66 m\", \"0 m\"], head_towards: \"180 deg\", \
         inside: true)]"
            .to_owned(),
        format!("stacks.sill.at=[\"{x} m\", \"{LIFT_Z} m\"]"),
        "captures=[]".to_owned(),
        "orders=[(raise: \"bag\", until: (rise: \"30 mm\"))]".to_owned(),
    ];
    let loaded = scene::load("sill-crib", &sets).unwrap_or_else(|p| panic!("{}", p[0]));
    Plan::new(&loaded.scene).expect("it is lifted on one side")
}

/// A body on four springs under a force F at (x, z): it rises by `a + b x' + c z'`, with
/// `[sum k, sum k x; sum k x, sum k x² - W h] [a, b] = F [1, x]` and
/// `c = F z / (sum k z² - W h)`, as long as no wheel comes to its droop; W h is the weight's own
/// arm as the body leans over its feet. Lifted ahead of its weight it rolls nose up, behind it
/// nose down. 2 %: the lift's own arm moves by 0.2 m times the lean, and the bag pushes sideways.
#[test]
fn val_four_springs_share_a_lift_at_one_place() {
    let [front, rear] = [0, 1].map(axle_n_m);
    let falls_nm = KG * G * COM_M[1];
    let (sum, first) = (front + rear, HALF_BASE_M * (front - rear));
    let second = HALF_BASE_M.powi(2) * sum - falls_nm;
    let rolls = (TRACK_M / 2.0).powi(2) * sum - falls_nm;
    for x in [-0.70, -0.35, 0.0, 0.35, 0.70] {
        let det = sum * second - first * first;
        let (a, b) = ((second - first * x) / det, (sum * x - first) / det);
        let rise_each_n = a + b * x + LIFT_Z * LIFT_Z / rolls;
        let plan = raised(x);
        let lift = plan.lift.as_ref().expect("a bag");
        for rise_m in [0.01, 0.02] {
            let state = lift.at(rise_m);
            let n = rise_m / rise_each_n;
            assert_relative_eq!(state.lift_n, n, max_relative = 0.02);
            assert_relative_eq!(state.roll.rad, b * n, max_relative = 0.03, epsilon = 1e-4);
            let turned = lift.turn_rad(&state);
            assert_relative_eq!(turned, LIFT_Z / rolls * n, max_relative = 0.02);
        }
    }
}
