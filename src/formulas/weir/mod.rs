//! Free overfall edges: thin lips (sharp-crested weirs) and stone crests (broad-crested weirs).
//!
//! Heads are measured from the crest up to still water, three to four heads upstream. The sheet on the brink
//! itself is thinner ([`brink_depth`]): a depth read there passes about 2.8 times the flow of the same number
//! read upstream.

mod approach;
mod cipolletti;
mod kindsvater;
mod limits;
mod notch;
mod stone;
mod submerged;

pub use approach::with_velocity_of_approach;
pub use cipolletti::{CIPOLLETTI, cipolletti, cipolletti_head};
pub use kindsvater::{COEFFICIENTS, Coefficients};
pub use limits::{Bound, Equation, LimitExceeded, LimitOn, limits, outside};
pub use notch::Notch;
pub use stone::StoneEdge;
pub use submerged::{
    SUBMERGENCE, submerged_discharge, submerged_discharge_and_slope, submerged_discharge_and_slopes,
    villemonte,
};

use kindsvater::KindsvaterCarter;

use super::{
    roots,
    validity::{any_nan, at_least},
    water::STANDARD_GRAVITY as G,
};

/// Francis coefficient of a sharp crest, m^½/s (3.33 ft^½/s, rounded as in SI print).
pub const FRANCIS: f64 = 1.84;
/// Broad-crest coefficient from critical flow without losses, `(2/3)^1.5·√g` rounded, m^½/s (3.09 ft^½/s).
pub const BROAD: f64 = 1.705;
/// Broad-crest coefficient taken for rough stone, m^½/s (2.5 ft^½/s, as used in a Colorado mine-reclamation
/// file).
pub const ROUGH: f64 = 1.38;
/// Spread of the coefficient over rough stone, m^½/s (2.2 to 2.8 ft^½/s; common practice).
pub const ROUGH_RANGE: (f64, f64) = (1.21, 1.55);

/// The edge water runs over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// A thin, level lip of sheet or a spillway blade with the sheet springing clear.
    ThinLip,
    /// A level stone or slab long enough along the flow for the water to run parallel to it.
    BroadStone,
    /// Uneven stone; an effective width and a low coefficient.
    RoughStone,
    /// A level stone by how its edge meets the water, at its usual coefficient.
    Stone(StoneEdge),
    /// A triangular notch in a thin plate, its point at the level of the crest; it has no width of its own.
    VNotch(Notch),
}

/// A crest, with what is upstream of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crest {
    /// Kind of edge.
    pub edge: Edge,
    /// Width across the flow, m.
    pub width: f64,
    /// Height of the crest above the floor upstream, m; infinite for deep water.
    pub height: f64,
    /// Width of the water upstream, m; equal to `width` where side walls lead to the edge, infinite for open
    /// water.
    pub approach_width: f64,
}

impl Crest {
    /// A crest of open, deep water: a notch in the rim of a pond.
    ///
    /// ```
    /// use bywash::formulas::weir::{Crest, Edge};
    /// assert_eq!(Crest::in_open_water(Edge::ThinLip, 0.5).width, 0.5);
    /// ```
    pub fn in_open_water(edge: Edge, width: f64) -> Self {
        Self {
            edge,
            width,
            height: f64::INFINITY,
            approach_width: f64::INFINITY,
        }
    }

    /// A crest across a channel, m: its width, its height above the floor upstream and the width of the channel.
    pub fn in_channel(edge: Edge, width: f64, height: f64, approach_width: f64) -> Self {
        Self {
            edge,
            width,
            height,
            approach_width,
        }
    }

    /// The crest with only a share of it open.
    ///
    /// ```
    /// use bywash::formulas::weir::{Crest, Edge};
    /// assert_eq!(Crest::in_open_water(Edge::ThinLip, 0.5).narrowed(0.5).width, 0.25);
    /// ```
    #[must_use]
    pub fn narrowed(self, share: f64) -> Self {
        let edge = match self.edge {
            Edge::VNotch(notch) => Edge::VNotch(notch.narrowed(share)),
            other => other,
        };
        Self {
            edge,
            width: self.width * share,
            ..self
        }
    }

    /// Whether its sizes are sizes: numbers, none of them below zero.
    fn is_sound(&self) -> bool {
        let angle = match self.edge {
            Edge::VNotch(notch) => notch.angle,
            _ => 0.0,
        };
        self.width >= 0.0 && self.height >= 0.0 && self.approach_width >= 0.0 && (0.0..180.0).contains(&angle)
    }

    /// Power of the head that the flow goes with.
    fn exponent(&self) -> f64 {
        match self.edge {
            Edge::VNotch(_) => 2.5,
            _ => 1.5,
        }
    }
}

