//! Price lists: read where a `stock` names them, decoded and cut into rows, once each.

use super::Loaded;
use super::cut::{self, NoHeader};
use super::decode::{Encoding, latin_1};
use crate::mistake::{self, Mistake};
use crate::source::{self, Content, File, FileId, ReadError, Sources, Span};
use crate::syntax::Rows;
use crate::syntax::tree::{Cell, Entry, Filling, Item, Stock, Tree, ValueNode};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Marks that may separate cells, as a person writes them.
const MARKS: [(u8, &str); 4] = [(b',', ","), (b';', ";"), (b'\t', "tab"), (b'|', "|")];

/// Reads the lists of all stocks; nothing outside of `root` is read.
pub(super) fn read(sources: &dyn Sources, root: &str, loaded: &mut Loaded) {
    let trees = std::mem::take(&mut loaded.trees);
    let mut reader = Reader { sources, root, loaded, texts: BTreeMap::new(), lists: BTreeMap::new() };
    let all: Vec<&Stock> = trees.iter().flat_map(|it| stocks(it)).collect();
    for stock in &all {
        if let Some(rows) = reader.list(stock, stock.first_of(&all)) {
            reader.loaded.lists.insert(stock.file.span, rows);
        }
    }
    loaded.trees = trees;
}

fn stocks(tree: &Tree) -> impl Iterator<Item = &Stock> {
    tree.items.iter().filter_map(|item| if let Item::Stock(stock) = item { Some(stock) } else { None })
}

struct Reader<'l> {
    sources: &'l dyn Sources,
    root: &'l str,
    loaded: &'l mut Loaded,
    /// Texts by the one spelling of their path and their encoding; none while there is something wrong with one.
    texts: BTreeMap<(String, Encoding), Option<FileId>>,
    /// Lists by their text and separator.
    lists: BTreeMap<(FileId, u8), Option<Arc<Rows>>>,
}

