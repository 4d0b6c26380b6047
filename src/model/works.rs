//! Handwork of joints and of the whole: what is done by hand besides what fastenings say.

use super::checker::Scope;
use super::*;
use crate::syntax::tree::{self, Name};
use serde::{Deserialize, Serialize};

/// What a work is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Task {
    /// A photograph to take before it is taken apart.
    Photo,
    /// How it is taken apart, besides loosening its fastenings.
    Undo,
    /// What to do when it does not move.
    Seized,
    /// What belongs together once it is apart.
    Keep,
    /// What is done to its parts before it is made.
    Ready,
    /// How it is made, besides its fastenings.
    Make,
    /// A check before the first use.
    Proof,
}

impl Task {
    /// All of them by their words.
    pub const NAMED: &[(&'static str, Task)] = &[
        ("photo", Task::Photo),
        ("undo", Task::Undo),
        ("seized", Task::Seized),
        ("keep", Task::Keep),
        ("ready", Task::Ready),
        ("make", Task::Make),
        ("proof", Task::Proof),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Task::NAMED.iter().find(|(_, task)| *task == self).map_or("", |(word, _)| word)
    }
}

/// Something to do by hand.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Work {
    /// What it is for.
    pub task: Task,
    /// Its word, where it stands.
    pub name: Name,
    /// What is done.
    pub text: Template,
    /// When.
    pub when: Option<Ir>,
    /// With which tool.
    pub tool: Option<Template>,
    /// Cautions.
    pub cautions: Vec<CautionRef>,
    /// Its notes and sources; common practice where it names none.
    pub about: About,
}

impl Builder {
    /// Handwork, in the scope of its joint or of the whole.
    pub(super) fn work(&mut self, work: &tree::Work, scope: &Scope) -> Option<Work> {
        let task = Task::NAMED.iter().find(|(word, _)| *word == work.word.text)?.1;
        Some(Work {
            task,
            name: work.word.clone(),
            text: self.template(&work.text, scope),
            when: work.when.as_ref().map(|it| self.flag(it, scope)),
            tool: work.tool.as_ref().map(|it| self.template(it, scope)),
            cautions: self.cautions(&work.cautions, scope),
            about: self.about(&work.about),
        })
    }

    /// Handwork on the whole.
    pub(super) fn whole_works(&mut self, id: AssemblyId, works: &[&tree::Work]) {
        let assembly = self.model[id].clone();
        let scope = Scope::Assembly(&assembly);
        let mut made: Vec<Work> = works.iter().filter_map(|it| self.work(it, &scope)).collect();
        if let Some(assembly) = self.base().assemblies.get_mut(id.0) {
            assembly.works.append(&mut made);
        }
    }
}
