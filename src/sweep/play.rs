//! Plays the cells of a sweep on as many threads as are asked for.

use super::cells::Sweep;
use super::identity::margins;
use super::journal::{Journal, JournalError};
use super::row::{CellRow, headings};
use super::share::SweepPart;
use super::table::Table;
use crate::debrief::{Debrief, FrameRetention, play};
use crate::parallel::{self, ThreadsError};
use crate::scene::{Cause, Problem, Scene};
use crate::units::UnitSystem;
use std::collections::BTreeMap;
use std::sync::Arc;

/// How far a sweep has come.
pub struct SweepProgress {
    pub done: usize,
    pub of: usize,
    /// Whether the cell was taken from an earlier run that was cut short.
    pub kept: bool,
}

/// Why a sweep did not come to its end.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlayError {
    #[error(transparent)]
    Threads(#[from] ThreadsError),
    #[error(transparent)]
    Journal(#[from] JournalError),
}

impl Sweep {
    /// Plays every cell of a share that the journal does not hold yet. Each one is noted
    /// there as soon as it is done; the journal may be none.
    ///
    /// # Errors
    /// Threads that cannot be started, or a journal that cannot be written.
    pub fn play(
        &self,
        share: SweepPart,
        threads: usize,
        journal: Option<&mut Journal>,
        told: &mut dyn FnMut(SweepProgress),
    ) -> Result<Table, PlayError> {
        let wanted: Vec<usize> = share.cells(self.grid.cells()).collect();
        let mut rows: BTreeMap<usize, CellRow> = BTreeMap::new();
        if let Some(journal) = &journal {
            rows.extend(journal.rows().map(|row| (row.cell, row.clone())));
            rows.retain(|cell, _| wanted.binary_search(cell).is_ok());
        }
        let of = wanted.len();
        for done in 1..=rows.len() {
            told(SweepProgress { done, of, kept: true });
        }
        let left: Vec<usize> = wanted.into_iter().filter(|cell| !rows.contains_key(cell)).collect();
        let (mut done, mut journal) = (rows.len(), journal);
        let played = parallel::each(&left, threads, |cell| self.play_cell(*cell), &mut |row| {
            if let Some(journal) = &mut journal {
                journal.note(row)?;
            }
            done += 1;
            told(SweepProgress { done, of, kept: false });
            Ok::<_, PlayError>(())
        })?;
        rows.extend(played.into_iter().map(|row| (row.cell, row)));
        Ok(Table { headings: headings(&self.grid), rows: rows.into_values().collect() })
    }

    /// Plays one cell.
    fn play_cell(&self, cell: usize) -> CellRow {
        match self.scenes(cell) {
            Ok(scenes) => {
                let of = scenes.len();
                let (plays, jammed): (Vec<Debrief>, Vec<Debrief>) =
                    scenes.into_iter().map(play_one).partition(|d| d.impossible.is_none());
                let why = jammed.iter().find_map(|d| d.impossible.as_ref());
                let why = why.map_or_else(String::new, |jam| jam.say(UnitSystem::Si));
                match (plays.len(), jammed.len()) {
                    (0, _) => CellRow::jammed(self, cell, &why),
                    (_, 0) => CellRow::played(self, cell, &plays, &self.paper(cell), why),
                    (_, n) => {
                        let why = format!("{n} of {of} cannot begin: {why}");
                        CellRow::played(self, cell, &plays, &self.paper(cell), why)
                    }
                }
            }
            Err(problems) => CellRow::refused(self, cell, &first_problem_line(&problems)),
        }
    }

    /// The least margins on paper of the cell as written, in the order of [`Cause::WORDS`].
    fn paper(&self, cell: usize) -> Vec<Option<f64>> {
        match self.scene_at(cell) {
            Ok(scene) => margins(&scene),
            Err(_) => vec![None; Cause::WORDS.len()],
        }
    }
}

fn play_one(scene: Scene) -> Debrief {
    play(Arc::new(scene), UnitSystem::Si, FrameRetention::None, &mut |_, _| {})
}

/// The first problem in a line; how many more there are.
fn first_problem_line(problems: &[Problem]) -> String {
    let first = problems
        .first()
        .map_or(String::new(), |p| format!("{}: {}", p.path, p.text.in_units(UnitSystem::Si)));
    match problems.len() {
        0 | 1 => first,
        n => format!("{first} (and {} more)", n - 1),
    }
}
