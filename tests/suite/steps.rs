//! Steps of conversions: how they look, what they say, and whether their order and their sets are right.

mod properties;

use super::fixtures;
use cotter::Compiled;
use cotter::judge::{Apart, Conversion, Made, judge_one};
use cotter::sheets::steps::{Section, Step, Steps, render};
use cotter::sheets::{Format, bill};
use cotter::source::Memory;
use serde_json::Value as Json;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A hand cart, with a library of its own.
fn cart() -> Compiled {
    fixtures::compile(&root().join("tests/fixtures/sheets/steps.cotter"))
}

fn demo(name: &str) -> Compiled {
    fixtures::compile(&root().join(format!("specs/{name}/{name}.cotter")))
}

fn sheets(compiled: &Compiled, only: &[&str]) -> Vec<Steps> {
    let all = compiled.builds.iter().map(|build| Steps::of(&compiled.model, build));
    all.filter(|it| only.is_empty() || only.contains(&it.build.as_str())).collect()
}

fn sheet(compiled: &Compiled, build: &str) -> Steps {
    sheets(compiled, &[build]).remove(0)
}

fn conversion(compiled: &Compiled, build: &str) -> Conversion {
    let id = compiled.model.build_named(build).unwrap();
    let before = compiled.model[id].from.map(|base| judge_one(&compiled.model, base));
    Conversion::of(&compiled.model, before.as_ref(), &judge_one(&compiled.model, id))
}

/// The step of a section that is about a joint, with its number.
fn step<'s>(sheet: &'s Steps, section: Section, joint: &str) -> (usize, &'s Step) {
    let found = sheet.section(section).find(|(_, it)| it.joints.iter().any(|it| it == joint));
    found.unwrap_or_else(|| panic!("{}: no step of {section:?} for {joint}", sheet.build))
}

#[test]
fn a_cart_looks_as_it_should() {
    let compiled = cart();
    let all = sheets(&compiled, &[]);
    let formats =
        [(Format::Text, "text"), (Format::Markdown, "markdown"), (Format::Csv, "csv"), (Format::Json, "json")];
    for (format, word) in formats {
        let rendered = render(&all, format);
        assert_eq!(rendered, render(&sheets(&cart(), &[]), format), "the same input gives the same bytes");
        insta::with_settings!({
            description => format!("cotter steps steps.cotter --format {word}"),
            input_file => Path::new("tests/fixtures/sheets/steps.cotter"),
            omit_expression => true,
        }, {
            insta::assert_snapshot!(format!("cart_{word}"), rendered);
        });
    }
}

#[test]
fn the_demo_looks_as_it_should() {
    insta::with_settings!({
        description => "cotter steps specs/heron --build heron_winter",
        omit_expression => true,
    }, {
        insta::assert_snapshot!("heron_winter", render(&sheets(&demo("heron"), &["heron_winter"]), Format::Text));
    });
}

#[test]
fn pages_keep_to_a_hundred_columns() {
    for compiled in [cart(), demo("heron"), demo("curlew")] {
        for line in render(&sheets(&compiled, &[]), Format::Text).lines() {
            assert!(textwrap::core::display_width(line) <= 100, "{line}");
            assert!(!line.ends_with(' '), "{line:?}");
        }
        let boxes = |page: &str, mark: &str| page.lines().filter(|it| it.starts_with(mark)).count();
        let (text, markdown) = (Format::Text, Format::Markdown);
        let (text, markdown) = (render(&sheets(&compiled, &[]), text), render(&sheets(&compiled, &[]), markdown));
        assert_eq!(boxes(&text, "[ ] "), boxes(&markdown, "- [ ] "), "each has its box in Markdown");
    }
}

