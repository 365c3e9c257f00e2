//! Manning's n of open channels by what lines them.

/// What the water of a stream or rill runs over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lining {
    /// Trowelled concrete or render.
    SmoothConcrete,
    /// Dressed stone set in mortar, sawn slabs.
    DressedStone,
    /// Natural stone set in mortar.
    MortaredRubble,
    /// Natural stone set dry.
    DryRubble,
    /// Even, clean gravel.
    Gravel,
    /// Gravel and cobbles with a few boulders.
    Cobbles,
    /// Cobbles with large boulders.
    Boulders,
    /// Short grass.
    Grass,
}

/// A range of Manning's n, s/m^(1/3), and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManningRange {
    /// Smoothest.
    pub least: f64,
    /// Usual.
    pub usual: f64,
    /// Roughest.
    pub most: f64,
    /// Its source.
    pub source: &'static str,
}

const CHOW: &str = "Chow, Open-Channel Hydraulics (1959), table 5-6 (copy)";

impl Lining {
    /// Manning's n by lining: Chow (1959), table 5-6, as reproduced in an open library and in the manual tables of a public
    /// river-hydraulics engine.
    ///
    /// Range: depths well above the stones. Where the water is no deeper than about four times them (`R/D84` below 4) n is
    /// larger by up to several times, and [`super::stream::variable_power`] holds instead.
    ///
    /// ```
    /// use bywash::formulas::roughness::Lining;
    /// // Chow: mountain streams, gravels, cobbles and few boulders: 0.030, 0.040, 0.050.
    /// let n = Lining::Cobbles.manning();
    /// assert_eq!((n.least, n.usual, n.most), (0.030, 0.040, 0.050));
    /// ```
    pub const fn manning(self) -> ManningRange {
        let (least, usual, most) = match self {
            Self::SmoothConcrete => (0.011, 0.013, 0.015),
            Self::DressedStone => (0.013, 0.015, 0.017),
            Self::MortaredRubble => (0.017, 0.025, 0.030),
            Self::DryRubble => (0.023, 0.032, 0.035),
            Self::Gravel => (0.022, 0.025, 0.030),
            Self::Cobbles => (0.030, 0.040, 0.050),
            Self::Boulders => (0.040, 0.050, 0.070),
            Self::Grass => (0.022, 0.027, 0.033),
        };
        ManningRange {
            least,
            usual,
            most,
            source: CHOW,
        }
    }
}

/// Manning's n of stones by their size (Strickler 1923): `n = D₅₀^(1/6)/21.1`, D₅₀ in m.
///
/// Range: flow deep beside the stones. Source: Strickler, coefficient from memory.
///
/// ```
/// use bywash::formulas::roughness::strickler;
/// // Gravel of 25 mm: 0.0256, within Chow's range for gravel.
/// assert!((strickler(0.025) - 0.0256).abs() < 1e-4);
/// ```
pub fn strickler(d50: f64) -> f64 {
    super::validity::positive(d50).powf(1.0 / 6.0) / 21.1
}
