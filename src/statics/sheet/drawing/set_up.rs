//! Everything that stands by the vehicle: limbs, packing, captures, chocks, stacks, bags,
//! wedges and the beam.

use super::canvas::{SvgCanvas, ViewSide};
use crate::scene::{
    Bag, CarriedBy, Chock, CutFace, Envelope, Footprint, LeaningSeat, RestsOn, SidePose, SolePlate,
    Stack, Wedge,
};
use crate::statics::plan::{LiftPlan, LiftPoint, Plan};
use crate::tables::{SHIM_IN_M, Timber};

/// A layer of timbers seen from a side.
fn layer(
    c: &mut SvgCanvas,
    look: ViewSide,
    at: [f64; 2],
    timber: Timber,
    shape: Layer,
    bottom_m: f64,
) {
    let middle = look.across(at);
    let lengthwise = (look == ViewSide::Side) == shape.along_x;
    if lengthwise {
        let size = [shape.length_m, timber.height_m];
        c.rect("timber", [middle - shape.length_m / 2.0, bottom_m], size, 0.0);
        return;
    }
    for i in 0..shape.members {
        let share = 2.0 * i as f64 / (shape.members as f64 - 1.0) - 1.0;
        let left = middle + shape.outer_m * share - timber.width_m / 2.0;
        c.rect("timber", [left, bottom_m], [timber.width_m, timber.height_m], 0.0);
        c.rect("grain", [left, bottom_m], [timber.width_m, timber.height_m], 0.0);
    }
}

struct Layer {
    along_x: bool,
    members: usize,
    length_m: f64,
    outer_m: f64,
}

fn stack(c: &mut SvgCanvas, look: ViewSide, stack: &Stack) {
    for k in 0..stack.layers {
        let shape = Layer {
            along_x: k.is_multiple_of(2),
            members: stack.members,
            length_m: stack.length_m,
            outer_m: stack.outer_m(),
        };
        layer(
            c,
            look,
            stack.at,
            stack.timber,
            shape,
            stack.sole_m() + k as f64 * stack.timber.height_m,
        );
    }
    board(c, look, stack.at, stack.sole);
    let mut bottom = stack.sole_m() + stack.layers as f64 * stack.timber.height_m;
    for thick in &stack.pads_m {
        let left = look.across(stack.at) - stack.length_m / 2.0;
        c.rect("timber", [left, bottom], [stack.length_m, *thick], 0.0);
        bottom += thick;
    }
}

/// What a crib stands on, where it is not the ground.
fn board(c: &mut SvgCanvas, look: ViewSide, at: [f64; 2], sole: Option<SolePlate>) {
    if let Some(sole) = sole {
        let wide = look.of_size(sole.size);
        c.rect("timber", [look.across(at) - wide / 2.0, 0.0], [wide, sole.thickness_m], 0.0);
    }
}

/// Layers of two timbers from a height on, as many of each timber as given, and no higher
/// than `to_m`; what is left is a wedge. So packing and captures are built.
fn pile(
    c: &mut SvgCanvas,
    look: ViewSide,
    at: [f64; 2],
    layers: impl Iterator<Item = Timber>,
    length_m: f64,
    [from_m, to_m]: [f64; 2],
) {
    let mut bottom = from_m;
    for (k, timber) in layers.enumerate() {
        if bottom + timber.height_m > to_m {
            break;
        }
        let shape = Layer {
            along_x: k.is_multiple_of(2),
            members: 2,
            length_m,
            outer_m: timber.outer_m(2, length_m),
        };
        layer(c, look, at, timber, shape, bottom);
        bottom += timber.height_m;
    }
    let left = look.across(at) - length_m / 2.0;
    if to_m > bottom {
        c.rect("wedge", [left, bottom], [length_m, to_m - bottom], 0.0);
    }
}

