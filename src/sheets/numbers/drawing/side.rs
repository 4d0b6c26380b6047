//! The side view: the bike to scale from its computed geometry, the one it comes from as an outline below it, measures, and
//! the joints where they are.

use super::Picture;
use super::anchors::Anchor;
use super::callouts;
use super::scene::Scene;
use crate::calc::Answer;
use crate::calc::geometry::{Point, Stance};
use crate::drawing::{Align, At, Drawing, Ink, Measure};
use crate::judge::JudgedBuild;
use crate::model::Model;
use crate::sheets::numbers::figure::Figure;
use crate::sheets::numbers::page::Page;
use crate::sheets::numbers::read::Reader;
use crate::sheets::numbers::write;
use crate::sheets::render::{Block, Words, plain, strong};

/// Height of the words.
const WORDS: f64 = 25.0;
/// How far a line of measures stands off what it measures.
const OFF: f64 = 46.0;

/// The side view of a build; none for what has no such places at all.
pub(super) fn picture(model: &Model, judged: &JudgedBuild) -> Option<Picture> {
    let reader = Reader::of(model, judged.build);
    let mut page = Page::of(&reader);
    let now = Scene::read(&reader, &mut page);
    let before = model[judged.build].from.map(|base| Reader::of(model, base));
    let before = before.as_ref().and_then(|reader| Scene::read(reader, &mut page));
    if now.is_none() && page.lacks.missing.iter().all(|it| it.foreign) && page.refused.is_empty() {
        return None;
    }
    let drawings = now.as_ref().map(|now| (drawn(now, before.as_ref(), judged), Vec::new()));
    let blocks = not_drawn(now.is_some(), &page);
    Some(Picture {
        key: "side",
        title: "Side view",
        drawings: drawings.into_iter().collect(),
        blocks,
        cautions: Vec::new(),
    })
}

/// What is missing from the drawing, or in its place.
fn not_drawn(drawn: bool, page: &Page) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !drawn {
        let words = "The side view can't be drawn yet: what is not known is not drawn. What it takes stands below.";
        blocks.push(Block::Text(strong(words)));
    }
    if !page.refused.is_empty() {
        blocks.push(Block::Heading("Can't be drawn".to_owned()));
        blocks.push(Block::Items(page.refused.iter().map(|it| strong(it.clone())).collect()));
    }
    if !page.lacks.missing.is_empty() {
        blocks.push(Block::Heading("Not drawn, because it is not known".to_owned()));
        let items: Vec<Words> = page.lacks.missing.iter().map(|it| plain(write::to_measure(page, it))).collect();
        blocks.push(Block::Items(items));
    }
    blocks
}

fn drawn(now: &Scene, before: Option<&Scene>, judged: &JudgedBuild) -> Drawing {
    let title = format!("{}, seen from its right side", now.name);
    let mut drawing = Drawing::new("side", title, description(now, before));
    if let Some(before) = before {
        outline(&mut drawing, before);
    }
    bike(&mut drawing, now);
    measures(&mut drawing, now, before);
    let [left, _, right, _] = drawing.bounds();
    drawing.line((left, 0.0), (right, 0.0), Ink::Axis);
    let aside = callouts::draw(&mut drawing, judged, &places(now));
    drawing.caption = caption(now, before, aside);
    drawing
}

fn description(now: &Scene, before: Option<&Scene>) -> String {
    let both = Both { now, before: None };
    let said = |what: &str, unit: &str, decimals: usize, of: fn(&Stance) -> f64| {
        both.line(what, unit, decimals, of).unwrap_or_default()
    };
    let donor = before.map_or(String::new(), |it| format!(" The outline in dashes is {}.", it.name));
    format!(
        "To scale, the front wheel at the right: {}, {} over the ground, {}.{donor} Marks above and below tell which joints are where.",
        said("wheelbase", "mm", 0, |it| it.wheelbase),
        said("bottom bracket", "mm", 0, |it| it.bb_height),
        said("head angle", "°", 1, |it| it.head_angle)
    )
}

