//! One number for all that plays and judges a lift in this build of the program: cells of two
//! builds with different numbers are never put into one table.
//!
//! It is made of every setting of the solver, every value in the tables, and what comes of two
//! short lifts that touch most of what there is: scenes that are read, placed, settled,
//! worked out on paper, played and judged. What changes any of their numbers changes it; a
//! change of words may change it too, which costs no more than playing a sweep afresh.

use crate::bag_law::DEAD_VOLUME_M3;
use crate::debrief::Debrief;
use crate::digest::Digest;
use crate::lift::{PlayOptions, play};
use crate::parallel::{ThreadsError, cores, each};
use crate::scene::{self, Cause, Problem, Scene};
use crate::statics::sheet::Sheet;
use crate::tables::{self, Grip, Surface};
use crate::units::UnitSystem;
use crate::world::solver::Settings;
use std::fmt::Debug;
use std::sync::{Arc, OnceLock};

/// The short lifts: on the roof by a beam, and on the wheels. Their vehicle is written into them, so
/// that no file on disk changes it.
const SHORT_LIFTS: [&str; 2] =
    [include_str!("fingerprint/beam.ron"), include_str!("fingerprint/wheels.ron")];
const VEHICLE: &str = include_str!("fingerprint/vehicle.ron");
/// They are cut off then, s: every sweep waits for them as it starts.
const AT_MOST_S: f64 = 4.4;

/// The number of this build, worked out once.
pub fn of_physics() -> u64 {
    static NUMBER: OnceLock<u64> = OnceLock::new();
    *NUMBER.get_or_init(|| {
        let mut digest = Digest::new();
        digest.text(env!("CARGO_PKG_VERSION"));
        settings_and_tables(&mut |value| {
            digest.text(&format!("{value:?}"));
        });
        for outcomes in outcomes() {
            outcomes.iter().for_each(|text| {
                digest.text(text);
            });
        }
        digest.number()
    })
}

/// What comes of the short lifts, played beside each other where there are threads.
fn outcomes() -> Vec<Vec<String>> {
    let texts = |lift: &&str| {
        let mut texts = Vec::new();
        outcome(lift, &mut |value| texts.push(format!("{value:?}")));
        texts
    };
    each(&SHORT_LIFTS, cores(), texts, &mut |_| Ok::<_, ThreadsError>(()))
        .unwrap_or_else(|_| SHORT_LIFTS.iter().map(texts).collect())
}

fn settings_and_tables(take: &mut dyn FnMut(&dyn Debug)) {
    take(&Settings::SHIPPED);
    take(&tables::TIMBERS);
    take(&tables::TIMBERS.iter().map(tables::Timber::grade).collect::<Vec<_>>());
    take(&tables::WOODS);
    take(&[tables::CLEAR_RUPTURE, tables::CLEAR_SHEAR, tables::CLEAR_BEARING]);
    take(&tables::BEDS);
    for (_, surface) in Surface::WORDS {
        take(&surface.soil());
        take(&tables::friction_pairs(*surface));
        take(&[false, true].map(|wet| Grip::fit(*surface, wet)));
    }
    take(&[
        tables::CRIB_SLENDER,
        tables::WEAKEST_BEARING_PA,
        tables::CRIB_RATING_PA,
        tables::GRADE_SHARE,
        tables::CRACK_SHARE,
        tables::SHORT_LOAD,
        tables::BEARING_SAFETY,
        tables::FIRM_M,
        tables::STRIP_LEAST_M,
        tables::ROOF_DEPTH_M,
        tables::SINK_LIMIT_M,
        tables::STAKE_N,
        tables::STAKE_WEAK_SHARE,
        tables::STAKE_OUT_M,
        tables::ROOF_WEIGHTS,
        tables::BOARD_SPREAD,
        tables::TIMBER_KG_M3,
        tables::STEEL_KG_M3,
        tables::BAG_FACE_KG_M2,
        tables::BAG_FACE_M,
        tables::BAG_SHEAR_SHARE,
        tables::BAG_SHEAR_LEAST_M,
        tables::LIMB_KG,
        tables::LIMB_LEAST_SHARE,
        tables::Y_LEG_CONDUCTANCE,
        tables::SNUG_M,
        tables::DRIVEN_M,
        tables::SHIM_IN_M,
        tables::SHIM_LENGTH_M,
        tables::SHIM_PAIR_M,
        tables::POST_END_M,
        tables::RIDE_HZ,
        tables::UNSPRUNG_SHARE,
        tables::BUMP_M,
        tables::RUBBER_LEAST,
        tables::FREE_STROKE_SHARE,
        tables::AIR_REFERENCE_KG_M3,
        tables::AIR_RT_J_KG,
        tables::VALVE_B,
        DEAD_VOLUME_M3,
    ]);
    take(&[1e5, 1e6, 1e7, 3e7].map(tables::air_compressibility));
}

fn read(lift: &str) -> Result<Scene, Vec<Problem>> {
    let doc = scene::tree_of_text(&lift.replace("VEHICLE", VEHICLE))?;
    scene::scene_from_tree(&doc)
}

fn play_it(scene: Scene) -> Debrief {
    let options = PlayOptions { at_most_s: AT_MOST_S, ..PlayOptions::default() };
    Debrief::new(play(Arc::new(scene), &options, &mut |_, _| ()), UnitSystem::Si, 0.0)
}

/// What comes of a short lift, read, on paper and played.
fn outcome(lift: &str, take: &mut dyn FnMut(&dyn Debug)) {
    let Ok(scene) = read(lift) else {
        // A build that refuses this scene differs from all that play it; the tests below
        // see to it that none is shipped.
        return take(&"refused");
    };
    take(&scene);
    take(&margins(&scene));
    let end = play_it(scene);
    take(&(
        end.outcome,
        &end.findings,
        &end.records,
        &end.gaps,
        &end.peaks,
        &end.nearest_approaches,
        end.state_hash,
    ));
    let history = &end.history;
    take(&(history.first(), history.get(history.len() / 2), history.last()));
}

