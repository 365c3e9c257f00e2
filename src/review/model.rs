//! The review as data: what every output prints, worded once.

use serde::Serialize;

use super::{
    answers::AnswerEffect, case_report::Cases, closing::Closing, log::Backcheck, model_range::ModelEnd,
    tolerance::Tolerance, value::Value,
};
use crate::{plan::Date, quantity::UnitSystem, read::Place, rules::Severity};

/// A review of one plan.
#[derive(Clone, Debug, Serialize)]
pub struct Review {
    /// Always `bywash review 1`.
    pub format: &'static str,
    /// Version of the program that made it.
    pub version: &'static str,
    /// What was reviewed.
    pub subject: Subject,
    /// The date the review is made for: the plan's, or the one asked for.
    pub date: Option<Date>,
    /// The recommended action.
    pub action: Recommendation,
    /// How many of what.
    pub counts: Counts,
    /// Rules met, short, not shown and not applicable, in all and by discipline.
    pub coverage: Vec<Coverage>,
    /// What falls short: most severe first, findings of one fault together, its cause first.
    pub findings: Vec<Finding>,
    /// What the plan does not show, by weight.
    pub questions: Vec<Question>,
    /// What was judged although a value is not shown: it comes out the same whatever is plausible there.
    pub settled: Vec<Settled>,
    /// What could not be judged although it is shown, and why.
    pub unjudged: Vec<Unjudged>,
    /// Values of the plan that no figure rests on and no rule reads.
    pub unevaluated: Vec<Unevaluated>,
    /// What falls short and is accepted by name.
    pub accepted: Vec<Accepted>,
    /// Acceptances that match nothing, or can't be taken.
    pub acceptance_notes: Vec<String>,
    /// What the house made of the rules, each beside the rule.
    pub house: Vec<HouseLine>,
    /// What is met.
    pub met: Vec<Met>,
    /// Every computed figure.
    pub figures: Vec<FigureLine>,
    /// Levels in every case, where they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cases: Option<Cases>,
    /// The changes that close it, where they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closing: Option<Closing>,
    /// How far levels, widths and flows may drift before the review is worse; empty where it was not asked for in depth.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tolerances: Vec<Tolerance>,
    /// What the answers to questions could change.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<AnswerEffect>,
    /// Ends of what the model takes as known at which something that is met is not.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub model_ends: Vec<ModelEnd>,
    /// What was not tried, because the plan is too large for so many trials.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub untried: Vec<String>,
    /// What was assumed where the plan is silent.
    pub assumptions: Vec<String>,
    /// The sources of the rules that were judged, each once.
    pub sources: Vec<String>,
    /// The published codes among them, each once with its edition.
    pub codes: Vec<String>,
    /// What happens if the work is built so, in plain words; empty where nothing is to be revised.
    pub consequences: Vec<String>,
    /// What a reader must bear in mind.
    pub cautions: Vec<String>,
    /// What became of the findings and questions of the review before, where it was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backcheck: Option<Backcheck>,
    /// The plan as it was reviewed, patches applied.
    pub plan: serde_json::Value,
}

impl Review {
    /// What the machine form calls itself.
    pub const FORMAT: &'static str = "bywash review 1";
}

/// What was reviewed: file, patches over it, and the title block of the plan.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Subject {
    /// The plan's file, as it was named.
    pub file: String,
    /// Patches over it, in the order they were applied.
    pub patches: Vec<String>,
    /// Units printed in.
    pub units: UnitSystem,
    /// The title block: label and text, in order; only what the plan shows.
    pub title_block: Vec<(String, String)>,
    /// The job's name, or the file where the plan gives none.
    pub name: String,
    /// The plan's revision mark.
    pub revision: Option<String>,
    /// Its number in the row of reviews of the project, from 1.
    pub review: usize,
    /// The plan's file and those of the patches over it, each with its fingerprint.
    pub sheets: Vec<Sheet>,
}

/// A file that was reviewed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Sheet {
    /// The file, as it was named.
    pub file: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// The recommended action, in the trade's submittal words.
#[derive(Clone, Debug, Serialize)]
pub struct Recommendation {
    /// Which.
    pub action: Action,
    /// In words, such as `revise and resubmit`.
    pub words: &'static str,
    /// What the words mean here.
    pub meaning: &'static str,
    /// What decided it.
    pub because: String,
}

