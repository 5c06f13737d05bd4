//! The ground under every base, and the vehicle sliding over it.

use super::context::{RowContext, STATICS, most_on_strut_n, on_timber_under_beam_n};
use super::step_chocks;
use crate::scene::{Capture, Cause};
use crate::statics::plan::LiftPlan;
use crate::statics::sheet::{Figure, Row, RowGroup, RowPart, RowQuantity};
use crate::statics::supports::{InSoil, SupportKind, SupportPoint};
use crate::statics::vehicle::{Braced, State};
use crate::statics::{ground as soil, lever, slide, stacks as crib};
use crate::tables::{BEARING_SAFETY, Bed, Material, SINK_LIMIT_M, STAKE_N, STAKE_WEAK_SHARE};

/// An edge that is less deep in soil only touches it, m.
const LEAST_DEPTH_M: f64 = 1e-4;

/// A base on the ground.
struct GroundLoad {
    part: RowPart,
    load_n: f64,
    area_m2: f64,
    half_m: f64,
    off_m: f64,
    /// It carries the lift itself.
    lifts: bool,
    why: &'static str,
}

pub fn ground(d: &RowContext<'_>) -> Vec<Row> {
    let bases = bases(d);
    if let Some(bed) = d.scene.ground.soil {
        let under_vehicle = d.plan.balance.supports.iter().flat_map(|s| goes_in_rows(d, s, bed));
        return bases.iter().map(|base| soft_row(d, base, bed)).chain(under_vehicle).collect();
    }
    let kind = d.scene.ground.surface.soil();
    let Some(bears) = kind.bearing_pa else {
        let worst = bases
            .iter()
            .map(|b| soil::pressure_pa(b.load_n, b.area_m2, b.half_m, b.off_m))
            .fold(0.0, f64::max);
        return vec![
            Row::new(RowGroup::Ground, RowQuantity::GreatestBasePressure, Figure::Ground(worst))
                .by("N/A (1 + 3 e/b)", format!("on {}", kind.name), STATICS)
                .note("A sound pavement is not the limit; look for voids under its edge."),
        ];
    };
    let u = d.units;
    bases
        .into_iter()
        .map(|b| {
            let pressure = soil::pressure_pa(b.load_n, b.area_m2, b.half_m, b.off_m);
            let weak = kind.weakest_pa.unwrap_or(bears);
            Row::new(
                RowGroup::Ground,
                RowQuantity::BasePressure.of(b.part),
                Figure::Ground(pressure),
            )
            .by(
                "N/A (1 + 3 e/b)",
                format!(
                    "{} over {}, {} off the middle",
                    u.force(b.load_n),
                    u.area(b.area_m2),
                    u.gap(b.off_m.abs())
                ),
                kind.source,
            )
            .at_most(Figure::Ground(bears))
            .or_only(Figure::Ground(weak))
            .note(format!(
                "{}On {}, a sole plate of {} keeps to the value.",
                b.why,
                kind.name,
                u.area(soil::plate_m2(b.load_n, bears))
            ))
        })
        .collect()
}

/// A base on a soil that the scene names: against what makes it give way, since that is
/// what ends a lift; the design value, which keeps settlement small, is the weak end.
fn soft_row(d: &RowContext<'_>, base: &GroundLoad, bed: Bed) -> Row {
    let u = d.units;
    let pressure = soil::yielding_pa(base.load_n, base.area_m2, base.half_m, base.off_m);
    let design = bed.plateau_pa / BEARING_SAFETY;
    let inner = (base.half_m - base.off_m.abs()) / base.half_m;
    let plate = |bears: f64| u.area(soil::plate_m2(base.load_n, bears));
    let row = Row::new(
        RowGroup::Ground,
        RowQuantity::BasePressure.of(base.part.clone()),
        Figure::Ground(pressure),
    )
    .by(
        "N / (A (1 - e/b)), against what the soil bears at most",
        format!(
            "{} over {} x {:.2}, {} off the middle, on soil: {}",
            u.force(base.load_n),
            u.area(base.area_m2),
            inner.max(0.0),
            u.gap(base.off_m.abs()),
            bed.name
        ),
        bed.source,
    )
    .at_most(Figure::Ground(bed.plateau_pa))
    .or_only(Figure::Ground(design))
    .note(format!(
        "{}Past it the base goes down and stays down. A sole plate of {} just carries it, one \
         of {} keeps the usual reserve of {BEARING_SAFETY:.0} (customary).",
        base.why,
        plate(bed.plateau_pa),
        plate(design)
    ));
    // Void fill that gives way hands its load on, and captures may never be loaded.
    if base.lifts { row.warns(Cause::Sink) } else { row }
}

