//! Verdicts: fits, clashes, open.

use super::bind::{self, Bound};
use super::cautions;
use super::eval::{Answer, Eval, Reading};
use super::fasten::{self, JudgedFastening};
use crate::model::{Build, BuildId, FactId, JointId, Model, Number, PartId, Rule, Trail, Value, Valued};
use crate::quantity::{Dimension, Interval, Truth};

/// What is found of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Every requirement holds for all that the facts allow.
    Fits,
    /// Some requirement hangs on facts that are not known well enough.
    Open,
    /// Some requirement fails, whatever is still unknown.
    Clashes,
}

impl Verdict {
    /// Its one word, as JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Fits => "fits",
            Verdict::Open => "open",
            Verdict::Clashes => "clashes",
        }
    }
}

/// A build with all its joints judged.
#[derive(Clone, Debug)]
pub struct JudgedBuild {
    /// The build.
    pub build: BuildId,
    /// Its joints, in the order of its assembly.
    pub joints: Vec<JudgedJoint>,
}

impl JudgedBuild {
    /// How many joints have this verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.joints.iter().filter(|joint| joint.verdict == verdict).count()
    }
}

/// A part's port or fact that a joint uses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The slot.
    pub slot: String,
    /// The fact; none for the whole part.
    pub fact: Option<String>,
    /// The part in the slot.
    pub part: PartId,
    /// The joint could do without it.
    pub optional: bool,
}

impl Use {
    /// As a path from the build: `slot.port`.
    pub fn path(&self) -> String {
        match &self.fact {
            Some(fact) => format!("{}.{fact}", self.slot),
            None => self.slot.clone(),
        }
    }
}

/// Something that a joint uses up.
#[derive(Clone, Debug)]
pub struct UsedUp {
    /// What.
    pub what: String,
    /// How many, in base units; some, when not said.
    pub count: Option<Interval>,
    /// What the count measures.
    pub dimension: Dimension,
    /// A piece that is cut to the length that the count is, and counted in no sum.
    pub cut: bool,
    /// Whether it is surely used; otherwise it hangs on facts that are not known.
    pub certain: bool,
}

/// A joint of a build.
#[derive(Clone, Debug)]
pub struct JudgedJoint {
    /// Its name in the assembly.
    pub name: String,
    /// What it is.
    pub title: String,
    /// Its rules.
    pub joint: JointId,
    /// The verdict.
    pub verdict: Verdict,
    /// What it uses of which part.
    pub uses: Vec<Use>,
    /// Rules that fail or hang, requirements and advice.
    pub findings: Vec<Finding>,
    /// Facts that an open verdict hangs on.
    pub hangs_on: Vec<FactId>,
    /// Cautions of the joint as a whole.
    pub cautions: Vec<String>,
}

impl JudgedJoint {
    /// Requirements that fail.
    pub fn failing(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|it| it.required && it.fails)
    }

    /// Advice that is not followed.
    pub fn advice(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|it| !it.required && it.fails)
    }

    /// A fact's path from the build: by the slot that the joint uses its part in.
    pub fn path_of(&self, model: &Model, fact: FactId) -> String {
        let Some(info) = model.facts.get(fact) else { return String::new() };
        match info.part.and_then(|part| self.uses.iter().find(|it| it.part == part)) {
            Some(used) => format!("{}.{}", used.slot, info.path),
            None => info.path.clone(),
        }
    }
}

/// A rule that does not simply hold.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Its code.
    pub code: String,
    /// Whether failing it is a clash.
    pub required: bool,
    /// Fails, rather than hangs.
    pub fails: bool,
    /// What must hold.
    pub title: String,
    /// What is said when it fails.
    pub message: String,
    /// Why it matters.
    pub why: String,
    /// What may be done.
    pub may: Vec<String>,
    /// Cautions, by name.
    pub cautions: Vec<String>,
    /// The facts it was computed from.
    pub trail: Vec<FactId>,
    /// What the answer would be if every guess were true.
    pub lean: Option<bool>,
}

/// Judges a build.
pub(super) fn judge_build(model: &Model, build: BuildId) -> JudgedBuild {
    let joints =
        bind::bound(model, &model[build]).into_iter().map(|bound| judge_joint(model, &model[build], bound)).collect();
    JudgedBuild { build, joints }
}

