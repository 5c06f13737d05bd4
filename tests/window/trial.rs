//! Law protected: a new user gets through every stage of the window to a finished lift, to
//! each failure and back, with a real keyboard and a real mouse.
//!
//! The first test opens the program itself on a virtual display (Xvfb) and moves its keys
//! and its pointer (xdotool); where either is missing, or no Vulkan driver is, it says so
//! and passes. It knows how the lift stands from the window's title, and where to click
//! from the same panels drawn without a screen. The second opens a lift by OpenGL. The third
//! plays a scene of each failure through the window's own systems, without a display.
//!
//! `cargo test --release --test window -- --ignored page` writes `docs/TRIAL.md` with a
//! picture of each step.

use bevy::math::Vec2;
use bevy::prelude::KeyCode;
use bevy::render::renderer::RenderDevice;
use inchwise::scene::{self, Cause, Loaded, Outcome};
use inchwise::session::SettingsFile;
use inchwise::units::UnitSystem;
use inchwise::view::{Frame, Rendering, Trial};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

const SIZE: [u32; 2] = [1280, 720];
/// Of the pictures on the page.
const SMALL: [u32; 2] = [800, 450];
const COLOURS: usize = 48;
/// A file of this many bytes is larger than a page should wait for.
const PICTURE_AT_MOST: usize = 80_000;
/// Nothing in this trial takes longer than this, even where the processor draws and other
/// tests run beside it.
const PATIENCE: Duration = Duration::from_secs(120);

/// The lesson that is tried: a short lift on two outlets, whose twin rolls.
const LESSON: &str = "even-air";

fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).ok().unwrap()
}

fn shelf() -> Vec<Loaded> {
    scene::read_shelf().into_iter().map(|(_, read)| read.ok().unwrap()).collect()
}

/// Pictures with what they show, for the page.
#[derive(Default)]
struct Page(Vec<(String, String, String)>);

impl Page {
    const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/pictures/trial");

    fn add(&mut self, frame: &Frame, name: &str, title: &str, about: &str) {
        let png = small(frame, SMALL);
        assert!(png.len() < PICTURE_AT_MOST, "{name}: {} bytes", png.len());
        fs::create_dir_all(Self::FOLDER).unwrap();
        fs::write(Path::new(Self::FOLDER).join(format!("{name}.png")), png).unwrap();
        self.0.push((name.into(), title.into(), about.into()));
    }
}

/// Fewer dots and a palette: a tenth of the bytes, and still to be read.
pub fn small(frame: &Frame, [width, height]: [u32; 2]) -> Vec<u8> {
    let whole = image::RgbImage::from_raw(frame.width, frame.height, frame.dots.clone()).unwrap();
    let filter = image::imageops::FilterType::CatmullRom;
    let shrunk = image::imageops::resize(&whole, width, height, filter);
    let rgba: Vec<u8> = shrunk.pixels().flat_map(|p| [p[0], p[1], p[2], 255]).collect();
    let palette = color_quant::NeuQuant::new(3, COLOURS, &rgba);
    let dots: Vec<u8> = rgba.chunks_exact(4).map(|p| palette.index_of(p) as u8).collect();
    let mut png = Vec::new();
    let mut encoder = png::Encoder::new(&mut png, width, height);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette.color_map_rgb());
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&dots).unwrap();
    writer.finish().unwrap();
    png
}

/// Ends with the test, whatever becomes of it.
struct Running(Child);

impl Running {
    fn end(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.end();
    }
}

/// A program on a display of its own, with a keyboard and a mouse.
struct Hands {
    display: String,
    window: String,
    folder: tempfile::TempDir,
    program: Running,
    server: Running,
}

fn pause(s: f64) {
    sleep(Duration::from_secs_f64(s));
}

