//! Numbers as price lists write them: which mark is the decimal one, and which only parts thousands.

use std::borrow::Cow;

/// The decimal mark of a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// `12.50`
    Point,
    /// `12,50`
    Comma,
}

/// Why figures can't be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Odd {
    /// `1.234` may be a thousand and more, or one and a bit.
    Ambiguous,
    /// No number.
    Broken,
}

/// What is known of the decimal mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks {
    /// As the block says.
    pub stated: Option<Mark>,
    /// Some number can only be read with a decimal point.
    pub point: bool,
    /// Some number can only be read with a decimal comma.
    pub comma: bool,
}

impl Marks {
    /// The decimal mark, if it is certain.
    pub fn mark(self) -> Option<Mark> {
        self.stated.or(match (self.point, self.comma) {
            (true, false) => Some(Mark::Point),
            (false, true) => Some(Mark::Comma),
            _ => None,
        })
    }

    /// Learns from figures that can be read in one way only.
    pub fn learn(&mut self, figures: &str) {
        match only_mark(figures) {
            Some(Mark::Point) => self.point = true,
            Some(Mark::Comma) => self.comma = true,
            None => {}
        }
    }
}

/// What parts thousands beside points and commas.
fn is_gap(mark: char) -> bool {
    matches!(mark, ' ' | '\u{A0}' | '\u{202F}' | '\u{2009}' | '\'' | '’')
}

/// The figures that a text begins with, sign left out, and what follows them.
pub fn split(text: &str) -> (&str, &str) {
    let end =
        text.find(|it: char| !(it.is_ascii_digit() || it == '.' || it == ',' || is_gap(it))).unwrap_or(text.len());
    let (figures, rest) = text.split_at(end);
    (figures.trim_end_matches(is_gap), rest)
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|it| it.is_ascii_digit())
}

/// Whether digits are parted in threes, as `12 345`.
fn in_threes(text: &str, gap: char) -> bool {
    let mut groups = text.split(gap);
    let first = groups.next().is_some_and(|it| digits(it) && it.len() <= 3);
    let mut several = false;
    first
        && groups.all(|it| {
            several = true;
            digits(it) && it.len() == 3
        })
        && several
}

/// The mark that figures can only be read with, if they show one.
fn only_mark(figures: &str) -> Option<Mark> {
    let (points, commas) = (figures.matches('.').count(), figures.matches(',').count());
    match (points, commas) {
        (0, 0) => None,
        (1, 0) => single(figures, '.').then_some(Mark::Point),
        (0, 1) => single(figures, ',').then_some(Mark::Comma),
        (_, 0) => in_threes(figures, '.').then_some(Mark::Comma),
        (0, _) => in_threes(figures, ',').then_some(Mark::Point),
        _ => {
            let decimal = if figures.rfind('.') > figures.rfind(',') { Mark::Point } else { Mark::Comma };
            parted(figures, decimal).map(|_| decimal)
        }
    }
}

/// Whether the only mark in figures can't part thousands.
fn single(figures: &str, mark: char) -> bool {
    let Some((whole, part)) = figures.split_once(mark) else { return false };
    let whole: String = whole.chars().filter(|it| !is_gap(*it)).collect();
    let gaps = figures.contains(is_gap);
    digits(part)
        && (whole.is_empty() || digits(&whole))
        && (gaps || part.len() != 3 || whole.len() > 3 || whole.starts_with('0') || whole.is_empty())
}

/// Figures without what parts their thousands, the decimal mark a point.
fn parted(figures: &str, mark: Mark) -> Option<String> {
    let (decimal, other) = if mark == Mark::Point { ('.', ',') } else { (',', '.') };
    let (whole, part) = figures.split_once(decimal).map_or((figures, None), |(whole, part)| (whole, Some(part)));
    if part.is_some_and(|it| !digits(it)) {
        return None;
    }
    let gap = whole.chars().find(|it| *it == other || is_gap(*it));
    let sound = match gap {
        Some(gap) => in_threes(whole, gap),
        None => whole.is_empty() && part.is_some() || digits(whole),
    };
    if !sound {
        return None;
    }
    let mut plain: String = whole.chars().filter(char::is_ascii_digit).collect();
    if plain.is_empty() {
        plain.push('0');
    }
    if let Some(part) = part {
        plain.push('.');
        plain.push_str(part);
    }
    Some(plain)
}

