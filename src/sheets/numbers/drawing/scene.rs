//! What the side view shows of one bike: places that its facts lead to, and nothing that they don't.

use crate::calc::geometry::{Point, Stance};
use crate::calc::{fit, rings};
use crate::sheets::numbers::drive::RINGS;
use crate::sheets::numbers::figure::Figure;
use crate::sheets::numbers::page::Page;
use crate::sheets::numbers::read::Reader;
use crate::sheets::numbers::stance::Lines;

/// A bike as it stands.
pub(super) struct Scene {
    pub name: String,
    pub lines: Lines,
    pub stance: Stance,
    pub seat: Option<Seat>,
    /// Where the stem is clamped, the middle of the bar, and the hands.
    pub cockpit: Option<[Point; 3]>,
    /// Length of the crank.
    pub crank: Option<Figure>,
    /// Pitch radii of rings and cogs, the largest first.
    pub rings: Vec<f64>,
    pub cogs: Vec<f64>,
    /// Radii at the bead seats, rear and front.
    pub beads: [Option<f64>; 2],
    /// Whether the front brake, the rear brake is at the rim.
    pub at_rim: [bool; 2],
}

/// The seat tube and what stands in it.
pub(super) struct Seat {
    /// Direction of the seat tube, of length one, upwards.
    pub up: Point,
    /// Length of the seat tube.
    pub tube: Option<f64>,
    /// From the bottom bracket along it to where the top tube meets it.
    pub joint: Option<f64>,
    /// Height of the saddle along it.
    pub height: Option<Figure>,
    /// How far the saddle's nose is behind the bottom bracket.
    pub setback: Option<f64>,
}

impl Seat {
    /// The place so far along the seat tube.
    pub fn along(&self, far: f64) -> Point {
        Point { x: self.up.x * far, y: self.up.y * far }
    }

    /// The top of the saddle over the post, and its nose.
    pub fn saddle(&self) -> Option<(Point, Option<Point>)> {
        let over = self.along(self.height?.value);
        Some((over, self.setback.map(|it| Point { x: -it, y: over.y })))
    }
}

impl Scene {
    /// Reads a bike; none, with what is missing or can't be told to the page, if it is not known how it stands.
    pub fn read(reader: &Reader, page: &mut Page) -> Option<Scene> {
        let lines = Lines::read(reader);
        let scene = lines.and_then(|lines| {
            let stance = page.answer(reader.name(), lines.stance_now())?;
            let cockpit = lines.cockpit_now().and_then(|it| page.answer(&format!("{}, bar", reader.name()), it));
            let bead = |end: &str| reader.if_known(&format!("{end}.tyre.size.bead")).map(|it| it.value / 2.0);
            let at_rim = |end: &str| !reader.filled(&format!("{end}.rotor"));
            Some(Scene {
                name: reader.name().to_owned(),
                seat: seat(reader, &stance, page),
                stance,
                cockpit,
                crank: reader.figure("crank.length"),
                rings: radii(RINGS.iter().filter_map(|slot| reader.if_known(&format!("{slot}.teeth"))).collect()),
                cogs: radii(reader.list("rear.cogs.cogs").unwrap_or_default()),
                beads: [bead("rear"), bead("front")],
                at_rim: [at_rim("rear"), at_rim("front")],
                lines,
            })
        });
        page.account(reader);
        scene
    }
}

fn seat(reader: &Reader, stance: &Stance, page: &mut Page) -> Option<Seat> {
    let height = reader.figure("saddle_height");
    let Some(angle) = stance.seat_angle else { return reader.miss("frame.seat.angle") };
    let up = page.answer(reader.name(), fit::saddle_point(angle, 1.0, 0.0))?;
    let tube = reader.figure("frame.seat.length").map(|it| it.value);
    let below = reader.optional("frame.seat.joint").map(|it| it.value);
    Some(Seat {
        up,
        tube,
        joint: tube.map(|tube| tube - below.unwrap_or(0.0)),
        height,
        setback: reader.figure("saddle_setback").map(|it| it.value),
    })
}

fn radii(teeth: Vec<Figure>) -> Vec<f64> {
    let mut all: Vec<f64> =
        teeth.iter().filter_map(|it| rings::pitch_diameter_mm(it.value).ok()).map(|it| it / 2.0).collect();
    all.sort_by(|one, other| other.total_cmp(one));
    all
}