#[test]
fn a_joint_that_stands_in_the_way_is_undone_and_put_back() {
    let compiled = cart();
    // Of the right wheel only the axle is another; its cap stays, and stands in front of it.
    let straight = sheet(&compiled, "straight");
    let (off, cap) = step(&straight, Section::Strip, "cap.right");
    let (wheel, _) = step(&straight, Section::Strip, "hub.right");
    let (on, again) = step(&straight, Section::Assemble, "cap.right");
    assert_eq!((cap.to_get_at.as_slice(), cap.counterpart), ([wheel].as_slice(), Some(on)));
    assert_eq!(again.counterpart, Some(off));
    assert!(off < wheel);
    // The left cap has no place any more: it just goes.
    let (_, cap) = step(&straight, Section::Strip, "cap.left");
    assert!(cap.to_get_at.is_empty() && cap.counterpart.is_none());
    assert_eq!(cap.becomes.iter().map(|it| it.left_over).collect::<Vec<_>>(), [true]);
    // On another bed the wheels come off for the axle, and the caps for the wheels.
    let sheet = sheet(&compiled, "sheet");
    let (cap, wheel, axle) = (
        step(&sheet, Section::Strip, "cap.left"),
        step(&sheet, Section::Strip, "hub.left"),
        step(&sheet, Section::Strip, "axle"),
    );
    assert_eq!((cap.1.to_get_at.as_slice(), wheel.1.to_get_at.as_slice()), ([wheel.0].as_slice(), [axle.0].as_slice()));
}

#[test]
fn what_stands_in_front_of_nothing_is_left_alone() {
    let compiled = cart();
    let tied = sheet(&compiled, "tied");
    let alone: Vec<&str> = tied.untouched.iter().map(|it| it.joint.as_str()).collect();
    assert_eq!(alone, ["cap.right", "hub.left", "hub.right", "axle"]);
    let conversion = conversion(&compiled, "same");
    assert!(conversion.before.iter().all(|it| matches!(it.fate, Apart::Untouched(_))));
    assert!(conversion.after.iter().all(|it| matches!(it.origin, Made::Untouched(_))));
    assert!(sheet(&compiled, "same").steps.is_empty());
}

#[test]
fn a_new_joint_in_front_of_which_another_stands_is_reached() {
    // `b` stays; what it stands upon was not there before.
    let compiled = compiled(
        "standalone\nkind thing \"a thing\" { source practice }\n\
         joint on \"a thing on another\" { takes a : thing; takes b : thing; undo \"pull\"; make \"push\" }\n\
         assembly pile \"a pile\" {\n  slot a : thing; slot b : thing; slot c? : thing\n\
         \x20 join top \"top\" = on(a = a, b = b) upon under\n  join under \"under\" = on(a = b, b = c)\n}\n\
         part t : thing { }\npart u : thing { }\npart v : thing { }\n\
         build before : pile { a = t; b = u }\nbuild after from before { c = v }\n",
    );
    let sheet = sheet(&compiled, "after");
    let (off, top) = step(&sheet, Section::Strip, "top");
    let (under, _) = step(&sheet, Section::Assemble, "under");
    let (on, _) = step(&sheet, Section::Assemble, "top");
    assert_eq!((top.to_get_at.as_slice(), top.counterpart), ([under].as_slice(), Some(on)));
    assert!(off < under && under < on);
}

#[test]
fn the_order_passes_through_joints_that_are_not_there() {
    let text = |middle: &str| {
        format!(
            "standalone\nkind thing \"a thing\" {{ source practice }}\n\
             joint one \"a thing\" {{ takes a : thing; undo \"pull\"; make \"push\" }}\n\
             assembly pile \"a pile\" {{\n  slot a? : thing; slot b? : thing; slot c? : thing\n\
             \x20 join a = one(a = a) upon b\n  join b = one(a = b) upon c\n  join c = one(a = c)\n}}\n\
             part t : thing {{ }}\npart u : thing {{ }}\n\
             build before : pile {{ a = t; c = t {middle} }}\nbuild after from before {{ c = u }}\n"
        )
    };
    for (middle, steps) in [("", 4), ("; b = t", 6)] {
        let compiled = compiled(&text(middle));
        let sheet = sheet(&compiled, "after");
        let (top, bottom) = (step(&sheet, Section::Strip, "a"), step(&sheet, Section::Strip, "c"));
        assert!(top.0 < bottom.0 && top.1.group < bottom.1.group);
        assert!(step(&sheet, Section::Assemble, "c").0 < step(&sheet, Section::Assemble, "a").0);
        assert_eq!(sheet.steps.len(), steps, "{middle}");
    }
}

