//! A rule card: one Markdown page that people read and the engine runs.

use std::fmt;

use serde::Deserialize;

use crate::{
    ledger::Scope,
    plan::country::Country,
    quantity::{UnitSystem, own_first},
    read::{Node, Place, Span},
    rules::{bound::Bound, subject::Subject},
    text::typographic,
};

/// How bad it is when a rule falls short; worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Somebody gets hurt, or the work is lost: do not dig, fill or energise.
    Stop,
    /// Correct before approval.
    Revise,
    /// Worth doing better.
    Advise,
}

impl Severity {
    /// The word it is printed as.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Revise => "revise",
            Self::Advise => "advise",
        }
    }

    /// A mark that tells it apart without colour.
    pub const fn mark(self) -> &'static str {
        match self {
            Self::Stop => "■",
            Self::Revise => "▲",
            Self::Advise => "○",
        }
    }
}

/// A rule.
#[derive(Clone, Debug)]
pub struct Card {
    /// Stable id, in trade words, subject first.
    pub id: String,
    /// What is judged.
    pub title: String,
    /// The discipline: the folder the card lies in.
    pub discipline: String,
    /// How bad it is when it falls short.
    pub severity: Severity,
    /// Whether it keeps people from harm; such a `stop` rule can't be accepted by name.
    pub protects_people: bool,
    /// The objects it looks at.
    pub looks_at: Scope,
    /// When it applies: all of these.
    pub when: Vec<Test>,
    /// Where a suggestion counts as a revision: all of these.
    pub revise_when: Vec<Test>,
    /// What it asks.
    pub asks: Test,
    /// The value of the plan that a finding points at, relative to the object, or from the root with a leading `/`.
    pub point_at: Option<String>,
    /// Rules whose fault this one echoes: where one of them falls short on what this one rests on, it is the cause.
    pub follows: Vec<String>,
    /// Where the limit comes from.
    pub sources: Vec<Source>,
    /// What can be changed to cure it.
    pub levers: Vec<Lever>,
    /// Levers that a house does not offer, in words, with its reason.
    pub withheld: Vec<String>,
    /// Why it matters.
    pub why: String,
    /// What to do.
    pub cure: String,
    /// Examples over the sound plan; the card's own tests.
    pub examples: Vec<Example>,
    /// Where the bound stands: in the card, or in the house's change of it.
    pub bound_span: Span,
    /// What differs for work in the country of the plan; none for a rule as the library has it.
    pub local: Option<String>,
    /// What a house made of it, in a line; none for a rule of the library as it stands.
    pub house: Option<String>,
}

/// What is cited where every published source of a rule belongs to another country.
const NO_NATIONAL_SOURCE: &str =
    "general practice; no text of this country was read: ask the local authority";

impl Card {
    /// Where the limit comes from, in lines, for work in a country: texts of another country are not cited.
    pub fn source_lines(&self, work: Option<Country>) -> Vec<String> {
        let cited = |source: &&Source| source.country.is_none_or(|country| country.binds(work));
        let mut lines: Vec<String> = self.sources.iter().filter(cited).map(Source::line).collect();
        if lines.is_empty() {
            lines.push(NO_NATIONAL_SOURCE.to_owned());
        }
        lines
    }

    /// All that decides how it comes out: where it applies, where it counts as a revision, and what it asks.
    pub fn tests(&self) -> impl Iterator<Item = &Test> {
        self.when.iter().chain(&self.revise_when).chain([&self.asks])
    }

    /// Where it applies, and where it counts as a revision, in words.
    pub fn conditions(&self, units: Option<UnitSystem>) -> String {
        let all = |tests: &[Test]| {
            let words: Vec<String> = tests.iter().map(|test| test.in_words(units)).collect();
            words.join("; ")
        };
        let mut words = all(&self.when);
        if !self.revise_when.is_empty() {
            if !words.is_empty() {
                words.push_str(". ");
            }
            words.push_str("Counts as a revision where: ");
            words.push_str(&all(&self.revise_when));
        }
        words
    }
}

/// Something that can be changed to cure a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// In a few words, such as `widen the crest`.
    pub words: String,
    /// The value of the plan to change, where it is one.
    pub adjustment: Option<Adjustment>,
    /// What the plan then says, where it is something said.
    pub setting: Option<Setting>,
    /// How much it takes.
    pub effort: Effort,
    /// Whose decision it needs, in words; none for one that the crew may take.
    pub decision: Option<String>,
}

