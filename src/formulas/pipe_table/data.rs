//! The published tables, in inches and pounds per square inch.

use super::pipe::{Material, Trust};

/// A class of pipe.
pub(super) struct Class {
    /// Names, the usual one first.
    pub(super) names: &'static [&'static str],
    pub(super) pressure: bool,
    pub(super) material: Material,
    pub(super) source: &'static str,
    pub(super) trust: Trust,
    pub(super) sizes: &'static [Size],
}

/// One size of a class.
pub(super) struct Size {
    /// Nominal size, in.
    pub(super) nominal: f64,
    pub(super) dimension: Dimension,
    /// Rating at 73 °F, psi.
    pub(super) rating: Option<f64>,
}

/// What a standard fixes.
pub(super) enum Dimension {
    /// Outside diameter and least wall, in: the wall is thicker on the average.
    LeastWall(f64, f64),
    /// Outside diameter and nominal wall, in: the wall is as thick on the average.
    NominalWall(f64, f64),
    /// The inside diameter, in.
    Bore(f64),
}

/// From outside diameter and least wall.
const fn by_wall(nominal: f64, outside: f64, wall: f64, rating: Option<f64>) -> Size {
    Size {
        nominal,
        dimension: Dimension::LeastWall(outside, wall),
        rating,
    }
}

/// From outside diameter and nominal wall.
const fn by_nominal_wall(nominal: f64, outside: f64, wall: f64) -> Size {
    Size {
        nominal,
        dimension: Dimension::NominalWall(outside, wall),
        rating: None,
    }
}

/// From the inside diameter itself.
const fn by_bore(nominal: f64, inside: f64, rating: Option<f64>) -> Size {
    Size {
        nominal,
        dimension: Dimension::Bore(inside),
        rating,
    }
}

#[rustfmt::skip]
pub(super) const CLASSES: &[Class] = &[
    class(&["sch 40", "pvc sch 40", "sch 40 pvc"], true, Material::Pvc, D1785, Trust::Copy, SCHEDULE_40),
    class(&["sch 80", "pvc sch 80", "sch 80 pvc"], true, Material::Pvc, D1785, Trust::Copy, SCHEDULE_80),
    class(&["sdr 13.5", "class 315"], true, Material::Pvc, D2241, Trust::Memory, SDR_13_5),
    class(&["sdr 21", "class 200", "pr 200"], true, Material::Pvc, D2241, Trust::Copy, SDR_21),
    class(&["sdr 26", "class 160", "pr 160"], true, Material::Pvc, D2241, Trust::Copy, SDR_26),
    class(&["sdr 32.5", "class 125", "pr 125"], true, Material::Pvc, D2241, Trust::Copy, SDR_32_5),
    class(&["sidr 7", "pe sidr 7"], true, Material::Polyethylene, D2239, Trust::Memory, SIDR_7),
    class(&["sidr 9", "pe sidr 9"], true, Material::Polyethylene, D2239, Trust::Memory, SIDR_9),
    class(&["sidr 11.5", "pe sidr 11.5"], true, Material::Polyethylene, D2239, Trust::Memory, SIDR_11_5),
    class(&["sidr 15", "pe sidr 15", "poly 100 psi"], true, Material::Polyethylene, D2239, Trust::Memory, SIDR_15),
    class(&["sidr 19", "pe sidr 19"], true, Material::Polyethylene, D2239, Trust::Memory, SIDR_19),
    class(&["cts sdr 9", "pe cts", "cts"], true, Material::Polyethylene, D2737, Trust::Memory, CTS_SDR_9),
    class(&["steel sch 40", "sch 40 steel"], true, Material::Steel, B36_10, Trust::Copy, STEEL_40),
    class(&["galvanized sch 40", "galvanised sch 40", "sch 40 galvanized"], true, Material::Galvanized, B36_10, Trust::Copy, STEEL_40),
    class(&["stainless sch 40s", "stainless sch 40"], true, Material::Stainless, B36_19, Trust::Memory, STEEL_40),
    class(&["stainless sch 10s", "stainless sch 10"], true, Material::Stainless, B36_19, Trust::Memory, STAINLESS_10),
    class(&["hose", "smooth hose"], true, Material::Hose, HOSE_SOURCE, Trust::Memory, HOSE),
    class(&["dwv", "pvc dwv", "sch 40 dwv", "dwv solid wall"], false, Material::Pvc, D2665, Trust::Memory, DWV),
    class(&["cellular core", "foam core", "dwv cellular core", "sch 40 cellular core"], false, Material::Pvc, F891, Trust::Memory, DWV),
    class(&["sdr 35", "sewer sdr 35", "sewer and drain"], false, Material::Pvc, D3034, Trust::Copy, SEWER_35),
    class(&["corrugated", "corrugated drain", "drain tile"], false, Material::Corrugated, CORRUGATED_SOURCE, Trust::Memory, CORRUGATED),
];

