//! Stone on hand.

use std::{fs, path::Path};

use serde_json::Value;

use super::{super::program::folder, example, json, refused, run, table, text};

const HEAD: &str = "load,smallest,largest,shape,washed,price,tons\n";

fn weighed(folder: &Path, loads: &str) -> Value {
    example(folder, "courtyard-retrofit");
    fs::write(folder.join("yard.csv"), format!("{HEAD}{loads}")).unwrap();
    let all = [
        "takeoff",
        "plan.jsonc",
        "--yard",
        "yard.csv",
        "--patch",
        "p.json",
        "--json",
        "m.json",
    ];
    let ran = run(folder, &all);
    assert_eq!(ran.status, 0, "{}", ran.err);
    json(&folder.join("m.json"))
}

/// The courtyard wants 3 to 5 in, 1-1/4 to 2-1/2 in and 3/4 to 1-1/2 in: 3.55, 1.61 and 1.38 tons with waste and moisture.
#[test]
fn the_cheapest_set_of_loads_builds_every_layer() {
    let folder = folder();
    let paper = weighed(
        folder.path(),
        "cobble,3 in,5 in,round,yes,60,20\ndear cobble,3 in,5 in,round,yes,90,20\nriver mix,0.75 in,2.5 in,round,yes,40,20\n\
         crushed,1 in,2 in,angular,yes,5,50\nbank run,3 in,5 in,round,no,5,50\n",
    );
    let uses = table(&paper, "yard");
    let says = |name: &str| {
        let row = uses.iter().find(|row| text(&row["load"]) == name).unwrap();
        text(&row["layers it can build"])
    };
    assert_eq!(says("cobble"), "upflow bed, large: as it is");
    assert!(
        says("river mix").contains("upflow bed, medium: 58 % of it, screened over 1-1/4 in"),
        "{}",
        says("river mix")
    );
    assert!(
        says("river mix").contains("upflow bed, finishing: 58 % of it, screened through 1-1/2 in"),
        "{}",
        says("river mix")
    );
    assert!(says("crushed").starts_with("none: angular"));
    assert_eq!(says("bank run"), "none until it is washed");
    let set = table(&paper, "yard-set");
    let names: Vec<String> = set.iter().map(|row| text(&row["load"])).collect();
    assert_eq!(names, ["cobble", "river mix", "all"]);
    // 3.55 tons are bought as 4; ln(2.5/1.25)/ln(2.5/0.75) is 0.576 of the mix, so 1.61/0.576 = 2.8 tons as 3: 4·60 + 3·40.
    assert_eq!(text(&set[0]["buy"]), "4 ton");
    assert_eq!(text(&set[1]["buy"]), "3 ton");
    assert!((set[2]["cost"]["value"].as_f64().unwrap() - 360.0).abs() < 1e-9);
    assert!(table(&paper, "yard-changes").is_empty());
}

#[test]
fn where_no_load_builds_a_layer_the_plan_is_changed_by_a_patch() {
    let folder = folder();
    let paper = weighed(
        folder.path(),
        "egg,3 in,4 in,round,yes,60,20\nsmall cobble,2.75 in,4.75 in,round,yes,50,3\nmix,0.75 in,2.5 in,round,yes,40,20\n",
    );
    // 3 to 4 in lies within 3 to 5 in: nothing need change.
    assert!(table(&paper, "yard-changes").is_empty());
    let paper = weighed(
        folder.path(),
        "cobble,2.75 in,4.5 in,round,yes,60,4\nmix,0.75 in,2.5 in,round,yes,40,20\n",
    );
    let changes = table(&paper, "yard-changes");
    assert_eq!(changes.len(), 1);
    assert!(
        text(&changes[0]["instead"]).contains("Build it of “cobble”"),
        "{}",
        text(&changes[0]["instead"])
    );
    let patch = json(&folder.path().join("p.json"));
    let size = patch
        .pointer("/basins/bed/layers/large/largest")
        .unwrap()
        .as_str()
        .unwrap();
    assert_eq!(size, "4.5 in");
    let ran = run(folder.path(), &["review", "plan.jsonc", "--with", "p.json"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
}

#[test]
fn loads_that_cannot_be_are_refused_by_row_and_column() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    for (loads, words) in [
        (
            "a,3 in,5 in,square,yes,1,1\n",
            &["row 2, column “shape”", "round, subangular or angular"][..],
        ),
        (
            "a,3,5 in,round,yes,1,1\n",
            &["row 2, column “smallest”", "has no unit"],
        ),
        (
            "a,5 in,3 in,round,yes,1,1\n",
            &["row 2, column “largest”", "smaller than the smallest"],
        ),
        ("a,3 in,5 in,round,maybe,1,1\n", &["row 2, column “washed”"]),
        ("a,3 in,5 in,round,yes,-1,1\n", &["row 2, column “price”"]),
        ("a,3 in,5 in,round,yes,1,many\n", &["row 2, column “tons”"]),
        (
            "a,3 in,5 in,round,yes,1,1\na,3 in,5 in,round,yes,1,1\n",
            &["row 3, column “load”", "twice"],
        ),
    ] {
        fs::write(folder.path().join("yard.csv"), format!("{HEAD}{loads}")).unwrap();
        let all = [
            "takeoff",
            "plan.jsonc",
            "--yard",
            "yard.csv",
            "--patch",
            "p.json",
            "--json",
            "m.json",
        ];
        refused(&run(folder.path(), &all), folder.path(), 2, words);
    }
}
