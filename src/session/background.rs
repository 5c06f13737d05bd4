//! Work beside the frames of a session's driver. It is cut into slices of a tick or so: a thread
//! does one after the other while the driver goes on; where there are no threads, each frame
//! does slices for a part of its time. This file alone knows threads and the clock.

use std::sync::mpsc::{Receiver, RecvError, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::thread::Builder;
use std::time::Duration;
use web_time::Instant;

/// Whether there are threads: a page in a browser has none.
const THREADS: bool = !cfg!(target_family = "wasm");
/// The share of a frame's time that a task's slices get where there are no threads. A lift takes
/// a fifth of a core; a third keeps real time on a busy machine, however long drawing takes, and
/// makes a frame half as long again at the most.
const SHARE_OF_A_FRAME: f64 = 1.0 / 3.0;
/// The least that a task gets of a frame: at 60 frames a second a frame has 16.7 ms, and two
/// tasks, a lift and its twin, may share it with the drawing.
const SHARE_AT_LEAST: Duration = Duration::from_millis(6);
/// The most: after a frame that was long for once, as in a page that was hidden.
const SHARE_AT_MOST: Duration = Duration::from_millis(100);
/// How long work on a thread goes on before it comes back half done: a few frames, so that
/// orders do not wait and the thread is seldom idle.
const HALF_DONE_ON_THREAD: Duration = Duration::from_millis(80);

/// Whether a session waits for its work in the background.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Never: frames do not wait for the simulation.
    Free,
    /// Always, so that the same actions give the same lift.
    InStep,
}

/// A frame of the driver, as the work beside it sees it.
#[derive(Clone, Copy, Debug)]
pub struct DriverFrame {
    pub pace: Pace,
    number: u64,
    /// What each task's slices get of it where there are no threads.
    share: Duration,
}

impl DriverFrame {
    /// Before the first one.
    pub fn before_the_first(pace: Pace) -> Self {
        Self { pace, number: 0, share: Duration::ZERO }
    }

    /// The next one, this long after the one before, s.
    pub fn next(self, elapsed_s: f64) -> Self {
        let share = Duration::try_from_secs_f64(SHARE_OF_A_FRAME * elapsed_s).unwrap_or_default();
        let share = share.clamp(SHARE_AT_LEAST, SHARE_AT_MOST);
        Self { number: self.number + 1, share, ..self }
    }
}

/// What a slice of work came to, or a task since it was last asked.
#[derive(Debug, PartialEq)]
pub enum TaskProgress<T> {
    /// A result.
    Result(T),
    /// Nothing yet.
    Working,
    /// No more results: it has ended or failed.
    Over,
}

/// Work that is done in slices.
pub trait Work: Send + 'static {
    /// What comes of it.
    type Output: Send + 'static;

    /// Does the next slice.
    fn go_on(&mut self) -> TaskProgress<Self::Output>;

    /// Gives what has been done of a result, where half of one is worth having; it is over then.
    fn half_done(&mut self) -> Option<Self::Output> {
        None
    }
}

/// Work in the background, which hands over one result or several.
// A session is shared between threads, which neither a channel nor the work itself can be.
pub struct BackgroundTask<T>(Mutex<TaskForm<T>>);

enum TaskForm<T> {
    /// A thread works on it for as long as somebody wants the results.
    OnThread { results: Receiver<T>, _wanted: Arc<()> },
    /// [`BackgroundTask::next_result`] works on it.
    InSlices(Slices<T>),
}

struct Slices<T> {
    work: Box<dyn Work<Output = T>>,
    /// The number of the frame that it was last worked on in, and when its share of that one
    /// ends.
    worked: Option<(u64, Instant)>,
}

