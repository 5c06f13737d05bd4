//! Curves over the time of a lift, as SVG in the sheet's style: greys, each curve with its
//! own dashes and its name at its end.

use crate::statics::sheet::{escape, written};
use std::fmt::Write;

/// Size of a plot, and the room around its field, drawing units.
const WIDE: f64 = 340.0;
const HIGH: f64 = 190.0;
const LEFT: f64 = 40.0;
const RIGHT: f64 = 78.0;
const ABOVE: f64 = 14.0;
const UNDER: f64 = 20.0;

const DASHES: [&str; 6] = ["none", "6 3", "2 2", "8 2 2 2", "12 3", "1 3"];

pub struct Curve {
    pub name: String,
    /// In the plot's unit, one for each time.
    pub values: Vec<f64>,
}

pub struct Plot<'a> {
    pub unit: &'a str,
    pub times_s: &'a [f64],
    pub curves: Vec<Curve>,
    /// Levels to be reached or kept, with their names.
    pub levels: Vec<(String, f64)>,
    /// When each finding was made, s.
    pub findings_s: &'a [f64],
}

/// A step for about four rules along an axis: 1, 2 or 5 times a power of ten.
fn step(span: f64) -> f64 {
    let rough = span / 4.0;
    let power = 10_f64.powf(rough.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|k| k * power >= rough).unwrap_or(10.0);
    times * power
}

/// Where a plot's times and values fall on its field, drawing units.
struct Axes {
    /// The ends of the values' axis, and a step between two of its rules.
    low: f64,
    high: f64,
    up: f64,
    end_s: f64,
}

impl Axes {
    fn of(plot: &Plot<'_>) -> Self {
        let all = || {
            let values = plot.curves.iter().flat_map(|c| c.values.iter().copied());
            values.chain(plot.levels.iter().map(|l| l.1)).filter(|v| v.is_finite())
        };
        // Noise just below zero gets no room of its own.
        let most = all().fold(0.0, f64::max);
        let low = all().filter(|v| *v < -0.02 * most).fold(0.0, f64::min);
        let high = all().fold(low + 1e-9, f64::max);
        let up = step(high - low);
        let (low, high) = ((low / up).floor() * up, (high / up).ceil() * up);
        Self { low, high, up, end_s: plot.times_s.last().copied().unwrap_or(1.0).max(1e-9) }
    }

    fn x(&self, t_s: f64) -> f64 {
        LEFT + t_s / self.end_s * (WIDE - LEFT - RIGHT)
    }

    fn y(&self, value: f64) -> f64 {
        ABOVE + (self.high - value) / (self.high - self.low) * (HIGH - ABOVE - UNDER)
    }

    /// The rules with their values, and the times along them.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let (low, up, right) = (self.low, self.up, WIDE - RIGHT);
        let digits = if up >= 1.0 { 0 } else { (-up.log10()).ceil() as usize };
        for k in 0..=((self.high - low) / up).round() as usize {
            let value = low + k as f64 * up;
            write!(
                out,
                "<path class=\"rule\" d=\"M{LEFT} {0:.1}H{right}\"/><text x=\"{1}\" y=\"{2:.1}\" \
                 text-anchor=\"end\">{value:.digits$}</text>",
                self.y(value),
                LEFT - 4.0,
                self.y(value) + 3.0
            )?;
        }
        let along = step(self.end_s);
        for k in 0..=(self.end_s / along).floor() as usize {
            let t = k as f64 * along;
            write!(
                out,
                "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{t:.0}{}</text>",
                self.x(t),
                HIGH - UNDER + 13.0,
                if k == 0 { " s" } else { "" }
            )?;
        }
        Ok(())
    }
}

