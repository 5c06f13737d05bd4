//! The beam: pushed up by the bags outside, held down by the vehicle inside.

use super::context::{RowContext, on_timber_under_beam_n, stack_part};
use crate::scene::{Beam, Capture, CarriedBy, Cause, Envelope, Wedge};
use crate::statics::beam::{Overhang, Section, TwoOverhangs, held_between_nm, lies_over_m};
use crate::statics::plan::{LiftPlan, LiftPoint, column_top_m};
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::tables::{
    CLEAR_BEARING, CLEAR_RUPTURE, CLEAR_SHEAR, CRACK_SHARE, GRADE_SHARE, SHIM_IN_M, SHIM_LENGTH_M,
    SHIM_PAIR_M, SHORT_LOAD, SNUG_M,
};

const CASES: &str =
    "AISC Steel Construction Manual table 3-23, AWC Design Aid 6 (from memory, not verified)";
/// How far out the stacks are moved in the row that asks what it costs, m.
const OUTWARDS_M: f64 = 0.10;

pub fn beam(d: &RowContext<'_>) -> Vec<Row> {
    let Some(beam) = d.scene.beam() else {
        return vec![Row::missing(
            RowGroup::Beam,
            RowQuantity::All(RowGroup::Beam),
            "the scene has no `beam`: nothing to check",
        )];
    };
    let Some(lift) = d.lift() else {
        return vec![Row::missing(
            RowGroup::Beam,
            RowQuantity::All(RowGroup::Beam),
            "nothing lifts it: see Lift force",
        )];
    };
    let mut rows = vec![overhang_row(d, beam)];
    rows.extend(
        UnderBelt::new(d, beam, lift)
            .map(|room| [room.shim_row(d), room.lies_over_row(d)])
            .into_iter()
            .flatten(),
    );
    rows.extend(lift.points.iter().map(|point| load_line_row(d, beam, lift, point)));
    let Some(bent) = Bent::new(d, beam, lift) else {
        rows.push(Row::missing(
            RowGroup::Beam,
            RowQuantity::BeamStrength,
            "it rests on one support only; name one on either side in `beam.rests_on`",
        ));
        return rows;
    };
    rows.extend(moment_rows(d, &bent));
    let timber = d.scene.captures.iter().filter(|capture| capture.is_under_beam());
    rows.extend(timber.flat_map(|capture| on_timber_rows(d, lift, &bent, capture)));
    rows.extend(stress_rows(d, &bent));
    rows.extend(bend_rows(d, &bent));
    rows
}

fn overhang_row(d: &RowContext<'_>, beam: &Beam) -> Row {
    let u = d.units;
    let body = d.scene.vehicle.half_width.body;
    let [right, left] = [-1.0, 1.0].map(|s| beam.length_m / 2.0 + s * beam.at[1] - body);
    Row::new(RowGroup::Beam, RowQuantity::OverhangDifference, Figure::Gap((left - right).abs()))
        .by(
            "L/2 ± z - half width",
            format!("left {}, right {}", u.gap(left), u.gap(right)),
            "common practice, no source",
        )
        .at_most(Figure::Gap(0.05))
        .note("Equal on both sides for a parallel lift (common practice; 50 mm assumed).")
}

/// The room between the beam and the belt line over it, as it lies.
struct UnderBelt<'a> {
    beam: &'a Beam,
    /// Over the beam's edge where the belt line is lower, and where it is higher, m.
    room_m: [f64; 2],
}

impl<'a> UnderBelt<'a> {
    fn new(d: &RowContext<'_>, beam: &'a Beam, lift: &LiftPlan) -> Option<Self> {
        let envelope = Envelope::posed(&d.scene.vehicle, d.plan.start.side_pose);
        let tops = lift.points.iter().map(|p| column_top_m(d.scene, &p.bags));
        let top = tops.fold(0.0, f64::max) + beam.timber.height_m;
        let half = beam.timber.width_m / 2.0;
        let over = |x: f64| envelope.opening_heights([x; 2]).map(|[_, belt]| belt - top);
        let (rear, front) = (over(beam.at[0] - half)?, over(beam.at[0] + half)?);
        Some(Self { beam, room_m: [rear.min(front), rear.max(front)] })
    }

