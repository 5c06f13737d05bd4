//! Law protected: on every stage of the window, at every usual size, in both colours, with usual
//! and large text, nothing is cut, covered, too pale or over another, and words keep to the rule.
//!
//! The window is walked through by keys and clicks (`walk/stops.rs`). At each stop it is given each
//! size and look, and what egui paints and tells a screen reader is gone over (`walk/flaws.rs`). The
//! edge of a list may cut a line where the list can be scrolled that way. Words of files are left
//! out of the rule for words (`walk/words.rs`).
//!
//! `cargo test --release --test window -- --ignored stages` draws each stop instead.

mod flaws;
mod sight;
mod stops;
mod words;

use self::flaws::{Flaw, flaws};
use self::stops::shipped;
use self::words::Words;
use crate::trial::{read, small};
use bevy::math::Vec2;
use bevy::prelude::KeyCode;
use inchwise::scene::Loaded;
use inchwise::units::UnitSystem;
use inchwise::view::{Rendering, Trial};
use std::collections::BTreeMap;
use std::path::Path;

/// Sizes in dots, and the dots of a logical pixel on such a screen.
const SIZES: [([u32; 2], f32); 5] = [
    ([1280, 720], 1.0),
    ([1366, 768], 1.0),
    ([1600, 900], 1.0),
    ([1920, 1080], 1.0),
    ([3840, 2160], 2.0),
];

/// Frames after which a window of a new size has found its form.
const FORM: usize = 5;

/// Of the pictures: all of them together stay small enough to be kept.
const PICTURE: [u32; 2] = [896, 504];

/// Where the pictures of the stops are.
const PICTURES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/pictures/stages");

/// Flaws by stop, kind and text: the looks in which each was seen, and where first.
type FlawsFound = BTreeMap<(String, String, String), (Vec<String>, [i32; 4])>;

/// A walk through the window: it looks for flaws, or draws.
struct Walk {
    words: Words,
    /// Each flaw once a stop, with the looks that have it.
    found: FlawsFound,
    looks: usize,
    rendering: Rendering,
}

impl Walk {
    fn looking() -> Self {
        let (words, found) = (Words::new(), BTreeMap::new());
        Self { words, found, looks: 0, rendering: Rendering::Blind }
    }

    fn drawing() -> Self {
        Self { rendering: Rendering::Drawn, ..Self::looking() }
    }

    /// A window on the shelf.
    fn open(&self, scenes: Vec<Loaded>) -> Trial {
        let mut trial =
            Trial::new(scenes, None, UnitSystem::Si, SIZES[0].0, self.rendering).unwrap();
        self.usual_pace(&mut trial);
        trial
    }

    /// Frames of the usual length; where they are drawn, fewer and coarse ones between stops.
    fn usual_pace(&self, trial: &mut Trial) {
        if self.rendering == Rendering::Drawn {
            trial.stride(6);
            trial.draw_coarsely(true);
        } else {
            trial.stride(1);
        }
    }

    /// A scene's lift at a stage.
    fn on(&self, name: &str, stage: KeyCode) -> Trial {
        let start = Some(shipped(name));
        let mut trial =
            Trial::new(Vec::new(), start, UnitSystem::Si, SIZES[0].0, self.rendering).unwrap();
        self.usual_pace(&mut trial);
        assert!(trial.wait_until(4.0, |t| t.now().is_some()), "{name} is set up");
        trial.tap(stage);
        trial.frames(3);
        trial
    }

    /// Stops there.
    fn at(&mut self, stop: &str, trial: &mut Trial) {
        // Nothing is pointed at.
        trial.point(Vec2::new(1.0, 1.0));
        trial.hold_time(true);
        if self.rendering == Rendering::Blind {
            self.look(stop, trial);
        } else {
            draw(stop, trial);
        }
        trial.hold_time(false);
        self.looks += 1;
    }

    /// Stops where no picture is kept: what is there is gone before it is drawn, or it names a folder
    /// of the machine.
    fn pass(&mut self, stop: &str, trial: &mut Trial) {
        if self.rendering == Rendering::Blind {
            self.at(stop, trial);
        }
    }

    /// Looks at a stop in every size and colour.
    fn look(&mut self, stop: &str, trial: &mut Trial) {
        for (size, dots) in SIZES {
            for (large, dark) in [(false, false), (false, true), (true, false), (true, true)] {
                trial.resize(size, dots);
                trial.wear(dark, large);
                trial.frames(FORM);
                let [wide, high] = size;
                let color = if dark { "dark" } else { "light" };
                let text = if large { ", large text" } else { "" };
                self.note(stop, &format!("{wide}x{high} {color}{text}"), trial);
            }
        }
        trial.resize(SIZES[0].0, SIZES[0].1);
        trial.wear(false, false);
        trial.frames(FORM);
    }

