//! The debrief as one printable page in the sheet's style: what was done, what happened,
//! curves, paper beside play, what decided it, what to try next. Nothing from elsewhere.

use super::plot::{Curve, Plot};
use super::report::{Debrief, FELL_SHORT, rank};
use super::text::say_ending;
use crate::practice::{NO_POINT, Practice};
use crate::scene::Outcome;
use crate::snapshot::Snapshot;
use crate::statics::sheet::{columns, page};
use crate::units::{Dimension, percent_apart};
use maud::{Markup, PreEscaped, html};

/// A picture of a moment, as a `data:` address.
pub struct MomentPicture {
    /// When, s.
    pub t_s: f64,
    /// `data:image/png;base64,` and so on: a page fetches nothing.
    pub address: String,
}

/// Pictures of what happened, or why there are none.
pub type Pictures = Result<Vec<MomentPicture>, Box<dyn std::error::Error>>;

/// The most curves in one plot that can be told apart.
const MOST_CURVES: usize = 6;
/// A picture belongs to a finding that was made within this time of it, s.
const NEAR_S: f64 = 0.05;

impl Debrief {
    /// The page.
    pub fn html(&self, pictures: &Pictures) -> String {
        let name = &self.scene.name;
        let body = html! {
            section {
                h1 { (name) ": debrief" }
                @if self.of_a_task { p { (self.scene.teaches) } }
                p.sum { b { (self.verdict()) } }
                @if let Some(note) = self.cut_off_note() { p.caution { (note) } }
                @if let Some(why) = &self.impossible {
                    p.caution { "Nothing was played: " (why.say(self.units)) "." }
                }
                @if self.broken {
                    p.caution {
                        "The simulation broke down: a body's state is no longer a number. Trust \
                         nothing here, and please report the scene."
                    }
                }
                @if let Some(casualty) = self.practice.as_ref().and_then(Practice::say_casualty) {
                    p { "Casualty: " (casualty) "." }
                }
                (self.gap_table())
                (self.finding_section())
                (self.practice_section())
                (self.tip_section())
                (self.order_table())
                (self.picture_section(pictures))
                (self.curve_section())
                (self.paper_table())
            }
        };
        let end = html! {
            p { (self.scene.data) }
            p {
                (format_args!("{:.1} s simulated, state {:016x}. ", self.sim_s, self.state_hash))
                @if !self.of_a_task {
                    "Expected by the scene's author: " (say_ending(self.scene.expect))
                    @if !self.as_expected() { "; this run differs" }
                    "."
                }
            }
        };
        page(&format!("{name}: debrief"), &body, &end)
    }

    fn verdict(&self) -> String {
        match (self.outcome, self.cause) {
            (Outcome::Lifted, _) => format!("○ Lifted in this model: {}.", self.lifted_words()),
            (Outcome::Incomplete, _) => format!("◐ Incomplete: {FELL_SHORT}."),
            (Outcome::Failed, cause) => {
                let cause =
                    cause.map(|cause| format!(" Primary cause: {}.", cause.say().to_lowercase()));
                format!("● Failed.{}", cause.unwrap_or_default())
            }
        }
    }

    fn gap_table(&self) -> Markup {
        let u = self.units;
        html! {
            table {
                (columns(&[17, 21, 11, 12, 10, 12, 17]))
                thead {
                    tr {
                        th { "What was wanted" }
                        th.n { "Gap" }
                        th.n { "Needed" }
                        th.n { "Load before" }
                        th.n { "Most" }
                        th { "Enough" }
                        th { "Casualty" }
                    }
                }
                tbody {
                    @for (i, (g, limb)) in self.gaps.iter().zip(self.limb_records()).enumerate() {
                        @let (said, enough) = Self::gap_words(g, &limb);
                        tr.fails[!enough] {
                            td { b { (g.at) } }
                            td.n { (u.gap(g.start_m)) " to " (Self::end_gap(g, &limb, u)) }
                            td.n { (u.gap(g.needed_m)) }
                            td.n { (u.load(g.start_load_n)) }
                            td.n { (u.load(g.max_load_n)) }
                            td { (if enough { "○ " } else { "● " }) (said) }
                            td { @if let Some(state) = self.freed(i) { (state.word()) } }
                        }
                    }
                }
            }
        }
    }

    fn finding_section(&self) -> Markup {
        let lines = self.lesson_lines();
        html! {
            h2 { "What decided it" }
            @if self.findings.is_empty() {
                p { "No limit was passed in this model." }
            }
            @for line in lines { p { (line) } }
            @if !self.findings.is_empty() { (self.finding_table()) }
            @if let [first, rest @ ..] = self.harm_lines().as_slice() {
                p { b { "Consequences. " } (first) }
                @for line in rest { p { (line) } }
            }
        }
    }

