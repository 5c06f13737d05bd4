//! One number for all that plays and judges a lift in this build of the program: cells of two
//! builds with different numbers are never put into one table.
//!
//! It is made of every setting of the solver, every value in the tables, and what comes of a
//! short lift that touches most of what there is: a scene that is read, placed, settled,
//! worked out on paper, played and judged. What changes any of their numbers changes it; a
//! change of words may change it too, which costs no more than playing a sweep afresh.

use crate::bag_law::DEAD_VOLUME_M3;
use crate::debrief::{FrameRetention, play};
use crate::digest::Digest;
use crate::scene::{self, Cause, Scene};
use crate::statics::sheet::Sheet;
use crate::tables::{self, Grip, Surface};
use crate::units::UnitSystem;
use crate::world::solver::Settings;
use std::fmt::Debug;
use std::sync::{Arc, OnceLock};

const FINGERPRINT: &str = include_str!("fingerprint.ron");

/// The number of this build, worked out once.
pub fn of_physics() -> u64 {
    static NUMBER: OnceLock<u64> = OnceLock::new();
    *NUMBER.get_or_init(|| {
        let mut digest = Digest::new();
        digest.text(env!("CARGO_PKG_VERSION"));
        settings_and_tables(&mut |value| {
            digest.text(&format!("{value:?}"));
        });
        outcome(&mut |value| {
            digest.text(&format!("{value:?}"));
        });
        digest.number()
    })
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

/// What comes of the short lift, read, on paper and played.
fn outcome(take: &mut dyn FnMut(&dyn Debug)) {
    let Ok(scene) = scene::tree_of_text(FINGERPRINT).and_then(|doc| scene::scene_from_tree(&doc))
    else {
        // A build that refuses this scene differs from all that play it; the tests below
        // see to it that none is shipped.
        return take(&"refused");
    };
    take(&scene);
    take(&margins(&scene));
    let end = play(Arc::new(scene), UnitSystem::Si, FrameRetention::None, &mut |_, _| ());
    take(&(
        end.outcome,
        &end.findings,
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
        assert_eq!(texts(&outcome), texts(&outcome));
        assert_eq!(texts(&settings_and_tables), texts(&settings_and_tables));
        assert_ne!(of_physics(), 0);
    }

    /// A number that the short lift never touches would be missed.
    #[test]
    fn the_short_lift_touches_what_there_is() {
        let doc = scene::tree_of_text(FINGERPRINT).unwrap_or_else(|why| panic!("{}", why[0]));
        let scene = scene::scene_from_tree(&doc).unwrap_or_else(|why| panic!("{}", why[0]));
        assert!(margins(&scene).iter().flatten().count() > 5);
        let debrief = play(Arc::new(scene), UnitSystem::Si, FrameRetention::None, &mut |_, _| ());
        let peaks = &debrief.peaks;
        for (what, value) in [
            ("rise", peaks.rise_m),
            ("bag", peaks.bag_gauge_pa.most),
            ("stack", peaks.stack_load_n.most),
            ("beam", peaks.beam_moment_nm.most),
            ("crossing", peaks.crossing_pa.most),
            ("soil", peaks.sunk_m),
            ("limb", debrief.gaps[0].max_load_n),
        ] {
            assert!(value > 0.0, "{what}: {value}");
        }
        assert!(peaks.rise_m > 0.02, "the load is not lifted: {} m", peaks.rise_m);
        assert!(!debrief.findings.is_empty(), "the watch has nothing to say");
        assert!(
            debrief.sim_s < 10.0,
            "{} s are too long for every start of a sweep",
            debrief.sim_s
        );
    }
}
