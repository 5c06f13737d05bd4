//! Levers, supports, slopes and soil on paper against worked examples and published
//! values, each with its source beside it.

use approx::{abs_diff_eq, assert_relative_eq};
use inchwise::scene::Cause;
use inchwise::statics::column::{Above, ColumnBag, lean, touched_m};
use inchwise::statics::face::{faces_meet_m, wedge_m};
use inchwise::statics::ground::{plate_m2, pressure_pa};
use inchwise::statics::lever::hinge_lift_n;
use inchwise::statics::load_shares::row_shares;
use inchwise::statics::panel::{height_lost_m, roll_stiffness_nm, yields_n};
use inchwise::statics::plan::{COM_SHARE, LiftPlan, Plan};
use inchwise::statics::sheet::{RowQuantity, Sheet};
use inchwise::statics::slide::{chocks_hold_n, slide_angle_rad, weight_on_slope_n};
use inchwise::statics::stacks::leaned_m;
use inchwise::tables::{BAG_FACE_M, BAG_SHEAR_SHARE, Surface};
use inchwise::units::UnitSystem;
use std::f64::consts::PI;

/// Statics textbook: at the start `F = W x / X`; the lift is weightless where the centre of
/// mass stands over the hinge, at `tan t = x / y`.
#[test]
fn a_hinge_lift_is_a_lever() {
    assert_relative_eq!(
        hinge_lift_n(12_945.0, [1.5, 0.8], [2.6, 0.6], 0.0),
        12_945.0 * 1.5 / 2.6,
        max_relative = 1e-12
    );
    let over = 1.5_f64.atan2(0.8);
    assert_relative_eq!(hinge_lift_n(12_945.0, [1.5, 0.8], [2.6, 0.6], over), 0.0, epsilon = 1e-9);
    // By hand at 10 degrees: x' = 1.5 cos - 0.8 sin = 1.33829, X' = 2.6 cos - 0.6 sin = 2.45631.
    let at_ten = hinge_lift_n(1000.0, [1.5, 0.8], [2.6, 0.6], 10_f64.to_radians());
    assert_relative_eq!(at_ten, 1000.0 * 1.338_293 / 2.456_311, max_relative = 1e-5);
}

/// Two supports: `R1 = W b / L`, `R2 = W a / L`, below nothing for a load past a support,
/// which the other one would have to hold down. One support takes all.
#[test]
fn two_supports_share_by_distance() {
    for (at, left) in [(-0.3, 0.3696), (0.0, 0.5), (0.2, 0.587), (1.15, 1.0), (1.3, 1.0652)] {
        let shares = row_shares(&[1.15, -1.15], at);
        assert_relative_eq!(shares[0], (at + 1.15) / 2.3, max_relative = 1e-12);
        assert_relative_eq!(shares[0], left, epsilon = 1e-4);
        assert_relative_eq!(shares[1], (1.15 - at) / 2.3, epsilon = 1e-12);
    }
    assert_eq!(row_shares(&[0.0], 0.4), [1.0]);
}

/// The shipped saloon by hand. Its centre of mass lies 0.4909 m from the origin and the
/// nose and the header at 2.2283 and 0.1432 m (geometry of the outline), so without limbs
/// the nose bears 12,945 x 0.3477 / 2.0851 = 2.16 kN. The limbs take a little of both. Once
/// up, what bears is weighed by what it bears, and the lever gives the lift force to 1 %: a lift
/// that pushes the share `e` towards the nose at a height `y` has the arm `x + e y`.
#[test]
fn the_saloon_by_hand() {
    let scene = inchwise::scene::load("beam-lift", &[]).expect("a shipped scene").scene;
    let plan = Plan::new(&scene).expect("it lies still");
    assert_relative_eq!(plan.weight_n, 12_944.8, max_relative = 1e-4);
    let limbs: f64 = (0..2).map(|i| plan.on_limb_n(&plan.found, i)).sum();
    let sum = plan.on_ground_n(&plan.found) + limbs;
    assert_relative_eq!(sum, plan.weight_n, max_relative = 1e-4);
    assert_relative_eq!(plan.com[0], 0.4909, epsilon = 0.01);
    let lift = plan.lift.as_ref().expect("it is lifted");
    for rise in [0.06, 0.12, 0.235] {
        let state = lift.at(rise);
        let pivot = plan.pivot_x(&state).expect("it bears somewhere");
        let com = state.side_pose.ground(plan.balance.com)[0];
        let place = state.side_pose.ground(lift.lift)[0];
        let push: f64 = lift.points.iter().map(|p| p.share * lift.column(p, rise).lean.push).sum();
        let arm = pivot - place + push * state.side_pose.ground(lift.lift)[1];
        let force = hinge_lift_n(plan.weight_n, [pivot - com, 0.0], [arm, 0.0], 0.0);
        // The limb that is still pressed at 60 mm bears a few newtons of it.
        assert_relative_eq!(state.lift_n, force, max_relative = 0.01);
    }
}

