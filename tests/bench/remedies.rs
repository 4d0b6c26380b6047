//! What remedies cost: a clashing build beside a shelf of thousands of parts.

#![allow(missing_docs, clippy::expect_used, clippy::unwrap_used, clippy::indexing_slicing)]

use cotter::source::Memory;
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;

/// A kind of part on the price list: how its columns `size` and `second` are read, and what stands in them.
type Listed = (&'static str, &'static str, fn(usize) -> (String, String));

const LIST: [Listed; 16] = [
    (
        "hub",
        "axle = qr(column \"size\" mm, stub = 9.5 mm); driver = hg(35 mm); rotor_mount = none; holes = column \"second\"",
        |i| ((110 + i % 40).to_string(), (28 + i % 3 * 4).to_string()),
    ),
    ("tyre", "size = column \"size\"; bead = wire; hookless = false; pressure = 3 bar .. 6 bar", |i| {
        (format!("{}-622", 23 + i % 40), String::new())
    }),
    (
        "seatpost",
        "diameter = column \"size\" mm; mark = 65 mm; inserted = 110 mm; material = aluminium; head = round; head_bolts = 2",
        |i| ((25 + i % 8).to_string(), String::new()),
    ),
    ("chainring", "mount = column \"size\"; teeth = column \"second\"", |i| {
        (format!("5x{}", [74, 94, 110, 130][i % 4]), (28 + i % 24).to_string())
    }),
    ("cassette", "mount = hg(35 mm); cogs = column \"size\"; pitch = 4.8 mm", |i| {
        (format!("11-13-15-17-20-23-26-{}", 28 + i % 8), String::new())
    }),
    ("chain", "speeds = column \"size\"", |i| ((6 + i % 7).to_string(), String::new())),
    ("shifter", "clamp = flat_band; output = cable(pull = column \"size\" mm, clicks = column \"second\")", |i| {
        (format!("2,{}", i % 10), (5 + i % 6).to_string())
    }),
    ("brake_cable", "nipple = column \"size\"; outer = spiral", |i| {
        (["barrel", "pear"][i % 2].to_owned(), String::new())
    }),
    ("lever", "clamp = flat_band; brake_output = cable(column \"size\"); nipple = barrel; brake_hand = left", |i| {
        (["short", "long"][i % 2].to_owned(), String::new())
    }),
    ("brake", "foot = boss_arms(travel = column \"second\" mm); input = cable(column \"size\")", |i| {
        (["short", "long"][i % 2].to_owned(), (5 + i % 6).to_string())
    }),
    ("rack", "legs = bolted; rated = column \"size\" kg", |i| ((8 + i % 40).to_string(), String::new())),
    ("mudguard", "stays = bolted; width = column \"size\" mm; wheel = 622 mm .. 622 mm", |i| {
        ((35 + i % 40).to_string(), String::new())
    }),
    ("pedals", "thread = column \"size\"", |i| (["inch_9_16", "m14"][i % 2].to_owned(), String::new())),
    ("lamp", "supply = ac(watts = column \"size\" W)", |i| ((1 + i % 4).to_string(), String::new())),
    (
        "stem",
        "mount = quill(7/8 in, mark = 65 mm, inserted = column \"size\" mm); bar_clamp = 25.4 mm; face_bolts = 1; face_bolt = 6 mm",
        |i| ((60 + i % 40).to_string(), String::new()),
    ),
    (
        "front_derailleur",
        "mount = band(column \"size\" mm); input = front_cable; cable_from = below; capacity = 22; ring.largest = 50; rings = 3",
        |i| (["28,6", "31,8", "34,9"][i % 3].to_owned(), String::new()),
    ),
];

/// The demo beside a price list of so many parts: those of each slot that clashes, with other measures. A tenth of them
/// lie on the shelf instead, written as parts.
fn sources(parts: usize) -> Memory {
    let read = |name: &str| {
        let path = format!("{}/specs/heron/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(path).expect("the demo is there")
    };
    let (mut list, mut stocks) = ("kind;article;price;size;second\n".to_owned(), String::new());
    let how = "separator = \";\"; decimal = comma; name = column \"article\"; price = column \"price\" EUR; ";
    for (number, (kind, body, _)) in LIST.iter().enumerate() {
        let how = if number == 0 { how } else { "" };
        writeln!(stocks, "stock list : {kind} \"list.csv\" {{ rows = column \"kind\" is \"{kind}\"; {how}{body} }}")
            .unwrap();
    }
    let mut shelf = String::new();
    for i in 0..parts {
        let (kind, body, cells) = LIST[i % LIST.len()];
        let (size, second) = cells(i / LIST.len());
        if i % 10 == 9 {
            let body = body.replace("column \"size\"", &size.replace(',', ".")).replace("column \"second\"", &second);
            writeln!(shelf, "part shelved_{i} : {kind} {{ source = bin; {body} }}").unwrap();
        } else {
            writeln!(list, "{kind};article {i};{},{:02};{size};{second}", 5 + i % 90, i % 100).unwrap();
        }
    }
    let mut memory = Memory::one("heron.cotter", format!("{}\nuse \"stock.cotter\"\n", read("heron.cotter")));
    for name in ["donor.cotter", "bin.cotter", "to_buy.cotter", "shop.cotter", "shop.csv"] {
        memory.texts.insert(name.to_owned(), read(name).into());
    }
    memory.texts.insert("stock.cotter".to_owned(), format!("{stocks}{shelf}").into());
    memory.texts.insert("list.csv".to_owned(), list.into());
    memory
}

fn remedies(c: &mut Criterion) {
    let mut group = c.benchmark_group("clashing demo with remedies, parts on the shelf");
    group.sample_size(20);
    for parts in [100, 1000, 5000] {
        let sources = sources(parts);
        let compiled = cotter::compile(&sources, "heron.cotter", "").expect("the text is in memory");
        let mistakes = compiled.diagnostics.iter().filter(|it| it.build.is_none()).count();
        assert_eq!(
            mistakes,
            0,
            "the list or the shelf has mistakes: {:?}",
            compiled.diagnostics.first().map(|it| &it.message)
        );
        assert!(compiled.model.parts.len() >= parts, "every row is a part");
        group.bench_with_input(BenchmarkId::from_parameter(parts), &sources, |bench, sources| {
            bench.iter(|| black_box(cotter::compile(sources, "heron.cotter", "").expect("the text is in memory")));
        });
    }
    group.finish();
}

criterion_group!(benches, remedies);
criterion_main!(benches);
