//! What went wrong, with its numbers, and how near each failure came.

use super::moment::{BaseState, BeamState, CrossingState, Footing, PartKind};
use crate::scene::{Cause, Scene, SlopeRest, named};
use crate::units::{Dimension, UnitSystem};

/// One thing that went wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// When its limit was passed.
    pub t_s: f64,
    /// When it began to go wrong: findings are put in the order of cause by this.
    pub began_s: f64,
    /// Name of the part concerned.
    pub part: String,
    pub place: [f64; 3],
    pub measured: Measured,
    /// The index of the finding it follows from, or none where it came first.
    pub follows: Option<usize>,
}

/// What was measured when a limit was passed: one variant for each way to fail.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Measured {
    /// The vehicle travelled over the ground.
    Slide { travel_m: f64, limit_m: f64 },
    /// The vehicle rolled; the sign as in [`super::VehicleState::roll_rad`].
    Roll { roll_rad: f64, limit_rad: f64 },
    /// The vehicle slid before the lift began.
    SlideAtRest { travel_m: f64, limit_m: f64, rest: Option<SlopeRest> },
    /// The vehicle turned before the lift began: about its length, or over its nose or tail.
    RollAtRest { turned_rad: f64, limit_rad: f64, rest: Option<SlopeRest> },
    /// A part moved over another; `over` is that one's name, or none where the upper face of
    /// a bag moved over its lower one.
    KickOut { kind: PartKind, over: Option<String>, moved_m: f64, limit_m: f64 },
    /// A bag bore at a tilt at which friction is not sure to hold it.
    BagTilt { tilt_rad: f64, limit_rad: f64 },
    /// A stack's top moved sideways.
    Topple { lean_m: f64, limit_m: f64, thrust: Option<LeastThrust> },
    /// The load came down; `open` is the name of the bag that let its air out of its open
    /// coupling, where that is why.
    Drop { fallen_m: f64, limit_m: f64, open: Option<String> },
    /// A limb's load rose.
    CasualtyLoad { load_n: f64, start_n: f64 },
    /// The vehicle came down onto head or trunk of somebody, `depth_m` deep.
    Pressed { pressed_m: f64, depth_m: f64, limit_m: f64 },
    /// A bag stood too high to carry.
    BagHeight { height_m: f64, limit_m: f64 },
    /// A bag climbed, and its lift point had not taken up the load.
    FreeStroke { height_m: f64, limit_m: f64 },
    /// A bag's relief valve blew off at the pressure that limits it.
    BagRelief { gauge_pa: f64, limit_pa: f64, force_n: f64, height_m: f64 },
    /// A base went down into the ground.
    Sink { base: BaseState, limit_m: f64 },
    /// Timbers of a crib were crushed where they cross; `upper` is the name of the upper one.
    Crush { upper: String, crossing: CrossingState, limit_m: f64 },
    /// A step chock went over the ground.
    StepSlide { travel_m: f64, limit_m: f64 },
    /// A step of a step chock bore more than its timber does.
    StepCrushed { load_n: f64, limit_n: f64 },
    /// A strut's foot went over the ground.
    StrutSlide { travel_m: f64, limit_m: f64 },
    /// A strut bore more along its line than it is rated for.
    StrutLoad { axial_n: f64, limit_n: f64 },
    /// A strut folded: at what it last bore, N, under Euler's load at its length.
    StrutBuckled { axial_n: f64, euler_n: f64, length_m: f64 },
    /// A strut bears nothing any more; what it had borne at the most, N.
    StrutLoose { axial_n: f64, bore_n: f64 },
    /// A strap pulled with more than its lashing capacity.
    StrapLoad { tension_n: f64, limit_n: f64 },
    /// A strap parted.
    StrapParted { tension_n: f64, limit_n: f64 },
    /// A strap's anchor came through the ground.
    StrapAnchor { dragged_m: f64, limit_m: f64 },
    /// A strap that was drawn tight pulls no more.
    StrapSlack { tension_n: f64, preload_n: f64 },
    /// The beam cracked, or broke.
    Beam(BeamState),
}

