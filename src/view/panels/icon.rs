//! Our own signs, drawn with strokes in a box of sixteen by sixteen. A button is given its sign with
//! its word.

use bevy_egui::egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, vec2};

/// Side of the box that the strokes are written in.
const BOX: f32 = 16.0;

type IconLine = &'static [[f32; 2]];

/// Lines through points, x to the right, y down. One that ends where it begins is closed.
type Sign = &'static [IconLine];

const STACK: Sign = &[
    &[[1.0, 12.0], [15.0, 12.0], [15.0, 15.0], [1.0, 15.0], [1.0, 12.0]],
    &[[2.5, 8.5], [6.0, 8.5], [6.0, 12.0], [2.5, 12.0], [2.5, 8.5]],
    &[[10.0, 8.5], [13.5, 8.5], [13.5, 12.0], [10.0, 12.0], [10.0, 8.5]],
    &[[1.0, 5.5], [15.0, 5.5], [15.0, 8.5], [1.0, 8.5], [1.0, 5.5]],
    &[[2.5, 2.0], [6.0, 2.0], [6.0, 5.5]],
    &[[2.5, 2.0], [2.5, 5.5]],
    &[[10.0, 5.5], [10.0, 2.0], [13.5, 2.0], [13.5, 5.5]],
];
const BAG: Sign = &[
    &[
        [1.0, 9.0],
        [2.0, 6.5],
        [5.0, 5.0],
        [11.0, 5.0],
        [14.0, 6.5],
        [15.0, 9.0],
        [14.0, 11.5],
        [11.0, 13.0],
        [5.0, 13.0],
        [2.0, 11.5],
        [1.0, 9.0],
    ],
    &[[1.0, 9.0], [15.0, 9.0]],
    &[[5.0, 2.5], [8.0, 1.0], [11.0, 2.5]],
];
const BATTERY: Sign = &[
    &[[0.5, 4.5], [13.0, 4.5], [13.0, 11.5], [0.5, 11.5], [0.5, 4.5]],
    &[[15.0, 6.5], [15.0, 9.5]],
    &[[3.5, 7.0], [3.5, 9.0]],
];
const WEDGE: Sign = &[&[[1.0, 13.0], [15.0, 13.0], [15.0, 5.0], [1.0, 13.0]]];
const BEAM: Sign = &[
    &[[1.0, 9.0], [12.0, 5.0], [15.0, 6.5], [4.0, 10.5], [1.0, 9.0]],
    &[[1.0, 9.0], [1.0, 12.0], [4.0, 13.5], [15.0, 9.5], [15.0, 6.5]],
    &[[4.0, 10.5], [4.0, 13.5]],
];
const CAPTURE: Sign = &[
    &[[1.0, 12.5], [15.0, 12.5], [15.0, 15.0], [1.0, 15.0], [1.0, 12.5]],
    &[[2.5, 10.0], [13.5, 10.0], [13.5, 12.5]],
    &[[2.5, 10.0], [2.5, 12.5]],
    &[[8.0, 8.0], [8.0, 1.0]],
    &[[5.0, 4.0], [8.0, 1.0], [11.0, 4.0]],
];
const VOID_FILL: Sign = &[
    &[[1.0, 12.0], [15.0, 12.0], [15.0, 7.0], [1.0, 12.0]],
    &[[15.0, 4.0], [1.0, 4.0], [1.0, 9.0], [15.0, 4.0]],
];
const CHOCK: Sign = &[&[
    [1.0, 14.0],
    [1.0, 11.0],
    [5.0, 11.0],
    [5.0, 8.0],
    [9.0, 8.0],
    [9.0, 5.0],
    [13.0, 5.0],
    [13.0, 14.0],
    [1.0, 14.0],
]];
const STEP_CHOCK: Sign = &[
    &[[1.0, 15.0], [1.0, 12.0], [5.5, 12.0], [5.5, 9.0], [10.0, 9.0], [10.0, 6.0], [15.0, 6.0]],
    &[[15.0, 6.0], [15.0, 15.0], [1.0, 15.0]],
    &[[1.0, 3.0], [8.0, 3.0], [8.0, 7.0]],
];
const STRUT: Sign =
    &[&[[1.0, 15.0], [6.0, 15.0]], &[[3.5, 15.0], [12.5, 3.0]], &[[10.0, 1.0], [15.0, 5.0]]];
