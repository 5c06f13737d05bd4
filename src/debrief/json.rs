//! The debrief for programs.

use super::json_limbs::{GapRow, HarmRow};
use super::lesson::name;
use super::report::Debrief;
use crate::caution::CAUTION;
use crate::practice::Freed;
use crate::scene::Order;
use crate::snapshot::{Bearing, Reading, Snapshot, Support, bearings};
use crate::units::UnitSystem;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Report<'a> {
    scene: &'a str,
    caution: &'a str,
    /// Why the lift cannot begin like this, or null: nothing was played then.
    impossible: Option<String>,
    before: BeforeJson,
    outcome: &'a str,
    cause: Option<&'a str>,
    expected: Expected<'a>,
    lesson: LessonJson<'a>,
    findings: Vec<Found<'a>>,
    /// What the failure did, or null: nothing went wrong.
    harm: Option<HarmRow>,
    /// What to try next, a line each.
    next: Vec<String>,
    /// How it was done, whatever the outcome; null where nothing was played.
    practice: Option<PracticeJson<'a>>,
    gaps: Vec<GapRow<'a>>,
    /// The most that each reached at any moment, and what of it was held for half a second.
    peaks: BTreeMap<&'a str, Option<f64>>,
    held: BTreeMap<&'a str, f64>,
    supports: Vec<SupportRow>,
    balance: Option<BalanceRow>,
    reach: Vec<ReachRow<'a>>,
    orders: Vec<RecordRow>,
    faults: Vec<FaultRow>,
    paper: Vec<PaperRow>,
    /// Only where the lift was cut off.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_off: Option<CutOffRow>,
    sim_s: f64,
    wall_s: f64,
    state_hash: String,
}

/// What a support pushed the vehicle up with, square to the ground, over the history's rows.
#[derive(Serialize)]
struct SupportRow {
    support: String,
    start_n: f64,
    end_n: f64,
    max_n: f64,
    /// The middle of its push along X and Z; null where it bears nothing.
    start_at_m: Option<[f64; 2]>,
    end_at_m: Option<[f64; 2]>,
}

/// How far the supports' sum was from weight and inertia at worst, as a share of the weight.
#[derive(Serialize)]
struct BalanceRow {
    weight_n: f64,
    worst_share: f64,
    at_s: f64,
}

/// What the vehicle did before the lift began.
#[derive(Serialize)]
struct BeforeJson {
    slide_m: f64,
    roll_deg: f64,
    pitch_deg: f64,
    /// It found its seat and did not go on from there.
    still: bool,
}

/// Where the lift stood when its time was up.
#[derive(Serialize)]
struct CutOffRow {
    at_s: f64,
    /// The order that was being carried out.
    in_hand: Option<String>,
    not_given: Vec<String>,
}

#[derive(Serialize)]
struct Expected<'a> {
    outcome: &'a str,
    cause: Option<&'a str>,
    met: bool,
}

#[derive(Serialize)]
struct LessonJson<'a> {
    teaches: &'a str,
    /// The text shown after the lift, with this lift's numbers.
    after: String,
    decides: Option<Deciding>,
    near: bool,
    /// File name of the scene that differs in one choice.
    twin: Option<&'a str>,
}

/// The number that decides and its limit, SI.
#[derive(Serialize)]
struct Deciding {
    what: String,
    value: f64,
    limit: Option<f64>,
}

/// How near a failure came at a part, SI.
#[derive(Serialize)]
struct ReachRow<'a> {
    kind: &'a str,
    part: &'a str,
    value: f64,
    limit: f64,
}

#[derive(Serialize)]
struct Found<'a> {
    t_s: f64,
    began_s: f64,
    kind: &'a str,
    part: &'a str,
    text: String,
    values: BTreeMap<&'a str, f64>,
    /// Index of the finding it follows from.
    follows: Option<usize>,
}

/// What the rules of practice say.
#[derive(Serialize)]
struct PracticeJson<'a> {
    /// How the casualty lies at the end: of several people the one who lies worst.
    casualty: Option<&'a str>,
    people: Vec<PersonRow<'a>>,
    points: Vec<PointRow<'a>>,
}

/// How one person lies at the end, all limbs together.
#[derive(Serialize)]
struct PersonRow<'a> {
    name: &'a str,
    limbs: Vec<&'a str>,
    state: &'a str,
    note: &'a str,
}