    /// What the shims come to: their thin and their thick edge, m.
    fn shims_m(&self) -> [f64; 2] {
        self.room_m.map(|room| room - SNUG_M)
    }

    fn shim_row(&self, d: &RowContext<'_>) -> Row {
        let u = d.units;
        let [thin, thick] = self.shims_m();
        if !self.beam.shims {
            return Row::missing(
                RowGroup::Beam,
                RowQuantity::ShimHeight,
                "the beam lies loose in the opening: `beam.shims` is false",
            );
        }
        if thin < Wedge::LEAST_M {
            return Row::missing(
                RowGroup::Beam,
                RowQuantity::ShimHeight,
                format!(
                    "there is no room for shims, {} at the thin end; lower the stacks",
                    u.gap(thin.max(0.0))
                ),
            );
        }
        let boards = ((thick - 2.0 * SHIM_PAIR_M) / SHIM_PAIR_M).max(0.0).ceil();
        Row::new(RowGroup::Beam, RowQuantity::ShimHeight, Figure::Gap(thick))
            .by(
                "belt line - top of the beam",
                format!("{} at the lower end, {} at the higher one", u.gap(thin), u.gap(thick)),
                "geometry of the outline",
            )
            .note(format!(
                "Two wedges of 2x4, driven against each other from either side, fill {} to {}; here \
                 with {boards:.0} flat 2x4 under them (common practice, no source).",
                u.gap(SHIM_PAIR_M),
                u.gap(2.0 * SHIM_PAIR_M)
            ))
    }

    /// A timber on edge under a sloping face, held by nothing but the room over it.
    fn lies_over_row(&self, d: &RowContext<'_>) -> Row {
        let u = d.units;
        let timber = self.beam.timber;
        let slope = (self.room_m[1] - self.room_m[0]) / timber.width_m;
        let shim = if self.beam.shims { self.shims_m()[0].max(0.0) } else { 0.0 };
        let room = self.room_m[0].max(0.0) - shim;
        let needs = lies_over_m(timber.width_m, timber.height_m + shim, slope);
        Row::new(RowGroup::Beam, RowQuantity::BeamLiesOver, Figure::Gap(needs))
            .by(
                "sqrt(H² + (b - t h)²) - H",
                format!(
                    "b {}, h {} with its shim, t {}",
                    u.gap(timber.width_m),
                    u.gap(timber.height_m + shim),
                    u.angle(slope.atan())
                ),
                "geometry: it turns about its lower edge under a sloping belt line",
            )
            .at_least(Figure::Gap(room))
            .note(
                "Higher than that it can fall over before the load is on it, and jam or lift \
                 nothing. Raise the stacks, so that shims are low, or take a wider beam.",
            )
    }
}

/// Where the load's line runs in the beam at full height: past its edge it lies over.
fn load_line_row(d: &RowContext<'_>, beam: &Beam, lift: &LiftPlan, point: &LiftPoint) -> Row {
    let u = d.units;
    let stand = lift.column(point, lift.rise_m);
    let tilt = lift.tilt_rad(point, &lift.end());
    let under = stand.lean.onto_m;
    let over = under + (stand.lean.push - tilt) * point.stiff_m;
    let off = under.abs().max(over.abs());
    Row::new(
        RowGroup::Beam,
        RowQuantity::BeamLoadLine.of(stack_part(&d.scene.stacks[point.stack])),
        Figure::Gap(off),
    )
    .by(
        "e = k (phi - phi1) - (x - h H/V) / 2, e + (H/V - phi) H",
        format!("{} at its foot, {} under the belt line", u.gap(under), u.gap(over)),
        "moment balance of the bag's strip; statics",
    )
    .at_most(Figure::Gap(beam.timber.width_m / 2.0))
    .note("Past its edge it lies over: bags tilt with the vehicle, and the beam stands on edge.")
}

