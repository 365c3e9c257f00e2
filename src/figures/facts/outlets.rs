//! Outlets through which a basin is sucked down, and what keeps a body off them.

use super::parts::{Measured, all, any, given};
use crate::{
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, at_least, does_not_apply, missing, not, yes},
    plan::{Basin, Given, Length, Mount, MouthForm, Plan, Shown, connections::pumps_in},
    quantity::FOOT,
    read::Place,
};

static HAS_SUCTION_OUTLET: Definition = Definition::verdict(
    Scope::Basins,
    "has-suction-outlet",
    "suction outlet that can trap a bather",
)
.by(
    "it has a bottom drain, a gravity line leaves it by one or by a wall pipe or standpipe without a cover, or a dry pump draws from it through a suction line",
    "",
);
static SUCTION_OUTLET_SAFE: Definition = Definition::verdict(
    Scope::Basins,
    "suction-outlet-safe",
    "suction outlet with a cover and a second outlet",
)
.by(
    "at every such outlet a cover is given, and a second outlet 3 ft (0.9 m) or more away",
    "",
);
pub(super) static DEFINITIONS: &[&Definition] = &[&HAS_SUCTION_OUTLET, &SUCTION_OUTLET_SAFE];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, id: &str, basin: &Given<Basin>) {
    let at = &basin.place;
    ledger.enter(&HAS_SUCTION_OUTLET, at, |sheet| {
        any(ways_out(plan, id, basin).map(|way| has_outlet(sheet, &way)))
    });
    ledger.enter(&SUCTION_OUTLET_SAFE, at, |sheet| {
        outlets_safe(sheet, plan, id, basin)
    });
}

/// A way by which a basin may be sucked down.
struct WayOut<'a> {
    /// Whether it takes the water at an outlet under water; else what is left out that would tell.
    suction: Result<bool, Place>,
    /// Where the plan gives it.
    place: &'a Place,
    cover: &'a Shown<String>,
    second_outlet: &'a Shown<Length>,
    /// Whether it is the drain in the basin's floor.
    is_floor_drain: bool,
}

static NOTHING: Shown<String> = Shown::NotShown;
static NOWHERE: Shown<Length> = Shown::NotShown;

/// The drain in the floor, every gravity line that leaves, and every pump that draws from the basin.
fn ways_out<'a>(plan: &'a Plan, id: &'a str, basin: &'a Given<Basin>) -> impl Iterator<Item = WayOut<'a>> {
    let floor = floor_drain(basin);
    let drains = plan
        .drains
        .values()
        .filter(move |drain| drain.from.value().is_some_and(|from| from == id));
    let drains = drains.map(|drain| {
        let form = drain.place.child("mouth").child("form");
        let mouth = drain.mouth.given();
        let suction = match mouth.map(|mouth| &mouth.form) {
            Some(Shown::Is(form)) => Ok(match form.value {
                MouthForm::BottomDrain => true,
                // A pipe that is said to be open takes in a hand or a foot; one with a grate is no suction drain.
                MouthForm::WallPipe | MouthForm::Standpipe => {
                    mouth.is_some_and(|mouth| matches!(mouth.cover, Shown::None(_)))
                }
                MouthForm::Skimmer => false,
            }),
            Some(Shown::None(_)) => Ok(false),
            Some(Shown::NotShown) | None => Err(form),
        };
        WayOut {
            suction,
            place: mouth.map_or(&drain.place, |mouth| &mouth.place),
            cover: mouth.map_or(&NOTHING, |mouth| &mouth.cover),
            second_outlet: mouth.map_or(&NOWHERE, |mouth| &mouth.second_outlet),
            is_floor_drain: false,
        }
    });
    let pumps = pumps_in(plan, id).filter(move |pump| pump.draws_from(id));
    let pumps = pumps.map(|pump| WayOut {
        suction: match (&pump.suction, pump.mount.value()) {
            (Shown::Is(_), _) | (_, Some(Mount::Dry)) => Ok(true),
            (_, Some(Mount::Submerged)) => Ok(false),
            (_, None) => Err(pump.place.child("mount")),
        },
        place: &pump.place,
        cover: &pump.cover,
        second_outlet: &pump.second_outlet,
        is_floor_drain: false,
    });
    std::iter::once(floor).chain(drains).chain(pumps)
}

fn floor_drain(basin: &Given<Basin>) -> WayOut<'_> {
    let drain = basin.bottom_drain.given();
    WayOut {
        suction: match &basin.bottom_drain {
            Shown::Is(_) => Ok(true),
            Shown::None(_) => Ok(false),
            Shown::NotShown => Err(basin.place.child("bottom_drain")),
        },
        place: drain.map_or(&basin.place, |drain| &drain.place),
        cover: drain.map_or(&NOTHING, |drain| &drain.cover),
        second_outlet: drain.map_or(&NOWHERE, |drain| &drain.second_outlet),
        is_floor_drain: true,
    }
}

fn has_outlet(sheet: &mut Worksheet<'_>, way: &WayOut<'_>) -> Answer {
    match &way.suction {
        Ok(true) => {
            sheet.note_place("outlet", way.place);
            yes("its outlet can trap a bather")
        }
        Ok(false) => not("no outlet lies under water"),
        Err(place) => Err(missing(place.clone())),
    }
}

/// Where the drain in the floor is shown, it is what a line or a pump that shows no outlet of its own draws through.
fn outlets_safe(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    if basin.bathing.yes() == Some(false) {
        return Err(does_not_apply("nobody is meant to bathe or wade in it"));
    }
    let floor = matches!(basin.bottom_drain, Shown::Is(_));
    let mut outlets = Vec::new();
    for way in ways_out(plan, id, basin).filter(|way| way.is_floor_drain || !floor || shows_outlet(way)) {
        match &way.suction {
            Ok(true) => outlets.push(outlet_safe(sheet, &way)),
            Ok(false) => {}
            Err(place) => outlets.push(Err(missing(place.clone()))),
        }
    }
    if outlets.is_empty() {
        return Err(does_not_apply("it has no outlet under water"));
    }
    all("covered, with a second outlet", outlets)
}

fn shows_outlet(way: &WayOut<'_>) -> bool {
    !matches!((way.cover, way.second_outlet), (Shown::NotShown, Shown::NotShown))
}

fn outlet_safe(sheet: &mut Worksheet<'_>, outlet: &WayOut<'_>) -> Answer {
    let at = outlet.place;
    let covered = given(sheet, outlet.cover, at, "cover", "the outlet has no cover");
    let second = Measured {
        symbol: "d",
        value: outlet.second_outlet,
        object: at,
        field: "second_outlet",
    };
    let second = second.passes(
        sheet,
        |d| at_least(d, 3.0 * FOOT),
        "no second outlet lies 3 ft (0.9 m) or more away",
    );
    all("covered, with a second outlet", [covered, second])
}
