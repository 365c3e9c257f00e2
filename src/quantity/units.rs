//! The table of units, as data: what each is in SI, exact by definition.
//!
//! The inch, the US gallon (231 in³), the avoirdupois pound, the imperial gallon and standard gravity are
//! exact by definition; every other factor is composed of them. The acre is 43,560 international square
//! feet, a `ton` the US short ton of 2,000 lb and `t` the tonne. A foot of water is the conventional one,
//! 1000 kg/m³ under standard gravity. A year is 365.25 days and a month a twelfth of it. `ppm` is mg/L, as
//! in the water trade.

use std::{collections::HashMap, f64::consts::PI, sync::LazyLock};

use super::{
    Kind,
    Kind::{
        Angle, Area, Concentration, Current, Density, Energy, Flow, FlowPerWidth, ForcePerLength, Length,
        Mass, MassPerArea, MassRate, Money, PerArea, Power, Pressure, RainRate, Ratio, Share, Slope,
        Temperature, TemperatureStep, Time, UpflowRate, Velocity, Voltage, Volume,
    },
    spelling::canonical,
};

/// One unit of one kind. Value in SI = (number + `zero`) · `factor`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub kind: Kind,
    /// As printed: `gpm/ft²`.
    pub symbol: &'static str,
    /// The SI value of one unit.
    pub factor: f64,
    /// How far the unit's zero lies above the SI zero, in units; other than 0 for temperature scales only.
    pub zero: f64,
}

/// By its symbol.
impl serde::Serialize for Unit {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.symbol)
    }
}

impl Unit {
    const fn new(kind: Kind, symbol: &'static str, factor: f64) -> Self {
        Self::scale(kind, symbol, factor, 0.0)
    }

    const fn scale(kind: Kind, symbol: &'static str, factor: f64, zero: f64) -> Self {
        Self {
            kind,
            symbol,
            factor,
            zero,
        }
    }

    /// The SI value of a number of this unit.
    pub fn to_si(&self, number: f64) -> f64 {
        (number + self.zero) * self.factor
    }

    /// The number of this unit that an SI value is.
    pub fn from_si(&self, si: f64) -> f64 {
        si / self.factor - self.zero
    }

    /// The unit of `kind` that `text` spells, in any accepted spelling.
    pub fn find(kind: Kind, text: &str) -> Option<&'static Self> {
        let by_symbol: &HashMap<(Kind, &str), &'static Self> = &BY_SYMBOL;
        let known = by_symbol.get(&(kind.written_as(), text)).copied();
        known.or_else(|| BY_SPELLING.get(&(kind.written_as(), canonical(text))).copied())
    }

    /// The unit of `kind` that is printed as `symbol`, which must be one of the table's own; the first of the table
    /// where it is not.
    pub(super) fn named(kind: Kind, symbol: &str) -> &'static Self {
        Self::of(kind)
            .find(|unit| unit.symbol == symbol)
            .unwrap_or(&UNITS[0])
    }

    /// The first unit of any kind that `text` spells.
    pub fn find_any(text: &str) -> Option<&'static Self> {
        let spelling = canonical(text);
        Kind::ALL
            .into_iter()
            .find_map(|kind| BY_SPELLING.get(&(kind, spelling.clone())).copied())
    }

    /// The units of a kind, the usual ones first.
    pub fn of(kind: Kind) -> impl Iterator<Item = &'static Self> {
        UNITS.iter().filter(move |unit| unit.kind == kind.written_as())
    }
}

/// A value in SI and the unit it was written in.
pub(super) type Measured = (f64, &'static Unit);

/// Every unit by its kind and symbol, as it is mostly written: what its canonical spelling leads to.
static BY_SYMBOL: LazyLock<HashMap<(Kind, &'static str), &'static Unit>> = LazyLock::new(|| {
    let known = |unit: &'static Unit| {
        let found = BY_SPELLING.get(&(unit.kind, canonical(unit.symbol)))?;
        Some(((unit.kind, unit.symbol), *found))
    };
    UNITS.iter().filter_map(known).collect()
});

/// Every unit by its kind and canonical spelling.
static BY_SPELLING: LazyLock<HashMap<(Kind, String), &'static Unit>> = LazyLock::new(|| {
    UNITS
        .iter()
        .map(|unit| ((unit.kind, canonical(unit.symbol)), unit))
        .collect()
});

