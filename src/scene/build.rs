//! Reads a whole [`Scene`] from a document: each field with its limits and its
//! default. Names are turned into indices here; what several fields say together
//! is checked in [`super::rules`].

use super::doc::{Node, Value};
use super::lesson::{self, Names};
use super::read::{Fields, Problems, all, names_differ, show};
use super::{
    Aims, Air, Bag, Beam, Capture, Cause, Chock, Cracked, Expect, Ground, Hidden, Lies, Limb,
    Order, Outcome, Outlet, Rest, Scene, Sole, Spread, Stack, Standing, Until, Vehicle, VoidFill,
    Wedge,
};
use crate::tables::{BEDS, Bed, Surface, TIMBERS, Timber, WOODS, Wood};
use crate::units::Dimension::{
    Angle, Conductance, Fraction, Length, Pressure, Stiffness, Time, Volume,
};
use crate::units::Words;
use std::ops::RangeInclusive;

/// Everything stands within this distance of the origin, m.
const YARD: RangeInclusive<f64> = -6.0..=6.0;
/// Sizes of bags, wedges and limbs, m.
const SIDE: RangeInclusive<f64> = 0.05..=1.2;
/// A sole plate's sides, m.
const SIDE_OF_SOLE: RangeInclusive<f64> = 0.2..=2.0;
const TIMBER_LENGTH: RangeInclusive<f64> = 0.2..=1.5;
/// What friction may be of the table's.
const FRICTION_SHARE: RangeInclusive<f64> = 0.05..=1.5;
const INCH_M: f64 = 0.0254;