impl Reader<'_> {
    /// The list of a stock; `first` says what the block itself does not of how it is read.
    fn list(&mut self, stock: &Stock, first: Option<&Stock>) -> Option<Arc<Rows>> {
        let file = self.text(stock, first)?;
        let (name, text) = self.loaded.files.get(file).map(|it| (it.name.clone(), it.text.clone()))?;
        // The mark that some programs put before the first word.
        let start = if text.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
        let separator = self.separator(stock, first, file, &text, start)?;
        if let Some(list) = self.lists.get(&(file, separator)) {
            return list.clone();
        }
        let list = match cut::rows(file, &name, &text, start, separator) {
            Ok(rows) => {
                if rows.rows().next().is_none() && rows.bad.is_empty() {
                    self.say(mistake::stock_empty(stock.file.span, &stock.file.text, true));
                }
                Some(Arc::new(rows))
            }
            Err(why) => {
                self.say(no_header(why, stock, file, start));
                None
            }
        };
        self.lists.insert((file, separator), list.clone());
        list
    }

    /// Tells of a mistake, once: several blocks may read one list.
    fn say(&mut self, mistake: Mistake) {
        if !self.loaded.mistakes.contains(&mistake) {
            self.loaded.mistakes.push(mistake);
        }
    }

    /// The list's text, read and decoded; its own mistake is told once.
    fn text(&mut self, stock: &Stock, first: Option<&Stock>) -> Option<FileId> {
        let (at, used) = (stock.file.span, stock.file.text.as_str());
        let encoding = self.encoding(setting(stock, first, "encoding"))?;
        if used.is_empty() {
            self.say(mistake::stock_no_file(at));
            return None;
        }
        let spec = self.loaded.files.get(at.file).map_or("", |it| it.name.as_str());
        let path = source::join(source::folder_of(spec), used);
        if source::leaves(&path, self.root) {
            self.say(unread(at, used, &path, &ReadError::Outside));
            return None;
        }
        let key = (self.sources.same(&path), encoding);
        if let Some(known) = self.texts.get(&key) {
            return *known;
        }
        let file = match self.sources.read(&path) {
            Err(error) => {
                self.say(unread(at, used, &path, &error));
                None
            }
            Ok(bytes) => self.decoded(stock, &path, &bytes, encoding),
        };
        self.texts.insert(key, file);
        file
    }

    fn decoded(&mut self, stock: &Stock, path: &str, bytes: &[u8], encoding: Encoding) -> Option<FileId> {
        let (at, used) = (stock.file.span, stock.file.text.as_str());
        let (text, wrong) = match (encoding, std::str::from_utf8(bytes)) {
            (Encoding::Latin1, _) => (latin_1(bytes), None),
            (Encoding::Utf8, Ok(text)) => (text.to_owned(), None),
            (Encoding::Utf8, Err(error)) => {
                // The replacement mark stands where the first wrong byte was.
                (String::from_utf8_lossy(bytes).into_owned(), Some(error.valid_up_to()))
            }
        };
        let zero = bytes.iter().position(|it| *it == 0);
        // Text in two bytes a letter is no text in one, whatever else is wrong with it.
        let binary = zero.is_some() || bytes.starts_with(b"PK\x03\x04");
        let zero_in_text = text.find('\0').unwrap_or(0);
        let id = self.loaded.files.add(File::new(path, text));
        if binary {
            self.say(mistake::stock_binary(Span::new(id, zero_in_text, zero_in_text), used, at));
            return None;
        }
        if let Some(from) = wrong {
            let byte = bytes.get(from).copied().unwrap_or_default();
            self.say(mistake::stock_encoding(Span::new(id, from, from), used, byte, at));
            return None;
        }
        Some(id)
    }

    fn encoding(&mut self, entry: Option<&Entry>) -> Option<Encoding> {
        let Some(entry) = entry else { return Some(Encoding::Utf8) };
        let named = match &entry.filling {
            Filling::Value(value) => match &value.node {
                ValueNode::Name(name) => Encoding::named(name),
                _ => None,
            },
            _ => None,
        };
        if named.is_none() {
            let takes = format!("one of `{}`", Encoding::NAMES.join("`, `"));
            self.say(mistake::stock_setting(entry.filling.span(), "encoding", &takes));
        }
        named
    }

    /// The mark between two cells: as it is said, or as the header shows without a doubt.
    fn separator(
        &mut self,
        stock: &Stock,
        first: Option<&Stock>,
        file: FileId,
        text: &Content,
        start: usize,
    ) -> Option<u8> {
        if let Some(entry) = setting(stock, first, "separator") {
            let said = match &entry.filling {
                Filling::Value(value) => match &value.node {
                    ValueNode::Text(mark) if mark == "\t" => Some(b'\t'),
                    ValueNode::Text(mark) | ValueNode::Name(mark) => {
                        MARKS.iter().find(|(_, known)| known == mark).map(|(byte, _)| *byte)
                    }
                    _ => None,
                },
                _ => None,
            };
            if said.is_none() {
                let takes = "`\",\"`, `\";\"`, `\"|\"` or `tab`";
                self.say(mistake::stock_setting(entry.filling.span(), "separator", takes));
            }
            return said;
        }
        let body = text.get(start..).unwrap_or("");
        let lead = body.len() - body.trim_start_matches(['\n', '\r']).len();
        let line = body.get(lead..).and_then(|it| it.split(['\n', '\r']).next()).unwrap_or("");
        let seen: Vec<(u8, &str)> = MARKS.into_iter().filter(|(mark, _)| outside_quotes(line, *mark)).collect();
        match seen.as_slice() {
            // A list of one column.
            [] => return Some(b','),
            [(only, _)] => return Some(*only),
            _ => {}
        }
        // The names that the block wants to find tell which one cuts the header as it was meant.
        let wanted: Vec<&Cell> = first.into_iter().chain([stock]).flat_map(Stock::columns).collect();
        let finds_all = |mark: u8| {
            let Ok(rows) = cut::rows(file, "", &Content::from(line.to_owned()), 0, mark) else { return false };
            wanted.iter().all(|cell| rows.header().texts().any(|it| it == cell.column.text.trim()))
        };
        let right: Vec<&(u8, &str)> = seen.iter().filter(|(mark, _)| finds_all(*mark)).collect();
        match right.as_slice() {
            [(only, _)] if !wanted.is_empty() => Some(*only),
            _ => {
                let at = Span::new(file, start + lead, start + lead + line.len());
                let marks: Vec<&str> = seen.iter().map(|(_, word)| *word).collect();
                self.say(mistake::stock_separator(at, &marks, stock.file.span));
                None
            }
        }
    }
}

fn setting<'t>(stock: &'t Stock, first: Option<&'t Stock>, name: &str) -> Option<&'t Entry> {
    stock.entry(name).or_else(|| first?.entry(name))
}

fn outside_quotes(line: &str, mark: u8) -> bool {
    let mut quoted = false;
    line.bytes().any(|byte| {
        quoted ^= byte == b'"';
        byte == mark && !quoted
    })
}

fn no_header(why: NoHeader, stock: &Stock, file: FileId, start: usize) -> Mistake {
    let from = stock.file.span;
    match why {
        NoHeader::Empty => mistake::stock_empty(from, &stock.file.text, false),
        NoHeader::Quote(at) => {
            mistake::stock_header(Span::new(file, at, at + 1), "has a quote that is not closed", from)
        }
        NoHeader::TooWide => {
            let reason = format!("has more than {} columns", cut::MOST_COLUMNS);
            mistake::stock_header(Span::new(file, start, start), &reason, from)
        }
    }
}

fn unread(at: Span, used: &str, path: &str, error: &ReadError) -> Mistake {
    let (reason, way_out) = match error {
        ReadError::NotFound => {
            ("is not there".to_owned(), format!("looked for `{path}`: the path is seen from the folder of this file"))
        }
        ReadError::TooLarge => {
            ("is larger than 4 MiB".to_owned(), "export only the rows and columns that you need".to_owned())
        }
        ReadError::Outside => (
            "lies outside the project folder".to_owned(),
            "bring it in: nothing outside of the folder that cotter runs in is read".to_owned(),
        ),
        ReadError::NotAFile => ("is no plain file".to_owned(), "name a CSV file".to_owned()),
        ReadError::Refused(reason) => {
            (format!("can't be read: {reason}"), "a price list is a plain file that you may read".to_owned())
        }
    };
    mistake::stock_file(at, used, &reason, &way_out)
}
