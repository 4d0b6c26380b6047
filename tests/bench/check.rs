//! How long a check takes: a cold start of the program on the demo, a warm compile, and how the cost grows.
//!
//! `cargo bench` prints the times. The library is parsed when the program is built; a cold start decodes it.

#![allow(missing_docs, clippy::expect_used, clippy::unwrap_used)]

use cotter::source::{Disk, Memory};
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;
use std::process::{Command, Stdio};

const HERON: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/specs/heron/heron.cotter");

fn cold(c: &mut Criterion) {
    c.bench_function("cold check of heron, a new process", |bench| {
        bench.iter(|| {
            let mut check = Command::new(env!("CARGO_BIN_EXE_cotter"));
            check.args(["check", HERON]).stdout(Stdio::null()).stderr(Stdio::null());
            black_box(check.status().expect("the program starts"))
        });
    });
}

fn warm(c: &mut Criterion) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/specs/heron");
    c.bench_function("warm compile of heron", |bench| {
        bench.iter(|| black_box(cotter::compile(&Disk::below(folder), HERON, folder).expect("the demo is there")));
    });
    let trees: Vec<_> = cotter::library::trees().iter().collect();
    c.bench_function("the library's model from its trees", |bench| {
        bench.iter(|| black_box(cotter::model::base(&trees)));
    });
}

/// So many hubs, frames and builds of the two.
fn spec(n: usize) -> String {
    let mut text = String::from(
        "assembly pair { slot frame : frame; slot rear.hub : hub\n  join axle = axle_in_seat(axle = rear.hub.axle, \
         seat = frame.rear.dropout, material = frame.material) }\n",
    );
    for i in 0..n {
        let width = 126 + i % 10;
        writeln!(text, "part f{i} : frame {{ material = steel; rear.dropout = open({width} mm) }}").unwrap();
        writeln!(text, "part h{i} : hub {{ axle = qr(130 mm) }}").unwrap();
        writeln!(text, "build b{i} : pair {{ frame = f{i}; rear.hub = h{i} }}").unwrap();
    }
    text
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("compile of n builds");
    for n in [250, 500, 1000, 2000] {
        let sources = Memory::one("many.cotter", spec(n));
        group.throughput(Throughput::Elements(n as u64));
        group.bench_with_input(BenchmarkId::from_parameter(n), &sources, |bench, sources| {
            bench.iter(|| black_box(cotter::compile(sources, "many.cotter", "").expect("the text is in memory")));
        });
    }
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = cold, warm, growth
}
criterion_main!(benches);
