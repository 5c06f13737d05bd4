//! A picture to scale that is being drawn: marks are given in m and become SVG.

use std::fmt::Write;

/// Drawing units in a metre.
pub const SCALE: f64 = 100.0;

/// Height of letters, in drawing units.
pub const LETTERS: f64 = 9.0;

/// Height of a row of labels under the ground.
const ROW: f64 = 13.0;

/// A picture being drawn; marks are written in m and turned to drawing units.
pub struct SvgCanvas {
    body: String,
    left_m: f64,
    right_m: f64,
    /// Room over the ground, m.
    sky_m: f64,
    labels: Vec<(f64, f64, String)>,
}

impl SvgCanvas {
    pub fn new(left_m: f64, right_m: f64, sky_m: f64) -> Self {
        Self { body: String::new(), left_m, right_m, sky_m, labels: Vec::new() }
    }

    pub fn x(&self, m: f64) -> f64 {
        (m - self.left_m) * SCALE
    }

    pub fn y(&self, m: f64) -> f64 {
        (self.sky_m - m) * SCALE
    }

    fn add(&mut self, mark: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.body.write_fmt(mark);
        self.body.push('\n');
    }

    pub fn path(&mut self, class: &str, points: &[[f64; 2]], closed: bool) {
        let mut d = String::new();
        for (i, p) in points.iter().enumerate() {
            let _ = write!(
                d,
                "{}{:.1} {:.1}",
                if i == 0 { "M" } else { " L" },
                self.x(p[0]),
                self.y(p[1])
            );
        }
        if closed {
            d.push('Z');
        }
        self.add(format_args!("<path class=\"{class}\" d=\"{d}\"/>"));
    }

    pub fn line(&mut self, class: &str, a: [f64; 2], b: [f64; 2]) {
        self.path(class, &[a, b], false);
    }

    /// A box by its left lower corner and its size, m.
    pub fn rect(&mut self, class: &str, at: [f64; 2], size: [f64; 2], round_m: f64) {
        let (x, y) = (self.x(at[0]), self.y(at[1] + size[1]));
        let (w, h, r) = (size[0] * SCALE, size[1] * SCALE, round_m * SCALE);
        self.add(format_args!(
            "<rect class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" \
             rx=\"{r:.1}\"/>"
        ));
    }

    pub fn circle(&mut self, class: &str, at: [f64; 2], radius_m: f64) {
        let (x, y, r) = (self.x(at[0]), self.y(at[1]), radius_m * SCALE);
        self.add(format_args!(
            "<circle class=\"{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\"/>"
        ));
    }

    pub fn text(&mut self, anchor: &str, at: [f64; 2], text: &str) {
        let (x, y) = (self.x(at[0]), self.y(at[1]));
        self.add(format_args!(
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{}</text>",
            escape(text)
        ));
    }

    /// An arrow from `tail` to `head`, m.
    pub fn arrow(&mut self, tail: [f64; 2], head: [f64; 2]) {
        self.line("load", tail, head);
        let (dx, dy) = (head[0] - tail[0], head[1] - tail[1]);
        let long = dx.hypot(dy).max(1e-9);
        let (ux, uy) = (dx / long, dy / long);
        let back = |side: f64| {
            [head[0] - 0.07 * ux - side * 0.025 * uy, head[1] - 0.07 * uy + side * 0.025 * ux]
        };
        self.path("head", &[head, back(1.0), back(-1.0)], true);
    }

    /// A dimension line upright at `x`.
    pub fn dimension(&mut self, x: f64, from: f64, to: f64) {
        self.line("dim", [x, from], [x, to]);
        for y in [from, to] {
            self.line("dim", [x - 0.03, y], [x + 0.03, y]);
        }
    }

    /// A label under the ground, led from a place above it.
    pub fn label(&mut self, at: [f64; 2], text: String) {
        self.labels.push((at[0], at[1], text));
    }

    /// Places the labels in as few rows as do not overlap; returns how many rows.
    fn place_labels(&mut self) -> usize {
        let mut labels = std::mem::take(&mut self.labels);
        labels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut ends: Vec<f64> = Vec::new();
        let mut words = String::new();
        let width = (self.right_m - self.left_m) * SCALE;
        for (x_m, y_m, text) in labels {
            // Letters of a wide face take three fifths of their height.
            let half = text.chars().count() as f64 * LETTERS * 0.30;
            let x = self.x(x_m);
            let middle = x.clamp(half, (width - half).max(half));
            let row = ends.iter().position(|end| middle - half > end + 6.0).unwrap_or(ends.len());
            if row == ends.len() {
                ends.push(0.0);
            }
            ends[row] = middle + half;
            let (from, to) = (self.y(y_m), self.y(0.0) + 12.0 + row as f64 * ROW);
            self.add(format_args!(
                "<path class=\"lead\" d=\"M{x:.1} {from:.1} L{x:.1} {to:.1}\"/>"
            ));
            // Words come after all leads, on a patch that hides the lead of a lower row.
            let _ = writeln!(
                words,
                "<rect class=\"under\" x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>\
                 <text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
                middle - half,
                to + 0.5,
                2.0 * half,
                LETTERS + 2.0,
                to + LETTERS,
                escape(&text)
            );
        }
        self.body.push_str(&words);
        ends.len()
    }

    /// Sheet metal that has given way would show under the ground.
    pub fn hide_what_is_pushed_in(&mut self) {
        let size = [self.right_m - self.left_m, 0.3];
        self.rect("under", [self.left_m, -size[1]], size, 0.0);
    }

    /// The upper left corner, m.
    pub fn corner(&self) -> [f64; 2] {
        [self.left_m, self.sky_m]
    }

    /// Ground, and the picture as one SVG element of its own width.
    pub fn finish(mut self, title: &str) -> String {
        self.line("ground", [self.left_m, 0.0], [self.right_m, 0.0]);
        let rows = self.place_labels();
        let width = (self.right_m - self.left_m) * SCALE;
        let height = self.sky_m * SCALE + 16.0 + rows as f64 * ROW + 8.0;
        format!(
            "<svg viewBox=\"0 0 {width:.0} {height:.0}\" style=\"width:{:.1}%\" role=\"img\" \
             aria-label=\"{title}\">\n{DEFS}{}</svg>\n",
            100.0 * width / PAGE_UNITS,
            self.body
        )
    }
}

/// Drawing units across a page: both views keep to one scale.
pub const PAGE_UNITS: f64 = 580.0;

/// Hatchings: end grain, and soft parts.
const DEFS: &str = "<defs>\
<pattern id=\"grain\" width=\"3\" height=\"3\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><path d=\"M0 0H3M0 0V3\" stroke=\"#777\" stroke-width=\".5\"/></pattern>\
<pattern id=\"soft\" width=\"3\" height=\"3\" patternUnits=\"userSpaceOnUse\">\
<circle cx=\"1\" cy=\"1\" r=\".6\" fill=\"#333\"/></pattern></defs>\n";

/// Text as it may stand in SVG.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Which way one looks.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum ViewSide {
    /// From the vehicle's left: the nose points to the right.
    Side,
    /// From the tail: the vehicle's left is on the left.
    Tail,
}

impl ViewSide {
    /// Across the picture, m.
    pub fn across(self, at: [f64; 2]) -> f64 {
        match self {
            Self::Side => at[0],
            Self::Tail => -at[1],
        }
    }

    /// How wide a size along X and Z is seen, m.
    pub fn of_size(self, [x, z]: [f64; 2]) -> f64 {
        match self {
            Self::Side => x,
            Self::Tail => z,
        }
    }
}