/// A tenth more mass asks for a tenth more lift where nothing yields; the sheet's spread
/// holds both ends, and a centre of mass nearer the lift asks for more.
#[test]
fn weak_inputs_carry_through() {
    let scene = inchwise::scene::load("beam-lift", &[]).expect("a shipped scene").scene;
    let plan = Plan::new(&scene).expect("it lies still");
    let lift = plan.lift.as_ref().expect("it is lifted");
    let at = |i: usize| inchwise::statics::vehicle::at_rise(&lift.changed[i], lift.off_m).lift_n;
    let force = lift.at(lift.off_m).lift_n;
    assert_relative_eq!(at(0) / force, 1.0 - scene.spread.mass_share, epsilon = 0.02);
    assert_relative_eq!(at(1) / force, 1.0 + scene.spread.mass_share, epsilon = 0.02);
    // Towards the tail by 5 % of 2.62 m: W x 0.131 / 2.45 more for a pivot that stays. With
    // more on the lift there is less on the nose, so the pivot comes back a little.
    let more = plan.weight_n * COM_SHARE * 2.62 / 2.45;
    assert!((0.75 * more..more).contains(&(at(2) - force)), "{}", at(2) - force);
    assert!(at(3) < force);
}

/// `atan mu` for 0.2 to 0.7: 11.31, 16.70, 21.80, 26.57, 30.96, 34.99 degrees.
#[test]
fn friction_angles() {
    for (mu, degrees) in
        [(0.2, 11.31), (0.3, 16.70), (0.4, 21.80), (0.5, 26.57), (0.6, 30.96), (0.7, 34.99)]
    {
        assert_relative_eq!(slide_angle_rad(mu).to_degrees(), degrees, epsilon = 0.006);
        // On that very slope friction holds all of it, and a little less does not.
        let (pressed, along) = weight_on_slope_n(10e3, slide_angle_rad(mu), 0.0);
        assert_relative_eq!(chocks_hold_n(along[0], mu, pressed), 0.0, epsilon = 1e-6);
        let held = chocks_hold_n(along[0], mu - 0.01, pressed);
        assert_relative_eq!(held, 0.01 * pressed, max_relative = 1e-6);
    }
}

/// IBC table 1806.2 (2012): 3,000 psf sandy gravel, 2,000 psf sand, 1,500 psf clay, that is
/// 143.6, 95.8 and 71.8 kPa; a plate for 10 kN then takes 0.070, 0.104 and 0.139 m².
#[test]
fn soil_bears_what_the_building_code_presumes() {
    let bears = |surface: Surface| surface.soil().bearing_pa;
    assert_eq!(bears(Surface::Asphalt), None);
    assert_eq!(bears(Surface::Concrete), None);
    for (surface, psf, area) in [(Surface::Gravel, 3000.0, 0.070), (Surface::Grass, 1500.0, 0.139)]
    {
        let pa = bears(surface).expect("soil");
        assert_relative_eq!(pa, psf * 47.8803, max_relative = 1e-3);
        assert_relative_eq!(plate_m2(10e3, pa), area, epsilon = 5e-4);
    }
    assert_relative_eq!(plate_m2(10e3, 95.8e3), 0.104, epsilon = 5e-4);
}

/// Under a base with its load off the middle: `N/A (1 + 6 e / B)` up to the kern, and
/// `2 N / (3 L (B/2 - e))` past it, which meet at `e = B / 6` (textbook).
#[test]
fn pressure_under_a_base_grows_towards_the_load() {
    let (load, width, length) = (5e3, 0.2, 0.6);
    let at = |e: f64| pressure_pa(load, width * length, length / 2.0, e);
    assert_relative_eq!(at(0.0), load / 0.12, max_relative = 1e-12);
    assert_relative_eq!(at(0.05), load / 0.12 * (1.0 + 6.0 * 0.05 / length), max_relative = 1e-12);
    assert_relative_eq!(at(0.1), 2.0 * load / 0.12, max_relative = 1e-12);
    assert_relative_eq!(at(0.2), 2.0 * load / (3.0 * width * (0.3 - 0.2)), max_relative = 1e-12);
    assert!(at(0.31).is_infinite());
}