/// Reads everything, and adds all that is wrong to `problems`.
pub(super) fn scene(doc: &Node, problems: &Problems) -> Option<Scene> {
    let f = Fields::new(doc, "", problems);
    if !matches!(doc.value, Value::Table(_)) {
        return None;
    }
    let name = f.text("name");
    let group = f.text_or("group", "Own scenes");
    let teaches = f.text("teaches");
    let data = f.text_or("data", "Source not given.");
    let expect = expect(&f);
    let vehicle = vehicle(&f);
    let lies = f.choice("lies", Lies::WORDS, Some(Lies::Roof));
    if let (Some(vehicle), Some(lies)) = (&vehicle, lies)
        && vehicle.pose(lies).is_none()
    {
        f.complain(
            "lies",
            format!(
                "the vehicle would not lie still on its {}: its centre of mass is over none of \
                 the lines it could rest on; move `vehicle.com`",
                lies.word()
            ),
        );
        return None;
    }
    let ground = ground(&f);
    let woods: Vec<(&str, Wood)> = WOODS.iter().map(|wood| (wood.name, *wood)).collect();
    let wood = f.choice("wood", &woods, woods.first().map(|(_, wood)| *wood));
    let friction_share = f.quantity_or("friction", Fraction, FRICTION_SHARE, 1.0);
    let spread = Spread::read(&f);

    let lists = Lists {
        limbs: Named::new("limb", f.list("casualty")),
        stacks: Named::new("stack", f.list("stacks")),
        void_fill: Named::new("void fill", f.list("void_fill")),
        chocks: Named::new("chock", f.list("chocks")),
        captures: Named::new("capture", f.list("captures")),
        bags: Named::new("bag", f.list("bags")),
        wedges: Named::new("wedge", f.list("wedges")),
    };
    lists.supports_differ();
    let limbs = lists.limbs.read(limb);
    if lists.limbs.items.is_empty() {
        f.complain("casualty", "needs at least one trapped limb; write `casualty: [(name: ...)]`");
    }
    let stacks = lists.stacks.read(stack);
    let void_fill = lists.void_fill.read(|g| {
        let (at, timber, length_m) =
            (g.pair("at", YARD), timber(g, "timber", "4x4"), length(g, 18.0));
        let sole = sole(g);
        Some(VoidFill {
            name: g.text("name")?,
            at: at?,
            timber: timber?,
            length_m: length_m?,
            sole: sole?,
        })
    });
    let chocks = lists.chocks.read(|g| {
        let (at, staked, set) = (g.pair("at", YARD), g.flag("staked", false), g.flag("set", true));
        Some(Chock { name: g.text("name")?, at: at?, staked: staked?, set: set? })
    });
    let captures = lists.captures.read(capture);
    let bags = all(lists.bags.items.iter().enumerate().map(|(i, g)| bag(g, i, &lists)));
    let wedges = lists.wedges.read(|g| {
        let on = g.text("on").and_then(|name| lists.bags.find(g, "on", &name));
        let size = g.pair("size", SIDE);
        Some(Wedge { name: g.text("name")?, on: on?, size: size? })
    });
    // A missing beam is none; a beam that could not be read is a failure.
    let beam = match f.optional_group("beam") {
        Some(g) => beam(&g, &lists, vehicle.as_ref()).map(Some),
        None => Some(None),
    };
    let air_fields = f.optional_group("air");
    let outlets =
        Named::new("outlet", air_fields.as_ref().map_or_else(Vec::new, |g| g.list("outlets")));
    let air = air(air_fields.as_ref(), &outlets, &lists.bags, problems.reads_on());
    let hoses = if outlets.items.is_empty() { &lists.bags } else { &outlets };
    let has_beam = f.has("beam");
    let faults = all(f.list("faults").iter().map(|g| {
        let hose = |key| g.text(key).and_then(|name| hoses.find(g, key, &name));
        Hidden::read(g, &lists, &hose, has_beam)
    }));
    let orders = all(f.list("orders").iter().map(|g| order(g, &lists, hoses)));
    let aims = aims(&f);
    let lesson = lesson::lesson(
        &f,
        &Names {
            limbs: lists.limbs.known().collect(),
            stacks: lists.stacks.known().collect(),
            captures: lists.captures.known().collect(),
            bags: lists.bags.known().collect(),
        },
    );
    f.end();
    // A scene that is read on leaves out what cannot be read, and what refers to it.
    let on = problems.reads_on();
    let whole = stacks.is_some() && bags.is_some();
    let told = whole && limbs.is_some() && chocks.is_some() && captures.is_some();
    let keep = |good: bool| good || !on;
    let left_out = |name: &str| on.then(|| name.to_owned());
    let outlets = air.as_ref().map(|a| a.outlets.len());
    let told = told && outlets.is_some_and(|n| n > 0 || !on);
    let air = air.map(|a| if keep(whole) { a } else { Air { outlets: Vec::new(), ..a } });
    Some(Scene {
        name: name.or_else(|| left_out("Unnamed scene"))?,
        group: group.or_else(|| left_out(""))?,
        teaches: teaches.or_else(|| left_out(""))?,
        data: data.or_else(|| left_out("Source not given."))?,
        expect: expect.or(on.then_some(Expect { outcome: Outcome::Lifted, cause: None }))?,
        lesson: lesson.or_else(|| on.then(Default::default))?,
        vehicle: vehicle?,
        lies: lies?,
        ground: ground?,
        wood: wood?,
        friction_share: friction_share?,
        limbs: limbs.filter(|limbs| !limbs.is_empty()).or_else(|| on.then(Vec::new))?,
        bags: bags.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
        stacks: stacks.or_else(|| on.then(Vec::new))?,
        void_fill: void_fill.or_else(|| on.then(Vec::new))?,
        chocks: chocks.or_else(|| on.then(Vec::new))?,
        captures: captures.or_else(|| on.then(Vec::new))?,
        wedges: wedges.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
        beam: beam.filter(|_| keep(whole)).or_else(|| on.then_some(None))?,
        air: air?,
        faults: faults.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
        orders: orders.filter(|_| keep(told)).or_else(|| on.then(Vec::new))?,
        aims: aims?,
        spread: spread?,
    })
}

