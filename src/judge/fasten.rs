//! How a joint is made: which fastenings apply, and the torque that satisfies the joint and what is printed on its parts.

use super::cautions;
use super::eval::Eval;
use super::numbers;
use super::verdict::{Finding, Use};
use crate::model::{CautionRef, FactId, Fastening, Ir, Model, Trail, Value};
use crate::quantity::{Dimension, Interval, Truth};
use crate::syntax::tree::Source;

/// A torque of a fastening, in N·mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueRange {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// A limit that may be printed on a part.
#[derive(Clone, Debug)]
pub struct Printed {
    /// Its path in the rule.
    pub path: String,
    /// What it allows; none while nobody has read it.
    pub range: Option<TorqueRange>,
    /// The facts that it is.
    pub trail: Vec<FactId>,
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
    /// The joint itself asks for no more than a hand.
    pub by_hand: bool,
    /// The torque of the joint alone; none when by hand, or not known.
    pub joint_torque: Option<TorqueRange>,
    /// The joint's own torque is not fully known: it hangs on facts that are not. What stands in `joint_torque` then
    /// suits whatever they turn out to be; if nothing does, there is none.
    pub unsure: bool,
    /// The torque that also satisfies what is printed; none when by hand, not known, or in conflict.
    pub torque: Option<TorqueRange>,
    /// Limits printed on parts, or that may be.
    pub printed: Vec<Printed>,
    /// Whether no torque satisfies the joint and what is printed.
    pub conflict: bool,
    /// Preparation.
    pub prepare: String,
    /// What the preparation takes.
    pub uses: Vec<String>,
    /// Tightened to the left.
    pub left: bool,
    /// What must be done before.
    pub before: String,
    /// Tightened again after the first use.
    pub settles: bool,
    /// Cautions, by name, the joint's own included.
    pub cautions: Vec<String>,
    /// Where the figures are from.
    pub sources: Vec<Source>,
    /// Facts that decide whether the joint is made this way, and those that the printed limits are.
    pub trail: Vec<FactId>,
}

/// What there is of figures in a fastening.
struct Figures {
    /// Whether the joint is made this way.
    made: Truth,
    asked: Asked,
    printed: Vec<Printed>,
    /// Whether no torque satisfies the joint and what is printed.
    conflict: bool,
    /// The torque that satisfies both, if one is known.
    torque: Option<TorqueRange>,
    trail: Trail,
}

impl Figures {
    /// None if the joint is surely not made this way.
    fn of(eval: &Eval, fastening: &Fastening) -> Option<Figures> {
        let (made, mut trail) = fastening.when.as_ref().map_or((Truth::Yes, Trail::default()), |it| eval.answer(it));
        if made == Truth::No {
            return None;
        }
        let asked = fastening.torque.as_ref().map(|(low, high)| Asked::of(eval, low, high)).unwrap_or_default();
        let mut printed = Vec::new();
        for (path, ir) in &fastening.printed {
            let value = eval.value(ir);
            let Value::Range(range) = &value.value else { continue };
            let range = range.map(|(low, high)| {
                let (low, high) = (low.range.low(), high.range.high());
                // A single printed figure is a ceiling: what lies below it is the joint's business.
                TorqueRange { low: if low == high { 0.0 } else { low }, high }
            });
            if range.is_some() {
                trail.join(&value.from);
            }
            printed.push(Printed { path: path.text.clone(), range, trail: value.from.facts().to_vec() });
        }
        let limits: Vec<TorqueRange> = printed.iter().filter_map(|it| it.range).collect();
        let conflict = meet(asked.widest, &limits).is_none();
        let torque = meet(asked.sure, &limits).flatten().filter(|_| !conflict);
        Some(Figures { made, asked, printed, conflict, torque, trail })
    }
}

/// Whether one torque satisfies a joint and what is printed on its parts: what [`conflict`] finds, without its words.
pub(super) fn agrees(eval: &Eval, fastening: &Fastening) -> Truth {
    if fastening.printed.is_empty() {
        return Truth::Yes;
    }
    match Figures::of(eval, fastening) {
        Some(it) if it.conflict => match it.made {
            Truth::Yes => Truth::No,
            _ => Truth::Open,
        },
        // A limit that nobody has read is a fact that this hangs on.
        Some(it) if it.printed.iter().any(|it| it.range.is_none() && !it.trail.is_empty()) => Truth::Open,
        _ => Truth::Yes,
    }
}

/// The code of a fastening for which there is no torque.
pub(super) const CONFLICT: &str = "torque.conflict";