/// How much a change takes, the least first.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, serde::Serialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Effort {
    /// A valve, a float, a stop board, a number on the drawing.
    Setting,
    /// Something bought, exchanged or fitted.
    #[default]
    Part,
    /// Earth, stone or masonry to move.
    Earth,
    /// Something built that was not there.
    Element,
}

impl Effort {
    /// The word it is printed as.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Setting => "setting",
            Self::Part => "part",
            Self::Earth => "earth",
            Self::Element => "new element",
        }
    }
}

/// A value that the plan is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Its path, as that of an [`Adjustment`].
    pub pattern: String,
    /// What it is set to, as a merge patch; `{"figure": name, "times": n}` stands for a figure of the object.
    pub value: serde_json::Value,
}

/// A value of the plan that is varied until the rule passes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adjustment {
    /// Its path from the object; or from the root with a leading `/` and `*` for any id, of those values that the
    /// figure rests on.
    pub pattern: String,
    /// Which way.
    pub direction: Direction,
}

/// The direction in which a value is varied.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Up.
    More,
    /// Down.
    Less,
}

/// A subject and what is asked of it.
#[derive(Clone, Debug)]
pub struct Test {
    /// What is judged.
    pub subject: Subject,
    /// What is asked.
    pub bound: Bound,
}

impl Test {
    /// In words, limits as the card writes them or in units of a system: `rim level: at least 2 in`. A yes-or-no figure
    /// is what its title says.
    pub fn in_words(&self, units: Option<UnitSystem>) -> String {
        let title = own_first(self.subject.title(), units.unwrap_or_default());
        match (&self.subject, &self.bound) {
            (_, Bound::Is(true)) => title,
            (_, Bound::Is(false)) => format!("no {title}"),
            (_, bound) => format!("{title}: {}", bound.in_words(units)),
        }
    }
}

impl fmt::Display for Test {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_words(None))
    }
}

/// An example: a merge patch over the sound plan, and what the rule must say of it.
#[derive(Clone, Debug)]
pub struct Example {
    /// The patch.
    pub patch: Node,
    /// What the rule must say.
    pub expect: Expect,
}

/// What a rule must say of an example.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Expect {
    /// It falls short at this object.
    FallsShort(Place),
    /// It falls short nowhere.
    Meets,
}

/// How a published number was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Trust {
    /// In the source itself.
    Seen,
    /// In a secondary copy, or in a document that applies it.
    Copy,
    /// Recalled.
    Memory,
}

/// Where a limit comes from.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Source {
    /// `published`, `common practice`, `maker's data` or `the plan's own arithmetic`.
    pub kind: String,
    /// Title of a published source.
    pub title: String,
    /// Its publisher.
    pub publisher: String,
    /// Its edition or year.
    pub edition: Option<String>,
    /// The section.
    pub section: Option<String>,
    /// How it was read.
    pub read: Option<Trust>,
    /// Whether it is a law or code, which the local edition overrides.
    pub code: bool,
    /// The country whose text it is, where it binds no other.
    pub country: Option<Country>,
    /// What is taken from it.
    pub takes: Option<String>,
}

impl Default for Source {
    fn default() -> Self {
        Self {
            kind: "common practice".to_owned(),
            title: String::new(),
            publisher: String::new(),
            edition: None,
            section: None,
            read: None,
            code: false,
            country: None,
            takes: None,
        }
    }
}

impl Source {
    /// The title of a published source with its edition, where one is named.
    pub fn name_and_edition(&self) -> String {
        match &self.edition {
            Some(edition) => format!("{}, {edition}", self.title),
            None => self.title.clone(),
        }
    }

    /// The source in one line, with how far it may be trusted.
    pub fn line(&self) -> String {
        if self.kind != "published" {
            let kind = typographic(&self.kind);
            return match &self.takes {
                Some(takes) => format!("{kind}: {takes}"),
                None => kind,
            };
        }
        let mut line = self.title.clone();
        for part in [
            Some(&self.publisher),
            self.edition.as_ref(),
            self.section.as_ref(),
        ]
        .into_iter()
        .flatten()
        {
            if !part.is_empty() {
                line.push_str(", ");
                line.push_str(part);
            }
        }
        if let Some(takes) = &self.takes {
            line.push_str(": ");
            line.push_str(takes);
        }
        line.push_str(match self.read {
            Some(Trust::Memory) => " (from memory)",
            Some(Trust::Copy) => " (read in a copy)",
            Some(Trust::Seen) | None => "",
        });
        if self.code {
            line.push_str("; defer to the local edition");
        }
        line
    }
}
