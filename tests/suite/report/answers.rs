//! The form for answers, filled in as a designer would, read back, and the story of a project from revision to revision.

use std::{collections::BTreeMap, path::Path};

use bywash::read::PdfFile;
use lopdf::{Dictionary, Document, Object, text_string};
use pdf_reader::{file::FileOptions, object::FieldDictionary, primitive::Primitive};
use serde_json::Value;

use super::super::program::{bywash_in, folder, write};

const AS_SENT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/courtyard-as-sent.jsonc");

/// What the designer of revision B writes into the fields, by number and place; the replies come beside them.
const ANSWERS: &[(&str, &str, &str)] = &[
    ("1", "/water/make_up/backflow", "reduced-pressure device"),
    ("2", "/electrical/circuits/pump/ground_fault", "yes"),
    ("3", "/basins/pond/stated_volume", "4500 gal"),
    ("5", "/basins/bed/rim", "+17 in"),
    ("5.2", "/basins/bed/lining/edges/behind_stone", "+17 in"),
    ("6", "/basins/bed/lining/underlay/mass", "12 oz/yd2"),
    ("6", "/basins/bed/lining/underlay/full_cover", "yes"),
    (
        "6",
        "/basins/bed/lining/underlay/material",
        "needle-punched polyester",
    ),
    ("7", "/basins/bed/layers/finishing/washed", "yes"),
    ("8", "/pumps/main/stated_flow", "2700 gph"),
    ("8", "/lines/feed/runs/riser/pipe/size", "2 in"),
    ("8.1", "/lines/feed/runs/riser/pipe/size", "2 in"),
    ("8.2", "/lines/feed/runs/riser/stated_flow", "2700 gph"),
    ("9", "/lines/feed/air_inlet/level", "+7 in"),
    ("9", "/lines/feed/air_inlet/bore", "1/2 in"),
    ("9", "/lines/feed/air_inlet/reachable", "yes"),
    ("10", "/basins/pond/rim", "-6 in"),
    ("11", "/basins/bed/layers/large/shape", "round"),
    ("12", "/basins/bed/open_surface", "46 ft2"),
    ("Q1", "/site/groundwater", "none"),
    ("Q2", "/basins/bed/clean_out_well/bore", "10 in"),
    ("Q2", "/basins/bed/clean_out_well/floor", "-24 in"),
    ("Q2", "/basins/bed/clean_out_well/lid", "bolted composite lid"),
    ("Q2", "/basins/bed/clean_out_well/lid_secured", "yes"),
    (
        "Q3",
        "/site/barrier/kind",
        "courtyard wall with self-closing gate",
    ),
    ("Q3", "/site/barrier/height", "6 ft"),
    ("Q3", "/site/barrier/openings", "3 in"),
    ("Q3", "/site/barrier/gate", "self-closing and self-latching"),
    ("Q4", "/site/overhead_services_located", "yes"),
    ("Q5", "/benchmark/protected", "steel plate bolted over the pin"),
    ("Q6", "/site/planned_use", "private"),
    ("Q7", "/upkeep/winter", "the pump runs all winter from mid-depth"),
    ("Q8", "/basins/bed/flush/provision", "trash pump in the well"),
    ("Q8", "/basins/bed/flush/flow", "60 gpm"),
    (
        "Q8",
        "/filling/leak_test",
        "each basin stands full for 24 h against a mark",
    ),
    ("Q8", "/walls/pond-side/path_above", "no"),
];

/// The name of a field as the form writes it.
fn value_field(number: &str, place: &str) -> String {
    format!("value {} {place}", number.replace('.', "%2E"))
}

/// The fields of a form as the designer fills them in: replies to all findings, and the answers.
fn filled_in(fields: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let mut filled = BTreeMap::new();
    for name in fields.keys() {
        if name.starts_with("reply ") {
            filled.insert(name.clone(), "corrected".to_owned());
        }
    }
    filled.insert("revision".to_owned(), "B".to_owned());
    filled.insert("date".to_owned(), "2026-04-30".to_owned());
    filled.insert("by".to_owned(), "T. Okafor-Lind".to_owned());
    for (number, place, value) in ANSWERS {
        let name = value_field(number, place);
        assert!(
            fields.contains_key(&name),
            "the form has no field `{name}`: {:?}",
            fields.keys()
        );
        filled.insert(name, (*value).to_owned());
    }
    filled
}

