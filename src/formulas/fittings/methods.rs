//! Methods of minor losses, by name: the simple table, Hooper's two constants, Darby's three.
//!
//! The simple table is the one default. The other two add a part that grows as the flow slows, `K₁/Re`, and scale
//! the turbulent part by size: K is then for the Reynolds number of the pipe, on the velocity in it.

use super::{Fitting, UnknownFitting, find};

/// How K of a fitting is worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Method {
    /// The simple table, [`super::FITTINGS`].
    #[default]
    Simple,
    /// Hooper's 2-K, [`TwoK`].
    TwoK,
    /// Darby's 3-K, [`ThreeK`].
    ThreeK,
}

/// A pipe and the flow in it, as the methods need them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flowing {
    /// Inside diameter, m.
    pub inside_diameter: f64,
    /// Nominal size, in.
    pub nominal: f64,
    /// Reynolds number.
    pub reynolds: f64,
}

/// Hooper's constants of a fitting (1981): `K = K₁/Re + K_∞·(1 + 1 in/D)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoK {
    /// K₁, K in laminar flow at Re 1.
    pub laminar: f64,
    /// K_∞, K of a large fitting at high Re.
    pub turbulent: f64,
}

/// Darby's constants of a fitting (1999): `K = K₁/Re + K_i·(1 + K_d/D_n^0.3)`, D_n the nominal size in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreeK {
    /// K₁, K in laminar flow at Re 1.
    pub laminar: f64,
    /// K_i, K of a very large fitting at high Re.
    pub turbulent: f64,
    /// K_d, in^0.3: how much more small ones cost.
    pub size: f64,
}

impl TwoK {
    /// K at a Reynolds number in a pipe of an inside diameter in m.
    pub fn k(&self, reynolds: f64, inside_diameter: f64) -> f64 {
        self.laminar / reynolds + self.turbulent * (1.0 + 0.0254 / inside_diameter)
    }
}

impl ThreeK {
    /// K at a Reynolds number in a pipe of a nominal size in inches.
    pub fn k(&self, reynolds: f64, nominal: f64) -> f64 {
        self.laminar / reynolds + self.turbulent * (1.0 + self.size / nominal.powf(0.3))
    }
}

impl Method {
    /// K of a fitting by name, on the velocity in the pipe. What the method has no constants for (entrances, exits,
    /// couplings, screens, foot valves) keeps its K of the simple table.
    pub fn k(self, name: &str, flowing: &Flowing) -> Result<f64, UnknownFitting> {
        let fitting = find(name)?;
        let by_constants = match self {
            Self::Simple => None,
            Self::TwoK => two_k(fitting).map(|c| c.k(flowing.reynolds, flowing.inside_diameter)),
            Self::ThreeK => three_k(fitting).map(|c| c.k(flowing.reynolds, flowing.nominal)),
        };
        Ok(by_constants.unwrap_or_else(|| fitting.k(flowing.inside_diameter)))
    }
}

/// Hooper's constants for a row of the simple table, where he gives any.
pub fn two_k(fitting: &Fitting) -> Option<TwoK> {
    constants(fitting).and_then(|row| row.two_k)
}

/// Darby's constants for a row of the simple table, where he gives any.
pub fn three_k(fitting: &Fitting) -> Option<ThreeK> {
    constants(fitting).and_then(|row| row.three_k)
}

fn constants(fitting: &Fitting) -> Option<&'static Row> {
    ROWS.iter().find(|row| row.name == fitting.name)
}

/// The constants of one fitting.
struct Row {
    /// As [`super::FITTINGS`] names it.
    name: &'static str,
    two_k: Option<TwoK>,
    three_k: Option<ThreeK>,
}

const fn row(name: &'static str, hooper: Option<(f64, f64)>, darby: Option<(f64, f64, f64)>) -> Row {
    Row {
        name,
        two_k: match hooper {
            Some((laminar, turbulent)) => Some(TwoK { laminar, turbulent }),
            None => None,
        },
        three_k: match darby {
            Some((laminar, turbulent, size)) => Some(ThreeK {
                laminar,
                turbulent,
                size,
            }),
            None => None,
        },
    }
}