impl Hands {
    /// What is missing for it, or the window on the shelf; `name` tells tests that run at the
    /// same time apart.
    fn new(name: &str, environment: &[(&str, &str)]) -> Result<Self, String> {
        let there = |program: &str| {
            let path = std::env::var_os("PATH").unwrap_or_default();
            std::env::split_paths(&path).any(|folder| folder.join(program).is_file())
        };
        for (program, package) in [("Xvfb", "xvfb"), ("xdotool", "xdotool")] {
            if !there(program) {
                return Err(format!("{program} is not there (Debian: apt install {package})"));
            }
        }
        let folder = tempfile::tempdir().unwrap();
        let free = |n: &u32| {
            !Path::new(&format!("/tmp/.X{n}-lock")).exists()
                && !Path::new(&format!("/tmp/.X11-unix/X{n}")).exists()
        };
        let from = 120 + 20 * name.len() as u32;
        let number = (from..from + 20).find(free).ok_or("no display number is free")?;
        let [width, height] = SIZE;
        // The screen is a file, from which the pictures are read.
        let server = Command::new("Xvfb")
            .arg(format!(":{number}"))
            .args(["-screen", "0", &format!("{width}x{height}x24"), "-nolisten", "tcp"])
            .arg("-fbdir")
            .arg(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|e| format!("Xvfb does not start: {e}"))?;
        let server = Running(server);
        let socket = PathBuf::from(format!("/tmp/.X11-unix/X{number}"));
        if !until(Duration::from_secs(20), || socket.exists()) {
            return Err("Xvfb does not come up".into());
        }
        let display = format!(":{number}");
        let errors = fs::File::create(folder.path().join("errors")).unwrap();
        let program = Command::new(env!("CARGO_BIN_EXE_inchwise"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .env("DISPLAY", &display)
            .env("HOME", folder.path())
            .env("XDG_CONFIG_HOME", folder.path().join("config"))
            .env("XDG_DATA_HOME", folder.path().join("data"))
            .envs(environment.iter().copied())
            .stdout(Stdio::null())
            .stderr(errors)
            .spawn()
            .unwrap();
        let mut hands =
            Self { display, window: String::new(), folder, program: Running(program), server };
        let begun = Instant::now();
        while hands.window.is_empty() {
            hands.window =
                hands.tool(&["search", "--name", "Inchwise"]).lines().next().unwrap_or("").into();
            if hands.program.0.try_wait().unwrap().is_some() {
                let said =
                    fs::read_to_string(hands.folder.path().join("errors")).unwrap_or_default();
                let missing = said.lines().find(|l| l.contains("no window: "));
                return Err(missing.unwrap_or_else(|| panic!("the program ended: {said}")).into());
            }
            assert!(begun.elapsed() < PATIENCE, "no window comes");
            sleep(Duration::from_millis(200));
        }
        hands.tool(&["windowfocus", &hands.window]);
        pause(2.0);
        Ok(hands)
    }

    fn tool(&self, words: &[&str]) -> String {
        let out =
            Command::new("xdotool").env("DISPLAY", &self.display).args(words).output().unwrap();
        String::from_utf8_lossy(&out.stdout).trim().to_owned()
    }

    fn key(&self, key: &str) {
        // Down long enough for the slowest frame to see it.
        self.tool(&["keydown", key]);
        pause(0.35);
        self.tool(&["keyup", key]);
        pause(0.25);
    }

    fn point(&self, at: Vec2) {
        self.tool(&["mousemove", &format!("{:.0}", at.x), &format!("{:.0}", at.y)]);
        pause(0.3);
    }

    fn click(&self, at: Vec2) {
        self.point(at);
        self.tool(&["mousedown", "1"]);
        pause(0.35);
        self.tool(&["mouseup", "1"]);
        pause(0.35);
    }

    fn drag(&self, from: Vec2, to: Vec2) {
        self.point(from);
        self.tool(&["mousedown", "1"]);
        for i in 1..=6 {
            self.point(from.lerp(to, i as f32 / 6.0));
        }
        self.tool(&["mouseup", "1"]);
        pause(0.35);
    }

    fn title(&self) -> String {
        self.tool(&["getwindowname", &self.window])
    }

    /// Waits until the title tells so.
    fn wait(&mut self, told: &str) {
        let came = until(PATIENCE, || {
            assert!(
                self.program.0.try_wait().unwrap().is_none(),
                "the program ended: {}",
                self.errors()
            );
            self.title().contains(told)
        });
        assert!(came, "the title comes to \"{told}\", not \"{}\"", self.title());
    }

    fn errors(&self) -> String {
        fs::read_to_string(self.folder.path().join("errors")).unwrap_or_default()
    }

    /// What is on the display. X's own window dump (X11/XWDFile.h): a head of big-endian
    /// words, a table of colours of 12 bytes each, then the lines of dots.
    fn picture(&self) -> Frame {
        pause(1.5);
        let dump = fs::read(self.folder.path().join("Xvfb_screen0")).unwrap();
        let word =
            |i: usize| u32::from_be_bytes(dump[4 * i..4 * i + 4].try_into().unwrap()) as usize;
        let (head, width, height, bits, line, colours) =
            (word(0), word(4), word(5), word(11), word(12), word(19));
        assert_eq!((word(1), word(7), bits), (7, 0, 32), "a dump of 32 bits a dot, low byte first");
        let lines = dump[head + 12 * colours..].chunks_exact(line).take(height);
        let dots =
            lines.flat_map(|l| l[..4 * width].chunks_exact(4)).flat_map(|p| [p[2], p[1], p[0]]);
        Frame { width: width as u32, height: height as u32, dots: dots.collect() }
    }
}

impl Drop for Hands {
    fn drop(&mut self) {
        self.program.end();
        self.server.end();
        // A server that is ended leaves its number taken.
        let number = self.display.trim_start_matches(':');
        let _ = fs::remove_file(format!("/tmp/.X{number}-lock"));
        let _ = fs::remove_file(format!("/tmp/.X11-unix/X{number}"));
    }
}

fn until(at_most: Duration, mut holds: impl FnMut() -> bool) -> bool {
    let begun = Instant::now();
    while !holds() {
        if begun.elapsed() > at_most {
            return false;
        }
        sleep(Duration::from_millis(150));
    }
    true
}

/// The same window without a screen: it knows where each thing is.
struct Map(Trial);

impl Map {
    fn new() -> Self {
        Self(Trial::new(shelf(), None, UnitSystem::Si, SIZE, Rendering::Blind).unwrap())
    }

    fn at(&mut self, label: &str) -> Vec2 {
        self.0.frames(3);
        let found = self.0.find(label);
        found.unwrap_or_else(|| panic!("no \"{label}\" on the map")).rect.center()
    }
}

/// From the shelf to a finished lift, back along it, to a failure, and both side by side.
fn by_hand(mut page: Option<&mut Page>) -> Result<(), String> {
    let mut hands = Hands::new("hands", &[])?;
    let mut map = Map::new();
    let mut shot = |hands: &Hands, name: &str, title: &str, about: &str| {
        if let Some(page) = &mut page {
            page.add(&hands.picture(), name, title, about);
        }
    };
    let name = shipped(LESSON).scene.name;
    hands.wait("Inchwise");
    shot(
        &hands,
        "shelf",
        "The shelf",
        "Every scene with what is there and what is at hand; how it ends is told once it was \
         played. Arrow keys and the mouse choose one; the caution stands at the foot of every screen.",
    );
    // By the arrow keys to the scene, then a click on its button.
    let place = shelf().iter().position(|l| l.scene.name == name).unwrap();
    let named = |trial: &Trial| trial.find(&name).is_some_and(|w| w.on);
    for _ in 0..place {
        map.0.tap(KeyCode::ArrowDown);
        hands.key("Down");
    }
    assert!(named(&map.0), "the map is on {name}");
    hands.click(map.at("Open this scene"));
    map.0.tap(KeyCode::Enter);
    hands.wait(&format!("{name}, size up: 0 of 2 gaps enough"));

    // Size up: walk round, look at the casualty, ask.
    map.0.wait(1.0);
    let yard = Vec2::new(640.0, 420.0);
    hands.drag(yard, yard + Vec2::new(90.0, 10.0));
    hands.click(map.at("How heavy is it?"));
    hands.click(map.at("Where is its centre of mass?"));
    shot(
        &hands,
        "size-up",
        "Size up",
        "A drag walks round the vehicle. What is asked for is answered with how well it is \
         known; each trapped limb has its gap and its load.",
    );
    hands.key("4");

    // Set up: bring a crib, see what the sheet makes of it, and take it back.
    hands.key("6");
    hands.wait("set up:");
    map.0.tap(KeyCode::Digit6);
    map.0.wait(1.0);
    hands.click(map.at("Void fill"));
    pause(1.0);
    shot(
        &hands,
        "set-up",
        "Set up",
        "One click brings a thing to a likely place; its figures can be typed, and what does \
         not fit says why. The sheet's verdicts stand beside it.",
    );
    hands.tool(&["keydown", "ctrl"]);
    pause(0.35);
    hands.key("z");
    hands.tool(&["keyup", "ctrl"]);
    pause(1.0);
    hands.key("space");
    hands.wait(&format!("{name}, lift:"));

    // The lift, by two levers at once: the left one by the mouse, the right one by a key.
    map.0.tap(KeyCode::Digit7);
    map.0.wait(0.5);
    let raise = map.at("Raise");
    hands.key("v");
    hands.point(raise);
    // Five are enough where the window keeps pace with the clock; a busy machine falls far behind.
    for pull in 0..60 {
        hands.tool(&["keydown", "w"]);
        hands.tool(&["mousedown", "1"]);
        pause(2.5);
        hands.tool(&["keyup", "w"]);
        hands.tool(&["mouseup", "1"]);
        pause(0.6);
        hands.key("c");
        if pull == 1 {
            hands.key("l");
            shot(
                &hands,
                "lift",
                "Lift",
                "Both levers are held by hand, one by the mouse and one by a key; C has the \
                 cribs follow. L shows the load at every bearing point.",
            );
        }
        if hands.title().contains("2 of 2 gaps enough") {
            break;
        }
    }
    hands.wait("2 of 2 gaps enough, no failures");
    shot(
        &hands,
        "lifted",
        "A finished lift",
        "Both gaps are enough, nothing went wrong, and every order is echoed in the trade's \
         words.",
    );

    // Look back, and back along the line of time.
    hands.key("8");
    hands.wait("look back:");
    shot(
        &hands,
        "look-back",
        "Look back",
        "Every measure along time, and its value against its limit.",
    );
    hands.key("7");
    hands.wait("lift:");
    hands.key("space");
    let line = map.0.find("time of the lift").unwrap().rect;
    let on_line = |share: f32| Vec2::new(line.min.x + share * line.width(), line.center().y);
    // Before the cribs have followed on either side.
    hands.drag(on_line(0.5), on_line(0.04));
    hands.wait("0 of 2 gaps enough, no failures");

    // One side only from here: it rolls, and the window stands still there.
    hands.key("p");
    hands.tool(&["keydown", "q"]);
    hands.wait("gaps enough, the vehicle rolls");
    hands.tool(&["keyup", "q"]);
    pause(1.0);
    shot(
        &hands,
        "failure",
        "A failure",
        "Taken up again from an earlier moment with one lever only. The window stands still \
         where it goes wrong; the finding has its number and its place.",
    );
    map.0.key_down(KeyCode::KeyQ);
    map.0.key_down(KeyCode::KeyP);
    map.0.stride(6);
    assert!(map.0.wait_until(120.0, |t| t.find("The vehicle rolls").is_some()));
    map.0.key_up(KeyCode::KeyQ);
    hands.click(map.at("The vehicle rolls"));
    shot(
        &hands,
        "finding",
        "To its place and its time",
        "A click on the finding goes to the moment and to the place.",
    );

    // Both runs side by side.
    hands.key("8");
    hands.wait("look back:");
    hands.key("1");
    hands.key("9");
    pause(1.5);
    shot(
        &hands,
        "side-by-side",
        "Two runs side by side",
        "Key 9: this run beside itself as it was before the change, at the same time and from \
         the same place. Below each stands how it went.",
    );
    hands.key("9");
    pause(6.0);
    shot(
        &hands,
        "twin",
        "A lesson and its twin",
        "Key 9 once more: beside the lesson's twin, which plays its own script.",
    );
    hands.key("9");
    hands.key("F8");
    shot(&hands, "dark", "Dark panels", "F8, for a dim room.");
    hands.key("F8");
    hands.key("Escape");
    let back = until(PATIENCE, || hands.title() == "Inchwise");
    assert!(back, "back on the shelf, not at {}", hands.title());
    assert!(!hands.errors().contains("panicked"), "{}", hands.errors());
    Ok(())
}

#[test]
fn a_new_user_with_a_real_keyboard_and_mouse() {
    if let Err(missing) = by_hand(None) {
        println!("not tried by real keys and clicks: {missing}");
    }
}

const NO_VULKAN: [(&str, &str); 2] =
    [("VK_DRIVER_FILES", "/nowhere"), ("VK_ICD_FILENAMES", "/nowhere")];

/// OpenGL draws nothing without a display: that is said, not waited for.
#[test]
fn without_vulkan_and_without_a_window_nothing_is_drawn() {
    let out = Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(["frames", LESSON, "--count", "1"])
        .envs(NO_VULKAN)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(!out.status.success() && said.contains("no graphics driver"), "{said}");
}

/// Where there is no Vulkan driver, OpenGL draws the window.
#[test]
fn opengl_draws_where_there_is_no_vulkan() {
    let mut hands = match Hands::new("opengl", &NO_VULKAN) {
        Ok(hands) => hands,
        Err(missing) => return println!("not tried with OpenGL: {missing}"),
    };
    hands.key("Return");
    hands.wait(", size up:");
    hands.key("7");
    hands.wait(", lift:");
    // An empty yard would have a handful of colours.
    let dots = hands.picture().dots;
    let colours: BTreeSet<&[u8]> = dots.chunks_exact(3).collect();
    assert!(colours.len() > 1000, "{} colours", colours.len());
    assert!(!hands.errors().contains("panicked"), "{}", hands.errors());
}

/// The display goes in the middle of an edit, as when a projector's server ends: the program ends
/// too, and the set-up that was being built is there.
#[test]
fn a_display_that_goes_costs_no_set_up() {
    let mut hands = match Hands::new("gone", &[]) {
        Ok(hands) => hands,
        Err(missing) => return println!("not tried without its display: {missing}"),
    };
    hands.key("Return");
    hands.wait(", size up:");
    hands.key("6");
    hands.wait("set up:");
    let mut map = Map::new();
    map.0.tap(KeyCode::Enter);
    map.0.wait(0.5);
    map.0.tap(KeyCode::Digit6);
    map.0.wait(1.0);
    hands.click(map.at("Void fill"));
    let kept = |hands: &Hands| unsaved(hands.folder.path());
    assert!(until(PATIENCE, || !kept(&hands).is_empty()), "the edit is kept by itself");
    hands.server.end();
    let ended = until(Duration::from_secs(60), || hands.program.0.try_wait().unwrap().is_some());
    assert!(ended, "it goes on without a display");
    for path in walked(hands.folder.path()) {
        if path.ends_with("settings.ron") {
            let (_, trouble) = SettingsFile::read(&path);
            assert_eq!(trouble, None, "{}", path.display());
        }
    }
    let draft = kept(&hands).pop().expect("it is there still");
    let loaded = scene::load(draft.to_str().unwrap(), &[]);
    let fills = loaded.map(|loaded| loaded.scene.void_fill.len());
    assert!(fills.is_ok_and(|fills| fills > 0), "{}", draft.display());
}

/// The unsaved set-ups below a folder.
fn unsaved(folder: &Path) -> Vec<PathBuf> {
    let is_one = |path: &PathBuf| path.to_string_lossy().contains("unsaved");
    walked(folder).into_iter().filter(is_one).collect()
}

/// Every file below a folder.
fn walked(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    entries.flat_map(|path| if path.is_dir() { walked(&path) } else { vec![path] }).collect()
}

/// Builds a set-up in a folder and loses its graphics device: for the test below, which runs it
/// as a process of its own.
#[test]
#[ignore = "its graphics device is lost"]
fn loses_its_device() {
    let Ok(folder) = std::env::var("INCHWISE_LOSER") else { return };
    let folder = Path::new(&folder);
    let open = Trial::in_folder(folder, shelf(), None, UnitSystem::Si, SMALL, Rendering::Drawn);
    let mut trial = match open {
        Ok(trial) => trial,
        Err(missing) => return fs::write(folder.join("missing"), missing.to_string()).unwrap(),
    };
    trial.stride(20);
    trial.tap(KeyCode::Enter);
    trial.wait(1.0);
    trial.tap(KeyCode::Digit6);
    trial.wait(2.0);
    trial.click("Void fill").unwrap();
    trial.wait(5.0);
    trial.resource::<RenderDevice>().expect("it draws").wgpu_device().destroy();
    trial.wait(20.0);
}

/// The graphics device is lost in the middle of an edit: the program ends, by the hand of what
/// draws, and the set-up that was being built is offered again.
#[test]
fn a_lost_graphics_device_costs_no_set_up() {
    let folder = tempfile::tempdir().unwrap();
    let out = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "trial::loses_its_device", "--ignored"])
        .env("INCHWISE_LOSER", folder.path())
        .output()
        .unwrap();
    if let Ok(missing) = fs::read_to_string(folder.path().join("missing")) {
        return println!("not tried without its device: {missing}");
    }
    assert!(!out.status.success(), "nothing was lost");
    assert_eq!(unsaved(folder.path()).len(), 1, "{}", String::from_utf8_lossy(&out.stdout));
    let (shelf, units) = (shelf(), UnitSystem::Si);
    let again = Trial::in_folder(folder.path(), shelf, None, units, SIZE, Rendering::Blind);
    let mut again = again.unwrap();
    again.wait(0.5);
    assert!(again.find("Unsaved drafts").is_some(), "the shelf offers it");
}

