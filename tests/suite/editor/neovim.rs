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
    let script = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/editor/neovim.lua");
    let output = Command::new("nvim")
        .args(["--headless", "--clean", "-n", "-c"])
        .arg(format!("luafile {}", script.display()))
        .env("COTTER", env!("CARGO_BIN_EXE_cotter"))
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
