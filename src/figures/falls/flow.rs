//! Flow over a fall and the head it takes.

use super::crest_range::{no_level_crest, tell_range};
use crate::{
    figures::pumping::DUTY_FLOW,
    formulas::weir,
    hydraulics::{System, note_size},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, missing, quantity, stated, verdict},
    plan::{Edge, Fall, Given, Plan, Shown},
    quantity::{INCH, Kind},
};

pub(super) const WEIR: &str = "thin lip: Kindsvater and Carter, as in ISO 1438; stone: broad-crested weir, \
                    Q = C·b·h^1.5 with C (SI) 1.65 for rounded, 1.47 for dressed, 1.43 for natural flat and 1.38 for rough \
                    stone; V-notch: Kindsvater and Shen (coefficients from memory)";

pub(crate) static FALL_FLOW: Definition =
    Definition::quantity(Scope::Falls, "fall-flow", "flow over the crest", Kind::Flow)
        .by("flow with the whole system solved together", "Q")
        .from(WEIR);
pub(crate) static CREST_HEAD: Definition = Definition::quantity(
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
pub(crate) static FLOW_PER_WIDTH: Definition = Definition::quantity(
    Scope::Falls,
    "flow-per-width",
    "flow per width of crest",
    Kind::FlowPerWidth,
)
.by("flow divided by crest width", "q = Q / b");
pub(super) static TOLERANCE_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "tolerance-share",
    "level tolerance as a share of the head",
    Kind::Share,
)
.by("level tolerance divided by the water over the crest", "r = δ / h");
pub(super) static DROP: Definition =
    Definition::quantity(Scope::Falls, "drop", "drop of the fall", Kind::Length).by(
        "crest level less the still level of the basin below, or less the head of the stream below",
        "d = z_crest − z_below",
    );
pub(super) static STATED_DROP_APART: Definition = Definition::quantity(
    Scope::Falls,
    "stated-drop-apart",
    "stated drop against the levels",
    Kind::Length,
)
.by(
    "stated drop less the drop of the levels, whichever is more",
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
    "Δ_max = min(50 mm (2 in), max(13 mm (1/2 in), 0.1·d))",
)
.from("common practice");
static SHEET_WANTED: Definition =
    Definition::verdict(Scope::Falls, "sheet-wanted", "crest that is to throw a sheet").by(
        "a thin lip or flat stone, where the plan does not say that no clear sheet is wanted",
        "",
    );
pub(super) static SPLASH_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "splash-share",
    "splash margin as a share of the drop",
    Kind::Share,
)
.by("lined margin each side divided by the drop", "r = m / d");
static WATER_WIDTH: Definition = Definition::quantity(
    Scope::Falls,
    "crest-water-width",
    "width of the water over the crest",
    Kind::Length,
)
.by(
    "width of a level crest; of a V-notch twice the slope of a side times the water over the point",
    "T: b of a level crest, 2·z·h of a V-notch",
);
pub(crate) static BRINK_DEPTH: Definition = Definition::quantity(
    Scope::Falls,
    "brink-depth",
    "brink depth",
    Kind::Length,
)
.by(
    "0.715 of the critical depth; not the head upstream, which is about twice as much: a number read on the brink \
     passes about 2.8 times the flow of the same number read upstream",
    "y_b = 0.715·(q² / g)^(1/3)",
)
.from("Rouse 1936")
.within("level brink with an aerated nappe and subcritical flow upstream");

pub(crate) static DEFINITIONS: &[&Definition] = &[
    &FALL_FLOW,
    &CREST_HEAD,
    &FLOW_PER_WIDTH,
    &TOLERANCE_SHARE,
    &DROP,
    &STATED_DROP_APART,
    &DROP_TOLERANCE,
    &SHEET_WANTED,
    &SPLASH_SHARE,
    &WATER_WIDTH,
    &BRINK_DEPTH,
];

