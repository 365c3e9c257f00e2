//! Fish and what they need: water in range, turnover, depth, and air when the pump stops.

use super::parts::{all, any, given, noted, part, said};
use crate::{
    figures::{
        basins::STILL_VOLUME, drains::DRAIN_FLOW, falls::FALL_FLOW, living_water::no_fish, pumping::DUTY_FLOW,
    },
    ledger::{
        Answer, Definition, Found, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing,
        no, not, quantity, stated, yes,
    },
    plan::{
        Basin, BasinKind, Fish, FishKind, Given, Plan, Pump, Shown,
        connections::{self, Feeding, feeding},
    },
    quantity::{FOOT, INCH, Kind},
    read::Place,
};

static FISH_KEPT: Definition = Definition::verdict(Scope::Plan, "fish-kept", "fish in the plan")
    .by("a basin holds fish; a bed that does not say holds none", "");
static FISH_IN_CIRCUIT: Definition = Definition::verdict(
    Scope::Basins,
    "fish-in-circuit",
    "water that fish live in, here or in another basin",
)
.by(
    "a basin of the plan holds fish; a bed that does not say holds none",
    "",
);
static PH_IN_RANGE: Definition = Definition::verdict(Scope::Plan, "ph-in-range", "pH in the range for fish")
    .by("lowest pH 6.5 or more, highest 9.0 or less", "6.5 ≤ pH ≤ 9.0");
static TURNOVER: Definition = Definition::quantity(
    Scope::Basins,
    "turnover",
    "turnover time",
    Kind::Time,
)
.by(
    "water at still level divided by the flow that pumps, gravity lines and falls take out of it while running",
    "t = V / ΣQ",
);
static TURNOVER_LIMIT: Definition = Definition::quantity(
    Scope::Basins,
    "turnover-limit",
    "longest turnover for the fish kept, koi 2 h, others 4 h",
    Kind::Time,
)
.by("2 h for koi, 4 h for other fish", "t_max")
.from("common practice");
static DEPTH_FOR_FISH: Definition = Definition::quantity(
    Scope::Basins,
    "depth-for-fish",
    "least depth for the fish kept",
    Kind::Length,
)
.by(
    "24 in (0.6 m) for koi, 18 in (0.45 m) for other fish; where the frost goes 12 in (300 mm) or more into the ground, \
     36 in (0.9 m) and 24 in (0.6 m)",
    "d_min",
)
.from("Victoria County (Texas) Master Gardeners, advice on pond depth; in frost common practice");
static BACKUP_FOR_FISH: Definition = Definition::verdict(
    Scope::Basins,
    "backup-for-fish",
    "second pump or spare",
)
.by(
    "of the pumps whose water reaches it, over falls and through gravity lines as well: more than one runs, or a spare is \
     kept",
    "",
);
static AIR_IN_OUTAGE: Definition = Definition::verdict(
    Scope::Basins,
    "air-in-outage",
    "air for the fish while the power is out",
)
.by(
    "its own air pump runs on in an outage, or stand-by air at one of the pumps whose water reaches it; a second pump or a spare on the same supply gives none",
    "",
);
static FILTER_FOR_FISH: Definition =
    Definition::verdict(Scope::Basins, "filter-for-fish", "filter for the fish")
        .by("the plan has a bed, or a basin gives another filter", "");
static SCREEN_VELOCITY_ALLOWED: Definition = Definition::quantity(
    Scope::Pumps,
    "screen-velocity-allowed",
    "highest velocity at a screen for the fish kept, 0.5 ft/s (0.15 m/s), with fry 0.2 ft/s (0.06 m/s)",
    Kind::Velocity,
)
.by(
    "0.5 ft/s (0.15 m/s); 0.2 ft/s (0.06 m/s) where fry are kept",
    "v_max",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &FISH_KEPT,
    &FISH_IN_CIRCUIT,
    &PH_IN_RANGE,
    &TURNOVER,
    &TURNOVER_LIMIT,
    &DEPTH_FOR_FISH,
    &BACKUP_FOR_FISH,
    &AIR_IN_OUTAGE,
    &FILTER_FOR_FISH,
    &SCREEN_VELOCITY_ALLOWED,
];

/// pH that fish stand.
const PH: (f64, f64) = (6.5, 9.0);
/// An hour, s.
const HOUR: f64 = 3600.0;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    ledger.enter(&FISH_KEPT, &root, |sheet| fish_kept(sheet, plan));
    ledger.enter(&PH_IN_RANGE, &root, |sheet| ph_in_range(sheet, plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&FISH_IN_CIRCUIT, at, fish_in_circuit);
        ledger.enter(&TURNOVER, at, |sheet| turnover(sheet, plan, id, basin));
        ledger.enter(&TURNOVER_LIMIT, at, |sheet| {
            quantity(by_kind(sheet, basin, 2.0 * HOUR, 4.0 * HOUR)?)
        });
        ledger.enter(&DEPTH_FOR_FISH, at, |sheet| depth_for_fish(sheet, plan, basin));
        ledger.enter(&BACKUP_FOR_FISH, at, |sheet| backup_for_fish(sheet, plan, id));
        ledger.enter(&AIR_IN_OUTAGE, at, |sheet| air_in_outage(sheet, plan, id, basin));
        ledger.enter(&FILTER_FOR_FISH, at, |sheet| filter_for_fish(sheet, plan, basin));
    }
    for pump in plan.pumps.values() {
        ledger.enter(&SCREEN_VELOCITY_ALLOWED, &pump.place, |sheet| {
            screen_velocity_allowed(sheet, plan, pump)
        });
    }
}

