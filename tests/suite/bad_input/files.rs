//! Files, arguments and patches that can't be used, and what stands on the disk after a refusal.

use std::fs;

use super::{PLAN, SOUND, assert_none, hold, lacks, listing, review_bytes};
use crate::program::{Run, flaws, run, run_in};

/// A folder with the sound plan in it.
fn folder_with_plan() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join(PLAN), SOUND).unwrap();
    folder
}

/// Reviews the sound plan with further arguments, beside files given by name and text.
fn review_with(files: &[(&str, &str)], arguments: &[&str]) -> Run {
    let folder = folder_with_plan();
    for (name, text) in files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let mut all = vec!["review", PLAN];
    all.extend(arguments);
    run_in(folder.path(), &all)
}

#[test]
fn a_file_that_gives_no_text_is_told() {
    let cases: &[(&str, &[u8], &[&str])] = &[
        ("empty", b"", &["`plan.jsonc` is empty"]),
        ("blank", b" \n\t\r\n", &["`plan.jsonc` is empty"]),
        (
            "not UTF-8",
            b"{\n  \"name\": \"15 \xB0C\"\n}",
            &["`plan.jsonc` is not UTF-8", "line 2, column 15", "save it as UTF-8"],
        ),
        ("UTF-16", b"\xFF\xFE{\0}\0", &["not UTF-8", "looks like UTF-16"]),
        ("a picture", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", &["not UTF-8"]),
        ("no JSON", b"dig a hole\n", &["plan.jsonc:1:1"]),
        ("a list", b"[]\n", &["plan.jsonc:1:1", "a list", "an object"]),
        ("comments only", b"// later\n", &["plan.jsonc:1:"]),
    ];
    let refused = cases
        .iter()
        .filter_map(|(name, bytes, says)| hold(name, &review_bytes(bytes), says));
    assert_none(&refused.collect::<Vec<_>>());
}

#[test]
fn a_path_that_is_no_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("plans")).unwrap();
    for command in ["review", "figures"] {
        let missing = run_in(folder.path(), &[command, "nowhere.jsonc"]);
        let is_folder = run_in(folder.path(), &[command, "plans"]);
        let failures = [
            hold("missing", &missing, &["there is no file `nowhere.jsonc`"]),
            hold("folder", &is_folder, &["`plans` is a folder, not a file"]),
        ];
        assert_none(&failures.into_iter().flatten().collect::<Vec<_>>());
    }
}

#[test]
fn one_plan_that_cannot_be_read_stops_a_run_over_several() {
    let folder = folder_with_plan();
    let run = run_in(folder.path(), &["review", PLAN, "nowhere.jsonc"]);
    assert_none(&lacks(&run, &["nowhere.jsonc"]));
}

#[test]
fn arguments_that_cannot_be_used_are_told() {
    let failures: Vec<_> = [
        (&["--date", "30 April"][..], &["`30 April` is no date", "2026-04-30"][..]),
        (&["--date", "2026-02-29"], &["`2026-02-29` is no date"]),
        (&["--date", "2026-04-30\u{1b}[31m"], &["is no date"]),
        (&["--units", "cubits"], &["cubits", "us, si"]),
        (&["--set", "no equals sign"], &["--set", "no `=`", "`PATH=VALUE`"]),
        (&["--set", "=3 in"], &["--set", "names no place"]),
        (&["--set", "/basins//rim=3 in"], &["--set", "part of the path is empty"]),
        (&["--set", "/basins/pond/rim=3 gph"], &["--set", "`3 gph` is a flow, where a level is due"]),
        (&["--set", "/basins/pond/rimm=3 in"], &["--set", "unknown key `rimm`", "did you mean `rim`?"]),
        (&["--set", "/basins/pond/rim={"], &["--set"]),
        (&["--with", "nowhere.jsonc"], &["there is no file `nowhere.jsonc`"]),
        (&["--with", "."], &["`.` is a folder"]),
        (&["--as-built", "nowhere.jsonc"], &["there is no file `nowhere.jsonc`"]),
        (&["--json", "a.json", PLAN], &["one plan at a time"]),
    ]
    .into_iter()
    .filter_map(|(arguments, says)| hold(&arguments.join(" "), &review_with(&[], arguments), says))
    .collect();
    assert_none(&failures);
}

