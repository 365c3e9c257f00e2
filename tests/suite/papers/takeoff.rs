//! Materials lists.

use std::{collections::HashMap, fs, path::Path};

use serde_json::Value;

use super::{super::program::folder, SOUND, example, json, refused, run, table, text};

/// The materials of the courtyard with values set first: rows by item.
fn materials(folder: &Path, more: &[&str]) -> HashMap<String, HashMap<String, Value>> {
    example(folder, "courtyard-retrofit");
    let all = [&["takeoff", "plan.jsonc", "--json", "m.json"][..], more].concat();
    let ran = run(folder, &all);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows = table(&json(&folder.join("m.json")), "materials");
    rows.into_iter().map(|row| (text(&row["item"]), row)).collect()
}

fn amount(row: &HashMap<String, Value>) -> (f64, String) {
    (row["order"]["value"].as_f64().unwrap(), text(&row["sold by"]))
}

/// Loose stone of 41.8 % voids weighs 2,600 lb a cubic yard (bulk densities of CalRecycle, seen; specific gravity 2.65). The
/// large stone fills 48 ft² by 10 in, and 24 ft² by 12 in round the modules: 64 ft³.
#[test]
fn reference_stone_weighs_what_a_table_of_bulk_densities_says() {
    let folder = folder();
    let rows = materials(
        folder.path(),
        &["--set", "/basins/bed/layers/large/porosity=41.8 %"],
    );
    let large = &rows["round stone 3 in to 5 in, washed"];
    let pounds = large["needed"]["si"].as_f64().unwrap() / 0.453_592_37;
    let table = 64.0 / 27.0 * 2600.0;
    assert!((pounds / table - 1.0).abs() < 0.005, "{pounds} for {table}");
    // With 10 % waste and 5 % moisture 3.56 tons, so 4 in half tons.
    assert_eq!(amount(large), (4.0, "ton".to_owned()));
}

/// Common earth bulks by 25 % (B. Roseke, swell factors for various soils, seen: loam 25, sand and gravel 12, clay 40). The bed is
/// dug 8 by 6 ft, 26 in below the ground: 104 ft³.
#[test]
fn reference_dug_soil_bulks_as_a_table_says() {
    let folder = folder();
    let rows = materials(folder.path(), &[]);
    let yards = rows["soil dug, loose"]["needed"]["si"].as_f64().unwrap() / 0.764_554_857_984;
    assert!((yards - 104.0 / 27.0 * 1.25).abs() < 0.01, "{yards}");
    assert_eq!(amount(&rows["soil dug, loose"]), (5.0, "yd³".to_owned()));
}

/// By hand: a box of 8 by 6 ft, 26 in deep, in a dig whose sides slope 1:1: 48·d + 14·d² + 4/3·d³ less 48·d, d in ft, are 79.3 ft³
/// in place; a quarter more while loose.
#[test]
fn backfill_is_the_dig_less_the_basin() {
    let folder = folder();
    let rows = materials(folder.path(), &[]);
    let depth: f64 = 26.0 / 12.0;
    let yards = (14.0 * depth.powi(2) + 4.0 / 3.0 * depth.powi(3)) / 27.0;
    let backfill = &rows["backfill: screened sandy soil"];
    let loose = backfill["needed"]["si"].as_f64().unwrap() / 0.764_554_857_984;
    assert!((loose - 1.25 * yards).abs() < 0.005, "{loose}");
    assert!(text(&backfill["needed"]).starts_with("2.94 yd³ in place"));
    assert_eq!(amount(backfill), (4.0, "yd³".to_owned()));
    // Boulders stand on the lining, and the plan gives no number of them.
    let boulders = &rows["boulders"];
    assert!(boulders["order"].is_null());
    assert!(text(&boulders["how it was worked out"]).contains("two layers of cushion"));
}

