//! Lists the rule cards for embedding, so that adding a rule means adding one file.

use std::{
    env,
    error::Error,
    fmt::Write,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let mut pages = Vec::new();
    collect(&root.join("rules"), &mut pages)?;
    // Ids that are no longer in use are told of on a page that is no rule.
    pages.retain(|page| page.file_name().is_none_or(|name| name != "retired.md"));
    pages.sort();
    println!("cargo:rustc-env=BYWASH_LIBRARY={}", library(&root, &pages)?);
    let mut list = "&[\n".to_owned();
    for page in pages {
        let name = page.strip_prefix(&root)?.display().to_string().replace('\\', "/");
        writeln!(
            list,
            "    ({name:?}, include_str!({:?})),",
            page.display().to_string()
        )?;
    }
    list.push_str("]\n");
    fs::write(Path::new(&env::var("OUT_DIR")?).join("cards.rs"), list)?;
    Ok(())
}

/// How many rules the library has, the day of its last change where the history is at hand, and a mark of its whole text:
/// two programs with one mark judge by the same rules.
fn library(root: &Path, pages: &[PathBuf]) -> Result<String, Box<dyn Error>> {
    let mut mark = Mark::new();
    for page in pages {
        mark.take(
            page.strip_prefix(root)?
                .to_string_lossy()
                .replace('\\', "/")
                .as_bytes(),
        );
        mark.take(&fs::read(page)?);
    }
    let date = last_change(root).map_or_else(String::new, |date| format!(" of {date}"));
    Ok(format!(
        "library{date}, {} rules, mark {:016x}",
        pages
            .iter()
            .filter(|page| !page.starts_with(root.join("rules/places")))
            .count(),
        mark.0
    ))
}

/// The day on which the rules were last changed, told by the history; nothing where a change of them is not in it yet.
fn last_change(root: &Path) -> Option<String> {
    let git = |arguments: &[&str]| {
        let ran = Command::new("git")
            .current_dir(root)
            .args(arguments)
            .output()
            .ok()?;
        ran.status.success().then_some(())?;
        Some(String::from_utf8(ran.stdout).ok()?.trim().to_owned())
    };
    let changed = git(&["status", "--porcelain", "--", "rules"])?;
    let date = git(&["log", "-1", "--format=%cs", "--", "rules"])?;
    (changed.is_empty() && !date.is_empty()).then_some(date)
}

/// A running sum of bytes: FNV-1a in 64 bits, as published by its authors.
struct Mark(u64);

impl Mark {
    const fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn take(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

/// Every Markdown page below a folder; each folder is watched, so that a new page is seen.
fn collect(folder: &Path, pages: &mut Vec<PathBuf>) -> Result<(), Box<dyn Error>> {
    println!("cargo:rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, pages)?;
        } else if path.extension().is_some_and(|ending| ending == "md") {
            pages.push(path);
        }
    }
    Ok(())
}