/// The least margins on paper, in the order of [`Cause::WORDS`].
pub fn margins(scene: &Scene) -> Vec<Option<f64>> {
    let sheet = Sheet::new(scene, UnitSystem::Si);
    Cause::WORDS.iter().map(|(_, cause)| sheet.margin(*cause)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Order;
    use crate::snapshot::{Part, PartKind, Snapshot, Told};
    use std::collections::BTreeSet;

    type Taken<'a> = &'a mut dyn FnMut(&dyn Debug);

    fn texts(of: &dyn Fn(Taken<'_>)) -> Vec<String> {
        let mut texts = Vec::new();
        of(&mut |value| texts.push(format!("{value:?}")));
        texts
    }

    /// A value that is not taken up would be changed unseen.
    #[test]
    fn every_value_of_the_tables_is_taken_up() {
        let here = include_str!("identity.rs");
        let consts = include_str!("../tables.rs").lines().filter_map(|line| {
            line.strip_prefix("pub const ").and_then(|rest| rest.split(':').next())
        });
        let missing: Vec<&str> =
            consts.filter(|name| !here.contains(&format!("tables::{name}"))).collect();
        assert!(missing.is_empty(), "add to `settings_and_tables`: {missing:?}");
    }

    /// Otherwise every sweep would have to be played from its beginning each time.
    #[test]
    fn the_same_build_has_the_same_number() {
        for lift in SHORT_LIFTS {
            let told = || texts(&|take| outcome(lift, take));
            assert_eq!(told(), told());
        }
        assert_eq!(texts(&settings_and_tables), texts(&settings_and_tables));
        assert_ne!(of_physics(), 0);
    }

    fn debrief(lift: &str) -> Debrief {
        play_it(read(lift).unwrap_or_else(|why| panic!("{}", why[0])))
    }

    fn hold_touched(lift: &str, touched: &[(&str, f64)]) {
        for (what, value) in touched {
            assert!(*value > 0.0, "{lift}: {what}: {value}");
        }
    }

    /// The most that a moment's figure came to.
    fn most(of: &Debrief, figure: impl Fn(&Snapshot) -> f64) -> f64 {
        of.history.iter().map(figure).fold(f64::MIN, f64::max)
    }

    /// A number that the short lifts never touch would be missed.
    #[test]
    fn the_short_lift_by_a_beam_touches_what_it_is_to() {
        let [lift, _] = SHORT_LIFTS;
        let of = debrief(lift);
        assert!(margins(&of.scene).iter().flatten().count() > 5);
        let peaks = &of.peaks;
        hold_touched(
            "beam",
            &[
                ("rise past 20 mm", peaks.rise_m - 0.02),
                ("bag", peaks.bag_gauge_pa.most),
                ("stack", peaks.stack_load_n.most),
                ("beam", peaks.beam_moment_nm.most),
                ("crossing", peaks.crossing_pa.most),
                ("soil", peaks.sunk_m),
                ("limb", of.gaps[0].max_load_n),
                ("capture", most(&of, |now| now.captures[0].load_n)),
                ("capture under the beam", most(&of, |now| now.captures[1].load_n)),
                ("step chock", most(&of, |now| now.step_chocks[0].load_n)),
                ("strap", most(&of, |now| now.straps[0].tension_n)),
                ("fault", of.struck.len() as f64),
            ],
        );
    }

    /// The same of what the first leaves out, and an order of each kind, which is done.
    #[test]
    fn the_short_lift_on_wheels_touches_what_it_is_to() {
        let [_, lift] = SHORT_LIFTS;
        let of = debrief(lift);
        let scene = &of.scene;
        let [lower, upper, rear] = [0, 1, 2];
        let bag = |bag: usize| most(&of, |now| now.bags[bag].load_n);
        let is_wheel = |on: &Part| matches!(on.kind, PartKind::Wheel(_));
        hold_touched(
            "wheels",
            &[
                ("wheels", of.parts.iter().filter(|part| is_wheel(part)).count() as f64),
                ("Y", scene.air.outlets.iter().filter(|o| o.bags().count() > 1).count() as f64),
                ("bag under a wedge", bag(rear)),
                ("lower bag", bag(lower)),
                ("air of the upper bag", most(&of, |now| now.bags[upper].gauge_pa)),
                ("strut", most(&of, |now| now.struts[0].axial_n)),
                ("finding", of.findings.len() as f64),
                ("wedge", scene.wedges.len() as f64),
                ("capture", most(&of, |now| now.captures[0].load_n)),
                ("fault", of.struck.len() as f64),
            ],
        );
        let mut kinds = BTreeSet::new();
        for record in &of.records {
            assert!(record.refused.is_none(), "{record:?}");
            if let Told::Order(order) = &record.told {
                kinds.insert(kind(order));
            }
        }
        assert_eq!(kinds.len(), KINDS, "an order of each kind: {kinds:?}");
    }

    /// How many kinds of orders [`kind`] knows.
    const KINDS: usize = 9;

    /// A new kind does not compile until it is counted here.
    fn kind(order: &Order) -> &'static str {
        match order {
            Order::Raise { .. } => "raise",
            Order::Lower { .. } => "lower",
            Order::Stop { .. } => "stop",
            Order::LockOut { .. } => "lock_out",
            Order::Unlock { .. } => "unlock",
            Order::MoveHose { .. } => "move_hose",
            Order::Capture { .. } => "capture",
            Order::SetChocks { .. } => "set_chocks",
            Order::Wait { .. } => "wait",
        }
    }
}