/// A side of the beam, from its bag to the nearest shim.
#[derive(Clone, Copy)]
struct Side<'a> {
    /// The stack below, by its name.
    stack: &'a str,
    end: Overhang,
    /// Length of the bag under the beam, m; none where it lies on timber.
    bag_m: Option<f64>,
}

/// The beam as the lift bends it most, each side with its own load on its own arm.
struct Bent<'a> {
    beam: &'a Beam,
    section: Section,
    sides: [Side<'a>; 2],
    /// Both sides, and the shims between.
    whole: TwoOverhangs,
    /// The moment that the design value allows, N m.
    allowed_nm: f64,
}

impl<'a> Bent<'a> {
    /// None where the beam does not rest on something on either side.
    fn new(d: &'a RowContext<'_>, beam: &'a Beam, lift: &LiftPlan) -> Option<Self> {
        let section = Section { width_m: beam.timber.width_m, depth_m: beam.timber.height_m };
        let sides = [1.0, -1.0].map(|sign| Self::side(d, beam, lift, sign));
        let [Some(one), Some(other)] = sides else { return None };
        let shims_m = 2.0 * shim_m(d);
        Some(Self {
            beam,
            sides: [one, other],
            whole: TwoOverhangs { ends: [one.end, other.end], span_m: shims_m },
            allowed_nm: beam.timber.grade().bending_pa * section.modulus_m3(),
            section,
        })
    }

    /// The support towards +Z or -Z that bends it most, at the worst moment of the lift; one
    /// that is not raised at all would still have to come off the ground.
    fn side(d: &'a RowContext<'_>, beam: &Beam, lift: &LiftPlan, sign: f64) -> Option<Side<'a>> {
        let states = || lift.states.iter().take_while(|s| s.rise_m <= lift.rise_m.max(lift.off_m));
        let most_n = |p: &LiftPoint| states().map(|s| lift.force_n(p, s)).fold(0.0, f64::max);
        let side = |rest: &CarriedBy| {
            let stack = rest.stack(&d.scene.bags);
            let spec = &d.scene.stacks[stack];
            let out_m = sign * spec.at[1];
            // What a side without a bag bears is not worked out: no more than the other one.
            let bears = lift.points.iter().find(|p| p.stack == stack);
            let force_n =
                bears.map_or_else(|| lift.points.iter().map(most_n).fold(0.0, f64::max), most_n);
            let bag_m = bears.and_then(|p| p.bags.last()).map(|&bag| d.scene.bags[bag].size[1]);
            let end = Overhang { force_n, arm_m: (out_m - shim_m(d)).max(0.0) };
            (out_m > 0.0).then_some(Side { stack: &spec.name, end, bag_m })
        };
        let by_moment =
            |a: &Side<'_>, b: &Side<'_>| a.end.moment_nm().total_cmp(&b.end.moment_nm());
        beam.rests_on.iter().filter_map(side).max_by(by_moment)
    }

    /// The side that is bent most.
    fn worst(&self) -> Side<'a> {
        let [one, other] = self.sides;
        if other.end.moment_nm() > one.end.moment_nm() { other } else { one }
    }

    fn moment_nm(&self) -> f64 {
        self.worst().end.moment_nm()
    }

    fn stiffness_nm2(&self) -> f64 {
        self.beam.timber.grade().elastic_pa * self.section.inertia_m4()
    }
}

/// How far the shims stand off the vehicle's middle, m.
fn shim_m(d: &RowContext<'_>) -> f64 {
    d.scene.vehicle.half_width.belt - SHIM_IN_M
}

