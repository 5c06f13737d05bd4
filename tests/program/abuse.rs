//! What abuse of files and of the command line once broke: each stays corrected. A limit on time only
//! tells work that ends from work that does not: how long it takes depends on what else the machine
//! does.

use crate::typed::{inchwise, said, scratch};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// A lift of a few seconds.
const SHORT: &str = include_str!("../common/short.ron");
const AT_MOST: Duration = Duration::from_secs(60);

/// The short lift with some of its text replaced.
fn short_with(from: &str, to: &str) -> String {
    assert!(SHORT.contains(from), "{from} is in the scene");
    SHORT.replacen(from, to, 1)
}

/// What is said of a scene, which must take neither long nor many words.
fn checked(text: &str) -> (Option<i32>, String) {
    let folder = scratch();
    let path = folder.path().join("scene.ron");
    std::fs::write(&path, text).unwrap();
    let begun = Instant::now();
    let out = inchwise(&["check", path.to_str().unwrap()]);
    let (taken, said) = (begun.elapsed(), said(&out));
    assert!(taken < AT_MOST, "{taken:?}: {said:.500}");
    assert!(said.len() < 60_000, "{} bytes: {said:.500}", said.len());
    (out.status.code(), said)
}

fn refused(text: &str, words: &[&str]) -> String {
    let (code, said) = checked(text);
    assert_eq!(code, Some(2), "{said:.500}");
    for word in words {
        assert!(said.contains(word), "{word} is missing in {said:.2000}");
    }
    said
}

fn by_shell(script: &str, folder: &Path) -> Output {
    Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_inchwise")])
        .current_dir(folder)
        .output()
        .unwrap()
}

fn short_in(folder: &Path) {
    std::fs::write(folder.join("short.ron"), SHORT).unwrap();
}

#[test]
fn many_axes_are_refused_at_once() {
    let folder = scratch();
    short_in(folder.path());
    let scene = folder.path().join("short.ron");
    let vary = |count: usize| {
        let mut args = vec!["sweep".to_owned(), scene.to_str().unwrap().to_owned()];
        (0..count).for_each(|i| args.extend(["--vary".to_owned(), format!("nothing{i}=1")]));
        let begun = Instant::now();
        let out = inchwise(&args.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(begun.elapsed() < AT_MOST, "{count}: {:?}", begun.elapsed());
        assert_eq!(out.status.code(), Some(2));
        said(&out)
    };
    assert!(vary(20).contains("20 fields on 20 axes; vary at most"));
    assert!(vary(10).contains("nothing0"), "as many as may be are all checked");
}

/// Each of these took 10 s and more below the limit on a file's size, or said megabytes.
#[test]
fn long_lists_take_no_long_time() {
    let names = vec!["\"x\""; 100_000].join(",");
    refused(
        &short_with("raise: \"bag\"", &format!("raise: [{names}]")),
        &["100000 names", "at most 64"],
    );
    let numbers = "1,".repeat(500_000);
    refused(&short_with("stacks: [", &format!("x: [{numbers}], stacks: [")), &["not a field"]);
    let fields: String = (0..50_000).map(|i| format!("u{i}: 1,")).collect();
    let said = refused(&short_with("stacks: [", &format!("{fields} stacks: [")), &["u0"]);
    assert!(said.contains("has 49900 more problems"), "{said:.3000}");
    let wrong = format!("\"{}\"", "9".repeat(900_000));
    refused(&short_with("\"-0.20 m\"", &wrong), &["...", "number"]);
    refused(&short_with("layers: 8", &format!("layers: {wrong}")), &["...", "whole number"]);
}

/// As the threads of a pool: 100,000 were asked for, and the machine aborted the program.
#[cfg(target_os = "linux")]
#[test]
fn more_threads_than_cores_need_no_more_memory() {
    let folder = scratch();
    short_in(folder.path());
    let script = "ulimit -v 3000000; exec \"$0\" sweep short.ron --threads 100000 --quiet \
                  --vary 'stacks.tail.at.0=-1.70 m..-5.70 m:1000' --csv t.csv";
    let out = by_shell(script, folder.path());
    assert_eq!(out.status.code(), Some(0), "{:.500}", said(&out));
}

#[test]
fn a_set_up_of_thousands_of_timbers_is_refused() {
    let stacks: String = (0..64)
        .map(|i| {
            let [x, z] = [i / 8, i % 8].map(|k| f64::from(k) * 1.6 - 5.6);
            format!(
                "(name: \"{}\", at: [\"{x} m\", \"{z} m\"], layers: 24, members: 6, \
                 length: \"1.5 m\"),",
                if i == 0 { "tail".to_owned() } else { format!("s{i}") }
            )
        })
        .collect();
    let tail = "(name: \"tail\", at: [\"-1.70 m\", \"0 m\"], layers: 8, members: 3)";
    refused(&short_with(tail, &stacks), &["9216 timbers", "at most 600"]);
}

/// Nothing that a terminal, a page, a picture or a spreadsheet would act on gets through.
#[test]
fn hidden_characters_are_told_and_never_sent() {
    for hidden in ["\u{1b}[2J", "\u{1b}]0;x\u{7}", "\u{0}", "\u{9b}31m", "\u{202e}", "\u{2066}"] {
        for place in ["Short lift", "Nothing but how", "Invented", "arm", "tail", "x: 1, wedges"] {
            let text = match place {
                "x: 1, wedges" => short_with("wedges:", &format!("{place}{hidden}:")),
                _ => SHORT.replace(place, &format!("{place}{hidden}")),
            };
            let (code, said) = checked(&text);
            assert_eq!(code, Some(2), "{place}{hidden:?}: {said}");
            let sent = hidden.chars().next().unwrap();
            assert!(!said.contains(sent), "{hidden:?} is sent on in {said:?}");
        }
        let named = format!("no{hidden}such.ron");
        if !named.contains('\0') {
            let out = said(&inchwise(&["check", &named]));
            assert!(!out.contains(hidden.chars().next().unwrap()), "{out:?}");
            let vary = format!("ground.slope=0 deg,{hidden}");
            let out = inchwise(&["sweep", "beam-lift", "--vary", &vary]);
            assert_eq!(out.status.code(), Some(2));
            assert!(said(&out).contains("cannot be shown"), "{}", said(&out));
        }
    }
    let (code, said) = checked(&SHORT.replace("Short lift", "Short\n9 to mend\n"));
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("\"Short 9 to mend\""), "a name is one line: {said}");
}