/// Discharge over a crest, m³/s, at an upstream head in m; zero at and below the crest, rising from there on.
///
/// Thin lip: Kindsvater & Carter (1957), as in ISO 1438 and the USBR Water Measurement Manual,
/// `Q = (2/3)·√(2g)·(α + β·h/p)·(b + k_b)·(h + k_h)^1.5` with k_h = 1 mm; α, β and k_b follow b/B through
/// [`COEFFICIENTS`], linear between rows, the first row held below it. Below h = 30 mm, where the law was not measured,
/// k_h shrinks in proportion, so that no head gives no flow; the difference stays within 5 %. Limits:
/// [`Equation::KindsvaterCarter`]. Broad and rough stone: [`broad_crested`] with [`BROAD`] and [`ROUGH`]; other
/// stone with its usual coefficient by [`StoneEdge::coefficients`]. V-notch:
/// [`Notch::discharge`], continued to no flow at no head below the least head it was measured at.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, discharge};
/// // Documentation of fluids: a suppressed weir of 2 m, crest 0.4 m high, head 0.3 m: 0.641560 m³/s by Kindsvater–Carter.
/// let crest = Crest { edge: Edge::ThinLip, width: 2.0, height: 0.4, approach_width: 2.0 };
/// assert!((discharge(&crest, 0.3) / 0.641560 - 1.0).abs() < 2e-3);
/// ```
pub fn discharge(crest: &Crest, head: f64) -> f64 {
    discharge_and_slope(crest, head).0
}

/// [`discharge`] in m³/s with its derivative by head, m²/s.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, discharge_and_slope};
/// // Over a broad crest the flow goes with h^1.5, so that its derivative is 1.5·Q/h.
/// let (flow, slope) = discharge_and_slope(&Crest::in_open_water(Edge::BroadStone, 1.0), 0.1);
/// assert!((slope - 1.5 * flow / 0.1).abs() < 1e-12);
/// ```
pub fn discharge_and_slope(crest: &Crest, head: f64) -> (f64, f64) {
    if !crest.is_sound() {
        return (f64::NAN, f64::NAN);
    }
    if head <= 0.0 {
        return (0.0, 0.0);
    }
    match crest.edge {
        Edge::VNotch(notch) => notch.continued(head),
        _ if crest.width == 0.0 => (0.0, 0.0),
        Edge::ThinLip => {
            KindsvaterCarter::of(crest.width, crest.height, crest.approach_width).discharge_and_slope(head)
        }
        Edge::BroadStone => power_law(BROAD, crest.width, head),
        Edge::RoughStone => power_law(ROUGH, crest.width, head),
        Edge::Stone(stone) => power_law(stone.coefficients().1, crest.width, head),
    }
}

/// Upstream head over a crest, m, at a flow in m³/s: the inverse of [`discharge`]. Zero for no flow; infinite
/// for flow over a crest without width.
///
/// ```
/// use bywash::formulas::weir::{Crest, Edge, head_for_flow};
/// // Colorado mine-reclamation file: 5.7 cfs over 12 ft of rough stone stand 0.33 ft deep.
/// let crest = Crest::in_open_water(Edge::RoughStone, 12.0 * 0.3048);
/// assert!((head_for_flow(&crest, 5.7 * 0.0283168) / 0.3048 - 0.33).abs() < 4e-3);
/// ```
pub fn head_for_flow(crest: &Crest, flow: f64) -> f64 {
    if !crest.is_sound() {
        return f64::NAN;
    }
    if flow <= 0.0 {
        return 0.0;
    }
    match crest.edge {
        Edge::VNotch(notch) => notch.continued_head(flow),
        Edge::ThinLip => {
            let law = KindsvaterCarter::of(crest.width, crest.height, crest.approach_width);
            if law.width <= 0.0 {
                return f64::INFINITY;
            }
            invert(flow, law.usual_head(flow), |head| law.discharge_and_slope(head))
        }
        Edge::BroadStone => (flow / (BROAD * crest.width)).powf(2.0 / 3.0),
        Edge::RoughStone => (flow / (ROUGH * crest.width)).powf(2.0 / 3.0),
        Edge::Stone(stone) => (flow / (stone.coefficients().1 * crest.width)).powf(2.0 / 3.0),
    }
}

/// Sharp-crested weir with end contractions by Francis (1883), m³/s: `Q = 1.84·(b − 0.1·n·h)·h^1.5`.
///
/// Arguments: width `b` and head `h`, m; `n` end contractions, 0 to 2. Limits: [`Equation::Francis`].
///
/// ```
/// // A worked weir: 2 ft under 0.45 ft of head, two contractions: 1.920 cfs.
/// let flow = bywash::formulas::weir::francis(2.0 * 0.3048, 0.45 * 0.3048, 2);
/// assert!((flow / 0.0283168 / 1.920 - 1.0).abs() < 2e-3);
/// ```
pub fn francis(width: f64, head: f64, contractions: u8) -> f64 {
    if head <= 0.0 {
        return 0.0;
    }
    FRANCIS * at_least(width - 0.1 * f64::from(contractions) * head, 0.0) * head.powf(1.5)
}

