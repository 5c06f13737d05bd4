//! The whole job on the clock, and when its stages are done.

use super::list::{TaskList, task_list};
use super::schedule::{Held, Slot, WorkPace, schedule};
use crate::scene::Scene;
use crate::statics::plan::Plan;

/// The whole job.
#[derive(Clone, Debug)]
pub struct Job {
    /// Who works, beside who is in command.
    pub people: usize,
    pub list: TaskList,
    /// When each task is done, with everything quick, usual and slow.
    slots: [Vec<Slot>; 3],
}

impl Job {
    pub fn new(scene: &Scene, plan: &Plan) -> Self {
        let (people, list) = (scene.crew.people, task_list(scene, plan));
        let slots = WorkPace::ALL.map(|pace| schedule(&list.tasks, people, pace));
        Self { people, list, slots }
    }

    /// When each task is done at a pace, in the order of the tasks.
    pub fn slots(&self, pace: WorkPace) -> &[Slot] {
        &self.slots[pace as usize]
    }

    /// When everything stands and the lift can begin, s.
    pub fn ready_s(&self, pace: WorkPace) -> f64 {
        self.slots(pace)[..self.list.first_order].iter().map(|slot| slot.end_s).fold(0.0, f64::max)
    }

    /// When every gap is reached, on air, s.
    pub fn reached_s(&self, pace: WorkPace) -> Option<f64> {
        Some(self.slots(pace)[self.list.reached?].end_s)
    }

    /// When timber has followed the load there, s.
    pub fn captured_s(&self, pace: WorkPace) -> Option<f64> {
        Some(self.slots(pace)[self.list.captured?].end_s)
    }

    /// When the casualty is out, s, where every gap is reached: after the last order.
    pub fn out_s(&self, pace: WorkPace) -> Option<f64> {
        self.list.reached?;
        self.slots(pace).last().map(|slot| slot.end_s)
    }

    /// Who does each task at a pace, counted from 0: of those who are free, the lowest numbers.
    /// The first stays at the controller while the lift goes on.
    pub fn who(&self, pace: WorkPace) -> Vec<Vec<usize>> {
        let slots = self.slots(pace);
        let mut order: Vec<usize> = (0..slots.len()).collect();
        order.sort_by(|a, b| slots[*a].begin_s.total_cmp(&slots[*b].begin_s).then(a.cmp(b)));
        let mut free_s = vec![0.0_f64; self.people];
        let mut who = vec![Vec::new(); slots.len()];
        for index in order {
            let (task, slot) = (&self.list.tasks[index], slots[index]);
            let from = usize::from(task.order.is_some() && !task.at_controller());
            let free = (from..self.people).filter(|who| free_s[*who] <= slot.begin_s + 1e-6);
            who[index] = free.take(task.people.min(self.people)).collect();
            who[index].iter().for_each(|who| free_s[*who] = slot.end_s);
        }
        who
    }

    /// The tasks that the lift's begin waited for, one after the other, the first of them first.
    pub fn longest_chain(&self) -> Vec<usize> {
        let slots = self.slots(WorkPace::Usual);
        let before = 0..self.list.first_order;
        let last = before.max_by(|a, b| slots[*a].end_s.total_cmp(&slots[*b].end_s));
        let mut chain: Vec<usize> = last.into_iter().collect();
        while let Some(Held::After(task) | Held::People(task)) =
            chain.last().and_then(|task| slots.get(*task)).map(|slot| slot.held)
        {
            chain.push(task);
        }
        chain.reverse();
        chain
    }
}
