//! Pumps with their lines fouled.

use super::pumping::DUTY_FLOW;
use crate::{
    hydraulics::System,
    ledger::{Definition, Ledger, Scope, does_not_apply, missing, quantity},
    plan::Plan,
    quantity::Kind,
};

static FOULED_FLOW: Definition = Definition::quantity(
    Scope::Pumps,
    "fouled-flow",
    "operating flow with the lines fouled",
    Kind::Flow,
)
.by(
    "the flow with the whole system solved again, every K times a factor, the pipe walls slimed and the voids of beds \
     partly filled",
    "Q_fouled: Q at c_K·K, ε_fouled and h_fouled of the beds",
)
.from("the same network as for the operating point; factor and roughness are common practice unless the plan gives them")
.within("losses of pipes, of fittings and of beds fed from below");
static FOULED_FLOW_SHARE: Definition = Definition::quantity(
    Scope::Pumps,
    "fouled-flow-share",
    "flow with the lines fouled as a share of the clean flow",
    Kind::Share,
)
.by(
    "flow with the lines fouled divided by flow with them clean",
    "r = Q_fouled / Q",
);

pub(super) static DEFINITIONS: &[&Definition] = &[&FOULED_FLOW, &FOULED_FLOW_SHARE];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for pump in plan.pumps.values() {
        let at = &pump.place;
        ledger.enter(&FOULED_FLOW, at, |sheet| {
            let left_out = || missing(at.child("basin"));
            let fouled = system.fouled.get(at).ok_or_else(left_out)?;
            let fouled = fouled.as_ref().map_err(Clone::clone)?;
            sheet.figure("Q", &DUTY_FLOW, at)?;
            sheet.take(&fouled.inputs);
            quantity(fouled.flow)
        });
        ledger.enter(&FOULED_FLOW_SHARE, at, |sheet| {
            let clean = sheet.figure("Q", &DUTY_FLOW, at)?;
            if clean <= 0.0 {
                return Err(does_not_apply("the pump moves no water"));
            }
            quantity(sheet.figure("Q_fouled", &FOULED_FLOW, at)? / clean)
        });
    }
}
