//! Falls and overflows: how the water comes back.

pub(super) mod crest;
pub(super) mod overflow;
pub(super) mod sheet;

use super::{
    definition::{Definition, Scope},
    ledger::{Gap, Ledger, Sheet, quantity},
    levels::{FREEBOARD_NORMAL, POWER_OFF_LEVEL, RUNNING_LEVEL},
    system::{System, receiver},
    vessel::Vessels,
};
use crate::{
    plan::{Edge, Fall, Given, Plan, Shown},
    quantity::Kind,
    read::Place,
};

const WEIR: &str = "thin lip: Kindsvater and Carter, as in ISO 1438; broad and rough stone: broad-crested weir, \
                    Q = C·b·h^1.5 with C 1.705 and 1.38 (SI); V-notch: Kindsvater and Shen (coefficients from memory)";

pub(super) static FALL_FLOW: Definition =
    Definition::quantity(Scope::Falls, "fall-flow", "flow over the crest", Kind::Flow)
        .by(
            "what runs over the crest with the whole system solved together",
            "Q",
        )
        .from(WEIR);
pub(super) static CREST_HEAD: Definition = Definition::quantity(
    Scope::Falls,
    "crest-head",
    "water over the crest",
    Kind::Length,
)
.by(
    "the head upstream at which the crest passes the flow, read where the water stands, not on the brink",
    "h: Q = Q_weir(h, b)",
)
.from(WEIR)
.within(
    "thin lip measured from 30 mm (1.2 in) of head; below it the law is continued within 5 %; a crest with the water \
     below over it, by Villemonte, up to 0.9 of the water above",
);
static FLOW_PER_WIDTH: Definition = Definition::quantity(
    Scope::Falls,
    "flow-per-width",
    "flow per width of crest",
    Kind::FlowPerWidth,
)
.by("flow divided by crest width", "q = Q / b");
static TOLERANCE_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "tolerance-share",
    "level tolerance as a share of the head",
    Kind::Share,
)
.by("level tolerance divided by the water over the crest", "r = δ / h");
static DROP: Definition = Definition::quantity(Scope::Falls, "drop", "drop of the fall", Kind::Length).by(
    "crest level less the receiver's still level, or the head level of a stream that takes the water",
    "d = z_crest − z_still",
);
static STATED_DROP_APART: Definition = Definition::quantity(
    Scope::Falls,
    "stated-drop-apart",
    "stated drop against the levels",
    Kind::Length,
)
.by(
    "stated drop less the crest level over the still level below, whichever is more",
    "Δ = |d_stated − d|",
);
static DROP_TOLERANCE: Definition = Definition::quantity(
    Scope::Falls,
    "drop-tolerance",
    "how far a stated drop may stand from its levels",
    Kind::Length,
)
.by(
    "a tenth of the drop, from 1/2 in (13 mm) to 2 in (50 mm)",
    "Δ_max = min(2 in, max(1/2 in, 0.1·d)), (50 mm, 13 mm)",
)
.from("common practice");
static SPLASH_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "splash-share",
    "splash margin as a share of the drop",
    Kind::Share,
)
.by("lined margin each side divided by the drop", "r = m / d");
static CREST_ABOVE_RECEIVER: Definition = Definition::quantity(
    Scope::Falls,
    "crest-above-receiver",
    "crest above the water below",
    Kind::Length,
)
.by(
    "crest level less the highest running or power-off level below",
    "d = z_crest − max(z_running, z_power-off)",
);
static OVERFLOW_BELOW_RIM: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-below-rim",
    "overflow below the rim",
    Kind::Length,
)
.by("rim level less overflow level", "d = z_rim − z_overflow");
static OVERFLOW_ABOVE_NORMAL: Definition = Definition::quantity(
    Scope::Basins,
    "overflow-above-normal",
    "overflow above the highest normal level",
    Kind::Length,
)
.by(
    "freeboard over the highest normal level less the overflow's distance below the rim",
    "d = F_normal − (z_rim − z_overflow)",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &FALL_FLOW,
    &CREST_HEAD,
    &FLOW_PER_WIDTH,
    &TOLERANCE_SHARE,
    &DROP,
    &STATED_DROP_APART,
    &DROP_TOLERANCE,
    &SPLASH_SHARE,
    &CREST_ABOVE_RECEIVER,
    &OVERFLOW_BELOW_RIM,
    &OVERFLOW_ABOVE_NORMAL,
];