fn moment_rows(d: &RowContext<'_>, bent: &Bent<'_>) -> [Row; 4] {
    let u = d.units;
    let grade = bent.beam.timber.grade();
    let strong = CLEAR_RUPTURE.mean_pa * bent.section.modulus_m3();
    let cracks = CRACK_SHARE
        * GRADE_SHARE
        * d.scene.wood().rupture_pa
        * bent.beam.strength_share
        * bent.section.modulus_m3();
    let worst = bent.worst();
    let moment = bent.moment_nm();
    let ends = bent.whole.ends;
    let apart = bent.whole.span_m + ends.iter().map(|end| end.arm_m).sum::<f64>();
    let pressed = held_between_nm(ends.map(|end| end.force_n), apart);
    [
        Row::new(RowGroup::Beam, RowQuantity::BeamMoment, Figure::Moment(moment))
            .by(
                "M = F a",
                format!(
                    "{} x {} from bag to shim, {}",
                    u.force(worst.end.force_n),
                    u.gap(worst.end.arm_m),
                    worst.stack
                ),
                CASES,
            )
            .at_most(Figure::Moment(bent.allowed_nm))
            .note(format!(
                "{} {}: {} on {}. Design value for ten years' load; ten minutes would allow 1.6 \
                 times (from memory, not verified).",
                bent.beam.timber.nominal,
                grade.name,
                u.stress(grade.bending_pa),
                u.stress(bent.section.bending_pa(moment))
            )),
        Row::new(RowGroup::Beam, RowQuantity::BeamMomentAgainstMean, Figure::Moment(moment))
            .by(
                "M_r = MOR b d²/6",
                format!("{} clear wood", u.stress(CLEAR_RUPTURE.mean_pa)),
                "Wood Handbook FPL-GTR-190 table 5-3a, coast Douglas-fir (seen in a secondary copy)",
            )
            .at_most(Figure::Moment(strong))
            .or_only(Figure::Moment(strong * (1.0 - 2.0 * CLEAR_RUPTURE.variation)))
            .note("Where a piece without knots breaks on average, or two standard deviations below. Not a limit to work to."),
        Row::new(RowGroup::Beam, RowQuantity::BeamMomentAgainstCrack, Figure::Moment(moment))
            .by(
                "M_c = 0.8 x 0.45 MOR b d²/6",
                format!("{}, {} clear wood", d.scene.wood().name, u.stress(d.scene.wood().rupture_pa)),
                "share of a No. 2 timber: ASTM D245 (from memory, not verified); crack at 80 % assumed",
            )
            .at_most(Figure::Moment(cracks))
            .warns(Cause::Beam)
            .note("What knots leave of clear wood; a timber cracks before it breaks."),
        Row::new(RowGroup::Beam, RowQuantity::BeamMomentPressedInMiddle, Figure::Moment(pressed))
            .by(
                "M = F1 F2 L / (F1 + F2)",
                format!(
                    "{} and {}, {} between the bags",
                    u.force(ends[0].force_n),
                    u.force(ends[1].force_n),
                    u.gap(apart)
                ),
                CASES,
            )
            .note(format!(
                "{:.1} times the design value: why the beam lies hard against the body on either \
                 side, with shims driven.",
                pressed / bent.allowed_nm
            )),
    ]
}

/// Timber under the beam, once the bags have let go: what it bears, and how the beam bends then.
fn on_timber_rows(
    d: &RowContext<'_>,
    lift: &LiftPlan,
    bent: &Bent<'_>,
    capture: &Capture,
) -> [Row; 2] {
    let u = d.units;
    let part = RowPart::Capture(capture.name.clone());
    let load_n = on_timber_under_beam_n(d, lift, capture);
    let arm_m = (capture.at[1].abs() - bent.whole.span_m / 2.0).max(0.0);
    let timber = capture.step;
    let area_m2 = 2.0 * bent.beam.timber.width_m * timber.width_m;
    [
        Row::new(
            RowGroup::Beam,
            RowQuantity::OnTimberUnderBeam.of(part.clone()),
            Figure::Force(load_n),
        )
        .by(
            "F (x - o) / (s - o)",
            format!("{} in all, at full height", u.force(lift.end().lift_n)),
            "law of the lever (textbook)",
        )
        .at_most(Figure::Force(area_m2 * d.scene.wood().bearing_pa))
        .warns(Cause::Crush)
        .note(format!(
            "If the bags let go. The beam presses on the two upper timbers over {}; past the limit \
             they crush.",
            u.area(area_m2)
        )),
        Row::new(
            RowGroup::Beam,
            RowQuantity::BeamMomentOnTimber.of(part),
            Figure::Moment(load_n * arm_m),
        )
        .by("M = F a", format!("{} x {} from timber to shim", u.force(load_n), u.gap(arm_m)), CASES)
        .at_most(Figure::Moment(SHORT_LOAD * bent.allowed_nm))
        .note(format!(
            "The further out the timber stands, the more it bends the beam. Design value for ten \
             minutes' load: {SHORT_LOAD} times that for ten years (from memory, not verified)."
        )),
    ]
}