/// What of the vehicle bears on soil there: how deep each edge lies in it, and how much deeper it
/// goes in the lift. The first is how it was found; the second costs height.
fn goes_in_rows(d: &RowContext<'_>, support: &SupportPoint, bed: Bed) -> Vec<Row> {
    let start = &d.plan.start;
    let edges = support.goes_in(start.side_pose, start.roll).len();
    (0..edges).flat_map(|part| edge_rows(d, (support, part), bed)).collect()
}

fn edge_rows(d: &RowContext<'_>, (support, part): (&SupportPoint, usize), bed: Bed) -> Vec<Row> {
    let u = d.units;
    let in_soil = |state: &State| support.goes_in(state.side_pose, state.roll)[part];
    let depth_m = |state: &State| in_soil(state).depth_m;
    let load_n = |state: &State| u.force(in_soil(state).load_n);
    let InSoil { edge, depth_m: lies_m, .. } = in_soil(&d.plan.start);
    let formula = "N = q A, A what of it lies under the surface";
    let mut rows = Vec::new();
    if lies_m > LEAST_DEPTH_M {
        let lies = Row::new(RowGroup::Ground, RowQuantity::LiesIn(edge), Figure::Gap(lies_m));
        let how = format!("{} on soil: {}", load_n(&d.plan.start), bed.name);
        rows.push(
            lies.by(formula, how, bed.source).note("So it was found: the sheet starts here."),
        );
    }
    let Some(lift) = d.lift() else { return rows };
    let most_m = lift.up_to_rise().map(depth_m).fold(lies_m, f64::max);
    let (end, further_m) = (lift.end(), most_m - lies_m);
    if further_m <= LEAST_DEPTH_M {
        return rows;
    }
    let [edge_x, lift_x] = [support.acts_x(end.side_pose), end.side_pose.ground(lift.lift)[0]];
    // With the lift point where it is, a place goes down with the edge by its lever.
    let takes = d.scene.limbs.iter().map(|limb| {
        let share = (limb.at[0] - lift_x) / (edge_x - lift_x);
        format!("{} of the gap at {}", u.gap(share * (depth_m(&end) - lies_m)), limb.name)
    });
    let takes: Vec<String> = takes.collect();
    let takes =
        if takes.is_empty() { String::new() } else { format!("It takes {}. ", takes.join(", ")) };
    rows.push(
        Row::new(RowGroup::Ground, RowQuantity::GoesInFurther(edge), Figure::Gap(further_m))
            .by(
                formula,
                format!(
                    "{} deep under {} at full height, on soil: {}",
                    u.gap(depth_m(&end)),
                    load_n(&end),
                    bed.name
                ),
                bed.source,
            )
            .at_most(Figure::Gap(SINK_LIMIT_M))
            .warns(Cause::Sink)
            .note(format!("{takes}Boards under it spread its load.")),
    );
    rows
}

