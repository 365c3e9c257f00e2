//! Plans of any size, each of many things of one kind. What they describe is plain and can be built: size alone is tried.

/// Writes a plan of so many.
type Plans = fn(usize) -> String;

/// Plans by what they have many of.
pub const KINDS: [(&str, Plans); 11] = [
    ("cascade", cascade),
    ("circuits", circuits),
    ("lines", lines),
    ("pumps", pumps),
    ("branches", branches),
    ("runs", runs),
    ("walls", walls),
    ("plants", plants),
    ("layers", layers),
    ("contours", contours),
    ("unknown", unknown),
];

/// A member of a collection: its id and what it holds.
type Member = (String, String);

fn collection(name: &str, members: impl Iterator<Item = Member>) -> String {
    let members: Vec<String> = members.map(|(id, body)| format!("{id:?}: {body}")).collect();
    format!("{name:?}: {{{}}}", members.join(",\n"))
}

fn plan(collections: &[String]) -> String {
    format!(
        "{{\"format\": \"bywash plan 1\", \"project\": {{\"name\": \"scale\", \"units\": \"SI\"}},\n{}}}",
        collections.join(",\n")
    )
}

/// A basin with upright sides, its water `still` metres up, with an overflow and a rim above.
fn basin(kind: &str, still: f64) -> String {
    format!(
        r#"{{"kind": "{kind}", "still": "{still} m", "rim": "{} m", "floor": "{} m",
        "shape": {{"form": "rectangle", "length": "3 m", "width": "2 m", "side_slope": "0:1"}},
        "overflow": {{"level": "{} m", "width": "0.4 m"}}, "open_to_rain": true}}"#,
        still + 0.3,
        still - 0.9,
        still + 0.15
    )
}

fn pump(basin: &str, intake: f64, lift: f64) -> String {
    format!(
        r#"{{"basin": "{basin}", "mount": "submerged", "intake": "{intake} m", "count": 1,
        "curve": [["0 L/min", "{} m"], ["60 L/min", "{} m"], ["120 L/min", "{} m"]]}}"#,
        2.2 * lift,
        1.8 * lift,
        0.8 * lift
    )
}

