//! Independent work shared among workers: many small things that don't know of each other, done side by side, in order all
//! the same.
//!
//! The workers are made once and kept: each has memory of its own, and a start is too short to make that twice.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, Once, PoisonError};

/// `work` done on each item, in the order of the items. There is a worker for every `least` items, and no more than the
/// machine has processors; each begins with a `state` of its own.
pub fn among_workers<T: Sync, S, R: Send>(
    items: &[T],
    least: usize,
    state: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, &T) -> R + Sync,
) -> Vec<R> {
    let wanted = items.len() / least.max(1);
    let next = AtomicUsize::new(0);
    let share = || {
        let mut state = state();
        let mut done = Vec::new();
        loop {
            let turn = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(turn) else { return done };
            done.push((turn, work(&mut state, item)));
        }
    };
    let mut done = if wanted < 2 {
        share()
    } else {
        let others = Mutex::new(Vec::new());
        let mut done = scope(|scope, workers| {
            for _ in 1..workers.min(wanted) {
                scope.spawn(|_| {
                    let mut own = share();
                    others.lock().unwrap_or_else(PoisonError::into_inner).append(&mut own);
                });
            }
            share()
        });
        done.append(&mut others.into_inner().unwrap_or_else(PoisonError::into_inner));
        done
    };
    done.sort_by_key(|(turn, _)| *turn);
    done.into_iter().map(|(_, it)| it).collect()
}

/// Two things done side by side, the first of them here.
pub fn beside<A>(here: impl FnOnce() -> A, there: impl FnOnce() + Send) -> A {
    scope(|scope, _| {
        scope.spawn(|_| there());
        here()
    })
}

fn scope<'s, R>(work: impl FnOnce(&rayon::Scope<'s>, usize) -> R) -> R {
    prepare();
    rayon::in_place_scope(|scope| work(scope, rayon::current_num_threads()))
}

/// The thread that asks first is one of the workers.
fn prepare() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // Where somebody has made workers already, those do.
        let _ = rayon::ThreadPoolBuilder::new().use_current_thread().build_global();
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_is_that_of_the_items() {
        let items: Vec<u32> = (0..1000).collect();
        let squares = among_workers(
            &items,
            10,
            || 0_u32,
            |seen, it| {
                *seen += 1;
                it * it
            },
        );
        assert_eq!(squares, items.iter().map(|it| it * it).collect::<Vec<_>>());
        assert!(among_workers(&[] as &[u32], 1, || (), |(), it| *it).is_empty());
    }

    #[test]
    fn what_is_shared_may_share_in_turn() {
        let items: Vec<u32> = (0..40).collect();
        let inner = |it: u32| among_workers(&items, 4, || (), move |(), other| it * other).into_iter().sum::<u32>();
        let sums = among_workers(&items, 4, || (), |(), it| inner(*it));
        assert_eq!(sums, items.iter().map(|it| it * 780).collect::<Vec<_>>());
        let mut there = false;
        assert_eq!(beside(|| 3, || there = true), 3);
        assert!(there);
    }
}
