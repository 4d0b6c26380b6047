//! The steps in their order, each with what it needs: from the joints of a conversion and the handwork of each.

use super::parts;
use super::{Bag, Becomes, Photograph, Section, Step, Untouched, of_task};
use crate::judge::{self, Apart, Arranged, Conversion, Handwork, JudgedBuild, JudgedJoint, Sequence, Todo, Verdict};
use crate::model::{Model, Task};
use crate::sheets::bill::Needed;
use crate::sheets::bill_page::needed_words;
use crate::sheets::torque;

/// All steps, and what stands beside them.
pub(super) struct Planned {
    /// In their order.
    pub steps: Vec<Step>,
    /// Cautions of each step, by name.
    pub cautions: Vec<Vec<String>>,
    pub photographs: Vec<Photograph>,
    pub throughout: Vec<Todo>,
}

/// What all of the planning looks at.
struct Site<'m> {
    model: &'m Model,
    base: Option<&'m JudgedBuild>,
    judged: &'m JudgedBuild,
    conversion: &'m Conversion,
    sequence: Sequence,
}

/// A step before it has its number, with what it is made of.
struct Draft {
    step: Step,
    cautions: Vec<String>,
    /// Joints of the base build, or of the finished one, by their numbers there.
    of: Vec<usize>,
}

pub(super) fn of(model: &Model, base: Option<&JudgedBuild>, judged: &JudgedBuild, conversion: &Conversion) -> Planned {
    let sequence = Sequence::of(&model[model[judged.build].assembly]);
    let site = Site { model, base, judged, conversion, sequence };
    let strip = site.strip();
    let assemble = site.assemble();
    let order = |arranged: &[Vec<usize>]| arranged.concat();
    let made = order(&assemble);
    let whole =
        if strip.is_empty() && made.is_empty() { Vec::new() } else { judge::whole_handwork(model, judged.build) };
    let whole_before = match base {
        Some(base) if !strip.is_empty() => judge::whole_handwork(model, base.build),
        _ => Vec::new(),
    };
    let mut drafts: Vec<Draft> = Vec::new();
    site.on_the_whole(&mut drafts, Section::Strip, &whole_before, Task::Undo);
    site.joints(&mut drafts, &strip, Section::Strip);
    site.on_the_whole(&mut drafts, Section::Ready, &whole, Task::Ready);
    site.works(&mut drafts, Section::Ready, Task::Ready, &made);
    site.joints(&mut drafts, &assemble, Section::Assemble);
    site.on_the_whole(&mut drafts, Section::Assemble, &whole, Task::Make);
    site.on_the_whole(&mut drafts, Section::Proof, &whole, Task::Proof);
    // Joints that are a matter of sizes may have a check all the same.
    let all: Vec<usize> = (0..judged.joints.len()).filter(|it| conversion.is_made(*it)).collect();
    site.works(&mut drafts, Section::Proof, Task::Proof, &all);
    site.tighten_again(&mut drafts, &made);
    let needs = judge::arranged(drafts.len(), &site.pairs(&drafts)).needs;
    for (draft, needs) in drafts.iter_mut().zip(needs) {
        draft.step.needs = needs.into_iter().map(|it| it + 1).collect();
    }
    site.references(&mut drafts);
    site.bags(&mut drafts);
    site.pieces(&mut drafts, &order(&strip));
    let photographs = site.photographs(&drafts, &whole_before);
    let mut throughout = of_task(&whole_before, Task::Seized);
    throughout.extend(of_task(&whole_before, Task::Keep));
    let (steps, cautions) = drafts.into_iter().map(|it| (it.step, it.cautions)).unzip();
    Planned { steps, cautions, photographs, throughout }
}