const D1785: &str = "ASTM D1785, average bore: outside diameter less twice 1.06 times the least wall";
const D2241: &str = "ASTM D2241, average bore: outside diameter less twice 1.06 times the least wall";
const D2239: &str = "ASTM D2239, inside diameter controlled; rating for 800 psi design stress (from memory)";
const D2737: &str = "ASTM D2737, SDR 9, average bore: outside diameter less twice 1.06 times the least wall; rating for 800 psi design stress (from memory)";
const B36_10: &str = "ASME B36.10, nominal wall";
const B36_19: &str = "ASME B36.19, nominal wall (from memory)";
const HOSE_SOURCE: &str = "the bore that hose is sold by";
const D2665: &str = "ASTM D2665, schedule 40 sizes, not for pressure (from memory), average bore: outside diameter less twice 1.06 times the least wall";
const F891: &str = "ASTM F891, schedule 40 sizes, not for pressure (from memory), average bore: outside diameter less twice 1.06 times the least wall";
const D3034: &str =
    "ASTM D3034, not for pressure, average bore: outside diameter less twice 1.06 times the least wall";
const CORRUGATED_SOURCE: &str = "ASTM F405, bore taken as the nominal size, not for pressure (from memory)";

const fn class(
    names: &'static [&'static str],
    pressure: bool,
    material: Material,
    source: &'static str,
    trust: Trust,
    sizes: &'static [Size],
) -> Class {
    Class {
        names,
        pressure,
        material,
        source,
        trust,
        sizes,
    }
}

const SCHEDULE_40: &[Size] = &[
    by_wall(0.5, 0.840, 0.109, Some(600.0)),
    by_wall(0.75, 1.050, 0.113, Some(480.0)),
    by_wall(1.0, 1.315, 0.133, Some(450.0)),
    by_wall(1.25, 1.660, 0.140, Some(370.0)),
    by_wall(1.5, 1.900, 0.145, Some(330.0)),
    by_wall(2.0, 2.375, 0.154, Some(280.0)),
    by_wall(2.5, 2.875, 0.203, Some(300.0)),
    by_wall(3.0, 3.500, 0.216, Some(260.0)),
    by_wall(4.0, 4.500, 0.237, Some(220.0)),
    by_wall(5.0, 5.563, 0.258, Some(190.0)),
    by_wall(6.0, 6.625, 0.280, Some(180.0)),
    by_wall(8.0, 8.625, 0.322, Some(160.0)),
    by_wall(10.0, 10.750, 0.365, Some(140.0)),
    by_wall(12.0, 12.750, 0.406, Some(130.0)),
];

const SCHEDULE_80: &[Size] = &[
    by_wall(0.5, 0.840, 0.147, Some(850.0)),
    by_wall(0.75, 1.050, 0.154, Some(690.0)),
    by_wall(1.0, 1.315, 0.179, Some(630.0)),
    by_wall(1.25, 1.660, 0.191, Some(520.0)),
    by_wall(1.5, 1.900, 0.200, Some(470.0)),
    by_wall(2.0, 2.375, 0.218, Some(400.0)),
    by_wall(2.5, 2.875, 0.276, Some(420.0)),
    by_wall(3.0, 3.500, 0.300, Some(370.0)),
    by_wall(4.0, 4.500, 0.337, Some(320.0)),
    by_wall(5.0, 5.563, 0.375, Some(290.0)),
    by_wall(6.0, 6.625, 0.432, Some(280.0)),
    by_wall(8.0, 8.625, 0.500, Some(250.0)),
    by_wall(10.0, 10.750, 0.593, Some(230.0)),
    by_wall(12.0, 12.750, 0.687, Some(230.0)),
];

const SDR_13_5: &[Size] = &[
    by_wall(0.5, 0.840, 0.062, Some(315.0)),
    by_wall(0.75, 1.050, 0.078, Some(315.0)),
    by_wall(1.0, 1.315, 0.097, Some(315.0)),
    by_wall(1.25, 1.660, 0.123, Some(315.0)),
    by_wall(1.5, 1.900, 0.141, Some(315.0)),
    by_wall(2.0, 2.375, 0.176, Some(315.0)),
    by_wall(2.5, 2.875, 0.213, Some(315.0)),
    by_wall(3.0, 3.500, 0.259, Some(315.0)),
    by_wall(4.0, 4.500, 0.333, Some(315.0)),
];

