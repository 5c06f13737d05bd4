//! docs/VERIFICATION.md is what the tests found. Each test holds its own row; here every
//! row is held to have its test, and every claim its row.
//!
//! To write the page anew, in one command:
//!
//!     INCHWISE_RESIDUALS=write cargo test --release --no-default-features --test 'val_*' --test verification

mod common;

use common::{PAGE, notes, root};
use std::collections::BTreeSet;

const HEAD: &str = include_str!("reference/verification_head.md");

/// The head's text, cut at its tables; each piece but the first begins with a table's name.
fn pieces() -> impl Iterator<Item = &'static str> {
    HEAD.split("{table ")
}

/// The ids of every claim, from the sources of the tests.
fn claimed() -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    for entry in std::fs::read_dir(root().join("tests")).expect("the tests are there") {
        let path = entry.expect("a test").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        if !name.starts_with("val_") {
            continue;
        }
        let family = name.trim_start_matches("val_").trim_end_matches(".rs").to_owned();
        let text = std::fs::read_to_string(&path).expect("a test's text");
        // An id is a string of its own: "family.name".
        for piece in text.split('"') {
            if piece.strip_prefix(&family).is_some_and(|rest| {
                rest.strip_prefix('.')
                    .is_some_and(|id| id.chars().all(|c| c.is_ascii_alphanumeric() || c == '_'))
            }) {
                ids.insert(piece.to_owned());
            }
        }
    }
    ids
}

#[test]
fn the_page_has_a_row_for_each_claim_and_no_other() {
    let claimed = claimed();
    assert!(claimed.len() > 25, "only {} claims were found", claimed.len());
    let writing = std::env::var("INCHWISE_RESIDUALS").is_ok_and(|v| v == "write");
    if writing {
        let mut page = String::new();
        for (i, piece) in pieces().enumerate() {
            let table = piece.split_once("}\n").filter(|_| i > 0);
            let Some((name, text)) = table else {
                page += piece;
                continue;
            };
            let noted = std::fs::read_to_string(notes().join(format!("table.{name}")));
            page += &noted.expect("a table is noted: run the tests named above first");
            page += text;
        }
        let mut family = "";
        for id in &claimed {
            let Ok(row) = std::fs::read_to_string(notes().join(id)) else {
                panic!("{id} has noted no residual: run the tests named above first")
            };
            let now = id.split('.').next().unwrap_or_default();
            if now != family {
                page += &format!(
                    "\n## {now}\n\nHeld by `tests/val_{now}.rs`.\n\n| id | claim | held against | \
                     range | tolerance and its reason | worst residual |\n|---|---|---|---|---|---|\n"
                );
                family = now;
            }
            page += &row;
            page += "\n";
        }
        std::fs::write(root().join(PAGE), page).expect("the page is written");
    }
    let page = std::fs::read_to_string(root().join(PAGE)).expect("the page is there");
    let mut rest = page.as_str();
    for (i, piece) in pieces().enumerate() {
        let text = if i == 0 { piece } else { piece.split_once("}\n").unwrap_or_default().1 };
        let found = rest.find(text).filter(|at| i > 0 || *at == 0);
        let Some(at) = found else { panic!("{PAGE} no longer says as tests/reference: {text}") };
        rest = &rest[at + text.len()..];
    }
    let rows: BTreeSet<String> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split(" | ").next())
        .filter(|id| id.contains('.') && !id.contains(' '))
        .map(str::to_owned)
        .collect();
    assert_eq!(rows, claimed);
}
