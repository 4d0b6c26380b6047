//! `cotter report`: reports written into a folder.

use super::args::ReportArgs;
use super::units::compiled;
use super::{Done, Failure, failures, meant, pdf, print, write};
use cotter::report::{HTML_MARK, MARKDOWN_MARK, Report};
use std::path::PathBuf;
use std::process::ExitCode;

/// The files of one report.
struct Files {
    report: Report,
    html: PathBuf,
    markdown: PathBuf,
    pdf: Option<PathBuf>,
}

/// Writes the reports of a spec. Nothing is written where a file is in the way of one of them.
pub fn report(args: &ReportArgs) -> Done {
    let units = compiled(&args.spec)?;
    let builds = meant(&units, &args.spec, args.build.as_deref())?;
    let mut all: Vec<Files> = Vec::new();
    for (unit, judged) in builds {
        let report = Report::of(unit, judged);
        if all.iter().any(|it| it.report.name == report.name) {
            let name = report.name;
            return Err(Failure(format!(
                "`{}` has several builds called `{name}`, whose reports would be one file: name one spec file",
                args.spec
            )));
        }
        let file = |ending: &str| args.output.join(format!("{}.{ending}", report.name));
        let (html, markdown) = (file("html"), file("md"));
        all.push(Files { html, markdown, pdf: args.pdf.then(|| file("pdf")), report });
    }
    if !args.overwrite {
        all.iter().try_for_each(unhindered)?;
    }
    write::folder(&args.output).map_err(Failure)?;
    for it in &all {
        for (path, text) in [(&it.html, it.report.html()), (&it.markdown, it.report.markdown())] {
            write::whole(path, text, true).map_err(Failure)?;
            print(&format!("wrote {}\n", path.display()))?;
        }
        if let Some(path) = &it.pdf {
            let printed = pdf::printed(&it.html, &args.output).map_err(|words| Failure(format!("{words}{KEPT}")))?;
            write::whole(path, printed, true).map_err(Failure)?;
            print(&format!("wrote {}\n", path.display()))?;
        }
    }
    let failed = failures(&units, &args.spec, args.build.as_deref(), "this report is");
    Ok(ExitCode::from(u8::from(failed > 0)))
}

const KEPT: &str = " (the HTML and the Markdown are written; any browser prints the HTML)";

/// Refuses where a file is in the way that is no earlier report.
fn unhindered(files: &Files) -> Result<(), Failure> {
    let marks = [
        (Some(&files.html), HTML_MARK.as_bytes()),
        (Some(&files.markdown), MARKDOWN_MARK.as_bytes()),
        (files.pdf.as_ref(), pdf::MARK),
    ];
    for (path, mark) in marks {
        if let Some(path) = path.filter(|path| !write::is_ours(path, mark)) {
            return Err(Failure(format!(
                "`{}` is there already and is no report of cotter's: nothing is written (`--overwrite` replaces it)",
                path.display()
            )));
        }
    }
    Ok(())
}
