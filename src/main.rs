//! The command line: one function a command, the only prints and exit codes.

#![allow(clippy::print_stderr)]

mod args;
mod compare;
mod fmt;
mod pdf;
mod reports;
mod starter;
mod units;
mod watch;
mod write;

use args::{Args, Command, MeasureArgs, Output, Report, SheetArgs};
use clap::{CommandFactory, Parser};
use cotter::diagnose::{Severity, sarif, screen, wire};
use cotter::editing::{self, Refused, Setting};
use cotter::judge::JudgedBuild;
use cotter::model::{BuildId, KindId, Model, SlotId};
use cotter::sheets::{Format, bill, measure, mend, numbers, steps, torque, why};
use cotter::source::Memory;
use cotter::witness::Stale;
use cotter::{Compiled, explain};
use std::io::{IsTerminal, Write};
use std::process::ExitCode;
use units::{compiled, compiled_with, root_of, unit};

/// A start makes some eighty thousand small things in a few milliseconds. Version 2 of this allocator spreads them over less
/// memory than version 3, and memory that is touched for the first time is what a start waits for most.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Why a command ends without doing its job: a line for the person, exit code 2.
struct Failure(String);

type Done = Result<ExitCode, Failure>;

fn main() -> ExitCode {
    let done = match Args::parse().command {
        Command::Check { paths, build, format, strict } => check(&paths, build.as_deref(), format, strict),
        Command::Watch { spec, build } => watch::watch(&spec, build.as_deref()),
        Command::Lsp => Ok(ExitCode::from(cotter::editor::serve(std::io::stdin(), std::io::stdout()))),
        Command::Fmt { paths, check } => fmt::fmt(&paths, check),
        Command::Bom(args) => sheet(&args, |units, format| (bill::render(&each(units, bill::Bill::of), format), 0)),
        Command::Torque(args) => {
            sheet(&args, |units, format| (torque::render(&each(units, torque::TorqueSheet::of), format), 0))
        }
        Command::Steps(args) => {
            sheet(&args, |units, format| (steps::render(&each(units, steps::Steps::of), format), 0))
        }
        Command::Measure(args) if args.set.is_empty() => {
            sheet(&args.sheet, |units, format| (measure::render(&each(units, measure::MeasureList::of), format), 0))
        }
        Command::Measure(args) => set(&args),
        Command::Gears(args) => numbers_sheet(&args, numbers::gears::page, numbers::gears::render),
        Command::Chain(args) => numbers_sheet(&args, numbers::chain::page, numbers::chain::render),
        Command::Indexing(args) => numbers_sheet(&args, numbers::indexing::page, numbers::indexing::render),
        Command::Wheels(args) => numbers_sheet(&args, numbers::wheels::page, numbers::wheels::render),
        Command::Geometry(args) => numbers_sheet(&args, numbers::geometry::page, numbers::geometry::render),
        Command::Braking(args) => numbers_sheet(&args, numbers::braking::page, numbers::braking::render),
        Command::Report(args) => reports::report(&args),
        Command::Mend { spec, build, take, format } => mend_spec(&spec, build.as_deref(), take, format),
        Command::Why { spec, slot, part, build, format } => why(&spec, &slot, &part, build.as_deref(), format),
        Command::Diff { before, after, git, build, format } => {
            diff(&before, after.as_deref(), git.as_deref(), build.as_deref(), format.into())
        }
        Command::Witness { spec, print: only_print, textconv } => witness(&spec, only_print, textconv),
        Command::Explain { name, spec } => explain_name(name.as_deref(), spec.as_deref()),
        Command::New { name } => new(&name),
        Command::Completions { shell } => completions(shell),
    };
    done.unwrap_or_else(|Failure(words)| {
        eprintln!("cotter: {words}");
        ExitCode::from(2)
    })
}

/// `cotter check`.
fn check(paths: &[String], build: Option<&str>, format: Report, strict: bool) -> Done {
    let here = [".".to_owned()];
    let (mut units, mut roots) = (Vec::new(), Vec::new());
    for path in if paths.is_empty() { &here } else { paths } {
        units.extend(compiled(path)?);
        roots.resize(units.len(), root_of(path));
    }
    known_build(&units, build)?;
    let stale = compare::stale(&units)?;
    let report = match format {
        Report::Human => human_with(&units, build, &stale),
        Report::Json => wire::report_with(&units, build, &stale),
        Report::Sarif => sarif::report(&units, &roots, build, &stale),
    };
    print(&report)?;
    let counts = |severity: Severity| {
        let all = units.iter().flat_map(|unit| &unit.diagnostics);
        all.filter(|it| {
            it.severity == severity && (build.is_none() || it.build.is_none() || it.build.as_deref() == build)
        })
        .count()
    };
    let failed = counts(Severity::Error) > 0 || strict && (counts(Severity::Warning) > 0 || !stale.is_empty());
    // The process ends here: taking thousands of small things apart first would only cost time.
    std::mem::forget(units);
    Ok(ExitCode::from(u8::from(failed)))
}