/// Geometry of a sloping face: tan 22.94 degrees of 300 mm is 127 mm; a bag 455 mm wide
/// does not bear over its width until it is 91 mm high in the middle.
#[test]
fn faces_and_wedges() {
    let slope = 22.94_f64.to_radians();
    assert_relative_eq!(wedge_m(0.3, slope), 0.127, epsilon = 5e-4);
    assert_relative_eq!(faces_meet_m(0.455, slope), 0.0911, epsilon = 5e-4);
}

/// A spring up to its plateau, and its whole depth past it.
#[test]
fn metal_gives_elastically_and_then_all_the_way() {
    assert_relative_eq!(height_lost_m(4.8e3, 120e3, 9e3, 0.06), 0.04, max_relative = 1e-12);
    assert_relative_eq!(height_lost_m(9.1e3, 120e3, 9e3, 0.06), 0.06, max_relative = 1e-12);
    assert_relative_eq!(yields_n(9e3, 60_f64.to_radians()), 18e3, max_relative = 1e-9);
}

/// A strip of springs, added up: each pushes by its way, on its arm.
#[test]
fn a_strip_of_springs_holds_against_a_roll() {
    let (k, half) = (150e3, 0.65);
    let springs = 2000;
    let place = |i: i32| half * (2.0 * (f64::from(i) + 0.5) / f64::from(springs) - 1.0);
    let moment: f64 = (0..springs).map(|i| k / f64::from(springs) * place(i).powi(2)).sum();
    assert_relative_eq!(roll_stiffness_nm(k, half), moment, max_relative = 1e-5);
}

/// Two bags under a face at a tilt, pushed along: from the tilts, shears and push that come
/// out, every face is placed and every force put on it in full angles. The force of each
/// bag stands square to the plane midway between its faces, its walls pull with c V / h, both
/// midway between the middles of its faces, and its patch moves by k phi: then the moments about
/// the faces between cancel, both bags pass on the same force, and the line of the load runs where
/// it is said to enter.
#[test]
fn a_pair_of_bags_balances() {
    const FACE: f64 = BAG_FACE_M;
    let (c, load) = (BAG_SHEAR_SHARE, 5000.0);
    let wide = [f64::NEG_INFINITY, f64::INFINITY];
    for (arms, gaps, tilt, way_m, cone) in [
        ([0.20, 0.18], [0.12, 0.06], 0.05, 0.02, wide),
        ([0.20, 0.18], [0.08, 0.09], 0.04, 0.0, wide),
        ([0.17, 0.17], [0.13, 0.05], 0.03, 0.03, [0.02, 0.9]),
    ] {
        let bags = [0, 1].map(|i| ColumnBag { gap_m: gaps[i], arm_m: arms[i] });
        let room_m = [f64::INFINITY; 2];
        let above = Above { tilt_rad: tilt, way_m, cone, slipping: cone, room_m };
        let found = lean(&bags, above);
        let between = found.tilts_rad[0];
        let along = |tilt: f64, up: f64, level: f64| {
            [up * tilt.sin() + level * tilt.cos(), up * tilt.cos() - level * tilt.sin()]
        };
        let add = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        // Where each bag's upper face is, by the middle of its underside.
        let stack_top = [0.0, FACE];
        let first = add(stack_top, along(between / 2.0, gaps[0], found.shears_m[0]));
        let above_first = add(first, along(between, 2.0 * FACE, 0.0));
        let second = add(above_first, along((between + tilt) / 2.0, gaps[1], found.shears_m[1]));
        let force =
            |tilt: f64, i: usize| along(tilt, load, -c * load / gaps[i] * found.shears_m[i]);
        let (low, high) = (force(between / 2.0, 0), force((between + tilt) / 2.0, 1));
        let near = |a: f64, b: f64, within: f64, what: &str| {
            assert!(abs_diff_eq!(a, b, epsilon = within), "{what}: {a} and {b} at {gaps:?}");
        };
        near(low[0] / load, found.push, 2e-3, "push of the lower bag");
        near(high[0] / load, found.push, 2e-3, "push of the upper bag");
        // Moments on the faces between, towards the nose, per newton of load.
        let turn = |at: [f64; 2], f: [f64; 2]| {
            ((at[1] - first[1]) * f[0] - (at[0] - first[0]) * f[1]) / load
        };
        let middle = |a: [f64; 2], b: [f64; 2]| [0, 1].map(|i| f64::midpoint(a[i], b[i]));
        let (low_at, high_at) = (middle(stack_top, first), middle(above_first, second));
        let moment = turn(high_at, high.map(|f| -f)) + turn(low_at, low) - arms[0] * between
            + arms[1] * (tilt - between);
        near(moment, 0.0, 6e-4, "moment on the faces between");
        // The line of the load, carried down to the stack's top and up to the upper face.
        let line =
            |y: f64| high_at[0] + (y - high_at[1]) / high[1] * high[0] + arms[1] * (tilt - between);
        near(found.enters_m, line(0.0), 2e-3, "where the load enters");
        near(found.onto_m, line(second[1]) - second[0], 2e-3, "where it enters the upper bag");
        let top = add(second, along(tilt, FACE, 0.0));
        near(top[0] + found.slip_m, way_m, 1e-3, "way along the ground");
        let upright = gaps[0] + gaps[1] + 4.0 * FACE;
        near(upright - top[1], found.dip_m, 1e-3, "height lost by leaning");
    }
}

