//! Water that runs off through a pipe by its own weight: an overflow, a skimmer line, a bottom drain.
//!
//! The lip of the mouth passes so much (weir), the mouth itself so much (orifice), the pipe so much (full pipe);
//! the least governs. The rule is that of drop inlets and shaft spillways: USBR, *Design of Small Dams*, and NRCS
//! practice for pipe drop inlets (from memory).

use std::f64::consts::PI;

use super::{
    inlet_control::{self, Inlet},
    part_full::PartFullPipe,
    pipe::{Run, flow_under_head},
    roots,
    validity::{any_nan, at_least},
    water::STANDARD_GRAVITY as G,
    weir::{self, FRANCIS},
};

/// Discharge coefficient of a sharp-edged orifice (0.60 to 0.62 in the handbooks; from memory).
pub const ORIFICE: f64 = 0.61;

/// The mouth of a pipe by which water leaves a basin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mouth {
    /// A straight lip of a width in m before the pipe, as of a skimmer.
    Lip {
        /// Width of the lip, m.
        width: f64,
    },
    /// A pipe open upward; its rim is the lip.
    Riser,
    /// A pipe through the wall, cut flush with it; its lowest inside point is the lip.
    Wall {
        /// Fall of the pipe behind the mouth, m/m; zero where it is not known.
        slope: f64,
    },
    /// A pipe under water at all times; only the pipe holds the water back.
    Submerged,
}

/// What lets the least through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Control {
    /// The lip: more head over it or a longer lip passes more.
    Weir,
    /// The mouth: a wider mouth passes more.
    Orifice,
    /// The pipe with all its losses: a wider or shorter pipe passes more.
    FullPipe,
}

impl Control {
    /// The control in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Weir => "the lip",
            Self::Orifice => "the mouth",
            Self::FullPipe => "the full pipe",
        }
    }
}

/// A mouth and the pipe behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GravityPipe {
    /// Form of the mouth.
    pub mouth: Mouth,
    /// Level of its lip, m; of a drowned mouth any point of it.
    pub level: f64,
    /// The pipe, with the losses of entrance and exit in its K.
    pub pipe: Run,
}

impl GravityPipe {
    /// A pipe behind a mouth whose lip lies at a level, m.
    pub fn new(mouth: Mouth, level: f64, pipe: Run) -> Self {
        Self { mouth, level, pipe }
    }

    /// Whether its level is a number and its sizes are sizes.
    fn is_sound(&self) -> bool {
        let lip = match self.mouth {
            Mouth::Lip { width } => width >= 0.0,
            Mouth::Wall { slope } => slope >= 0.0,
            _ => true,
        };
        lip && !self.level.is_nan() && self.pipe.is_sound()
    }
}

/// Flow through a drain, m³/s, and what governs it: the least of [`lip_flow`], [`mouth_flow`] and the full pipe
/// ([`flow_under_head`] between the two levels).
///
/// Arguments: the drain; the level upstream and the level the pipe works against downstream (water, or the outlet
/// where that lies higher), m; kinematic viscosity, m²/s. Nothing flows where the lip stands dry or the water
/// downstream is not lower. What a wall mouth lets in is told as held by its lip up to its top, and by the mouth beyond.
///
/// ```
/// use bywash::formulas::{gravity_pipe::{self, GravityPipe, Mouth}, pipe::Run};
/// let overflow = GravityPipe::new(Mouth::Riser, 0.0, Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5));
/// // Little water over the rim is held by it, much by the mouth.
/// assert_eq!(gravity_pipe::discharge(&overflow, 0.01, -2.0, 1e-6).1, gravity_pipe::Control::Weir);
/// assert_eq!(gravity_pipe::discharge(&overflow, 0.10, -2.0, 1e-6).1, gravity_pipe::Control::Orifice);
/// ```
pub fn discharge(drain: &GravityPipe, upstream: f64, downstream: f64, nu: f64) -> (f64, Control) {
    if !drain.is_sound() || any_nan(&[upstream, downstream, nu]) {
        return (f64::NAN, Control::FullPipe);
    }
    let head = match drain.mouth {
        Mouth::Submerged => f64::INFINITY,
        _ => upstream - drain.level,
    };
    if head <= 0.0 {
        return (0.0, Control::Weir);
    }
    let through = flow_under_head(at_least(upstream - downstream, 0.0), &drain.pipe, nu);
    let mut least = (through, Control::FullPipe);
    for (flow, control) in [
        (mouth_flow(drain, head), Control::Orifice),
        (lip_flow(drain, head), Control::Weir),
    ] {
        if flow < least.0 {
            least = (flow, control);
        }
    }
    least
}