fn caption(now: &Scene, before: Option<&Scene>, aside: usize) -> Vec<String> {
    let mut all = vec![
        "To scale, drawn from the numbers of the geometry sheet. Tubes are lines between places that are known; their width is not drawn. Of the saddle only its height and its nose are known, of the bar its middle and the hands.".to_owned(),
    ];
    if let Some(before) = before {
        all.push(format!("In dashes: {}, on the same ground, bottom bracket plumb over bottom bracket.", before.name));
    }
    if now.seat.as_ref().is_some_and(|it| it.joint.is_some()) {
        all.push("The seat stays are drawn to where the top tube meets the seat tube.".to_owned());
    }
    all.push("Ring with a tick: fits, with how many. Diamond with a question: open. Full square with a cross: clashes. These carry the number of their joint, and every mark leads to what it stands for.".to_owned());
    match aside {
        0 => {}
        1 => all.push("1 joint has no place on this drawing and stands in the joint map alone.".to_owned()),
        more => all.push(format!("{more} joints have no place on this drawing and stand in the joint map alone.")),
    }
    all
}

/// Places on paper: the bottom bracket plumb over nothing, the ground at nothing.
fn on(stance: &Stance) -> impl Fn(Point) -> At {
    let ground = stance.ground_y;
    move |it: Point| (it.x, ground - it.y)
}

/// The tubes of a frame, as far as their ends are known, and its fork.
fn tubes(it: &Scene) -> Vec<[Point; 2]> {
    let stance = &it.stance;
    let bracket = Point { x: 0.0, y: 0.0 };
    let mut all = vec![
        [bracket, stance.rear_axle],
        [bracket, stance.head_bottom],
        [stance.head_bottom, stance.head_top],
        [stance.crown, stance.front_axle],
    ];
    if let Some(seat) = &it.seat {
        all.extend(seat.tube.map(|tube| [bracket, seat.along(tube)]));
        if let Some(joint) = seat.joint {
            all.extend([[seat.along(joint), stance.head_top], [seat.along(joint), stance.rear_axle]]);
        }
    }
    all
}

/// The bike that the new one comes from.
fn outline(drawing: &mut Drawing, it: &Scene) {
    let at = on(&it.stance);
    drawing.circle(at(it.stance.rear_axle), it.stance.rear_radius, Ink::Old);
    drawing.circle(at(it.stance.front_axle), it.stance.front_radius, Ink::Old);
    for [from, to] in tubes(it) {
        drawing.line(at(from), at(to), Ink::Old);
    }
    if let Some([clamp, centre, hands]) = it.cockpit {
        drawing.path([it.stance.head_top, clamp, centre, hands].map(&at).to_vec(), false, Ink::Old);
    }
    if let Some((over, nose)) = it.seat.as_ref().and_then(|it| it.saddle()) {
        let post = it.seat.as_ref().and_then(|it| it.tube.map(|tube| it.along(tube)));
        let places: Vec<At> = post.into_iter().chain([over]).chain(nose).map(&at).collect();
        drawing.path(places, false, Ink::Old);
    }
    if let Some(crank) = it.crank {
        drawing.line(
            (-crank.value, at(Point { x: 0.0, y: 0.0 }).1),
            (crank.value, at(Point { x: 0.0, y: 0.0 }).1),
            Ink::Old,
        );
    }
}