/// Enters the figures of one fall that do not depend on levels below.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, fall: &Given<Fall>) {
    let at = &fall.place;
    let state = || match system.falls.get(at) {
        Some(state) => state.as_ref().map_err(Clone::clone),
        None => Err(missing(at.child("from"))),
    };
    ledger.enter(&FALL_FLOW, at, |sheet| {
        let state = state()?;
        for pump in plan
            .pumps
            .values()
            .filter(|pump| matches!(system.pumps.get(&pump.place), Some(Ok(_))))
        {
            sheet.figure("Q_pump", &DUTY_FLOW, &pump.place)?;
        }
        quantity(state.flow)
    });
    ledger.enter(&CREST_HEAD, at, |sheet| {
        sheet.figure("Q", &FALL_FLOW, at)?;
        let state = state()?;
        sheet.take(&state.inputs);
        tell_range(sheet, state);
        quantity(state.head)
    });
    ledger.enter(&FLOW_PER_WIDTH, at, |sheet| {
        if fall.edge.value() == Some(&Edge::VNotch) {
            return Err(no_level_crest());
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
        quantity(crest - level_below(sheet, plan, fall)?)
    });
    ledger.enter(&DROP_TOLERANCE, at, |sheet| {
        drop_tolerance(sheet.figure("d", &DROP, at)?)
    });
    ledger.enter(&SHEET_WANTED, at, |sheet| sheet_wanted(sheet, fall));
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

    ledger.enter(&WATER_WIDTH, at, |sheet| {
        let size = note_size(sheet, fall)?;
        if fall.edge.value() == Some(&Edge::VNotch) {
            quantity(2.0 * size * sheet.figure("h", &CREST_HEAD, at)?)
        } else {
            quantity(size)
        }
    });
    ledger.enter(&BRINK_DEPTH, at, |sheet| {
        clear_brink(fall)?;
        quantity(weir::brink_depth(sheet.figure("q", &FLOW_PER_WIDTH, at)?))
    });
}

/// The level a fall meets: the still water of a basin, or the head of a stream.
fn level_below(sheet: &mut Worksheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Result<f64, Gap> {
    let missing = || Gap::NotShown(vec![fall.place.child("to")]);
    let to = fall.to.value().ok_or_else(missing)?;
    if let Some(stream) = plan.streams.get(to) {
        return match (&stream.head, &fall.stated_drop) {
            (Shown::NotShown, Shown::NotShown | Shown::None(_)) => Err(at_crest()),
            (head, _) => sheet.given("z_below", head, &stream.place, "head"),
        };
    }
    let below = plan.basins.get(to).ok_or_else(missing)?;
    sheet.given("z_below", &below.still, &below.place, "still")
}

/// Why a fall into a stream without a head of its own has no drop.
pub(crate) fn at_crest() -> Gap {
    Gap::DoesNotApply(
        "the stream below starts at this crest: the plan shows no other level of its head".to_owned(),
    )
}

/// How far a drop may stand from its levels: a tenth of it, from 1/2 in (13 mm) to 2 in (50 mm).
pub(crate) fn drop_tolerance(drop: f64) -> Answer {
    let share = 0.1 * drop;
    stated(share.clamp(0.5 * INCH, 2.0 * INCH), share.clamp(0.013, 0.050))
}

/// Water that is meant to cling to a wall or drip along a rill throws no sheet.
fn sheet_wanted(sheet: &mut Worksheet<'_>, fall: &Given<Fall>) -> Answer {
    let verdict = |holds: bool, because: &str| verdict(holds, because, None);
    let at = &fall.place;
    match fall.edge.value() {
        Some(
            Edge::ThinLip | Edge::BroadStone | Edge::DressedStone | Edge::RoundedStone | Edge::NaturalStone,
        ) => {}
        Some(_) => return verdict(false, "over rough stone and through a notch no sheet falls"),
        None => return Err(missing(at.child("edge"))),
    }
    if fall.clear_sheet.yes() == Some(false) {
        sheet.note_place("clear_sheet", &at.child("clear_sheet"));
        return verdict(false, "no clear sheet is wanted");
    }
    verdict(true, "a lip or flat stone that is to throw its water")
}

/// Rough stone breaks the sheet up.
pub(crate) fn clear_brink(fall: &Given<Fall>) -> Result<(), Gap> {
    match fall.edge.value() {
        Some(Edge::VNotch) => Err(no_level_crest()),
        Some(Edge::RoughStone) => Err(Gap::NotComputed(
            "over rough stone the nappe breaks up, and no formula holds".to_owned(),
        )),
        Some(_) => Ok(()),
        None => Err(missing(fall.place.child("edge"))),
    }
}
