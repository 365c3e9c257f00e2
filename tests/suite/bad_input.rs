//! Input that can't be used: told with its place, what was found and what is accepted; nothing is written.

use super::program::{Ran, bywash, bywash_in, folder, too_wide, write};

/// A small plan that is sound as far as it goes; cases change one thing in it.
const PLAN: &str = r#"{
  "format": "bywash plan 1",
  "basins": {
    "pond": { "kind": "pond", "still": "-12 in", "rim": "-6 in", "floor": "-4 ft" },
    "bed": { "kind": "bed", "still": "+6 in", "rim": "+12 in", "floor": "-2 ft" }
  },
  "pumps": {
    "main": { "basin": "pond", "curve": [["0 gph", "9 ft"], ["2000 gph", "4 ft"]] }
  },
  "lines": {
    "feed": {
      "from": "main",
      "runs": {
        "low": { "pipe": { "size": "2 in", "class": "sch 40" }, "length": "9 ft", "fittings": { "90 elbow": 2 } },
        "high": { "after": "low", "length": "4 ft", "to": "bed" }
      }
    }
  },
  "falls": { "lip": { "from": "bed", "to": "pond", "crest": "+6 in", "width": "24 in" } }
}
"#;

fn refused(name: &str, content: &[u8]) -> Ran {
    let folder = folder();
    write(folder.path(), "plan.json", content);
    let ran = bywash_in(folder.path(), &["review", "plan.json", "--json", "out.json"]);
    assert_eq!(ran.status, 2, "{name}: {}{}", ran.out, ran.err);
    assert_eq!(ran.out, "", "{name}: nothing on standard output");
    assert!(!ran.err.contains("panicked"), "{name}: {}", ran.err);
    assert!(
        !ran.err.contains('\u{1b}'),
        "{name}: no codes where no terminal is"
    );
    assert_eq!(too_wide(&ran.err), Vec::<&str>::new(), "{name}");
    let left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(left, ["plan.json"], "{name}: nothing is written");
    ran
}

