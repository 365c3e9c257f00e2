//! Invariants of the repository itself.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use bywash::desk::Desk;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file below a folder with an ending.
fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![root().join(folder)];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|found| found == ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn no_source_file_is_longer_than_a_room() {
    for path in files("src", "rs") {
        let lines = fs::read_to_string(&path).unwrap().lines().count();
        assert!(lines <= 500, "{} has {lines} lines", path.display());
    }
}

#[test]
fn every_page_under_rules_is_a_rule() {
    let (desk, loaded) = Desk::new();
    loaded.unwrap();
    let pages: BTreeSet<String> = files("rules", "md")
        .iter()
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    let ids: BTreeSet<String> = desk.library.cards.iter().map(|card| card.id.clone()).collect();
    assert_eq!(pages, ids);
}

/// Ids are for ever: a change here is a rename, which breaks acceptances in plans that are out in the world.
#[test]
fn rule_ids_are_kept() {
    let (desk, _) = Desk::new();
    let mut ids: Vec<&str> = desk.library.cards.iter().map(|card| card.id.as_str()).collect();
    ids.sort_unstable();
    let now = ids.join("\n") + "\n";
    let path = root().join("tests/suite/rule-ids.txt");
    if std::env::var_os("BYWASH_BLESS").is_some() {
        fs::write(&path, &now).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == now,
        "rule ids changed; where that is meant, run BYWASH_BLESS=1 cargo test rule_ids_are_kept"
    );
}

#[test]
fn every_top_level_folder_has_its_place_in_the_guide() {
    let guide = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    for entry in fs::read_dir(root()).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() && !name.starts_with('.') && name != "target" {
            assert!(
                guide.contains(&format!("`{name}")),
                "DEVELOPERS.md does not tell of {name}/"
            );
        }
    }
}

#[test]
fn every_example_is_told_of_in_the_readme() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    for path in files("examples", "jsonc") {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(readme.contains(&name), "README.md does not tell of {name}");
        assert!(
            fs::read_to_string(&path).unwrap().starts_with("//"),
            "{name} does not say what it shows"
        );
    }
}

#[test]
fn every_rule_says_where_it_comes_from_in_our_own_form() {
    let (desk, _) = Desk::new();
    for card in &desk.library.cards {
        assert!(!card.sources.is_empty(), "{}", card.id);
        for source in &card.sources {
            let line = source.line();
            assert!(!line.contains(".."), "{}: {line}", card.id);
            let recalled = line.contains("(from memory)");
            assert!(
                !(recalled && source.section.is_some()),
                "{}: a section from memory: {line}",
                card.id
            );
        }
        assert!(!card.title.ends_with('.'), "{}", card.id);
        assert!(card.why.ends_with('.') && card.cure.ends_with('.'), "{}", card.id);
    }
}

#[test]
fn every_reference_table_says_where_it_comes_from() {
    for path in files("tests/references", "csv") {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with('#'), "{} has no header", path.display());
    }
}
