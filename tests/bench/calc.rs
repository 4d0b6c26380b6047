//! How long the computations take: each function that rules may call, on numbers and on intervals; the heavier ones that
//! sheets call; and each sheet of numbers for a thousand builds.

#![allow(missing_docs, clippy::expect_used, clippy::unwrap_used, clippy::panic)]

use cotter::calc::geometry::{Built, ForkShape, FrameShape, Stance, Wheelbase, stand};
use cotter::calc::spokes::{Lacing, tension_ratio};
use cotter::calc::{FUNCTIONS, chain, climb, fit, indexing};
use cotter::quantity::Interval;
use cotter::sheets::{Format, numbers};
use cotter::source::Memory;
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;

/// Usual values of a parameter, each with a tolerance that a workshop would write beside it.
fn usual(parameter: &str) -> &'static [(f64, f64)] {
    match parameter {
        "teeth" | "ring" => &[(42.0, 0.0)],
        "cog" => &[(19.0, 0.0)],
        "chainstay" => &[(445.0, 1.0)],
        "across" => &[(6.0, 1.0)],
        "pulls" => &[(2.8, 0.05), (2.8, 0.05), (2.9, 0.05), (2.8, 0.05), (2.7, 0.05), (2.8, 0.05), (2.8, 0.05)],
        "ratio" => &[(1.7, 0.02)],
        "gaps" => &[(4.8, 0.05)],
        "cogs" => &[(8.0, 0.0)],
        "allowed" => &[(0.72, 0.0)],
        "erd" => &[(600.0, 1.0)],
        "circle" => &[(58.0, 0.5)],
        "offset" => &[(36.0, 0.5)],
        "holes" => &[(36.0, 0.0)],
        "crossings" => &[(3.0, 0.0)],
        "hole" => &[(2.6, 0.1)],
        "head_angle" => &[(72.0, 0.5)],
        "radius" => &[(343.0, 2.0)],
        "wheelbase" => &[(1062.0, 2.0)],
        "drop" => &[(62.0, 2.0)],
        "fork_change" => &[(12.0, 2.0)],
        "offset_change" => &[(-3.0, 1.0)],
        "front_radius_change" | "rear_radius_change" => &[(-5.0, 1.0)],
        "mass" => &[(48_000.0, 2_000.0)],
        "width" => &[(42.0, 1.0)],
        other => panic!("what is usual of `{other}`?"),
    }
}

fn functions(c: &mut Criterion) {
    let mut exact = c.benchmark_group("function on numbers");
    for function in FUNCTIONS {
        let all: Vec<Vec<f64>> =
            function.parameters.iter().map(|it| usual(it.name).iter().map(|it| it.0).collect()).collect();
        let given: Vec<&[f64]> = all.iter().map(Vec::as_slice).collect();
        assert!((function.compute)(&given).is_ok(), "{} refuses what is usual", function.name);
        exact.bench_function(function.name, |bench| bench.iter(|| (function.compute)(black_box(&given))));
    }
    exact.finish();
    let mut ranges = c.benchmark_group("function on intervals");
    for function in FUNCTIONS {
        let about = |it: &(f64, f64)| Interval::new(it.0 - it.1, it.0 + it.1);
        let given: Vec<Vec<Interval>> =
            function.parameters.iter().map(|it| usual(it.name).iter().map(about).collect()).collect();
        assert!(function.on(&given).is_bounded(), "{} says nothing of what is usual", function.name);
        ranges.bench_function(function.name, |bench| bench.iter(|| function.on(black_box(&given))));
    }
    ranges.finish();
}

fn bike() -> Built {
    let fork = ForkShape { axle_to_crown: 395.0, offset: 45.0 };
    let frame = FrameShape::from_wheelbase(&Wheelbase {
        chainstay: 445.0,
        drop: 62.0,
        head_angle: 72.0,
        seat_angle: Some(72.5),
        head_length: 150.0,
        wheelbase: 1062.0,
        lower_stack: 14.0,
        fork,
        rear_radius: 348.0,
        front_radius: 348.0,
    });
    Built { frame: frame.unwrap(), fork, lower_stack: 14.0, front_radius: 343.0, rear_radius: 343.0 }
}

