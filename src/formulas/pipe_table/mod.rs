//! Published pipe: bore, wall, pressure rating and roughness by nominal size and class.
//!
//! Standards of plastic pipe fix the outside diameter and the *least* wall. The wall that is made is thicker: makers aim
//! at about 1.06 times the least one ([`AVERAGE_WALL`]), and that is what holds the water back; the least wall is what
//! the pressure rating rests on.

mod data;
mod metric;

use data::{CLASSES, Class, Dimension, Size};

use super::units::{INCH, PSI};

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
    fn size(class: &'static str, given: f64, sizes: Vec<f64>, text: impl Fn(f64) -> String) -> Self {
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

/// The pipe of a nominal size (in) and class, as a builder writes the class: `sch 40`, `SDR 26`, `class 160`, `sidr 15`,
/// `hose`; and by outside diameter `PVC-U PN 10`, `PE 100 SDR 17`, `SN 4`, whose size is the outside diameter.
///
/// ```
/// use bywash::formulas::pipe_table::inside_diameter;
/// // 2 in schedule 40: makers print an average bore of 2.047 in.
/// let pipe = inside_diameter(2.0, "sch 40").unwrap();
/// assert!((pipe.inside_diameter / 0.0254 - 2.047).abs() < 0.002);
/// // 63 mm PE 100 SDR 11: wall 5.8 to 6.5 mm, 16 bar.
/// let pipe = inside_diameter(63.0 / 25.4, "PE 100 SDR 11").unwrap();
/// assert!((pipe.inside_diameter - (0.063 - 2.0 * 6.15e-3)).abs() < 5e-5);
/// assert_eq!(pipe.rating, Some(16e5));
/// ```
///
/// # Errors
/// A class the tables don't hold, or a size it isn't published in.
pub fn inside_diameter(nominal: f64, class: &str) -> Result<Entry, UnknownPipe> {
    if let Some(found) = metric::find(nominal * 25.4, class) {
        return found;
    }
    let class = find_class(class)?;
    let size = class
        .sizes
        .iter()
        .find(|size| (size.nominal - nominal).abs() < 1e-3);
    let size = size.ok_or_else(|| {
        let sizes = class.sizes.iter().map(|size| size.nominal).collect();
        UnknownPipe::size(class.names[0], nominal, sizes, size_text)
    })?;
    Ok(entry(class, size))
}

fn entry(class: &'static Class, size: &Size) -> Entry {
    let (outside, wall, inside, bore) = match size.dimension {
        Dimension::LeastWall(outside, wall) => {
            let average = outside - 2.0 * AVERAGE_WALL * wall;
            (Some(outside), Some(wall), average, Bore::Average)
        }
        Dimension::NominalWall(outside, wall) => {
            (Some(outside), Some(wall), outside - 2.0 * wall, Bore::Nominal)
        }
        Dimension::Bore(bore) => (None, None, bore, Bore::Nominal),
    };
    Entry {
        class: class.names[0],
        nominal: size.nominal,
        inside_diameter: inside * INCH,
        bore,
        outside_diameter: outside.map(|outside| outside * INCH),
        least_wall: wall.map(|wall| wall * INCH),
        rating: size.rating.map(|psi| psi * PSI),
        pressure: class.pressure,
        material: class.material,
        source: class.source,
        trust: class.trust,
    }
}

/// The nominal sizes a class is published in, in, smallest first.
///
/// ```
/// let sizes = bywash::formulas::pipe_table::sizes("sdr 35").unwrap();
/// assert_eq!(sizes, [4.0, 6.0, 8.0, 10.0, 12.0]);
/// ```
///
/// # Errors
/// A class the table doesn't hold.
pub fn sizes(class: &str) -> Result<Vec<f64>, UnknownPipe> {
    if let Some(millimetres) = metric::sizes(class) {
        return Ok(millimetres.into_iter().map(|size| size / 25.4).collect());
    }
    Ok(find_class(class)?.sizes.iter().map(|size| size.nominal).collect())
}

/// A nominal size (in) as it is written: `1-1/2 in`.
///
/// ```
/// assert_eq!(bywash::formulas::pipe_table::size_text(1.5), "1-1/2 in");
/// ```
pub fn size_text(nominal: f64) -> String {
    let quarters = (nominal * 4.0).round();
    if (quarters - nominal * 4.0).abs() > 1e-3 {
        return format!("{} in", (nominal * 1000.0).round() / 1000.0);
    }
    let whole = (quarters / 4.0).floor();
    let part = match (quarters - 4.0 * whole) as u8 {
        1 => "1/4",
        2 => "1/2",
        3 => "3/4",
        _ => return format!("{whole} in"),
    };
    if whole > 0.0 {
        format!("{whole}-{part} in")
    } else {
        format!("{part} in")
    }
}

/// The classes held, each by its first name.
///
/// ```
/// assert!(bywash::formulas::pipe_table::classes().any(|class| class == "sch 40"));
/// ```
pub fn classes() -> impl Iterator<Item = &'static str> {
    CLASSES
        .iter()
        .map(|class| class.names[0])
        .chain(metric::classes())
}

