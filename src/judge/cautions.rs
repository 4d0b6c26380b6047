//! Cautions that are called for: all but those whose condition surely does not hold.

use super::eval::{Eval, Reading};
use crate::model::{BuildId, CautionRef, Model};
use crate::quantity::Truth;

/// The names of those that hold as far as is known.
pub(super) fn called_for(eval: &Eval, cautions: &[CautionRef]) -> Vec<String> {
    let holds = |it: &&CautionRef| it.when.as_ref().is_none_or(|when| eval.answer(when).0 != Truth::No);
    cautions.iter().filter(holds).map(|it| it.name.clone()).collect()
}

/// Those of a whole build, by name.
pub fn whole_cautions(model: &Model, build: BuildId) -> Vec<String> {
    let build = &model[build];
    called_for(&Eval::new(model, build, &[], &[], Reading::default()), &model[build.assembly].cautions)
}
