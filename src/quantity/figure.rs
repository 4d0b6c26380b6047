//! Numbers as they are written, and as they are shown.

/// Why a written number is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureError {
    /// Larger in size than 10^12, or with more than 30 characters: no dimension of anything built by hand.
    TooLarge,
    /// A fraction with a zero below the line.
    ZeroBelow,
    /// Not a number at all.
    NotANumber,
}

/// Above this, a number is a slip of the keyboard.
const LARGEST: f64 = 1e12;

/// Reads `26.8`, `9/16` or `1 1/8`. The result is finite and not negative.
pub fn figure(written: &str) -> Result<f64, FigureError> {
    if written.len() > 30 {
        return Err(FigureError::TooLarge);
    }
    let (whole, part) = match written.rsplit_once(' ') {
        Some((whole, part)) => (plain(whole.trim())?, part),
        None if written.contains('/') => (0.0, written),
        None => return plain(written),
    };
    let (above, below) = part.split_once('/').ok_or(FigureError::NotANumber)?;
    let below = plain(below)?;
    if below == 0.0 {
        return Err(FigureError::ZeroBelow);
    }
    Ok(whole + plain(above)? / below)
}

fn plain(digits: &str) -> Result<f64, FigureError> {
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') {
        return Err(FigureError::NotANumber);
    }
    let value: f64 = digits.parse().map_err(|_| FigureError::NotANumber)?;
    if value.is_finite() && value <= LARGEST { Ok(value) } else { Err(FigureError::TooLarge) }
}

/// A number as a person reads it: at most two decimals, three below one, no trailing zeros, no negative zero.
pub fn show(value: f64) -> String {
    if value.is_infinite() {
        return if value > 0.0 { "any" } else { "-any" }.to_owned();
    }
    let decimals = if value != 0.0 && value.abs() < 1.0 { 3 } else { 2 };
    let text = format!("{value:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" || text.is_empty() { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_notations() {
        assert_eq!(figure("26.8"), Ok(26.8));
        assert_eq!(figure("9/16"), Ok(0.5625));
        assert_eq!(figure("1 1/8"), Ok(1.125));
        assert_eq!(figure("1/0"), Err(FigureError::ZeroBelow));
        assert_eq!(figure("1e999"), Err(FigureError::NotANumber));
        assert_eq!(figure("9999999999999"), Err(FigureError::TooLarge));
    }

    #[test]
    fn shows_without_noise() {
        assert_eq!(show(0.1 + 0.2), "0.3");
        assert_eq!(show(-0.0001), "0");
        assert_eq!(show(135.0), "135");
        assert_eq!(show(28.575), "28.57");
    }
}
