//! Prepares the embedded library: its texts, their trees, and all that they declare, named and typed, so that a start of
//! the program neither parses nor checks any of it.
//!
//! The rooms that turn text into a tree are compiled into this script as they stand in `src/`.

#![allow(dead_code, unused_imports)]
// A build that can't be made should stop, with a word why.
#![allow(clippy::expect_used)]

#[path = "src/calc/mod.rs"]
mod calc;
#[path = "src/mistake/mod.rs"]
mod mistake;
#[path = "src/model/mod.rs"]
mod model;
#[path = "src/quantity/mod.rs"]
mod quantity;
#[path = "src/source/mod.rs"]
mod source;
#[path = "src/syntax/mod.rs"]
mod syntax;

use std::fmt::Write as _;
use std::path::Path;

fn main() {
    println!("cargo::rerun-if-changed=specs/library");
    println!("cargo::rerun-if-changed=grammar/cotter.pest");
    for room in ["calc", "mistake", "model", "quantity", "source", "syntax"] {
        println!("cargo::rerun-if-changed=src/{room}");
    }
    let mut names: Vec<String> = std::fs::read_dir("specs/library")
        .expect("specs/library is there")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".cotter"))
        .collect();
    names.sort();
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR");
    let root = std::env::current_dir().expect("there is a current folder");
    let mut list = String::from("&[\n");
    let mut trees = Vec::new();
    for (number, name) in (0u32..).zip(&names) {
        let path = root.join("specs/library").join(name);
        let text = std::fs::read_to_string(&path).expect("a library file is readable");
        let parsed = syntax::parse(source::FileId(number), &text);
        trees.push((parsed.tree, parsed.mistakes));
        writeln!(list, "    ({name:?}, include_str!({path:?})),").expect("writing to a string");
    }
    list.push(']');
    std::fs::write(Path::new(&out).join("library_texts.rs"), list).expect("OUT_DIR is writable");
    // Most specs only need what the library declares; those that declare something themselves need its trees.
    let (base, mistakes) = model::base(&trees.iter().map(|(tree, _)| tree).collect::<Vec<_>>());
    let in_text = trees.iter().flat_map(|(_, mistakes)| mistakes.clone());
    let all: Vec<mistake::Mistake> = in_text.chain(mistakes).collect();
    // Most of it is prose that few starts need.
    let (base, apart) = model::written(&*base).expect("what was parsed can be written");
    let prepared = [
        ("library_base.bin", Ok(base)),
        ("library_apart.bin", Ok(apart)),
        ("library_trees.bin", postcard::to_stdvec(&trees.iter().map(|(tree, _)| tree).collect::<Vec<_>>())),
        ("library_mistakes.bin", postcard::to_stdvec(&all)),
    ];
    for (name, bytes) in prepared {
        let bytes = bytes.expect("what was parsed can be written");
        std::fs::write(Path::new(&out).join(name), bytes).expect("OUT_DIR is writable");
    }
}
