//! Photographs and sheets of a plan in the PDF of its review.

use std::{fs, path::Path};

use lopdf::{Document, Object};
use serde_json::Value;

use super::{
    super::program::{bywash_in, folder, write},
    closed_up, text_of,
};

/// A picture of one pixel, as the standard of PNG lays it out (ISO/IEC 15948): signature, IHDR, IDAT, IEND.
const PIXEL: &[u8] = &[
    0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A, 0, 0, 0, 0x0D, 0x49, 0x48, 0x44, 0x52, 0, 0, 0, 1, 0, 0,
    0, 1, 8, 2, 0, 0, 0, 0x90, 0x77, 0x53, 0xDE, 0, 0, 0, 0x0C, 0x49, 0x44, 0x41, 0x54, 0x08, 0xD7, 0x63,
    0xF8, 0xCF, 0xC0, 0, 0, 3, 1, 1, 0, 0x18, 0xDD, 0x8D, 0xB0, 0, 0, 0, 0, 0x49, 0x45, 0x4E, 0x44, 0xAE,
    0x42, 0x60, 0x82,
];
const PLAN: &str = r#"{
  "format": "bywash plan 1",
  "project": { "name": "Pond", "date": "2026-03-02" },
  "basins": {
    "pond": { "name": "koi pond", "kind": "pond", "still": "-2 in", "rim": "0 in", "floor": "-4 ft" }
  },
  "attachments": {
    "rim": { "file": "photos/rim.png", "caption": "The rim from the step", "shows": "/basins/pond" },
    "sheet": { "file": "sheet.pdf", "caption": "Sheet L-3" },
    "lost": { "file": "gone.jpg", "caption": "The old wall" }
  }
}
"#;

fn prepared() -> tempfile::TempDir {
    let folder = folder();
    let at = folder.path();
    fs::create_dir(at.join("photos")).unwrap();
    write(&at.join("photos"), "rim.png", PIXEL);
    write(at, "sheet.pdf", b"%PDF-1.7\n");
    write(at, "plan.jsonc", PLAN);
    folder
}

fn names(at: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(at)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_photograph_is_shown_with_caption_and_fingerprint_and_a_missing_one_is_told() {
    let folder = prepared();
    let at = folder.path();
    let ran = bywash_in(at, &["review", "plan.jsonc", "--pdf", "review.pdf"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(ran.err.contains("no file `gone.jpg`"), "{}", ran.err);
    let pdf = Document::load(at.join("review.pdf")).unwrap();
    let text = closed_up(&text_of(&pdf)).replace('\u{200B}', "");
    for said in [
        "The rim from the step",
        "photos/rim.png",
        "Sheet L-3",
        "a sheet of its own, not shown here",
        "the file is not there",
    ] {
        assert!(text.contains(&closed_up(said)), "{said}: {text}");
    }
    // The picture itself stands in the file, under words for who can't see it.
    let pictures = pdf.objects.values().filter(|object| match object {
        Object::Stream(stream) => stream
            .dict
            .get(b"Subtype")
            .is_ok_and(|kind| kind.as_name().is_ok_and(|name| name == b"Image")),
        _ => false,
    });
    assert!(pictures.count() >= 1);
    let described = pdf.objects.values().any(|object| {
        object
            .as_dict()
            .ok()
            .and_then(|dict| dict.get(b"Alt").ok())
            .and_then(|alt| lopdf::decode_text_string(alt).ok())
            .is_some_and(|alt| alt.contains("The rim from the step"))
    });
    assert!(described);
    let again = bywash_in(at, &["review", "plan.jsonc", "--pdf", "again.pdf"]);
    assert_eq!(again.status, 1);
    assert_eq!(
        fs::read(at.join("review.pdf")).unwrap(),
        fs::read(at.join("again.pdf")).unwrap()
    );
}

#[test]
fn what_is_no_picture_or_too_large_or_elsewhere_is_told_at_its_place_and_nothing_is_lost() {
    let folder = prepared();
    let at = folder.path();
    write(at, "text.jpg", "no picture");
    write(at, "cut.png", &PIXEL[..40]);
    // A hundred megabytes that take no room on the disk.
    fs::File::create(at.join("large.jpg"))
        .unwrap()
        .set_len(100_000_000)
        .unwrap();
    write(at, "review.pdf", "earlier");
    let before = names(at);
    for (file, why) in [
        ("text.jpg", "can’t be shown"),
        ("cut.png", "can’t be shown"),
        ("large.jpg", "it has 100 MB"),
        ("photos", "is a folder"),
        ("../rim.png", "does not lie beside the plan"),
        ("/etc/hostname", "does not lie beside the plan"),
    ] {
        write(at, "plan.jsonc", PLAN.replace("photos/rim.png", file));
        let ran = bywash_in(
            at,
            &["review", "plan.jsonc", "--pdf", "review.pdf", "--json", "-"],
        );
        assert_eq!(ran.status, 2, "{file}: {}", ran.err);
        let err = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            err.contains(why) && err.contains("plan.jsonc:8:"),
            "{file}: {}",
            ran.err
        );
        let told: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(told["problems"][0]["code"], "attachment", "{file}");
        assert_eq!(fs::read(at.join("review.pdf")).unwrap(), b"earlier");
        assert_eq!(names(at), before);
    }
    // A photograph is not written over either.
    write(at, "plan.jsonc", PLAN);
    let ran = bywash_in(
        at,
        &["review", "plan.jsonc", "--pdf", "photos/rim.png", "--force"],
    );
    assert!(
        ran.status == 2 && ran.err.contains("would write over"),
        "{}",
        ran.err
    );
    assert_eq!(fs::read(at.join("photos/rim.png")).unwrap(), PIXEL);
    write(
        at,
        "plan.jsonc",
        PLAN.replace("\"/basins/pond\"", "\"/basins/pnod\""),
    );
    let ran = bywash_in(at, &["review", "plan.jsonc"]);
    assert!(
        ran.status == 2 && ran.err.contains("no place `/basins/pnod`"),
        "{}",
        ran.err
    );
}