/// Fills in fields as a viewer does: the value of a text or a choice, the state of a button.
fn fill(pdf: &[u8], values: &BTreeMap<String, String>) -> Vec<u8> {
    let mut document = Document::load_mem(pdf).unwrap();
    let form = document
        .catalog()
        .unwrap()
        .get(b"AcroForm")
        .unwrap()
        .as_reference()
        .unwrap();
    let fields = document.get_dictionary(form).unwrap().get(b"Fields").unwrap();
    let fields: Vec<_> = fields
        .as_array()
        .unwrap()
        .iter()
        .map(|field| field.as_reference().unwrap())
        .collect();
    for id in fields {
        let field = document.get_dictionary(id).unwrap().clone();
        let name = lopdf::decode_text_string(field.get(b"T").unwrap()).unwrap();
        let Some(value) = values.get(&name) else { continue };
        let kind = field.get(b"FT").unwrap().as_name().unwrap();
        if kind == b"Btn" {
            let set = |document: &mut Document, id, key: &str, state: &str| {
                let widget: &mut Dictionary = document.get_dictionary_mut(id).unwrap();
                widget.set(key, Object::Name(state.as_bytes().to_vec()));
            };
            set(&mut document, id, "V", value);
            for kid in field.get(b"Kids").unwrap().as_array().unwrap() {
                let kid = kid.as_reference().unwrap();
                let states = document
                    .get_dictionary(kid)
                    .unwrap()
                    .get(b"AP")
                    .unwrap()
                    .as_dict()
                    .unwrap();
                let states = states.get(b"N").unwrap().as_dict().unwrap();
                let state = if states.has(value.as_bytes()) {
                    value
                } else {
                    "Off"
                };
                set(&mut document, kid, "AS", state);
            }
        } else {
            document
                .get_dictionary_mut(id)
                .unwrap()
                .set("V", text_string(value));
        }
    }
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

/// The fields of a form as another library reads them: name and value.
fn read_by_another(bytes: Vec<u8>) -> BTreeMap<String, String> {
    let file = FileOptions::uncached().load(bytes).unwrap();
    let form = file.get_root().forms.as_ref().unwrap();
    let resolver = file.resolver();
    let text = |value: &Primitive| match value.clone().resolve(&resolver).unwrap() {
        Primitive::String(text) => text.to_string().unwrap(),
        Primitive::Name(name) => name.to_string(),
        _ => String::new(),
    };
    let mut fields = BTreeMap::new();
    for field in &form.fields {
        let field: &FieldDictionary = field;
        fields.insert(
            field.name.as_ref().unwrap().to_string().unwrap(),
            text(&field.value),
        );
    }
    fields
}

fn run(folder: &Path, arguments: &[&str], status: i32) -> String {
    let ran = bywash_in(folder, arguments);
    assert_eq!(ran.status, status, "{arguments:?}: {}{}", ran.out, ran.err);
    ran.out
}

fn read(folder: &Path, file: &str) -> Vec<u8> {
    std::fs::read(folder.join(file)).unwrap()
}

/// Revision A goes out as a PDF with a form; the form comes back; its answers make revision B; the back-check closes every
/// point by its number. Nobody edits any JSON.
#[test]
fn the_form_of_revision_a_makes_revision_b_whose_back_check_closes_every_number() {
    let folder = folder();
    let at = folder.path();
    run(
        at,
        &[
            "review",
            AS_SENT,
            "--pdf",
            "a.pdf",
            "--form",
            "a-form.pdf",
            "--json",
            "a.json",
        ],
        1,
    );
    let empty = PdfFile::open(&read(at, "a-form.pdf")).unwrap().fields().unwrap();
    assert_eq!(empty, read_by_another(read(at, "a-form.pdf")));
    let filled = filled_in(&empty);
    write(at, "filled.pdf", fill(&read(at, "a-form.pdf"), &filled));
    // Both libraries read what was written.
    let seen = read_by_another(read(at, "filled.pdf"));
    for (name, value) in &filled {
        assert_eq!(seen.get(name), Some(value), "{name}");
    }
    run(
        at,
        &["answers", "filled.pdf", "--onto", AS_SENT, "--patch", "b.json"],
        0,
    );
    let told = run(
        at,
        &[
            "review",
            AS_SENT,
            "--with",
            "b.json",
            "--previous",
            "a.pdf",
            "--pdf",
            "b.pdf",
            "--json",
            "b-review.json",
            "--form",
            "b-form.pdf",
        ],
        0,
    );
    let review: Value = serde_json::from_slice(&read(at, "b-review.json")).unwrap();
    let before: Value = serde_json::from_slice(&read(at, "a.json")).unwrap();
    let entries = review["backcheck"]["entries"].as_array().unwrap();
    let raised = before["findings"].as_array().unwrap().iter();
    for raised in raised.chain(before["questions"].as_array().unwrap()) {
        let entry = entries
            .iter()
            .find(|entry| entry["number"] == raised["number"])
            .unwrap();
        assert_eq!(entry["status"], "closed", "{entry}\n{told}");
        assert_eq!(entry["closed"], "B");
    }
    assert_eq!(review["subject"]["revision"], "B");
    let rim = entries.iter().find(|entry| entry["number"] == "5").unwrap();
    assert_eq!(rim["answer"], "corrected (T. Okafor-Lind, 2026-04-30)");
    assert!(told.contains("Against revision A: 28 closed."), "{told}");
    assert!(told.contains("Recommended action: no exceptions taken"), "{told}");
    // The PDF of a revision carries the whole story on.
    let again = run(at, &["backcheck", "a.pdf", "b.pdf"], 0);
    assert!(
        again.starts_with("── Back-check of revision B against revision A"),
        "{again}"
    );
    assert!(
        again.contains("bed / rim level +12 in → +17 in; level moved up 5 in, over the"),
        "{again}"
    );
}

#[test]
fn the_text_form_is_read_as_the_pdf_is() {
    let folder = folder();
    let at = folder.path();
    run(at, &["review", AS_SENT, "--form", "form.txt"], 1);
    let text = String::from_utf8(read(at, "form.txt")).unwrap();
    let mut answered = String::new();
    for line in text.lines() {
        // As a mail program quotes it.
        let value = ANSWERS
            .iter()
            .find(|(number, place, _)| line.starts_with(&format!("{} (", value_field(number, place))))
            .map(|(_, _, value)| *value);
        let line = match value {
            Some(value) => format!("{}{value}", &line[..line.rfind("): ").unwrap() + 3]),
            None if line.starts_with("reply ") => format!("{line}corrected"),
            None => line.to_owned(),
        };
        answered.push_str(&format!("> {line}\n"));
    }
    write(at, "mail.txt", answered);
    run(
        at,
        &["answers", "mail.txt", "--onto", AS_SENT, "--patch", "b.json"],
        0,
    );
    let patch: Value = serde_json::from_slice(&read(at, "b.json")).unwrap();
    assert_eq!(patch["basins"]["bed"]["rim"], "+17 in");
    assert_eq!(patch["electrical"]["circuits"]["pump"]["ground_fault"], true);
    let out = run(
        at,
        &["review", AS_SENT, "--with", "b.json", "--previous", AS_SENT],
        0,
    );
    assert!(out.contains("Against revision A: 28 closed."), "{out}");
}

#[test]
fn what_a_form_says_that_cant_be_read_is_told_and_left_out() {
    let folder = folder();
    let at = folder.path();
    run(at, &["review", AS_SENT, "--form", "form.pdf"], 1);
    let mut values = BTreeMap::new();
    for (name, value) in [
        ("reply 5", "corrected"),
        ("value 5 /basins/bed/rim", "seventeen"),
        ("value Q1 /site/groundwater", "deep"),
        ("value Q2 /basins/bed/clean_out_well", "none"),
        ("value Q2 /basins/bed/clean_out_well/bore", "10 in"),
        ("value Q4 /site/overhead_services_located", "perhaps"),
        ("reason 3", "see the new drawing"),
        ("reply 10", "agree"),
        ("value 10 /basins/pond/rim", "-6 in"),
        ("reply 10%2E1", "corrected"),
        ("value 10%2E1 /basins/pond/rim", "-5 in"),
        ("date", "next week"),
    ] {
        values.insert(name.to_owned(), value.to_owned());
    }
    write(at, "filled.pdf", fill(&read(at, "form.pdf"), &values));
    let out = run(
        at,
        &["answers", "filled.pdf", "--onto", AS_SENT, "--patch", "b.json"],
        1,
    );
    let told = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "5, bed / rim level:",
        "Q1, site / highest groundwater level:",
        "Q2, bed / clean-out well: none at all, and values of it below",
        "`perhaps` is neither yes nor no",
        "3: a reason without a reply",
        "`next week` is no date",
        "10.1, pond / rim level: `-5 in`, and under 10 `-6 in`",
        "not answered: 1,",
    ] {
        assert!(told.contains(said), "{said}: {told}");
    }
    let patch: Value = serde_json::from_slice(&read(at, "b.json")).unwrap();
    assert_eq!(patch["basins"]["bed"].get("rim"), None);
    assert_eq!(patch["site"], Value::Null);
}