/// An inch, m.
pub(crate) const INCH: f64 = 0.0254;
/// A foot, m.
pub(crate) const FOOT: f64 = 0.3048;
const IN: f64 = INCH;
const FT: f64 = FOOT;
const YD: f64 = 0.9144;
const MILE: f64 = 1609.344;
const FT2: f64 = FT * FT;
const YD2: f64 = YD * YD;
const IN2: f64 = IN * IN;
const FT3: f64 = FT * FT * FT;
const YD3: f64 = YD * YD * YD;
const GAL: f64 = 0.003785411784;
const IMP_GAL: f64 = 0.00454609;
const LITRE: f64 = 0.001;
const LB: f64 = 0.45359237;
const OZ: f64 = LB / 16.0;
const GRAIN: f64 = LB / 7000.0;
const TON: f64 = 2000.0 * LB;
const GRAVITY: f64 = 9.80665;
const LBF: f64 = LB * GRAVITY;
const WATER: f64 = 1000.0 * GRAVITY;
const MIN: f64 = 60.0;
const HOUR: f64 = 3600.0;
const DAY: f64 = 86400.0;
const YEAR: f64 = 365.25 * DAY;

/// Every unit, the usual ones of a kind first.
pub static UNITS: &[Unit] = &[
    Unit::new(Length, "in", IN),
    Unit::new(Length, "ft", FT),
    Unit::new(Length, "yd", YD),
    Unit::new(Length, "mm", 0.001),
    Unit::new(Length, "cm", 0.01),
    Unit::new(Length, "m", 1.0),
    Unit::new(Length, "km", 1000.0),
    Unit::new(Length, "mi", MILE),
    Unit::new(Length, "mil", IN / 1000.0),
    Unit::new(Length, "µm", 1e-6),
    Unit::new(Area, "ft²", FT2),
    Unit::new(Area, "in²", IN2),
    Unit::new(Area, "yd²", YD2),
    Unit::new(Area, "m²", 1.0),
    Unit::new(Area, "cm²", 1e-4),
    Unit::new(Area, "mm²", 1e-6),
    Unit::new(Area, "acre", 43560.0 * FT2),
    Unit::new(Area, "ha", 1e4),
    Unit::new(Volume, "gal", GAL),
    Unit::new(Volume, "ft³", FT3),
    Unit::new(Volume, "yd³", YD3),
    Unit::new(Volume, "L", LITRE),
    Unit::new(Volume, "m³", 1.0),
    Unit::new(Volume, "imp gal", IMP_GAL),
    Unit::new(Volume, "in³", IN * IN2),
    Unit::new(Volume, "qt", GAL / 4.0),
    Unit::new(Volume, "fl oz", GAL / 128.0),
    Unit::new(Volume, "mL", 1e-6),
    Unit::new(Volume, "ML", 1000.0),
    Unit::new(Flow, "gph", GAL / HOUR),
    Unit::new(Flow, "gpm", GAL / MIN),
    Unit::new(Flow, "gpd", GAL / DAY),
    Unit::new(Flow, "L/s", LITRE),
    Unit::new(Flow, "L/min", LITRE / MIN),
    Unit::new(Flow, "L/h", LITRE / HOUR),
    Unit::new(Flow, "m³/h", 1.0 / HOUR),
    Unit::new(Flow, "m³/s", 1.0),
    Unit::new(Flow, "m³/d", 1.0 / DAY),
    Unit::new(Flow, "cfs", FT3),
    Unit::new(Flow, "cfm", FT3 / MIN),
    Unit::new(Flow, "imp gph", IMP_GAL / HOUR),
    Unit::new(Flow, "imp gpm", IMP_GAL / MIN),
    Unit::new(Velocity, "ft/s", FT),
    Unit::new(Velocity, "in/s", IN),
    Unit::new(Velocity, "ft/min", FT / MIN),
    Unit::new(Velocity, "m/s", 1.0),
    Unit::new(Velocity, "cm/s", 0.01),
    Unit::new(Velocity, "mm/s", 0.001),
    Unit::new(Velocity, "m/h", 1.0 / HOUR),
    Unit::new(Velocity, "mph", MILE / HOUR),
    Unit::new(Velocity, "km/h", 1000.0 / HOUR),
    Unit::new(UpflowRate, "gpm/ft²", GAL / MIN / FT2),
    Unit::new(UpflowRate, "gph/ft²", GAL / HOUR / FT2),
    Unit::new(UpflowRate, "m/h", 1.0 / HOUR),
    Unit::new(UpflowRate, "m/d", 1.0 / DAY),
    Unit::new(UpflowRate, "mm/s", 0.001),
    Unit::new(UpflowRate, "m³/h/m²", 1.0 / HOUR),
    Unit::new(UpflowRate, "m³/d/m²", 1.0 / DAY),
    Unit::new(UpflowRate, "L/s/m²", LITRE),
    Unit::new(UpflowRate, "L/min/m²", LITRE / MIN),
    Unit::new(UpflowRate, "L/h/m²", LITRE / HOUR),
    Unit::new(FlowPerWidth, "gpm/ft", GAL / MIN / FT),
    Unit::new(FlowPerWidth, "gph/in", GAL / HOUR / IN),
    Unit::new(FlowPerWidth, "gpm/in", GAL / MIN / IN),
    Unit::new(FlowPerWidth, "gph/ft", GAL / HOUR / FT),
    Unit::new(FlowPerWidth, "L/s per m", LITRE),
    Unit::new(FlowPerWidth, "L/min per m", LITRE / MIN),
    Unit::new(FlowPerWidth, "L/h per m", LITRE / HOUR),
    Unit::new(FlowPerWidth, "m³/h per m", 1.0 / HOUR),
    Unit::new(FlowPerWidth, "m³/s per m", 1.0),
    Unit::new(FlowPerWidth, "cfs/ft", FT2),
    Unit::new(ForcePerLength, "lb/ft", LBF / FT),
    Unit::new(ForcePerLength, "kN/m", 1000.0),
    Unit::new(ForcePerLength, "N/m", 1.0),
    Unit::new(Mass, "lb", LB),
    Unit::new(Mass, "oz", OZ),
    Unit::new(Mass, "ton", TON),
    Unit::new(Mass, "kg", 1.0),
    Unit::new(Mass, "g", 0.001),
    Unit::new(Mass, "mg", 1e-6),
    Unit::new(Mass, "t", 1000.0),
    Unit::new(MassRate, "lb/d", LB / DAY),
    Unit::new(MassRate, "oz/d", OZ / DAY),
    Unit::new(MassRate, "g/d", 0.001 / DAY),
    Unit::new(MassRate, "kg/d", 1.0 / DAY),
    Unit::new(MassRate, "g/h", 0.001 / HOUR),
    Unit::new(MassRate, "mg/h", 1e-6 / HOUR),
    Unit::new(MassRate, "kg/h", 1.0 / HOUR),
    Unit::new(MassRate, "lb/h", LB / HOUR),
    Unit::new(MassRate, "kg/s", 1.0),
    Unit::new(MassPerArea, "oz/yd²", OZ / YD2),
    Unit::new(MassPerArea, "g/m²", 0.001),
    Unit::new(MassPerArea, "kg/m²", 1.0),
    Unit::new(MassPerArea, "lb/ft²", LB / FT2),
    Unit::new(MassPerArea, "oz/ft²", OZ / FT2),
    Unit::new(MassPerArea, "lb/yd²", LB / YD2),
    Unit::new(Density, "lb/ft³", LB / FT3),
    Unit::new(Density, "lb/yd³", LB / YD3),
    Unit::new(Density, "ton/yd³", TON / YD3),
    Unit::new(Density, "kg/m³", 1.0),
    Unit::new(Density, "t/m³", 1000.0),
    Unit::new(Density, "g/cm³", 1000.0),
    Unit::new(Density, "lb per 1,000 gal", LB / (1000.0 * GAL)),
    Unit::new(Density, "kN/m³", 1000.0 / GRAVITY),
    Unit::new(Density, "kg/L", 1000.0),
    Unit::new(Concentration, "mg/L", 0.001),
    Unit::new(Concentration, "ppm", 0.001),
    Unit::new(Concentration, "µg/L", 1e-6),
    Unit::new(Concentration, "ppb", 1e-6),
    Unit::new(Concentration, "g/L", 1.0),
    Unit::new(Concentration, "g/m³", 0.001),
    Unit::new(Concentration, "kg/m³", 1.0),
    Unit::new(Concentration, "gr/gal", GRAIN / GAL),
    Unit::new(Pressure, "psi", LBF / IN2),
    Unit::new(Pressure, "psf", LBF / FT2),
    Unit::new(Pressure, "ksf", 1000.0 * LBF / FT2),
    Unit::new(Pressure, "lb/ft²", LBF / FT2),
    Unit::new(Pressure, "lb/in²", LBF / IN2),
    Unit::new(Pressure, "kPa", 1000.0),
    Unit::new(Pressure, "Pa", 1.0),
    Unit::new(Pressure, "kN/m²", 1000.0),
    Unit::new(Pressure, "bar", 1e5),
    Unit::new(Pressure, "mbar", 100.0),
    Unit::new(Pressure, "ft of water", WATER * FT),
    Unit::new(Pressure, "in of water", WATER * IN),
    Unit::new(Pressure, "m of water", WATER),
    Unit::scale(Temperature, "°F", 5.0 / 9.0, 459.67),
    Unit::scale(Temperature, "°C", 1.0, 273.15),
    Unit::new(Temperature, "K", 1.0),
    Unit::new(TemperatureStep, "°F", 5.0 / 9.0),
    Unit::new(TemperatureStep, "°C", 1.0),
    Unit::new(TemperatureStep, "K", 1.0),
    Unit::new(Time, "s", 1.0),
    Unit::new(Time, "min", MIN),
    Unit::new(Time, "h", HOUR),
    Unit::new(Time, "day", DAY),
    Unit::new(Time, "week", 7.0 * DAY),
    Unit::new(Time, "month", YEAR / 12.0),
    Unit::new(Time, "year", YEAR),
    Unit::new(Power, "W", 1.0),
    Unit::new(Power, "kW", 1000.0),
    Unit::new(Power, "hp", 550.0 * FT * LBF),
    Unit::new(Energy, "kWh", 3.6e6),
    Unit::new(Energy, "Wh", 3600.0),
    Unit::new(Energy, "J", 1.0),
    Unit::new(Energy, "kJ", 1000.0),
    Unit::new(Ratio, "", 1.0),
    Unit::new(Ratio, "%", 0.01),
    Unit::new(Share, "%", 0.01),
    Unit::new(Share, "", 1.0),
    Unit::new(Slope, ":1", 1.0),
    Unit::new(Angle, "°", PI / 180.0),
    Unit::new(Angle, "rad", 1.0),
    Unit::new(PerArea, "/ft²", 1.0 / FT2),
    Unit::new(PerArea, "/m²", 1.0),
    Unit::new(PerArea, "/yd²", 1.0 / YD2),
    Unit::new(Voltage, "V", 1.0),
    Unit::new(Voltage, "kV", 1000.0),
    Unit::new(Current, "A", 1.0),
    Unit::new(Current, "mA", 0.001),
    Unit::new(RainRate, "in/h", IN / HOUR),
    Unit::new(RainRate, "mm/h", 0.001 / HOUR),
    Unit::new(RainRate, "in/d", IN / DAY),
    Unit::new(RainRate, "mm/d", 0.001 / DAY),
    Unit::new(Money, "", 1.0),
];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn every_unit_is_found_by_its_symbol() {
        for unit in UNITS {
            assert_eq!(Unit::find(unit.kind, unit.symbol), Some(unit), "{}", unit.symbol);
        }
        assert_eq!(
            BY_SPELLING.len(),
            UNITS.len(),
            "two units of a kind share a spelling"
        );
    }

    #[test]
    fn every_kind_has_a_unit_and_its_si_unit_is_worth_one() {
        for kind in Kind::ALL {
            let symbol = kind.si_unit();
            assert!(Unit::of(kind).next().is_some(), "{kind}");
            if let Some(unit) = Unit::find(kind, symbol) {
                assert_eq!((unit.factor, unit.zero), (1.0, 0.0), "{kind} in {symbol}");
            }
        }
    }

    #[test]
    fn to_and_from_si_undo_each_other() {
        for unit in UNITS {
            let back = unit.from_si(unit.to_si(6.0));
            assert!((back - 6.0).abs() < 1e-12 * (6.0 + unit.zero), "{}", unit.symbol);
        }
    }
}
