//! A start that cannot be.

use super::moment::{Footing, PartKind};
use crate::scene::tree::Node;
use crate::scene::{Problem, Scene};
use crate::units::{UnitSystem, UnitText};

/// Parts that cannot stand as they were set: no lift begins like this.
#[derive(Clone, Debug, PartialEq)]
pub struct Jam {
    pub part: String,
    /// What it presses on, or none where it is the ground.
    pub against: Option<String>,
    /// The field of the scene to change.
    pub path: Vec<String>,
    pub how: Jammed,
}

/// Why two parts cannot stand as they were set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Jammed {
    /// They were set into each other.
    Overlap { depth_m: f64, limit_m: f64 },
    /// A strut or a strap meets nothing of the vehicle on its way.
    NoVehicle,
    /// A wedge under bags has no room for its thin end.
    NoRoom,
    /// No step of a step chock is snug under the vehicle.
    NoStep,
    /// Before anything was lifted they press on each other with more than the vehicle's weight
    /// can make.
    Pressed { force_n: f64, weight_n: f64, limit_n: f64 },
}

impl Jam {
    /// Why no lift begins from this start, and the mend.
    pub fn say(&self, units: UnitSystem) -> String {
        let (part, against) = (&self.part, self.against.as_deref().unwrap_or("the ground"));
        match self.how {
            Jammed::Overlap { depth_m, limit_m } => format!(
                "invalid start: {part} and {against} overlap by {} (limit {}); results \
                 meaningless. Move them apart or make one of them lower",
                units.gap(depth_m),
                units.gap(limit_m)
            ),
            Jammed::NoVehicle => {
                format!("invalid start: {part} misses the vehicle; aim it at the vehicle")
            }
            Jammed::NoRoom => format!(
                "invalid start: there is no room over the stack for {part} with the bags on it; \
                 take a layer off the stack"
            ),
            Jammed::NoStep => format!(
                "invalid start: no step of {part} fits under the vehicle there; move it to where \
                 one does"
            ),
            Jammed::Pressed { force_n, weight_n, limit_n } => format!(
                "invalid start: {part} and {against} jam with {}, {:.0} times the vehicle's \
                 weight (limit {}); results meaningless. Move them apart, or support the part \
                 that drops",
                units.force(force_n),
                force_n / weight_n,
                units.force(limit_n)
            ),
        }
    }

    /// As a problem of the scene that was read from a tree.
    pub fn problem(&self, doc: &Node) -> Problem {
        let path: Vec<&str> = self.path.iter().map(String::as_str).collect();
        Problem {
            place: doc.place_of(&path).clone(),
            path: path.join("."),
            text: UnitText::new(|units| self.say(units)),
        }
    }
}

impl PartKind {
    /// The field of the scene that sets where such a part stands or how high.
    pub fn path(self, scene: &Scene) -> Vec<String> {
        let (list, name, field) = match self {
            Self::StackTimber { stack, .. }
            | Self::Pad { stack, .. }
            | Self::Sole(Footing::Stack(stack)) => ("stacks", &scene.stacks[stack].name, "at"),
            Self::VoidFill(i) | Self::Sole(Footing::VoidFill(i)) => {
                ("void_fill", &scene.void_fill[i].name, "at")
            }
            Self::CaptureTimber { capture: i, .. }
            | Self::CaptureWedge(i)
            | Self::Sole(Footing::Capture(i)) => ("captures", &scene.captures[i].name, "at"),
            Self::Chock(i) | Self::Sole(Footing::Chock(i)) => {
                ("chocks", &scene.chocks[i].name, "at")
            }
            Self::StepChock(i) | Self::StepPacker(i) | Self::Sole(Footing::StepChock(i)) => {
                ("step_chocks", &scene.step_chocks[i].name, "at")
            }
            Self::Strut(i) | Self::StrutFoot(i) | Self::Sole(Footing::Strut(i)) => {
                ("struts", &scene.struts[i].name, "at")
            }
            Self::BagFace { bag, .. } => ("bags", &scene.bags[bag].name, "on"),
            Self::Wedge(i) => ("wedges", &scene.wedges[i].name, "size"),
            Self::Limb(i) => ("casualty", &scene.limbs[i].name, "at"),
            Self::BagPad(_) => return ["beam", "pad"].map(str::to_owned).into(),
            Self::Beam | Self::Shim => return ["beam", "rests_on"].map(str::to_owned).into(),
            Self::Vehicle | Self::Panel(_) | Self::Wheel(_) | Self::Sole(Footing::Vehicle(_)) => {
                return vec!["vehicle".to_owned()];
            }
        };
        [list, name, field].map(str::to_owned).into()
    }
}
