//! The small figures of rules that keep people from harm.

use super::hold;

#[test]
fn a_word_that_no_barrier_is_required_needs_authority_name_and_date() {
    const AUTHORITY: &str = "/site/barrier_not_required/authority=county building department";
    const NAME: &str = "/site/barrier_not_required/name=R. Ilves";
    const DATE: &str = "/site/barrier_not_required/date=2026-03-18";
    const NONE: &str = "/site/barrier=none";
    const LEFT_OUT: &str = "/site/barrier=null";
    let of = "barrier-or-waiver";
    hold(&[
        (&[NONE], "", of, "no /site/barrier"),
        (&[NONE, AUTHORITY, NAME, DATE], "", of, "yes"),
        (&[LEFT_OUT, AUTHORITY, NAME, DATE], "", of, "yes"),
        (
            &[NONE, NAME],
            "",
            of,
            "asks /site/barrier_not_required/authority /site/barrier_not_required/date",
        ),
        (
            &[NONE, AUTHORITY, DATE],
            "",
            of,
            "asks /site/barrier_not_required/name",
        ),
        (
            &[LEFT_OUT, AUTHORITY, NAME],
            "",
            of,
            "asks /site/barrier_not_required/date",
        ),
        (
            &[NONE, AUTHORITY, "/site/barrier_not_required/name=none", DATE],
            "",
            of,
            "no /site/barrier_not_required/name",
        ),
        // A barrier stands, whatever is recorded.
        (&[AUTHORITY], "", of, "yes"),
    ]);
}

#[test]
fn a_circuit_is_near_the_water_where_what_it_feeds_or_its_receptacle_is() {
    const FAR: &str = "/electrical/circuits/pump/distance=25 ft";
    let (at, of) = ("/electrical/circuits/pump", "near-water");
    hold(&[
        (&[FAR], at, of, "yes"),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=21 ft"],
            at,
            of,
            "no /electrical/circuits/pump/distance",
        ),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=none"],
            at,
            of,
            "no /electrical/circuits/pump/distance",
        ),
        (
            &[FAR, "/electrical/circuits/pump/receptacle=null"],
            at,
            of,
            "asks /electrical/circuits/pump/receptacle",
        ),
        (
            &[
                "/electrical/circuits/pump/distance=20 ft",
                "/electrical/circuits/pump/receptacle=none",
            ],
            at,
            of,
            "yes",
        ),
    ]);
}

#[test]
fn open_water_is_what_stands_over_the_stone_and_only_deep_water_settles_it_early() {
    const SHALLOW: &str = "/basins/pond/floor=-32 in";
    let (of, anywhere) = ("open-water-depth", "deepest-water-anywhere");
    const STONE_IN_THE_POND: &str = "/basins/pond/layers/gravel={\"fill\":\"stone\",\"thickness\":\"30 in\"}";
    hold(&[
        (&[], "/basins/pond", of, "1.2192"),
        // The bed's stone reaches 1 in under its still level.
        (&[], "/basins/bed", of, "0.0254"),
        (
            &["/basins/bed/layers/finishing/thickness=1 in"],
            "/basins/bed",
            of,
            "0.1524",
        ),
        // Modules alone can be lifted out.
        (
            &[
                "/basins/bed/layers/large=null",
                "/basins/bed/layers/medium=null",
                "/basins/bed/layers/finishing=null",
            ],
            "/basins/bed",
            of,
            "0.9144",
        ),
        (
            &["/basins/bed/layers/finishing/area=10 ft2"],
            "/basins/bed",
            of,
            "0.1778",
        ),
        (
            &["/basins/bed/layers=null"],
            "/basins/bed",
            of,
            "asks /basins/bed/layers",
        ),
        (
            &["/basins/bed/layers/large/fill=null"],
            "/basins/bed",
            of,
            "asks /basins/bed/layers/large/fill",
        ),
        (&[STONE_IN_THE_POND], "/basins/pond", of, "0.4572"),
        (&[SHALLOW], "", anywhere, "0.5080"),
        (&["/basins/bed/floor=null"], "", anywhere, "1.2192"),
        (
            &[SHALLOW, "/basins/bed/floor=null"],
            "",
            anywhere,
            "asks /basins/bed/floor",
        ),
    ]);
}
