//! Our own signs, drawn with strokes in a box of sixteen by sixteen. A button is given its sign with
//! its word.

mod lines;

use bevy_egui::egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, vec2};

/// A sign on a button.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    Stack,
    Bag,
    Wedge,
    Beam,
    Capture,
    VoidFill,
    Chock,
    StepChock,
    Strut,
    Strap,
    Hose,
    Play,
    Pause,
    Slow,
    Step,
    Back,
    Again,
    Script,
    Lever,
    Warning,
    Up,
    Down,
    Tape,
    Angle,
    Height,
    Undo,
    Redo,
    Mirror,
    Grid,
    Save,
    On,
    Home,
    Eye,
    Curve,
    Help,
    Remove,
    Add,
    First,
    Battery,
    Letters,
    Half,
    Load,
    Bears,
    Mass,
    Person,
}

impl Icon {
    fn lines(self) -> lines::Sign {
        match self {
            Self::Stack => lines::STACK,
            Self::Bag => lines::BAG,
            Self::Wedge => lines::WEDGE,
            Self::Beam => lines::BEAM,
            Self::Capture => lines::CAPTURE,
            Self::VoidFill => lines::VOID_FILL,
            Self::Chock => lines::CHOCK,
            Self::StepChock => lines::STEP_CHOCK,
            Self::Strut => lines::STRUT,
            Self::Strap => lines::STRAP,
            Self::Hose => lines::HOSE,
            Self::Play => lines::PLAY,
            Self::Pause => lines::PAUSE,
            Self::Slow => lines::SLOW,
            Self::Step => lines::STEP,
            Self::Back => lines::BACK,
            Self::Again => lines::AGAIN,
            Self::Script => lines::SCRIPT,
            Self::Lever => lines::LEVER,
            Self::Warning => lines::WARNING,
            Self::Up => lines::UP,
            Self::Down => lines::DOWN,
            Self::Tape => lines::TAPE,
            Self::Angle => lines::ANGLE,
            Self::Height => lines::HEIGHT,
            Self::Undo => lines::UNDO,
            Self::Redo => lines::REDO,
            Self::Mirror => lines::MIRROR,
            Self::Grid => lines::GRID,
            Self::Save => lines::SAVE,
            Self::On => lines::ON,
            Self::Home => lines::HOME,
            Self::Eye => lines::EYE,
            Self::Curve => lines::CURVE,
            Self::Help => lines::HELP,
            Self::Remove => lines::REMOVE,
            Self::Add => lines::ADD,
            Self::First => lines::FIRST,
            Self::Battery => lines::BATTERY,
            Self::Letters => lines::LETTERS,
            Self::Half => lines::HALF,
            Self::Load => lines::LOAD,
            Self::Bears => lines::BEARS,
            Self::Mass => lines::MASS,
            Self::Person => lines::PERSON,
        }
    }
}

/// How much room a sign takes before its word, points.
pub fn room(icon: Option<Icon>, size: f32) -> f32 {
    icon.map_or(0.0, |_| size + 6.0)
}

/// Draws a sign into a box of this size with its middle left edge there.
pub fn paint(painter: &Painter, icon: Option<Icon>, left: Pos2, size: f32, ink: Color32) {
    let Some(icon) = icon else { return };
    let rect = Rect::from_min_size(left - vec2(0.0, 0.5 * size), vec2(size, size));
    let at = |p: &[f32; 2]| rect.min + size / lines::BOX * vec2(p[0], p[1]);
    for line in icon.lines() {
        let points: Vec<Pos2> = line.iter().map(at).collect();
        let stroke = Stroke::new(0.095 * size, ink);
        let closed = line.len() > 2 && line.first() == line.last();
        painter.add(if closed {
            Shape::closed_line(points[1..].to_vec(), stroke)
        } else {
            Shape::line(points, stroke)
        });
    }
}