/// Figures as the language has them. `money` is never read with a mark that is not certain; any other measure with three
/// decimals is taken for one: `9.525 mm`.
pub fn read(figures: &str, marks: Marks, money: bool) -> Result<Cow<'_, str>, Odd> {
    if digits(figures) {
        return Ok(Cow::Borrowed(figures));
    }
    // Only amounts have their thousands parted by a space: elsewhere it may stand between two numbers.
    if !money && figures.contains(is_gap) {
        return Err(Odd::Broken);
    }
    let mark = match (marks.stated, only_mark(figures)) {
        (Some(stated), _) => stated,
        (None, Some(only)) => only,
        (None, None) if figures.contains(['.', ',']) => match marks.mark() {
            Some(mark) => mark,
            None if !money && single_point(figures) => Mark::Point,
            None if in_threes(figures, '.') || in_threes(figures, ',') => return Err(Odd::Ambiguous),
            None => return Err(Odd::Broken),
        },
        (None, None) => Mark::Point,
    };
    parted(figures, mark).map(Cow::Owned).ok_or(Odd::Broken)
}

fn single_point(figures: &str) -> bool {
    figures.split_once('.').is_some_and(|(whole, part)| digits(whole) && digits(part))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn price(figures: &str, marks: Marks) -> Result<String, Odd> {
        read(figures, marks, true).map(Cow::into_owned)
    }

    fn stated(mark: Mark) -> Marks {
        Marks { stated: Some(mark), ..Marks::default() }
    }

    #[test]
    fn what_can_be_read_in_one_way_is_read_so() {
        for (figures, wanted) in [
            ("12", "12"),
            ("12.5", "12.5"),
            ("12,50", "12.50"),
            ("0.123", "0.123"),
            ("0,123", "0.123"),
            ("1234,567", "1234.567"),
            (".5", "0.5"),
            ("1.234,50", "1234.50"),
            ("1,234.50", "1234.50"),
            ("1.234.567", "1234567"),
            ("1 234,50", "1234.50"),
            ("1'234.50", "1234.50"),
            ("12\u{a0}345", "12345"),
            ("1.234,567", "1234.567"),
        ] {
            assert_eq!(price(figures, Marks::default()).as_deref(), Ok(wanted), "{figures}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_not_guessed() {
        for figures in ["1.234", "1,234", "12,345", "999.000"] {
            assert_eq!(price(figures, Marks::default()), Err(Odd::Ambiguous), "{figures}");
            let plain = figures.replace(['.', ','], "");
            let decimal = figures.replace(',', ".");
            let comma = figures.contains(',');
            let wanted = |mark| if comma == (mark == Mark::Comma) { &decimal } else { &plain };
            for mark in [Mark::Point, Mark::Comma] {
                assert_eq!(price(figures, stated(mark)).as_ref(), Ok(wanted(mark)), "{figures} {mark:?}");
            }
        }
        let both = Marks { point: true, comma: true, ..Marks::default() };
        assert_eq!(price("1.234", both), Err(Odd::Ambiguous));
        assert_eq!(price("12,5", both).as_deref(), Ok("12.5"));
    }

    #[test]
    fn what_contradicts_the_stated_mark_is_no_number() {
        assert_eq!(price("12.5", stated(Mark::Comma)), Err(Odd::Broken));
        assert_eq!(price("12,5", stated(Mark::Point)), Err(Odd::Broken));
        assert_eq!(price("1.23,5", stated(Mark::Comma)), Err(Odd::Broken));
        for figures in ["1..2", "1,2,3", "12.", ".", ",", "1.2.3", "1 23", "1,23.4,5", "12 3.5"] {
            assert_eq!(price(figures, Marks::default()), Err(Odd::Broken), "{figures}");
        }
    }

    #[test]
    fn learns_the_mark_from_what_is_certain() {
        let learnt = |all: &[&str]| {
            let mut marks = Marks::default();
            all.iter().for_each(|it| marks.learn(it));
            marks.mark()
        };
        assert_eq!(learnt(&["12", "1.234"]), None);
        assert_eq!(learnt(&["1.234", "12.50"]), Some(Mark::Point));
        assert_eq!(learnt(&["1.234", "1.234,50"]), Some(Mark::Comma));
        assert_eq!(learnt(&["1.234.567"]), Some(Mark::Comma));
        assert_eq!(learnt(&["12.5", "12,5"]), None);
    }

    #[test]
    fn a_measure_of_three_decimals_is_one() {
        assert_eq!(read("9.525", Marks::default(), false).as_deref(), Ok("9.525"));
        assert_eq!(read("9,525", Marks::default(), false), Err(Odd::Ambiguous));
        assert_eq!(read("1 234", Marks::default(), false), Err(Odd::Broken));
        assert_eq!(split("1 234,50 EUR"), ("1 234,50", "EUR"));
        assert_eq!(split("450g"), ("450", "g"));
    }
}