/// What the lip passes, m³/s, at a head over it in m.
///
/// Straight lip and riser: `Q = 1.84·b·h^1.5` ([`FRANCIS`]) with b the width, or the rim π·D. Wall: inlet control of a
/// square edge flush with the wall ([`inlet_control::capacity`]): critical flow in the mouth and the loss of the
/// entrance. Nothing limits a drowned mouth. The law for risers holds up to a head of about D/4; beyond it the mouth governs.
///
/// ```
/// use bywash::formulas::{gravity_pipe::{self, GravityPipe, Mouth}, pipe::Run};
/// let overflow = GravityPipe::new(Mouth::Riser, 0.0, Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5));
/// // By hand: 1.84·π·0.1023·0.01^1.5.
/// assert!((gravity_pipe::lip_flow(&overflow, 0.01) - 5.913e-4).abs() < 1e-6);
/// ```
pub fn lip_flow(drain: &GravityPipe, head: f64) -> f64 {
    if !drain.is_sound() {
        return f64::NAN;
    }
    let straight = |width: f64| FRANCIS * width * at_least(head, 0.0).powf(1.5);
    match drain.mouth {
        Mouth::Lip { width } => straight(width),
        Mouth::Riser => straight(PI * drain.pipe.diameter),
        Mouth::Wall { slope } => wall_flow(drain, slope, head),
        Mouth::Submerged => f64::INFINITY,
    }
}

/// What the mouth passes as an orifice, m³/s, at a head over the lip in m: `Q = C·A·√(2·g·h)` with C 0.61
/// ([`ORIFICE`]), the head counted over a riser's rim; of a wall mouth under water, what [`lip_flow`] gives. Behind a
/// straight lip and under water the pipe's own entrance loss stands for it.
///
/// ```
/// use bywash::formulas::{gravity_pipe::{self, GravityPipe, Mouth}, pipe::Run};
/// let overflow = GravityPipe::new(Mouth::Riser, 0.0, Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5));
/// // By hand: 0.61·8.219·10⁻³·√(2·g·0.1).
/// assert!((gravity_pipe::mouth_flow(&overflow, 0.1) - 7.0216e-3).abs() < 1e-6);
/// ```
pub fn mouth_flow(drain: &GravityPipe, head: f64) -> f64 {
    if !drain.is_sound() {
        return f64::NAN;
    }
    let driving = match drain.mouth {
        Mouth::Riser => head,
        Mouth::Wall { slope } if head > drain.pipe.diameter => return wall_flow(drain, slope, head),
        Mouth::Wall { .. } | Mouth::Lip { .. } | Mouth::Submerged => return f64::INFINITY,
    };
    ORIFICE * drain.pipe.area() * (2.0 * G * at_least(driving, 0.0)).sqrt()
}

/// What a mouth in a wall takes at a head over its lowest point, m³/s.
fn wall_flow(drain: &GravityPipe, slope: f64, head: f64) -> f64 {
    let pipe = PartFullPipe::new(drain.pipe.diameter, slope);
    inlet_control::capacity(Inlet::SquareEdge, &pipe, head)
}

/// The level upstream, m, at which a drain passes a flow in m³/s against a level downstream: the inverse of
/// [`discharge`]. Infinite where 100 m of head are not enough.
///
/// ```
/// use bywash::formulas::{gravity_pipe::{self, GravityPipe, Mouth}, pipe::Run};
/// let overflow = GravityPipe::new(Mouth::Riser, 0.0, Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5));
/// let level = gravity_pipe::level_for_flow(&overflow, 2e-3, -1.0, 1e-6);
/// assert!((gravity_pipe::discharge(&overflow, level, -1.0, 1e-6).0 - 2e-3).abs() < 1e-9);
/// ```
pub fn level_for_flow(drain: &GravityPipe, flow: f64, downstream: f64, nu: f64) -> f64 {
    let dry = match drain.mouth {
        Mouth::Submerged => downstream,
        _ => downstream.max(drain.level),
    };
    if !drain.is_sound() || any_nan(&[flow, downstream, nu]) {
        return f64::NAN;
    }
    if flow <= 0.0 {
        return dry;
    }
    let short = |level: f64| discharge(drain, level, downstream, nu).0 - flow;
    let most = dry + MOST_HEAD;
    if short(most) < 0.0 {
        return f64::INFINITY;
    }
    roots::bracketed(dry, most, 0.0, short)
}

/// The most head a level is sought within, m.
const MOST_HEAD: f64 = 100.0;

