//! Invariants of the repository itself.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use bywash::{
    engine::Engine,
    figures,
    plan::Plan,
    read::{Patched, parse},
    rules::{Bound, Limit, Subject},
};

mod circles;
mod wording;

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
    let (engine, loaded) = Engine::new();
    loaded.unwrap();
    // A page of a place bears the name of the rule it changes.
    let pages: BTreeSet<String> = files("rules", "md")
        .iter()
        .filter(|path| !path.starts_with(root().join("rules/places")))
        .filter(|path| path.file_name().is_some_and(|name| name != "retired.md"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    let ids: BTreeSet<String> = engine.library.cards.iter().map(|card| card.id.clone()).collect();
    assert_eq!(pages, ids);
}

/// Ids are for ever: one that goes missing breaks acceptances in plans that are out in the world. New ones are free:
/// adding a rule means adding its page and nothing else.
#[test]
fn rule_ids_are_kept() {
    let (engine, _) = Engine::new();
    let mut ids: Vec<&str> = engine.library.cards.iter().map(|card| card.id.as_str()).collect();
    ids.sort_unstable();
    let path = root().join("tests/suite/rule-ids.txt");
    if std::env::var_os("BYWASH_BLESS").is_some() {
        fs::write(&path, ids.join("\n") + "\n").unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap();
    assert!(!kept.is_empty());
    let missing: Vec<&str> = kept.lines().filter(|id| !ids.contains(id)).collect();
    assert!(
        missing.is_empty(),
        "rules are gone: {missing:?}; where that is meant, run BYWASH_BLESS=1 cargo test rule_ids_are_kept"
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
    let (engine, _) = Engine::new();
    for card in &engine.library.cards {
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

/// What ends a program that a user runs; and where it may stand, because nothing a user does can reach it.
const ENDINGS: [&str; 7] = [
    ".unwrap()",
    ".unwrap_err()",
    ".expect(",
    "panic!(",
    "unreachable!(",
    "todo!(",
    "unimplemented!(",
];
const REASONED: [(&str, &str); 1] = [("src/plan/schema.rs", "panic!(\"the embedded schema is broken")];

/// The part of a source file that is compiled into the program: what stands before its module of tests.
fn shipped(text: &str) -> &str {
    let tests = text.match_indices("#[cfg(test)]").find(|(at, _)| {
        let opens = text[*at..].find(['{', ';']).map(|found| at + found);
        opens.is_some_and(|opens| text[opens..].starts_with('{'))
    });
    tests.map_or(text, |(at, _)| &text[..at])
}

#[test]
fn nothing_in_the_program_ends_it_at_a_surprise() {
    let mut failures = Vec::new();
    for path in files("src", "rs") {
        let name = path
            .strip_prefix(root())
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/");
        let text = fs::read_to_string(&path).unwrap();
        // Files of tests alone are declared with the attribute by the module they belong to.
        let only_tests = text.contains("#[test]") && !text.contains("#[cfg(test)]");
        if only_tests {
            continue;
        }
        for (index, line) in shipped(&text).lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            let reasoned = REASONED
                .iter()
                .any(|(file, part)| *file == name && line.contains(part));
            if ENDINGS.iter().any(|ending| code.contains(ending)) && !reasoned {
                failures.push(format!("{name}:{}: {}", index + 1, line.trim()));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    for (file, part) in REASONED {
        assert!(
            fs::read_to_string(root().join(file)).unwrap().contains(part),
            "{file}: {part}"
        );
    }
}

/// A figure that no rule asks for and no plan shows would be dead weight.
#[test]
fn every_figure_is_asked_for_or_shown() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for card in &engine.library.cards {
        for test in card.when.iter().chain(&card.revise_when).chain([&card.asks]) {
            if let Subject::Figure(definition) = &test.subject {
                used.insert(definition.name);
            }
            let limits = match &test.bound {
                Bound::AtLeast(limit, _) | Bound::MoreThan(limit, _) | Bound::AtMost(limit, _) => vec![limit],
                Bound::Between(low, high, _) => vec![low, high],
                _ => Vec::new(),
            };
            used.extend(limits.into_iter().filter_map(|limit| match limit {
                Limit::Figure { definition, .. } => Some(definition.name),
                Limit::Fixed { .. } => None,
            }));
        }
    }
    for path in files("examples", "jsonc") {
        let source = engine.sources.add("plan", fs::read_to_string(path).unwrap());
        let tree = Patched::new(parse(&engine.sources, source).unwrap());
        let ledger = figures::compute(&Plan::from_tree(&tree.root).unwrap());
        used.extend(ledger.iter().map(|figure| figure.definition.name));
    }
    // What goes over a rim is entered only where something does: the sound plan with rims too low.
    let drowned = [
        "/basins/bed/rim=+10.5 in",
        "/basins/pond/rim=-11.95 in",
        "/basins/pond/overflow=none",
        "/lines/feed/air_inlet=none",
    ];
    for changes in [&drowned[..], &drowned[1..3]] {
        let (_, opened) = super::changed::example("courtyard-retrofit", changes);
        used.extend(
            opened
                .ledger
                .iter()
                .map(|figure| figure.definition.name)
                .collect::<Vec<_>>(),
        );
    }
    let unused: Vec<&str> = figures::catalogue()
        .map(|figure| figure.name)
        .filter(|name| !used.contains(name))
        .collect();
    assert!(
        unused.is_empty(),
        "no rule asks for these and no example shows them: {unused:?}"
    );
}
