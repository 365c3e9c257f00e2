//! Levelling: heights carried from a mark by an instrument and a rod.

/// Height of the instrument's line of sight, m: level of the mark plus the backsight read on it.
///
/// Level of the mark (m from the benchmark), backsight (m, positive upward from the mark). Plane survey: no curvature,
/// no refraction, which stay under 0.1 mm over 35 m. Any surveying text.
///
/// ```
/// // A backsight of 4.20 ft on a mark of 100.00 ft.
/// let height = bywash::formulas::levelling::height_of_instrument(100.00, 4.20);
/// assert!((height - 104.20).abs() < 1e-9);
/// ```
pub fn height_of_instrument(mark: f64, backsight: f64) -> f64 {
    mark + backsight
}

/// What the rod reads when it stands on a level, m; negative where the level lies above the line of sight.
///
/// ```
/// let reading = bywash::formulas::levelling::reading(104.20, 101.70);
/// assert!((reading - 2.50).abs() < 1e-9);
/// ```
pub fn reading(height: f64, level: f64) -> f64 {
    height - level
}

/// The level of what the rod stands on, m, by its reading.
///
/// ```
/// let level = bywash::formulas::levelling::level(104.20, 2.50);
/// assert!((level - 101.70).abs() < 1e-9);
/// ```
pub fn level(height: f64, reading: f64) -> f64 {
    height - reading
}

/// Height of the instrument at the next set-up, m: the turning point's level by the foresight from this one, and the
/// backsight on it from the next.
///
/// ```
/// let height = bywash::formulas::levelling::turned(104.20, 2.50, 5.15);
/// assert!((height - 106.85).abs() < 1e-9);
/// ```
pub fn turned(height: f64, foresight: f64, backsight: f64) -> f64 {
    height_of_instrument(level(height, foresight), backsight)
}

/// The most that a run of levels may close off by, m: an allowance per set-up, m, times the root of the number of
/// set-ups, as random errors of equal set-ups add up. Any surveying text; the allowance is the surveyor's.
///
/// ```
/// let most = bywash::formulas::levelling::allowed_closing_error(0.003, 4.0);
/// assert!((most - 0.006).abs() < 1e-12);
/// ```
pub fn allowed_closing_error(per_set_up: f64, set_ups: f64) -> f64 {
    per_set_up * set_ups.sqrt()
}
