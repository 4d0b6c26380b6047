//! What remedies cost: a clashing build beside a shelf of thousands of parts.

#![allow(missing_docs, clippy::expect_used, clippy::unwrap_used, clippy::indexing_slicing)]

use cotter::source::Memory;
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;

/// The demo, with so many more parts on its shelf: those of each slot that clashes, with other measures.
fn sources(parts: usize) -> Memory {
    let read = |name: &str| {
        let path = format!("{}/specs/heron/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).expect("the demo is there")
    };
    let mut shelf = String::new();
    for i in 0..parts {
        let (mm, price) = (i / 16 % 40, 5 + i % 90);
        let one = match i % 16 {
            0 => format!(
                "hub {{ axle = qr({} mm, stub = 9.5 mm); driver = hg(35 mm); rotor_mount = none; holes = {}",
                110 + mm,
                28 + i / 16 % 3 * 4
            ),
            1 => format!("tyre {{ size = {}-622; bead = wire; hookless = false; pressure = 3 bar .. 6 bar", 23 + mm),
            2 => format!(
                "seatpost {{ diameter = {} mm; mark = 65 mm; inserted = 110 mm; material = aluminium; head = round; head_bolts = 2",
                25 + mm % 8
            ),
            3 => format!("chainring {{ mount = 5x{}; teeth = {}", [74, 94, 110, 130][i / 16 % 4], 28 + mm % 24),
            4 => format!("cassette {{ mount = hg(35 mm); cogs = 11-13-15-17-20-23-26-{}; pitch = 4.8 mm", 28 + mm % 8),
            5 => format!("chain {{ speeds = {}", 6 + i / 16 % 7),
            6 => format!(
                "shifter {{ clamp = flat_band; output = cable(pull = 2.{} mm, clicks = {})",
                i / 16 % 10,
                5 + i / 16 % 6
            ),
            7 => format!("brake_cable {{ nipple = {}; outer = spiral", ["barrel", "pear"][i / 16 % 2]),
            8 => format!(
                "lever {{ clamp = flat_band; brake_output = cable({}); nipple = barrel; brake_hand = left",
                ["short", "long"][i / 16 % 2]
            ),
            9 => format!(
                "brake {{ foot = boss_arms(travel = {} mm); input = cable({})",
                5 + mm % 6,
                ["short", "long"][i / 16 % 2]
            ),
            10 => format!("rack {{ legs = bolted; rated = {} kg", 8 + mm),
            11 => format!("mudguard {{ stays = bolted; width = {} mm; wheel = 622 mm .. 622 mm", 35 + mm),
            12 => format!("pedals {{ thread = {}", ["inch_9_16", "m14"][i / 16 % 2]),
            13 => format!("lamp {{ supply = ac(watts = {} W)", 1 + mm % 4),
            14 => format!(
                "stem {{ mount = quill(7/8 in, mark = 65 mm, inserted = {} mm); bar_clamp = 25.4 mm; face_bolts = 1; face_bolt = 6 mm",
                60 + mm
            ),
            _ => format!(
                "front_derailleur {{ mount = band({} mm); input = front_cable; cable_from = below; capacity = 22; ring.largest = 50; rings = 3",
                [28.6, 31.8, 34.9][i / 16 % 3]
            ),
        };
        writeln!(
            shelf,
            "part stock_{i} : {} source = buy; price = {price} EUR }}",
            one.replacen('{', "\"from the list\" {", 1) + ";"
        )
        .unwrap();
    }
    let mut memory = Memory::one("heron.cotter", format!("{}\nuse \"stock.cotter\"\n", read("heron.cotter")));
    for name in ["donor.cotter", "bin.cotter", "to_buy.cotter", "shop.cotter", "shop.csv"] {
        memory.texts.insert(name.to_owned(), read(name).into());
    }
    memory.texts.insert("stock.cotter".to_owned(), shelf.into());
    memory
}

fn remedies(c: &mut Criterion) {
    let mut group = c.benchmark_group("clashing demo with remedies, parts on the shelf");
    group.sample_size(20);
    for parts in [0, 1000, 5000] {
        let sources = sources(parts);
        let compiled = cotter::compile(&sources, "heron.cotter", "").expect("the text is in memory");
        let mistakes = compiled.diagnostics.iter().filter(|it| it.build.is_none()).count();
        assert_eq!(mistakes, 0, "the shelf has mistakes");
        group.bench_with_input(BenchmarkId::from_parameter(parts), &sources, |bench, sources| {
            bench.iter(|| black_box(cotter::compile(sources, "heron.cotter", "").expect("the text is in memory")));
        });
    }
    group.finish();
}

criterion_group!(benches, remedies);
criterion_main!(benches);
