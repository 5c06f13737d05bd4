//! Lists the tasks of a scene, in the order in which a crew does them: the end that is not lifted
//! first, then cribs, bags and beam, then order by order, and the casualty last.

use super::task::Task;
use crate::scene::{CarriedBy, Drill, Order, Scene, StrapEnd, TaskKind, Until};
use crate::statics::plan::Plan;

/// The tasks of a scene.
#[derive(Clone, Debug)]
pub struct TaskList {
    pub tasks: Vec<Task>,
    /// Tasks before this one stand before the lift.
    pub first_order: usize,
    /// The task after which every gap is reached, on air; none where the plan does not get there.
    pub reached: Option<usize>,
    /// The first capture after that; none where the load stays on air.
    pub captured: Option<usize>,
    /// How many times were taken from drills.
    pub drilled: usize,
}

/// The list while it is written.
struct List<'a> {
    scene: &'a Scene,
    drills: &'a [Drill],
    tasks: Vec<Task>,
    drilled: usize,
}

impl List<'_> {
    /// Puts down work on so many pieces of a kind; gives its place.
    fn put(&mut self, kind: TaskKind, part: &str, pieces: usize, after: Vec<usize>) -> usize {
        let (range_s, drilled) = kind.range_s(self.drills);
        self.drilled += usize::from(drilled);
        self.tasks.push(Task {
            kind: Some(kind),
            part: part.to_owned(),
            order: None,
            people: kind.people(),
            range_s: range_s.map(|s| s * pieces.max(1) as f64),
            after,
        });
        self.tasks.len() - 1
    }

    /// What begins on arrival; gives what the rest waits for, and the kit laid out.
    fn arrive(&mut self) -> ([usize; 2], usize) {
        let size_up = self.put(TaskKind::SizeUp, "", 1, Vec::new());
        let safe = self.put(TaskKind::MakeSafe, "", 1, Vec::new());
        let kit = self.put(TaskKind::LayOut, "", 1, Vec::new());
        self.put(TaskKind::Reach, "", 1, vec![safe]);
        ([size_up, safe], kit)
    }

    /// Chocks, stakes, struts and packing; gives what the rest waits for.
    fn stabilise(&mut self, ready: [usize; 2], kit: usize) -> Vec<usize> {
        let scene = self.scene;
        let mut chocked = vec![ready[0], ready[1], kit];
        for chock in scene.chocks.iter().filter(|chock| chock.set) {
            let set = self.put(TaskKind::Chock, &chock.name, 1, ready.to_vec());
            chocked.push(match chock.staked {
                true => self.put(TaskKind::Stake, &chock.name, 1, vec![set]),
                false => set,
            });
        }
        for chock in &scene.step_chocks {
            chocked.push(self.put(TaskKind::Chock, &chock.name, 1, ready.to_vec()));
        }
        let mut struts = Vec::new();
        for strut in &scene.struts {
            let set = self.put(TaskKind::Strut, &strut.name, 1, ready.to_vec());
            struts.push(set);
            chocked.push(match strut.staked {
                true => self.put(TaskKind::Stake, &strut.name, 1, vec![set]),
                false => set,
            });
        }
        for strap in &scene.straps {
            let ends = strap.ends.iter().filter_map(|end| match end {
                StrapEnd::Foot(strut) => Some(struts[*strut]),
                StrapEnd::Vehicle(_) | StrapEnd::Ground(_) => None,
            });
            let after = ready.iter().copied().chain(ends).collect();
            chocked.push(self.put(TaskKind::Strap, &strap.name, 1, after));
        }
        for fill in &scene.void_fill {
            self.put(TaskKind::Packing, &fill.name, 1, chocked.clone());
        }
        chocked
    }

    /// Captures and stacks; gives the stacks.
    fn build(&mut self, chocked: &[usize]) -> Vec<usize> {
        let scene = self.scene;
        for capture in scene.captures.iter().filter(|capture| capture.layers > 0) {
            let pieces = 2 * capture.layers + usize::from(capture.sole.is_some());
            self.put(TaskKind::StackTimber, &capture.name, pieces, chocked.to_vec());
        }
        let stacks = scene.stacks.iter().map(|stack| {
            let sole = usize::from(stack.sole.is_some());
            let pieces = stack.layers * stack.members + stack.pads_m.len() + sole;
            self.put(TaskKind::StackTimber, &stack.name, pieces, chocked.to_vec())
        });
        stacks.collect()
    }

    /// Bags, blocks and the beam, with the air set up.
    fn set_bags(&mut self, stacks: &[usize], air: usize, chocked: &[usize]) {
        let scene = self.scene;
        let mut bags: Vec<usize> = Vec::new();
        // A wedge under bags is laid on the stack before them.
        let mut seats = stacks.to_vec();
        for wedge in &scene.wedges {
            if let CarriedBy::Stack(stack) = wedge.on {
                seats[stack] = self.put(TaskKind::Block, &wedge.name, 1, vec![stacks[stack]]);
            }
        }
        for bag in &scene.bags {
            let on = match bag.on {
                CarriedBy::Stack(stack) => seats[stack],
                CarriedBy::Bag(below) => bags[below],
            };
            bags.push(self.put(TaskKind::Bag, &bag.name, 1, vec![on, air]));
        }
        for wedge in &scene.wedges {
            if let CarriedBy::Bag(bag) = wedge.on {
                self.put(TaskKind::Block, &wedge.name, 1, vec![bags[bag]]);
            }
        }
        let Some(beam) = &scene.beam else { return };
        let mut before = vec![self.put(TaskKind::Glass, "", 1, chocked.to_vec())];
        before.extend(beam.rests_on.iter().map(|on| match *on {
            CarriedBy::Stack(stack) => stacks[stack],
            CarriedBy::Bag(bag) => bags[bag],
        }));
        let laid = self.put(TaskKind::Beam, "", 1, before);
        if beam.shims {
            self.put(TaskKind::Shims, "", 1, vec![laid]);
        }
    }

    /// An order that some of the crew carry out while one stands at the controller, several
    /// pieces at once where there are people.
    fn put_order(&mut self, kind: TaskKind, pieces: usize, after: Vec<usize>) -> usize {
        let task = self.put(kind, "", 1, after);
        let free = (self.scene.crew.people - 1).max(1);
        let teams = (free / kind.people()).clamp(1, pieces.max(1));
        // The last round may not need them all.
        let rounds = pieces.max(1).div_ceil(teams) as f64;
        let people = (teams * kind.people()).min(free);
        let slower = (teams * kind.people()) as f64 / people as f64;
        let put = &mut self.tasks[task];
        put.people = people;
        put.range_s = put.range_s.map(|s| s * rounds * slower);
        task
    }

    /// An order at the controller: what air or time takes, and with air what the crew adds by
    /// telling, looking and stopping.
    fn put_at_controller(&mut self, order: &Order, air_s: f64, after: Vec<usize>) -> usize {
        if let Order::Raise { .. } | Order::Lower { .. } = order {
            let task = self.put(TaskKind::Raise, "", 1, after);
            let put = &mut self.tasks[task];
            put.range_s = put.range_s.map(|s| s + air_s);
            return task;
        }
        let lasts_s = match order {
            Order::Wait { until: Until::For(s), .. } => *s,
            _ => air_s,
        };
        let (kind, part, order) = (None, String::new(), None);
        self.tasks.push(Task { kind, part, order, people: 1, range_s: [lasts_s; 2], after });
        self.tasks.len() - 1
    }
}

