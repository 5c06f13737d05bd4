//! The debrief for a reader.

use super::{CAUTION, Debrief, rank};
use crate::scene::{Expect, Outcome};
use crate::units::percent_apart;
use std::fmt::Write;

/// "failed (kick_out)", "lifted".
pub fn expectation(expect: Expect) -> String {
    match expect.cause {
        Some(cause) => format!("{} ({})", expect.outcome.word(), cause.word()),
        None => expect.outcome.word().to_owned(),
    }
}

impl Debrief {
    /// The report as text.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = self.write_text(&mut out);
        out
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        let u = self.units;
        let verdict = match (self.outcome, self.cause) {
            (Outcome::Lifted, _) => "LIFTED: every aim was met and nothing went wrong".to_owned(),
            (Outcome::Incomplete, _) => {
                "INCOMPLETE: nothing went wrong, but an aim was not reached or an order not done"
                    .to_owned()
            }
            (Outcome::Failed, cause) => {
                format!("FAILED: primary cause {}", cause.map_or("", |c| c.word()))
            }
        };
        writeln!(out, "{}\n{verdict}", self.scene.name)?;
        writeln!(
            out,
            "expected: {}{}",
            expectation(self.scene.expect),
            if self.as_expected() { "" } else { "  (this run differs)" }
        )?;
        if let Some(why) = &self.impossible {
            writeln!(out, "CAUTION: {}.", why.in_units(u))?;
        }
        if self.broken {
            writeln!(
                out,
                "The simulation broke down: a body's state is no longer a number. Trust nothing \
                 below, and please report the scene."
            )?;
        }

        writeln!(out, "\nWhat was wanted")?;
        for g in &self.gaps {
            writeln!(
                out,
                "  {:<14} gap {} -> {} (needs {}): {};  load {} at the start, most {}",
                g.at,
                u.gap(g.start_m),
                u.gap(g.end_m),
                u.gap(g.needed_m),
                if g.end_m >= g.needed_m { "freed" } else { "NOT freed" },
                u.force(g.start_load_n),
                u.force(g.max_load_n),
            )?;
        }

        writeln!(out, "\nWhat went wrong")?;
        if self.findings.is_empty() {
            writeln!(out, "  nothing")?;
        }
        for (i, f) in self.findings.iter().enumerate() {
            let rank = rank(i, f);
            writeln!(
                out,
                "  {}. {:>6.1} s  {:<13} {} [{rank}; began {:.1} s]",
                i + 1,
                f.t_s,
                f.cause.word(),
                f.text.in_units(u),
                f.began_s
            )?;
        }

        let lesson = self.readings(|r| r.lines());
        if !lesson.is_empty() {
            writeln!(out, "\nWhat it shows")?;
        }
        for line in lesson {
            writeln!(out, "  {line}")?;
        }

        if !self.struck.is_empty() {
            writeln!(out, "\nWhat the crew was not told")?;
        }
        for (t_s, fault) in &self.struck {
            writeln!(out, "  {t_s:>6.1} s  {}", fault.say(&self.scene, u))?;
        }

        writeln!(out, "\nWhat the crew was told")?;
        for s in &self.said {
            let order = s.order.in_units(u);
            match s.refused.as_ref().map(|why| why.in_units(u)) {
                None => writeln!(out, "  {:>6.1} s  {order}", s.t_s)?,
                Some(why) => writeln!(out, "  {:>6.1} s  {order}: NOT DONE, {why}", s.t_s)?,
            }
        }

        let p = &self.peaks;
        writeln!(out, "\nLargest values")?;
        writeln!(
            out,
            "  rise {}, roll {}, travel over the ground {}",
            u.gap(p.rise_m),
            u.angle(p.roll_rad),
            u.gap(p.slide_m)
        )?;
        write!(
            out,
            "  bag {}, {}, {};  stack load {}, lean {}",
            u.gap(p.bag_height_m),
            u.pressure(p.bag_gauge_pa),
            u.force(p.bag_force_n),
            u.force(p.stack_load_n),
            u.gap(p.stack_lean_m)
        )?;
        if let Some(least) = p.least_thrust_margin_m {
            write!(out, ", thrust line at least {} inside", u.gap(least))?;
        }
        writeln!(out)?;
        write!(out, "  timbers cross at {}", u.stress(p.crossing_pa))?;
        if self.scene.beam.is_some() {
            write!(
                out,
                ";  beam {}, {:.0} % of its design values, bends {}",
                u.moment(p.beam_moment_nm),
                100.0 * p.beam_design_share,
                u.gap(p.beam_sag_m)
            )?;
        }
        if self.scene.ground.soil.is_some() {
            write!(out, ";  a base sank {}", u.gap(p.sunk_m))?;
        }
        writeln!(out)?;
        let beside = self.beside_paper();
        if !beside.is_empty() {
            writeln!(out, "\nOn paper beside played{:>32} {:>11} {:>11}", "paper", "played", "")?;
        }
        for b in &beside {
            let played = b.played.map_or("not reached".to_owned(), |f| f.show(u));
            let difference = b.difference().map_or(String::new(), percent_apart);
            writeln!(
                out,
                "  {:<40} {:>11} {played:>11} {difference:>11}",
                b.what,
                b.paper.show(u)
            )?;
        }
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
}
