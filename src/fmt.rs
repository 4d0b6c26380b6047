//! `cotter fmt`: specs laid out anew, written only where that changes them.

use super::{Done, Failure, print, write};
use cotter::format;
use cotter::source::{Disk, ReadError, Sources, folder_of, spec_files};
use std::io::Read;
use std::path::Path;
use std::process::ExitCode;

/// Lays out files, the specs of folders, or standard input; with `check`, only says what would change.
pub fn fmt(paths: &[String], check: bool) -> Done {
    if let [only] = paths
        && only == "-"
    {
        return standard_input(check);
    }
    let here = [".".to_owned()];
    let (mut out, mut changed, mut failed) = (String::new(), false, false);
    for path in named(if paths.is_empty() { &here } else { paths })? {
        let text = match text(&path) {
            Ok(text) => text,
            Err(words) => {
                eprintln!("cotter: {words}");
                failed = true;
                continue;
            }
        };
        let laid_out = format::format(&text);
        let Some(line) = format::first_difference(&text, &laid_out) else { continue };
        if !format::same(&text, &laid_out) {
            eprintln!("cotter: `{path}` is left as it is: laid out anew, it would not say the same");
            failed = true;
            continue;
        }
        changed = true;
        if check {
            out.push_str(&format!("{path}:{line}: `cotter fmt` would change this line\n"));
        } else if let Err(words) = write::whole(Path::new(&path), &laid_out, true) {
            eprintln!("cotter: {words}");
            failed = true;
        } else {
            out.push_str(&format!("{path}\n"));
        }
    }
    print(&out)?;
    Ok(ExitCode::from(if failed { 2 } else { u8::from(check && changed) }))
}

fn standard_input(check: bool) -> Done {
    let mut bytes = Vec::new();
    let read = std::io::stdin().take(Disk::MAX_BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| Failure(format!("standard input can't be read: {error}")))?;
    let text = checked("standard input", bytes).map_err(Failure)?;
    let laid_out = format::format(&text);
    if !format::same(&text, &laid_out) {
        return Err(Failure("standard input is left as it is: laid out anew, it would not say the same".to_owned()));
    }
    if !check {
        print(&laid_out)?;
        return Ok(ExitCode::SUCCESS);
    }
    let line = format::first_difference(&text, &laid_out);
    if let Some(line) = line {
        print(&format!("<standard input>:{line}: `cotter fmt` would change this line\n"))?;
    }
    Ok(ExitCode::from(u8::from(line.is_some())))
}

/// The files that paths name, each once, in order.
fn named(paths: &[String]) -> Result<Vec<String>, Failure> {
    let mut all: Vec<String> = Vec::new();
    for path in paths {
        let found = if Path::new(path).is_dir() {
            let found = spec_files(path);
            found.map_err(|error| Failure(format!("the folder `{path}` can't be read: {error}")))?
        } else {
            vec![path.clone()]
        };
        for path in found {
            let path = path.strip_prefix("./").unwrap_or(&path).to_owned();
            if !all.contains(&path) {
                all.push(path);
            }
        }
    }
    Ok(all)
}

fn text(path: &str) -> Result<String, String> {
    let folder = folder_of(path);
    let bytes = Disk::below(folder).read(path).map_err(|error| match error {
        ReadError::NotFound => format!("there is no file `{path}`"),
        ReadError::NotAFile => format!("`{path}` is no plain file"),
        ReadError::TooLarge => format!("`{path}` is larger than 4 MiB: is it a spec?"),
        ReadError::Outside => format!("`{path}` is a link that leads out of its folder"),
        ReadError::Refused(reason) => format!("`{path}` can't be read: {reason}"),
    })?;
    checked(path, bytes)
}

fn checked(name: &str, bytes: Vec<u8>) -> Result<String, String> {
    if bytes.len() as u64 > Disk::MAX_BYTES {
        return Err(format!("{name} is larger than 4 MiB"));
    }
    String::from_utf8(bytes).map_err(|_| format!("`{name}` is not UTF-8 text: it is left as it is"))
}
