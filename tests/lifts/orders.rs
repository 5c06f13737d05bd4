//! Orders are the only way anything is operated. One that cannot be done says why and
//! changes nothing; one that can does what it says and no more.

use crate::played;
use approx::{abs_diff_eq, assert_relative_eq};
use inchwise::lift::Lift;
use inchwise::scene::{self, Cause, Order, Until};
use inchwise::snapshot::{PartKind, Snapshot};
use inchwise::units::UnitSystem;
use std::sync::Arc;

const LEFT_LOWER: usize = 0;
const RIGHT_LOWER: usize = 1;
const LEFT_UPPER: usize = 2;
const RIGHT_UPPER: usize = 3;

/// The beam lift by hand.
fn by_hand(sets: &[&str]) -> Lift {
    played::by_hand("beam-lift", sets)
}

fn run(lift: &mut Lift, seconds: f64) {
    for _ in 0..(seconds / inchwise::world::TICK_S).round() as usize {
        lift.tick();
    }
}

fn raise(bags: &[usize]) -> Order {
    Order::Raise { bags: bags.to_vec(), opening: 0.5, until: Until::Now, at_most_s: 60.0 }
}

/// An order for a time that the script leaves and takes up again lasts that time, not twice:
/// the valve is open for as many ticks with a break as without, within the tick that the
/// break falls into.
#[test]
fn an_order_left_in_the_middle_lasts_no_longer() {
    let loaded = scene::load("beam-lift", &[]).unwrap_or_else(|p| panic!("{p:?}"));
    let mut scene = loaded.scene;
    let until = Until::For(3.0);
    scene.orders =
        vec![Order::Raise { bags: vec![LEFT_LOWER], opening: 0.01, until, at_most_s: 60.0 }];
    let settled = Lift::new(Arc::new(scene));
    let open_ticks = |break_at: Option<usize>| {
        let mut lift = settled.clone();
        let mut open = 0;
        for tick in 0..600 {
            if Some(tick) == break_at {
                lift.set_script(false);
                run(&mut lift, 1.0);
                assert_eq!(lift.snapshot().outlets[0].opening, 0.0);
                lift.set_script(true);
            }
            lift.tick();
            open += usize::from(lift.snapshot().outlets[0].opening > 0.0);
        }
        open
    };
    let whole = open_ticks(None);
    assert!(whole > 100, "{whole}");
    for at in [1, 60, 120] {
        assert!(open_ticks(Some(at)).abs_diff(whole) <= 1, "left at {at}: {whole}");
    }
}

/// Gives an order that must be refused: it says so in these words and nothing changes.
fn refused(lift: &mut Lift, order: &Order, words: &[&str]) {
    let (parts, before) = (lift.parts().len(), lift.snapshot().clone());
    lift.order_by_hand(order);
    let said = lift.records().last().expect("the order is noted").clone();
    let why = said.refused.unwrap_or_else(|| panic!("{order:?} was not refused"));
    let why = why.say(lift.scene(), UnitSystem::Si);
    for word in words {
        assert!(why.contains(word), "\"{word}\" is missing in \"{why}\"");
    }
    assert_eq!(lift.parts().len(), parts);
    let mut twin = before.clone();
    twin.outlets.clone_from(&lift.snapshot().outlets);
    assert_eq!(*lift.snapshot(), twin);
    lift.tick();
    let now = lift.snapshot();
    for (a, b) in before.bags.iter().zip(&now.bags) {
        assert_eq!((a.locked_out, a.hose), (b.locked_out, b.hose));
    }
    for (a, b) in before.outlets.iter().zip(&now.outlets) {
        assert_eq!(a.opening, b.opening);
    }
}

fn done(lift: &mut Lift, order: &Order) {
    lift.order_by_hand(order);
    let said = lift.records().last().expect("the order is noted");
    assert_eq!(said.refused, None, "{order:?}");
}

#[test]
fn one_lever_raises_one_side_and_stop_stops_it() {
    let mut lift = by_hand(&[]);
    done(&mut lift, &raise(&[LEFT_LOWER]));
    run(&mut lift, 3.0);
    let up = lift.snapshot().bags[LEFT_LOWER];
    assert!(up.height_m > 0.01, "the left bag rises: {up:?}");
    assert!(lift.snapshot().bags[RIGHT_LOWER].height_m < 0.003, "the right one does not");
    assert!(lift.snapshot().vehicle.roll_rad > 0.0, "left side up is positive");
    done(&mut lift, &Order::Stop { bags: vec![LEFT_LOWER] });
    run(&mut lift, 2.0);
    let stopped = lift.snapshot().bags[LEFT_LOWER].height_m;
    run(&mut lift, 3.0);
    assert_relative_eq!(lift.snapshot().bags[LEFT_LOWER].height_m, stopped, epsilon = 5e-4);
    done(
        &mut lift,
        &Order::Lower { bags: vec![LEFT_LOWER], opening: 1.0, until: Until::Now, at_most_s: 60.0 },
    );
    run(&mut lift, 3.0);
    assert!(lift.snapshot().bags[LEFT_LOWER].height_m < stopped - 0.003, "it comes down");
}

