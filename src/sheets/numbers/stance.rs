//! How a build stands: its frame as it was measured, with the fork and the wheels that are in it now.

use super::figure::Figure;
use super::read::Reader;
use crate::calc::geometry::{Built, ForkShape, FrameShape, Point, Stance, Wheelbase, stand};
use crate::calc::{Answer, fit};
use crate::model::{BuildId, Model};

/// Every measure that a stance is computed from, each once, and how they make a bike.
pub struct Lines {
    inputs: Vec<Figure>,
    recipe: Recipe,
    hands: Option<Hands>,
}

/// Places of the measures among the inputs.
struct Recipe {
    chainstay: usize,
    drop: usize,
    head_angle: usize,
    seat_angle: Option<usize>,
    head_length: usize,
    head: Head,
    fork: [usize; 2],
    lower_stack: usize,
    front_radius: usize,
    rear_radius: usize,
}

/// What says where the head tube is.
enum Head {
    StackAndReach([usize; 2]),
    /// The wheelbase, and with what it was measured: fork, lower headset, front and rear wheel.
    Wheelbase {
        wheelbase: usize,
        fork: [usize; 2],
        lower_stack: usize,
        front_radius: usize,
        rear_radius: usize,
    },
}

/// Places of the measures that say where the hands are.
struct Hands {
    /// Above the head tube, along the steerer: what is added up, and what half of is.
    above: Vec<(usize, f64)>,
    stem_length: usize,
    stem_angle: usize,
    rise: usize,
    reach: usize,
    quill: bool,
}

/// Measures gathered, each path once.
struct Gathered<'r, 'm> {
    reader: &'r Reader<'m>,
    /// The bike that the frame was measured on.
    base: &'r Reader<'m>,
    inputs: Vec<Figure>,
    places: Vec<(BuildId, String, usize)>,
}

impl Gathered<'_, '_> {
    fn put(&mut self, figure: Figure) -> usize {
        self.inputs.push(figure);
        self.inputs.len() - 1
    }

    /// A fact of the build or, for what the frame was measured with, of the first one; the same part's fact only once.
    fn fact(&mut self, of_base: bool, path: &str, needed: bool) -> Option<usize> {
        let reader = if of_base { self.base } else { self.reader };
        let slot = path.rsplit_once('.').map_or(path, |(slot, _)| slot);
        let same = self.base.part(slot) == self.reader.part(slot);
        let build = if of_base || same { self.base.build } else { self.reader.build };
        if let Some((.., place)) = self.places.iter().find(|(known, own, _)| *known == build && own == path) {
            return Some(*place);
        }
        let figure = if needed { reader.figure(path) } else { reader.optional(path) }?;
        let place = self.put(figure);
        self.places.push((build, path.to_owned(), place));
        Some(place)
    }

    /// Radius of a wheel: measured, or by its size.
    fn radius(&mut self, of_base: bool, end: &str) -> Option<usize> {
        let slot = format!("{end}.tyre");
        if let Some(place) = self.fact(of_base, &format!("{slot}.measured_radius"), false) {
            return Some(place);
        }
        let reader = if of_base { self.base } else { self.reader };
        let paths = [format!("{slot}.size.bead"), format!("{slot}.size.width")];
        let build = if self.base.part(&slot) == self.reader.part(&slot) { self.base.build } else { reader.build };
        if let Some((.., place)) = self.places.iter().find(|(known, own, _)| *known == build && *own == slot) {
            return Some(*place);
        }
        let [bead, width] = paths.map(|path| reader.figure(&path));
        let radius = Figure::of([bead?, width?], |[bead, width]| Ok(bead / 2.0 + width)).ok()?;
        let place = self.put(radius);
        self.places.push((build, slot, place));
        Some(place)
    }
}

impl Lines {
    /// Reads a build; none, with what is missing remembered, where its lines can't be known yet.
    ///
    /// A frame's angles and places were measured on the first bike of the chain of builds that has this very frame.
    pub fn read(reader: &Reader) -> Option<Lines> {
        Lines::gathered(reader, |_| None)
    }

    /// The same, with where the hands are.
    pub fn with_hands(reader: &Reader) -> Option<Lines> {
        Lines::gathered(reader, hands)
    }

