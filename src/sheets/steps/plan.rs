//! The steps in their order, each with what it needs: from the joints of a conversion and the handwork of each.

use super::parts;
use super::{Photograph, Section, Step, Untouched, of_task};
use crate::judge::{self, Conversion, Handwork, JudgedBuild, JudgedFastening, JudgedJoint, Made};
use crate::judge::{Sequence, Todo, Verdict};
use crate::model::{Model, Task};
use crate::sheets::bill::Needed;
use crate::sheets::bill_page::{length, needed_words};
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
pub(super) struct Site<'m> {
    pub model: &'m Model,
    pub base: Option<&'m JudgedBuild>,
    pub judged: &'m JudgedBuild,
    pub conversion: &'m Conversion,
    pub sequence: Sequence,
}

/// A step before it has its number, with what it is made of.
pub(super) struct Draft {
    pub step: Step,
    /// By name.
    pub cautions: Vec<String>,
    /// Joints of the base build, or of the finished one, by their numbers there.
    pub of: Vec<usize>,
}

pub(super) fn of(model: &Model, base: Option<&JudgedBuild>, judged: &JudgedBuild, conversion: &Conversion) -> Planned {
    let sequence = Sequence::of(&model[model[judged.build].assembly]);
    let site = Site { model, base, judged, conversion, sequence };
    let strip = site.strip();
    let assemble = site.assemble();
    let made = assemble.concat();
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
    // What is only put back was made ready when it was made: no metal is cut for it a second time.
    let new = |it: &&usize| conversion.after.get(**it).is_some_and(|it| it.origin == Made::New);
    let new: Vec<usize> = made.iter().filter(new).copied().collect();
    site.works(&mut drafts, Section::Ready, Task::Ready, &new);
    site.joints(&mut drafts, &assemble, Section::Assemble);
    site.on_the_whole(&mut drafts, Section::Assemble, &whole, Task::Make);
    site.on_the_whole(&mut drafts, Section::Proof, &whole, Task::Proof);
    // Joints that are a matter of sizes may have a check all the same.
    let all: Vec<usize> = (0..judged.joints.len()).filter(|it| conversion.is_made(*it)).collect();
    site.works(&mut drafts, Section::Proof, Task::Proof, &all);
    site.tighten_again(&mut drafts, &made);
    // What is checked of the whole, or of what no step puts together, is checked last.
    let put = |of: &[usize]| of.iter().any(|it| step_of(&drafts, Section::Assemble, *it).is_some());
    let last: Vec<bool> = drafts.iter().map(|it| it.step.section == Section::Proof && !put(&it.of)).collect();
    drafts.iter_mut().zip(last).for_each(|(draft, last)| draft.step.after_all = last);
    let needs = judge::arranged(drafts.len(), &site.pairs(&drafts)).needs;
    for (draft, needs) in drafts.iter_mut().zip(needs) {
        draft.step.needs = needs.into_iter().map(|it| it + 1).collect();
    }
    site.references(&mut drafts);
    site.pieces(&mut drafts);
    site.bags(&mut drafts);
    let photographs = site.photographs(&drafts, &whole_before);
    let mut throughout = of_task(&whole_before, Task::Seized);
    throughout.extend(of_task(&whole_before, Task::Keep));
    let (steps, cautions) = drafts.into_iter().map(|it| (it.step, it.cautions)).unzip();
    Planned { steps, cautions, photographs, throughout }
}

