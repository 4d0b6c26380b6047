//! A figure of a sheet: a number, how far off it may be, and how well it is known.

use crate::calc::Answer;

/// How well a figure is known, the worst of what it was computed from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Written down as it is.
    Known,
    /// Nobody wrote it: a default of the library.
    Assumed,
    /// Computed from a guess.
    Estimated,
}

/// By how much a guess is moved to see what rests on it: a mm or a degree.
const PROBE: f64 = 1.0;
/// Less than this is floating-point noise.
const NOISE: f64 = 1e-7;

/// A number with its bounds, in the unit that its column names.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The number itself.
    pub value: f64,
    /// The least that it may be, by the tolerances that were written.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// How well it is known.
    pub standing: Standing,
}

impl Figure {
    /// A number that is just this.
    pub fn exact(value: f64) -> Figure {
        Figure { value, low: value, high: value, standing: Standing::Known }
    }

    /// Between two ends; the number itself is the middle.
    pub fn between(low: f64, high: f64, standing: Standing) -> Figure {
        Figure { value: f64::midpoint(low, high), low, high, standing }
    }

    /// What is computed from figures: `f` of the numbers; off by what each tolerance moves it, all of them at their worst.
    ///
    /// The tolerances of a workshop are small beside what they measure, so their effects simply add up.
    ///
    /// # Errors
    /// Where `f` has no answer, for the numbers themselves or at the end of a tolerance.
    pub fn of<const N: usize>(figures: [Figure; N], f: impl Fn([f64; N]) -> Answer) -> Answer<Figure> {
        Figure::of_all(&figures, |values| f(std::array::from_fn(|at| values.get(at).copied().unwrap_or_default())))
    }

    /// [`Figure::of`], for any number of figures.
    ///
    /// # Errors
    /// As there.
    pub fn of_all(figures: &[Figure], f: impl Fn(&[f64]) -> Answer) -> Answer<Figure> {
        let mut values: Vec<f64> = figures.iter().map(|it| it.value).collect();
        let value = f(&values)?;
        let (mut low, mut high) = (value, value);
        for (at, figure) in figures.iter().enumerate().filter(|(_, it)| it.low < it.high) {
            let mut moved = [0.0; 2];
            for (end, moved) in [figure.low, figure.high].into_iter().zip(&mut moved) {
                values.iter_mut().skip(at).take(1).for_each(|it| *it = end);
                *moved = f(&values)? - value;
            }
            values.iter_mut().skip(at).take(1).for_each(|it| *it = figure.value);
            low += moved.into_iter().fold(0.0, f64::min);
            high += moved.into_iter().fold(0.0, f64::max);
        }
        let standing = figures.iter().map(|it| it.standing).max().unwrap_or(Standing::Known);
        Ok(Figure { value, low, high, standing })
    }

    /// [`Figure::of_all`] for an `f` that runs evenly, without steps: a guess that does not move it takes no part in it, and
    /// leaves it as well known as the others do.
    ///
    /// # Errors
    /// As there.
    pub fn of_even(figures: &[Figure], f: impl Fn(&[f64]) -> Answer) -> Answer<Figure> {
        let figure = Figure::of_all(figures, &f)?;
        let mut values = values(figures);
        let mut standing = Standing::Known;
        for (at, own) in figures.iter().enumerate().filter(|(_, it)| it.standing > Standing::Known) {
            let mut moves = false;
            for step in [-PROBE, PROBE] {
                values.iter_mut().skip(at).take(1).for_each(|it| *it = own.value + step);
                // Where there is no answer any more, it rests on it all the same.
                moves |= f(&values).map_or(true, |it| (it - figure.value).abs() > NOISE);
            }
            values.iter_mut().skip(at).take(1).for_each(|it| *it = own.value);
            standing = if moves { standing.max(own.standing) } else { standing };
        }
        Ok(Figure { standing, ..figure })
    }

    /// The same figure, known no better than what decides that it stands there at all.
    pub fn resting_on(self, others: &[Figure]) -> Figure {
        let standing = others.iter().map(|it| it.standing).fold(self.standing, Standing::max);
        Figure { standing, ..self }
    }

    /// What changes between two bikes: measures that both share move together, so that only the numbers themselves are taken.
    pub fn change(before: Figure, now: Figure) -> Figure {
        Figure { standing: before.standing.max(now.standing), ..Figure::exact(now.value - before.value) }
    }

    /// The figure in another unit, or with its sign turned.
    pub fn scaled(self, factor: f64) -> Figure {
        let ends = [self.low * factor, self.high * factor];
        let [low, high] = if factor < 0.0 { [ends[1], ends[0]] } else { ends };
        Figure { value: self.value * factor, low, high, standing: self.standing }
    }

    /// What stands before a figure that rests on a guess.
    pub fn mark(self) -> &'static str {
        if self.standing == Standing::Estimated { "~" } else { "" }
    }

    /// As a person reads it: `57.3`, `57.3 ± 0.4`, `~57.3`; the bounds are left out where the last digit hides them.
    pub fn shown(self, decimals: usize) -> String {
        let number = |value: f64| {
            let text = format!("{value:.decimals$}");
            if text.trim_start_matches(['-', '0', '.']).is_empty() {
                text.trim_start_matches('-').to_owned()
            } else {
                text
            }
        };
        let mark = self.mark();
        let value = number(self.value);
        let off = number((self.value - self.low).max(self.high - self.value));
        if off.trim_start_matches(['0', '.']).is_empty() {
            format!("{mark}{value}")
        } else {
            format!("{mark}{value} ± {off}")
        }
    }
}

/// The numbers of figures.
pub fn values(figures: &[Figure]) -> Vec<f64> {
    figures.iter().map(|it| it.value).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_guess_marks_what_it_moves() {
        let guess = |value: f64| Figure { standing: Standing::Estimated, ..Figure::exact(value) };
        let square = |values: &[f64]| Ok(values.first().map_or(0.0, |it| it * it));
        // At the bottom of a hollow too, and where another number would have no answer.
        for value in [0.0, 3.0] {
            assert_eq!(
                Figure::of_even(&[guess(value), Figure::exact(1.0)], square).unwrap().standing,
                Standing::Estimated
            );
        }
        assert_eq!(Figure::of_even(&[Figure::exact(3.0), guess(1.0)], square).unwrap().standing, Standing::Known);
        let edge = |values: &[f64]| if values == [3.0] { Ok(1.0) } else { Err(crate::calc::Refused(String::new())) };
        assert_eq!(Figure::of_even(&[guess(3.0)], edge).unwrap().standing, Standing::Estimated);
    }

    #[test]
    fn tolerances_add_up() {
        let length = Figure::between(99.0, 101.0, Standing::Known);
        let guess = Figure { standing: Standing::Estimated, ..Figure::exact(50.0) };
        let sum = Figure::of([length, guess], |[a, b]| Ok(a - b)).unwrap();
        assert_eq!((sum.value, sum.low, sum.high), (50.0, 49.0, 51.0));
        assert_eq!(sum.shown(0), "~50 ± 1");
        assert_eq!(Figure::exact(-0.04).shown(1), "0.0");
        assert_eq!(Figure::between(1.0, 1.04, Standing::Known).shown(1), "1.0");
    }
}