/// A check for a person.
fn human(units: &[Compiled], build: Option<&str>) -> Result<String, Failure> {
    Ok(human_with(units, build, &compare::stale(units)?))
}

fn human_with(units: &[Compiled], build: Option<&str>, stale: &[(String, Stale)]) -> String {
    screen::report(units, build, look()) + &stale.iter().map(compare::out_of_date).collect::<String>()
}

/// `cotter gears` and the like: what can't be computed counts as a failure.
fn numbers_sheet(
    args: &SheetArgs,
    page: fn(&Model, BuildId) -> numbers::Page,
    render: fn(&[numbers::Page], Format) -> String,
) -> Done {
    sheet(args, |builds, format| {
        let pages = each(builds, |model, judged| page(model, judged.build));
        let refused = pages.iter().map(|page| page.refused.len()).sum();
        (render(&pages, format), refused)
    })
}

/// A sheet on standard output or in a file, and how it stands on standard error. `render` gives its text, and how many of
/// its computations have no answer.
fn sheet(args: &SheetArgs, render: impl Fn(&[(&Model, &JudgedBuild)], Format) -> (String, usize)) -> Done {
    let units = compiled(&args.spec)?;
    let builds = meant(&units, &args.spec, args.build.as_deref())?;
    let builds: Vec<(&Model, &JudgedBuild)> = builds.into_iter().map(|(unit, build)| (&unit.model, build)).collect();
    let (rendered, refused) = render(&builds, args.format.into());
    match &args.output {
        Some(path) => write::whole(path, &rendered, args.overwrite)
            .map_err(|words| Failure(format!("{words} (`--overwrite` replaces a file)")))?,
        None => print(&rendered)?,
    }
    let failed = failures(&units, &args.spec, args.build.as_deref(), "this sheet is");
    if refused > 0 {
        eprintln!("cotter: {refused} of these numbers can't be computed: the sheet says why");
    }
    Ok(ExitCode::from(u8::from(failed + refused > 0)))
}

/// The builds that are meant: all, or the one of this name.
fn meant<'c>(
    units: &'c [Compiled],
    spec: &str,
    only: Option<&str>,
) -> Result<Vec<(&'c Compiled, &'c JudgedBuild)>, Failure> {
    known_build(units, only)?;
    let builds: Vec<(&Compiled, &JudgedBuild)> = units
        .iter()
        .flat_map(|unit| unit.builds.iter().map(move |build| (unit, build)))
        .filter(|(unit, build)| only.is_none_or(|only| unit.model[build.build].name.text == only))
        .collect();
    if builds.is_empty() {
        return Err(Failure(format!(
            "there is no build in `{spec}`: write one, such as `build mine : bicycle {{ … }}`"
        )));
    }
    Ok(builds)
}

/// Says on standard error how many clashes and mistakes there are behind what was written.
fn failures(units: &[Compiled], spec: &str, only: Option<&str>, what: &str) -> usize {
    let all = units.iter().flat_map(|unit| &unit.diagnostics);
    let failed = all
        .filter(|it| {
            it.severity == Severity::Error && (it.build.is_none() || only.is_none() || it.build.as_deref() == only)
        })
        .count();
    if failed > 0 {
        let count = if failed == 1 { "1 clash or mistake" } else { &format!("{failed} clashes or mistakes") };
        eprintln!("cotter: {what} of a spec with {count}: see `cotter check {spec}`");
    }
    failed
}

/// `cotter measure --set`: readings written back, all of them or none.
fn set(args: &MeasureArgs) -> Done {
    let (spec, only) = (args.sheet.spec.as_str(), args.sheet.build.as_deref());
    if spec == "-" {
        return Err(Failure("standard input can't be written: name the file or folder of the spec".to_owned()));
    }
    let settings: Result<Vec<Setting>, Failure> = args
        .set
        .iter()
        .map(|it| Setting::read(it).map_err(|words| Failure(format!("`--set {it}`: {words}"))))
        .collect();
    let units = compiled(spec)?;
    known_build(&units, only)?;
    edit(&units, spec, &settings?, only.map(|build| (build, "")))
}