/// Whether the plan keeps fish, as the figure of the whole plan says; looked up, since every basin and every pipe asks.
pub(super) fn keeps_fish<'a>(sheet: &mut Worksheet<'a>) -> Option<&'a Answer> {
    sheet.verdict("fish", &FISH_KEPT, &Place::root())
}

/// Why a figure that only fish make matter has none: nothing is computed without them.
pub(super) fn only_for_fish(sheet: &mut Worksheet<'_>) -> Result<(), Gap> {
    match keeps_fish(sheet) {
        Some(Ok(Found::Verdict { holds: true, .. })) => Ok(()),
        Some(Ok(_)) => Err(does_not_apply("no fish are kept")),
        _ => Err(does_not_apply("no fish are shown")),
    }
}

fn fish_kept(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    if plan.basins.is_empty() {
        return Err(missing(Place::root().child("basins")));
    }
    for basin in plan.basins.values() {
        match &basin.fish {
            Shown::Is(fish) => {
                sheet.note_place("fish", &fish.place);
                return yes("a basin holds fish");
            }
            Shown::None(place) => sheet.note_place("fish", place),
            Shown::NotShown => {}
        }
    }
    match no_fish(plan) {
        Gap::DoesNotApply(why) => not(&why),
        gap => Err(gap),
    }
}

fn fish_in_circuit(sheet: &mut Worksheet<'_>) -> Answer {
    let missing = || Err(missing(Place::root().child("basins")));
    keeps_fish(sheet).map_or_else(missing, Clone::clone)
}

fn ph_in_range(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let water = part(&plan.water, &Place::root(), "water")?;
    let at = &water.place;
    let mut pass = |value: &Shown<f64>, field: &'static str, within: fn(f64) -> bool, otherwise: &str| {
        let ph = noted(sheet, value, at, field)?;
        if within(ph.value) {
            yes("in range")
        } else {
            no(otherwise, &ph.place)
        }
    };
    let low = pass(
        &water.lowest_ph,
        "lowest_ph",
        |ph| at_least(ph, PH.0),
        "the lowest pH is under 6.5",
    );
    let high = pass(
        &water.highest_ph,
        "highest_ph",
        |ph| at_most(ph, PH.1),
        "the highest pH is over 9.0",
    );
    all("between 6.5 and 9.0", [low, high])
}

/// Why nothing is known to leave a basin.
fn nothing_leaves(plan: &Plan) -> Gap {
    let unplaced = plan.pumps.values().find_map(connections::unplaced);
    match unplaced.or_else(|| connections::falls_left_out(plan)) {
        Some(place) => missing(place),
        None => does_not_apply("no pump draws from it, and no gravity line or fall leaves it"),
    }
}