impl<T: Send + 'static> BackgroundTask<T> {
    /// Starts work, which is called slice by slice until it is over. Work that cannot start, or
    /// panics on its thread, counts as ended; dropping the task ends it after the slice in hand.
    pub fn spawn(work: impl Work<Output = T>) -> Self {
        let form = if threads() {
            on_thread(work)
        } else {
            TaskForm::InSlices(Slices { work: Box::new(work), worked: None })
        };
        Self(Mutex::new(form))
    }

    /// The next result: in step it waits for it, at a free pace it takes what is there, or what
    /// its share of the frame brings. A frame may ask until nothing more is there.
    pub fn next_result(&mut self, frame: DriverFrame) -> TaskProgress<T> {
        match self.0.get_mut() {
            Ok(TaskForm::OnThread { results, .. }) => {
                let got = match frame.pace {
                    Pace::Free => results.try_recv(),
                    Pace::InStep => results.recv().map_err(|RecvError| TryRecvError::Disconnected),
                };
                match got {
                    Ok(result) => TaskProgress::Result(result),
                    Err(TryRecvError::Empty) => TaskProgress::Working,
                    Err(TryRecvError::Disconnected) => TaskProgress::Over,
                }
            }
            Ok(TaskForm::InSlices(slices)) => slices.next_result(frame),
            Err(_) => TaskProgress::Over,
        }
    }
}

fn on_thread<W: Work>(mut work: W) -> TaskForm<W::Output> {
    let (send, results) = channel();
    let wanted = Arc::new(());
    let still_wanted = Arc::downgrade(&wanted);
    // A thread that does not start drops its sender, and so the task is over.
    let _ = Builder::new().spawn(move || {
        let mut since = Instant::now();
        while still_wanted.strong_count() > 0 {
            let result = match work.go_on() {
                TaskProgress::Result(result) => Some(result),
                TaskProgress::Working if since.elapsed() > HALF_DONE_ON_THREAD => work.half_done(),
                TaskProgress::Working => None,
                TaskProgress::Over => break,
            };
            if let Some(result) = result {
                if send.send(result).is_err() {
                    break;
                }
                since = Instant::now();
            }
        }
    });
    TaskForm::OnThread { results, _wanted: wanted }
}

impl<T: Send + 'static> Slices<T> {
    fn next_result(&mut self, frame: DriverFrame) -> TaskProgress<T> {
        let (ends, fresh) = match self.worked {
            Some((number, ends)) if number == frame.number => (ends, false),
            _ => (Instant::now() + frame.share, true),
        };
        self.worked = Some((frame.number, ends));
        // Each frame does one slice, however long it takes.
        let mut goes_on = fresh;
        while goes_on || frame.pace == Pace::InStep || Instant::now() < ends {
            goes_on = false;
            match self.work.go_on() {
                TaskProgress::Working => {}
                done => return done,
            }
        }
        self.work.half_done().map_or(TaskProgress::Working, TaskProgress::Result)
    }
}

#[cfg(not(test))]
fn threads() -> bool {
    THREADS
}

#[cfg(test)]
fn threads() -> bool {
    THREADS && !tests::IN_SLICES.get()
}

#[cfg(test)]
pub mod tests {
    use super::*;
    use std::cell::Cell;
    use std::sync::Mutex;
    use std::thread::sleep;

    thread_local! {
        /// Work that is begun here is done in slices, as where there are no threads.
        pub static IN_SLICES: Cell<bool> = const { Cell::new(false) };
    }

    /// As where there are no threads.
    pub fn in_slices<T>(f: impl FnOnce() -> T) -> T {
        IN_SLICES.set(true);
        let done = f();
        IN_SLICES.set(false);
        done
    }

    /// Slices that each take longer than a frame's share, with a result in every third of them.
    struct Slow {
        slices: usize,
        /// The number of slices done so far.
        done: Arc<Mutex<usize>>,
    }

    impl Work for Slow {
        type Output = usize;

        fn go_on(&mut self) -> TaskProgress<usize> {
            sleep(Duration::from_millis(9));
            let mut done = self.done.lock().unwrap();
            *done += 1;
            match *done {
                n if n > self.slices => TaskProgress::Over,
                n if n.is_multiple_of(3) => TaskProgress::Result(n),
                _ => TaskProgress::Working,
            }
        }
    }

