//! Pipe by outside diameter in millimetres (DN/OD): PVC-U and PE of the EN and ISO series.
//!
//! Walls follow from the pipe series S of ISO 4065, `e = DN/(2·S + 1)` with S of the R10 series of preferred numbers,
//! rounded to a hundredth of a millimetre and then up to a tenth. `SDR` is the rounded `2·S + 1`.

use super::pipe::{AVERAGE_WALL, Bore, Entry, Material, Trust, UnknownPipe, plain};
use crate::formulas::units::INCH;

/// A family of pipe made to one standard.
struct Family {
    /// Its name, as the class of a pipe begins.
    names: &'static [&'static str],
    material: Material,
    source: &'static str,
    trust: Trust,
    /// Outside diameters, mm.
    sizes: &'static [f64],
    /// The least wall that is made, mm.
    least_wall: f64,
    /// Design stress over a nominal pressure of one bar, by the outside diameter in mm: `PN = stress/S`.
    stress: fn(f64) -> f64,
    /// Series it is made in, by their SDR.
    ratios: &'static [&'static str],
    /// Nominal pressures it is made in, bar.
    pressures: &'static [f64],
}

/// SDR as it is written, and the exponent of its series: `S = 10^(exponent/10)`.
const SERIES: [(&str, f64); 10] = [
    ("7.4", 5.0),
    ("9", 6.0),
    ("11", 7.0),
    ("13.6", 8.0),
    ("17", 9.0),
    ("21", 10.0),
    ("26", 11.0),
    ("33", 12.0),
    ("41", 13.0),
    ("51", 14.0),
];

const PVC: &str =
    "EN ISO 1452-2 series (from memory), average bore: outside diameter less twice 1.06 times the least wall";
const PE: &str = "EN 12201-2 series as makers print them, average bore: outside diameter less twice 1.06 times the least wall";
const PVC_SIZES: &[f64] = &[
    20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 75.0, 90.0, 110.0, 125.0, 140.0, 160.0, 180.0, 200.0, 225.0, 250.0,
    280.0, 315.0,
];
const PE_SIZES: &[f64] = PVC_SIZES;

const FAMILIES: [Family; 3] = [
    Family {
        names: &["pvc-u", "upvc", "pvc"],
        material: Material::Pvc,
        source: PVC,
        trust: Trust::Memory,
        sizes: PVC_SIZES,
        least_wall: 1.5,
        // Minimum strength 25 MPa over a design coefficient of 2.5 up to DN 90, 2.0 from DN 110 on.
        stress: |size| if size <= 90.0 { 100.0 } else { 125.0 },
        ratios: &["13.6", "17", "21", "26", "33", "41"],
        pressures: &[6.0, 8.0, 10.0, 12.5, 16.0, 20.0],
    },
    Family {
        names: &["pe 100", "pe100", "pe", "hdpe"],
        material: Material::Polyethylene,
        source: PE,
        trust: Trust::Copy,
        sizes: PE_SIZES,
        least_wall: 2.0,
        stress: |_| 80.0,
        ratios: &["7.4", "9", "11", "13.6", "17", "21", "26"],
        pressures: &[6.0, 8.0, 10.0, 12.5, 16.0, 20.0, 25.0],
    },
    Family {
        names: &["pe 80", "pe80", "mdpe"],
        material: Material::Polyethylene,
        source: PE,
        trust: Trust::Copy,
        sizes: PE_SIZES,
        least_wall: 2.0,
        stress: |_| 63.0,
        ratios: &["7.4", "9", "11", "13.6", "17", "21", "26"],
        pressures: &[5.0, 6.0, 8.0, 10.0, 12.5, 16.0, 20.0],
    },
];

/// Buried gravity sewer pipe of PVC-U, EN 1401-1 (from memory): outside diameter and least wall, mm, by stiffness.
const SEWER_SN_4: &[(f64, f64)] = &[
    (110.0, 3.2),
    (125.0, 3.2),
    (160.0, 4.0),
    (200.0, 4.9),
    (250.0, 6.2),
    (315.0, 7.7),
];
const SEWER_SN_8: &[(f64, f64)] = &[
    (110.0, 3.2),
    (125.0, 3.7),
    (160.0, 4.7),
    (200.0, 5.9),
    (250.0, 7.3),
    (315.0, 9.2),
];
const SEWER: &str = "EN 1401-1, not for pressure (from memory), average bore: outside diameter less twice 1.06 times the least wall";

