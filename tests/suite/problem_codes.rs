//! Codes of problems: permanent, described by their schema, and given to the kind of problem they are of.

use bywash::{engine::SCHEMAS, read::ProblemKind};
use serde_json::Value;

use super::program::{bywash_in, folder, write};

/// Every code that was ever given out; none is taken off, and a new one is added at the end of its kind.
const KNOWN: &str = include_str!("problem-codes.txt");
const POND: &str = r#""pond": { "kind": "pond", "still": "-12 in", "rim": "-6 in", "floor": "-4 ft" }"#;

fn plan_of(basins: &str, rest: &str) -> String {
    format!("{{\n  \"format\": \"bywash plan 1\",\n  \"basins\": {{ {basins} }}{rest}\n}}\n")
}

#[test]
fn codes_are_permanent_and_the_schema_lists_them() {
    let codes: Vec<&str> = ProblemKind::ALL.iter().map(|kind| kind.code()).collect();
    assert_eq!(codes, KNOWN.lines().collect::<Vec<_>>());
    let (_, text) = SCHEMAS.into_iter().find(|(name, _)| *name == "problems").unwrap();
    let schema: Value = serde_json::from_str(text).unwrap();
    let listed = &schema["$defs"]["problem"]["properties"]["code"]["enum"];
    assert_eq!(*listed, Value::from(codes));
}

