//! Water that comes to a weir with a speed of its own.

use super::{G, any_nan, at_least};
use crate::formulas::roots;

/// Flow over a level crest with the velocity of approach counted, m³/s: `Q = C·b·((h + h_a)^1.5 − h_a^1.5)` with
/// `h_a = (Q/A)²/(2·g)`, after Francis (as in the USBR Water Measurement Manual for laws that leave the approach out).
///
/// Arguments: coefficient `C`, m^½/s; width `b` and head `h`, m; area of the water section before the weir `A`, m²,
/// infinite for still water. Laws that count the height of the crest, as Kindsvater and Carter's does, have the approach
/// in them already. Range: sections well above the critical one, `A` more than about `1.2·b·h`; `NaN` where no flow fits.
///
/// ```
/// use bywash::formulas::weir::{FRANCIS, with_velocity_of_approach};
/// // By hand: b 1 m, h 0.3 m, A 1·0.6 m². Q 0.3023 without; the first round gives h_a 0.01295 m and 0.3194, the second
/// // 0.3213, the last 0.3215.
/// let flow = with_velocity_of_approach(FRANCIS, 1.0, 0.3, 0.6);
/// assert!((flow - 0.3215).abs() < 1e-4, "{flow}");
/// ```
pub fn with_velocity_of_approach(coefficient: f64, width: f64, head: f64, section: f64) -> f64 {
    if any_nan(&[coefficient, width, head, section]) {
        return f64::NAN;
    }
    if head <= 0.0 {
        return 0.0;
    }
    let over = |flow: f64| {
        let approach = (flow / section).powi(2) / (2.0 * G);
        coefficient * width * ((head + approach).powf(1.5) - approach.powf(1.5))
    };
    let still = over(0.0);
    // Critical flow in the section before the weir is the most that can come.
    let most = section * (G * section / width).sqrt();
    roots::bracketed(still, at_least(most, still), 0.0, |flow| flow - over(flow))
}