/// What the second part of a class says of the wall.
enum Wall {
    Ratio(f64),
    Pressure(f64),
}

/// The pipe of an outside diameter (mm) and a class such as `PVC-U PN 10`, `PE 100 SDR 17`, `SN 4`; none where the class is
/// none of these.
pub(super) fn find(size: f64, class: &str) -> Option<Result<Entry, UnknownPipe>> {
    let wanted = plain(class);
    if let Some((name, walls)) = sewer(&wanted) {
        let wall = walls
            .iter()
            .find(|(known, _)| same(*known, size))
            .map(|(_, wall)| *wall);
        let sizes = || walls.iter().map(|(size, _)| *size).collect();
        return Some(
            entry(name, size, wall, sizes, Material::Pvc, SEWER, Trust::Memory).map(|entry| Entry {
                pressure: false,
                ..entry
            }),
        );
    }
    let (family, name, wall) = named(&wanted)?;
    let thickness = |size: f64| {
        let known = family.sizes.iter().any(|known| same(*known, size));
        known.then(|| family.wall(size, &wall)).flatten()
    };
    let sizes = || {
        let made = |size: &f64| thickness(*size).is_some();
        family.sizes.iter().copied().filter(made).collect()
    };
    let (material, source, trust) = (family.material, family.source, family.trust);
    Some(
        entry(name, size, thickness(size), sizes, material, source, trust).map(|entry| Entry {
            rating: Some(family.rating(size, &wall)),
            ..entry
        }),
    )
}

/// Every class by its usual name.
pub(super) fn classes() -> impl Iterator<Item = &'static str> {
    NAMES.iter().copied()
}

/// The sizes a class is made in, mm; none where the class is not one of these.
pub(super) fn sizes(class: &str) -> Option<Vec<f64>> {
    match find(f64::NAN, class)? {
        Err(UnknownPipe::Size { sizes, .. }) => Some(sizes),
        _ => None,
    }
}

#[rustfmt::skip]
const NAMES: &[&str] = &[
    "pvc-u pn 6", "pvc-u pn 8", "pvc-u pn 10", "pvc-u pn 12.5", "pvc-u pn 16", "pvc-u pn 20",
    "pvc-u sdr 13.6", "pvc-u sdr 17", "pvc-u sdr 21", "pvc-u sdr 26", "pvc-u sdr 33", "pvc-u sdr 41",
    "pe 100 pn 6", "pe 100 pn 8", "pe 100 pn 10", "pe 100 pn 12.5", "pe 100 pn 16", "pe 100 pn 20", "pe 100 pn 25",
    "pe 100 sdr 7.4", "pe 100 sdr 9", "pe 100 sdr 11", "pe 100 sdr 13.6", "pe 100 sdr 17", "pe 100 sdr 21", "pe 100 sdr 26",
    "pe 80 pn 5", "pe 80 pn 6", "pe 80 pn 8", "pe 80 pn 10", "pe 80 pn 12.5", "pe 80 pn 16", "pe 80 pn 20",
    "pe 80 sdr 7.4", "pe 80 sdr 9", "pe 80 sdr 11", "pe 80 sdr 13.6", "pe 80 sdr 17", "pe 80 sdr 21", "pe 80 sdr 26",
    "sn 4", "sn 8",
];

fn sewer(wanted: &str) -> Option<(&'static str, &'static [(f64, f64)])> {
    match wanted {
        "sn4" | "pvcusn4" | "pvcsn4" => Some(("sn 4", SEWER_SN_4)),
        "sn8" | "pvcusn8" | "pvcsn8" => Some(("sn 8", SEWER_SN_8)),
        _ => None,
    }
}

