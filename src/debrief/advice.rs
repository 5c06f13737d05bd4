//! What to change first after a lift that failed, by what went wrong first.

use crate::scene::Cause;
use crate::snapshot::Measured;

/// What to change first (common practice, no source).
pub(super) fn advice(measured: &Measured) -> &'static str {
    match measured.cause() {
        Cause::Slide => {
            "Chock and stake the end that is not lifted, on the downhill side first; choose a \
             place where the vehicle stays pressed to the ground."
        }
        Cause::Roll => {
            "Raise both sides evenly: the same opening, short steps, one hand on each valve; stop \
             and level as soon as one side leads."
        }
        Cause::KickOut if matches!(measured, Measured::StepSlide { .. }) => {
            "Chock and stake the end that is not lifted as well: a step chock holds by friction \
             alone, and only while it bears."
        }
        Cause::KickOut => {
            "Square the sloping face with a wedge, or lift where the face is level; lower the \
             stack so that bags swell less."
        }
        Cause::Topple => {
            "Build the stack lower or broader, put its middle under the load, and keep the load's \
             line inside every layer."
        }
        Cause::Drop => "Capture every few centimetres, so that nothing can fall further than that.",
        Cause::CasualtyLoad => {
            "Fill the void beside the trapped limb before the lift, near the place about which \
             the vehicle turns."
        }
        Cause::BagOverload => {
            "Use a larger bag or two in a stack, and pack closer so that each swells less: a bag \
             loses force as it rises."
        }
        Cause::Sink => {
            "Put a sole plate under the base, larger and stiffer on softer ground, or build where \
             the ground is firm."
        }
        Cause::Crush => {
            "Use sound, dry timber, and more crossings: three timbers a layer carry on nine where \
             two carry on four."
        }
        Cause::Strut => {
            "Set the foot nearer to upright, tie it back to the vehicle with a strap, or stake it; \
             use a shorter or a stronger strut, and draw it snug again as the load moves."
        }
        Cause::Strap => {
            "Use a stronger strap or two of them, lead it flatter to the ground, and draw it \
             tight before the lift."
        }
        Cause::Beam => {
            "Bring the stacks in close to the vehicle, and use a deeper, dry beam without cracks \
             or large knots."
        }
    }
}
