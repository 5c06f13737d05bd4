//! What is varied: axes of values, and the cells that they span.

use crate::printable::{brief, hidden_in, is_formula};
use crate::units::{self, Dimension, UnitSystem};

/// A sweep larger than this is a slip of the pen.
const MOST_CELLS: usize = 1_000_000;
/// Fields that change are columns of the table, and corners of the grid are checked before it
/// is played: two for each axis, multiplied.
const MOST_FIELDS: usize = 32;
pub(super) const MOST_AXES: usize = 10;
/// The most characters of an axis that a message repeats.
const MOST_SHOWN: usize = 120;

/// Why axes make no grid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GridError {
    #[error("\"{text}\" has no `=`; {HOW}")]
    NoEquals { text: String },
    #[error("\"{text}\" has nothing on one side of its `=`; {HOW}")]
    OneSide { text: String },
    #[error("\"{text}\" does not say how many values; write FROM..TO:N such as 3..12:10")]
    NoCount { text: String },
    #[error("\"{text}\": \"{count}\" is not a number of values; choose 2 to 1000")]
    Count { text: String, count: String },
    #[error("\"{text}\": \"{end}\" does not start with a number; {HOW_RANGE}")]
    NoNumber { text: String, end: String },
    #[error("\"{text}\" goes from \"{from}\" to \"{to}\"; {HOW_RANGE}")]
    Units { text: String, from: String, to: String },
    #[error(
        "\"{text}\": what changes together needs equally many values, not {counts:?}; give each \
         the same number"
    )]
    Unequal { text: String, counts: Vec<usize> },
    #[error("`{path}` is varied twice; vary it once")]
    Twice { path: String },
    #[error("\"{text}\": its ends are too far apart to be numbers between; bring them nearer")]
    TooFar { text: String },
    #[error(
        "\"{text}\": \"{value}\" would be a formula in a spreadsheet, or holds a character that \
         cannot be shown; {HOW}"
    )]
    Unprintable { text: String, value: String },
    #[error("has {fields} fields on {axes} axes; vary at most {MOST_FIELDS} on {MOST_AXES}")]
    Fields { fields: usize, axes: usize },
    #[error("has more than {MOST_CELLS} cells; give fewer values")]
    Cells,
}

const HOW: &str = "write PATH=FROM..TO:N such as 'ground.slope=0 deg..12 deg:7', or PATH=a,b,c";
const HOW_RANGE: &str = "write FROM..TO:N with the same unit at both ends, such as 0 deg..12 deg:7";

/// One field of the scene, or several that change together, with its values in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// For each field its dotted path and its values as `--change` takes them; all have
    /// equally many. The first one names the axis.
    pub fields: Vec<(String, Vec<String>)>,
}

impl Axis {
    /// Reads `PATH=FROM..TO:N` or `PATH=a,b,c`; several joined by `&` change together.
    ///
    /// # Errors
    /// What is wrong with it and how to write it.
    pub fn parse(text: &str) -> Result<Self, GridError> {
        let fields: Vec<(String, Vec<String>)> =
            text.split('&').map(field).collect::<Result<_, _>>()?;
        let counts: Vec<usize> = fields.iter().map(|(_, values)| values.len()).collect();
        if counts.iter().any(|n| *n != counts[0]) {
            let text = brief(text, MOST_SHOWN).into();
            return Err(GridError::Unequal { text, counts });
        }
        Ok(Self { fields })
    }

    pub fn name(&self) -> &str {
        &self.fields[0].0
    }

    pub fn len(&self) -> usize {
        self.fields[0].1.len()
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The changes at one value.
    pub fn changes(&self, index: usize) -> impl Iterator<Item = (&str, &str)> {
        self.fields.iter().map(move |(path, values)| (path.as_str(), values[index].as_str()))
    }

    /// The first field's values as numbers, with what they measure; none where one of them
    /// is no number.
    pub fn numbers(&self) -> Option<Scale> {
        let values = &self.fields[0].1;
        let bare: Option<Vec<f64>> = values.iter().map(|v| v.parse().ok()).collect();
        if let Some(values) = bare {
            return Some(Scale { dimension: None, values });
        }
        let read: Option<Vec<(Dimension, f64)>> = values.iter().map(|v| units::read(v)).collect();
        let read = read?;
        let dimension = read[0].0;
        let is_one_dimension = read.iter().all(|(d, _)| *d == dimension);
        is_one_dimension.then(|| Scale {
            dimension: Some(dimension),
            values: read.into_iter().map(|(_, v)| v).collect(),
        })
    }
}

/// Numbers along an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    /// None for plain counts.
    pub dimension: Option<Dimension>,
    /// SI.
    pub values: Vec<f64>,
}

