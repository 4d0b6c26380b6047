//! Random conversions of the demo bikes: every joint is exactly one of made and untouched, every piece of the donor stays
//! or is left over, and no step comes before what it needs. Reckoned here a second time, in the plainest way.

use super::{Compiled, Section, Steps, demo};
use cotter::judge::{Apart, Conversion, JudgedBuild, JudgedJoint, Made, judge_one};
use cotter::model::{Build, BuildId, Filled, Model, PartId};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

/// A model with one build more: another one's, with some slots given other parts of their kinds, or emptied.
fn converted(compiled: &Compiled, base: &str, changes: &[(usize, usize)]) -> (Model, BuildId, BuildId) {
    let mut model = compiled.model.clone();
    let base = model.build_named(base).unwrap();
    let mut build: Build = model[base].clone();
    build.from = Some(base);
    for (slot, choice) in changes {
        let slot = slot % build.slots.len();
        let declared = &model[build.assembly].slots[slot];
        let fitting: Vec<usize> =
            (0..model.parts.len()).filter(|it| declared.kinds.contains(&model.parts[*it].kind)).collect();
        // One choice more where the slot may stay empty.
        let choices = fitting.len() + usize::from(declared.optional);
        if choices == 0 {
            continue;
        }
        let span = build.span;
        build.slots[slot] = fitting.get(choice % choices).map(|it| Filled { part: PartId(*it), span });
    }
    model.builds.push(build);
    let made = BuildId(model.builds.len() - 1);
    (model, base, made)
}

/// A model with one build more: another one's, with one slot given another part.
pub fn with(compiled: &Compiled, base: &str, slot: &str, part: &str) -> (Model, BuildId, BuildId) {
    let (mut model, base, made) = converted(compiled, base, &[]);
    let slot = model[model[made].assembly].slots.get_index_of(slot).unwrap();
    let (part, span) = (model.part_named(part).unwrap(), model[made].span);
    model.builds.last_mut().unwrap().slots[slot] = Some(Filled { part, span });
    (model, base, made)
}

/// Which joins come after each, directly, and which of these stand upon it: as the assembly has it, not followed further.
fn direct(model: &Model, build: BuildId) -> Vec<(usize, usize, bool)> {
    let joins = &model[model[build].assembly].joins;
    let mut all = Vec::new();
    for (then, join) in joins.iter().enumerate() {
        all.extend(join.upon.iter().map(|first| (*first, then, true)));
        all.extend(join.after.iter().map(|first| (*first, then, false)));
    }
    all
}

/// Whether one join can be reached from another, by paths of some sort.
fn reaches(pairs: &[(usize, usize, bool)], from: usize, to: usize, only_upon: bool) -> bool {
    let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
    while let Some(here) = open.pop() {
        for (first, then, upon) in pairs {
            if *first == here && (*upon || !only_upon) && seen.insert(*then) {
                open.push(*then);
            }
        }
    }
    seen.contains(&to)
}

fn join_of(model: &Model, build: BuildId, joint: &str) -> usize {
    let joins = &model[model[build].assembly].joins;
    let name = joint.strip_suffix(".adapter").unwrap_or(joint);
    joins.iter().position(|it| it.name.text == name).unwrap()
}

/// Parts that a joint joins, with their facts: all that it uses, but for what it could do without if that is held by
/// another joint made by hand.
fn joined(joint: &JudgedJoint, held: &BTreeSet<String>) -> Vec<(String, PartId)> {
    let needed: BTreeSet<&String> = joint.uses.iter().filter(|it| !it.optional).map(|it| &it.slot).collect();
    let own = joint.uses.iter().filter(|it| needed.contains(&it.slot) || !held.contains(&it.slot));
    own.map(|it| (it.path(), it.part)).collect()
}

/// The joints of a section in its steps, with their groups, in order.
fn in_steps(sheet: &Steps, section: Section) -> Vec<(String, usize)> {
    let steps = sheet.section(section).filter(|(_, it)| !it.joints.is_empty());
    steps.map(|(_, it)| (it.joints[0].clone(), it.group)).collect()
}