/// What an order is for the crew: work on so many pieces; none at the controller.
fn work(order: &Order) -> Option<(TaskKind, usize)> {
    match order {
        Order::LockOut { bags } | Order::Unlock { bags } | Order::Stop { bags } => {
            Some((TaskKind::LockOut, bags.len()))
        }
        Order::MoveHose { .. } => Some((TaskKind::MoveHose, 1)),
        Order::Capture { captures } => Some((TaskKind::Capture, captures.len())),
        Order::SetChocks { chocks } => Some((TaskKind::Chock, chocks.len())),
        Order::Raise { .. } | Order::Lower { .. } | Order::Wait { .. } => None,
    }
}

/// Lists them.
pub fn task_list(scene: &Scene, plan: &Plan) -> TaskList {
    let drills = scene.measured.as_ref().map_or(&[][..], |measured| &measured.drills);
    let mut list = List { scene, drills, tasks: Vec::new(), drilled: 0 };
    let (ready, kit) = list.arrive();
    // The air is set up and tried early, beside the cribs.
    let air = (!scene.bags.is_empty()).then(|| list.put(TaskKind::AirSupply, "", 1, vec![kit]));
    let chocked = list.stabilise(ready, kit);
    let stacks = list.build(&chocked);
    if let Some(air) = air {
        list.set_bags(&stacks, air, &chocked);
    }
    // The last word before the first air.
    let all_set = (0..list.tasks.len()).collect();
    list.put(TaskKind::Agree, "", 1, all_set);
    let first_order = list.tasks.len();
    let mut before: Vec<usize> = (0..first_order).collect();
    let (mut air_s, mut reached, mut captured) = (0.0, None, None);
    for (index, order) in scene.orders.iter().enumerate() {
        let step = plan
            .lift
            .as_ref()
            .and_then(|lift| Some((lift, lift.steps.iter().find(|step| step.order == index)?)));
        let done_s = step.map_or(air_s, |(_, step)| step.time_s.max(air_s));
        let task = match work(order) {
            Some((kind, pieces)) => list.put_order(kind, pieces, before),
            None => list.put_at_controller(order, done_s - air_s, before),
        };
        list.tasks[task].order = Some(index);
        air_s = done_s;
        let gaps = step.is_some_and(|(lift, step)| {
            let mut limbs = plan.scene.limbs.iter().enumerate();
            limbs.all(|(i, l)| lift.gap_m(step, i).is_none_or(|gap_m| gap_m >= l.gap_needed_m))
        });
        if reached.is_some() && matches!(order, Order::Capture { .. }) {
            captured = captured.or(Some(task));
        }
        reached = reached.or(gaps.then_some(task));
        before = vec![task];
    }
    list.put(TaskKind::BringOut, "", 1, before);
    TaskList { tasks: list.tasks, first_order, reached, captured, drilled: list.drilled }
}