    fn slow(slices: usize) -> (BackgroundTask<usize>, Arc<Mutex<usize>>) {
        let done = Arc::new(Mutex::new(0));
        (BackgroundTask::spawn(Slow { slices, done: done.clone() }), done)
    }

    fn frames(pace: Pace) -> impl FnMut() -> DriverFrame {
        let mut frame = DriverFrame::before_the_first(pace);
        move || {
            frame = frame.next(1.0 / 60.0);
            frame
        }
    }

    /// Without threads, a frame does one slow slice and no more, whether or not it brings a
    /// result and the frame asks for another; in step, it goes on until there is one.
    #[test]
    fn each_frame_without_threads_does_a_slow_slice_and_no_more() {
        use TaskProgress::{Over, Result, Working};
        let (mut task, done) = in_slices(|| slow(7));
        let mut next = frames(Pace::Free);
        let mut after = |frame| (task.next_result(frame), *done.lock().unwrap());
        assert_eq!(after(next()), (Working, 1));
        assert_eq!(after(next()), (Working, 2));
        let third = next();
        assert_eq!(after(third), (Result(3), 3));
        assert_eq!(after(third), (Working, 3), "the frame asks for more");
        assert_eq!(after(next()), (Working, 4));
        assert_eq!(after(next()), (Working, 5));
        assert_eq!(after(next()), (Result(6), 6));
        assert_eq!(after(next()), (Working, 7), "the frame before did not ask for more");
        assert_eq!(after(next()), (Over, 8));
        let (mut task, _) = in_slices(|| slow(5));
        assert_eq!(task.next_result(frames(Pace::InStep)()), Result(3));
    }

    /// The longer a frame is, the more of it is worked, between bounds that no frame time breaks.
    #[test]
    fn a_slow_frame_gives_a_larger_share() {
        let share = |elapsed_s| DriverFrame::before_the_first(Pace::Free).next(elapsed_s).share;
        assert_eq!(share(0.15), Duration::from_millis(50), "a third: a lift needs a fifth");
        for elapsed_s in [0.0, 1.0 / 60.0, -1.0, f64::NAN] {
            assert_eq!(share(elapsed_s), SHARE_AT_LEAST, "{elapsed_s}");
        }
        assert_eq!(share(1.0), SHARE_AT_MOST);
    }

    /// Work of short slices whose half is worth having.
    struct Long(usize);

    impl Work for Long {
        type Output = usize;

        fn go_on(&mut self) -> TaskProgress<usize> {
            sleep(Duration::from_millis(1));
            self.0 += 1;
            TaskProgress::Working
        }

        fn half_done(&mut self) -> Option<usize> {
            Some(self.0)
        }
    }

    /// What a frame's share has done is shown in that frame; a thread hands it over, too.
    #[test]
    fn work_comes_back_half_done() {
        let mut next = frames(Pace::Free);
        let mut task = in_slices(|| BackgroundTask::spawn(Long(0)));
        let mut before = 0;
        for _ in 0..3 {
            match task.next_result(next()) {
                TaskProgress::Result(done) => assert!(done > std::mem::replace(&mut before, done)),
                other => panic!("{other:?}"),
            }
        }
        let mut task = BackgroundTask::spawn(Long(0));
        let done = task.next_result(frames(Pace::InStep)());
        assert!(matches!(done, TaskProgress::Result(1..)), "{done:?}");
    }

    /// With a thread the results are the same, and work that nobody waits for ends.
    #[test]
    fn a_thread_brings_the_same_results_and_ends_with_its_task() {
        let (mut task, _) = slow(5);
        let mut next = frames(Pace::InStep);
        assert_eq!(task.next_result(next()), TaskProgress::Result(3));
        assert_eq!(task.next_result(next()), TaskProgress::Over);
        let (task, done) = slow(usize::MAX);
        drop(task);
        // The thread drops its count with the work.
        let ended = (0..1000).any(|_| {
            sleep(Duration::from_millis(10));
            Arc::strong_count(&done) == 1
        });
        assert!(ended);
    }
}