/// The limits of the law of the lip that do not hold at a head in m; a wall mouth and a drowned one have none. Below
/// 30 mm of head weirs were not measured, and the law is continued.
///
/// ```
/// use bywash::formulas::{gravity_pipe::{self, GravityPipe, Mouth}, pipe::Run};
/// let overflow = GravityPipe::new(Mouth::Riser, 0.0, Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5));
/// // Weirs were not measured under 30 mm of head.
/// assert_eq!(gravity_pipe::outside(&overflow, 0.02).len(), 1);
/// ```
pub fn outside(drain: &GravityPipe, head: f64) -> Vec<weir::LimitExceeded> {
    let width = match drain.mouth {
        Mouth::Lip { width } => width,
        Mouth::Riser => PI * drain.pipe.diameter,
        Mouth::Wall { .. } | Mouth::Submerged => return Vec::new(),
    };
    weir::outside(
        weir::Equation::Francis,
        &weir::Crest::in_open_water(weir::Edge::ThinLip, width),
        head,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const NU: f64 = 1.1e-6;

    fn drain(mouth: Mouth) -> GravityPipe {
        GravityPipe {
            mouth,
            level: 0.0,
            pipe: Run::new(0.1023, 6.0, 1.5e-6).with_k(2.5),
        }
    }

    const MOUTHS: [Mouth; 4] = [
        Mouth::Lip { width: 0.2 },
        Mouth::Riser,
        Mouth::Wall { slope: 0.02 },
        Mouth::Submerged,
    ];

    /// Little water over the lip is held by it; much water, with the pond below drowned, by the pipe.
    #[test]
    fn controls_follow_one_another_as_the_water_rises() {
        let control = |mouth, upstream, downstream| discharge(&drain(mouth), upstream, downstream, NU).1;
        assert_eq!(control(Mouth::Riser, 0.01, -2.0), Control::Weir);
        assert_eq!(control(Mouth::Riser, 0.1, -2.0), Control::Orifice);
        assert_eq!(control(Mouth::Riser, 0.1, 0.05), Control::FullPipe);
        assert_eq!(control(Mouth::Wall { slope: 0.0 }, 0.05, -2.0), Control::Weir);
        assert_eq!(control(Mouth::Wall { slope: 0.0 }, 0.2, -2.0), Control::Orifice);
        assert_eq!(control(Mouth::Lip { width: 0.2 }, 0.02, -2.0), Control::Weir);
        assert_eq!(control(Mouth::Lip { width: 0.2 }, 0.2, 0.1), Control::FullPipe);
        assert_eq!(control(Mouth::Submerged, 0.1, 0.0), Control::FullPipe);
    }

    /// Worked by hand: 1.84·0.2·0.03^1.5; 0.61·A·√(2·g·0.1) with A = 8.219e-3 m².
    #[test]
    fn each_regime_gives_its_own_formula() {
        let lip = lip_flow(&drain(Mouth::Lip { width: 0.2 }), 0.03);
        assert!((lip - 1.9122e-3).abs() < 1e-7, "{lip}");
        let mouth = mouth_flow(&drain(Mouth::Riser), 0.1);
        assert!((mouth - 7.0216e-3).abs() < 1e-6, "{mouth}");
        let through = discharge(&drain(Mouth::Submerged), 0.05, 0.0, NU).0;
        let loss = super::super::pipe::head_loss(through, &drain(Mouth::Submerged).pipe, NU);
        assert!((loss - 0.05).abs() < 1e-9, "{loss}");
    }

    /// A half full round mouth: y = D/2, A = π·D²/8, T = D, so h = D/2 + π·D/16 for critical flow alone. The entrance adds
    /// 0.0098·q² of the diameter, q = 1.811·Q/(A_full·√D), and the slope takes 0.01 of it off (HDS-5, by hand).
    #[test]
    fn half_full_wall_mouth_runs_critical_behind_its_entrance() {
        let d = 0.1023;
        let area = PI * d * d / 8.0;
        let critical = area * (G * area / d).sqrt();
        let rate = critical / (2.0 * area * d.sqrt()) / 0.3048_f64.sqrt();
        let head = d / 2.0 + PI * d / 16.0 + d * (0.0098 * rate * rate - 0.01);
        let mouth = Mouth::Wall { slope: 0.02 };
        let flow = lip_flow(&GravityPipe::new(mouth, 0.0, Run::new(d, 1.0, 0.0)), head);
        assert!((flow / critical - 1.0).abs() < 1e-5, "{flow} {critical}");
    }

    #[test]
    fn more_water_above_never_passes_less_and_dry_or_level_water_rests() {
        for mouth in MOUTHS {
            let drain = drain(mouth);
            let mut last = 0.0;
            for step in 1..400 {
                let flow = discharge(&drain, f64::from(step) * 1e-3, -0.5, NU).0;
                assert!(
                    flow >= last - 1e-12,
                    "{mouth:?} at {step} mm: {flow} after {last}"
                );
                last = flow;
            }
            assert_eq!(discharge(&drain, 0.2, 0.2, NU).0, 0.0);
            if mouth != Mouth::Submerged {
                assert_eq!(discharge(&drain, -0.01, -1.0, NU).0, 0.0);
            }
        }
    }

    #[test]
    fn level_inverts_flow() {
        for mouth in MOUTHS {
            let drain = drain(mouth);
            for flow in [1e-4, 1e-3, 4e-3] {
                for downstream in [-1.0, 0.02] {
                    let level = level_for_flow(&drain, flow, downstream, NU);
                    let back = discharge(&drain, level, downstream, NU).0;
                    assert!((back - flow).abs() < 1e-9, "{mouth:?}: {flow} came back {back}");
                }
            }
            assert_eq!(level_for_flow(&drain, 10.0, -1.0, NU), f64::INFINITY);
        }
    }

    #[test]
    fn a_shallow_lip_is_told_as_unmeasured() {
        let skimmer = drain(Mouth::Lip { width: 0.2 });
        assert_eq!(outside(&skimmer, 0.02).len(), 1);
        assert!(outside(&skimmer, 0.05).is_empty());
        assert!(outside(&drain(Mouth::Submerged), 0.0).is_empty());
    }
}