impl Plot<'_> {
    pub fn svg(&self) -> String {
        written(|out| self.write(out))
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        let axes = Axes::of(self);
        write!(
            out,
            "<svg viewBox=\"0 0 {WIDE} {HIGH}\" width=\"100%\"><text x=\"{LEFT}\" y=\"9\">{}</text>",
            escape(self.unit)
        )?;
        axes.write(out)?;
        self.write_findings(out, &axes)?;
        let names = self.write_lines(out, &axes)?;
        write!(
            out,
            "<path class=\"axis\" d=\"M{LEFT} {ABOVE}V{}H{}\"/>",
            HIGH - UNDER,
            WIDE - RIGHT
        )?;
        write_names(out, names)?;
        out.push_str("</svg>");
        Ok(())
    }

    fn write_findings(&self, out: &mut String, axes: &Axes) -> std::fmt::Result {
        for (i, t) in self.findings_s.iter().enumerate() {
            write!(
                out,
                "<path class=\"mark\" d=\"M{0:.1} {ABOVE}V{1}\"/><text x=\"{2:.1}\" y=\"{3}\">{4}</text>",
                axes.x(*t),
                HIGH - UNDER,
                axes.x(*t) + 2.0,
                ABOVE + 8.0,
                i + 1
            )?;
        }
        Ok(())
    }

    /// The levels and the curves; their names with the height at which each ends.
    fn write_lines(
        &self,
        out: &mut String,
        axes: &Axes,
    ) -> Result<Vec<(f64, String)>, std::fmt::Error> {
        let mut names: Vec<(f64, String)> = Vec::new();
        for (name, level) in &self.levels {
            let y = axes.y(*level);
            write!(out, "<path class=\"before\" d=\"M{LEFT} {y:.1}H{}\"/>", WIDE - RIGHT)?;
            names.push((y, name.clone()));
        }
        for (curve, dashes) in self.curves.iter().zip(DASHES.iter().cycle()) {
            let mut d = String::new();
            for (t, v) in self.times_s.iter().zip(&curve.values).filter(|(_, v)| v.is_finite()) {
                let way = if d.is_empty() { "M" } else { "L" };
                write!(d, "{way}{:.1} {:.1}", axes.x(*t), axes.y(*v))?;
            }
            write!(out, "<path class=\"curve\" stroke-dasharray=\"{dashes}\" d=\"{d}\"/>")?;
            let last = curve.values.iter().rev().find(|v| v.is_finite());
            names.push((axes.y(last.copied().unwrap_or(0.0)), curve.name.clone()));
        }
        Ok(names)
    }
}

/// Names stand beside their curves' ends, never over each other.
fn write_names(out: &mut String, mut names: Vec<(f64, String)>) -> std::fmt::Result {
    names.sort_by(|a, b| a.0.total_cmp(&b.0));
    let right = WIDE - RIGHT;
    let mut least = ABOVE;
    let many = names.len();
    for (i, (at, name)) in names.into_iter().enumerate() {
        let most = HIGH - UNDER - 10.0 * (many - 1 - i) as f64;
        let place = at.min(most).max(least);
        least = place + 10.0;
        write!(
            out,
            "<path class=\"lead\" d=\"M{right} {at:.1}L{:.1} {place:.1}\"/><text x=\"{:.1}\" \
             y=\"{:.1}\">{}</text>",
            right + 5.0,
            right + 7.0,
            place + 3.0,
            escape(&name)
        )?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A curve from 0 to 40 in 10 s in a field from 40 to 262 and from 14 to 170: it starts at
    /// its lower left and ends at its upper right corner.
    #[test]
    fn a_curve_fills_its_field() {
        let times_s: Vec<f64> = (0..=10).map(f64::from).collect();
        let values = times_s.iter().map(|t| 4.0 * t).collect();
        let curves = vec![Curve { name: "a < b".into(), values }];
        let levels = vec![("needed".into(), 20.0)];
        let plot = Plot { unit: "mm", times_s: &times_s, curves, levels, findings_s: &[5.0] };
        let svg = plot.svg();
        for piece in ["M40.0 170.0L", "L262.0 14.0\"", "a &lt; b", "M40 92.0H262", "M151.0 14V170"]
        {
            assert!(svg.contains(piece), "{piece} is missing in\n{svg}");
        }
        assert_eq!([step(40.0), step(0.9), step(1300.0)], [10.0, 0.5, 500.0]);
    }
}
