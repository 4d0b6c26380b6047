//! A function of the library, called from outside a rule.

use super::eval::{Eval, Reading};
use super::numbers;
use crate::model::{BuildId, Model, Valued};
use crate::quantity::Interval;

/// What a function of the library gives for these values; none where there is no such function, or it gives no number.
pub fn call(model: &Model, build: BuildId, function: &str, arguments: &[Valued]) -> Option<Interval> {
    let function = model.function_named(function)?;
    if function.parameters.len() != arguments.len() {
        return None;
    }
    let value = Eval::new(model, &model[build], &[], &[], Reading::default()).eval(&function.body, arguments);
    Some(numbers::range(&value.value)).filter(|it| it.is_bounded())
}
