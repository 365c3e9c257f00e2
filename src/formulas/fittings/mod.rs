//! Minor losses: one table of K by fitting, as the trade names them.
//!
//! Most rows are in the form of Crane TP-410: `K = n·f_T`, where n belongs to the fitting and f_T is the
//! friction factor of clean commercial steel at full turbulence in the pipe's size, so that small fittings
//! cost more. K is taken on the velocity in a pipe of the inside diameter given. It is the default of the
//! [`methods`], Hooper's and Darby's beside it.

mod bends;
pub mod methods;

pub use bends::{Entrance, bend, entrance};

use Loss::{Constant, Turbulent};

use super::{pipe_table::Trust, validity::positive};

/// Roughness of clean commercial steel in Crane's f_T, m (0.0018 in).
pub const CRANE_ROUGHNESS: f64 = 45.72e-6;

/// How K depends on size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Loss {
    /// `K = n·f_T`; the n.
    Turbulent(f64),
    /// The same K at every size.
    Constant(f64),
}

/// One row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitting {
    /// Name as the trade writes it.
    pub name: &'static str,
    /// Other names accepted.
    pub also: &'static [&'static str],
    /// How K depends on size.
    pub loss: Loss,
    /// Where the number comes from.
    pub source: &'static str,
    /// How it was read there.
    pub trust: Trust,
}

impl Fitting {
    /// K for a pipe of an inside diameter in m.
    ///
    /// ```
    /// use bywash::formulas::fittings::find;
    /// // Crane TP-410: the exit loses one velocity head at any size.
    /// assert_eq!(find("exit").unwrap().k(0.05), 1.0);
    /// ```
    pub fn k(&self, inside_diameter: f64) -> f64 {
        match self.loss {
            Turbulent(n) => n * crane_friction_factor(inside_diameter),
            Constant(k) if inside_diameter > 0.0 => k,
            Constant(_) => f64::NAN,
        }
    }
}

/// A fitting name the table doesn't hold.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no fitting is called \"{given}\"")]
pub struct UnknownFitting {
    /// The name as given.
    pub given: String,
    /// The nearest name in the table, when one is near.
    pub nearest: Option<&'static str>,
    /// Every name in the table.
    pub accepted: Vec<&'static str>,
}

/// Crane's friction factor at full turbulence, `f_T = 0.25/log₁₀(ε/(3.7·D))²`, ε 45.72 µm, D in m. The table
/// printed by Crane is this rounded to a thousandth.
///
/// ```
/// // Crane TP-410 prints 0.017 for 4 in (4.026 in inside).
/// let friction = bywash::formulas::fittings::crane_friction_factor(4.026 * 0.0254);
/// assert!((friction - 0.017).abs() < 1e-3);
/// ```
pub fn crane_friction_factor(inside_diameter: f64) -> f64 {
    0.25 / (CRANE_ROUGHNESS / (3.7 * positive(inside_diameter)))
        .log10()
        .powi(2)
}

/// The row for a fitting name; case, hyphens and runs of spaces don't matter.
///
/// ```
/// assert_eq!(bywash::formulas::fittings::find("90° Elbow").unwrap().name, "90 elbow");
/// ```
pub fn find(name: &str) -> Result<&'static Fitting, UnknownFitting> {
    let wanted = plain(name);
    let names = || {
        FITTINGS.iter().flat_map(|fitting| {
            std::iter::once(fitting.name)
                .chain(fitting.also.iter().copied())
                .map(move |name| (name, fitting))
        })
    };
    if let Some((_, fitting)) = names().find(|(name, _)| *name == wanted) {
        return Ok(fitting);
    }
    let nearest = names()
        .map(|(name, _)| (strsim::jaro_winkler(name, &wanted), name))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(likeness, _)| *likeness > 0.75)
        .map(|(_, name)| name);
    Err(UnknownFitting {
        given: name.to_owned(),
        nearest,
        accepted: FITTINGS.iter().map(|fitting| fitting.name).collect(),
    })
}

/// K of a fitting by name in a pipe of an inside diameter in m.
///
/// ```
/// use bywash::formulas::fittings;
/// // Crane TP-410: f_T 0.018 in 3 in pipe, 90° elbow 30·f_T: 0.54 (printed f_T is rounded).
/// let k = fittings::k("90 elbow", 3.068 * 0.0254).unwrap();
/// assert!((k - 0.54).abs() < 0.03);
/// ```
pub fn k(name: &str, inside_diameter: f64) -> Result<f64, UnknownFitting> {
    Ok(find(name)?.k(inside_diameter))
}

/// K of a sudden widening on the velocity in the smaller pipe: Borda–Carnot, `(1 − (d/D)²)²`.
///
/// ```
/// // Borda–Carnot from 50 to 100 mm: (1 − 0.25)².
/// assert_eq!(bywash::formulas::fittings::sudden_expansion(0.05, 0.1), 0.5625);
/// ```
pub fn sudden_expansion(smaller: f64, larger: f64) -> f64 {
    (1.0 - (smaller / larger).powi(2)).powi(2)
}

/// K of a sudden narrowing on the velocity in the smaller pipe: Crane TP-410, `0.5·(1 − (d/D)²)`. A newer fit
/// (Rennels 2012) gives up to 0.13 more for moderate narrowings.
///
/// ```
/// // Crane TP-410 from 100 to 50 mm: 0.5·(1 − 0.25).
/// assert_eq!(bywash::formulas::fittings::sudden_contraction(0.05, 0.1), 0.375);
/// ```
pub fn sudden_contraction(smaller: f64, larger: f64) -> f64 {
    0.5 * (1.0 - (smaller / larger).powi(2))
}

