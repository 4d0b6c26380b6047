//! The report on a screen: how it looks, and what must hold of it whatever it shows.

use super::wire::everything;
use cotter::Compiled;
use cotter::diagnose::screen::{self, Look};
use cotter::source::Memory;
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::slice::from_ref;
use std::time::{Duration, Instant};

const PLAIN: Look = Look { color: false, width: 80 };

/// Compiles the first of these texts; the others are there to be used.
fn compiled(texts: &[(&str, &str)]) -> Compiled {
    let sources =
        Memory { texts: texts.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect() };
    cotter::compile(&sources, texts[0].0, "").unwrap()
}

/// What went in and what came out: what is hidden in a text is written as an escape, what steers a screen as `␛`.
fn shown(texts: &[(&str, &str)], look: Look) -> String {
    let hidden = |it: char| it.is_control() && it != '\n' || it == '\u{202e}' || it == '\u{2069}';
    let escaped = |text: &str| -> String {
        text.chars().map(|it| if hidden(it) { it.escape_unicode().to_string() } else { it.to_string() }).collect()
    };
    let mut out = String::new();
    for (name, text) in texts {
        out.push_str(&format!("───── {} ─────\n{}\n", escaped(name), escaped(text.trim_end())));
    }
    let report = screen::report(&[compiled(texts)], None, look);
    if !look.color {
        check("a snapshot", &report);
    }
    format!("{out}───── {} columns ─────\n{}", look.width, report.replace('\u{1b}', "␛"))
}

const CARD: &str = r#"use "bin.cotter"

assembly pair {
  slot frame : frame; slot rear.hub : hub
  join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear)
}

part old_frame : frame "lugged frame" {
  material     = steel
  rear.dropout = open(126 mm)
}

build summer : pair { frame = old_frame; rear.hub = wide_hub }
"#;
const BIN: &str = "part wide_hub : hub \"from the shelf\" {\n  axle = qr(135 mm)\n}\n";
const CLASH: &[(&str, &str)] = &[("card.cotter", CARD), ("bin.cotter", BIN)];

/// The card's assembly with other parts.
fn card(parts: &str) -> String {
    let (_, rest) = CARD.split_once("\n\n").unwrap();
    let (assembly, _) = rest.split_once("\n\n").unwrap();
    format!("{assembly}\n\n{parts}")
}

#[test]
fn a_clash_over_two_files() {
    insta::assert_snapshot!(shown(CLASH, PLAIN));
}

#[test]
fn a_clash_on_a_narrow_screen() {
    insta::assert_snapshot!(shown(CLASH, Look { width: 40, ..PLAIN }));
}

#[test]
fn a_clash_on_a_wide_screen() {
    insta::assert_snapshot!(shown(CLASH, Look { width: 140, ..PLAIN }));
}

#[test]
fn a_clash_in_colour() {
    insta::assert_snapshot!(shown(CLASH, Look { color: true, ..PLAIN }));
}

#[test]
fn mistakes_with_ways_out() {
    let text =
        "part f : frame {\n  material = steal\n  rear.dropuot = open(126 mm)\n}\npart h : hub { axle = qr(1350 mm) }\n";
    insta::assert_snapshot!(shown(&[("slips.cotter", text)], PLAIN));
}

#[test]
fn an_open_joint() {
    let text = card(
        "part f : frame { material = ?; rear.dropout = open(~128 mm) }\npart h : hub { axle = qr(130 mm) }\nbuild b : pair { frame = f; rear.hub = h }\n\nbuild c from b { rear.hub = ? }\n",
    );
    insta::assert_snapshot!(shown(&[("open.cotter", &text)], PLAIN));
}

#[test]
fn a_hostile_spec() {
    let text = "part f : frame \"\u{1b}[2J\u{1b}]0;gone\u{7}\u{202e}sdrawkcab\u{2069}\" {\r\n\tmaterial\t= \"\u{1b}[31msteel\"\t# \u{202e}tab\r\n\trear.gap\t=\t46 g # 名前 é e\u{301} 👼🏼\r\n}\r\npart 名前 : frame { material = 名前; rear.gap = 46 g }\r\n";
    insta::assert_snapshot!(shown(&[("e\u{1b}vil\u{202e}.cotter", text)], PLAIN));
}

