//! The tables of a sweep's parts, put together into one.

use super::cells::Sweep;
use super::row::{CellRow, headings};
use super::table::Table;
use crate::files::{self, ReadError};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// More than a table of the most cells takes.
const LARGEST_BYTES: u64 = 1 << 30;

/// Why the tables of some parts make no whole.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JoinError {
    #[error("{}: cannot be read: {source}", file.display())]
    Unread { file: PathBuf, source: csv::Error },
    #[error("{}: cannot be read: it {why}", file.display())]
    Unopened { file: PathBuf, why: ReadError },
    #[error(
        "{} is not a table of this sweep: scene, grid, samples and seed must be those it was \
         played with",
        file.display()
    )]
    OtherSweep { file: PathBuf },
    #[error(
        "{} was played by another build of the program, whose lifts differ from this one's; play \
         all of the sweep with one build",
        file.display()
    )]
    OtherPhysics { file: PathBuf },
    #[error(
        "{}: cell {cell} came out differently in two files: they were played by different programs; \
         play all of it with one",
        file.display()
    )]
    Differs { file: PathBuf, cell: usize },
    #[error(
        "{} of {of} cells are in none of the files (the first: {}); give the tables of all parts",
        missing.len(),
        missing.iter().take(8).map(usize::to_string).collect::<Vec<_>>().join(", ")
    )]
    Missing { missing: Vec<usize>, of: usize },
}

impl Table {
    /// The whole of a sweep from the tables of its parts.
    ///
    /// # Errors
    /// A file that cannot be read or is of another sweep, cells given twice with different
    /// values, or cells that are missing.
    pub fn joined(sweep: &Sweep, files: &[impl AsRef<Path>]) -> Result<Self, JoinError> {
        let headings = headings(&sweep.grid);
        let mut rows: BTreeMap<usize, CellRow> = BTreeMap::new();
        for file in files {
            let file = file.as_ref().to_owned();
            for row in part(sweep, &headings, &file)? {
                match rows.get(&row.cell) {
                    Some(before) if *before != row => {
                        return Err(JoinError::Differs { file, cell: row.cell });
                    }
                    _ => rows.insert(row.cell, row),
                };
            }
        }
        let cells = sweep.grid.cells();
        let missing: Vec<usize> = (0..cells).filter(|cell| !rows.contains_key(cell)).collect();
        match missing.is_empty() {
            true => Ok(Self { headings, rows: rows.into_values().collect() }),
            false => Err(JoinError::Missing { missing, of: cells }),
        }
    }
}

/// The cells that the table of one part tells.
fn part(sweep: &Sweep, headings: &[String], file: &Path) -> Result<Vec<CellRow>, JoinError> {
    let unread = |source| JoinError::Unread { file: file.to_owned(), source };
    let other = || JoinError::OtherSweep { file: file.to_owned() };
    let bytes = files::read(file, LARGEST_BYTES);
    let bytes = bytes.map_err(|why| JoinError::Unopened { file: file.to_owned(), why })?;
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    if !reader.headers().map_err(unread)?.iter().eq(headings.iter().map(String::as_str)) {
        return Err(other());
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let fields: Vec<String> = record.map_err(unread)?.iter().map(str::to_owned).collect();
        if fields.last().is_some_and(|key| sweep.key().differs_in_physics(key)) {
            return Err(JoinError::OtherPhysics { file: file.to_owned() });
        }
        rows.push(CellRow::from_fields(sweep, fields).ok_or_else(other)?);
    }
    Ok(rows)
}