/// The verdict of a joint alone, without what there is to say about it.
pub(super) fn only(model: &Model, build: &Build, bound: &Bound) -> Verdict {
    let judging = Judging { model, build, bound };
    let eval = judging.eval(Reading::default());
    let sure = bound.doubt.is_none();
    // What fails at first sight is told without a closer look at what is open.
    let mut undecided = Vec::new();
    for rule in judging.rules().iter().filter(|rule| rule.required) {
        match holds(&eval, rule).0 {
            Truth::Yes => {}
            Truth::No if sure => return Verdict::Clashes,
            Truth::No | Truth::Open => undecided.push(rule),
        }
    }
    let closer = undecided.into_iter().map(|rule| judging.decided(&eval, rule).0);
    let mut open = false;
    for truth in std::iter::once(judging.made(&eval)).chain(closer) {
        match truth {
            Truth::Yes => {}
            Truth::No if sure => return Verdict::Clashes,
            Truth::No | Truth::Open => open = true,
        }
    }
    if open { Verdict::Open } else { Verdict::Fits }
}

/// Codes of the requirements that surely fail in a joint, without what there is to say about them.
pub(super) fn failing(model: &Model, build: &Build, bound: &Bound) -> Vec<String> {
    if bound.doubt.is_some() {
        return Vec::new();
    }
    let judging = Judging { model, build, bound };
    let eval = judging.eval(Reading::default());
    let failing = judging.rules().iter().filter(|rule| rule.required && judging.decided(&eval, rule).0 == Truth::No);
    let mut codes: Vec<String> = failing.map(|rule| rule.code.text.clone()).collect();
    if judging.made(&eval) == Truth::No {
        codes.push(fasten::CONFLICT.to_owned());
    }
    codes
}

/// Codes of the advice that surely is not followed in a joint, without what there is to say about it.
pub(super) fn advised<'m>(model: &'m Model, build: &Build, bound: &Bound) -> Vec<&'m str> {
    if bound.doubt.is_some() {
        return Vec::new();
    }
    let judging = Judging { model, build, bound };
    let eval = judging.eval(Reading::default());
    let advice = model[bound.join.joint].rules.iter().filter(|rule| !rule.required);
    advice.filter(|rule| judging.decided(&eval, rule).0 == Truth::No).map(|rule| rule.code.text.as_str()).collect()
}

pub(super) fn judge_joint(model: &Model, build: &Build, bound: Bound) -> JudgedJoint {
    let joint = &model[bound.join.joint];
    let judging = Judging { model, build, bound: &bound };
    let eval = judging.eval(Reading::default());
    let mut findings: Vec<Finding> = joint.rules.iter().filter_map(|rule| judging.rule(&eval, rule)).collect();
    findings.extend(judging.conflicts(&eval));
    if let Some(doubt) = &bound.doubt {
        // Whether the joint is there at all is not known, so no rule of it can fail for sure.
        for finding in &mut findings {
            finding.fails = false;
            let mut trail = Trail::default();
            finding.trail.iter().for_each(|fact| trail.join(&Trail::one(*fact)));
            trail.join(doubt);
            finding.trail = trail.facts().to_vec();
        }
    }
    let clashes = findings.iter().any(|it| it.required && it.fails);
    let open = findings.iter().any(|it| it.required && !it.fails);
    let verdict = if clashes {
        Verdict::Clashes
    } else if open {
        Verdict::Open
    } else {
        Verdict::Fits
    };
    let mut hangs = Trail::default();
    for finding in findings.iter().filter(|it| it.required && !it.fails) {
        for fact in &finding.trail {
            if model.facts.get(*fact).is_some_and(crate::model::FactInfo::is_uncertain) {
                hangs.join(&Trail::one(*fact));
            }
        }
    }
    if hangs.facts().is_empty() && verdict == Verdict::Open {
        // A rule that reads what is simply not there hangs on that: better named than left without a name.
        let all = findings.iter().filter(|it| it.required && !it.fails).flat_map(|it| &it.trail);
        all.for_each(|fact| hangs.join(&Trail::one(*fact)));
    }
    let title = if bound.join.doc.is_empty() { joint.about.doc.clone() } else { bound.join.doc.clone() };
    JudgedJoint {
        title: if bound.name == bound.join.name.text { title } else { format!("{title}, the adapter's own seat") },
        joint: bound.join.joint,
        verdict,
        findings,
        hangs_on: hangs.facts().to_vec(),
        cautions: cautions::called_for(&eval, &joint.cautions),
        name: bound.name,
        uses: bound.uses,
    }
}

/// How a joint of a build is made, and what it uses up.
#[derive(Clone, Debug, Default)]
pub struct Making {
    /// Its fastenings.
    pub fastenings: Vec<JudgedFastening>,
    /// What it uses up.
    pub consumes: Vec<UsedUp>,
}

