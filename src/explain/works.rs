//! Handwork on the pages of joints and of the whole: what the steps of a conversion are made of.

use super::Known;
use super::paper::{Paper, how_sure};
use super::source;
use crate::model::Task;
use crate::syntax::tree::Work;

/// All handwork, in the order of the work.
pub(super) fn section(known: Known, works: &[Work], paper: &mut Paper) {
    let mut pairs: Vec<(String, Vec<String>)> = Vec::new();
    for (word, task) in Task::NAMED {
        pairs.extend(works.iter().filter(|it| it.word.text == *word).map(|it| (label(*task), said(known, it))));
    }
    if !pairs.is_empty() {
        paper.heading("By hand");
        paper.pairs(&pairs);
    }
}

fn label(task: Task) -> String {
    let words = match task {
        Task::Photo => "photograph first",
        Task::Undo => "to take it apart",
        Task::Seized => "if it does not move",
        Task::Keep => "keep together",
        Task::Ready => "to prepare",
        Task::Make => "to make it",
        Task::Proof => "to check it",
    };
    words.to_owned()
}

fn said(known: Known, it: &Work) -> Vec<String> {
    let mut said = vec![source::template(known, &it.text)];
    said.extend(it.when.iter().map(|when| format!("when {}", source::written(known, when))));
    said.extend(it.tool.iter().map(|tool| format!("with {}", source::template(known, tool))));
    said.extend(it.about.notes.iter().map(|note| note.text.clone()));
    said.extend(it.about.sources.iter().map(|source| format!("known from {}", how_sure(source))));
    said
}