/// Settings written into a spec, all of them or none, and what comes of it: of the one build that is asked about, where one
/// is, with cautions for it.
fn edit(units: &[Compiled], spec: &str, settings: &[Setting], of: Option<(&str, &str)>) -> Done {
    let nothing = "nothing is written";
    let edited = match editing::edited(units, settings, |texts| compiled_with(spec, texts)) {
        Ok(edited) => edited,
        Err(Refused::Failed(failure)) => return Err(failure),
        Err(Refused::Place(words)) => return Err(Failure(format!("{words} ({nothing})"))),
        Err(Refused::Value(words)) => {
            eprintln!("cotter: {words} ({nothing})");
            return Ok(ExitCode::from(1));
        }
        Err(Refused::Mistakes(units)) => {
            print(&screen::mistakes(&units, look()))?;
            eprintln!("cotter: that would be a mistake ({nothing})");
            return Ok(ExitCode::from(1));
        }
    };
    write::changed(units, &edited.texts).map_err(|words| Failure(format!("{words} ({nothing})")))?;
    print(&editing::report(units, &edited, of.map(|(build, _)| build)))?;
    if let Some((_, beware)) = of.filter(|(_, beware)| !beware.is_empty()) {
        print(&format!("\n{beware}"))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// `cotter mend`.
fn mend_spec(spec: &str, build: Option<&str>, take: Option<usize>, format: Output) -> Done {
    let units = compiled(spec)?;
    known_build(&units, build)?;
    let offers = mend::offers(&units, build);
    let Some(number) = take else {
        let left = mend::left(&units, build, &offers);
        print(&match format {
            Output::Human => mend::text(&offers, &left, &mend::cautions(&units, build)),
            Output::Json => mend::json(&offers, &left),
        })?;
        return Ok(ExitCode::SUCCESS);
    };
    if spec == "-" {
        return Err(Failure("standard input can't be written: name the file or folder of the spec".to_owned()));
    }
    let Some(offer) = offers.iter().find(|it| it.number == number) else {
        let there = match offers.len() {
            0 => "there is none".to_owned(),
            count => format!("there are 1 to {count}"),
        };
        return Err(Failure(format!("there is no remedy {number}: {there} (`cotter mend {spec}` lists them)")));
    };
    let settings: Vec<Setting> =
        offer.changes.iter().map(|it| Setting::put(&offer.build, &it.slot, &it.part)).collect();
    let beware = mend::beware(&mend::cautions(&units, Some(&offer.build)));
    edit(&units, spec, &settings, Some((&offer.build, &beware)))
}

fn each<T>(builds: &[(&Model, &JudgedBuild)], make: impl Fn(&Model, &JudgedBuild) -> T) -> Vec<T> {
    builds.iter().map(|(model, build)| make(model, build)).collect()
}

/// `cotter why`.
fn why(spec: &str, slot: &str, part: &str, build: Option<&str>, format: Output) -> Done {
    let units = compiled(spec)?;
    known_build(&units, build)?;
    let nearest = |asked: &str, known: &mut dyn Iterator<Item = &str>| {
        let known: Vec<&str> = known.collect();
        let near = cotter::mistake::nearest(asked, known.iter().copied());
        near.map_or(String::new(), |near| format!("; did you mean `{near}`?"))
    };
    let mut all = Vec::new();
    for (unit, judged) in units.iter().flat_map(|unit| unit.builds.iter().map(move |judged| (unit, judged))) {
        let model = &unit.model;
        if build.is_some_and(|only| model[judged.build].name.text != only) {
            continue;
        }
        let slots = &model[model[judged.build].assembly].slots;
        let Some(number) = slots.get_index_of(slot) else {
            let near = nearest(slot, &mut slots.keys().map(String::as_str));
            return Err(Failure(format!("there is no slot `{slot}`{near}")));
        };
        let Some(id) = model.part_named(part) else {
            let near = nearest(part, &mut model.parts.iter().map(|it| it.name.text.as_str()));
            return Err(Failure(format!("there is no part `{part}`{near}")));
        };
        let kinds = slots.get_index(number).map_or(&[][..], |(_, it)| it.kinds.as_slice());
        if !kinds.contains(&model[id].kind) {
            let named = |it: &KindId| cotter::mistake::with_article(&model[*it].name.text);
            let kinds: Vec<String> = kinds.iter().map(named).collect();
            let kind = named(&model[id].kind);
            return Err(Failure(format!("`{part}` is {kind}; `{slot}` takes {}", kinds.join(" or "))));
        }
        all.push(why::Why::of(model, judged, SlotId(number), id));
    }
    if all.is_empty() {
        return Err(Failure(format!("there is no build in `{spec}` to put it in")));
    }
    print(&match format {
        Output::Human => why::text(&all),
        Output::Json => why::json(&all),
    })?;
    Ok(ExitCode::from(u8::from(all.iter().any(|it| it.chain.is_none()))))
}

/// `cotter diff`.
fn diff(before: &str, after: Option<&str>, git: Option<&str>, build: Option<&str>, format: Format) -> Done {
    let all = match (git, after) {
        (Some(revision), _) => compare::since(revision, before, build)?,
        (None, Some(after)) => compare::between(before, after, build)?,
        (None, None) => Vec::new(),
    };
    if all.is_empty() {
        let named = build.map_or("no build".to_owned(), |it| format!("no build `{it}`"));
        return Err(Failure(format!("there is {named} on either side to tell apart")));
    }
    print(&cotter::sheets::diff::render(&all, format))?;
    Ok(ExitCode::SUCCESS)
}

/// `cotter witness`.
fn witness(spec: &str, only_print: bool, textconv: bool) -> Done {
    if textconv {
        print(&compare::textconv(spec)?)?;
        return Ok(ExitCode::SUCCESS);
    }
    if std::path::Path::new(spec).is_dir() {
        return Err(Failure(format!("`{spec}` is a folder: name a spec file")));
    }
    let units = compiled(spec)?;
    let text: String = units.iter().map(cotter::witness::text).collect();
    if only_print || spec == "-" {
        print(&text)?;
        return Ok(ExitCode::SUCCESS);
    }
    let wrong = units.iter().flat_map(|it| &it.diagnostics).any(|it| it.build.is_none());
    if wrong {
        return Err(Failure(format!("`{spec}` has mistakes: `cotter check {spec}` shows them; nothing was written")));
    }
    let path = compare::witness_path(spec);
    if !compare::is_ours(&path) {
        return Err(Failure(format!("`{path}` is no witness, and is left as it is")));
    }
    write::whole(std::path::Path::new(&path), &text, true).map_err(Failure)?;
    print(&format!("wrote {path}\n"))?;
    Ok(ExitCode::SUCCESS)
}

/// `cotter explain`.
fn explain_name(name: Option<&str>, spec: Option<&str>) -> Done {
    let units = match spec {
        Some(path) => compiled(path)?,
        None => vec![unit(&Memory::one("nothing.cotter", ""), "nothing.cotter", "")?],
    };
    let Some(first) = units.first() else { return Err(Failure("there is no spec to read".to_owned())) };
    let Some(name) = name else {
        print(&explain::list(&first.model))?;
        return Ok(ExitCode::SUCCESS);
    };
    for unit in &units {
        if let Ok(page) = explain::page(&unit.files, &unit.model, name) {
            print(&page)?;
            return Ok(ExitCode::SUCCESS);
        }
    }
    let near = explain::page(&first.files, &first.model, name).err().unwrap_or_default();
    let near = if near.is_empty() { String::new() } else { format!("; did you mean `{}`?", near.join("` or `")) };
    Err(Failure(format!("nothing is called `{name}`{near} (`cotter explain` lists all)")))
}

/// `cotter new`.
fn new(name: &str) -> Done {
    let text = starter::spec(name).map_err(Failure)?;
    let path = format!("{name}.cotter");
    write::whole(std::path::Path::new(&path), &text, false)
        .map_err(|words| Failure(format!("{words}: take another name")))?;
    print(&format!("wrote {path}; now run `cotter check {path}`\n"))?;
    Ok(ExitCode::SUCCESS)
}

/// `cotter completions`.
fn completions(shell: clap_complete::Shell) -> Done {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "cotter", &mut script);
    print(&String::from_utf8_lossy(&script))?;
    Ok(ExitCode::SUCCESS)
}

fn known_build(units: &[Compiled], build: Option<&str>) -> Result<(), Failure> {
    let Some(build) = build else { return Ok(()) };
    let known: Vec<&str> =
        units.iter().flat_map(|unit| unit.model.builds.iter().map(|it| it.name.text.as_str())).collect();
    if known.contains(&build) {
        return Ok(());
    }
    let near = match cotter::mistake::nearest(build, known.iter().copied()) {
        Some(near) => format!("; did you mean `{near}`?"),
        None if known.is_empty() => String::new(),
        None => format!("; there are `{}`", known.join("`, `")),
    };
    Err(Failure(format!("there is no build `{build}`{near}")))
}

/// How the terminal shows: colour only on one, and only if `NO_COLOR` is not set.
fn look() -> screen::Look {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let columns = std::env::var("COLUMNS").ok().and_then(|value| value.parse().ok());
    let width = columns.or_else(|| terminal_size::terminal_size().map(|(width, _)| usize::from(width.0)));
    screen::Look { color: std::io::stdout().is_terminal() && !refused, width: width.unwrap_or(100).clamp(40, 140) }
}

/// Whether what was printed before can be cleared away.
fn clears() -> bool {
    std::io::stdout().is_terminal() && std::env::var_os("TERM").is_none_or(|it| it != "dumb")
}

/// Prints; a reader that has gone away is no failure.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure(format!("the output can't be written: {error}")))
        }
        _ => Ok(()),
    }
}
