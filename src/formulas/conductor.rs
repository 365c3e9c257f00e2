//! Voltage drop in a branch circuit.

/// What a conductor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Annealed copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

impl Metal {
    /// Resistivity at 20 °C, Ω·m: annealed copper by the international standard (IEC 60028), aluminium for wire
    /// (from memory).
    const fn resistivity(self) -> f64 {
        match self {
            Self::Copper => 1.7241e-8,
            Self::Aluminium => 2.83e-8,
        }
    }

    /// Change of resistance with temperature, 1/K at 20 °C.
    const fn coefficient(self) -> f64 {
        match self {
            Self::Copper => 0.003_93,
            Self::Aluminium => 0.004_03,
        }
    }
}

/// Greatest resistance of a copper conductor at 20 °C by its size, mm² and Ω/km, solid or stranded (classes 1 and 2)
/// and flexible (class 5): IEC 60228, tables 1 to 3 (from memory).
const IEC_60228: [(f64, f64, f64); 11] = [
    (0.5, 36.0, 39.0),
    (0.75, 24.5, 26.0),
    (1.0, 18.1, 19.5),
    (1.5, 12.1, 13.3),
    (2.5, 7.41, 7.98),
    (4.0, 4.61, 4.95),
    (6.0, 3.08, 3.30),
    (10.0, 1.83, 1.91),
    (16.0, 1.15, 1.21),
    (25.0, 0.727, 0.780),
    (35.0, 0.524, 0.554),
];

/// Temperature that loaded conductors are taken at, °C.
const RUNNING: f64 = 75.0;
/// Stranded wire is this much longer than its run.
const LAY: f64 = 1.02;

/// A conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Its metal.
    pub metal: Metal,
    /// Area of the metal, m².
    pub area: f64,
    /// Resistance at 20 °C by the standard, Ω/m, of copper in a metric size; else it follows from the area.
    pub standard: Option<f64>,
}

/// The size of one conductor in a cable designation, mm²: `3g1.5`, `3x2.5mm²`; `1.5mm2` alone. The letter g tells that
/// one conductor is the protective one, x that none is.
fn in_designation(word: &str) -> Option<f64> {
    let metric = ["mm2", "mm²"].iter().find_map(|unit| word.strip_suffix(unit));
    let bare = metric.unwrap_or(word);
    let cores = bare
        .split_once(['g', 'x', '×'])
        .filter(|(cores, _)| !cores.is_empty() && cores.chars().all(|digit| digit.is_ascii_digit()));
    match cores {
        Some((_, size)) => size.parse().ok(),
        None => metric?.parse().ok(),
    }
}

/// Greatest protection of copper conductors by area, mm² and A. Gauges: 7 and 10 A for 18 and 16 AWG, 15, 20 and 30 A for
/// 14, 12 and 10 AWG (NFPA 70, 240.4(D)), above them the 60 °C column of table 310.16 (both from memory). Metric sizes: usual
/// breakers in buildings and of cords (common practice after IEC 60364-5-52, from memory).
const PROTECTED: [(f64, f64); 19] = [
    (0.75, 6.0),
    (0.823, 7.0),
    (1.0, 10.0),
    (1.31, 10.0),
    (1.5, 16.0),
    (2.08, 15.0),
    (2.5, 20.0),
    (3.31, 20.0),
    (4.0, 25.0),
    (5.26, 30.0),
    (6.0, 32.0),
    (8.37, 40.0),
    (10.0, 50.0),
    (13.3, 55.0),
    (16.0, 63.0),
    (21.2, 70.0),
    (25.0, 80.0),
    (33.6, 95.0),
    (35.0, 100.0),
];

impl Conductor {
    /// Greatest current (A) that a copper conductor of a usual size may carry; none for other sizes and metals.
    ///
    /// ```
    /// use bywash::formulas::conductor::Conductor;
    /// // NFPA 70, 240.4(D), read in a copy: 15, 20 and 30 A.
    /// let most = |text| Conductor::parse(text).unwrap().greatest_current();
    /// assert_eq!(most("14 AWG copper"), Some(15.0));
    /// assert_eq!(most("12 AWG copper"), Some(20.0));
    /// assert_eq!(most("10 AWG copper"), Some(30.0));
    /// assert_eq!(most("3G1.5 mm²"), Some(16.0));
    /// ```
    pub fn greatest_current(&self) -> Option<f64> {
        let area = self.area * 1e6;
        let known = PROTECTED
            .iter()
            .find(|(known, _)| (area / known - 1.0).abs() < 0.01);
        known
            .filter(|_| self.metal == Metal::Copper)
            .map(|(_, most)| *most)
    }