const STRAP: Sign = &[
    &[[1.0, 14.0], [6.0, 10.5]],
    &[[6.0, 8.0], [10.0, 8.0], [10.0, 12.0], [6.0, 12.0], [6.0, 8.0]],
    &[[10.0, 9.0], [15.0, 5.0]],
];
const HOSE: Sign = &[
    &[
        [1.0, 13.0],
        [4.0, 13.0],
        [6.0, 11.0],
        [6.0, 5.0],
        [8.0, 3.0],
        [10.0, 5.0],
        [10.0, 11.0],
        [12.0, 13.0],
        [13.0, 13.0],
    ],
    &[[13.0, 11.0], [13.0, 15.0], [15.0, 15.0], [15.0, 11.0], [13.0, 11.0]],
];
const PLAY: Sign = &[&[[4.0, 2.0], [14.0, 8.0], [4.0, 14.0], [4.0, 2.0]]];
const PAUSE: Sign = &[&[[5.0, 2.5], [5.0, 13.5]], &[[11.0, 2.5], [11.0, 13.5]]];
const SLOW: Sign = &[
    &[[2.0, 3.0], [7.0, 8.0], [2.0, 13.0], [2.0, 3.0]],
    &[[10.0, 3.0], [10.0, 6.0]],
    &[[10.0, 10.0], [10.0, 13.0]],
    &[[14.0, 3.0], [14.0, 6.0]],
    &[[14.0, 10.0], [14.0, 13.0]],
];
const STEP: Sign =
    &[&[[3.0, 3.0], [10.0, 8.0], [3.0, 13.0], [3.0, 3.0]], &[[13.0, 3.0], [13.0, 13.0]]];
const BACK: Sign =
    &[&[[13.0, 3.0], [6.0, 8.0], [13.0, 13.0], [13.0, 3.0]], &[[3.0, 3.0], [3.0, 13.0]]];
const AGAIN: Sign = &[
    &[
        [3.0, 5.0],
        [5.5, 2.8],
        [8.5, 2.0],
        [12.0, 3.5],
        [14.0, 7.0],
        [13.5, 10.5],
        [11.0, 13.3],
        [7.5, 14.0],
        [4.0, 12.5],
        [2.2, 9.5],
    ],
    &[[3.0, 1.0], [3.0, 5.0], [7.0, 5.0]],
];
const SCRIPT: Sign = &[
    &[[3.0, 1.0], [13.0, 1.0], [13.0, 15.0], [3.0, 15.0], [3.0, 1.0]],
    &[[5.5, 5.0], [10.5, 5.0]],
    &[[5.5, 8.0], [10.5, 8.0]],
    &[[5.5, 11.0], [8.5, 11.0]],
];
const LEVER: Sign = &[
    &[[2.0, 14.5], [14.0, 14.5]],
    &[[5.0, 14.5], [5.0, 11.0], [11.0, 11.0], [11.0, 14.5]],
    &[[8.0, 11.0], [11.5, 4.5]],
    &[[10.5, 2.5], [12.0, 1.2], [13.6, 2.2], [13.4, 4.0], [11.8, 4.6], [10.6, 3.6], [10.5, 2.5]],
];
const WARNING: Sign = &[
    &[[8.0, 1.0], [15.0, 8.0], [8.0, 15.0], [1.0, 8.0], [8.0, 1.0]],
    &[[8.0, 4.5], [8.0, 9.0]],
    &[[8.0, 11.0], [8.0, 12.0]],
];
const UP: Sign = &[
    &[[8.0, 13.0], [8.0, 3.0]],
    &[[4.0, 7.0], [8.0, 3.0], [12.0, 7.0]],
    &[[2.0, 15.0], [14.0, 15.0]],
];
const DOWN: Sign = &[
    &[[8.0, 2.0], [8.0, 12.0]],
    &[[4.0, 8.0], [8.0, 12.0], [12.0, 8.0]],
    &[[2.0, 15.0], [14.0, 15.0]],
];
const TAPE: Sign = &[
    &[[1.0, 5.0], [15.0, 5.0], [15.0, 11.0], [1.0, 11.0], [1.0, 5.0]],
    &[[4.5, 5.0], [4.5, 8.0]],
    &[[8.0, 5.0], [8.0, 9.0]],
    &[[11.5, 5.0], [11.5, 8.0]],
];
const ANGLE: Sign =
    &[&[[14.0, 3.0], [2.0, 13.0], [15.0, 13.0]], &[[7.5, 8.6], [9.3, 10.5], [9.8, 13.0]]];
