//! Texts that are broken in every place in turn: how many mistakes there are, and where they point.

use cotter::mistake::Mistake;
use cotter::source::FileId;
use cotter::syntax;

/// A spec with every construct that a person writes, and most of those of a library.
const SPEC: &str = include_str!("../../fixtures/mistakes/shared/trolley.cotter");

const PARTS: &str = r#"# what stands in the shed
use "trolley.cotter"

part plank : deck "a plank, 40 mm thick" {
  left.corner  = stem(11.1 mm)             # measured
  right.corner = stem(bore = 7/16 in, depth = ~30 mm)
  load    = 50 kg .. 60 kg; bolts = 8
  torque  = up to 14 N·m
  sheets  = [18 mm, 21 mm]
  stuff   = wood
}
part roller : castor { foot = stem(11 mm); wheel = 25-100; load = 40 kg ± 2 kg; price = 12.50 EUR }

build first : trolley "as found" {
  deck  = plank
  left  = roller
  right = roller
  handle = ?
  paid  = 20 EUR
}
build second from first {
  left = ?
  remove handle
}
"#;

/// A token, as bytes of its text.
#[derive(Clone, Copy, Debug)]
struct Token {
    start: usize,
    end: usize,
}

/// Words with their points, numbers with their signs, strings and marks; spaces and comments are none.
fn tokens(text: &str) -> Vec<Token> {
    let mut found = Vec::new();
    let mut start = 0;
    while start < text.len() {
        let rest = &text[start..];
        let first = rest.chars().next().expect("there is more");
        let next = rest[first.len_utf8()..].chars().next();
        let run = |is: fn(char) -> bool| rest.find(|it| !is(it)).unwrap_or(rest.len());
        let length = match first {
            _ if first.is_whitespace() => {
                start += first.len_utf8();
                continue;
            }
            '#' => {
                start += rest.find('\n').unwrap_or(rest.len());
                continue;
            }
            '"' => rest[1..].find('"').map_or(rest.len(), |end| end + 2),
            '.' | '=' | '<' | '>' => run(|it| ".=<>".contains(it)),
            '-' | '~' if next.is_some_and(|it| it.is_ascii_digit()) => {
                1 + rest[1..].find(|it: char| !(it.is_ascii_digit() || it == '.')).unwrap_or(rest.len() - 1)
            }
            _ if first.is_ascii_digit() => run(|it| it.is_alphanumeric() || "./-".contains(it)),
            _ if first.is_alphabetic() => run(|it| it.is_alphanumeric() || "_.·/".contains(it)),
            _ => first.len_utf8(),
        };
        found.push(Token { start, end: start + length });
        start += length;
    }
    found
}

/// Where the bracket opens that would be closed behind these tokens.
fn opening(before: &[Token], text: &str) -> usize {
    let mut depth = 0;
    for token in before.iter().rev() {
        match &text[token.start..token.end] {
            ")" | "]" => depth += 1,
            "(" | "[" if depth == 0 => return token.start,
            "(" | "[" => depth -= 1,
            _ => {}
        }
    }
    0
}

fn mistakes(text: &str) -> Vec<Mistake> {
    syntax::parse(FileId(0), text).mistakes
}

