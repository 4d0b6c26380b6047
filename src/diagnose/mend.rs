//! Remedies in words, for the last diagnostic of each joint that does not fit.

use super::Mend;
use crate::judge::{JudgedBuild, JudgedJoint, Mender, Remedy};
use crate::model::{Model, SlotId};

/// Remedies of one joint.
pub(super) fn of(model: &Model, mender: &mut Mender, build: &JudgedBuild, joint: &JudgedJoint) -> Vec<Mend> {
    mender.remedies(joint).iter().map(|it| one(model, build, it)).collect()
}

fn one(model: &Model, build: &JudgedBuild, remedy: &Remedy) -> Mend {
    let slots = &model[model[build.build].assembly].slots;
    let slot = |slot: SlotId| slots.get_index(slot.0).map_or(String::new(), |(name, _)| name.clone());
    Mend {
        changes: remedy.changes.iter().map(|it| (slot(it.slot), model[it.to].name.text.clone())).collect(),
        price: remedy.price.iter().map(ToString::to_string).collect(),
        unpriced: remedy.unpriced,
        mends: remedy.mends.clone(),
        makes: remedy.makes.clone(),
        opens: remedy.opens.clone(),
        still: remedy.still.clone(),
        advises: remedy.advises.clone(),
    }
}

/// A remedy on one line.
pub(crate) fn line(mend: &Mend) -> String {
    let changes: Vec<String> = mend.changes.iter().map(|(slot, part)| format!("`{slot} = {part}`")).collect();
    let price = match (mend.price.as_slice(), mend.unpriced) {
        ([], 0) => "nothing to buy".to_owned(),
        ([], _) => "to buy, its price is not given".to_owned(),
        (price, 0) => price.join(" and "),
        (price, _) => format!("{}, and a price that is not given", price.join(" and ")),
    };
    let more = mend.mends.len().saturating_sub(1);
    let mends = if more > 0 { format!(", mends {more} more") } else { String::new() };
    let opens = match mend.opens.as_slice() {
        [] => String::new(),
        some => format!(", leaves {} open", some.join(" and ")),
    };
    let still = match mend.still.as_slice() {
        [] => String::new(),
        some => format!(", leaves {} clashing as before", some.join(" and ")),
    };
    let advises = match mend.advises.as_slice() {
        [] => String::new(),
        some => format!(", advised against by `{}`", some.join("` and `")),
    };
    let joints = if mend.makes.len() == 1 { "joint" } else { "joints" };
    format!(
        "{}: {price}; makes {} {joints} anew{mends}{opens}{still}{advises}",
        changes.join(" and "),
        mend.makes.len()
    )
}
