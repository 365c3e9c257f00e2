//! The project, its benchmark and its accepted deviations.

use serde::Deserialize;

use super::{date::Date, measure::Length, shown::Shown};

/// Who, where and which revision.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Project {
    /// Name: What the job is called on the drawings.
    pub name: Shown<String>,
    /// Town and state or country: Codes, frost, storms and plant lists depend on it.
    pub place: Shown<String>,
    /// Altitude: Height above sea level, such as "850 ft".
    pub altitude: Shown<Length>,
    /// Client: Who the work is for.
    pub client: Shown<String>,
    /// Designer: Who drew the plan.
    pub designer: Shown<String>,
    /// Reviewer: Who reviews it and signs.
    pub reviewer: Shown<String>,
    /// Revision: The plan's revision mark, such as "B".
    pub revision: Shown<String>,
    /// Date of the plan: As 2026-04-30. The review is dated by it; acceptances expire against it.
    pub date: Shown<Date>,
    /// Kind of work: New work, or a retrofit of a feature that stands.
    pub work: Shown<Work>,
    /// Units to print in: Units of the review: US customary or SI. The plan itself may mix them.
    pub units: Shown<Units>,
    /// Method of fitting losses: How the losses of fittings, valves and mouths are worked out; left out, Crane.
    pub fitting_losses: Shown<FittingLosses>,
}

/// New work, or a retrofit of a feature that stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// `new`
    New,
    /// `retrofit`
    Retrofit,
}

/// Units of the review: US customary or SI. The plan itself may mix them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// `US`
    Us,
    /// `SI`
    Si,
}

/// How the losses of fittings, valves and mouths are worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum FittingLosses {
    /// `Crane`
    #[serde(rename = "crane")]
    Crane,
    /// `Hooper 2-K`
    #[serde(rename = "hooper-2-k")]
    Hooper,
    /// `Darby 3-K`
    #[serde(rename = "darby-3-k")]
    Darby,
}

/// The mark from which every level is measured.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Benchmark {
    /// Mark: What the mark is, such as "brass nail in the north step, outside the dig".
    pub mark: Shown<String>,
    /// Protection of the mark: How the mark is kept through the work; "none" where it is not protected.
    pub protected: Shown<String>,
    /// Second mark: A second mark to check against.
    pub second_mark: Shown<String>,
}

/// A deviation accepted by name: the rule falls short, and a named person takes it on until a date.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Acceptance {
    /// Rule: Id of the rule, such as "line-velocity".
    pub rule: Shown<String>,
    /// Place: Where, as a pointer such as "/lines/feed/runs/main".
    pub place: Shown<String>,
    /// Reason: Why it is accepted.
    pub reason: Shown<String>,
    /// Initials: Who accepts it.
    pub initials: Shown<String>,
    /// Until: Last day of the acceptance, as 2027-03-31.
    pub until: Shown<Date>,
}
