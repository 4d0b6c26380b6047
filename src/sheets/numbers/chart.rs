//! Gears on one line each ring, on a scale where equal steps look equal.

use std::fmt::Write;

/// Columns between the smallest and the largest gear.
const WIDE: f64 = 72.0;
/// Room for what a line is.
const NAME: usize = 14;

/// Gears of one or two bikes.
#[derive(Clone, Debug, Default)]
pub struct Chart {
    /// Its lines; one without gears names the bike that those after it are of.
    pub lines: Vec<Line>,
}

/// A line of the chart.
#[derive(Clone, Debug)]
pub struct Line {
    /// What it is: a ring, or a bike.
    pub name: String,
    /// Gears on it, from the easiest to the hardest.
    pub gears: Vec<Gear>,
}

/// A gear of the chart.
#[derive(Clone, Debug)]
pub struct Gear {
    /// Its development, in m.
    pub size: f64,
    /// Whether the chain runs across.
    pub crossed: bool,
    /// What tells it from others of its line.
    pub label: String,
}

impl Chart {
    /// The smallest and the largest gear; none if there is no gear.
    pub fn ends(&self) -> Option<(f64, f64)> {
        let sizes = || self.lines.iter().flat_map(|line| &line.gears).map(|it| it.size).filter(|it| *it > 0.0);
        sizes().next()?;
        Some((sizes().fold(f64::INFINITY, f64::min), sizes().fold(0.0, f64::max)))
    }

    /// Round figures between its ends, in m.
    pub fn ticks(&self) -> Vec<f64> {
        let Some((low, high)) = self.ends() else { return Vec::new() };
        TICKS.iter().copied().filter(|tick| *tick >= low * 0.999 && *tick <= high * 1.001).collect()
    }

    /// The chart in letters: lines of gears, in m of development, above a scale. Empty, if there is no gear.
    pub fn text(&self) -> String {
        let Some((low, high)) = self.ends() else { return String::new() };
        let span = libm::log(high / low).max(1e-9);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let place = |size: f64| (libm::log(size / low) / span * WIDE).round() as usize;
        let mut out = String::new();
        for line in &self.lines {
            let mut row = vec![' '; place(high) + 1];
            // Of two gears in one place the later one shows.
            for it in line.gears.iter().filter(|it| it.size > 0.0) {
                if let Some(cell) = row.get_mut(place(it.size)) {
                    *cell = if it.crossed { 'x' } else { 'o' };
                }
            }
            let row: String = row.into_iter().collect();
            let _ = writeln!(out, "{}", format!("{:<NAME$}  {row}", line.name).trim_end());
        }
        let mut scale = vec![' '; place(high) + 6];
        let mut free = 0;
        for tick in self.ticks() {
            let (at, text) = (place(tick), tick.to_string());
            if at >= free {
                for (cell, digit) in scale.iter_mut().skip(at).zip(text.chars()) {
                    *cell = digit;
                }
                free = at + text.len() + 1;
            }
        }
        let scale: String = scale.into_iter().collect();
        let _ = writeln!(out, "{:<NAME$}  {}", "m", scale.trim_end());
        out
    }
}

/// Round figures for the scale, in m.
const TICKS: &[f64] =
    &[0.5, 0.7, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_steps_are_equally_far_apart() {
        let gear = |size: f64, crossed: bool| Gear { size, crossed, label: String::new() };
        let gears = vec![gear(2.0, false), gear(4.0, false), gear(8.0, true)];
        let chart = Chart { lines: vec![Line { name: "40".to_owned(), gears }] }.text();
        let first = chart.lines().next().unwrap();
        let places: Vec<usize> =
            first.char_indices().filter(|(_, c)| "ox".contains(*c)).map(|(at, _)| at - 16).collect();
        assert_eq!(places, [0, 36, 72]);
        assert_eq!(Chart::default().text(), "");
    }
}
