//! Readings written back: what is changed, and that nothing else is.

use super::{Dice, Spec};
use cotter::Compiled;
use cotter::editing::{self, Setting, Texts};
use cotter::model::{DeclaredId, Model, Type, Value, Valued};
use cotter::quantity::{show, shown_in};
use cotter::source::{Content, File, Files};
use std::path::Path;
use std::process::{Command, Output};

/// A spec of one file.
fn one(text: &str) -> Spec {
    Spec::of(&[("a.cotter", text)])
}

/// What a setting makes of a text.
fn set(text: &str, setting: &str) -> String {
    one(text).after(&[setting])
}

const POST: &str = "part p : seatpost \"a post\" {\n  diameter = 27.2 mm   # stamped\n  mark     = ~75 mm ## a guess\n  inserted = ?\n}\n";

#[test]
fn only_the_value_is_changed() {
    assert_eq!(set(POST, "p.diameter=26.8 mm"), POST.replace("27.2 mm", "26.8 mm"));
    assert_eq!(set(POST, "p.mark=70 mm"), POST.replace("~75 mm", "70 mm"));
    assert_eq!(set(POST, "p.mark=~70 mm"), POST.replace("~75 mm", "~70 mm"));
    assert_eq!(set(POST, "p.inserted=100 mm ± 2 mm"), POST.replace("?", "100 mm ± 2 mm"));
    assert_eq!(set(POST, "p.mark=?"), POST.replace("~75 mm", "?"));
    assert_eq!(set(POST, " p.mark = 2 3/4 in "), POST.replace("~75 mm", "2 3/4 in"));
}

#[test]
fn a_tolerance_stays_unless_another_is_typed() {
    let text = |gap: &str| format!("part f : frame {{ rear.gap = {gap} # rule\n}}\n");
    for (old, typed, new) in [
        ("46 mm ± 1 mm", "44.5 mm", "44.5 mm ± 1 mm"),
        ("46 mm  +-  1 mm", "44.5 mm", "44.5 mm  +-  1 mm"),
        ("46 ± 1 mm", "4.45 cm", "4.45 cm ± 1 mm"),
        ("46 mm ± 1", "4.45 cm", "4.45 cm ± 1 mm"),
        ("46 mm ± 1 mm", "44.5 mm ± 0.5 mm", "44.5 mm ± 0.5 mm"),
        ("46 mm ± 1 mm", "44 mm .. 45 mm", "44 mm .. 45 mm"),
        ("46 mm ± 1 mm", "~44 mm", "~44 mm"),
        ("46 mm ± 1 mm", "?", "?"),
        ("44 mm .. 48 mm", "45 mm", "45 mm"),
    ] {
        assert_eq!(set(&text(old), &format!("f.rear.gap={typed}")), text(new), "{old}");
    }
}

#[test]
fn fields_of_a_written_standard() {
    let text =
        |value: &str| format!("part f : frame {{\n  rear.dropout = {value}  # looked at\n  material = steel\n}}\n");
    for (old, setting, new) in [
        ("open(~126 mm)", "spacing=128 mm", "open(128 mm)"),
        (
            "open( spacing = 126 mm ± 1 mm, slot = 10 mm )",
            "spacing=128 mm",
            "open( spacing = 128 mm ± 1 mm, slot = 10 mm )",
        ),
        ("open(126 mm, slot = ?)", "slot=9.8 mm", "open(126 mm, slot = 9.8 mm)"),
        ("open(126 mm)", "slot=9.8 mm", "open(126 mm, slot = 9.8 mm)"),
        ("open", "spacing=126 mm", "open(spacing = 126 mm)"),
        ("open()", "spacing=126 mm", "open(spacing = 126 mm)"),
        ("open(\n    126 mm # in the vice\n  )", "slot=9.8 mm", "open(\n    126 mm, slot = 9.8 mm # in the vice\n  )"),
    ] {
        assert_eq!(set(&text(old), &format!("f.rear.dropout.{setting}")), text(new), "{old}");
    }
}

