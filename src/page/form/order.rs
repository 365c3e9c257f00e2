//! The order of the form, and which answers come first. What the schema has beyond these follows of itself.

/// The parts of a plan in the order a feature is built.
pub const PARTS: [&str; 20] = [
    "project",
    "benchmark",
    "site",
    "water",
    "basins",
    "excavations",
    "walls",
    "pumps",
    "lines",
    "falls",
    "streams",
    "drains",
    "backfill",
    "electrical",
    "planting",
    "filling",
    "upkeep",
    "attachments",
    "accepted",
    "$schema",
];

/// Parts of a plan that are not on the form: the format is always the same, and acceptances are made at findings.
pub const APART: [&str; 2] = ["format", "$schema"];

/// The answers that come first, by the place of their object; all others are folded under them.
const FIRST: [(&str, &[&str]); 12] = [
    (
        "/project",
        &["name", "place", "date", "revision", "designer", "units", "work"],
    ),
    (
        "/site",
        &[
            "soil",
            "groundwater",
            "design_storm",
            "barrier",
            "underground_services_located",
        ],
    ),
    (
        "/water",
        &["supply", "disinfectant", "coldest", "warmest", "make_up"],
    ),
    (
        "/basins/*",
        &[
            "name",
            "kind",
            "still",
            "rim",
            "floor",
            "shape",
            "stated_volume",
            "overflow",
            "lining",
            "fish",
            "layers",
        ],
    ),
    (
        "/basins/*/layers/*",
        &["fill", "thickness", "smallest", "largest", "shape", "washed"],
    ),
    (
        "/pumps/*",
        &[
            "name",
            "basin",
            "mount",
            "intake",
            "curve",
            "stated_flow",
            "power",
        ],
    ),
    ("/lines/*", &["name", "from", "runs", "check_valve", "air_inlet"]),
    (
        "/lines/*/runs/*",
        &["pipe", "length", "fittings", "to", "discharge", "after"],
    ),
    ("/falls/*", &["name", "from", "to", "crest", "width", "edge"]),
    ("/streams/*", &["name", "ends_in", "reaches"]),
    ("/drains/*", &["name", "from", "to", "mouth", "run"]),
    (
        "/electrical/circuits/*",
        &["serves", "voltage", "ground_fault", "distance", "disconnect"],
    ),
];

/// The answers of an object that come first; none where all do.
pub fn first(pattern: &str) -> Option<&'static [&'static str]> {
    let found = FIRST.iter().find(|(known, _)| *known == pattern);
    found.map(|(_, keys)| *keys)
}

/// What people call a member of a collection where one is added.
pub fn member(collection: &str) -> &'static str {
    match collection {
        "basins" => "basin",
        "pumps" => "pump",
        "lines" => "line",
        "falls" => "fall",
        "streams" => "stream",
        "drains" => "drain",
        "walls" => "wall",
        "excavations" => "excavation",
        "layers" => "layer",
        "runs" => "run of pipe",
        "fittings" => "fitting",
        "reaches" => "reach",
        "circuits" => "circuit",
        "species" => "plant",
        "shelves" => "shelf",
        "attachments" => "photograph or sheet",
        "accepted" => "acceptance",
        _ => "entry",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A field that is renamed in the schema is renamed here.
    #[test]
    fn every_name_is_one_of_the_schema() {
        let book = crate::plan::schema().book();
        for (pattern, keys) in FIRST {
            let parts: Vec<&str> = pattern.split('/').skip(1).collect();
            let known = book.fields_of(&parts);
            for key in keys {
                assert!(known.contains(key), "{pattern}: {key}");
            }
        }
        let known = book.fields_of(&[]);
        for part in PARTS.iter().chain(&APART) {
            assert!(known.contains(part), "{part}");
        }
    }
}
