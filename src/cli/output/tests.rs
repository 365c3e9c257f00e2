//! Writes that fail at every step, over files that are there and that are not.

use std::{
    fs,
    path::{Path, PathBuf},
};

use super::{
    InTheWay, Outputs,
    fault::{Planted, Step},
};
use crate::cli::Failure;

const STEPS: [Step; 6] = [
    Step::Make,
    Step::Write,
    Step::Keep,
    Step::Sync,
    Step::Name,
    Step::Rename,
];

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// Names and contents of a folder, in order.
fn held(folder: &Path) -> Vec<(String, String)> {
    let mut held: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| {
            let name = entry.file_name().into_string().unwrap();
            (name, fs::read_to_string(entry.path()).unwrap())
        })
        .collect();
    held.sort();
    held
}

fn claim(paths: &[(&'static str, PathBuf)], in_the_way: InTheWay) -> Result<Outputs, Failure> {
    let asked = paths.iter().map(|(argument, path)| (*argument, path.as_path()));
    Outputs::claim(asked, in_the_way)
}

fn pair(name: &str, content: &str) -> (String, String) {
    (name.to_owned(), content.to_owned())
}

#[test]
fn a_write_that_fails_at_any_step_leaves_the_folder_as_it_was() {
    for unnamed in [true, false] {
        for there in [true, false] {
            for step in STEPS {
                let folder = folder();
                let path = folder.path().join("review.json");
                if there {
                    fs::write(&path, "old").unwrap();
                }
                let before = held(folder.path());
                let outputs = claim(&[("--json", path)], InTheWay::Replaced).unwrap();
                let fault = Planted::new(Some(step), unnamed);
                let outcome = outputs.write(&[b"new".to_vec()]);
                drop(fault);
                let case = format!("{step:?}, unnamed {unnamed}, there {there}");
                // A new file is neither kept like another nor put in the place of one; a passing name is made but once.
                let takes = match step {
                    Step::Keep | Step::Rename => there,
                    Step::Name => unnamed || !there,
                    Step::Make | Step::Write | Step::Sync => true,
                };
                let after = held(folder.path());
                if takes {
                    assert!(matches!(outcome, Err(Failure::Write { .. })), "{case}");
                    assert_eq!(after, before, "{case}");
                } else {
                    outcome.unwrap();
                    assert_eq!(after, [pair("review.json", "new")], "{case}");
                }
            }
        }
    }
}

#[test]
fn what_is_written_is_there_and_nothing_else() {
    for unnamed in [true, false] {
        let folder = folder();
        fs::write(folder.path().join("a.pdf"), "old").unwrap();
        let paths = ["a.pdf", "b.json"].map(|name| ("--x", folder.path().join(name)));
        let fault = Planted::new(None, unnamed);
        let outputs = claim(&paths, InTheWay::Replaced).unwrap();
        outputs.write(&[b"pdf".to_vec(), b"json".to_vec()]).unwrap();
        drop(fault);
        assert_eq!(
            held(folder.path()),
            [pair("a.pdf", "pdf"), pair("b.json", "json")]
        );
    }
}

#[test]
fn a_file_made_meanwhile_is_kept_or_taken_for_one_that_was_there() {
    for unnamed in [true, false] {
        let folder = folder();
        let path = folder.path().join("plan.jsonc");
        let _fault = Planted::new(None, unnamed);
        let kept = claim(&[("FILE", path.clone())], InTheWay::Kept).unwrap();
        let replaced = claim(&[("FILE", path.clone())], InTheWay::Replaced).unwrap();
        fs::write(&path, "mine").unwrap();
        let outcome = kept.write(&[b"starter".to_vec()]);
        assert!(matches!(outcome, Err(Failure::InTheWay { .. })));
        assert_eq!(held(folder.path()), [pair("plan.jsonc", "mine")]);
        replaced.write(&[b"review".to_vec()]).unwrap();
        assert_eq!(held(folder.path()), [pair("plan.jsonc", "review")]);
    }
}

#[test]
fn many_that_begin_one_file_at_once_make_it_once() {
    let folder = folder();
    let path = folder.path().join("plan.jsonc");
    let outcomes: Vec<bool> = std::thread::scope(|scope| {
        let begin = |number: usize| {
            let path = path.clone();
            scope.spawn(move || {
                let outputs = claim(&[("FILE", path)], InTheWay::Kept);
                outputs
                    .and_then(|outputs| outputs.write(&[number.to_string().into_bytes()]))
                    .is_ok()
            })
        };
        let begun: Vec<_> = (0..16).map(begin).collect();
        begun.into_iter().map(|begun| begun.join().unwrap()).collect()
    });
    assert_eq!(outcomes.iter().filter(|made| **made).count(), 1);
    let winner = outcomes.iter().position(|made| *made).unwrap();
    assert_eq!(held(folder.path()), [pair("plan.jsonc", &winner.to_string())]);
}

#[test]
fn a_second_file_that_fails_is_told_with_the_first_that_is_written() {
    let folder = folder();
    let paths = ["a.pdf", "b.json"].map(|name| ("--x", folder.path().join(name)));
    let outputs = claim(&paths, InTheWay::Replaced).unwrap();
    fs::create_dir(folder.path().join("b.json")).unwrap();
    let outcome = outputs.write(&[b"pdf".to_vec(), b"json".to_vec()]);
    let Err(Failure::WrittenInPart { written, .. }) = outcome else {
        unreachable!()
    };
    assert_eq!(written, [folder.path().join("a.pdf")]);
}

#[cfg(unix)]
#[test]
fn one_place_by_any_spelling_is_one_place() {
    use std::os::unix::fs::symlink;
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    fs::write(at("there"), "old").unwrap();
    fs::create_dir(at("sub")).unwrap();
    symlink(at("there"), at("link")).unwrap();
    symlink("link", at("link-to-link")).unwrap();
    symlink("new", at("dangling")).unwrap();
    symlink(".", at("here")).unwrap();
    fs::hard_link(at("there"), at("hard")).unwrap();
    for (one, other) in [
        ("there", "./there"),
        ("there", "sub/../there"),
        ("there", "link"),
        ("there", "link-to-link"),
        ("there", "hard"),
        ("there", "here/there"),
        ("new", "./new"),
        ("new", "dangling"),
        ("here/new", "here/here/new"),
    ] {
        let asked = [("--pdf", at(one)), ("--json", at(other))];
        let refused = claim(&asked, InTheWay::Replaced)
            .err()
            .map(|failure| failure.to_string());
        assert_eq!(
            refused.as_deref(),
            Some("--pdf and --json name one file"),
            "{one} {other}"
        );
    }
    assert!(
        claim(
            &[("--pdf", at("new")), ("--json", at("there"))],
            InTheWay::Replaced
        )
        .is_ok()
    );
    let outputs = claim(&[("--json", at("hard"))], InTheWay::Replaced).unwrap();
    for input in ["there", "link", "link-to-link", "here/hard"] {
        let refused = outputs.spare([at(input).as_path()]);
        assert!(matches!(refused, Err(Failure::OverInput { .. })), "{input}");
    }
    assert!(
        outputs
            .spare([at("sub").as_path(), at("missing").as_path()])
            .is_ok()
    );
    assert!(matches!(
        claim(&[("--pdf", at("sub/"))], InTheWay::Replaced),
        Err(Failure::Write { .. })
    ));
    symlink("circle", at("circle")).unwrap();
    assert!(matches!(
        claim(&[("--pdf", at("circle"))], InTheWay::Replaced),
        Err(Failure::Write { .. })
    ));
}