impl Scale {
    /// The SI value of one display unit, and that unit's name.
    pub fn shown_in(&self, units: UnitSystem) -> (f64, &'static str) {
        self.dimension.map_or((1.0, ""), |d| d.shown_in(units))
    }
}

/// A number and what stands behind it.
fn split(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = (0..=text.len())
        .rev()
        .filter(|&i| text.is_char_boundary(i))
        .find(|&i| text[..i].parse::<f64>().is_ok_and(f64::is_finite))?;
    Some((text[..end].parse().ok()?, text[end..].trim()))
}

/// A number with its unit; ten digits hide what binary fractions leave behind.
fn write(value: f64, unit: &str) -> String {
    let rounded: f64 = format!("{value:.9e}").parse().unwrap_or(value);
    // Never "-0".
    format!("{} {unit}", rounded + 0.0).trim_end().to_owned()
}

fn field(text: &str) -> Result<(String, Vec<String>), GridError> {
    let text = text.trim();
    let whole = || brief(text, MOST_SHOWN).into_owned();
    let (path, values) =
        text.split_once('=').ok_or_else(|| GridError::NoEquals { text: whole() })?;
    let (path, values) = (path.trim(), values.trim());
    if path.is_empty() || values.is_empty() {
        return Err(GridError::OneSide { text: whole() });
    }
    let values = match values.split_once("..") {
        Some((from, rest)) => range(text, from, rest)?,
        None => list(values),
    };
    let mut cells = std::iter::once(path).chain(values.iter().map(String::as_str));
    if let Some(cell) = cells.find(|cell| is_formula(cell) || hidden_in(cell).is_some()) {
        let value = brief(cell, MOST_SHOWN).into();
        return Err(GridError::Unprintable { text: whole(), value });
    }
    Ok((path.to_owned(), values))
}

fn range(text: &str, from: &str, rest: &str) -> Result<Vec<String>, GridError> {
    let whole = || brief(text, MOST_SHOWN).into_owned();
    let (to, n) = rest.rsplit_once(':').ok_or_else(|| GridError::NoCount { text: whole() })?;
    let n = n.trim();
    let n: usize = n
        .parse()
        .ok()
        .filter(|n| (2..=1000).contains(n))
        .ok_or_else(|| GridError::Count { text: whole(), count: n.to_owned() })?;
    let number = |end: &'_ str| {
        let no_number = || GridError::NoNumber { text: whole(), end: end.trim().to_owned() };
        split(end).map(|(v, u)| (v, u.to_owned())).ok_or_else(no_number)
    };
    let ((a, unit), (b, to)) = (number(from)?, number(to)?);
    if unit != to {
        return Err(GridError::Units { text: whole(), from: unit, to });
    }
    if !(b - a).is_finite() {
        return Err(GridError::TooFar { text: whole() });
    }
    Ok((0..n)
        .map(|i| {
            let share = i as f64 / (n - 1) as f64;
            write(a + share * (b - a), &unit)
        })
        .collect())
}

/// Splits at commas that stand in no brackets and no quotes.
fn list(text: &str) -> Vec<String> {
    let (mut out, mut depth, mut quoted) = (vec![String::new()], 0_i32, false);
    for c in text.chars() {
        match c {
            '"' => quoted = !quoted,
            '[' | '(' if !quoted => depth += 1,
            ']' | ')' if !quoted => depth -= 1,
            _ => {}
        }
        if c == ',' && depth == 0 && !quoted {
            out.push(String::new());
        } else if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    out.into_iter().map(|item| item.trim().to_owned()).collect()
}

/// Axes and the cells between them. A cell's number counts the last axis fastest.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    pub axes: Vec<Axis>,
}