/// Everything that stands on the ground, and the bags with what lies on them.
pub fn set_up(c: &mut SvgCanvas, look: ViewSide, plan: &Plan, side_pose: SidePose) {
    let envelope = Envelope::posed(&plan.scene.vehicle, side_pose);
    limbs_and_packing(c, look, plan, &envelope);
    chocks(c, look, plan);
    for s in &plan.scene.stacks {
        stack(c, look, s);
    }
    let Some(lift) = &plan.lift else { return };
    for point in &lift.points {
        column(c, look, lift, point, &envelope);
    }
    if let (ViewSide::Tail, Some(point)) = (look, lift.points.first()) {
        beam_along(c, lift, point, &envelope);
    }
}

/// Limbs, void fill and captures, each up to the vehicle.
fn limbs_and_packing(c: &mut SvgCanvas, look: ViewSide, plan: &Plan, envelope: &Envelope<'_>) {
    let scene = &plan.scene;
    let under = |at: [f64; 2], length_m: f64| {
        let spots = [-0.5, 0.0, 0.5].map(|s| [at[0] + s * length_m, at[1]]);
        spots.into_iter().filter_map(|p| envelope.underside(p)).fold(f64::INFINITY, f64::min)
    };
    for limb in &scene.limbs {
        let wide = look.of_size(limb.size);
        let at = [look.across(limb.at) - wide / 2.0, 0.0];
        let high = limb.thickness_m.min(under(limb.at, limb.size[0]));
        c.rect("limb", at, [wide, high], 0.03);
    }
    for fill in &scene.void_fill {
        let to = under(fill.at, fill.length_m);
        if to.is_finite() {
            board(c, look, fill.at, fill.sole);
            let layers = std::iter::repeat(fill.timber);
            pile(c, look, fill.at, layers, fill.length_m, [fill.sole_m(), to]);
        }
    }
    for capture in &scene.captures {
        let most = capture.height_m() + capture.steps as f64 * capture.step.height_m;
        let beam = plan.lift.as_ref().filter(|_| capture.is_under_beam());
        let to = match beam.and_then(|lift| Some(beam_bottom_m(lift, lift.points.first()?))) {
            Some(bottom_m) => bottom_m,
            None => under(capture.at, capture.length_m),
        };
        let to = to.min(most);
        board(c, look, capture.at, capture.sole);
        let layers = std::iter::repeat_n(capture.timber, capture.layers)
            .chain(std::iter::repeat_n(capture.step, capture.steps));
        pile(c, look, capture.at, layers, capture.length_m, [capture.sole_m(), to]);
    }
}

/// On its wheels chocks stand before and behind the tyres, out of this plane.
fn chocks(c: &mut SvgCanvas, look: ViewSide, plan: &Plan) {
    if look != ViewSide::Side || plan.scene.lies() == RestsOn::Wheels {
        return;
    }
    for chock in &plan.scene.chocks {
        let away = (chock.at[0] - plan.com[0]).signum();
        let [run, height, _] = Chock::SIZE_M;
        let x = chock.at[0];
        let far = x + away * run;
        c.path("wedge", &[[x, 0.0], [x, height], [far, Chock::TOE_M], [far, 0.0]], true);
    }
}

/// Height of a bag where the lift stands highest, m.
fn bag_m(lift: &LiftPlan, bag: usize) -> f64 {
    Bag::FLAT_M + lift.highest().map_or(0.0, |step| step.bags[bag].gap_m)
}

/// The bags of a lift point with the wedge on them, or from the side the beam's end.
fn column(
    c: &mut SvgCanvas,
    look: ViewSide,
    lift: &LiftPlan,
    point: &LiftPoint,
    envelope: &Envelope<'_>,
) {
    let scene = &lift.scene;
    let s = &scene.stacks[point.stack];
    let mut bottom = s.height_m();
    let middle = look.across(s.at);
    if let Some(seat) = &point.seat {
        return leaning_column(c, look, lift, point, seat);
    }
    for &b in &point.bags {
        let (wide, high) = (look.of_size(scene.bags[b].size), bag_m(lift, b));
        c.rect("bag", [middle - wide / 2.0, bottom], [wide, high], high / 2.0);
        bottom += high;
    }
    let topmost = point.bags.last().map(|&b| CarriedBy::Bag(b));
    let wedge = scene.wedges.iter().find(|w| topmost == Some(w.on));
    match (scene.beam(), wedge) {
        (None, Some(wedge)) => {
            c.path("wedge", &wedge_corners(look, s.at, wedge, bottom, envelope), true);
        }
        (Some(beam), _) if look == ViewSide::Side => {
            let (w, h) = (beam.timber.width_m, beam.timber.height_m);
            c.rect("timber", [beam.at[0] - w / 2.0, bottom], [w, h], 0.0);
            c.rect("grain", [beam.at[0] - w / 2.0, bottom], [w, h], 0.0);
        }
        _ => {}
    }
}

