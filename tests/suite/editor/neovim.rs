//! A real editor drives the server: Neovim without a screen. `.ci/run` sets `COTTER_NEOVIM`; where it is not set and no
//! `nvim` is found, there is nothing to drive.

use super::copy_of;
use std::process::Command;

#[test]
fn neovim_sees_mends_completes_renames_and_lays_out() {
    let there = Command::new("nvim").arg("--version").output().is_ok();
    if !there {
        assert!(std::env::var_os("COTTER_NEOVIM").is_none(), "COTTER_NEOVIM asks for `nvim`, and there is none");
        return;
    }
    let folder = copy_of("specs/heron");
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let script = root.join("tests/suite/editor/neovim.lua");
    // A library file as the server shows it, which belongs to the project that it is looked at from.
    let library = tempfile::Builder::new().prefix("cotter-library-").tempdir().unwrap();
    std::fs::copy(root.join("specs/library/axles.cotter"), library.path().join("axles.cotter")).unwrap();
    let output = Command::new("nvim")
        .args(["--headless", "--clean", "-n"])
        .arg("--cmd")
        .arg(format!("set runtimepath^={}", root.join("grammar/neovim").display()))
        .arg("--cmd")
        .arg(format!("let g:cotter_command = ['{}', 'lsp']", env!("CARGO_BIN_EXE_cotter")))
        .arg("-c")
        .arg(format!("luafile {}", script.display()))
        .env("LIBRARY", library.path())
        .env("SPEC", folder.path())
        .current_dir(folder.path())
        .output()
        .unwrap();
    let said = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{said}");
    assert!(said.contains("all done"), "{said}");
    let heron = std::fs::read_to_string(folder.path().join("heron.cotter")).unwrap();
    let donor = std::fs::read_to_string(folder.path().join("donor.cotter")).unwrap();
    assert!(heron.contains("pedals           = cage_pedals"), "the action was taken:\n{heron}");
    assert!(heron.contains("= first_rim") && donor.contains("part first_rim : rim"), "renamed in two files");
    assert!(heron.contains("  paid             = 140 EUR\n"), "laid out");
}
