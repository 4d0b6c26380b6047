//! Where the joints of a bike are on its side view.

use crate::judge::JudgedJoint;

/// A place on the side view that joints are marked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Anchor {
    RearBrake,
    Saddle,
    Post,
    HeadUpper,
    HeadLower,
    Bar,
    FrontBrake,
    RearWheel,
    RearAxle,
    Drive,
    Crank,
    FrontAxle,
    FrontWheel,
}

use Anchor::{
    Bar, Crank, Drive, FrontAxle, FrontBrake, FrontWheel, HeadLower, HeadUpper, Post, RearAxle, RearBrake, RearWheel,
    Saddle,
};

impl Anchor {
    /// What it is, briefly.
    pub fn title(self) -> &'static str {
        match self {
            RearBrake => "rear brake",
            Saddle => "saddle",
            Post => "seatpost",
            HeadUpper => "stem, headset",
            HeadLower => "fork, headset",
            Bar => "bar",
            FrontBrake => "front brake",
            RearWheel => "rear wheel",
            RearAxle => "rear axle",
            Drive => "chain, cogs",
            Crank => "crank",
            FrontAxle => "front axle",
            FrontWheel => "front wheel",
        }
    }

    /// Whether its joints are told above the drawing; otherwise below it.
    pub fn above(self) -> bool {
        self <= FrontBrake
    }
}

/// Slots with the place of what stands in them, those first that say most of where a joint is. What has no place of its
/// own on the drawing has none here: then the joint has none either.
const PLACES: &[(&str, Option<Anchor>)] = &[
    ("front.lamp", None),
    ("rear.lamp", None),
    ("front.rack", None),
    ("rear.rack", None),
    ("cage.down", None),
    ("cage.seat", None),
    ("reflectors", None),
    ("saddle", Some(Saddle)),
    ("saddle_clamp", Some(Saddle)),
    ("seatpost", Some(Post)),
    ("seat_clamp", Some(Post)),
    ("seat_shim", Some(Post)),
    ("bar", Some(Bar)),
    ("grips", Some(Bar)),
    ("bar_plugs", Some(Bar)),
    ("bar_shim", Some(Bar)),
    ("front.brake", Some(FrontBrake)),
    ("front.rotor", Some(FrontBrake)),
    ("front.brake_adapter", Some(FrontBrake)),
    ("front.rotor_adapter", Some(FrontBrake)),
    ("rear.brake", Some(RearBrake)),
    ("rear.rotor", Some(RearBrake)),
    ("rear.brake_adapter", Some(RearBrake)),
    ("rear.rotor_adapter", Some(RearBrake)),
    ("rear.cogs", Some(Drive)),
    ("chain", Some(Drive)),
    ("rear_derailleur", Some(Drive)),
    ("chain_tensioner", Some(Drive)),
    ("front_derailleur", Some(Crank)),
    ("crank", Some(Crank)),
    ("bottom_bracket", Some(Crank)),
    ("bb_adapter", Some(Crank)),
    ("ring.big", Some(Crank)),
    ("ring.middle", Some(Crank)),
    ("ring.small", Some(Crank)),
    ("pedals", Some(Crank)),
    ("front.tyre", Some(FrontWheel)),
    ("front.tube", Some(FrontWheel)),
    ("front.rim", Some(FrontWheel)),
    ("front.mudguard", Some(FrontWheel)),
    ("rear.tyre", Some(RearWheel)),
    ("rear.tube", Some(RearWheel)),
    ("rear.rim", Some(RearWheel)),
    ("rear.mudguard", Some(RearWheel)),
    ("front.hub", Some(FrontAxle)),
    ("front.axle", Some(FrontAxle)),
    ("rear.hub", Some(RearAxle)),
    ("rear.axle", Some(RearAxle)),
    ("stem", Some(HeadUpper)),
    ("stem_adapter", Some(HeadUpper)),
    ("headset.upper", Some(HeadUpper)),
    ("headset.spacers", Some(HeadUpper)),
    ("steerer_plug", Some(HeadUpper)),
    ("headset.lower", Some(HeadLower)),
    ("headset.race_adapter", Some(HeadLower)),
    ("fork", Some(HeadLower)),
];

/// Where a joint is; none for one without a place, and for one that is at both ends of the bike.
pub(super) fn anchor(joint: &JudgedJoint) -> Option<Anchor> {
    // What a joint could do without says less of where it is.
    let needs = |slot: &str| joint.uses.iter().any(|it| it.slot == slot && !it.optional);
    let uses = |slot: &str| joint.uses.iter().any(|it| it.slot == slot);
    let end = |end: &str| joint.uses.iter().any(|it| it.slot.starts_with(end));
    if end("front.") && end("rear.") {
        return None;
    }
    let place = PLACES.iter().find(|(slot, _)| needs(slot)).or_else(|| PLACES.iter().find(|(slot, _)| uses(slot)));
    place.and_then(|(_, anchor)| *anchor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_of_slots_that_there_are() {
        let (model, assembly) = (crate::library::base(), "bicycle");
        let slots = &model.assemblies.iter().find(|it| it.name.text == assembly).unwrap().slots;
        let unknown: Vec<&str> = PLACES.iter().map(|(slot, _)| *slot).filter(|it| !slots.contains_key(*it)).collect();
        assert!(unknown.is_empty(), "{unknown:?}");
        let all = [
            RearBrake, Saddle, Post, HeadUpper, HeadLower, Bar, FrontBrake, RearWheel, RearAxle, Drive, Crank,
            FrontAxle, FrontWheel,
        ];
        for anchor in all {
            assert!(PLACES.iter().any(|(_, own)| *own == Some(anchor)), "{anchor:?} has no slot");
        }
    }
}
