//! A fixture of mistakes, read into small tests: their files as bytes, and what each line expects.

use cotter::source::{ReadError, Sources};
use std::collections::BTreeMap;
use std::path::Path;

/// One small test.
pub struct Case {
    /// Fixture file and name of the test.
    pub name: String,
    /// Files by path; the first of [`Case::order`] is compiled.
    pub files: BTreeMap<String, Result<Vec<u8>, ReadError>>,
    /// Paths in the order of the fixture.
    pub order: Vec<String>,
    /// Expected diagnostics: file, line from 1, code.
    pub expected: Vec<(String, usize, String)>,
    /// Says that it expects nothing.
    pub nothing: bool,
    /// The codes that it comes near to without raising them.
    pub near: Vec<String>,
}

impl Case {
    /// The path of the file that is compiled.
    pub fn entry(&self) -> &str {
        &self.order[0]
    }

    /// The same test with the bytes of one file changed.
    pub fn with(&self, path: &str, bytes: Vec<u8>) -> Case {
        let mut files = self.files.clone();
        files.insert(path.to_owned(), Ok(bytes));
        let (name, order) = (self.name.clone(), self.order.clone());
        Case { name, files, order, expected: Vec::new(), nothing: false, near: Vec::new() }
    }
}

impl Sources for Case {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        match self.files.get(path) {
            Some(answer) => answer.clone(),
            None => shared().get(path).cloned().ok_or(ReadError::NotFound),
        }
    }
}

/// Files that every test may use.
fn shared() -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/mistakes/shared");
    let entries = std::fs::read_dir(folder).expect("the shared files are there").flatten();
    entries
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, std::fs::read(entry.path()).expect("a shared file can be read"))
        })
        .collect()
}

/// All tests of one fixture file.
pub fn cases(path: &Path) -> Vec<Case> {
    let text = std::fs::read_to_string(path).expect("a fixture can be read");
    let file = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let mut cases = Vec::new();
    // What stands before the first header is for people.
    for part in split(&text, "#--- ").into_iter().skip(1) {
        let (header, body) = part.split_once('\n').unwrap_or((part, ""));
        cases.push(case(&file, header.trim_end_matches('-'), body));
    }
    assert!(!cases.is_empty(), "{} holds no test", path.display());
    cases
}

/// The pieces of a text that begin at a line with `mark`, without the mark; the first is what stands before all of them.
fn split<'t>(text: &'t str, mark: &str) -> Vec<&'t str> {
    let mut starts: Vec<usize> = text.match_indices(mark).map(|(at, _)| at).collect();
    starts.retain(|at| *at == 0 || text.as_bytes()[at - 1] == b'\n');
    let ends = starts.iter().copied().skip(1).chain([text.len()]);
    let mut pieces = vec![&text[..starts.first().copied().unwrap_or(text.len())]];
    pieces.extend(starts.iter().zip(ends).map(|(start, end)| &text[start + mark.len()..end]));
    pieces
}

fn case(file: &str, header: &str, body: &str) -> Case {
    let (name, marks) = marked(header);
    let mut case = Case {
        name: format!("{file}: {name}"),
        files: BTreeMap::new(),
        order: Vec::new(),
        expected: Vec::new(),
        nothing: false,
        near: Vec::new(),
    };
    let mut pieces = split(body, "#-- ").into_iter();
    let mut main = pieces.next().unwrap_or("");
    if let Some(rest) = main.strip_prefix("#! nothing") {
        let (line, after) = rest.split_once('\n').unwrap_or((rest, ""));
        case.nothing = true;
        case.near = line.trim().trim_start_matches("of ").split(", ").map(str::to_owned).collect();
        main = after;
    }
    let further: Vec<&str> = pieces.collect();
    if !main.trim().is_empty() || further.is_empty() {
        add(&mut case, "main.cotter", &marks, main);
    }
    for piece in further {
        let (header, text) = piece.split_once('\n').unwrap_or((piece, ""));
        let (path, marks) = marked(header);
        add(&mut case, &path, &marks, text);
    }
    case
}

/// A header's name, and the words in brackets behind it.
fn marked(header: &str) -> (String, Vec<String>) {
    let header = header.trim();
    match header.strip_suffix(')').and_then(|it| it.rsplit_once(" (")) {
        Some((name, marks)) => (name.to_owned(), marks.split(", ").map(str::to_owned).collect()),
        None => (header.to_owned(), Vec::new()),
    }
}

fn add(case: &mut Case, path: &str, marks: &[String], text: &str) {
    let mut lines: Vec<String> = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let (kept, codes) = line.split_once("#!").unwrap_or((line, ""));
        for code in codes.split(',').map(str::trim).filter(|it| !it.is_empty()) {
            case.expected.push((path.to_owned(), number + 1, code.to_owned()));
        }
        // Without expectations the text is as a person would write it, down to the end of each line.
        let kept = if codes.is_empty() { line } else { kept.trim_end() };
        lines.push(repeated(kept));
    }
    let mut answer = None;
    let (mut end, mut before, mut latin) = ("\n", "", false);
    let mut last = true;
    for mark in marks {
        match mark.as_str() {
            "crlf" => end = "\r\n",
            "cr" => end = "\r",
            "bom" => before = "\u{FEFF}",
            "latin-1" => latin = true,
            "no last newline" => last = false,
            "too large" => answer = Some(ReadError::TooLarge),
            "a folder" => answer = Some(ReadError::NotAFile),
            "not readable" => answer = Some(ReadError::Refused("permission denied".to_owned())),
            "leads outside" => answer = Some(ReadError::Outside),
            other => panic!("{}: what is `{other}`?", case.name),
        }
    }
    let mut whole = format!("{before}{}", lines.join(end));
    if last && !lines.is_empty() {
        whole.push_str(end);
    }
    let bytes =
        if latin { whole.chars().map(|it| u8::try_from(it).unwrap_or(b'?')).collect() } else { whole.into_bytes() };
    case.order.push(path.to_owned());
    case.files.insert(path.to_owned(), answer.map_or(Ok(bytes), Err));
}

/// `<<x * 3>>` written out.
fn repeated(line: &str) -> String {
    let Some((before, rest)) = line.split_once("<<") else { return line.to_owned() };
    let Some((inside, after)) = rest.split_once(">>") else { return line.to_owned() };
    let (what, count) = inside.rsplit_once(" * ").expect("`<<what * how often>>`");
    format!("{before}{}{}", what.repeat(count.parse().expect("how often is a number")), repeated(after))
}
