//! How long the report of the demo takes, once it is compiled: all sheets, drawings, both formats.

#![allow(missing_docs, clippy::expect_used)]

use cotter::report::Report;
use cotter::source::Disk;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn report(c: &mut Criterion) {
    for (folder, build) in [("heron", "heron_winter"), ("heron", "heron_first_try"), ("curlew", "curlew_tourer")] {
        let folder = format!("{}/specs/{folder}", env!("CARGO_MANIFEST_DIR"));
        let entry = format!("{folder}/{}.cotter", build.split('_').next().unwrap_or_default());
        let unit = cotter::compile(&Disk::below(&folder), &entry, &folder).expect("the demo is there");
        let judged = unit.builds.iter().find(|it| unit.model[it.build].name.text == build).expect("so is the build");
        c.bench_function(&format!("report of {build}"), |bench| {
            bench.iter(|| {
                let report = Report::of(&unit, judged);
                black_box((report.html(), report.markdown()))
            });
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = report
}
criterion_main!(benches);