impl Grid {
    /// # Errors
    /// A field that two axes change, or more cells than anyone means.
    pub fn new(axes: Vec<Axis>) -> Result<Self, GridError> {
        let (count, fields) = (axes.len(), axes.iter().map(|axis| axis.fields.len()).sum());
        if fields > MOST_FIELDS || count > MOST_AXES {
            return Err(GridError::Fields { fields, axes: count });
        }
        let mut seen: Vec<&str> = Vec::new();
        for (path, _) in axes.iter().flat_map(|axis| &axis.fields) {
            if seen.contains(&path.as_str()) {
                return Err(GridError::Twice { path: path.clone() });
            }
            seen.push(path);
        }
        let cells = axes.iter().try_fold(1_usize, |n, axis| n.checked_mul(axis.len()));
        if cells.is_none_or(|n| n > MOST_CELLS) {
            return Err(GridError::Cells);
        }
        Ok(Self { axes })
    }

    pub fn cells(&self) -> usize {
        self.axes.iter().map(Axis::len).product()
    }

    /// The index along each axis.
    pub fn place(&self, cell: usize) -> Vec<usize> {
        let mut rest = cell;
        let mut place: Vec<usize> = self
            .axes
            .iter()
            .rev()
            .map(|axis| {
                let index = rest % axis.len();
                rest /= axis.len();
                index
            })
            .collect();
        place.reverse();
        place
    }

    /// The cell at an index along each axis.
    pub fn cell(&self, place: &[usize]) -> usize {
        self.axes.iter().zip(place).fold(0, |cell, (axis, index)| cell * axis.len() + index)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(text: &str) -> Vec<String> {
        Axis::parse(text).unwrap().fields.remove(0).1
    }

    #[test]
    fn ranges_and_lists_are_read() {
        assert_eq!(values("a.b=0 deg..0.3 deg:4"), ["0 deg", "0.1 deg", "0.2 deg", "0.3 deg"]);
        assert_eq!(values("a=3..5:3"), ["3", "4", "5"]);
        assert_eq!(values("a=-1 m..1 m:3"), ["-1 m", "0 m", "1 m"]);
        assert_eq!(values("a=[],[(x: \"1, 2\", y: 3)]"), ["[]", "[(x: \"1, 2\", y: 3)]"]);
        let both = Axis::parse("a=1 m..2 m:3 & b=-1 m..-2 m:3").unwrap();
        assert_eq!(both.changes(1).collect::<Vec<_>>(), [("a", "1.5 m"), ("b", "-1.5 m")]);
    }

    #[test]
    fn a_wrong_axis_says_how_to_write_it() {
        for (text, word) in [
            ("a", "has no `=`"),
            ("=3", "nothing on one side"),
            ("a=1 m..2 m", "how many values"),
            ("a=1 m..2 m:1", "choose 2 to 1000"),
            ("a=1 m..2 m:x", "choose 2 to 1000"),
            ("a=1 m..2 in:3", "same unit"),
            ("a=x..y:3", "does not start with a number"),
            ("a=1,2 & b=1,2,3", "equally many"),
        ] {
            let why = Axis::parse(text).unwrap_err().to_string();
            assert!(why.contains(word), "{text}: {why}");
        }
        let axis = |text: &str| Axis::parse(text).unwrap();
        assert!(
            Grid::new(vec![axis("a=1,2"), axis("a=3,4")])
                .unwrap_err()
                .to_string()
                .contains("twice")
        );
        let many = Grid::new(vec![axis("a=1..1000:1000"), axis("b=1..9:9"), axis("c=1..999:999")]);
        assert!(many.unwrap_err().to_string().contains("cells"));
    }

    #[test]
    fn cells_count_the_last_axis_fastest() {
        let axis = |text: &str| Axis::parse(text).unwrap();
        let grid = Grid::new(vec![axis("a=1,2"), axis("b=1,2,3")]).unwrap();
        let places: Vec<_> = (0..grid.cells()).map(|cell| grid.place(cell)).collect();
        assert_eq!(places, [[0, 0], [0, 1], [0, 2], [1, 0], [1, 1], [1, 2]]);
        assert!((0..6).all(|cell| grid.cell(&grid.place(cell)) == cell));
    }
}
