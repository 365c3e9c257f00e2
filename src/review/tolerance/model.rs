//! How far values may drift, as data.

use serde::Serialize;

use crate::{
    read::Place,
    review::{Location, Review, Value},
    rules::Severity,
};

/// How far a value of the plan may drift.
#[derive(Clone, Debug, Serialize)]
pub struct Tolerance {
    /// The value.
    pub place: Place,
    /// The value in words.
    pub place_name: String,
    /// Where it stands.
    pub at: Location,
    /// What the plan gives.
    pub now: Value,
    /// How far it may drift down.
    pub down: Drift,
    /// How far it may drift up.
    pub up: Drift,
    /// The nearer of the two as a share of what a crew easily misses by; under 1 it is watched on site. None where nothing
    /// gives way as far as it was followed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tightness: Option<f64>,
}

/// How far a value may drift one way.
#[derive(Clone, Debug, Serialize)]
pub struct Drift {
    /// So far the review is no worse: a whole number of steps.
    pub by: Value,
    /// What gives way beyond it; none where nothing does as far as it was followed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Until>,
}

/// What gives way once a value has drifted too far.
#[derive(Clone, Debug, Serialize)]
pub struct Until {
    /// The least drift at which it was seen to, in SI.
    pub seen_at: f64,
    /// The rule; none where the plan contradicts itself there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// How bad.
    pub severity: Severity,
    /// What it is, in words.
    pub title: String,
    /// Where, in words.
    pub object_name: String,
}

impl Tolerance {
    /// Whether a crew easily misses by more.
    pub fn is_watched(&self) -> bool {
        self.tightness.is_some_and(|share| share < 1.0)
    }
}

impl Review {
    /// What is watched on site, the tightest first.
    pub fn watched(&self) -> Vec<&Tolerance> {
        let mut watched: Vec<&Tolerance> = self.tolerances.iter().filter(|one| one.is_watched()).collect();
        let tightness = |one: &Tolerance| one.tightness.unwrap_or(f64::INFINITY);
        watched.sort_by(|a, b| tightness(a).total_cmp(&tightness(b)));
        watched
    }
}
