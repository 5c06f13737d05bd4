//! The failure map: a cell for each cell of the sweep, marked by what most of its plays
//! came to, the boundary between lifts that hold and lifts that do not, and over it where
//! statics puts that boundary on paper.
//!
//! Two axes make a map, one a strip; a third puts maps side by side.

use super::cells::Sweep;
use super::grid::Axis;
use super::marks;
use super::row::CellRow;
use super::table::Table;
use crate::caution::CAUTION;
use crate::scene::Cause;
use crate::statics::sheet::escape;
use crate::units::UnitSystem;
use std::fmt::Write;

/// Side of a map's larger edge, and the least side of a cell, drawing units.
const EDGE: f64 = 480.0;
const CELL: f64 = 14.0;
/// Room for figures and names left of a map and under it.
const LEFT: f64 = 92.0;
const UNDER: f64 = 46.0;
const ABOVE: f64 = 24.0;
const LEGEND: f64 = 190.0;
/// Width of a letter of size 12, in units.
const LETTER: f64 = 6.4;

/// Most tick labels along an axis.
const TICKS: usize = 9;

/// More axes than a map can show.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a map shows one to three --vary, not {axes}; leave --map out, or vary less")]
#[non_exhaustive]
pub struct MapError {
    pub axes: usize,
}

struct MapPanel<'a> {
    title: String,
    /// By index along x and along y; none where no part of the sweep has the cell.
    rows: Vec<Vec<Option<&'a CellRow>>>,
}

impl Table {
    /// The map as SVG.
    ///
    /// # Errors
    /// More axes than a map can show.
    pub fn map(&self, sweep: &Sweep, units: UnitSystem) -> Result<String, MapError> {
        let axes = &sweep.grid.axes;
        let [x, y, ..] = [axes.first(), axes.get(1), axes.get(2)];
        let Some(x) = x.filter(|_| axes.len() <= 3) else {
            return Err(MapError { axes: axes.len() });
        };
        let panels = self.panels(sweep, x, y, axes.get(2));
        let size = |axis: Option<&Axis>| axis.map_or(1, Axis::len);
        let cell = (EDGE / size(Some(x)).max(size(y)) as f64).max(CELL);
        let (wide, high) = (cell * x.len() as f64, cell * size(y) as f64);
        let mut out = String::new();
        let mut left = LEFT;
        for panel in &panels {
            let draw = MapDrawing { table: self, sweep, x, y, cell, left, units };
            // Writing to a String cannot fail.
            let _ = draw.panel(&mut out, panel, [wide, high], left == LEFT);
            left += wide + 40.0;
        }
        let lowest = self.legend(&mut out, sweep, left, 44.0);
        let width = left + LEGEND;
        let foot = (58.0 + high + UNDER + ABOVE).max(lowest + 12.0);
        let lines = caption(sweep, units, ((width - 20.0) / LETTER) as usize);
        let caution = lines.len() - caution_lines(width);
        for (i, line) in lines.iter().enumerate() {
            let weight = if i >= caution { " font-weight=\"bold\"" } else { "" };
            let _ = writeln!(
                out,
                "<text x=\"10\" y=\"{:.0}\"{weight}>{}</text>",
                foot + 16.0 * i as f64,
                escape(line)
            );
        }
        let height = foot + 16.0 * lines.len() as f64;
        Ok(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" \
             width=\"{width:.0}\" height=\"{height:.0}\" font-family=\"DejaVu Sans, Liberation \
             Sans, Arial, sans-serif\" font-size=\"12\" fill=\"#111\">\n<rect width=\"100%\" \
             height=\"100%\" fill=\"#fff\"/>\n<text x=\"10\" y=\"20\" font-size=\"16\" \
             font-weight=\"bold\">{}: where it stops holding</text>\n{out}</svg>\n",
            escape(&sweep.scene.name)
        ))
    }

    fn panels(
        &self,
        sweep: &Sweep,
        x: &Axis,
        y: Option<&Axis>,
        side: Option<&Axis>,
    ) -> Vec<MapPanel<'_>> {
        let find = |place: &[usize]| {
            let cell = sweep.grid.cell(place);
            self.rows.binary_search_by_key(&cell, |row| row.cell).ok().map(|i| &self.rows[i])
        };
        (0..side.map_or(1, Axis::len))
            .map(|k| MapPanel {
                title: side.map_or(String::new(), |axis| {
                    let all: Vec<String> =
                        axis.changes(k).map(|(path, value)| format!("{path} = {value}")).collect();
                    all.join(", ")
                }),
                rows: (0..x.len())
                    .map(|i| {
                        (0..y.map_or(1, Axis::len))
                            .map(|j| {
                                let place = [i, j, k];
                                find(&place[..sweep.grid.axes.len()])
                            })
                            .collect()
                    })
                    .collect(),
            })
            .collect()
    }

    /// What each mark and line means; returns where it ends.
    fn legend(&self, out: &mut String, sweep: &Sweep, left: f64, top: f64) -> f64 {
        let counts = self.counts();
        let mut y = top + 10.0;
        for mark in marks::among(&|word| counts.contains_key(word)) {
            let _ = write!(
                out,
                "<rect x=\"{left}\" y=\"{:.0}\" width=\"18\" height=\"18\" fill=\"{}\" \
                 stroke=\"#777\" stroke-width=\".5\"/>",
                y - 9.0,
                mark.fill
            );
            shape(out, mark, left + 9.0, y, 6.0);
            let _ = writeln!(
                out,
                "<text x=\"{}\" y=\"{:.0}\">{} ({})</text>",
                left + 26.0,
                y + 4.0,
                escape(&marks::meaning(mark.word)),
                counts[mark.word]
            );
            y += 24.0;
        }
        let mut line = |style: &str, text: &str| {
            let _ = writeln!(
                out,
                "<path d=\"M{left} {y}h18\" {style}/><text x=\"{}\" y=\"{:.0}\">{text}</text>",
                left + 26.0,
                y + 4.0
            );
            y += 24.0;
        };
        let limit = if sweep.samples.is_some() {
            "half of the plays hold"
        } else {
            "where it stops holding"
        };
        line(SIMULATED, limit);
        line(PAPER, "the same on paper");
        if sweep.samples.is_some() {
            let _ = writeln!(
                out,
                "<text x=\"{left}\" y=\"{:.0}\">figures: % of plays lifted</text>",
                y + 4.0
            );
            y += 24.0;
        }
        y
    }
}