fn bike(drawing: &mut Drawing, it: &Scene) {
    let stance = &it.stance;
    let at = on(stance);
    let wheels = [
        ("rear tyre", "rear axle", stance.rear_axle, stance.rear_radius),
        ("front tyre", "front axle", stance.front_axle, stance.front_radius),
    ];
    for ((tyre, axle, centre, radius), bead) in wheels.into_iter().zip(it.beads) {
        drawing.place(tyre, at(centre), radius, Ink::Plain);
        if let Some(bead) = bead {
            drawing.circle(at(centre), bead, Ink::Fine);
        }
        drawing.place(axle, at(centre), 9.0, Ink::Solid);
    }
    for radius in it.cogs.first().into_iter().chain(it.cogs.last().filter(|_| it.cogs.len() > 1)) {
        drawing.circle(at(stance.rear_axle), *radius, Ink::Fine);
    }
    let bracket = at(Point { x: 0.0, y: 0.0 });
    for radius in &it.rings {
        drawing.circle(bracket, *radius, Ink::Fine);
    }
    for [from, to] in tubes(it) {
        drawing.line(at(from), at(to), Ink::Bold);
    }
    drawing.line(at(stance.head_bottom), at(stance.crown), Ink::Plain);
    if let Some(seat) = &it.seat {
        let saddle = seat.saddle();
        // Where no tube is known, the line that it lies on is.
        let from = seat.tube.map_or(Point { x: 0.0, y: 0.0 }, |tube| seat.along(tube));
        if let Some((over, nose)) = saddle {
            drawing.line(at(from), at(over), if seat.tube.is_some() { Ink::Plain } else { Ink::Axis });
            drawing.place("saddle", at(over), 7.0, Ink::Solid);
            if let Some(nose) = nose {
                drawing.line(at(over), at(nose), Ink::Bold);
                drawing.place("saddle's nose", at(nose), 4.0, Ink::Solid);
            }
        } else if seat.tube.is_none() {
            drawing.line(at(from), at(seat.along(stance.head_top.y / seat.up.y)), Ink::Axis);
        }
    }
    if let Some([clamp, centre, hands]) = it.cockpit {
        drawing.path([stance.head_top, clamp].map(&at).to_vec(), false, Ink::Plain);
        drawing.line(at(clamp), at(centre), Ink::Bold);
        drawing.line(at(centre), at(hands), Ink::Plain);
        drawing.place("bar", at(centre), 13.0, Ink::Plain);
        drawing.place("hands", at(hands), 7.0, Ink::Solid);
    }
    if let Some(crank) = it.crank {
        let ends = [-crank.value, crank.value].map(|x| (x, bracket.1));
        drawing.line(ends[0], ends[1], Ink::Plain);
        for (x, y) in ends {
            drawing.line((x - 45.0, y), (x + 45.0, y), Ink::Bold);
        }
    }
    drawing.place("bottom bracket", bracket, 17.0, Ink::Plain);
    drawing.place("head tube, top", at(stance.head_top), 5.0, Ink::Solid);
    drawing.place("head tube, bottom", at(stance.head_bottom), 5.0, Ink::Solid);
}

/// A measure of a bike, and that of the one before where it is another.
struct Both<'s> {
    now: &'s Scene,
    before: Option<&'s Scene>,
}

impl Both<'_> {
    fn said(&self, what: &str, unit: &str, decimals: usize, of: impl Fn(&Scene) -> Option<Figure>) -> Option<String> {
        let now = of(self.now)?;
        // What was is told without its tolerance: that stands on the sheet.
        let bare = |it: Figure| Figure { low: it.value, high: it.value, ..it }.shown(decimals);
        let before = self.before.and_then(of).map(bare).filter(|it| *it != bare(now));
        let before = before.map_or(String::new(), |it| format!(" (before {it})"));
        Some(format!("{what} {} {unit}{before}", now.shown(decimals)))
    }

    fn line(&self, what: &str, unit: &str, decimals: usize, of: fn(&Stance) -> f64) -> Option<String> {
        self.said(what, unit, decimals, |it| it.lines.figure(|stance| Ok(of(stance))).ok())
    }
}

