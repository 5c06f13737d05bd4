//! The debrief as one printable page in the sheet's style: what was done, what happened,
//! curves, paper beside play, what decided it, what to try next. Nothing from elsewhere.

use super::plot::{Curve, Plot};
use super::{Debrief, expectation, rank};
use crate::scene::{Cause, Outcome};
use crate::snapshot::Snapshot;
use crate::statics::sheet::{Sheet, Verdict, escape, page};
use crate::units::{Dimension, percent_apart};
use std::fmt::Write;

/// A picture of a moment, as a `data:` address.
pub struct Picture {
    pub t_s: f64,
    pub address: String,
}

/// Pictures of what happened, or why there are none.
pub type Pictures = Result<Vec<Picture>, String>;

/// More curves than this in one plot cannot be told apart.
const MOST_CURVES: usize = 6;
/// A picture belongs to a finding that was made within this time of it, s.
const NEAR_S: f64 = 0.05;

/// What to change first (common practice, no source).
fn advice(cause: Cause) -> &'static str {
    match cause {
        Cause::Slide => {
            "Chock and stake the end that is not lifted, on the downhill side first; choose a \
             place where the vehicle stays pressed to the ground."
        }
        Cause::Roll => {
            "Raise both sides evenly: the same opening, short steps, one hand on each valve; stop \
             and level as soon as one side leads."
        }
        Cause::KickOut => {
            "Square the sloping face with a wedge, or lift where the face is level; lower the \
             stack so that bags swell less."
        }
        Cause::Topple => {
            "Build the stack lower or broader, put its middle under the load, and keep the load's \
             line inside every layer."
        }
        Cause::Drop => "Capture every few centimetres, so that nothing can fall further than that.",
        Cause::CasualtyLoad => {
            "Fill the void beside the trapped limb before the lift, near the place about which \
             the vehicle turns."
        }
        Cause::BagOverload => {
            "Use a larger bag or two in a stack, and pack closer so that each swells less: a bag \
             loses force as it rises."
        }
        Cause::Sink => {
            "Put a sole plate under the base, larger and stiffer on softer ground, or build where \
             the ground is firm."
        }
        Cause::Crush => {
            "Use sound, dry timber, and more crossings: three timbers a layer carry on nine where \
             two carry on four."
        }
        Cause::Beam => {
            "Bring the stacks in close to the vehicle, and use a deeper, dry beam without cracks \
             or large knots."
        }
    }
}

impl Debrief {
    /// The page.
    pub fn html(&self, pictures: &Pictures) -> String {
        let mut body = String::new();
        // Writing to a String cannot fail.
        let _ = self.write_body(&mut body, pictures);
        let end = format!(
            "<p>{}</p><p>{:.1} s simulated, state {:016x}. Expected by the scene's author: {}{}.</p>",
            escape(&self.scene.data),
            self.sim_s,
            self.state_hash,
            expectation(self.scene.expect),
            if self.as_expected() { "" } else { "; this run differs" }
        );
        page(&format!("{}: debrief", self.scene.name), &body, &end)
    }

    fn write_body(&self, out: &mut String, pictures: &Pictures) -> std::fmt::Result {
        let verdict = match (self.outcome, self.cause) {
            (Outcome::Lifted, _) => {
                "○ Lifted: every aim was met and nothing went wrong.".to_owned()
            }
            (Outcome::Incomplete, _) => "◐ Incomplete: nothing went wrong, but an aim was not \
                                         reached or an order not done."
                .to_owned(),
            (Outcome::Failed, cause) => {
                format!("● Failed. Primary cause: {}.", cause.map_or("", Cause::word))
            }
        };
        write!(
            out,
            "<section><h1>{}: debrief</h1><p>{}</p><p class=\"sum\"><b>{verdict}</b></p>",
            escape(&self.scene.name),
            escape(&self.scene.teaches)
        )?;
        if let Some(why) = &self.impossible {
            let why = escape(why.in_units(self.units));
            write!(out, "<p class=\"caution\">Caution: {why}.</p>")?;
        }
        if self.broken {
            out.push_str(
                "<p class=\"caution\">The simulation broke down: a body's state is no longer a \
                 number. Trust nothing here, and please report the scene.</p>",
            );
        }
        self.write_wanted(out)?;
        self.write_findings(out)?;
        self.write_next(out)?;
        self.write_done(out)?;
        self.write_pictures(out, pictures)?;
        self.write_curves(out)?;
        self.write_paper(out)?;
        out.push_str("</section>");
        Ok(())
    }