const SIMULATED: &str =
    "fill=\"none\" stroke=\"#111\" stroke-width=\"3\" stroke-linecap=\"square\"";
const PAPER: &str =
    "fill=\"none\" stroke=\"#0072b2\" stroke-width=\"2.5\" stroke-linecap=\"round\"";

fn shape(out: &mut String, mark: &marks::OutcomeMark, x: f64, y: f64, half: f64) {
    let fill = if mark.shape.ends_with('Z') { "#444" } else { "none" };
    let _ = write!(
        out,
        "<path transform=\"translate({x:.1} {y:.1}) scale({half:.2})\" d=\"{}\" fill=\"{fill}\" \
         stroke=\"#222\" stroke-width=\".28\"/>",
        mark.shape
    );
}

/// One map being drawn.
struct MapDrawing<'a> {
    table: &'a Table,
    sweep: &'a Sweep,
    x: &'a Axis,
    y: Option<&'a Axis>,
    cell: f64,
    left: f64,
    units: UnitSystem,
}

impl MapDrawing<'_> {
    const TOP: f64 = 44.0 + ABOVE;

    /// Upper left corner of a cell; the second axis grows upwards.
    fn corner(&self, i: usize, j: usize, high: f64) -> [f64; 2] {
        [self.left + self.cell * i as f64, Self::TOP + high - self.cell * (j + 1) as f64]
    }

    fn panel(
        &self,
        out: &mut String,
        panel: &MapPanel<'_>,
        [wide, high]: [f64; 2],
        figures: bool,
    ) -> std::fmt::Result {
        writeln!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" font-weight=\"bold\">{}</text>",
            self.left,
            Self::TOP - 8.0,
            escape(&short(&panel.title, (wide / (1.2 * LETTER)) as usize))
        )?;
        for (i, column) in panel.rows.iter().enumerate() {
            for (j, row) in column.iter().enumerate() {
                let [x, y] = self.corner(i, j, high);
                let Some(row) = row else { continue };
                let mark = marks::mark_for(self.table.end(row));
                write!(
                    out,
                    "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{0:.1}\" height=\"{0:.1}\" \
                     fill=\"{1}\" stroke=\"#fff\" stroke-width=\".5\"/>",
                    self.cell, mark.fill
                )?;
                let middle = [x + self.cell / 2.0, y + self.cell / 2.0];
                let half = (0.26 * self.cell).min(9.0);
                match self.lifted(row).filter(|_| self.sweep.samples.is_some()) {
                    Some(share) if self.cell >= 24.0 => {
                        shape(out, mark, middle[0], y + 0.36 * self.cell, half.min(6.0));
                        write!(
                            out,
                            "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"9\" \
                             text-anchor=\"middle\">{:.0}</text>",
                            middle[0],
                            y + self.cell - 3.0,
                            100.0 * share
                        )?;
                    }
                    _ => shape(out, mark, middle[0], middle[1], half),
                }
                out.push('\n');
            }
        }
        self.boundary(out, panel, high)?;
        self.paper(out, panel, high)?;
        writeln!(
            out,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{wide:.1}\" height=\"{high:.1}\" \
             fill=\"none\" stroke=\"#111\"/>",
            self.left,
            Self::TOP
        )?;
        self.ticks_along(out, [wide, high])?;
        if let Some(y) = self.y
            && figures
        {
            self.ticks_up(out, y, high)?;
        }
        Ok(())
    }

    /// Share of a cell's plays that were lifted; none where nothing could be played.
    fn lifted(&self, row: &CellRow) -> Option<f64> {
        let count = |head: &str| self.table.get(row, head).parse::<f64>().ok();
        let (lifted, plays) = (count("lifted")?, count("plays")?);
        (plays > 0.0).then(|| lifted / plays)
    }

    /// Whether something goes wrong in less than half of a cell's plays.
    fn holds(&self, row: Option<&CellRow>) -> Option<bool> {
        let count = |head: &str| self.table.get(row?, head).parse::<f64>().ok();
        let (failed, plays) = (count("failed")?, count("plays")?);
        (plays > 0.0).then_some(2.0 * failed < plays)
    }

    /// A line between neighbours of which one holds and one does not.
    fn boundary(&self, out: &mut String, panel: &MapPanel<'_>, high: f64) -> std::fmt::Result {
        let mut d = String::new();
        for (i, column) in panel.rows.iter().enumerate() {
            for (j, row) in column.iter().enumerate() {
                let Some(here) = self.holds(*row) else { continue };
                let [x, y] = self.corner(i, j, high);
                let beside = panel.rows.get(i + 1).and_then(|c| self.holds(c[j]));
                if beside.is_some_and(|other| other != here) {
                    write!(d, "M{:.1} {y:.1}v{:.1}", x + self.cell, self.cell)?;
                }
                let above = column.get(j + 1).and_then(|r| self.holds(*r));
                if above.is_some_and(|other| other != here) {
                    write!(d, "M{x:.1} {y:.1}h{:.1}", self.cell)?;
                }
            }
        }
        if d.is_empty() { Ok(()) } else { writeln!(out, "<path d=\"{d}\" {SIMULATED}/>") }
    }

    /// Where each margin on paper is zero, by straight lines between the middles of the cells
    /// (marching squares).
    fn paper(&self, out: &mut String, panel: &MapPanel<'_>, high: f64) -> std::fmt::Result {
        // Between values that are no numbers there is nothing to draw a line through.
        if self.x.numbers().is_none() || self.y.is_some_and(|y| y.numbers().is_none()) {
            return Ok(());
        }
        for (word, _) in Cause::WORDS {
            let head = format!("paper_{word}");
            let margin = |i: usize, j: usize| -> Option<f64> {
                let row = (*panel.rows.get(i)?.get(j)?)?;
                self.table.get(row, &head).parse().ok()
            };
            let middle = |i: usize, j: usize| {
                let [x, y] = self.corner(i, j, high);
                [x + self.cell / 2.0, y + self.cell / 2.0]
            };
            let mut segments: Vec<[[f64; 2]; 2]> = Vec::new();
            let rows_up = self.y.map_or(1, Axis::len);
            for i in 0..self.x.len().saturating_sub(1) {
                if rows_up == 1 {
                    // A strip: the line stands across it.
                    let (Some(a), Some(b)) = (margin(i, 0), margin(i + 1, 0)) else { continue };
                    if let Some(share) = crosses(a, b) {
                        let [x, y] = middle(i, 0);
                        let at = x + share * self.cell;
                        let half = self.cell / 2.0;
                        segments.push([[at, y - half], [at, y + half]]);
                    }
                }
                for j in 0..rows_up - 1 {
                    let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
                    let Some(values) =
                        corners.iter().map(|&(i, j)| margin(i, j)).collect::<Option<Vec<f64>>>()
                    else {
                        continue;
                    };
                    let cuts: Vec<[f64; 2]> = (0..4)
                        .filter_map(|k| {
                            let next = (k + 1) % 4;
                            let share = crosses(values[k], values[next])?;
                            let [a, b] = [corners[k], corners[next]].map(|(i, j)| middle(i, j));
                            Some([0, 1].map(|n| a[n] + share * (b[n] - a[n])))
                        })
                        .collect();
                    segments.extend(cuts.chunks_exact(2).map(|pair| [pair[0], pair[1]]));
                }
            }
            let Some(last) = segments.last() else { continue };
            let mut d = String::new();
            for [a, b] in &segments {
                write!(d, "M{:.1} {:.1}L{:.1} {:.1}", a[0], a[1], b[0], b[1])?;
            }
            writeln!(
                out,
                "<path d=\"{d}\" fill=\"none\" stroke=\"#fff\" stroke-width=\"5\" \
                 stroke-linecap=\"round\"/><path d=\"{d}\" {PAPER}/>\
                 <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\" font-size=\"11\" \
                 fill=\"#0072b2\" paint-order=\"stroke\" stroke=\"#fff\" \
                 stroke-width=\"3\">{word} on paper</text>",
                last[1][0] - 4.0,
                last[1][1] - 5.0
            )?;
        }
        Ok(())
    }

    fn ticks_along(&self, out: &mut String, [wide, high]: [f64; 2]) -> std::fmt::Result {
        let (labels, name) = labels(self.x, self.units);
        for (i, label) in every(&labels, (wide / 60.0) as usize) {
            writeln!(
                out,
                "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
                self.left + self.cell * (i as f64 + 0.5),
                Self::TOP + high + 16.0,
                escape(label)
            )?;
        }
        writeln!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            self.left + wide / 2.0,
            Self::TOP + high + 34.0,
            escape(&name)
        )
    }

    fn ticks_up(&self, out: &mut String, axis: &Axis, high: f64) -> std::fmt::Result {
        let (labels, name) = labels(axis, self.units);
        for (j, label) in every(&labels, TICKS) {
            writeln!(
                out,
                "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
                self.left - 6.0,
                Self::TOP + high - self.cell * (j as f64 + 0.5) + 4.0,
                escape(label)
            )?;
        }
        writeln!(
            out,
            "<text transform=\"translate({:.1} {:.1}) rotate(-90)\" \
             text-anchor=\"middle\">{}</text>",
            self.left - LEFT + 18.0,
            Self::TOP + high / 2.0,
            escape(&name)
        )
    }
}

