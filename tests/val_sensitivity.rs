//! What is assumed is swept, and the outcome of each shipped lift is watched: sheet metal's
//! stiffness and plateau by half and double, the ground's surface dry and wet.
//!
//! The outcomes stand in docs/VERIFICATION.md, "What hangs on what is assumed"; a change
//! here is a change there.

use inchwise::debrief::{Keep, play};
use inchwise::scene::{self, Cause, Outcome};
use inchwise::units::System;
use std::sync::Arc;

fn ends(name: &str, sets: &[&str]) -> (Outcome, Option<Cause>) {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    let Ok(loaded) = scene::load(name, &sets) else { panic!("{name} {sets:?} loads") };
    let debrief = play(Arc::new(loaded.scene), System::Si, Keep::Nothing, &mut |_, _| {});
    (debrief.outcome, debrief.cause)
}

/// Half and double of what is assumed of bonnet edge and deck lid.
const PANELS: [[&str; 2]; 4] = [
    ["vehicle.panels.bonnet edge.plateau=1.6 kN", "vehicle.panels.deck lid.plateau=4.5 kN"],
    ["vehicle.panels.bonnet edge.plateau=6.4 kN", "vehicle.panels.deck lid.plateau=18 kN"],
    ["vehicle.panels.bonnet edge.stiffness=75 N/mm", "vehicle.panels.deck lid.stiffness=60 N/mm"],
    ["vehicle.panels.bonnet edge.stiffness=300 N/mm", "vehicle.panels.deck lid.stiffness=240 N/mm"],
];

#[test]
fn no_outcome_hangs_on_the_sheet_metal() {
    for sets in PANELS {
        assert_eq!(ends("beam-lift", &sets), (Outcome::Lifted, None), "{sets:?}");
        assert_eq!(ends("deck-lid-wedged", &sets), (Outcome::Lifted, None), "{sets:?}");
        let (tall, cause) = ends("deck-lid-tall", &sets);
        assert_eq!(tall, Outcome::Failed, "{sets:?}");
        assert!(matches!(cause, Some(Cause::KickOut | Cause::Topple)), "{sets:?}: {cause:?}");
    }
}

#[test]
fn a_chocked_beam_lift_does_not_hang_on_the_ground() {
    for surface in ["asphalt", "concrete", "gravel", "grass"] {
        // Wet is the worse; dry grass is what it is shipped with.
        let found = ends("beam-lift", &[&format!("ground.surface={surface}"), "ground.wet=true"]);
        assert_eq!(found, (Outcome::Lifted, None), "{surface}");
    }
}