#[test]
fn cells_that_a_spreadsheet_would_work_out_are_text() {
    let folder = scratch();
    let scene = folder.path().join("scene.ron");
    std::fs::write(&scene, SHORT.replace("Short lift", "=1+1").replace("tail", "@tail")).unwrap();
    let csv = folder.path().join("sheet.csv");
    let out = inchwise(&["sheet", scene.to_str().unwrap(), "--csv", csv.to_str().unwrap()]);
    let written =
        std::fs::read_to_string(&csv).unwrap_or_else(|why| panic!("{why}: {}", said(&out)));
    assert!(written.contains("\n'=1+1,"), "{written:.500}");
    for line in csv::Reader::from_path(&csv).unwrap().records() {
        for cell in &line.unwrap() {
            let formula = cell.starts_with(['=', '@', '+'])
                || (cell.starts_with('-') && cell[1..].starts_with(|c: char| !c.is_ascii_digit()));
            assert!(!formula, "{cell}");
        }
    }
    for vary in ["casualty.arm.thickness==1+1,2", "ground.slope=1 deg,@x", "+x=1,2", "a=-1+2,3"] {
        let out = inchwise(&["sweep", "beam-lift", "--vary", vary]);
        assert_eq!(out.status.code(), Some(2));
        assert!(said(&out).contains("formula"), "{vary}: {}", said(&out));
    }
}

#[test]
fn the_page_of_lessons_shows_names_as_they_are() {
    let folder = scratch();
    std::fs::create_dir(folder.path().join("scenes")).unwrap();
    let text = SHORT.replace("Short lift", "<b>*Short*</b> [x](y)").replace("Nothing", "# `No` |");
    std::fs::write(folder.path().join("scenes/a`b|c.ron"), text).unwrap();
    let out = by_shell("exec \"$0\" shelf --page page.md", folder.path());
    let page = std::fs::read_to_string(folder.path().join("page.md"));
    let page = page.unwrap_or_else(|why| panic!("{why}: {}", said(&out)));
    for words in ["\\<b\\>\\*Short\\*\\</b\\> \\[x\\](y)", "\\# \\`No\\` \\|", "`a?b?c`"] {
        assert!(page.contains(words), "{words} is missing in {page}");
    }
}

