//! Faults: what goes wrong with the equipment or was not known of the scene. An instructor
//! hides them in a scene, or makes them happen live.

/// A fault: something that is not as the crew believes. Names are resolved to indices of the
/// scene's lists; the sheet knows none of them.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// The hose of an outlet is torn off at the bag.
    Burst { outlet: usize },
    /// A bag has a hole: round, by its bore, m.
    Leak { bag: usize, bore_m: f64 },
    /// The valve of an outlet stays as far open, or shut, as it is, whatever the lever does.
    Valve { outlet: usize },
    /// The hoses of two outlets are crossed at the controller: each lever moves what the other
    /// hose leads to.
    Cross { outlets: [usize; 2] },
    /// The regulator lets through another pressure, Pa gauge.
    Regulator { pa: f64 },
    /// The cylinder holds only this, Pa gauge.
    Cylinder { pa: f64 },
    /// Timber has cracked: the share of its strength that is left.
    Crack { what: CrackedTimber, left: f64 },
    /// Something slippery under a base: the share of its friction with the ground that is left.
    Slick { under: SlickTarget, left: f64 },
    /// The vehicle carries an unknown load, at a place in its own frame, m.
    Load { kg: f64, place_m: [f64; 3] },
}

/// Timber that can crack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CrackedTimber {
    /// The beam: it bends, shears and breaks sooner.
    Beam,
    /// Every timber of a stack, by its index: split through and soft, they bear less across
    /// the grain. They do not come in two as a beam does: a beam bends between what bears it,
    /// while a crib's crossings stand one on the other, so that a timber is pressed across the
    /// grain and hardly bent. What is split there crushes and sags where it bears, under
    /// what lies on it (common practice, no source).
    Stack(usize),
}

/// What stands on the ground, by its index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlickTarget {
    Vehicle,
    Stack(usize),
    VoidFill(usize),
    Chock(usize),
    StepChock(usize),
}

/// A fault that a scene hides, and when it strikes, s. One at 0 is there from the start: a load
/// before the vehicle has come to rest.
#[derive(Clone, Debug, PartialEq)]
pub struct HiddenFault {
    pub fault: Fault,
    pub at_s: f64,
}
