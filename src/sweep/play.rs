//! Plays the cells of a sweep on as many threads as are asked for.

use super::Sweep;
use super::journal::Journal;
use super::table::{Row, Table, heads};
use crate::debrief::{Debrief, Keep, play};
use crate::scene::{Cause, Outcome, Problem, Scene};
use crate::statics::sheet::Sheet;
use crate::units::System;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, mpsc};

/// A part of a sweep: every `of`-th cell, from the `first` on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// From 1 to `of`.
    pub first: usize,
    pub of: usize,
}

impl Share {
    pub const WHOLE: Self = Self { first: 1, of: 1 };

    /// Reads `I/N`.
    ///
    /// # Errors
    /// How to write it.
    pub fn parse(text: &str) -> Result<Self, String> {
        let parts = text.split_once('/').and_then(|(i, n)| {
            Some((i.trim().parse::<usize>().ok()?, n.trim().parse::<usize>().ok()?))
        });
        match parts {
            Some((first, of)) if (1..=of).contains(&first) => Ok(Self { first, of }),
            _ => Err(format!(
                "\"{text}\" is no part of a whole; write I/N with I from 1 to N, such as 1/8"
            )),
        }
    }

    fn cells(self, all: usize) -> impl Iterator<Item = usize> {
        (self.first - 1..all).step_by(self.of)
    }
}

/// How far a sweep has come.
pub struct Told {
    pub done: usize,
    pub of: usize,
    /// Whether the cell was taken from an earlier run that was cut short.
    pub kept: bool,
}

impl Sweep {
    /// Plays every cell of a share that the journal does not hold yet. Each one is noted
    /// there as soon as it is done; the journal may be none.
    ///
    /// # Errors
    /// A journal of another sweep, or one that cannot be written.
    pub fn play(
        &self,
        share: Share,
        threads: usize,
        journal: Option<&Path>,
        told: &mut dyn FnMut(Told),
    ) -> Result<Table, String> {
        let wanted: Vec<usize> = share.cells(self.grid.cells()).collect();
        let heads = heads(self);
        let (mut journal, mut rows) = match journal {
            Some(path) => {
                let (journal, rows) = Journal::open(path, &heads, self.key())?;
                (Some(journal), rows)
            }
            None => (None, Vec::new()),
        };
        rows.retain(|row| wanted.contains(&row.cell));
        let of = wanted.len();
        for done in 0..rows.len() {
            told(Told { done: done + 1, of, kept: true });
        }
        let held: std::collections::BTreeSet<usize> = rows.iter().map(|row| row.cell).collect();
        let left: Vec<usize> = wanted.into_iter().filter(|cell| !held.contains(cell)).collect();
        let next = AtomicUsize::new(0);
        let stopped = AtomicBool::new(false);
        let (send, receive) = mpsc::channel();
        std::thread::scope(|scope| {
            for _ in 0..threads.clamp(1, left.len().max(1)) {
                let (send, next, left, stopped) = (send.clone(), &next, &left, &stopped);
                scope.spawn(move || {
                    while let Some(&cell) = left.get(next.fetch_add(1, Ordering::Relaxed)) {
                        let row = self.cell(cell);
                        if send.send(row).is_err() || stopped.load(Ordering::Relaxed) {
                            return;
                        }
                    }
                });
            }
            drop(send);
            for row in receive {
                if let Some(journal) = &mut journal
                    && let Err(why) = journal.note(&row)
                {
                    stopped.store(true, Ordering::Relaxed);
                    return Err(why);
                }
                rows.push(row);
                told(Told { done: rows.len(), of, kept: false });
            }
            Ok(())
        })?;
        rows.sort_by_key(|row| row.cell);
        Ok(Table { heads, rows })
    }

    /// Plays one cell.
    fn cell(&self, cell: usize) -> Row {
        match self.scenes(cell) {
            Ok(scenes) => {
                let paper = self.paper(cell);
                let plays: Vec<Debrief> = scenes.into_iter().map(play_one).collect();
                Row::played(self, cell, &plays, &paper)
            }
            Err(problems) => Row::refused(self, cell, &told_shortly(&problems)),
        }
    }

    /// The least margins on paper of the cell as written, in the order of [`Cause::WORDS`].
    fn paper(&self, cell: usize) -> Vec<Option<f64>> {
        let Ok(scene) = self.scene_at(cell) else { return vec![None; Cause::WORDS.len()] };
        let sheet = Sheet::of(&scene, System::Si);
        Cause::WORDS.iter().map(|(_, cause)| sheet.margin(*cause)).collect()
    }
}

fn play_one(scene: Scene) -> Debrief {
    play(Arc::new(scene), System::Si, Keep::Nothing, &mut |_, _| {})
}

/// The first problem in a line; how many more there are.
fn told_shortly(problems: &[Problem]) -> String {
    let first = problems
        .first()
        .map_or(String::new(), |p| format!("{}: {}", p.path, p.text.in_units(System::Si)));
    match problems.len() {
        0 | 1 => first,
        n => format!("{first} (and {} more)", n - 1),
    }
}

/// How a cell's plays ended, most often; the worse of two that are as frequent.
pub(super) fn most_frequent(plays: &[Debrief]) -> (Outcome, Option<Cause>) {
    let count = |outcome| plays.iter().filter(|d| d.outcome == outcome).count();
    let outcome = [Outcome::Lifted, Outcome::Incomplete, Outcome::Failed]
        .into_iter()
        .max_by_key(|outcome| count(*outcome))
        .unwrap_or(Outcome::Failed);
    let failed_by = |cause| plays.iter().filter(|d| d.cause == Some(cause)).count();
    // Of two as frequent the one that the list of causes names first.
    let cause = Cause::WORDS.iter().rev().map(|(_, c)| *c).max_by_key(|c| failed_by(*c));
    (outcome, cause.filter(|_| outcome == Outcome::Failed))
}
