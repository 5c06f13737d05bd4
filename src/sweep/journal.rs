//! Remembers each cell as soon as it is done, so that a sweep that was cut short goes on
//! where it stopped. One line a cell; a line that was torn by the end is dropped.

use super::table::Row;
use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

pub struct Journal {
    file: File,
    path: PathBuf,
}

impl Journal {
    /// Opens a journal, or begins one, and gives the cells that it holds.
    ///
    /// # Errors
    /// A file that cannot be read or written, or one of another sweep.
    pub fn open(path: &Path, heads: &[String], key: u64) -> Result<(Self, Vec<Row>), String> {
        let shown = path.display();
        let fail = |why: std::io::Error| format!("{shown}: cannot be used as journal: {why}");
        let mut file =
            OpenOptions::new().read(true).append(true).create(true).open(path).map_err(fail)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(fail)?;
        let head = line(&[format!("inchwise sweep {key:016x}")]);
        let mut good = 0;
        let mut rows = Vec::new();
        for (index, text) in bytes.split_inclusive(|b| *b == b'\n').enumerate() {
            let fields = (text.last() == Some(&b'\n'))
                .then(|| serde_json::from_slice::<Vec<String>>(text).ok())
                .flatten();
            match (index, fields) {
                (0, Some(_)) if text == head.as_bytes() => {}
                (0, Some(_)) => {
                    return Err(format!(
                        "{shown} is the journal of another sweep, or of this one with another \
                         scene, grid or seed; remove it, or write to another file"
                    ));
                }
                (_, Some(fields)) => match Row::from_fields(heads, fields) {
                    Some(row) => rows.push(row),
                    None => break,
                },
                // Torn by the end of the program that wrote it.
                (_, None) => break,
            }
            good += text.len();
        }
        file.set_len(good as u64).map_err(fail)?;
        let mut journal = Self { file, path: path.to_owned() };
        if good == 0 {
            journal.write(&head)?;
        }
        Ok((journal, rows))
    }

    pub fn note(&mut self, row: &Row) -> Result<(), String> {
        self.write(&line(&row.fields))
    }

    /// One call to the system for each line, so that a line is torn only by a crash of the
    /// machine, and seen to be.
    fn write(&mut self, line: &str) -> Result<(), String> {
        self.file
            .write_all(line.as_bytes())
            .map_err(|why| format!("{}: cannot be written: {why}", self.path.display()))
    }
}

/// A list of texts in JSON holds no line break of its own.
fn line(fields: &[String]) -> String {
    let json: Vec<_> = fields.iter().map(|f| serde_json::Value::from(f.as_str())).collect();
    serde_json::Value::from(json).to_string() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cut at any byte, a journal gives the whole lines before the cut, and what is written
    /// after it makes the same file as if it had never been cut.
    #[test]
    fn a_journal_cut_anywhere_goes_on() {
        let path = std::env::temp_dir().join(format!("inchwise-journal-{}", std::process::id()));
        let _ = std::fs::remove_file(&path);
        let heads = ["cell", "a \"b\""].map(String::from);
        let rows: Vec<Row> = (0..3)
            .map(|i| {
                Row::from_fields(&heads, vec![i.to_string(), format!("line\n{i} \"x\"")]).unwrap()
            })
            .collect();
        let (mut journal, none) = Journal::open(&path, &heads, 7).unwrap();
        assert!(none.is_empty());
        rows.iter().for_each(|row| journal.note(row).unwrap());
        let whole = std::fs::read(&path).unwrap();
        for cut in 0..=whole.len() {
            std::fs::write(&path, &whole[..cut]).unwrap();
            let (mut journal, held) = Journal::open(&path, &heads, 7).unwrap();
            assert_eq!(held, rows[..held.len()]);
            rows[held.len()..].iter().for_each(|row| journal.note(row).unwrap());
            assert_eq!(std::fs::read(&path).unwrap(), whole, "cut at {cut}");
        }
        assert!(Journal::open(&path, &heads, 8).err().unwrap().contains("another sweep"));
        std::fs::remove_file(&path).unwrap();
    }
}
