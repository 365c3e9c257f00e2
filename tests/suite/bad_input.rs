//! Inputs that can't be used: each told with its place, what was found and what is accepted; nothing written.

mod cases;
mod files;

use std::{fs, path::Path};

use crate::program::{Run, flaws, run_in};

/// The name of the plan in the folder of a case.
const PLAN: &str = "plan.jsonc";

/// A small plan that can be reviewed; cases change one thing in it.
const SOUND: &str = r#"{
  "format": "bywash plan 1",
  "basins": {
    "pond": { "kind": "pond", "still": "-6 in", "rim": "0 in", "floor": "-3 ft" },
    "bed": { "kind": "bed", "still": "+8 in", "rim": "+14 in", "floor": "-20 in" },
  },
  "pumps": {
    "main": {
      "basin": "pond",
      "curve": [["0 gph", "8 ft"], ["1600 gph", "6 ft"], ["3200 gph", "2 ft"]],
    },
  },
  "lines": {
    "feed": {
      "from": "main",
      "runs": {
        "riser": {
          "pipe": { "size": "2 in", "class": "sch 40" },
          "length": "30 ft",
          "fittings": { "90 elbow": 2 },
          "to": "bed",
        },
      },
    },
  },
  "falls": { "lip": { "from": "bed", "to": "pond", "crest": "+8 in", "width": "24 in" } },
}
"#;

/// The sound plan with one passage replaced. A `«` in the new passage is taken out and marks the place, as
/// `line:column`, that must be told.
fn changed(passage: &str, replacement: &str) -> (String, Option<String>) {
    assert_eq!(SOUND.matches(passage).count(), 1, "`{passage}` must stand once in the plan");
    marked(&SOUND.replace(passage, replacement))
}

/// A text without its mark `«`, and where that stood.
fn marked(text: &str) -> (String, Option<String>) {
    let place = text.find('«').map(|at| {
        let before = &text[..at];
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        format!("{}:{column}", before.matches('\n').count() + 1)
    });
    (text.replace('«', ""), place)
}

/// What is missing from the refusal of an input; a refusal is exit 2, nothing on standard output, every word asked
/// for on standard error, within the width, plain.
fn lacks(run: &Run, says: &[&str]) -> Vec<String> {
    let mut lacks = flaws(&run.err);
    if run.code != Some(2) {
        lacks.push(format!("exit code {:?}, not 2", run.code));
    }
    if !run.out.is_empty() {
        lacks.push("something on standard output".to_owned());
    }
    let told = run.told();
    let unsaid = says.iter().filter(|words| !told.contains(**words));
    lacks.extend(unsaid.map(|words| format!("not said: {words}")));
    if !lacks.is_empty() {
        lacks.push(format!("told:\n{}", run.err));
    }
    lacks
}

/// Reviews bytes as a plan, in a folder of their own.
fn review_bytes(bytes: &[u8]) -> Run {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join(PLAN), bytes).unwrap();
    run_in(folder.path(), &["review", PLAN])
}

fn hold(name: &str, run: &Run, says: &[&str]) -> Option<String> {
    let lacks = lacks(run, says);
    (!lacks.is_empty()).then(|| format!("## {name}\n{}", lacks.join("\n")))
}

fn assert_none(failures: &[String]) {
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

/// Names of everything in a folder.
fn listing(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
