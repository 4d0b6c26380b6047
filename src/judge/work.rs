//! Handwork of a build: what the library says is done by hand, with the values of this build in it. Asked for by the
//! sheets that want it; no verdict needs it.

use super::bind::{self, Bound};
use super::cautions;
use super::eval::{Eval, Reading};
use super::verdict::Making;
use crate::model::{Build, BuildId, Model, Task, Template, Work};
use crate::quantity::Truth;
use crate::syntax::tree::Source;

/// Something to do by hand.
#[derive(Clone, Debug)]
pub struct Todo {
    /// What it is for.
    pub task: Task,
    /// What is done.
    pub text: String,
    /// With which tool; empty when none is said.
    pub tool: String,
    /// Whether it is surely to be done; otherwise it hangs on facts that are not known.
    pub certain: bool,
    /// Cautions, by name.
    pub cautions: Vec<String>,
    /// More to know.
    pub notes: Vec<String>,
    /// Where it is from; common practice when it says nothing.
    pub sources: Vec<Source>,
}

/// The handwork of one joint of a build.
#[derive(Clone, Debug)]
pub struct Handwork {
    /// The join that the joint is an occurrence of, by its number in the assembly.
    pub join: usize,
    /// It is the adapter's own seat.
    pub adapter: bool,
    /// Whether the joint is surely there; otherwise that hangs on facts that are not known.
    pub certain: bool,
    /// How it is made, and what it uses up.
    pub making: Making,
    /// What there is to do, in the order of the library.
    pub todos: Vec<Todo>,
}

impl Handwork {
    /// What there is to do of one sort.
    pub fn of(&self, task: Task) -> impl Iterator<Item = &Todo> {
        self.todos.iter().filter(move |it| it.task == task)
    }
}

/// The handwork of every joint of a build: one for each of its judged joints, in their order.
pub fn handwork(model: &Model, build: BuildId) -> Vec<Handwork> {
    let build = &model[build];
    let joins = model[build.assembly].joins.iter().enumerate();
    let all =
        joins.flat_map(|(number, join)| bind::occurrences(model, build, join).into_iter().map(move |it| (number, it)));
    all.map(|(number, bound)| of_joint(model, build, number, &bound)).collect()
}

fn of_joint(model: &Model, build: &Build, join: usize, bound: &Bound) -> Handwork {
    let joint = &model[bound.join.joint];
    let eval = Eval::new(model, build, &bound.parameters, &joint.lets, Reading::default());
    let certain = bound.doubt.is_none();
    let mut todos = todos(model, &eval, &joint.works);
    todos.iter_mut().for_each(|it| it.certain &= certain);
    Handwork {
        join,
        adapter: bound.name != bound.join.name.text,
        certain,
        making: Making::of(model, build, bound),
        todos,
    }
}

/// The handwork on the whole of a build.
pub fn whole_handwork(model: &Model, build: BuildId) -> Vec<Todo> {
    let build = &model[build];
    let eval = Eval::new(model, build, &[], &[], Reading::default());
    todos(model, &eval, &model[build.assembly].works)
}

fn todos(model: &Model, eval: &Eval, works: &[Work]) -> Vec<Todo> {
    let text = |template: &Template| eval.text(model, template);
    let todo = |work: &Work| {
        let truth = work.when.as_ref().map_or(Truth::Yes, |when| eval.answer(when).0);
        (truth != Truth::No).then(|| Todo {
            task: work.task,
            text: text(&work.text),
            tool: work.tool.as_ref().map(text).unwrap_or_default(),
            certain: truth == Truth::Yes,
            cautions: cautions::called_for(eval, &work.cautions),
            notes: work.about.notes.clone(),
            sources: work.about.sources.clone(),
        })
    };
    works.iter().filter_map(todo).collect()
}
