//! Work side by side, results in order, and never far ahead of whoever takes them.

use std::any::Any;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// Results that may wait for their turn, for each lane: enough that a slow piece does not stop the others, few enough that
/// memory stays bounded.
const AHEAD: usize = 4;

type Outcome<T> = Result<T, Box<dyn Any + Send>>;

struct State<T> {
    next: usize,
    handed_over: usize,
    waiting: BTreeMap<usize, Outcome<T>>,
    abandoned: bool,
}

struct Table<T> {
    state: Mutex<State<T>>,
    changed: Condvar,
}

impl<T> Table<T> {
    fn lock(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn wait<'a>(&self, guard: MutexGuard<'a, State<T>>) -> MutexGuard<'a, State<T>> {
        self.changed.wait(guard).unwrap_or_else(PoisonError::into_inner)
    }

    /// The next piece of work; `None` when there is no more.
    fn take(&self, count: usize, ahead: usize) -> Option<usize> {
        let mut state = self.lock();
        while !state.abandoned && state.next < count && state.next >= state.handed_over + ahead {
            state = self.wait(state);
        }
        if state.abandoned || state.next >= count {
            return None;
        }
        state.next += 1;
        Some(state.next - 1)
    }

    fn put(&self, index: usize, outcome: Outcome<T>) {
        self.lock().waiting.insert(index, outcome);
        self.changed.notify_all();
    }

    fn hand_over(&self, index: usize) -> Outcome<T> {
        let mut state = self.lock();
        loop {
            if let Some(outcome) = state.waiting.remove(&index) {
                state.handed_over = index + 1;
                drop(state);
                self.changed.notify_all();
                return outcome;
            }
            state = self.wait(state);
        }
    }
}

/// Lets the lanes end when the one who takes the results does not come back.
struct Abandon<'a, T>(&'a Table<T>);

impl<T> Drop for Abandon<'_, T> {
    fn drop(&mut self) {
        self.0.lock().abandoned = true;
        self.0.changed.notify_all();
    }
}

/// Does `work` for `0..count` in as many threads as `lanes` says (at least one), and hands the results to `each` on the calling
/// thread in the order of their numbers. A panic in `work` continues in the caller when its turn comes.
pub fn in_order<T: Send>(
    count: usize,
    lanes: usize,
    work: &(dyn Fn(usize) -> T + Sync),
    each: &mut dyn FnMut(usize, T),
) {
    let lanes = lanes.clamp(1, count.max(1));
    let state = State { next: 0, handed_over: 0, waiting: BTreeMap::new(), abandoned: false };
    let table = Table { state: Mutex::new(state), changed: Condvar::new() };
    std::thread::scope(|scope| {
        let _abandon = Abandon(&table);
        for _ in 0..lanes {
            scope.spawn(|| {
                while let Some(index) = table.take(count, lanes * AHEAD) {
                    table.put(index, catch_unwind(AssertUnwindSafe(|| work(index))));
                }
            });
        }
        for index in 0..count {
            match table.hand_over(index) {
                Ok(result) => each(index, result),
                Err(panic) => resume_unwind(panic),
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::{AHEAD, in_order};
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn results_come_in_order_whatever_the_number_of_lanes() {
        for lanes in [0, 1, 2, 7, 100] {
            let mut seen = Vec::new();
            in_order(50, lanes, &|index| index * index, &mut |index, square| seen.push((index, square)));
            assert_eq!(seen, (0..50).map(|index| (index, index * index)).collect::<Vec<_>>(), "{lanes} lanes");
        }
    }

    #[test]
    fn work_waits_for_whoever_takes_the_results() {
        let begun = AtomicUsize::new(0);
        let work = |index: usize| {
            begun.fetch_add(1, Ordering::SeqCst);
            index
        };
        in_order(1000, 3, &work, &mut |index, _| {
            assert!(begun.load(Ordering::SeqCst) <= index + 1 + 3 * AHEAD, "memory is bounded");
        });
    }

    #[test]
    fn a_panic_on_either_side_ends_the_run_instead_of_hanging() {
        let broken = |index: usize| assert!(index != 5, "a bug");
        assert!(std::panic::catch_unwind(|| in_order(20, 2, &broken, &mut |_, ()| {})).is_err());
        let taker = |index: usize, (): ()| assert!(index != 5, "a bug");
        assert!(std::panic::catch_unwind(|| in_order(1000, 2, &|_| (), &mut { taker })).is_err());
    }
}