fn bases(d: &RowContext<'_>) -> Vec<GroundLoad> {
    let scene = d.scene;
    let mut bases = Vec::new();
    let Some(lift) = d.lift() else { return bases };
    // A base that cannot carry the load off the ground is judged by that load all the same.
    let end = lift.at(lift.rise_m.max(lift.off_m));
    for point in &lift.points {
        let stack = &scene.stacks[point.stack];
        let force = lift.force_n(point, &end) + point.dead_n;
        let stand = lift.column(point, lift.rise_m);
        bases.push(GroundLoad {
            part: RowPart::Stack(stack.name.clone()),
            load_n: force + crib::weight_n(stack),
            area_m2: stack.bearing_area_m2(),
            // The lowest timbers lie along X.
            half_m: stack.footprint_m()[0] / 2.0,
            off_m: crib::thrust_m(stand.lean.enters_m, stand.sideways_n, force, stack.height_m()),
            lifts: true,
            why: "",
        });
    }
    for (i, fill) in scene.void_fill.iter().enumerate().filter(|(i, _)| d.plan.packed[*i]) {
        let on = |state| d.plan.balance.load_on(state, |on| on == SupportKind::VoidFill(i)).0;
        bases.push(GroundLoad {
            part: RowPart::VoidFill(fill.name.clone()),
            load_n: lift.states.iter().map(on).fold(0.0, f64::max),
            area_m2: fill.bearing_area_m2(),
            half_m: fill.footprint_m()[0] / 2.0,
            off_m: 0.0,
            lifts: false,
            why: "At the worst moment of the lift; as it sinks, its load goes to what else bears this end. ",
        });
    }
    for (i, chock) in
        scene.step_chocks.iter().enumerate().filter(|(i, _)| d.plan.snug[*i].is_some())
    {
        let [x, z] = chock.size_m();
        bases.push(GroundLoad {
            part: RowPart::StepChock(chock.name.clone()),
            load_n: step_chocks::most_n(d, i),
            area_m2: x * z,
            half_m: x / 2.0,
            off_m: 0.0,
            lifts: false,
            why: "As if its whole base bore evenly. ",
        });
    }
    for (i, strut) in scene.struts().iter().enumerate() {
        bases.push(GroundLoad {
            part: RowPart::Strut(strut.name.clone()),
            load_n: most_on_strut_n(d, lift, i),
            area_m2: strut.plate_m.powi(2),
            half_m: strut.plate_m / 2.0,
            off_m: 0.0,
            lifts: false,
            why: "At the worst moment of the lift. ",
        });
    }
    for capture in &scene.captures {
        bases.push(GroundLoad {
            part: RowPart::Capture(capture.name.clone()),
            load_n: capture_load_n(d, capture),
            area_m2: capture.bearing_area_m2(),
            half_m: capture.footprint_m()[0] / 2.0,
            off_m: 0.0,
            lifts: false,
            why: "If the bags let go and the captures take the load. ",
        });
    }
    bases
}

/// What a capture carries if all of the lift comes down on the captures, N.
fn capture_load_n(d: &RowContext<'_>, capture: &Capture) -> f64 {
    let Some(lift) = d.lift() else { return 0.0 };
    if capture.is_under_beam() {
        return on_timber_under_beam_n(d, lift, capture);
    }
    let end = lift.end();
    let pivot = d.plan.pivot_x(&end).unwrap_or(0.0);
    let com = end.side_pose.ground(d.plan.balance.com)[0];
    let all = lever::hinge_lift_n(
        d.plan.balance.pressed_n,
        [pivot - com, 0.0],
        [pivot - capture.at[0], 0.0],
        0.0,
    );
    let under_vehicle = d.scene.captures.iter().filter(|c| !c.is_under_beam()).count();
    all.max(0.0) / under_vehicle as f64
}

/// What pulls the vehicle along the ground, and what friction holds that way.
struct Pull {
    rise_m: f64,
    /// Along X, where towards the nose is positive, and across the vehicle what the stacks leave, N.
    along_n: f64,
    across_n: f64,
    /// At rest, and once it slides, N.
    holds_n: [f64; 2],
}

impl Pull {
    /// At a rise, of a slope that pulls with so much along X and Z where nothing stands in the way.
    fn at(d: &RowContext<'_>, lift: &LiftPlan, rise_m: f64, [x_n, z_n]: [f64; 2]) -> Self {
        let (state, balance) = (lift.at(rise_m), &d.plan.balance);
        // The bags push the stacks one way and the vehicle the other.
        let pushes_n = |p| -lift.column(p, rise_m).sideways_n;
        let mut along_n = x_n + lift.points.iter().map(pushes_n).sum::<f64>();
        if balance.brace_x().is_some() {
            along_n = along_n.min(0.0);
        }
        let across_n = (z_n.abs() - d.plan.across_n(lift, &state).abs()).max(0.0);
        let along = balance.holds_n(&state, along_n.signum());
        let across = balance.holds_n(&state, 0.0);
        // The forces that friction holds, whatever their way, are an ellipse.
        let pull_n = along_n.hypot(across_n);
        let holds = |i: usize| {
            let used = (along_n / along[i]).hypot(across_n / across[i]);
            if used > 0.0 { pull_n / used } else { along[i] }
        };
        Self { rise_m, along_n, across_n, holds_n: [holds(0), holds(1)] }
    }

