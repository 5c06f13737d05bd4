//! The command line: turns arguments into one of the program's jobs and its outcome
//! into an exit code.

mod attempts;
mod check;
mod class;
mod common;
#[cfg(feature = "view")]
mod console;
mod failure;
mod fields;
mod film;
mod frames;
mod outputs;
mod pictures;
mod run;
mod say;
mod sheet;
mod shelf;
mod sweep;
mod task;
mod window;

use crate::caution::CAUTION;
use clap::{Parser, Subcommand};
use std::ffi::{OsStr, OsString};
use std::process::ExitCode;

/// Rehearse the lift of an overturned vehicle off a trapped casualty, with true forces.
#[derive(Parser)]
#[command(name = "inchwise", version, about, after_help = CAUTION)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Open the window on a scene
    Open(window::OpenArgs),
    /// Play a scene's own orders without a window and print the debrief
    Run(run::RunArgs),
    /// Work a lift out on paper: formulas, numbers, sources, verdicts
    Sheet(sheet::SheetArgs),
    /// Play a class's scenes; print its plan, the instructor's pages and an answer sheet
    Class(class::ClassArgs),
    /// Print the brief of a task to practise alone; for the instructor, play it
    Task(task::TaskArgs),
    /// Show the log of attempts at tasks, as text, as a page and as a table
    Attempts(attempts::AttemptsArgs),
    /// Read and check scene files, class files and task files
    Check(check::CheckArgs),
    /// List the fields of a scene that `--change` can change, with limits and defaults
    Fields(fields::FieldsArgs),
    /// List every scene, play them all, write the page of lessons
    Shelf(shelf::ShelfArgs),
    /// Play a scene over a grid of values: a table, and a map of where it stops holding
    Sweep(sweep::SweepArgs),
    /// Measure how fast this machine draws a lift, off screen: needs no display
    Frames(frames::FramesArgs),
    /// Draw pictures along a lift, off screen
    Film(film::FilmArgs),
}

/// Options that have another name now.
const RENAMED: [(&str, &str); 3] =
    [("--set", "--change"), ("--shard", "--part"), ("--merge", "--join")];

/// The message about the first option that has another name now.
fn renamed(args: impl IntoIterator<Item = OsString>) -> Option<String> {
    let name_of = |arg: &OsStr| {
        let arg = arg.to_string_lossy();
        let name = arg.split('=').next().unwrap_or_default();
        RENAMED.iter().find(|(old, _)| *old == name)
    };
    let options = args.into_iter().take_while(|arg| arg != "--");
    let (old, new) = options.into_iter().find_map(|arg| name_of(&arg))?;
    Some(format!("{old} is now {new}"))
}

/// Runs the program.
pub fn main() -> ExitCode {
    let begun = web_time::Instant::now();
    let args: Vec<OsString> = wild::args_os().collect();
    if let Some(words) = renamed(args.iter().skip(1).cloned()) {
        say::problem(words);
        return ExitCode::from(failure::BAD_INPUT);
    }
    // clap ends the process itself on a wrong command line, with exit code 2.
    let done = match Cli::parse_from(args).command {
        None => window::shelf(),
        Some(Command::Open(args)) => window::open(&args),
        Some(Command::Run(args)) => run::run(&args),
        Some(Command::Sheet(args)) => sheet::run(&args),
        Some(Command::Class(args)) => class::run(&args),
        Some(Command::Task(args)) => task::run(&args),
        Some(Command::Attempts(args)) => attempts::run(&args),
        Some(Command::Check(args)) => check::run(&args),
        Some(Command::Fields(args)) => fields::run(&args),
        Some(Command::Shelf(args)) => shelf::run(&args),
        Some(Command::Sweep(args)) => sweep::run(&args),
        Some(Command::Frames(args)) => frames::run(&args, begun),
        Some(Command::Film(args)) => film::run(&args),
    };
    let code = done.unwrap_or_else(|failure| {
        say::problem(failure.words);
        failure.code
    });
    match say::lost() {
        Some(why) if matches!(code, failure::MET | failure::NOT_MET) => {
            say::problem(format_args!(
                "what was printed is lost in part: standard output cannot be written: {why}"
            ));
            ExitCode::from(failure::OUR_FAULT)
        }
        _ => ExitCode::from(code),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_old_name_is_told_and_a_value_is_not() {
        let told = |args: &[&str]| renamed(args.iter().map(OsString::from));
        assert_eq!(told(&["run", "x", "--set", "a=1"]).unwrap(), "--set is now --change");
        assert_eq!(told(&["--shard=1/2"]).unwrap(), "--shard is now --part");
        assert_eq!(told(&["--merge"]).unwrap(), "--merge is now --join");
        assert_eq!(told(&["run", "--settle", "--change", "a=--set", "--", "--set"]), None);
    }
}