impl Site<'_> {
    /// Joints of the base build that are taken apart by hand, in groups, those first that are taken apart first.
    fn strip(&self) -> Vec<Vec<usize>> {
        let opened: Vec<(usize, &Handwork)> = self
            .conversion
            .before
            .iter()
            .enumerate()
            .filter(|(_, it)| it.by_hand && !matches!(it.fate, Apart::Untouched(_)))
            .map(|(number, it)| (number, &it.work))
            .collect();
        grouped(&opened, |first, then| self.is_before(then, first))
    }

    /// Joints of the finished build that are made by hand, in groups, those first that are made first.
    fn assemble(&self) -> Vec<Vec<usize>> {
        let made: Vec<(usize, &Handwork)> = self
            .conversion
            .after
            .iter()
            .enumerate()
            .filter(|(_, it)| it.by_hand && it.origin.is_made())
            .map(|(number, it)| (number, &it.work))
            .collect();
        grouped(&made, |first, then| self.is_before(first, then))
    }

    /// Whether a joint is made before another; the adapter comes before what it carries.
    fn is_before(&self, first: &Handwork, then: &Handwork) -> bool {
        match first.join == then.join {
            true => first.adapter && !then.adapter,
            false => self.sequence.is_before(first.join, then.join),
        }
    }

    /// The build that a section is about, and the joints and handwork of it.
    fn side(&self, section: Section) -> (&JudgedBuild, Vec<&Handwork>) {
        match (section, self.base) {
            (Section::Strip, Some(base)) => (base, self.conversion.before.iter().map(|it| &it.work).collect()),
            _ => (self.judged, self.conversion.after.iter().map(|it| &it.work).collect()),
        }
    }

    /// A step a joint.
    fn joints(&self, drafts: &mut Vec<Draft>, groups: &[Vec<usize>], section: Section) {
        let (build, works) = self.side(section);
        let first = drafts.iter().filter(|it| it.step.section == section).map(|it| it.step.group).max().unwrap_or(0);
        for (at, group) in groups.iter().enumerate() {
            for number in group {
                let (Some(joint), Some(work)) = (build.joints.get(*number), works.get(*number)) else { continue };
                let mut draft = self.draft(section, first + at + 1, build, joint, *number);
                let (step, todos) = (&mut draft.step, &work.todos);
                step.certain = work.certain;
                step.fastenings = joint.fastenings.iter().map(|it| torque::row(self.model, joint, it)).collect();
                draft.cautions.clone_from(&joint.cautions);
                if section == Section::Strip {
                    step.how = of_task(todos, Task::Undo);
                    step.seized = of_task(todos, Task::Seized);
                    step.photographs = of_task(todos, Task::Photo);
                } else {
                    step.how = of_task(todos, Task::Make);
                    step.verdict = Some(joint.verdict);
                    step.reasons = torque::unsettled(self.model, joint).map(|it| it.reasons).unwrap_or_default();
                    step.uses_up = uses_up(joint);
                    draft.cautions.extend(joint.fastenings.iter().flat_map(|it| it.cautions.clone()));
                    let unsettled = joint.findings.iter().filter(|it| it.required);
                    draft.cautions.extend(unsettled.flat_map(|it| it.cautions.clone()));
                }
                let own = step.how.iter().chain(&step.seized).chain(&step.photographs);
                let own: Vec<String> = own.chain(work.of(Task::Keep)).flat_map(|it| it.cautions.clone()).collect();
                if section == Section::Strip {
                    draft.cautions.extend(own);
                } else {
                    let made = draft.step.how.iter().flat_map(|it| it.cautions.clone());
                    draft.cautions.extend(made.collect::<Vec<_>>());
                }
                drafts.push(draft);
            }
        }
    }

    fn draft(&self, section: Section, group: usize, build: &JudgedBuild, joint: &JudgedJoint, number: usize) -> Draft {
        let told = (section != Section::Strip && self.base.is_some()).then_some(self.conversion);
        let step = Step {
            joints: vec![joint.name.clone()],
            title: torque::title_of(joint).to_owned(),
            parts: parts::met(self.model, build.build, joint, told),
            ..blank(section, group)
        };
        Draft { step, cautions: Vec::new(), of: vec![number] }
    }

    /// A step a work on the whole, each after the one before it.
    fn on_the_whole(&self, drafts: &mut Vec<Draft>, section: Section, todos: &[Todo], task: Task) {
        let assembly = &self.model[self.model[self.judged.build].assembly];
        let title = if assembly.about.doc.is_empty() { &assembly.name.text } else { &assembly.about.doc };
        let last = drafts.iter().filter(|it| it.step.section == section).map(|it| it.step.group).max().unwrap_or(0);
        // Only what is taken apart and put together has an order of its own.
        let ordered = matches!(section, Section::Strip | Section::Assemble);
        for (at, todo) in todos.iter().filter(|it| it.task == task).enumerate() {
            let group = if ordered { last + at + 1 } else { 1 };
            let step =
                Step { title: title.clone(), certain: todo.certain, how: vec![todo.clone()], ..blank(section, group) };
            drafts.push(Draft { step, cautions: todo.cautions.clone(), of: Vec::new() });
        }
    }

    /// A step a work of some joints; the same work on several of them is one step.
    fn works(&self, drafts: &mut Vec<Draft>, section: Section, task: Task, joints: &[usize]) {
        let (build, works) = self.side(section);
        for number in joints {
            let (Some(joint), Some(work)) = (build.joints.get(*number), works.get(*number)) else { continue };
            for todo in work.of(task) {
                let draft = self.draft(section, 1, build, joint, *number);
                let same = |it: &&mut Draft| {
                    let known = it.step.how.first();
                    it.step.section == section
                        && !it.of.is_empty()
                        && known.is_some_and(|it| {
                            (&it.text, &it.tool, it.certain) == (&todo.text, &todo.tool, todo.certain)
                        })
                };
                if let Some(known) = drafts.iter_mut().find(same) {
                    known.of.push(*number);
                    known.cautions.extend(todo.cautions.clone());
                    let step = &mut known.step;
                    step.joints.extend(draft.step.joints);
                    step.title = format!("{}; {}", step.title, draft.step.title);
                    let new = draft.step.parts.into_iter().filter(|it| !step.parts.contains(it));
                    let new: Vec<_> = new.collect();
                    step.parts.extend(new);
                    continue;
                }
                let step = Step { certain: todo.certain, how: vec![todo.clone()], ..draft.step };
                drafts.push(Draft { step, cautions: todo.cautions.clone(), ..draft });
            }
        }
    }

    /// A step a fastening that settles.
    fn tighten_again(&self, drafts: &mut Vec<Draft>, made: &[usize]) {
        for number in made {
            let Some(joint) = self.judged.joints.get(*number) else { continue };
            for fastening in joint.fastenings.iter().filter(|it| it.settles) {
                let mut draft = self.draft(Section::Again, 1, self.judged, joint, *number);
                draft.step.certain = fastening.certain;
                draft.step.verdict = Some(joint.verdict);
                draft.step.fastenings = vec![torque::row(self.model, joint, fastening)];
                draft.cautions.clone_from(&fastening.cautions);
                drafts.push(draft);
            }
        }
    }

    /// Which step comes before which, as places among the drafts.
    fn pairs(&self, drafts: &[Draft]) -> Vec<(usize, usize)> {
        let works: Vec<Vec<&Handwork>> = drafts.iter().map(|it| self.works_of(it)).collect();
        let all = || drafts.iter().zip(&works).enumerate();
        let mut pairs = Vec::new();
        for (first, (a, of_a)) in all() {
            let later = all().filter(|(then, (b, of_b))| *then != first && self.comes_before((a, of_a), (b, of_b)));
            pairs.extend(later.map(|(then, _)| (first, then)));
        }
        pairs
    }

    fn comes_before(&self, (a, of_a): (&Draft, &[&Handwork]), (b, of_b): (&Draft, &[&Handwork])) -> bool {
        use Section::{Again, Assemble, Proof, Ready, Strip};
        let any = |test: &dyn Fn(&Handwork, &Handwork) -> bool| of_a.iter().any(|a| of_b.iter().any(|b| test(a, b)));
        let same = || a.of.iter().any(|it| b.of.contains(it));
        match (a.step.section, b.step.section) {
            // Work on the whole opens the strip-down, and ends the assembly.
            (Strip, Strip) | (Assemble, Assemble) if a.of.is_empty() && b.of.is_empty() => a.step.group < b.step.group,
            (Strip, Strip) if a.of.is_empty() || b.of.is_empty() => a.of.is_empty(),
            (Assemble, Assemble) if a.of.is_empty() || b.of.is_empty() => b.of.is_empty(),
            (Assemble, Proof) if b.of.is_empty() => true,
            (Strip, Strip) => any(&|a, b| self.is_before(b, a)),
            (Assemble, Assemble) => any(&|a, b| self.is_before(a, b)),
            // What stood there must be off, and whatever stands in the way.
            (Strip, Ready | Assemble) => {
                any(&|a, b| a.join == b.join || self.sequence.stands_upon(a.join, b.join)) || self.gives_way(a, b)
            }
            (Ready, Assemble) | (Assemble, Proof | Again) => same(),
            _ => false,
        }
    }

    fn works_of(&self, draft: &Draft) -> Vec<&Handwork> {
        let (_, works) = self.side(draft.step.section);
        draft.of.iter().filter_map(|it| works.get(*it).copied()).collect()
    }

    /// Whether a step takes a part out of a slot that another puts its own into.
    fn gives_way(&self, off: &Draft, on: &Draft) -> bool {
        let other = |slot: &str| {
            let on = on.step.parts.iter().find(|it| it.slot == slot).map(|it| &it.part);
            let off = off.step.parts.iter().find(|it| it.slot == slot).map(|it| &it.part);
            on.is_some() && off.is_some() && on != off
        };
        off.step.parts.iter().any(|it| other(&it.slot))
    }

    /// Step numbers that other steps tell: what a joint that stays is taken apart for, and where it is made again.
    fn references(&self, drafts: &mut [Draft]) {
        let strip = |number: usize| step_of(drafts, Section::Strip, number);
        let assemble = |number: usize| step_of(drafts, Section::Assemble, number);
        let mut found = Vec::new();
        for (number, before) in self.conversion.before.iter().enumerate() {
            let Apart::Undone { after, for_old, for_new } = &before.fate else { continue };
            let mut at: Vec<usize> = for_old.iter().filter_map(|it| strip(*it)).collect();
            at.extend(for_new.iter().filter_map(|it| assemble(*it)));
            found.push((strip(number), assemble(*after), at));
        }
        for (off, on, at) in found {
            let (Some(off), Some(on)) = (off, on) else { continue };
            if let Some(draft) = drafts.get_mut(off - 1) {
                draft.step.to_get_at = at;
                draft.step.counterpart = Some(on);
            }
            if let Some(draft) = drafts.get_mut(on - 1) {
                draft.step.counterpart = Some(off);
            }
        }
    }

    /// Bags, filled in the strip-down and emptied in the assembly.
    fn bags(&self, drafts: &mut [Draft]) {
        let Some(base) = self.base else { return };
        let mut filled: Vec<(usize, Bag)> = Vec::new();
        let mut number = 0;
        for (at, draft) in drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Strip) {
            let Some(joint) = draft.of.first().and_then(|it| base.joints.get(*it)) else { continue };
            for work in self.works_of(draft) {
                for todo in work.of(Task::Keep) {
                    number += 1;
                    let emptied = self.emptied_in(joint, drafts);
                    let bag = Bag { number, text: todo.text.clone(), certain: todo.certain, emptied };
                    filled.push((at, bag));
                }
            }
        }
        for (at, bag) in filled {
            for step in &bag.emptied {
                if let Some(draft) = drafts.get_mut(step - 1) {
                    draft.step.from_bags.push((bag.number, at + 1));
                }
            }
            if let Some(draft) = drafts.get_mut(at) {
                draft.step.bags.push(bag);
            }
        }
    }

    /// Steps of the assembly that want what belongs to a joint that was taken apart: those that join one of its parts
    /// again in the same way, at the same place if there is such a one.
    fn emptied_in(&self, joint: &JudgedJoint, drafts: &[Draft]) -> Vec<usize> {
        let again = |other: &JudgedJoint| {
            other.joint == joint.joint && other.uses.iter().any(|it| joint.uses.iter().any(|old| old.part == it.part))
        };
        let made = drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Assemble);
        let made = made.filter_map(|(at, it)| Some((at + 1, self.judged.joints.get(*it.of.first()?)?)));
        let all: Vec<(usize, &JudgedJoint)> = made.filter(|(_, it)| again(it)).collect();
        let here = all.iter().find(|(_, it)| it.name == joint.name);
        here.map_or_else(|| all.iter().map(|(at, _)| *at).collect(), |(at, _)| vec![*at])
    }

    /// What becomes of the parts that come off, told in the last step of each.
    fn pieces(&self, drafts: &mut [Draft], strip: &[usize]) {
        let Some(base) = self.base else { return };
        let goes_on = |slot: &str| {
            let mut made = drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Assemble);
            made.find(|(_, it)| it.step.parts.iter().any(|it| it.slot == slot)).map(|(at, _)| at + 1)
        };
        let told: Vec<(usize, Becomes)> = parts::becomes(self.model, base, self.conversion, strip, goes_on);
        for (number, becomes) in told {
            let at = step_of(drafts, Section::Strip, number);
            if let Some(draft) = at.and_then(|it| drafts.get_mut(it - 1)) {
                draft.step.becomes.push(becomes);
            }
        }
    }

    /// Photographs: of the whole first, then in the order of the steps, then those that go with no step.
    fn photographs(&self, drafts: &[Draft], whole: &[Todo]) -> Vec<Photograph> {
        let photograph = |todo: &Todo, of: &str, step: Option<usize>| Photograph {
            text: todo.text.clone(),
            of: of.to_owned(),
            certain: todo.certain,
            step,
        };
        let mut all: Vec<Photograph> =
            whole.iter().filter(|it| it.task == Task::Photo).map(|it| photograph(it, "", None)).collect();
        for (at, draft) in drafts.iter().enumerate() {
            all.extend(draft.step.photographs.iter().map(|it| photograph(it, &draft.step.title, Some(at + 1))));
        }
        let joints = self.base.iter().flat_map(|it| &it.joints);
        for (joint, before) in joints.zip(&self.conversion.before) {
            if !before.by_hand && before.fate == Apart::Broken {
                all.extend(before.work.of(Task::Photo).map(|it| photograph(it, torque::title_of(joint), None)));
            }
        }
        all
    }
}

