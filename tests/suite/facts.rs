//! The small figures that rules ask for, over the sound plan with one thing changed: what each comes to, and where
//! it points.

mod catchment;
mod fields;
mod filling;
mod people;
mod pumps;
mod uplift;
mod water;

use bywash::{
    figures,
    ledger::{Answer, Found, Gap},
    plan::Plan,
    read::{Patched, Place, Sources, assignment, parse},
};

mod reach;

const SOUND_PLAN: &str = include_str!("../../examples/courtyard-retrofit.jsonc");

/// A figure of the sound plan under assignments such as `/basins/pond/fish=none`.
fn answer(changes: &[&str], at: &str, name: &str) -> Option<Answer> {
    answer_of(SOUND_PLAN, changes, at, name)
}

/// A figure of any plan under assignments.
fn answer_of(plan: &str, changes: &[&str], at: &str, name: &str) -> Option<Answer> {
    let mut sources = Sources::default();
    let source = sources.add("plan", plan);
    let mut patched = Patched::new(parse(&sources, source).unwrap());
    for change in changes {
        patched.apply(assignment(&mut sources, change).unwrap());
    }
    let ledger = figures::compute(&Plan::from_tree(&patched.root).unwrap());
    let figure = ledger.get(&Place::from_pointer(at), name)?;
    Some(figure.answer.clone())
}

fn short(answer: Option<Answer>) -> String {
    let places = |places: &[Place]| places.iter().map(Place::as_str).collect::<Vec<_>>().join(" ");
    match answer {
        None => "not entered".to_owned(),
        Some(Ok(Found::Quantity(si) | Found::Stated { us: si, .. })) => format!("{si:.4}"),
        Some(Ok(Found::Verdict { holds: true, .. })) => "yes".to_owned(),
        Some(Ok(Found::Verdict { at: None, .. })) => "no".to_owned(),
        Some(Ok(Found::Verdict { at: Some(at), .. })) => format!("no {}", at.as_str()),
        Some(Err(Gap::NotShown(missing))) => format!("asks {}", places(&missing)),
        Some(Err(Gap::DoesNotApply(_))) => "does not apply".to_owned(),
        Some(Err(Gap::NotComputed(why))) => format!("not computed: {why}"),
    }
}

/// Changes, object, figure, and what it comes to.
type Row<'a> = (&'a [&'a str], &'a str, &'a str, &'a str);