/// The plan with one text replaced, and what must be said of it.
#[test]
fn one_wrong_thing_is_told_with_place_found_and_accepted() {
    let cases: &[(&str, &str, &str, &[&str])] = &[
        (
            "unknown key",
            r#""rim": "-6 in""#,
            r#""rimm": "-6 in""#,
            &["plan.json:4:50", "unknown key `rimm`", "`rim`"],
        ),
        (
            "wrong unit",
            r#""floor": "-4 ft""#,
            r#""floor": "-4 feets""#,
            &["plan.json:4:", "feets"],
        ),
        (
            "wrong dimension",
            r#""floor": "-4 ft""#,
            r#""floor": "3 gph""#,
            &["`3 gph` is a flow", "expected a level"],
        ),
        (
            "bare number",
            r#""floor": "-4 ft""#,
            r#""floor": "-4""#,
            &["`-4` has no unit", "in, ft"],
        ),
        (
            "number",
            r#""floor": "-4 ft""#,
            r#""floor": -4"#,
            &["plan.json:4:", "a level"],
        ),
        (
            "negative size",
            r#""length": "9 ft""#,
            r#""length": "-9 ft""#,
            &["plan.json:14:", "below zero"],
        ),
        (
            "absurd size",
            r#""length": "9 ft""#,
            r#""length": "9000 mi""#,
            &["plan.json:14:", "5000 m"],
        ),
        (
            "absurd level",
            r#""still": "-12 in""#,
            r#""still": "-12 km""#,
            &["plan.json:4:", "200 m"],
        ),
        (
            "nothing",
            r#""width": "24 in""#,
            r#""width": "0 in""#,
            &["plan.json:19:", "more than zero"],
        ),
        (
            "dangling basin",
            r#""to": "bed""#,
            r#""to": "bad""#,
            &["plan.json:15:", "no basin or stream called `bad`", "`bed`"],
        ),
        (
            "dangling pump",
            r#""from": "main""#,
            r#""from": "mian""#,
            &["no pump called `mian`", "`main`"],
        ),
        (
            "dangling run",
            r#""after": "low""#,
            r#""after": "lo""#,
            &["no run called `lo`", "`low`"],
        ),
        (
            "dangling fall",
            r#""from": "bed", "to": "pond""#,
            r#""from": "bed", "to": "pnd""#,
            &["pnd", "`pond`"],
        ),
        (
            "unknown fitting",
            r#""90 elbow": 2"#,
            r#""91 elbow": 2"#,
            &["91 elbow", "`90 elbow`"],
        ),
        (
            "unknown pipe",
            r#""class": "sch 40""#,
            r#""class": "sch 41""#,
            &["sch 41", "plan.json:14:"],
        ),
        (
            "circle of runs",
            r#""fittings": { "90 elbow": 2 }"#,
            r#""after": "high""#,
            &["in a circle"],
        ),
        (
            "circle of falls",
            r#""width": "24 in" }"#,
            r#""width": "24 in" }, "back": { "from": "pond", "to": "bed", "crest": "+2 ft" }"#,
            &["back to where they start"],
        ),
        (
            "no way out",
            r#""from": "bed", "to": "pond""#,
            r#""from": "pond", "to": "bed""#,
            &["has no way out"],
        ),
        (
            "nowhere",
            r#""to": "bed""#,
            r#""to": "bad""#,
            &["there is no basin or stream called `bad`", "nearest is `bed`"],
        ),
        (
            "flat curve",
            r#"["2000 gph", "4 ft"]"#,
            r#"["2000 gph", "9 ft"]"#,
            &["plan.json:8:", "this pump curve is impossible"],
        ),
        (
            "falling flow",
            r#"["2000 gph", "4 ft"]"#,
            r#"["0 gph", "4 ft"]"#,
            &["this pump curve is impossible"],
        ),
        (
            "crest below pond",
            r#""crest": "+6 in""#,
            r#""crest": "-13 in""#,
            &["plan.json:19:", "below the still water"],
        ),
        (
            "floor above rim",
            r#""floor": "-4 ft""#,
            r#""floor": "+4 ft""#,
            &["plan.json:4:", "above its rim"],
        ),
        (
            "another format",
            "bywash plan 1",
            "bywash plan 2",
            &["plan.json:2:", "bywash plan 1"],
        ),
        (
            "another kind",
            r#""kind": "pond""#,
            r#""kind": "pnod""#,
            &["plan.json:4:", "pnod", "pond"],
        ),
        (
            "huge number",
            r#""90 elbow": 2"#,
            r#""90 elbow": 1e400"#,
            &["plan.json:14:", "1e400"],
        ),
        ("unterminated", "  \"falls\"", "  \"falls", &["plan.json:19:"]),
        ("cut off", "\n}\n", "\n", &["plan.json:"]),
        (
            "control character",
            r#""from": "main""#,
            "\"from\": \"ma\u{7}in\"",
            &["plan.json:12:"],
        ),
        (
            "code of a terminal",
            r#""from": "main""#,
            "\"from\": \"ma\u{1b}[31min\"",
            &["plan.json:12:18", "U+001B", "\"ma\\u{1b}[31min\""],
        ),
        (
            "no day of the calendar",
            r#""pumps": {"#,
            r#""project": { "date": "2026-02-30" }, "pumps": {"#,
            &["plan.json:7:24", "`2026-02-30` is not a day of the calendar"],
        ),
        (
            "turned direction of writing",
            r#""to": "bed""#,
            "\"to\": \"\u{202e}deb\"",
            &["plan.json:15:60", "U+202E", "\"\\u{202e}deb\""],
        ),
        (
            "broken count",
            r#""90 elbow": 2"#,
            r#""90 elbow": 1.5"#,
            &["plan.json:14:", "1.5", "a whole number"],
        ),
        (
            "duplicate key",
            r#""rim": "-6 in""#,
            r#""rim": "-6 in", "rim": "-5 in""#,
            &["plan.json:4:66", "plan.json:4:50", "`rim`"],
        ),
    ];
    for (name, from, to, said) in cases {
        assert!(PLAN.contains(from), "{name}");
        let ran = refused(name, PLAN.replacen(from, to, 1).as_bytes());
        for words in *said {
            assert!(
                ran.err.contains(words),
                "{name} does not say {words}:\n{}",
                ran.err
            );
        }
    }
}

#[test]
fn independent_problems_are_told_together() {
    let plan = PLAN
        .replace("\"-4 ft\"", "\"3 gph\"")
        .replace("\"rim\"", "\"rimm\"")
        .replace("\"24 in\"", "24");
    let err = refused("several", plan.as_bytes()).err;
    for words in [
        "`3 gph` is a flow",
        "plan.json:4:50",
        "plan.json:5:",
        "plan.json:19:",
        "4 problems to correct",
    ] {
        assert!(err.contains(words), "{words}:\n{err}");
    }
}

