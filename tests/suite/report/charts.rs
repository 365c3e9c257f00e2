//! What the charts and beds of the examples show, besides lying clear of each other.

use bywash::report::drawing::{Fill, Item};

use super::{courtyard, reviewed};

const TWO_PONDS: &str = include_str!("../../../examples/two-ponds.jsonc");
const RETROFIT: &str = include_str!("../../../examples/courtyard-retrofit.jsonc");

#[test]
fn levels_in_time_call_basins_by_name_and_give_each_a_scale() {
    let (review, drawings) = courtyard();
    assert_eq!(drawings.courses.len(), 2);
    for scene in &drawings.courses {
        let names: Vec<&str> = scene
            .texts()
            .filter(|text| text.strong)
            .map(|text| text.text.as_str())
            .collect();
        assert!(
            names.contains(&"koi pond") && names.contains(&"upflow bed"),
            "{names:?}"
        );
        assert!(
            scene.notes.iter().any(|note| note.contains(" at koi pond")),
            "{:?}",
            scene.notes
        );
        assert!(scene.alt.contains("koi pond from"), "{}", scene.alt);
    }
    assert!(review.cases.is_some());
    let (_, drawings) = reviewed(TWO_PONDS);
    for scene in drawings.courses.iter().chain(&drawings.cases) {
        let panels = scene.texts().filter(|text| text.strong).count();
        let scales = scene.texts().filter(|text| text.text == "in").count();
        let graduations = scene
            .texts()
            .filter(|text| text.text.parse::<f64>().is_ok() || text.text.starts_with('−'));
        assert_eq!(panels, scales, "{}", scene.title);
        assert!(graduations.count() >= 2 * panels, "{}", scene.title);
    }
}

#[test]
fn levels_in_time_tell_what_is_supposed_and_whether_overflows_count() {
    for (review, drawings) in [courtyard(), reviewed(TWO_PONDS)] {
        let cases = review.cases.as_ref().unwrap();
        let worst = cases.worst.iter().chain(&cases.combined);
        assert_eq!(drawings.courses.len(), 2);
        for (scene, worst) in drawings.courses.iter().zip(worst) {
            assert_eq!(scene.notes[0], format!("Supposed: {}.", worst.case.supposes));
            // An overflow passes water in every case but the one that blocks it.
            let counted = !worst.case.name.split('+').any(|part| part == "overflow-blocked");
            let said = scene
                .notes
                .iter()
                .any(|note| note.starts_with("No overflow is counted"));
            assert_eq!(said, !counted, "{}", worst.case.name);
        }
    }
}

#[test]
fn the_table_of_cases_has_a_cell_for_each_basin_and_tells_what_an_edge_settles_under() {
    let (_, drawings) = reviewed(RETROFIT);
    let [table] = drawings.case_tables.as_slice() else {
        panic!("one table holds two basins");
    };
    assert_eq!(table.basins, ["upflow bed", "koi pond"]);
    assert!(table.rows.iter().all(|row| row.cells.len() == 2));
    let levels = |case: &str| {
        let row = table.rows.iter().find(|row| row.case == case).unwrap();
        row.cells
            .iter()
            .map(|cell| cell.level.clone().unwrap())
            .collect::<Vec<_>>()
    };
    assert_eq!(levels("running"), levels("running, an edge settled"));
}

/// The box of a path's points: left, top, right, bottom.
fn extent(points: &[[f64; 2]]) -> [f64; 4] {
    let start = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    points.iter().fold(start, |[l, t, r, b], [x, y]| {
        [l.min(*x), t.min(*y), r.max(*x), b.max(*y)]
    })
}

#[test]
fn the_leader_of_modules_narrower_than_their_bed_ends_within_them() {
    let (_, drawings) = reviewed(RETROFIT);
    let bed = &drawings.beds[0];
    let modules = bed.items.iter().find_map(|item| match item {
        Item::Path {
            points,
            fill: Some(Fill::Modules),
            ..
        } => Some(extent(points)),
        _ => None,
    });
    let [left, top, right, bottom] = modules.unwrap();
    let within = bed.items.iter().filter(|item| {
        matches!(item, Item::Disc { at: [x, y], .. } if left < *x && *x < right && top < *y && *y < bottom)
    });
    assert_eq!(within.count(), 1);
}

#[test]
fn no_leader_of_a_mark_runs_under_another() {
    let (_, drawings) = courtyard();
    let bed = &drawings.beds[0];
    let marks: Vec<_> = bed
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Mark(mark) => Some(mark.bounds()),
            _ => None,
        })
        .collect();
    assert!(marks.len() > 4);
    let leaders = bed.items.iter().filter_map(|item| match item {
        Item::Path {
            points,
            stroke: Some(stroke),
            ..
        } if stroke.weight == 0.35 => Some(points),
        _ => None,
    });
    for points in leaders {
        let under = marks
            .iter()
            .filter(|mark| mark.crossed_by(&[points[0], points[1]]))
            .count();
        assert_eq!(under, 1);
    }
}
