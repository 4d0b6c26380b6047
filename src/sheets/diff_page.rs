//! Differences as pages and rows.

use super::diff::{Change, Diff, Fact, Figure, Joint, Named, Part, Whole};
use super::render::{self, Block, Grid, Table, column, plain, strong};

/// The page of one difference.
pub(super) fn blocks(diff: &Diff) -> Vec<Block> {
    let mut page = vec![Block::Title(title(diff))];
    if diff.is_nothing() {
        page.push(Block::Text(plain("Nothing differs.")));
        return page;
    }
    page.push(Block::Grid(in_all(diff)));
    if diff.after.is_none() {
        return page;
    }
    if !diff.parts.is_empty() {
        page.push(Block::Heading(format!(
            "Parts: {} in, {} out",
            count(diff, |it| it.after.is_some()),
            count(diff, |it| it.before.is_some())
        )));
        page.push(Block::Table(parts(&diff.parts)));
    }
    if !diff.facts.is_empty() {
        page.push(Block::Heading("Facts".to_owned()));
        page.push(Block::Table(facts(&diff.facts)));
    }
    for (heading, wanted) in [
        ("Joints made", Change::Made),
        ("Joints made anew, with other parts", Change::MadeAnew),
        ("Joints of the same parts, judged otherwise", Change::Judged),
        ("Joints broken", Change::Broken),
    ] {
        let of: Vec<&Joint> = diff.joints.iter().filter(|it| it.change == wanted).collect();
        if !of.is_empty() {
            page.push(Block::Heading(format!("{heading}: {}", of.len())));
            page.push(Block::Items(of.into_iter().map(joint).collect()));
        }
    }
    page
}

fn count(diff: &Diff, which: impl Fn(&Part) -> bool) -> usize {
    diff.parts.iter().filter(|it| which(it)).count()
}

fn title(diff: &Diff) -> String {
    match (&diff.before, &diff.after) {
        (Some(before), Some(after)) if before.build == after.build => format!("{}: what changes", after.build),
        (Some(before), Some(after)) => format!("{} to {}: what changes", before.build, after.build),
        (None, Some(after)) => format!("{}: a new build", after.build),
        (Some(before), None) => format!("{}: the build is gone", before.build),
        (None, None) => "nothing".to_owned(),
    }
}

/// How many joints of a build are of a sort.
type Count = fn(&Whole) -> usize;

fn in_all(diff: &Diff) -> Grid {
    let counts = |whole: &Option<Whole>, of: Count| whole.as_ref().map_or(String::new(), |it| of(it).to_string());
    let mut rows: Vec<Vec<String>> = Vec::new();
    let each: [(&str, Count); 3] = [
        ("joints that fit", |it| it.fits),
        ("joints that CLASH", |it| it.clashes),
        ("joints that are open", |it| it.open),
    ];
    for (what, of) in each {
        let (before, after) = (counts(&diff.before, of), counts(&diff.after, of));
        let nothing = |it: &str| it.is_empty() || it == "0";
        if !(nothing(&before) && nothing(&after)) {
            rows.push(vec![what.to_owned(), before, after]);
        }
    }
    let shown = |it: &Option<String>| it.clone().unwrap_or_default();
    rows.extend(diff.figures.iter().map(|it: &Figure| vec![it.what.clone(), shown(&it.before), shown(&it.after)]));
    let titles = ["what", "before", "after"].map(|it| (it.to_owned(), it != "what")).to_vec();
    Grid { titles, rows }
}

fn parts(all: &[Part]) -> Table {
    let named = |it: &Option<Named>| match it {
        None => vec![plain("–")],
        Some(it) if it.description.is_empty() => vec![plain(&it.part)],
        Some(it) => vec![plain(&it.part), plain(&it.description)],
    };
    let rows = all.iter().map(|it| vec![vec![plain(&it.slot)], named(&it.before), named(&it.after)]);
    Table { columns: vec![column("slot", 22), column("out", 37), column("in", 37)], rows: rows.collect(), ruled: true }
}

fn facts(all: &[Fact]) -> Table {
    let said = |it: &Option<String>| vec![plain(it.as_deref().unwrap_or("not stated"))];
    let name = |it: &Fact| match &it.part {
        Some(part) => format!("{part}.{}", it.fact),
        None => it.fact.clone(),
    };
    let rows = all.iter().map(|it| vec![vec![plain(name(it))], said(&it.before), said(&it.after)]);
    Table {
        columns: vec![column("fact", 38), column("before", 29), column("after", 29)],
        rows: rows.collect(),
        ruled: false,
    }
}

fn joint(it: &Joint) -> render::Words {
    let verdict = |word: &str| if word == "clashes" { "CLASHES".to_owned() } else { word.to_owned() };
    let verdicts = match (it.before, it.after) {
        (Some(before), Some(after)) if before == after => verdict(after),
        (Some(before), Some(after)) => format!("{} before, now {}", verdict(before), verdict(after)),
        (None, Some(after)) => verdict(after),
        (Some(before), None) => format!("it was: {}", verdict(before)),
        (None, None) => String::new(),
    };
    let reasons = if it.reasons.is_empty() { String::new() } else { format!(" ({})", it.reasons.join("; ")) };
    let line = format!("{}, `{}`: {verdicts}{reasons}", it.title, it.joint);
    if it.after == Some("clashes") { strong(line) } else { plain(line) }
}

const HEADER: &[&str] = &["before", "after", "what", "name", "was", "is", "remark"];

/// A row a difference.
pub(super) fn csv(all: &[Diff]) -> String {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for diff in all {
        let name = |whole: &Option<Whole>| whole.as_ref().map_or(String::new(), |it| it.build.clone());
        let ends = [name(&diff.before), name(&diff.after)];
        let mut row = |what: &str, name: &str, was: Option<&str>, is: Option<&str>, remark: &str| {
            let cells = [what, name, was.unwrap_or_default(), is.unwrap_or_default(), remark].map(str::to_owned);
            rows.push([ends.as_slice(), cells.as_slice()].concat());
        };
        for it in &diff.parts {
            let name = |it: &Option<Named>| it.as_ref().map(|it| it.part.clone());
            row("part", &it.slot, name(&it.before).as_deref(), name(&it.after).as_deref(), "");
        }
        for it in &diff.facts {
            let name = it.part.as_ref().map_or(it.fact.clone(), |part| format!("{part}.{}", it.fact));
            row("fact", &name, it.before.as_deref(), it.after.as_deref(), "");
        }
        for it in &diff.joints {
            row("joint", &it.joint, it.before, it.after, &it.reasons.join("; "));
        }
        for it in &diff.figures {
            row(it.sheet, &it.what, it.before.as_deref(), it.after.as_deref(), "");
        }
    }
    render::csv(HEADER, &rows)
}
