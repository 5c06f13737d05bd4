//! What hands can ask of a session, and what a session asks of its driver.

use super::bench::Ask;
use super::class::ClassAction;
use super::compare::Which;
use super::lever::Lever;
use super::measure::MeasureAction;
use super::overlays::Overlay;
use super::stage::Stage;
use super::task::LiftTaskAction;
use crate::framing::Stand;
use crate::framing::View;
use crate::scene::{Fault, OnFailure};
use std::path::PathBuf;

/// What hands and keys ask for.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Take hold of an outlet's lever, or let it go. Asked again it changes nothing.
    Hold {
        /// The outlet's place in the scene.
        outlet: usize,
        /// Which way it is held; none lets it go.
        lever: Option<Lever>,
    },
    /// The next of how far a lever opens a valve.
    NextValve,
    /// Close a bag's shut-off, or open it again.
    Shut {
        /// The bag's place in the scene.
        bag: usize,
        /// Whether it is to be closed.
        closed: bool,
    },
    /// Put an outlet's hose onto another bag.
    MoveHose {
        /// The outlet's place in the scene.
        outlet: usize,
        /// Of a Y, the place of the bag that its leg is taken off.
        from: Option<usize>,
        /// The bag's place in the scene.
        to: usize,
    },
    /// Have every capture follow the load.
    Capture,
    /// Set every chock that is not set yet.
    SetChocks,
    /// Let the scene's script give the orders, or stop it.
    Script(bool),
    /// What the officer does from now on once something has gone wrong.
    OnFailure(OnFailure),
    /// Play the lift, or pause it.
    PlayOrPause,
    /// Play at a quarter of the pace, or at the usual one.
    SlowOrNot,
    /// One recorded moment on (true) or back.
    Step(bool),
    /// From the start once more.
    Restart,
    /// To the recorded moment at a time of the lift, s.
    Seek(f64),
    /// To the latest moment.
    ToNow,
    /// Show another run for comparison, or none.
    Beside(Option<Which>),
    /// Change to the next run that can be compared with.
    NextBeside,
    /// Pause when something goes wrong, or play on.
    Freeze,
    /// Begin or leave the guided first lift.
    Guide,
    /// Show the classes to choose from, or no more; on the shelf only.
    Classes,
    /// Hold a class of that list, by its place there.
    HoldClass(usize),
    /// What is asked of the class that is held; it does nothing where there is none.
    Class(ClassAction),
    /// Show the tasks to choose from, or no more; on the shelf only.
    Tasks,
    /// Choose a task of that list, by its place there.
    ChooseTask(usize),
    /// Begin a task of that list.
    BeginTask(usize),
    /// What is asked of the task that is worked on; it does nothing where there is none.
    Task(LiftTaskAction),
    /// A higher number of the seat, or a lower one.
    Seat(i32),
    /// Show or hide the instructor's panel.
    Instructor,
    /// Have a fault happen now.
    Strike(Fault),
    /// Draw plainly, for a machine without a graphics card, or not.
    Plain,
    /// Draw seldom, coarsely and plainly, to save a battery, or not.
    LowPower,
    /// Go to a stage.
    Stage(Stage),
    /// Look from one of the usual places.
    Look(View),
    /// Walk round the vehicle by a drag, points to the right and down.
    Turn([f32; 2]),
    /// Move the camera across by a drag, points to the right and down.
    Shift([f32; 2]),
    /// Zoom in by this much scrolling, points.
    Nearer(f32),
    /// Go to a finding, by its place among all of them: to its place and its time.
    Visit(usize),
    /// The same for a point of practice.
    VisitPoint(usize),
    /// Show an overlay, or hide it.
    Toggle(Overlay),
    /// Show figures in the other units.
    Units,
    /// Larger text, or the usual size.
    Big,
    /// Panels light or dark.
    Dark,
    /// Have the shelf tell how each lesson ends, or only of those that were played.
    ShowEndings,
    /// The whole screen, or a window.
    WholeScreen,
    /// Show or hide the list of keys.
    Help,
    /// Back to the shelf.
    Shelf,
    /// Choose a scene on the shelf, by its place there.
    Choose(usize),
    /// Open a scene of the shelf.
    Open(usize),
    /// Open a scene with everything taken away that a crew brings.
    OpenBare(usize),
    /// Begin from nothing but a vehicle, by its name.
    Begin(String),
    /// Take an unsaved set-up up again.
    TakeUp(PathBuf),
    /// Throw an unsaved set-up away.
    ThrowAway(PathBuf),
    /// An action on the bench; it does nothing where there is none.
    Bench(Ask),
    /// What is asked in the size-up.
    Measure(MeasureAction),
    /// Give out everything of the user's as one file.
    ExportEverything,
    /// Ask the user for a file, to be taken in.
    AskForFile,
    /// Take in a file from outside: a scene, a class or a task, which is opened, or what was exported.
    TakeFile {
        /// What it is called.
        name: String,
        /// What is in it; nothing is known of it.
        bytes: Vec<u8>,
    },
    /// Show the sheet of what is on screen as a page to print.
    ShowSheet,
    /// Show the debrief of the lift as it was played as a page to print.
    ShowDebrief,
    /// Show the log of attempts at tasks as a page to print.
    ShowAttempts,
    /// What was told has been read.
    Understood,
}

