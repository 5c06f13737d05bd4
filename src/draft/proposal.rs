//! What a new thing says but its name: ways to place it, the likeliest first. Each is tried
//! against the scene's own rules; the first that breaks none is taken.

use super::error::EditError;
use super::item::{ItemKind, hand, items, length_text, text};
use super::names;
use super::place::{
    CAPTURE_M, OVER_STACK_M, STACK_M, aim, beam_over, capture_places, chock_places, fill_places,
    limb_places, opening_middles, pair, stack_places, step_chock_places, strut_places, timber,
    within_reach,
};
use crate::scene::tree::{Node, Value};
use crate::scene::{
    Bag, CarriedBy, Envelope, Lying, Person, Scene, Solid, Stack, StrapEnd, Wedge, people_of,
};
use crate::tables::Timber;
use crate::units::{INCH_M, UnitSystem};

/// A new strut is aimed so high, and a new strap led so high to the vehicle, m (assumed).
const STRUT_AIM_M: f64 = 0.8;
const STRAP_AIM_M: f64 = 0.25;
/// Layers of a stack that nothing stands above.
const LAYERS: usize = 3;
/// Sizes of a new bag, m, the largest first (assumed).
const BAGS_M: [f64; 4] = [0.51, 0.46, 0.38, 0.30];

/// The fields of a new thing, each with its key.
type NewFields = Vec<(String, Node)>;

fn field(key: &str, node: Node) -> (String, Node) {
    (key.to_owned(), node)
}

fn number(n: usize) -> Node {
    hand(Value::Number(n as f64))
}

/// What a new thing is placed by.
struct Placing<'a> {
    scene: &'a Scene,
    envelope: Envelope<'a>,
    /// The place that it is told.
    told: Option<[f64; 2]>,
    units: UnitSystem,
}

/// Everything a new thing says but its name: ways to place it, the likeliest first, or the
/// one it is told.
///
/// # Errors
/// What is missing for it.
pub(super) fn proposals(
    scene: &Scene,
    kind: ItemKind,
    told: Option<[f64; 2]>,
    on: Option<CarriedBy>,
    units: UnitSystem,
) -> Result<Vec<NewFields>, EditError> {
    let envelope = Envelope::new(&scene.vehicle, scene.lies).ok_or(EditError::VehicleNotStill)?;
    let new = Placing { scene, envelope, told, units };
    match kind {
        ItemKind::Stack => Ok(new.stacks()),
        ItemKind::Bag => bags(scene, on),
        ItemKind::Wedge => Ok(vec![wedge(scene, on)?]),
        ItemKind::Beam => beams(scene, &new.envelope, units),
        ItemKind::Capture => Ok(new.captures()),
        ItemKind::VoidFill => Ok(new.void_fill()),
        ItemKind::Chock => Ok(new.chocks()),
        ItemKind::StepChock => Ok(new.step_chocks()),
        ItemKind::Strut => Ok(new.struts()),
        ItemKind::Strap => Ok(vec![new.strap()?]),
        ItemKind::Outlet => Ok(vec![outlet(scene)?]),
        ItemKind::Limb => Ok(new.limbs()),
        ItemKind::Person => Ok(vec![new.person()]),
        ItemKind::Air | ItemKind::Ground => Err(EditError::ThereAlready),
    }
}