/// The actions a review can recommend, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Action {
    /// No faults found in the data given.
    NoExceptionsTaken,
    /// Only advice and minor questions.
    FurnishAsCorrected,
    /// Something to stop for or to revise, or a question on a stop rule.
    ReviseAndResubmit,
}

/// How many of what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Findings of severity stop.
    pub stop: usize,
    /// Findings of severity revise.
    pub revise: usize,
    /// Findings of severity advise.
    pub advise: usize,
    /// Faults: findings that share one plan value count once.
    pub faults: usize,
    /// Questions.
    pub questions: usize,
    /// Questions that a stop rule waits for.
    pub stop_questions: usize,
    /// Deviations accepted by name.
    pub accepted: usize,
}

/// How the rules of one discipline came out, rule by rule and place by place.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Coverage {
    /// The discipline, or `all`.
    pub discipline: String,
    /// Met.
    pub met: usize,
    /// Falls short.
    pub short: usize,
    /// Not shown.
    pub not_shown: usize,
    /// Shown, and not to be judged.
    pub unjudged: usize,
    /// Does not apply.
    pub not_applicable: usize,
    /// Accepted by name.
    pub accepted: usize,
}

/// Where something stands in a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Location {
    /// The file: the plan or a patch over it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A rule that falls short at a place.
#[derive(Clone, Debug, Serialize)]
pub struct Finding {
    /// `3` for the cause of a fault, `3.1` for what follows from it.
    pub number: String,
    /// The rule's id.
    pub rule: String,
    /// What the rule judges.
    pub title: String,
    /// The rule's discipline.
    pub discipline: String,
    /// How bad.
    pub severity: Severity,
    /// Whether people are at risk.
    pub protects_people: bool,
    /// The object judged.
    pub object: Place,
    /// The value of the plan to look at.
    pub place: Place,
    /// The place in words, such as `bed / rim level`.
    pub place_name: String,
    /// Where that stands.
    pub at: Location,
    /// The finding in one line: figure and limit both.
    pub headline: String,
    /// The same as what was found, an arrow, and what is required; without the place.
    pub brief: String,
    /// What was found.
    pub found: Value,
    /// What is asked.
    pub limit: Value,
    /// How far off, signed, and in per cent of the limit where that makes sense.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<String>,
    /// How it was computed: formula in symbols, then with numbers; empty for a value read off the plan.
    pub worked: Vec<String>,
    /// The name of the figure judged, where it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figure: Option<String>,
    /// Why it matters.
    pub why: String,
    /// What would cure it.
    pub cure: String,
    /// What can be changed, in short.
    pub levers: Vec<String>,
    /// What would cure it in numbers, each alone; those that break no other rule where there are any.
    pub cures: Vec<Cure>,
    /// Where the limit comes from, and how far it may be trusted.
    pub sources: Vec<String>,
    /// The number of the finding it follows from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub follows: Option<String>,
    /// What a house made of the rule; none for a rule of the library as it stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub house: Option<String>,
    /// A further word, such as an acceptance that has expired.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// One value of the plan that cures a finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cure {
    /// In words and numbers, with the rule that it breaks where it does.
    pub text: String,
    /// The value to change.
    pub place: Place,
    /// What to change it to, as a plan writes it.
    pub value: String,
    /// What `--set` takes to try it; none where no assignment can name the place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set: Option<String>,
}

/// A value the plan does not show, and the rules that wait for it.
#[derive(Clone, Debug, Serialize)]
pub struct Question {
    /// From 1, numbered after the findings as `Q1`.
    pub number: String,
    /// The missing place, the first of several.
    pub place: Place,
    /// Further places that it asks for: the same value of other objects, or other details.
    pub also: Vec<Place>,
    /// The place in words.
    pub place_name: String,
    /// Where it is missing from.
    pub at: Location,
    /// The question to the designer.
    pub ask: String,
    /// How an answer is written, such as `"union": true`; none where many details are asked for at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<String>,
    /// The worst severity that waits for it.
    pub severity: Severity,
    /// The rules that wait for it.
    pub rules: Vec<String>,
    /// The same with the objects they wait at.
    pub waiting: Vec<Waiting>,
}

/// A rule that waits at an object for an answer.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Waiting {
    /// The rule's id.
    pub rule: String,
    /// The object.
    pub object: Place,
}

impl Question {
    /// Every place that it asks for.
    pub fn places(&self) -> impl Iterator<Item = &Place> {
        std::iter::once(&self.place).chain(&self.also)
    }
}

