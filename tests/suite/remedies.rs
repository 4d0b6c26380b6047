//! Remedies, each applied to the text and compiled anew; and what `cotter why` answers.

use cotter::judge::{JudgedJoint, Verdict};
use cotter::model::SlotId;
use cotter::sheets::why::{self, Why};
use cotter::source::{Disk, Memory};
use cotter::{Compiled, compile};
use std::collections::{BTreeMap, BTreeSet};

fn folder(name: &str) -> String {
    format!("{}/specs/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn demo(name: &str) -> Compiled {
    let folder = folder(name);
    compile(&Disk::below(&folder), &format!("{folder}/{name}.cotter"), &folder).unwrap()
}

/// The demo's texts with more at the end of its main one.
fn with(name: &str, more: &str) -> Compiled {
    let mut memory = Memory::one("none", "");
    for entry in std::fs::read_dir(folder(name)).unwrap() {
        let path = entry.unwrap().path();
        memory.texts.insert(path.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(path).unwrap());
    }
    let main = format!("{name}.cotter");
    memory.texts.get_mut(&main).unwrap().extend(more.as_bytes());
    compile(&memory, &main, "").unwrap()
}

/// Requirements that fail in a build, each with its joint.
fn failing(compiled: &Compiled, build: &str) -> BTreeSet<(String, String)> {
    let judged = compiled.builds.iter().find(|it| compiled.model[it.build].name.text == build).unwrap();
    let of = |joint: &JudgedJoint| joint.failing().map(|it| (joint.name.clone(), it.code.clone())).collect::<Vec<_>>();
    judged.joints.iter().flat_map(of).collect()
}

fn verdicts(compiled: &Compiled, build: &str) -> BTreeMap<String, Verdict> {
    let judged = compiled.builds.iter().find(|it| compiled.model[it.build].name.text == build).unwrap();
    judged.joints.iter().map(|it| (it.name.clone(), it.verdict)).collect()
}

#[test]
fn every_remedy_mends_when_it_is_written_down() {
    let mut tried = 0;
    for name in ["heron", "curlew"] {
        let compiled = demo(name);
        for told in &compiled.diagnostics {
            let (Some(build), Some(joint)) = (&told.build, &told.joint) else { continue };
            for mend in &told.mends {
                let changes: Vec<String> =
                    mend.changes.iter().map(|(slot, part)| format!("  {slot} = {part}\n")).collect();
                let text = format!("\nbuild trial from {build} {{\n{}}}\n", changes.concat());
                let after = with(name, &text);
                let new = &failing(&after, "trial") - &failing(&compiled, build);
                assert!(new.is_empty(), "{build}, {joint}: {text} makes fail what did not: {new:?}");
                let (before, after) = (verdicts(&compiled, build), verdicts(&after, "trial"));
                assert_eq!(after.get(joint), Some(&Verdict::Fits), "{build}, {joint}: {text}");
                for (other, verdict) in &after {
                    let was = before.get(other);
                    assert!(
                        *verdict != Verdict::Clashes || was == Some(&Verdict::Clashes),
                        "{build}, {joint}: {text} makes {other} clash"
                    );
                    if *verdict == Verdict::Open && was != Some(&Verdict::Open) {
                        assert!(
                            mend.opens.contains(other),
                            "{build}, {joint}: {text} opens {other} and does not say so"
                        );
                    }
                }
                for mended in &mend.mends {
                    assert_eq!(after.get(mended), Some(&Verdict::Fits), "{text} should mend {mended}");
                    assert_ne!(before.get(mended), Some(&Verdict::Fits), "{mended} fitted before");
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 20, "only {tried} remedies");
}

#[test]
fn remedies_come_in_order() {
    let compiled = demo("heron");
    for told in &compiled.diagnostics {
        assert!(told.mends.len() <= 3);
        let free = |it: &cotter::diagnose::Mend| it.price.is_empty() && it.unpriced == 0;
        let costs: Vec<bool> = told.mends.iter().map(|it| !free(it)).collect();
        assert!(costs.is_sorted(), "{}: what costs nothing comes first: {:?}", told.code, told.mends);
    }
}

fn asked(compiled: &Compiled, build: &str, slot: &str, part: &str) -> Why {
    let model = &compiled.model;
    let judged = compiled.builds.iter().find(|it| model[it.build].name.text == build).unwrap();
    let slot = model[model[judged.build].assembly].slots.get_index_of(slot).unwrap();
    Why::of(model, judged, SlotId(slot), model.part_named(part).unwrap())
}

#[test]
fn why_not_is_answered() {
    let compiled = demo("heron");
    let answers = [
        asked(&compiled, "heron_as_bought", "rear.hub", "cassette_hub_135"),
        asked(&compiled, "heron_first_try", "rear.hub", "seven_gear_hub"),
        asked(&compiled, "heron_winter", "saddle", "worn_saddle"),
    ];
    insta::assert_snapshot!("why_text", why::text(&answers));
    insta::assert_snapshot!("why_json", why::json(&answers[1..2]));
}

#[test]
fn a_chain_goes_when_it_is_written_down() {
    let compiled = demo("heron");
    let mut chains = 0;
    for (build, slot, part) in [
        ("heron_first_try", "rear.hub", "seven_gear_hub"),
        ("heron_first_try", "bar", "narrow_bar"),
        ("heron_winter", "saddle", "worn_saddle"),
        ("heron_winter", "front.hub", "old_front_hub"),
        ("heron_as_bought", "ring.big", "ring_44"),
        ("heron_as_bought", "stem", "short_stem"),
        ("heron_as_bought", "rear.brake", "long_arms"),
    ] {
        let Some(chain) = asked(&compiled, build, slot, part).chain else { continue };
        let changes: Vec<String> = chain.changes.iter().map(|(slot, part)| format!("  {slot} = {part}\n")).collect();
        let after = with("heron", &format!("\nbuild trial from {build} {{\n{}}}\n", changes.concat()));
        let new = &failing(&after, "trial") - &failing(&compiled, build);
        assert!(new.is_empty(), "{changes:?} make fail what did not: {new:?}");
        let (before, after) = (verdicts(&compiled, build), verdicts(&after, "trial"));
        for (joint, verdict) in after {
            let was = before.get(&joint);
            assert!(verdict != Verdict::Clashes || was == Some(&Verdict::Clashes), "{changes:?} makes {joint} clash");
        }
        chains += 1;
    }
    assert!(chains >= 4, "only {chains} chains");
}

#[test]
fn a_remedy_that_is_taken_changes_its_slots_alone() {
    use cotter::editing::{self, Setting};
    let folder = folder("heron");
    let name = format!("{folder}/heron.cotter");
    let units = [demo("heron")];
    let text = units[0].files.iter().find(|(_, file)| file.name == name).unwrap().1.text.to_string();
    let offers = cotter::sheets::mend::offers(&units, Some("heron_first_try"));
    assert!(offers.len() > 10, "only {} offers", offers.len());
    for offer in offers.iter().take(6) {
        let settings: Vec<Setting> =
            offer.changes.iter().map(|it| Setting::put(&offer.build, &it.slot, &it.part)).collect();
        let compiled = |texts: &editing::Texts| {
            let mut memory = Memory::one("none", "");
            for entry in std::fs::read_dir(&folder).unwrap() {
                let path = entry.unwrap().path();
                memory.texts.insert(path.to_string_lossy().into_owned(), std::fs::read(path).unwrap());
            }
            memory.texts.extend(texts.iter().map(|(name, text)| (name.clone(), text.clone().into_bytes())));
            compile(&memory, &name, &folder).map(|it| vec![it])
        };
        let Ok(edited) = editing::edited(&units, &settings, compiled) else { panic!("{offer:?} can't be taken") };
        let after = &edited.texts[&name];
        // The edits that JSON offers come to the same, made from the last to the first.
        assert_eq!(offer.edits.len(), offer.changes.len());
        let mut by_hand = text.clone();
        let mut edits = offer.edits.clone();
        edits.sort_by_key(|it| std::cmp::Reverse((it.start.line, it.start.column)));
        for edit in edits {
            let offset = |spot: editing::Spot| {
                let lines: usize = text.split_inclusive('\n').take(spot.line - 1).map(str::len).sum();
                lines + text[lines..].chars().take(spot.column - 1).map(char::len_utf8).sum::<usize>()
            };
            by_hand.replace_range(offset(edit.start)..offset(edit.end), &edit.text);
        }
        if offer.changes.len() == 1 {
            assert_eq!(by_hand, *after, "{offer:?}");
        }
        let told: Vec<&str> = offer.changes.iter().map(|it| it.slot.as_str()).collect();
        let other = |text: &str| -> Vec<String> {
            let lines = text.lines().filter(|line| !told.iter().any(|slot| line.trim_start().starts_with(slot)));
            lines.map(str::to_owned).collect()
        };
        assert_eq!(other(&text), other(after), "{offer:?} changed more than its slots");
        let verdicts = verdicts(&edited.after[0], &offer.build);
        offer.mends.iter().for_each(|joint| assert_eq!(verdicts[joint], Verdict::Fits, "{offer:?}: {joint}"));
    }
}
