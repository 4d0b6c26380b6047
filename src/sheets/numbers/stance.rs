//! How a build stands: its frame as it was measured, with the fork and the wheels that are in it now.

use super::figure::Figure;
use super::hands::Hands;
use super::read::Reader;
use crate::calc::geometry::{Built, ForkShape, FrameShape, Point, Stance, Wheelbase, stand};
use crate::calc::{Answer, tyre};
use crate::model::BuildId;

/// Every measure that a stance is computed from, each once, and how they make a bike.
pub struct Lines {
    inputs: Vec<Figure>,
    recipe: Recipe,
    hands: Option<Hands>,
    /// Whether the frame was measured on this very build.
    measured_here: bool,
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

/// Measures gathered, each path once.
pub(super) struct Gathered<'r, 'm> {
    pub reader: &'r Reader<'m>,
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
    pub fn fact(&mut self, of_base: bool, path: &str, needed: bool) -> Option<usize> {
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
        let radius = Figure::of([bead?, width?], |[bead, width]| tyre::radius_mm(bead, width)).ok()?;
        let place = self.put(radius);
        self.places.push((build, slot, place));
        Some(place)
    }
}

/// The first bike of the chain of builds that has this very frame: the frame was measured on it.
fn first_with_frame(reader: &Reader) -> BuildId {
    let (model, frame) = (reader.model, reader.model.part_at(reader.build, "frame"));
    let mut base = reader.build;
    while let Some(earlier) = model[base].from.filter(|it| frame.is_some() && model.part_at(*it, "frame") == frame) {
        base = earlier;
    }
    base
}

/// From axle to axle: as it was measured, while the fork is the one that it was measured with; otherwise by its lines.
///
/// Other wheels tilt the bike, and hardly bring its axles nearer: 10 mm of radius at one end do so by 0.1 mm.
pub fn wheelbase(reader: &Reader) -> Option<Answer<Figure>> {
    let base = Reader::of(reader.model, first_with_frame(reader));
    let same =
        ["fork", "headset.lower"].iter().all(|slot| base.part(slot).is_some() && base.part(slot) == reader.part(slot));
    let drawn = ["frame.axle_to_crown", "frame.fork_offset", "frame.stack", "frame.reach"];
    if same && drawn.iter().all(|path| reader.if_known(path).is_none()) {
        return reader.figure("frame.wheelbase").map(Ok);
    }
    Lines::gathered(reader, |_| None).map(|lines| lines.figure(|it| Ok(it.wheelbase)))
}

impl Lines {
    /// Reads a build; none, with what is missing remembered, where its lines can't be known yet.
    ///
    /// A frame's angles and places were measured on the first bike of the chain of builds that has this very frame.
    pub fn read(reader: &Reader) -> Option<Lines> {
        Lines::gathered(reader, Hands::gathered)
    }

    fn gathered<'m>(reader: &Reader<'m>, hands: fn(&mut Gathered) -> Option<Hands>) -> Option<Lines> {
        let base = Reader::of(reader.model, first_with_frame(reader));
        let mut all = Gathered { reader, base: &base, inputs: Vec::new(), places: Vec::new() };
        let recipe = recipe(&mut all);
        let hands = hands(&mut all);
        reader.also(&base);
        let measured_here = base.build == reader.build;
        Some(Lines { recipe: recipe?, hands, inputs: all.inputs, measured_here })
    }

    /// How far the bike that the frame was measured on would tilt to stand, in degrees: more than nothing where its stack,
    /// drop, fork and tyres do not agree. None for another build than that.
    pub fn disagreement(&self) -> Option<f64> {
        self.measured_here.then(|| self.stance_now().ok().map(|it| it.tilt.abs())).flatten()
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

    /// Where the stem is clamped, the middle of the bar, and the hands, by the numbers without their tolerances; none where
    /// they are not known.
    pub fn cockpit_now(&self) -> Option<Answer<[Point; 3]>> {
        let hands = self.hands.as_ref()?;
        let values: Vec<f64> = self.inputs.iter().map(|it| it.value).collect();
        let all = self.stance(&values).and_then(|stance| {
            let [clamp, centre] = hands.bar(&stance, &values)?;
            Ok([clamp, centre, hands.place(&stance, &values)?])
        });
        Some(all)
    }

    /// A measure of the bike as it stands.
    ///
    /// # Errors
    /// Where the linkage has no solution, or `of` no answer.
    pub fn figure(&self, of: impl Fn(&Stance) -> Answer) -> Answer<Figure> {
        Figure::of_even(&self.inputs, |values| of(&self.stance(values)?))
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
        Figure::of_even(&all, |values| {
            let more = std::array::from_fn(|at| values.get(own + at).copied().unwrap_or(f64::NAN));
            of(&self.stance(values)?, more)
        })
    }

    /// Where the hands are, ahead of and above the bottom bracket; none where it is not known.
    pub fn hands(&self) -> Option<Answer<[Figure; 2]>> {
        let hands = self.hands.as_ref()?;
        let place = |values: &[f64]| hands.place(&self.stance(values)?, values);
        let x = Figure::of_even(&self.inputs, |values| place(values).map(|it| it.x));
        let y = Figure::of_even(&self.inputs, |values| place(values).map(|it| it.y));
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
        _ => by_wheelbase(all),
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

fn by_wheelbase(all: &mut Gathered) -> Option<Head> {
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
