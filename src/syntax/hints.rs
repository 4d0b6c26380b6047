//! Slips that people make often, told from the look of a line.

/// Where in `text` a number with a decimal comma stands that byte `at` lies in or right behind: `46,5`.
pub fn decimal_comma(text: &str, at: usize) -> Option<(usize, usize)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes.iter().skip(from).take_while(|it| it.is_ascii_digit()).count();
    let mut comma = at;
    // The parser stood still at the comma, or in a list behind the figure that follows it.
    while comma > 0 && bytes.get(comma).is_none_or(|it| *it != b',') {
        comma -= 1;
        if bytes.get(comma).is_some_and(|it| !(it.is_ascii_digit() || *it == b',')) {
            return None;
        }
    }
    let before = bytes.iter().take(comma).rev().take_while(|it| it.is_ascii_digit()).count();
    let after = digits(comma + 1);
    let sound = |edge: Option<&u8>| edge.is_none_or(|it| !matches!(it, b'.' | b',' | b'-' | b'/'));
    let alone = sound(bytes.get((comma - before).wrapping_sub(1))) && sound(bytes.get(comma + 1 + after));
    (bytes.get(comma) == Some(&b',') && before > 0 && after > 0 && alone).then_some((comma - before, comma + 1 + after))
}

/// Where the text lies that begins at byte `at` of `text` and does not end on its line.
pub fn open_text(text: &str, at: usize) -> Option<(usize, usize)> {
    let from = at + text.get(at..)?.find(|it| it != ' ' && it != '\t')?;
    let inside = text.get(from..)?.strip_prefix('"')?;
    let mut escaped = false;
    for (here, mark) in inside.char_indices() {
        match mark {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return None,
            '\n' | '\r' => return Some((from, from + 1 + inside.get(..here)?.trim_end().len())),
            _ => {}
        }
    }
    Some((from, text.trim_end().len()))
}

/// Where the bracket stands that is opened last, when the text ends at byte `at` with a bracket still open and right
/// behind it or a comma: what it holds was meant to follow on the next lines.
pub fn open_bracket(text: &str, at: usize) -> Option<(usize, usize)> {
    let read = text.trim_end();
    if at < read.len() || !read.ends_with(['(', '[', ',']) {
        return None;
    }
    let mut open = Vec::new();
    let mut in_text = false;
    for (here, mark) in read.char_indices() {
        match mark {
            '"' => in_text = !in_text,
            '(' | '[' if !in_text => open.push(here),
            ')' | ']' if !in_text => {
                open.pop();
            }
            _ => {}
        }
    }
    open.last().map(|from| (*from, from + 1))
}

/// A word that was read as a name, though it is the rest of `50 kg` or `up to`: where it stands, and what is missing
/// before it, when the line goes on at byte `at` in a way that tells.
pub fn half_a_value(text: &str, at: usize) -> Option<((usize, usize), &'static str)> {
    let before = text.get(..at)?.trim_end();
    let rest = text.get(at..)?.trim_start();
    let from = before.rfind(|it: char| !(it.is_alphanumeric() || it == '_' || it == '·')).map_or(0, |it| it + 1);
    let word = before.get(from..)?;
    let led = before.get(..from)?.trim_end().ends_with(['=', '(', '[', ',']);
    if before.ends_with(']') && rest.strip_prefix('.').is_some_and(|it| it.starts_with(char::is_alphabetic)) {
        let open = before.rfind('[')?;
        return Some(((open, open + 1), "the name of a table"));
    }
    let infix = ["..", "…", "±", "+-", "+/-"].iter().any(|it| rest.starts_with(it));
    if !led || !word.starts_with(char::is_alphabetic) {
        return None;
    }
    if infix {
        return Some(((from, before.len()), "a number"));
    }
    (word == "to" && rest.starts_with(|it: char| it.is_ascii_digit())).then_some(((from, before.len()), "`up`"))
}

