//! What a failure did: how far the load came down over the casualty, how fast, onto what,
//! what it did to each limb, and what the crew went on with.

use super::limb_words::say_limb;
use crate::scene::{Order, Scene};
use crate::snapshot::{
    Bearing, Finding, LimbRecord, LimbTrace, OrderRecord, Part, Snapshot, Support, Told, bearings,
};
use crate::units::UnitSystem;

/// A way down that is worth a word, m; less than a crew sees by eye (assumed).
const SEEN_M: f64 = 0.01;
/// A load that comes down no faster than this sinks slowly, m/s (assumed).
const SLOW_M_S: f64 = 0.01;
/// A limb bore more than before the lift where its load came to so much of that (assumed).
const MORE: f64 = 1.1;
/// The load came down onto what bears by so much of the vehicle's weight more than before
/// (assumed).
const LANDED_SHARE: f64 = 0.05;
/// The most supports that are told; the rest bears less than any of them.
const MOST_TOLD: usize = 4;

/// A lift as it was seen, as far as harm is read off it.
pub struct LiftSeen<'a> {
    pub scene: &'a Scene,
    pub parts: &'a [Part],
    pub findings: &'a [Finding],
    /// In turn of time.
    pub history: &'a [&'a Snapshot],
    pub records: &'a [OrderRecord],
    pub traces: &'a [LimbTrace],
}

/// What came of it, from the moment when the first finding began.
#[derive(Clone, Debug, PartialEq)]
pub struct Harm {
    /// How far the vehicle came down from where it stood highest, m, and how fast at most, m/s:
    /// over the limb where that is most.
    pub down_m: f64,
    pub fastest_m_s: f64,
    /// The name of that limb.
    pub over: String,
    /// What bears more than when it began, the largest increase first; limbs last. Where the
    /// vehicle came down, that is what it came down onto.
    pub onto: Vec<Landing>,
    /// In the scene's order.
    pub limbs: Vec<LimbRecord>,
    /// None where nothing was played.
    pub crew: Option<CrewAfter>,
}

/// Something that the load came down onto.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// "ground", "capture left rail", "limb forearm".
    pub what: String,
    /// Whether it is a limb.
    pub limb: bool,
    /// What it bore when it began, and the most from then on, N.
    pub before_n: f64,
    pub most_n: f64,
}

/// What the crew did after the first finding.
#[derive(Clone, Debug, PartialEq)]
pub enum CrewAfter {
    /// The officer called stop, at so many s.
    Stopped { at_s: f64 },
    /// Nobody called stop: what it had been told last by then, and the orders after it, s.
    WentOn { told: Option<Order>, orders: Vec<(f64, Order)> },
}

/// What became of each limb over a lift, in the scene's order.
pub(super) fn limb_records(
    scene: &Scene,
    findings: &[Finding],
    traces: &[LimbTrace],
) -> Vec<LimbRecord> {
    let from_s = findings.first().map_or(0.0, |first| first.began_s);
    let limbs = scene.limbs.iter().zip(traces);
    limbs.map(|(limb, trace)| LimbRecord::new(limb, trace, from_s)).collect()
}

impl Harm {
    /// None where nothing went wrong.
    pub fn new(seen: &LiftSeen<'_>) -> Option<Self> {
        let began_s = seen.findings.first()?.began_s;
        let limbs = limb_records(seen.scene, seen.findings, seen.traces);
        let most = limbs.iter().max_by(|a, b| a.down_m.total_cmp(&b.down_m));
        let (over, down_m, fastest_m_s) = most
            .map_or_else(Default::default, |most| (most.at.clone(), most.down_m, most.fastest_m_s));
        let mut onto = landings(seen, began_s);
        let landed = |limb: &&LimbRecord| limb.struck.is_some() || bore_more(limb);
        onto.extend(limbs.iter().filter(landed).map(|limb| Landing {
            what: limb.at.clone(),
            limb: true,
            before_n: limb.start_load_n,
            most_n: limb.max_load_n,
        }));
        Some(Self { down_m, fastest_m_s, over, onto, limbs, crew: crew_after(seen) })
    }

    /// In sentences: what came down, each limb to which something happened, the crew.
    pub fn lines(&self, scene: &Scene, units: UnitSystem) -> Vec<String> {
        // That nothing came down is no comfort where the vehicle slid over a limb.
        let slid = self.down_m < SEEN_M && self.limbs.iter().any(LimbRecord::is_dragged);
        let mut lines = if slid { Vec::new() } else { vec![self.say_fall(units)] };
        lines.extend(
            self.limbs
                .iter()
                .filter_map(|limb| say_limb(limb, bore_more(limb), limb.down_m >= SEEN_M, units)),
        );
        lines.extend(self.crew.as_ref().map(|crew| crew.say(scene, units)));
        lines
    }

