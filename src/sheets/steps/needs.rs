//! What each step needs, and which steps tell of which.

use super::Section;
use super::plan::{Draft, Site, step_of};
use crate::judge::{Apart, Handwork};

impl Site<'_> {
    /// Which step comes before which, as places among the drafts.
    pub(super) fn pairs(&self, drafts: &[Draft]) -> Vec<(usize, usize)> {
        let works: Vec<Vec<&Handwork>> = drafts.iter().map(|it| self.works_of(it)).collect();
        let all = || drafts.iter().zip(&works).enumerate();
        let mut pairs = Vec::new();
        for (first, (a, of_a)) in all() {
            let later = all().filter(|(then, (b, of_b))| *then != first && self.comes_before((a, of_a), (b, of_b)));
            pairs.extend(later.map(|(then, _)| (first, then)));
        }
        pairs
    }

    fn comes_before(&self, (a, of_a): (&Draft, &[&Handwork]), (b, of_b): (&Draft, &[&Handwork])) -> bool {
        use Section::{Again, Assemble, Proof, Ready, Strip};
        let any = |test: &dyn Fn(&Handwork, &Handwork) -> bool| of_a.iter().any(|a| of_b.iter().any(|b| test(a, b)));
        let same = || a.of.iter().any(|it| b.of.contains(it));
        match (a.step.section, b.step.section) {
            // Work on the whole opens the strip-down, and ends the assembly.
            (Strip, Strip) | (Assemble, Assemble) if a.of.is_empty() && b.of.is_empty() => a.step.group < b.step.group,
            (Strip, Strip) if a.of.is_empty() || b.of.is_empty() => a.of.is_empty(),
            (Assemble, Assemble) if a.of.is_empty() || b.of.is_empty() => b.of.is_empty(),
            (Assemble, Proof) if b.step.after_all => true,
            (Strip, Strip) => any(&|a, b| self.is_before(b, a)),
            (Assemble, Assemble) => any(&|a, b| self.is_before(a, b)),
            // What stood there must be off, and whatever stands in the way.
            (Strip, Ready | Assemble) => {
                any(&|a, b| a.join == b.join || self.sequence.stands_upon(a.join, b.join)) || self.gives_way(a, b)
            }
            (Ready, Assemble) | (Assemble, Proof | Again) => same(),
            _ => false,
        }
    }

    /// Whether a step takes a part out of a slot that another puts its own into.
    fn gives_way(&self, off: &Draft, on: &Draft) -> bool {
        let other = |slot: &str| {
            let on = on.step.parts.iter().find(|it| it.joined && it.slot == slot).map(|it| &it.part);
            let off = off.step.parts.iter().find(|it| it.slot == slot).map(|it| &it.part);
            on.is_some() && off.is_some() && on != off
        };
        off.step.parts.iter().any(|it| it.joined && other(&it.slot))
    }

    /// Step numbers that other steps tell: what a joint that stays is taken apart for, and where it is made again.
    pub(super) fn references(&self, drafts: &mut [Draft]) {
        let strip = |number: usize| step_of(drafts, Section::Strip, number);
        let assemble = |number: usize| step_of(drafts, Section::Assemble, number);
        let mut found = Vec::new();
        for (number, before) in self.conversion.before.iter().enumerate() {
            let Apart::Undone { after, for_old, for_new } = &before.fate else { continue };
            let mut at: Vec<usize> = for_old.iter().filter_map(|it| strip(*it)).collect();
            at.extend(for_new.iter().filter_map(|it| assemble(*it)));
            found.push((strip(number), assemble(*after), at));
        }
        for (off, on, at) in found {
            let (Some(off), Some(on)) = (off, on) else { continue };
            if let Some(draft) = drafts.get_mut(off - 1) {
                draft.step.to_get_at = at;
                draft.step.counterpart = Some(on);
            }
            if let Some(draft) = drafts.get_mut(on - 1) {
                draft.step.counterpart = Some(off);
            }
        }
    }
}
