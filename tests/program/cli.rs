//! The program as it is typed: exit codes, what goes where, and words for every
//! mistake.

use crate::typed::{inchwise, said, scratch};

#[test]
fn a_lift_that_holds_exits_0_and_writes_what_was_asked() {
    let (json, csv) = (scratch("held.json"), scratch("held.csv"));
    let out = inchwise(&[
        "run",
        "scenes/deck-lid-wedged.ron",
        "--json",
        json.to_str().unwrap(),
        "--csv",
        csv.to_str().unwrap(),
        "--units",
        "us",
    ]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let text = said(&out);
    for word in ["LIFTED", "qualified command", "Invented", "x real time", " in"] {
        assert!(text.contains(word), "{word} is missing in\n{text}");
    }
    let report: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(json).unwrap()).unwrap();
    for field in
        ["scene", "outcome", "cause", "findings", "gaps", "peaks", "sim_s", "wall_s", "state_hash"]
    {
        assert!(report.get(field).is_some(), "{field} is missing");
    }
    assert_eq!(report["outcome"], "lifted");
    assert!(report["cause"].is_null());
    for field in ["at", "needed_m", "start_m", "end_m", "max_m"] {
        assert!(report["gaps"][0].get(field).is_some(), "gaps.{field} is missing");
    }
    let mut table = csv::Reader::from_path(csv).unwrap();
    let columns = table.headers().unwrap().len();
    let rows = table.records().map(|r| assert_eq!(r.unwrap().len(), columns)).count();
    assert!(columns > 20 && rows > 100, "{columns} columns, {rows} rows");
}

#[test]
fn a_lift_that_fails_exits_3_with_its_cause() {
    let (json, html) = (scratch("failed.json"), scratch("failed.html"));
    let out = inchwise(&[
        "run",
        "beam-lift",
        "--change",
        "void_fill=[]",
        "--quiet",
        "--json",
        json.to_str().unwrap(),
        "--html",
        html.to_str().unwrap(),
    ]);
    assert_eq!(out.status.code(), Some(3), "{}", said(&out));
    assert_eq!(said(&out), "");
    let page = std::fs::read_to_string(html).unwrap();
    for word in [
        "Primary cause: casualty_load",
        "What was done",
        "What happened",
        "What decided it",
        "What to try next",
        "Fill the void",
        "Predicted beside simulated",
        "Gauge pressure",
        "qualified command",
        "Invented",
    ] {
        assert!(page.contains(word), "{word} is missing in the page");
    }
    // Pictures, or why there are none; and nothing that must be fetched.
    assert!(page.contains("data:image/png;base64,") || page.contains("No pictures on this page"));
    assert!(!page.contains("http://") && !page.contains("https://") && !page.contains("<script"));
    let report: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(json).unwrap()).unwrap();
    assert_eq!(report["outcome"], "failed");
    assert_eq!(report["cause"], "casualty_load");
    for field in ["t_s", "kind", "part", "text", "values"] {
        assert!(report["findings"][0].get(field).is_some(), "findings.{field} is missing");
    }
}

#[test]
fn bad_input_exits_2_and_names_the_mend() {
    for (args, words) in [
        (vec!["run", "no-such-scene"], vec!["no-such-scene"]),
        (vec!["run", "scenes"], vec!["scenes"]),
        (
            vec!["run", "beam-lift", "--change", "stacks.left.layers=1000"],
            vec!["stacks.left.layers", "whole number"],
        ),
        (vec!["run", "beam-lift", "--change", "stacks.middle.layers=3"], vec!["left, right"]),
        (vec!["run", "beam-lift", "--change", "nonsense"], vec!["nonsense"]),
        (
            vec!["check", "beam-lift", "--change", "vehicle.mass=-3 kg"],
            vec!["vehicle.mass", "-3 kg"],
        ),
        (vec!["film", "beam-lift", "--out", "x", "--every", "2"], vec!["--every", "no unit"]),
        (vec!["run", "beam-lift", "--units", "imperial"], vec!["possible values"]),
        (vec!["fly"], vec!["unrecognized"]),
    ] {
        let out = inchwise(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", said(&out));
        for word in words {
            assert!(said(&out).contains(word), "{args:?}: {word} is missing in\n{}", said(&out));
        }
    }
}

#[test]
fn check_reports_every_problem_of_a_file_with_its_line() {
    let path = scratch("bad.ron");
    let text = std::fs::read_to_string("scenes/beam-lift.ron").unwrap();
    let text = text
        .replace("slope", "slop")
        .replace("layers: 3, pads", "layers: 3.5, pads")
        .replace("\"6.8 L\"", "\"6.8 kg\"")
        .replace("through: [\"rear side window\"]", "through: [\"sun roof\"]");
    std::fs::write(&path, text).unwrap();
    let out = inchwise(&["check", path.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(2));
    let text = said(&out);
    for word in ["stacks.left.layers", "stacks.right.layers", "6.8 kg", "kg", "sun roof", ".ron:"] {
        assert!(text.contains(word), "{word} is missing in\n{text}");
    }
}

#[test]
fn the_shelf_lists_every_scene_with_its_lesson() {
    let out = inchwise(&["shelf"]);
    assert_eq!(out.status.code(), Some(0));
    let text = said(&out);
    for name in inchwise::scene::builtin_names() {
        assert!(text.contains(&name), "{name} is missing in\n{text}");
    }
    assert!(text.contains("expected: failed") && text.contains("qualified command"));
    assert!(text.contains("`inchwise shelf --play`"), "how to play them is missing in\n{text}");
}

/// A reader that goes away, as `head` does, ends nothing: no panic, the exit code of what was
/// done, and what was to be written is there.
#[test]
fn a_reader_that_goes_away_stops_nothing() {
    let json = scratch("nobody-reads.json");
    let _ = std::fs::remove_file(&json);
    let path = json.to_str().unwrap();
    for (args, code) in [
        (vec!["shelf"], 0),
        (vec!["sheet", "deck-lid-wedged"], 0),
        (vec!["run", "void-not-filled", "--sheet", "--json", path], 3),
        (vec!["check", "no-such-scene"], 2),
    ] {
        // Both ends of a pipe whose reader is closed before the program writes.
        let closed = || {
            let (reader, writer) = std::io::pipe().unwrap();
            drop(reader);
            writer
        };
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_inchwise"));
        command.args(&args).current_dir(env!("CARGO_MANIFEST_DIR"));
        let status = command.stdout(closed()).stderr(closed()).status().unwrap();
        assert_eq!(status.code(), Some(code), "{args:?}");
    }
    assert!(json.is_file());
}

#[test]
fn a_file_that_cannot_be_written_is_said() {
    let out = inchwise(&["run", "deck-lid-wedged", "--quiet", "--json", "/no/such/folder/x.json"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(said(&out).contains("cannot be written"), "{}", said(&out));
}

/// The shelf played: outcome and time beside what was expected, for the scenes named.
#[test]
fn the_shelf_is_listed_and_played() {
    let out = inchwise(&["shelf", "chocks-missing", "pad-missing", "--play", "--threads", "2"]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let text = said(&out);
    for word in
        ["played:   failed (slide)", "played:   failed (bag_overload)", " s in ", "2 scenes"]
    {
        assert!(text.contains(word), "{word} is missing in\n{text}");
    }
    assert!(!text.contains("beam-lift.ron"), "only what was named:\n{text}");
    let out = inchwise(&["shelf", "no-such-scene"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(said(&out).contains("no-such-scene"));
}
