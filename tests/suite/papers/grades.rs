//! Grade sheets.

use std::fs;

use bywash::report::code::Code;
use calamine::{Data, Reader, Xlsx, open_workbook};

use super::{
    super::{code_reader::drawn_code, program::folder},
    SOUND, example, json, number, refused, rows, run, table, text,
};

/// The courtyard's levels, from its plan: rim of the pond −6 in, crest +10 in, air inlet +7 in, centre of the 2 in sch 40 mouth
/// −20 in; its bore is 2.067 in (ASTM D1785: 2.375 in outside, wall 0.154 in).
#[test]
fn every_mark_has_the_reading_of_its_level() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let ran = run(
        folder.path(),
        &[
            "grades",
            "plan.jsonc",
            "--backsight",
            "4 ft 6 in",
            "--csv",
            "g.csv",
            "--json",
            "g.json",
        ],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows = rows(&folder.path().join("g.csv"));
    for row in &rows {
        let read = number(row, "reading (ft)");
        assert!((4.5 - number(row, "level (ft)") - read).abs() < 1.1e-4, "{row:?}");
    }
    let level = |id: &str| {
        let row = rows.iter().find(|row| row["id"] == id);
        number(row.unwrap_or_else(|| panic!("{id}")), "level (ft)") * 12.0
    };
    for (id, inches) in [
        ("basins/pond/floor", -60.0),
        ("basins/pond/rim", -6.0),
        ("basins/pond/overflow/level", -10.0),
        ("basins/pond/still", -12.0),
        ("basins/bed/layers/modules/top", -14.0),
        ("basins/bed/layers/finishing/top", 9.0),
        ("falls/spillway/crest/left", 10.0),
        ("falls/spillway/crest/right", 10.0),
        ("lines/feed/air_inlet/level", 7.0),
        ("lines/feed/runs/riser/discharge/level", -20.0 - 2.067 / 2.0),
        ("pumps/main/low_level_cut_off", -30.0),
        ("pumps/main/intake", -36.0),
        ("electrical/circuits/pump/gear_level", 30.0),
        ("set-up 1/backsight", 0.0),
        ("closing", 0.0),
    ] {
        assert!((level(id) - inches).abs() < 0.01, "{id}: {}", level(id));
    }
    let on_rod = |id: &str| rows.iter().find(|row| row["id"] == id).unwrap()["on the rod"].clone();
    assert_eq!(on_rod("basins/pond/rim"), "5 ft 0 in");
    assert_eq!(on_rod("falls/spillway/crest/left"), "3 ft 8 in");
    // Build order: digging, lining, pipes, stone, gear, water.
    let paper = json(&folder.path().join("g.json"));
    let titles: Vec<&str> = paper["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["title"].as_str().unwrap())
        .collect();
    assert_eq!(
        titles,
        [
            "Set-ups and section",
            "Digging",
            "Lining",
            "Pipes and pumps",
            "Stone and crests",
            "Floats and gear",
            "First water"
        ]
    );
}

/// What the sheet says of drift is what the review says of the plan with that level moved.
#[test]
fn a_mark_may_drift_as_far_as_the_review_lets_it() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let ran = run(
        folder.path(),
        &["grades", "plan.jsonc", "--hi", "4 ft 6 in", "--csv", "g.csv"],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows = rows(&folder.path().join("g.csv"));
    let overflow = rows
        .iter()
        .find(|row| row["id"] == "basins/pond/overflow/level")
        .unwrap();
    let low = number(overflow, "may be low (ft)") * 12.0;
    assert!((low - 1.75).abs() < 0.01, "{low}");
    assert!(!overflow["first rule below"].is_empty());
    let graded = |inches: &str| {
        let set = format!("/basins/pond/overflow/level={inches} in");
        run(folder.path(), &["review", "plan.jsonc", "--set", &set]).status
    };
    assert_eq!(graded("-11.75"), 0);
    assert_eq!(graded("-11.875"), 1);
}

#[test]
fn rods_of_every_kind_read_the_same_level() {
    let folder = folder();
    example(folder.path(), "mill-yard-metric");
    for (rod, reading, shot) in [
        ("metric", "3.170 m", "shot (m)"),
        ("tenths", "10.40 ft", "shot (ft)"),
        ("feet-inches", "10 ft 4-3/4 in", "shot"),
    ] {
        let ran = run(
            folder.path(),
            &[
                "grades",
                "plan.jsonc",
                "--hi",
                "1.92 m",
                "--rod",
                rod,
                "--csv",
                "g.csv",
            ],
        );
        assert_eq!(ran.status, 0, "{}", ran.err);
        let rows = rows(&folder.path().join("g.csv"));
        // 1.92 m over the benchmark, rim of the pond at −1.25 m: 3.17 m, 10.400 ft, 10 ft 4.80 in.
        let rim = rows.iter().find(|row| row["id"] == "basins/pond/rim").unwrap();
        assert_eq!(rim["on the rod"], reading);
        assert!(rim.contains_key(shot), "{rim:?}");
        // The survey's inner lines are marks, its floor and rim are not twice.
        let lines = rows.iter().filter(|row| row["id"].contains("/contours/")).count();
        assert_eq!(lines, 2);
    }
}

#[test]
fn marks_above_the_instrument_are_named_and_a_turning_point_reads_them() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let low = [
        "grades",
        "plan.jsonc",
        "--backsight",
        "1 ft 0 in",
        "--json",
        "g.json",
    ];
    let ran = run(folder.path(), &low);
    assert_eq!(ran.status, 1);
    // +17 in is 5 in over the instrument, the gear at +30 in 18 in.
    assert!(
        ran.err
            .contains("upflow bed: rim, lowest edge of the sheet lies 5 in above the instrument"),
        "{}",
        ran.err
    );
    assert!(
        ran.err
            .contains("gear that must not get wet lies 1 ft 6 in above the instrument"),
        "{}",
        ran.err
    );
    let turned = [&low[..], &["--turn", "0 ft 6 in / 4 ft 6 in"]].concat();
    let ran = run(folder.path(), &turned);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    // 1 ft − 6 in + 4 ft 6 in = 5 ft: the rim at +17 in reads 3 ft 7 in from set-up 2.
    let paper = json(&folder.path().join("g.json"));
    let marks = table(&paper, "marks");
    let row = |id: &str| marks.iter().find(|row| row["id"] == id).unwrap();
    assert_eq!(text(&row("basins/bed/rim")["set-up"]), "2");
    assert_eq!(text(&row("basins/bed/rim")["reading"]), "3 ft 7 in");
    assert_eq!(text(&row("basins/pond/rim")["set-up"]), "1");
    assert_eq!(text(&row("set-up 1/foresight")["reading"]), "6 in");
    assert_eq!(text(&row("set-up 2/backsight")["reading"]), "4 ft 6 in");
    assert_eq!(text(&row("closing")["reading"]), "5 ft 0 in");
}