impl Placing<'_> {
    fn at(&self, place: [f64; 2]) -> (String, Node) {
        field("at", pair(self.units, place))
    }

    /// At the place that it is told, else at each of some.
    fn each(&self, places: Vec<[f64; 2]>, rest: impl Fn([f64; 2]) -> NewFields) -> Vec<NewFields> {
        let places = self.told.map_or(places, |place| vec![place]);
        let fields = |place| [vec![self.at(place)], rest(place)].concat();
        places.into_iter().map(fields).collect()
    }

    fn stacks(&self) -> Vec<NewFields> {
        let places = stack_places(self.scene, &self.envelope);
        self.each(places, |place| stack_under(&self.envelope, place))
    }

    fn captures(&self) -> Vec<NewFields> {
        self.each(capture_places(self.scene, &self.envelope), |place| {
            match beam_over(self.scene, &self.envelope, place) {
                Some(beam_m) => capture_under_beam(beam_m),
                None => capture_under(&self.envelope, place),
            }
        })
    }

    fn void_fill(&self) -> Vec<NewFields> {
        self.each(fill_places(self.scene, &self.envelope), |_| {
            vec![field("timber", text("4x4")), field("length", text("12 in"))]
        })
    }

    fn chocks(&self) -> Vec<NewFields> {
        let staked = |_| vec![field("staked", hand(Value::Flag(true)))];
        self.each(chock_places(&self.envelope), staked)
    }

    fn step_chocks(&self) -> Vec<NewFields> {
        let told = self.told.map(|place| [(place, true), (place, false)].to_vec());
        let places = told.unwrap_or_else(|| step_chock_places(self.scene, &self.envelope));
        let fields =
            |(place, across)| vec![self.at(place), field("across", hand(Value::Flag(across)))];
        places.into_iter().map(fields).collect()
    }

    fn struts(&self) -> Vec<NewFields> {
        self.each(strut_places(self.scene), |place| {
            vec![
                field("head", pair(self.units, [place[0], aim(self.scene)[1]])),
                field("head_height", text(length_text(self.units, STRUT_AIM_M))),
                field("seated", hand(Value::Flag(true))),
            ]
        })
    }

    /// From the first strut that has none to the vehicle.
    fn strap(&self) -> Result<NewFields, EditError> {
        let scene = self.scene;
        let tied = |strut: usize| {
            let foot = StrapEnd::Foot(strut);
            scene.straps.iter().any(|strap| strap.ends.contains(&foot))
        };
        let free = (0..scene.struts.len()).find(|&strut| !tied(strut));
        let strut = &scene.struts[free.ok_or(EditError::StrapWithoutStrut)?];
        Ok(vec![
            field("strut", text(&strut.name)),
            self.at(self.told.unwrap_or([strut.at[0], aim(scene)[1]])),
            field("height", text(length_text(self.units, STRAP_AIM_M))),
        ])
    }

    fn limbs(&self) -> Vec<NewFields> {
        self.each(within_reach(self.scene, limb_places(&self.envelope, 0.125)), |_| {
            vec![field("thickness", text("125 mm")), field("gap_needed", text("150 mm"))]
        })
    }

    fn person(&self) -> NewFields {
        let person = new_person(self.scene);
        let head = format!("{:.0} deg", person.head_rad.to_degrees());
        vec![self.at(self.told.unwrap_or(person.at)), field("head_towards", text(head))]
    }
}

fn bags(scene: &Scene, on: Option<CarriedBy>) -> Result<Vec<NewFields>, EditError> {
    let fields = |(name, side): (String, f64)| {
        let side = text(format!("{:.0} mm", side * 1e3));
        vec![field("on", text(name)), field("size", hand(Value::List(vec![side.clone(), side])))]
    };
    Ok(bag_supports(scene, on)?.into_iter().map(fields).collect())
}

/// On a bag that has nothing on it, a little smaller than that.
fn wedge(scene: &Scene, on: Option<CarriedBy>) -> Result<NewFields, EditError> {
    let bag = top_bag(scene, on).ok_or(EditError::WedgeWithoutBag)?;
    let size = scene.bags[bag].size.map(|s| (s * 1e3 - 20.0).max(100.0));
    let size = size.map(|mm| text(format!("{mm:.0} mm"))).to_vec();
    Ok(vec![field("on", text(&scene.bags[bag].name)), field("size", hand(Value::List(size)))])
}

/// To the first bag without a hose.
fn outlet(scene: &Scene) -> Result<NewFields, EditError> {
    let hosed = |bag: usize| scene.air.outlets.iter().any(|o| o.bags().any(|to| to == bag));
    let free = (0..scene.bags.len()).find(|&bag| !hosed(bag));
    let bag = free.ok_or(EditError::NoBagWithoutHose)?;
    Ok(vec![field("to", text(&scene.bags[bag].name))])
}

/// The first person lies as one does of whom a scene says nothing; another lies beside the
/// vehicle, a stature away.
fn new_person(scene: &Scene) -> Person {
    let mut person = people_of(scene).first().cloned().unwrap_or(Person {
        name: String::new(),
        at: [0.0, scene.vehicle.half_width.body + 1.0],
        lies: Lying::Back,
        head_rad: 0.0,
        stature_m: 1.75,
        inside: false,
    });
    if !scene.people.is_empty() {
        person.at[0] -= person.stature_m;
    }
    person
}

