//! Cautions of a sheet: each once in full, under a number that its rows refer to.

use crate::model::Model;

/// A caution in full.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Its number on this sheet, from 1.
    pub number: usize,
    /// What it says.
    pub text: String,
    /// The whole thing or most rows carry it, so it stands at the top.
    pub standing: bool,
}

/// Numbers the cautions of a whole and of the rows of a sheet, those of the whole first, then those that most rows
/// carry; with the numbers of each row, rising. Both are given by name.
pub(super) fn numbered(model: &Model, whole: &[String], rows: &[Vec<String>]) -> (Vec<Caution>, Vec<Vec<usize>>) {
    let all = rows.len();
    let mut found: Vec<(&str, usize)> = whole.iter().map(|name| (name.as_str(), all + 1)).collect();
    for name in rows.iter().flatten() {
        match found.iter_mut().find(|(known, _)| known == name) {
            Some((_, rows)) => *rows += 1,
            None => found.push((name, 1)),
        }
    }
    found.retain(|(name, _)| model.cautions.contains_key(*name));
    found.sort_by_key(|(_, rows)| std::cmp::Reverse(*rows));
    let of_row = |names: &Vec<String>| {
        let numbers = names.iter().filter_map(|name| found.iter().position(|(known, _)| known == name));
        let mut numbers: Vec<usize> = numbers.map(|it| it + 1).collect();
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    };
    let numbers = rows.iter().map(of_row).collect();
    let cautions = found.iter().enumerate().filter_map(|(number, (name, count))| {
        let text = model.cautions.get(*name)?.text.to_string();
        Some(Caution { number: number + 1, text, standing: 2 * count > all })
    });
    (cautions.collect(), numbers)
}
