//! Published pipe: bore, wall, pressure rating and roughness by nominal size and class.
//!
//! Standards of plastic pipe fix the outside diameter and the *least* wall. The wall that is made is thicker: makers aim
//! at about 1.06 times the least one ([`AVERAGE_WALL`]), and that is what holds the water back; the least wall is what
//! the pressure rating rests on.

mod data;
mod metric;
mod pipe;

pub use pipe::{AVERAGE_WALL, Bore, Entry, Material, Trust, UnknownPipe};

use data::{CLASSES, Class, Dimension, Size};
use pipe::plain;

use super::units::{INCH, PSI};

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