/// As many layers as stand under the vehicle at a place with some room left over them;
/// none where nothing is above it.
fn layers_under(
    envelope: &Envelope<'_>,
    at: [f64; 2],
    length_m: f64,
    nominal: &str,
    room_m: f64,
) -> Option<usize> {
    let foot = Solid::around(at, [length_m; 2], 0.0);
    let above = envelope.underside_over(&foot)?.height_m - room_m;
    Some((above / timber(nominal).height_m).clamp(0.0, 12.0) as usize)
}

/// Layers that bring a beam on one empty bag just over the roof's edge, where an opening is.
fn layers_beside_opening(envelope: &Envelope<'_>, x: f64) -> Option<usize> {
    let Timber { width_m, height_m, .. } = timber("4x6");
    let [roof, belt] = envelope.opening_heights([x - width_m / 2.0, x + width_m / 2.0])?;
    let layer_m = timber("4x4").height_m;
    let layers = ((roof - Bag::FLAT_M) / layer_m).ceil().max(1.0);
    let top = layers * layer_m + Bag::FLAT_M + height_m;
    (top <= belt).then_some(layers as usize)
}

/// A stack as high as the vehicle above it allows, all but its place.
fn stack_under(envelope: &Envelope<'_>, place: [f64; 2]) -> NewFields {
    let layers = layers_under(envelope, place, STACK_M, "4x4", OVER_STACK_M)
        .or_else(|| layers_beside_opening(envelope, place[0]));
    vec![
        field("timber", text("4x4")),
        field("length", text("24 in")),
        field("layers", number(layers.unwrap_or(LAYERS).max(1))),
        field("members", number(2)),
    ]
}

/// A capture as high as the vehicle above it allows, all but its place.
fn capture_under(envelope: &Envelope<'_>, place: [f64; 2]) -> NewFields {
    let layers = layers_under(envelope, place, CAPTURE_M, "4x4", Wedge::LEAST_M);
    vec![
        field("timber", text("4x4")),
        field("length", text("12 in")),
        field("layers", number(layers.unwrap_or(0))),
        field("step", text("2x4")),
        field("steps", number(10)),
    ]
}

/// A capture stack that follows a beam at a height, all but its place.
fn capture_under_beam(beam_m: f64) -> NewFields {
    let layers = ((beam_m - Wedge::LEAST_M) / timber("4x4").height_m).clamp(0.0, 12.0) as usize;
    vec![
        field("under", text("beam")),
        field("timber", text("4x4")),
        field("length", text("12 in")),
        field("layers", number(layers)),
        field("step", text("2x4")),
        field("steps", number(10)),
    ]
}

/// What carries a new bag, with a size that fits it: what was asked for, else any stack
/// or bag with a free top.
fn bag_supports(scene: &Scene, on: Option<CarriedBy>) -> Result<Vec<(String, f64)>, EditError> {
    let top = |mut rest: CarriedBy| {
        while let Some(i) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(i);
        }
        rest
    };
    let all = (0..scene.stacks.len()).map(|i| top(CarriedBy::Stack(i)));
    // One bag a stack before a second one.
    let (first, second): (Vec<CarriedBy>, Vec<CarriedBy>) =
        all.partition(|rest| matches!(rest, CarriedBy::Stack(_)));
    let supports: Vec<CarriedBy> = on.map(top).into_iter().chain(first).chain(second).collect();
    if supports.is_empty() {
        return Err(EditError::BagWithoutStack);
    }
    let fitting = |rest: CarriedBy| match rest {
        CarriedBy::Stack(i) => {
            let length = scene.stacks[i].length_m;
            let side = BAGS_M.into_iter().find(|side| *side <= length + 1e-9);
            (scene.stacks[i].name.clone(), side.unwrap_or(length))
        }
        CarriedBy::Bag(i) => {
            let bag = &scene.bags[i];
            (bag.name.clone(), bag.size[0].min(bag.size[1]))
        }
    };
    Ok(supports.into_iter().map(fitting).collect())
}