#[test]
fn a_bag_without_a_hose_or_locked_out_is_not_raised() {
    let mut lift = by_hand(&[]);
    refused(&mut lift, &raise(&[LEFT_UPPER]), &["no hose", "left upper"]);
    // One bag that cannot be raised holds the whole order back.
    refused(&mut lift, &raise(&[RIGHT_LOWER, LEFT_UPPER]), &["no hose"]);
    done(&mut lift, &Order::LockOut { bags: vec![LEFT_LOWER] });
    lift.tick();
    refused(&mut lift, &raise(&[LEFT_LOWER]), &["locked out", "left lower"]);
    done(&mut lift, &Order::Unlock { bags: vec![LEFT_LOWER] });
    done(&mut lift, &raise(&[LEFT_LOWER]));
}

#[test]
fn a_hose_leaves_a_shut_bag_and_comes_back_to_its_air() {
    let mut lift = by_hand(&[]);
    done(&mut lift, &raise(&[LEFT_LOWER, RIGHT_LOWER]));
    run(&mut lift, 4.0);
    done(&mut lift, &Order::Stop { bags: vec![LEFT_LOWER, RIGHT_LOWER] });
    run(&mut lift, 1.0);
    let to_upper = Order::MoveHose { outlet: 0, from: None, to: LEFT_UPPER };
    refused(
        &mut lift,
        &Order::MoveHose { outlet: 0, from: None, to: RIGHT_LOWER },
        &["already goes to"],
    );
    done(&mut lift, &Order::LockOut { bags: vec![LEFT_LOWER] });
    let kept = lift.snapshot().bags[LEFT_LOWER].height_m;
    done(&mut lift, &to_upper);
    done(&mut lift, &raise(&[LEFT_UPPER]));
    run(&mut lift, 2.0);
    assert!(lift.snapshot().bags[LEFT_UPPER].gauge_pa > 0.0);
    assert_relative_eq!(lift.snapshot().bags[LEFT_LOWER].height_m, kept, epsilon = 2e-3);
    let open = |bag| Order::Unlock { bags: vec![bag] };
    // An empty one has nothing to lose, and one with its hose back on does not lose it.
    done(&mut lift, &Order::LockOut { bags: vec![RIGHT_UPPER] });
    done(&mut lift, &open(RIGHT_UPPER));
    done(&mut lift, &Order::LockOut { bags: vec![LEFT_UPPER] });
    done(&mut lift, &Order::MoveHose { outlet: 0, from: None, to: LEFT_LOWER });
    done(&mut lift, &open(LEFT_LOWER));
    run(&mut lift, 1.0);
    assert_relative_eq!(lift.snapshot().bags[LEFT_LOWER].height_m, kept, epsilon = 3e-3);
    let log = &lift.records();
    assert!(log.iter().all(|record| record.left_open.is_empty()), "{log:?}");
}