/// The number of the step in which a joint is taken apart or made.
fn step_of(drafts: &[Draft], section: Section, joint: usize) -> Option<usize> {
    drafts.iter().position(|it| it.step.section == section && it.of == [joint]).map(|it| it + 1)
}

/// Joints in groups, by what comes before what.
fn grouped(joints: &[(usize, &Handwork)], comes_before: impl Fn(&Handwork, &Handwork) -> bool) -> Vec<Vec<usize>> {
    let mut pairs = Vec::new();
    for (first, (_, a)) in joints.iter().enumerate() {
        let later = joints.iter().enumerate().filter(|(then, (_, b))| *then != first && comes_before(a, b));
        pairs.extend(later.map(|(then, _)| (first, then)));
    }
    let Arranged { groups, .. } = judge::arranged(joints.len(), &pairs);
    let numbers = |group: Vec<usize>| group.into_iter().filter_map(|it| Some(joints.get(it)?.0)).collect();
    groups.into_iter().map(numbers).collect()
}

fn blank(section: Section, group: usize) -> Step {
    Step {
        section,
        group,
        joints: Vec::new(),
        title: String::new(),
        verdict: None,
        reasons: Vec::new(),
        certain: true,
        parts: Vec::new(),
        to_get_at: Vec::new(),
        counterpart: None,
        how: Vec::new(),
        fastenings: Vec::new(),
        seized: Vec::new(),
        photographs: Vec::new(),
        bags: Vec::new(),
        becomes: Vec::new(),
        from_bags: Vec::new(),
        uses_up: Vec::new(),
        cautions: Vec::new(),
        needs: Vec::new(),
    }
}