/// The items of one list, which other fields refer to by name.
struct Named<'a> {
    /// What one of them is called.
    noun: &'static str,
    items: Vec<Fields<'a>>,
    /// In the order of the items; none where an item has no name to read.
    names: Vec<Option<String>>,
}

impl<'a> Named<'a> {
    fn new(noun: &'static str, items: Vec<Fields<'a>>) -> Self {
        let names = names_differ(noun, &items);
        Self { noun, items, names }
    }

    fn read<T>(&self, read: impl Fn(&Fields<'a>) -> Option<T>) -> Option<Vec<T>> {
        all(self.items.iter().map(|g| {
            let item = read(g);
            g.end();
            item
        }))
    }

    fn index(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n.as_deref() == Some(name))
    }

    fn known(&self) -> impl Iterator<Item = &str> {
        self.names.iter().flatten().map(String::as_str)
    }

    /// The index of a name; an unknown one is a problem of the field `key`.
    fn find(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<usize> {
        let found = self.index(name);
        if found.is_none() {
            unknown(from, key, self.noun, name, self.known());
        }
        found
    }

    /// The indices of the names in a field, without repetition.
    fn find_all(&self, from: &Fields<'_>, key: &'static str) -> Option<Vec<usize>> {
        let names = from.names(key)?;
        let found = all(names.iter().map(|name| self.find(from, key, name)))?;
        for (i, index) in found.iter().enumerate() {
            if found[..i].contains(index) {
                from.complain(key, format!("names \"{}\" twice; name it once", names[i]));
                return None;
            }
        }
        Some(found)
    }
}

fn unknown<'n>(
    from: &Fields<'_>,
    key: &str,
    noun: &str,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) {
    let known: Vec<_> = known.collect();
    let mend = if known.is_empty() {
        format!("the scene has no {noun}: add one first")
    } else {
        format!("choose from {}", known.join(", "))
    };
    from.complain(key, format!("there is no {noun} \"{name}\"; {mend}"));
}

pub(super) struct Lists<'a> {
    limbs: Named<'a>,
    stacks: Named<'a>,
    void_fill: Named<'a>,
    chocks: Named<'a>,
    captures: Named<'a>,
    bags: Named<'a>,
    wedges: Named<'a>,
}

