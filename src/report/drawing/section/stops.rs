//! The levels that findings to stop or to revise for rest on, each in a line of its own.

use super::{
    SectionDrawing, Shown,
    legend::{FINDING, GROUNDWATER, Key},
};
use crate::{
    figures::SCENARIO_FIGURES,
    report::drawing::levels::level,
    review::{Finding, Review},
    rules::Severity,
};

/// Scenarios whose level every section shows.
const ALWAYS: [&str; 2] = ["running", "power-off"];

/// The level of the water behind a finding in a basin, m, and what leads to it; none where it rests on no other level
/// than every section shows.
fn behind(finding: &Finding, shown: &Shown<'_>) -> Option<(f64, String)> {
    let rests =
        finding.severity != Severity::Advise && finding.object == shown.basin.place && shown.levels.rim.shown;
    let figure = finding.figure.as_ref().filter(|_| rests)?;
    let named = |definition: Option<&crate::ledger::Definition>| {
        definition.is_some_and(|definition| definition.name == *figure)
    };
    let (label, blocked) = SCENARIO_FIGURES
        .iter()
        .filter(|figures| !ALWAYS.contains(&figures.scenario))
        .find_map(|figures| {
            let blocked = named(figures.blocked);
            (named(figures.freeboard) || blocked).then_some((figures.label, blocked))
        })?;
    let height = shown.levels.rim.level - finding.found.si?;
    let also = if blocked { ", overflow blocked" } else { "" };
    height.is_finite().then(|| (height, format!("{label}{also}")))
}

/// The levels behind the findings of basins, m.
pub(super) fn levels(review: &Review, basins: &[Shown<'_>]) -> Vec<f64> {
    let pairs = basins
        .iter()
        .flat_map(|shown| review.findings.iter().map(move |finding| (finding, shown)));
    pairs
        .filter_map(|(finding, shown)| behind(finding, shown).map(|(level, _)| level))
        .collect()
}

impl SectionDrawing<'_> {
    /// Draws the water behind each finding from wall to wall, and the groundwater behind one of uplift, with its label.
    pub(super) fn levels_behind_findings(&mut self) {
        let findings = self.findings;
        for index in 0..self.basins.len() {
            for finding in findings {
                if let Some((height, words)) = behind(finding, &self.basins[index]) {
                    let walls = self.walls_at(index, height);
                    let y = self.y(height);
                    self.ink(&[[walls.0, y], [walls.1, y]], FINDING);
                    self.label(index, &words, height);
                    self.explain(Key::Finding);
                }
            }
            self.groundwater(index);
        }
    }

    /// The groundwater outside a basin that a finding says it lifts.
    fn groundwater(&mut self, index: usize) {
        let shown = &self.basins[index];
        let lifts = self.findings.iter().any(|finding| {
            let figure = finding.figure.as_deref().unwrap_or_default();
            finding.object == shown.basin.place && figure.starts_with("uplift-factor")
        });
        let site = self.plan.site.value();
        let Some(height) = site.and_then(|site| level(&site.groundwater)).filter(|_| lifts) else {
            return;
        };
        let y = self.y(height);
        if height > self.top || height < self.bottom {
            return;
        }
        let (left, right) = self.walls_at(index, height);
        for (from, to) in [
            (left - super::CORRIDOR, left - 3.0),
            (right + 3.0, right + super::CORRIDOR),
        ] {
            self.ink(&[[from, y], [to, y]], GROUNDWATER);
        }
        self.label(index, "groundwater", height);
        self.explain(Key::Groundwater);
    }
}
