//! The measures of the lift along time, under the yard when looking back. Each plot has
//! the whole lift from left to right; where the moment on screen stands is a line through
//! all of them, and a click or a drag goes there. A run to compare with is drawn thin.

use super::input::Inputs;
use super::layout::LEAST_HEIGHT;
use super::state::LiftState;
use crate::session::{Action, PlotKind, Reel};
use crate::view::theme::{self, Token};
use bevy_egui::egui::{
    self, Align2, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo, WidgetType, pos2, vec2,
};

/// A plot needs so much width, points.
const LEAST_WIDTH: f32 = 168.0;
const TITLE: f32 = 17.0;
/// Height of the drawn part in the least window, and at most.
const DRAWN: [f32; 2] = [54.0, 150.0];
/// What the drawn part takes of each point that the window is higher.
const DRAWN_SHARE: f32 = 0.2;
/// The names of the lines below it.
const NAMED: f32 = 57.0;
const NAME: f32 = 13.0;
const ROW_GAP: f32 = 4.0;
/// Between the marks of two findings, points.
const APART: f32 = 4.0;
/// Lines named below a plot.
const NAMES: usize = 4;

/// Colour and dash of a plot's lines: never the colour alone.
fn pen(nth: usize) -> (Token, &'static [f32]) {
    let pens: [(Token, &[f32]); 4] = [
        (theme::BLUE, &[]),
        (theme::VERMILION, &[6.0, 3.0]),
        (theme::GREEN, &[2.0, 2.5]),
        (theme::PURPLE, &[9.0, 3.0, 2.0, 3.0]),
    ];
    pens[nth % pens.len()]
}

/// The plots that have a line.
fn all(s: &LiftState<'_>) -> Vec<(PlotKind, &'static str)> {
    let drawn = |plot: PlotKind| s.reel.lines.iter().any(|line| line.plot == plot);
    PlotKind::ALL.into_iter().filter(|(plot, _)| drawn(*plot)).collect()
}

fn across(wide: f32, count: usize) -> usize {
    ((wide / LEAST_WIDTH) as usize).clamp(1, count.max(1))
}

/// Height of the drawn part: a higher window has more of it.
fn drawn_high(ui: &Ui) -> f32 {
    let more = ui.ctx().viewport_rect().height() - LEAST_HEIGHT;
    (DRAWN[0] + DRAWN_SHARE * more).clamp(DRAWN[0], DRAWN[1])
}

fn one_high(ui: &Ui) -> f32 {
    TITLE + drawn_high(ui) + NAMED
}

/// Height of all plots, points.
pub fn height(ui: &Ui, s: &LiftState<'_>) -> f32 {
    let count = all(s).len();
    let rows = count.div_ceil(across(ui.available_width(), count)).max(1) as f32;
    rows * one_high(ui) + (rows - 1.0) * ROW_GAP
}

/// Every plot, side by side, in as many rows as they need.
pub fn plots(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    let all = all(s);
    let wide = ui.available_width();
    let across = across(wide, all.len());
    let width = wide / across as f32 - theme::STEP;
    ui.spacing_mut().item_spacing = vec2(theme::STEP, ROW_GAP);
    for row in all.chunks(across) {
        ui.horizontal(|ui| {
            for &(plot, title) in row {
                one(ui, s, plot, title, width, actions);
            }
        });
    }
}

/// One plot: both runs, its title and scale, the moment on screen, and the findings.
fn one(
    ui: &mut Ui,
    s: &LiftState<'_>,
    plot: PlotKind,
    title: &str,
    width: f32,
    actions: &mut Inputs,
) {
    let size = vec2(width, one_high(ui));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(WidgetType::Slider, true, title));
    let drawn = Rect::from_min_size(rect.min + vec2(0.0, TITLE), vec2(width, drawn_high(ui)));
    let painter = ui.painter_at(rect);
    painter.rect(
        drawn,
        3.0,
        theme::CARD.on(ui),
        Stroke::new(1.0, theme::LINE.on(ui)),
        egui::StrokeKind::Inside,
    );
    let axes = PlotAxes::new(s, plot, drawn);
    axes.draw_runs(&painter, s, plot);
    axes.head(&painter, (rect, width), s, plot, title);
    painter.vline(axes.x(s.now.t_s), drawn.y_range(), Stroke::new(1.5, theme::INK.on(ui)));
    axes.mark_findings(&painter, drawn, s);
    names(&painter, rect, drawn.max.y + 3.0, s, plot, &lines_of(s.reel, plot));
    if (response.dragged() || response.clicked())
        && let Some(at) = response.interact_pointer_pos()
    {
        actions.push(Action::Seek(axes.time_s(at.x)));
    }
}