fn measures(drawing: &mut Drawing, now: &Scene, before: Option<&Scene>) {
    let (both, stance) = (Both { now, before }, &now.stance);
    let at = on(stance);
    let mut put = |ends: [At; 2], off: At, beside: At, align: Align, words: Option<String>| {
        if let Some(words) = words {
            Measure { ends, off, words, size: WORDS, beside, align }.draw(drawing);
        }
    };
    let foot = |it: Point| (it.x, 0.0);
    let above = -WORDS * 0.4;
    let (rear, front, axis) = (foot(stance.rear_axle), foot(stance.front_axle), foot(stance.axis_ground));
    let trail = both.line("trail", "mm", 1, |it| it.trail);
    let (ends, beside) =
        if axis.0 > front.0 { ([front, axis], axis.0 - front.0) } else { ([axis, front], front.0 - axis.0) };
    put(ends, (0.0, OFF), (beside / 2.0 + 20.0, WORDS * 0.4), Align::Start, trail);
    let wheelbase = both.line("wheelbase", "mm", 0, |it| it.wheelbase);
    put([rear, front], (0.0, OFF * 2.1), (0.0, above), Align::Middle, wheelbase);
    let bracket = at(Point { x: 0.0, y: 0.0 });
    let height = both.line("bottom bracket", "mm", 0, |it| it.bb_height);
    put([bracket, (0.0, 0.0)], (0.0, 0.0), (14.0, WORDS * 2.4), Align::Start, height);
    let top = at(stance.head_top);
    let corner = (0.0, top.1);
    let stack = both.line("stack", "mm", 0, |it| it.stack);
    put([bracket, corner], (0.0, 0.0), (14.0, -WORDS), Align::Start, stack);
    let reach = both.line("reach", "mm", 0, |it| it.reach);
    put([corner, top], (0.0, -OFF * 1.1), (0.0, above), Align::Middle, reach);
    if let Some((seat, height)) = now.seat.as_ref().and_then(|it| Some((it, it.height?))) {
        let words = both.said("saddle height", "mm", 0, |it| it.seat.as_ref()?.height);
        let off = (-seat.up.y * OFF * 1.4, -(-seat.up.x) * OFF * 1.4);
        let far = height.value * 0.22;
        let beside = (seat.up.x * far - WORDS * 0.6, -seat.up.y * far);
        put([bracket, at(seat.along(height.value))], off, beside, Align::End, words);
    }
    let middle = at(Point {
        x: f64::midpoint(stance.head_top.x, stance.head_bottom.x),
        y: f64::midpoint(stance.head_top.y, stance.head_bottom.y),
    });
    if let Some(words) = both.line("head angle", "°", 1, |it| it.head_angle) {
        drawing.text((middle.0 + 34.0, middle.1), words, WORDS, Align::Start);
    }
    let seat_angle = both.said("seat angle", "°", 1, |it| {
        it.stance.seat_angle?;
        it.lines.figure(|stance| stance.seat_angle.map_or_else(nothing, Ok)).ok()
    });
    if let (Some(words), Some(seat)) = (seat_angle, &now.seat) {
        let (x, y) = at(seat.along(stance.head_top.y * 0.38));
        drawing.text((x - 84.0, y), words, WORDS, Align::End);
    }
}

fn nothing() -> Answer {
    Err(crate::calc::Refused("the seat angle is not known".to_owned()))
}

/// Where joints are marked.
fn places(it: &Scene) -> Vec<(Anchor, At)> {
    let stance = &it.stance;
    let at = on(stance);
    let seat = it.seat.as_ref();
    let saddle = seat.and_then(|it| it.saddle()).map(|(over, _)| over);
    let post = seat.and_then(|it| it.tube.or(it.height.map(|height| height.value * 0.75)).map(|far| it.along(far)));
    let on_rim = |axle: Point, radius: f64, degrees: f64| Point {
        x: axle.x + radius * libm::cos(degrees.to_radians()),
        y: axle.y + radius * libm::sin(degrees.to_radians()),
    };
    let [rear_bead, front_bead] = it.beads.map(|it| it.unwrap_or(0.0));
    let brake = |axle: Point, at_rim: bool, bead: f64, degrees: f64| match at_rim && bead > 0.0 {
        true => on_rim(axle, bead, degrees),
        false => on_rim(axle, 60.0, degrees),
    };
    let [rear_rim, front_rim] = it.at_rim;
    let along_fork =
        libm::atan2(stance.crown.y - stance.front_axle.y, stance.crown.x - stance.front_axle.x).to_degrees();
    let between =
        |one: Point, other: Point| Point { x: f64::midpoint(one.x, other.x), y: f64::midpoint(one.y, other.y) };
    let all = [
        (Anchor::RearBrake, Some(brake(stance.rear_axle, rear_rim, rear_bead, 62.0))),
        (Anchor::Saddle, saddle),
        (Anchor::Post, post),
        (Anchor::HeadUpper, Some(stance.head_top)),
        (Anchor::HeadLower, Some(stance.head_bottom)),
        (Anchor::Bar, it.cockpit.map(|[_, centre, _]| centre)),
        (Anchor::FrontBrake, Some(brake(stance.front_axle, front_rim, front_bead, along_fork))),
        (Anchor::RearWheel, Some(on_rim(stance.rear_axle, stance.rear_radius, 225.0))),
        (Anchor::RearAxle, Some(stance.rear_axle)),
        (Anchor::Drive, Some(between(stance.rear_axle, Point { x: 0.0, y: 0.0 }))),
        (Anchor::Crank, Some(Point { x: 0.0, y: 0.0 })),
        (Anchor::FrontAxle, Some(stance.front_axle)),
        (Anchor::FrontWheel, Some(on_rim(stance.front_axle, stance.front_radius, 315.0))),
    ];
    all.into_iter().filter_map(|(anchor, place)| Some((anchor, at(place?)))).collect()
}
