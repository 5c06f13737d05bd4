//! The built program as it is typed, for the tests that run it.

use std::process::{Command, Output};
use tempfile::TempDir;

/// Runs it in the project's folder, where the shelf is.
pub fn inchwise(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        // Mesa's choice between graphics cards looks for a display, and complains aloud where
        // there is none: a driver's words, not the program's.
        .env("NODEVICE_SELECT", "1")
        .output()
        .expect("the program starts")
}

/// A folder that a test may write in; it goes with the test.
pub fn scratch() -> TempDir {
    tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder")
}

/// All that it printed.
pub fn said(out: &Output) -> String {
    String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr)
}
