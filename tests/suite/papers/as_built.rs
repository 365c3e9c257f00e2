//! Shots brought back.

use std::{collections::HashMap, fs, path::Path};

use super::{super::program::folder, example, json, refused, run, table, text};

const INCH: f64 = 1.0 / 12.0;

/// The courtyard's grade sheet with every mark shot as drawn, but for some that are so many feet too low or high; `change`
/// turns the shot's text once more.
fn shots(folder: &Path, off: &HashMap<&str, f64>, change: impl Fn(&str, String) -> String) {
    shots_of(
        folder,
        ("courtyard-retrofit", "4.52 ft", "tenths", "ft"),
        off,
        change,
    );
}

/// The same of any example, by its first backsight, rod and the unit that it is read in.
fn shots_of(
    folder: &Path,
    (name, backsight, rod, unit): (&str, &str, &str, &str),
    off: &HashMap<&str, f64>,
    change: impl Fn(&str, String) -> String,
) {
    example(folder, name);
    let ran = run(
        folder,
        &[
            "grades",
            "plan.jsonc",
            "--backsight",
            backsight,
            "--rod",
            rod,
            "--csv",
            "shots.csv",
        ],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let mut reader = csv::Reader::from_path(folder.join("shots.csv")).unwrap();
    let headings = reader.headers().unwrap().clone();
    let at = |name: &str| headings.iter().position(|heading| heading == name).unwrap();
    let (id, reading, shot) = (
        at("id"),
        at(&format!("reading ({unit})")),
        at(&format!("shot ({unit})")),
    );
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let mut writer = csv::Writer::from_path(folder.join("shots.csv")).unwrap();
    writer.write_record(&headings).unwrap();
    for record in records {
        let mut cells: Vec<String> = record.iter().map(str::to_owned).collect();
        let read: f64 = cells[reading].parse().unwrap();
        let off = off.get(cells[id].as_str()).copied().unwrap_or(0.0);
        cells[shot] = change(&cells[id], format!("{:.4}", read - off));
        writer.write_record(&cells).unwrap();
    }
    writer.flush().unwrap();
}

fn as_they_are(_: &str, shot: String) -> String {
    shot
}

fn checked(folder: &Path, more: &[&str]) -> (i32, serde_json::Value) {
    let all = [
        &[
            "as-built",
            "plan.jsonc",
            "shots.csv",
            "--json",
            "a.json",
            "--patch",
            "built.json",
        ][..],
        more,
    ]
    .concat();
    let ran = run(folder, &all);
    assert!(ran.status < 2, "{}", ran.err);
    (ran.status, json(&folder.join("a.json")))
}

/// Three errors are planted and come back, each with what it does; nothing else does.
#[test]
fn three_planted_errors_come_back_with_their_consequence() {
    let folder = folder();
    let planted = HashMap::from([
        // The plan sets the crest to 1/8 in.
        ("falls/spillway/crest/left", -0.375 * INCH),
        // The overflow 2 in low runs at still water.
        ("basins/pond/overflow/level", -2.0 * INCH),
        // The float below the water that covers the intake, which it stands at.
        ("pumps/main/low_level_cut_off", -INCH),
    ]);
    shots(folder.path(), &planted, as_they_are);
    let (status, paper) = checked(folder.path(), &[]);
    assert_eq!(status, 1);
    let over = table(&paper, "over-tolerance");
    let mut ids: Vec<String> = over.iter().map(|row| text(&row["id"])).collect();
    ids.sort();
    let mut expected: Vec<&str> = planted.keys().copied().collect();
    expected.sort_unstable();
    assert_eq!(ids, expected);
    let row = |id: &str| over.iter().find(|row| text(&row["id"]) == id).unwrap();
    assert_eq!(text(&row("falls/spillway/crest/left")["off by"]), "3/8 in low");
    assert_eq!(text(&row("basins/pond/overflow/level")["off by"]), "2 in low");
    assert!(text(&row("falls/spillway/crest/left")["what it does"]).contains("freeboard while running"));
    assert!(text(&row("basins/pond/overflow/level")["what it does"]).contains("overflow"));
    assert!(text(&row("pumps/main/low_level_cut_off")["what it does"]).contains("cut-off"));
    for row in &over {
        assert!(text(&row["before water goes in"]).starts_with("Raise it by "));
    }
    assert!(table(&paper, "shoot-again").is_empty());
}

/// The same on every other sound example: exactly what was planted comes back.
#[test]
fn three_planted_errors_come_back_on_other_plans_too() {
    let plans = [
        (
            ("two-ponds", "5.31 ft", "tenths", "ft"),
            [
                ("basins/lower/skimmer/level", 1.75 * INCH, "skimmer lip"),
                (
                    "falls/east-lip/crest/left",
                    -0.5 * INCH,
                    "freeboard while running",
                ),
                ("pumps/stream/low_level_cut_off", -INCH, "low-level cut-off"),
            ],
        ),
        (
            ("ledge-run", "4.52 ft", "tenths", "ft"),
            [
                ("basins/reservoir/overflow/level", -1.5 * INCH, "overflow"),
                ("falls/lip/crest/right", 0.375 * INCH, "freeboard while running"),
                ("pumps/lift/low_level_cut_off", -INCH, "low-level cut-off"),
            ],
        ),
        (
            ("mill-yard-metric", "1.613 m", "metric", "m"),
            [
                ("basins/bed/clean_out_well/floor", 0.056, "bottom of the well"),
                ("falls/lip/crest/right", 0.010, "freeboard while running"),
                ("basins/bed/still", 0.020, "still level"),
            ],
        ),
    ];
    for (plan, planted) in plans {
        let folder = folder();
        let off = planted.iter().map(|(id, by, _)| (*id, *by)).collect();
        shots_of(folder.path(), plan, &off, as_they_are);
        let (status, paper) = checked(folder.path(), &[]);
        assert_eq!(status, 1);
        assert!(table(&paper, "shoot-again").is_empty());
        let over = table(&paper, "over-tolerance");
        assert_eq!(over.len(), planted.len(), "{over:?}");
        for (id, _, does) in planted {
            let row = over.iter().find(|row| text(&row["id"]) == id);
            let row = row.unwrap_or_else(|| panic!("{id}: {over:?}"));
            assert!(text(&row["what it does"]).contains(does), "{row:?}");
            // What it may be off by is what the plan or a rule allows, whichever is less.
            if id.contains("/crest/") {
                let own = if plan.3 == "ft" { "1/8 in" } else { "4 mm" };
                assert_eq!(text(&row["may be"]), own);
            }
        }
    }
}

#[test]
fn what_was_shot_becomes_the_plan_as_built() {
    let folder = folder();
    let off = HashMap::from([
        ("falls/spillway/crest/left", -0.5 * INCH),
        ("falls/spillway/crest/right", 0.25 * INCH),
        ("basins/bed/layers/modules/top", 1.0 * INCH),
        ("lines/feed/runs/riser/discharge/level", 0.5 * INCH),
    ]);
    shots(folder.path(), &off, as_they_are);
    checked(folder.path(), &[]);
    let patch = json(&folder.path().join("built.json"));
    let inches = |pointer: &str| {
        let text = patch
            .pointer(pointer)
            .unwrap_or_else(|| panic!("{pointer}: {patch}"));
        text.as_str()
            .unwrap()
            .trim_end_matches(" in")
            .parse::<f64>()
            .unwrap()
    };
    for (pointer, expected) in [
        // The mean of the ends, and the difference between them.
        ("/falls/spillway/crest", 9.875),
        ("/falls/spillway/level_tolerance", 0.75),
        // The modules stand an inch higher, so the stone over them is an inch less.
        ("/basins/bed/layers/modules/thickness", 13.0),
        ("/basins/bed/layers/large/thickness", 9.0),
        // The invert was shot; the plan gives the centre.
        ("/lines/feed/runs/riser/discharge/level", -19.5),
        ("/basins/pond/rim", -6.0),
    ] {
        assert!(
            (inches(pointer) - expected).abs() < 0.01,
            "{pointer}: {}",
            inches(pointer)
        );
    }
    let ran = run(
        folder.path(),
        &["review", "plan.jsonc", "--as-built", "built.json"],
    );
    assert!(ran.status < 2, "{}", ran.err);
}

#[test]
fn a_misread_figure_is_named_before_it_is_believed() {
    let folder = folder();
    let off = HashMap::from([("basins/pond/rim", -1.0)]);
    shots(folder.path(), &off, as_they_are);
    let (status, paper) = checked(folder.path(), &[]);
    assert_eq!(status, 1);
    let again = table(&paper, "shoot-again");
    assert_eq!(again.len(), 1);
    assert_eq!(text(&again[0]["id"]), "basins/pond/rim");
    assert_eq!(
        text(&again[0]["why"]),
        "off by about 1 whole foot: a figure is misread"
    );
    assert!(table(&paper, "over-tolerance").is_empty());
    assert!(
        json(&folder.path().join("built.json"))
            .pointer("/basins/pond/rim")
            .is_none()
    );
    // Shot twice: a rim a foot low lies under the still water, which is no plan any more.
    let (status, paper) = checked(folder.path(), &["--believe", "basins/pond/rim"]);
    assert_eq!(status, 1);
    assert!(table(&paper, "shoot-again").is_empty());
    let over: Vec<String> = table(&paper, "over-tolerance")
        .iter()
        .map(|row| text(&row["id"]))
        .collect();
    assert_eq!(over, ["basins/pond/rim"]);
}

#[test]
fn levels_that_do_not_close_hold_the_water_back() {
    let folder = folder();
    for (closing, passed) in [(0.01, "passed"), (-0.03, "not passed")] {
        // One set-up may close off by 1/8 in, 0.0104 ft.
        let off = HashMap::from([("closing", closing)]);
        shots(folder.path(), &off, as_they_are);
        let (status, paper) = checked(folder.path(), &[]);
        let holds = table(&paper, "hold-points");
        let close = holds
            .iter()
            .find(|row| text(&row["hold point"]).starts_with("Levels close"))
            .unwrap();
        assert_eq!(text(&close["stands"]), passed);
        assert_eq!(status, i32::from(passed != "passed"));
    }
}

#[test]
fn part_of_the_marks_is_enough_and_what_is_missing_is_not_shown() {
    let folder = folder();
    shots(folder.path(), &HashMap::new(), |id, shot| {
        if id.starts_with("falls/") || id.starts_with("set-up") {
            shot
        } else {
            String::new()
        }
    });
    let (status, paper) = checked(folder.path(), &[]);
    assert_eq!(status, 0);
    let shot = table(&paper, "shots");
    assert_eq!(shot.iter().filter(|row| text(&row["stands"]) == "set").count(), 2);
    assert_eq!(
        shot.iter()
            .filter(|row| text(&row["stands"]) == "not shot")
            .count(),
        22
    );
    let holds = table(&paper, "hold-points");
    assert!(holds.iter().any(|row| text(&row["stands"]) == "not shown"));
}

/// One thing that is wrong, and what must be said of it.
struct Slip {
    from: &'static str,
    to: &'static str,
    said: &'static [&'static str],
}

