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
}

impl Conductor {
    /// A conductor as people write it: `12 AWG copper`, `10 AWG aluminium`, `4 mm2`; copper where no metal is named.
    /// None where no size is told.
    ///
    /// The gauge's diameter is `0.127 mm · 92^((36 − n)/39)` (ASTM B258).
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.to_lowercase();
        let metal = if lower.contains("alumin") {
            Metal::Aluminium
        } else {
            Metal::Copper
        };
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
        let area = if let Some(area) = before(&["mm2", "mm²"]) {
            area * 1e-6
        } else {
            let gauge = before(&["awg", "ga", "gauge"]).or(after_awg)?;
            let diameter = 0.127e-3 * 92f64.powf((36.0 - gauge) / 39.0);
            std::f64::consts::FRAC_PI_4 * diameter * diameter
        };
        (area > 0.0 && area < 1e-2).then_some(Self { metal, area })
    }

    /// Resistance of a length (m) one way, Ω: `R = ρ·L/A`, stranded, at 75 °C.
    ///
    /// ```
    /// use bywash::formulas::conductor::Conductor;
    /// // 12 AWG copper, 75 °C: 1.98 Ω for 1000 ft, stranded (NEC chapter 9, table 8, from memory).
    /// let wire = Conductor::parse("12 AWG copper").unwrap();
    /// assert!((wire.resistance(304.8) / 1.98 - 1.0).abs() < 0.02);
    /// ```
    pub fn resistance(&self, length: f64) -> f64 {
        let warmer = 1.0 + self.metal.coefficient() * (RUNNING - 20.0);
        self.metal.resistivity() * warmer * LAY * length / self.area
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
        assert_eq!(Conductor::parse("12 copper"), None);
    }
}
