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

/// A list of so many rows, most cells filled; one row in a hundred can't be read.
fn list(n: usize) -> String {
    let mut text = String::from("article;group;description;size;price;weight;days;in stock\n");
    for i in 0..n {
        let (group, size) = match i % 5 {
            0 => ("hubs", "130".to_owned()),
            1 => ("posts", format!("26,{}", i % 10)),
            _ => ("tyres", format!("{}-622", 23 + i % 30)),
        };
        let price = if i % 100 == 99 { "on demand".to_owned() } else { format!("{},{:02}", 5 + i % 90, i % 100) };
        writeln!(text, "AB {i};{group};\"part, number {i}\";{size};{price};{};{};yes", 200 + i % 400, i % 14).unwrap();
    }
    text
}

/// The blocks that make parts of it, and a small build beside them.
const SHOP: &str = r#"
stock shop : tyre "shop.csv" {
  rows = column "group" is "tyres"
  name = column "article"; text = column "description"; price = column "price" EUR; mass = column "weight" g
  lead_time = column "days" d; available = column "in stock" is "yes"
  size = column "size"; bead = wire; hookless = no
}
stock shop : hub "shop.csv" { rows = column "group" is "hubs"; axle = qr(column "size" mm, stub = 9.5 mm) }
stock shop : seatpost "shop.csv" { rows = column "group" is "posts"; diameter = column "size" mm }
assembly pair { slot frame : frame; slot rear.hub : hub
  join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material) }
part f : frame { material = steel; rear.dropout = open(126 mm) }
build b : pair { frame = f; rear.hub = shop.ab_5 }
"#;

fn stock(c: &mut Criterion) {
    let mut group = c.benchmark_group("compile beside a price list of n rows");
    for n in [0, 5000, 10000] {
        let mut sources = Memory::one("shop.cotter", SHOP);
        sources.texts.insert("shop.csv".to_owned(), list(n.max(10)).into_bytes());
        group.throughput(Throughput::Elements(n as u64));
        group.bench_with_input(BenchmarkId::from_parameter(n), &sources, |bench, sources| {
            bench.iter(|| black_box(cotter::compile(sources, "shop.cotter", "").expect("the text is in memory")));
        });
    }
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = cold, warm, growth, stock
}
criterion_main!(benches);