#[test]
fn fields_of_a_size_that_is_written_short() {
    let rim = |size: &str| format!("part r : rim {{ size = {size}; holes = 36 }}\n");
    for (old, setting, new) in [
        ("622x19", "inner=21 mm", "622x21"),
        ("622×19", "bead=584 mm", "584×19"),
        ("622x19", "inner=19.4 mm ± 0.1 mm", "straight_side(bead = 622 mm, inner = 19.4 mm ± 0.1 mm)"),
        ("622x19", "inner=?", "straight_side(bead = 622 mm, inner = ?)"),
        ("622x19", "inner=3/4 in", "straight_side(bead = 622 mm, inner = 3/4 in)"),
    ] {
        let compiled = one(&rim(old)).compiled(&Texts::new());
        let Value::Standard(Some(fitted)) = &compiled.model.parts[0].facts
            [compiled.model[compiled.model.parts[0].kind].facts.get_index_of("size").unwrap()]
        .value
        else {
            panic!()
        };
        let name = &compiled.model[fitted.standard].name.text;
        assert_eq!(set(&rim(old), &format!("r.size.{setting}")), rim(&new.replace("straight_side", name)), "{old}");
    }
    let tyre = "part t : tyre { size = 37-622 }\n";
    assert_eq!(set(tyre, "t.size.width=35 mm"), "part t : tyre { size = 35-622 }\n");
}

#[test]
fn a_fact_that_is_missing_is_put_in_behind_the_others() {
    let text = "part f : frame \"mine\" {\n  material     = steel  # magnet\n  rear.dropout = open(126 mm) # and its comment\n  # the end\n}\n";
    assert_eq!(set(text, "f.rear.gap=46 mm"), text.replace("comment\n", "comment\n  rear.gap     = 46 mm\n"));
    // A longer name than the others have.
    assert_eq!(
        set(text, "f.front_derailleur=tube(28.6 mm)"),
        text.replace("comment\n", "comment\n  front_derailleur = tube(28.6 mm)\n")
    );
    for (old, setting, new) in [
        (
            "part p : seatpost { diameter = 27.2 mm; mark = 70 mm }\n",
            "inserted=90 mm",
            "part p : seatpost { diameter = 27.2 mm; mark = 70 mm; inserted = 90 mm }\n",
        ),
        (
            "part p : seatpost { diameter = 27.2 mm }",
            "mark=70 mm",
            "part p : seatpost { diameter = 27.2 mm; mark = 70 mm }",
        ),
        ("part p : seatpost {}\n", "mark=70 mm", "part p : seatpost { mark = 70 mm }\n"),
        ("part p : seatpost { }\n", "mark=70 mm", "part p : seatpost { mark = 70 mm }\n"),
        ("part p : seatpost \"a { b\" {\n}\n", "mark=70 mm", "part p : seatpost \"a { b\" {\n  mark = 70 mm\n}\n"),
        (
            "part p : seatpost # a { comment\n{ # here\n  # nothing yet\n}\n",
            "mark=70 mm",
            "part p : seatpost # a { comment\n{ # here\n  mark = 70 mm\n  # nothing yet\n}\n",
        ),
        (
            "part p : seatpost {\n  diameter = 27.2 mm }\n",
            "mark=70 mm",
            "part p : seatpost {\n  diameter = 27.2 mm; mark = 70 mm }\n",
        ),
        (
            "part p : seatpost {\n  diameter = 27.2 mm; # }\n}\n",
            "mark=70 mm",
            "part p : seatpost {\n  diameter = 27.2 mm; # }\n  mark     = 70 mm\n}\n",
        ),
        (
            "part p : seatpost {\n diameter=27.2 mm\n}",
            "mark=70 mm",
            "part p : seatpost {\n diameter=27.2 mm\n mark=70 mm\n}",
        ),
        (
            "part p : seatpost {\n\tdiameter\t= 27.2 mm\n}\n",
            "mark=70 mm",
            "part p : seatpost {\n\tdiameter\t= 27.2 mm\n\tmark\t= 70 mm\n}\n",
        ),
        (
            "part p : seatpost {\r\n  diameter = 27.2 mm\r\n}\r\n",
            "mark=70 mm",
            "part p : seatpost {\r\n  diameter = 27.2 mm\r\n  mark     = 70 mm\r\n}\r\n",
        ),
        (
            "\u{feff}part p : seatpost {\r  diameter = 27.2 mm\r}\r",
            "mark=70 mm",
            "\u{feff}part p : seatpost {\r  diameter = 27.2 mm\r  mark     = 70 mm\r}\r",
        ),
    ] {
        assert_eq!(set(old, &format!("p.{setting}")), new, "{old}");
    }
}

