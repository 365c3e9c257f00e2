//! Lists the rule cards and the example plans for embedding, so that adding one means adding one file.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

fn main() {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo sets the manifest directory"));
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets the output directory"));
    for (folder, list) in [("rules", "cards.rs"), ("examples", "examples.rs")] {
        println!("cargo:rerun-if-changed={folder}");
        let mut files = Vec::new();
        collect(&root.join(folder), &mut files);
        files.sort();
        let entries: String = files
            .iter()
            .filter_map(|file| Some((file.strip_prefix(&root).ok()?.to_str()?.replace('\\', "/"), file)))
            .map(|(name, file)| format!("    ({name:?}, include_str!({file:?})),\n"))
            .collect();
        fs::write(out.join(list), format!("&[\n{entries}]\n")).expect("the output directory can be written");
    }
}

/// Every Markdown page and plan below a folder; each subfolder is watched, so that a new file is seen.
fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    println!("cargo:rerun-if-changed={}", folder.display());
    let Ok(entries) = fs::read_dir(folder) else { return };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            collect(&path, files);
        } else if path
            .extension()
            .is_some_and(|ending| ending == "md" || ending == "jsonc" || ending == "json")
        {
            files.push(path);
        }
    }
}
