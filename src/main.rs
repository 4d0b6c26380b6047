//! The command line: one function a command, the only prints and exit codes.

#![allow(clippy::print_stderr)]

mod args;
mod starter;
mod write;

use args::{Args, Command, Output, SheetArgs};
use clap::{CommandFactory, Parser};
use cotter::diagnose::{Severity, screen, wire};
use cotter::judge::JudgedBuild;
use cotter::model::{BuildId, Model, SlotId};
use cotter::sheets::{Format, bill, numbers, torque, why};
use cotter::source::{Disk, Memory, ReadError, Sources};
use cotter::{Compiled, explain};
use std::io::{IsTerminal, Read, Write};
use std::process::ExitCode;

/// Why a command ends without doing its job: a line for the person, exit code 2.
struct Failure(String);

type Done = Result<ExitCode, Failure>;

fn main() -> ExitCode {
    let done = match Args::parse().command {
        Command::Check { paths, build, format, strict } => check(&paths, build.as_deref(), format, strict),
        Command::Bom(args) => sheet(&args, |units, format| (bill::render(&each(units, bill::Bill::of), format), 0)),
        Command::Torque(args) => {
            sheet(&args, |units, format| (torque::render(&each(units, torque::TorqueSheet::of), format), 0))
        }
        Command::Gears(args) => numbers_sheet(&args, numbers::gears::page, numbers::gears::render),
        Command::Chain(args) => numbers_sheet(&args, numbers::chain::page, numbers::chain::render),
        Command::Indexing(args) => numbers_sheet(&args, numbers::indexing::page, numbers::indexing::render),
        Command::Wheels(args) => numbers_sheet(&args, numbers::wheels::page, numbers::wheels::render),
        Command::Geometry(args) => numbers_sheet(&args, numbers::geometry::page, numbers::geometry::render),
        Command::Braking(args) => numbers_sheet(&args, numbers::braking::page, numbers::braking::render),
        Command::Why { spec, slot, part, build, format } => why(&spec, &slot, &part, build.as_deref(), format),
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
fn check(paths: &[String], build: Option<&str>, format: Output, strict: bool) -> Done {
    let here = [".".to_owned()];
    let mut units = Vec::new();
    for path in if paths.is_empty() { &here } else { paths } {
        units.extend(compiled(path)?);
    }
    known_build(&units, build)?;
    let report = match format {
        Output::Human => screen::report(&units, build, look()),
        Output::Json => wire::report(&units, build),
    };
    print(&report)?;
    let counts = |severity: Severity| {
        let all = units.iter().flat_map(|unit| &unit.diagnostics);
        all.filter(|it| {
            it.severity == severity && (build.is_none() || it.build.is_none() || it.build.as_deref() == build)
        })
        .count()
    };
    let failed = counts(Severity::Error) > 0 || strict && counts(Severity::Warning) > 0;
    // The process ends here: taking thousands of small things apart first would only cost time.
    std::mem::forget(units);
    Ok(ExitCode::from(u8::from(failed)))
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
    known_build(&units, args.build.as_deref())?;
    let builds: Vec<(&Model, &JudgedBuild)> = units
        .iter()
        .flat_map(|unit| unit.builds.iter().map(|build| (&unit.model, build)))
        .filter(|(model, build)| args.build.as_ref().is_none_or(|only| model[build.build].name.text == *only))
        .collect();
    if builds.is_empty() {
        return Err(Failure(format!(
            "there is no build in `{}`: write one, such as `build mine : bicycle {{ … }}`",
            args.spec
        )));
    }
    let (rendered, refused) = render(&builds, args.format.into());
    match &args.output {
        Some(path) => write::whole(path, &rendered, args.overwrite)
            .map_err(|words| Failure(format!("{words} (`--overwrite` replaces a file)")))?,
        None => print(&rendered)?,
    }
    let mut failed = 0;
    for unit in &units {
        failed += unit
            .diagnostics
            .iter()
            .filter(|it| {
                it.severity == Severity::Error && (it.build.is_none() || args.build.is_none() || it.build == args.build)
            })
            .count();
    }
    if failed > 0 {
        let what = if failed == 1 { "1 clash or mistake" } else { &format!("{failed} clashes or mistakes") };
        eprintln!("cotter: this sheet is of a spec with {what}: see `cotter check {}`", args.spec);
    }
    if refused > 0 {
        eprintln!("cotter: {refused} of these numbers can't be computed: the sheet says why");
    }
    Ok(ExitCode::from(u8::from(failed + refused > 0)))
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
            let kinds: Vec<&str> = kinds.iter().map(|it| model[*it].name.text.as_str()).collect();
            let kind = &model[model[id].kind].name.text;
            return Err(Failure(format!("`{part}` is a {kind}; `{slot}` takes a {}", kinds.join(" or a "))));
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

/// Compiles what `path` names: a file, every spec of a folder that no other one uses, or standard input.
fn compiled(path: &str) -> Result<Vec<Compiled>, Failure> {
    if path == "-" {
        let mut bytes = Vec::new();
        let limited = std::io::stdin().take(Disk::MAX_BYTES + 1).read_to_end(&mut bytes);
        limited.map_err(|error| Failure(format!("standard input can't be read: {error}")))?;
        if bytes.len() as u64 > Disk::MAX_BYTES {
            return Err(Failure("standard input is larger than 4 MiB".to_owned()));
        }
        let sources = Input { text: Memory::one("<standard input>", bytes), disk: Disk::below("") };
        return Ok(vec![unit(&sources, "<standard input>", "")?]);
    }
    let path = path.strip_prefix("./").filter(|rest| !rest.is_empty()).unwrap_or(path);
    if !std::path::Path::new(path).is_dir() {
        let root = root_of(path);
        return Ok(vec![unit(&Disk::below(&root), path, &root)?]);
    }
    let folder = path.trim_end_matches('/');
    let found = cotter::source::spec_files(if folder.is_empty() { "/" } else { folder });
    let specs = found.map_err(|error| Failure(format!("the folder `{path}` can't be read: {error}")))?;
    if specs.is_empty() {
        return Err(Failure(format!("there is no spec (`*.cotter`) in `{path}`: `cotter new NAME` writes one")));
    }
    let specs: Vec<String> = specs.iter().map(|it| it.strip_prefix("./").unwrap_or(it).to_owned()).collect();
    let root = if folder == "." || cotter::source::leaves(folder, "") {
        folder.trim_start_matches('.').to_owned()
    } else {
        String::new()
    };
    let root = if cotter::source::leaves(folder, "") && folder != "." { folder.to_owned() } else { root };
    let disk = Disk::below(&root);
    let mut all: Vec<(String, Compiled)> = Vec::new();
    for spec in specs {
        // The library's own texts are in every compile already.
        let embedded = |bytes: Vec<u8>| cotter::library::TEXTS.iter().any(|(_, text)| text.as_bytes() == bytes);
        if disk.read(&spec).is_ok_and(embedded) {
            continue;
        }
        let unit = unit(&disk, &spec, &root)?;
        all.push((spec, unit));
    }
    // A file that another one uses is judged there.
    let used = |spec: &str| {
        let own = disk.same(spec);
        all.iter().any(|(other, unit)| other != spec && unit.files.iter().any(|(_, file)| disk.same(&file.name) == own))
    };
    let keep: Vec<bool> = all.iter().map(|(spec, _)| !used(spec)).collect();
    // Files that only use each other in a circle have no top: all of them stay, so that the circle is reported.
    let none = !keep.contains(&true);
    Ok(all.into_iter().zip(keep).filter(|(_, keep)| *keep || none).map(|((_, unit), _)| unit).collect())
}

/// The project folder of a file: the one that the command runs in, or the file's own if it lies elsewhere.
fn root_of(path: &str) -> String {
    let normal = cotter::source::join("", path);
    let normal = if path.starts_with('/') { path.to_owned() } else { normal.trim_start_matches('/').to_owned() };
    if cotter::source::leaves(&normal, "") { cotter::source::folder_of(path).to_owned() } else { String::new() }
}

fn unit(sources: &dyn Sources, path: &str, root: &str) -> Result<Compiled, Failure> {
    cotter::compile(sources, path, root).map_err(|error| {
        Failure(match error {
            ReadError::NotFound => format!("there is no file `{path}`"),
            ReadError::NotAFile => format!("`{path}` is no plain file"),
            ReadError::TooLarge => format!("`{path}` is larger than 4 MiB: is it a spec?"),
            ReadError::Outside => format!("`{path}` is a link that leads out of the project folder"),
            ReadError::Refused(reason) => format!("`{path}` can't be read: {reason}"),
        })
    })
}

/// Standard input, over the disk for what it uses.
struct Input {
    text: Memory,
    disk: Disk,
}

impl Sources for Input {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        self.text.read(path).or_else(|_| self.disk.read(path))
    }

    fn same(&self, path: &str) -> String {
        if self.text.texts.contains_key(path) { path.to_owned() } else { self.disk.same(path) }
    }
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