/// The loaded thrust line of a stack that is nearest to the edge of a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastThrust {
    /// The layer below it.
    pub joint: usize,
    /// Distance inside that layer's edge, m.
    pub margin_m: f64,
}

/// A number, SI, and the limit it is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    pub dimension: Dimension,
    pub value: f64,
    pub limit: Option<f64>,
}

/// How near a failure came at one part over the whole lift.
#[derive(Clone, Debug, PartialEq)]
pub struct NearestApproach {
    pub cause: Cause,
    /// Name of the part.
    pub part: String,
    /// What `value` and `limit` are, both SI.
    pub dimension: Dimension,
    /// The measure where it was the largest share of its limit.
    pub value: f64,
    pub limit: f64,
}

impl Measured {
    pub fn cause(&self) -> Cause {
        match self {
            Self::Slide { .. } | Self::SlideAtRest { .. } => Cause::Slide,
            Self::Roll { .. } | Self::RollAtRest { .. } => Cause::Roll,
            Self::KickOut { .. } | Self::BagTilt { .. } | Self::StepSlide { .. } => Cause::KickOut,
            Self::Topple { .. } => Cause::Topple,
            Self::Drop { .. } => Cause::Drop,
            Self::CasualtyLoad { .. } | Self::Pressed { .. } => Cause::CasualtyLoad,
            Self::BagHeight { .. } | Self::FreeStroke { .. } | Self::BagRelief { .. } => {
                Cause::BagOverload
            }
            Self::Sink { .. } => Cause::Sink,
            Self::Crush { .. } | Self::StepCrushed { .. } => Cause::Crush,
            Self::StrutSlide { .. }
            | Self::StrutLoad { .. }
            | Self::StrutBuckled { .. }
            | Self::StrutLoose { .. } => Cause::Strut,
            Self::StrapLoad { .. }
            | Self::StrapParted { .. }
            | Self::StrapAnchor { .. }
            | Self::StrapSlack { .. } => Cause::Strap,
            Self::Beam(_) => Cause::Beam,
        }
    }

    /// The number that passed its limit.
    pub fn reading(&self) -> Reading {
        let of = |dimension, value, limit| Reading { dimension, value, limit: Some(limit) };
        let length = |value, limit| of(Dimension::Length, value, limit);
        match *self {
            Self::Slide { travel_m, limit_m } | Self::SlideAtRest { travel_m, limit_m, .. } => {
                length(travel_m, limit_m)
            }
            Self::RollAtRest { turned_rad, limit_rad, .. } => {
                of(Dimension::Angle, turned_rad, limit_rad)
            }
            Self::Roll { roll_rad, limit_rad } => of(Dimension::Angle, roll_rad, limit_rad),
            Self::KickOut { moved_m, limit_m, .. } => length(moved_m, limit_m),
            Self::BagTilt { tilt_rad, limit_rad } => of(Dimension::Angle, tilt_rad, limit_rad),
            Self::Topple { lean_m, limit_m, .. } => length(lean_m, limit_m),
            Self::Drop { fallen_m, limit_m, .. } => length(fallen_m, limit_m),
            Self::CasualtyLoad { load_n, .. } => {
                Reading { dimension: Dimension::Force, value: load_n, limit: None }
            }
            Self::Pressed { pressed_m, limit_m, .. } => length(pressed_m, limit_m),
            Self::BagHeight { height_m, limit_m } | Self::FreeStroke { height_m, limit_m } => {
                length(height_m, limit_m)
            }
            Self::BagRelief { gauge_pa, limit_pa, .. } => {
                of(Dimension::Pressure, gauge_pa, limit_pa)
            }
            Self::Sink { base, limit_m } => length(base.deepest_m, limit_m),
            Self::Crush { crossing, limit_m, .. } => length(crossing.set_m, limit_m),
            Self::StepSlide { travel_m, limit_m } | Self::StrutSlide { travel_m, limit_m } => {
                length(travel_m, limit_m)
            }
            Self::StepCrushed { load_n, limit_n } => of(Dimension::Force, load_n, limit_n),
            Self::StrapAnchor { dragged_m, limit_m } => length(dragged_m, limit_m),
            Self::StrutLoad { axial_n: n, limit_n }
            | Self::StrutBuckled { axial_n: n, euler_n: limit_n, .. }
            | Self::StrapLoad { tension_n: n, limit_n }
            | Self::StrapParted { tension_n: n, limit_n } => of(Dimension::Force, n, limit_n),
            Self::StrutLoose { axial_n: n, .. } | Self::StrapSlack { tension_n: n, .. } => {
                Reading { dimension: Dimension::Force, value: n, limit: None }
            }
            Self::Beam(beam) => of(Dimension::Stress, beam.bending_pa, beam_limit_pa(&beam)),
        }
    }

