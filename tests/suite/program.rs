//! The program as its user meets it: a process of its own, over files in a folder of the test's.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use unicode_width::UnicodeWidthStr;

/// The widest line where no terminal says how wide it is.
pub const WIDTH: usize = 80;

/// How a run ended and what it printed.
pub struct Run {
    /// Exit code; none where a signal ended it.
    pub code: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Run {
    /// Standard error as running text: line breaks and the borders of excerpts taken out.
    pub fn told(&self) -> String {
        self.err
            .split(|c: char| c.is_whitespace() || "│╰─▶┌×✗".contains(c))
            .filter(|word| !word.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// A command that runs the program in a folder, with no terminal on any side.
pub fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bywash"));
    command
        .current_dir(folder)
        .env_remove("NO_COLOR")
        .stdin(Stdio::null());
    command
}

/// Runs the program in a folder.
pub fn run_in(folder: &Path, arguments: &[&str]) -> Run {
    let output = command(folder).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program prints UTF-8");
    Run {
        code: output.status.code(),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// Runs the program in the folder of the package, where the example plans are `examples/…`.
pub fn run(arguments: &[&str]) -> Run {
    run_in(&root(), arguments)
}

/// The folder of the package.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The example plans, as `examples/<name>`, in order.
pub fn examples() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| {
            Path::new(name)
                .extension()
                .is_some_and(|ending| ending == "jsonc" || ending == "json")
        })
        .map(|name| format!("examples/{name}"))
        .collect();
    names.sort();
    assert!(names.len() > 3, "the example plans are gone: {names:?}");
    names
}

/// What is wrong with the look of a printed text: wide lines, codes of a terminal, the marks of a crash.
pub fn flaws(text: &str) -> Vec<String> {
    let wide = text.lines().filter(|line| line.width() > WIDTH);
    let mut flaws: Vec<String> = wide.map(|line| format!("wider than {WIDTH}: {line}")).collect();
    if text.contains('\u{1b}') {
        flaws.push("has escape codes".to_owned());
    }
    if text.contains("panicked") || text.contains("RUST_BACKTRACE") {
        flaws.push("has a panic".to_owned());
    }
    flaws
}