#[test]
fn what_is_no_text_is_told_by_its_bytes() {
    assert!(refused("empty", b"").err.contains("empty"));
    assert!(refused("blank", b" \n\t ").err.contains("empty"));
    let mut bytes = PLAN.as_bytes().to_vec();
    bytes[40] = 0xff;
    let err = refused("not UTF-8", &bytes).err;
    assert!(
        err.contains("UTF-8") && err.contains("40") && err.contains("line 3"),
        "{err}"
    );
    let nested = "[".repeat(100_000);
    assert!(refused("nested", nested.as_bytes()).err.contains("plan.json:1:"));
    let wide = format!(
        "{{\"format\": \"bywash plan 1\", \"x-filler\": \"{}\" \"}}",
        "x".repeat(50_000_000)
    );
    assert!(
        refused("fifty megabytes", wide.as_bytes())
            .err
            .contains("plan.json:1:")
    );
}

#[test]
fn a_byte_order_mark_and_own_keys_pass() {
    let folder = folder();
    let plan = PLAN.replace("\"falls\"", "\"x-own\": { \"anything\": [1, null] }, \"falls\"");
    write(folder.path(), "plan.json", format!("\u{feff}{plan}"));
    let ran = bywash_in(folder.path(), &["review", "plan.json"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
}

#[test]
fn files_that_are_not_there_or_are_folders_are_told() {
    assert!(
        bywash(&["review", "examples/none.jsonc"])
            .err
            .contains("there is no file")
    );
    assert!(bywash(&["review", "examples"]).err.contains("is a folder"));
    let ran = bywash(&["review", "examples/minimal.jsonc", "--with", "examples/none.json"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
}

#[test]
fn patches_and_arguments_that_cant_be_used_are_told_in_their_own_place() {
    let folder = folder();
    let plan = write(folder.path(), "plan.json", PLAN);
    write(
        folder.path(),
        "patch.json",
        r#"{ "basins": { "pond": { "rim": "ten" } } }"#,
    );
    let plan = plan.to_str().unwrap();
    let cases: &[(&[&str], &str)] = &[
        (&["review", plan, "--with", "patch.json"], "patch.json:1:"),
        (&["review", plan, "--set", "/basins/pond/rim=ten"], "--set:1:"),
        (&["review", plan, "--set", "rim"], "--set"),
        (&["review", plan, "--set", "/basins/pond/rimm=+1 in"], "`rim`"),
        (&["review", plan, "--date", "2026-02-30"], "is no date"),
        (
            &["review", plan, plan, "--json", "out.json"],
            "names one file for 2 plans",
        ),
        (&["review", plan, plan, "--previous", plan], "one plan at a time"),
        (&["review", plan, plan, "--json", "."], "review them apart"),
        (&["review", plan, "--only", "99"], "has the number `99`"),
        (&["review", plan, "--discipline", "beds"], "`bed`"),
        (&["figures", plan, "freeboard-runing"], "`freeboard-running`"),
        (&["explain", "finding", "x", plan], "has the number `x`"),
        (&["explain", "finding", "1"], "files that end in .jsonc"),
        (&["rules", "velocity"], "`line-velocity`"),
        (&["rules", "bed-upflow"], "bed-upflow-rate"),
        (&["rules", "zzz"], "`bywash rules` lists all"),
        (&["rules", "--discipline", "beds"], "`bed`"),
        (&["review"], "PLAN"),
        (&["rewiev", plan], "review"),
    ];
    for (arguments, words) in cases {
        let ran = bywash_in(folder.path(), arguments);
        assert_eq!(
            (ran.status, ran.out.as_str()),
            (2, ""),
            "{arguments:?}: {}",
            ran.err
        );
        assert!(
            ran.err.contains(words),
            "{arguments:?} does not say {words}:\n{}",
            ran.err
        );
    }
}

#[test]
fn what_cant_be_written_leaves_nothing_behind() {
    let folder = folder();
    let plan = write(folder.path(), "plan.json", PLAN);
    std::fs::create_dir(folder.path().join("folder")).unwrap();
    let plan = plan.to_str().unwrap();
    let mut outputs = vec!["--json"];
    if cfg!(feature = "pdf") {
        outputs.push("--pdf");
    }
    for output in outputs {
        for path in ["missing/out", "folder"] {
            let ran = bywash_in(folder.path(), &["review", plan, output, path]);
            assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{output} {path}");
            assert!(ran.err.contains("can’t be written"), "{}", ran.err);
        }
    }
    let ran = bywash_in(
        folder.path(),
        &["review", plan, "--json", "good.json", "--pdf", "missing/out.pdf"],
    );
    assert_eq!(ran.status, 2);
    let mut left: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    left.sort();
    assert_eq!(left, ["folder", "plan.json"]);
    assert_eq!(
        std::fs::read_dir(folder.path().join("folder")).unwrap().count(),
        0
    );
}
