//! How a joint is made: which fastenings apply, and the torque that satisfies the joint and what is printed on its parts.

use super::eval::Eval;
use super::numbers;
use super::verdict::Finding;
use crate::model::{FactId, Fastening, Model, Trail, Value};
use crate::quantity::{Interval, Truth};
use crate::syntax::tree::Source;

/// A torque of a fastening, in N·mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueRange {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// A fastening of a joint in a build.
#[derive(Clone, Debug)]
pub struct JudgedFastening {
    /// What it is.
    pub title: String,
    /// Whether the joint is surely made this way; otherwise it hangs on facts that are not known.
    pub certain: bool,
    /// The thread.
    pub thread: String,
    /// The tool.
    pub tool: String,
    /// The torque of the joint alone; none when by hand, or not known.
    pub joint_torque: Option<TorqueRange>,
    /// The torque that also satisfies what is printed; none when by hand, not known, or in conflict.
    pub torque: Option<TorqueRange>,
    /// Limits printed on parts: the path in the rule and the range.
    pub printed: Vec<(String, TorqueRange)>,
    /// Whether no torque satisfies the joint and what is printed.
    pub conflict: bool,
    /// Preparation.
    pub prepare: String,
    /// Tightened to the left.
    pub left: bool,
    /// What must be done before.
    pub before: String,
    /// Cautions, by name, the joint's own included.
    pub cautions: Vec<String>,
    /// Where the figures are from.
    pub sources: Vec<Source>,
    /// Facts that decide whether the joint is made this way, and those that the printed limits are.
    pub trail: Vec<FactId>,
}

/// The fastening, unless the joint is surely not made this way.
pub(super) fn fastening(
    model: &Model,
    eval: &Eval,
    fastening: &Fastening,
    joint_cautions: &[String],
) -> Option<JudgedFastening> {
    let (truth, mut trail) = fastening.when.as_ref().map_or((Truth::Yes, Trail::default()), |when| eval.answer(when));
    if truth == Truth::No {
        return None;
    }
    let text = |template: &Option<crate::model::Template>| {
        template.as_ref().map(|it| eval.text(model, it)).unwrap_or_default()
    };
    let joint_torque = fastening.torque.as_ref().and_then(|(low, high)| {
        let (low, high) = (numbers::range(&eval.value(low).value), numbers::range(&eval.value(high).value));
        (low.is_bounded() && high.is_bounded()).then(|| TorqueRange { low: low.low(), high: high.high() })
    });
    let mut printed = Vec::new();
    for (path, ir) in &fastening.printed {
        let value = eval.value(ir);
        if let Value::Range(Some((low, high))) = &value.value {
            let (low, high) = (low.range.low(), high.range.high());
            // A single printed figure is a ceiling: what lies below it is the joint's business.
            let low = if low == high { 0.0 } else { low };
            printed.push((path.text.clone(), TorqueRange { low, high }));
            trail.join(&value.from);
        }
    }
    let mut both = joint_torque.map(|it| Interval::new(it.low, it.high));
    let mut conflict = false;
    for (_, limit) in &printed {
        let limit = Interval::new(limit.low, limit.high);
        match both {
            Some(so_far) => match so_far.meet(limit) {
                Some(met) => both = Some(met),
                None => conflict = true,
            },
            None => both = Some(limit),
        }
    }
    let torque = both.filter(|_| !conflict).map(|it| TorqueRange { low: it.low(), high: it.high() });
    let mut cautions = fastening.cautions.clone();
    cautions.extend(joint_cautions.iter().filter(|it| !fastening.cautions.contains(it)).cloned());
    Some(JudgedFastening {
        title: if fastening.about.doc.is_empty() { fastening.name.text.clone() } else { fastening.about.doc.clone() },
        certain: truth == Truth::Yes,
        thread: text(&fastening.thread),
        tool: text(&fastening.tool),
        joint_torque,
        torque,
        printed,
        conflict,
        prepare: text(&fastening.prepare),
        left: fastening.left,
        before: text(&fastening.before),
        cautions,
        sources: fastening.about.sources.clone(),
        trail: trail.facts().to_vec(),
    })
}

/// The clash of a fastening whose limits don't meet.
pub(super) fn conflict(fastening: &JudgedFastening) -> Option<Finding> {
    if !fastening.conflict {
        return None;
    }
    let shown = |range: &TorqueRange| {
        super::show::range(Interval::new(range.low, range.high), crate::quantity::Dimension::TORQUE)
    };
    let joint = fastening.joint_torque.as_ref().map(|it| format!("the joint asks for {}", shown(it)));
    let printed = fastening.printed.iter().map(|(path, range)| format!("`{path}` allows {}", shown(range)));
    let all: Vec<String> = joint.into_iter().chain(printed).collect();
    Some(Finding {
        code: "torque.conflict".to_owned(),
        required: true,
        fails: fastening.certain,
        title: format!("one torque satisfies the joint and what is printed on its parts: {}", fastening.title),
        message: format!("no torque suits the {}: {}", fastening.title, all.join(", ")),
        why: "Too little and the joint slips, too much and a part is crushed: between parts that don't agree there is no safe torque.".to_owned(),
        may: vec!["take a part whose printed limit meets the other's".to_owned()],
        cautions: fastening.cautions.clone(),
        trail: fastening.trail.clone(),
        lean: None,
    })
}