#[test]
fn a_rule_that_is_not_there_is_told_with_the_nearest() {
    let near = run(&["rules", "line-velocty"]);
    let says = ["no rule called `line-velocty`", "the nearest is `line-velocity`"];
    let far = run(&["rules", "zzz"]);
    let discipline = run(&["rules", "--discipline", "level"]);
    let failures = [
        hold("near", &near, &says),
        hold("far", &far, &["no rule called `zzz`", "`bywash rules`"]),
        hold("discipline", &discipline, &["no discipline called `level`", "`levels`"]),
    ];
    assert_none(&failures.into_iter().flatten().collect::<Vec<_>>());
    assert!(!far.told().contains("the nearest"), "nothing is near `zzz`: {}", far.err);
}

#[test]
fn a_patch_that_cannot_be_used_is_told_by_its_own_name_and_place() {
    let cases: &[(&str, &str, &[&str])] = &[
        ("not JSON", "{ \"basins\": ", &["patch.jsonc:1:"]),
        (
            "a bad value",
            "{\n  \"basins\": { \"pond\": { \"rim\": \"3 gph\" } }\n}\n",
            &["patch.jsonc:2:32", "`3 gph` is a flow, where a level is due"],
        ),
        (
            "a name that is not in the plan",
            "{ \"pumps\": { \"main\": { \"basin\": \"bad\" } } }",
            &["patch.jsonc:1:34", "no basin called \"bad\""],
        ),
        (
            "a basin taken away that a pump draws from",
            "{ \"basins\": { \"pond\": null } }",
            &["no basin called \"pond\"", "plan.jsonc:9:16"],
        ),
        (
            "a needed key taken away",
            "{ \"format\": null }",
            &["`format`", "patch.jsonc:1:13"],
        ),
        ("a list", "[]", &["patch.jsonc:1:1", "a list"]),
    ];
    for option in ["--with", "--as-built"] {
        let failures = cases.iter().filter_map(|(name, patch, says)| {
            let run = review_with(&[("patch.jsonc", patch)], &[option, "patch.jsonc"]);
            hold(name, &run, says)
        });
        assert_none(&failures.collect::<Vec<_>>());
    }
}

#[test]
fn texts_past_the_bounds_are_refused_soon() {
    let deep = "[".repeat(100_000);
    let many = "1,".repeat(25_000_000);
    let failures = [
        hold(
            "100,000 lists in each other",
            &review_bytes(deep.as_bytes()),
            &["more than 100 objects and lists inside each other", "plan.jsonc:1:101"],
        ),
        hold(
            "50 MB of values",
            &review_bytes(format!("{{ \"x-all\": [{many}1] }}").as_bytes()),
            &["more than 1000000 values in one file", "plan.jsonc:1:"],
        ),
    ];
    assert_none(&failures.into_iter().flatten().collect::<Vec<_>>());
}

#[test]
fn a_machine_form_that_cannot_be_written_leaves_nothing() {
    let folder = folder_with_plan();
    fs::create_dir(folder.path().join("taken")).unwrap();
    let before = listing(folder.path());
    for (path, says) in [
        ("nowhere/review.json", "`nowhere/review.json` can't be written"),
        ("taken", "`taken` can't be written"),
    ] {
        let run = run_in(folder.path(), &["review", PLAN, "--json", path]);
        assert_none(&lacks(&run, &[says, "nothing was written"]));
        assert_eq!(listing(folder.path()), before);
        assert!(listing(&folder.path().join("taken")).is_empty());
    }
}

#[test]
fn a_plan_that_cannot_be_reviewed_leaves_an_older_machine_form_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join(PLAN), "{").unwrap();
    fs::write(folder.path().join("review.json"), "older").unwrap();
    let run = run_in(folder.path(), &["review", PLAN, "--json", "review.json"]);
    assert_none(&lacks(&run, &[]));
    assert_eq!(fs::read_to_string(folder.path().join("review.json")).unwrap(), "older");
    assert_eq!(listing(folder.path()), [PLAN, "review.json"]);
}

#[test]
fn an_older_machine_form_is_replaced_whole() {
    let folder = folder_with_plan();
    let target = folder.path().join("review.json");
    fs::write(&target, "x".repeat(5_000_000)).unwrap();
    let written = run_in(folder.path(), &["review", PLAN, "--json", "review.json"]);
    assert!(written.err.is_empty(), "{}", written.err);
    assert_eq!(listing(folder.path()), [PLAN, "review.json"]);
    let printed = run_in(folder.path(), &["review", PLAN, "--json", "-"]);
    assert_eq!(fs::read_to_string(&target).unwrap(), printed.out);
    assert_eq!(flaws(&written.out), Vec::<String>::new());
}
