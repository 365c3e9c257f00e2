//! What others say, in plans, pages, paths and arguments, is shown and does nothing: it commands no terminal, turns no line
//! around, hides nothing, and stands nowhere a line of ours starts.

use std::{fs, path::Path};

use bywash::{read::files_in, text::is_hidden};
use serde_json::{Value, json};

use super::program::{Ran, bywash_in, folder, too_wide, write};

/// One of every sort that acts or hides.
const HIDDEN: [char; 24] = [
    '\r',
    '\n',
    '\t',
    '\u{7}',
    '\u{8}',
    '\u{1b}',
    '\u{7f}',
    '\u{85}',
    '\u{9b}',
    '\u{9d}',
    '\u{ad}',
    '\u{61c}',
    '\u{200b}',
    '\u{200d}',
    '\u{200e}',
    '\u{2028}',
    '\u{2029}',
    '\u{202e}',
    '\u{2066}',
    '\u{2069}',
    '\u{feff}',
    '\u{fe0f}',
    '\u{e0041}',
    '\u{e007f}',
];

/// A text of all of them, and of the codes that are known to be harmful.
fn hostile() -> String {
    let all: String = HIDDEN.iter().flat_map(|c| ['x', *c]).collect();
    format!(
        "\u{1b}[2J\u{1b}]8;;http://x.example\u{1b}\\{all}\r\n\u{9b}31mRecommended action: no exceptions taken"
    )
}

/// A text that is carried over to further lines at every width, each of which starts with the word looked for.
fn long() -> String {
    "ZZZ ".repeat(80)
}

/// The hostile text without what no plan may hold, by an escape either.
fn hostile_in_plan() -> String {
    let kept = |c: char| !c.is_control() || matches!(c, '\n' | '\r' | '\t');
    hostile().chars().map(|c| if kept(c) { c } else { '.' }).collect()
}

/// A patch over the courtyard that says a text wherever a plan may.
fn patch(text: &str) -> Value {
    let wall = json!({ "height": "9 ft", "material": text });
    json!({
        "project": { "name": text, "client": text, "place": text, "revision": text, "drawing": text },
        "benchmark": { "mark": text },
        "basins": {
            "pond": { "name": text },
            "bed": { "name": text, "rim": "+10 in" },
            text: { "kind": "pond", "name": text, "still": "-1 ft", "rim": "-6 in", "floor": "-3 ft" },
        },
        "pumps": { "main": { "name": text } },
        "lines": { "feed": { "name": text } },
        "walls": { text: wall },
        "accept": [
            { "rule": "basin-freeboard-running", "at": "/basins/bed", "until": "2030-01-01", "by": "AB", "reason": text },
        ],
    })
}

fn accepted_or_refused(dir: &Path, plan: &str, patch: &Value) -> Ran {
    write(dir, "patch.json", ascii(patch));
    bywash_in(dir, &["review", plan, "--with", "patch.json", "--json", "-"])
}

/// The patch without what this plan's schema has no place for: the test is of texts, not of the schema.
fn accepted(dir: &Path, plan: &str, mut patch: Value) -> Value {
    for _ in 0..20 {
        let ran = accepted_or_refused(dir, plan, &patch);
        if ran.status != 2 {
            return patch;
        }
        clean("a refused patch", &ran, 1);
        let key = ran
            .err
            .split("unknown key `")
            .nth(1)
            .and_then(|rest| rest.split('`').next());
        match key {
            Some(key) => remove(&mut patch, key),
            None => panic!("{}", ran.err),
        }
    }
    panic!("no patch is left")
}

/// JSON in ASCII, so that what is hidden comes to the program as an escape: written as it is, it is refused.
fn ascii(value: &Value) -> String {
    let mut units = [0; 2];
    let mut out = String::new();
    for c in value.to_string().chars() {
        if c.is_ascii() && c != '\u{7f}' {
            out.push(c);
        } else {
            out.extend(
                c.encode_utf16(&mut units)
                    .iter()
                    .map(|unit| format!("\\u{unit:04x}")),
            );
        }
    }
    out
}

fn remove(value: &mut Value, key: &str) {
    if let Value::Object(members) = value {
        members.remove(key);
        members.values_mut().for_each(|member| remove(member, key));
    }
}

/// Whether a run's outputs hold nothing hidden, and no line of them starts with the word looked for.
fn clean(what: &str, ran: &Ran, least: usize) {
    for text in [&ran.out, &ran.err] {
        let found: Vec<char> = text.chars().filter(|c| is_hidden(*c) && *c != '\n').collect();
        assert_eq!(found, Vec::<char>::new(), "{what}: {text}");
        for line in text.lines() {
            let indent = line.chars().take_while(|c| *c == ' ').count();
            assert!(indent > 3 || !line[indent..].starts_with("ZZZ"), "{what}: {line}");
            assert!(!line.starts_with("Recommended action: no exc"), "{what}: {line}");
        }
        // What is wrong with an argument stands on a line of its parser's, with no more than a few letters of it.
        // JSON is read by programs.
        if !text.starts_with("error: ") && !text.starts_with('{') {
            assert_eq!(too_wide(text), Vec::<&str>::new(), "{what}");
        }
    }
    assert!(
        ran.out.lines().count() + ran.err.lines().count() >= least,
        "{what} says nothing"
    );
}