/// Reads a nominal size as written, in inches: `2`, `1.5`, `1-1/2`, `1 1/2 in`, `1½"`.
///
/// ```
/// assert_eq!(bywash::formulas::pipe_table::nominal_size("1-1/2 in"), Some(1.5));
/// ```
pub fn nominal_size(text: &str) -> Option<f64> {
    let text = text
        .trim()
        .trim_end_matches(['"', '″'])
        .trim_end_matches("inch")
        .trim_end_matches("in")
        .replace('¼', " 1/4")
        .replace('½', " 1/2")
        .replace('¾', " 3/4")
        .replace('-', " ");
    let mut parts = text.split_whitespace();
    let first = number(parts.next()?)?;
    let size = match parts.next() {
        Some(fraction) if fraction.contains('/') => first + number(fraction)?,
        Some(_) => return None,
        None => first,
    };
    (parts.next().is_none() && size > 0.0 && size.is_finite()).then_some(size)
}

/// A decimal number or a fraction.
fn number(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((over, under)) => Some(over.parse::<f64>().ok()? / under.parse::<f64>().ok()?),
        None => text.parse().ok(),
    }
}

fn find_class(given: &str) -> Result<&'static Class, UnknownPipe> {
    let wanted = plain(given);
    let names = || {
        CLASSES
            .iter()
            .flat_map(|class| class.names.iter().map(move |name| (*name, class)))
    };
    if let Some((_, class)) = names().find(|(name, _)| plain(name) == wanted) {
        return Ok(class);
    }
    let nearest = names()
        .map(|(name, _)| name)
        .chain(metric::classes())
        .map(|name| (strsim::jaro_winkler(&plain(name), &wanted), name))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(likeness, _)| *likeness > 0.7)
        .map(|(_, name)| name);
    Err(UnknownPipe::Class {
        given: given.to_owned(),
        nearest,
        accepted: classes().collect(),
    })
}

/// Lower case letters, digits and decimal points, `schedule` and `sch.` as `sch`.
fn plain(class: &str) -> String {
    class
        .to_lowercase()
        .replace("schedule", "sch")
        .replace("sch.", "sch")
        .replace("cl.", "class")
        .chars()
        .filter(|c| c.is_alphanumeric() || *c == '.')
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_known_by_the_names_builders_write() {
        for name in ["sch 40", "Sch. 40", "schedule 40", "SCH40", "schedule-40"] {
            assert_eq!(inside_diameter(2.0, name).unwrap().class, "sch 40");
        }
        assert_eq!(inside_diameter(2.0, "class 160").unwrap().class, "sdr 26");
        assert!(!inside_diameter(4.0, "sdr 35").unwrap().pressure);
    }

    #[test]
    fn unknown_pipe_names_what_is_accepted() {
        let UnknownPipe::Class {
            nearest, accepted, ..
        } = inside_diameter(2.0, "sch 45").unwrap_err()
        else {
            unreachable!()
        };
        assert_eq!(nearest, Some("sch 40"));
        assert!(accepted.contains(&"sidr 15"));
        let UnknownPipe::Size { nearest, .. } = inside_diameter(2.2, "sch 40").unwrap_err() else {
            unreachable!()
        };
        assert_eq!(nearest.as_deref(), Some("2 in"));
    }

    #[test]
    fn sizes_as_written() {
        for (text, size) in [
            ("2", 2.0),
            ("1.5", 1.5),
            ("1-1/2", 1.5),
            ("1 1/2 in", 1.5),
            ("1½\"", 1.5),
            ("3/4", 0.75),
            ("¾ inch", 0.75),
        ] {
            assert_eq!(nominal_size(text), Some(size), "{text}");
        }
        for text in ["", "two", "1 2", "1/0", "-", "1 1/2 3"] {
            assert_eq!(nominal_size(text), None, "{text}");
        }
    }

    #[test]
    fn names_mean_one_class_each() {
        let mut seen = std::collections::HashSet::new();
        for class in CLASSES {
            for name in class.names {
                assert!(seen.insert(plain(name)), "{name} twice");
            }
        }
    }

    #[test]
    fn warm_pvc_is_weaker() {
        let at = |f: f64| Material::Pvc.rating_factor((f - 32.0) / 1.8 + 273.15);
        assert_eq!(at(60.0), Some(1.0));
        assert!((at(100.0).unwrap() - 0.62).abs() < 1e-9);
        assert!((at(85.0).unwrap() - 0.815).abs() < 1e-9);
        assert!((at(140.0).unwrap() - 0.22).abs() < 1e-9);
        assert_eq!(at(150.0), None);
        assert_eq!(Material::Polyethylene.rating_factor(300.0), None);
    }
}