/// The first scene of each failure is played from the shelf until the window tells of it
/// and stands still; a click on what it tells goes to its place and its time.
fn to_each_failure(sight: Rendering, mut page: Option<&mut Page>) {
    let mut seen = BTreeSet::new();
    for scene in shelf() {
        let Some(cause) =
            scene.scene.expect.cause.filter(|_| scene.scene.expect.outcome == Outcome::Failed)
        else {
            continue;
        };
        if !seen.insert(cause) {
            continue;
        }
        let (name, teaches) = (scene.scene.name.clone(), scene.scene.teaches.clone());
        let mut trial = Trial::new(vec![scene], None, UnitSystem::Si, SIZE, sight).unwrap();
        trial.stride(6);
        trial.tap(KeyCode::Enter);
        assert!(trial.wait_until(4.0, |t| t.now().is_some()));
        trial.tap(KeyCode::KeyP);
        trial.tap(KeyCode::Space);
        assert!(trial.wait_until(600.0, |t| t.says("Failure here")), "{name} stands still");
        let first = trial.findings().first().unwrap().clone();
        assert_eq!(first.cause(), cause, "{name}: the first finding is the one to be shown");
        let now_s = trial.now().unwrap().t_s;
        assert!((now_s - first.t_s).abs() < 0.1, "it stands still at {now_s}, found {}", first.t_s);
        // On for a while, and back by a click on the finding.
        // What goes wrong next may follow at once, and it stands still there, too.
        let near = |trial: &Trial| trial.now().unwrap().t_s <= first.t_s + 0.1;
        for _ in 0..4 {
            if near(&trial) {
                trial.tap(KeyCode::Space);
                trial.wait(1.0);
            }
        }
        if !trial.says("Failure here") {
            trial.tap(KeyCode::Space);
        }
        trial.frames(2);
        assert!(trial.now().unwrap().t_s > first.t_s + 0.1, "{name} went on");
        trial.click_nth(words(cause), 0).unwrap();
        trial.wait(1.0);
        let seen_s = trial.now().unwrap().t_s;
        assert!((seen_s - first.t_s).abs() < 0.1, "{name}: {seen_s}, found {}", first.t_s);
        let at = trial.seen_at(first.place).expect("the place is before the camera");
        let yard = bevy::math::Rect::new(290.0, 100.0, 968.0, 650.0);
        assert!(yard.contains(at), "{name}: the place is in the yard, at {at}");
        assert!(trial.texts().iter().any(|t| t.starts_with("1  ")), "its number is written there");
        if let Some(page) = &mut page {
            let whole = tempfile::Builder::new().suffix(".png").tempfile().unwrap();
            trial.picture(whole.path()).unwrap();
            let picture = read(whole.path());
            let title = format!("{}: {name}", words(cause));
            page.add(&picture, &format!("failure-{}", cause.word()), &title, &teaches);
        }
    }
    assert_eq!(seen.len(), 11, "each failure that is looked out for: {seen:?}");
}

