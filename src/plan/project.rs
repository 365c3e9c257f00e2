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
    /// Reviewer's firm: The firm that the reviewer works for.
    pub firm: Shown<String>,
    /// Reviewer's license: Kind and number of the reviewer's license, where there is one.
    pub license: Shown<String>,
    /// Project number: The number of the job in the files of the firm.
    pub number: Shown<String>,
    /// Received: Day on which the plan came in, as 2026-04-30.
    pub received: Shown<Date>,
    /// Due: Day by which the answers are due, as 2026-05-14.
    pub due: Shown<Date>,
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

/// What the designer answers to a finding or a question of the review before.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Answer {
    /// Reply: Agree: changed as proposed. Corrected: changed otherwise. Disagree: not changed, for the reason given.
    pub reply: Shown<Reply>,
    /// Reason: Why, or what was done.
    pub reason: Shown<String>,
    /// By: Who answers.
    pub by: Shown<String>,
    /// Date of the answer: As 2026-05-10.
    pub date: Shown<Date>,
}

/// How the designer takes a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reply {
    /// `agree`
    Agree,
    /// `corrected`
    Corrected,
    /// `disagree`
    Disagree,
}

impl Reply {
    /// Every reply, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Agree, Self::Corrected, Self::Disagree];

    /// In words, as a plan writes it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Agree => "agree",
            Self::Corrected => "corrected",
            Self::Disagree => "disagree",
        }
    }
}

impl Answer {
    /// The answer in one line: reply, reason, who and when.
    pub fn words(&self) -> String {
        let reply = self.reply.value().map(|reply| reply.word().to_owned());
        let said: Vec<String> = reply.into_iter().chain(self.reason.value().cloned()).collect();
        let date = self.date.value().map(ToString::to_string);
        let signed: Vec<String> = self.by.value().cloned().into_iter().chain(date).collect();
        match (said.is_empty(), signed.is_empty()) {
            (true, true) => "answered".to_owned(),
            (false, true) => said.join(": "),
            (true, false) => signed.join(", "),
            (false, false) => format!("{} ({})", said.join(": "), signed.join(", ")),
        }
    }
}