fn check(model: &Model, base: BuildId, made: BuildId) -> Result<(), TestCaseError> {
    let (before, after) = (judge_one(model, base), judge_one(model, made));
    let conversion = Conversion::of(model, Some(&before), &after);
    let sheet = Steps::of(model, &after);
    sets(model, &before, &after, &conversion)?;
    joints_on_the_sheet(&before, &after, &conversion, &sheet)?;
    pieces(model, base, made, &conversion, &sheet)?;
    order(model, made, &before, &conversion, &sheet)
}

/// Joints: made or untouched, taken apart or untouched, each as a plain reckoning has it.
fn sets(
    model: &Model,
    before: &JudgedBuild,
    after: &JudgedBuild,
    conversion: &Conversion,
) -> Result<(), TestCaseError> {
    prop_assert_eq!(conversion.before.len(), before.joints.len());
    prop_assert_eq!(conversion.after.len(), after.joints.len());
    let pairs = direct(model, after.build);
    let by_hand = |joints: &[JudgedJoint], flags: Vec<bool>| -> BTreeSet<String> {
        let made = joints.iter().zip(flags).filter(|(_, by_hand)| *by_hand).flat_map(|(joint, _)| &joint.uses);
        made.filter(|it| !it.optional).map(|it| it.slot.clone()).collect()
    };
    let mut held = by_hand(&before.joints, conversion.before.iter().map(|it| it.by_hand).collect());
    held.extend(by_hand(&after.joints, conversion.after.iter().map(|it| it.by_hand).collect()));
    // What is made by hand on one side only is another joint, whatever parts meet.
    let (old, new): (Vec<_>, Vec<_>) =
        (before.joints.iter().zip(&conversion.before).collect(), after.joints.iter().zip(&conversion.after).collect());
    let same = |(one, was): &(&JudgedJoint, &cotter::judge::Before),
                (other, is): &(&JudgedJoint, &cotter::judge::After)| {
        one.name == other.name && was.by_hand == is.by_hand && joined(one, &held) == joined(other, &held)
    };
    let broken = old.iter().filter(|it| it.1.by_hand && !new.iter().any(|other| same(it, other)));
    let made = new.iter().filter(|it| it.1.by_hand && !old.iter().any(|other| same(other, it)));
    let opened: Vec<usize> = broken
        .map(|(joint, _)| join_of(model, before.build, &joint.name))
        .chain(made.map(|(joint, _)| join_of(model, after.build, &joint.name)))
        .collect();
    for each in &new {
        let (joint, it) = each;
        let own = join_of(model, after.build, &joint.name);
        let there = old.iter().position(|other| same(other, each));
        let in_the_way = it.by_hand && opened.iter().any(|lower| reaches(&pairs, *lower, own, true));
        let expected = match there {
            None => Made::New,
            Some(number) if in_the_way => Made::Again(number),
            Some(number) => Made::Untouched(number),
        };
        prop_assert_eq!(it.origin, expected, "{}", joint.name);
    }
    for (number, each) in old.iter().enumerate() {
        let (joint, it) = each;
        let there = new.iter().position(|other| same(each, other));
        match (&it.fate, there) {
            (Apart::Broken, None) => {}
            (Apart::Untouched(other), Some(there)) => {
                prop_assert_eq!(*other, there);
                prop_assert_eq!(conversion.after[there].origin, Made::Untouched(number));
            }
            (Apart::Undone { after: other, for_old, for_new }, Some(there)) => {
                prop_assert_eq!(*other, there);
                prop_assert_eq!(conversion.after[there].origin, Made::Again(number));
                prop_assert!(!for_old.is_empty() || !for_new.is_empty(), "{}: for nothing", joint.name);
            }
            (fate, there) => prop_assert!(false, "{}: {fate:?}, {there:?}", joint.name),
        }
    }
    Ok(())
}

