//! Turns keys into what the panels ask for, too.

use super::state::{CurrentSession, WindowInput};
use crate::session::{
    Action, Ask, ClassAction, Lever, LiftTaskAction, MeasureAction, Overlay, Play, Screen, Session,
    Stage, View,
};
use crate::view::panels::bring::BRING;
use crate::view::panels::input::{Input, Inputs};
use crate::view::panels::sizeup::TOOLS;
use bevy::prelude::*;

/// Keys of the outlets, raise and lower, as `controller::OUTLET_KEYS` shows them.
const HOLD_KEYS: [(KeyCode, KeyCode); 3] = [
    (KeyCode::KeyQ, KeyCode::KeyA),
    (KeyCode::KeyW, KeyCode::KeyS),
    (KeyCode::KeyE, KeyCode::KeyD),
];

/// Turns keys into the same actions that the panels ask for.
pub fn keys(
    keys: Res<ButtonInput<KeyCode>>,
    session: Res<CurrentSession>,
    mut asked: ResMut<WindowInput>,
) {
    if asked.typing {
        return;
    }
    // What has the focus answers the space bar and Enter itself.
    let pressed_there = asked.focused;
    let asked = &mut asked.inputs;
    let asks = session.task().is_some_and(|task| task.is_open());
    if session.benching() && !session.help() && !asks && keys_of_bench(&keys, &session, asked) {
        return;
    }
    let presses = [KeyCode::Space, KeyCode::Enter, KeyCode::NumpadEnter];
    let hit = |key| keys.just_pressed(key) && !(pressed_there && presses.contains(&key));
    for (key, action) in [
        (KeyCode::KeyH, Action::Help),
        (KeyCode::F1, Action::Help),
        (KeyCode::KeyU, Action::Units),
        (KeyCode::KeyB, Action::Big),
        (KeyCode::F7, Action::Plain),
        (KeyCode::F8, Action::Dark),
        (KeyCode::F9, Action::ExportEverything),
        (KeyCode::F10, Action::LowPower),
        (KeyCode::F11, Action::WholeScreen),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
    if session.help() {
        if hit(KeyCode::Escape) {
            asked.push(Action::Help);
        }
        return;
    }
    if session.class().is_some() {
        return keys_of_class(&keys, &hit, &session, asked);
    }
    if let Some(classes) = session.class_list() {
        return keys_of_class_list(&hit, classes.len(), asked);
    }
    if session.task_list().is_some() {
        return keys_of_task_list(&hit, &session, asked);
    }
    if asks {
        return keys_of_card(&hit, asked);
    }
    match session.screen() {
        Screen::Shelf => keys_of_shelf(&hit, &session, asked),
        Screen::Settling(_) => {
            if hit(KeyCode::Escape) {
                asked.push(Action::Shelf);
            }
        }
        Screen::Lift(play) => keys_of_lift(&keys, &hit, &session, play, asked),
    }
}

/// Keys of the shelf.
fn keys_of_shelf(hit: &impl Fn(KeyCode) -> bool, session: &Session, asked: &mut Inputs) {
    let scenes = session.scenes();
    let last = scenes.all().len().saturating_sub(1);
    for (key, index) in [
        (KeyCode::ArrowDown, (scenes.chosen() + 1).min(last)),
        (KeyCode::ArrowUp, scenes.chosen().saturating_sub(1)),
        (KeyCode::Home, 0),
        (KeyCode::End, last),
    ] {
        if hit(key) {
            asked.push(Action::Choose(index));
        }
    }
    if hit(KeyCode::Enter) || hit(KeyCode::NumpadEnter) {
        asked.push(Action::Open(scenes.chosen()));
    }
    if hit(KeyCode::KeyN) {
        asked.push(Action::OpenBare(scenes.chosen()));
    }
    for (key, action) in [
        (KeyCode::KeyI, Action::Guide),
        (KeyCode::KeyO, Action::AskForFile),
        (KeyCode::KeyC, Action::Classes),
        (KeyCode::KeyP, Action::Tasks),
        (KeyCode::KeyE, Action::ShowEndings),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
}

/// Keys of the list of classes.
fn keys_of_class_list(hit: &impl Fn(KeyCode) -> bool, classes: usize, asked: &mut Inputs) {
    let digits = DIGITS.into_iter().take(classes).enumerate();
    let chosen = digits.map(|(i, key)| (key, Action::HoldClass(i)));
    let close = [KeyCode::Escape, KeyCode::KeyC].map(|key| (key, Action::Classes));
    chosen.chain(close).filter(|(key, _)| hit(*key)).for_each(|(_, action)| asked.push(action));
}

/// The keys of the choices of a question.
const DIGITS: [KeyCode; 9] = [
    KeyCode::Digit1,
    KeyCode::Digit2,
    KeyCode::Digit3,
    KeyCode::Digit4,
    KeyCode::Digit5,
    KeyCode::Digit6,
    KeyCode::Digit7,
    KeyCode::Digit8,
    KeyCode::Digit9,
];

/// Keys of a class. A presenter's remote is a keyboard that has Page Down and Page Up.
fn keys_of_class(
    keys: &ButtonInput<KeyCode>,
    hit: &impl Fn(KeyCode) -> bool,
    session: &Session,
    asked: &mut Inputs,
) {
    for (key, action) in [
        (KeyCode::PageDown, Action::Class(ClassAction::Next)),
        (KeyCode::PageUp, Action::Class(ClassAction::Back)),
        (KeyCode::Escape, Action::Class(ClassAction::Leave)),
        (KeyCode::Space, Action::PlayOrPause),
        (KeyCode::KeyZ, Action::SlowOrNot),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
    let up = !keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let choices = session.class().map_or(0, |class| class.hands().len());
    for (choice, _) in DIGITS.into_iter().enumerate().filter(|(_, key)| hit(*key)) {
        match View::ALL.get(choice) {
            _ if choice < choices => {
                asked.push(Action::Class(ClassAction::Hand { choice, up }));
            }
            // Without a question they are the places to look from, as in the lift.
            Some((view, _)) if choices == 0 => asked.push(Action::Look(*view)),
            _ => {}
        }
    }
    for (key, overlay) in OVERLAY_KEYS {
        if hit(key) {
            asked.push(Action::Toggle(overlay));
        }
    }
}

/// Keys of the list of tasks.
fn keys_of_task_list(hit: &impl Fn(KeyCode) -> bool, session: &Session, asked: &mut Inputs) {
    let chosen = session.task_list().map_or(0, |list| list.chosen);
    for (key, action) in [
        (KeyCode::ArrowDown, Action::ChooseTask(chosen + 1)),
        (KeyCode::ArrowUp, Action::ChooseTask(chosen.saturating_sub(1))),
        (KeyCode::Enter, Action::BeginTask(chosen)),
        (KeyCode::NumpadEnter, Action::BeginTask(chosen)),
        (KeyCode::ArrowLeft, Action::Seat(-1)),
        (KeyCode::ArrowRight, Action::Seat(1)),
        (KeyCode::KeyL, Action::ShowAttempts),
        (KeyCode::Escape, Action::Tasks),
        (KeyCode::KeyP, Action::Tasks),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
}

/// Keys of a task's open card: nothing else happens while it is asked.
fn keys_of_card(hit: &impl Fn(KeyCode) -> bool, asked: &mut Inputs) {
    let digits = DIGITS.into_iter().enumerate();
    let choices = digits.map(|(i, key)| (key, LiftTaskAction::Choose(i)));
    let others = [
        (KeyCode::ArrowUp, LiftTaskAction::Rise(1)),
        (KeyCode::ArrowDown, LiftTaskAction::Rise(-1)),
        (KeyCode::PageUp, LiftTaskAction::Rise(5)),
        (KeyCode::PageDown, LiftTaskAction::Rise(-5)),
        (KeyCode::Enter, LiftTaskAction::Take),
        (KeyCode::NumpadEnter, LiftTaskAction::Take),
        (KeyCode::Backspace, LiftTaskAction::Back),
        (KeyCode::Escape, LiftTaskAction::Back),
        (KeyCode::Home, LiftTaskAction::Hint),
        (KeyCode::KeyB, LiftTaskAction::Stop),
    ];
    for (key, action) in choices.chain(others) {
        if hit(key) {
            asked.push(Action::Task(action));
        }
    }
}

/// Keys of the overlays, as `key_names::overlay_key` writes them.
const OVERLAY_KEYS: [(KeyCode, Overlay); 7] = [
    (KeyCode::KeyG, Overlay::Gaps),
    (KeyCode::KeyL, Overlay::Loads),
    (KeyCode::KeyT, Overlay::Thrust),
    (KeyCode::KeyY, Overlay::Corners),
    (KeyCode::KeyF, Overlay::Friction),
    (KeyCode::KeyJ, Overlay::Moment),
    (KeyCode::KeyM, Overlay::Mass),
];

/// Keys of the lift, on every stage; those of the size-up and the levers where they belong.
fn keys_of_lift(
    keys: &ButtonInput<KeyCode>,
    hit: &impl Fn(KeyCode) -> bool,
    session: &Session,
    play: &Play,
    asked: &mut Inputs,
) {
    for (key, action) in [
        (KeyCode::Escape, Action::Shelf),
        (KeyCode::Space, Action::PlayOrPause),
        (KeyCode::KeyZ, Action::SlowOrNot),
        (KeyCode::Comma, Action::Step(false)),
        (KeyCode::Period, Action::Step(true)),
        (KeyCode::End, Action::ToNow),
        (KeyCode::Digit9, Action::NextBeside),
        (KeyCode::KeyR, Action::Restart),
        (KeyCode::KeyV, Action::NextValve),
        (KeyCode::KeyC, Action::Capture),
        (KeyCode::KeyK, Action::SetChocks),
        (KeyCode::KeyX, Action::Script(!play.script())),
        (KeyCode::Digit1, Action::Look(View::ThreeQuarter)),
        (KeyCode::Digit2, Action::Look(View::Side)),
        (KeyCode::Digit3, Action::Look(View::Front)),
        (KeyCode::Digit4, Action::Look(View::Casualty)),
        (KeyCode::KeyP, Action::Freeze),
        (KeyCode::Digit0, Action::Instructor),
        (KeyCode::F2, Action::ShowSheet),
        (KeyCode::F4, Action::ShowDebrief),
        (KeyCode::Digit5, Action::Stage(Stage::SizeUp)),
        (KeyCode::Digit6, Action::Stage(Stage::SetUp)),
        (KeyCode::Digit7, Action::Stage(Stage::Lift)),
        (KeyCode::Digit8, Action::Stage(Stage::LookBack)),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
    if session.task().is_some() {
        for (key, action) in [
            (KeyCode::Home, LiftTaskAction::Hint),
            (KeyCode::KeyB, LiftTaskAction::Stop),
            (KeyCode::Enter, LiftTaskAction::Take),
            (KeyCode::NumpadEnter, LiftTaskAction::Take),
        ] {
            if hit(key) {
                asked.push(Action::Task(action));
            }
        }
    }
    for (key, overlay) in OVERLAY_KEYS {
        if hit(key) {
            asked.push(Action::Toggle(overlay));
        }
    }
    if session.stage() != Stage::SizeUp && hit(KeyCode::KeyN) {
        asked.push(Action::OnFailure(play.on_failure().other()));
    }
    if session.stage() == Stage::SizeUp {
        keys_of_size_up(hit, asked);
    }
    if session.stage() != Stage::SetUp {
        keys_of_levers(keys, asked);
    }
}

/// Keys of the tools that measure.
fn keys_of_size_up(hit: &impl Fn(KeyCode) -> bool, asked: &mut Inputs) {
    for ((tool, ..), key) in TOOLS.into_iter().zip([KeyCode::KeyN, KeyCode::KeyO, KeyCode::KeyI]) {
        if hit(key) {
            asked.push(Action::Measure(MeasureAction::Tool(tool)));
        }
    }
    if hit(KeyCode::Backspace) {
        asked.push(Action::Measure(MeasureAction::Forget));
    }
}

/// Levers that are held.
fn keys_of_levers(keys: &ButtonInput<KeyCode>, asked: &mut Inputs) {
    for (outlet, (up, down)) in HOLD_KEYS.into_iter().enumerate() {
        // One that is let go within a slow frame was held for that frame.
        let held = |key| keys.pressed(key) || keys.just_pressed(key);
        if held(up) {
            asked.push(Input::Hold(outlet, Lever::Up));
        } else if held(down) {
            asked.push(Input::Hold(outlet, Lever::Down));
        }
    }
}

/// Keys of the things to bring, as `bring::BRING` shows them.
const BRING_KEYS: [KeyCode; 11] = [
    KeyCode::KeyS,
    KeyCode::KeyA,
    KeyCode::KeyW,
    KeyCode::KeyI,
    KeyCode::KeyC,
    KeyCode::KeyD,
    KeyCode::KeyK,
    KeyCode::Semicolon,
    KeyCode::BracketLeft,
    KeyCode::BracketRight,
    KeyCode::KeyP,
];

/// Keys of the set-up stage; true where one of them was hit, which then means nothing else.
fn keys_of_bench(keys: &ButtonInput<KeyCode>, session: &Session, asked: &mut Inputs) -> bool {
    let hit = |key| keys.just_pressed(key);
    // Still held where a slow frame sees both keys let go.
    let control_keys = [KeyCode::ControlLeft, KeyCode::ControlRight];
    let control = keys.any_pressed(control_keys) || keys.any_just_released(control_keys);
    let shift = keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let mut out: Vec<Ask> = Vec::new();
    if control {
        for (key, ask) in [
            (KeyCode::KeyZ, if shift { Ask::Redo } else { Ask::Undo }),
            (KeyCode::KeyY, Ask::Redo),
            (KeyCode::KeyS, if shift { Ask::SaveAs } else { Ask::Save }),
        ] {
            if hit(key) {
                out.push(ask);
            }
        }
    } else {
        for ((kind, ..), key) in BRING.into_iter().zip(BRING_KEYS) {
            if hit(key) {
                out.push(Ask::Bring(kind));
            }
        }
        for (key, ask) in [
            (KeyCode::ArrowUp, Ask::Nudge([1, 0])),
            (KeyCode::ArrowDown, Ask::Nudge([-1, 0])),
            (KeyCode::ArrowLeft, Ask::Nudge([0, 1])),
            (KeyCode::ArrowRight, Ask::Nudge([0, -1])),
            (KeyCode::PageDown, Ask::Next(true)),
            (KeyCode::PageUp, Ask::Next(false)),
            (KeyCode::Equal, Ask::Layers(1)),
            (KeyCode::NumpadAdd, Ask::Layers(1)),
            (KeyCode::Minus, Ask::Layers(-1)),
            (KeyCode::NumpadSubtract, Ask::Layers(-1)),
            (KeyCode::KeyX, Ask::Mirror),
            (KeyCode::KeyO, Ask::Centre),
            (KeyCode::KeyR, Ask::Turn),
            (KeyCode::Delete, Ask::Remove),
            (KeyCode::KeyE, Ask::Both),
            (KeyCode::KeyN, Ask::NextStep),
            (KeyCode::KeyQ, Ask::Planning(!session.bench().is_some_and(|b| b.planning))),
        ] {
            if hit(key) {
                out.push(ask);
            }
        }
        if hit(KeyCode::Escape) && session.bench().is_some_and(|b| b.selected.is_some()) {
            out.push(Ask::Select(None));
        }
    }
    let any = !out.is_empty() || control;
    for ask in out {
        asked.push(Action::Bench(ask));
    }
    // What is left has the same meaning on every stage, but for time and orders.
    any || [KeyCode::KeyZ, KeyCode::Comma, KeyCode::Period, KeyCode::KeyV].into_iter().any(hit)
}