#[test]
fn what_a_plan_says_is_shown_and_does_nothing() {
    let folder = folder();
    let dir = folder.path();
    let plan = format!("{}/examples/courtyard-as-sent.jsonc", env!("CARGO_MANIFEST_DIR"));
    let refused = accepted_or_refused(dir, &plan, &patch(&hostile()));
    assert_eq!(refused.status, 2);
    assert!(
        refused.err.contains("holds the control character"),
        "{}",
        refused.err
    );
    clean("control characters", &refused, 10);
    for text in [hostile_in_plan(), long()] {
        let text = text.chars().take(290).collect::<String>();
        let patch = accepted(dir, &plan, patch(&text));
        write(dir, "patch.json", ascii(&patch));
        for arguments in [
            vec!["review", &plan],
            vec!["review", &plan, "--cases", "--case", "power-off+storm"],
            vec!["figures", &plan],
        ] {
            let ran = bywash_in(dir, &[arguments.as_slice(), &["--with", "patch.json"]].concat());
            assert_eq!(ran.err, "");
            clean(&arguments.join(" "), &ran, 20);
            let says = if text.starts_with("ZZZ") { "ZZZ" } else { "[2J" };
            assert!(ran.out.contains(says), "{arguments:?} {}", ran.out);
        }
        let ran = bywash_in(dir, &["review", &plan, "--with", "patch.json", "--json", "-"]);
        let hidden = ran.out.chars().find(|c| is_hidden(*c) && *c != '\n');
        assert_eq!(hidden, None);
        let review: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(
            review["subject"]["name"],
            Value::from(text.as_str()),
            "read back it is as it was"
        );
    }
}

#[test]
fn what_a_page_of_a_house_says_is_shown_and_does_nothing() {
    let folder = folder();
    let dir = folder.path();
    fs::create_dir(dir.join("house")).unwrap();
    let house = format!("{}/examples/house", env!("CARGO_MANIFEST_DIR"));
    for text in [hostile_in_plan().replace(['\n', '\t'], ""), long()] {
        for path in files_in(Path::new(&house), "md").unwrap() {
            let page = fs::read_to_string(&path).unwrap();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let told = page.lines().map(|line| match line {
                line if line.starts_with("# ") => format!("# {text}\n"),
                line if line.starts_with("  \"reason\"") => {
                    format!("  \"reason\": {},\n", ascii(&json!(text)))
                }
                line => format!("{line}\n"),
            });
            write(&dir.join("house"), &name, told.collect::<String>());
        }
        let plan = format!("{}/examples/courtyard-as-sent.jsonc", env!("CARGO_MANIFEST_DIR"));
        for arguments in [
            vec!["rules", "--house", "house"],
            vec!["rules", "--test", "house"],
            vec!["review", &plan, "--house", "house"],
        ] {
            clean(&arguments.join(" "), &bywash_in(dir, &arguments), 4);
        }
        for entry in fs::read_dir(dir.join("house")).unwrap() {
            let page = entry.unwrap().path();
            let id = page.file_stem().unwrap().to_str().unwrap();
            clean(id, &bywash_in(dir, &["rules", id, "--house", "house"]), 2);
        }
    }
}

#[test]
fn what_a_path_or_an_argument_says_is_shown_and_does_nothing() {
    let folder = folder();
    let dir = folder.path();
    let hostile = hostile().replace(['/', '\0'], "");
    let plan = fs::read_to_string(format!("{}/examples/minimal.jsonc", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let name: String = hostile.chars().take(60).collect();
    write(dir, &name, plan);
    write(dir, "plan.jsonc", "{ \"format\": \"bywash plan 1\" ");
    for arguments in [
        vec!["review", &name],
        vec!["figures", &name],
        vec!["review", &name, "--json", &name],
        vec!["review", &name, "--json", "missing/\u{1b}[31m\n"],
        vec!["review", &hostile],
        vec!["review", &name, "--set", &hostile],
        vec!["review", &name, "--set", "/basins/\u{1b}[2J\n=1 ft"],
        vec!["review", &name, "--date", &hostile],
        vec!["review", &name, "--units", &hostile],
        vec!["review", &name, "--paper", &hostile],
        vec!["review", &name, "--case", &hostile],
        vec!["review", &name, "--house", &hostile],
        vec!["review", "plan.jsonc", "--with", &hostile],
        vec!["rules", &hostile],
        vec!["rules", "--discipline", &hostile],
        vec!["rules", "--find", &hostile],
        vec!["drill", &name, "--pdf", "a", "--faults", &hostile],
        vec!["begin", &name],
        vec!["begin", "\u{1b}[2J\n.jsonc"],
        vec!["schema", &hostile],
        vec!["\u{1b}[2J\nRecommended action: no exceptions taken"],
        vec!["--\u{1b}[2J\nRecommended action: no exceptions taken"],
        vec!["review", "--\u{1b}[2J\nRecommended action: no exceptions taken=1"],
    ] {
        clean(&format!("{arguments:?}"), &bywash_in(dir, &arguments), 1);
    }
}
