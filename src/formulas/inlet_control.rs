//! Pipes that take no more than their mouth lets in: culverts under inlet control.
//!
//! FHWA, *Hydraulic Design of Highway Culverts* (HDS-5). The coefficients come from model tests of culverts of about 0.3 m
//! and more; on smaller pipe they are an extrapolation.

use super::{
    part_full::PartFullPipe,
    roots,
    validity::{any_nan, not_negative, positive},
};

/// Turns `Q/(A·√D)` in metres and seconds into feet and seconds: √(1/0.3048).
const TO_FEET: f64 = 1.811_309;
/// `Q/(A·√D)`, ft^½/s, up to which the inlet counts as unsubmerged, and from which as submerged.
const BOUNDS: (f64, f64) = (3.5, 4.0);
/// Share of the slope that is taken off the headwater, for mouths that are not cut to the slope.
const SLOPE_SHARE: f64 = -0.5;

/// The mouth of a round pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Inlet {
    /// Square edge in a headwall: a plastic or concrete pipe flush with a wall.
    SquareEdge,
    /// Groove or socket end in a headwall.
    SocketInWall,
    /// Groove or socket end that projects.
    SocketProjecting,
    /// Edge bevelled by 45° in a headwall.
    Bevelled,
    /// A thin edge that projects: corrugated metal; the nearest there is for a plain plastic pipe through a wall.
    ThinProjecting,
}

/// The coefficients of one mouth.
struct Coefficients {
    k: f64,
    m: f64,
    c: f64,
    y: f64,
}

impl Inlet {
    /// HDS-5 table of constants, form 1, charts 1 to 3 (copy: as tabulated in the source of EPA SWMM 5.2).
    const fn coefficients(self) -> Coefficients {
        let (k, m, c, y) = match self {
            Self::SquareEdge => (0.0098, 2.0, 0.0398, 0.67),
            Self::SocketInWall => (0.0018, 2.0, 0.0292, 0.74),
            Self::SocketProjecting => (0.0045, 2.0, 0.0317, 0.69),
            Self::Bevelled => (0.0018, 2.5, 0.0300, 0.74),
            Self::ThinProjecting => (0.0340, 1.5, 0.0553, 0.54),
        };
        Coefficients { k, m, c, y }
    }
}

/// Headwater over the lowest point of the mouth at which a round pipe takes a flow, m: HDS-5.
///
/// With `q = 1.811·Q/(A·√D)`: unsubmerged, up to q 3.5, `HW/D = H_c/D + K·q^M − 0.5·S` with H_c the specific energy at
/// critical depth (form 1); submerged, from q 4.0, `HW/D = c·q² + Y − 0.5·S`; linear between.
///
/// Arguments: the mouth; the pipe; flow, m³/s. Zero for no flow. Range: inlet control, the pipe steep or short enough to
/// take the water away; headwater up to about three diameters.
///
/// ```
/// use bywash::formulas::{inlet_control::{Inlet, headwater}, part_full::PartFullPipe};
/// // HDS-5 chart 1, the example printed on it (from memory): 42 in, 120 cfs: HW/D 2.5 square edge, 2.1 groove end in a
/// // headwall, 2.2 groove end projecting; a nomograph, read to 5 %.
/// let pipe = PartFullPipe::new(42.0 * 0.0254, 0.0);
/// for (inlet, printed) in [(Inlet::SquareEdge, 2.5), (Inlet::SocketInWall, 2.1), (Inlet::SocketProjecting, 2.2)] {
///     let found = headwater(inlet, &pipe, 120.0 * 0.028_316_8) / pipe.diameter;
///     assert!((found / printed - 1.0).abs() < 0.05, "{found}");
/// }
/// ```
pub fn headwater(inlet: Inlet, pipe: &PartFullPipe, flow: f64) -> f64 {
    let (diameter, slope) = (positive(pipe.diameter), not_negative(pipe.slope));
    if any_nan(&[diameter, slope, flow]) {
        return f64::NAN;
    }
    if flow <= 0.0 {
        return 0.0;
    }
    let full = super::part_full::full_area(diameter) * diameter.sqrt();
    let rate = TO_FEET * flow / full;
    let inlet = inlet.coefficients();
    let unsubmerged = |rate: f64| {
        let flow = rate / TO_FEET * full;
        let depth = pipe.critical_depth(flow);
        let area = pipe.area(depth);
        let energy = depth + area / (2.0 * pipe.top_width(depth));
        energy / diameter + inlet.k * rate.powf(inlet.m) + SLOPE_SHARE * slope
    };
    let submerged = |rate: f64| inlet.c * rate * rate + inlet.y + SLOPE_SHARE * slope;
    let ratio = if rate <= BOUNDS.0 {
        unsubmerged(rate)
    } else if rate >= BOUNDS.1 {
        submerged(rate)
    } else {
        let (low, high) = (unsubmerged(BOUNDS.0), submerged(BOUNDS.1));
        low + (rate - BOUNDS.0) / (BOUNDS.1 - BOUNDS.0) * (high - low)
    };
    ratio * diameter
}

