//! Above each build, how its joints stand.

use super::workspace::{Unit, Workspace};
use super::{convert, hover};
use lsp_types::{CodeLens, Command};
use std::rc::Rc;

/// A lens for each build of a file.
pub fn lenses(workspace: &Workspace, path: &str) -> Vec<CodeLens> {
    let units: Vec<Rc<Unit>> = workspace.units_with(path).cloned().collect();
    let mut all: Vec<CodeLens> = Vec::new();
    for unit in &units {
        let Some(id) = unit.file(path) else { continue };
        let Some(file) = unit.compiled.files.get(id) else { continue };
        for judged in &unit.compiled.builds {
            let name = &unit.compiled.model[judged.build].name;
            if name.span.file != id {
                continue;
            }
            let range = convert::range(file, name.span, workspace.units_of_text);
            let command = Command { title: hover::counts(judged), command: String::new(), arguments: None };
            let lens = CodeLens { range, command: Some(command), data: None };
            if !all.contains(&lens) {
                all.push(lens);
            }
        }
    }
    all
}
