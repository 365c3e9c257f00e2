//! The words of the project: what docs/style.md rules out is in no text that a person reads.

use std::{fs, path::Path};

use super::{files, root, shipped};

/// What is not written, and what is written instead.
const WORST: [(&str, &str); 8] = [
    ("is told", "is printed, is named"),
    ("are told", "are printed, are named"),
    ("is asked", "is required"),
    ("asked:", "required:"),
    ("asked is", "required is"),
    ("to be given", "required"),
    ("could not be judged", "could not be evaluated"),
    ("must be told", "must be named"),
];

/// Folders whose pages are being rewritten.
const NOT_YET: [&str; 1] = ["rules"];
/// Parts of the source whose words come from formats that others read, or are being rewritten.
const APART: [&str; 4] = [
    "src/formulas",
    "src/hydraulics",
    "src/figures/levels",
    "src/quantity/spelling.rs",
];

fn texts() -> Vec<(String, String)> {
    let mut found = Vec::new();
    let named = |path: &Path| {
        path.strip_prefix(root())
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/")
    };
    for path in files("src", "rs") {
        let name = named(&path);
        let of_tests = name.ends_with("/tests.rs") || name.contains("/tests/");
        if !of_tests && APART.iter().all(|apart| !name.starts_with(apart)) {
            let code = fs::read_to_string(&path).unwrap();
            for text in literals(shipped(&code)) {
                found.push((name.clone(), text));
            }
        }
    }
    for folder in ["docs", "rules"]
        .into_iter()
        .filter(|folder| !NOT_YET.contains(folder))
    {
        for path in files(folder, "md") {
            // The page on style names what it rules out.
            if !path.ends_with("style.md") {
                found.push((named(&path), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    for name in ["README.md", "DEVELOPERS.md"] {
        found.push((name.to_owned(), fs::read_to_string(root().join(name)).unwrap()));
    }
    found
}

/// The texts in quotes of a source file.
fn literals(code: &str) -> Vec<String> {
    let mut out = Vec::new();
    // A text may go on over several lines.
    let (mut inside, mut text) = (false, String::new());
    for line in code.lines() {
        let line = line.trim_start();
        if !inside && line.starts_with("//") {
            continue;
        }
        let mut chars = line.chars().peekable();
        while let Some(c) = chars.next() {
            match c {
                '\\' => {
                    chars.next();
                }
                '\'' if !inside && chars.peek() == Some(&'"') => {
                    chars.next();
                }
                '"' => {
                    if inside {
                        out.push(std::mem::take(&mut text));
                    }
                    inside = !inside;
                }
                _ if inside => text.push(c),
                _ => {}
            }
        }
    }
    out
}

#[test]
fn the_worst_words_are_in_no_text() {
    let mut failures = Vec::new();
    for (name, text) in texts() {
        for (worst, better) in WORST {
            if text.contains(worst) {
                failures.push(format!(
                    "{name}: \"{worst}\", better \"{better}\", in: {}",
                    text.trim()
                ));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// A minus before a number is a minus, and an apostrophe between letters is one, in what is printed.
#[test]
fn signs_are_typographic_in_printed_text() {
    let mut failures = Vec::new();
    for (name, text) in texts().into_iter().filter(|(name, _)| name.starts_with("src/")) {
        if !text.contains(' ') || text.contains("::") || text.contains("JSON") {
            continue;
        }
        let chars: Vec<char> = text.chars().collect();
        let apostrophe = chars
            .windows(3)
            .any(|three| three[0].is_alphabetic() && three[1] == '\'' && three[2].is_alphabetic());
        let minus = chars
            .windows(3)
            .any(|three| matches!(three[0], ' ' | '(') && three[1] == '-' && three[2].is_ascii_digit());
        if apostrophe || minus {
            failures.push(format!("{name}: {text}"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