/// A hose taken off a bag that is open and full, or a shut-off opened without a hose: the bag
/// lets its air out, the record says so and the fall of the load names it, until the bag is
/// shut off again. Beside it: the same bag shut off first keeps its air and its height.
#[test]
fn an_open_coupling_lets_a_full_bag_down_until_it_is_shut_off() {
    let full = || {
        let mut lift = by_hand(&[]);
        done(&mut lift, &raise(&[LEFT_LOWER, RIGHT_LOWER]));
        run(&mut lift, 8.0);
        done(&mut lift, &Order::Stop { bags: vec![LEFT_LOWER, RIGHT_LOWER] });
        run(&mut lift, 1.0);
        lift
    };
    let lock = Order::LockOut { bags: vec![LEFT_LOWER] };
    let to_upper = Order::MoveHose { outlet: 0, from: None, to: LEFT_UPPER };
    let open = Order::Unlock { bags: vec![LEFT_LOWER] };
    for (before, opens) in [(None, &to_upper), (Some([&lock, &to_upper]), &open)] {
        let mut lift = full();
        before.into_iter().flatten().for_each(|order| done(&mut lift, order));
        let held = lift.snapshot().bags[LEFT_LOWER];
        done(&mut lift, opens);
        let record = lift.records().last().unwrap();
        let [left_open] = record.left_open.as_slice() else { panic!("{record:?}") };
        assert_eq!((left_open.bag, left_open.gauge_pa), (LEFT_LOWER, held.gauge_pa));
        let said = left_open.say(lift.scene(), UnitSystem::Si);
        assert!(said.contains("left lower held") && said.contains("open to the air"), "{said}");
        run(&mut lift, 1.0);
        done(&mut lift, &lock);
        run(&mut lift, 1.0);
        let half = lift.snapshot().bags[LEFT_LOWER];
        assert!(half.gauge_pa < 0.98 * held.gauge_pa, "{half:?}");
        run(&mut lift, 3.0);
        let kept = lift.snapshot().bags[LEFT_LOWER].height_m;
        assert_relative_eq!(kept, half.height_m, epsilon = 2e-3);
        done(&mut lift, &open);
        run(&mut lift, 20.0);
        let now = lift.snapshot();
        assert!(now.bags[LEFT_LOWER].gauge_pa == 0.0, "{:?}", now.bags[LEFT_LOWER]);
        let drop = lift.findings().iter().find(|f| f.cause() == Cause::Drop).unwrap();
        let said = drop.say(lift.scene(), UnitSystem::Si);
        assert!(said.contains("left lower was open to the air"), "{said}");
    }
    let mut lift = full();
    let held = lift.snapshot().bags[LEFT_LOWER].height_m;
    done(&mut lift, &lock);
    done(&mut lift, &to_upper);
    run(&mut lift, 20.0);
    assert_relative_eq!(lift.snapshot().bags[LEFT_LOWER].height_m, held, epsilon = 2e-3);
    assert!(lift.findings().is_empty(), "{:?}", lift.findings());
}

/// While everything is at rest too, what a hand changes is what the next moment shows.
#[test]
fn a_hose_moved_and_a_shut_off_closed_at_rest_show() {
    let mut lift = by_hand(&[]);
    run(&mut lift, 1.0);
    assert!(lift.snapshot().asleep, "nothing moves before the first order");
    assert_eq!(lift.snapshot().bags[LEFT_LOWER].hose, Some(0));
    done(&mut lift, &Order::LockOut { bags: vec![LEFT_LOWER] });
    done(&mut lift, &Order::MoveHose { outlet: 0, from: None, to: LEFT_UPPER });
    lift.tick();
    let now = lift.snapshot();
    assert!(now.asleep);
    assert_eq!((now.bags[LEFT_LOWER].hose, now.bags[LEFT_UPPER].hose), (None, Some(0)));
    assert!(now.bags[LEFT_LOWER].locked_out);
}

#[test]
fn a_capture_follows_the_load_but_is_not_touched_under_it() {
    let mut lift = by_hand(&[]);
    let capture = Order::Capture { captures: vec![0, 1] };
    let layers = |lift: &Lift| lift.snapshot().captures[0].steps_left;
    let at_hand = layers(&lift);
    done(&mut lift, &capture);
    done(&mut lift, &raise(&[LEFT_LOWER, RIGHT_LOWER]));
    run(&mut lift, 12.0);
    done(&mut lift, &Order::Stop { bags: vec![LEFT_LOWER, RIGHT_LOWER] });
    run(&mut lift, 1.0);
    done(&mut lift, &capture);
    run(&mut lift, 0.5);
    assert!(layers(&lift) < at_hand, "layers were added");
    // Let down on it: the load rests on the captures, and they cannot be touched.
    let risen = lift.snapshot().rise_m;
    done(
        &mut lift,
        &Order::Lower {
            bags: vec![LEFT_LOWER, RIGHT_LOWER],
            opening: 1.0,
            until: Until::Now,
            at_most_s: 60.0,
        },
    );
    run(&mut lift, 30.0);
    let now = lift.snapshot();
    assert!(now.captures.iter().all(|c| c.load_n > 500.0), "{:?}", now.captures);
    assert!(now.rise_m > risen - 0.02, "the captures hold it: {} of {risen} m", now.rise_m);
    refused(&mut lift, &capture, &["carries", "raise the load off it first"]);
}