/// Share of the way from one value to the next at which they cross zero.
fn crosses(a: f64, b: f64) -> Option<f64> {
    ((a < 0.0) != (b < 0.0)).then(|| a / (a - b))
}

/// An axis's values as a reader is used to them, and its name with the unit.
fn labels(axis: &Axis, units: UnitSystem) -> (Vec<String>, String) {
    let more = match axis.fields.len() {
        1 => String::new(),
        2 => format!(" and {}", axis.fields[1].0),
        n => format!(" and {} more", n - 1),
    };
    let Some(scale) = axis.numbers() else {
        let values = axis.fields[0].1.iter().map(|value| short(value, 12));
        return (values.collect(), axis.name().to_owned() + &more);
    };
    let (factor, unit) = scale.shown_in(units);
    let shown: Vec<f64> = scale.values.iter().map(|v| v / factor).collect();
    let span = shown.iter().fold(0.0_f64, |most, v| most.max((v - shown[0]).abs()));
    let digits = match span / shown.len().saturating_sub(1).max(1) as f64 {
        step if step >= 0.95 || step == 0.0 => 0,
        step if step >= 0.095 => 1,
        step if step >= 0.0095 => 2,
        _ => 3,
    };
    let unit = if unit.is_empty() { String::new() } else { format!(", {unit}") };
    (
        shown.iter().map(|v| format!("{:.digits$}", v + 0.0)).collect(),
        format!("{}{unit}{more}", axis.name()),
    )
}

