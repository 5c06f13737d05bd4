//! Puts tasks on the clock: each begins as soon as those before it are done and enough people
//! are free until its end, in the order of the list.

use super::task::Task;

/// A crew works faster or slower than it was told to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WorkPace {
    Fastest,
    Usual,
    Slowest,
}

impl WorkPace {
    pub const ALL: [Self; 3] = [Self::Fastest, Self::Usual, Self::Slowest];

    /// How long a task takes, s.
    fn of(self, range_s: [f64; 2]) -> f64 {
        match self {
            Self::Fastest => range_s[0],
            Self::Usual => f64::midpoint(range_s[0], range_s[1]),
            Self::Slowest => range_s[1],
        }
    }
}

/// What a task's start waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// Nothing: it begins at once.
    Nothing,
    /// A task that must be done before.
    After(usize),
    /// People that another task had.
    People(usize),
}

/// When a task is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    pub begin_s: f64,
    pub end_s: f64,
    pub held: Held,
}

/// A slot for each task. A task that takes more people than there are has all of them, and takes
/// longer in that ratio.
pub fn schedule(tasks: &[Task], people: usize, pace: WorkPace) -> Vec<Slot> {
    let mut slots: Vec<Slot> = Vec::with_capacity(tasks.len());
    for task in tasks {
        let takes = task.people.min(people);
        let lasts_s = pace.of(task.range_s) * share(task.people, takes);
        let before = task.after.iter().copied();
        let last = before.max_by(|a, b| slots[*a].end_s.total_cmp(&slots[*b].end_s));
        let ready_s = last.map_or(0.0, |task| slots[task].end_s);
        let mut slot = Slot {
            begin_s: ready_s,
            end_s: ready_s + lasts_s,
            held: last.map_or(Held::Nothing, Held::After),
        };
        // People come free at the end of a task; the first end at which enough stay free counts.
        let mut ends: Vec<usize> = (0..slots.len()).filter(|i| slots[*i].end_s > ready_s).collect();
        ends.sort_by(|a, b| slots[*a].end_s.total_cmp(&slots[*b].end_s));
        let mut ends = ends.into_iter();
        while busiest(tasks, &slots, people, slot) + takes > people {
            let Some(next) = ends.next() else { break };
            let begin_s = slots[next].end_s;
            slot = Slot { begin_s, end_s: begin_s + lasts_s, held: Held::People(next) };
        }
        slots.push(slot);
    }
    slots
}

/// How much longer fewer take than it needs.
fn share(needed: usize, takes: usize) -> f64 {
    if takes == 0 { 1.0 } else { needed as f64 / takes as f64 }
}

/// The most people that others have at once while a slot lasts.
fn busiest(tasks: &[Task], slots: &[Slot], people: usize, during: Slot) -> usize {
    let overlaps = |slot: &Slot| slot.begin_s < during.end_s && slot.end_s > during.begin_s;
    let at = |t_s: f64| {
        let others = tasks.iter().zip(slots).filter(|(_, slot)| overlaps(slot));
        let there = others.filter(|(_, slot)| slot.begin_s <= t_s && t_s < slot.end_s);
        there.map(|(task, _)| task.people.min(people)).sum::<usize>()
    };
    let begins = slots.iter().filter(|slot| overlaps(slot)).map(|slot| slot.begin_s);
    begins.map(|t_s| at(t_s.max(during.begin_s))).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn task(people: usize, s: f64, after: &[usize]) -> Task {
        Task {
            kind: None,
            part: String::new(),
            order: None,
            people,
            range_s: [s; 2],
            after: after.to_vec(),
        }
    }

    fn ends(tasks: &[Task], people: usize) -> Vec<f64> {
        schedule(tasks, people, WorkPace::Usual).iter().map(|slot| slot.end_s).collect()
    }

    /// By hand: two pairs build two stacks of 100 s side by side; one pair builds them in turn.
    #[test]
    fn tasks_run_side_by_side_as_people_allow() {
        let stacks = [task(2, 100.0, &[]), task(2, 100.0, &[])];
        assert_eq!(ends(&stacks, 4), [100.0, 100.0]);
        assert_eq!(ends(&stacks, 3), [100.0, 200.0]);
        assert_eq!(ends(&stacks, 2), [100.0, 200.0]);
    }

    /// A short task goes into a gap, but not where it would take people from one that is on the
    /// clock already.
    #[test]
    fn a_gap_is_used_where_people_stay_free_to_its_end() {
        let tasks =
            [task(1, 60.0, &[]), task(2, 30.0, &[0]), task(1, 60.0, &[]), task(1, 20.0, &[])];
        let slots = schedule(&tasks, 2, WorkPace::Usual);
        assert_eq!((slots[2].begin_s, slots[2].end_s), (0.0, 60.0));
        assert_eq!(slots[1].begin_s, 60.0);
        assert_eq!((slots[3].begin_s, slots[3].held), (90.0, Held::People(1)));
    }

    /// Four people carry a beam in 60 s; two need twice as long.
    #[test]
    fn too_few_people_take_longer() {
        assert_eq!(ends(&[task(4, 60.0, &[])], 2), [120.0]);
    }
}
