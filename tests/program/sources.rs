//! The program's own source, as the tests of its structure read it.

use std::path::{Path, PathBuf};

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file with Rust below a folder, in a fixed order.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    let mut out = Vec::new();
    for path in entries {
        if path.is_dir() {
            out.extend(files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
    out
}

/// Every file with Rust below a folder of the program: its path below the root, and its code
/// without comments.
pub fn code_below(folder: &str) -> Vec<(String, String)> {
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        let code = text.lines().map(|l| l.split("//").next().unwrap_or("").to_owned() + "\n");
        (path.strip_prefix(root()).unwrap().display().to_string(), code.collect())
    };
    files(&root().join(folder)).into_iter().map(read).collect()
}

/// The program's sources: path below the root, the module it belongs to, and its code
/// without comments.
pub fn sources() -> Vec<(String, String, String)> {
    let with_module = |(path, code): (String, String)| {
        let first = path.split('/').nth(1).unwrap();
        (path.clone(), first.trim_end_matches(".rs").to_owned(), code)
    };
    code_below("src").into_iter().map(with_module).collect()
}

pub fn words(code: &str) -> impl Iterator<Item = &str> {
    code.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|word| !word.is_empty())
}