    fn say_fall(&self, units: UnitSystem) -> String {
        if self.down_m < SEEN_M {
            return "Over the casualty the vehicle did not come down.".to_owned();
        }
        let speed = match self.fastest_m_s < SLOW_M_S {
            true => format!("slowly, at less than {}", units.speed(SLOW_M_S)),
            false => format!("at up to {}", units.speed(self.fastest_m_s)),
        };
        let fall = format!(
            "Over the {} the vehicle came down {}, {speed}.",
            self.over,
            units.gap(self.down_m)
        );
        let what = |landing: &Landing| match landing.limb {
            true => format!("the {}", landing.what),
            false => format!(
                "the {}, which bore {} in place of {}",
                landing.what,
                units.load(landing.most_n),
                units.load(landing.before_n)
            ),
        };
        let onto: Vec<String> = self.onto.iter().map(what).collect();
        if onto.is_empty() {
            fall
        } else {
            format!("{fall} It came down onto {}.", onto.join("; "))
        }
    }
}

impl CrewAfter {
    /// In words.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        match self {
            Self::Stopped { at_s } => format!(
                "The officer called stop at {at_s:.1} s: every valve was shut, and no further \
                 order was carried out."
            ),
            Self::WentOn { told, orders } => {
                let told = told.as_ref().map_or_else(String::new, |order| {
                    format!(" It had been told: {}.", order.say(scene, units))
                });
                let then = match orders.as_slice() {
                    [] => "no order was left".to_owned(),
                    [(t_s, only)] => {
                        format!("one more order came, at {t_s:.1} s: {}", only.say(scene, units))
                    }
                    [(t_s, first), .., (last_s, last)] => format!(
                        "{} more orders came, from {t_s:.1} s, {}, to {last_s:.1} s, {}",
                        orders.len(),
                        first.say(scene, units),
                        last.say(scene, units)
                    ),
                };
                format!(
                    "Nobody called stop and no valve was shut for it: the crew carried on.{told} \
                     After that {then}."
                )
            }
        }
    }
}

/// The limb bore more than before the lift.
fn bore_more(limb: &LimbRecord) -> bool {
    limb.max_load_n > MORE * limb.start_load_n
}

/// What bears more of the vehicle than when it began, limbs apart. The ground is one.
fn landings(seen: &LiftSeen<'_>, began_s: f64) -> Vec<Landing> {
    let LiftSeen { scene, parts, history, .. } = *seen;
    let later = history.partition_point(|row| row.t_s <= began_s).saturating_sub(1);
    let [first, rest @ ..] = &history[later..] else { return Vec::new() };
    let names: Vec<Option<String>> =
        Support::all(scene).into_iter().map(|support| name(support, scene)).collect();
    let bear = |row: &Snapshot| -> Vec<(String, f64)> {
        let mut sums: Vec<(String, f64)> = Vec::new();
        for (name, Bearing { up_n, .. }) in names.iter().zip(bearings(scene, parts, row)) {
            let Some(name) = name else { continue };
            match sums.last_mut().filter(|(last, _)| last == name) {
                Some((_, sum)) => *sum += up_n,
                None => sums.push((name.clone(), up_n)),
            }
        }
        sums
    };
    let mut onto: Vec<Landing> = bear(first)
        .into_iter()
        .map(|(what, n)| Landing { what, limb: false, before_n: n, most_n: n })
        .collect();
    for row in rest {
        for (landing, (_, n)) in onto.iter_mut().zip(bear(row)) {
            landing.most_n = landing.most_n.max(n);
        }
    }
    let more_n = |landing: &Landing| landing.most_n - landing.before_n;
    onto.retain(|landing| more_n(landing) > LANDED_SHARE * first.vehicle.weight_n);
    onto.sort_by(|a, b| more_n(b).total_cmp(&more_n(a)));
    onto.truncate(MOST_TOLD);
    onto
}

/// What a support is called here; none for a limb, which has a record of its own.
fn name(support: Support, scene: &Scene) -> Option<String> {
    match support {
        Support::Limb(_) => None,
        Support::Ground { .. } => Some("ground".to_owned()),
        // A bag that is called "bag" is no "bag bag".
        other => Some(match other.name(scene).split_once(' ') {
            Some((kind, own)) if kind == own => own.to_owned(),
            _ => other.name(scene),
        }),
    }
}

/// What the crew did once the first thing had gone wrong.
fn crew_after(seen: &LiftSeen<'_>) -> Option<CrewAfter> {
    if seen.history.len() < 2 {
        return None;
    }
    let wrong_s = seen.findings.iter().map(|finding| finding.t_s).reduce(f64::min)?;
    let stop = seen.records.iter().find(|record| record.told == Told::OfficerStop);
    if let Some(stop) = stop {
        return Some(CrewAfter::Stopped { at_s: stop.t_s });
    }
    let carried_out = seen.records.iter().filter(|record| record.refused.is_none());
    let orders = carried_out.filter_map(|record| match &record.told {
        Told::Order(order) => Some((record.t_s, order.clone())),
        Told::OfficerStop => None,
    });
    let (before, after): (Vec<_>, Vec<_>) = orders.partition(|(t_s, _)| *t_s <= wrong_s);
    Some(CrewAfter::WentOn { told: before.last().map(|(_, order)| order.clone()), orders: after })
}