    /// A conductor as people write it: `12 AWG copper`, `10 AWG aluminium`, `4 mm2`, `H07RN-F 3G1.5 mm²`, `3x2,5`; copper
    /// where no metal is named. None where no size is told.
    ///
    /// A cord (`H05…-F`, `H07…-F` or `flexible`) has flexible conductors.
    /// The gauge's diameter is `0.127 mm · 92^((36 − n)/39)` (ASTM B258).
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.to_lowercase();
        let metal = if lower.contains("alumin") {
            Metal::Aluminium
        } else {
            Metal::Copper
        };
        let lower = decimal_points(&lower);
        let words: Vec<&str> = lower
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | '#' | '(' | ')'))
            .filter(|word| !word.is_empty())
            .collect();
        let before = |unit: &[&str]| {
            words.windows(2).find_map(|pair| {
                let [number, of] = pair else { return None };
                unit.contains(of).then(|| number.parse::<f64>().ok()).flatten()
            })
        };
        let after_awg = words.windows(2).find_map(|pair| match pair {
            ["awg", number] => number.parse::<f64>().ok(),
            _ => None,
        });
        let designated = words.iter().find_map(|word| in_designation(word));
        let metric = designated.or_else(|| before(&["mm2", "mm²"]));
        let area = if let Some(area) = metric {
            area * 1e-6
        } else {
            let gauge = before(&["awg", "ga", "gauge"]).or(after_awg)?;
            let diameter = 0.127e-3 * 92f64.powf((36.0 - gauge) / 39.0);
            std::f64::consts::FRAC_PI_4 * diameter * diameter
        };
        let flexible = words.iter().any(|word| {
            let cord = word.starts_with("h05") || word.starts_with("h07");
            cord && word.ends_with("-f") || word.starts_with("flexible")
        });
        let standard = metric.filter(|_| metal == Metal::Copper).and_then(|size| {
            let (_, fixed, flexed) = IEC_60228.iter().find(|(known, ..)| (known - size).abs() < 1e-9)?;
            Some(if flexible { flexed } else { fixed } * 1e-3)
        });
        (area > 0.0 && area < 1e-2).then_some(Self {
            metal,
            area,
            standard,
        })
    }

    /// Resistance of a length (m) one way, Ω, at 75 °C: by the standard, else `R = ρ·L/A`, stranded.
    ///
    /// ```
    /// use bywash::formulas::conductor::Conductor;
    /// // 12 AWG copper, 75 °C: 1.98 Ω for 1000 ft, stranded (NEC chapter 9, table 8, from memory).
    /// let wire = Conductor::parse("12 AWG copper").unwrap();
    /// assert!((wire.resistance(304.8) / 1.98 - 1.0).abs() < 0.02);
    /// ```
    pub fn resistance(&self, length: f64) -> f64 {
        let warmer = 1.0 + self.metal.coefficient() * (RUNNING - 20.0);
        let plain = self.metal.resistivity() * LAY / self.area;
        self.standard.unwrap_or(plain) * warmer * length
    }

    /// Share of a voltage (V) that is lost on the way there and back (length one way, m) at a current (A):
    /// `ΔV/V = 2·I·R/V`. Single phase; reactance is left out, which small conductors hardly have.
    ///
    /// ```
    /// use bywash::formulas::conductor::Conductor;
    /// // By hand: 10 A over 30 m of 12 AWG and back drops about 3.9 V.
    /// let wire = Conductor::parse("12 AWG copper").unwrap();
    /// assert!((wire.drop_share(30.0, 10.0, 120.0) * 120.0 - 3.9).abs() < 0.1);
    /// ```
    pub fn drop_share(&self, length: f64, current: f64, voltage: f64) -> f64 {
        2.0 * current * self.resistance(length) / voltage
    }
}

/// The text with decimal commas as points: `2,5` as `2.5`.
fn decimal_points(text: &str) -> String {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let chars: Vec<char> = text.chars().collect();
    let at = |index: usize| chars.get(index).copied();
    let turned = chars.iter().enumerate().map(|(index, &c)| {
        let between = index > 0 && digit(at(index - 1)) && digit(at(index + 1));
        if c == ',' && between { '.' } else { c }
    });
    turned.collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Conductor, Metal};

    #[test]
    fn conductors_are_read_as_people_write_them() {
        for (text, metal, area) in [
            ("12 AWG copper", Metal::Copper, 3.31),
            ("AWG 10 aluminium", Metal::Aluminium, 5.26),
            ("2.5 mm2", Metal::Copper, 2.5),
            ("4 mm² Cu", Metal::Copper, 4.0),
            ("3G1.5 mm²", Metal::Copper, 1.5),
            ("H07RN-F 3G1.5", Metal::Copper, 1.5),
            ("NYM-J 5x2,5 mm²", Metal::Copper, 2.5),
            ("3×6mm2 aluminium", Metal::Aluminium, 6.0),
            ("1,5 mm2", Metal::Copper, 1.5),
        ] {
            let conductor = Conductor::parse(text).unwrap();
            assert_eq!(conductor.metal, metal, "{text}");
            assert!(
                (conductor.area * 1e6 / area - 1.0).abs() < 2e-3,
                "{text}: {}",
                conductor.area
            );
        }
        assert_eq!(Conductor::parse("heavy cord"), None);
        assert_eq!(Conductor::parse("H07RN-F"), None);
        assert_eq!(Conductor::parse("3G"), None);
        assert_eq!(Conductor::parse("12 copper"), None);
    }
}
