//! A vehicle on its wheels: springs and tyres.
//!
//! Law: a wheel's spring and its tyre are two springs in a row, `1 / k = 1 / ks + 1 / kt`, with
//! `ks = m (2 pi f)^2` where a vehicle says nothing of its rates; quarter-car statics (any
//! textbook of vehicle dynamics). A wheel goes down by its droop and is then carried: as the
//! body rises the tyre gives back what is left of its load.

use crate::common::{Claim, G, Unit, alone};
use inchwise::scene::{self, Fault, HiddenFault, Lashed, RestsOn, Scene};
use inchwise::snapshot::PartKind;
use inchwise::world::{Crew, Yard};
use std::f64::consts::TAU;
use std::sync::Arc;

/// What the hatchback's file and the defaults of the format say.
const KG: f64 = 1020.0;
const WHEEL_KG: f64 = 0.03 * KG;
const COM_M: [f64; 2] = [0.22, 0.52];
const HALF_BASE_M: f64 = 1.26;
const TRACK_M: f64 = 1.45;
const TYRE_N_M: f64 = 200e3;
const DROOP_M: f64 = 0.080;

/// What either wheel of an axle bears as it stands, N; 0 is the front axle.
fn standing_n(axle: usize) -> f64 {
    let share = 0.5 + [0.5, -0.5][axle] * COM_M[0] / HALF_BASE_M;
    share * KG * G / 2.0
}

/// One wheel's spring, and it with its tyre, N/m.
fn rates(axle: usize) -> [f64; 2] {
    let spring = (standing_n(axle) / G - WHEEL_KG) * (TAU * 1.3).powi(2);
    [spring, spring * TYRE_N_M / (spring + TYRE_N_M)]
}

fn on_wheels(lashed: Lashed) -> Scene {
    let loaded = scene::load("sill-crib", &[]).unwrap_or_else(|p| panic!("{p:?}"));
    let mut scene = alone(loaded.scene);
    scene.lashed = lashed;
    assert_eq!(scene.lies, RestsOn::Wheels);
    scene
}

#[test]
fn a_load_lets_the_body_down_by_its_springs() {
    let mut residuals = Claim {
        id: "springs.sag",
        claim: "a load over the centre of the springs lets the body down by F / sum of k",
        source: "two springs in a row at each wheel, closed form",
        range: "100, 200 and 300 kg in the hatchback",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "the vehicle settles to a tenth of a millimetre and less",
    }
    .begin();
    let sum: f64 = [0, 1].map(|axle| 2.0 * rates(axle)[1]).iter().sum();
    // Where it lets both ends down equally.
    let x = HALF_BASE_M * (2.0 * rates(0)[1] - 2.0 * rates(1)[1]) / sum;
    for kg in [100.0, 200.0, 300.0] {
        let mut laden = on_wheels(Lashed::None);
        let fault = Fault::Load { kg, place_m: [x, COM_M[1], 0.0] };
        laden.faults.push(HiddenFault { at_s: 0.0, fault });
        let yard = Yard::new(Arc::new(laden));
        let body = yard.snapshot.poses[0].at()[1];
        residuals.compare(-body, kg * G / sum, format!("{kg} kg"));
    }
    residuals.end();
}

/// The sill lift with a foot before the near front wheel. For each moment at rest enough: the
/// wheel's way down out of the body, m, the load under it, N, the foot's gap, m, how far the
/// body's own place over the wheel has gone up from the ground, m, and how far the wheel has.
fn raised(lashed: &str) -> Vec<[f64; 5]> {
    let sets = [
        format!("lashed={lashed}"),
        "casualty=[(name: \"foot\", at: [\"1.44 m\", \"0.725 m\"], thickness: \"40 mm\", \
         gap_needed: \"60 mm\", size: [\"50 mm\", \"60 mm\"])]"
            .to_owned(),
        "captures=[]".to_owned(),
        "decides=gap of foot".to_owned(),
        "bags.bag.size=[\"500 mm\", \"500 mm\"]".to_owned(),
        "stacks.sill.length=20 in".to_owned(),
        "orders=[(raise: \"bag\", opening: \"60 %\", until: (rise: \"170 mm\"), at_most: \"40 s\")]"
            .to_owned(),
    ];
    let scene = scene::load("sill-crib", &sets).unwrap_or_else(|p| panic!("{p:?}")).scene;
    let scene = Arc::new(scene);
    let (mut yard, mut crew) = (Yard::new(scene.clone()), Crew::new(scene.orders.clone()));
    let find = |kind| move |yard: &Yard| yard.parts().iter().position(|p| p.kind == kind);
    let wheel = find(PartKind::Wheel(1))(&yard).expect("a wheel");
    let mut seen = Vec::new();
    while !crew.done() {
        crew.advance(&mut yard);
        yard.tick();
        let now = &yard.snapshot;
        // Where the wheel's foot was in the body as it stood on the ground.
        let foot = [HALF_BASE_M, 0.0, TRACK_M / 2.0];
        let at = |part: usize| {
            let turned = now.poses[part].turned(foot);
            [0, 1, 2].map(|i| now.poses[part].at()[i] + turned[i])
        };
        let down = -now.poses[0].local(at(wheel))[1];
        let (up, wheel_up) = (at(0)[1], at(wheel)[1]);
        let under = now.loads.iter().filter(|l| l.by.is_none() && l.on == wheel);
        seen.push([down, under.map(|l| l.force[1]).sum(), now.limbs[0].gap_m, up, wheel_up]);
    }
    seen
}

