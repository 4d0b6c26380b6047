//! What a build costs as diagnostics: more than its budget, or in currencies that can't be added.

use super::{Diagnostic, Label, Severity, from_mistake};
use crate::judge::{Cost, Over};
use crate::mistake;
use crate::model::{Amount, BuildId, FactId, Model};
use crate::quantity::Price;

pub(super) fn diagnostics(model: &Model, build: BuildId) -> Vec<Diagnostic> {
    let cost = Cost::of(model, build);
    let name = &model[build].name.text;
    let mut all = mixed(model, name, &cost);
    all.extend(over_budget(model, name, &cost));
    all
}

fn mixed(model: &Model, build: &str, cost: &Cost) -> Vec<Diagnostic> {
    let Some((first, others)) = cost.mixed() else { return Vec::new() };
    let span = |it: &Amount| it.fact.and_then(|fact| model.facts.get(fact)).map(|it| it.span);
    let found = others.iter().filter_map(|other| {
        let (one, other_code) = (first.price.currency().code(), other.price.currency().code());
        let mistake = mistake::money_mixed(span(other)?, one, other_code, span(&first)?);
        Some(Diagnostic { build: Some(build.to_owned()), ..from_mistake::diagnostic(&mistake) })
    });
    found.collect()
}

fn over_budget(model: &Model, build: &str, cost: &Cost) -> Option<Diagnostic> {
    let over = cost.over_budget()?;
    let budget = cost.budget?;
    let spent = cost.sums.iter().find(|it| it.currency() == budget.price.currency())?;
    let mut labels = Vec::new();
    let mut label = |fact: Option<FactId>, text: String| {
        if let Some(info) = fact.and_then(|fact| model.facts.get(fact)) {
            labels.push(Label { span: info.span, text });
        }
    };
    label(budget.fact, format!("the budget is {}", in_words(budget.price)));
    for price in cost.prices.iter().filter(|it| it.together.currency() == budget.price.currency()) {
        let part = &model[price.part].name.text;
        let text = if price.count > 1 {
            format!("{} of `{part}`: {}", price.count, in_words(price.together))
        } else {
            format!("`{part}`{}", if price.each.price.is_estimated() { ", an estimate" } else { "" })
        };
        label(price.each.fact, text);
    }
    let mut help = Vec::new();
    match cost.unpriced {
        0 => {}
        1 => help.push("1 part to buy has no price yet: it comes on top".to_owned()),
        more => help.push(format!("{more} parts to buy have no price yet: they come on top")),
    }
    help.push("look in the bin first, leave something as it is, or raise `budget`".to_owned());
    Some(Diagnostic {
        code: "cost.over_budget".to_owned(),
        severity: Severity::Advice,
        message: match over {
            Over::Surely(by) => {
                let by = if by.low() == by.high() { by.low().to_string() } else { by.to_string() };
                format!("`{build}` costs {}, which is {by} more than its budget", in_words(*spent))
            }
            Over::Perhaps(by) => {
                format!("`{build}` costs {}, which may be as much as {by} more than its budget", in_words(*spent))
            }
        },
        build: Some(build.to_owned()),
        joint: None,
        labels,
        why: "A budget that is known to be too small before the order is better than one found out after it."
            .to_owned(),
        help,
        fits_if: Vec::new(),
        mends: Vec::new(),
        cautions: Vec::new(),
        edits: Vec::new(),
        waits: None,
    })
}

/// A price within a sentence.
fn in_words(price: Price) -> String {
    if price.is_estimated() {
        format!("about {}", price.to_string().trim_start_matches('~'))
    } else {
        price.to_string()
    }
}