    fn n(&self) -> f64 {
        self.along_n.hypot(self.across_n)
    }

    /// What friction holds and the least that it may, N. What pulls across swings the lifted end and
    /// so turns the other over the ground: it slides there already, and what would hold it at rest
    /// does not count.
    fn limits_n(&self) -> [f64; 2] {
        let [rests, slides] = self.holds_n;
        if self.across_n > 0.0 { [slides; 2] } else { [rests, slides] }
    }

    /// At the rise of the lift at which friction has the least left, once the load is off what it
    /// lay on.
    fn worst(d: &RowContext<'_>, lift: &LiftPlan, slope_n: [f64; 2]) -> Self {
        let rises = lift.states.iter().map(|s| s.rise_m);
        let rises = rises.filter(|rise| (lift.off_m..lift.rise_m).contains(rise));
        let all = rises.map(|rise| Self::at(d, lift, rise, slope_n));
        let used = |pull: &Self| pull.n() / pull.limits_n()[0];
        let last = Self::at(d, lift, lift.rise_m, slope_n);
        all.fold(last, |most, pull| if used(&pull) > used(&most) { pull } else { most })
    }

    fn row(&self, d: &RowContext<'_>, quantity: RowQuantity) -> Row {
        let u = d.units;
        let [limit, least] = self.limits_n();
        let row = Row::new(RowGroup::Sliding, quantity, Figure::Force(self.n()))
            .by(
                "W sin slope + H, less the stacks' share across, against sum N tan(phi - face)",
                format!(
                    "{} along, {} across, at a rise of {}, against {} by all that bears it there{}",
                    u.force(self.along_n.abs()),
                    u.force(self.across_n),
                    u.gap(self.rise_m),
                    u.force(limit),
                    if self.across_n > 0.0 { ", sliding" } else { "" }
                ),
                STATICS,
            )
            .at_most(Figure::Force(limit))
            .warns(Cause::Slide);
        if least < limit { row.or_only(Figure::Force(least)) } else { row }
    }
}

