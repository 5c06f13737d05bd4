//! Work in the background while the driver of a session goes on. This file alone knows threads
//! and the clock: a build without them has nothing else to change.

use std::sync::Mutex;
use std::sync::mpsc::{Receiver, RecvError, Sender, TryRecvError, channel};
use std::thread::Builder;
use std::time::Duration;
use web_time::Instant;

/// Whether a session waits for its work in the background.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Never: frames do not wait for the simulation.
    Free,
    /// Always, so that the same actions give the same lift.
    InStep,
}

/// Work in the background, which hands over one result or several.
pub struct Task<T>(Mutex<Receiver<T>>);

/// The state of a task since it was last asked.
pub enum TaskProgress<T> {
    /// Its next result.
    Result(T),
    /// Nothing yet.
    Working,
    /// No more results: it has ended or failed.
    Over,
}

/// The sending side of a task's results.
pub struct Results<T>(Sender<T>);

impl<T> Results<T> {
    /// Sends a result; false if the receiver is gone.
    pub fn hand_over(&self, result: T) -> bool {
        self.0.send(result).is_ok()
    }
}

impl<T: Send + 'static> Task<T> {
    /// Starts the work. Work that cannot start, or panics, counts as ended.
    pub fn spawn(work: impl FnOnce(&Results<T>) + Send + 'static) -> Self {
        let (send, receive) = channel();
        // A thread that does not start drops its sender, and so the task is over.
        let _ = Builder::new().spawn(move || work(&Results(send)));
        Self(Mutex::new(receive))
    }

    /// The next result: in step it waits for it, at a free pace it takes what is there.
    pub fn next_result(&mut self, pace: Pace) -> TaskProgress<T> {
        let Ok(results) = self.0.get_mut() else { return TaskProgress::Over };
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
}

/// A time after which work comes back, done or not.
pub struct Deadline(Option<Instant>);

impl Deadline {
    /// So long from now.
    pub fn after(wait: Duration) -> Self {
        Self(Instant::now().checked_add(wait))
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
