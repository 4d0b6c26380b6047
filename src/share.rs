//! Work shared among workers: many small things that don't know of each other, done side by side, in order all the same.

use std::sync::atomic::{AtomicUsize, Ordering};

/// `work` done on each item, in the order of the items. There is a worker for every `least` items, and no more than the
/// machine has processors; each begins with a `state` of its own.
pub fn among_workers<T: Sync, S, R: Send>(
    items: &[T],
    least: usize,
    state: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, &T) -> R + Sync,
) -> Vec<R> {
    let workers = match items.len() / least.max(1) {
        0 | 1 => 1,
        wanted => std::thread::available_parallelism().map_or(1, usize::from).min(wanted),
    };
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
    let mut done = if workers == 1 {
        share()
    } else {
        std::thread::scope(|scope| {
            let others: Vec<_> = (1..workers).map(|_| scope.spawn(share)).collect();
            let mut done = share();
            done.extend(others.into_iter().flat_map(|it| it.join().unwrap_or_default()));
            done
        })
    };
    done.sort_by_key(|(turn, _)| *turn);
    if done.len() < items.len() {
        // A worker failed and took its share along: done once more, the failure is seen here.
        let mut state = state();
        return items.iter().map(|it| work(&mut state, it)).collect();
    }
    done.into_iter().map(|(_, it)| it).collect()
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
}