/// A text cut to this many letters.
fn short(text: &str, letters: usize) -> String {
    let cut: String = text.chars().take(letters).collect();
    if cut.len() < text.len() { cut + "…" } else { cut }
}

/// At most this many of some labels, evenly spaced, the first among them.
fn every(labels: &[String], most: usize) -> impl Iterator<Item = (usize, &String)> {
    let step = labels.len().div_ceil(most.max(1));
    labels.iter().enumerate().step_by(step.max(1))
}

/// The scene and the numbers held fixed, and the caution, in lines of this many letters.
fn caption(sweep: &Sweep, units: UnitSystem, letters: usize) -> Vec<String> {
    let s = &sweep.scene;
    let varied: Vec<&str> =
        sweep.grid.axes.iter().flat_map(|a| &a.fields).map(|(path, _)| path.as_str()).collect();
    let is_varied = |path: &str| varied.iter().any(|v| v.starts_with(path));
    let mut held = Vec::new();
    if !is_varied("vehicle.mass") && !is_varied("vehicle=") {
        held.push(format!("vehicle {}, {}", s.vehicle.name, units.mass(s.vehicle.mass_kg)));
    }
    let g = &s.ground;
    let wet = if g.wet { "wet" } else { "dry" };
    let mut ground = format!("{wet} {}", g.surface);
    if !is_varied("ground.slope") && !is_varied("ground.cross_slope") {
        let _ = write!(
            ground,
            ", slope {} and across {}",
            units.angle(g.slope_rad),
            units.angle(g.cross_slope_rad)
        );
    }
    held.push(ground);
    if !is_varied("friction") && !is_varied("ground.friction") {
        held.push(format!(
            "friction {:.0} % of the table's, {:.0} % on the ground",
            100.0 * s.friction_share,
            100.0 * s.friction_share * g.friction_share
        ));
    }
    for stack in &s.stacks {
        let path = format!("stacks.{}", stack.name);
        if !is_varied(&path) {
            held.push(format!("stack {} {} high", stack.name, units.gap(stack.height_m())));
        }
    }
    let chocks = match s.chocks.len() {
        0 => "no chocks".to_owned(),
        n => format!("{n} chocks"),
    };
    if !is_varied("chocks") {
        held.push(chocks);
    }
    let changed = match sweep.changes.len() {
        0 => String::new(),
        _ => format!(" Changed from the scene as written: {}.", sweep.changes.join("; ")),
    };
    let samples = match sweep.samples {
        None => " Each cell is played once, as written.".to_owned(),
        Some(n) => format!(
            " Each cell is played {n} times: mass within {:.0} %, friction within {:.0} %, stacks \
             set within {}, seed {}.",
            100.0 * s.spread.mass_share,
            100.0 * s.spread.friction_share,
            units.gap(s.spread.place_m),
            sweep.seed
        ),
    };
    let text = format!(
        "Scene: {}. Held fixed: {}; all else as the scene has it.{changed}{samples} {}",
        s.name,
        held.join("; "),
        s.data
    );
    let lines = textwrap::wrap(&text, letters).into_iter().chain(textwrap::wrap(CAUTION, letters));
    lines.map(Into::into).collect()
}