const HEIGHT: Sign = &[
    &[[3.0, 1.5], [13.0, 1.5]],
    &[[3.0, 14.5], [13.0, 14.5]],
    &[[8.0, 3.0], [8.0, 13.0]],
    &[[5.5, 5.5], [8.0, 3.0], [10.5, 5.5]],
    &[[5.5, 10.5], [8.0, 13.0], [10.5, 10.5]],
];
const UNDO: Sign = &[
    &[[6.0, 2.0], [2.0, 6.0], [6.0, 10.0]],
    &[[2.0, 6.0], [10.0, 6.0], [13.0, 7.5], [14.0, 10.0], [13.0, 12.5], [10.0, 14.0], [6.0, 14.0]],
];
const REDO: Sign = &[
    &[[10.0, 2.0], [14.0, 6.0], [10.0, 10.0]],
    &[[14.0, 6.0], [6.0, 6.0], [3.0, 7.5], [2.0, 10.0], [3.0, 12.5], [6.0, 14.0], [10.0, 14.0]],
];
const MIRROR: Sign = &[
    &[[8.0, 1.0], [8.0, 4.0]],
    &[[8.0, 6.5], [8.0, 9.5]],
    &[[8.0, 12.0], [8.0, 15.0]],
    &[[5.5, 3.0], [5.5, 13.0], [1.0, 13.0], [5.5, 3.0]],
    &[[10.5, 3.0], [10.5, 13.0], [15.0, 13.0], [10.5, 3.0]],
];
const GRID: Sign = &[
    &[[2.0, 8.0], [14.0, 8.0]],
    &[[5.0, 5.0], [2.0, 8.0], [5.0, 11.0]],
    &[[11.0, 5.0], [14.0, 8.0], [11.0, 11.0]],
    &[[8.0, 5.5], [8.0, 10.5]],
];
const SAVE: Sign = &[
    &[[8.0, 1.0], [8.0, 10.0]],
    &[[4.5, 6.5], [8.0, 10.0], [11.5, 6.5]],
    &[[1.5, 9.5], [1.5, 14.5], [14.5, 14.5], [14.5, 9.5]],
];
const ON: Sign = &[&[[2.0, 8.0], [13.5, 8.0]], &[[9.0, 3.5], [13.5, 8.0], [9.0, 12.5]]];
const HOME: Sign = &[&[[14.0, 8.0], [2.5, 8.0]], &[[7.0, 3.5], [2.5, 8.0], [7.0, 12.5]]];
const EYE: Sign = &[
    &[
        [1.0, 8.0],
        [4.0, 4.8],
        [8.0, 3.5],
        [12.0, 4.8],
        [15.0, 8.0],
        [12.0, 11.2],
        [8.0, 12.5],
        [4.0, 11.2],
        [1.0, 8.0],
    ],
    &[[6.2, 8.0], [8.0, 6.0], [9.8, 8.0], [8.0, 10.0], [6.2, 8.0]],
];
const CURVE: Sign = &[
    &[[1.5, 1.5], [1.5, 14.5], [14.5, 14.5]],
    &[[3.5, 11.5], [6.5, 10.5], [9.0, 6.0], [11.0, 7.5], [14.0, 2.5]],
];
const HELP: Sign = &[
    &[
        [4.5, 5.0],
        [5.5, 2.5],
        [8.0, 1.5],
        [10.5, 2.5],
        [11.5, 5.0],
        [10.5, 7.2],
        [8.0, 8.8],
        [8.0, 11.0],
    ],
    &[[8.0, 13.3], [8.0, 14.5]],
];
const REMOVE: Sign = &[&[[3.0, 3.0], [13.0, 13.0]], &[[13.0, 3.0], [3.0, 13.0]]];
const ADD: Sign = &[&[[8.0, 2.0], [8.0, 14.0]], &[[2.0, 8.0], [14.0, 8.0]]];
const FIRST: Sign =
    &[&[[3.0, 15.0], [3.0, 1.5]], &[[3.0, 2.0], [13.0, 3.5], [13.0, 9.0], [3.0, 8.0]]];