/// Let down until timber bears its share: the captures bear it, for as much as is asked for. What
/// they and the lowest bags bear together is what those bags bore before, and the load comes down
/// no further than the captures give.
#[test]
fn a_load_is_let_down_until_timber_bears_its_share() {
    let loaded = scene::load("beam-lift", &[]).unwrap_or_else(|p| panic!("{p:?}"));
    let bags = vec![LEFT_LOWER, RIGHT_LOWER];
    let mut come_down_m = 0.0;
    for share in [0.3, 0.6, 0.8] {
        let mut scene = loaded.scene.clone();
        let (at_most_s, until) = (120.0, Until::Rise(0.06));
        scene.orders = vec![
            Order::Raise { bags: bags.clone(), opening: 0.3, until, at_most_s },
            Order::Wait { until: Until::For(2.0), at_most_s: 2.0 },
            Order::Capture { captures: vec![0, 1] },
            Order::Lower {
                bags: bags.clone(),
                opening: 0.4,
                until: Until::OnTimber(share),
                at_most_s,
            },
            Order::Wait { until: Until::For(3.0), at_most_s: 3.0 },
        ];
        let mut lift = Lift::new(Arc::new(scene));
        let mut before = lift.snapshot().clone();
        while !lift.done() {
            // Up to the order to capture, all is on air.
            if lift.records().len() < 3 {
                before = lift.snapshot().clone();
            }
            lift.tick();
        }
        let told = lift.records().iter().map(|r| &r.refused).collect::<Vec<_>>();
        assert!(told.iter().all(|refused| refused.is_none()), "{told:?}");
        // What presses on the vehicle, pair by pair: captures from below, and the beam by its
        // shims. The beam's own weight is the bags' to bear, and no part of the load.
        let kind = |part: usize| lift.parts()[part].kind;
        let of_vehicle = |part| matches!(kind(part), PartKind::Vehicle | PartKind::Panel(_));
        let of_beam = |part| matches!(kind(part), PartKind::Beam | PartKind::Shim);
        let loads = |now: &Snapshot| {
            let timber_n: f64 = now.captures.iter().map(|c| c.load_n).sum();
            let by_beam = now.loads.iter().filter_map(|load| match load.by {
                Some(by) if of_vehicle(load.on) && of_beam(by) => Some(load.force[1]),
                Some(by) if of_beam(load.on) && of_vehicle(by) => Some(-load.force[1]),
                _ => None,
            });
            [timber_n, by_beam.sum::<f64>()]
        };
        let now = lift.snapshot();
        let [[_, air_before_n], [timber_n, air_n]] = [loads(&before), loads(now)];
        let bears = timber_n / (timber_n + air_n);
        // A valve shuts in a tick, and timber goes on giving for a while: two hundredths.
        assert!(
            abs_diff_eq!(bears, share, epsilon = 0.02),
            "{bears:.3} on timber instead of {share}"
        );
        // The captures stand 0.25 m nearer to the pivot: by the lever they bear a little more.
        assert_relative_eq!(timber_n + air_n, air_before_n, max_relative = 0.15);
        let down_m = before.rise_m - now.rise_m;
        assert!((come_down_m..0.012).contains(&down_m), "{share}: down by {down_m:.4} m");
        come_down_m = down_m;
    }
}

#[test]
fn chocks_that_lie_ready_are_set_once() {
    let mut lift = by_hand(&["chocks.nose left.set=false"]);
    let parts = lift.parts().len();
    let set = Order::SetChocks { chocks: vec![0] };
    done(&mut lift, &set);
    assert_eq!(lift.parts().len(), parts + 1);
    lift.tick();
    refused(&mut lift, &set, &["nose left", "set already"]);
    refused(&mut lift, &Order::SetChocks { chocks: vec![1] }, &["nose right"]);
}

#[test]
fn a_burst_hose_answers_no_lever() {
    let mut lift = by_hand(&["faults=[(hose: \"left\", at: \"1 s\")]"]);
    run(&mut lift, 1.5);
    refused(&mut lift, &raise(&[LEFT_LOWER]), &["burst"]);
    done(&mut lift, &raise(&[RIGHT_LOWER]));
}

/// Two lifts from one point, by a clone, go on in the same way: a rewind is a clone.
#[test]
fn a_cloned_lift_goes_on_to_the_same_bits() {
    let mut lift = by_hand(&[]);
    done(&mut lift, &raise(&[LEFT_LOWER, RIGHT_LOWER]));
    run(&mut lift, 3.0);
    let mut twin = lift.clone();
    run(&mut lift, 3.0);
    run(&mut twin, 3.0);
    assert_eq!(lift.snapshot(), twin.snapshot());
}
