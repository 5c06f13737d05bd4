//! What holds the vehicle up, support by support: every load on it, by what puts it there.

use super::moment::{Footing, Part, PartId, PartKind, Snapshot};
use crate::scene::{CarriedBy, Scene};

/// The quarters of the ground under the vehicle's centre of mass that it can bear on: towards
/// +X or not, towards +Z or not.
const QUARTERS: [[bool; 2]; 4] = [[true, false], [true, true], [false, false], [false, true]];

/// Something that the vehicle can rest on, by its index in the scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Support {
    /// The ground in a quarter under the vehicle, as seen from its centre of mass.
    Ground {
        forwards: bool,
        right: bool,
    },
    Limb(usize),
    Chock(usize),
    StepChock(usize),
    Strut(usize),
    VoidFill(usize),
    Capture(usize),
    Stack(usize),
    /// A bag, with the wedge on it.
    Bag(usize),
    Beam,
}

/// What a support does at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bearing {
    /// What it pushes the vehicle up with, square to the ground, N.
    pub up_n: f64,
    /// Where, along X and Z, m: the middle of its push. None where it bears nothing.
    pub at: Option<[f64; 2]>,
}

impl Support {
    /// All that a scene's vehicle can rest on, in one order.
    pub fn all(scene: &Scene) -> Vec<Self> {
        let ground = QUARTERS.map(|[forwards, right]| Self::Ground { forwards, right });
        let mut all = ground.to_vec();
        all.extend((0..scene.limbs.len()).map(Self::Limb));
        all.extend((0..scene.chocks.len()).map(Self::Chock));
        all.extend((0..scene.step_chocks.len()).map(Self::StepChock));
        all.extend((0..scene.struts.len()).map(Self::Strut));
        all.extend((0..scene.void_fill.len()).map(Self::VoidFill));
        all.extend((0..scene.captures.len()).map(Self::Capture));
        all.extend((0..scene.stacks.len()).map(Self::Stack));
        all.extend((0..scene.bags.len()).map(Self::Bag));
        all.extend(scene.beam.iter().map(|_| Self::Beam));
        all
    }

    /// Its name for a column: "ground front +z", "void fill nose".
    pub fn name(self, scene: &Scene) -> String {
        match self {
            Self::Ground { forwards, right } => {
                let end = if forwards { "front" } else { "rear" };
                format!("ground {end} {}z", if right { '+' } else { '-' })
            }
            Self::Limb(i) => format!("limb {}", scene.limbs[i].name),
            Self::Chock(i) => format!("chock {}", scene.chocks[i].name),
            Self::StepChock(i) => format!("step chock {}", scene.step_chocks[i].name),
            Self::Strut(i) => format!("strut {}", scene.struts[i].name),
            Self::VoidFill(i) => format!("void fill {}", scene.void_fill[i].name),
            Self::Capture(i) => format!("capture {}", scene.captures[i].name),
            Self::Stack(i) => format!("stack {}", scene.stacks[i].name),
            Self::Bag(i) => format!("bag {}", scene.bags[i].name),
            Self::Beam => "beam".to_owned(),
        }
    }

    /// The support that a part belongs to; none for the vehicle itself.
    fn of(kind: PartKind, scene: &Scene) -> Option<Self> {
        Some(match kind {
            PartKind::Vehicle
            | PartKind::Panel(_)
            | PartKind::Wheel(_)
            | PartKind::Sole(Footing::Vehicle(_)) => return None,
            PartKind::StackTimber { stack, .. } | PartKind::Pad { stack, .. } => Self::Stack(stack),
            PartKind::Sole(Footing::Stack(stack)) => Self::Stack(stack),
            PartKind::Sole(Footing::VoidFill(fill)) | PartKind::VoidFill(fill) => {
                Self::VoidFill(fill)
            }
            PartKind::Sole(Footing::Capture(capture))
            | PartKind::CaptureTimber { capture, .. }
            | PartKind::CaptureWedge(capture) => Self::Capture(capture),
            PartKind::Sole(Footing::Chock(chock)) | PartKind::Chock(chock) => Self::Chock(chock),
            PartKind::Sole(Footing::StepChock(chock))
            | PartKind::StepChock(chock)
            | PartKind::StepPacker(chock) => Self::StepChock(chock),
            PartKind::Sole(Footing::Strut(strut))
            | PartKind::Strut(strut)
            | PartKind::StrutFoot(strut) => Self::Strut(strut),
            PartKind::BagFace { bag, .. } | PartKind::BagPad(bag) => Self::Bag(bag),
            PartKind::Wedge(wedge) => match scene.wedges[wedge].on {
                CarriedBy::Bag(bag) => Self::Bag(bag),
                CarriedBy::Stack(stack) => Self::Stack(stack),
            },
            PartKind::Beam | PartKind::Shim => Self::Beam,
            PartKind::Limb(limb) => Self::Limb(limb),
        })
    }
}