/// Flow that the mouth lets in at a headwater over its lowest point (m), m³/s: the inverse of [`headwater`].
///
/// ```
/// use bywash::formulas::{inlet_control::{Inlet, capacity, headwater}, part_full::PartFullPipe};
/// let pipe = PartFullPipe::new(0.3, 0.01);
/// for flow in [0.005, 0.04, 0.09, 0.15] {
///     let level = headwater(Inlet::SquareEdge, &pipe, flow);
///     assert!((capacity(Inlet::SquareEdge, &pipe, level) / flow - 1.0).abs() < 1e-9);
/// }
/// ```
pub fn capacity(inlet: Inlet, pipe: &PartFullPipe, headwater: f64) -> f64 {
    let (diameter, slope) = (positive(pipe.diameter), not_negative(pipe.slope));
    if any_nan(&[diameter, slope, headwater]) {
        return f64::NAN;
    }
    if headwater <= 0.0 {
        return 0.0;
    }
    let ratio = headwater / diameter;
    // What the slope lowers the headwater by; of a film no more than there is.
    let wanted = ratio + (-SLOPE_SHARE * slope).min(ratio);
    let full = super::part_full::full_area(diameter) * diameter.sqrt();
    let shallow = unsubmerged_rate(inlet, pipe, full, wanted);
    let rate = if shallow <= BOUNDS.0 {
        shallow
    } else {
        let Coefficients { k, m, c, y } = inlet.coefficients();
        let (_, energy) = pipe.critical_at(pipe.critical_depth(BOUNDS.0 / TO_FEET * full));
        let (low, high) = (
            energy / diameter + k * BOUNDS.0.powf(m),
            c * BOUNDS.1 * BOUNDS.1 + y,
        );
        if wanted >= high {
            ((wanted - y) / c).sqrt()
        } else {
            BOUNDS.0 + (wanted - low) / (high - low) * (BOUNDS.1 - BOUNDS.0)
        }
    };
    rate / TO_FEET * full
}

/// The rate `q` at which the unsubmerged law wants a headwater without slope, as a share of the diameter; beyond its
/// bound where it is more than the law is for.
fn unsubmerged_rate(inlet: Inlet, pipe: &PartFullPipe, full: f64, wanted: f64) -> f64 {
    let Coefficients { k, m, .. } = inlet.coefficients();
    let rate = |depth: f64| {
        let (flow, energy) = pipe.critical_at(depth);
        (TO_FEET * flow / full, energy / pipe.diameter)
    };
    let excess = |depth: f64| {
        let (rate, energy) = rate(depth);
        // Flow and energy grow without end towards the crown.
        if rate.is_finite() {
            energy + k * rate.powf(m) - wanted
        } else {
            f64::INFINITY
        }
    };
    rate(roots::bracketed(0.0, pipe.diameter, 0.0, excess)).0
}