    fn gathered<'m>(reader: &Reader<'m>, hands: fn(&mut Gathered) -> Option<Hands>) -> Option<Lines> {
        let model: &'m Model = reader.model;
        let mut base = reader.build;
        while let Some(earlier) = model[base].from.filter(|it| {
            model.part_at(*it, "frame").is_some() && model.part_at(*it, "frame") == model.part_at(reader.build, "frame")
        }) {
            base = earlier;
        }
        let base = Reader::of(model, base);
        let mut all = Gathered { reader, base: &base, inputs: Vec::new(), places: Vec::new() };
        let recipe = recipe(&mut all);
        let hands = hands(&mut all);
        reader.also(&base);
        Some(Lines { recipe: recipe?, hands, inputs: all.inputs })
    }

    /// Every measure that it rests on.
    pub fn inputs(&self) -> &[Figure] {
        &self.inputs
    }

    /// The stance at some values of the inputs.
    fn stance(&self, values: &[f64]) -> Answer<Stance> {
        let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
        let fork = |[length, offset]: [usize; 2]| ForkShape { axle_to_crown: at(length), offset: at(offset) };
        let it = &self.recipe;
        let (chainstay, drop, head_angle) = (at(it.chainstay), at(it.drop), at(it.head_angle));
        let (seat_angle, head_length) = (it.seat_angle.map(at), at(it.head_length));
        let frame = match it.head {
            Head::StackAndReach([stack, reach]) => FrameShape::from_stack_and_reach(
                chainstay,
                drop,
                head_angle,
                seat_angle,
                head_length,
                at(stack),
                at(reach),
            )?,
            Head::Wheelbase { wheelbase, fork: own, lower_stack, front_radius, rear_radius } => {
                FrameShape::from_wheelbase(&Wheelbase {
                    chainstay,
                    drop,
                    head_angle,
                    seat_angle,
                    head_length,
                    wheelbase: at(wheelbase),
                    lower_stack: at(lower_stack),
                    fork: fork(own),
                    rear_radius: at(rear_radius),
                    front_radius: at(front_radius),
                })?
            }
        };
        stand(&Built {
            frame,
            fork: fork(it.fork),
            lower_stack: at(it.lower_stack),
            front_radius: at(it.front_radius),
            rear_radius: at(it.rear_radius),
        })
    }

    /// The stance itself, by the numbers without their tolerances.
    ///
    /// # Errors
    /// Where the linkage has no solution.
    pub fn stance_now(&self) -> Answer<Stance> {
        let values: Vec<f64> = self.inputs.iter().map(|it| it.value).collect();
        self.stance(&values)
    }

    /// A measure of the bike as it stands.
    ///
    /// # Errors
    /// Where the linkage has no solution, or `of` no answer.
    pub fn figure(&self, of: impl Fn(&Stance) -> Answer) -> Answer<Figure> {
        Figure::of_all(&self.inputs, |values| of(&self.stance(values)?))
    }

    /// A measure that takes others besides: those of `more` come last in what `of` is given.
    ///
    /// # Errors
    /// As [`Lines::figure`].
    pub fn figure_with<const N: usize>(
        &self,
        more: [Figure; N],
        of: impl Fn(&Stance, [f64; N]) -> Answer,
    ) -> Answer<Figure> {
        let own = self.inputs.len();
        let all: Vec<Figure> = self.inputs.iter().chain(&more).copied().collect();
        Figure::of_all(&all, |values| {
            let more = std::array::from_fn(|at| values.get(own + at).copied().unwrap_or(f64::NAN));
            of(&self.stance(values)?, more)
        })
    }

    /// Where the hands are, ahead of and above the bottom bracket; none where it is not known.
    pub fn hands(&self) -> Option<Answer<[Figure; 2]>> {
        let hands = self.hands.as_ref()?;
        let place = |values: &[f64]| -> Answer<Point> {
            let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
            let stance = self.stance(values)?;
            let above = hands.above.iter().map(|(place, share)| at(*place) * share).sum();
            let (length, angle) = (at(hands.stem_length), at(hands.stem_angle));
            let centre = if hands.quill {
                fit::quill_bar_centre(&stance, above, length, angle)
            } else {
                fit::bar_centre(&stance, above, length, angle)
            }?;
            Ok(Point { x: centre.x + at(hands.reach), y: centre.y + at(hands.rise) })
        };
        let x = Figure::of_all(&self.inputs, |values| place(values).map(|it| it.x));
        let y = Figure::of_all(&self.inputs, |values| place(values).map(|it| it.y));
        Some(x.and_then(|x| Ok([x, y?])))
    }
}

