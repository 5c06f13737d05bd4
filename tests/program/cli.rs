//! The program as it is typed: exit codes, what goes where, and words for every
//! mistake.

use crate::typed::{inchwise, said, scratch};

/// A lift of a few seconds.
const SHORT: &str = include_str!("../common/short.ron");

#[test]
fn a_lift_that_holds_exits_0_and_writes_what_was_asked() {
    let folder = scratch();
    let [json, csv] = ["held.json", "held.csv"].map(|name| folder.path().join(name));
    let out = inchwise(&[
        "run",
        "scenes/deck-lid-wedged.ron",
        "--change",
        "ground.surface=asphalt",
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
    // How it was done stands apart, with its figures.
    let practice = &report["practice"];
    assert_eq!(practice["casualty"], "free to be released", "{practice}");
    let point = practice["points"].as_array().unwrap().iter().find(|p| p["rule"] == "stakes");
    let point = point.unwrap_or_else(|| panic!("stakes in asphalt: {practice}"));
    for field in ["t_s", "part", "place_m", "figure", "limit", "unit", "text", "source"] {
        assert!(point.get(field).is_some(), "{field} is missing in {point}");
    }
    for said in [
        "LIFTED in this model",
        "Points of practice in set-up and lift",
        point["text"].as_str().unwrap(),
    ] {
        assert!(text.contains(said), "{said} is missing in\n{text}");
    }
    let mut table = csv::Reader::from_path(csv).unwrap();
    let columns = table.headers().unwrap().len();
    let rows = table.records().map(|r| assert_eq!(r.unwrap().len(), columns)).count();
    assert!(columns > 20 && rows > 100, "{columns} columns, {rows} rows");
}

/// A lift that held ends with 3 where points of practice are to count, and says nothing else.
#[test]
fn points_of_practice_count_where_they_are_to() {
    // Asphalt takes no stake.
    let lift = ["run", "deck-lid-wedged", "--change", "ground.surface=asphalt", "--quiet"];
    for (options, code) in [(&[][..], 0), (&["--strict"][..], 3)] {
        let out = inchwise(&[&lift[..], options].concat());
        assert_eq!(out.status.code(), Some(code), "{options:?}: {}", said(&out));
        assert_eq!(said(&out), "");
    }
}

#[test]
fn a_lift_that_fails_exits_3_with_its_cause() {
    let folder = scratch();
    let [json, html] = ["failed.json", "failed.html"].map(|name| folder.path().join(name));
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
        "Primary cause: load on casualty increased",
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
        (vec!["run", "beam-lif"], vec!["did you mean `beam-lift`?"]),
        (vec!["shelf", "beam-lif"], vec!["did you mean `beam-lift`?"]),
        (vec!["shelf", "--threads", "0"], vec!["--threads"]),
        (
            vec!["sweep", "beam-lift", "--vary", "ground.wet=true,false", "--threads", "0"],
            vec!["--threads"],
        ),
        (vec!["run", "beam-lift", "--change", "vehicle=salon"], vec!["did you mean `saloon`?"]),
        (
            vec!["run", "beam-lift", "--change", "casualty.forearm.thickness=500 mm"],
            vec!["500 mm is outside 20 mm to 400 mm"],
        ),
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

/// What a lesson teaches, how it should end and what its twin does comes after the ending.
#[test]
fn a_lesson_is_told_after_its_lift() {
    let folder = scratch();
    let scene = folder.path().join("short.ron");
    std::fs::write(&scene, SHORT).unwrap();
    let out = inchwise(&["run", scene.to_str().unwrap()]);
    let text = said(&out);
    let at =
        |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} is missing:\n{text}"));
    assert!(text.starts_with("Short lift\n"), "{text}");
    assert!(at("INCOMPLETE") < at("expected: lifted"), "{text}");
    assert!(at("INCOMPLETE") < at("What it shows"), "{text}");
    assert!(at("What it shows") < at("Nothing but how to sweep."), "{text}");
    let sheet = inchwise(&["sheet", scene.to_str().unwrap()]);
    assert!(!said(&sheet).contains("Nothing but how to sweep."), "{}", said(&sheet));
}

/// A start that cannot be is a bad scene, found by `check` and by `run`, which plays nothing and
/// writes nothing: the field to change, what overlaps, by how much, the limit and the mend.
#[test]
fn a_start_that_cannot_be_exits_2_and_plays_nothing() {
    let folder = scratch();
    let json = folder.path().join("out.json");
    let beam = ["--change", "beam.at.0=\"-0.60 m\"", "--change", "beam.timber=\"6x6\""];
    let check = inchwise(&[&["check", "beam-lift"], &beam[..]].concat());
    let json_args = ["--json", json.to_str().unwrap()];
    let run = inchwise(&[&["run", "beam-lift"], &beam[..], &json_args[..]].concat());
    for out in [check, run] {
        assert_eq!(out.status.code(), Some(2), "{}", said(&out));
        for word in ["beam-lift.ron:", "beam.rests_on", "invalid start", "limit", "apart"] {
            assert!(said(&out).contains(word), "{word} is missing in\n{}", said(&out));
        }
        assert!(!said(&out).contains("What went wrong"), "{}", said(&out));
    }
    assert!(!json.exists(), "nothing was played, and something was written");
}

/// A vehicle that its slope does not let lie still is a lift that fails by a slide before
/// anything is done, with the sheet's figure; `check` tells it too.
#[test]
fn a_slope_that_lets_nothing_lie_still_is_a_slide() {
    let slope = ["--change", "ground.slope=14 deg", "--change", "ground.wet=true"];
    let run = inchwise(&[&["run", "beam-lift"], &slope[..]].concat());
    assert_eq!(run.status.code(), Some(3), "{}", said(&run));
    let check = inchwise(&[&["check", "beam-lift"], &slope[..]].concat());
    assert_eq!(check.status.code(), Some(0), "{}", said(&check));
    for out in [run, check] {
        for word in ["before the lift began it slid", "14.0°", "11.3°"] {
            assert!(said(&out).contains(word), "{word} is missing in\n{}", said(&out));
        }
    }
}

#[test]
fn check_reports_every_problem_of_a_file_with_its_line() {
    let folder = scratch();
    let path = folder.path().join("bad.ron");
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
    let folder = scratch();
    let json = folder.path().join("nobody-reads.json");
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

/// Options that have another name are refused with the new one, wherever they stand.
#[test]
fn an_old_name_of_an_option_is_told_with_the_new_one() {
    let slope = ["--vary", "ground.slope=0 deg..4 deg:3"];
    for (args, words) in [
        (vec!["run", "beam-lift", "--set", "chocks=[]"], "--set is now --change"),
        (vec!["check", "--set=chocks=[]", "beam-lift"], "--set is now --change"),
        ([&["sweep", "beam-lift"], &slope[..], &["--shard", "1/2"]].concat(), "--part"),
        ([&["sweep", "beam-lift"], &slope[..], &["--merge", "a.csv"]].concat(), "--join"),
    ] {
        let out = inchwise(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", said(&out));
        assert!(said(&out).contains(words), "{args:?}: {}", said(&out));
    }
}

/// A scene, what it is like and its vehicle are never what a command writes; nor is one file
/// written twice. Nothing is played before that is known.
#[test]
fn files_that_are_read_are_never_replaced() {
    let folder = scratch();
    let file = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let [scene, like, link, vehicle, other] =
        ["scene.ron", "like.ron", "link.ron", "vehicles/box.ron", "other"].map(file);
    std::fs::create_dir(file("vehicles")).unwrap();
    std::fs::copy("scenes/vehicles/saloon.ron", &vehicle).unwrap();
    let text = SHORT.replace("\"saloon\"", "\"box\"");
    std::fs::write(&scene, &text).unwrap();
    let words =
        "(name: \"Like\", like: \"scene\", teaches: \"x\", change: {\"friction\": \"90 %\"})";
    std::fs::write(&like, words).unwrap();
    let mut links = vec![scene.as_str()];
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("scene.ron", &link).unwrap();
        links.push(&link);
    }
    let around = format!("{}/vehicles/../scene.ron", folder.path().display());
    links.push(&around);
    let slope = ["--vary", "ground.slope=0 deg,1 deg"];
    let sweep = [&["sweep", scene.as_str()], &slope[..]].concat();
    let mut cases: Vec<Vec<&str>> = Vec::new();
    for output in links {
        cases.push([&sweep[..], &["--csv", output]].concat());
        cases.push(vec!["run", &scene, "--json", output]);
        cases.push(vec!["sheet", &scene, "--html", output]);
        cases.push(vec!["run", &like, "--csv", output]);
        cases.push(vec!["sheet", "beam-lift", "--compare", &scene, "--json", output]);
    }
    cases.push(vec!["run", &scene, "--html", &vehicle]);
    cases.push(vec!["film", &scene, "--out", &other, "--animation", &scene]);
    for args in &cases {
        let out = inchwise(args);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", said(&out));
        assert!(said(&out).contains("is what this command reads"), "{args:?}: {}", said(&out));
        assert!(!said(&out).contains("What was wanted"), "{args:?} was played");
    }
    assert_eq!(std::fs::read_to_string(&scene).unwrap(), text);
    // One that the command does not read is somebody's work all the same.
    for (output, kind) in [
        (&*scene, "a scene"),
        ("attempts.JSONL", "a log of attempts"),
        ("settings.ron.damaged", "kept settings"),
    ] {
        let out = inchwise(&["sheet", "beam-lift", "--html", output]);
        assert_eq!(out.status.code(), Some(2), "{}", said(&out));
        assert!(said(&out).contains(&format!("has the ending of {kind}")), "{}", said(&out));
    }
    assert_eq!(std::fs::read_to_string(&scene).unwrap(), text);
    for args in [
        vec!["run", &scene, "--json", &other, "--csv", &other],
        vec!["sheet", &scene, "--csv", &other, "--html", &other],
    ] {
        let out = inchwise(&args);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", said(&out));
        assert!(said(&out).contains("a file of its own"), "{args:?}: {}", said(&out));
    }
    assert!(!std::path::Path::new(&other).exists());
}

/// What is no plain file is written into, never replaced: a device stays one, a pipe's reader
/// reads, and the file that a link leads to is written.
#[cfg(unix)]
#[test]
fn a_device_a_pipe_or_a_link_is_written_into() {
    use std::os::unix::fs::FileTypeExt;
    let folder = scratch();
    let [link, target, pipe] = ["link", "target", "pipe"].map(|name| folder.path().join(name));
    std::os::unix::fs::symlink("target", &link).unwrap();
    let out = inchwise(&["sheet", "beam-lift", "--json", link.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(std::fs::read_to_string(&target).unwrap().starts_with('{'));

    let out = inchwise(&["sheet", "beam-lift", "--json", "/dev/null", "--csv", "/dev/null"]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(std::fs::metadata("/dev/null").unwrap().file_type().is_char_device());
    let out = inchwise(&["sheet", "beam-lift", "--csv", "/dev/stdout"]);
    assert!(said(&out).contains("scene,group,what,formula"), "{}", said(&out));

    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    if !made.is_ok_and(|status| status.success()) {
        println!("passed without a pipe: there is no mkfifo");
        return;
    }
    let reader = {
        let pipe = pipe.clone();
        std::thread::spawn(move || std::fs::read_to_string(pipe).unwrap())
    };
    let out = inchwise(&["sheet", "beam-lift", "--csv", pipe.to_str().unwrap()]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(reader.join().unwrap().starts_with("scene,group,what"));
    assert!(std::fs::metadata(&pipe).unwrap().file_type().is_fifo());
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

/// A class is checked and its pages are written by the command; what is wrong with it is told
/// with its place, and no page replaces the class.
#[test]
fn a_class_is_checked_and_printed() {
    let folder = scratch();
    let file = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let [class, bad, html] = ["class.ron", "bad.ron", "class.html"].map(file);
    std::fs::write(folder.path().join("short.ron"), SHORT).unwrap();
    let text = "(name: \"Mine\", about: \"x\", steps: [\n(show: \"short\"),\n\
                (ask: \"How does it end?\", from: \"ending\"),\n(reveal: \"x\")])";
    std::fs::write(&class, text).unwrap();
    std::fs::write(&bad, text.replace("from: \"ending\"", "from: \"luck\"")).unwrap();
    let out = inchwise(&["check", "stabilise-first", &class, "chocks-missing"]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    for told in
        ["\"Stabilise first\" is in order: ", "\"Mine\" is in order: 3 steps on 1", "\"Chocks"]
    {
        assert!(said(&out).contains(told), "{told} is missing in\n{}", said(&out));
    }
    let out = inchwise(&["check", &bad]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert!(said(&out).contains("bad.ron: 1 to correct"), "{}", said(&out));
    assert!(said(&out).contains("bad.ron:3:33: steps.1.from (step 2): "), "{}", said(&out));
    let out = inchwise(&["check", &class, "--change", "name=x"]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    let out = inchwise(&["class", &class, "--html", &class]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert_eq!(std::fs::read_to_string(&class).unwrap(), text);
    let out = inchwise(&["class", &class, "--html", &html]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    for told in ["Ask: How does it end?", "Right: ", "qualified command"] {
        assert!(said(&out).contains(told), "{told} is missing in\n{}", said(&out));
    }
    let page = std::fs::read_to_string(&html).unwrap();
    assert!(page.contains("Answer sheet") && page.contains("qualified command"));
    let out = inchwise(&["class", "no-such-class"]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert!(said(&out).contains("choose from air-and-evenness"), "{}", said(&out));
}

/// A task is checked, its brief is printed without an answer, and the instructor's plan has every
/// answer; what is wrong with it is told with its place.
#[test]
fn a_task_is_checked_printed_and_played() {
    let folder = scratch();
    let file = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let [task, bad] = ["task.ron", "bad.ron"].map(file);
    std::fs::write(folder.path().join("short.ron"), SHORT).unwrap();
    let text = "(name: \"Mine\", brief: \"A car.\", scene: \"short\", kit: \"rescue-truck\",\n\
                no_good_lift: (why: \"more_kit\", say: \"Ask for boards.\"))";
    std::fs::write(&task, text).unwrap();
    std::fs::write(&bad, text.replace("more_kit", "luck")).unwrap();
    let out = inchwise(&["check", "verge", &task, "verge-bare"]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(said(&out).contains("\"Mine\" is in order"), "{}", said(&out));
    let out = inchwise(&["check", &bad]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert!(said(&out).contains("bad.ron:2:21: no_good_lift.why: "), "{}", said(&out));
    let out = inchwise(&["check", &task, "--change", "name=x"]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    let out = inchwise(&["task", &task]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    for told in ["Mine", "A car.", "On the truck: Rescue truck", "qualified command"] {
        assert!(said(&out).contains(told), "{told} is missing in\n{}", said(&out));
    }
    assert!(!said(&out).contains("boards"), "{}", said(&out));
    let out = inchwise(&["task", &task, "--play"]);
    assert!(matches!(out.status.code(), Some(0 | 3)), "{}", said(&out));
    for told in ["As it is handed out: ", "3. Nothing on this truck", "Ask for boards."] {
        assert!(said(&out).contains(told), "{told} is missing in\n{}", said(&out));
    }
    let out = inchwise(&["task", "no-such-task"]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert!(said(&out).contains("choose from across-the-hill"), "{}", said(&out));
}

/// The log is shown, printed and written as a table, and never replaced by either.
#[test]
fn attempts_are_shown_and_never_replaced() {
    let folder = scratch();
    let file = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let [log, html, csv, none] = ["log.jsonl", "log.html", "log.csv", "none.jsonl"].map(file);
    let line = "{\"at_s\":0,\"seat\":4,\"task\":\"x\",\"title\":\"Wet field\",\"scene\":\"x\",\
                \"changes\":[],\"hints\":2,\"took_s\":1.0,\"came\":{\"stopped\":{\"why\":\"wait\"}}}\n";
    std::fs::write(&log, format!("{line}{{\"at_s\":")).unwrap();
    let before = std::fs::read(&log).unwrap();
    let out = inchwise(&["attempts", "--log", &log, "--html", &html, "--csv", &csv]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    for told in ["1970-01-01 00:00  seat 4  Wet field", "stopped: hold", "1 line of the log"] {
        assert!(said(&out).contains(told), "{told} is missing in\n{}", said(&out));
    }
    assert!(std::fs::read_to_string(&html).unwrap().contains("Wet field"));
    assert!(std::fs::read_to_string(&csv).unwrap().starts_with("when_utc,seat,"));
    for option in ["--html", "--csv"] {
        let out = inchwise(&["attempts", "--log", &log, option, &log]);
        assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    }
    assert_eq!(std::fs::read(&log).unwrap(), before);
    let out = inchwise(&["attempts", "--log", &none]);
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
}