#[test]
fn what_cannot_be_shots_is_refused_by_row_and_column() {
    let folder = folder();
    let dir = folder.path();
    shots(dir, &HashMap::new(), as_they_are);
    let good = fs::read_to_string(dir.join("shots.csv")).unwrap();
    let slips = [
        Slip {
            from: "basins/pond/rim,",
            to: "basins/pond/rimm,",
            said: &[
                "column “id”",
                "basins/pond/rimm",
                "nearest id is `basins/pond/rim`",
            ],
        },
        Slip {
            from: "basins/bed/rim,",
            to: "basins/pond/rim,",
            said: &["column “id”", "`basins/pond/rim` stands in row"],
        },
        Slip {
            from: "shot (ft)",
            to: "shott",
            said: &["no column is headed “shot”", "nearest heading is “shott”"],
        },
        Slip {
            from: "shot (ft)",
            to: "shot",
            said: &["column “shot”", "has no unit"],
        },
        Slip {
            from: "5.0200",
            to: "x",
            said: &["column “shot (ft)”"],
        },
        Slip {
            from: "5.0200",
            to: "1.53 m",
            said: &["different systems of units", "row 6"],
        },
        Slip {
            from: "5.0200",
            to: "-0.2",
            said: &["lies above the instrument"],
        },
        Slip {
            from: "set-up 1/backsight",
            to: "set-up 9/backsight",
            said: &["set-up 1/backsight", "height of the instrument is not known"],
        },
    ];
    for slip in slips {
        assert!(good.contains(slip.from), "{}", slip.from);
        fs::write(dir.join("shots.csv"), good.replace(slip.from, slip.to)).unwrap();
        let ran = run(
            dir,
            &[
                "as-built",
                "plan.jsonc",
                "shots.csv",
                "--json",
                "a.json",
                "--patch",
                "b.json",
            ],
        );
        refused(&ran, dir, 2, slip.said);
    }
    // Another revision of the plan.
    fs::write(dir.join("shots.csv"), &good).unwrap();
    let set = ["--set", "/basins/pond/rim=-5 in"];
    let ran = run(
        dir,
        &[
            &["as-built", "plan.jsonc", "shots.csv", "--json", "a.json"][..],
            &set,
        ]
        .concat(),
    );
    refused(&ran, dir, 2, &["another plan or revision", "column “plan”"]);
    for (name, bytes) in [
        ("shots.csv", &b"\xff\xfe\x00"[..]),
        ("shots.xlsx", b"PK\x03\x04no"),
        ("shots.csv", b""),
    ] {
        fs::remove_file(dir.join("shots.csv")).ok();
        fs::write(dir.join(name), bytes).unwrap();
        let ran = run(dir, &["as-built", "plan.jsonc", name, "--json", "a.json"]);
        let kept = fs::read_dir(dir).unwrap().count();
        refused(&ran, dir, kept, &[name]);
        assert!(!dir.join("a.json").exists());
    }
}

/// A workbook filled in comes back as the text does.
#[test]
fn a_workbook_of_shots_is_read() {
    let folder = folder();
    let dir = folder.path();
    shots(
        dir,
        &HashMap::from([("falls/spillway/crest/left", -0.375 * INCH)]),
        as_they_are,
    );
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_path(dir.join("shots.csv"))
        .unwrap();
    for (row, record) in (0u32..).zip(reader.records()) {
        for (column, cell) in (0u16..).zip(record.unwrap().iter()) {
            match cell.parse::<f64>() {
                Ok(number) => sheet.write_number(row, column, number).unwrap(),
                Err(_) => sheet.write_string(row, column, cell).unwrap(),
            };
        }
    }
    book.save(dir.join("shots.xlsx")).unwrap();
    let ran = run(dir, &["as-built", "plan.jsonc", "shots.xlsx", "--json", "a.json"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
    let over = table(&json(&dir.join("a.json")), "over-tolerance");
    assert_eq!(over.len(), 1);
    assert_eq!(text(&over[0]["off by"]), "3/8 in low");
}