#[test]
fn a_left_hand_thread_is_loosened_to_the_right_and_said_loudly() {
    let compiled = cart();
    let page = render(&sheets(&compiled, &["straight"]), Format::Text);
    assert!(page.contains("left nut (19 mm spanner; M12, left-hand): LEFT-HAND, loosens to the RIGHT (clockwise)"));
    let data: Json = serde_json::from_str(&render(&sheets(&compiled, &["straight"]), Format::Json)).unwrap();
    let steps = data["builds"][0]["steps"].as_array().unwrap();
    let turns = |key: &str, turn: &str| -> Vec<(String, String)> {
        let all = steps.iter().flat_map(|it| it[key].as_array().unwrap());
        let text = |it: &Json, key: &str| it[key].as_str().unwrap().to_owned();
        all.map(|it| (text(it, "fastening"), text(it, turn))).filter(|(name, _)| name.contains("nut")).collect()
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(turns("loosen", "loosens"), [pair("left nut", "right"), pair("right nut", "left")]);
    let again = [pair("left nut", "left"), pair("right nut", "right")];
    assert_eq!(turns("fasten", "turn"), [&again[..], &again[..]].concat());
}

#[test]
fn what_clashes_is_neither_prepared_nor_made_nor_tightened_again() {
    let compiled = cart();
    let too_fat = sheet(&compiled, "too_fat");
    let about = |section: Section| too_fat.section(section).filter(|(_, it)| it.joints.iter().any(|it| it == "axle"));
    assert_eq!(about(Section::Ready).count() + about(Section::Proof).count() + about(Section::Again).count(), 0);
    let page = render(std::slice::from_ref(&too_fat), Format::Text);
    let (number, _) = step(&too_fat, Section::Assemble, "axle");
    assert!(page.contains(&format!("[ ] {number}. DO NOT MAKE, IT CLASHES: axle in the bed")), "{page}");
    let card = page.split("DO NOT MAKE, IT CLASHES: axle in the bed").nth(1).unwrap().split("\n\n").next().unwrap();
    assert!(!card.contains("fasten:") && !card.contains("how:") && !card.contains("N·m"), "{card}");
    assert!(page.contains("OPEN, settle it first (cotter measure): hangs on left"));
    assert!(page.contains("left (the left wheel): not decided"));
}

#[test]
fn bags_and_parts_are_found_again() {
    let compiled = cart();
    let straight = sheet(&compiled, "straight");
    let bags: Vec<(usize, &str, &[usize], bool)> = straight
        .steps
        .iter()
        .flat_map(|it| &it.bags)
        .map(|it| (it.number, it.text.as_str(), it.emptied.as_slice(), it.whole))
        .collect();
    let (cap, _) = step(&straight, Section::Assemble, "cap.right");
    let (wheel, _) = step(&straight, Section::Assemble, "hub.right");
    let nut = "cone, washer and nut on a wire in their order";
    assert_eq!(
        bags,
        [
            (1, "ring and felt", [].as_slice(), false),
            (2, "ring and felt", [cap].as_slice(), true),
            (3, nut, [].as_slice(), false),
            (4, nut, [wheel].as_slice(), false),
            (5, "shims, left and right apart", [].as_slice(), false),
        ]
    );
    let (_, wheel) = step(&straight, Section::Assemble, "hub.right");
    assert_eq!(wheel.from_bags, [(4, step(&straight, Section::Strip, "hub.right").0)]);
    // A box that nothing holds but a latch still comes off in a step, and is told of once though it fills two slots.
    let tied = sheet(&compiled, "tied");
    let (number, latch) = step(&tied, Section::Strip, "box");
    assert_eq!(latch.becomes.iter().map(|it| it.slots.join(" ")).collect::<Vec<_>>(), ["box tray"]);
    let left = tied.left_over.iter().find(|it| it.line.part == "chest").unwrap();
    assert_eq!((left.line.quantity, left.steps.as_slice()), (1, [number].as_slice()));
}

#[test]
fn a_part_that_moves_stays() {
    let compiled = compiled(
        "standalone\nkind thing \"a thing\" { source practice }\n\
         joint one \"a thing\" { takes a : thing; undo \"pull\"; make \"push\"; keep \"its pin\" }\n\
         assembly row \"a row\" {\n  slot a? : thing; slot b? : thing\n  join a = one(a = a)\n  join b = one(a = b)\n}\n\
         part t : thing { source = donor }\nbuild before : row { a = t }\nbuild after from before { remove a; b = t }\n",
    );
    let sheet = sheet(&compiled, "after");
    let (_, off) = step(&sheet, Section::Strip, "a");
    let (on, _) = step(&sheet, Section::Assemble, "b");
    let becomes = &off.becomes[0];
    assert_eq!((becomes.left_over, becomes.moves_to.join(" "), becomes.goes_on), (false, "b".to_owned(), Some(on)));
    assert_eq!(off.bags[0].emptied, [on]);
    assert_eq!(sheet.steps[on - 1].parts[0].moved_from, ["a"]);
    assert!(sheet.left_over.is_empty() && sheet.comes.is_empty());
}

#[test]
fn a_build_of_its_own_is_only_put_together() {
    let compiled = cart();
    let found = sheet(&compiled, "found");
    assert_eq!(found.section(Section::Strip).count(), 0);
    assert!(found.photographs.is_empty() && found.untouched.is_empty() && found.left_over.is_empty());
    assert_eq!(found.section(Section::Assemble).count(), 8, "seven joints, and oil in the end");
    assert!(found.steps.iter().all(|it| it.parts.iter().all(|it| !it.comes)));
}

#[test]
fn stages_follow_each_other() {
    let compiled = cart();
    let tied = sheet(&compiled, "tied");
    assert_eq!(tied.from.as_deref(), Some("straight"), "the stage before, not the first one");
    // The cap that the stage before took off is not mentioned any more.
    assert!(tied.left_over.iter().all(|it| it.line.part != "old_cap"));
    // A slot that one stage empties another fills.
    let text = "\nbuild back from tied { left_cap = old_cap }\n";
    let path = root().join("tests/fixtures/sheets/steps.cotter");
    let compiled = self::compiled(&format!("{}{text}", std::fs::read_to_string(path).unwrap()));
    let back = sheet(&compiled, "back");
    let made: Vec<&str> = back.section(Section::Assemble).flat_map(|(_, it)| &it.joints).map(String::as_str).collect();
    assert_eq!(made, ["cap.left"]);
    assert_eq!(back.comes.iter().map(|it| it.part.as_str()).collect::<Vec<_>>(), ["old_cap"]);
}

#[test]
fn the_bill_counts_what_is_made_again() {
    let compiled = cart();
    let bill = compiled.builds.iter().map(|it| bill::Bill::of(&compiled.model, it)).find(|it| it.build == "sheet");
    let needs = bill.unwrap().consumables.into_iter().find(|it| it.what == "grease").unwrap();
    // Both wheels stay, come off for the axle, and are greased anew.
    assert!(needs.new.unwrap().some);
}

#[test]
fn the_demo_can_be_worked_from_without_its_spec() {
    let compiled = demo("heron");
    let sheet = sheet(&compiled, "heron_winter");
    let page = render(std::slice::from_ref(&sheet), Format::Markdown);
    let headings = ["Before you begin", "Strip-down", "Preparation", "Assembly", "Checks before the first use"];
    let mut at = 0;
    for heading in headings.into_iter().chain(["Left alone", "After the first use", "Left over"]) {
        let found = page[at..].find(&format!("\n## {heading}")).unwrap_or_else(|| panic!("no {heading} in its place"));
        at += found;
    }
    for (number, step) in sheet.steps.iter().enumerate() {
        assert!(page.contains(&format!("- [ ] **{}. ", number + 1)), "step {} has its box", number + 1);
        assert!(step.needs.iter().all(|it| *it <= number), "step {} needs what comes later", number + 1);
        if matches!(step.section, Section::Strip | Section::Assemble) && !step.joints.is_empty() {
            assert!(!step.parts.is_empty(), "{}: no parts", step.title);
        }
    }
    assert!(page.contains("LEFT-HAND, loosens to the RIGHT (clockwise)"));
    assert!(sheet.steps.iter().any(|it| !it.seized.is_empty()) && sheet.steps.iter().any(|it| !it.bags.is_empty()));
    assert!(!sheet.photographs.is_empty() && !sheet.tools.is_empty());
}

#[test]
fn every_caution_of_the_work_stands_in_full() {
    for compiled in [cart(), demo("heron"), demo("curlew")] {
        for sheet in sheets(&compiled, &[]) {
            let page = render(std::slice::from_ref(&sheet), Format::Markdown);
            for caution in &sheet.cautions {
                assert_eq!(page.matches(&format!("- ({}) {}\n", caution.number, caution.text)).count(), 1);
            }
            let known: BTreeSet<usize> = sheet.cautions.iter().map(|it| it.number).collect();
            assert!(sheet.steps.iter().all(|it| it.cautions.iter().all(|it| known.contains(it))));
        }
    }
    // Those of a line's own block, of a fastening and of a rule that fails.
    let compiled = cart();
    let sheet = sheet(&compiled, "straight");
    let said = |section: Section, joint: &str| -> Vec<&str> {
        let (_, step) = step(&sheet, section, joint);
        let all = sheet.cautions.iter().filter(|it| step.cautions.contains(&it.number));
        all.map(|it| it.text.split_whitespace().next().unwrap()).collect()
    };
    assert_eq!(said(Section::Strip, "cap.right"), ["The"]);
    assert_eq!(said(Section::Ready, "axle"), ["A"]);
    assert_eq!(said(Section::Again, "axle"), ["A"]);
}

fn compiled(text: &str) -> Compiled {
    let compiled = cotter::compile(&Memory::one("test.cotter", text), "test.cotter", "").unwrap();
    let faults: Vec<&str> =
        compiled.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    compiled
}

fn schema() -> Json {
    serde_json::from_str(&std::fs::read_to_string(root().join("tests/steps.schema.json")).unwrap()).unwrap()
}

#[test]
fn json_keeps_to_its_schema() {
    assert!(jsonschema::meta::is_valid(&schema()), "the schema is a schema");
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let mut all = vec![cart(), demo("heron"), demo("curlew")];
    all.extend(fixtures::files("joints").iter().step_by(5).map(|it| fixtures::compile(it)));
    let mut steps = 0;
    for compiled in &all {
        let data: Json = serde_json::from_str(&render(&sheets(compiled, &[]), Format::Json)).unwrap();
        let faults: Vec<String> =
            validator.iter_errors(&data).map(|it| format!("{it} at {}", it.instance_path)).collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
        let builds = data["builds"].as_array().unwrap();
        steps += builds.iter().map(|it| it["steps"].as_array().unwrap().len()).sum::<usize>();
    }
    assert!(steps > 400, "{steps}");
}

#[test]
fn the_schema_refuses_what_is_broken() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let good: Json = serde_json::from_str(&render(&sheets(&cart(), &["straight"]), Format::Json)).unwrap();
    assert!(validator.is_valid(&good));
    let broken = |change: &dyn Fn(&mut Json)| {
        let mut data = good.clone();
        change(&mut data);
        !validator.is_valid(&data)
    };
    assert!(broken(&|it| it["schema"] = "cotter.steps/2".into()));
    assert!(broken(&|it| it["builds"][0]["steps"][0]["no"] = 0.into()));
    assert!(broken(&|it| it["builds"][0]["steps"][0]["section"] = "lunch".into()));
    assert!(broken(&|it| it["builds"][0]["steps"][3]["loosen"][0]["loosens"] = "up".into()));
    assert!(broken(&|it| it["builds"][0]["steps"][3]["verdict"] = "fits".into()), "nothing is put together there");
    assert!(broken(&|it| drop(it["builds"][0]["steps"][0].as_object_mut().unwrap().remove("needs"))));
    assert!(broken(&|it| drop(it["builds"][0]["left_over"][0].as_object_mut().unwrap().remove("steps"))));
    assert!(broken(&|it| it["builds"][0]["more"] = true.into()));
}