/// Broad-crested weir, m³/s: `Q = C·b·h^1.5`, with `C` in m^½/s, width `b` and head `h` in m. Limits:
/// [`Equation::BroadCrested`].
///
/// ```
/// use bywash::formulas::weir::{BROAD, broad_crested};
/// // A university examination: 20 ft under 0.8 ft of head: 44.22 cfs.
/// let flow = broad_crested(BROAD, 20.0 * 0.3048, 0.8 * 0.3048);
/// assert!((flow / 0.0283168 / 44.22 - 1.0).abs() < 2e-3);
/// ```
pub fn broad_crested(coefficient: f64, width: f64, head: f64) -> f64 {
    if head <= 0.0 && !any_nan(&[coefficient, width]) {
        return 0.0;
    }
    power_law(coefficient, width, head).0
}

/// Critical depth of a flow per width, m: `y_c = (q²/g)^⅓`, q in m²/s.
///
/// ```
/// // By hand: 0.01 m²/s, 21.68 mm.
/// assert!((bywash::formulas::weir::critical_depth(0.01) - 0.02168).abs() < 1e-5);
/// ```
pub fn critical_depth(flow_per_width: f64) -> f64 {
    (flow_per_width * flow_per_width / G).cbrt()
}

/// Depth of the sheet on the brink of a free overfall, m: 0.715 of the critical depth (Rouse 1936); q in
/// m²/s.
///
/// ```
/// // Rouse (1936): 0.715 of the critical depth, 15.50 mm at 0.01 m²/s.
/// assert!((bywash::formulas::weir::brink_depth(0.01) - 0.01550).abs() < 1e-5);
/// ```
pub fn brink_depth(flow_per_width: f64) -> f64 {
    0.715 * critical_depth(flow_per_width)
}

fn power_law(coefficient: f64, width: f64, head: f64) -> (f64, f64) {
    let root = head.sqrt();
    (
        coefficient * width * head * root,
        1.5 * coefficient * width * root,
    )
}

/// The head at which a rising law of head gives a flow; the laws here are convex, or nearly so, and need few steps.
fn invert(flow: f64, start: f64, law: impl Fn(f64) -> (f64, f64)) -> f64 {
    roots::newton(start, (0.0, f64::INFINITY), 0.0, |head| {
        let (got, slope) = law(head);
        (got - flow, slope)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Crests of every edge, in open water and in two channels.
    pub(super) fn crests() -> impl Iterator<Item = Crest> {
        [
            Edge::ThinLip,
            Edge::BroadStone,
            Edge::RoughStone,
            Edge::Stone(StoneEdge::SmoothDressed),
            Edge::VNotch(Notch { angle: 60.0 }),
        ]
        .into_iter()
        .flat_map(|edge| {
            [(f64::INFINITY, f64::INFINITY), (0.2, 0.5), (0.2, 0.8)].map(|(height, approach_width)| Crest {
                edge,
                width: 0.5,
                height,
                approach_width,
            })
        })
    }

    #[test]
    fn no_head_no_flow() {
        for crest in crests() {
            for head in [0.0, -0.1, f64::NEG_INFINITY] {
                assert_eq!(discharge_and_slope(&crest, head), (0.0, 0.0));
            }
            assert_eq!(head_for_flow(&crest, 0.0), 0.0);
            assert_eq!(head_for_flow(&crest, -1.0), 0.0);
            assert!(discharge(&crest, 1e-9) > 0.0);
        }
    }

    #[test]
    fn head_inverts_discharge_and_both_rise() {
        for crest in crests() {
            let mut last = 0.0;
            for head in [1e-6, 1e-3, 0.01, 0.0299, 0.03, 0.0301, 0.05, 0.2, 1.0] {
                let flow = discharge(&crest, head);
                assert!(flow > last);
                last = flow;
                let back = head_for_flow(&crest, flow);
                assert!(
                    (back - head).abs() < 1e-12 * head,
                    "{crest:?}: {head} came back {back}"
                );
            }
        }
    }

    #[test]
    fn slope_is_the_derivative() {
        for crest in crests() {
            for head in [1e-3, 0.02, 0.04, 0.3] {
                let step = head * 1e-6;
                let secant = (discharge(&crest, head + step) - discharge(&crest, head - step)) / (2.0 * step);
                let (_, slope) = discharge_and_slope(&crest, head);
                assert!((slope - secant).abs() < 1e-7 * secant);
            }
        }
    }

    #[test]
    fn a_crest_without_width_passes_nothing() {
        let crest = Crest::in_open_water(Edge::BroadStone, 0.0);
        assert_eq!(discharge(&crest, 0.1), 0.0);
        assert_eq!(head_for_flow(&crest, 0.1), f64::INFINITY);
    }
}