impl Action {
    /// Whether it would lift, or go to where one lifts.
    pub(super) fn lifts(&self) -> bool {
        match self {
            Self::PlayOrPause
            | Self::Step(true)
            | Self::Hold { lever: Some(_), .. }
            | Self::Shut { .. }
            | Self::MoveHose { .. }
            | Self::Capture
            | Self::SetChocks
            | Self::Stage(Stage::Lift) => true,
            Self::Step(false)
            | Self::Hold { lever: None, .. }
            | Self::Stage(Stage::SizeUp | Stage::SetUp | Stage::LookBack)
            | Self::NextValve
            | Self::Script(_)
            | Self::OnFailure(_)
            | Self::SlowOrNot
            | Self::Restart
            | Self::Seek(_)
            | Self::ToNow
            | Self::Beside(_)
            | Self::NextBeside
            | Self::Freeze
            | Self::Guide
            | Self::Classes
            | Self::HoldClass(_)
            | Self::Class(_)
            | Self::Tasks
            | Self::ChooseTask(_)
            | Self::BeginTask(_)
            | Self::Task(_)
            | Self::Seat(_)
            | Self::Instructor
            | Self::Strike(_)
            | Self::Plain
            | Self::LowPower
            | Self::Look(_)
            | Self::Turn(_)
            | Self::Shift(_)
            | Self::Nearer(_)
            | Self::Visit(_)
            | Self::VisitPoint(_)
            | Self::Toggle(_)
            | Self::Units
            | Self::Big
            | Self::Dark
            | Self::ShowEndings
            | Self::WholeScreen
            | Self::Help
            | Self::Shelf
            | Self::Choose(_)
            | Self::Open(_)
            | Self::OpenBare(_)
            | Self::Begin(_)
            | Self::TakeUp(_)
            | Self::ThrowAway(_)
            | Self::Bench(_)
            | Self::Measure(_)
            | Self::ExportEverything
            | Self::AskForFile
            | Self::TakeFile { .. }
            | Self::ShowSheet
            | Self::ShowDebrief
            | Self::ShowAttempts
            | Self::Understood => false,
        }
    }

    /// Whether a class that is held goes by it: everything else, and what is new, would show what
    /// the room is not to see yet, or change the lift that it is asked about.
    pub(super) fn is_for_a_class(&self) -> bool {
        matches!(
            self,
            Self::Class(_)
                | Self::Shelf
                | Self::PlayOrPause
                | Self::SlowOrNot
                | Self::Look(_)
                | Self::Turn(_)
                | Self::Shift(_)
                | Self::Nearer(_)
                | Self::Toggle(_)
                | Self::Units
                | Self::Big
                | Self::Dark
                | Self::Plain
                | Self::LowPower
                | Self::WholeScreen
                | Self::Help
                | Self::Understood
        )
    }
}

/// What a session asks of its driver: it knows neither camera nor screen, and no file but the
/// user's own.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Another lift has been set up: look at it at once from there.
    NewLift(View),
    /// Look from one of the usual places.
    Look(View),
    /// Walk round the vehicle by a drag, points to the right and down.
    Turn([f32; 2]),
    /// Move the camera across by a drag, points to the right and down.
    Shift([f32; 2]),
    /// Zoom in by this much scrolling, points.
    Nearer(f32),
    /// Go to a place of the ground frame, m; it is not finite where the simulation broke down.
    Visit(Stand),
    /// Change between the whole screen and a window.
    WholeScreen,
    /// Give the user a file.
    Save {
        /// What it is called.
        name: String,
        /// What is in it.
        text: String,
    },
    /// Ask the user for a file, which comes back as [`Action::TakeFile`].
    AskForFile,
    /// Show a page that prints.
    ShowPage {
        /// What it is called.
        title: String,
        /// The whole page; nothing in it is fetched from elsewhere.
        html: String,
    },
}