/// What slips is stopped by the edge of a dent; after that the walls shear again.
#[test]
fn slipping_ends_at_an_edge() {
    let bag = [ColumnBag { gap_m: 0.1, arm_m: 0.2 }];
    let above = |room: f64| Above {
        tilt_rad: 0.0,
        way_m: 0.05,
        cone: [-0.1, 0.1],
        slipping: [-0.1, 0.1],
        room_m: [room, room],
    };
    // s = -H h / (c F): a tenth of the load shears it by 20 mm; the rest of 50 mm slips.
    let free = lean(&bag, above(1.0));
    assert_relative_eq!(free.push, -0.1, max_relative = 1e-9);
    assert_relative_eq!(free.slip_m, 0.03, max_relative = 1e-9);
    let stopped = lean(&bag, above(0.01));
    assert_relative_eq!(stopped.slip_m, 0.01, max_relative = 1e-9);
    assert_relative_eq!(stopped.push, -0.2, max_relative = 1e-9);
}

/// A plate of 0.4 m that turns by 60 degrees about its edge: its middle, 0.2 m from there, comes
/// to 0.1 m from it (geometry). A face that is level moves nothing.
#[test]
fn a_swelling_bag_turns_about_the_edge_that_touches() {
    assert_relative_eq!(touched_m(0.4, PI / 3.0), 0.1, max_relative = 1e-12);
    assert_relative_eq!(touched_m(0.4, -PI / 3.0), -0.1, max_relative = 1e-12);
    assert_relative_eq!(touched_m(0.4, 0.0), 0.0);
}

/// A stack that gives way by `x` under a single bag: the column's own law, worked out again
/// with its top `x` further over the stack, has the line at a joint `d` below nearer to the edge
/// that the stack leans over by what the push eases, `k = c / h`, on the arm up to midway between
/// the bag's faces, less half of x, by which that point stays behind (statics).
#[test]
fn a_leaning_stack_eases_what_pushes_it() {
    let bag = ColumnBag { gap_m: 0.13, arm_m: 0.14 };
    let above = |way_m| Above {
        tilt_rad: 0.45,
        way_m,
        cone: [-9.0, 9.0],
        slipping: [-9.0, 9.0],
        room_m: [0.0; 2],
    };
    let (d, x) = (0.9, 0.03);
    let before = lean(&[bag], above(0.05));
    let after = lean(&[bag], above(0.05 + x));
    assert_relative_eq!(before.eased_per_m, BAG_SHEAR_SHARE / bag.gap_m, max_relative = 1e-9);
    // Off a place that stays: the stack's top has moved by x towards the tail.
    let line = |l: &inchwise::statics::column::Lean, moved: f64| l.enters_m - moved - l.push * d;
    assert_relative_eq!(
        line(&after, x) - line(&before, 0.0),
        leaned_m(x, before.eased_per_m, before.eased_share, d),
        max_relative = 1e-6
    );
    let arm = before.height_m - bag.gap_m / 2.0 + d;
    let by_hand = x * (BAG_SHEAR_SHARE / bag.gap_m * arm - 0.5);
    assert_relative_eq!(line(&after, x) - line(&before, 0.0), by_hand, max_relative = 1e-6);
}

