//! The whole job on the clock, and when its stages are done.

use super::list::{TaskList, task_list};
use super::schedule::{Held, Pace, Slot, schedule};
use super::task::Task;
use crate::scene::Scene;
use crate::statics::plan::Plan;

/// The whole job.
#[derive(Clone, Debug)]
pub struct Job {
    pub hands: usize,
    pub tasks: Vec<Task>,
    /// Tasks before this one stand before the lift.
    pub first_order: usize,
    /// The task after which every limb is free; none where the plan does not get there.
    pub frees: Option<usize>,
    /// How many times were taken from drills.
    pub drilled: usize,
}

impl Job {
    pub fn new(scene: &Scene, plan: &Plan) -> Self {
        let TaskList { tasks, first_order, frees, drilled } = task_list(scene, plan);
        Self { hands: scene.crew.hands, tasks, first_order, frees, drilled }
    }

    /// When each task is done at a pace, in the order of the tasks.
    pub fn slots(&self, pace: Pace) -> Vec<Slot> {
        schedule(&self.tasks, self.hands, pace)
    }

    /// When everything stands and the lift can begin, s.
    pub fn ready_s(&self, pace: Pace) -> f64 {
        self.slots(pace)[..self.first_order].iter().map(|slot| slot.end_s).fold(0.0, f64::max)
    }

    /// When every limb is free, s.
    pub fn freed_s(&self, pace: Pace) -> Option<f64> {
        Some(self.slots(pace)[self.frees?].end_s)
    }

    /// Who does each task, counted from 0: of those who are free, the lowest numbers.
    pub fn people(&self, slots: &[Slot]) -> Vec<Vec<usize>> {
        let mut order: Vec<usize> = (0..slots.len()).collect();
        order.sort_by(|a, b| slots[*a].begin_s.total_cmp(&slots[*b].begin_s).then(a.cmp(b)));
        let mut free_s = vec![0.0_f64; self.hands];
        let mut people = vec![Vec::new(); slots.len()];
        for task in order {
            let slot = slots[task];
            let free = (0..self.hands).filter(|who| free_s[*who] <= slot.begin_s + 1e-6);
            people[task] = free.take(self.tasks[task].hands).collect();
            people[task].iter().for_each(|who| free_s[*who] = slot.end_s);
        }
        people
    }

    /// The tasks that the last one waited for, one after the other, the first of them first.
    pub fn longest_chain(&self) -> Vec<usize> {
        let slots = self.slots(Pace::Usual);
        let last = self.frees.unwrap_or(self.tasks.len().saturating_sub(1));
        let mut chain = vec![last];
        while let Some(Held::After(task) | Held::Hands(task)) =
            chain.last().and_then(|task| slots.get(*task)).map(|slot| slot.held)
        {
            chain.push(task);
        }
        chain.reverse();
        chain
    }
}
