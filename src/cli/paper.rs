//! The sheet that a typeset form is set on.

#[cfg(feature = "pdf")]
use crate::{quantity::UnitSystem, report::pdf::Paper};

/// A sheet as the command line names it.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub(super) enum PaperArgument {
    /// 8-1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

#[cfg(feature = "pdf")]
impl PaperArgument {
    /// The sheet asked for, else the one usual where these units are.
    pub fn chosen(asked: Option<Self>, units: UnitSystem) -> Paper {
        match (asked, units) {
            (Some(Self::Letter), _) | (None, UnitSystem::Us) => Paper::Letter,
            (Some(Self::A4), _) | (None, UnitSystem::Si) => Paper::A4,
        }
    }
}

/// Why a build without the typesetter can't go on.
#[cfg(not(feature = "pdf"))]
pub(super) fn no_typesetter() -> super::Failure {
    super::Failure::Argument {
        message: "this build has no typesetter".to_owned(),
        help: "build with the feature `pdf`, which is on by default".to_owned(),
    }
}
