//! The debrief for a reader.

use super::report::{Debrief, FELL_SHORT, rank};
use crate::caution::CAUTION;
use crate::lift::Peak;
use crate::practice::{NO_POINT, Practice};
use crate::scene::{Expect, Outcome};
use crate::statics::sheet::written;
use crate::units::percent_apart;
use std::fmt::Write;

/// "failed (kick_out)", "lifted".
pub fn expectation(expect: Expect) -> String {
    match expect.cause {
        Some(cause) => format!("{} ({})", expect.outcome.word(), cause.word()),
        None => expect.outcome.word().to_owned(),
    }
}

/// The same in plain words: "failed (something kicks out)".
pub(super) fn say_ending(expect: Expect) -> String {
    match expect.cause {
        Some(cause) => format!("{} ({})", expect.outcome.word(), cause.say().to_lowercase()),
        None => expect.outcome.word().to_owned(),
    }
}

/// A largest value that was held, and the most it reached for a moment where that is more.
fn told(peak: &Peak, say: impl Fn(f64) -> String) -> String {
    let (held, most) = (say(peak.held), say(peak.most));
    if held == most { held } else { format!("{held}, for a moment {most}") }
}

/// Less would be told as 0 mm.
const TOLD_M: f64 = 0.5e-3;

impl Debrief {
    /// The report as text.
    pub fn text(&self) -> String {
        written(|out| self.write_text(out))
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        self.write_verdict(out)?;
        self.write_gaps(out)?;
        self.write_findings(out)?;
        self.write_practice(out)?;
        self.write_lesson(out)?;
        self.write_tips(out)?;
        self.write_faults(out)?;
        self.write_orders(out)?;
        self.write_peaks(out)?;
        self.write_beside_paper(out)?;
        writeln!(
            out,
            "\n{:.1} s simulated in {:.1} s ({:.0} x real time), state {:016x}",
            self.sim_s,
            self.wall_s,
            self.sim_s / self.wall_s.max(1e-9),
            self.state_hash
        )?;
        writeln!(out, "{}\n{CAUTION}", self.scene.data)
    }

    fn write_verdict(&self, out: &mut String) -> std::fmt::Result {
        let verdict = match (self.outcome, self.cause) {
            (Outcome::Lifted, _) => format!("LIFTED in this model: {}", self.lifted_words()),
            (Outcome::Incomplete, _) => format!("INCOMPLETE: {FELL_SHORT}"),
            (Outcome::Failed, cause) => {
                let cause = cause.map(|c| format!(": {} ({})", c.say().to_lowercase(), c.word()));
                format!("FAILED{}", cause.unwrap_or_default())
            }
        };
        writeln!(out, "{}\n{verdict}", self.scene.name)?;
        if let Some(note) = self.cut_off_note() {
            writeln!(out, "{note}")?;
        }
        writeln!(
            out,
            "expected: {}{}",
            say_ending(self.scene.expect),
            if self.as_expected() { "" } else { "  (this run differs)" }
        )?;
        if let Some(casualty) = self.practice.as_ref().and_then(Practice::say_casualty) {
            writeln!(out, "casualty: {casualty}")?;
        }
        if let Some(jam) = &self.impossible {
            writeln!(out, "Nothing was played: {}.", jam.say(self.units))?;
        }
        if self.broken {
            writeln!(
                out,
                "The simulation broke down: a body's state is no longer a number. Trust nothing \
                 below, and please report the scene."
            )?;
        }
        Ok(())
    }

    fn write_gaps(&self, out: &mut String) -> std::fmt::Result {
        let u = self.units;
        writeln!(out, "\nWhat was wanted")?;
        for (i, (g, limb)) in self.gaps.iter().zip(self.limb_records()).enumerate() {
            let state = self.freed(i).map_or(String::new(), |state| format!(", {}", state.word()));
            writeln!(
                out,
                "  {:<14} gap {} -> {} (needs {}): {}{state};  load {} at the start, most {}",
                g.at,
                u.gap(g.start_m),
                Self::end_gap(g, &limb, u),
                u.gap(g.needed_m),
                Self::gap_words(g, &limb).0,
                u.load(g.start_load_n),
                u.load(g.max_load_n),
            )?;
        }
        Ok(())
    }

