//! Work shared among threads and handed on in order: the same results in the same order whatever the number of threads,
//! and never more of them waiting than a fixed few, so that memory does not grow with the batch. (A package for parallel
//! iteration would hold all results, or give up their order.)

use std::any::Any;
use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::ops::{ControlFlow, Range};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

/// How far ahead of the results handed on each thread may work.
const AHEAD: usize = 16;

/// Room for the deepest draft a thread may meet: 64 operations inside one another, in a build without optimisation.
const STACK: usize = 64 << 20;

/// A piece of work on which the program itself failed.
#[derive(Debug)]
pub struct Crashed {
    /// The words of the panic.
    pub words: String,
}

/// As many threads as the machine has processors.
pub fn all_threads() -> NonZeroUsize {
    thread::available_parallelism().unwrap_or(NonZeroUsize::MIN)
}

struct State<T> {
    /// The next number to be worked on.
    next: usize,
    /// The next number to be handed on.
    wanted: usize,
    done: BTreeMap<usize, Result<T, Crashed>>,
    stopped: bool,
}

struct Shared<T> {
    state: Mutex<State<T>>,
    ready: Condvar,
    room: Condvar,
    end: usize,
    window: usize,
}

/// Does `work` on each number, and hands each result on in order until `take` breaks off.
pub fn in_order<T: Send>(
    numbers: Range<usize>,
    threads: NonZeroUsize,
    work: impl Fn(usize) -> T + Sync,
    mut take: impl FnMut(usize, Result<T, Crashed>) -> ControlFlow<()>,
) {
    let shared = Shared {
        state: Mutex::new(State {
            next: numbers.start,
            wanted: numbers.start,
            done: BTreeMap::new(),
            stopped: false,
        }),
        ready: Condvar::new(),
        room: Condvar::new(),
        end: numbers.end,
        window: threads.get().saturating_mul(AHEAD),
    };
    thread::scope(|scope| {
        let count = threads.get().min(numbers.len());
        let started = (0..count).filter(|_| {
            let hand = thread::Builder::new().stack_size(STACK);
            hand.spawn_scoped(scope, || shared.labour(&work)).is_ok()
        });
        if started.count() > 0 {
            shared.hand_on(&mut take);
            return;
        }
        // The system gives no thread: all is done here.
        for number in numbers.clone() {
            if take(number, caught(&work, number)).is_break() {
                return;
            }
        }
    });
}

impl<T> Shared<T> {
    fn lock(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn labour(&self, work: &impl Fn(usize) -> T) {
        loop {
            let mut state = self.lock();
            while !state.stopped
                && state.next < self.end
                && state.next >= state.wanted + self.window
            {
                state = self
                    .room
                    .wait(state)
                    .unwrap_or_else(PoisonError::into_inner);
            }
            if state.stopped || state.next >= self.end {
                return;
            }
            let number = state.next;
            state.next += 1;
            drop(state);
            let result = caught(work, number);
            self.lock().done.insert(number, result);
            self.ready.notify_one();
        }
    }

    fn hand_on(&self, take: &mut impl FnMut(usize, Result<T, Crashed>) -> ControlFlow<()>) {
        let first = self.lock().wanted;
        for number in first..self.end {
            let mut state = self.lock();
            let result = loop {
                match state.done.remove(&number) {
                    Some(result) => break result,
                    None => {
                        state = self
                            .ready
                            .wait(state)
                            .unwrap_or_else(PoisonError::into_inner);
                    }
                }
            };
            state.wanted = number + 1;
            drop(state);
            self.room.notify_all();
            if take(number, result).is_break() {
                break;
            }
        }
        self.lock().stopped = true;
        self.room.notify_all();
    }
}

/// One piece of work; a slip of the program in it stops no other.
fn caught<T>(work: &impl Fn(usize) -> T, number: usize) -> Result<T, Crashed> {
    let words = |thrown: Box<dyn Any + Send>| Crashed {
        words: match (
            thrown.downcast_ref::<&str>(),
            thrown.downcast_ref::<String>(),
        ) {
            (Some(words), _) => (*words).to_owned(),
            (_, Some(words)) => words.clone(),
            _ => "no reason given".to_owned(),
        },
    };
    catch_unwind(AssertUnwindSafe(|| work(number))).map_err(words)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn threads(count: usize) -> NonZeroUsize {
        NonZeroUsize::new(count).unwrap()
    }

    #[test]
    fn results_come_in_order_however_many_hands_there_are() {
        for count in [1, 2, 7] {
            let mut seen = Vec::new();
            let uneven = |number: usize| {
                let turns = if number.is_multiple_of(13) {
                    20_000
                } else {
                    10
                };
                (0..turns).fold(number as u64, |a, b| a.wrapping_mul(31).wrapping_add(b))
            };
            in_order(5..905, threads(count), uneven, |number, result| {
                seen.push((number, result.unwrap()));
                ControlFlow::Continue(())
            });
            let wanted: Vec<_> = (5..905).map(|number| (number, uneven(number))).collect();
            assert_eq!(seen, wanted);
        }
    }

    #[test]
    fn one_that_fails_stops_no_other() {
        let mut failed = Vec::new();
        let work = |number: usize| assert!(number != 3, "number three");
        in_order(0..20, threads(2), work, |number, result| {
            failed.extend(result.err().map(|crash| (number, crash.words)));
            ControlFlow::Continue(())
        });
        assert_eq!(failed, [(3, "number three".to_owned())]);
    }

    #[test]
    fn it_can_be_broken_off() {
        let mut count = 0;
        in_order(
            0..1_000_000,
            threads(2),
            |number| number,
            |_, _| {
                count += 1;
                if count == 10 {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        );
        assert_eq!(count, 10);
    }
}
