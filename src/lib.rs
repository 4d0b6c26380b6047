//! cotter: a small language for describing a bicycle as parts with their interface standards, and a compiler that judges
//! every joint between them.
//!
//! The house has one direction, one room a step, and each room has one door:
//!
//! - [`load::load`]: files to texts to trees ([`source`], [`syntax`], [`library`])
//! - [`model::build`]: trees to named, typed things
//! - [`judge::judge`]: rules to verdicts, with the facts that each rests on
//! - [`diagnose`]: mistakes and verdicts to diagnostics, for the screen and as JSON
//! - [`sheets`]: verdicts to bills of materials, torque sheets and the like
//! - [`report`]: all sheets of a build bound together, with drawings
//!
//! [`compile`] goes all the way.

#![forbid(unsafe_code)]

pub mod calc;
mod clean;
pub mod diagnose;
mod drawing;
pub mod editing;
pub mod editor;
pub mod explain;
pub mod format;
pub mod judge;
pub mod library;
pub mod load;
pub mod mistake;
pub mod model;
pub mod quantity;
pub mod report;
mod share;
pub mod sheets;
pub mod source;
pub mod syntax;
pub mod watching;
pub mod witness;

use diagnose::Diagnostic;
use judge::JudgedBuild;
use load::{Loaded, Parses};
use model::{Makes, Model};
use source::{Files, ReadError, Sources};

/// A spec and all that follows from it.
pub struct Compiled {
    /// The texts.
    pub files: Files,
    /// What they declare.
    pub model: Model,
    /// Every build, judged.
    pub builds: Vec<JudgedBuild>,
    /// Mistakes, clashes, open joints and advice, in that order within each file and build.
    pub diagnostics: Vec<Diagnostic>,
}

/// What earlier compiles found out, for later ones: no text is parsed and no part made twice.
#[derive(Default)]
pub struct Earlier {
    /// Texts, parsed.
    texts: Parses,
    /// Parts, made.
    parts: Makes,
}

impl Earlier {
    /// Forgets what no compile needs any more: texts of files that don't stay, and their parts.
    pub fn retain(&self, stays: impl FnMut(&str) -> bool) {
        self.texts.retain(stays);
        self.parts.tidy();
    }
}

/// Compiles the spec at `entry`, reading nothing outside of `root`.
///
/// # Errors
/// Only when `entry` itself can't be read; everything else becomes a diagnostic.
pub fn compile(sources: &dyn Sources, entry: &str, root: &str) -> Result<Compiled, ReadError> {
    compile_with(sources, entry, root, &Earlier::default())
}

/// The same, going by what was found out earlier.
///
/// # Errors
/// Only when `entry` itself can't be read.
pub fn compile_with(sources: &dyn Sources, entry: &str, root: &str, earlier: &Earlier) -> Result<Compiled, ReadError> {
    // A cold start makes the library ready beside reading the spec; later ones find it made.
    let ready = || {
        library::base();
    };
    let Loaded { files, trees, lists, mut mistakes, standalone, entry } =
        share::beside(|| load::load_with(sources, entry, root, &earlier.texts), ready);
    entry?;
    // Few specs declare kinds or joints of their own: the others share what the library says.
    let own = standalone || trees.iter().any(|tree| model::declares(tree));
    let (base, mut found) = if own {
        let library = library::trees().iter().filter(|_| !standalone);
        model::base(&library.chain(trees.iter().map(|it| &**it)).collect::<Vec<_>>())
    } else {
        (library::base(), Vec::new())
    };
    mistakes.append(&mut found);
    // Parts hang on what the library declares, so only those upon the same one are shared.
    let makes = (!own).then_some(&earlier.parts);
    let (model, mut found) = model::build(base, &trees, &lists, makes);
    mistakes.append(&mut found);
    let builds = judge::judge(&model);
    let diagnostics = diagnose::all(&model, &mistakes, &builds);
    Ok(Compiled { files, model, builds, diagnostics })
}
