//! A function of the library, called from outside a rule.

use super::eval::{Eval, Reading};
use crate::model::{BuildId, Model, Valued};

/// What a function of the library gives for these values, with the facts that it rests on; none where there is no such
/// function, or it takes another number of them.
pub fn call(model: &Model, build: BuildId, function: &str, arguments: &[Valued]) -> Option<Valued> {
    let function = model.function_named(function)?;
    if function.parameters.len() != arguments.len() {
        return None;
    }
    Some(Eval::new(model, &model[build], &[], &[], Reading::default()).value_of(&function.body, arguments))
}