pub fn sliding(d: &RowContext<'_>) -> Vec<Row> {
    let u = d.units;
    let g = &d.scene.ground;
    let (pressed, along) =
        slide::weight_on_slope_n(d.plan.weight_n, g.slope_rad, g.cross_slope_rad);
    let pull = along[0].hypot(along[1]);
    let Some(pair) = d.scene.friction(Material::Sheet, Material::Ground(g.surface)) else {
        return vec![Row::missing(
            RowGroup::Sliding,
            RowQuantity::All(RowGroup::Sliding),
            "no friction is known for this ground",
        )];
    };
    let [_, least] = pair.friction(g.wet);
    let slope = (pull / pressed).atan();
    let staked = d.scene.chocks.iter().filter(|c| c.staked).count();
    let rests = d.scene.rest_friction().unwrap_or(pair);
    let [begins, goes_on] = rests.friction(g.wet);
    let slope_row = Row::new(RowGroup::Sliding, RowQuantity::GroundSlope, Figure::Angle(slope))
        .by(
            "slope against atan mu",
            format!("{} {}, mu {begins:.2}", if g.wet { "wet" } else { "dry" }, g.surface),
            rests.source,
        )
        .at_most(Figure::Angle(slide::slide_angle_rad(begins)))
        .or_only(Figure::Angle(slide::slide_angle_rad(goes_on)))
        .warns(Cause::Slide)
        .note("It lies there before anyone sets a chock: past this it does not lie still.");
    let mut rows = vec![slope_row];
    let Some(lift) = d.lift() else { return rows };
    let end = lift.end();
    let bears = d.plan.on_ground_n(&end) + d.plan.on_fill_n(&end);
    let arcs: f64 = lift.points.iter().map(|p| lift.column(p, lift.rise_m).sideways_n).sum();
    let side = pull + arcs.abs();
    let held = slide::chocks_hold_n(side, least, bears);
    rows.push(if staked == 0 {
        Pull::worst(d, lift, along).row(d, RowQuantity::Pull).note(format!(
            "Where friction has the least left. Bags hold nothing sideways but by their walls. \
             Staked chocks would have to hold {}; the scene has none.",
            u.force(held)
        ))
    } else {
        Row::new(RowGroup::Sliding, RowQuantity::Pull, Figure::Force(side))
            .by(
                "W sin slope + H",
                format!("{} + {} at full height", u.force(pull), u.force(arcs.abs())),
                STATICS,
            )
            .note("What friction does not hold comes on to the chocks: see below.")
    });
    if staked > 0 {
        rows.extend(unchocked_row(d, lift, along));
    }
    rows.push(
        Row::new(RowGroup::Sliding, RowQuantity::ChocksHold, Figure::Force(held))
            .by(
                "W sin slope + H - mu N, with friction once it moves",
                format!("{} - {least:.2} x {}", u.force(side), u.force(bears)),
                pair.source,
            )
            .note(format!(
                "{} The scene has {}, {staked} of them staked.",
                if held > 0.0 {
                    "Chocks are needed."
                } else {
                    "By this sum none are needed; set them all the same (common practice, no source)."
                },
                d.scene.chocks.len()
            )),
    );
    if staked > 0 {
        rows.push(stakes_row(d, lift, staked, held));
    }
    rows
}

/// What pulls where no staked chock stands in the way, against the friction left: chocks hold
/// what lies uphill of them and nothing else. None where they stand in the way of all of it.
fn unchocked_row(d: &RowContext<'_>, lift: &LiftPlan, slope_n: [f64; 2]) -> Option<Row> {
    let shares = d.scene.unchocked_pull();
    if shares == [0.0; 2] {
        return None;
    }
    let slope_n = [0, 1].map(|k| (shares[k] * d.plan.weight_n).copysign(slope_n[k]));
    let row = Pull::worst(d, lift, slope_n).row(d, RowQuantity::UnchockedPull);
    Some(row.note("Staked chocks hold what lies uphill of them and nothing that goes past them."))
}

/// What staked chocks come to hold, against what their stakes hold.
fn stakes_row(d: &RowContext<'_>, lift: &LiftPlan, staked: usize, held_n: f64) -> Row {
    let u = d.units;
    let braced = lift
        .up_to_rise()
        .map(|s| s.braced)
        .fold(Braced::default(), |most, one| if one.along_n > most.along_n { one } else { most });
    let asked = held_n.max(braced.along_n);
    let row = Row::new(RowGroup::Sliding, RowQuantity::StakedChocksHold, Figure::Force(asked));
    let leans = if braced.along_n > 0.0 {
        format!(
            "The nose leans on them, and they carry {} of the weight. As it turns about them its \
             underside goes back over its support, whose friction adds to the pull. ",
            u.force(braced.up_n)
        )
    } else {
        "The nose does not lean on them. ".to_owned()
    };
    let row = row.by(
        "W sin slope + sum mu N, against n stakes",
        format!("{staked} chocks, one stake each, {} a stake", u.force(STAKE_N)),
        "NAVEDTRA 14251, ch. 6: a single picket in undisturbed loam, 700 lb",
    );
    if d.scene.ground.soil.is_none() && d.scene.ground.surface.soil().bearing_pa.is_none() {
        return row.note(format!(
            "{leans}No stake goes into pavement: what pins or anchors hold there is not worked out."
        ));
    }
    let all = staked as f64 * STAKE_N;
    row.at_most(Figure::Force(all))
        .or_only(Figure::Force(STAKE_WEAK_SHARE * all))
        .note(format!("{leans}Half as much in wet or sandy ground (from memory, not verified)."))
}