fn run(after: Option<&str>, to: Option<(&str, f64)>, size: u32) -> String {
    let after = after.map_or(String::new(), |after| format!(r#""after": "{after}", "#));
    let to = to.map_or(String::new(), |(to, level)| {
        format!(r#""to": "{to}", "discharge": {{"form": "free", "level": "{level} m"}}, "#)
    });
    format!(
        r#"{{{after}{to}"pipe": {{"size": "{size} mm", "class": "PVC-U PN 10", "material": "PVC"}}, "length": "4 m", "fittings": {{"90 elbow": 2}}}}"#
    )
}

fn line(from: &str, runs: impl Iterator<Item = Member>) -> String {
    format!(
        r#"{{"from": {from}, "check_valve": {{"kind": "swing", "reachable": true}}, {}}}"#,
        collection("runs", runs)
    )
}

fn fall(from: &str, to: &str, crest: f64) -> String {
    format!(
        r#"{{"from": "{from}", "to": "{to}", "crest": "{crest} m", "width": "0.4 m", "edge": "thin lip"}}"#
    )
}

/// Basins that spill one into the next, and a pump from the last to the first.
fn cascade(count: usize) -> String {
    let still = |at: usize| 0.1 * (count - at) as f64;
    let top = still(0);
    let basins = (0..count).map(|at| (format!("b{at}"), basin("pond", still(at))));
    let falls = (1..count).map(|at| {
        let (from, to) = (format!("b{}", at - 1), format!("b{at}"));
        (format!("f{at}"), fall(&from, &to, still(at - 1)))
    });
    let last = format!("b{}", count - 1);
    let runs = [(String::from("r"), run(None, Some(("b0", top + 0.2)), 63))];
    plan(&[
        collection("basins", basins),
        collection("falls", falls),
        collection(
            "pumps",
            [("p".to_owned(), pump(&last, -0.5, top.max(1.0)))].into_iter(),
        ),
        collection(
            "lines",
            [("l".to_owned(), line("\"p\"", runs.into_iter()))].into_iter(),
        ),
    ])
}

/// Many small circuits of a pond and a pool, each by itself.
fn circuits(count: usize) -> String {
    let basins = (0..count).flat_map(|at| {
        [
            (format!("pond{at}"), basin("pond", 0.0)),
            (format!("pool{at}"), basin("pool", 1.0)),
        ]
    });
    let falls = (0..count).map(|at| {
        (
            format!("f{at}"),
            fall(&format!("pool{at}"), &format!("pond{at}"), 1.0),
        )
    });
    let pumps = (0..count).map(|at| (format!("p{at}"), pump(&format!("pond{at}"), -0.5, 1.5)));
    let lines = (0..count).map(|at| {
        let to = format!("pool{at}");
        let runs = [("r".to_owned(), run(None, Some((to.as_str(), 1.2)), 50))];
        (format!("l{at}"), line(&format!("\"p{at}\""), runs.into_iter()))
    });
    plan(&[
        collection("basins", basins),
        collection("falls", falls),
        collection("pumps", pumps),
        collection("lines", lines),
    ])
}

/// A pond and a pool that spills back, to be joined by lines and pumps.
fn pair() -> [String; 2] {
    let basins = [
        ("pond".to_owned(), basin("pond", 0.0)),
        ("pool".to_owned(), basin("pool", 1.0)),
    ];
    let falls = [(
        "f".to_owned(),
        r#"{"from": "pool", "to": "pond", "crest": "1 m", "width": "60 m", "edge": "thin lip"}"#.to_owned(),
    )];
    [
        collection("basins", basins.into_iter()),
        collection("falls", falls.into_iter()),
    ]
}

/// Pumps, each with a line of its own.
fn lines(count: usize) -> String {
    let [basins, falls] = pair();
    let pumps = (0..count).map(|at| (format!("p{at}"), pump("pond", -0.5, 1.5)));
    let lines = (0..count).map(|at| {
        let runs = [("r".to_owned(), run(None, Some(("pool", 1.2)), 50))];
        (format!("l{at}"), line(&format!("\"p{at}\""), runs.into_iter()))
    });
    plan(&[
        basins,
        falls,
        collection("pumps", pumps),
        collection("lines", lines),
    ])
}

/// Pumps side by side that share one line.
fn pumps(count: usize) -> String {
    let [basins, falls] = pair();
    let pumps = (0..count).map(|at| (format!("p{at}"), pump("pond", -0.5, 1.5)));
    let from: Vec<String> = (0..count).map(|at| format!("\"p{at}\"")).collect();
    let from = format!("[{}]", from.join(", "));
    let runs = [("r".to_owned(), run(None, Some(("pool", 1.2)), 315))];
    plan(&[
        basins,
        falls,
        collection("pumps", pumps),
        collection(
            "lines",
            [("l".to_owned(), line(&from, runs.into_iter()))].into_iter(),
        ),
    ])
}

/// One line that branches to many ends under water, without a check valve: they run back together.
fn branches(count: usize) -> String {
    let [basins, falls] = pair();
    let trunk = [("t".to_owned(), run(None, None, 315))];
    let ends = (0..count).map(|at| {
        let end = r#"{"after": "t", "to": "pool", "discharge": {"form": "submerged", "level": "0.6 m"},
            "pipe": {"size": "50 mm", "class": "PVC-U PN 10", "material": "PVC"}, "length": "2 m", "fittings": {"90 elbow": 1}}"#;
        (format!("r{at}"), end.to_owned())
    });
    let runs = collection("runs", trunk.into_iter().chain(ends));
    let line = format!(r#"{{"from": "p", "check_valve": "none", {runs}}}"#);
    let pump = r#"{"basin": "pond", "mount": "submerged", "intake": "-0.5 m", "count": 4,
        "curve": [["0 L/min", "5 m"], ["600 L/min", "4 m"], ["1200 L/min", "1 m"]]}"#;
    plan(&[
        basins,
        falls,
        collection("pumps", [("p".to_owned(), pump.to_owned())].into_iter()),
        collection("lines", [("l".to_owned(), line)].into_iter()),
    ])
}

/// One line of many runs behind one another.
fn runs(count: usize) -> String {
    let [basins, falls] = pair();
    let runs = (0..count).map(|at| {
        let before = at.checked_sub(1).map(|before| format!("r{before}"));
        let to = (at + 1 == count).then_some(("pool", 1.2));
        (format!("r{at}"), run(before.as_deref(), to, 110))
    });
    plan(&[
        basins,
        falls,
        collection("pumps", [("p".to_owned(), pump("pond", -0.5, 2.0))].into_iter()),
        collection("lines", [("l".to_owned(), line("\"p\"", runs))].into_iter()),
    ])
}

/// Dry-laid walls around a pond.
fn walls(count: usize) -> String {
    let basins = [("pond".to_owned(), basin("pond", 0.0))];
    let walls = (0..count).map(|at| {
        let wall = r#"{"basin": "pond", "height": "0.8 m", "retained": "0.7 m", "base_width": "0.5 m", "batter": "1:10", "courses": 5,
            "unit_weight": "2400 kg/m3", "mortared": false, "surcharge": "none"}"#;
        (format!("w{at}"), wall.to_owned())
    });
    plan(&[
        collection("basins", basins.into_iter()),
        collection("walls", walls),
    ])
}

/// Kinds of plants in a pond.
fn plants(count: usize) -> String {
    let basins = [("pond".to_owned(), basin("pond", 0.0))];
    let species = (0..count).map(|at| {
        let plant = format!(
            r#"{{"common": "rush {at}", "where": "pond", "count": 3, "depth": "0.15 m", "spacing": "0.3 m", "runs": false}}"#
        );
        (format!("s{at}"), plant)
    });
    let planting = format!(
        r#""planting": {{"area": "2 m2", {}}}"#,
        collection("species", species)
    );
    plan(&[collection("basins", basins.into_iter()), planting])
}

/// Layers of stone in a bed.
fn layers(count: usize) -> String {
    let thickness = 0.8 / count as f64;
    let layers = (0..count).map(|at| {
        let layer = format!(
            r#"{{"fill": "stone", "thickness": "{thickness} m", "smallest": "20 mm", "largest": "40 mm", "shape": "round", "washed": true, "porosity": "40 %"}}"#
        );
        (format!("y{at}"), layer)
    });
    let bed = format!(
        r#"{{"kind": "bed", "still": "0 m", "rim": "0.3 m", "floor": "-0.9 m",
        "shape": {{"form": "rectangle", "length": "3 m", "width": "2 m", "side_slope": "0:1"}}, {}}}"#,
        collection("layers", layers)
    );
    plan(&[collection("basins", [("bed".to_owned(), bed)].into_iter())])
}

/// A pond by many contours.
fn contours(count: usize) -> String {
    let contours: Vec<String> = (0..count)
        .map(|at| {
            let up = at as f64 / count as f64;
            format!(
                r#"{{"level": "{} m", "area": "{} m2"}}"#,
                0.4 - 1.2 * (1.0 - up),
                6.0 + 10.0 * up
            )
        })
        .collect();
    let pond = format!(
        r#"{{"kind": "pond", "still": "0 m", "rim": "0.3 m", "contours": [{}]}}"#,
        contours.join(",\n")
    );
    plan(&[collection("basins", [("pond".to_owned(), pond)].into_iter())])
}

/// Falls that name basins there are none of.
fn unknown(count: usize) -> String {
    let basins = (0..=count / 8).map(|at| (format!("basin-number-{at}"), basin("pond", 0.0)));
    let falls = (0..count / 2).map(|at| {
        let (from, to) = (format!("basin-numbre-{at}"), format!("basni-number-{at}"));
        (format!("f{at}"), fall(&from, &to, 0.0))
    });
    plan(&[collection("basins", basins), collection("falls", falls)])
}
