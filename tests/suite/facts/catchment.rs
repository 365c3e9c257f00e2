//! The catchment drains into one basin: the one that the plan names, or the only one open to rain.

use bywash::ledger::Found;

use super::{answer, hold};

const ROOFS: &str = "/site/catchment=1000 ft2";

/// A gallon an hour, m³/s.
const GPH: f64 = 3.785_411_784e-3 / 3600.0;

fn inflow(changes: &[&str], at: &str) -> f64 {
    match answer(changes, at, "storm-inflow") {
        Some(Ok(Found::Quantity(si))) => si / GPH,
        other => panic!("no storm inflow: {other:?}"),
    }
}

/// By hand. Pond 16 by 11 ft, bed 8 by 6 ft, ground 1,000 ft², 2.6 in in an hour: (176 + 48 + 1,000) ft² × 2.6/12 ft =
/// 265.2 ft³ = 1,983.8 gal, and make-up of 120 gph.
#[test]
fn the_overflow_takes_the_catchment_of_its_basin_and_of_those_above() {
    for into in ["pond", "bed"] {
        let into = format!("/site/catchment_into={into}");
        let found = inflow(&[ROOFS, &into], "/basins/pond");
        assert!((found - 2103.8).abs() < 0.2, "{into}: {found}");
    }
}

/// The pond's water comes to the bed by the pump alone: of the storm only the bed's own 48 ft² × 2.6/12 ft = 10.4 ft³ =
/// 77.8 gal in the hour.
#[test]
fn what_drains_into_the_pond_is_none_of_the_beds_overflow() {
    let overflow = "/basins/bed/overflow={\"level\":\"+14 in\",\"width\":\"12 in\"}";
    let into = |id: &str| {
        inflow(
            &[ROOFS, &format!("/site/catchment_into={id}"), overflow],
            "/basins/bed",
        )
    };
    assert!((into("pond") - 77.8).abs() < 0.1, "{}", into("pond"));
    // And the ground's 1,000 ft² × 2.6/12 ft = 216.67 ft³ = 1,620.8 gal where it drains into the bed.
    assert!((into("bed") - 1698.6).abs() < 0.2, "{}", into("bed"));
}

#[test]
fn where_the_catchment_drains_is_asked_only_where_it_could_be_more_than_one_basin() {
    let (pond, storm) = ("/basins/pond", "storm-level");
    hold(&[
        (&[ROOFS], pond, storm, "asks /site/catchment_into"),
        (&[ROOFS], pond, "storm-inflow", "asks /site/catchment_into"),
        (
            &["/site/catchment=null"],
            pond,
            "storm-inflow",
            "asks /site/catchment",
        ),
    ]);
    let covered = "/basins/bed/open_to_rain=false";
    for changes in [
        &[ROOFS, covered][..],
        &["/site/catchment=none"],
        &["/site/catchment=0 ft2"],
    ] {
        assert!(matches!(answer(changes, pond, storm), Some(Ok(_))), "{changes:?}");
        assert!(
            matches!(answer(changes, pond, "storm-inflow"), Some(Ok(_))),
            "{changes:?}"
        );
    }
}

/// In time: the bed stands higher in the storm where the ground drains into it, the pond where it drains there.
#[test]
fn the_storm_brings_the_catchment_to_the_basin_it_drains_into() {
    let level = |into: &str, at: &str| match answer(
        &[
            "/site/catchment=3000 ft2",
            &format!("/site/catchment_into={into}"),
        ],
        at,
        "storm-level",
    ) {
        Some(Ok(Found::Quantity(si))) => si,
        other => panic!("no level: {other:?}"),
    };
    assert!(level("bed", "/basins/bed") > level("pond", "/basins/bed") + 0.005);
    assert!(level("pond", "/basins/pond") > level("bed", "/basins/pond") - 1e-9);
}