#[test]
fn a_set_up_that_cannot_be_is_refused_and_nothing_is_written() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let out = ["--csv", "g.csv", "--xlsx", "g.xlsx", "--json", "g.json"];
    for (arguments, words) in [
        (&[][..], &["--hi", "--backsight"][..]),
        (&["--hi", "4.5"], &["--hi", "unit"]),
        (&["--hi", "4 gal"], &["--hi"]),
        (&["--backsight", "-2 in"], &["--backsight"]),
        (
            &["--backsight", "4 ft", "--turn", "2 ft"],
            &["--turn", "two sights"],
        ),
        (
            &["--backsight", "4 ft", "--turn", "2 ft / -1 ft"],
            &["below the foot of the rod"],
        ),
        (
            &["--backsight", "4 ft", "--rod-length", "0 ft"],
            &["--rod-length"],
        ),
        (&["--backsight", "4 ft", "--hi", "4 ft"], &["--hi"]),
    ] {
        let all = [&["grades", "plan.jsonc"][..], &out, arguments].concat();
        refused(&run(folder.path(), &all), folder.path(), 1, words);
    }
}

#[test]
fn the_workbook_holds_the_same_cells_and_no_formula() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let plan = fs::read_to_string(folder.path().join("plan.jsonc")).unwrap();
    let named = plan.replace("\"name\": \"koi pond\"", "\"name\": \"=1+1\"");
    assert_ne!(plan, named);
    fs::write(folder.path().join("plan.jsonc"), named).unwrap();
    let ran = run(
        folder.path(),
        &[
            "grades",
            "plan.jsonc",
            "--hi",
            "5 ft",
            "--csv",
            "g.csv",
            "--xlsx",
            "g.xlsx",
        ],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let mut book: Xlsx<_> = open_workbook(folder.path().join("g.xlsx")).unwrap();
    assert_eq!(book.sheet_names(), ["marks", "about"]);
    let formulas = book.worksheet_formula("marks").unwrap();
    assert!(formulas.rows().flatten().all(String::is_empty));
    let range = book.worksheet_range("marks").unwrap();
    let cells: Vec<Vec<String>> = range
        .rows()
        .map(|row| {
            row.iter()
                .map(|cell| match cell {
                    Data::Float(number) => number.to_string(),
                    Data::String(text) => text.clone(),
                    _ => String::new(),
                })
                .collect()
        })
        .collect();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_path(folder.path().join("g.csv"))
        .unwrap();
    let mut inert = 0;
    for (record, cells) in reader.records().zip(&cells) {
        for (written, cell) in record.unwrap().iter().zip(cells) {
            assert!(!written.starts_with('='), "{written}");
            inert += usize::from(written.starts_with("'=1+1"));
            assert_eq!(written.trim_start_matches('\''), cell);
        }
    }
    assert!(inert > 3);
    assert_eq!(cells.len(), 27);
    // Without a date of its own, the same paper gives the same bytes.
    let first = fs::read(folder.path().join("g.xlsx")).unwrap();
    run(
        folder.path(),
        &["grades", "plan.jsonc", "--hi", "5 ft", "--xlsx", "g.xlsx"],
    );
    assert!(fs::read(folder.path().join("g.xlsx")).unwrap() == first);
}