    fn write_wanted(&self, out: &mut String) -> std::fmt::Result {
        let u = self.units;
        out.push_str(
            "<table><colgroup><col style=\"width:24%\"><col style=\"width:24%\"><col \
             style=\"width:13%\"><col style=\"width:15%\"><col style=\"width:12%\"><col \
             style=\"width:12%\"></colgroup><thead><tr><th>What was wanted</th><th \
             class=\"n\">Gap</th><th class=\"n\">Needed</th><th class=\"n\">Load before</th><th \
             class=\"n\">Most</th><th>Freed</th></tr></thead><tbody>",
        );
        for g in &self.gaps {
            let freed = g.end_m >= g.needed_m;
            writeln!(
                out,
                "<tr class=\"{}\"><td><b>{}</b></td><td class=\"n\">{} to {}</td><td \
                 class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td></tr>",
                if freed { "" } else { "fails" },
                escape(&g.at),
                u.gap(g.start_m),
                u.gap(g.end_m),
                u.gap(g.needed_m),
                u.force(g.start_load_n),
                u.force(g.max_load_n),
                if freed { "○ yes" } else { "● no" }
            )?;
        }
        out.push_str("</tbody></table>\n");
        Ok(())
    }

    fn write_findings(&self, out: &mut String) -> std::fmt::Result {
        out.push_str("<h2>What decided it</h2>");
        let lines = self.readings(|r| r.lines());
        if self.findings.is_empty() && lines.is_empty() {
            out.push_str("<p>Nothing went wrong.</p>");
        }
        for line in lines {
            write!(out, "<p>{}</p>", escape(&line))?;
        }
        if self.findings.is_empty() {
            return Ok(());
        }
        out.push_str(
            "<table><colgroup><col style=\"width:6%\"><col style=\"width:11%\"><col \
             style=\"width:17%\"><col style=\"width:46%\"><col style=\"width:20%\"></colgroup>\
             <thead><tr><th></th><th class=\"n\">At</th><th colspan=\"2\">What went wrong</th><th>Rank\
             </th></tr></thead><tbody>",
        );
        for (i, f) in self.findings.iter().enumerate() {
            let rank = rank(i, f);
            writeln!(
                out,
                "<tr class=\"{}\"><td>{}</td><td class=\"n\">{:.1} s</td><td><b>{}</b></td><td>{}\
                 <div>Began at {:.1} s.</div></td><td>{rank}</td></tr>",
                if i == 0 { "fails" } else { "" },
                i + 1,
                f.t_s,
                f.cause.word(),
                escape(f.text.in_units(self.units)),
                f.began_s
            )?;
        }
        out.push_str("</tbody></table>\n");
        Ok(())
    }

    fn write_next(&self, out: &mut String) -> std::fmt::Result {
        let mut tips: Vec<String> = Vec::new();
        if let Some(cause) = self.cause {
            tips.push(format!("{} (Common practice, no source.)", advice(cause)));
        }
        for said in self.said.iter().filter(|s| s.refused.is_some()) {
            let why = said.refused.as_ref().map_or("", |why| why.in_units(self.units));
            let order = said.order.in_units(self.units);
            tips.push(format!("\"{order}\" could not be done: {why}. Mend that first."));
        }
        let short = self.gaps.iter().filter(|g| g.end_m < g.needed_m && self.findings.is_empty());
        for g in short {
            tips.push(format!(
                "Raise further: {} still needs {}.",
                g.at,
                self.units.gap(g.needed_m - g.end_m)
            ));
        }
        let sheet = Sheet::of(&self.scene, self.units);
        let weak = sheet.rows.iter().filter(|r| r.verdict() == Some(Verdict::Fails));
        for row in weak.take(4) {
            let limit = row.limit.map_or(String::new(), |l| l.figure().show(self.units));
            let result = row.result.map_or(String::new(), |f| f.show(self.units));
            tips.push(format!(
                "On paper this fails already: {} ({result}, limit {limit}).",
                row.what()
            ));
        }
        if let Some(twin) = &self.scene.lesson.twin {
            tips.push(format!("Play its twin: inchwise run {twin}"));
        }
        if tips.is_empty() {
            tips.push(
                "Change one thing and play it again: no chocks on a slope, a taller stack, one \
                 valve opened less. Find out how much it takes to fail."
                    .into(),
            );
        }
        out.push_str("<h2>What to try next</h2><ul>");
        for tip in tips {
            write!(out, "<li>{}</li>", escape(&tip))?;
        }
        out.push_str("</ul>");
        Ok(())
    }

    fn write_pictures(&self, out: &mut String, pictures: &Pictures) -> std::fmt::Result {
        out.push_str("<h2>What happened</h2>");
        let pictures = match pictures {
            Ok(pictures) => pictures,
            Err(why) => return write!(out, "<p>No pictures on this page: {}.</p>", escape(why)),
        };
        out.push_str("<div class=\"pair\">");
        for picture in pictures {
            let found: Vec<String> = self
                .findings
                .iter()
                .enumerate()
                .filter(|(_, f)| (f.t_s - picture.t_s).abs() < NEAR_S)
                .map(|(i, f)| format!("; {}: {}", i + 1, f.text.in_units(self.units)))
                .collect();
            writeln!(
                out,
                "<figure><img src=\"{}\" alt=\"The yard at {:.1} s\"><figcaption>{:.1} \
                 s{}</figcaption></figure>",
                picture.address,
                picture.t_s,
                picture.t_s,
                escape(&found.concat())
            )?;
        }
        out.push_str("</div>");
        Ok(())
    }