/// The fastening, unless the joint is surely not made this way.
pub(super) fn fastening(
    model: &Model,
    eval: &Eval,
    fastening: &Fastening,
    joint_cautions: &[CautionRef],
) -> Option<JudgedFastening> {
    let Figures { made, asked, printed, conflict, torque, trail } = Figures::of(eval, fastening)?;
    let text = |template: &Option<crate::model::Template>| {
        template.as_ref().map(|it| eval.text(model, it)).unwrap_or_default()
    };
    let mut cautions = cautions::called_for(eval, &fastening.words.cautions);
    let mut of_joint = cautions::called_for(eval, joint_cautions);
    of_joint.retain(|it| !cautions.contains(it));
    cautions.append(&mut of_joint);
    Some(JudgedFastening {
        title: if fastening.words.about.doc.is_empty() {
            fastening.name.text.clone()
        } else {
            fastening.words.about.doc.clone()
        },
        certain: made == Truth::Yes,
        thread: text(&fastening.words.thread),
        tool: text(&fastening.words.tool),
        by_hand: fastening.by_hand,
        joint_torque: if conflict { asked.widest } else { asked.sure },
        unsure: asked.unsure,
        torque,
        printed,
        conflict,
        prepare: text(&fastening.words.prepare),
        uses: fastening.words.uses.clone(),
        left: fastening.left,
        before: text(&fastening.words.before),
        settles: fastening.settles,
        cautions,
        sources: fastening.words.about.sources.clone(),
        trail: trail.facts().to_vec(),
    })
}

/// The torque that a joint itself asks for.
#[derive(Default)]
struct Asked {
    /// Right whatever the facts that are not known turn out to be.
    sure: Option<TorqueRange>,
    /// Right for some of what they may be.
    widest: Option<TorqueRange>,
    /// Whether it hangs on such facts at all.
    unsure: bool,
}

impl Asked {
    fn of(eval: &Eval, low: &Ir, high: &Ir) -> Asked {
        let (low, high) = (eval.value(low).value, eval.value(high).value);
        if low == Value::Absent || high == Value::Absent {
            return Asked::default();
        }
        let (low, high) = (numbers::range(&low), numbers::range(&high));
        if !(low.is_bounded() && high.is_bounded()) {
            return Asked { unsure: true, ..Asked::default() };
        }
        Asked {
            sure: (low.high() <= high.low()).then(|| TorqueRange { low: low.high(), high: high.low() }),
            widest: Some(TorqueRange { low: low.low(), high: high.high() }),
            unsure: !(low.is_exact() && high.is_exact()),
        }
    }
}

/// What a first range and all limits allow: nothing when they don't meet, an empty answer when there are none at all.
#[allow(clippy::option_option)]
fn meet(first: Option<TorqueRange>, limits: &[TorqueRange]) -> Option<Option<TorqueRange>> {
    let mut met: Option<Interval> = None;
    for one in first.iter().chain(limits) {
        let one = Interval::new(one.low, one.high);
        met = Some(match met {
            Some(so_far) => so_far.meet(one)?,
            None => one,
        });
    }
    Some(met.map(|it| TorqueRange { low: it.low(), high: it.high() }))
}

/// The clash of a fastening whose limits don't meet, or, where a limit is said to be there and nobody has read it, that
/// this is not known.
pub(super) fn conflict(model: &Model, uses: &[Use], fastening: &JudgedFastening) -> Option<Finding> {
    let mut unread = Trail::default();
    for limit in fastening.printed.iter().filter(|it| it.range.is_none()) {
        limit.trail.iter().for_each(|fact| unread.join(&Trail::one(*fact)));
    }
    if !fastening.conflict && unread.facts().is_empty() {
        return None;
    }
    let shown = |range: &TorqueRange| match range.low == 0.0 {
        true => format!("up to {}", super::show::range(Interval::exact(range.high), Dimension::TORQUE)),
        false => super::show::range(Interval::new(range.low, range.high), Dimension::TORQUE),
    };
    // By its path from the build, rather than by the joint's own word for it.
    let path = |printed: &Printed| {
        let info = printed.trail.first().and_then(|fact| model.facts.get(*fact));
        let used = info.and_then(|info| Some((info, uses.iter().find(|it| Some(it.part) == info.part)?)));
        used.map_or(printed.path.clone(), |(info, used)| format!("{}.{}", used.slot, info.path))
    };
    let joint = fastening.joint_torque.as_ref().map(|it| format!("the joint asks for {}", shown(it)));
    let printed =
        fastening.printed.iter().filter_map(|it| Some(format!("`{}` allows {}", path(it), shown(it.range.as_ref()?))));
    let all: Vec<String> = joint.into_iter().chain(printed).collect();
    Some(Finding {
        code: CONFLICT.to_owned(),
        required: true,
        fails: fastening.conflict && fastening.certain,
        title: format!("one torque satisfies the joint and what is printed on its parts: {}", fastening.title),
        message: format!("no torque suits the {}: {}", fastening.title, all.join(", ")),
        why: "Too little and the joint slips, too much and a part is crushed: between parts that don't agree there is no safe torque.".to_owned(),
        may: vec!["take a part whose printed limit meets what the joint asks for".to_owned()],
        cautions: fastening.cautions.clone(),
        trail: if fastening.conflict { fastening.trail.clone() } else { unread.facts().to_vec() },
        lean: None,
    })
}
