//! What the command line may say.

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use cotter::sheets;
use std::path::PathBuf;

/// Describe a bicycle as parts with their interface standards; read what clashes before anything is ordered.
#[derive(Parser)]
#[command(name = "cotter", version, max_term_width = 100)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Subcommand)]
pub enum Command {
    /// Judge every joint of the builds in files or folders.
    ///
    /// Exit code 0: all fits, open joints only warn; 1: a clash or a mistake in the text; 2: a file can't be read, or
    /// the command line is wrong.
    Check {
        /// Spec files, folders of them, or `-` for standard input; the folder that you are in if none is named.
        paths: Vec<String>,
        /// Only this build.
        #[arg(long)]
        build: Option<String>,
        /// For people or for programs.
        #[arg(long, value_enum, default_value_t = Report::Human)]
        format: Report,
        /// Open joints count as failure.
        #[arg(long)]
        strict: bool,
    },
    /// Check again whenever a file is saved that the spec uses, until Ctrl-C.
    ///
    /// Paints the check anew on a terminal; elsewhere prints one below the other. The last line says which file changed.
    Watch {
        /// The spec file, or a folder of them.
        spec: String,
        /// Only this build.
        #[arg(long)]
        build: Option<String>,
    },
    /// Serve an editor over standard input and output, in the protocol of language servers.
    Lsp,
    /// Lay specs out in the one canonical way: one fact a line, columns aligned, comments and order kept.
    ///
    /// Prints the names of the files that it changes. What holds a mistake stays as it is. Exit code 0: done; 1: `--check`
    /// found a file that would change; 2: a file can't be read or written.
    Fmt {
        /// Spec files, folders of them, or `-` for standard input to standard output; the folder that you are in if none is
        /// named.
        paths: Vec<String>,
        /// Write nothing; name the files that would change, each with the first line.
        #[arg(long)]
        check: bool,
    },
    /// Print the bill of materials: parts by source with price and mass, and what the joints use up.
    Bom(SheetArgs),
    /// Print the torque sheet: every fastening with its range, thread, tool, preparation and cautions.
    Torque(SheetArgs),
    /// Print the steps: strip-down, preparation, assembly, checks before the first ride, and what is tightened after it.
    Steps(SheetArgs),
    /// Print the measuring list: what open joints hang on, those readings first that matter most; or write readings back.
    Measure(MeasureArgs),
    /// Print the gears: development, gear inches, steps, speeds, the steepest climb; beside the bike that the build comes from.
    Gears(SheetArgs),
    /// Print the chain's length, what takes up its slack, and the chainline at each cog.
    Chain(SheetArgs),
    /// Print where the rear derailleur stands after each click, against the cogs.
    Indexing(SheetArgs),
    /// Print spoke lengths, tyres on their rims, the room round them, and a pressure to start with.
    Wheels(SheetArgs),
    /// Print how the bike stands: angles, trail, wheelbase, heights, toe and pedal room, saddle to hands; before and now.
    Geometry(SheetArgs),
    /// Print what levers, brakes and rotors multiply, and how hard the bike can be braked before it tips.
    Braking(SheetArgs),
    /// Write the workshop report of a build: all sheets with drawings, as one HTML file for a screen or a printer, and as
    /// Markdown.
    ///
    /// Writes `NAME.html` and `NAME.md` of each build into a folder. The HTML holds all that it shows: it needs no network
    /// and no script. An earlier report is replaced, any other file is left alone.
    Report(ReportArgs),
    /// List parts from shelf and stock that would make clashing and open joints fit, each compiled and proven; or take one.
    Mend {
        /// The spec file or folder.
        spec: String,
        /// Only this build.
        #[arg(long)]
        build: Option<String>,
        /// Write the remedy with this number into the spec.
        #[arg(long, value_name = "N")]
        take: Option<usize>,
        /// For people or for programs.
        #[arg(long, value_enum, default_value_t = Output::Human)]
        format: Output,
    },
    /// Ask what would happen if a part went into a slot: what would fit, clash or stay open, and what else it would take.
    Why {
        /// The spec file, or `-` for standard input.
        spec: String,
        /// The slot, such as `rear.hub`.
        slot: String,
        /// The part's name in the spec.
        part: String,
        /// Only this build; all of them otherwise.
        #[arg(long)]
        build: Option<String>,
        /// For people or for programs.
        #[arg(long, value_enum, default_value_t = Output::Human)]
        format: Output,
    },
    /// Tell two builds apart: parts in and out, joints made, broken and judged otherwise, price, mass, gears, geometry.
    ///
    /// Each side is a spec file or `FILE:BUILD`; the second may be the name of a build of the first one's file. Without
    /// names of builds, those of one name are held against each other.
    Diff {
        /// The earlier side; with `--git`, the spec.
        before: String,
        /// The later side.
        #[arg(required_unless_present = "git", conflicts_with = "git")]
        after: Option<String>,
        /// Hold the spec as it was in this revision of its git repository against the spec as it is.
        #[arg(long, value_name = "REVISION")]
        git: Option<String>,
        /// Only this build.
        #[arg(long)]
        build: Option<String>,
        /// How it is written.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Write down what each joint comes to and what that rests on, beside the spec: git then shows when a verdict moves.
    ///
    /// Writes `NAME.witness` beside `NAME.cotter`. `cotter check` says when it is out of date.
    Witness {
        /// The spec file.
        spec: String,
        /// Print it instead.
        #[arg(long)]
        print: bool,
        /// Print the file's own text and, below it, its witness: for git's `textconv`.
        #[arg(long, conflicts_with = "print")]
        textconv: bool,
    },
    /// Explain a code, standard, interface, kind, joint, table or slot; list them all if none is named.
    Explain {
        /// What to explain.
        name: Option<String>,
        /// A spec whose own declarations are to be known too.
        #[arg(long, value_name = "FILE")]
        spec: Option<String>,
    },
    /// Write a commented starter spec, `NAME.cotter`.
    New {
        /// Name of the bike: letters, digits and `_`.
        name: String,
    },
    /// Print a completion script.
    Completions {
        /// For which shell.
        #[arg(value_enum)]
        shell: Shell,
    },
}

/// A sheet of a spec.
#[derive(clap::Args)]
pub struct SheetArgs {
    /// The spec file, or `-` for standard input.
    pub spec: String,
    /// Only this build; all of them otherwise.
    #[arg(long)]
    pub build: Option<String>,
    /// How it is written.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Write it to this file, which must not be there yet.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Write over the file of `--output`.
    #[arg(long, requires = "output")]
    pub overwrite: bool,
}

/// The report of a spec.
#[derive(clap::Args)]
pub struct ReportArgs {
    /// The spec file, or `-` for standard input.
    pub spec: String,
    /// Only this build; all of them otherwise.
    #[arg(long)]
    pub build: Option<String>,
    /// Write into this folder, which is made if it is not there.
    #[arg(short, long, value_name = "DIR")]
    pub output: PathBuf,
    /// Write over files of these names even if they are no reports.
    #[arg(long)]
    pub overwrite: bool,
    /// Have a browser print `NAME.pdf` too: Chromium or Chrome, whichever is found.
    #[arg(long)]
    pub pdf: bool,
}

/// The measuring list of a spec, or readings for it.
#[derive(clap::Args)]
pub struct MeasureArgs {
    #[command(flatten)]
    pub sheet: SheetArgs,
    /// Write a reading into the spec, such as `frame_a.rear.gap="44.5 mm"`; may be given several times.
    ///
    /// Only the value is changed. Nothing is written if one of the readings is refused.
    #[arg(long, value_name = "PART.FACT=VALUE", conflicts_with_all = ["format", "output"])]
    pub set: Vec<String>,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum Report {
    /// With the places underlined.
    Human,
    /// As `cotter.check/1`.
    Json,
    /// As SARIF 2.1.0, which code hosts and editors read.
    Sarif,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum Output {
    /// As text.
    Human,
    /// As data.
    Json,
}

#[derive(Clone, Copy, ValueEnum)]
pub enum Format {
    /// A table for a terminal.
    Text,
    /// A table in Markdown.
    Markdown,
    /// Rows for a spreadsheet.
    Csv,
    /// Data.
    Json,
}

impl From<Format> for sheets::Format {
    fn from(format: Format) -> sheets::Format {
        match format {
            Format::Text => sheets::Format::Text,
            Format::Markdown => sheets::Format::Markdown,
            Format::Csv => sheets::Format::Csv,
            Format::Json => sheets::Format::Json,
        }
    }
}
