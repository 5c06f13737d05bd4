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
/// The part of a frame that a task's slices get where there are no threads: at 60 frames a
/// second a frame has 16.7 ms, and two tasks, a lift and its twin, may share it with the drawing.
/// One slice is always done, however long it takes.
const A_FRAMES_SHARE: Duration = Duration::from_millis(6);
/// How long work on a thread goes on before it comes back half done: a few frames, so that
/// orders do not wait and the thread is seldom idle.
const HALF_DONE_ON_THREAD: Duration = Duration::from_millis(80);
/// The same for slices: within a frame's share, so that each frame shows what was done in it.
const HALF_DONE_IN_SLICES: Duration = Duration::from_millis(5);

/// Whether a session waits for its work in the background.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Never: frames do not wait for the simulation.
    Free,
    /// Always, so that the same actions give the same lift.
    InStep,
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

/// Work in the background, which hands over one result or several.
// A session is shared between threads, which neither a channel nor the work itself can be.
pub struct Task<T>(Mutex<Form<T>>);

enum Form<T> {
    /// A thread works on it for as long as somebody wants the results.
    OnThread { results: Receiver<T>, _wanted: Arc<()> },
    /// [`Task::next_result`] works on it.
    InSlices(Slices<T>),
}

struct Slices<T> {
    work: Box<dyn FnMut() -> TaskProgress<T> + Send>,
    /// When this frame's share ends; `None` until the frame has begun with it.
    share: Option<Deadline>,
}

impl<T: Send + 'static> Task<T> {
    /// Starts work, which is called slice by slice until it is over. Work that cannot start, or
    /// panics on its thread, counts as ended; dropping the task ends it after the slice in hand.
    pub fn spawn(work: impl FnMut() -> TaskProgress<T> + Send + 'static) -> Self {
        let form = if threads() {
            on_thread(work)
        } else {
            Form::InSlices(Slices { work: Box::new(work), share: None })
        };
        Self(Mutex::new(form))
    }

    /// The next result: in step it waits for it, at a free pace it takes what is there, or what
    /// a frame's share of time brings. A frame may ask until nothing more is there.
    pub fn next_result(&mut self, pace: Pace) -> TaskProgress<T> {
        match self.0.get_mut() {
            Ok(Form::OnThread { results, .. }) => {
                let got = match pace {
                    Pace::Free => results.try_recv(),
                    Pace::InStep => results.recv().map_err(|RecvError| TryRecvError::Disconnected),
                };
                match got {
                    Ok(result) => TaskProgress::Result(result),
                    Err(TryRecvError::Empty) => TaskProgress::Working,
                    Err(TryRecvError::Disconnected) => TaskProgress::Over,
                }
            }
            Ok(Form::InSlices(slices)) => slices.next_result(pace),
            Err(_) => TaskProgress::Over,
        }
    }
}

fn on_thread<T: Send + 'static>(
    mut work: impl FnMut() -> TaskProgress<T> + Send + 'static,
) -> Form<T> {
    let (send, results) = channel();
    let wanted = Arc::new(());
    let still_wanted = Arc::downgrade(&wanted);
    // A thread that does not start drops its sender, and so the task is over.
    let _ = Builder::new().spawn(move || {
        while still_wanted.strong_count() > 0 {
            match work() {
                TaskProgress::Working => {}
                TaskProgress::Result(result) => {
                    if send.send(result).is_err() {
                        break;
                    }
                }
                TaskProgress::Over => break,
            }
        }
    });
    Form::OnThread { results, _wanted: wanted }
}

impl<T> Slices<T> {
    fn next_result(&mut self, pace: Pace) -> TaskProgress<T> {
        if pace == Pace::InStep {
            loop {
                match (self.work)() {
                    TaskProgress::Working => {}
                    done => return done,
                }
            }
        }
        // A share lasts over all results of a frame, which end with nothing there.
        let share = self.share.get_or_insert_with(|| Deadline::after(A_FRAMES_SHARE));
        while !share.passed() {
            match (self.work)() {
                TaskProgress::Working => {}
                done => return done,
            }
        }
        self.share = None;
        TaskProgress::Working
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

/// A time after which work comes back, done or not.
pub struct Deadline(Option<Instant>);

impl Deadline {
    fn after(wait: Duration) -> Self {
        Self(Instant::now().checked_add(wait))
    }

    /// When work that begins now, and can come back half done, does so.
    pub fn half_done() -> Self {
        Self::after(if threads() { HALF_DONE_ON_THREAD } else { HALF_DONE_IN_SLICES })
    }

    /// A time that never comes.
    pub fn never() -> Self {
        Self(None)
    }

    /// Whether it is past.
    pub fn passed(&self) -> bool {
        self.0.is_some_and(|at| Instant::now() > at)
    }
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

    /// Work of slices that each take longer than a frame's share, with a result in every third
    /// of them, and the number of slices done so far.
    fn slow(slices: usize) -> (Task<usize>, Arc<Mutex<usize>>) {
        let done = Arc::new(Mutex::new(0));
        let count = done.clone();
        let task = Task::spawn(move || {
            sleep(A_FRAMES_SHARE + A_FRAMES_SHARE / 2);
            let mut count = count.lock().unwrap();
            *count += 1;
            match *count {
                n if n > slices => TaskProgress::Over,
                n if n.is_multiple_of(3) => TaskProgress::Result(n),
                _ => TaskProgress::Working,
            }
        });
        (task, done)
    }

    /// Without threads, a frame does one slow slice and no more, whether or not it brings a
    /// result; in step, it goes on until there is one.
    #[test]
    fn a_frame_without_threads_does_a_slice_and_no_more() {
        use TaskProgress::{Over, Result, Working};
        let (mut task, done) = in_slices(|| slow(5));
        let mut after = |pace| (task.next_result(pace), *done.lock().unwrap());
        assert_eq!(after(Pace::Free), (Working, 1));
        assert_eq!(after(Pace::Free), (Working, 2));
        assert_eq!(after(Pace::Free), (Result(3), 3));
        assert_eq!(after(Pace::Free), (Working, 3), "the frame asks for more");
        assert_eq!(after(Pace::Free), (Working, 4), "the next frame");
        assert_eq!(after(Pace::InStep), (Over, 6));
        let (mut task, _) = in_slices(|| slow(5));
        assert_eq!(task.next_result(Pace::InStep), Result(3));
    }

    /// With a thread the results are the same, and work that nobody waits for ends.
    #[test]
    fn a_thread_brings_the_same_results_and_ends_with_its_task() {
        let (mut task, _) = slow(5);
        assert_eq!(task.next_result(Pace::InStep), TaskProgress::Result(3));
        assert_eq!(task.next_result(Pace::InStep), TaskProgress::Over);
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