    fn finding_table(&self) -> Markup {
        html! {
            table {
                (columns(&[6, 11, 17, 46, 20]))
                thead {
                    tr {
                        th {}
                        th.n { "At" }
                        th colspan="2" { "What went wrong" }
                        th { "Rank" }
                    }
                }
                tbody {
                    @for (i, f) in self.findings.iter().enumerate() {
                        tr.fails[i == 0] {
                            td { (i + 1) }
                            td.n { (seconds(f.t_s)) }
                            td { b { (f.cause().say()) } }
                            td {
                                (f.say(&self.scene, self.units))
                                div { "Began at " (seconds(f.began_s)) "." }
                            }
                            td { (rank(i, f)) }
                        }
                    }
                }
            }
        }
    }

    fn practice_section(&self) -> Markup {
        let Some(practice) = &self.practice else { return Markup::default() };
        html! {
            h2 { (practice.heading()) }
            @if practice.points.is_empty() {
                p { (NO_POINT) "." }
            } @else {
                table {
                    (columns(&[11, 17, 48, 24]))
                    thead {
                        tr {
                            th.n { "At" }
                            th colspan="2" { "Point of practice" }
                            th { "Source" }
                        }
                    }
                    tbody {
                        @for point in &practice.points {
                            tr {
                                td.n { (seconds(point.t_s)) }
                                td { b { (point.rule.word) } }
                                td { (point.say(&self.scene, self.units)) }
                                td { (point.rule.source) }
                            }
                        }
                    }
                }
            }
        }
    }

    fn tip_section(&self) -> Markup {
        html! {
            h2 { "What to try next" }
            ul { @for tip in self.tips(self.units) { li { (tip) } } }
        }
    }

    fn order_table(&self) -> Markup {
        html! {
            table {
                (columns(&[12, 58, 30]))
                thead { tr { th.n { "At" } th { "What was done" } th {} } }
                tbody {
                    @for s in &self.records {
                        tr.fails[s.refused.is_some()] {
                            td.n { (seconds(s.t_s)) }
                            td { (s.told.say(&self.scene, self.units)) }
                            td {
                                @if let Some(why) = &s.refused {
                                    "● not done: " (why.say(&self.scene, self.units))
                                }
                                @for open in &s.left_open {
                                    "● " (open.say(&self.scene, self.units)) " "
                                }
                            }
                        }
                    }
                }
            }
        }
    }

    fn picture_section(&self, pictures: &Pictures) -> Markup {
        html! {
            h2 { "What happened" }
            @match pictures {
                Err(why) => p { "No pictures on this page: " (why.to_string()) "." },
                Ok(pictures) => div.pair { @for p in pictures { (self.figure(p)) } },
            }
        }
    }

    /// A picture with its time and the findings that were made then.
    fn figure(&self, picture: &MomentPicture) -> Markup {
        let t_s = picture.t_s;
        let findings = self.findings.iter().enumerate();
        let findings = findings.filter(|(_, f)| (f.t_s - t_s).abs() < NEAR_S);
        html! {
            figure {
                img src=(picture.address) alt={ "The yard at " (seconds(t_s)) };
                figcaption {
                    (seconds(t_s))
                    @for (i, f) in findings { "; " (i + 1) ": " (f.say(&self.scene, self.units)) }
                }
            }
        }
    }

    fn curve_section(&self) -> Markup {
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
        let plot = |title: &str, unit: &str, mut curves: Vec<Curve>, levels| {
            let left_out = curves.len().saturating_sub(MOST_CURVES);
            curves.truncate(MOST_CURVES);
            let plot = Plot { unit, times_s: &times_s, curves, levels, findings_s: &findings_s };
            html! {
                figure {
                    (PreEscaped(plot.svg()))
                    figcaption {
                        (title) ", " (unit) " over seconds"
                        @if left_out > 0 { "; " (left_out) " more are in the table of `--csv`" }
                        "."
                    }
                }
            }
        };
        html! {
            h2 { "Over the time of the lift" }
            div.pair {
                (plot("Gap at each limb", mm, gaps.collect(), needed.collect()))
                (plot("Rise of the load, height of each bag", mm, heights.collect(), Vec::new()))
                (plot("Gauge pressure in each bag", bar, pressures.collect(), Vec::new()))
                (plot("Load on stacks, limbs and captures", kn, loads.collect(), Vec::new()))
            }
            @if !self.findings.is_empty() { p { "Numbered lines: the findings." } }
        }
    }

    fn paper_table(&self) -> Markup {
        let beside = self.beside_paper();
        if beside.is_empty() {
            return Markup::default();
        }
        html! {
            table {
                (columns(&[52]))
                thead {
                    tr {
                        th { "Predicted beside simulated" }
                        th.n { "On paper" }
                        th.n { "Played" }
                        th.n { "Apart" }
                    }
                }
                tbody {
                    @for b in &beside {
                        tr {
                            td { (b.what) }
                            td.n { (b.paper.show(self.units)) }
                            td.n {
                                @match b.played {
                                    Some(played) => (played.show(self.units)),
                                    None => "not reached",
                                }
                            }
                            td.n { @if let Some(share) = b.difference() { (percent_apart(share)) } }
                        }
                    }
                }
            }
        }
    }
}

fn seconds(t_s: f64) -> String {
    format!("{t_s:.1} s")
}
