//! Bores, walls and ratings of pipe against printed tables.

use bywash::formulas::pipe_table::{Bore, Entry, UnknownPipe, inside_diameter};

use super::table::close;

const INCH: f64 = 0.0254;

/// Rating at 73 °F of PVC pipe as ISO 161 and the ASTM standards state it: P = 2·S·t/(D − t), S 2000 psi,
/// rounded to 10 psi for schedules (5 psi for SDR); wall of SDR pipe D/SDR, at least 0.060 in. Checks the
/// tables' entries against each other.
#[test]
fn reference_pvc_ratings_follow_from_walls() {
    let outside = [
        (0.5, 0.840),
        (0.75, 1.050),
        (1.0, 1.315),
        (1.25, 1.660),
        (1.5, 1.900),
        (2.0, 2.375),
        (2.5, 2.875),
        (3.0, 3.500),
        (4.0, 4.500),
        (5.0, 5.563),
        (6.0, 6.625),
        (8.0, 8.625),
        (10.0, 10.750),
        (12.0, 12.750),
    ];
    let mut checked = 0;
    for (nominal, d) in outside {
        for class in ["sch 40", "sch 80", "sdr 13.5", "sdr 21", "sdr 26", "sdr 32.5"] {
            let entry = match inside_diameter(nominal, class) {
                Ok(entry) => entry,
                Err(UnknownPipe::Size { .. }) => continue,
                Err(other) => panic!("{other}"),
            };
            checked += 1;
            let wall = entry.least_wall.unwrap() / INCH;
            assert_eq!(entry.outside_diameter, Some(d * INCH));
            let psi = entry.rating.unwrap() / 6_894.757_293_168;
            let by_wall = 2.0 * 2000.0 * wall / (d - wall);
            match class.strip_prefix("sdr ") {
                Some(ratio) => {
                    let by_ratio = (d / ratio.parse::<f64>().unwrap()).max(0.060);
                    assert!(
                        (wall - by_ratio).abs() <= 0.0015,
                        "{nominal} in {class}: wall {wall}"
                    );
                    // A thick small wall is rated no higher than its class.
                    assert!(by_wall > psi * 0.985, "{nominal} in {class}: {by_wall}");
                }
                None => assert!(
                    (by_wall - psi).abs() <= 7.5,
                    "{nominal} in {class}: {by_wall} against {psi}"
                ),
            }
        }
    }
    assert_eq!(checked, 14 + 14 + 9 + 13 + 12 + 11);
}

/// Bores of nominal wall as printed: the Crane example, 3 and 2½ in schedule 40 steel; stainless 2 in schedule 10S, 2.157 in
/// (ASME B36.19, from memory).
#[test]
fn reference_bores_of_nominal_wall() {
    for (nominal, class, inches) in [
        (3.0, "steel sch 40", 3.068),
        (2.5, "steel sch 40", 2.469),
        (3.0, "galvanized sch 40", 3.068),
        (2.0, "stainless sch 10s", 2.157),
    ] {
        let entry = inside_diameter(nominal, class).unwrap();
        assert_eq!(entry.bore, Bore::Nominal);
        close(entry.inside_diameter / INCH, inches, 1e-9, class);
    }
}

/// Average inside diameters of schedule 40 PVC, in, as size charts print them (two charts, read in copies): held to 1.2 %,
/// the smallest sizes being made thicker.
#[test]
fn reference_average_bores_of_schedule_40() {
    for (nominal, printed) in [
        (0.5, 0.602),
        (0.75, 0.804),
        (1.0, 1.029),
        (1.25, 1.360),
        (1.5, 1.590),
        (2.0, 2.047),
        (2.5, 2.445),
        (3.0, 3.042),
        (4.0, 3.998),
        (5.0, 5.016),
        (6.0, 6.031),
        (8.0, 7.942),
        (10.0, 9.976),
        (12.0, 11.889),
    ] {
        let entry = inside_diameter(nominal, "sch 40").unwrap();
        assert_eq!(entry.bore, Bore::Average);
        let tolerance = if nominal < 1.0 { 0.012 } else { 0.005 };
        close(
            entry.inside_diameter / INCH,
            printed,
            tolerance,
            &format!("{nominal} in"),
        );
    }
}

fn metric(size: f64, class: &str) -> Entry {
    inside_diameter(size / 25.4, class).unwrap()
}

