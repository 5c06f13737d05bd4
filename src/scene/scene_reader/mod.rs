//! Reads a whole [`Scene`] from a document: each field by its entry in the table. Names are
//! turned into indices here; what several fields say together is checked in [`super::rules`].

mod air;
mod equipment;
mod faults;
mod ground;
mod kit;
mod lesson;
mod measured;
mod orders;
mod vehicle;

use super::crew::CrewSize;
use super::equipment::{
    Air, Bag, Beam, Capture, Chock, Limb, Stack, Strap, Strut, VoidFill, Wedge,
};
use super::faults::HiddenFault;
use super::field_reader::{Fields, all};
use super::lists::{Lists, Named};
use super::model::Scene;
use super::orders::Order;
use super::outcome::{Expect, Outcome};
use super::person::Person;
use super::problem::Problems;
use super::schema::{air as air_field, scene as field};
use super::step_chock::StepChock;
use super::tree::{Node, Value};
use super::vehicle::{RestPose, RestsOn, Vehicle};
use crate::units::UnitText;

/// Reads everything, and adds all that is wrong to `problems`.
pub(super) fn scene(doc: &Node, problems: &Problems) -> Option<Scene> {
    let f = Fields::new(doc, "", problems);
    if !matches!(doc.value, Value::Table(_)) {
        return None;
    }
    let name = f.take(field::NAME);
    let group = f.take(field::HEADING);
    let teaches = f.take(field::TEACHES);
    let data = f.take(field::DATA);
    let expect = expect(&f);
    let mut vehicle = vehicle(&f);
    let measured = measured::measured(&f, vehicle.as_mut());
    let lies = f.take(field::LIES);
    let said_pitch_rad = f.take(field::NOSE_DOWN);
    let vehicle =
        vehicle.zip(said_pitch_rad).map(|(v, said_pitch_rad)| Vehicle { said_pitch_rad, ..v });
    if let (Some(vehicle), Some(lies)) = (&vehicle, lies)
        && !lies_still(&f, vehicle, lies)
    {
        return None;
    }
    let lashed = f.take(field::LASHED);
    let ground = ground::ground(&f);
    let wood = f.take(field::WOOD);
    let friction_share = f.take(field::FRICTION);
    let mut spread = ground::spread(&f);
    let lists = Lists::read(&f);
    let on = problems.reads_on();
    let set_up = SetUp::read(&f, &lists, vehicle.as_ref(), on);
    let aims = ground::aims(&f);
    let kit = kit::kit(&f);
    let crew = crew(&f);
    let on_failure = f.take(field::ON_FAILURE);
    let lesson = lesson::lesson(&f, &lists);
    f.end();
    let mut set_up = set_up?;
    let measured = measured.or_else(|| on.then_some(None))?;
    let kit = kit.or_else(|| on.then_some(None))?;
    if let Some(measured) = &measured {
        measured::stand_in(measured, &mut set_up.bags, spread.as_mut());
    }
    // A scene that is read on leaves out what cannot be read.
    let left_out = |name: &str| on.then(|| name.to_owned());
    Some(Scene {
        name: name.or_else(|| left_out("Unnamed scene"))?,
        group: group.or_else(|| left_out(""))?,
        teaches: teaches.or_else(|| left_out(""))?,
        data: data.or_else(|| left_out("Source not given."))?,
        expect: expect.or(on.then_some(Expect { outcome: Outcome::Lifted, cause: None }))?,
        lesson: lesson.or_else(|| on.then(Default::default))?,
        vehicle: vehicle?,
        lies: lies?,
        lashed: lashed?,
        ground: ground?,
        wood: wood?,
        friction_share: friction_share?,
        people: set_up.people,
        limbs: set_up.limbs,
        bags: set_up.bags,
        stacks: set_up.stacks,
        void_fill: set_up.void_fill,
        chocks: set_up.chocks,
        step_chocks: set_up.step_chocks,
        struts: set_up.struts,
        straps: set_up.straps,
        captures: set_up.captures,
        wedges: set_up.wedges,
        beam: set_up.beam,
        air: set_up.air,
        faults: set_up.faults,
        orders: set_up.orders,
        aims: aims?,
        spread: spread?,
        measured,
        kit,
        crew: crew?,
        on_failure: on_failure?,
    })
}

fn crew(f: &Fields<'_>) -> Option<CrewSize> {
    let g = f.group_or_bare(field::CREW);
    let people = g.take(super::schema::crew::PEOPLE);
    g.end();
    Some(CrewSize { people: people? })
}

fn expect(f: &Fields<'_>) -> Option<Expect> {
    use super::schema::expect::{CAUSE, OUTCOME};
    let Some(g) = f.optional_group(field::EXPECT) else {
        return Some(Expect { outcome: Outcome::Lifted, cause: None });
    };
    let outcome = g.take(OUTCOME);
    let cause = g.take_if_there(CAUSE);
    g.end();
    let expect = Expect { outcome: outcome?, cause: cause? };
    if expect.outcome != Outcome::Failed && expect.cause.is_some() {
        g.complain(CAUSE.key(), "only a failure has a cause; leave it out, or expect \"failed\"");
        return None;
    }
    Some(expect)
}

fn vehicle(f: &Fields<'_>) -> Option<Vehicle> {
    if !f.has(field::VEHICLE) {
        f.complain(field::VEHICLE.key(), "is missing; write `vehicle: \"saloon\"`");
        return None;
    }
    Vehicle::read(&f.group(field::VEHICLE)?)
}

