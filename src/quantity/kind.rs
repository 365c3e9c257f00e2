//! What kind of thing a quantity measures.

use std::{fmt, str::FromStr};

/// What a quantity measures. A kind, not a bare dimension: gpm/ft² is an upflow rate and ft/s a velocity,
/// and neither is accepted for the other although both are lengths per time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Lengths, sizes and heads; m.
    Length,
    /// Heights above (+) or below (-) the benchmark, written in units of length and shown with their sign; m.
    Level,
    /// m².
    Area,
    /// Of water; m³.
    Volume,
    /// Of stone and soil, written as volumes are and shown in the units it is bought and carted by; m³.
    BulkVolume,
    /// Volume per time; m³/s.
    Flow,
    /// m/s.
    Velocity,
    /// Flow per open area of a bed; m/s.
    UpflowRate,
    /// Flow per width of a crest; m²/s.
    FlowPerWidth,
    /// kg.
    Mass,
    /// Feed, ammonia or oxygen per time; kg/s.
    MassRate,
    /// Fabric mass per area; kg/m².
    MassPerArea,
    /// Mass per volume of solids and unit weights given as such (lb/ft³, ton/yd³); kg/m³.
    Density,
    /// Mass of fish per volume of water, written as densities are; kg/m³.
    Stocking,
    /// Dissolved or suspended mass per volume of water (mg/L); kg/m³.
    Concentration,
    /// Pressures and strengths; Pa.
    Pressure,
    /// Of walls and loads on the ground, written as pressures are; Pa.
    GroundPressure,
    /// Forces on each length of a wall; N/m.
    ForcePerLength,
    /// A temperature on a scale; K.
    Temperature,
    /// A difference of temperatures; K.
    TemperatureStep,
    /// s.
    Time,
    /// W.
    Power,
    /// J.
    Energy,
    /// A factor or pure number shown as such, `1.5` or `150 %`: a factor of safety, a pH.
    Ratio,
    /// A part of a whole, `95 %` or `0.95`, shown in per cent; a pure number.
    Share,
    /// Run over rise, `2:1` horizontal to vertical; a pure number (horizontal per vertical).
    Slope,
    /// rad.
    Angle,
    /// Number per area (plants); 1/m².
    PerArea,
    /// V.
    Voltage,
    /// A.
    Current,
    /// Rainfall or evaporation per time; m/s.
    RainRate,
    /// An amount in whatever currency the plan names; a pure number.
    Money,
}

/// The words that belong to a kind.
struct Words {
    /// The name schemas and cards use.
    key: &'static str,
    /// The name in a sentence, with its article.
    name: &'static str,
    /// The SI unit values are kept in.
    si: &'static str,
    /// How people write it.
    examples: &'static [&'static str],
}

impl Kind {
    /// Every kind, in the order of their declaration.
    pub const ALL: [Self; 32] = [
        Self::Length,
        Self::Level,
        Self::Area,
        Self::Volume,
        Self::BulkVolume,
        Self::Flow,
        Self::Velocity,
        Self::UpflowRate,
        Self::FlowPerWidth,
        Self::Mass,
        Self::MassRate,
        Self::MassPerArea,
        Self::Density,
        Self::Stocking,
        Self::Concentration,
        Self::Pressure,
        Self::GroundPressure,
        Self::ForcePerLength,
        Self::Temperature,
        Self::TemperatureStep,
        Self::Time,
        Self::Power,
        Self::Energy,
        Self::Ratio,
        Self::Share,
        Self::Slope,
        Self::Angle,
        Self::PerArea,
        Self::Voltage,
        Self::Current,
        Self::RainRate,
        Self::Money,
    ];

