//! Lift methods side by side.

use super::written::written;
use super::{Figure, Row, Sheet, Verdict};
use crate::caution::CAUTION;
use crate::scene::{Limb, RestsOn};
use crate::statics::gap;
use crate::statics::job::{Job, WorkPace};
use crate::statics::plan::LiftPlan;
use crate::statics::take::{KitCount, taken};
use crate::statics::vehicle::State;
use std::fmt::Write;

/// Several sheets and one table over them.
pub struct Comparison<'a> {
    pub sheets: Vec<Sheet<'a>>,
    /// What is compared, with one cell a sheet.
    pub lines: Vec<(&'static str, Vec<String>)>,
}

fn gains(sheet: &Sheet<'_>) -> String {
    let u = sheet.units;
    let Some((plan, lift)) = sheet.plan.as_ref().and_then(|p| Some((p, p.lift.as_ref()?))) else {
        return "no lift".into();
    };
    let one = |(i, limb): (usize, &Limb)| {
        let at = |state: &State| gap::gap_m(&plan.scene, state.side_pose, state.roll, i);
        match (at(&plan.start), at(&lift.end())) {
            (Some(from), Some(to)) => {
                format!(
                    "{} {}, needs {}",
                    limb.name,
                    u.gap(to - from),
                    u.gap(limb.gap_needed_m - from)
                )
            }
            _ => format!("{} free", limb.name),
        }
    };
    plan.scene.limbs.iter().enumerate().map(one).collect::<Vec<_>>().join("; ")
}

/// A time of the job, at the middle of what its tasks take.
fn minutes(sheet: &Sheet<'_>, of: impl Fn(&Job) -> Option<f64>) -> String {
    let s = sheet.job.as_ref().and_then(of);
    s.map_or("not worked out".to_owned(), |s| Figure::Work(s).show(sheet.units))
}

/// Puts sheets side by side.
pub fn compare(sheets: Vec<Sheet<'_>>) -> Comparison<'_> {
    let cells = |of: &dyn Fn(&Sheet<'_>) -> String| sheets.iter().map(of).collect::<Vec<_>>();
    let lift = |s: &Sheet<'_>, show: &dyn Fn(&Sheet<'_>, &LiftPlan) -> String| {
        s.plan.as_ref().and_then(|p| p.lift.as_ref()).map_or("no lift".to_owned(), |l| show(s, l))
    };
    let margin = |row: &Row| row.say_margin().unwrap_or("none".into());
    let lines = vec![
        (
            "lifts by",
            cells(&|s| {
                lift(s, &|s, l| {
                    let how = if l.by_beam {
                        "a beam through the openings".to_owned()
                    } else if s.scene.lies != RestsOn::Roof {
                        let side = if s.scene.lies == RestsOn::Wheels {
                            "the sill"
                        } else {
                            "the roof rail"
                        };
                        format!("bags under {side}")
                    } else {
                        let panel = l.points.first().and_then(|p| p.panel);
                        let face =
                            panel.map_or("the body", |i| s.scene.vehicle.panels[i].name.as_str());
                        format!("bags under {face}")
                    };
                    let wedge = if l.points.iter().any(|p| p.wedged) {
                        ", wedged"
                    } else if l.points.iter().any(|p| p.seat.is_some()) {
                        ", on a wedge"
                    } else {
                        ""
                    };
                    format!("{how}{wedge}")
                })
            }),
        ),
        ("rise at the lift", cells(&|s| lift(s, &|s, l| s.units.gap(l.rise_m)))),
        ("gap gained", cells(&gains)),
        (
            "lift force at the start",
            cells(&|s| lift(s, &|s, l| s.units.load(l.at(l.off_m).lift_n))),
        ),
        (
            "height lost",
            cells(&|s| {
                lift(s, &|s, l| {
                    let swell = l.points.iter().map(|p| l.column(p, l.rise_m).swell_m);
                    s.units.gap(swell.fold(0.0, f64::max) - l.rise_m)
                })
            }),
        ),
        ("free air", cells(&|s| lift(s, &|s, l| s.units.free_air(l.air_used_m3())))),
        ("rows that hold", cells(&|s| s.count(Verdict::Holds).to_string())),
        ("rows that are close", cells(&|s| s.count(Verdict::Close).to_string())),
        ("rows that fail", cells(&|s| s.count(Verdict::Fails).to_string())),
        ("weakest row", cells(&|s| s.weakest().map_or("none".into(), Row::what))),
        ("its margin", cells(&|s| s.weakest().map_or("none".into(), margin))),
        (
            "pieces to place",
            cells(&|s| {
                taken(s.scene, s.plan.as_ref()).iter().map(|t| t.count).sum::<usize>().to_string()
            }),
        ),
        (
            "the truck is short of",
            cells(&|s| match s.kit.as_ref().map(KitCount::short) {
                None => "no kit named".to_owned(),
                Some(short) => format!("{short} kinds"),
            }),
        ),
        ("ready to lift after", cells(&|s| minutes(s, |job| Some(job.ready_s(WorkPace::Usual))))),
        ("every gap reached after", cells(&|s| minutes(s, |job| job.reached_s(WorkPace::Usual)))),
        ("casualty out after", cells(&|s| minutes(s, |job| job.out_s(WorkPace::Usual)))),
        ("people", cells(&|s| s.scene.crew.people.to_string())),
        ("orders to give", cells(&|s| s.scene.orders.len().to_string())),
    ];
    Comparison { sheets, lines }
}

impl Comparison<'_> {
    /// The table as text: one block a method, so that it fits any terminal.
    pub fn text(&self) -> String {
        written(|out| self.write_text(out))
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "Lift methods side by side")?;
        for (column, sheet) in self.sheets.iter().enumerate() {
            writeln!(out, "\n{}. {}", column + 1, sheet.scene.name)?;
            for (what, cells) in &self.lines {
                writeln!(out, "  {what:<30} {}", cells[column])?;
            }
        }
        writeln!(out, "\n{CAUTION}")
    }
}