fn recipe(all: &mut Gathered) -> Option<Recipe> {
    // All are asked for, so that all that is missing is told at once.
    let chainstay = all.fact(false, "frame.chainstay.length", true);
    let drop = all.fact(false, "frame.drop", true);
    let head_angle = all.fact(false, "frame.head.angle", true);
    let seat_angle = all.fact(false, "frame.seat.angle", false);
    let head_length = all.fact(false, "frame.head.length", true);
    let fork = [all.fact(false, "fork.axle_to_crown", true), all.fact(false, "fork.offset", true)];
    let lower_stack = all.fact(false, "headset.lower.stack", true);
    let (front_radius, rear_radius) = (all.radius(false, "front"), all.radius(false, "rear"));
    let known = [all.fact(false, "frame.stack", false), all.fact(false, "frame.reach", false)];
    let head = match known {
        [Some(stack), Some(reach)] => Some(Head::StackAndReach([stack, reach])),
        _ => wheelbase(all),
    };
    let [Some(length), Some(offset)] = fork else { return None };
    Some(Recipe {
        chainstay: chainstay?,
        drop: drop?,
        head_angle: head_angle?,
        seat_angle,
        head_length: head_length?,
        head: head?,
        fork: [length, offset],
        lower_stack: lower_stack?,
        front_radius: front_radius?,
        rear_radius: rear_radius?,
    })
}

fn wheelbase(all: &mut Gathered) -> Option<Head> {
    let wheelbase = all.fact(false, "frame.wheelbase", true);
    // The fork it was designed for, where the frame says so; else the one that it was bought with.
    let designed = [all.fact(false, "frame.axle_to_crown", false), all.fact(false, "frame.fork_offset", false)];
    let fork = match designed {
        [Some(length), Some(offset)] => Some([length, offset]),
        _ => {
            all.fact(true, "fork.axle_to_crown", true).zip(all.fact(true, "fork.offset", true)).map(<[usize; 2]>::from)
        }
    };
    let lower_stack = all.fact(true, "headset.lower.stack", true);
    let (front_radius, rear_radius) = (all.radius(true, "front"), all.radius(true, "rear"));
    Some(Head::Wheelbase {
        wheelbase: wheelbase?,
        fork: fork?,
        lower_stack: lower_stack?,
        front_radius: front_radius?,
        rear_radius: rear_radius?,
    })
}

fn hands(all: &mut Gathered) -> Option<Hands> {
    let quill = all.reader.standard("stem.mount") == Some("quill");
    let mut above = Vec::new();
    let mut add = |place: Option<usize>, share: f64| place.map(|place| above.push((place, share)));
    let upper = all.fact(false, "headset.upper.stack", true);
    let mut known = add(upper, 1.0).is_some();
    if quill {
        known &= add(all.fact(false, "stem.quill_height", true), 1.0).is_some();
    } else {
        let (spacers, above) = (all.reader.has("headset.spacers"), "headset.spacers.above");
        known &= spacers.is_some() && all.reader.has("stem_adapter").is_some();
        if spacers == Some(true) {
            known &= add(all.fact(false, "headset.spacers.height", true), 1.0).is_some();
            add(all.fact(false, above, false), -1.0);
            known &= !all.reader.is_open(above);
        }
        if all.reader.standard("stem_adapter.mount") == Some("quill") {
            known &= add(all.fact(false, "stem_adapter.height", true), 1.0).is_some();
        }
        known &= add(all.fact(false, "stem.mount.height", true), 0.5).is_some();
    }
    let stem_length = all.fact(false, "stem.length", true);
    let stem_angle = all.fact(false, "stem.angle", true);
    let (rise, reach) = (all.fact(false, "bar.rise", true), all.fact(false, "bar.reach", true));
    if !known {
        return None;
    }
    Some(Hands { above, stem_length: stem_length?, stem_angle: stem_angle?, rise: rise?, reach: reach?, quill })
}