    /// Every number by a name that ends in its unit, the limit among them.
    pub fn values(&self) -> Vec<(&'static str, f64)> {
        match *self {
            Self::Slide { travel_m, limit_m } => {
                vec![("travel_m", travel_m), ("limit_m", limit_m)]
            }
            Self::Roll { roll_rad, limit_rad } => {
                vec![("roll_deg", roll_rad.to_degrees()), ("limit_deg", limit_rad.to_degrees())]
            }
            Self::SlideAtRest { travel_m, limit_m, rest } => {
                let moved = [("travel_m", travel_m), ("limit_m", limit_m)];
                moved.into_iter().chain(slope_values(rest)).collect()
            }
            Self::RollAtRest { turned_rad, limit_rad, rest } => {
                let turned = turned_rad.to_degrees();
                let turned = [("turned_deg", turned), ("limit_deg", limit_rad.to_degrees())];
                turned.into_iter().chain(slope_values(rest)).collect()
            }
            Self::KickOut { moved_m, limit_m, .. } => {
                vec![("moved_m", moved_m), ("limit_m", limit_m)]
            }
            Self::BagTilt { tilt_rad, limit_rad } => {
                vec![("tilt_deg", tilt_rad.to_degrees()), ("limit_deg", limit_rad.to_degrees())]
            }
            Self::Topple { lean_m, limit_m, thrust } => vec![
                ("lean_m", lean_m),
                ("limit_m", limit_m),
                ("thrust_margin_m", thrust.map_or(0.0, |t| t.margin_m)),
            ],
            Self::Drop { fallen_m, limit_m, .. } => {
                vec![("fallen_m", fallen_m), ("limit_m", limit_m)]
            }
            Self::CasualtyLoad { load_n, start_n } => {
                vec![("load_n", load_n), ("start_n", start_n)]
            }
            Self::Pressed { pressed_m, depth_m, limit_m } => {
                vec![("pressed_m", pressed_m), ("depth_m", depth_m), ("limit_m", limit_m)]
            }
            Self::BagHeight { height_m, limit_m } | Self::FreeStroke { height_m, limit_m } => {
                vec![("height_m", height_m), ("limit_m", limit_m)]
            }
            Self::BagRelief { gauge_pa, limit_pa, force_n, height_m } => vec![
                ("gauge_pa", gauge_pa),
                ("limit_pa", limit_pa),
                ("force_n", force_n),
                ("height_m", height_m),
            ],
            Self::Sink { base, limit_m } => vec![
                ("sunk_m", base.deepest_m),
                ("limit_m", limit_m),
                ("load_n", base.load_n),
                ("capacity_n", base.capacity_n),
                ("set_m", base.set_m),
            ],
            Self::Crush { crossing, limit_m, .. } => vec![
                ("set_m", crossing.set_m),
                ("limit_m", limit_m),
                ("bearing_pa", crossing.bearing_pa()),
                ("bears_pa", crossing.bears_pa),
                ("force_n", crossing.force_n),
            ],
            Self::StepCrushed { load_n, limit_n } => vec![("load_n", load_n), ("limit_n", limit_n)],
            Self::StepSlide { travel_m, limit_m } | Self::StrutSlide { travel_m, limit_m } => {
                vec![("travel_m", travel_m), ("limit_m", limit_m)]
            }
            Self::StrutLoad { axial_n, limit_n } => {
                vec![("axial_n", axial_n), ("limit_n", limit_n)]
            }
            Self::StrutBuckled { axial_n, euler_n, length_m } => {
                vec![("axial_n", axial_n), ("limit_n", euler_n), ("length_m", length_m)]
            }
            Self::StrutLoose { axial_n, bore_n } => vec![("axial_n", axial_n), ("bore_n", bore_n)],
            Self::StrapLoad { tension_n, limit_n } | Self::StrapParted { tension_n, limit_n } => {
                vec![("tension_n", tension_n), ("limit_n", limit_n)]
            }
            Self::StrapAnchor { dragged_m, limit_m } => {
                vec![("dragged_m", dragged_m), ("limit_m", limit_m)]
            }
            Self::StrapSlack { tension_n, preload_n } => {
                vec![("tension_n", tension_n), ("preload_n", preload_n)]
            }
            Self::Beam(beam) => vec![
                ("bending_pa", beam.bending_pa),
                ("limit_pa", beam_limit_pa(&beam)),
                ("moment_nm", beam.moment_nm.abs()),
                ("shear_pa", beam.shear_pa),
                ("bearing_pa", beam.bearing_pa),
                ("sag_m", beam.sag_m),
            ],
        }
    }
}

