//! The README shows real runs: each `console` block is what the program prints, but for what `…` leaves out.

use std::path::Path;
use std::process::Command;

/// The blocks of a README: the command line, and the stretches that must stand in its output in this order.
fn blocks(text: &str) -> Vec<(String, Vec<String>)> {
    text.split("```console\n")
        .skip(1)
        .map(|rest| {
            let block = rest.split("\n```").next().unwrap_or("");
            let (command, shown) = block.split_once('\n').unwrap_or((block, ""));
            let command = command.strip_prefix("$ cotter ").expect("a block begins with a command").to_owned();
            let shown = format!("\n{shown}\n");
            let stretches = shown.split("\n…\n").map(|it| it.trim_matches('\n').to_owned());
            (command, stretches.filter(|it| !it.is_empty()).collect())
        })
        .collect()
}

#[test]
fn the_readme_shows_what_the_program_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("README.md")).unwrap();
    let blocks = blocks(&text);
    assert!(blocks.len() >= 3, "a clash, a summary and a torque sheet at least");
    for (command, stretches) in blocks {
        let run = Command::new(env!("CARGO_BIN_EXE_cotter"))
            .args(command.split_whitespace())
            .current_dir(root)
            .env("COLUMNS", "100")
            .env("NO_COLOR", "1")
            .output()
            .unwrap();
        let printed = String::from_utf8(run.stdout).unwrap();
        assert!(!stretches.is_empty(), "`{command}` shows nothing");
        let mut rest = printed.as_str();
        for stretch in stretches {
            let at = rest.find(&stretch).unwrap_or_else(|| panic!("`cotter {command}` does not print:\n{stretch}"));
            rest = &rest[at + stretch.len()..];
        }
    }
}
