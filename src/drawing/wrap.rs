//! How much room words take, as far as that can be told without the letters of a screen.

use textwrap::core::display_width;

/// Width of a letter against its height: that of plain letters without serifs, on the wide side, and of strong ones.
const WIDE: f64 = 0.61;
const STRONG: f64 = 0.69;

/// The width of words of this height.
pub(crate) fn room(words: &str, size: f64) -> f64 {
    #[allow(clippy::cast_precision_loss)]
    let letters = display_width(words) as f64;
    letters * size * WIDE
}

/// The same of strong words.
pub(crate) fn strong_room(words: &str, size: f64) -> f64 {
    room(words, size) / WIDE * STRONG
}

/// Words in lines no wider than this.
pub(crate) fn wrapped(words: &str, size: f64, width: f64) -> Vec<String> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let letters = (width / (size * WIDE)).max(8.0) as usize;
    textwrap::wrap(words, letters).into_iter().map(|it| it.into_owned()).collect()
}