/// What may help with a line that could be read up to byte `at`, where a name was expected or not.
pub fn hint(text: &str, at: usize, named: bool) -> Option<String> {
    let line_end = text.get(at..).unwrap_or("").find(['\n', '\r']).map_or(text.len(), |end| at + end);
    let line_start = text.get(..at).unwrap_or("").rfind(['\n', '\r']).map_or(0, |end| end + 1);
    let line = text.get(line_start..line_end).unwrap_or("");
    let rest = text.get(at..line_end).unwrap_or("").trim_start();
    let before = text.get(..at).unwrap_or("").trim_end();
    let digit = |mark: Option<char>| mark.is_some_and(|it| it.is_ascii_digit());
    let words = if rest.starts_with(['\'', '“', '„', '”', '«']) {
        "a text stands in straight double quotes: `\"like this\"`"
    } else if rest.starts_with("//") || rest.starts_with("--") || rest.starts_with("/*") {
        "a comment begins with `#`"
    } else if rest.starts_with('.') && digit(rest.chars().nth(1)) && !digit(before.chars().next_back()) {
        "write a zero before the point: `0.5 mm`"
    } else if rest.starts_with('.') && digit(before.chars().next_back()) {
        "write a figure behind the point, or leave the point out: `45 mm`"
    } else if exponent(line) {
        "write the number in full: `1200`, not `1.2e3`"
    } else if rest.starts_with('″') || rest.starts_with('′') {
        "inches are written `in`: `1 1/8 in`"
    } else if text.get(at..).is_some_and(|it| it.starts_with('-')) && before.len() == at && ends_a_word(before) {
        "a name holds letters, digits and `_`, no `-`"
    } else if named
        && digit(rest.chars().next())
        && before.ends_with(char::is_alphabetic)
        && !before.contains(['=', '('])
    {
        "a name begins with a letter"
    } else if matches!(last_word(before), "count" | "list" | "range") {
        "`count`, `list` and `range` go with `of`: `list of length`"
    } else if statement_follows(rest) {
        "on one line, statements are separated by `;`"
    } else if first(rest) == "if" && !named {
        "a condition behind a statement begins with `when`"
    } else if rest.starts_with('=') && !rest.starts_with("==") && matches!(first(line.trim_start()), "that" | "when") {
        "two values are compared with `==`"
    } else if let Some(word) = RESERVED.iter().find(|word| named && first(rest) == **word) {
        return Some(format!("`{word}` is a word of the language and can't be a name"));
    } else {
        return None;
    };
    Some(words.to_owned())
}

/// Words of expressions, which no name may be.
const RESERVED: &[&str] = &["and", "or", "not", "if", "then", "else", "is", "in", "when", "that"];

fn first(text: &str) -> &str {
    text.get(..text.find(|it: char| !(it.is_alphanumeric() || it == '_')).unwrap_or(text.len())).unwrap_or("")
}

fn last_word(text: &str) -> &str {
    text.rsplit(|it: char| !(it.is_alphanumeric() || it == '_')).next().unwrap_or("")
}

fn ends_a_word(text: &str) -> bool {
    text.chars().next_back().is_some_and(|it| it.is_alphanumeric() || it == '_')
}

/// Whether a text goes on like `holes = …`.
fn statement_follows(rest: &str) -> bool {
    let name = rest.find(|it: char| !(it.is_alphanumeric() || it == '_' || it == '.')).unwrap_or(rest.len());
    let after = rest.get(name..).unwrap_or("").trim_start();
    name > 0 && rest.starts_with(char::is_alphabetic) && after.starts_with('=') && !after.starts_with("==")
}

/// Whether a number such as `1.2e3` stands in a line.
fn exponent(line: &str) -> bool {
    line.split(|it: char| !(it.is_ascii_alphanumeric() || it == '.')).any(|word| {
        let word = word.to_ascii_lowercase();
        word.split_once('e').is_some_and(|(before, after)| {
            let figures = |it: &str| !it.is_empty() && it.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
            figures(before) && figures(after)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_decimal_comma_and_no_list() {
        assert_eq!(decimal_comma("gap = 46,5 mm", 8), Some((6, 10)));
        assert_eq!(decimal_comma("row 13 mm, 18 mm", 9), None);
        assert_eq!(decimal_comma("x = [1, 2]", 6), None);
        assert_eq!(decimal_comma("x = 1,2,3", 5), None);
        assert_eq!(decimal_comma("x = ,5", 4), None);
    }

    #[test]
    fn finds_a_text_that_does_not_end() {
        assert_eq!(open_text("a = \"b c \nd", 3), Some((4, 8)));
        assert_eq!(open_text("a = \"b\"", 4), None);
        assert_eq!(open_text("a = b", 4), None);
    }

    #[test]
    fn knows_common_slips() {
        let of = |text: &str, at| hint(text, at, false).unwrap_or_default();
        assert!(of("a = .5 mm", 4).contains("zero before the point"));
        assert!(of("a = 1.2e3 mm", 7).contains("in full"));
        assert!(of("a = 3 mm b = 4 mm", 9).contains('`'));
        assert!(of("a = 3 mm // so", 9).contains('#'));
        assert_eq!(hint("a 3 mm", 2, false), None);
    }
}
