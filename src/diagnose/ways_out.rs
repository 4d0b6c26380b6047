//! The ways out of every joint that does not fit: values that would make it fit, and remedies. Joints don't wait for each
//! other here: where there are many, several workers share them.

use super::{FitsIf, Mend, fit, mend};
use crate::judge::{JudgedBuild, Mender, Shelf, Verdict};
use crate::model::Model;

/// Ways out of one joint.
#[derive(Clone, Debug, Default)]
pub(super) struct WaysOut {
    /// Values of its facts.
    pub fits_if: Vec<FitsIf>,
    /// Other parts.
    pub mends: Vec<Mend>,
}

/// Joints from which on it pays to share the work: starting a worker costs as much as one or two of them.
const WORTH_SHARING: usize = 8;

/// Of each build, the ways out of each of its joints that does not fit, in order.
pub(super) fn all(model: &Model, builds: &[JudgedBuild]) -> Vec<Vec<WaysOut>> {
    let unsettled = |build: &JudgedBuild| build.joints.iter().filter(|it| it.verdict != Verdict::Fits).count();
    let joints: usize = builds.iter().map(unsettled).sum();
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(joints / WORTH_SHARING);
    if workers < 2 {
        return of_every(model, builds, 0, 1);
    }
    std::thread::scope(|scope| {
        let others: Vec<_> =
            (1..workers).map(|first| scope.spawn(move || of_every(model, builds, first, workers))).collect();
        let mut shares = vec![of_every(model, builds, 0, workers).into_iter()];
        for (first, other) in (1..workers).zip(others) {
            // A worker that failed leaves its joints to this one, where the failure is seen.
            shares.push(other.join().unwrap_or_else(|_| of_every(model, builds, first, workers)).into_iter());
        }
        // Each share holds its own joints of every build: dealt out in turn, so collected in turn.
        let mut turn = 0;
        let mut of_build = |count: usize, shares: &mut [std::vec::IntoIter<WaysOut>]| -> Vec<WaysOut> {
            let next = (turn..turn + count).filter_map(|it| shares.get_mut(it % workers)?.next()).collect();
            turn += count;
            next
        };
        let mut flat: Vec<std::vec::IntoIter<WaysOut>> =
            shares.into_iter().map(|share| share.flatten().collect::<Vec<_>>().into_iter()).collect();
        builds.iter().map(|build| of_build(unsettled(build), &mut flat)).collect()
    })
}

/// Those of every so many-th joint that does not fit, a list a build.
fn of_every(model: &Model, builds: &[JudgedBuild], first: usize, workers: usize) -> Vec<Vec<WaysOut>> {
    let mut turn = 0;
    let of_build = |build: &JudgedBuild| {
        let shelf = Shelf::of(model, &model[build.build]);
        let mut mender = Mender::of(&shelf, build);
        let mut own = Vec::new();
        for joint in build.joints.iter().filter(|it| it.verdict != Verdict::Fits) {
            if turn % workers == first {
                let fits_if = fit::of(model, build.build, joint);
                let mends = mend::of(model, &mut mender, build, joint);
                own.push(WaysOut { fits_if, mends });
            }
            turn += 1;
        }
        own
    };
    builds.iter().map(of_build).collect()
}