#[test]
fn line_ends_tabs_and_marks_stay() {
    let text = "\u{feff}# a post\r\npart p : seatpost {\r\n\tdiameter\t= 27.2 mm\t# é 名\r\n\tmark = ?;\tinserted = ~80 mm\r\n}\r\n";
    assert_eq!(set(text, "p.diameter=26.8 mm"), text.replace("27.2 mm", "26.8 mm"));
    assert_eq!(set(text, "p.mark=70 mm"), text.replace("?", "70 mm"));
    assert_eq!(set(text, "p.inserted=80 mm"), text.replace("~80 mm", "80 mm"));
}

#[test]
fn facts_of_a_build() {
    let text = "assembly lot \"l\" { slot one : frame; fact rider : mass = 80 kg; fact extra? : mass }\npart f : frame { }\nbuild b : lot {\n  rider = ~78 kg\n\n  one   = f\n}\nbuild c from b {\n}\n";
    assert_eq!(set(text, "b.rider=79 kg"), text.replace("~78 kg", "79 kg"));
    assert_eq!(set(text, "b.extra=3 kg"), text.replace("~78 kg\n", "~78 kg\n  extra = 3 kg\n"));
    // What it has from the other build is written anew here, not there.
    assert_eq!(set(text, "c.rider=90 kg"), text.replace("from b {\n", "from b {\n  rider = 90 kg\n"));
    let refused = one(text).refusal(&["b.one=f"]);
    assert!(refused.contains("`one` is a slot"), "{refused}");
}

#[test]
fn words_may_come_without_their_quotes() {
    let text = "part d : rear_derailleur { input = wired(family = ?, line = road, speeds = 11) }\n";
    for (typed, written) in [
        ("two \"rings\" \\ }", "\"two \\\"rings\\\" \\\\ }\""),
        ("\"as it is\"", "\"as it is\""),
        ("a # b; c = 1", "\"a # b; c = 1\""),
        ("?", "?"),
    ] {
        assert_eq!(set(text, &format!("d.input.family={typed}")), text.replace('?', written));
    }
}

#[test]
fn nothing_else_can_be_slipped_in() {
    let spec = one(POST);
    for value in [
        "70 mm; diameter = 1 mm",
        "70 mm }",
        "70 mm }\npart q : seatpost { ",
        "70 mm\n  note = \"x\"",
        "70 mm # and so on",
        "70 mm\r",
        "70 mm\u{2028}x",
        "70 mm \"",
        "70 mm, 80 mm",
        "(70 mm)",
        "70 mm\t",
        "\"x\" \u{202e}",
        "44,5 mm",
        "a(b",
        "[[[[",
    ] {
        let refused = spec.set(&[&format!("p.mark={value}")]).map(|it| it.texts).map_err(|it| super::said(&it));
        match refused {
            // Spaces round a value are no part of it.
            Ok(texts) => {
                assert!(value.trim() == "70 mm" && texts["a.cotter"] == POST.replace("~75 mm", "70 mm"), "{value:?}")
            }
            Err(words) => assert!(words.starts_with("value: "), "{value:?}: {words}"),
        }
    }
    let long = format!("p.mark={}", "9".repeat(5000));
    assert!(spec.refusal(&[&long]).starts_with("value: "));
    let deep = format!("p.mark={}", "[".repeat(3000));
    assert!(spec.refusal(&[&deep]).starts_with("value: "));
    let field = one("part f : frame { rear.dropout = open(126 mm) }\n");
    for value in ["130 mm, slot = 9 mm", "130 mm)", "130 mm) }", "slot = 9 mm"] {
        assert!(field.refusal(&[&format!("f.rear.dropout.spacing={value}")]).starts_with("value: "), "{value}");
    }
}