/// Every joint made by hand stands on the sheet once: in a step, or among those left alone.
fn joints_on_the_sheet(
    before: &JudgedBuild,
    after: &JudgedBuild,
    conversion: &Conversion,
    sheet: &Steps,
) -> Result<(), TestCaseError> {
    let mut told: Vec<&str> = sheet.untouched.iter().map(|it| it.joint.as_str()).collect();
    let steps = in_steps(sheet, Section::Assemble);
    told.extend(steps.iter().map(|(name, _)| name.as_str()));
    told.sort_unstable();
    let by_hand = after.joints.iter().zip(&conversion.after).filter(|(_, it)| it.by_hand);
    let mut expected: Vec<&str> = by_hand.map(|(joint, _)| joint.name.as_str()).collect();
    expected.sort_unstable();
    prop_assert_eq!(told, expected);
    // Every joint that is taken apart and holds by something has its step.
    let strip: Vec<String> = in_steps(sheet, Section::Strip).into_iter().map(|(name, _)| name).collect();
    let taken: BTreeSet<&str> = before
        .joints
        .iter()
        .zip(&conversion.before)
        .filter(|(_, it)| it.by_hand && !matches!(it.fate, Apart::Untouched(_)))
        .map(|(joint, _)| joint.name.as_str())
        .collect();
    prop_assert!(strip.iter().all(|it| taken.contains(it.as_str())));
    let each = before.joints.iter().zip(&conversion.before).filter(|(it, _)| taken.contains(it.name.as_str()));
    for (joint, apart) in each {
        let holds =
            apart.work.making.fastenings.iter().any(|it| !it.by_hand || !it.tool.is_empty() || !it.thread.is_empty());
        prop_assert!(!holds || strip.contains(&joint.name), "{} comes apart in no step", joint.name);
    }
    Ok(())
}

/// Pieces: of every part as many stay as there are on both sides, and the rest of the donor's are left over.
fn pieces(
    model: &Model,
    base: BuildId,
    made: BuildId,
    conversion: &Conversion,
    sheet: &Steps,
) -> Result<(), TestCaseError> {
    let counts =
        |build| -> BTreeMap<PartId, u32> { model.pieces(build).into_iter().map(|it| (it.part, it.count)).collect() };
    let (had, has) = (counts(base), counts(made));
    let parts: BTreeSet<PartId> = had.keys().chain(has.keys()).copied().collect();
    let told: Vec<PartId> = conversion.pieces.iter().map(|it| it.part).collect();
    prop_assert_eq!(told.len(), parts.len(), "each part once");
    for it in &conversion.pieces {
        let (old, new) = (had.get(&it.part).copied().unwrap_or(0), has.get(&it.part).copied().unwrap_or(0));
        prop_assert_eq!(it.stays + it.left_over, old, "every piece of the donor is one of both");
        prop_assert_eq!(it.stays + it.comes, new);
        prop_assert!(it.left_over == 0 || it.comes == 0);
        let slots = |build: BuildId| {
            let all = model[build].slots.iter().enumerate();
            all.filter(|(_, filled)| filled.is_some_and(|filled| filled.part == it.part)).map(|(at, _)| at)
        };
        let (before, after): (BTreeSet<usize>, BTreeSet<usize>) = (slots(base).collect(), slots(made).collect());
        let of = |all: &[cotter::model::SlotId]| all.iter().map(|it| it.0).collect::<BTreeSet<_>>();
        prop_assert_eq!(of(&it.leaves), &before - &after);
        prop_assert_eq!(of(&it.enters), &after - &before);
        prop_assert_eq!(of(&it.keeps), &before & &after);
        let on_sheet = sheet.left_over.iter().filter(|line| line.line.part == model[it.part].name.text);
        let left: u32 = on_sheet.map(|line| line.line.quantity).sum();
        prop_assert_eq!(left, if model[it.part].undecided { 0 } else { it.left_over });
        let comes = sheet.comes.iter().filter(|line| line.part == model[it.part].name.text);
        let comes: u32 = comes.map(|line| line.quantity).sum();
        prop_assert_eq!(comes, if model[it.part].undecided { 0 } else { it.comes });
    }
    // Nothing is told to be left over that stays, and nothing twice.
    let mut said: Vec<(&str, &str)> = Vec::new();
    for becomes in sheet.steps.iter().flat_map(|it| &it.becomes) {
        let Some(part) = becomes.piece.part.as_deref() else { continue };
        let fate = conversion.fate_of(model.part_named(part).unwrap()).unwrap();
        prop_assert!(!becomes.left_over || fate.left_over > 0, "{part} stays");
        for slot in &becomes.slots {
            prop_assert!(!said.contains(&(part, slot)), "{part} twice");
            said.push((part, slot));
        }
    }
    Ok(())
}