/// How a joint of a build is made, and what it uses up: what a sheet asks for, and no verdict hangs on.
pub fn making(model: &Model, build: BuildId, joint: &JudgedJoint) -> Making {
    let build = &model[build];
    bind::named(model, build, &joint.name).map(|bound| Making::of(model, build, &bound)).unwrap_or_default()
}

impl Making {
    /// Of a joint that was found already.
    pub(super) fn of(model: &Model, build: &Build, bound: &Bound) -> Making {
        let joint = &model[bound.join.joint];
        let eval = Judging { model, build, bound }.eval(Reading::default());
        let mut fastenings: Vec<JudgedFastening> =
            joint.fastenings.iter().filter_map(|it| fasten::fastening(model, &eval, it, &joint.cautions)).collect();
        fastenings.iter_mut().for_each(|it| it.certain &= bound.doubt.is_none());
        let consumes = joint.consumes.iter().filter_map(|it| {
            let truth = it.when.as_ref().map_or(Truth::Yes, |when| eval.answer(when).0);
            if truth == Truth::No {
                return None;
            }
            Some(UsedUp {
                what: eval.text(model, &it.what),
                count: it.count.as_ref().map(|count| super::numbers::range(&eval.value(count).value)),
                dimension: it.dimension,
                cut: it.cut,
                certain: truth == Truth::Yes && bound.doubt.is_none(),
            })
        });
        let mut consumes: Vec<UsedUp> = consumes.collect();
        for (what, certain) in fastenings.iter().flat_map(|it| it.uses.iter().map(|what| (what, it.certain))) {
            match consumes.iter_mut().find(|it| it.what == *what && it.count.is_none()) {
                Some(known) => known.certain |= certain,
                None => consumes.push(UsedUp {
                    what: what.clone(),
                    count: None,
                    dimension: Dimension::NONE,
                    cut: false,
                    certain,
                }),
            }
        }
        Making { consumes, fastenings }
    }
}

/// One joint being judged.
pub(super) struct Judging<'m> {
    model: &'m Model,
    build: &'m Build,
    bound: &'m Bound<'m>,
}