fn heavier(c: &mut Criterion) {
    let mut group = c.benchmark_group("computation");
    let (built, rider) = (bike(), climb::Rider::default());
    let stance: Stance = stand(&built).unwrap();
    group.bench_function("stand", |bench| bench.iter(|| stand(black_box(&built))));
    for (name, beyond_spindle) in [("clear", 60.0), ("touching", 130.0)] {
        let toe = fit::Toe {
            crank: 170.0,
            beyond_spindle,
            lateral: 90.0,
            tyre_radius: 343.0,
            tyre_width: 37.0,
            most_steering: 50.0,
        };
        group.bench_function(BenchmarkId::new("toe_clearance_steered", name), |bench| {
            bench.iter(|| fit::toe_clearance_steered(black_box(&stance), black_box(&toe)));
        });
    }
    group.bench_function("single_speed_fits", |bench| {
        bench.iter(|| chain::single_speed_fits(black_box(405.0), 48.0, 16.0, 10.0, 15.0));
    });
    for cogs in [8, 13, 50] {
        let (pulls, gaps) = (vec![2.8; cogs - 1], vec![4.75; cogs - 1]);
        group.bench_function(BenchmarkId::new("indexing", cogs), |bench| {
            bench.iter(|| indexing::indexing(black_box(&pulls), 1.7, black_box(&gaps), 0.7));
        });
    }
    let side = |offset: f64| Lacing {
        erd: 600.0,
        circle: 58.0,
        offset,
        holes: 36.0,
        crossings: 3.0,
        hole: 2.6,
        rim_offset: 0.0,
    };
    let (left, right) = (side(36.0), side(19.0));
    group.bench_function("tension_ratio", |bench| bench.iter(|| tension_ratio(black_box(&left), black_box(&right))));
    group.bench_function("speed_on_ms", |bench| bench.iter(|| climb::speed_on_ms(black_box(&rider), -0.04)));
    group.finish();
}

/// A thousand builds and more, in turns from the bikes of both demos: each with a rider, a load and places of its own.
fn many(builds: usize) -> Memory {
    let mut text = String::from("use \"heron.cotter\"\nuse \"curlew.cotter\"\n");
    let bikes = ["heron_as_bought", "heron_first_try", "heron_winter", "curlew_as_bought", "curlew_tourer"];
    for (i, bike) in (0..builds).zip(bikes.iter().cycle()) {
        let (rider, high, load) = (50 + i % 60, 640 + i % 170, i % 21);
        writeln!(
            text,
            "build b{i} from {bike} {{ rider = {rider} kg; saddle_height = {high} mm; rear_load = {load} kg }}"
        )
        .unwrap();
    }
    let mut memory = Memory::one("many.cotter", text);
    for folder in ["heron", "curlew"] {
        let files = std::fs::read_dir(format!("{}/specs/{folder}", env!("CARGO_MANIFEST_DIR"))).unwrap();
        for file in files.map(Result::unwrap) {
            let name = file.file_name().into_string().unwrap();
            assert!(memory.texts.insert(name, std::fs::read(file.path()).unwrap()).is_none(), "two files of one name");
        }
    }
    memory
}

fn sheets(c: &mut Criterion) {
    const BUILDS: usize = 1000;
    let memory = many(BUILDS);
    let compile = || cotter::compile(&memory, "many.cotter", "").expect("the text is in memory");
    let compiled = compile();
    let wrong: Vec<&str> =
        compiled.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let mut group = c.benchmark_group("1000 builds");
    group.sample_size(10).throughput(Throughput::Elements(BUILDS as u64));
    group.bench_function("compile", |bench| bench.iter(|| black_box(compile())));
    type Sheet = (
        &'static str,
        fn(&cotter::model::Model, cotter::model::BuildId) -> numbers::Page,
        fn(&[numbers::Page], Format) -> String,
    );
    let all: [Sheet; 6] = [
        ("gears", numbers::gears::page, numbers::gears::render),
        ("chain", numbers::chain::page, numbers::chain::render),
        ("indexing", numbers::indexing::page, numbers::indexing::render),
        ("wheels", numbers::wheels::page, numbers::wheels::render),
        ("geometry", numbers::geometry::page, numbers::geometry::render),
        ("braking", numbers::braking::page, numbers::braking::render),
    ];
    for (name, page, render) in all {
        let pages = || -> Vec<numbers::Page> {
            compiled.builds.iter().rev().take(BUILDS).map(|it| page(&compiled.model, it.build)).collect()
        };
        let rows: usize = pages().iter().flat_map(|it| &it.sections).map(|it| it.rows.len()).sum();
        assert!(rows >= BUILDS, "{name} has {rows} rows only");
        group.bench_function(BenchmarkId::new(name, "computed"), |bench| bench.iter(|| black_box(pages())));
        let pages = pages();
        for (format, kind) in [("text", Format::Text), ("json", Format::Json)] {
            group.bench_function(BenchmarkId::new(name, format), |bench| {
                bench.iter(|| black_box(render(&pages, kind)));
            });
        }
    }
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default();
    targets = functions, heavier, sheets
}
criterion_main!(benches);
