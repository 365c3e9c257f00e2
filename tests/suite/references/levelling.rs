//! Levelling against a printed level book.

use bywash::formulas::levelling::{allowed_closing_error, height_of_instrument, level, reading, turned};

/// A level run from BM-1 at 100.00 ft, from a study guide for the surveying examination of the NCEES (differential
/// leveling, height of instrument and closure), seen: backsights 4.20, 5.15 and 3.05 ft, foresights 2.50, 3.50 and 4.10 ft;
/// instrument at 104.20, 106.85 and 106.40 ft, turning points at 101.70 and 103.35 ft, BM-2 at 102.30 ft; the sums of the
/// sights differ by as much as the marks do.
#[test]
fn reference_a_level_run_is_carried_from_mark_to_mark() {
    let near = |found: f64, printed: f64| assert!((found - printed).abs() < 1e-9, "{found} for {printed}");
    let first = height_of_instrument(100.00, 4.20);
    near(first, 104.20);
    near(level(first, 2.50), 101.70);
    let second = turned(first, 2.50, 5.15);
    near(second, 106.85);
    near(level(second, 3.50), 103.35);
    let third = turned(second, 3.50, 3.05);
    near(third, 106.40);
    near(level(third, 4.10), 102.30);
    near((4.20 + 5.15 + 3.05) - (2.50 + 3.50 + 4.10), 102.30 - 100.00);
    // A second example, of a page for the same examination, seen: 520.50 ft, backsight 4.25 ft, foresight 6.80 ft.
    near(level(height_of_instrument(520.50, 4.25), 6.80), 517.95);
    near(reading(524.75, 517.95), 6.80);
}

/// Random errors of equal set-ups add up as the root of their number (any surveying text).
#[test]
fn reference_four_set_ups_may_close_twice_as_far_off_as_one() {
    assert!((allowed_closing_error(0.003, 4.0) - 2.0 * allowed_closing_error(0.003, 1.0)).abs() < 1e-15);
    assert!(allowed_closing_error(f64::NAN, 4.0).is_nan());
    assert!(
        reading(f64::NAN, 1.0).is_nan()
            && level(1.0, f64::NAN).is_nan()
            && turned(1.0, f64::NAN, 1.0).is_nan()
    );
}