/// The slope, and the one at which the vehicle begins to slide.
fn slope_values(rest: Option<SlopeRest>) -> Vec<(&'static str, f64)> {
    rest.map_or_else(Vec::new, |SlopeRest { slope_rad, slides_rad: [slides_rad, _] }| {
        vec![("slope_deg", slope_rad.to_degrees()), ("slides_deg", slides_rad.to_degrees())]
    })
}

/// The bending stress that the beam failed at.
fn beam_limit_pa(beam: &BeamState) -> f64 {
    if beam.broken { beam.rupture_pa } else { beam.cracks_pa }
}

impl Finding {
    pub fn cause(&self) -> Cause {
        self.measured.cause()
    }

    /// What happened, with its numbers.
    pub fn say(&self, scene: &Scene, u: UnitSystem) -> String {
        let part = self.part.as_str();
        let (bag, stack) = (named(part, "bag"), named(part, "stack"));
        match &self.measured {
            Measured::Slide { travel_m, limit_m } => format!(
                "the vehicle slid {} over the ground where it bears (limit {})",
                u.gap(*travel_m),
                u.gap(*limit_m)
            ),
            Measured::Roll { roll_rad, limit_rad } => {
                let [left, right] = scene.lies.sides();
                let side = if *roll_rad > 0.0 { left } else { right };
                format!(
                    "the vehicle rolled {}, {side} up (limit {})",
                    u.angle(roll_rad.abs()),
                    u.angle(*limit_rad)
                )
            }
            Measured::SlideAtRest { travel_m, limit_m, rest } => format!(
                "the vehicle does not lie still: before the lift began it slid {} over the ground \
                 (limit {}){}",
                u.gap(*travel_m),
                u.gap(*limit_m),
                say_slope(*rest, u)
            ),
            Measured::RollAtRest { turned_rad, limit_rad, rest } => format!(
                "the vehicle does not lie still: before the lift began it turned {} (limit {}){}",
                u.angle(turned_rad.abs()),
                u.angle(*limit_rad),
                say_slope(*rest, u)
            ),
            Measured::KickOut { kind, over, moved_m, limit_m } => {
                let is_bag = matches!(kind, PartKind::BagFace { .. });
                let part = if is_bag { named(part, "bag") } else { part.into() };
                let how = match over {
                    None => format!(
                        "rolled over: its upper face moved {} over its lower one",
                        u.gap(*moved_m)
                    ),
                    Some(over) => {
                        format!("left its seat: it moved {} over the {over}", u.gap(*moved_m))
                    }
                };
                format!("the {part} {how} (limit {})", u.gap(*limit_m))
            }
            Measured::BagTilt { tilt_rad, limit_rad } => format!(
                "the {bag} bears at a tilt of {}: from {} on friction is not sure to hold it",
                u.angle(*tilt_rad),
                u.angle(*limit_rad)
            ),
            Measured::Topple { lean_m, limit_m, thrust } => {
                let why = thrust.map_or_else(String::new, |LeastThrust { joint, margin_m }| {
                    let place = match joint {
                        0 => "the base joint".to_owned(),
                        layer => format!("the joint above layer {layer}"),
                    };
                    format!("; thrust line {} inside the edge at {place}", u.gap(margin_m))
                });
                format!(
                    "the {stack} leaned: its top moved {} (limit {}){why}",
                    u.gap(*lean_m),
                    u.gap(*limit_m)
                )
            }
            Measured::Drop { limit_m, open, .. } => {
                let why = open.as_ref().map(|bag| {
                    format!(
                        ": {bag} was open to the air, without a hose and not shut off, and let \
                         itself down"
                    )
                });
                format!(
                    "the lift point over {part} came down past the limit of {} with nothing to \
                     catch it{}",
                    u.gap(*limit_m),
                    why.unwrap_or_default()
                )
            }
            Measured::CasualtyLoad { load_n, start_n } => format!(
                "the load on the {part} rose to {} from {} at the start",
                u.load(*load_n),
                u.load(*start_n)
            ),
            Measured::Pressed { pressed_m, depth_m, limit_m } => format!(
                "the vehicle came down onto the {part}: it leaves {} for {} (limit {} less)",
                u.gap((depth_m - pressed_m).max(0.0)),
                u.gap(*depth_m),
                u.gap(*limit_m)
            ),
            Measured::BagHeight { height_m, limit_m } => format!(
                "the {bag} is {} high, too high to hold this load (limit {})",
                u.gap(*height_m),
                u.gap(*limit_m)
            ),
            Measured::FreeStroke { height_m, limit_m } => format!(
                "the bags rise, the vehicle does not: the {bag} stands {} high and bears no \
                 load yet (limit {})",
                u.gap(*height_m),
                u.gap(*limit_m)
            ),
            Measured::BagRelief { limit_pa, force_n, height_m, .. } => format!(
                "the relief valve of the {bag} blew off at {}: it can give no more than {} \
                 at {}",
                u.pressure(*limit_pa),
                u.load(*force_n),
                u.gap(*height_m)
            ),
            Measured::Sink { base, limit_m } => say_sink(part, base, *limit_m, u),
            Measured::Crush { upper, crossing, limit_m } => format!(
                "{part}: {upper} crushed {} into the timber below (limit {}): stress {}, \
                 capacity {}",
                u.gap(crossing.set_m),
                u.gap(*limit_m),
                u.stress(crossing.bearing_pa()),
                u.stress(crossing.bears_pa)
            ),
            Measured::StepSlide { travel_m, limit_m } => format!(
                "the step chock {part} slid {} over the ground (limit {}): friction held less \
                 than what pushed it",
                u.gap(*travel_m),
                u.gap(*limit_m)
            ),
            Measured::StepCrushed { load_n, limit_n } => format!(
                "the step of {part} that is snug bore {}, and its timber crushes at {}",
                u.load(*load_n),
                u.load(*limit_n)
            ),
            Measured::StrutSlide { .. }
            | Measured::StrutLoad { .. }
            | Measured::StrutBuckled { .. }
            | Measured::StrutLoose { .. } => say_strut(part, &self.measured, u),
            Measured::StrapLoad { .. }
            | Measured::StrapParted { .. }
            | Measured::StrapAnchor { .. }
            | Measured::StrapSlack { .. } => say_strap(part, &self.measured, u),
            Measured::Beam(beam) => say_beam(beam, scene.wood.rupture_variation(), u),
        }
    }
}