const LETTERS: Sign = &[
    &[[1.0, 14.0], [5.0, 2.0], [9.0, 14.0]],
    &[[2.5, 9.5], [7.5, 9.5]],
    &[[10.5, 14.0], [12.75, 7.0], [15.0, 14.0]],
    &[[11.4, 11.5], [14.1, 11.5]],
];
const HALF: Sign = &[
    &[
        [8.0, 1.0],
        [12.9, 3.1],
        [15.0, 8.0],
        [12.9, 12.9],
        [8.0, 15.0],
        [3.1, 12.9],
        [1.0, 8.0],
        [3.1, 3.1],
        [8.0, 1.0],
    ],
    &[[8.0, 1.0], [8.0, 15.0]],
    &[[10.5, 2.5], [10.5, 13.5]],
    &[[13.0, 4.0], [13.0, 12.0]],
];
const LOAD: Sign = &[
    &[[4.0, 5.0], [12.0, 5.0], [14.5, 14.5], [1.5, 14.5], [4.0, 5.0]],
    &[[6.0, 5.0], [6.0, 2.5], [8.0, 1.2], [10.0, 2.5], [10.0, 5.0]],
];
const BEARS: Sign = &[
    &[[1.0, 15.0], [15.0, 15.0]],
    &[[4.0, 1.5], [4.0, 12.5]],
    &[[1.8, 10.0], [4.0, 12.5], [6.2, 10.0]],
    &[[12.0, 1.5], [12.0, 12.5]],
    &[[9.8, 10.0], [12.0, 12.5], [14.2, 10.0]],
];
const MASS: Sign = &[
    &[
        [8.0, 3.0],
        [11.5, 4.5],
        [13.0, 8.0],
        [11.5, 11.5],
        [8.0, 13.0],
        [4.5, 11.5],
        [3.0, 8.0],
        [4.5, 4.5],
        [8.0, 3.0],
    ],
    &[[8.0, 0.5], [8.0, 15.5]],
    &[[0.5, 8.0], [15.5, 8.0]],
];
const PERSON: Sign = &[
    &[[8.0, 1.0], [10.2, 2.0], [10.2, 4.4], [8.0, 5.5], [5.8, 4.4], [5.8, 2.0], [8.0, 1.0]],
    &[[2.5, 15.0], [4.0, 9.5], [8.0, 7.5], [12.0, 9.5], [13.5, 15.0]],
];

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
    fn lines(self) -> Sign {
        match self {
            Self::Stack => STACK,
            Self::Bag => BAG,
            Self::Wedge => WEDGE,
            Self::Beam => BEAM,
            Self::Capture => CAPTURE,
            Self::VoidFill => VOID_FILL,
            Self::Chock => CHOCK,
            Self::StepChock => STEP_CHOCK,
            Self::Strut => STRUT,
            Self::Strap => STRAP,
            Self::Hose => HOSE,
            Self::Play => PLAY,
            Self::Pause => PAUSE,
            Self::Slow => SLOW,
            Self::Step => STEP,
            Self::Back => BACK,
            Self::Again => AGAIN,
            Self::Script => SCRIPT,
            Self::Lever => LEVER,
            Self::Warning => WARNING,
            Self::Up => UP,
            Self::Down => DOWN,
            Self::Tape => TAPE,
            Self::Angle => ANGLE,
            Self::Height => HEIGHT,
            Self::Undo => UNDO,
            Self::Redo => REDO,
            Self::Mirror => MIRROR,
            Self::Grid => GRID,
            Self::Save => SAVE,
            Self::On => ON,
            Self::Home => HOME,
            Self::Eye => EYE,
            Self::Curve => CURVE,
            Self::Help => HELP,
            Self::Remove => REMOVE,
            Self::Add => ADD,
            Self::First => FIRST,
            Self::Battery => BATTERY,
            Self::Letters => LETTERS,
            Self::Half => HALF,
            Self::Load => LOAD,
            Self::Bears => BEARS,
            Self::Mass => MASS,
            Self::Person => PERSON,
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
    let at = |p: &[f32; 2]| rect.min + size / BOX * vec2(p[0], p[1]);
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Every stroke stays in its box.
    #[test]
    fn signs_stay_in_their_box() {
        let all = [
            STACK, BAG, WEDGE, BEAM, CAPTURE, VOID_FILL, CHOCK, STEP_CHOCK, STRUT, STRAP, HOSE,
            PLAY, PAUSE, SLOW, STEP, BACK, AGAIN, SCRIPT, LEVER, WARNING, UP, DOWN, TAPE, ANGLE,
            HEIGHT, UNDO, REDO, MIRROR, GRID, SAVE, ON, HOME, EYE, CURVE, HELP, REMOVE, ADD, FIRST,
            BATTERY, LETTERS, HALF, LOAD, BEARS, MASS, PERSON,
        ];
        for sign in all {
            assert!(sign.iter().all(|line| line.len() > 1));
            assert!(sign.iter().flat_map(|line| *line).flatten().all(|v| (0.0..=BOX).contains(v)));
        }
    }
}