    fn note(&mut self, stop: &str, look: &str, trial: &Trial) {
        trial.told_of_the_lift().iter().for_each(|text| self.words.add(text));
        for Flaw { what, text, at } in flaws(trial, &self.words) {
            let found = self.found.entry((stop.to_owned(), what, text));
            found.or_insert_with(|| (Vec::new(), at)).0.push(look.to_owned());
        }
    }

    /// Goes along a way and finds nothing.
    fn along(mut self, way: fn(&mut Self)) {
        way(&mut self);
        for ((stop, what, text), (looks, at)) in &self.found {
            let count = looks.len();
            println!("{stop} | {count} looks, first {} | {text:?} {what} | {at:?}", looks[0]);
        }
        assert!(self.looks > 0);
        assert!(self.found.is_empty(), "{} flaws, listed above", self.found.len());
    }
}

/// Writes the picture of a stop, with few colours so that it is small.
fn draw(stop: &str, trial: &mut Trial) {
    let whole = tempfile::Builder::new().suffix(".png").tempfile().unwrap();
    trial.draw_coarsely(false);
    trial.whole_frame();
    trial.picture(whole.path()).unwrap();
    trial.draw_coarsely(true);
    let name = stop.replace(", ", "-").replace(' ', "-");
    std::fs::create_dir_all(PICTURES).unwrap();
    let png = small(&read(whole.path()), PICTURE);
    std::fs::write(Path::new(PICTURES).join(format!("{name}.png")), png).unwrap();
}

#[test]
fn the_shelf_and_its_lists() {
    Walk::looking().along(stops::the_shelf_and_its_lists);
}

#[test]
fn the_size_up_and_the_set_up() {
    Walk::looking().along(stops::the_size_up_and_the_set_up);
}

#[test]
fn a_set_up_that_does_not_fit() {
    Walk::looking().along(stops::a_set_up_that_does_not_fit);
}

#[test]
fn the_lift_and_the_look_back() {
    Walk::looking().along(stops::the_lift_and_the_look_back);
}

#[test]
fn a_lift_with_a_beam_and_its_end() {
    Walk::looking().along(stops::a_lift_with_a_beam_and_its_end);
}

#[test]
fn a_class_and_its_reveal() {
    Walk::looking().along(stops::a_class_and_its_reveal);
}

#[test]
fn a_task_from_its_brief_to_what_came_of_it() {
    Walk::looking().along(stops::a_task_from_its_brief_to_what_came_of_it);
}

#[test]
fn the_guided_first_lift() {
    Walk::looking().along(stops::the_guided_first_lift);
}

/// Draws every stop.
#[test]
#[ignore = "draws: needs a Vulkan driver and some minutes"]
fn stages() {
    for way in [
        stops::the_shelf_and_its_lists,
        stops::the_size_up_and_the_set_up,
        stops::a_set_up_that_does_not_fit,
        stops::the_lift_and_the_look_back,
        stops::a_lift_with_a_beam_and_its_end,
        stops::a_class_and_its_reveal,
        stops::a_task_from_its_brief_to_what_came_of_it,
        stops::the_guided_first_lift,
    ] {
        Walk::drawing().along(way);
    }
}

/// The walk finds what it looks for: a screen of its own with one of each flaw.
#[test]
fn the_walk_can_find_something() {
    use bevy_egui::egui::{self, Color32, FontId, Rect, pos2};
    let ctx = egui::Context::default();
    let whole = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(400.0, 300.0));
    let input = || egui::RawInput { screen_rect: Some(whole), ..Default::default() };
    let mut painted = Vec::new();
    for _ in 0..2 {
        let output = ctx.run_ui(input(), |ui| {
            let painter = ui.ctx().layer_painter(egui::LayerId::background());
            let text = |painter: &egui::Painter, at, words: &str, color| {
                painter.text(at, egui::Align2::LEFT_TOP, words, FontId::default(), color);
            };
            painter.rect_filled(whole, 0.0, Color32::WHITE);
            text(&painter, pos2(10.0, 10.0), "good", Color32::BLACK);
            text(&painter, pos2(10.0, 40.0), "pale", Color32::from_gray(150));
            let cut = Rect::from_min_size(pos2(10.0, 70.0), egui::vec2(200.0, 6.0));
            text(&painter.with_clip_rect(cut), pos2(10.0, 70.0), "sliced", Color32::BLACK);
            text(&painter, pos2(380.0, 100.0), "beyond the screen", Color32::BLACK);
            text(&painter, pos2(10.0, 130.0), "under", Color32::BLACK);
            text(&painter, pos2(12.0, 132.0), "over", Color32::BLACK);
        });
        painted = output.shapes;
    }
    let found: Vec<String> = flaws::in_picture(&painted, &[], whole, &Words::new())
        .into_iter()
        .map(|Flaw { what, text, .. }| format!("{text} {what}"))
        .collect();
    assert_eq!(
        found,
        [
            "pale has a contrast of 2.96",
            "sliced is sliced",
            "beyond the screen is cut at its side",
            "over lies over \"under\"",
        ]
    );
}