impl Lists<'_> {
    /// What carries a part is looked up among stacks and bags alike, so that no bag
    /// may have a stack's name.
    fn supports_differ(&self) {
        for (g, name) in self.bags.items.iter().zip(&self.bags.names) {
            if let Some(name) = name
                && self.stacks.index(name).is_some()
            {
                g.complain(
                    "name",
                    format!("a stack is named \"{name}\" too; give the bag another name"),
                );
            }
        }
    }

    pub fn bag(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<usize> {
        self.bags.find(from, key, name)
    }

    /// Timber that cracks under a name; "beam" is the beam, where there is one.
    pub fn cracked(
        &self,
        from: &Fields<'_>,
        key: &str,
        name: &str,
        has_beam: bool,
    ) -> Option<Cracked> {
        let found = match name {
            "beam" if has_beam => Some(Cracked::Beam),
            _ => self.stacks.index(name).map(Cracked::Stack),
        };
        if found.is_none() {
            let known = has_beam.then_some("beam").into_iter().chain(self.stacks.known());
            unknown(from, key, "timber", name, known);
        }
        found
    }

    /// What stands on the ground under a name; "vehicle" is the vehicle itself.
    pub fn standing(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<Standing> {
        let found = match name {
            "vehicle" => Some(Standing::Vehicle),
            _ => (self.stacks.index(name).map(Standing::Stack))
                .or_else(|| self.void_fill.index(name).map(Standing::VoidFill))
                .or_else(|| self.chocks.index(name).map(Standing::Chock)),
        };
        if found.is_none() {
            let known = std::iter::once("vehicle")
                .chain(self.stacks.known())
                .chain(self.void_fill.known())
                .chain(self.chocks.known());
            unknown(from, key, "base", name, known);
        }
        found
    }

    fn support(&self, from: &Fields<'_>, key: &str, name: &str) -> Option<Rest> {
        let found = self
            .stacks
            .index(name)
            .map(Rest::Stack)
            .or_else(|| self.bags.index(name).map(Rest::Bag));
        if found.is_none() {
            let known = self.stacks.known().chain(self.bags.known());
            unknown(from, key, "stack or bag", name, known);
        }
        found
    }
}

fn expect(f: &Fields<'_>) -> Option<Expect> {
    let Some(g) = f.optional_group("expect") else {
        return Some(Expect { outcome: Outcome::Lifted, cause: None });
    };
    let outcome = g.choice("outcome", Outcome::WORDS, None);
    let cause =
        if g.has("cause") { g.choice("cause", Cause::WORDS, None).map(Some) } else { Some(None) };
    g.end();
    let expect = Expect { outcome: outcome?, cause: cause? };
    if expect.outcome != Outcome::Failed && expect.cause.is_some() {
        g.complain("cause", "only a failure has a cause; leave it out, or expect \"failed\"");
        return None;
    }
    Some(expect)
}

fn vehicle(f: &Fields<'_>) -> Option<Vehicle> {
    if !f.has("vehicle") {
        f.complain("vehicle", "is missing; write `vehicle: \"saloon\"`");
        return None;
    }
    Vehicle::read(&f.group("vehicle")?)
}

fn ground(f: &Fields<'_>) -> Option<Ground> {
    let Some(g) = f.optional_group("ground") else {
        return Some(Ground {
            surface: Surface::Asphalt,
            wet: false,
            soil: None,
            friction_share: 1.0,
            slope_rad: 0.0,
            cross_slope_rad: 0.0,
        });
    };
    let steepest = 20_f64.to_radians();
    let surface = g.choice("surface", Surface::WORDS, Some(Surface::Asphalt));
    let wet = g.flag("wet", false);
    let hard = [("hard", None)];
    let soils: Vec<(&str, Option<Bed>)> =
        hard.into_iter().chain(BEDS.iter().map(|bed| (bed.name, Some(*bed)))).collect();
    let soil = g.choice("soil", &soils, Some(None));
    let friction_share = g.quantity_or("friction", Fraction, FRICTION_SHARE, 1.0);
    let slope_rad = g.quantity_or("slope", Angle, -steepest..=steepest, 0.0);
    let cross_slope_rad = g.quantity_or("cross_slope", Angle, -steepest..=steepest, 0.0);
    g.end();
    Some(Ground {
        surface: surface?,
        wet: wet?,
        soil: soil?,
        friction_share: friction_share?,
        slope_rad: slope_rad?,
        cross_slope_rad: cross_slope_rad?,
    })
}

/// A timber by its nominal size.
fn timber(g: &Fields<'_>, key: &'static str, default: &str) -> Option<Timber> {
    let choices: Vec<(&str, Timber)> = TIMBERS.iter().map(|t| (t.nominal, *t)).collect();
    let default = choices.iter().find(|(nominal, _)| *nominal == default).map(|(_, t)| *t);
    g.choice(key, &choices, default)
}

fn length(g: &Fields<'_>, default_in: f64) -> Option<f64> {
    g.quantity_or("length", Length, TIMBER_LENGTH, default_in * INCH_M)
}

fn limb(g: &Fields<'_>) -> Option<Limb> {
    let at = g.pair("at", YARD);
    let thickness_m = g.quantity("thickness", Length, 0.02..=0.4);
    let size = g.pair_or("size", SIDE, [0.12, 0.30]);
    let stiffness_n_m = g.quantity_or("stiffness", Stiffness, 1e3..=1e6, 15e3);
    let gap_needed_m = g.quantity("gap_needed", Length, 0.02..=1.0);
    if let (Some(thickness), Some(needed)) = (thickness_m, gap_needed_m)
        && needed < thickness
    {
        g.complain(
            "gap_needed",
            Words::of(|u| {
                format!(
                    "{} cannot free a limb {} thick; ask for more than its thickness",
                    show(u, Length, needed),
                    show(u, Length, thickness)
                )
            }),
        );
        return None;
    }
    Some(Limb {
        name: g.text("name")?,
        at: at?,
        thickness_m: thickness_m?,
        size: size?,
        stiffness_n_m: stiffness_n_m?,
        gap_needed_m: gap_needed_m?,
    })
}

/// A timber's strength as a share of its grade's: less with a fault in it, more where it is
/// clear of knots.
fn strength(g: &Fields<'_>) -> Option<f64> {
    g.quantity_or("strength", Fraction, 0.01..=10.0, 1.0)
}

/// A sole plate; a missing one is none, one that could not be read is a failure.
fn sole(g: &Fields<'_>) -> Option<Option<Sole>> {
    let Some(s) = g.optional_group("sole") else { return Some(None) };
    let size = s.pair("size", SIDE_OF_SOLE);
    let thickness_m = s.quantity_or("thickness", Length, 0.01..=0.15, 1.5 * INCH_M);
    s.end();
    size.zip(thickness_m).map(|(size, thickness_m)| Some(Sole { size, thickness_m }))
}

fn stack(g: &Fields<'_>) -> Option<Stack> {
    let at = g.pair("at", YARD);
    let lean = g.pair_or("lean", -0.3..=0.3, [0.0; 2]);
    let timber = timber(g, "timber", "4x4");
    let length_m = length(g, 24.0);
    let layers = g.count("layers", 1..=24, None);
    let members = g.count("members", 2..=6, Some(2));
    let pads_m = g.lengths("pads", 6, 0.005..=0.15);
    let sole = sole(g);
    let strength_share = strength(g);
    let stack = Stack {
        name: g.text("name")?,
        at: at?,
        lean: lean?,
        timber: timber?,
        length_m: length_m?,
        layers: layers?,
        members: members?,
        pads_m: pads_m?,
        sole: sole?,
        strength_share: strength_share?,
    };
    let needed = stack.members as f64 * stack.timber.width_m;
    if needed > stack.length_m {
        g.complain(
            "members",
            Words::of(|u| {
                format!(
                    "{} timbers side by side take {}, but a layer is only {} wide; use fewer or \
                 longer timbers",
                    stack.members,
                    show(u, Length, needed),
                    show(u, Length, stack.length_m)
                )
            }),
        );
        return None;
    }
    Some(stack)
}

fn capture(g: &Fields<'_>) -> Option<Capture> {
    let at = g.pair("at", YARD);
    let (timber, step) = (timber(g, "timber", "4x4"), timber(g, "step", "2x4"));
    let length_m = length(g, 18.0);
    let layers = g.count("layers", 0..=12, Some(1));
    let steps = g.count("steps", 0..=24, Some(6));
    let sole = sole(g);
    Some(Capture {
        name: g.text("name")?,
        at: at?,
        timber: timber?,
        length_m: length_m?,
        layers: layers?,
        step: step?,
        steps: steps?,
        sole: sole?,
    })
}

fn bag(g: &Fields<'_>, index: usize, lists: &Lists<'_>) -> Option<Bag> {
    let on = g.text("on").and_then(|name| {
        let on = lists.support(g, "on", &name)?;
        // The order of the list rules out bags that lie on each other in a circle.
        if matches!(on, Rest::Bag(lower) if lower >= index) {
            g.complain(
                "on",
                format!("\"{name}\" comes later in the list; write the lower bag first"),
            );
            return None;
        }
        Some(on)
    });
    let size = g.pair("size", 0.15..=1.0);
    let working_pa = g.quantity_or("working", Pressure, 0.2e5..=12e5, 8e5);
    g.end();
    Some(Bag { name: g.text("name")?, on: on?, size: size?, working_pa: working_pa? })
}

fn beam(g: &Fields<'_>, lists: &Lists<'_>, vehicle: Option<&Vehicle>) -> Option<Beam> {
    let timber = timber(g, "timber", "4x6");
    let length_m = g.quantity("length", Length, 0.5..=6.0);
    let at = g.pair("at", YARD);
    let through = g.names("through").and_then(|names| {
        let openings = &vehicle?.openings;
        all(names.into_iter().map(|name| {
            if openings.iter().any(|o| o.name == name) {
                return Some(name);
            }
            let known = openings.iter().map(|o| o.name.as_str());
            unknown(g, "through", "opening", &name, known);
            None
        }))
    });
    let rests_on = g
        .names("rests_on")
        .and_then(|names| all(names.iter().map(|name| lists.support(g, "rests_on", name))));
    let shims = g.flag("shims", true);
    let strength_share = strength(g);
    g.end();
    Some(Beam {
        timber: timber?,
        length_m: length_m?,
        at: at?,
        through: through?,
        rests_on: rests_on?,
        shims: shims?,
        strength_share: strength_share?,
    })
}

/// The air supply. Without outlets of its own it has one for each bag, of the bag's name.
fn air(
    g: Option<&Fields<'_>>,
    outlets: &Named<'_>,
    bags: &Named<'_>,
    reads_on: bool,
) -> Option<Air> {
    const LITRE_M3: f64 = 1e-3;
    const CONDUCTANCE: f64 = 0.5e-8;
    let quantity = |key, dimension, limits, default| match g {
        Some(g) => g.quantity_or(key, dimension, limits, default),
        None => Some(default),
    };
    let cylinder_m3 = quantity("cylinder", Volume, 0.5 * LITRE_M3..=500.0 * LITRE_M3, 6.8e-3);
    let cylinder_pa = quantity("pressure", Pressure, 1e5..=320e5, 300e5);
    let regulator_pa = quantity("regulator", Pressure, 0.5e5..=20e5, 8e5);
    let outlets = if outlets.items.is_empty() {
        all(bags.names.iter().enumerate().map(|(to, name)| {
            Some(Outlet { name: name.clone()?, to, conductance: CONDUCTANCE, opening: 1.0 })
        }))
    } else {
        outlets.read(|g| {
            let to = g.text("to").and_then(|name| bags.find(g, "to", &name));
            let conductance = g.quantity_or("conductance", Conductance, 1e-11..=2e-7, CONDUCTANCE);
            let opening = g.quantity_or("opening", Fraction, 0.0..=1.0, 1.0);
            Some(Outlet {
                name: g.text("name")?,
                to: to?,
                conductance: conductance?,
                opening: opening?,
            })
        })
    };
    if let Some(g) = g {
        g.end();
    }
    Some(Air {
        cylinder_m3: cylinder_m3?,
        cylinder_pa: cylinder_pa?,
        regulator_pa: regulator_pa?,
        outlets: outlets.or_else(|| reads_on.then(Vec::new))?,
    })
}

/// What an order can tell; each order has exactly one of these fields.
const VERBS: [&str; 9] =
    ["raise", "lower", "stop", "lock_out", "unlock", "move_hose", "capture", "set_chocks", "wait"];

/// Longest time for which one order may go on, s.
const LONGEST_S: f64 = 600.0;

fn order(g: &Fields<'_>, lists: &Lists<'_>, hoses: &Named<'_>) -> Option<Order> {
    let told: Vec<&'static str> = VERBS.into_iter().filter(|verb| g.has(verb)).collect();
    let &[verb] = told.as_slice() else {
        let found = if told.is_empty() { "tells nothing".into() } else { told.join(" and ") };
        g.complain(
            "",
            format!(
                "each order tells exactly one thing, but this one: {found}; choose one of {}",
                VERBS.join(", ")
            ),
        );
        return None;
    };
    let bags = || lists.bags.find_all(g, verb);
    let order = match verb {
        "raise" | "lower" => {
            let bags = bags();
            let opening = g.quantity_or("opening", Fraction, 0.01..=1.0, 1.0);
            let until = match g.optional_group("until") {
                Some(u) => until(&u, lists),
                None => Some(Until::Now),
            };
            let at_most_s = at_most(g, until);
            match (bags, opening, until, at_most_s) {
                (Some(bags), Some(opening), Some(until), Some(at_most_s)) => {
                    Some(if verb == "raise" {
                        Order::Raise { bags, opening, until, at_most_s }
                    } else {
                        Order::Lower { bags, opening, until, at_most_s }
                    })
                }
                _ => None,
            }
        }
        "stop" => bags().map(|bags| Order::Stop { bags }),
        "lock_out" => bags().map(|bags| Order::LockOut { bags }),
        "unlock" => bags().map(|bags| Order::Unlock { bags }),
        "move_hose" => {
            let outlet = g.text(verb).and_then(|name| hoses.find(g, verb, &name));
            let to = g.text("to").and_then(|name| lists.bags.find(g, "to", &name));
            outlet.zip(to).map(|(outlet, to)| Order::MoveHose { outlet, to })
        }
        "capture" => lists.captures.find_all(g, verb).map(|captures| Order::Capture { captures }),
        "set_chocks" => lists.chocks.find_all(g, verb).map(|chocks| Order::SetChocks { chocks }),
        _ => {
            let until = g.group(verb).and_then(|u| until(&u, lists));
            if matches!(until, Some(Until::Height(_))) {
                g.complain(verb, "a wait names no bags; wait for `for`, `rise` or `gap`");
                return None;
            }
            let at_most_s = at_most(g, until);
            until.zip(at_most_s).map(|(until, at_most_s)| Order::Wait { until, at_most_s })
        }
    };
    g.end();
    order
}

/// After how long an order is given up; by default one minute, or as long as it was told.
fn at_most(g: &Fields<'_>, until: Option<Until>) -> Option<f64> {
    let default = match until {
        Some(Until::For(s)) => s,
        _ => 60.0,
    };
    g.quantity_or("at_most", Time, 0.1..=LONGEST_S, default)
}

fn until(u: &Fields<'_>, lists: &Lists<'_>) -> Option<Until> {
    const WAYS: [&str; 4] = ["for", "height", "rise", "gap"];
    let given: Vec<&'static str> = WAYS.into_iter().filter(|way| u.has(way)).collect();
    let &[way] = given.as_slice() else {
        u.complain(
            "",
            format!(
                "needs exactly one of {}, not {}; such as (rise: \"60 mm\")",
                WAYS.join(", "),
                given.len()
            ),
        );
        return None;
    };
    let until = match way {
        "for" => u.quantity(way, Time, 0.0..=LONGEST_S).map(Until::For),
        "height" => u.quantity(way, Length, 0.0..=1.0).map(Until::Height),
        "rise" => u.quantity(way, Length, 0.0..=2.0).map(Until::Rise),
        _ => {
            let m = u.quantity(way, Length, 0.0..=2.0);
            let limb = u.text("at").and_then(|name| lists.limbs.find(u, "at", &name));
            limb.zip(m).map(|(limb, m)| Until::Gap { limb, m })
        }
    };
    u.end();
    until
}

fn aims(f: &Fields<'_>) -> Option<Aims> {
    let default = Aims { roll_rad: 2_f64.to_radians(), slide_m: 0.025, drop_m: 0.025 };
    let Some(g) = f.optional_group("aims") else { return Some(default) };
    let angles = 0.1_f64.to_radians()..=45_f64.to_radians();
    let roll_rad = g.quantity_or("roll", Angle, angles, default.roll_rad);
    let slide_m = g.quantity_or("slide", Length, 0.001..=1.0, default.slide_m);
    let drop_m = g.quantity_or("drop", Length, 0.001..=1.0, default.drop_m);
    g.end();
    Some(Aims { roll_rad: roll_rad?, slide_m: slide_m?, drop_m: drop_m? })
}