#[test]
fn a_long_line_is_cut_round_its_marks() {
    let text = card(
        "part f : frame \"a card that was written on one line, as some people like to do, with all that is known of it\" { material = steel; rear.dropout = open(126 mm); rear.gap = 46 mm ± 1 mm; head.length = 135 mm } # measured in spring\npart h : hub { axle = qr(135 mm) }\nbuild b : pair { frame = f; rear.hub = h }\n",
    );
    insta::assert_snapshot!(shown(&[("long.cotter", &text)], PLAIN));
}

#[test]
fn a_build_that_comes_from_another_does_not_repeat_it() {
    let text = format!(
        "{CARD}\nbuild winter from summer {{ }}\nbuild spring from summer {{ rear.hub = narrow_hub }}\npart narrow_hub : hub {{ axle = qr(126 mm) }}\n"
    );
    let texts: &[(&str, &str)] = &[("card.cotter", &text), ("bin.cotter", BIN)];
    let report = screen::report(&[compiled(texts)], None, PLAIN);
    assert_eq!(report.matches("clash[axle.spacing]").count(), 1, "{report}");
    assert!(report.contains("  builds summer, winter, joint axle\n"), "{report}");
    let end = "\nbuild   joints  fit  clash  open  advice\nsummer       1    0      1     0       1\nwinter       1    0      1     0       1\nspring       1    1      0     0       1\n";
    assert!(report.ends_with(end), "{report}");
    let only = screen::report(&[compiled(texts)], Some("winter"), PLAIN);
    assert!(
        only.contains("  build winter, joint axle\n")
            && only.ends_with("\nwinter: its only joint clashes; 1 piece of advice\n"),
        "{only}"
    );
    let fits = screen::report(&[compiled(texts)], Some("spring"), PLAIN);
    assert!(fits.ends_with("\nspring: its only joint fits; 1 piece of advice\n"), "{fits}");
}

#[test]
fn what_is_not_there_is_pointed_at_in_its_build() {
    let text = "assembly pair { slot a? : brake; slot b? : brake; slot r : hub; slot f : hub\n  join brakes = two_brakes(front_brake = a, rear_brake = b, front_hub = f, rear_hub = r) }\npart h : hub { axle = qr(135 mm) }\nbuild one : pair { r = h; f = h }\nbuild two from one { }\n";
    let compiled = compiled(&[("none.cotter", text)]);
    let found: Vec<&cotter::diagnose::Diagnostic> =
        compiled.diagnostics.iter().filter(|it| it.build.is_some()).collect();
    for it in &found {
        assert!(!it.labels.is_empty(), "{it:?}");
    }
    let report = screen::report(&[compiled], None, PLAIN);
    println!("{report}");
    assert!(report.contains("in this build"), "{report}");
    assert!(report.contains("builds one, two, joint brakes"), "{report}");
}

#[test]
fn a_spec_without_a_build_says_how_to_write_one() {
    insta::assert_snapshot!(shown(&[("parts.cotter", "part old_frame : frame { material = steel }\n")], PLAIN));
}

#[test]
fn every_label_lies_in_its_file() {
    let mut labels = 0;
    for (name, unit) in everything() {
        for diagnostic in &unit.diagnostics {
            for span in diagnostic.labels.iter().map(|it| it.span).chain(diagnostic.edits.iter().map(|it| it.span)) {
                let file = unit.files.get(span.file).unwrap_or_else(|| panic!("{name}: {diagnostic:?}"));
                let (start, end) = (span.start as usize, span.end as usize);
                assert!(start <= end && end <= file.text.len(), "{name}: {diagnostic:?}");
                assert!(file.text.is_char_boundary(start) && file.text.is_char_boundary(end), "{name}: {diagnostic:?}");
                labels += 1;
            }
        }
    }
    assert!(labels > 1000, "{labels} labels are too few to show it");
}