/// A column on a wedge that leans by `a` is the upright column seen in a frame that is turned by
/// `a`: its force stands at `a + atan p` off upright and goes through the place on the wedge's
/// face where the column's force enters that (geometry). A stack that gives way by `x` leaves the
/// column's top `x cos a` further along the wedge.
#[test]
fn a_column_on_a_wedge_pushes_as_far_off_upright_as_that_leans() {
    let bag = ColumnBag { gap_m: 0.13, arm_m: 0.14 };
    let above = |way_m| Above {
        tilt_rad: 0.08,
        way_m,
        cone: [-9.0, 9.0],
        slipping: [-9.0, 9.0],
        room_m: [0.0; 2],
    };
    let seat_m = 0.12;
    for a in [0.0, 0.15, 0.3, 0.45_f64] {
        for way_m in [-0.06, 0.0, 0.04] {
            let across = lean(&[bag], above(way_m));
            let on_ground = lean(&[bag], above(way_m)).on_seat(a, seat_m);
            let (sin, cos) = a.sin_cos();
            let off_upright = a + across.push.atan();
            assert_relative_eq!(on_ground.push, off_upright.tan(), max_relative = 1e-9);
            // Straight down from that place to the stack's top, along the force.
            let (x, y) = (across.enters_m * cos, seat_m - across.enters_m * sin);
            let enters_m = x - y * off_upright.tan();
            assert_relative_eq!(on_ground.enters_m, enters_m, epsilon = 1e-9);
            // Upright it bears V; along its axis that is V cos(atan p) / cos(a + atan p).
            let along_n = 1e4 * across.push.atan().cos() / off_upright.cos();
            let found_n = inchwise::statics::column::along_n(1e4, a, across.push);
            assert_relative_eq!(found_n, along_n, max_relative = 1e-9);

            let x = 1e-6;
            let given = lean(&[bag], above(way_m + x * cos)).on_seat(a, seat_m);
            let eased = (on_ground.push - given.push) / x;
            assert_relative_eq!(on_ground.eased_per_m, eased, max_relative = 1e-4);
            let share = (given.enters_m - on_ground.enters_m) / x - 1.0;
            assert_relative_eq!(on_ground.eased_share, share, epsilon = 1e-4);
        }
    }
}

/// Bags under a wedge can tilt together by what each of them can: until its faces meet, at 2 h / W,
/// or, where it stands higher than a fifth of its width, until friction of 0.225 no longer holds
/// it, at 2 atan 0.225 = 25.36 deg.
#[test]
fn the_tilt_that_bags_can_take_ends_where_friction_does() {
    for name in ["deck-lid-wedged", "bag-pair", "stack-plumb"] {
        let scene = inchwise::load(name, &[]).expect("a scene").scene;
        let sheet = Sheet::new(&scene, UnitSystem::Si);
        let row = sheet.rows.iter().find(|r| r.subject.quantity == RowQuantity::BagTilt);
        let limit = row.and_then(|r| r.limit).expect("a limit").figure().value();
        let plan = Plan::new(&scene).expect("a plan");
        let last = plan.lift.as_ref().and_then(LiftPlan::highest).expect("a highest order");
        let each = last.bags.iter().zip(&scene.bags);
        let each =
            each.map(|(now, bag)| (2.0 * now.gap_m / bag.size[0]).min(25.36_f64.to_radians()));
        assert_relative_eq!(limit, each.sum::<f64>(), max_relative = 1e-3);
    }
}

/// Staked chocks hold what pulls towards them and nothing that goes past them. The shipped
/// saloon weighs 1320 x 9.80665 = 12,945 N and has its chocks at the nose: on 6 deg towards the
/// nose nothing goes past them; towards the tail all of W sin 6 deg = 1353 N does, and what the
/// bags push with comes to it; across it 1353 N less what the stacks take of it. Without chocks
/// the pull has its own row. The slope's own row warns of a slide in each: the vehicle lies
/// there before a chock is set.
#[test]
fn chocks_hold_what_pulls_towards_them() {
    let pull_n = 1353.1;
    for (change, least, most) in [
        ("ground.slope=6 deg", None, None),
        ("ground.slope=-6 deg", Some(pull_n), Some(2.0 * pull_n)),
        ("ground.cross_slope=6 deg", Some(0.3 * pull_n), Some(pull_n)),
        ("ground.cross_slope=-6 deg", Some(0.3 * pull_n), Some(pull_n)),
    ] {
        let scene = inchwise::load("beam-lift", &[change.to_owned()]).expect("a scene").scene;
        let sheet = Sheet::new(&scene, UnitSystem::Si);
        let row =
            |quantity: RowQuantity| sheet.rows.iter().find(|row| row.subject.quantity == quantity);
        let slope = row(RowQuantity::GroundSlope).expect("it is always there");
        assert_eq!(slope.warns, Some(Cause::Slide), "{change}");
        let past = row(RowQuantity::UnchockedPull);
        assert_eq!(past.is_some(), least.is_some(), "{change}: {past:?}");
        let (Some(past), Some(least), Some(most)) = (past, least, most) else { continue };
        let has = past.result.expect("a force").value();
        assert!(least - 0.1 <= has && has <= most, "{change}: {has} N");
        assert_eq!(past.warns, Some(Cause::Slide), "{change}");
    }
}
