//! Text made harmless: what would steer a terminal, or turn the writing round, is shown as a mark instead.

/// What is shown for a character; a harmless one is shown as it is. Always one for one.
pub(crate) fn harmless(it: char) -> char {
    match it {
        // The block of control pictures is in the order of the control characters.
        '\0'..='\x1f' => char::from_u32(0x2400 + u32::from(it)).unwrap_or('\u{fffd}'),
        '\x7f' => '\u{2421}',
        _ if is_hidden(it) => '\u{fffd}',
        _ => it,
    }
}

/// A name or a message on one line.
pub(crate) fn words(text: &str) -> String {
    text.chars().map(|it| if matches!(it, '\n' | '\t') { ' ' } else { harmless(it) }).collect()
}

/// JSON text with everything hidden written as an escape. It can only stand within strings, so the data stay the same.
pub(crate) fn escaped_json(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for it in json.chars() {
        if it == '\x7f' || is_hidden(it) {
            let mut units = [0; 2];
            it.encode_utf16(&mut units).iter().for_each(|unit| out.push_str(&format!("\\u{unit:04x}")));
        } else {
            out.push(it);
        }
    }
    out
}

/// Control characters past ASCII, line ends that no file has, and marks without width: direction of writing, joins,
/// annotations, tags.
fn is_hidden(it: char) -> bool {
    matches!(it,
        '\u{80}'..='\u{9f}'
        | '\u{ad}'
        | '\u{61c}'
        | '\u{180e}'
        | '\u{200b}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{feff}'
        | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_what_would_act() {
        assert_eq!(words("a\x1b[31m\0\x07\x7f\u{9b}\u{202e}b\tc\r"), "a␛[31m␀␇␡\u{fffd}\u{fffd}b c␍");
        assert_eq!(words("1 1/8 in, 名, é, 126 mm ± 1 mm"), "1 1/8 in, 名, é, 126 mm ± 1 mm");
    }

    #[test]
    fn keeps_the_data_of_json() {
        let text = "\u{202e}\u{9b}\u{7f}\u{e0001}é\n";
        let json = escaped_json(&serde_json::to_string(text).unwrap());
        assert_eq!(json, r#""\u202e\u009b\u007f\udb40\udc01é\n""#);
        assert_eq!(serde_json::from_str::<String>(&json).unwrap(), text);
    }
}