/// What must hold of any report without colour.
fn check(name: &str, report: &str) {
    assert!(!report.contains("Failed to read"), "{name}: {report}");
    let steers = |it: char| {
        it != '\n' && it.is_control()
            || matches!(it, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    assert!(!report.contains(steers), "{name}: {report:?}");
    assert!(report.ends_with('\n') && !report.contains('\u{a0}'), "{name}: {report:?}");
}

/// Without colours: `ESC [ … m` taken out.
fn uncoloured(text: &str) -> String {
    let mut pieces = text.split("\u{1b}[");
    let mut out = pieces.next().unwrap_or("").to_owned();
    for piece in pieces {
        out.push_str(piece.split_once('m').map_or(piece, |(_, rest)| rest));
    }
    out
}

#[test]
fn no_report_steers_a_terminal_or_leaves_the_screen() {
    for (name, unit) in everything() {
        for width in [40, 80, 140] {
            let report = screen::report(from_ref(unit), None, Look { color: false, width });
            check(name, &report);
            if width < 80 {
                continue;
            }
            // A path is never broken, and a table is as wide as it is.
            let table = report.lines().position(|line| line.starts_with("build ")).unwrap_or(usize::MAX);
            for line in report.lines().take(table).filter(|line| !line.contains("╭─[")) {
                assert!(columns(line) <= width, "{name}: {line}");
            }
        }
    }
}

#[test]
fn colour_changes_nothing_else() {
    for (name, unit) in everything().iter().step_by(4) {
        let colored = screen::report(from_ref(unit), None, Look { color: true, ..PLAIN });
        // Where nothing is wrong there is nothing to colour.
        assert!(colored.contains("\u{1b}[") || unit.diagnostics.is_empty(), "{name}");
        assert_eq!(uncoloured(&colored), screen::report(from_ref(unit), None, PLAIN), "{name}");
    }
}

fn columns(text: &str) -> usize {
    text.chars().map(column).sum()
}

fn column(it: char) -> usize {
    match it {
        '\u{300}'..='\u{36f}' | '\u{1f3fb}'..='\u{1f3ff}' => 0,
        '\u{1100}'..='\u{115f}'
        | '\u{2e80}'..='\u{a4cf}'
        | '\u{ac00}'..='\u{d7a3}'
        | '\u{ff00}'..='\u{ff60}'
        | '\u{1f300}'..='\u{1faff}' => 2,
        _ => 1,
    }
}

/// The words that a report underlines, with the file and line they stand in, read off the picture.
fn underlined(report: &str) -> BTreeSet<(String, usize, String)> {
    let mut found = BTreeSet::new();
    let (mut file, mut line, mut text) = (String::new(), 0, String::new());
    for row in report.lines() {
        if let Some((_, name)) = row.split_once("╭─[") {
            file = name.trim_end_matches(']').rsplitn(3, ':').nth(2).unwrap_or("").to_owned();
            continue;
        }
        let digits = row.trim_start().chars().take_while(char::is_ascii_digit).count();
        if digits > 0
            && let Some((number, rest)) = row.split_once(" │ ")
        {
            (line, text) = (number.trim().parse().unwrap(), rest.to_owned());
            continue;
        }
        let Some((before, marks)) = row.split_once("· ") else { continue };
        if !before.trim().is_empty()
            || !marks.trim_start().starts_with(['─', '┬'])
            || marks.contains(char::is_alphanumeric)
        {
            continue;
        }
        // Columns of the marks that are strokes, in runs.
        let marks: Vec<char> = marks.chars().collect();
        let mut run = String::new();
        let mut at = 0;
        for it in text.chars().chain([' ']) {
            let under = marks.get(at).is_some_and(|mark| *mark == '─' || *mark == '┬');
            if under {
                run.push(it);
            } else if !run.is_empty() {
                found.insert((file.clone(), line, std::mem::take(&mut run)));
            }
            at += column(it);
        }
        if !run.is_empty() {
            found.insert((file.clone(), line, run));
        }
    }
    found
}

#[test]
fn what_is_underlined_is_what_is_meant() {
    let mut compared = 0;
    for (name, unit) in everything() {
        let mut meant = BTreeSet::new();
        // Joints that wait for parts not chosen yet are told together, without their places.
        for label in unit.diagnostics.iter().filter(|it| it.waits.is_none()).flat_map(|it| &it.labels) {
            let file = unit.files.get(label.span.file).unwrap();
            let line = file.lines().place(&file.text, label.span.start as usize).line;
            let words = unit.files.text(label.span).split(['\n', '\r']).next().unwrap_or("").to_owned();
            // An empty stretch has an arrow, and what is hidden is shown as something else.
            if !words.is_empty() && !words.contains(|it: char| it.is_control() || it == '\u{202e}') {
                meant.insert((file.name.clone(), line, words));
            }
        }
        let report = screen::report(from_ref(unit), None, Look { color: false, width: 400 });
        let mut found = underlined(&report);
        found.retain(|(_, _, words)| !words.contains(['�', '␛', '␀']));
        assert_eq!(found, meant, "{name}");
        compared += meant.len();
    }
    assert!(compared > 500, "{compared} are too few to show it");
}

#[test]
fn long_texts_are_shown_in_no_time() {
    let started = Instant::now();
    // The longest line that is read, with a slip at its end; and one that is not read at all.
    let long = format!("part f : frame \"{}\" {{ material = steal }}\n", "x".repeat(3950));
    let longer = format!("part f : frame \"{}\" {{ material = steal }}\n", "名".repeat(100_000));
    for text in [&long, &longer] {
        for width in [20, 80, 140] {
            let report = screen::report(&[compiled(&[("long.cotter", text)])], None, Look { color: false, width });
            check("a long line", &report);
            assert!(report.lines().all(|line| columns(line) <= width.max(80)), "{report}");
        }
    }
    // Ten thousand lines with a slip on each.
    let many: String = (0..10_000).map(|at| format!("part p{at} : hub {{ axle = qr({at} g) }}\n")).collect();
    let unit = [compiled(&[("many.cotter", &many)])];
    assert!(unit[0].diagnostics.len() >= 10_000);
    let parsed = Instant::now();
    let report = screen::report(&unit, None, PLAIN);
    check("a long file", &report);
    assert_eq!(report.matches("mistake[").count(), 10_000);
    assert!(report.contains("╭─[many.cotter:9999:"), "the last slip has its own line number");
    // Drawing one after the other scans no text twice; a scan from the beginning for each would take minutes.
    assert!(parsed.elapsed() < Duration::from_secs(30), "{:?}", parsed.elapsed());
    println!("{:?} in all, {:?} of it drawing", started.elapsed(), parsed.elapsed());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_shown_without_harm(text in hostile(), name in "[a-z\u{1b}\u{202e}\u{7}]{1,8}", width in 0usize..200) {
        let units = [compiled(&[(&name, &text)])];
        let report = screen::report(&units, None, Look { color: false, width });
        check("any text", &report);
        prop_assert_eq!(uncoloured(&screen::report(&units, None, Look { color: true, width })), report);
    }
}

/// Lines of specs with all that a file may hold strewn in.
fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("part f : frame { material = steal }".to_owned()),
        Just("part h : hub {\n  axle = qr(1350 mm)".to_owned()),
        Just("build b : bicycle { frame = f; wheel = h }".to_owned()),
        Just("rear.gap = 46 g".to_owned()),
        Just("}".to_owned()),
        Just("\u{1b}[2J\u{7}\u{0}\u{9b}".to_owned()),
        Just("\u{202e}\u{2066}\u{200f}".to_owned()),
        Just("名前é\u{301}👼🏼\u{feff}".to_owned()),
        Just("\t\r\u{b}\u{c}\u{85}\u{2028}".to_owned()),
        "\\PC{0,12}",
        any::<String>(),
        Just("x".repeat(400)),
    ];
    let end = prop_oneof![Just("\n"), Just("\r\n"), Just("\r"), Just(" "), Just("")];
    prop::collection::vec((piece, end), 0..12)
        .prop_map(|pieces| pieces.into_iter().map(|(piece, end)| format!("{piece}{end}")).collect())
}