    fn write_curves(&self, out: &mut String) -> std::fmt::Result {
        let times_s: Vec<f64> = self.history.iter().map(|s| s.t_s).collect();
        let findings_s: Vec<f64> = self.findings.iter().map(|f| f.t_s).collect();
        let scene = &self.scene;
        let curve = |name: &str, factor: f64, of: &dyn Fn(&Snapshot) -> Option<f64>| Curve {
            name: name.to_owned(),
            values: self.history.iter().map(|s| of(s).map_or(f64::NAN, |v| v / factor)).collect(),
        };
        let (length, mm) = Dimension::Length.shown_in(self.units);
        let (pressure, bar) = Dimension::Pressure.shown_in(self.units);
        let (force, kn) = Dimension::Force.shown_in(self.units);
        let limbs = scene.limbs.iter().enumerate();
        let gaps = limbs
            .clone()
            .map(|(i, limb)| curve(&limb.name, length, &move |s| Some(s.limbs.get(i)?.gap_m)));
        let needed =
            scene.limbs.iter().map(|l| (format!("{} needs", l.name), l.gap_needed_m / length));
        let bags = || scene.bags.iter().enumerate();
        let heights = std::iter::once(curve("rise", length, &|s| Some(s.rise_m))).chain(
            bags().map(|(i, b)| curve(&b.name, length, &move |s| Some(s.bags.get(i)?.height_m))),
        );
        let pressures =
            bags().map(|(i, b)| curve(&b.name, pressure, &move |s| Some(s.bags.get(i)?.gauge_pa)));
        let loads =
            scene
                .stacks
                .iter()
                .enumerate()
                .map(|(i, st)| curve(&st.name, force, &move |s| Some(s.stacks.get(i)?.load_n)))
                .chain(limbs.map(|(i, limb)| {
                    curve(&limb.name, force, &move |s| Some(s.limbs.get(i)?.load_n))
                }))
                .chain(scene.captures.iter().enumerate().map(|(i, c)| {
                    curve(&c.name, force, &move |s| Some(s.captures.get(i)?.load_n))
                }));
        out.push_str("<h2>Over the time of the lift</h2><div class=\"pair\">");
        let mut plot = |title: &str, unit: &str, mut curves: Vec<Curve>, levels| {
            let left_out = curves.len().saturating_sub(MOST_CURVES);
            curves.truncate(MOST_CURVES);
            let more = if left_out > 0 {
                format!("; {left_out} more are in the table of `--csv`")
            } else {
                String::new()
            };
            let svg =
                Plot { unit, times_s: &times_s, curves, levels, findings_s: &findings_s }.svg();
            writeln!(
                out,
                "<figure>{svg}<figcaption>{title}, {unit} over seconds{more}.</figcaption></figure>"
            )
        };
        plot("Gap at each limb", mm, gaps.collect(), needed.collect())?;
        plot("Rise of the load, height of each bag", mm, heights.collect(), Vec::new())?;
        plot("Gauge pressure in each bag", bar, pressures.collect(), Vec::new())?;
        plot("Load on stacks, limbs and captures", kn, loads.collect(), Vec::new())?;
        out.push_str("</div>");
        if !self.findings.is_empty() {
            out.push_str("<p>Numbered lines: the findings.</p>");
        }
        Ok(())
    }

    fn write_done(&self, out: &mut String) -> std::fmt::Result {
        out.push_str(
            "<table><colgroup><col style=\"width:12%\"><col style=\"width:58%\"><col \
             style=\"width:30%\"></colgroup><thead><tr><th class=\"n\">At</th><th>What was \
             done</th><th></th></tr></thead><tbody>",
        );
        for s in &self.said {
            writeln!(
                out,
                "<tr class=\"{}\"><td class=\"n\">{:.1} s</td><td>{}</td><td>{}</td></tr>",
                if s.refused.is_some() { "fails" } else { "" },
                s.t_s,
                escape(s.order.in_units(self.units)),
                s.refused.as_ref().map_or(String::new(), |why| format!(
                    "● not done: {}",
                    escape(why.in_units(self.units))
                ))
            )?;
        }
        out.push_str("</tbody></table>\n");
        Ok(())
    }

    fn write_paper(&self, out: &mut String) -> std::fmt::Result {
        let beside = self.beside_paper();
        if beside.is_empty() {
            return Ok(());
        }
        out.push_str(
            "<table><colgroup><col style=\"width:52%\"></colgroup><thead><tr><th>Predicted \
             beside simulated</th><th class=\"n\">On paper</th><th class=\"n\">Played</th><th class=\"n\">Apart</th></tr></thead><tbody>",
        );
        for b in &beside {
            let apart = b.difference().map_or(String::new(), percent_apart);
            writeln!(
                out,
                "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td \
                 class=\"n\">{apart}</td></tr>",
                escape(&b.what),
                b.paper.show(self.units),
                b.played.map_or("not reached".to_owned(), |f| f.show(self.units))
            )?;
        }
        out.push_str("</tbody></table>\n");
        Ok(())
    }
}