/// What the window calls a failure.
fn words(cause: Cause) -> &'static str {
    match cause {
        Cause::Slide => "The vehicle slides",
        Cause::Roll => "The vehicle rolls",
        Cause::KickOut => "Something kicks out",
        Cause::Topple => "A stack topples",
        Cause::Drop => "The load drops",
        Cause::CasualtyLoad => "Load on casualty increased",
        Cause::BagOverload => "A bag is at its limit",
        Cause::Sink => "Crib base sinks",
        Cause::Crush => "Timber is crushed",
        Cause::Strut => "A strut does not hold",
        Cause::Strap => "A strap does not hold",
        Cause::Beam => "The beam is overloaded",
    }
}

pub fn read(path: &Path) -> Frame {
    let file = std::io::BufReader::new(fs::File::open(path).unwrap());
    let mut reader = png::Decoder::new(file).read_info().unwrap();
    let mut dots = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut dots).unwrap();
    assert_eq!(info.color_type, png::ColorType::Rgb);
    Frame { width: info.width, height: info.height, dots }
}

#[test]
fn a_new_user_gets_to_each_failure() {
    to_each_failure(Rendering::Blind, None);
}

const HEAD: &str = "# The window, tried as a new user would

Each picture comes from a run of the program.
A real keyboard and mouse on a virtual display make the steps of the lift.
Key presses and clicks inside the window's own systems make the failures.
`tests/window/trial.rs` is the script of both, and a test.
A machine without a graphics card drew them: by hand in the plain graphics that the window chooses there, the failures in full.
The scenes are invented.
**This trains judgement; it never says that a real lift is safe: follow local procedures, the equipment's own instructions and qualified command.**