/// Whether the vehicle rests on what the scene says; where it does not, that is told.
fn lies_still(f: &Fields<'_>, vehicle: &Vehicle, lies: RestsOn) -> bool {
    let Some(pose) = vehicle.rest_pose(lies) else {
        f.complain(
            field::LIES.key(),
            format!(
                "the vehicle would not lie still on its {}: its centre of mass is over none of \
                 the lines it could rest on; move `vehicle.com`",
                lies.word()
            ),
        );
        return false;
    };
    let near = pose.off_rad <= RestPose::MOST_OFF_RAD;
    if !near {
        let [_, height_m, _] = pose.ground(vehicle.com_m);
        f.complain(
            field::LIES.key(),
            UnitText::new(|u| {
                format!(
                    "of the poses in which the vehicle would lie still on its {} the nearest is \
                     {}, its centre of mass {} up; more than {} from what is said it lies on \
                     something else: move `vehicle.com`, change `vehicle.profile`, or say \
                     `nose_down`",
                    lies.word(),
                    pose.say(lies, u),
                    u.span(height_m),
                    u.angle(RestPose::MOST_OFF_RAD)
                )
            }),
        );
    }
    near
}

/// Who is trapped, what a crew sets up, what it is told and what it is not.
struct SetUp {
    people: Vec<Person>,
    limbs: Vec<Limb>,
    bags: Vec<Bag>,
    stacks: Vec<Stack>,
    void_fill: Vec<VoidFill>,
    chocks: Vec<Chock>,
    step_chocks: Vec<StepChock>,
    struts: Vec<Strut>,
    straps: Vec<Strap>,
    captures: Vec<Capture>,
    wedges: Vec<Wedge>,
    beam: Option<Beam>,
    air: Air,
    faults: Vec<HiddenFault>,
    orders: Vec<Order>,
}

impl SetUp {
    /// Where it is read `on`, what cannot be read is left out, and what refers to it.
    fn read(
        f: &Fields<'_>,
        lists: &Lists<'_>,
        vehicle: Option<&Vehicle>,
        on: bool,
    ) -> Option<Self> {
        let people = lists.people.read(equipment::person);
        let limbs = lists.limbs.read(|g| equipment::limb(g, &lists.people));
        if lists.limbs.items.is_empty() {
            f.complain(
                field::CASUALTY.key(),
                "needs at least one trapped limb; write `casualty: [(name: ...)]`",
            );
        }
        let stacks = lists.stacks.read(equipment::stack);
        let void_fill = lists.void_fill.read(equipment::void_fill);
        let chocks = lists.chocks.read(equipment::chock);
        let step_chocks = lists.step_chocks.read(equipment::step_chock);
        let struts = lists.struts.read(equipment::strut);
        let straps = lists.straps.read(|g| equipment::strap(g, lists));
        let captures = lists.captures.read(equipment::capture);
        let bags =
            all(lists.bags.items.iter().enumerate().map(|(i, g)| equipment::bag(g, i, lists)));
        let wedges = lists.wedges.read(|g| equipment::wedge(g, lists));
        // A missing beam is none; a beam that could not be read is a failure.
        let beam = match f.optional_group(field::BEAM) {
            Some(g) => equipment::beam(&g, lists, vehicle).map(Some),
            None => Some(None),
        };
        let supply = f.group_or_bare(field::AIR);
        let outlets = Named::new("outlet", supply.list(air_field::OUTLETS));
        let air = air::air(&supply, &outlets, &lists.bags, on);
        let hoses = if outlets.items.is_empty() { &lists.bags } else { &outlets };
        let has_beam = f.has(field::BEAM);
        let faults = f.list(field::FAULTS);
        let faults = all(faults.iter().map(|g| faults::hidden(g, lists, hoses, has_beam)));
        let orders = all(f.list(field::ORDERS).iter().map(|g| orders::order(g, lists, hoses)));

        let whole = stacks.is_some() && bags.is_some();
        let named = whole && limbs.is_some() && chocks.is_some() && captures.is_some();
        let hosed = air.as_ref().is_some_and(|air| !air.outlets.is_empty() || !on);
        let can_be_told = named && hosed;
        let keep = |good: bool| good || !on;
        // Limbs of a person who cannot be read are nobody's.
        let limbs = limbs.map(|mut limbs: Vec<Limb>| {
            if people.is_none() {
                limbs.iter_mut().for_each(|limb| limb.of = None);
            }
            limbs
        });
        let air = air.map(|a| if keep(whole) { a } else { Air { outlets: Vec::new(), ..a } });
        Some(Self {
            people: people.or_else(|| on.then(Vec::new))?,
            limbs: limbs.filter(|limbs| !limbs.is_empty()).or_else(|| on.then(Vec::new))?,
            bags: bags.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
            stacks: stacks.or_else(|| on.then(Vec::new))?,
            void_fill: void_fill.or_else(|| on.then(Vec::new))?,
            chocks: chocks.or_else(|| on.then(Vec::new))?,
            straps: straps.filter(|_| keep(struts.is_some())).or_else(|| on.then(Vec::new))?,
            step_chocks: step_chocks.or_else(|| on.then(Vec::new))?,
            struts: struts.or_else(|| on.then(Vec::new))?,
            captures: captures.or_else(|| on.then(Vec::new))?,
            wedges: wedges.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
            beam: beam.filter(|_| keep(whole)).or_else(|| on.then_some(None))?,
            air: air?,
            faults: faults.filter(|_| keep(whole)).or_else(|| on.then(Vec::new))?,
            orders: orders.filter(|_| keep(can_be_told)).or_else(|| on.then(Vec::new))?,
        })
    }
}