/// The family a class belongs to, the usual name of the class, and its wall.
fn named(wanted: &str) -> Option<(&'static Family, &'static str, Wall)> {
    static KNOWN: [Family; 3] = FAMILIES;
    for family in &KNOWN {
        for name in family.names {
            let Some(rest) = wanted.strip_prefix(plain(name).as_str()) else {
                continue;
            };
            // An inch class may be called PVC SDR too; only PVC-U is metric for certain.
            let (given, wall) = if let Some(ratio) = rest.strip_prefix("sdr").filter(|_| *name != "pvc") {
                let known = family.ratios.iter().find(|known| **known == ratio);
                let exponent = known.and_then(|known| SERIES.iter().find(|(sdr, _)| sdr == known));
                (
                    format!("sdr{ratio}"),
                    exponent.map(|(_, exponent)| Wall::Ratio(*exponent)),
                )
            } else if let Some(pressure) = rest.strip_prefix("pn") {
                let known = pressure.parse::<f64>().ok();
                let known = known.filter(|known| family.pressures.iter().any(|made| same(*made, *known)));
                (format!("pn{pressure}"), known.map(Wall::Pressure))
            } else {
                continue;
            };
            let usual = format!("{}{given}", plain(family.names[0]));
            let usual = NAMES.iter().find(|name| plain(name) == usual);
            if let (Some(wall), Some(usual)) = (wall, usual) {
                return Some((family, usual, wall));
            }
        }
    }
    None
}

impl Family {
    /// The exponent of the series of a wall at a size: of a nominal pressure, the thinnest series that bears it.
    fn exponent(&self, size: f64, wall: &Wall) -> f64 {
        match wall {
            Wall::Ratio(exponent) => *exponent,
            // The nominal pressures are rounded down from those of the series by up to a tenth.
            Wall::Pressure(pressure) => (10.0 * ((self.stress)(size) / pressure).log10()).round(),
        }
    }

    /// Least wall, mm; none where the series is not made.
    fn wall(&self, size: f64, wall: &Wall) -> Option<f64> {
        let exponent = self.exponent(size, wall);
        let made = SERIES
            .iter()
            .any(|(sdr, known)| same(*known, exponent) && self.ratios.contains(sdr));
        let series = 10f64.powf(exponent / 10.0);
        let hundredths = (100.0 * size / (2.0 * series + 1.0)).round();
        let thickness = (hundredths / 10.0).ceil() / 10.0;
        let thickness = thickness.max(self.least_wall);
        // No polyethylene pipe is made with walls between 2.4 and 3.0 mm.
        let odd = self.material == Material::Polyethylene && thickness > 2.4 && thickness < 3.0;
        let thickness = if odd { 3.0 } else { thickness };
        (made && self.rating(size, wall).is_finite()).then_some(thickness)
    }

    /// Nominal pressure, Pa.
    fn rating(&self, size: f64, wall: &Wall) -> f64 {
        let bar = match wall {
            Wall::Pressure(pressure) => *pressure,
            Wall::Ratio(exponent) => {
                let by_series = (self.stress)(size) / 10f64.powf(exponent / 10.0);
                let below = self
                    .pressures
                    .iter()
                    .copied()
                    .filter(|made| *made <= by_series * 1.02);
                below.fold(f64::NAN, f64::max)
            }
        };
        bar * 1e5
    }
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() < 0.02
}

fn entry(
    class: &'static str,
    size: f64,
    wall: Option<f64>,
    sizes: impl Fn() -> Vec<f64>,
    material: Material,
    source: &'static str,
    trust: Trust,
) -> Result<Entry, UnknownPipe> {
    let wall = wall.ok_or_else(|| {
        let sizes = sizes();
        UnknownPipe::size(class, size, sizes, |size| format!("{size} mm"))
    })?;
    let (outside, wall) = (size * 1e-3, wall * 1e-3);
    Ok(Entry {
        class,
        nominal: outside / INCH,
        inside_diameter: outside - 2.0 * AVERAGE_WALL * wall,
        bore: Bore::Average,
        outside_diameter: Some(outside),
        least_wall: Some(wall),
        rating: None,
        pressure: true,
        material,
        source,
        trust,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_class_has_its_sizes_and_every_name_its_class() {
        for name in classes() {
            let sizes = sizes(name).unwrap();
            assert!(sizes.len() >= 6, "{name}: {sizes:?}");
            for size in sizes {
                let entry = find(size, name).unwrap().unwrap();
                assert_eq!(entry.class, name);
                let rated = entry.rating.is_none_or(f64::is_finite);
                assert!(entry.inside_diameter > 0.0 && rated, "{name} {size}");
            }
        }
    }

    #[test]
    fn what_is_not_made_is_refused() {
        assert!(find(63.0, "pn 10").is_none(), "PVC or PE?");
        assert!(find(63.0, "pvc-u pn 11").is_none());
        let Err(UnknownPipe::Size { nearest, .. }) = find(60.0, "PVC-U PN10").unwrap() else {
            unreachable!()
        };
        assert_eq!(nearest.as_deref(), Some("63 mm"));
    }
}
