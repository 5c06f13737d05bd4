//! One lift being played, tick by tick: the yard, the crew that carries out orders, and the
//! watch.

use crate::scene::{Fault, OnFailure, Order, Scene};
use crate::snapshot::{
    Finding, Jam, Jammed, NearestApproach, OrderRecord, Part, Pose, Settling, Snapshot,
};
use crate::watch::{self, Watch};
use crate::world::{Crew, Physics, TICK_S, Yard};
use std::sync::Arc;

/// Time that a lift goes on after the last order, s, so that what the last order set off still
/// happens.
const AFTER_S: f64 = 4.0;
/// Where the officer calls stop at the first finding, every valve is shut, no further order is
/// carried out, and the lift goes on for this long, s, so that what the failure set off comes to
/// its end: a load that falls is down within one, a stack that leans within a few.
const AFTER_STOP_S: f64 = 6.0;
/// A lift that is let run goes on after its last order until nothing has moved faster than this,
/// m/s, for so long, s, but no longer than [`LONGEST_RUN_S`]: a vehicle that slides down a slope
/// may never come to rest.
const AT_REST_M_S: f64 = 0.01;
const AT_REST_FOR_S: f64 = 2.0;
const LONGEST_RUN_S: f64 = 40.0;
/// The longest that a lift is played, s, unless its options say otherwise.
pub(super) const AT_MOST_S: f64 = 1800.0;

/// Why a lift goes no further.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The script has ended and what it set off has come to an end too.
    Settled,
    /// Its time ran out before that.
    CutOff,
    /// A body's state is not finite.
    Broken,
    /// The start cannot be, or the vehicle does not lie still before anything is lifted.
    NeverBegan,
}

#[derive(Clone)]
pub struct Lift {
    yard: Yard,
    crew: Crew,
    watch: Watch,
    /// Why the lift cannot begin like this.
    impossible: Option<Jam>,
    /// The vehicle lies still, and the start can be.
    begins: bool,
    script: bool,
    at_most_s: f64,
    /// When the script reached its end.
    ended_s: Option<f64>,
    /// The officer ended it.
    stopped: bool,
    on_failure: OnFailure,
    /// When something last moved, s; looked at while a failure is let run.
    moved_s: f64,
}

impl Lift {
    /// Places everything and lets it settle; the first snapshot is at t = 0.
    pub fn new(scene: Arc<Scene>) -> Self {
        Self::on_settled_vehicle(Yard::vehicle_settled(scene.clone()), scene)
    }

    /// As [`Self::new`], with other settings of the solver or other assumed values.
    pub fn with_physics(scene: Arc<Scene>, physics: Physics) -> Self {
        Self::on_settled_vehicle(Yard::vehicle_settled_with(scene.clone(), physics), scene)
    }

    /// As [`Self::new`], on a yard where the scene's vehicle lies at rest already.
    pub fn on_settled_vehicle(laid: Yard, scene: Arc<Scene>) -> Self {
        Self::on_settled_yard(laid.equipment_settled(scene))
    }

    /// As [`Self::new`], on a yard where the scene's set-up lies at rest, too.
    pub fn on_settled_yard(yard: Yard) -> Self {
        let scene = yard.scene.clone();
        let crew = Crew::new(scene.orders.clone());
        let still = yard.settling().is_still(&scene);
        let before = (yard.settling(), yard.placed());
        let watch = Watch::new(&scene, yard.parts(), before, &yard.snapshot);
        let jam = yard
            .misses()
            .or_else(|| watch::jam(&scene, yard.parts(), yard.overlap(), &yard.snapshot));
        // What slides or rolls by then presses on whatever is in its way.
        let impossible = jam.filter(|jam| still || !matches!(jam.how, Jammed::Pressed { .. }));
        Self {
            yard,
            crew,
            watch,
            begins: still && impossible.is_none(),
            impossible,
            script: true,
            at_most_s: AT_MOST_S,
            ended_s: None,
            stopped: false,
            on_failure: scene.on_failure,
            moved_s: 0.0,
        }
    }

    /// The same, cut off after this long, s, in whatever state it is then.
    pub fn for_at_most(self, at_most_s: f64) -> Self {
        Self { at_most_s, ..self }
    }

    /// Why a lift from this start would show nothing: parts overlap or are jammed.
    pub fn impossible(&self) -> Option<&Jam> {
        self.impossible.as_ref()
    }

    /// What the vehicle did before the lift began.
    pub fn settling(&self) -> &Settling {
        self.yard.settling()
    }

    pub fn scene(&self) -> &Arc<Scene> {
        &self.yard.scene
    }

    pub fn parts(&self) -> &[Part] {
        self.yard.parts()
    }

    pub fn snapshot(&self) -> &Snapshot {
        &self.yard.snapshot
    }

    /// One tick of [`crate::world::TICK_S`].
    pub fn tick(&mut self) {
        if self.script {
            self.crew.advance(&mut self.yard);
        }
        if self.crew.done() && self.ended_s.is_none() {
            self.ended_s = Some(self.yard.t_s());
        }
        let before = self.is_let_run().then(|| self.yard.snapshot.poses.clone());
        self.yard.tick();
        self.watch.observe(self.yard.parts(), &self.yard.snapshot);
        if before.is_some_and(|before| moved(&before, &self.yard.snapshot.poses)) {
            self.moved_s = self.yard.t_s();
        }
        let stops = self.on_failure == OnFailure::Stop;
        if self.script && stops && !self.stopped && !self.watch.findings().is_empty() {
            self.stopped = true;
            self.ended_s = Some(self.yard.t_s());
            self.crew.stop(&mut self.yard);
        }
    }

