//! Lists the rule cards for embedding, so that adding a rule means adding one file.

use std::{
    env,
    error::Error,
    fmt::Write,
    fs,
    path::{Path, PathBuf},
};

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let mut pages = Vec::new();
    collect(&root.join("rules"), &mut pages)?;
    // Ids that are no longer in use are told of on a page that is no rule.
    pages.retain(|page| page.file_name().is_none_or(|name| name != "retired.md"));
    pages.sort();
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