/// By hand, with 12 in over the rim on every side: a box of 10 by 8 by 6 ft takes 10 + 12 + 2 by 8 + 12 + 2 ft; sides that go 3
/// down and 4 out slant 5, so 16 ft across at the top is 8 + 5 + 5 + 2; half a ball of 10 ft takes half its girth, 5π + 2.
#[test]
fn liners_are_sized_as_by_hand() {
    let folder = folder();
    for (form, length, width, floor, slope, needed) in [
        (
            "rectangle",
            "10 ft",
            "8 ft",
            "-6.5 ft",
            "0:1",
            "koi pond: 24 ft × 22 ft needed",
        ),
        (
            "rectangle",
            "20 ft",
            "16 ft",
            "-3.5 ft",
            "4:3",
            "koi pond: 24 ft × 20 ft needed",
        ),
        (
            "bowl",
            "10 ft",
            "10 ft",
            "-5.5 ft",
            "0:1",
            "koi pond: 17.7 ft × 17.7 ft needed",
        ),
    ] {
        let slope = match slope {
            "4:3" => "1.3333333333:1",
            other => other,
        };
        let sets = [
            format!("/basins/pond/shape/form={form}"),
            format!("/basins/pond/shape/length={length}"),
            format!("/basins/pond/shape/width={width}"),
            format!("/basins/pond/floor={floor}"),
            format!("/basins/pond/shape/side_slope={slope}"),
        ];
        let arguments: Vec<&str> = sets.iter().flat_map(|set| ["--set", set.as_str()]).collect();
        let rows = materials(folder.path(), &arguments);
        assert_eq!(text(&rows["EPDM 45 mil sheet 32 ft × 26 ft"]["needed"]), needed);
    }
}

#[test]
fn every_trade_of_the_plan_is_in_the_list() {
    let folder = folder();
    let rows = materials(folder.path(), &[]);
    for (item, order, sold_by) in [
        // 34 ft and a tenth more in lengths of 20 ft.
        ("pipe 2 in sch 40 PVC", 2.0, "length of 20 ft"),
        ("90 elbow, 2 in sch 40 PVC", 4.0, "each"),
        ("check valve, feed line", 1.0, "each"),
        ("air inlet 0.5 in, feed line", 1.0, "each"),
        ("pump: circulation pump", 1.0, "each"),
        ("void modules 12 in high", 24.0, "ft³"),
        // 85 ft and a tenth more, in tens.
        ("12 AWG copper", 100.0, "ft"),
        ("water of the first fill", 560.0, "gal"),
        ("northern blue flag (Iris versicolor)", 12.0, "each"),
        ("soft rush (Juncus effusus)", 10.0, "each"),
        ("EPDM 45 mil sheet 18 ft × 16 ft", 1.0, "each"),
    ] {
        assert_eq!(amount(&rows[item]), (order, sold_by.to_owned()), "{item}");
        assert!(!text(&rows[item]["how it was worked out"]).is_empty(), "{item}");
    }
    // Three washes of half of 557 gal.
    let wash = rows["water for washing, to waste"]["needed"]["si"]
        .as_f64()
        .unwrap()
        / 0.003_785_411_784;
    assert!((wash - 1.5 * 557.0).abs() < 1.5, "{wash}");
    // Walls have no length in the plan: they are named, with no order.
    assert!(rows["wall stone, bed-face, 26 in high"]["order"].is_null());
}

#[test]
fn a_firms_prices_make_costs_and_totals() {
    let folder = folder();
    let prices = "item,price,currency\npipe 2 in sch 40 PVC,31.50,USD\n\"Round stone 3 in to 5 in, washed\",\"1,048.00\",USD\nno such thing,1,USD\n";
    fs::write(folder.path().join("p.csv"), prices).unwrap();
    example(folder.path(), "courtyard-retrofit");
    let ran = run(
        folder.path(),
        &["takeoff", "plan.jsonc", "--prices", "p.csv", "--json", "m.json"],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(ran.err.contains("no such thing"), "{}", ran.err);
    let paper = json(&folder.path().join("m.json"));
    let totals: HashMap<String, f64> = table(&paper, "totals")
        .into_iter()
        .map(|row| (text(&row["phase"]), row["cost"]["value"].as_f64().unwrap()))
        .collect();
    assert!((totals["Pipes and pumps"] - 63.0).abs() < 1e-9);
    assert!((totals["Stone and modules"] - 4192.0).abs() < 1e-9);
    assert!((totals["all phases"] - 4255.0).abs() < 1e-9);
}

#[test]
fn prices_that_cannot_be_are_refused_by_row_and_column() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    for (prices, words) in [
        ("item,cost\na,1\n", &["no column is headed “price”"][..]),
        ("item,price\na,x\n", &["row 2, column “price”", "`x` is no price"]),
        ("item,price\na,-1\n", &["row 2, column “price”"]),
        (
            "item,price\na,1\nA ,2\n",
            &["row 3, column “item”", "another price in row 2"],
        ),
        ("item,price\n,2\n", &["a price without an item"]),
        (
            "item,price,currency\na,1,USD\nb,2,EUR\n",
            &["currency EUR here and USD in row 2"],
        ),
    ] {
        fs::write(folder.path().join("p.csv"), prices).unwrap();
        let ran = run(
            folder.path(),
            &[
                "takeoff",
                "plan.jsonc",
                "--prices",
                "p.csv",
                "--json",
                "m.json",
                "--csv",
                "m.csv",
            ],
        );
        refused(&ran, folder.path(), 2, words);
    }
    for (arguments, words) in [
        (["--lap", "13 ft"], "the lap leaves the roll no width"),
        (["--liner-roll", "0 ft"], "--liner-roll is too small"),
        (["--pipe-stock", "20"], "--pipe-stock"),
    ] {
        let all = [&["takeoff", "plan.jsonc", "--json", "m.json"][..], &arguments].concat();
        refused(&run(folder.path(), &all), folder.path(), 2, &[words]);
    }
}