fn top_bag(scene: &Scene, on: Option<CarriedBy>) -> Option<usize> {
    let free = |i: usize| {
        !scene.bags.iter().any(|b| b.on == CarriedBy::Bag(i))
            && !scene.wedges.iter().any(|w| w.on == CarriedBy::Bag(i))
    };
    let above = |start: CarriedBy| {
        let mut rest = start;
        while let Some(i) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(i);
        }
        match rest {
            CarriedBy::Bag(i) if free(i) => Some(i),
            _ => None,
        }
    };
    on.and_then(above).or_else(|| (0..scene.bags.len()).find(|&i| free(i)))
}

/// Beams over the stacks that stand beside the vehicle.
fn beams(
    scene: &Scene,
    envelope: &Envelope<'_>,
    units: UnitSystem,
) -> Result<Vec<NewFields>, EditError> {
    if scene.beam.is_some() {
        return Err(EditError::SecondBeam);
    }
    let body = scene.vehicle.half_width.body;
    let mut carrying: Vec<(String, [f64; 2])> = Vec::new();
    for (i, stack) in scene.stacks.iter().enumerate() {
        if stack.at[1].abs() < body {
            continue;
        }
        let mut name = &stack.name;
        let mut rest = CarriedBy::Stack(i);
        while let Some(bag) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(bag);
            name = &scene.bags[bag].name;
        }
        carrying.push((name.clone(), stack.at));
    }
    let on_side = |side: f64| carrying.iter().any(|(_, at)| at[1] * side > 0.0);
    if !(on_side(1.0) && on_side(-1.0)) {
        return Err(EditError::BeamWithoutStacks);
    }
    let reach = carrying.iter().map(|(_, at)| at[1].abs()).fold(body, f64::max);
    let feet = (2.0 * (reach + 0.25) / (12.0 * INCH_M)).ceil();
    let names: Vec<Node> = carrying.iter().map(|(name, _)| text(name)).collect();
    let stacks_x = carrying.iter().map(|(_, at)| at[0]);
    let places: Vec<f64> = stacks_x.chain(opening_middles(scene, envelope)).collect();
    let tries = scene.vehicle.openings.iter().rev().flat_map(|opening| {
        let names = names.clone();
        places.iter().map(move |&x| {
            vec![
                field("timber", text("4x6")),
                field("length", text(format!("{feet:.0} ft"))),
                field("at", pair(units, [x, 0.0])),
                field("through", hand(Value::List(vec![text(&opening.name)]))),
                field("rests_on", hand(Value::List(names.clone()))),
            ]
        })
    });
    let tries: Vec<_> = tries.collect();
    if tries.is_empty() { Err(EditError::NoOpening) } else { Ok(tries) }
}

/// The name of a new thing: for its place on the left or right, else for its kind.
pub(super) fn name_for(
    doc: &Node,
    kind: ItemKind,
    at: Option<[f64; 2]>,
    on: Option<&str>,
) -> String {
    let side = at.map(|[_, z]| {
        if z > 0.05 {
            "left"
        } else if z < -0.05 {
            "right"
        } else {
            "middle"
        }
    });
    let wanted = match (kind, side, on) {
        (ItemKind::Bag, _, Some(on)) => {
            let upper = items(doc, ItemKind::Bag).into_iter().any(|bag| bag.name(doc) == on);
            let base = on.strip_suffix(" lower").unwrap_or(on);
            format!("{base} {}", if upper { "upper" } else { "lower" })
        }
        (ItemKind::Wedge, _, Some(on)) => format!("{on} wedge"),
        (ItemKind::Outlet, _, Some(on)) => on.to_owned(),
        (ItemKind::Stack, Some(side), _) => side.to_owned(),
        (kind, Some(side), _) => format!("{} {side}", kind.noun()),
        (kind, ..) => kind.noun().to_owned(),
    };
    names::free_name(doc, kind, &wanted)
}

/// The stack or bag of a scene by its name.
pub(super) fn support(scene: &Scene, name: &str) -> Option<CarriedBy> {
    let stack = scene.stacks.iter().position(|s: &Stack| s.name == name).map(CarriedBy::Stack);
    stack.or_else(|| scene.bags.iter().position(|b| b.name == name).map(CarriedBy::Bag))
}
