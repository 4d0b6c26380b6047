//! The canonical layout: it says the same, settles at once, keeps every comment and leaves what is broken alone.

use super::robust::{Dice, mutated};
use cotter::format::{first_difference, format, same};
use std::path::{Path, PathBuf};

fn texts() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    let mut open = vec![root.join("specs"), root.join("tests")];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|it| it == "cotter") {
                found.extend(std::fs::read(&path).ok().and_then(|it| String::from_utf8(it).ok()).map(|it| (path, it)));
            }
        }
    }
    found.sort();
    assert!(found.len() > 80, "{}", found.len());
    found
}

/// What must hold of any text.
fn faults(text: &str) -> Vec<String> {
    let once = format(text);
    let mut faults = Vec::new();
    if !same(text, &once) {
        faults.push("it does not say the same".to_owned());
    }
    let twice = format(&once);
    if let Some(line) = first_difference(&once, &twice) {
        let line = |text: &str| text.split('\n').nth(line - 1).unwrap_or("").to_owned();
        faults.push(format!("it does not settle:\n{}\n{}", line(&once), line(&twice)));
    }
    faults
}

#[test]
fn every_text_says_the_same_and_settles_at_once() {
    let mut found = Vec::new();
    for (path, text) in texts() {
        found.extend(faults(&text).into_iter().map(|it| format!("{}: {it}", path.display())));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn mutated_texts_say_the_same_and_settle_at_once() {
    let most: usize = std::env::var("COTTER_MUTATIONS").ok().and_then(|it| it.parse().ok()).unwrap_or(300);
    let texts = texts();
    let mut dice = Dice(0x5eed_f0a7);
    for _ in 0..most {
        let text = mutated(&texts[dice.roll(texts.len())].1, &mut dice);
        let found = faults(&text);
        if !found.is_empty() {
            let kept = Path::new(env!("CARGO_TARGET_TMPDIR")).join("unsettled.cotter");
            std::fs::write(&kept, &text).unwrap();
            panic!("{}: {}", kept.display(), found.join("\n"));
        }
    }
}

#[test]
fn the_specs_stand_in_the_canonical_layout() {
    for (path, text) in texts().into_iter().filter(|(path, _)| !path.to_string_lossy().contains("/tests/")) {
        let line = first_difference(&text, &format(&text));
        assert_eq!(line, None, "{}: `cotter fmt` would change this line", path.display());
    }
}

const ROUGH: &str = r#"

# a bike


use   "bin.cotter"   # the shelf
use "to_buy.cotter"  # still to come
part  frame_a:frame"a frame"{
source=donor
   rear.gap=46mm±1mm# with the rule
  # told by the seller
 head.upper   =  ec( 34 mm )


 rear.dropout = open(126 mm,
   slot = 10 mm)
 hanger=?      # caked


}
part a : ring { teeth = 48; source = donor }
part bee : ring "bee" { teeth = 8; source = donor }
build b from a "again"
  "and again" # so
{ frame = frame_a; fork = ? # later
  remove x,y.z }
joint j "a joint" { takes axle : hub_axle
takes seat? : axle_seat
 let a = axle.spacing-seat.spacing + 3 mm
  let longer = if a > 3 mm then "a long piece of text that fills the line" else if a > 2 mm then "another long piece of text" else "short"
 require a.b "title" { that a <= 3 mm or # why not
    longer == "x"
   else "no"
  source practice
 }
 fasten nuts "nuts" { torque 3 N·m..5 N·m
  turn left } }
"#;

#[test]
fn a_rough_text_becomes_a_smooth_one() {
    insta::assert_snapshot!(format!("{ROUGH}\n───── becomes ─────\n{}", format(ROUGH)));
}

#[test]
fn what_is_broken_stays_byte_for_byte() {
    let broken = "  part  b:frame   {\n x = = 3   \n\ty=4\n }   # end";
    let text = format!("part a:frame{{x=3}}\n\n\n{broken}\npart   c : frame {{ }}\n");
    let out = format(&text);
    assert_eq!(out, format!("part a : frame {{ x = 3 }}\n\n{broken}\npart c : frame {{}}\n"));
    // What shares a line with a broken item stays with it.
    let text = "part a:frame{x=3} part b : frame { x = = }\npart  c:frame{x=1}\n";
    assert_eq!(format(text), "part a:frame{x=3} part b : frame { x = = }\npart c : frame { x = 1 }\n");
    assert_eq!(format("part a : b {\n x=1\n"), "part a : b {\n x=1\n", "no closing brace");
    let deep = format!("part a:b{{x=[{}1{}]}}\n", "[".repeat(80), "]".repeat(80));
    assert_eq!(format(&deep), deep);
}

#[test]
fn line_ends_and_the_mark_at_the_beginning_are_kept() {
    for end in ["\n", "\r\n", "\r"] {
        let text = ["\u{feff}part a:b{", "x=1 # one", "", "", "yy=2", "}"].join(end);
        let wanted = ["\u{feff}part a : b {", "  x  = 1  # one", "", "  yy = 2", "}", ""].join(end);
        assert_eq!(format(&text), wanted);
    }
    assert_eq!(format(""), "");
    assert_eq!(format("# only"), "# only\n");
}

#[test]
fn numbers_and_marks_stay_as_they_are_written() {
    let text = "part a : b {\n  x = 1 1/8 in +- 0.50 mm\n  y = 47-584\n  z = −6 deg … 7.0 deg\n  w = ≈5 g\n}\n";
    assert_eq!(format(text), text);
}