/// A point of practice; figure and limit in `unit`.
#[derive(Serialize)]
struct PointRow<'a> {
    t_s: f64,
    rule: &'a str,
    part: &'a str,
    place_m: [f64; 3],
    /// Null where there is nothing to measure.
    figure: Option<f64>,
    limit: f64,
    unit: &'a str,
    text: String,
    source: &'a str,
}

/// A figure of the sheet beside the played one, both SI in `unit`.
#[derive(Serialize)]
struct PaperRow {
    what: String,
    unit: &'static str,
    predicted: f64,
    simulated: Option<f64>,
    /// Share of the predicted one.
    difference: Option<f64>,
}

#[derive(Serialize)]
struct RecordRow {
    t_s: f64,
    order: String,
    refused: Option<String>,
    left_open: Vec<String>,
}

/// A fault that struck.
#[derive(Serialize)]
struct FaultRow {
    t_s: f64,
    text: String,
}

impl Debrief {
    /// The report as JSON; numbers in SI with their unit in the name.
    ///
    /// # Errors
    /// A number that JSON cannot hold, after a run that broke.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let p = &self.peaks;
        let loads = [
            ("bag_gauge_pa", &p.bag_gauge_pa),
            ("bag_load_n", &p.bag_load_n),
            ("stack_load_n", &p.stack_load_n),
            ("beam_moment_nm", &p.beam_moment_nm),
            ("beam_design_share", &p.beam_design_share),
            ("crossing_pa", &p.crossing_pa),
        ];
        let report = Report {
            scene: &self.scene.name,
            caution: CAUTION,
            impossible: self.impossible.as_ref().map(|jam| jam.say(UnitSystem::Si)),
            before: self.before_row(),
            outcome: self.outcome.word(),
            cause: self.cause.map(|c| c.word()),
            expected: Expected {
                outcome: self.scene.expect.outcome.word(),
                cause: self.scene.expect.cause.map(|c| c.word()),
                met: self.as_expected(),
            },
            lesson: self.lesson_row(),
            findings: self.finding_rows(),
            harm: self.harm().map(|harm| self.harm_row(harm)),
            next: self.tips(UnitSystem::Si),
            practice: self.practice_row(),
            gaps: self.gap_rows(),
            peaks: [
                ("roll_deg", p.roll_rad.to_degrees()),
                ("slide_m", p.slide_m),
                ("rise_m", p.rise_m),
                ("bag_height_m", p.bag_height_m),
                ("stack_lean_m", p.stack_lean_m),
                ("beam_sag_m", p.beam_sag_m),
                ("sunk_m", p.sunk_m),
            ]
            .into_iter()
            .chain(loads.map(|(name, peak)| (name, peak.most)))
            .map(|(name, value)| (name, Some(value)))
            .chain([("least_thrust_margin_m", p.least_thrust_margin_m)])
            .collect(),
            held: loads.into_iter().map(|(name, peak)| (name, peak.held)).collect(),
            supports: self.support_rows(),
            balance: self.balance_row(),
            reach: self.reach_rows(),
            orders: self.order_rows(),
            faults: self.fault_rows(),
            paper: self.paper_rows(),
            cut_off: self.cut_off_row(),
            sim_s: self.sim_s,
            wall_s: self.wall_s,
            state_hash: format!("{:016x}", self.state_hash),
        };
        serde_json::to_string_pretty(&report)
    }

    fn before_row(&self) -> BeforeJson {
        BeforeJson {
            slide_m: self.settling.slide_m,
            roll_deg: self.settling.roll_rad.to_degrees(),
            pitch_deg: self.settling.pitch_rad.to_degrees(),
            still: self.settling.is_still(&self.scene),
        }
    }

    fn lesson_row(&self) -> LessonJson<'_> {
        self.readings(|r| LessonJson {
            teaches: &self.scene.teaches,
            after: r.after(),
            decides: self.scene.lesson.decides.as_ref().and_then(|measure| {
                let Reading { value, limit, .. } = r.read(measure)?;
                Some(Deciding { what: name(measure), value, limit })
            }),
            near: self.scene.lesson.near,
            twin: self.scene.lesson.twin.as_deref(),
        })
    }

    fn finding_rows(&self) -> Vec<Found<'_>> {
        let rows = self.findings.iter().map(|finding| Found {
            t_s: finding.t_s,
            began_s: finding.began_s,
            kind: finding.cause().word(),
            part: &finding.part,
            text: finding.say(&self.scene, UnitSystem::Si),
            values: finding.measured.values().into_iter().collect(),
            follows: finding.follows,
        });
        rows.collect()
    }

    fn practice_row(&self) -> Option<PracticeJson<'_>> {
        let practice = self.practice.as_ref()?;
        let points = practice.points.iter().map(|point| PointRow {
            t_s: point.t_s,
            rule: point.rule.word,
            part: &point.part,
            place_m: point.place,
            figure: point.figure,
            limit: point.limit,
            unit: point.rule.unit.si(),
            text: point.say(&self.scene, UnitSystem::Si),
            source: point.rule.source,
        });
        let people = practice.people.iter().map(|person| PersonRow {
            name: &person.name,
            limbs: person.limbs.iter().map(|&i| self.scene.limbs[i].name.as_str()).collect(),
            state: person.freed.word(),
            note: person.note,
        });
        Some(PracticeJson {
            casualty: practice.casualty().map(Freed::word),
            people: people.collect(),
            points: points.collect(),
        })
    }

    fn support_rows(&self) -> Vec<SupportRow> {
        let rows: Vec<Vec<Bearing>> =
            self.history.iter().map(|row| bearings(&self.scene, &self.parts, row)).collect();
        let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Vec::new() };
        let supports = Support::all(&self.scene).into_iter().enumerate();
        let row = |(i, support): (usize, Support)| SupportRow {
            support: support.name(&self.scene),
            start_n: first[i].up_n,
            end_n: last[i].up_n,
            max_n: rows.iter().map(|row| row[i].up_n).fold(0.0, f64::max),
            start_at_m: first[i].at,
            end_at_m: last[i].at,
        };
        supports.map(row).collect()
    }

    fn balance_row(&self) -> Option<BalanceRow> {
        let off = |row: &Snapshot| {
            let held: f64 =
                bearings(&self.scene, &self.parts, row).iter().map(|bearing| bearing.up_n).sum();
            ((held - row.vehicle.inertia_n) / row.vehicle.weight_n - 1.0).abs()
        };
        let rows = self.history.iter().map(|row| BalanceRow {
            weight_n: row.vehicle.weight_n,
            worst_share: off(row),
            at_s: row.t_s,
        });
        rows.max_by(|a, b| a.worst_share.total_cmp(&b.worst_share))
    }

    fn reach_rows(&self) -> Vec<ReachRow<'_>> {
        let rows = self.nearest_approaches.iter().map(|nearest| ReachRow {
            kind: nearest.cause.word(),
            part: &nearest.part,
            value: nearest.value,
            limit: nearest.limit,
        });
        rows.collect()
    }

    fn order_rows(&self) -> Vec<RecordRow> {
        let (scene, units) = (&*self.scene, UnitSystem::Si);
        let rows = self.records.iter().map(|record| RecordRow {
            t_s: record.t_s,
            order: record.told.say(scene, units),
            refused: record.refused.as_ref().map(|why| why.say(scene, units)),
            left_open: record.left_open.iter().map(|open| open.say(scene, units)).collect(),
        });
        rows.collect()
    }

    fn fault_rows(&self) -> Vec<FaultRow> {
        let rows = self.struck.iter().map(|(t_s, fault)| FaultRow {
            t_s: *t_s,
            text: fault.say(&self.scene, UnitSystem::Si),
        });
        rows.collect()
    }

    fn paper_rows(&self) -> Vec<PaperRow> {
        let rows = self.beside_paper().into_iter().map(|beside| PaperRow {
            unit: beside.paper.unit(),
            predicted: beside.paper.value(),
            simulated: beside.played.map(|figure| figure.value()),
            difference: beside.difference(),
            what: beside.what,
        });
        rows.collect()
    }

    fn cut_off_row(&self) -> Option<CutOffRow> {
        let cut = self.cut_off.as_ref()?;
        let say = |order: &Order| order.say(&self.scene, UnitSystem::Si);
        Some(CutOffRow {
            at_s: cut.at_s,
            in_hand: cut.in_hand.as_ref().map(say),
            not_given: cut.not_given.iter().map(say).collect(),
        })
    }
}