One command makes the pictures and this page, where Xvfb, xdotool and a Vulkan driver are:

```sh
cargo test --release --test window -- --ignored page
```

An action of a hand is on screen within two frames.
A key pressed before a frame is an order in that very frame, and the next one shows its moment (`tests/window/window.rs` holds it).
";

/// Draws everything and writes the page.
#[test]
#[ignore = "draws: needs Xvfb, xdotool, a Vulkan driver and some minutes"]
fn page() {
    let mut page = Page::default();
    if let Err(missing) = by_hand(Some(&mut page)) {
        panic!("the page needs it: {missing}");
    }
    let steps = page.0.len();
    to_each_failure(Rendering::Drawn, Some(&mut page));
    let mut text = HEAD.to_owned();
    for (i, (name, title, about)) in page.0.iter().enumerate() {
        if i == 0 {
            text += "\n## A lift, a failure, and both side by side\n";
        } else if i == steps {
            text += "\n## To each failure\n";
        }
        let about = about.replace(". ", ".\n");
        text += &format!("\n### {title}\n\n{about}\n\n![{title}](pictures/trial/{name}.png)\n");
    }
    fs::write(concat!(env!("CARGO_MANIFEST_DIR"), "/docs/TRIAL.md"), text).unwrap();
}

/// Every picture that the page shows is there and small.
#[test]
fn the_page_shows_every_stage_and_failure() {
    let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let text = fs::read_to_string(docs.join("TRIAL.md")).unwrap();
    let shown: Vec<&str> =
        text.split("](pictures/trial/").skip(1).filter_map(|t| t.split(')').next()).collect();
    for name in &shown {
        let size = fs::metadata(docs.join("pictures/trial").join(name)).unwrap().len();
        assert!((1_000..PICTURE_AT_MOST as u64).contains(&size), "{name}: {size} bytes");
    }
    for stage in ["shelf", "size-up", "set-up", "lift", "look-back", "side-by-side"] {
        assert!(shown.contains(&&*format!("{stage}.png")), "{stage}");
    }
    assert_eq!(shown.iter().filter(|n| n.starts_with("failure-")).count(), 10);
    assert!(text.starts_with(HEAD), "the head is the script's own");
}
