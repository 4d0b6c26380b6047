//! Prepares the embedded library: its texts, and their trees parsed ahead, so that a start of the program parses none of it.
//!
//! The rooms that turn text into a tree are compiled into this script as they stand in `src/`.

#![allow(dead_code, unused_imports)]
// A build that can't be made should stop, with a word why.
#![allow(clippy::expect_used)]

#[path = "src/mistake/mod.rs"]
mod mistake;
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
    for room in ["mistake", "quantity", "source", "syntax"] {
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
    let bytes = postcard::to_stdvec(&trees).expect("a tree can be written");
    std::fs::write(Path::new(&out).join("library_trees.bin"), bytes).expect("OUT_DIR is writable");
}