/// The code of every sheet, read by a library that did not make it.
#[test]
fn the_code_of_a_sheet_names_sheet_and_plan() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    run(
        folder.path(),
        &["grades", "plan.jsonc", "--hi", "5 ft", "--json", "g.json"],
    );
    let paper = json(&folder.path().join("g.json"));
    let fingerprint = paper["plan"]["fingerprint"].as_str().unwrap();
    for sheet in paper["sheets"].as_array().unwrap() {
        let said = sheet["code"].as_str().unwrap();
        assert_eq!(
            said,
            format!("BYWASH/{}/{fingerprint}", sheet["number"].as_str().unwrap())
        );
        assert_eq!(drawn_code(&Code::of(said).unwrap()), said);
    }
}

/// A reading of a rod as it is printed, m: written again here, so that the sheet is not read by what wrote it.
fn on_the_rod(text: &str) -> f64 {
    let mut rest = text;
    let mut metres = 0.0;
    while let Some((count, unit)) = rest.split_once(' ') {
        let (unit, after) = unit.split_once(' ').unwrap_or((unit, ""));
        let count: f64 = count
            .split('-')
            .map(|part| match part.split_once('/') {
                Some((over, under)) => over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap(),
                None => part.parse().unwrap(),
            })
            .sum();
        metres += count
            * match unit {
                "ft" => 0.3048,
                "in" => 0.0254,
                "m" => 1.0,
                _ => panic!("{text}"),
            };
        rest = after;
    }
    metres
}