/// Least walls of PE 100 pipe, mm, by SDR 7.4, 9, 11, 13.6 and 17 (PN 25, 20, 16, 12.5 and 10), as a printed table of EN 12201 and
/// ISO 4427 sizes gives them (read in a copy); nothing where the table has none.
#[test]
fn reference_walls_of_polyethylene() {
    let printed: [(f64, [f64; 5]); 16] = [
        (20.0, [3.0, 2.3, 2.0, 0.0, 0.0]),
        (25.0, [3.5, 3.0, 2.3, 2.0, 0.0]),
        (32.0, [4.4, 3.6, 3.0, 2.4, 2.0]),
        (40.0, [5.5, 4.5, 3.7, 3.0, 2.4]),
        (50.0, [6.9, 5.6, 4.6, 3.7, 3.0]),
        (63.0, [8.6, 7.1, 5.8, 4.7, 3.8]),
        (75.0, [10.3, 8.4, 6.8, 5.6, 4.5]),
        (90.0, [12.3, 10.1, 8.2, 6.7, 5.4]),
        (110.0, [15.1, 12.3, 10.0, 8.1, 6.6]),
        (125.0, [17.1, 14.0, 11.4, 9.2, 7.4]),
        (140.0, [19.2, 15.7, 12.7, 10.3, 8.3]),
        (160.0, [21.9, 17.9, 14.6, 11.8, 9.5]),
        (180.0, [24.6, 20.1, 16.4, 13.3, 10.7]),
        (200.0, [27.4, 22.4, 18.2, 14.7, 11.9]),
        (225.0, [30.8, 25.2, 20.5, 16.6, 13.4]),
        (250.0, [34.2, 27.9, 22.7, 18.4, 14.8]),
    ];
    let classes = [
        ("7.4", 25.0),
        ("9", 20.0),
        ("11", 16.0),
        ("13.6", 12.5),
        ("17", 10.0),
    ];
    for (size, walls) in printed {
        for ((ratio, bar), wall) in classes.into_iter().zip(walls) {
            if wall == 0.0 {
                continue;
            }
            for class in [format!("PE 100 SDR {ratio}"), format!("PE100 PN{bar}")] {
                let entry = metric(size, &class);
                close(
                    entry.least_wall.unwrap() * 1e3,
                    wall,
                    1e-9,
                    &format!("{size} mm {class}"),
                );
                assert_eq!(entry.rating, Some(bar * 1e5), "{size} mm {class}");
            }
        }
    }
}

/// Average bores of PE 100 SDR 11 from the middle between the least and the greatest wall of the same table.
#[test]
fn reference_average_bores_of_polyethylene() {
    for (size, least, greatest) in [
        (40.0, 3.7, 4.2),
        (63.0, 5.8, 6.5),
        (90.0, 8.2, 9.2),
        (110.0, 10.0, 11.4),
        (160.0, 14.6, 16.2),
    ] {
        let entry = metric(size, "PE 100 SDR 11");
        let middle = size - (least + greatest);
        close(entry.inside_diameter * 1e3, middle, 3e-3, &format!("{size} mm"));
    }
}

/// Least walls of PVC-U, mm, EN ISO 1452-2 (from memory): 63 mm PN 10 3.0, PN 16 4.7; 110 mm PN 10 4.2, PN 16 6.6; 160 mm
/// PN 10 6.2; and of sewer pipe, EN 1401-1 (from memory): 110 mm SN 4 3.2, 160 mm SN 8 4.7.
#[test]
fn reference_walls_of_pvc_u() {
    for (size, class, wall) in [
        (32.0, "PVC-U PN 10", 1.6),
        (50.0, "PVC-U PN 10", 2.4),
        (63.0, "PVC-U PN 10", 3.0),
        (63.0, "PVC PN16", 4.7),
        (90.0, "PVC-U PN 10", 4.3),
        (110.0, "PVC-U PN 10", 4.2),
        (110.0, "PVC-U SDR 26", 4.2),
        (110.0, "uPVC PN 16", 6.6),
        (160.0, "PVC-U PN 10", 6.2),
        (110.0, "SN 4", 3.2),
        (160.0, "SN8", 4.7),
    ] {
        let entry = metric(size, class);
        close(
            entry.least_wall.unwrap() * 1e3,
            wall,
            1e-9,
            &format!("{size} mm {class}"),
        );
        assert_eq!(entry.pressure, !class.starts_with("SN"));
    }
}
