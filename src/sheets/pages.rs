//! The sheets of one build, for whoever binds them together: what stands on each, and all that they warn of.

use super::bill::{Bill, JointCounts};
use super::measure::MeasureList;
use super::render::Block;
use super::steps::Steps;
use super::torque::TorqueSheet;
use super::{bill_page, measure_page, steps, torque_page, words};
use crate::judge::JudgedBuild;
use crate::model::Model;

/// The sheets of a build as their pages have them.
pub(crate) struct Pages {
    /// Bill of materials.
    pub bill: Vec<Block>,
    /// Torque sheet.
    pub torque: Vec<Block>,
    /// Steps.
    pub steps: Vec<Block>,
    /// Measuring list.
    pub measure: Vec<Block>,
    /// What holds for the whole or most of the work, each caution once.
    pub standing: Vec<String>,
    /// What holds for some of it, each caution once.
    pub others: Vec<String>,
    /// What is wrong with the joints; nothing when all fit.
    pub unsettled: Option<String>,
}

impl Pages {
    /// Makes them all.
    pub fn of(model: &Model, judged: &JudgedBuild) -> Pages {
        let (torque, steps) = (TorqueSheet::of(model, judged), Steps::of(model, judged));
        let (mut standing, mut others) = (Vec::new(), Vec::new());
        for it in torque.cautions.iter().chain(&steps.cautions) {
            let list = if it.standing { &mut standing } else { &mut others };
            if !list.contains(&it.text) {
                list.push(it.text.clone());
            }
        }
        others.retain(|it| !standing.contains(it));
        let counts = JointCounts::of(judged);
        Pages {
            bill: bill_page::blocks(&Bill::of(model, judged)),
            torque: torque_page::blocks(&torque),
            steps: steps::blocks(&steps),
            measure: measure_page::blocks(&MeasureList::of(model, judged)),
            standing,
            others,
            unsettled: words::joints(&counts, "settle that before anything is ordered, taken apart or tightened"),
        }
    }
}