/// The lines of a plot in a run.
fn lines_of(reel: &Reel, plot: PlotKind) -> Vec<usize> {
    (0..reel.lines.len()).filter(|&i| reel.lines[i].plot == plot).collect()
}

/// The runs that are drawn, the one to compare with first.
fn runs<'a>(s: &LiftState<'a>) -> impl Iterator<Item = &'a Reel> {
    s.other.into_iter().chain([s.reel])
}

/// Where a plot's times and values are on the screen.
struct PlotAxes {
    inner: Rect,
    /// The time at its right edge, s.
    whole_s: f64,
    /// The least and the greatest value, and what is between them.
    low: f64,
    high: f64,
    span: f64,
}

impl PlotAxes {
    /// One scale for both runs, with the nothing line in it.
    fn new(s: &LiftState<'_>, plot: PlotKind, drawn: Rect) -> Self {
        let end_s = |reel: &Reel| reel.last().moment.snapshot.t_s;
        let whole_s = s.other.map_or(0.0, end_s).max(s.end_s).max(20.0);
        let (mut low, mut high) = (0.0f64, 0.0f64);
        for reel in runs(s) {
            for line in lines_of(reel, plot) {
                for (_, v) in reel.trace(line).filter(|(_, v)| v.is_finite()) {
                    (low, high) = (low.min(v), high.max(v));
                }
            }
        }
        let span = (high - low).max(1e-9);
        Self { inner: drawn.shrink2(vec2(4.0, 5.0)), whole_s, low, high, span }
    }

    fn x(&self, t_s: f64) -> f32 {
        self.inner.min.x + (t_s.max(0.0) / self.whole_s).min(1.0) as f32 * self.inner.width()
    }

    fn y(&self, value: f64) -> f32 {
        self.inner.max.y - ((value - self.low) / self.span) as f32 * self.inner.height()
    }

    /// The time at a place on the screen, s.
    fn time_s(&self, x: f32) -> f64 {
        let share = ((x - self.inner.min.x) / self.inner.width()).clamp(0.0, 1.0);
        f64::from(share) * self.whole_s
    }

    /// The lines of every run; those of the run to compare with are thin.
    fn draw_runs(&self, painter: &egui::Painter, s: &LiftState<'_>, plot: PlotKind) {
        let ground = Stroke::new(1.0, theme::SUNK.on(painter.ctx()));
        painter.hline(self.inner.x_range(), self.y(0.0), ground);
        let runs: Vec<&Reel> = runs(s).collect();
        for (i, reel) in runs.iter().enumerate() {
            let other = i + 1 < runs.len();
            for (nth, line) in lines_of(reel, plot).into_iter().enumerate() {
                let (token, dash) = pen(nth);
                let color = token.on(painter.ctx());
                let stroke = if other {
                    Stroke::new(1.0, color.gamma_multiply(0.45))
                } else {
                    Stroke::new(1.8, color)
                };
                let width = self.inner.width() as usize;
                for piece in pieces(reel.trace(line), reel.count(), width) {
                    let points: Vec<Pos2> =
                        piece.into_iter().map(|(t, v)| pos2(self.x(t), self.y(v))).collect();
                    draw_line(painter, points, stroke, dash);
                }
            }
        }
    }

    /// The title, and the scale beside it: there no line goes through its figures.
    fn head(
        &self,
        painter: &egui::Painter,
        (rect, width): (Rect, f32),
        s: &LiftState<'_>,
        plot: PlotKind,
        title: &str,
    ) {
        let high = plot.say(s.units, self.high);
        let scale = if -self.low > 0.01 * self.span {
            // The unit is said once.
            let low = plot.say(s.units, self.low);
            format!("{} to {high}", low.rsplit_once(' ').map_or(low.as_str(), |(figure, _)| figure))
        } else {
            format!("to {high}")
        };
        let (top, soft) = (rect.right_top(), theme::SOFT.on(painter.ctx()));
        let scale = painter.text(top, Align2::RIGHT_TOP, scale, theme::plain(11.0), soft);
        let ink = theme::INK.on(painter.ctx());
        let title = painter.layout_job(egui::text::LayoutJob {
            wrap: egui::text::TextWrapping::truncate_at_width(width - scale.width() - 6.0),
            ..egui::text::LayoutJob::simple_singleline(title.into(), theme::bold(theme::SMALL), ink)
        });
        painter.galley(rect.min, title, ink);
    }

