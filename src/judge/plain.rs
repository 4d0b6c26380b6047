//! What a joint asks for while nothing of its parts is known and nothing is printed on them.

use super::eval::{Eval, Reading};
use super::fasten::TorqueRange;
use super::numbers;
use crate::model::{AssemblyId, Build, JointId, Kind, Model, Part, PartId, Type, Value, Valued};
use crate::source::{FileId, Span};
use crate::syntax::tree::Name;
use std::sync::Arc;

/// The torque of a fastening of a joint, as far as it hangs on nothing but what may be printed on parts, which is taken
/// as not there. None when it is by hand, or hangs on more.
pub fn asked_torque(model: &Model, joint: JointId, fastening: usize) -> Option<TorqueRange> {
    let (low, high) = model[joint].fastenings.get(fastening)?.torque.as_ref()?;
    // Parts of which nothing is known stand in for the parameters.
    let mut model = model.clone();
    let takes = model[joint].takes.clone();
    let mut parameters = Vec::with_capacity(takes.len());
    for parameter in &takes {
        let value = match &parameter.kind {
            _ if parameter.optional => Value::Absent,
            Type::Part(kinds) => {
                let kind = *kinds.first()?;
                let facts = blank_facts(&model, &model[kind]);
                let span = Span::new(FileId(u32::MAX), 0, 0);
                let name = Name { text: parameter.name.text.clone(), span };
                let id = PartId(model.parts.len());
                model.parts.push(Arc::new(Part { name, kind, doc: String::new(), facts, span, undecided: true }));
                Value::Part(id)
            }
            kind => kind.unknown(crate::quantity::Interval::ALL),
        };
        parameters.push(Valued::plain(value));
    }
    let lets = model[joint].lets.clone();
    // Expressions of joints name no slot, so nothing is ever asked of the build.
    let build = Build::blank(AssemblyId(usize::MAX));
    let eval = Eval::new(&model, &build, &parameters, &lets, Reading::default());
    let (low, high) = (numbers::range(&eval.value(low).value), numbers::range(&eval.value(high).value));
    (low.is_exact() && high.is_exact()).then(|| TorqueRange { low: low.low(), high: high.high() })
}

fn blank_facts(model: &Model, kind: &Kind) -> Vec<Valued> {
    let facts = kind.facts.values().map(|id| &model[*id]);
    facts.map(|it| Valued::plain(if it.optional { Value::Absent } else { it.kind.unknown(it.limits) })).collect()
}