#[test]
fn each_kind_of_input_problem_is_printed_as_json_under_its_code() {
    let (_, text) = SCHEMAS.into_iter().find(|(name, _)| *name == "problems").unwrap();
    let schema = jsonschema::draft202012::new(&serde_json::from_str(text).unwrap()).unwrap();
    let fall = |crest: &str, to: &str| {
        format!(
            ",\n \"falls\": {{ \"lip\": {{ \"from\": \"bed\", \"to\": \"{to}\", \"crest\": \"{crest}\" }} }}"
        )
    };
    let bed = format!("{POND}, \"bed\": {{ \"kind\": \"bed\", \"still\": \"+6 in\" }}");
    let pump =
        |curve: &str| format!(",\n \"pumps\": {{ \"main\": {{ \"basin\": \"pond\", \"curve\": {curve} }} }}");
    let cases: Vec<(&str, String)> = vec![
        ("syntax", plan_of(POND, ", \"x-note\" 3")),
        ("bracket", plan_of(POND, ", \"x-note\": [1}")),
        ("not-closed", plan_of(POND, ", \"x-note\": \"open")),
        ("character", plan_of(POND, ", \"x-note\": \"\u{7}\"")),
        ("not-an-object", "[1]".to_owned()),
        ("too-much", format!("{}{}", "[".repeat(400), "]".repeat(400))),
        (
            "key-given-twice",
            plan_of(&POND.replace("\"rim\"", "\"still\""), ""),
        ),
        ("unknown-key", plan_of(&POND.replace("rim", "rym"), "")),
        ("missing-key", plan_of("\"pond\": {}", "")),
        ("wrong-type", plan_of(&POND.replace("\"-6 in\"", "true"), "")),
        ("unit-missing", plan_of(&POND.replace("\"-6 in\"", "-6"), "")),
        ("wrong-quantity", plan_of(&POND.replace("-6 in", "-6 inn"), "")),
        (
            "wrong-value",
            plan_of(&POND.replace("\"kind\": \"pond\"", "\"kind\": \"lake\""), ""),
        ),
        ("out-of-range", plan_of(&POND.replace("-4 ft", "-4000 ft"), "")),
        ("unknown-name", plan_of(&bed, &fall("+6 in", "pnod"))),
        (
            "pump-curve",
            plan_of(POND, &pump("[[\"0 gph\", \"4 ft\"], [\"2000 gph\", \"9 ft\"]]")),
        ),
        ("circle", plan_of(&bed, &fall("+6 in", "bed"))),
        ("uphill", plan_of(&bed, &fall("-13 in", "pond"))),
    ];
    for (code, plan) in cases {
        let folder = folder();
        write(folder.path(), "plan.jsonc", &plan);
        let ran = bywash_in(folder.path(), &["review", "plan.jsonc", "--format", "json"]);
        assert_eq!(ran.status, 2, "{code}: {}", ran.err);
        let told: Value = serde_json::from_str(&ran.out).unwrap();
        assert!(schema.is_valid(&told), "{code}: {}", ran.out);
        let codes: Vec<&str> = told["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["code"].as_str().unwrap())
            .collect();
        assert!(codes.contains(&code), "{code}: {codes:?}\n{plan}");
        let at = &told["problems"][0]["at"];
        assert_eq!(at["file"], "plan.jsonc", "{code}");
        assert!(
            at["line"].as_u64().is_some() && ran.err.contains("plan.jsonc:"),
            "{code}"
        );
    }
}

#[test]
fn a_file_or_an_assignment_that_cant_be_read_has_a_code_too() {
    let folder = folder();
    write(folder.path(), "latin.jsonc", b"{ \"format\": \"\xE9\" }");
    write(folder.path(), "plan.jsonc", plan_of(POND, ""));
    for (arguments, code) in [
        (&["review", "none.jsonc", "--json", "-"][..], "file"),
        (&["review", "latin.jsonc", "--json", "-"], "encoding"),
        (
            &["review", "plan.jsonc", "--set", "no equals", "--json", "-"],
            "assignment",
        ),
        (
            &["backcheck", "none.jsonc", "plan.jsonc", "--format", "json"],
            "file",
        ),
        (
            &[
                "review",
                "plan.jsonc",
                "none.jsonc",
                "--format",
                "text",
                "--json",
                ".",
            ],
            "",
        ),
    ] {
        let ran = bywash_in(folder.path(), arguments);
        assert_eq!(ran.status, 2, "{arguments:?}: {}", ran.err);
        if code.is_empty() {
            // Where JSON goes to files, none is written and nothing is printed.
            assert_eq!(ran.out, "");
            continue;
        }
        let told: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(told["problems"][0]["code"], code, "{arguments:?}");
    }
}

#[test]
fn a_problem_of_a_table_is_printed_with_its_row_and_column() {
    let (_, text) = SCHEMAS.into_iter().find(|(name, _)| *name == "problems").unwrap();
    let schema = jsonschema::draft202012::new(&serde_json::from_str(text).unwrap()).unwrap();
    let folder = folder();
    let at = folder.path();
    write(at, "plan.jsonc", plan_of(POND, ""));
    let loads = |row: &str| format!("load,smallest,largest,shape,washed,price,tons\n{row}\n");
    let cases: [(&str, &str, String, &str, Option<&str>); 11] = [
        ("no-table", "yard.xlsx", "no workbook".to_owned(), "--yard", None),
        (
            "missing-column",
            "p.csv",
            "what,price\nsand,3\n".to_owned(),
            "--prices",
            None,
        ),
        (
            "missing-cell",
            "p.csv",
            "item,price\n,3\n".to_owned(),
            "--prices",
            Some("item"),
        ),
        (
            "wrong-value",
            "p.csv",
            "item,price\nsand,cheap\n".to_owned(),
            "--prices",
            Some("price"),
        ),
        (
            "row-given-twice",
            "p.csv",
            "item,price\nsand,3\nsand,4\n".to_owned(),
            "--prices",
            Some("item"),
        ),
        (
            "not-accepted",
            "p.csv",
            "item,price,currency\nsand,3,USD\nstone,4,EUR\n".to_owned(),
            "--prices",
            Some("currency"),
        ),
        (
            "unit-missing",
            "y.csv",
            loads("a,2,3 in,round,yes,9,9"),
            "--yard",
            Some("smallest"),
        ),
        (
            "wrong-quantity",
            "y.csv",
            loads("a,2 gal,3 in,round,yes,9,9"),
            "--yard",
            Some("smallest"),
        ),
        (
            "out-of-range",
            "y.csv",
            loads("a,0 in,3 in,round,yes,9,9"),
            "--yard",
            Some("smallest"),
        ),
        (
            "not-accepted",
            "y.csv",
            loads("a,4 in,3 in,round,yes,9,9"),
            "--yard",
            Some("largest"),
        ),
        (
            "unknown-name",
            "s.csv",
            "id,shot\nnone,3 ft\n".to_owned(),
            "",
            Some("id"),
        ),
    ];
    for (code, file, text, argument, column) in cases {
        write(at, file, &text);
        let arguments = if argument.is_empty() {
            vec!["as-built", "plan.jsonc", file, "--hi", "4 ft", "--json", "-"]
        } else {
            vec!["takeoff", "plan.jsonc", argument, file, "--json", "-"]
        };
        let ran = bywash_in(at, &arguments);
        assert_eq!(ran.status, 2, "{code}: {}", ran.err);
        let told: Value = serde_json::from_str(&ran.out).unwrap();
        assert!(schema.is_valid(&told), "{code}: {}", ran.out);
        let problem = &told["problems"][0];
        assert_eq!(problem["code"], code, "{}", ran.out);
        assert_eq!(problem["cell"]["file"], file);
        assert_eq!(problem["cell"]["column"].as_str(), column, "{code}");
        assert!(
            column.is_none() || problem["cell"]["row"].as_u64() >= Some(2),
            "{code}"
        );
        assert!(ran.err.contains(&format!("error: {file}")), "{}", ran.err);
    }
}