    fn write_findings(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "\nWhat went wrong")?;
        if self.findings.is_empty() {
            writeln!(out, "  nothing")?;
        }
        for (i, f) in self.findings.iter().enumerate() {
            let rank = rank(i, f);
            writeln!(
                out,
                "  {}. {:>6.1} s  {}: {} [{rank}; began {:.1} s]",
                i + 1,
                f.t_s,
                f.cause().say(),
                f.say(&self.scene, self.units),
                f.began_s
            )?;
        }
        self.harm_lines().iter().try_for_each(|line| writeln!(out, "  {line}"))
    }

    fn write_practice(&self, out: &mut String) -> std::fmt::Result {
        let Some(practice) = &self.practice else { return Ok(()) };
        writeln!(out, "\n{}", practice.heading())?;
        if practice.points.is_empty() {
            writeln!(out, "  {NO_POINT}")?;
        }
        for point in &practice.points {
            writeln!(
                out,
                "  {:>6.1} s  {:<13} {} [{}]",
                point.t_s,
                point.rule.word,
                point.say(&self.scene, self.units),
                point.rule.source
            )?;
        }
        Ok(())
    }

    fn write_lesson(&self, out: &mut String) -> std::fmt::Result {
        let lines = self.lesson_lines();
        if !lines.is_empty() {
            writeln!(out, "\nWhat it shows")?;
        }
        lines.iter().try_for_each(|line| writeln!(out, "  {line}"))
    }

    fn write_tips(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "\nWhat to try next")?;
        self.tips(self.units).iter().try_for_each(|tip| writeln!(out, "  {tip}"))
    }

    fn write_faults(&self, out: &mut String) -> std::fmt::Result {
        if !self.struck.is_empty() {
            writeln!(out, "\nWhat the crew was not told")?;
        }
        for (t_s, fault) in &self.struck {
            writeln!(out, "  {t_s:>6.1} s  {}", fault.say(&self.scene, self.units))?;
        }
        Ok(())
    }

    fn write_orders(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "\nWhat the crew was told")?;
        for record in &self.records {
            let order = record.told.say(&self.scene, self.units);
            write!(out, "  {:>6.1} s  {order}", record.t_s)?;
            if let Some(refused) = &record.refused {
                write!(out, ": NOT DONE, {}", refused.say(&self.scene, self.units))?;
            }
            for open in &record.left_open {
                write!(out, "; {}", open.say(&self.scene, self.units))?;
            }
            writeln!(out)?;
        }
        Ok(())
    }

    fn write_peaks(&self, out: &mut String) -> std::fmt::Result {
        let (u, p) = (self.units, &self.peaks);
        writeln!(out, "\nLargest values")?;
        let before = &self.settling;
        writeln!(
            out,
            "  before the lift: travel over the ground {}, turned {}",
            u.gap(before.slide_m),
            u.angle(before.turned_rad().abs())
        )?;
        writeln!(
            out,
            "  rise {}, roll {}, travel over the ground {}",
            u.gap(p.rise_m),
            u.angle(p.roll_rad),
            u.gap(p.slide_m)
        )?;
        if p.roof_set_m >= TOLD_M {
            writeln!(out, "  a corner of the roof pressed in by {}", u.gap(p.roof_set_m))?;
        }
        write!(
            out,
            "  bag {}, {}, bears {};  stack load {}, lean {}",
            u.gap(p.bag_height_m),
            told(&p.bag_gauge_pa, |pa| u.pressure(pa)),
            told(&p.bag_load_n, |n| u.load(n)),
            told(&p.stack_load_n, |n| u.load(n)),
            u.gap(p.stack_lean_m)
        )?;
        if let Some(least) = p.least_thrust_margin_m {
            write!(out, ", thrust line at least {} inside", u.gap(least))?;
        }
        writeln!(out)?;
        write!(out, "  timbers cross at {}", told(&p.crossing_pa, |pa| u.stress(pa)))?;
        if self.scene.beam.is_some() {
            write!(
                out,
                ";  beam {}, {} of its design values, bends {}",
                told(&p.beam_moment_nm, |nm| u.moment(nm)),
                told(&p.beam_design_share, |share| format!("{:.0} %", 100.0 * share)),
                u.gap(p.beam_sag_m)
            )?;
        }
        if self.scene.ground.soil.is_some() {
            write!(out, ";  a base sank {}", u.gap(p.sunk_m))?;
        }
        writeln!(out)
    }

    fn write_beside_paper(&self, out: &mut String) -> std::fmt::Result {
        let u = self.units;
        let beside = self.beside_paper();
        if !beside.is_empty() {
            writeln!(out, "\nOn paper beside played{:>37} {:>16}", "paper", "played")?;
        }
        for b in &beside {
            let played = b.played.map_or("not reached".to_owned(), |f| f.show(u));
            let difference = b.difference().map_or(String::new(), percent_apart);
            writeln!(out, "  {:<40} {:>16} {played:>16} {difference:>8}", b.what, b.paper.show(u))?;
        }
        Ok(())
    }
}