impl<'m> Judging<'m> {
    /// A joint of a build.
    pub fn of(model: &'m Model, build: &'m Build, bound: &'m Bound<'m>) -> Judging<'m> {
        Judging { model, build, bound }
    }

    /// Its rules.
    pub fn rules(&self) -> &'m [Rule] {
        &self.model[self.bound.join.joint].rules
    }

    /// All that is known of what meets in it: its parameters, its parts' facts, and the fields of all those.
    pub fn facts(&self) -> Vec<&'m Valued> {
        let parts = self.bound.uses.iter().flat_map(|it| &self.model[it.part].facts);
        let mut all: Vec<&Valued> = self.bound.parameters.iter().chain(parts).collect();
        let mut next = 0;
        while let Some(valued) = all.get(next).copied() {
            if let Value::Standard(Some(fitted)) = &valued.value {
                all.extend(&fitted.fields);
            }
            next += 1;
        }
        all
    }

    fn eval<'v>(&self, reading: Reading<'v>) -> Eval<'v>
    where
        'm: 'v,
    {
        let lets = &self.model[self.bound.join.joint].lets;
        Eval::new(self.model, self.build, &self.bound.parameters, lets, reading)
    }

    /// Nothing when the rule holds or does not apply.
    fn rule(&self, eval: &Eval, rule: &Rule) -> Option<Finding> {
        let (truth, trail) = self.decided(eval, rule);
        if truth == Truth::Yes {
            return None;
        }
        let estimated = trail
            .facts()
            .iter()
            .filter_map(|fact| self.model.facts.get(*fact))
            .any(|it| it.state == crate::model::State::Estimated);
        let lean = (truth == Truth::Open && estimated)
            .then(|| self.holds(rule, Reading { guesses: true, instead: None }).0)
            .and_then(|truth| match truth {
                Truth::Yes => Some(true),
                Truth::No => Some(false),
                Truth::Open => None,
            });
        let may =
            rule.words.may.iter().filter(|(_, when)| when.as_ref().is_none_or(|it| eval.answer(it).0 == Truth::Yes));
        Some(Finding {
            code: rule.code.text.clone(),
            required: rule.required,
            fails: truth == Truth::No,
            title: rule.words.about.doc.clone(),
            message: eval.text(self.model, &rule.words.otherwise),
            why: rule.words.why.clone(),
            may: may.map(|(text, _)| eval.text(self.model, text)).collect(),
            cautions: cautions::called_for(eval, &rule.words.cautions),
            trail: trail.facts().to_vec(),
            lean,
        })
    }

    /// Whether a rule holds, under one reading of the facts.
    pub fn holds(&self, rule: &Rule, reading: Reading) -> Answer {
        holds(&self.eval(reading), rule)
    }

    /// An evaluator under one reading: rules that share it share what they compute.
    pub fn under<'v>(&self, reading: Reading<'v>) -> Eval<'v>
    where
        'm: 'v,
    {
        self.eval(reading)
    }

    /// Fastenings of which no torque, or perhaps none, suits all of the joint.
    fn conflicts(&self, eval: &Eval) -> Vec<Finding> {
        let joint = &self.model[self.bound.join.joint];
        let conflicts = joint.fastenings.iter().filter(|it| fasten::agrees(eval, it) != Truth::Yes).filter_map(|it| {
            let mut made = fasten::fastening(self.model, eval, it, &joint.cautions)?;
            made.certain &= self.bound.doubt.is_none();
            fasten::conflict(self.model, &self.bound.uses, &made)
        });
        conflicts.collect()
    }

    /// Whether the joint can be made, by an evaluator of it: whether a torque suits all of it.
    pub fn made(&self, eval: &Eval) -> Truth {
        let mut all = Truth::Yes;
        for it in &self.model[self.bound.join.joint].fastenings {
            match fasten::agrees(eval, it) {
                Truth::No => return Truth::No,
                Truth::Open => all = Truth::Open,
                Truth::Yes => {}
            }
        }
        all
    }

    /// Whether a rule holds, by an evaluator of the facts as they stand. Intervals forget that a fact is used twice, so an open answer is tried again on slices of
    /// each fact that it hangs on: if all slices agree, so does the whole.
    fn decided(&self, eval: &Eval, rule: &Rule) -> Answer {
        const SLICES: u32 = 32;
        let answer = holds(eval, rule);
        if answer.0 != Truth::Open {
            return answer;
        }
        for fact in answer.1.facts() {
            let Some(range) = self.bounded(*fact) else { continue };
            let step = (range.high() - range.low()) / f64::from(SLICES);
            let mut agreed: Option<Answer> = None;
            let all = (0..SLICES).all(|slice| {
                let low = range.low() + step * f64::from(slice);
                let slice = Interval::new(low, (low + step).min(range.high()));
                let slice = Value::Number(Number::of(slice));
                let (truth, trail) = self.holds(rule, Reading { guesses: false, instead: Some((*fact, &slice)) });
                let same = truth != Truth::Open && agreed.as_ref().is_none_or(|(so_far, _)| *so_far == truth);
                agreed = Some((truth, trail));
                same
            });
            if let (true, Some(agreed)) = (all, agreed) {
                return agreed;
            }
        }
        answer
    }

    /// The range of an uncertain number among the joint's facts.
    fn bounded(&self, fact: FactId) -> Option<Interval> {
        // Only a number of its own may be narrowed: what hangs on an unknown standard or part is many numbers at once.
        let declared = self.model.facts.get(fact)?.declared?;
        self.model[declared].kind.dimension()?;
        let find = |values: &[Valued]| values.iter().find_map(|it| range_of(it, fact));
        let parts = self.bound.uses.iter().map(|it| it.part);
        let range = find(&self.bound.parameters)
            .or_else(|| parts.into_iter().find_map(|part| find(&self.model[part].facts)))?;
        (range.is_bounded() && !range.is_exact()).then_some(range)
    }
}

/// Whether a rule holds, by an evaluator of its joint.
pub(super) fn holds(eval: &Eval, rule: &Rule) -> Answer {
    let applies = rule.when.as_ref().map(|when| eval.answer(when));
    match applies {
        Some((Truth::No, from)) => (Truth::Yes, from),
        None | Some((Truth::Yes, _)) => eval.answer(&rule.that),
        Some((Truth::Open, mut from)) => {
            let (truth, that) = eval.answer(&rule.that);
            if truth == Truth::Yes {
                return (Truth::Yes, that);
            }
            if truth == Truth::Open {
                from.join(&that);
            }
            (Truth::Open, from)
        }
    }
}

fn range_of(valued: &Valued, fact: FactId) -> Option<Interval> {
    match &valued.value {
        Value::Number(number) if valued.from.facts() == [fact] => Some(number.range),
        Value::Standard(Some(fitted)) => fitted.fields.iter().find_map(|it| range_of(it, fact)),
        _ => None,
    }
}