/// The slope beside the figure of the sheet.
fn say_slope(rest: Option<SlopeRest>, u: UnitSystem) -> String {
    rest.map_or_else(String::new, |SlopeRest { slope_rad, slides_rad: [begins, goes_on] }| {
        format!(
            "; the ground falls by {}, and on paper it begins to slide at {} and goes on sliding \
             at {}",
            u.angle(slope_rad),
            u.angle(begins),
            u.angle(goes_on)
        )
    })
}

fn say_sink(part: &str, base: &BaseState, limit_m: f64, u: UnitSystem) -> String {
    let noun = match base.of {
        Footing::Vehicle(_) => {
            return format!(
                "the vehicle's {part} went {} further into the ground than it lay (limit {}); it \
                 presses with {}, and the soil under it bears {} as deep as it is",
                u.gap(base.deepest_m),
                u.gap(limit_m),
                u.load(base.load_n),
                u.load(base.capacity_n)
            );
        }
        Footing::Stack(_) => "stack",
        Footing::VoidFill(_) => "void fill",
        Footing::Capture(_) => "capture",
        Footing::Chock(_) => "chock",
        Footing::StepChock(_) => "step chock",
        Footing::Strut(_) => "strut's foot",
    };
    let part = named(part, noun);
    format!(
        "the {part} sank {} into the ground at its deepest corner (limit {}); it presses \
         with {}, and the soil under it bears {} at most",
        u.gap(base.deepest_m),
        u.gap(limit_m),
        u.load(base.load_n),
        u.load(base.capacity_n)
    )
}

