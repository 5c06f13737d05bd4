//! Work on many things at once, with the results in the things' order.

use rayon::{ThreadPoolBuildError, ThreadPoolBuilder};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;

/// Threads that the machine does not start.
#[derive(Debug, thiserror::Error)]
#[error("{asked} threads cannot be started: {source}; ask for fewer with --threads")]
#[non_exhaustive]
pub struct ThreadsError {
    pub asked: usize,
    pub source: ThreadPoolBuildError,
}

/// As many threads as this machine has cores.
pub fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get)
}

/// More threads for each core gain nothing, and each takes memory.
const MOST_PER_CORE: usize = 4;

/// Does some work for each item on as many threads as are asked for, and no more than there are
/// items, or a few for each core. `done` gets each result as it arrives, on the caller's thread;
/// when it refuses, items that have not started are skipped. The results are in the items' order.
///
/// # Errors
/// Threads that cannot be started, or what `done` says.
pub fn each<T: Sync, R: Send, E: From<ThreadsError>>(
    items: &[T],
    threads: usize,
    work: impl Fn(&T) -> R + Sync,
    done: &mut dyn FnMut(&R) -> Result<(), E>,
) -> Result<Vec<R>, E> {
    let asked = threads.clamp(1, items.len().max(1)).min(MOST_PER_CORE * cores());
    let pool = ThreadPoolBuilder::new()
        .num_threads(asked)
        .build()
        .map_err(|source| ThreadsError { asked, source })?;
    let stopped = AtomicBool::new(false);
    let (send, receive) = mpsc::channel();
    let mut results = pool.in_place_scope(|scope| {
        for (index, item) in items.iter().enumerate() {
            let (send, work, stopped) = (send.clone(), &work, &stopped);
            scope.spawn(move |_| {
                if !stopped.load(Ordering::Relaxed) {
                    // The receiver is gone once `done` has refused.
                    let _ = send.send((index, work(item)));
                }
            });
        }
        drop(send);
        let mut results = Vec::with_capacity(items.len());
        for (index, result) in receive {
            if let Err(why) = done(&result) {
                stopped.store(true, Ordering::Relaxed);
                return Err(why);
            }
            results.push((index, result));
        }
        Ok(results)
    })?;
    results.sort_by_key(|(index, _)| *index);
    Ok(results.into_iter().map(|(_, result)| result).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_stand_in_order_whatever_the_threads() {
        let items: Vec<u64> = (0..200).collect();
        for threads in [0, 1, 3, 1000] {
            let mut heard = 0;
            let squares: Result<Vec<u64>, ThreadsError> =
                each(&items, threads, |n| n * n, &mut |_| {
                    heard += 1;
                    Ok(())
                });
            assert_eq!(squares.unwrap(), items.iter().map(|n| n * n).collect::<Vec<_>>());
            assert_eq!(heard, items.len());
        }
        let none: Result<Vec<u64>, ThreadsError> = each(&[], 4, |n: &u64| *n, &mut |_| Ok(()));
        assert!(none.unwrap().is_empty());
    }

    #[test]
    fn a_refusal_ends_the_work() {
        #[derive(Debug, PartialEq)]
        struct Enough;
        impl From<ThreadsError> for Enough {
            fn from(_: ThreadsError) -> Self {
                Self
            }
        }
        let begun = std::sync::atomic::AtomicUsize::new(0);
        // Work takes time, or all of it is done before the refusal is heard.
        let work = |_: &u8| {
            std::thread::sleep(std::time::Duration::from_micros(200));
            begun.fetch_add(1, Ordering::Relaxed)
        };
        assert_eq!(each(&[0; 10_000], 2, work, &mut |_| Err(Enough)), Err(Enough));
        assert!(begun.into_inner() < 10_000);
    }
}
