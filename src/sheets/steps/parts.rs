//! The parts of a conversion: which meet in a step, which come in, and what becomes of those that come off.

use super::{Becomes, Piece};
use crate::judge::{Apart, Before, Conversion, Fate, JudgedBuild, JudgedJoint};
use crate::model::{BuildId, Model, PartId, Pieces, SlotId, Stock};
use crate::sheets::bill::{self, Line};

/// The parts that meet in a joint, each slot once. What comes in or has moved is told if `new` says so.
pub(super) fn met(
    model: &Model,
    build: BuildId,
    joint: &JudgedJoint,
    conversion: &Conversion,
    new: bool,
) -> Vec<Piece> {
    let mut found: Vec<Piece> = Vec::new();
    for used in &joint.uses {
        if found.iter().any(|it| it.slot == used.slot) {
            continue;
        }
        let slot = model[model[build].assembly].slots.get_index_of(&used.slot).map(SlotId);
        let mut piece = piece(model, &used.slot, used.part);
        piece.joined = conversion.joined(joint).any(|it| it.slot == used.slot);
        if let Some((fate, slot)) = conversion.fate_of(used.part).filter(|_| new).zip(slot) {
            let enters = fate.enters.contains(&slot);
            // Where some pieces move and others come in, which is which is the mechanic's choice.
            piece.comes = enters && piece.part.is_some() && (fate.comes > 0 || fate.leaves.is_empty());
            if enters && !piece.comes {
                piece.moved_from = fate.leaves.iter().map(|it| slot_name(model, build, *it)).collect();
            }
        }
        found.push(piece);
    }
    found
}

fn piece(model: &Model, slot: &str, id: PartId) -> Piece {
    let part = &model[id];
    let description = if part.doc.is_empty() { model[part.kind].name.text.clone() } else { part.doc.clone() };
    Piece {
        slot: slot.to_owned(),
        part: (!part.undecided).then(|| part.name.text.clone()),
        description: if part.undecided { "not decided".to_owned() } else { description },
        joined: true,
        comes: false,
        moved_from: Vec::new(),
    }
}

pub(super) fn slot_name(model: &Model, build: BuildId, slot: SlotId) -> String {
    model[model[build].assembly].slots.get_index(slot.0).map(|(name, _)| name.clone()).unwrap_or_default()
}

/// Pieces that come in, those to be bought first, then those from the bin; in the order of their slots within each.
pub(super) fn comes(model: &Model, build: BuildId, conversion: &Conversion) -> Vec<Line> {
    let new = conversion.pieces.iter().filter(|it| it.comes > 0 && !model[it.part].undecided);
    let new = new.map(|it| Pieces { part: it.part, count: it.comes, slots: it.enters.clone() });
    let mut lines: Vec<Line> = new.map(|it| bill::line(model, build, &it)).collect();
    lines.sort_by_key(|it| match it.source {
        Some(Stock::Buy) => 0,
        Some(Stock::Bin) => 1,
        Some(Stock::Donor) => 2,
        None => 3,
    });
    lines
}

/// What becomes of parts when joints of a base build are taken apart, by the number of the joint with which the part is
/// off. `order` are those joints, in the order in which that is done, each with whether something is loosened in it;
/// `goes_on` tells in which step a part is put together in a slot.
pub(super) fn becomes(
    model: &Model,
    base: &JudgedBuild,
    conversion: &Conversion,
    order: &[(usize, bool)],
    goes_on: impl Fn(&str) -> Option<usize>,
) -> Vec<(usize, Becomes)> {
    let root = root(model, base, conversion);
    let mut found = Vec::new();
    for pieces in model.pieces(base.build) {
        let Some(fate) = conversion.fate_of(pieces.part) else { continue };
        // One piece is told of once, whichever slots it fills; several by their slots.
        let groups: Vec<Vec<SlotId>> = match pieces.count {
            1 => vec![pieces.slots.clone()],
            _ => pieces.slots.iter().map(|it| vec![*it]).collect(),
        };
        for slots in groups {
            let names: Vec<String> = slots.iter().map(|it| slot_name(model, base.build, *it)).collect();
            let held = |number: usize| {
                base.joints.get(number).is_some_and(|it| conversion.joined(it).any(|used| names.contains(&used.slot)))
            };
            // What lies loose after its last fastening is off, whatever else is said of it later.
            let last = |fastened: bool| {
                order.iter().rev().find(|(it, loosened)| held(*it) && (*loosened || !fastened)).map(|(it, _)| *it)
            };
            let Some(last) = last(true).or_else(|| last(false)) else { continue };
            // A piece that fills fewer slots than before stays where it is.
            let goes = fate.left_over > 0 || !fate.enters.is_empty();
            let stays = !goes || !slots.iter().any(|it| fate.leaves.contains(it));
            let free = conversion
                .before
                .iter()
                .enumerate()
                .filter(|(number, it)| it.by_hand && held(*number))
                .all(|(_, it)| !matches!(it.fate, Apart::Untouched(_)));
            if stays && (!free || names.contains(&root)) {
                continue;
            }
            found.push((last, fate_in_words(model, base.build, fate, &names, stays, &goes_on)));
        }
    }
    found
}

fn fate_in_words(
    model: &Model,
    build: BuildId,
    fate: &Fate,
    names: &[String],
    stays: bool,
    goes_on: &impl Fn(&str) -> Option<usize>,
) -> Becomes {
    let name = |slot: &SlotId| slot_name(model, build, *slot);
    let left_over = !stays && fate.left_over > 0;
    let moves_to: Vec<String> = if stays { Vec::new() } else { fate.enters.iter().map(name).collect() };
    let to: &[String] = if stays { names } else { &moves_to };
    Becomes {
        piece: piece(model, names.first().map_or("", String::as_str), fate.part),
        slots: names.to_vec(),
        left_over,
        goes_on: to.iter().filter_map(|it| goes_on(it)).min(),
        moves_to,
    }
}

/// The slot whose part most joints made by hand meet in, the first of several: what all else comes off.
fn root(model: &Model, base: &JudgedBuild, conversion: &Conversion) -> String {
    let slots = model[model[base.build].assembly].slots.keys();
    let meets = |slot: &String, (joint, before): (&JudgedJoint, &Before)| {
        before.by_hand && conversion.joined(joint).any(|it| it.slot == *slot)
    };
    let count = |slot: &String| base.joints.iter().zip(&conversion.before).filter(|it| meets(slot, *it)).count();
    slots.rev().max_by_key(|it| count(it)).cloned().unwrap_or_default()
}
