//! What a verdict rests on: every fact that the rules of a joint read to come to it.

use super::eval::{Eval, Reading};
use super::verdict::{self, JudgedJoint};
use super::{bind, fasten};
use crate::model::{BuildId, FactId, Model, Trail};

/// The facts that the requirements of a joint were judged by, and the limits printed on its parts.
pub fn rests_on(model: &Model, build: BuildId, joint: &JudgedJoint) -> Vec<FactId> {
    let build = &model[build];
    let Some(bound) = bind::named(model, build, &joint.name) else { return Vec::new() };
    let joint = &model[bound.join.joint];
    let eval = Eval::new(model, build, &bound.parameters, &joint.lets, Reading::default());
    let mut trail = bound.doubt.clone().unwrap_or_default();
    for rule in joint.rules.iter().filter(|it| it.required) {
        if let Some(when) = &rule.when {
            trail.join(&eval.answer(when).1);
        }
        trail.join(&verdict::holds(&eval, rule).1);
    }
    for fastening in joint.fastenings.iter().filter(|it| !it.printed.is_empty()) {
        let made = fasten::fastening(model, &eval, fastening, &[]);
        made.iter().flat_map(|it| &it.trail).for_each(|fact| trail.join(&Trail::one(*fact)));
    }
    trail.facts().to_vec()
}