const SDR_21: &[Size] = &[
    by_wall(0.75, 1.050, 0.060, Some(200.0)),
    by_wall(1.0, 1.315, 0.063, Some(200.0)),
    by_wall(1.25, 1.660, 0.079, Some(200.0)),
    by_wall(1.5, 1.900, 0.090, Some(200.0)),
    by_wall(2.0, 2.375, 0.113, Some(200.0)),
    by_wall(2.5, 2.875, 0.137, Some(200.0)),
    by_wall(3.0, 3.500, 0.167, Some(200.0)),
    by_wall(4.0, 4.500, 0.214, Some(200.0)),
    by_wall(5.0, 5.563, 0.265, Some(200.0)),
    by_wall(6.0, 6.625, 0.316, Some(200.0)),
    by_wall(8.0, 8.625, 0.410, Some(200.0)),
    by_wall(10.0, 10.750, 0.511, Some(200.0)),
    by_wall(12.0, 12.750, 0.606, Some(200.0)),
];

const SDR_26: &[Size] = &[
    by_wall(1.0, 1.315, 0.060, Some(160.0)),
    by_wall(1.25, 1.660, 0.064, Some(160.0)),
    by_wall(1.5, 1.900, 0.073, Some(160.0)),
    by_wall(2.0, 2.375, 0.091, Some(160.0)),
    by_wall(2.5, 2.875, 0.110, Some(160.0)),
    by_wall(3.0, 3.500, 0.135, Some(160.0)),
    by_wall(4.0, 4.500, 0.173, Some(160.0)),
    by_wall(5.0, 5.563, 0.214, Some(160.0)),
    by_wall(6.0, 6.625, 0.255, Some(160.0)),
    by_wall(8.0, 8.625, 0.332, Some(160.0)),
    by_wall(10.0, 10.750, 0.413, Some(160.0)),
    by_wall(12.0, 12.750, 0.490, Some(160.0)),
];

const SDR_32_5: &[Size] = &[
    by_wall(1.25, 1.660, 0.060, Some(125.0)),
    by_wall(1.5, 1.900, 0.060, Some(125.0)),
    by_wall(2.0, 2.375, 0.073, Some(125.0)),
    by_wall(2.5, 2.875, 0.088, Some(125.0)),
    by_wall(3.0, 3.500, 0.108, Some(125.0)),
    by_wall(4.0, 4.500, 0.138, Some(125.0)),
    by_wall(5.0, 5.563, 0.171, Some(125.0)),
    by_wall(6.0, 6.625, 0.204, Some(125.0)),
    by_wall(8.0, 8.625, 0.265, Some(125.0)),
    by_wall(10.0, 10.750, 0.331, Some(125.0)),
    by_wall(12.0, 12.750, 0.392, Some(125.0)),
];

const SIDR_7: &[Size] = &[
    by_bore(0.5, 0.622, Some(200.0)),
    by_bore(0.75, 0.824, Some(200.0)),
    by_bore(1.0, 1.049, Some(200.0)),
    by_bore(1.25, 1.380, Some(200.0)),
    by_bore(1.5, 1.610, Some(200.0)),
    by_bore(2.0, 2.067, Some(200.0)),
];

const SIDR_9: &[Size] = &[
    by_bore(0.5, 0.622, Some(160.0)),
    by_bore(0.75, 0.824, Some(160.0)),
    by_bore(1.0, 1.049, Some(160.0)),
    by_bore(1.25, 1.380, Some(160.0)),
    by_bore(1.5, 1.610, Some(160.0)),
    by_bore(2.0, 2.067, Some(160.0)),
];

const SIDR_11_5: &[Size] = &[
    by_bore(0.5, 0.622, Some(125.0)),
    by_bore(0.75, 0.824, Some(125.0)),
    by_bore(1.0, 1.049, Some(125.0)),
    by_bore(1.25, 1.380, Some(125.0)),
    by_bore(1.5, 1.610, Some(125.0)),
    by_bore(2.0, 2.067, Some(125.0)),
    by_bore(2.5, 2.469, Some(125.0)),
    by_bore(3.0, 3.068, Some(125.0)),
    by_bore(4.0, 4.026, Some(125.0)),
    by_bore(6.0, 6.065, Some(125.0)),
];

const SIDR_15: &[Size] = &[
    by_bore(0.5, 0.622, Some(100.0)),
    by_bore(0.75, 0.824, Some(100.0)),
    by_bore(1.0, 1.049, Some(100.0)),
    by_bore(1.25, 1.380, Some(100.0)),
    by_bore(1.5, 1.610, Some(100.0)),
    by_bore(2.0, 2.067, Some(100.0)),
    by_bore(2.5, 2.469, Some(100.0)),
    by_bore(3.0, 3.068, Some(100.0)),
    by_bore(4.0, 4.026, Some(100.0)),
    by_bore(6.0, 6.065, Some(100.0)),
];

