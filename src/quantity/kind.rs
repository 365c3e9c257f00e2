//! What kind of thing a quantity measures.

/// What a quantity measures. A kind, not a bare dimension: gpm/ft² is an upflow rate and ft/s a velocity,
/// and neither is accepted for the other although both are lengths per time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Lengths, sizes, levels and heads; m.
    Length,
    /// m².
    Area,
    /// m³.
    Volume,
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
    /// Fabric mass per area; kg/m².
    MassPerArea,
    /// Mass per volume of solids and unit weights given as such (lb/ft³, t/yd³); kg/m³.
    Density,
    /// Dissolved or suspended mass per volume of water (mg/L); kg/m³.
    Concentration,
    /// Pressures and strengths; Pa.
    Pressure,
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
    /// A share or ratio, `95 %` or `0.95`; a pure number.
    Ratio,
    /// Rise over run or run over rise as written, `2:1` horizontal to vertical; a pure number (horizontal per vertical).
    Slope,
    /// rad.
    Angle,
    /// Number per area (plants); 1/m².
    PerArea,
    /// V.
    Voltage,
    /// A.
    Current,
    /// Rainfall per time; m/s.
    RainRate,
}
