//! Lists the tasks of a scene, in the order in which a crew does them: the end that is not lifted
//! first, then stacks, bags and beam, then order by order.

use super::task::Task;
use crate::scene::{CarriedBy, Drill, Order, Scene, TaskKind, Until};
use crate::statics::plan::Plan;

/// The tasks of a scene.
pub struct TaskList {
    pub tasks: Vec<Task>,
    /// Tasks before this one stand before the lift.
    pub first_order: usize,
    /// The task after which every limb is free.
    pub frees: Option<usize>,
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
        let range_s = range_s.map(|s| s * pieces.max(1) as f64);
        self.tasks.push(Task {
            kind: Some(kind),
            part: part.to_owned(),
            order: None,
            hands: kind.hands(),
            range_s,
            after,
        });
        self.tasks.len() - 1
    }

    /// Chocks, stakes and packing; gives what the rest waits for.
    fn stabilise(&mut self, size_up: usize) -> Vec<usize> {
        let scene = self.scene;
        let mut chocked = vec![size_up];
        for chock in scene.chocks.iter().filter(|chock| chock.set) {
            let set = self.put(TaskKind::Chock, &chock.name, 1, vec![size_up]);
            chocked.push(match chock.staked {
                true => self.put(TaskKind::Stake, &chock.name, 1, vec![set]),
                false => set,
            });
        }
        for fill in &scene.void_fill {
            self.put(TaskKind::Packing, &fill.name, 1, chocked.clone());
        }
        chocked
    }

    /// Stacks, captures, bags, blocks and the beam.
    fn build(&mut self, chocked: &[usize]) {
        let scene = self.scene;
        let stacks: Vec<usize> = (scene.stacks.iter())
            .map(|stack| {
                let sole = usize::from(stack.sole.is_some());
                let pieces = stack.layers * stack.members + stack.pads_m.len() + sole;
                self.put(TaskKind::StackTimber, &stack.name, pieces, chocked.to_vec())
            })
            .collect();
        for capture in scene.captures.iter().filter(|capture| capture.layers > 0) {
            let pieces = 2 * capture.layers + usize::from(capture.sole.is_some());
            self.put(TaskKind::StackTimber, &capture.name, pieces, chocked.to_vec());
        }
        if scene.bags.is_empty() {
            return;
        }
        let air = self.put(TaskKind::AirSupply, "", 1, vec![chocked[0]]);
        let mut bags: Vec<usize> = Vec::new();
        for bag in &scene.bags {
            let on = match bag.on {
                CarriedBy::Stack(stack) => stacks[stack],
                CarriedBy::Bag(below) => bags[below],
            };
            bags.push(self.put(TaskKind::Bag, &bag.name, 1, vec![on, air]));
        }
        for wedge in &scene.wedges {
            self.put(TaskKind::Block, &wedge.name, 1, vec![bags[wedge.on]]);
        }
        if let Some(beam) = &scene.beam {
            let rests = beam.rests_on.iter().map(|on| match *on {
                CarriedBy::Stack(stack) => stacks[stack],
                CarriedBy::Bag(bag) => bags[bag],
            });
            let laid = self.put(TaskKind::Beam, "", 1, rests.collect());
            if beam.shims {
                self.put(TaskKind::Shims, "", 1, vec![laid]);
            }
        }
    }

    /// Work on several pieces at once, by as many as the crew has.
    fn put_side_by_side(&mut self, kind: TaskKind, pieces: usize, after: Vec<usize>) -> usize {
        let task = self.put(kind, "", pieces, after);
        let teams = (self.scene.crew.hands / kind.hands()).clamp(1, pieces.max(1));
        // The last round may not need them all.
        let rounds = pieces.max(1).div_ceil(teams) as f64;
        let put = &mut self.tasks[task];
        put.hands *= teams;
        put.range_s = put.range_s.map(|s| s / pieces.max(1) as f64 * rounds);
        task
    }

    /// What air or time does, with one hand at the valves.
    fn put_by_itself(&mut self, order: &Order, air_s: f64, after: Vec<usize>) -> usize {
        let lasts_s = match order {
            Order::Wait { until: Until::For(s), .. } => *s,
            _ => air_s,
        };
        self.tasks.push(Task {
            kind: None,
            part: String::new(),
            order: None,
            hands: 1,
            range_s: [lasts_s; 2],
            after,
        });
        self.tasks.len() - 1
    }

    /// What an order is for the crew: work on so many pieces, or none where air or time does it.
    fn work(&self, order: &Order) -> Option<(TaskKind, usize)> {
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
}

/// Lists them.
pub fn task_list(scene: &Scene, plan: &Plan) -> TaskList {
    let drills = scene.measured.as_ref().map_or(&[][..], |measured| &measured.drills);
    let mut list = List { scene, drills, tasks: Vec::new(), drilled: 0 };
    let size_up = list.put(TaskKind::SizeUp, "", 1, Vec::new());
    let chocked = list.stabilise(size_up);
    list.build(&chocked);
    let first_order = list.tasks.len();
    let mut before: Vec<usize> = (0..first_order).collect();
    let (mut air_s, mut frees) = (0.0, None);
    for (index, order) in scene.orders.iter().enumerate() {
        let step = plan
            .lift
            .as_ref()
            .and_then(|lift| Some((lift, lift.steps.iter().find(|step| step.order == index)?)));
        let done_s = step.map_or(air_s, |(_, step)| step.time_s.max(air_s));
        let task = match list.work(order) {
            Some((kind, pieces)) => list.put_side_by_side(kind, pieces, before),
            None => list.put_by_itself(order, done_s - air_s, before),
        };
        list.tasks[task].order = Some(index);
        air_s = done_s;
        let freed = step.is_some_and(|(lift, step)| {
            let mut limbs = plan.scene.limbs.iter().enumerate();
            limbs.all(|(i, l)| lift.gap_m(step, i).is_none_or(|gap_m| gap_m >= l.gap_needed_m))
        });
        frees = frees.or(freed.then_some(task));
        before = vec![task];
    }
    TaskList { tasks: list.tasks, first_order, frees, drilled: list.drilled }
}