/// The order of steps: by `upon` and `after`, forwards and backwards; what stands in the way first; needs before what
/// needs them.
fn order(
    model: &Model,
    made: BuildId,
    before: &JudgedBuild,
    conversion: &Conversion,
    sheet: &Steps,
) -> Result<(), TestCaseError> {
    let pairs = direct(model, made);
    let join = |name: &str| join_of(model, made, name);
    let (strip, assemble) = (in_steps(sheet, Section::Strip), in_steps(sheet, Section::Assemble));
    for (at, (later, group)) in assemble.iter().enumerate() {
        for (earlier, first) in &assemble[..at] {
            prop_assert!(first <= group);
            prop_assert!(!reaches(&pairs, join(later), join(earlier), false), "{earlier} is made before {later}");
            let needs = reaches(&pairs, join(earlier), join(later), false) || *earlier == format!("{later}.adapter");
            prop_assert!(!needs || first < group, "{earlier} and {later} stand in one group");
        }
    }
    for (at, (later, group)) in strip.iter().enumerate() {
        for (earlier, first) in &strip[..at] {
            prop_assert!(!reaches(&pairs, join(earlier), join(later), false), "{earlier} is undone before {later}");
            let needs = reaches(&pairs, join(later), join(earlier), false) || *later == format!("{earlier}.adapter");
            prop_assert!(!needs || first < group, "{earlier} and {later} stand in one group");
        }
    }
    // Before anything is taken apart or made, all that stands upon it is off.
    let number = |section: Section, name: &str| {
        sheet.section(section).find(|(_, it)| it.joints == [name]).map(|(number, _)| number)
    };
    let touched = strip.iter().map(|it| (Section::Strip, it)).chain(assemble.iter().map(|it| (Section::Assemble, it)));
    for (section, (lower, _)) in touched {
        for (joint, it) in before.joints.iter().zip(&conversion.before) {
            if it.by_hand && reaches(&pairs, join(lower), join(&joint.name), true) {
                prop_assert!(!matches!(it.fate, Apart::Untouched(_)), "{} is in the way of {lower}", joint.name);
                let off = number(Section::Strip, &joint.name);
                prop_assert!(off.is_none_or(|it| Some(it) < number(section, lower)), "{} is still on", joint.name);
            }
        }
    }
    for (at, step) in sheet.steps.iter().enumerate() {
        prop_assert!(step.needs.iter().all(|it| *it <= at && *it > 0), "step {} needs what is not done yet", at + 1);
        let earlier: Vec<_> = step.needs.iter().map(|it| &sheet.steps[it - 1]).collect();
        prop_assert!(earlier.iter().all(|it| (it.section, it.group) < (step.section, step.group)));
    }
    Ok(())
}

fn heron() -> &'static Compiled {
    static MADE: OnceLock<Compiled> = OnceLock::new();
    MADE.get_or_init(|| demo("heron"))
}

fn curlew() -> &'static Compiled {
    static MADE: OnceLock<Compiled> = OnceLock::new();
    MADE.get_or_init(|| demo("curlew"))
}

fn cart() -> &'static Compiled {
    static MADE: OnceLock<Compiled> = OnceLock::new();
    MADE.get_or_init(super::cart)
}

fn changes() -> impl Strategy<Value = Vec<(usize, usize)>> {
    prop::collection::vec((0..1000usize, 0..1000usize), 0..24)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn conversions_of_the_first_demo(
        changes in changes(),
        base in prop::sample::select(vec!["heron_as_bought", "heron_winter", "heron_first_try"]),
    ) {
        let (model, base, made) = converted(heron(), base, &changes);
        check(&model, base, made)?;
    }

    #[test]
    fn conversions_of_the_second_demo(
        changes in changes(),
        base in prop::sample::select(vec!["curlew_as_bought", "curlew_tourer"]),
    ) {
        let (model, base, made) = converted(curlew(), base, &changes);
        check(&model, base, made)?;
    }

    #[test]
    fn conversions_of_a_cart(
        changes in changes(),
        base in prop::sample::select(vec!["found", "straight", "tied", "too_fat"]),
    ) {
        let (model, base, made) = converted(cart(), base, &changes);
        check(&model, base, made)?;
    }
}

#[test]
fn conversions_between_the_demo_builds_themselves() {
    for compiled in [heron(), curlew(), cart()] {
        let model = &compiled.model;
        for made in 0..model.builds.len() {
            if let Some(base) = model.builds[made].from {
                check(model, base, BuildId(made)).unwrap();
            }
        }
    }
}
