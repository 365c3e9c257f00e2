//! The codes on finished pages, read from what the pages draw.

use bywash::{
    papers::{GradeOptions, Rod, SetUps, grade_sheet},
    report::{
        drawing::grade_drawings,
        pdf::{self, Paper},
    },
};
use lopdf::{Document, ObjectId, content::Content};

use super::{
    super::{
        code_reader::read_code,
        program::{bywash_in, folder},
    },
    field_papers::reviewed,
};

/// Fewest modules of a code: one of the smallest version has 21 a side, about half of them dark, in runs.
const FEWEST_RUNS: usize = 60;

/// A rectangle on a page: left, bottom, right and top.
type Area = [f64; 4];

/// What the code of a page says: the one path that is made of many rectangles, read as modules of the narrowest side.
fn code_of(document: &Document, page: ObjectId) -> String {
    let content = Content::decode(&document.get_page_content(page)).unwrap();
    let mut place = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let mut kept = Vec::new();
    let (mut path, mut corners): (Vec<Area>, Vec<[f64; 2]>) = (Vec::new(), Vec::new());
    let mut found = Vec::new();
    for operation in &content.operations {
        let numbers: Vec<f64> = operation
            .operands
            .iter()
            .filter_map(|operand| operand.as_float().ok().map(f64::from))
            .collect();
        let on_page = |place: &[f64; 6], x: f64, y: f64| {
            [
                place[0] * x + place[2] * y + place[4],
                place[1] * x + place[3] * y + place[5],
            ]
        };
        match (operation.operator.as_str(), numbers.as_slice()) {
            ("q", _) => kept.push(place),
            ("Q", _) => place = kept.pop().unwrap(),
            ("cm", &[a, b, c, d, e, f]) => {
                let [x, y] = on_page(&place, e, f);
                place = [
                    place[0] * a + place[2] * b,
                    place[1] * a + place[3] * b,
                    place[0] * c + place[2] * d,
                    place[1] * c + place[3] * d,
                    x,
                    y,
                ];
            }
            ("m", &[x, y]) => corners = vec![on_page(&place, x, y)],
            ("l", &[x, y]) => corners.push(on_page(&place, x, y)),
            ("re", &[x, y, w, h]) => {
                path.push(around(&[on_page(&place, x, y), on_page(&place, x + w, y + h)]));
            }
            ("h", _) => path.push(around(&corners)),
            ("f" | "f*" | "F", _) => {
                if path.len() >= FEWEST_RUNS {
                    found.push(std::mem::take(&mut path));
                }
                path.clear();
            }
            ("S" | "s" | "B" | "B*" | "b" | "b*" | "n", _) => path.clear(),
            _ => {}
        }
    }
    let said: Vec<String> = found.iter().filter_map(|runs| squared(runs)).collect();
    assert_eq!(said.len(), 1, "{said:?}");
    said[0].clone()
}

fn around(corners: &[[f64; 2]]) -> Area {
    let fold = |axis: usize, pick: fn(f64, f64) -> f64, from: f64| {
        corners.iter().map(|corner| corner[axis]).fold(from, pick)
    };
    [
        fold(0, f64::min, f64::INFINITY),
        fold(1, f64::min, f64::INFINITY),
        fold(0, f64::max, f64::NEG_INFINITY),
        fold(1, f64::max, f64::NEG_INFINITY),
    ]
}

/// What rectangles say that fill a square of modules; none for those of another shape.
fn squared(runs: &[Area]) -> Option<String> {
    let all = around(
        &runs
            .iter()
            .flat_map(|area| [[area[0], area[1]], [area[2], area[3]]])
            .collect::<Vec<_>>(),
    );
    let module = runs
        .iter()
        .map(|area| area[3] - area[1])
        .fold(f64::INFINITY, f64::min);
    let (wide, high) = (all[2] - all[0], all[3] - all[1]);
    if (wide - high).abs() > module / 2.0 || module <= 0.0 {
        return None;
    }
    let size = (wide / module).round() as usize;
    Some(read_code(size, |column, row| {
        let x = all[0] + (column as f64 + 0.5) * module;
        let y = all[3] - (row as f64 + 0.5) * module;
        runs.iter()
            .any(|area| area[0] < x && x < area[2] && area[1] < y && y < area[3])
    }))
}

/// Every page of the form for answers says which sheet of which plan it is.
#[test]
fn every_page_of_the_form_carries_its_code() {
    let folder = folder();
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/courtyard-as-sent.jsonc");
    for paper in ["letter", "a4"] {
        let ran = bywash_in(
            folder.path(),
            &["review", plan, "--form", "form.pdf", "--paper", paper, "--force"],
        );
        assert!(ran.status < 2, "{}", ran.err);
        let ran = bywash_in(folder.path(), &["runbook", plan, "--json", "r.json", "--force"]);
        assert_eq!(ran.status, 0, "{}", ran.err);
        let said = std::fs::read_to_string(folder.path().join("r.json")).unwrap();
        let said: serde_json::Value = serde_json::from_str(&said).unwrap();
        let fingerprint = said["plan"]["fingerprint"].as_str().unwrap();
        let document = Document::load(folder.path().join("form.pdf")).unwrap();
        let pages = document.get_pages();
        assert!(pages.len() > 2);
        for (number, page) in pages {
            assert_eq!(
                code_of(&document, page),
                format!("BYWASH/F{number}/{fingerprint}")
            );
        }
    }
}

/// Every page of a grade sheet says which sheet it belongs to, on the finished page as well.
#[test]
fn every_page_of_a_grade_sheet_carries_its_code() {
    reviewed(|context, review, library| {
        let set_ups = SetUps::new(Rod::FeetInches, 4.8768, 1.5, &[]);
        let options = GradeOptions { set_ups, mark: 0.0 };
        let paper = grade_sheet(context, &review.subject, library, &options).paper;
        let drawn = grade_drawings(context, review, &options.set_ups);
        let bytes = pdf::field_paper(&paper, &drawn, Paper::Letter).unwrap();
        let document = Document::load_mem(&bytes).unwrap();
        let mut said: Vec<String> = document
            .get_pages()
            .into_values()
            .map(|page| code_of(&document, page))
            .collect();
        said.dedup();
        let codes: Vec<&str> = paper.sheets.iter().map(|sheet| sheet.code.as_str()).collect();
        assert_eq!(said, codes);
    });
}