fn say_strut(part: &str, measured: &Measured, u: UnitSystem) -> String {
    match *measured {
        Measured::StrutSlide { travel_m, limit_m } => format!(
            "the foot of strut {part} slid {} over the ground (limit {}): it leans more than \
             friction holds, and nothing ties it back",
            u.gap(travel_m),
            u.gap(limit_m)
        ),
        Measured::StrutLoad { axial_n, limit_n } => format!(
            "strut {part} bore {} along its line, and is rated for {}",
            u.force(axial_n),
            u.force(limit_n)
        ),
        Measured::StrutBuckled { axial_n, euler_n, length_m } => format!(
            "strut {part} folded under {}: it buckles at {} where it is {} long",
            u.force(axial_n),
            u.force(euler_n),
            u.gap(length_m)
        ),
        Measured::StrutLoose { bore_n, .. } => format!(
            "strut {part} stands loose: it bore up to {} and bears nothing now",
            u.force(bore_n)
        ),
        _ => String::new(),
    }
}

fn say_strap(part: &str, measured: &Measured, u: UnitSystem) -> String {
    match *measured {
        Measured::StrapLoad { tension_n, limit_n } => format!(
            "strap {part} pulled with {}, more than its lashing capacity of {}",
            u.force(tension_n),
            u.force(limit_n)
        ),
        Measured::StrapParted { tension_n, limit_n } => format!(
            "strap {part} parted: it pulled with {} before, and parts at {}",
            u.force(tension_n),
            u.force(limit_n)
        ),
        Measured::StrapAnchor { dragged_m, limit_m } => format!(
            "the anchor of strap {part} came {} through the ground (limit {})",
            u.gap(dragged_m),
            u.gap(limit_m)
        ),
        Measured::StrapSlack { preload_n, .. } => format!(
            "strap {part} is slack: it was drawn tight to {} and pulls no more",
            u.force(preload_n)
        ),
        _ => String::new(),
    }
}

/// `variation` is the coefficient of variation of the wood's strength.
fn say_beam(beam: &BeamState, variation: f64, u: UnitSystem) -> String {
    let (did, wood) = if beam.broken { ("broke in two", "bears") } else { ("cracks", "breaks at") };
    format!(
        "the beam {did} under {} of bending {} from its middle: {} in the wood, which {wood} {} \
         give or take {:.0} %",
        u.moment(beam.moment_nm.abs()),
        u.gap(beam.at_m.abs()),
        u.stress(beam.bending_pa),
        u.stress(beam.rupture_pa),
        100.0 * variation
    )
}
