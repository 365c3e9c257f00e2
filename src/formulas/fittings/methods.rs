//! Methods of minor losses, by name: the one table after Crane, Hooper's two constants, Darby's three.
//!
//! The table is the one default. The other two add a part that grows as the flow slows, `K₁/Re`, and scale the part
//! left in fast flow by size: K is then for the Reynolds number of the pipe, on the velocity in it.

use super::{Fitting, UnknownFitting, find, positive};
use crate::formulas::units::INCH;

/// How K of a fitting is worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Method {
    /// The one table, [`super::FITTINGS`]: the form of Crane TP-410, and common practice for what Crane lacks.
    #[default]
    Crane,
    /// Hooper's 2-K, [`TwoK`].
    TwoK,
    /// Darby's 3-K, [`ThreeK`].
    ThreeK,
}

/// The size of a pipe, as the methods need it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Inside diameter, m.
    pub inside_diameter: f64,
    /// Nominal size, in.
    pub nominal: f64,
}

/// A minor loss in a pipe of one size: `K = K₁/Re + K_turbulent`, on the velocity in the pipe.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MinorLoss {
    /// K₁, K in laminar flow at Re 1.
    pub laminar: f64,
    /// K in fast flow.
    pub turbulent: f64,
}

impl MinorLoss {
    /// K at a Reynolds number above zero.
    ///
    /// ```
    /// use bywash::formulas::fittings::methods::MinorLoss;
    /// // Hooper's 90° elbow in a large pipe at Re 1000: 800/1000 + 0.4.
    /// assert!((MinorLoss { laminar: 800.0, turbulent: 0.4 }.k(1000.0) - 1.2).abs() < 1e-12);
    /// ```
    pub fn k(&self, reynolds: f64) -> f64 {
        self.laminar / positive(reynolds) + self.turbulent
    }
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
    /// The loss in a pipe of an inside diameter in m.
    ///
    /// ```
    /// use bywash::formulas::fittings::methods::TwoK;
    /// // Hooper (1981): in 1 in pipe the size factor doubles.
    /// let loss = TwoK { laminar: 800.0, turbulent: 0.4 }.loss(0.0254);
    /// assert!((loss.turbulent - 0.8).abs() < 1e-12);
    /// ```
    pub fn loss(&self, inside_diameter: f64) -> MinorLoss {
        MinorLoss {
            laminar: self.laminar,
            turbulent: self.turbulent * (1.0 + INCH / positive(inside_diameter)),
        }
    }
}

impl ThreeK {
    /// The loss in a pipe of a nominal size in inches.
    ///
    /// ```
    /// use bywash::formulas::fittings::methods::ThreeK;
    /// // Darby (1999): in 1 in pipe 0.14·(1 + 4).
    /// let loss = ThreeK { laminar: 800.0, turbulent: 0.14, size: 4.0 }.loss(1.0);
    /// assert!((loss.turbulent - 0.7).abs() < 1e-12);
    /// ```
    pub fn loss(&self, nominal: f64) -> MinorLoss {
        MinorLoss {
            laminar: self.laminar,
            turbulent: self.turbulent * (1.0 + self.size / positive(nominal).powf(0.3)),
        }
    }
}

impl Method {
    /// Whose method it is.
    pub const fn source(self) -> &'static str {
        match self {
            Self::Crane => "one table after Crane TP-410",
            Self::TwoK => "Hooper’s 2-K method (Chemical Engineering 1981)",
            Self::ThreeK => "Darby’s 3-K method (Chemical Engineering 1999)",
        }
    }

    /// The loss of a fitting by name. What the method has no constants for ([`Self::holds`]) keeps its K of the one
    /// table.
    ///
    /// ```
    /// use bywash::formulas::fittings::methods::{Method, Size};
    /// let size = Size { inside_diameter: 0.0525, nominal: 2.0 };
    /// let loss = Method::TwoK.loss("90 elbow", &size).unwrap();
    /// assert_eq!(loss.laminar, 800.0);
    /// ```
    pub fn loss(self, name: &str, size: &Size) -> Result<MinorLoss, UnknownFitting> {
        let fitting = find(name)?;
        let by_constants = match self {
            Self::Crane => None,
            Self::TwoK => two_k(fitting).map(|constants| constants.loss(size.inside_diameter)),
            Self::ThreeK => three_k(fitting).map(|constants| constants.loss(size.nominal)),
        };
        Ok(by_constants.unwrap_or_else(|| MinorLoss {
            laminar: 0.0,
            turbulent: fitting.k(size.inside_diameter),
        }))
    }

    /// Whether the method itself knows a fitting of the table; Hooper's and Darby's constants here leave out entrances,
    /// exits, couplings, screens and foot valves.
    pub fn holds(self, fitting: &Fitting) -> bool {
        match self {
            Self::Crane => true,
            Self::TwoK => two_k(fitting).is_some(),
            Self::ThreeK => three_k(fitting).is_some(),
        }
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

    const SIZE: Size = Size {
        inside_diameter: 0.0525,
        nominal: 2.0,
    };

    fn k(method: Method, name: &str, reynolds: f64) -> f64 {
        method.loss(name, &SIZE).unwrap().k(reynolds)
    }

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
    fn slow_flow_costs_more_by_the_new_methods_and_the_same_by_the_table() {
        for method in [Method::TwoK, Method::ThreeK] {
            assert!(k(method, "elbow", 500.0) > k(method, "elbow", 50_000.0) + 1.0);
        }
        let table = Method::default();
        assert_eq!(k(table, "elbow", 500.0), k(table, "elbow", 50_000.0));
    }

    #[test]
    fn a_method_without_constants_keeps_the_k_of_the_table_and_says_so() {
        for name in ["exit", "entrance sharp", "union"] {
            let table = Method::Crane.loss(name, &SIZE).unwrap();
            for method in [Method::TwoK, Method::ThreeK] {
                assert_eq!(method.loss(name, &SIZE).unwrap(), table);
                assert!(!method.holds(find(name).unwrap()));
            }
        }
        assert!(Method::ThreeK.holds(find("ball valve").unwrap()));
        assert!(!Method::TwoK.holds(find("ball valve").unwrap()));
        assert!(Method::TwoK.loss("gate vlave", &SIZE).is_err());
    }

    #[test]
    fn the_methods_agree_roughly_in_usual_flow() {
        for row in ROWS {
            let [table, two, three] =
                [Method::Crane, Method::TwoK, Method::ThreeK].map(|method| k(method, row.name, 50_000.0));
            for k in [two, three] {
                assert!(
                    (table / 4.0..table * 4.0).contains(&k),
                    "{}: {table} and {k}",
                    row.name
                );
            }
        }
    }
}