/// What of the returns does not rest on the levels.
pub(super) fn enter_falls(ledger: &mut Ledger, plan: &Plan, system: &System) {
    for fall in plan.falls.values() {
        let at = &fall.place;
        let state = || match system.falls.get(at) {
            Some(state) => state.as_ref().map_err(Clone::clone),
            None => Err(Gap::NotShown(vec![at.child("from")])),
        };
        ledger.enter(&FALL_FLOW, at, |sheet| {
            let state = state()?;
            for pump in plan
                .pumps
                .values()
                .filter(|pump| matches!(system.pumps.get(&pump.place), Some(Ok(_))))
            {
                sheet.figure("Q_pump", &super::pumping::DUTY_FLOW, &pump.place)?;
            }
            quantity(state.flow)
        });
        ledger.enter(&CREST_HEAD, at, |sheet| {
            sheet.figure("Q", &FALL_FLOW, at)?;
            let state = state()?;
            sheet.take(&state.inputs);
            crest::tell_range(sheet, state);
            quantity(state.head)
        });
        ledger.enter(&FLOW_PER_WIDTH, at, |sheet| {
            if fall.edge.value() == Some(&Edge::VNotch) {
                return Err(crest::no_level_crest());
            }
            let width = sheet.given("b", &fall.width, at, "width")?;
            quantity(sheet.figure("Q", &FALL_FLOW, at)? / width)
        });
        ledger.enter(&TOLERANCE_SHARE, at, |sheet| {
            let tolerance = sheet.given("δ", &fall.level_tolerance, at, "level_tolerance")?;
            quantity(tolerance / sheet.figure("h", &CREST_HEAD, at)?)
        });
        ledger.enter(&DROP, at, |sheet| {
            let crest = sheet.given("z_crest", &fall.crest, at, "crest")?;
            quantity(crest - water_below(sheet, plan, fall)?)
        });
        ledger.enter(&DROP_TOLERANCE, at, |sheet| {
            quantity(drop_tolerance(sheet.figure("d", &DROP, at)?))
        });
        if matches!(fall.stated_drop, Shown::Is(_)) {
            ledger.enter(&STATED_DROP_APART, at, |sheet| {
                let stated = sheet.given("d_stated", &fall.stated_drop, at, "stated_drop")?;
                quantity((stated - sheet.figure("d", &DROP, at)?).abs())
            });
        }
        ledger.enter(&SPLASH_SHARE, at, |sheet| {
            let margin = sheet.given("m", &fall.splash_margin, at, "splash_margin")?;
            quantity(margin / sheet.figure("d", &DROP, at)?)
        });
        crest::enter(ledger, fall);
        sheet::enter(ledger, plan, system, fall);
    }
}

/// What of the returns rests on the levels.
pub(super) fn enter_against_levels(ledger: &mut Ledger, plan: &Plan, vessels: &Vessels) {
    for fall in plan.falls.values() {
        ledger.enter(&CREST_ABOVE_RECEIVER, &fall.place, |sheet| {
            let crest = sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
            let below = basin_below(plan, fall)?;
            let running = sheet.figure("z_running", &RUNNING_LEVEL, &below)?;
            quantity(crest - running.max(sheet.figure("z_power-off", &POWER_OFF_LEVEL, &below)?))
        });
        sheet::enter_against_levels(ledger, plan, fall);
    }
    for (id, basin) in &plan.basins {
        let Shown::Is(overflow) = &basin.overflow else {
            continue;
        };
        let at = &basin.place;
        ledger.enter(&OVERFLOW_BELOW_RIM, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            quantity(rim - sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?)
        });
        ledger.enter(&OVERFLOW_ABOVE_NORMAL, at, |sheet| {
            let freeboard = sheet.figure("F_normal", &FREEBOARD_NORMAL, at)?;
            quantity(freeboard - sheet.figure("d_overflow", &OVERFLOW_BELOW_RIM, at)?)
        });
        overflow::enter(ledger, plan, vessels, id, basin);
    }
}

fn basin_below(plan: &Plan, fall: &Given<Fall>) -> Result<Place, Gap> {
    let to = receiver(plan, fall).ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")]))?;
    Ok(Plan::basin_place(to))
}

/// How far a drop may stand from its levels: a tenth of it, from 1/2 in to 2 in.
pub(super) fn drop_tolerance(drop: f64) -> f64 {
    (0.1 * drop).clamp(0.5 * 0.0254, 2.0 * 0.0254)
}

/// The water a fall lands in: still water, or the head of a stream.
fn water_below(sheet: &mut Sheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Result<f64, Gap> {
    if let Some(stream) = fall.to.value().and_then(|to| plan.streams.get(to)) {
        return match &stream.head {
            Shown::NotShown => Err(Gap::DoesNotApply(
                "the stream starts at the crest where it shows no head level of its own".to_owned(),
            )),
            head => sheet.given("z_head", head, &stream.place, "head"),
        };
    }
    let to = receiver(plan, fall).and_then(|id| plan.basins.get(id));
    let below = to.ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")]))?;
    sheet.given("z_still", &below.still, &below.place, "still")
}
