//! What a crest can carry before the water above nears the rim.

use super::flow::{FALL_FLOW, WEIR};
use crate::{
    formulas::weir,
    hydraulics::{System, note_size},
    ledger::{Definition, Gap, Ledger, Scope, missing, quantity},
    plan::{Fall, Given, Plan},
    quantity::Kind,
};

static CAPACITY_AT_RIM: Definition =
    Definition::quantity(Scope::Falls, "crest-capacity", "crest capacity", Kind::Flow)
        .by(
            "flow over the crest with the water above at the freeboard of 2 in (50 mm) below the rim",
            "Q_max: Q_weir(z_rim − F − z_crest, b)",
        )
        .from(WEIR)
        .within("within the range of the crest’s law; a free, unblocked crest");
static CAPACITY_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "crest-capacity-share",
    "flow as a share of the crest capacity",
    Kind::Share,
)
.by("flow over the crest divided by its capacity", "r = Q / Q_max")
.comparing("{Q} over a crest with a capacity of {Q_max}");

pub(crate) static DEFINITIONS: &[&Definition] = &[&CAPACITY_AT_RIM, &CAPACITY_SHARE];

/// Freeboard kept over a running crest, m: 2 in.
const FREEBOARD: f64 = 0.0508;

/// Enters the capacity of one fall.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, fall: &Given<Fall>) {
    let at = &fall.place;
    let above = fall.from.value().and_then(|id| plan.basins.get(id));
    if let Some(above) = above {
        ledger.enter(&CAPACITY_AT_RIM, at, |sheet| {
            let state = match system.falls.get(at) {
                Some(state) => state.as_ref().map_err(Clone::clone)?,
                None => return Err(missing(at.child("from"))),
            };
            note_size(sheet, fall)?;
            sheet.note_place("edge", &at.child("edge"));
            let rim = sheet.given("z_rim", &above.rim, &above.place, "rim")?;
            let crest = sheet.given("z_crest", &fall.crest, at, "crest")?;
            let why = "a running crest keeps 2 in (50 mm) of freeboard";
            let freeboard = sheet.assumed("F", FREEBOARD, Kind::Length, why);
            quantity(weir::discharge(&state.crest, rim - freeboard - crest))
        });
        ledger.enter(&CAPACITY_SHARE, at, |sheet| {
            let flow = sheet.figure("Q", &FALL_FLOW, at)?;
            let most = sheet.figure("Q_max", &CAPACITY_AT_RIM, at)?;
            if most <= 0.0 {
                return Err(Gap::NotComputed(
                    "the rim leaves no head over the crest for any flow".to_owned(),
                ));
            }
            quantity(flow / most)
        });
    }
}