    /// Of findings that would run into each other the first one is shown, as on the line of time.
    fn mark_findings(&self, painter: &egui::Painter, drawn: Rect, s: &LiftState<'_>) {
        let mut marked: Vec<f32> = Vec::new();
        for finding in s.all_findings {
            let x = self.x(finding.t_s);
            if marked.iter().all(|other| (x - other).abs() > APART) {
                let stroke = Stroke::new(1.0, theme::VERMILION.on(painter.ctx()));
                painter.vline(x, drawn.y_range(), stroke);
                marked.push(x);
            }
        }
    }
}

/// A line, dashed where its pen is.
fn draw_line(painter: &egui::Painter, points: Vec<Pos2>, stroke: Stroke, dash: &[f32]) {
    if dash.is_empty() {
        painter.add(Shape::line(points, stroke));
        return;
    }
    let (on, off): (Vec<f32>, Vec<f32>) = dash.chunks(2).map(|pair| (pair[0], pair[1])).unzip();
    painter.extend(Shape::dashed_line_with_offset(&points, stroke, &on, &off, 0.0));
}

/// The names of the lines with their values at the moment on screen.
fn names(
    painter: &egui::Painter,
    rect: Rect,
    top: f32,
    s: &LiftState<'_>,
    plot: PlotKind,
    lines: &[usize],
) {
    let fits = ((rect.max.y - top) / NAME) as usize;
    let columns = if lines.len() > NAMES.min(fits) { 2 } else { 1 };
    let width = rect.width() / columns as f32;
    for (nth, &line) in lines.iter().enumerate().take((columns * fits).min(2 * NAMES)) {
        let (token, dash) = pen(nth);
        let color = token.on(painter.ctx());
        let left = rect.min.x + width * (nth / fits.max(1)) as f32;
        let middle = top + NAME * ((nth % fits.max(1)) as f32 + 0.5);
        let (a, b) = (pos2(left, middle), pos2(left + 14.0, middle));
        if dash.is_empty() {
            painter.line_segment([a, b], Stroke::new(2.0, color));
        } else {
            painter.extend(Shape::dashed_line(&[a, b], Stroke::new(2.0, color), dash[0], dash[1]));
        }
        let value = s.reel.value(line, s.now);
        let value =
            if value.is_finite() { plot.say(s.units, value) } else { "not loaded".to_owned() };
        let job = egui::text::LayoutJob {
            wrap: egui::text::TextWrapping::truncate_at_width(width - 20.0),
            ..egui::text::LayoutJob::simple_singleline(
                format!("{} {value}", s.reel.lines[line].name),
                theme::plain(11.0),
                theme::INK.on(painter.ctx()),
            )
        };
        let text = painter.layout_job(job);
        painter.galley(
            pos2(left + 18.0, middle - 0.5 * text.size().y),
            text,
            theme::INK.on(painter.ctx()),
        );
    }
}

/// A trace cut where it has no value, with no more points than can be seen: of each
/// piece of time the least and the greatest.
fn pieces(
    trace: impl Iterator<Item = (f64, f64)>,
    len: usize,
    width: usize,
) -> Vec<Vec<(f64, f64)>> {
    let bucket = len.div_ceil(width.max(8)).max(1);
    let mut out: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    let mut held: Vec<(f64, f64)> = Vec::new();
    let flush = |held: &mut Vec<(f64, f64)>, out: &mut Vec<Vec<(f64, f64)>>| {
        let least = held.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1));
        let most = held.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
        let mut ends: Vec<_> = least.into_iter().chain(most).collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        ends.dedup();
        if let Some(last) = out.last_mut() {
            last.extend(ends);
        }
        held.clear();
    };
    for point in trace {
        if !point.1.is_finite() {
            flush(&mut held, &mut out);
            out.push(Vec::new());
            continue;
        }
        held.push(point);
        if held.len() >= bucket {
            flush(&mut held, &mut out);
        }
    }
    flush(&mut held, &mut out);
    out.retain(|piece| piece.len() > 1);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The highest and the lowest point are drawn however few points there are, and a time
    /// without a value is left open.
    #[test]
    fn a_peak_is_never_lost() {
        let trace = (0..10_000).map(|i| {
            let t = f64::from(i);
            let v = match i {
                4321 => 7.0,
                8765 => -3.0,
                6000..6100 => f64::NAN,
                _ => 0.1 * (t * 0.01).sin(),
            };
            (t, v)
        });
        let pieces = pieces(trace, 10_000, 150);
        assert_eq!(pieces.len(), 2);
        let all: Vec<_> = pieces.concat();
        assert!(all.len() < 400, "{} points", all.len());
        assert!(all.contains(&(4321.0, 7.0)) && all.contains(&(8765.0, -3.0)));
        assert!(all.windows(2).all(|w| w[0].0 < w[1].0), "in the order of time");
    }
}