    /// The name in a sentence, with its article: `a flow`.
    pub const fn name(self) -> &'static str {
        self.words().name
    }

    /// The kebab-case name that schemas and cards use: `flow-per-width`.
    pub const fn key(self) -> &'static str {
        self.words().key
    }

    /// The SI unit that values of this kind are kept in; empty for pure numbers.
    pub const fn si_unit(self) -> &'static str {
        self.words().si
    }

    /// A few quantities of this kind as people write them; each of them parses.
    pub const fn unit_examples(self) -> &'static [&'static str] {
        self.words().examples
    }

    /// The kind whose units it is written in: levels are written as lengths, stone and soil as volumes, fish in water as
    /// densities, loads on the ground as pressures.
    pub(crate) const fn written_as(self) -> Self {
        match self {
            Self::Level => Self::Length,
            Self::BulkVolume => Self::Volume,
            Self::Stocking => Self::Density,
            Self::GroundPressure => Self::Pressure,
            other => other,
        }
    }

    const fn words(self) -> Words {
        let (key, name, si, examples): (_, _, _, &[&str]) = match self {
            Self::Length => ("length", "a length", "m", &["7.5 in", "3 ft 6 in", "2.4 m"]),
            Self::Level => ("level", "a level", "m", &["+10 in", "-1 ft 2 in", "-0.35 m"]),
            Self::Area => ("area", "an area", "m²", &["120 ft2", "11 m2"]),
            Self::Volume => ("volume", "a volume", "m³", &["1,450 gal", "5.5 m3"]),
            Self::BulkVolume => (
                "bulk-volume",
                "a volume of stone or soil",
                "m³",
                &["4 yd3", "12 ft3", "3 m3"],
            ),
            Self::Flow => ("flow", "a flow", "m³/s", &["3,200 gph", "53 gpm", "12 m3/h"]),
            Self::Velocity => ("velocity", "a velocity", "m/s", &["5 ft/s", "1.5 m/s"]),
            Self::UpflowRate => ("upflow-rate", "an upflow rate", "m/s", &["0.8 gpm/ft2", "2 m/h"]),
            Self::FlowPerWidth => (
                "flow-per-width",
                "a flow per width",
                "m²/s",
                &["10 gpm/ft", "2 L/s/m"],
            ),
            Self::Mass => ("mass", "a mass", "kg", &["40 lb", "18 kg"]),
            Self::MassRate => ("mass-rate", "a mass per time", "kg/s", &["0.5 lb/day", "200 g/d"]),
            Self::MassPerArea => (
                "mass-per-area",
                "a mass per area",
                "kg/m²",
                &["12 oz/yd2", "400 g/m2"],
            ),
            Self::Density => ("density", "a density", "kg/m³", &["100 lb/ft3", "1600 kg/m3"]),
            Self::Stocking => (
                "stocking",
                "a mass of fish per volume",
                "kg/m³",
                &["4 lb per 1,000 gal", "0.5 kg/m3"],
            ),
            Self::Concentration => (
                "concentration",
                "a concentration",
                "kg/m³",
                &["80 mg/L", "0.5 ppm"],
            ),
            Self::Pressure => ("pressure", "a pressure", "Pa", &["20 psi", "140 kPa", "300 psf"]),
            Self::GroundPressure => (
                "ground-pressure",
                "a pressure on the ground",
                "Pa",
                &["1,500 psf", "72 kPa"],
            ),
            Self::ForcePerLength => (
                "force-per-length",
                "a force per length",
                "N/m",
                &["1,500 lb/ft", "20 kN/m"],
            ),
            Self::Temperature => ("temperature", "a temperature", "K", &["60 °F", "18 °C"]),
            Self::TemperatureStep => (
                "temperature-step",
                "a temperature difference",
                "K",
                &["4 °F", "2 °C"],
            ),
            Self::Time => ("time", "a time", "s", &["30 min", "8 h", "6 months"]),
            Self::Power => ("power", "a power", "W", &["250 W", "1/2 hp"]),
            Self::Energy => ("energy", "an energy", "J", &["1,900 kWh"]),
            Self::Ratio => ("ratio", "a ratio", "", &["1.5", "150 %"]),
            Self::Share => ("share", "a share", "", &["95 %", "0.95"]),
            Self::Slope => ("slope", "a slope", "", &["2:1", "50 %"]),
            Self::Angle => ("angle", "an angle", "rad", &["32 deg", "32°"]),
            Self::PerArea => ("per-area", "a number per area", "1/m²", &["1 per ft2", "9 /m2"]),
            Self::Voltage => ("voltage", "a voltage", "V", &["120 V"]),
            Self::Current => ("current", "a current", "A", &["15 A", "5 mA"]),
            Self::RainRate => ("rain-rate", "a rainfall rate", "m/s", &["2 in/h", "50 mm/h"]),
            Self::Money => ("money", "an amount of money", "", &["250"]),
        };
        Words {
            key,
            name,
            si,
            examples,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

impl FromStr for Kind {
    type Err = String;

    /// The kind with this kebab-case name; the error says which name is not a kind.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.key() == text)
            .ok_or_else(|| format!("`{text}` is not a kind of quantity"))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::quantity::Quantity;

    #[test]
    fn keys_are_the_names_serde_uses() {
        for kind in Kind::ALL {
            assert_eq!(serde_json::to_value(kind).unwrap(), kind.key());
            assert_eq!(kind.key().parse::<Kind>(), Ok(kind));
        }
        assert_eq!(
            "speed".parse::<Kind>(),
            Err("`speed` is not a kind of quantity".to_owned())
        );
    }

    #[test]
    fn all_lists_every_kind_once_in_order() {
        assert!(Kind::ALL.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(Kind::ALL.len(), Kind::Money as usize + 1);
    }

    #[test]
    fn examples_parse() {
        for kind in Kind::ALL {
            for example in kind.unit_examples() {
                assert!(Quantity::parse(example, kind).is_ok(), "{example} as {kind}");
            }
        }
    }
}