/// What leaves is what passes through: ponds that a pump, a fall or a line from a pump well empties count alike.
fn turnover(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    if plan.pumps.is_empty() && !connections::unpumped(plan) {
        return Err(missing(Place::root().child("pumps")));
    }
    let pumps = connections::pumps_in(plan, id).filter(|pump| pump.draws_from(id));
    let drains = connections::drains_from(plan, id);
    let falls = connections::falls_from(plan, id);
    let ways: Vec<(&'static Definition, &Place)> = pumps
        .map(|pump| (&DUTY_FLOW, &pump.place))
        .chain(drains.map(|drain| (&DRAIN_FLOW, &drain.place)))
        .chain(falls.map(|fall| (&FALL_FLOW, &fall.place)))
        .collect();
    if ways.is_empty() {
        return Err(nothing_leaves(plan));
    }
    let mut flow = 0.0;
    for (figure, at) in ways {
        flow += sheet.figure("Q", figure, at)?;
    }
    quantity(sheet.figure("V", &STILL_VOLUME, &basin.place)? / flow)
}

fn fish_of(basin: &Given<Basin>) -> Result<&Given<Fish>, Gap> {
    part(&basin.fish, &basin.place, "fish")
}

/// One value for koi, another for other fish.
fn by_kind<T>(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, koi: T, other: T) -> Result<T, Gap> {
    let fish = fish_of(basin)?;
    let kind = noted(sheet, &fish.kind, &fish.place, "kind")?;
    Ok(if kind.value == FishKind::Koi { koi } else { other })
}

/// Ice takes the top of the water where the ground freezes deep.
fn depth_for_fish(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Answer {
    fish_of(basin)?;
    let frost = match plan.site.value().map(|site| &site.frost_depth) {
        Some(Shown::Is(frost)) => {
            sheet.note_given("d_frost", frost);
            frost.value.0
        }
        Some(Shown::None(place)) => {
            sheet.note_place("d_frost", place);
            0.0
        }
        _ => return Err(missing(Place::from_pointer("/site/frost_depth"))),
    };
    let (koi, other) = if at_least(frost, FOOT) {
        ((36.0, 0.9), (24.0, 0.6))
    } else {
        ((24.0, 0.6), (18.0, 0.45))
    };
    let (inches, metric) = by_kind(sheet, basin, koi, other)?;
    stated(inches * INCH, metric)
}

fn backup_for_fish(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str) -> Answer {
    if plan.pumps.is_empty() && !connections::unpumped(plan) {
        return Err(missing(Place::root().child("pumps")));
    }
    let Feeding { pumps, unknown } = feeding(plan, id);
    let unknown = (!unknown.is_empty()).then_some(Gap::NotShown(unknown));
    if pumps.is_empty() {
        return Err(unknown.unwrap_or_else(|| does_not_apply("no pump’s water reaches it")));
    }
    let count = |pump: &&Given<Pump>| pump.count.value().copied().unwrap_or(1);
    if pumps.iter().map(count).fold(0, u32::saturating_add) > 1 {
        for pump in pumps {
            sheet.note_place("pump", &pump.place);
        }
        return yes("more than one pump runs");
    }
    let none = "one pump, with no spare";
    let mut parts = Vec::new();
    for pump in pumps {
        let at = &pump.place;
        let spare = given(sheet, &pump.spare, at, "spare", none);
        parts.push(all("a spare pump is kept", [spare]));
    }
    let spare = part(&plan.upkeep, &Place::root(), "upkeep")
        .and_then(|upkeep| said(sheet, &upkeep.spare_pump, &upkeep.place, "spare_pump", none));
    parts.push(all("a spare pump is kept", [spare]));
    any(parts.into_iter().chain(unknown.map(Err)))
}

/// Pumps on one supply all stop together, and a spare on the shelf gives no air either.
fn air_in_outage(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let air = basin.air.given().filter(|air| air.standby.yes() == Some(true));
    if let Some(air) = air {
        sheet.note_place("standby", &air.place.child("standby"));
        return yes("its air pump runs on when the power fails");
    }
    if plan.pumps.is_empty() {
        return Err(missing(Place::root().child("pumps")));
    }
    let Feeding { pumps, unknown } = feeding(plan, id);
    let unknown = (!unknown.is_empty()).then_some(Gap::NotShown(unknown));
    if pumps.is_empty() {
        return Err(unknown.unwrap_or_else(|| does_not_apply("no pump’s water reaches it")));
    }
    let none = "no stand-by air starts when the power fails";
    let mut parts = Vec::new();
    for pump in pumps {
        parts.push(said(sheet, &pump.standby_air, &pump.place, "standby_air", none));
    }
    any(parts.into_iter().chain(unknown.map(Err)))
}

fn screen_velocity_allowed(sheet: &mut Worksheet<'_>, plan: &Plan, pump: &Given<Pump>) -> Answer {
    let basin = part(&pump.basin, &pump.place, "basin")?;
    let basin = plan
        .basins
        .get(&basin.value)
        .ok_or_else(|| missing(Plan::basin_place(&basin.value)))?;
    let fish = fish_of(basin)?;
    let place = fish.place.child("fry");
    let fry = fish.fry.yes().ok_or_else(|| missing(place.clone()))?;
    sheet.note_place("fry", &place);
    let (feet, metric) = if fry { (0.2, 0.06) } else { (0.5, 0.15) };
    stated(feet * FOOT, metric)
}

/// Whether fish that are fed have a filter, for the rule on it.
fn filter_for_fish(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Answer {
    if !matches!(basin.fish, Shown::Is(_)) {
        return Err(does_not_apply("no fish are shown in it"));
    }
    let mut beds = plan
        .basins
        .values()
        .filter(|basin| basin.kind.value() == Some(&BasinKind::Bed));
    if let Some(bed) = beds.next() {
        sheet.note_place("bed", &bed.place);
        return yes("the plan has a bed");
    }
    let filters = plan
        .basins
        .values()
        .filter(|other| matches!(other.filter, Shown::Is(_)));
    if let Some(other) = filters.into_iter().next() {
        sheet.note_place("filter", &other.place.child("filter"));
        return yes("a filter is given");
    }
    match &basin.filter {
        Shown::None(place) => no(
            "fish are fed, and no bed and no other filter takes up what they give off",
            place,
        ),
        _ => Err(missing(basin.place.child("filter"))),
    }
}