fn stress_rows(d: &RowContext<'_>, bent: &Bent<'_>) -> [Row; 2] {
    let u = d.units;
    let grade = bent.beam.timber.grade();
    let most = |forces: [f64; 2]| forces.into_iter().fold(0.0, f64::max);
    let force = most(bent.sides.map(|side| side.end.force_n));
    let held = most(bent.whole.held_n());
    let shear = bent.section.shear_pa(force);
    let bearing = held / (bent.section.width_m * SHIM_LENGTH_M);
    let on_bag = |side: Side<'_>| {
        side.end.force_n / (bent.section.width_m * side.bag_m.unwrap_or(SHIM_LENGTH_M))
    };
    let bag_end = most(bent.sides.map(on_bag));
    [
        Row::new(RowGroup::Beam, RowQuantity::BeamShear, Figure::Stress(shear))
            .by(
                "f = 1.5 V / A",
                format!("1.5 x {} / {}", u.force(force), u.area(bent.section.area_m2())),
                grade.source,
            )
            .at_most(Figure::Stress(grade.shear_pa))
            .note(format!("Clear wood shears at {} on average.", u.stress(CLEAR_SHEAR.mean_pa))),
        Row::new(RowGroup::Beam, RowQuantity::BeamBearing, Figure::Stress(bearing))
            .by(
                "f = R / (b x shim), R = F + (F a - F' a') / L",
                format!(
                    "{} / ({} x {})",
                    u.force(held),
                    u.gap(bent.section.width_m),
                    u.gap(SHIM_LENGTH_M)
                ),
                grade.source,
            )
            .at_most(Figure::Stress(grade.bearing_pa))
            .note(format!(
                "On the bag {}. Clear wood begins to crush at {}.",
                u.stress(bag_end),
                u.stress(CLEAR_BEARING.mean_pa)
            )),
    ]
}

/// How far it bends, and what moving a stack outwards would cost.
fn bend_rows(d: &RowContext<'_>, bent: &Bent<'_>) -> [Row; 2] {
    let u = d.units;
    let grade = bent.beam.timber.grade();
    let ei = bent.stiffness_nm2();
    let ends = bent.whole.ends_m(ei).into_iter().fold(0.0, f64::max);
    let middle = bent.whole.middle_m(ei);
    let Overhang { force_n, arm_m } = bent.worst().end;
    let furthest = arm_m + (bent.allowed_nm - bent.moment_nm()) / force_n;
    [
        Row::new(RowGroup::Beam, RowQuantity::BeamDeflection, Figure::Gap(ends))
            .by(
                "d = a L (2 M + M') / 6 E I + F a³ / 3 E I",
                format!(
                    "E {}, L {} between shims",
                    u.stress(grade.elastic_pa),
                    u.gap(bent.whole.span_m)
                ),
                CASES,
            )
            .note(format!(
                "The middle bends the other way by {} ((M + M') L² / 16 E I). Height that the bags must \
                 give on top.",
                u.gap(middle)
            )),
        Row::new(
            RowGroup::Beam,
            RowQuantity::BeamMomentStackOutwards,
            Figure::Moment(bent.moment_nm() + force_n * OUTWARDS_M),
        )
        .by("M = F (a + da)", format!("{} further out", u.gap(OUTWARDS_M)), CASES)
        .at_most(Figure::Moment(bent.allowed_nm))
        .note(format!(
            "The design value is reached with the bag {} outside the shim. Keep stacks close \
                 to the body.",
            u.gap(furthest)
        )),
    ]
}
