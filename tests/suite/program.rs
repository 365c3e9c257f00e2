//! Running the program as its users do.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

/// What a run gave.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program in the project's folder.
pub fn bywash(arguments: &[&str]) -> Ran {
    bywash_in(Path::new(env!("CARGO_MANIFEST_DIR")), arguments)
}

/// Runs the program in a folder, without a terminal.
pub fn bywash_in(folder: &Path, arguments: &[&str]) -> Ran {
    let output: Output = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    Ran {
        status: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// A folder of its own for one test.
pub fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// Writes a file there and gives its path.
pub fn write(folder: &Path, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, content).unwrap();
    path
}

/// Lines wider than a terminal of 80 columns.
pub fn too_wide(text: &str) -> Vec<&str> {
    text.lines()
        .filter(|line| unicode_width::UnicodeWidthStr::width(*line) > 80)
        .collect()
}