/// The sheet alone is enough on every sound example, from two set-ups, on every rod: line of sight less level is the reading printed,
/// to half of what the rod tells apart, and each mark is read from the first set-up that can. The lines of sight are worked out here
/// from what was shot: the height of the first, 6 in on the turning point, 4 ft 6 in from there on.
#[test]
fn the_sheet_alone_gives_the_reading_of_any_mark() {
    for plan in SOUND {
        // The mill yard lies low: its first set-up stands 1 m under the benchmark, over a mark 1.5 m under it.
        let (on, backsight, first) = match plan {
            "mill-yard-metric" => ("-1.5 m", "0.5 m", -1.0),
            _ => ("0 ft", "1 ft 0 in", 0.3048),
        };
        let second = first - 0.1524 + 1.3716;
        let shot = [
            "--on",
            on,
            "--backsight",
            backsight,
            "--turn",
            "0 ft 6 in / 4 ft 6 in",
        ];
        let folder = folder();
        example(folder.path(), plan);
        for (rod, finest) in [
            ("feet-inches", 0.0254 / 8.0),
            ("tenths", 0.003_048),
            ("metric", 0.001),
        ] {
            let all = [
                &[
                    "grades",
                    "plan.jsonc",
                    "--rod",
                    rod,
                    "--json",
                    "g.json",
                    "--force",
                ][..],
                &shot,
            ];
            let ran = run(folder.path(), &all.concat());
            assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{plan}");
            let mut from_second = 0;
            let marks = table(&json(&folder.path().join("g.json")), "marks");
            for row in &marks {
                let level = row["level"]["si"].as_f64().unwrap();
                let set_up = text(&row["set-up"]);
                let sight = if set_up == "1" { first } else { second };
                let printed = on_the_rod(&text(&row["reading"]));
                assert!(
                    (sight - level - printed).abs() <= finest / 2.0 + 1e-9,
                    "{plan} {rod}: {row:?}"
                );
                if !row["no."].is_null() {
                    let reads = first - level >= -finest / 2.0;
                    assert_eq!(reads, set_up == "1", "{plan} {rod}: {row:?}");
                }
                from_second += usize::from(set_up == "2");
            }
            assert!(from_second > 2, "{plan}: {from_second}");
            let ids: Vec<String> = marks.iter().map(|row| text(&row["id"])).collect();
            let levels = levels_of(&fs::read_to_string(folder.path().join("plan.jsonc")).unwrap());
            assert!(levels.len() > 5, "{plan}");
            for (id, level) in levels {
                let at = ids.iter().position(|known| *known == id);
                let row = &marks[at.unwrap_or_else(|| panic!("{plan}: {id} is not on the sheet"))];
                assert!(
                    (row["level"]["si"].as_f64().unwrap() - level).abs() < 1e-9,
                    "{plan}: {row:?}"
                );
            }
        }
    }
}

/// On the mill yard’s own rod every printed level and reading add up to the line of sight, 1.500 m, to the last digit; two of its
/// inverts lie halfway between two millimetres.
#[test]
fn printed_level_and_reading_add_up() {
    let folder = folder();
    example(folder.path(), "mill-yard-metric");
    let arguments = ["grades", "plan.jsonc", "--hi", "1.5 m", "--json", "g.json"];
    let ran = run(folder.path(), &arguments);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let millimetres = |text: &str| {
        let (sign, size) = text
            .strip_prefix('\u{2212}')
            .map_or((1.0, text.trim_start_matches('+')), |size| (-1.0, size));
        (sign * on_the_rod(size) * 1000.0).round() as i64
    };
    let marks = table(&json(&folder.path().join("g.json")), "marks");
    assert!(marks.len() > 20);
    for row in &marks {
        let (level, reading) = (text(&row["level"]), text(&row["reading"]));
        assert_eq!(millimetres(&level) + millimetres(&reading), 1500, "{row:?}");
    }
}

/// Rims, floors, still water and overflows of a plan, as they are written in it: ids and m.
fn levels_of(plan: &str) -> Vec<(String, f64)> {
    let plain: Vec<&str> = plan
        .lines()
        .map(|line| line.split("// ").next().unwrap())
        .collect();
    let plan: serde_json::Value = serde_json::from_str(&plain.join("\n")).unwrap();
    let mut found = Vec::new();
    for (id, basin) in plan["basins"].as_object().unwrap() {
        for name in ["floor", "rim", "still", "overflow/level"] {
            let level = basin
                .pointer(&format!("/{name}"))
                .and_then(|level| level.as_str());
            let Some(level) = level else { continue };
            let sign = if level.starts_with('-') { -1.0 } else { 1.0 };
            let size = on_the_rod(level.trim_start_matches(['-', '+']));
            found.push((format!("basins/{id}/{name}"), sign * size));
        }
    }
    found
}
