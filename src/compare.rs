//! Two sides of a comparison, and witnesses, as a command line names them: files, builds in them, revisions.

use super::Failure;
use super::units::{self, compiled, unit};
use cotter::Compiled;
use cotter::sheets::diff::{Diff, Side};
use cotter::source::{Disk, Revision, Sources, folder_of, path_in_repository, spec_files};
use cotter::witness::{self, Stale};
use std::path::Path;

/// A compiled spec, and the one build that is meant, if one is.
struct Meant {
    units: Vec<Compiled>,
    build: Option<String>,
}

/// The differences between two sides, each `FILE` or `FILE:BUILD`; the later one may be a build of the first one's file.
pub fn between(before: &str, after: &str, only: Option<&str>) -> Result<Vec<Diff>, Failure> {
    let first = meant(before)?;
    let is_build = |name: &str| first.units.iter().any(|it| it.model.build_named(name).is_some());
    if !Path::new(after).exists() && is_build(after) {
        let (Some(was), after) = (side(&first, first.build.as_deref()), side(&first, Some(after))) else {
            return Err(Failure(format!("`{before}` names no build: write it as `FILE:BUILD`")));
        };
        return Ok(vec![Diff::of(Some(was), after)]);
    }
    let second = meant(after)?;
    Ok(match (&first.build, &second.build) {
        (None, None) => paired(&first.units, &second.units, only),
        // A side that names no build means the one of the other side's name.
        (was, is) => {
            let (was, is) = (was.as_ref().or(is.as_ref()), is.as_ref().or(was.as_ref()));
            vec![Diff::of(side(&first, was.map(String::as_str)), side(&second, is.map(String::as_str)))]
        }
    })
}

/// The differences between a spec as it was in a revision and as it is.
pub fn since(revision: &str, spec: &str, only: Option<&str>) -> Result<Vec<Diff>, Failure> {
    let now = meant(spec)?;
    let file = file_of(spec).0;
    if Path::new(&file).is_dir() {
        return Err(Failure(format!("`{spec}` is a folder: name a spec file")));
    }
    let sources = Revision::named(folder_of(&file), revision).map_err(Failure)?;
    let path = path_in_repository(&file).map_err(Failure)?;
    // A file that was not there yet had no builds.
    let before = match sources.read(&path) {
        Ok(_) => vec![unit(&sources, &path, "")?],
        Err(_) => Vec::new(),
    };
    Ok(paired(&before, &now.units, now.build.as_deref().or(only)))
}

/// Builds of one name held against each other, those that only one side has by themselves.
fn paired(before: &[Compiled], after: &[Compiled], only: Option<&str>) -> Vec<Diff> {
    let sides = |units: &[Compiled]| -> Vec<String> {
        let names = units.iter().flat_map(|it| it.builds.iter().map(|build| it.model[build.build].name.text.clone()));
        names.filter(|it| only.is_none_or(|only| only == it)).collect()
    };
    let mut names = sides(after);
    let gone: Vec<String> = sides(before).into_iter().filter(|it| !names.contains(it)).collect();
    names.extend(gone);
    names.iter().map(|name| Diff::of(build_of(before, name), build_of(after, name))).collect()
}

fn side<'m>(meant: &'m Meant, build: Option<&str>) -> Option<Side<'m>> {
    build_of(&meant.units, build?)
}

fn build_of<'c>(units: &'c [Compiled], name: &str) -> Option<Side<'c>> {
    units.iter().find_map(|unit| {
        let judged = unit.builds.iter().find(|it| unit.model[it.build].name.text == name)?;
        Some(Side { model: &unit.model, judged })
    })
}

/// A file and the build in it that is meant.
fn file_of(side: &str) -> (String, Option<String>) {
    match side.rsplit_once(':') {
        Some((file, build)) if !Path::new(side).exists() && !file.is_empty() => {
            (file.to_owned(), Some(build.to_owned()))
        }
        _ => (side.to_owned(), None),
    }
}