/// Constants of Hooper (Chemical Engineering, August 1981) and Darby (Chemical Engineering, July 1999) for threaded
/// fittings, as tabulated in an open library (copy). Threaded ones stand for the trade's socket fittings too. That copy
/// has a second row for Hooper's 45 elbow, 1000 and 0.7, far off his row for all types; it is not used. Hooper's return
/// bend is from memory.
#[rustfmt::skip]
const ROWS: &[Row] = &[
    row("90 elbow", Some((800.0, 0.4)), Some((800.0, 0.14, 4.0))),
    row("sweep 90", Some((800.0, 0.2)), Some((800.0, 0.071, 4.2))),
    row("45 elbow", Some((500.0, 0.2)), Some((500.0, 0.071, 4.2))),
    row("return bend", Some((1000.0, 0.6)), Some((1000.0, 0.23, 4.0))),
    row("tee run", Some((200.0, 0.1)), Some((200.0, 0.091, 4.0))),
    row("tee branch", Some((500.0, 0.7)), Some((500.0, 0.274, 4.0))),
    row("gate valve", Some((300.0, 0.1)), Some((300.0, 0.037, 3.9))),
    row("ball valve", None, Some((300.0, 0.017, 3.5))),
    row("butterfly valve", Some((800.0, 0.25)), None),
    row("globe valve", Some((1500.0, 4.0)), Some((1500.0, 1.7, 3.6))),
    row("angle valve", Some((1000.0, 2.0)), Some((1000.0, 0.69, 4.0))),
    row("swing check", Some((1500.0, 1.5)), Some((1500.0, 0.46, 4.0))),
    row("lift check", Some((2000.0, 10.0)), Some((2000.0, 2.85, 3.8))),
];

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{super::FITTINGS, *};

    const FLOWING: Flowing = Flowing {
        inside_diameter: 0.0525,
        nominal: 2.0,
        reynolds: 50_000.0,
    };

    #[test]
    fn every_row_of_constants_is_a_fitting_of_the_table() {
        for row in ROWS {
            assert!(
                FITTINGS.iter().any(|fitting| fitting.name == row.name),
                "{}",
                row.name
            );
        }
    }

    #[test]
    fn slow_flow_costs_more_by_the_new_methods_and_the_same_by_the_simple_one() {
        let slow = Flowing {
            reynolds: 500.0,
            ..FLOWING
        };
        for method in [Method::TwoK, Method::ThreeK] {
            assert!(method.k("elbow", &slow).unwrap() > method.k("elbow", &FLOWING).unwrap() + 1.0);
        }
        let simple = Method::default();
        assert_eq!(
            simple.k("elbow", &slow).unwrap(),
            simple.k("elbow", &FLOWING).unwrap()
        );
    }

    #[test]
    fn a_method_without_constants_keeps_the_simple_k() {
        for name in ["exit", "entrance sharp", "union"] {
            let simple = Method::Simple.k(name, &FLOWING).unwrap();
            assert_eq!(Method::TwoK.k(name, &FLOWING).unwrap(), simple);
            assert_eq!(Method::ThreeK.k(name, &FLOWING).unwrap(), simple);
        }
        assert!(Method::TwoK.k("gate vlave", &FLOWING).is_err());
    }

    #[test]
    fn the_methods_agree_roughly_in_usual_flow() {
        for row in ROWS {
            let [simple, two, three] =
                [Method::Simple, Method::TwoK, Method::ThreeK].map(|m| m.k(row.name, &FLOWING).unwrap());
            for k in [two, three] {
                assert!(
                    (simple / 4.0..simple * 4.0).contains(&k),
                    "{}: {simple} and {k}",
                    row.name
                );
            }
        }
    }
}
