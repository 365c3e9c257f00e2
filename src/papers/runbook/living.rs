//! The steps by which the water comes to hold life: new water joined, plants, fish.

use super::{
    steps::{Order, WorkStep},
    water::{STEP_ALLOWED, joining_sheet, tempering},
};
use crate::{
    papers::words::{fish_meet_new_water, holds_fish, is_disinfected},
    plan::{Measure, StepKind},
    quantity::own_first,
};

impl Order<'_> {
    /// New water made fit for what lives in the old; none where nothing is dosed and no fish meet it.
    pub(super) fn joining(&self) -> Option<WorkStep> {
        let with_fish = fish_meet_new_water(self.plan);
        let filling = self.plan.filling.value();
        let mut step = WorkStep::new(match (is_disinfected(self.plan), with_fish) {
            (Some(false), true) => "Temper and join",
            (Some(false), false) => return None,
            (Some(true) | None, true) => "Dechlorinate, temper and join",
            (Some(true) | None, false) => "Dechlorinate",
        });
        step.day = self.day(StepKind::Join);
        if tempering(self.context).is_some() {
            let by = if with_fish { "hour" } else { "batch" };
            step.notes.push(format!(
                "By the {by} on the sheet “{}”.",
                joining_sheet(self.plan)
            ));
        }
        if let Some(test) = filling.and_then(|filling| filling.residual_test.value()) {
            step.holds.push(format!("Residual: {test}"));
        }
        if with_fish {
            step.holds
                .push("Both waters measured, no more apart than the sheet allows".to_owned());
            step.holds
                .push("Fish watched for an hour after joining; air runs".to_owned());
        } else {
            step.holds
                .push("Total chlorine tests at nothing, twice, an hour apart".to_owned());
        }
        Some(step)
    }

    /// Fish of new work, which come when the water is ready for them; none where they are there already, or never come.
    pub(super) fn stocking(&self) -> Option<WorkStep> {
        if !holds_fish(self.plan) || fish_meet_new_water(self.plan) {
            return None;
        }
        let mut step = WorkStep::new("Stock with fish");
        step.day = self.day(StepKind::Fish);
        step.notes.push(format!(
            "Float each bag and let pond water in slowly: {}.",
            own_first(STEP_ALLOWED, self.units)
        ));
        step.holds
            .push("Two tests a week apart are clean: no residual, no ammonia, no nitrite".to_owned());
        step.holds
            .push("Fish watched for an hour; air runs; few at first, and fed little".to_owned());
        Some(step)
    }

    pub(super) fn planting(&self) -> Option<WorkStep> {
        let planting = self.plan.planting.value()?;
        if planting.species.is_empty() {
            return None;
        }
        let mut step = WorkStep::new("Plant");
        step.day = self.day(StepKind::Plant);
        for (id, species) in &planting.species {
            let name = species.common.value().map_or(id.as_str(), String::as_str);
            let count = species
                .count
                .value()
                .map_or_else(String::new, |count| format!("{count} "));
            let depth = species
                .depth
                .value()
                .map(|depth| format!(", {} of water over the crown", self.length(depth.si())));
            step.notes
                .push(format!("{count}{name}{}.", depth.unwrap_or_default()));
        }
        step.holds.push(
            "No plant that is regulated here, by the list of the state or country; runners contained"
                .to_owned(),
        );
        Some(step)
    }
}