const SIDR_19: &[Size] = &[
    by_bore(0.5, 0.622, Some(80.0)),
    by_bore(0.75, 0.824, Some(80.0)),
    by_bore(1.0, 1.049, Some(80.0)),
    by_bore(1.25, 1.380, Some(80.0)),
    by_bore(1.5, 1.610, Some(80.0)),
    by_bore(2.0, 2.067, Some(80.0)),
    by_bore(2.5, 2.469, Some(80.0)),
    by_bore(3.0, 3.068, Some(80.0)),
    by_bore(4.0, 4.026, Some(80.0)),
    by_bore(6.0, 6.065, Some(80.0)),
];

const CTS_SDR_9: &[Size] = &[
    by_wall(0.5, 0.625, 0.069, Some(200.0)),
    by_wall(0.75, 0.875, 0.097, Some(200.0)),
    by_wall(1.0, 1.125, 0.125, Some(200.0)),
    by_wall(1.25, 1.375, 0.153, Some(200.0)),
    by_wall(1.5, 1.625, 0.181, Some(200.0)),
    by_wall(2.0, 2.125, 0.236, Some(200.0)),
];

const STEEL_40: &[Size] = &[
    by_nominal_wall(0.5, 0.840, 0.109),
    by_nominal_wall(0.75, 1.050, 0.113),
    by_nominal_wall(1.0, 1.315, 0.133),
    by_nominal_wall(1.25, 1.660, 0.140),
    by_nominal_wall(1.5, 1.900, 0.145),
    by_nominal_wall(2.0, 2.375, 0.154),
    by_nominal_wall(2.5, 2.875, 0.203),
    by_nominal_wall(3.0, 3.500, 0.216),
    by_nominal_wall(4.0, 4.500, 0.237),
    by_nominal_wall(5.0, 5.563, 0.258),
    by_nominal_wall(6.0, 6.625, 0.280),
    by_nominal_wall(8.0, 8.625, 0.322),
    by_nominal_wall(10.0, 10.750, 0.365),
    by_nominal_wall(12.0, 12.750, 0.406),
];

const STAINLESS_10: &[Size] = &[
    by_nominal_wall(0.5, 0.840, 0.083),
    by_nominal_wall(0.75, 1.050, 0.083),
    by_nominal_wall(1.0, 1.315, 0.109),
    by_nominal_wall(1.25, 1.660, 0.109),
    by_nominal_wall(1.5, 1.900, 0.109),
    by_nominal_wall(2.0, 2.375, 0.109),
    by_nominal_wall(2.5, 2.875, 0.120),
    by_nominal_wall(3.0, 3.500, 0.120),
    by_nominal_wall(4.0, 4.500, 0.120),
    by_nominal_wall(6.0, 6.625, 0.134),
    by_nominal_wall(8.0, 8.625, 0.148),
];

const HOSE: &[Size] = &[
    by_bore(0.5, 0.5, None),
    by_bore(0.625, 0.625, None),
    by_bore(0.75, 0.75, None),
    by_bore(1.0, 1.0, None),
    by_bore(1.25, 1.25, None),
    by_bore(1.5, 1.5, None),
    by_bore(2.0, 2.0, None),
    by_bore(2.5, 2.5, None),
    by_bore(3.0, 3.0, None),
    by_bore(4.0, 4.0, None),
];

const DWV: &[Size] = &[
    by_wall(1.25, 1.660, 0.140, None),
    by_wall(1.5, 1.900, 0.145, None),
    by_wall(2.0, 2.375, 0.154, None),
    by_wall(3.0, 3.500, 0.216, None),
    by_wall(4.0, 4.500, 0.237, None),
    by_wall(6.0, 6.625, 0.280, None),
    by_wall(8.0, 8.625, 0.322, None),
    by_wall(10.0, 10.750, 0.365, None),
    by_wall(12.0, 12.750, 0.406, None),
];

const SEWER_35: &[Size] = &[
    by_wall(4.0, 4.215, 0.120, None),
    by_wall(6.0, 6.275, 0.180, None),
    by_wall(8.0, 8.400, 0.240, None),
    by_wall(10.0, 10.500, 0.300, None),
    by_wall(12.0, 12.500, 0.360, None),
];

const CORRUGATED: &[Size] = &[
    by_bore(3.0, 3.0, None),
    by_bore(4.0, 4.0, None),
    by_bore(6.0, 6.0, None),
    by_bore(8.0, 8.0, None),
    by_bore(10.0, 10.0, None),
    by_bore(12.0, 12.0, None),
];