#[test]
fn a_form_of_another_plan_and_what_is_no_form_are_refused() {
    let folder = folder();
    let at = folder.path();
    run(
        at,
        &["review", AS_SENT, "--form", "form.pdf", "--pdf", "review.pdf"],
        1,
    );
    write(
        at,
        "garbage.pdf",
        b"%PDF-1.7\n%\xFF\xFE\n1 0 obj << /Type /Catalog >>",
    );
    write(at, "mail.txt", "Dear reviewer, all is well.");
    let other = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/courtyard-retrofit.jsonc");
    for (form, plan, set, told) in [
        ("form.pdf", other, None, "a form of another plan or revision"),
        (
            "form.pdf",
            AS_SENT,
            Some("/project/revision=B"),
            "a form of another plan or revision",
        ),
        (
            "review.pdf",
            AS_SENT,
            None,
            "is no form of answers: it has no fields",
        ),
        ("garbage.pdf", AS_SENT, None, "is no form of answers"),
        ("mail.txt", AS_SENT, None, "does not begin as one does"),
        ("none.pdf", AS_SENT, None, "there is no file"),
    ] {
        let mut arguments = vec!["answers", form, "--onto", plan, "--patch", "b.json"];
        arguments.extend(set.into_iter().flat_map(|set| ["--set", set]));
        let ran = bywash_in(at, &arguments);
        let err = ran
            .err
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .replace("│ ", "");
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{form}");
        assert!(err.contains(told), "{form}: {err}");
        assert!(!at.join("b.json").exists());
    }
}

/// Damaged bytes anywhere: the form is read, or refused with a word; nothing else.
#[test]
fn a_damaged_form_ends_in_words() {
    let folder = folder();
    let at = folder.path();
    run(at, &["review", AS_SENT, "--form", "form.pdf"], 1);
    let whole = read(at, "form.pdf");
    let mut state: u64 = 0x9E37_79B9_7F4A_7C15;
    for _ in 0..60 {
        let mut bytes = whole.clone();
        for _ in 0..8 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let place = usize::try_from(state >> 33).unwrap() % bytes.len();
            bytes[place] = (state >> 24) as u8;
        }
        bytes.truncate(bytes.len() - usize::try_from(state >> 40).unwrap() % (bytes.len() / 4));
        if let Ok(pdf) = PdfFile::open(&bytes) {
            let _fields = pdf.fields();
            let _attached = pdf.attached("review.json");
        }
    }
}