/// What is printed and lost is a failure, as a file that cannot be written is.
#[cfg(target_os = "linux")]
#[test]
fn output_that_is_lost_ends_with_exit_1() {
    let folder = scratch();
    short_in(folder.path());
    for args in ["sheet short.ron", "sweep short.ron --vary stacks.tail.layers=7,8", "fields"] {
        let out = by_shell(&format!("exec \"$0\" {args} >/dev/full"), folder.path());
        assert_eq!(out.status.code(), Some(1), "{args}");
        assert!(said(&out).contains("standard output cannot be written"), "{}", said(&out));
    }
    let mut child = Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(["fields"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0), "a reader that goes away is no failure");
}

#[test]
fn texts_that_are_not_quite_ron_are_told_or_taken() {
    let (code, said) = checked(&format!("\u{feff}{SHORT}"));
    assert_eq!(code, Some(0), "a mark of the byte order is no part of the text: {said}");
    let deep = format!("x: {}{}, stacks: [", "[".repeat(300), "]".repeat(300));
    let said =
        refused(&short_with("stacks: [", &deep), &["stand in each other", "correct the text"]);
    assert!(!said.to_lowercase().contains("recursion"), "no word of a library's: {said}");
    for (name, word) in [("", "has no name"), ("/", "is a folder")] {
        let out = inchwise(&["check", name]);
        assert_eq!(out.status.code(), Some(2));
        assert!(crate::typed::said(&out).contains(word), "{}", crate::typed::said(&out));
    }
}

#[test]
fn what_is_varied_twice_in_other_words_is_refused() {
    let sweep = |one: &str, other: &str| {
        let out = inchwise(&["sweep", "beam-lift", "--vary", one, "--vary", other]);
        assert_eq!(out.status.code(), Some(2));
        said(&out)
    };
    let leg = ["casualty.0.thickness=\"95 mm\",\"96 mm\"", "casualty.lower leg.thickness=1 m,2 m"];
    assert!(sweep(leg[0], leg[1]).contains("vary one of them"), "{}", sweep(leg[0], leg[1]));
    let whole = sweep("ground=(),(wet: true)", "ground.wet=true,false");
    assert!(whole.contains("a part of it"), "{whole}");
    let far = inchwise(&["sweep", "beam-lift", "--vary", "ground.slope=-1e308 deg..1e308 deg:3"]);
    assert!(said(&far).contains("too far apart"), "{}", said(&far));
}

#[test]
fn an_animation_is_not_one_of_the_film_s_own_pictures() {
    let folder = scratch();
    let [out, own] = ["film", "film/0001.png"].map(|name| folder.path().join(name));
    std::fs::create_dir(&out).unwrap();
    let [out, own] = [&out, &own].map(|path| path.to_str().unwrap());
    let film = inchwise(&["film", "beam-lift", "--out", out, "--animation", own]);
    assert_eq!(film.status.code(), Some(2));
    assert!(said(&film).contains("give it another name"), "{}", said(&film));
}

/// What has no end is not read to it.
#[cfg(target_os = "linux")]
#[test]
fn devices_and_pipes_are_not_waited_for() {
    let folder = scratch();
    std::fs::create_dir(folder.path().join("scenes")).unwrap();
    std::fs::write(folder.path().join("scenes/short.ron"), SHORT).unwrap();
    short_in(folder.path());
    let script = "ulimit -v 3000000; mkfifo pipe; ";
    let sweep = "exec \"$0\" sweep short.ron --vary stacks.tail.layers=7,8 --join";
    for what in ["/dev/zero", "pipe"] {
        let begun = Instant::now();
        let out = by_shell(&format!("{script}{sweep} {what}"), folder.path());
        assert_eq!(out.status.code(), Some(2), "{}", said(&out));
        assert!(said(&out).contains("is not a plain file"), "{}", said(&out));
        assert!(begun.elapsed() < AT_MOST);
        std::fs::remove_file(folder.path().join("pipe")).unwrap();
    }
    let out = by_shell("ulimit -v 3000000; exec \"$0\" shelf --page /dev/zero", folder.path());
    assert!(matches!(out.status.code(), Some(0 | 3)), "{}", said(&out));
}