/// Lower case, hyphens as spaces, single spaces, no degree sign.
fn plain(name: &str) -> String {
    name.to_lowercase()
        .replace(['-', '_', '°'], " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

const CRANE: &str = "Crane TP-410";
const CRANE_MEMORY: &str = "Crane TP-410 (from memory)";

const fn row(
    name: &'static str,
    also: &'static [&'static str],
    loss: Loss,
    source: &'static str,
    trust: Trust,
) -> Fitting {
    Fitting {
        name,
        also,
        loss,
        source,
        trust,
    }
}

const SPRING_CHECK: &str = "common practice for full-port in-line checks; the maker’s curve governs";
const UNION: &str = "handbook value for a threaded union (from memory)";
const REDUCER: &str = "Crane TP-410 tapered reducer, one size, 30 degrees (computed), on the smaller pipe";
const SCREEN: &str = "wire screen across the pipe, 60 % open, clean: 1.3(1-a) + (1/a-1)² (from memory)";

/// The table. Rows tagged as copies agree with the fittings functions of an open library after Crane.
#[rustfmt::skip]
pub const FITTINGS: &[Fitting] = &[
    row("90 elbow", &["90", "elbow", "elbow 90", "std 90 elbow", "standard elbow", "90 deg elbow"], Turbulent(30.0), CRANE, Trust::Copy),
    row("45 elbow", &["45", "elbow 45", "std 45 elbow", "45 deg elbow"], Turbulent(16.0), CRANE, Trust::Copy),
    row("street 90 elbow", &["street elbow", "street 90"], Turbulent(50.0), CRANE_MEMORY, Trust::Memory),
    row("sweep 90", &["long sweep 90", "90 sweep", "long radius 90 elbow", "sweep elbow"], Turbulent(14.0), CRANE_MEMORY, Trust::Memory),
    row("22.5 elbow", &["22 1/2 elbow", "22 elbow"], Turbulent(8.0), "half of the 45 elbow (common practice)", Trust::Memory),
    row("return bend", &["180 bend"], Turbulent(50.0), CRANE_MEMORY, Trust::Memory),
    row("tee run", &["tee through", "tee straight"], Turbulent(20.0), CRANE, Trust::Copy),
    row("tee branch", &["tee", "tee side"], Turbulent(60.0), CRANE, Trust::Copy),
    row("wye branch", &["wye", "y branch"], Turbulent(32.0), "two 45 elbows (common practice)", Trust::Memory),
    row("gate valve", &["slide valve", "knife valve"], Turbulent(8.0), CRANE, Trust::Copy),
    row("ball valve", &["true union ball valve"], Turbulent(3.0), CRANE, Trust::Copy),
    row("butterfly valve", &["butterfly"], Turbulent(45.0), CRANE_MEMORY, Trust::Memory),
    row("globe valve", &["globe"], Turbulent(340.0), CRANE_MEMORY, Trust::Memory),
    row("angle valve", &[], Turbulent(150.0), CRANE_MEMORY, Trust::Memory),
    row("swing check", &["swing check valve", "flap check", "check valve"], Turbulent(100.0), CRANE, Trust::Copy),
    row("clearway swing check", &["full flow swing check"], Turbulent(50.0), CRANE, Trust::Copy),
    row("lift check", &["lift check valve"], Turbulent(600.0), CRANE, Trust::Copy),
    row("spring check", &["spring check valve", "inline check"], Constant(2.5), SPRING_CHECK, Trust::Memory),
    row("foot valve", &["foot valve hinged"], Turbulent(75.0), CRANE_MEMORY, Trust::Memory),
    row("foot valve poppet", &["poppet foot valve"], Turbulent(420.0), CRANE_MEMORY, Trust::Memory),
    row("union", &[], Constant(0.08), UNION, Trust::Memory),
    row("coupling", &["adapter"], Constant(0.08), UNION, Trust::Memory),
    row("reducer", &["increaser", "bushing"], Constant(0.1), REDUCER, Trust::Memory),
    row("entrance sharp", &["sharp entrance", "entrance", "entrance flush"], Constant(0.5), CRANE, Trust::Copy),
    row("entrance projecting", &["entrance reentrant", "entrance inward"], Constant(0.78), CRANE, Trust::Copy),
    row("entrance bell", &["bell entrance", "bellmouth", "entrance rounded"], Constant(0.04), CRANE, Trust::Copy),
    row("exit", &["outlet", "pipe exit"], Constant(1.0), CRANE, Trust::Copy),
    row("screen", &["strainer", "intake screen"], Constant(1.0), SCREEN, Trust::Memory),
];

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn names_are_plain_and_mean_one_thing() {
        let mut seen = HashSet::new();
        for fitting in FITTINGS {
            for name in std::iter::once(&fitting.name).chain(fitting.also) {
                assert_eq!(plain(name), *name);
                assert!(seen.insert(*name), "{name} twice");
            }
        }
    }

    #[test]
    fn spelling_is_forgiven_and_unknown_names_are_not() {
        assert_eq!(find("90° Elbow").unwrap().name, "90 elbow");
        assert_eq!(find("Gate-Valve").unwrap().name, "gate valve");
        let unknown = find("gate vlave").unwrap_err();
        assert_eq!(unknown.nearest, Some("gate valve"));
        assert!(unknown.accepted.contains(&"exit"));
        assert_eq!(find("zzzz").unwrap_err().nearest, None);
    }

    #[test]
    fn small_fittings_cost_more() {
        assert!(k("90 elbow", 0.025).unwrap() > k("90 elbow", 0.1).unwrap());
        assert_eq!(k("exit", 0.025).unwrap(), k("exit", 0.1).unwrap());
    }
}