fn hold(rows: &[Row<'_>]) {
    hold_of(SOUND_PLAN, rows);
}

fn hold_of(plan: &str, rows: &[Row<'_>]) {
    let failures: Vec<_> = rows
        .iter()
        .filter_map(|(changes, at, name, wanted)| {
            let found = short(answer_of(plan, changes, at, name));
            (found != *wanted).then(|| format!("{name} at `{at}` under {changes:?}: {found}, not {wanted}"))
        })
        .collect();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn what_is_left_out_is_asked_for_and_what_is_none_is_not() {
    hold(&[
        (
            &["/basins/pond/fish=null"],
            "",
            "fish-kept",
            "asks /basins/pond/fish",
        ),
        (
            &["/basins/pond/fish=none", "/basins/bed/fish=null"],
            "",
            "fish-kept",
            "no",
        ),
        (&["/basins=null"], "", "fish-kept", "asks /basins"),
        (&["/basins/bed/kind=pond"], "", "bed-planned", "no"),
        (
            &["/basins/bed/kind=null"],
            "",
            "bed-planned",
            "asks /basins/bed/kind",
        ),
        (&["/site/barrier=none"], "", "barrier-size", "does not apply"),
        (
            &["/site/barrier/openings=4 in"],
            "",
            "barrier-size",
            "no /site/barrier/openings",
        ),
        (
            &["/site/barrier/height=null"],
            "",
            "barrier-size",
            "asks /site/barrier/height",
        ),
        (
            &["/water/lowest_ph=null"],
            "",
            "ph-in-range",
            "asks /water/lowest_ph",
        ),
        (
            &["/water/lowest_ph=null", "/water/highest_ph=9.5"],
            "",
            "ph-in-range",
            "no /water/highest_ph",
        ),
        (
            &["/filling/standing_tanks=none"],
            "",
            "tanks-stood",
            "does not apply",
        ),
        (&["/filling=null"], "", "tanks-stood", "asks /filling"),
        (
            &["/backfill/sharp_stone=null"],
            "",
            "backfill-clean",
            "asks /backfill/sharp_stone",
        ),
        (&["/water/make_up=none"], "", "air-gap-needed", "does not apply"),
        (
            &["/water/make_up/near_wall=null"],
            "",
            "air-gap-needed",
            "asks /water/make_up/near_wall",
        ),
        (&[], "", "breaker-high-enough", "does not apply"),
        (
            &["/planting/species/blue-flag/count=null"],
            "",
            "planting-density",
            "asks /planting/species/blue-flag/count",
        ),
    ]);
}

#[test]
fn basins_tell_what_stands_on_their_lining_and_what_goes_through_it() {
    hold(&[
        (&[], "/basins/pond", "stone-on-lining", "yes"),
        (
            &["/basins/pond/lining/boulder_seats=none"],
            "/basins/pond",
            "stone-on-lining",
            "no",
        ),
        (
            &["/basins/pond/lining=none"],
            "/basins/pond",
            "stone-on-lining",
            "does not apply",
        ),
        (
            &["/basins/bed/layers=null"],
            "/basins/bed",
            "stone-on-lining",
            "asks /basins/bed/layers",
        ),
        (&[], "/basins/pond", "penetrations-sealed", "does not apply"),
        (
            &["/basins/pond/bottom_drain=null"],
            "/basins/pond",
            "penetrations-sealed",
            "asks /basins/pond/bottom_drain",
        ),
        (
            &["/basins/pond/lining/penetrations=null"],
            "/basins/pond",
            "penetrations-sealed",
            "asks /basins/pond/lining/penetrations",
        ),
        (
            &["/basins/pond/filled_at_once=null"],
            "/basins/pond",
            "filled-or-dewatered",
            "asks /basins/pond/filled_at_once",
        ),
        (
            &["/basins/bed/filled_at_once=false"],
            "/basins/bed",
            "filled-or-dewatered",
            "asks /basins/bed/dewatered",
        ),
        (
            &["/walls=null", "/basins/pond/shape/form=bowl"],
            "/basins/pond",
            "sides-stand",
            "does not apply",
        ),
    ]);
}

#[test]
fn only_the_lowest_basin_has_water_in_flight() {
    hold(&[
        (&[], "/basins/bed", "water-in-flight", "does not apply"),
        (
            &["/pumps/main/best_flow=null"],
            "/pumps/main",
            "best-flow-share",
            "not entered",
        ),
        (
            &["/pumps/main/power=null"],
            "/pumps/main",
            "water-power-share",
            "not entered",
        ),
    ]);
    let in_flight = answer(&[], "/basins/pond", "water-in-flight").unwrap().unwrap();
    assert!(matches!(in_flight, Found::Quantity(volume) if volume > 0.0));
    assert!(answer(&[], "/basins/bed", "power-off-level").unwrap().is_ok());
}

#[test]
fn fish_have_a_turnover_a_depth_and_a_way_through_a_power_cut() {
    hold(&[
        (&["/falls=null"], "/basins/bed", "turnover", "asks /falls"),
        (
            &["/falls=null", "/lines/feed/runs=null"],
            "/basins/bed",
            "turnover",
            "asks /falls",
        ),
        (&["/pumps=null"], "/basins/pond", "turnover", "asks /pumps"),
        (&[], "/basins/pond", "turnover-limit", "7200.0000"),
        (
            &["/basins/pond/fish/kind=other"],
            "/basins/pond",
            "turnover-limit",
            "14400.0000",
        ),
        (
            &["/basins/pond/fish=none"],
            "/basins/pond",
            "turnover-limit",
            "does not apply",
        ),
        (
            &["/site/frost_depth=none"],
            "/basins/pond",
            "depth-for-fish",
            "0.6096",
        ),
        (
            &["/site/frost_depth=6 in"],
            "/basins/pond",
            "depth-for-fish",
            "0.6096",
        ),
        (&[], "/basins/pond", "depth-for-fish", "0.9144"),
        (
            &["/basins/pond/fish/kind=goldfish", "/site/frost_depth=none"],
            "/basins/pond",
            "depth-for-fish",
            "0.4572",
        ),
        (
            &["/basins/pond/fish/kind=goldfish"],
            "/basins/pond",
            "depth-for-fish",
            "0.6096",
        ),
        // Two pumps stop together, and a spare on the shelf gives no air.
        (
            &["/pumps/main/standby_air=false", "/pumps/main/count=2"],
            "/basins/pond",
            "air-in-outage",
            "no /pumps/main/standby_air",
        ),
        (&[], "/basins/pond", "air-in-outage", "yes"),
        (
            &[
                "/pumps/main/spare=null",
                "/pumps/main/standby_air=false",
                "/upkeep/spare_pump=false",
            ],
            "/basins/pond",
            "backup-for-fish",
            "asks /pumps/main/spare",
        ),
        (
            &[
                "/pumps/main/spare=none",
                "/pumps/main/standby_air=false",
                "/upkeep/spare_pump=false",
                "/pumps/main/count=2",
            ],
            "/basins/pond",
            "backup-for-fish",
            "yes",
        ),
    ]);
    let Some(Ok(Found::Quantity(turnover))) = answer(&[], "/basins/pond", "turnover") else {
        panic!("a turnover is due");
    };
    let (volume, flow) = (
        answer(&[], "/basins/pond", "still-volume"),
        answer(&[], "/pumps/main", "duty-flow"),
    );
    let (Some(Ok(Found::Quantity(volume))), Some(Ok(Found::Quantity(flow)))) = (volume, flow) else {
        panic!("volume and flow are due");
    };
    assert!((turnover * flow / volume - 1.0).abs() < 1e-12);
}

#[test]
fn digs_walls_circuits_and_pumps_hold_their_limits() {
    hold(&[
        (
            &["/site/soil=null"],
            "/excavations/bed-dig",
            "slope-enough",
            "asks /site/soil",
        ),
        (
            &["/site/soil=rock", "/excavations/bed-dig/slope=0:1"],
            "/excavations/bed-dig",
            "slope-enough",
            "yes",
        ),
        (
            &["/site/soil=A", "/excavations/bed-dig/slope=0.75:1"],
            "/excavations/bed-dig",
            "slope-enough",
            "yes",
        ),
        (
            &["/site/soil=C"],
            "/excavations/bed-dig",
            "slope-enough",
            "no /excavations/bed-dig/slope",
        ),
        (&[], "/excavations/bed-dig", "footing-clearance", "does not apply"),
        // 2 ft away from a footing 1 ft deep, beside an upright dig of 2 ft 8 in: 24 in over 20 in.
        (
            &[
                "/excavations/bed-dig/protection=shored",
                "/excavations/bed-dig/footing/distance=2 ft",
                "/excavations/bed-dig/footing/depth=1 ft",
            ],
            "/excavations/bed-dig",
            "footing-clearance",
            "1.2000",
        ),
        // Sloped at 1:1 its foot lies 32 in further off: 56 in over 20 in.
        (
            &[
                "/excavations/bed-dig/footing/distance=2 ft",
                "/excavations/bed-dig/footing/depth=1 ft",
            ],
            "/excavations/bed-dig",
            "footing-clearance",
            "2.8000",
        ),
        (&[], "/walls/bed-face", "wall-needs-engineer", "no"),
        (
            &["/walls/bed-face/surcharge=null"],
            "/walls/bed-face",
            "wall-needs-engineer",
            "asks /walls/bed-face/surcharge",
        ),
        (
            &["/walls/bed-face/joints_packed=null"],
            "/walls/bed-face",
            "soil-held",
            "asks /walls/bed-face/joints_packed",
        ),
        (
            &["/electrical/circuits/pump/disconnect=null"],
            "/electrical/circuits/pump",
            "disconnect-in-sight",
            "asks /electrical/circuits/pump/disconnect",
        ),
        (
            &["/electrical/circuits/pump/gear_level=none"],
            "/electrical/circuits/pump",
            "gear-above-water",
            "does not apply",
        ),
        (
            &[
                "/pumps/main/low_level_cut_off=null",
                "/electrical/circuits/pump/dry_run_cut_off=null",
            ],
            "/pumps/main",
            "stops-before-dry",
            "asks /pumps/main/low_level_cut_off",
        ),
        (
            &[
                "/pumps/main/low_level_cut_off=null",
                "/electrical/circuits/pump/dry_run_cut_off=false",
            ],
            "/pumps/main",
            "stops-before-dry",
            "no /electrical/circuits/pump/dry_run_cut_off",
        ),
    ]);
}

#[test]
fn a_fall_counts_on_its_drop_and_a_suction_rises() {
    hold(&[
        (&[], "/falls/spillway", "stated-drop-apart", "not entered"),
        (
            &["/falls/spillway/stated_drop=18 in"],
            "/falls/spillway",
            "stated-drop-apart",
            "0.1016",
        ),
        (
            &["/falls/spillway/stated_drop=26 in"],
            "/falls/spillway",
            "stated-drop-apart",
            "0.1016",
        ),
        (&[], "/pumps/main", "suction-rises", "not entered"),
        (
            &["/pumps/main/mount=dry"],
            "/pumps/main",
            "suction-rises",
            "asks /pumps/main/suction_high_point",
        ),
        (
            &["/pumps/main/mount=dry", "/pumps/main/suction_high_point=none"],
            "/pumps/main",
            "suction-rises",
            "yes",
        ),
        (
            &[
                "/pumps/main/mount=dry",
                "/pumps/main/level=6 in",
                "/pumps/main/suction_high_point=6 in",
            ],
            "/pumps/main",
            "suction-rises",
            "yes",
        ),
        (
            &[
                "/pumps/main/mount=dry",
                "/pumps/main/level=6 in",
                "/pumps/main/suction_high_point=7 in",
            ],
            "/pumps/main",
            "suction-rises",
            "no /pumps/main/suction_high_point",
        ),
        (
            &["/pumps/main/mount=dry", "/pumps/main/suction_high_point=7 in"],
            "/pumps/main",
            "suction-rises",
            "asks /pumps/main/level",
        ),
    ]);
}

#[test]
fn a_stream_tells_where_its_water_jumps_and_where_it_drops_through_critical_depth() {
    let told = |first: &str, second: &str| {
        let reach = |id: &str, drop: &str| {
            let of = |field: &str, value: &str| format!("/streams/run/reaches/{id}/{field}={value}");
            [
                of("length", "6 ft"),
                of("drop", drop),
                of("bed_width", "18 in"),
                of("side_slope", "1:1"),
            ]
        };
        let mut changes = vec![
            "/falls/spillway/to=run".to_owned(),
            "/streams/run/ends_in=pond".to_owned(),
        ];
        changes.extend(reach("first", first).into_iter().chain(reach("second", second)));
        let changes: Vec<&str> = changes.iter().map(String::as_str).collect();
        match answer(&changes, "/streams/run", "stream-tranquil") {
            Some(Ok(Found::Verdict { holds, because, .. })) => (holds, because),
            other => panic!("{other:?}"),
        }
    };
    // Slopes of 4 and 0.002: beyond critical and short of it for any resistance of the range.
    let (steep, flat) = ("24 ft", "0.15 in");
    let jump = "where \"first\" meets \"second\" the water rises in a hydraulic jump".to_owned();
    assert_eq!(told(steep, flat), (false, jump));
    let drop = "where \"first\" meets \"second\" the water drops through critical depth; at the foot of \"second\" the water \
                rises in a hydraulic jump";
    assert_eq!(told(flat, steep), (false, drop.to_owned()));
    assert_eq!(told(flat, flat), (true, "no reach is rapid".to_owned()));
}