    /// What the officer does once something has gone wrong, from now on.
    pub fn set_on_failure(&mut self, on_failure: OnFailure) {
        self.on_failure = on_failure;
    }

    pub fn on_failure(&self) -> OnFailure {
        self.on_failure
    }

    /// Its orders are done, something has gone wrong, and nobody has called stop.
    fn is_let_run(&self) -> bool {
        self.ended_s.is_some() && !self.stopped && !self.watch.findings().is_empty()
    }

    /// What went wrong has come to its end, or goes on for too long.
    fn has_run_out(&self, ended_s: f64) -> bool {
        let t_s = self.yard.t_s();
        let rests = t_s >= self.moved_s + AT_REST_FOR_S;
        !self.is_let_run() || rests || t_s >= ended_s + LONGEST_RUN_S
    }

    /// Makes a fault happen now, in addition to those that the scene hides.
    pub fn strike(&mut self, fault: &Fault) {
        self.yard.apply_fault(fault);
    }

    /// Faults that have struck so far, and when, s.
    pub fn struck(&self) -> &[(f64, Fault)] {
        self.yard.struck()
    }

    /// The officer has called stop.
    pub fn stopped(&self) -> bool {
        self.stopped
    }

    /// An order by hand, carried out at once (its `until` counts as now).
    pub fn order_by_hand(&mut self, order: &Order) {
        self.crew.order_by_hand(&mut self.yard, order);
    }

    /// Whether the scene's own orders go on by themselves. Switched off in the middle of an
    /// order, that order's valves are shut; switched on again, the order goes on from there.
    pub fn set_script(&mut self, on: bool) {
        if self.script && !on {
            self.crew.pause_script(&mut self.yard);
        }
        self.script = on;
    }

    pub fn script(&self) -> bool {
        self.script
    }

    /// Why it has ended; `None` while it goes on.
    pub fn end(&self) -> Option<End> {
        let t_s = self.yard.t_s();
        let after_s = if self.stopped { AFTER_STOP_S } else { AFTER_S };
        if self.yard.broken() {
            Some(End::Broken)
        } else if !self.begins {
            Some(End::NeverBegan)
        } else if self.ended_s.is_some_and(|s| t_s >= s + after_s && self.has_run_out(s)) {
            Some(End::Settled)
        } else if t_s >= self.at_most_s {
            Some(End::CutOff)
        } else {
            None
        }
    }

    /// It goes no further.
    pub fn done(&self) -> bool {
        self.end().is_some()
    }

    /// The scene's orders that are neither carried out nor refused.
    pub fn remaining(&self) -> &[Order] {
        self.crew.remaining()
    }

    /// The first of [`Self::remaining`] has been begun.
    pub fn is_at_work(&self) -> bool {
        self.crew.is_at_work()
    }

    pub fn findings(&self) -> &[Finding] {
        self.watch.findings()
    }

    /// How near each failure came so far, part by part.
    pub fn nearest_approaches(&self) -> Vec<NearestApproach> {
        self.watch.nearest(self.yard.parts())
    }

    /// What the crew was told so far, in turn.
    pub fn records(&self) -> &[OrderRecord] {
        &self.crew.records
    }

    /// A body's state is not finite: the run cannot be trusted.
    pub fn broken(&self) -> bool {
        self.yard.broken()
    }
}

/// Whether a part moved faster than [`AT_REST_M_S`] from one tick to the next.
fn moved(before: &[Pose], now: &[Pose]) -> bool {
    let way_m = |(a, b): (&Pose, &Pose)| {
        let [x, y, z] = [0, 1, 2].map(|i| b.at()[i] - a.at()[i]);
        x.hypot(y).hypot(z)
    };
    before.iter().zip(now).any(|pair| way_m(pair) > AT_REST_M_S * TICK_S)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{GRAVITY_M_S2, UnitSystem};

    /// A beam of 60 kg that rests says nothing; the same contacts with what a jam gives are
    /// told, with the number, in either system.
    #[test]
    fn a_jam_is_told_and_a_beam_at_rest_is_not() {
        let scene = Arc::new(crate::scene::load("beam-lift", &[]).ok().unwrap().scene);
        let lift = Lift::new(scene.clone());
        assert_eq!(lift.impossible(), None);
        let mut first = lift.snapshot().clone();
        let weight_n = scene.vehicle.mass_kg * GRAVITY_M_S2;
        let beam = lift.parts().iter().position(|p| p.name == "beam").unwrap();
        let on_beam = first.loads.iter_mut().find(|l| l.on == beam || l.by == Some(beam)).unwrap();
        for (weights, told) in [(1.0, false), (3.0, true), (90.0, true)] {
            on_beam.force = [0.0, weights * weight_n, 0.0];
            let mut jammed = lift.snapshot().clone();
            jammed.loads = vec![*on_beam];
            let jam = watch::jam(&scene, lift.parts(), None, &jammed);
            assert_eq!(jam.is_some(), told, "{weights} weights");
            let Some(jam) = jam else { continue };
            assert!(jam.say(UnitSystem::Si).contains("beam"), "{jam:?}");
            assert!(jam.say(UnitSystem::Si).contains(&format!("{weights:.0} times")), "{jam:?}");
            assert!(jam.say(UnitSystem::Us).contains("lbf"), "{jam:?}");
        }
    }
}
