//! Gears on one line each ring, on a scale where equal steps look equal.

use std::fmt::Write;

/// Columns between the smallest and the largest gear.
const WIDE: f64 = 72.0;
/// Room for what a line is.
const NAME: usize = 14;

/// A line of the chart.
pub struct Line {
    /// What it is: a ring, or a bike.
    pub name: String,
    /// Gears on it, by size, with the mark of each.
    pub gears: Vec<(f64, char)>,
}

/// Lines of gears, in m of development, above a scale. A line without gears stands for itself. Empty, if there is no gear.
pub fn drawn(lines: &[Line]) -> String {
    let sizes: Vec<f64> =
        lines.iter().flat_map(|line| &line.gears).map(|(size, _)| *size).filter(|it| *it > 0.0).collect();
    let (low, high) = (sizes.iter().copied().fold(f64::INFINITY, f64::min), sizes.iter().copied().fold(0.0, f64::max));
    if sizes.is_empty() {
        return String::new();
    }
    let span = libm::log(high / low).max(1e-9);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let place = |size: f64| (libm::log(size / low) / span * WIDE).round() as usize;
    let mut out = String::new();
    for line in lines {
        let mut row = vec![' '; place(high) + 1];
        // Of two gears in one place the later one shows.
        for (size, mark) in line.gears.iter().filter(|(size, _)| *size > 0.0) {
            if let Some(cell) = row.get_mut(place(*size)) {
                *cell = *mark;
            }
        }
        let row: String = row.into_iter().collect();
        let _ = writeln!(out, "{}", format!("{:<NAME$}  {row}", line.name).trim_end());
    }
    let mut scale = vec![' '; place(high) + 6];
    let mut free = 0;
    for tick in TICKS.iter().filter(|tick| **tick >= low * 0.999 && **tick <= high * 1.001) {
        let (at, text) = (place(*tick), tick.to_string());
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

/// Round figures for the scale, in m.
const TICKS: &[f64] =
    &[0.5, 0.7, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_steps_are_equally_far_apart() {
        let chart = drawn(&[Line { name: "40".to_owned(), gears: vec![(2.0, 'o'), (4.0, 'o'), (8.0, 'x')] }]);
        let first = chart.lines().next().unwrap();
        let places: Vec<usize> =
            first.char_indices().filter(|(_, c)| "ox".contains(*c)).map(|(at, _)| at - 16).collect();
        assert_eq!(places, [0, 36, 72]);
        assert_eq!(drawn(&[]), "");
    }
}
