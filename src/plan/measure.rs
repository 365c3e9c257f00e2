//! The kinds of quantity a plan gives, as types: SI inside, read from text with units.

use std::fmt;

use serde::{
    Deserialize, Deserializer,
    de::{self, Visitor},
};

use crate::quantity::{Kind, Quantity};

macro_rules! measures {
    ($($name:ident: $unit:literal,)*) => {$(
        #[doc = concat!("A ", stringify!($name), " given by the plan; ", $unit, ".")]
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(
            #[doc = concat!("In ", $unit, ".")]
            pub f64,
        );

        impl Measure for $name {
            const KIND: Kind = Kind::$name;

            fn si(self) -> f64 {
                self.0
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(Written(Kind::$name)).map(Self)
            }
        }
    )*};
}

/// A quantity type of the plan.
pub trait Measure: Copy {
    /// What it measures.
    const KIND: Kind;

    /// Its value in SI.
    fn si(self) -> f64;
}

measures! {
    Length: "m",
    Level: "m above the benchmark",
    Area: "m²",
    Volume: "m³",
    Flow: "m³/s",
    Velocity: "m/s",
    Angle: "rad",
    Mass: "kg",
    MassPerArea: "kg/m²",
    Density: "kg/m³",
    Concentration: "kg/m³",
    Pressure: "Pa",
    Temperature: "K",
    Time: "s",
    Power: "W",
    Share: "pure number",
    Slope: "horizontal per vertical",
    Voltage: "V",
    Current: "A",
}

/// Reads a quantity of one kind from its text.
struct Written(Kind);

impl Visitor<'_> for Written {
    type Value = f64;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.name())
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<f64, E> {
        Quantity::parse(text, self.0)
            .map(|quantity| quantity.si)
            .map_err(E::custom)
    }
}