#[test]
fn a_missing_token_is_missed_where_it_stood() {
    let mut faults = Vec::new();
    for text in [PARTS, SPEC] {
        assert!(mistakes(text).is_empty(), "{:?}", mistakes(text));
        let tokens = tokens(text);
        let (mut noticed, mut silent) = (0, 0);
        for (number, token) in tokens.iter().enumerate() {
            // A space keeps the neighbours apart.
            let broken = format!("{} {}", &text[..token.start], &text[token.end..]);
            let moved = |at: usize| at + 1 - (token.end - token.start);
            let from = number.checked_sub(1).map_or(0, |before| tokens[before].end);
            let to = tokens.get(number + 1).map_or(broken.len(), |next| moved(next.end));
            let found = mistakes(&broken);
            if found.is_empty() {
                silent += 1;
            } else {
                noticed += 1;
            }
            let lost = &text[token.start..token.end];
            // That a bracket is missing shows only where its other half is, and what follows it may be reported too.
            let bracket = matches!(lost, "(" | ")" | "[" | "]" | "{" | "}");
            let from = if matches!(lost, ")" | "]") { opening(&tokens[..number], text) } else { from };
            for (count, mistake) in found.iter().enumerate() {
                let at = mistake.at().expect("a mistake has a place");
                let past = at.end as usize > to && !bracket;
                if (at.start as usize) < from || past || (count > 0 && !bracket) {
                    let line = broken[..token.start].matches('\n').count() + 1;
                    let shown = &broken[at.range()];
                    faults.push(format!(
                        "without {lost:?} on line {line}: {} at {shown:?}, line {}",
                        mistake.message,
                        broken[..at.start as usize].matches('\n').count() + 1
                    ));
                }
            }
        }
        assert!(noticed > 2 * silent, "{noticed} noticed, {silent} not");
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// Twelve items, each of which has one form that is sound and one that is broken in one place.
fn items(broken: impl Fn(usize) -> bool) -> String {
    let forms = [
        ("part a : deck { load = 3 kg }", "part a  deck { load = 3 kg }"),
        ("part b : deck {\n  load = 3 kg\n  bolts = 4\n}", "part b : deck {\n  load 3 kg\n  bolts = 4\n}"),
        ("use \"x.cotter\"", "use x.cotter"),
        ("part c : castor { }", "prat c : castor { }"),
        ("build d : trolley {\n  deck = a\n}", "build d : {\n  deck = a\n}"),
        ("build e from d { remove deck }", "build e from d { remove }"),
        ("part f : deck {\n  load = 3 kg\n}", "part f : deck\n  load = 3 kg\n}"),
        ("part g : deck { load = 3 kg }", "part g : deck { load = 3,5 kg }"),
        ("caution h \"hot\"", "caution h hot"),
        (
            "kind i \"x\" {\n  fact a : length {\n    measure \"so\"\n  }\n}",
            "kind i \"x\" {\n  fact a : length {\n    mesure \"so\"\n  }\n}",
        ),
        ("function j(a : mass) = a", "function j(a  mass) = a"),
        ("part k : deck { load = 3 kg }", "part k : deck { load = 3 kg"),
    ];
    let mut text = String::new();
    for round in 0..3 {
        for (number, (sound, bad)) in forms.iter().enumerate() {
            text.push_str(if broken(round * forms.len() + number) { bad } else { sound });
            text.push('\n');
        }
    }
    text
}

#[test]
fn so_many_broken_items_are_so_many_mistakes() {
    let none = mistakes(&items(|_| false));
    assert!(none.is_empty(), "{none:?}");
    // Every pattern of a few steps: single ones, neighbours, all of them.
    for step in 1..=36_usize {
        for start in 0..step {
            let broken = |number: usize| number % step == start;
            let text = items(broken);
            let found = mistakes(&text);
            let wanted = (0..36).filter(|number| broken(*number)).count();
            let shown: Vec<String> =
                found.iter().map(|it| format!("{} at {:?}", it.message, &text[it.at().unwrap().range()])).collect();
            assert_eq!(found.len(), wanted, "step {step} from {start}:\n{}\n{text}", shown.join("\n"));
        }
    }
}

#[test]
fn every_label_lies_in_its_text_on_whole_characters() {
    // Each text cut off behind every token, so that every construct ends too early once.
    for text in [PARTS, SPEC] {
        for token in tokens(text) {
            let cut = &text[..token.end];
            for mistake in mistakes(cut) {
                for (span, label) in &mistake.labels {
                    assert!(cut.get(span.range()).is_some(), "{span:?} {label} of {} bytes", cut.len());
                }
                assert!(mistake.edits.iter().all(|edit| cut.get(edit.span.range()).is_some()), "{mistake:?}");
            }
        }
    }
}
