//! What rests on all ordinary levels together: still, start-up, running and after power-off.

use super::{
    running::RUNNING_LEVEL,
    scenarios::{POWER_OFF_LEVEL, START_UP_LEVEL},
};
use crate::{
    ledger::{Definition, Gap, Ledger, Scope, quantity},
    plan::{Basin, Given, Plan, Pump},
    quantity::Kind,
};

pub(crate) static FREEBOARD_NORMAL: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-normal",
    "height of the rim over the highest normal level",
    Kind::Length,
)
.by(
    "rim level less the highest of still, start-up, running and power-off level",
    "F = z_rim − max(z_still, z_start-up, z_running, z_power-off)",
);
static START_UP_COVER: Definition = Definition::quantity(
    Scope::Pumps,
    "start-up-cover",
    "water over the intake at start-up",
    Kind::Length,
)
.by(
    "lowest level at start-up less intake level",
    "s = z_start-up − z_intake",
);

pub(crate) static DEFINITIONS: &[&Definition] = &[&FREEBOARD_NORMAL, &START_UP_COVER];

/// Enters the freeboard of a basin over every ordinary level.
pub(super) fn enter_freeboard(ledger: &mut Ledger, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&FREEBOARD_NORMAL, at, |sheet| {
        let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
        let still = sheet.given("z_still", &basin.still, at, "still")?;
        let start_up = sheet.figure("z_start-up", &START_UP_LEVEL, at)?;
        let running = sheet.figure("z_running", &RUNNING_LEVEL, at)?;
        let power_off = sheet.figure("z_power-off", &POWER_OFF_LEVEL, at)?;
        quantity(rim - still.max(start_up).max(running).max(power_off))
    });
}

/// Enters the water over the intake of a pump at start-up.
pub(super) fn enter_cover(ledger: &mut Ledger, pump: &Given<Pump>) {
    ledger.enter(&START_UP_COVER, &pump.place, |sheet| {
        let basin = pump
            .basin
            .value()
            .ok_or_else(|| Gap::NotShown(vec![pump.place.child("basin")]))?;
        let lowest = sheet.figure("z_start-up", &START_UP_LEVEL, &Plan::basin_place(basin))?;
        quantity(lowest - sheet.given("z_intake", &pump.intake, &pump.place, "intake")?)
    });
}