/// What a joint uses up, each with how many.
fn uses_up(joint: &JudgedJoint) -> Vec<String> {
    let words = joint.consumes.iter().filter_map(|it| {
        let mut needed = Needed::default();
        needed.add(it);
        let known = needed.count.is_some().then(|| format!(": {}", needed_words(&needed, it.dimension)));
        (!needed.is_nothing()).then(|| format!("{}{}", it.what, known.unwrap_or_default()))
    });
    words.collect()
}

/// Joints made by hand that are left alone, in the order of the assembly.
pub(super) fn untouched(model: &Model, judged: &JudgedBuild, conversion: &Conversion) -> Vec<Untouched> {
    let alone = judged.joints.iter().zip(&conversion.after).filter(|(_, it)| it.by_hand && !it.origin.is_made());
    let one = |(joint, after): (&JudgedJoint, &judge::After)| Untouched {
        joint: joint.name.clone(),
        title: torque::title_of(joint).to_owned(),
        verdict: joint.verdict,
        reasons: torque::unsettled(model, joint).map(|it| it.reasons).unwrap_or_default(),
        parts: parts::met(model, judged.build, joint, None),
        fastenings: match joint.verdict {
            Verdict::Clashes => Vec::new(),
            _ => joint.fastenings.iter().map(|it| torque::row(model, joint, it)).collect(),
        },
        proofs: of_task(&after.work.todos, Task::Proof),
    };
    alone.map(one).collect()
}
