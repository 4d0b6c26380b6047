//! Bytes of a price list to text.

/// How a price list is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Encoding {
    /// The way that all specs are written.
    Utf8,
    /// Latin 1 with signs in the place of its unused controls, as Windows has it; a euro sign is one of them.
    Latin1,
}

impl Encoding {
    /// The names of the encodings that are read.
    pub const NAMES: &[&str] = &["utf_8", "latin_1", "windows_1252"];

    /// The encoding of this name.
    pub fn named(name: &str) -> Option<Encoding> {
        match name {
            "utf_8" => Some(Encoding::Utf8),
            // Nobody writes the controls of the one; everybody who says so has the signs of the other.
            "latin_1" | "windows_1252" => Some(Encoding::Latin1),
            _ => None,
        }
    }
}

/// What Windows-1252 has from 0x80 to 0x9F; five places are empty.
const SIGNS: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}', '‘', '’',
    '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// The text of some bytes.
pub(super) fn latin_1(bytes: &[u8]) -> String {
    let sign = |byte: &u8| match byte {
        0x80..=0x9F => SIGNS.get(usize::from(byte - 0x80)).copied().unwrap_or('\u{FFFD}'),
        _ => char::from(*byte),
    };
    bytes.iter().map(sign).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_umlauts_fractions_and_the_euro_sign() {
        assert_eq!(latin_1(b"gr\xfcn \xbd 12,50 \x80"), "grün ½ 12,50 €");
        assert_eq!(latin_1(b"\x9f\xa0\xff"), "Ÿ\u{a0}ÿ");
    }
}
