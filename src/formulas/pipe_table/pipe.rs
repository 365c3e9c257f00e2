//! What is published of a pipe, and what is said of one that is not.

/// Average wall over least wall of plastic pipe (common practice of makers; the average bores they print for schedule 40 lie
/// within 1.2 % of it, and half the tolerance of ISO 11922-1 comes to the same).
pub const AVERAGE_WALL: f64 = 1.06;

/// Which bore an inside diameter is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Bore {
    /// Of a pipe of average wall, from its outside diameter and least wall.
    Average,
    /// As the standard has it.
    Nominal,
}

/// How a number was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Trust {
    /// In the source itself.
    Seen,
    /// In a secondary copy, or in a document that applies it.
    Copy,
    /// Recalled.
    Memory,
}

/// What a pipe is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Rigid polyvinyl chloride.
    Pvc,
    /// Polyethylene.
    Polyethylene,
    /// New commercial steel.
    Steel,
    /// Polyethylene with a corrugated bore.
    Corrugated,
    /// New galvanized steel.
    Galvanized,
    /// Stainless steel.
    Stainless,
    /// New cast or ductile iron without a lining.
    Iron,
    /// Drawn copper.
    Copper,
    /// Hose with a smooth bore.
    Hose,
}

impl Material {
    /// Absolute roughness of new pipe, m. Plastic and steel: EPANET 2.2 user manual (5·10⁻⁶ ft and 1.5·10⁻⁴ ft); galvanized
    /// and cast iron: Moody (1944), 5·10⁻⁴ and 8.5·10⁻⁴ ft, and drawn copper 5·10⁻⁶ ft (from memory); stainless steel and
    /// smooth hose: handbook values (from memory); corrugated: that which gives Manning's n near 0.017 in 4 in pipe (from
    /// memory). Old iron is several times rougher.
    ///
    /// ```
    /// use bywash::formulas::pipe_table::Material;
    /// // Moody (1944): cast iron 0.00085 ft.
    /// assert!((Material::Iron.roughness() / 0.3048 - 0.00085).abs() < 1e-5);
    /// ```
    pub fn roughness(self) -> f64 {
        match self {
            Self::Pvc | Self::Polyethylene | Self::Copper => 1.5e-6,
            Self::Steel => 4.6e-5,
            Self::Galvanized => 1.5e-4,
            Self::Stainless => 1.5e-5,
            Self::Iron => 2.6e-4,
            Self::Hose => 1e-5,
            Self::Corrugated => 4e-3,
        }
    }

    /// Share of the rating at 23 °C that is left at a water temperature in K. PVC only; none where no factor is
    /// published here, and none beyond 60 °C, where PVC isn't used.
    ///
    /// ```
    /// use bywash::formulas::pipe_table::Material;
    /// // The trade's table: 0.62 of the rating at 100 °F.
    /// let factor = Material::Pvc.rating_factor((100.0 - 32.0) / 1.8 + 273.15).unwrap();
    /// assert!((factor - 0.62).abs() < 1e-9);
    /// ```
    pub fn rating_factor(self, t: f64) -> Option<f64> {
        (self == Self::Pvc).then(|| pvc_rating_factor(t)).flatten()
    }
}

/// PVC pressure rating by temperature, °F and share of the rating at 73 °F, as printed by makers and handbooks alike
/// (secondary copies; 110 °F and 130 °F are also printed 0.51 and 0.31).
const PVC_DERATING: [(f64, f64); 8] = [
    (73.0, 1.0),
    (80.0, 0.88),
    (90.0, 0.75),
    (100.0, 0.62),
    (110.0, 0.50),
    (120.0, 0.40),
    (130.0, 0.30),
    (140.0, 0.22),
];

fn pvc_rating_factor(t: f64) -> Option<f64> {
    let fahrenheit = (t - 273.15) * 1.8 + 32.0;
    if fahrenheit <= 73.0 {
        return Some(1.0);
    }
    PVC_DERATING
        .iter()
        .zip(PVC_DERATING.iter().skip(1))
        // A thousandth of a degree, so that 60 °C, which is 140 °F, counts after the conversion.
        .find(|(_, high)| fahrenheit <= high.0 + 1e-3)
        .map(|(low, high)| low.1 + (fahrenheit - low.0) / (high.0 - low.0) * (high.1 - low.1))
}

/// A published pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    /// The class, by its first name.
    pub class: &'static str,
    /// Nominal size, in.
    pub nominal: f64,
    /// Inside diameter, m, for losses and water held: the average one where the standard fixes the least wall.
    pub inside_diameter: f64,
    /// Which bore that is.
    pub bore: Bore,
    /// Outside diameter, m, where the standard fixes it.
    pub outside_diameter: Option<f64>,
    /// Least (or nominal) wall, m, for pressure, where the standard fixes it.
    pub least_wall: Option<f64>,
    /// Rating at 23 °C, Pa, where published.
    pub rating: Option<f64>,
    /// Whether the pipe is made for pressure; drain, sewer and cellular-core pipe is not.
    pub pressure: bool,
    /// What it is made of.
    pub material: Material,
    /// Where the sizes come from.
    pub source: &'static str,
    /// How they were read.
    pub trust: Trust,
}

/// A pipe that isn't in the table.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum UnknownPipe {
    /// A class the table doesn't hold.
    #[error("no pipe class is called \"{given}\"")]
    Class {
        /// The class as given.
        given: String,
        /// The nearest class, when one is near.
        nearest: Option<&'static str>,
        /// Every class by its first name.
        accepted: Vec<&'static str>,
    },
    /// A size the class isn't published in.
    #[error("{class} pipe isn’t published in size {given}")]
    Size {
        /// The size as given.
        given: String,
        /// The class asked for.
        class: &'static str,
        /// The nearest published size.
        nearest: Option<String>,
        /// The sizes it is published in.
        accepted: Vec<String>,
        /// The same in the unit of the class, in or mm.
        sizes: Vec<f64>,
    },
}

impl UnknownPipe {
    pub(super) fn size(
        class: &'static str,
        given: f64,
        sizes: Vec<f64>,
        text: impl Fn(f64) -> String,
    ) -> Self {
        let off = |size: &f64| (size - given).abs();
        let nearest = sizes.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)));
        Self::Size {
            given: text(given),
            class,
            nearest: nearest.map(&text),
            accepted: sizes.iter().copied().map(&text).collect(),
            sizes,
        }
    }
}

/// Lower case letters, digits and decimal points, `schedule` and `sch.` as `sch`.
pub(super) fn plain(class: &str) -> String {
    class
        .to_lowercase()
        .replace("schedule", "sch")
        .replace("sch.", "sch")
        .replace("cl.", "class")
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == '.')
        .collect()
}
