//! The cases as data: levels of every basin in every case, what moved, and the worst.

use serde::Serialize;

use super::value::Value;
use crate::read::Place;

/// Levels in every case.
#[derive(Clone, Debug, Serialize)]
pub struct Cases {
    /// Every case, ordinary ones first.
    pub cases: Vec<CaseReport>,
    /// Combinations requested.
    pub asked: Vec<CaseReport>,
    /// The worst single case, with its levels in time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst: Option<Worst>,
    /// The worst of the combinations that go together, with its levels in time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub combined: Option<Worst>,
    /// Basins that could not be simulated, and why.
    pub missing: Vec<String>,
    /// How it is computed, and what is assumed where the plan shows nothing.
    pub notes: Vec<String>,
}

/// One case.
#[derive(Clone, Debug, Serialize)]
pub struct CaseReport {
    /// Its stable name; those of combined cases joined by `+`.
    pub name: String,
    /// What it is called.
    pub title: String,
    /// What it supposes.
    pub supposes: String,
    /// Why it could not be simulated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gap: Option<String>,
    /// Basin by basin.
    pub basins: Vec<CaseBasin>,
    /// What siphons back, end by end.
    pub siphons: Vec<CaseSiphon>,
    /// Where water left for good.
    pub lost: Vec<CaseLost>,
    /// Pumps that stopped of themselves.
    pub stopped: Vec<CaseStopped>,
    /// What happened, in sentences.
    pub told: Vec<String>,
    /// When the run ended.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<Value>,
    /// When every level had come within a millimetre of its end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled_after: Option<Value>,
    /// How it ended, where it did not settle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unsettled: Option<String>,
}

/// A basin in a case.
#[derive(Clone, Debug, Serialize)]
pub struct CaseBasin {
    /// The basin.
    pub object: Place,
    /// The basin in words.
    pub object_name: String,
    /// Highest level.
    pub highest: Value,
    /// When it was reached.
    pub highest_at: Value,
    /// Lowest level.
    pub lowest: Value,
    /// When it was reached.
    pub lowest_at: Value,
    /// Level at the end.
    pub end: Value,
    /// Rim above the highest level; none where water goes over it or the plan shows no rim.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub freeboard: Option<Value>,
    /// Water over the rim within a day, where there is any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub over_rim: Option<Value>,
    /// The most that goes over the rim at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub over_rim_rate: Option<Value>,
    /// For how long it goes over the rim; none where it goes on or none goes over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub over_rim_for: Option<Value>,
    /// Water left at the lowest level.
    pub left: Value,
    /// Depth left at the lowest level.
    pub left_depth: Value,
    /// Whether fish are kept in it.
    pub fish: bool,
}

/// What siphons back through an end of a line.
#[derive(Clone, Debug, Serialize)]
pub struct CaseSiphon {
    /// The run.
    pub object: Place,
    /// The run in words.
    pub object_name: String,
    /// Water moved.
    pub volume: Value,
    /// How far the level above fell meanwhile.
    pub fall: Value,
    /// How long it ran.
    pub duration: Value,
    /// What stopped it.
    pub stop: &'static str,
}

/// A pump that stopped of itself.
#[derive(Clone, Debug, Serialize)]
pub struct CaseStopped {
    /// The pump.
    pub object: Place,
    /// The pump in words.
    pub object_name: String,
    /// When.
    pub at: Value,
    /// What stopped it.
    pub by: &'static str,
}

/// Water that left for good.
#[derive(Clone, Debug, Serialize)]
pub struct CaseLost {
    /// Basin or line.
    pub object: Place,
    /// In words.
    pub object_name: String,
    /// How it left.
    pub by: &'static str,
    /// How much within a day.
    pub volume: Value,
    /// What still leaves at the end; none where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rate: Option<Value>,
}

/// The worst of some cases.
#[derive(Clone, Debug, Serialize)]
pub struct Worst {
    /// The case.
    pub case: CaseReport,
    /// Why it is the worst.
    pub because: String,
    /// The basin where it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub object: Option<Place>,
    /// That basin in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub object_name: Option<String>,
    /// For combinations, why these were compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub compared: Option<String>,
    /// Levels in time, basin by basin.
    pub series: Vec<Series>,
}

impl Worst {
    /// Why it is the worst, the basin called as its reader knows it.
    pub fn reason(&self, basin: Option<&str>) -> String {
        let basin = basin.map(|basin| format!(" at {basin}")).unwrap_or_default();
        let compared = self.compared.as_ref();
        let compared = compared
            .map(|why| format!(". Compared: {why}"))
            .unwrap_or_default();
        format!("{}{basin}{compared}", self.because)
    }
}

/// The level of a basin in time.
#[derive(Clone, Debug, Serialize)]
pub struct Series {
    /// The basin.
    pub object: Place,
    /// The basin in words.
    pub object_name: String,
    /// Its rim as the case has it, at its lowest edge, m above the benchmark; none where the plan shows none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rim: Option<f64>,
    /// Pairs of time in s and level in m above the benchmark.
    pub points: Vec<(f64, f64)>,
}