#[test]
fn a_wheel_stays_down_until_its_droop_is_used_up() {
    let mut load = Claim {
        id: "springs.load",
        claim: "as the body rises the load under a wheel falls by its spring and tyre in a row; \
                past the droop it falls by the tyre alone; N - k u, then kt (droop + N / kt - u)",
        source: "two springs in a row, closed form",
        range: "the sill lift of the hatchback, its axles free and lashed, each tick; as a share \
                of what the wheel bears as it stands",
        tolerance: 0.06,
        unit: Unit::Share,
        reason: "in motion; the damper's 0.06 s times the tyre's stiffness at 13 mm/s is 5 % of \
                 the load",
    }
    .begin();
    let mut lag = Claim {
        id: "springs.lag",
        claim: "a wheel stays down until the body is up by the droop and the tyre's return, and \
                then rises with it; how late it begins",
        source: "the same; lashed, the tyre's share alone",
        range: "the near front wheel, axles free and lashed",
        tolerance: 2.0,
        unit: Unit::Mm,
        reason: "the body leans by 4 deg, and its upright is by so much not the ground's: 1 mm; \
                 read at the first 3 mm",
    }
    .begin();
    let (n, [_, k]) = (standing_n(0), rates(0));
    for (lashed, droop) in [("none", DROOP_M), ("both", 0.0)] {
        let seen = raised(lashed);
        let off = droop + n / TYRE_N_M;
        let first = seen[0][2];
        assert!(seen.iter().any(|s| s[3] > off + 0.01), "{lashed}: it is not raised far enough");
        for [up, under, ..] in &seen {
            let soft = if droop > 0.0 { n - k * up } else { n - TYRE_N_M * up };
            let expected = soft.min(TYRE_N_M * (off - up)).max(0.0);
            load.residual((under - expected).abs() / n, format!("{lashed}: {up} m, {under} N"));
        }
        let begins = seen.iter().find(|s| s[4] > 0.003).expect("the wheel comes up");
        let late = (begins[3] - 0.003 - off).abs();
        lag.residual(late * 1e3, format!("{lashed}: {begins:?}, {off}"));
        // What lies under the wheel gains nothing until then.
        let gains = |s: &[f64; 5]| s[2] - first;
        let stands = seen.iter().filter(|s| s[3] < off).map(gains).fold(f64::MIN, f64::max);
        let end = seen.last().map_or(0.0, gains);
        assert!(stands < 0.001 && end > 0.003, "{lashed}: {stands} m, {end} m");
    }
    load.end();
    lag.end();
}

#[test]
fn on_a_cross_slope_the_body_leans_on_its_springs() {
    let mut residuals = Claim {
        id: "springs.lean",
        claim: "on a cross slope the body leans by K a = m g h sin(slope + a); K = 2 k (T / 2)^2 \
                of all wheels of a side",
        source: "statics of a rigid body on springs that rolls about the ground, closed form",
        range: "the hatchback's sprung mass on 4, 8 and 12 deg",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "a steeper slope lets it rise by up to 4 of 520 mm, and the lean lets its arm grow",
    }
    .begin();
    let side = rates(0)[1] + rates(1)[1];
    let roll_nm = 2.0 * side * (TRACK_M / 2.0).powi(2);
    // Its wheels stand 0.30 m high.
    let moment_nm = (KG * COM_M[1] - 4.0 * WHEEL_KG * 0.30) * G;
    for deg in [4.0_f64, 8.0, 12.0] {
        let mut scene = on_wheels(Lashed::None);
        scene.ground.cross_slope_rad = deg.to_radians();
        let yard = Yard::new(Arc::new(scene));
        let right = yard.snapshot.poses[0].turned([0.0, 0.0, 1.0]);
        let leans = right[1].abs().asin();
        let mut expected = 0.0;
        for _ in 0..50 {
            expected = moment_nm * (deg.to_radians() + expected).sin() / roll_nm;
        }
        residuals.compare(leans, expected, format!("{deg} deg"));
    }
    residuals.end();
}