fn caution_lines(width: f64) -> usize {
    textwrap::wrap(CAUTION, ((width - 20.0) / LETTER) as usize).len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sweep::grid::Grid;
    use crate::sweep::row::headings;

    fn sweep(vary: &[&str]) -> Sweep {
        let axes = vary.iter().map(|text| Axis::parse(text).unwrap()).collect();
        Sweep::new("beam-lift", &[], Grid::new(axes).unwrap(), None, 1).unwrap()
    }

    /// A table in which the lift fails from a value on, and the margin on paper is a plane.
    fn table(
        sweep: &Sweep,
        fails: &dyn Fn(&[usize]) -> bool,
        paper: &dyn Fn(&[usize]) -> f64,
    ) -> Table {
        let headings = headings(&sweep.grid);
        let rows = (0..sweep.grid.cells())
            .map(|cell| {
                let place = sweep.grid.place(cell);
                let failed = fails(&place);
                let field = |head: &String| match head.as_str() {
                    "cell" => cell.to_string(),
                    "plays" => "1".into(),
                    "failed" => u8::from(failed).to_string(),
                    "lifted" => u8::from(!failed).to_string(),
                    "outcome" => if failed { "failed" } else { "lifted" }.into(),
                    "cause" => if failed { "topple" } else { "" }.into(),
                    "paper_topple" => paper(&place).to_string(),
                    _ => String::new(),
                };
                CellRow { cell, fields: headings.iter().map(field).collect() }
            })
            .collect();
        Table { headings, rows }
    }

    /// Five by four cells of 96 units. It fails from the third column on: the boundary runs
    /// along x = 92 + 2 x 96 = 284 from y = 68 to 68 + 4 x 96 = 452. On paper the margin is
    /// 1.75 less a column's number: the line stands 1.75 cells right of the first column's
    /// middle, at 92 + 48 + 168 = 308.
    #[test]
    fn boundary_and_paper_stand_where_they_belong() {
        let sweep = sweep(&["ground.slope=0 deg..4 deg:5", "vehicle.mass=1300 kg..1600 kg:4"]);
        let fails = |place: &[usize]| place[0] >= 2;
        let svg =
            table(&sweep, &fails, &|place| 1.75 - place[0] as f64).map(&sweep, UnitSystem::Us);
        let svg = svg.unwrap();
        for piece in
            ["M284.0 68.0v96.0", "M284.0 356.0v96.0", "M308.0 404.0L308.0 308.0", "L308.0 116.0"]
        {
            assert!(svg.contains(piece), "{piece} is missing in\n{svg}");
        }
        assert!(!svg.contains("M188.0 68.0v"), "a boundary where there is none");
        for text in [
            "topple on paper",
            "failed: topple (12)",
            "lifted (8)",
            "vehicle.mass, lb",
            "qualified",
        ] {
            assert!(svg.contains(text), "{text} is missing in\n{svg}");
        }
        // Turned round, the line turns with it: 1.25 cells above the lowest row's middle,
        // at 452 - 48 - 120 = 284.
        let fails = |place: &[usize]| place[1] >= 2;
        let svg =
            table(&sweep, &fails, &|place| 1.25 - place[1] as f64).map(&sweep, UnitSystem::Si);
        let svg = svg.unwrap();
        assert!(svg.contains("M92.0 260.0h96.0") && svg.contains(" 284.0"), "{svg}");
        assert!(svg.contains("vehicle.mass, kg"));
    }

    #[test]
    fn a_third_axis_puts_maps_side_by_side_and_a_fourth_is_refused() {
        let vary = ["ground.slope=0 deg..4 deg:5", "ground.wet=false,true", "chocks=[],[]"];
        let three = sweep(&vary);
        let svg = table(&three, &|_| false, &|_| 1.0).map(&three, UnitSystem::Si).unwrap();
        assert_eq!(svg.matches("chocks = []").count(), 2);
        assert!(svg.contains("lifted (20)") && !svg.contains("on paper</text><text"));
        let four = sweep(&[&vary[..], &["friction=90 %,100 %"]].concat());
        let why =
            table(&four, &|_| false, &|_| 1.0).map(&four, UnitSystem::Si).unwrap_err().to_string();
        assert!(why.contains("one to three"), "{why}");
    }
}