fn meant(side: &str) -> Result<Meant, Failure> {
    let (file, build) = file_of(side);
    let units = compiled(&file)?;
    super::known_build(&units, build.as_deref())?;
    Ok(Meant { units, build })
}

/// The witness file of a spec.
pub fn witness_path(spec: &str) -> String {
    format!("{}.witness", spec.strip_suffix(".cotter").unwrap_or(spec))
}

/// The witness file of a compiled spec.
pub fn witness_of(unit: &Compiled) -> String {
    witness_path(entry(unit))
}

/// Witnesses beside specs, by their files, with what has moved since they were written.
pub fn stale(units: &[Compiled]) -> Result<Vec<(String, Stale)>, Failure> {
    let mut all = Vec::new();
    for it in units {
        let path = witness_path(entry(it));
        if entry(it).starts_with('<') || !Path::new(&path).is_file() {
            continue;
        }
        let bytes = read(&path)?;
        let found = witness::stale(it, &String::from_utf8_lossy(&bytes));
        if let Some(stale) = found.map_err(|words| Failure(format!("`{path}`: {words}")))? {
            all.push((path, stale));
        }
    }
    Ok(all)
}

/// A witness that is out of date, and what moved.
pub fn out_of_date((file, stale): &(String, Stale)) -> String {
    const TOLD: usize = 6;
    let mut lines = vec![format!("{file} is out of date; `cotter witness` writes it anew:")];
    for it in stale.moved.iter().take(TOLD) {
        let (before, now) = (it.before.as_deref().unwrap_or("not there"), it.now.as_deref().unwrap_or("not there"));
        lines.push(format!("  {}, {}: {before} then, {now} now", it.build, it.joint));
    }
    match stale.moved.len() {
        0 => lines.push("  no verdict moved, only facts that some rest on".to_owned()),
        all if all > TOLD => lines.push(format!("  and {} more", all - TOLD)),
        _ => {}
    }
    lines.push(String::new());
    lines.join("\n")
}

/// Whether a file may be written over: there is none, or it is a witness already.
pub fn is_ours(path: &str) -> bool {
    !Path::new(path).exists() || read(path).is_ok_and(|it| it.starts_with(b"# cotter witness"))
}

fn read(path: &str) -> Result<Vec<u8>, Failure> {
    let folder = folder_of(path);
    Disk::below(folder).read(path).map_err(|error| Failure(units::unread(path, &error)))
}

/// The name of the file that a unit begins with.
fn entry(unit: &Compiled) -> &str {
    unit.files.iter().map(|(_, file)| file.name.as_str()).find(|it| !it.starts_with("library:")).unwrap_or_default()
}

/// A file's own text and its witness. Git hands over copies of files out of its store, without those that they use: these
/// are read from the commit that brought the file.
pub fn textconv(file: &str) -> Result<String, Failure> {
    let bytes = read(file)?;
    let own = String::from_utf8_lossy(&bytes).into_owned();
    let unit = match Revision::of_content(".", file) {
        Some((revision, path)) => unit(&revision, &path, "").ok(),
        None => beside(file, &bytes),
    };
    let marks = unit.map(|it| witness::text(&it)).unwrap_or_default();
    Ok(format!("{own}\n{marks}"))
}

/// A file that no commit has yet: as it stands in the work tree, or a copy of what stands there under this name.
fn beside(file: &str, bytes: &[u8]) -> Option<Compiled> {
    let name = file.rsplit('/').next().unwrap_or(file);
    let same = |path: &String| path.rsplit('/').next() == Some(name);
    let own = spec_files(".").ok()?.into_iter().filter(same).find(|it| read(it).is_ok_and(|it| it == bytes));
    let path = own.map_or(file.to_owned(), |it| it.trim_start_matches("./").to_owned());
    let root = units::root_of(&path);
    unit(&Disk::below(&root), &path, &root).ok()
}