impl Site<'_> {
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
                let fastenings = work.making.fastenings.iter();
                step.fastenings = fastenings.map(|it| torque::row(self.model, joint, it)).collect();
                draft.cautions.clone_from(&joint.cautions);
                if section == Section::Strip {
                    step.how = of_task(todos, Task::Undo);
                    step.seized = of_task(todos, Task::Seized);
                    step.photographs = of_task(todos, Task::Photo);
                    step.may_stay = self.may_stay(joint, work);
                } else {
                    step.how = of_task(todos, Task::Make);
                    step.verdict = Some(joint.verdict);
                    step.reasons = torque::unsettled(self.model, joint).map(|it| it.reasons).unwrap_or_default();
                    step.uses_up = uses_up(work);
                    step.cuts = cuts(work);
                    draft.cautions.extend(work.making.fastenings.iter().flat_map(|it| it.cautions.clone()));
                    let unsettled = joint.findings.iter().filter(|it| it.required);
                    draft.cautions.extend(unsettled.flat_map(|it| it.cautions.clone()));
                }
                let said = step.how.iter().chain(&step.seized).chain(&step.photographs);
                let kept = work.of(Task::Keep).filter(|_| section == Section::Strip);
                let said: Vec<String> = said.chain(kept).flat_map(|it| it.cautions.clone()).collect();
                draft.cautions.extend(said);
                drafts.push(draft);
            }
        }
    }

    /// The handwork of the joints that a step is about.
    pub(super) fn works_of(&self, draft: &Draft) -> Vec<&Handwork> {
        let (_, works) = self.side(draft.step.section);
        draft.of.iter().filter_map(|it| works.get(*it).copied()).collect()
    }

    fn draft(&self, section: Section, group: usize, build: &JudgedBuild, joint: &JudgedJoint, number: usize) -> Draft {
        let told = section != Section::Strip && self.base.is_some();
        let step = Step {
            joints: vec![joint.name.clone()],
            title: torque::title_of(joint).to_owned(),
            parts: parts::met(self.model, build.build, joint, self.conversion, told),
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
            // Nothing is cut, filed or tried for a joint that must not be made.
            if joint.verdict == Verdict::Clashes {
                continue;
            }
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

    /// A step a joint with fastenings that settle.
    fn tighten_again(&self, drafts: &mut Vec<Draft>, made: &[usize]) {
        for number in made {
            let made = self.judged.joints.get(*number).zip(self.conversion.after.get(*number));
            let Some((joint, after)) = made else { continue };
            let fastenings = after.work.making.fastenings.iter();
            let settles: Vec<&JudgedFastening> = fastenings.filter(|it| it.settles).collect();
            if settles.is_empty() || joint.verdict == Verdict::Clashes {
                continue;
            }
            let mut draft = self.draft(Section::Again, 1, self.judged, joint, *number);
            draft.step.certain = settles.iter().any(|it| it.certain);
            draft.step.verdict = Some(joint.verdict);
            draft.step.reasons = torque::unsettled(self.model, joint).map(|it| it.reasons).unwrap_or_default();
            draft.step.fastenings = settles.iter().map(|it| torque::row(self.model, joint, it)).collect();
            draft.cautions = settles.iter().flat_map(|it| it.cautions.clone()).collect();
            drafts.push(draft);
        }
    }
}

/// The number of the step in which a joint is taken apart or made.
pub(super) fn step_of(drafts: &[Draft], section: Section, joint: usize) -> Option<usize> {
    drafts.iter().position(|it| it.step.section == section && it.of == [joint]).map(|it| it + 1)
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
        may_stay: false,
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
        cuts: Vec::new(),
        cautions: Vec::new(),
        needs: Vec::new(),
        after_all: false,
    }
}

/// What a joint uses up, each with how many; what prepares a fastening is told with that.
fn uses_up(work: &Handwork) -> Vec<String> {
    let prepares = |what: &String| work.making.fastenings.iter().any(|it| it.uses.contains(what));
    let counted = work.making.consumes.iter().filter(|it| !(it.cut || it.count.is_none() && prepares(&it.what)));
    let words = counted.filter_map(|it| {
        let mut needed = Needed::default();
        needed.add(it);
        let known = needed.count.is_some().then(|| format!(": {}", needed_words(&needed, it.dimension)));
        (!needed.is_nothing()).then(|| format!("{}{}", it.what, known.unwrap_or_default()))
    });
    words.collect()
}

/// What is cut to length for a joint, each with its length.
fn cuts(work: &Handwork) -> Vec<String> {
    let cuts = work.making.consumes.iter().filter(|it| it.cut);
    cuts.filter_map(|it| Some(format!("{}: {}", it.what, length(it.count?)))).collect()
}

/// Joints made by hand that are left alone, in the order of the assembly.
pub(super) fn untouched(model: &Model, judged: &JudgedBuild, conversion: &Conversion) -> Vec<Untouched> {
    let alone = judged.joints.iter().zip(&conversion.after).filter(|(_, it)| it.by_hand && !it.origin.is_made());
    let one = |(joint, after): (&JudgedJoint, &judge::After)| Untouched {
        joint: joint.name.clone(),
        title: torque::title_of(joint).to_owned(),
        verdict: joint.verdict,
        reasons: torque::unsettled(model, joint).map(|it| it.reasons).unwrap_or_default(),
        parts: parts::met(model, judged.build, joint, conversion, false),
        fastenings: match joint.verdict {
            Verdict::Clashes => Vec::new(),
            _ => after.work.making.fastenings.iter().map(|it| torque::row(model, joint, it)).collect(),
        },
        proofs: of_task(&after.work.todos, Task::Proof),
    };
    alone.map(one).collect()
}