/// A rule judged without a value, because it comes out the same over the plausible range of that value.
#[derive(Clone, Debug, Serialize)]
pub struct Settled {
    /// The rule's id.
    pub rule: String,
    /// The object judged.
    pub object: Place,
    /// The object in words.
    pub object_name: String,
    /// The value that is not shown, in words.
    pub place_name: String,
    /// Whether it meets the rule, whatever it is; else it falls short.
    pub meets: bool,
    /// What was taken as plausible, in words.
    pub range: String,
}

/// A rule that could not be judged at a place.
#[derive(Clone, Debug, Serialize)]
pub struct Unjudged {
    /// The rule's id.
    pub rule: String,
    /// How bad it would be.
    pub severity: Severity,
    /// The object.
    pub object: Place,
    /// The object in words.
    pub object_name: String,
    /// Why it could not be judged.
    pub because: String,
}

/// A value of the plan that nothing evaluates.
#[derive(Clone, Debug, Serialize)]
pub struct Unevaluated {
    /// The value.
    pub place: Place,
    /// The value in words.
    pub place_name: String,
    /// Where it stands.
    pub at: Location,
}

/// A deviation accepted by name.
#[derive(Clone, Debug, Serialize)]
pub struct Accepted {
    /// The finding, as it would stand.
    pub finding: Finding,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepts it.
    pub initials: String,
    /// Until when.
    pub until: Date,
}

/// What a house made of a rule.
#[derive(Clone, Debug, Serialize)]
pub struct HouseLine {
    /// The rule's id.
    pub rule: String,
    /// What the rule judges.
    pub title: String,
    /// What the house does, such as `tighter` or `switched off`; a published code that is loosened is told as such.
    pub effect: String,
    /// Severity and limit of the library; empty for a rule of the house's own.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub was: String,
    /// Severity and limit of the house; empty where the rule is switched off.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub now: String,
    /// Whether it asks less than a published code.
    pub loosens_code: bool,
    /// Why, in the house's words.
    pub reason: String,
    /// Where the house says so.
    pub at: Location,
}

/// A rule met at a place.
#[derive(Clone, Debug, Serialize)]
pub struct Met {
    /// The rule's id.
    pub rule: String,
    /// What the rule judges.
    pub title: String,
    /// The rule's discipline.
    pub discipline: String,
    /// The object it is met at.
    pub object: Place,
    /// The object in words.
    pub object_name: String,
    /// What was found.
    pub found: Value,
    /// What is required.
    pub limit: Value,
    /// What was found against what is required, in short.
    pub standing: String,
}

/// A computed figure with its worked line.
#[derive(Clone, Debug, Serialize)]
pub struct FigureLine {
    /// Its stable name.
    pub name: String,
    /// Its name in words.
    pub title: String,
    /// The object it belongs to.
    pub object: Place,
    /// The object in words.
    pub object_name: String,
    /// Its value, in words where it is a yes or no; none where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Value>,
    /// Why there is no value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gap: Option<String>,
    /// The formula in words.
    pub words: String,
    /// The formula in symbols.
    pub symbols: String,
    /// The formula with numbers, and the result.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worked: Option<String>,
    /// What it was computed from.
    pub inputs: Vec<InputLine>,
    /// Further inputs, where there are too many to list.
    #[serde(skip_serializing_if = "is_zero")]
    pub inputs_left_out: usize,
    /// Where the formula comes from.
    pub source: String,
    /// Where the formula holds.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub range: String,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "what serde calls")]
fn is_zero(count: &usize) -> bool {
    *count == 0
}

/// One input of a figure.
#[derive(Clone, Debug, Serialize)]
pub struct InputLine {
    /// Its symbol.
    pub symbol: String,
    /// Its value as printed; empty for what is not a quantity.
    pub shown: String,
    /// In SI.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub si: Option<f64>,
    /// Where it came from, in words.
    pub from: String,
    /// The place of the plan it came from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
}

impl Finding {
    /// The first cure in a few words, with its number where one was worked out; none where the rule names no lever.
    pub fn first_cure(&self) -> Option<String> {
        let Some(cure) = self.cures.first() else {
            return self.levers.first().cloned();
        };
        let words = cure.text.split(": ").next().unwrap_or_default();
        Some(if cure.place == self.place {
            format!("{words} ({})", cure.value)
        } else {
            cure.text.clone()
        })
    }
}

impl Accepted {
    /// Who accepts it, until when and why.
    pub fn words(&self) -> String {
        format!(
            "accepted by {} until {}: {}",
            self.initials, self.until, self.reason
        )
    }
}
