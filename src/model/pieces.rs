//! Pieces: how many of each part a build takes, where one piece may fill several slots.

use super::{Build, BuildId, Filled, IndexMap, Model, PartId, SlotId};

/// The pieces of one part in a build.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pieces {
    /// The part.
    pub part: PartId,
    /// How many of it.
    pub count: u32,
    /// The slots they fill, in the order of the assembly.
    pub slots: Vec<SlotId>,
}

impl Model {
    /// What a build takes of each part, in the order of its first slot. A part counts once a slot, but a slot that
    /// `shares` another is filled by the same piece if both hold the same part.
    pub fn pieces(&self, build: BuildId) -> Vec<Pieces> {
        let mut slots_of: IndexMap<PartId, Vec<SlotId>> = IndexMap::default();
        for (number, filled) in self[build].slots.iter().enumerate() {
            if let Some(filled) = filled {
                slots_of.entry(filled.part).or_default().push(SlotId(number));
            }
        }
        let shares = |slot: SlotId| self.shared_by(&self[build], slot);
        slots_of.into_iter().map(|(part, slots)| Pieces { part, count: count(&slots, shares), slots }).collect()
    }

    /// How many pieces of a part a build takes, if it stands in the slot `also` too.
    pub fn pieces_of(&self, build: &Build, part: PartId, also: Option<SlotId>) -> u32 {
        let filled = (0..).map(SlotId).zip(&build.slots);
        let holds =
            |slot: SlotId, filled: &Option<Filled>| Some(slot) == also || filled.is_some_and(|it| it.part == part);
        let slots: Vec<SlotId> = filled.filter(|(slot, it)| holds(*slot, it)).map(|(slot, _)| slot).collect();
        count(&slots, |slot| self.shared_by(build, slot))
    }

    fn shared_by(&self, build: &Build, slot: SlotId) -> &[SlotId] {
        self[build.assembly].slots.get_index(slot.0).map_or(&[][..], |(_, it)| it.shares.as_slice())
    }
}

/// How many pieces fill `slots`. Each slot goes with at most one of those that it shares, and each of those with at most
/// one that shares it: two pieces that fill two slots each are two, whichever of the others each slot might go with.
fn count<'s>(slots: &[SlotId], shares: impl Fn(SlotId) -> &'s [SlotId]) -> u32 {
    let mut host_of: IndexMap<SlotId, SlotId> = IndexMap::default();
    for slot in slots {
        let mut tried = Vec::new();
        place(*slot, slots, &shares, &mut host_of, &mut tried);
    }
    // Slots that go together in a circle are one piece too, so pieces are counted, not pairs subtracted.
    let mut groups: Vec<Vec<SlotId>> = slots.iter().map(|slot| vec![*slot]).collect();
    for (host, guest) in &host_of {
        let (mut joined, rest): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.contains(host) || group.contains(guest));
        groups = rest;
        groups.push(joined.drain(..).flatten().collect());
    }
    u32::try_from(groups.len()).unwrap_or(u32::MAX)
}

/// Finds a host for a slot, moving earlier guests on where they have another choice.
fn place<'s>(
    guest: SlotId,
    slots: &[SlotId],
    shares: &impl Fn(SlotId) -> &'s [SlotId],
    host_of: &mut IndexMap<SlotId, SlotId>,
    tried: &mut Vec<SlotId>,
) -> bool {
    for host in shares(guest) {
        if *host == guest || !slots.contains(host) || tried.contains(host) {
            continue;
        }
        tried.push(*host);
        let free = match host_of.get(host).copied() {
            None => true,
            Some(earlier) => place(earlier, slots, shares, host_of, tried),
        };
        if free {
            host_of.insert(*host, guest);
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(slots: &[usize], shares: &[(usize, &[usize])]) -> u32 {
        let shares: Vec<(SlotId, Vec<SlotId>)> =
            shares.iter().map(|(slot, all)| (SlotId(*slot), all.iter().map(|it| SlotId(*it)).collect())).collect();
        let slots: Vec<SlotId> = slots.iter().map(|it| SlotId(*it)).collect();
        count(&slots, |slot| shares.iter().find(|(it, _)| *it == slot).map_or(&[][..], |(_, all)| all.as_slice()))
    }

    #[test]
    fn a_shared_slot_takes_no_piece_of_its_own() {
        assert_eq!(pieces(&[0, 1], &[]), 2);
        assert_eq!(pieces(&[0, 1], &[(1, &[0])]), 1);
        // Two and two, each of the second pair may go with either of the first.
        assert_eq!(pieces(&[0, 1, 2, 3], &[(2, &[0, 1]), (3, &[0, 1])]), 2);
        // The first choice of one is the only choice of the other.
        assert_eq!(pieces(&[0, 1, 2, 3], &[(2, &[0, 1]), (3, &[0])]), 2);
        // One host, two guests: two pieces. Both hosts, one guest: two as well.
        assert_eq!(pieces(&[0, 2, 3], &[(2, &[0, 1]), (3, &[0, 1])]), 2);
        assert_eq!(pieces(&[0, 1, 2], &[(2, &[0, 1])]), 2);
        // A slot that is shared but holds another part.
        assert_eq!(pieces(&[2], &[(2, &[0, 1])]), 1);
        // Circles, and a slot that shares itself.
        assert_eq!(pieces(&[0, 1], &[(0, &[1]), (1, &[0])]), 1);
        assert_eq!(pieces(&[0, 1, 2, 3], &[(0, &[1]), (1, &[0]), (2, &[3]), (3, &[2])]), 2);
        assert_eq!(pieces(&[0], &[(0, &[0])]), 1);
    }
}