/// The wedge on a stack with its bags, which lean on it as they swell.
fn leaning_column(
    c: &mut SvgCanvas,
    look: ViewSide,
    lift: &LiftPlan,
    point: &LiftPoint,
    seat: &LeaningSeat,
) {
    let scene = &lift.scene;
    let stack = &scene.stacks[point.stack];
    let (middle, top) = (look.across(stack.at), stack.height_m());
    // From behind, a face that slopes along the vehicle is seen edge on.
    let slope = if look == ViewSide::Side { seat.slope[0] } else { 0.0 };
    if let Some(wedge) = scene.wedges.iter().find(|w| w.on == CarriedBy::Stack(point.stack)) {
        let half = look.of_size(wedge.size) / 2.0;
        let end = |half: f64| [middle + half, top + seat.middle_m + slope * half];
        let bottom = [half, -half].map(|half| [middle + half, top]);
        c.path("wedge", &[end(-half), end(half), bottom[0], bottom[1]], true);
    }
    // Along the wedge's face, and square to it.
    let length = slope.hypot(1.0);
    let place = |along: f64, out: f64| {
        [
            middle + (along - slope * out) / length,
            top + seat.middle_m + (slope * along + out) / length,
        ]
    };
    let mut below = 0.0;
    for &b in &point.bags {
        let (half, above) = (look.of_size(scene.bags[b].size) / 2.0, below + bag_m(lift, b));
        let corners =
            [place(-half, below), place(-half, above), place(half, above), place(half, below)];
        c.path("bag", &corners, true);
        below = above;
    }
}

/// A wedge from its bottom up to the face that it is cut to.
fn wedge_corners(
    look: ViewSide,
    at: [f64; 2],
    wedge: &Wedge,
    bottom: f64,
    envelope: &Envelope<'_>,
) -> [[f64; 2]; 4] {
    let wide = look.of_size(wedge.size);
    let [l, r] = [-0.5, 0.5].map(|half| look.across(at) + half * wide);
    let [left, right] = match look {
        ViewSide::Side => {
            let cut =
                CutFace::under(Footprint::of_size(at, wedge.size), |at| envelope.underside(at));
            let [rear, _, front, _] = cut.map_or([bottom; 4], |cut| cut.corners_m);
            [rear, front]
        }
        ViewSide::Tail => [envelope.underside(at).unwrap_or(bottom); 2],
    };
    [[l, bottom], [l, left], [r, right], [r, bottom]]
}

/// Height of the beam's lower face on a lift point where the lift stands highest, m.
fn beam_bottom_m(lift: &LiftPlan, point: &LiftPoint) -> f64 {
    let bags: f64 = point.bags.iter().map(|&b| bag_m(lift, b)).sum();
    lift.scene.stacks[point.stack].height_m() + bags
}

/// The beam along its length, with shims between it and the body.
fn beam_along(c: &mut SvgCanvas, lift: &LiftPlan, point: &LiftPoint, envelope: &Envelope<'_>) {
    let scene = &lift.scene;
    let Some(beam) = scene.beam() else { return };
    let bottom = beam_bottom_m(lift, point);
    let left = -beam.at[1] - beam.length_m / 2.0;
    c.rect("timber", [left, bottom], [beam.length_m, beam.timber.height_m], 0.0);
    let belt = envelope.opening_heights([beam.at[0]; 2]).map_or(bottom, |[_, belt]| belt);
    let top = bottom + beam.timber.height_m;
    for side in [-1.0, 1.0] {
        let z = side * (scene.vehicle.half_width.belt - SHIM_IN_M);
        c.rect("wedge", [z - 0.05, top], [0.10, (belt - top).max(0.0)], 0.0);
    }
}