/// Two basins' sheets, 32 by 26 and 18 by 16 ft, on a roll of 50 ft: abreast as 26 and 16 across, 32 ft are drawn off.
#[test]
fn sheets_of_several_basins_are_cut_from_one_roll() {
    let folder = folder();
    let rows = materials(folder.path(), &["--liner-roll", "50 ft"]);
    let roll = &rows["EPDM 45 mil, roll 50 ft wide, instead of sheets"];
    let (order, _) = amount(roll);
    assert!(
        (order - 26.0).abs() < 1e-9 || (order - 32.0).abs() < 1e-9,
        "{order}"
    );
    assert_eq!(order, 26.0, "32 and 16 across leave 26 along");
}

/// Sizes are those of the plan's own trade: sheets of 1.15 mm and 300 mm over the rim (by hand 3.2 + 2·1.2 + 2·0.3 m), and no line
/// prints a figure twice over.
#[test]
fn sizes_are_what_is_sold_where_the_plan_is_built() {
    for plan in SOUND {
        let folder = folder();
        example(folder.path(), plan);
        let ran = run(folder.path(), &["takeoff", "plan.jsonc", "--json", "m.json"]);
        assert_eq!(ran.status, 0, "{}", ran.err);
        let rows = table(&json(&folder.path().join("m.json")), "materials");
        for row in &rows {
            let worked = text(&row["how it was worked out"]);
            let sums: Vec<&str> = worked.split("; ").flat_map(|line| line.split(" = ")).collect();
            assert!(sums.windows(2).all(|pair| pair[0] != pair[1]), "{plan}: {worked}");
            // Beds that are alike are worked out once.
            let lines: Vec<&str> = worked.split("; ").collect();
            let once = lines
                .iter()
                .enumerate()
                .all(|(at, line)| !line.starts_with("m = ") || !lines[..at].contains(line));
            assert!(once, "{plan}: {worked}");
            for foreign in ["304.8", "305 mm", "7.87 in"] {
                assert!(!worked.contains(foreign), "{plan}: {worked}");
            }
        }
        if plan == "mill-yard-metric" {
            let bed = rows
                .iter()
                .find(|row| text(&row["item"]) == "EPDM 1.15 mm sheet 6.5 m × 5.5 m")
                .unwrap();
            assert_eq!(text(&bed["needed"]), "gravel bed: 6.2 m × 5 m needed");
            assert!(text(&bed["how it was worked out"]).contains("2·300 mm = 6.2 m"));
        }
    }
}

/// A price list of which nothing fits makes no columns and no totals of nothing.
#[test]
fn a_list_without_a_single_price_shows_none() {
    let folder = folder();
    fs::write(folder.path().join("p.csv"), "item,price\nno such thing,1\n").unwrap();
    example(folder.path(), "courtyard-retrofit");
    let all = ["takeoff", "plan.jsonc", "--prices", "p.csv", "--json", "m.json"];
    let ran = run(folder.path(), &all);
    assert!(ran.err.contains("no such thing"), "{}", ran.err);
    let paper = json(&folder.path().join("m.json"));
    assert!(table(&paper, "totals").is_empty());
}