#[test]
fn csv_has_a_row_a_step() {
    let compiled = cart();
    let all = sheets(&compiled, &[]);
    let page = render(&all, Format::Csv);
    let mut reader = csv::Reader::from_reader(page.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(rows.iter().all(|it| it.len() == header.len()));
    assert_eq!(rows.len(), all.iter().map(|it| it.steps.len()).sum::<usize>());
    let at = |name: &str| header.iter().position(|it| it == name).unwrap();
    for (row, (sheet, number)) in
        rows.iter().zip(all.iter().flat_map(|it| (1..=it.steps.len()).map(move |number| (it, number))))
    {
        assert_eq!((&row[0], &row[at("no")]), (sheet.build.as_str(), number.to_string().as_str()));
        assert!(row[at("done")].is_empty());
    }
    let nut = rows.iter().find(|it| it[at("loosen")].contains("left nut")).unwrap();
    assert!(nut[at("loosen")].contains("left nut: to the right"), "{nut:?}");
}

#[test]
fn what_is_left_over_whole_may_stay_together() {
    let text = |below: &str| {
        format!(
            "standalone\nkind thing \"a thing\" {{ source practice }}\n\
             joint on \"a thing on another\" {{ takes a : thing; takes b : thing; undo \"pull\"; make \"push\" }}\n\
             assembly pile \"a pile\" {{\n  slot a : thing; slot b : thing; slot c : thing\n\
             \x20 join top \"top\" = on(a = a, b = b) {below}\n  join under \"under\" = on(a = b, b = c)\n}}\n\
             part t : thing {{ }}\npart u : thing {{ }}\npart v : thing {{ }}\npart w : thing {{ }}\npart x : thing {{ }}\n\
             build before : pile {{ a = t; b = u; c = v }}\nbuild after from before {{ a = w; b = x }}\n"
        )
    };
    let stays = |below: &str| {
        let sheet = sheet(&compiled(&text(below)), "after");
        (step(&sheet, Section::Strip, "top").1.may_stay, step(&sheet, Section::Strip, "under").1.may_stay)
    };
    // Both things of the upper joint go, of the lower one only one.
    assert_eq!(stays("after under"), (true, false));
    // It stands upon one that must be opened.
    assert_eq!(stays("upon under"), (false, false));
}

#[test]
fn a_bystander_opens_no_joint() {
    // A thing laced to another stays laced when a third one is changed that only bears on it; what has no joint of its own
    // belongs to it.
    let text = |own: &str| {
        format!(
            "standalone\nkind thing \"a thing\" {{ source practice }}\n\
             joint laced \"laced\" {{ takes a : thing; takes b : thing; takes c? : thing; undo \"cut\"; make \"lace\" }}\n\
             joint laid \"laid\" {{ takes a : thing; takes c : thing; {own} }}\n\
             assembly pile \"a pile\" {{\n  slot a : thing; slot b : thing; slot c? : thing\n\
             \x20 join lacing \"lacing\" = laced(a = a, b = b, c = c)\n  join lid \"lid\" = laid(a = a, c = c)\n}}\n\
             part t : thing {{ }}\npart u : thing {{ }}\npart v : thing {{ }}\npart w : thing {{ }}\n\
             build before : pile {{ a = t; b = u; c = v }}\nbuild after from before {{ c = w }}\n"
        )
    };
    let opened = |own: &str| -> Vec<String> {
        let sheet = sheet(&compiled(&text(own)), "after");
        sheet.section(Section::Strip).flat_map(|(_, it)| it.joints.clone()).collect()
    };
    assert_eq!(opened("undo \"lift it\""), ["lid"]);
    assert_eq!(opened("note \"it lies there\""), ["lacing"]);
}

#[test]
fn a_rotor_is_changed_without_unlacing_the_wheel() {
    let compiled = demo("curlew");
    let (model, base, made) = properties::with(&compiled, "curlew_as_bought", "front.rotor", "rear_rotor_160");
    let sheet = Steps::of(&model, &judge_one(&model, made));
    let strip: Vec<&str> = sheet.section(Section::Strip).flat_map(|(_, it)| &it.joints).map(String::as_str).collect();
    assert_eq!(strip, ["front.dropouts", "front.rotor_seat"], "out of {:?}", model[base].name.text);
    let (_, wheel) = step(&sheet, Section::Strip, "front.dropouts");
    assert_eq!(wheel.to_get_at, [step(&sheet, Section::Strip, "front.rotor_seat").0]);
}