/// What each of [`Support::all`] does at a moment of a lift with these parts.
pub fn bearings(scene: &Scene, parts: &[Part], now: &Snapshot) -> Vec<Bearing> {
    let all = Support::all(scene);
    // Upward force, and its sums with its places.
    let mut sums = vec![[0.0; 3]; all.len()];
    let support = |part: PartId| Support::of(parts[part].kind, scene);
    for load in &now.loads {
        let (by, up_n) = match (support(load.on), load.by.map(support)) {
            (None, None) => {
                let [forwards, right] = [0, 2].map(|i| load.point[i] >= now.vehicle.com[i]);
                (Support::Ground { forwards, right }, load.force[1])
            }
            (None, Some(Some(by))) => (by, load.force[1]),
            (Some(on), Some(None)) => (on, -load.force[1]),
            _ => continue,
        };
        let Some(sum) = all.iter().position(|s| *s == by).map(|i| &mut sums[i]) else { continue };
        for (sum, part) in sum.iter_mut().zip([1.0, load.point[0], load.point[2]]) {
            *sum += up_n * part;
        }
    }
    let bearing = |(support, [up_n, x, z]): (&Support, [f64; 3])| Bearing {
        up_n: match support {
            // What its spring feels is all that presses it; the contact's friction is known
            // for the end of a step only, and a limb is held sideways.
            Support::Limb(limb) => now.limbs[*limb].load_n,
            _ => up_n,
        },
        at: (up_n > 0.0).then(|| [x / up_n, z / up_n]),
    };
    all.iter().zip(sums).map(bearing).collect()
}

/// What holds up the lifted load, N: as it presses on the vehicle, or on the beam under it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimberAndAir {
    /// Timber that follows the load. What it takes of a beam is off the air.
    pub timber_n: f64,
    pub air_n: f64,
}

impl TimberAndAir {
    /// At a moment of a lift with these parts.
    pub fn at(scene: &Scene, parts: &[Part], now: &Snapshot) -> Self {
        let on_air = |carried: &CarriedBy| matches!(carried, CarriedBy::Bag(_));
        let beam_on_air = scene.beam.as_ref().is_some_and(|b| b.rests_on.iter().any(on_air));
        let under_beam = scene.captures.iter().zip(&now.captures);
        let under_beam = under_beam.filter(|(capture, _)| capture.is_under_beam());
        let under_beam_n: f64 = under_beam.map(|(_, state)| state.load_n).sum();
        let [mut timber_n, mut air_n] = [0.0; 2];
        for (support, bearing) in Support::all(scene).into_iter().zip(bearings(scene, parts, now)) {
            match support {
                Support::Capture(_) => timber_n += bearing.up_n,
                Support::Bag(_) => air_n += bearing.up_n,
                Support::Beam if beam_on_air => {
                    let on_timber_n = under_beam_n.min(bearing.up_n.max(0.0));
                    timber_n += on_timber_n;
                    air_n += bearing.up_n - on_timber_n;
                }
                _ => {}
            }
        }
        Self { timber_n: timber_n.max(0.0), air_n }
    }

    /// What timber bears of both, 0 to 1; nothing where neither bears anything.
    pub fn share_on_timber(&self) -> f64 {
        let Self { timber_n, air_n } = self;
        // Air that pulls takes nothing off what timber has to bear.
        timber_n / (timber_n + air_n.max(0.0)).max(1e-9)
    }
}