#[test]
fn what_is_no_value_of_the_fact_is_a_mistake() {
    let spec = one(POST);
    for (setting, code) in [
        ("p.mark=70 g", "mistake: fact.unit: "),
        ("p.mark=70", "mistake: fact.unit"),
        ("p.mark=7000 mm", "mistake: fact.implausible: "),
        ("p.mark=steel", "mistake: fact.type: "),
        ("p.material=steal", "mistake: "),
        ("p.head_bolts=1.5", "mistake: fact."),
    ] {
        let refused = spec.refusal(&[setting]);
        assert!(refused.starts_with(code), "{setting}: {refused}");
    }
    // A mistake that was there before is no reason, the same one written again is.
    let wrong = POST.replace("27.2 mm", "27.2 g");
    assert_eq!(set(&wrong, "p.mark=70 mm"), wrong.replace("~75 mm", "70 mm"));
    assert_eq!(set(&wrong, "p.diameter=27.2 mm"), POST);
    assert!(one(&wrong).refusal(&["p.diameter=27.2 g"]).starts_with("mistake: fact.unit"));
}

#[test]
fn what_is_not_there_is_said_with_what_could_be_meant() {
    let build = "assembly lot \"l\" { slot main : seatpost; slot next? : seatpost }\nbuild b : lot { main = p; next = ? }\nbuild lot_things from b { }\n";
    let spec = one(&format!("{POST}{build}"));
    for (setting, words) in [
        ("lot_thing.mark=1 mm", "there is no part or build `lot_thing`: did you mean `lot_things`?"),
        ("zebra.mark=1 mm", "there is no part or build `zebra`: there are `p`, `b`, `lot_things`"),
        ("p.marc=1 mm", "`marc` is not a fact of `p`, a seatpost: did you mean `mark`?"),
        ("p.nothing_like=1 mm", "`cotter explain seatpost` lists what there is"),
        ("p.mark.deeper=1 mm", "`p.mark` has no parts of its own"),
        ("main.mark=1 mm", "there is no part `main`; in b, `main` is p: set `p.mark`"),
        ("next.mark=1 mm", "there is no part or build `next`"),
        ("b.mark=1 mm", "`mark` is not a fact of `b`, a lot"),
    ] {
        let refused = spec.refusal(&[setting]);
        assert!(refused.starts_with("place: ") && refused.contains(words), "{setting}: {refused}");
    }
    let frame = one("part f : frame { rear.dropout = open(126 mm); rear.brake = ? }\n");
    for (setting, words) in [
        ("f.rear.dropout.spacng=1 mm", "`open` has no field `spacng`: did you mean `spacing`?"),
        ("f.rear.dropot.spacing=1 mm", "did you mean `rear.dropout.spacing`?"),
        ("f.rear.brake.rim=622 mm", "what `f.rear.brake` is, is not known yet: set that first, such as `"),
        ("f.shell.width=68 mm", "what `f.shell` is, is not known yet"),
    ] {
        let refused = frame.refusal(&[setting]);
        assert!(refused.starts_with("place: ") && refused.contains(words), "{setting}: {refused}");
    }
    for wrong in ["p.mark", "mark=1 mm", "p.=1 mm", ".mark=1 mm", "p.mark=", "p.mark= "] {
        assert!(Setting::read(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn several_are_set_all_or_none() {
    let spec = one(POST);
    let both = spec.after(&["p.mark=70 mm", "p.diameter=26.8 mm", "p.note=two in one go", "p.mass=240 g"]);
    let behind = "inserted = ?\n  note     = \"two in one go\"\n  mass     = 240 g\n";
    assert_eq!(both, POST.replace("~75 mm", "70 mm").replace("27.2 mm", "26.8 mm").replace("inserted = ?\n", behind));
    assert!(spec.refusal(&["p.mark=70 mm", "p.diameter=26.8 g"]).starts_with("mistake: "));
    assert!(spec.refusal(&["p.mark=70 mm", "p.diamter=26.8 mm"]).contains("did you mean `diameter`"));
    assert!(spec.refusal(&["p.mark=70 mm", "p.mark=71 mm"]).contains("`p.mark` is set twice"));
    let frame = one("part f : frame { rear.dropout = open(126 mm) }\n");
    let refused = frame.refusal(&["f.rear.dropout=open(130 mm)", "f.rear.dropout.slot=9 mm"]);
    assert!(refused.contains("lie in one another"), "{refused}");
    assert!(frame.set(&["f.rear.dropout.slot=9 mm", "f.rear.dropout.spacing=130 mm"]).is_ok());
}

#[test]
fn lines_are_told_as_they_are_in_the_end() {
    let spec = one("part a : seatpost {\n  mark = ?\n}\npart b : seatpost {\n  mark = ?\n}\n");
    let edited = spec.set(&["b.mark=70 mm", "a.diameter=27.2 mm", "b.inserted=90 mm"]).ok().unwrap();
    let files = &edited.after[0].files;
    let file = files.iter().map(|(_, file)| file).find(|it| it.name == "a.cotter").unwrap();
    let told: Vec<(usize, &str)> = edited.changes.iter().map(|it| (it.line(file), it.new.as_str())).collect();
    assert_eq!(told, [(6, "70 mm"), (3, "27.2 mm"), (7, "90 mm")]);
}

#[test]
fn parts_of_the_programs_own_library_are_not_written() {
    // The library has no part today: one is made to stand in it.
    let mut compiled = one(POST).compiled(&Texts::new());
    let mut files = Files::default();
    for (_, file) in compiled.files.iter() {
        let own = file.name == "a.cotter";
        let text = if own { Content::Embedded(POST) } else { file.text.clone() };
        files.add(File::new(file.name.clone(), text));
    }
    compiled.files = files;
    let settings = [Setting::read("p.mark=70 mm").unwrap()];
    let refused = editing::edited(&[compiled], &settings, |_| Err::<Vec<Compiled>, ()>(()));
    let words = super::said(&refused.err().unwrap());
    assert!(words.starts_with("place: ") && words.contains("library"), "{words}");
}

#[test]
fn a_line_of_a_price_list_is_not_written() {
    let refused = Spec::demo("heron").refusal(&["corner_shop.t_32_622_w.mass=500 g"]);
    assert!(refused.contains("`corner_shop.t_32_622_w` is a line of a price list"), "{refused}");
}

#[test]
fn the_same_name_in_two_specs_is_not_guessed_at() {
    let (one, two) = (one(POST), Spec::of(&[("b.cotter", POST)]));
    let units = [one.compiled(&Texts::new()), two.compiled(&Texts::new())];
    let settings = [Setting::read("p.mark=70 mm").unwrap()];
    let refused = editing::edited(&units, &settings, |_| Err::<Vec<Compiled>, ()>(()));
    let words = super::said(&refused.err().unwrap());
    assert!(words.contains("`p` stands in a.cotter and in b.cotter"), "{words}");
}

// ───── any fact of the demos ─────

/// Another plausible value of a type, as it is written; none for what has no easy one.
fn another(model: &Model, id: DeclaredId, dice: &mut Dice) -> Option<String> {
    let declared = &model[id];
    Some(match &declared.kind {
        Type::Number(dimension) => {
            let unit = shown_in(*dimension);
            let (low, high) = (declared.limits.low(), declared.limits.high());
            if !declared.limits.is_bounded() {
                return None;
            }
            let value = low + (high - low) * (1.0 + dice.below(7) as f64) / 9.0;
            let written = show(value / unit.map_or(1.0, |it| it.factor));
            let all = unit.map_or(written.clone(), |it| format!("{written} {}", it.name));
            match dice.below(4) {
                0 => format!("~{all}"),
                1 => "?".to_owned(),
                _ => all,
            }
        }
        Type::Count(_) => format!("{}", (declared.limits.low() + 1.0).ceil()),
        Type::Choice(id) => dice.of(&model[*id].members).0.clone(),
        Type::Standard(id) => model.standard_example(*dice.of(&model[*id].standards)),
        Type::Flag => (*dice.of(&["yes", "no", "?"])).to_owned(),
        Type::Text => (*dice.of(&["other words", "\"other words\"", "é } # ; \\"])).to_owned(),
        Type::Money => "12.34 EUR".to_owned(),
        _ => return None,
    })
}

/// Every written fact of a part with its path and what it is declared as; fields of standards too.
fn written_facts(compiled: &Compiled) -> Vec<(String, DeclaredId, std::ops::Range<usize>)> {
    let model = &compiled.model;
    let mut all = Vec::new();
    for part in &model.parts {
        let mut open: Vec<(&Valued, DeclaredId)> =
            part.facts.iter().zip(model[part.kind].facts.values().copied()).collect();
        while let Some((valued, id)) = open.pop() {
            let Some(info) = valued.from.facts().first().and_then(|it| model.facts.get(*it)) else { continue };
            let here = info.span.file == part.name.span.file
                && part.span.start < info.span.start
                && info.span.end < part.span.end;
            if !here
                || !matches!(
                    info.state,
                    cotter::model::State::Given | cotter::model::State::Estimated | cotter::model::State::Unknown
                )
            {
                continue;
            }
            all.push((format!("{}.{}", part.name.text, info.path), id, info.span.range()));
            if let Value::Standard(Some(fitted)) = &valued.value {
                open.extend(fitted.fields.iter().zip(model[fitted.standard].fields.iter().copied()));
            }
        }
    }
    all
}

#[test]
fn any_fact_is_set_and_set_back_to_the_same_bytes() {
    let mut dice = Dice(7);
    let mut done = 0;
    let specs = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    for name in ["heron/donor", "heron/bin", "heron/to_buy", "curlew/racer", "curlew/order"] {
        let spec = Spec::read(&specs.join(format!("{name}.cotter")));
        let text = spec.text(&spec.entry).to_owned();
        let compiled = spec.compiled(&Texts::new());
        let facts = written_facts(&compiled);
        for _ in 0..60 {
            let (path, id, range) = dice.of(&facts);
            let Some(value) = another(&compiled.model, *id, &mut dice) else { continue };
            let old = &text[range.clone()];
            let Ok(edited) = spec.set_on(&compiled, &[&format!("{path}={value}")]) else { continue };
            let new = &edited.texts[&spec.entry];
            let tail = text.len() - range.end;
            assert_eq!(new[..range.start], text[..range.start], "{path}={value}");
            assert_eq!(new[new.len() - tail..], text[range.end..], "{path}={value}");
            // A figure of a size written short has no place of its own to be set back into, once it is spelled out.
            let is_short = |it: char| it.is_ascii_digit() || matches!(it, '.' | 'x' | '×' | '-');
            let whole = old.contains(['x', '×', '-']) && old.chars().all(is_short);
            let path =
                if whole && path.matches('.').count() > 1 { path.rsplit_once('.').unwrap().0 } else { path.as_str() };
            let back = spec_with(&spec, new).set(&[&format!("{path}={old}")]);
            let back = back.map_err(|it| format!("{path} = {value}, then {old}: {}", super::said(&it))).unwrap();
            assert_eq!(back.texts[&spec.entry], text, "{path} = {value}, then {old}");
            done += 1;
        }
    }
    assert!(done > 150, "{done}");
}

fn spec_with(spec: &Spec, text: &str) -> Spec {
    let mut sources = spec.sources.clone();
    sources.texts.insert(spec.entry.clone(), text.as_bytes().to_vec());
    Spec { sources, entry: spec.entry.clone() }
}

// ───── as a shell sees it ─────

fn cotter(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cotter"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap()
}

fn texts_of(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

/// A copy of a demo in a folder of its own.
fn copied(name: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs").join(name);
    std::fs::create_dir(folder.path().join(name)).unwrap();
    for entry in std::fs::read_dir(from).unwrap().flatten() {
        std::fs::copy(entry.path(), folder.path().join(name).join(entry.file_name())).unwrap();
    }
    folder
}

fn bytes(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let entries = std::fs::read_dir(folder).unwrap().flatten();
    let mut all: Vec<(String, Vec<u8>)> =
        entries.map(|it| (it.file_name().to_string_lossy().into_owned(), std::fs::read(it.path()).unwrap())).collect();
    all.sort();
    all
}

#[test]
fn readings_are_written_and_what_they_decide_is_told() {
    let here = copied("heron");
    let before = bytes(&here.path().join("heron"));
    let run = |arguments: &[&str]| texts_of(&cotter(here.path(), arguments));
    let (code, out, err) = run(&[
        "measure",
        "heron",
        "--set",
        "trekking_frame.hanger=threaded",
        "--set",
        "short_post.mark=70 mm",
        "--set",
        "fat_tyre.mass=760 g",
        "--build",
        "heron_as_bought",
    ]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let after = bytes(&here.path().join("heron"));
    let changed: Vec<&str> =
        before.iter().zip(&after).filter(|(old, new)| old != new).map(|(_, it)| it.0.as_str()).collect();
    assert_eq!((changed, before.len()), (vec!["bin.cotter", "donor.cotter"], after.len()));
    insta::with_settings!({ omit_expression => true, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!(out);
    });
}

#[test]
fn what_is_refused_leaves_the_disk_as_it_is() {
    let here = copied("heron");
    let before = bytes(&here.path().join("heron"));
    let run = |setting: &str| {
        texts_of(&cotter(here.path(), &["measure", "heron", "--set", "fat_tyre.mass=760 g", "--set", setting]))
    };
    for (setting, expected, words) in [
        ("trekking_frame.rear.gap=1350 mm", 1, "would be a mistake"),
        ("trekking_frame.rear.gap=46 mm }", 1, "`46 mm }` is no value"),
        ("trekking_frame.rear.gpa=46 mm", 2, "did you mean `rear.gap`?"),
        ("trekking_frame", 2, "PART.FACT=\"VALUE\""),
        ("fat_tyre.mass=770 g", 2, "is set twice"),
    ] {
        let (code, out, err) = run(setting);
        assert_eq!(code, expected, "{setting}: {out}{err}");
        assert!(err.contains(words), "{setting}: {err}");
        assert_eq!(out.contains("is not plausible"), setting.contains("1350"), "{out}");
    }
    let (code, _, err) = texts_of(&cotter(here.path(), &["measure", "-", "--set", "a.b=1 mm"]));
    assert!(code == 2 && err.contains("standard input can't be written"), "{err}");
    let both = ["measure", "heron", "--set", "fat_tyre.mass=760 g", "--format", "json"];
    assert_eq!(texts_of(&cotter(here.path(), &both)).0, 2);
    assert_eq!(bytes(&here.path().join("heron")), before);
}

#[cfg(unix)]
#[test]
fn files_keep_their_permissions_links_stay_and_what_may_only_be_read_is_left() {
    use std::os::unix::fs::PermissionsExt;
    let here = tempfile::tempdir().unwrap();
    let path = |name: &str| here.path().join(name);
    std::fs::write(path("real.cotter"), POST).unwrap();
    std::os::unix::fs::symlink("real.cotter", path("link.cotter")).unwrap();
    std::fs::set_permissions(path("real.cotter"), PermissionsExt::from_mode(0o600)).unwrap();
    let run = |file: &str, setting: &str| texts_of(&cotter(here.path(), &["measure", file, "--set", setting]));
    assert_eq!(run("link.cotter", "p.mark=70 mm").0, 0);
    assert!(path("link.cotter").symlink_metadata().unwrap().is_symlink());
    let text = std::fs::read_to_string(path("real.cotter")).unwrap();
    assert_eq!(text, POST.replace("~75 mm", "70 mm"));
    assert_eq!(std::fs::metadata(path("real.cotter")).unwrap().permissions().mode() & 0o777, 0o600);
    std::fs::set_permissions(path("real.cotter"), PermissionsExt::from_mode(0o444)).unwrap();
    let (code, _, err) = run("real.cotter", "p.mark=71 mm");
    assert!(code == 2 && err.contains("may only be read"), "{err}");
    assert_eq!(std::fs::read_to_string(path("real.cotter")).unwrap(), text);
    assert_eq!(bytes(here.path()).len(), 2, "no stray file is left");
}

#[test]
fn a_part_outside_of_the_folder_is_never_reached() {
    let here = tempfile::tempdir().unwrap();
    std::fs::create_dir(here.path().join("inside")).unwrap();
    std::fs::write(here.path().join("outside.cotter"), POST).unwrap();
    std::fs::write(here.path().join("inside/a.cotter"), "use \"../outside.cotter\"\n").unwrap();
    let (code, _, err) =
        texts_of(&cotter(&here.path().join("inside"), &["measure", "a.cotter", "--set", "p.mark=70 mm"]));
    assert!(code == 2 && err.contains("there is no part or build `p`"), "{err}");
    assert_eq!(std::fs::read_to_string(here.path().join("outside.cotter")).unwrap(), POST);
}
