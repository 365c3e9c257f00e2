//! Precautions that rest on several values: spray in public, leaves, escape, lime, boulders, entry, noise.

use super::{
    fish::only_for_fish,
    parts::{any, given, part, said},
};
use crate::{
    figures::pumping::runs::RUN_VELOCITY,
    formulas::water::STANDARD_GRAVITY,
    ledger::{
        Answer, Definition, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing, not,
        quantity, yes,
    },
    plan::{Basin, BasinKind, ConstructionKind, DischargeForm, Given, MouthForm, Plan, PlannedUse, Shown},
    quantity::{FOOT, INCH, Kind},
    read::Place,
};

static WATER_SPRAYS: Definition =
    Definition::verdict(Scope::Plan, "water-sprays", "water that breaks into spray").by(
        "a fall drops 12 in (300 mm) or more, or a line ends in the air: that far above the still water below, or with that \
         much head spent in a nozzle, which the extra loss of its last run tells",
        "d ≥ 12 in (300 mm)",
    );
static PLAY_WATER_TREATED: Definition = Definition::verdict(
    Scope::Plan,
    "play-water-treated",
    "water that children or the public bathe or play in is treated or looked after",
)
.by(
    "where it is pumped round, and people bathe in it in public or children are cared for: a bed of stone, a filter or a \
     lamp treats it, or a water management plan says who tests it",
    "",
);
static LEAVES_CAUGHT: Definition =
    Definition::verdict(Scope::Plan, "leaves-caught", "leaf capture under trees").by(
        "where a tree stands nearer to a dig than twice the radius of its crown: a skimmer, or what upkeep does about leaves",
        "",
    );
static ESCAPE_STOPPED: Definition = Definition::verdict(
    Scope::Basins,
    "escape-stopped",
    "overflow screened against escape",
)
.by(
    "where fish are kept and the overflow reaches a stream, lake or ditch: a screen is given",
    "",
);
static LIME_CURED: Definition =
    Definition::verdict(Scope::Basins, "lime-cured", "lime of new concrete cured before fish").by(
        "where fish are kept and a concrete shell without a sheet holds the water: how its lime is cured or sealed is given",
        "",
    );
static BOULDER_PADDED: Definition =
    Definition::verdict(Scope::Basins, "boulder-padded", "pad under boulders of a ton").by(
        "where a boulder of 2,000 lb (900 kg) or more stands on the lining: what spreads its load is given",
        "",
    );
static ENTRY_PLANNED: Definition =
    Definition::verdict(Scope::Basins, "entry-planned", "rule for entering a well or vault").by(
        "where a well of 18 in (450 mm) bore or an open reservoir is 4 ft (1.2 m) deep or more: how entry is kept off or made \
         safe is given",
        "",
    );
static BEDROOM_DISTANCE: Definition = Definition::quantity(
    Scope::Plan,
    "bedroom-distance",
    "distance from fall or pump to the nearest bedroom",
    Kind::Length,
)
.by("as given; not judged where none is near", "d");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &WATER_SPRAYS,
    &PLAY_WATER_TREATED,
    &LEAVES_CAUGHT,
    &ESCAPE_STOPPED,
    &LIME_CURED,
    &BOULDER_PADDED,
    &ENTRY_PLANNED,
    &BEDROOM_DISTANCE,
];

/// A drop from which water breaks into droplets, m.
const SPRAY_DROP: f64 = 0.3;
/// A boulder whose load has to be spread, kg: 2,000 lb.
const HEAVY_BOULDER: f64 = 900.0;
/// The bore of a shaft that a person fits into, m.
const ENTERABLE: f64 = 0.45;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    ledger.enter(&PLAY_WATER_TREATED, &root, |sheet| {
        play_water_treated(sheet, plan)
    });
    ledger.enter(&WATER_SPRAYS, &root, |sheet| water_sprays(sheet, plan));
    ledger.enter(&LEAVES_CAUGHT, &root, |sheet| leaves_caught(sheet, plan));
    ledger.enter(&BEDROOM_DISTANCE, &root, |sheet| {
        let site = part(&plan.site, &Place::root(), "site").ok();
        let site = site.filter(|site| matches!(site.bedroom_distance, Shown::Is(_)));
        let site = site.ok_or_else(|| does_not_apply("no bedroom is shown to be near"))?;
        quantity(sheet.given("d", &site.bedroom_distance, &site.place, "bedroom_distance")?)
    });
    for basin in plan.basins.values() {
        let at = &basin.place;
        ledger.enter(&ESCAPE_STOPPED, at, |sheet| escape_stopped(sheet, basin));
        ledger.enter(&LIME_CURED, at, |sheet| lime_cured(sheet, basin));
        ledger.enter(&BOULDER_PADDED, at, |sheet| boulder_padded(sheet, basin));
        ledger.enter(&ENTRY_PLANNED, at, |sheet| entry_planned(sheet, plan, basin));
    }
}

/// A drop that is not shown is asked for by other rules.
fn play_water_treated(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let root = Place::root();
    let site = part(&plan.site, &root, "site")?;
    let used = part(&site.planned_use, &site.place, "planned_use")?;
    sheet.note_place("planned_use", &used.place);
    let bathed = plan
        .basins
        .values()
        .any(|basin| basin.bathing.yes() == Some(true));
    let applies = match used.value {
        PlannedUse::Private => false,
        PlannedUse::Public => bathed,
        PlannedUse::ChildCare => true,
    };
    if !applies || plan.pumps.is_empty() {
        return Err(does_not_apply(
            "no water that the public or children play in is pumped round",
        ));
    }
    let bed =
        |basin: &&Given<Basin>| basin.kind.value() == Some(&BasinKind::Bed) || basin.filter.given().is_some();
    if let Some(basin) = plan.basins.values().find(bed) {
        sheet.note_place("filter", &basin.place);
        return yes("a bed or a filter treats it");
    }
    if let Some(line) = plan.lines.values().find(|line| line.uv.given().is_some()) {
        sheet.note_place("uv", &line.place.child("uv"));
        return yes("a lamp treats it");
    }
    let upkeep = part(&plan.upkeep, &root, "upkeep")?;
    given(
        sheet,
        &upkeep.water_management,
        &upkeep.place,
        "water_management",
        "nothing filters or disinfects the water that children or the public play in, and nobody is named who tests it",
    )
}

fn water_sprays(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    for fall in plan.falls.values() {
        let below = fall.to.value().and_then(|to| plan.basins.get(to));
        let still = below.and_then(|basin| Some((basin, basin.still.value()?.0)));
        if let (Some(crest), Some((basin, still))) = (fall.crest.value(), still)
            && at_least(crest.0 - still, SPRAY_DROP)
        {
            sheet.note_place("crest", &fall.place.child("crest"));
            sheet.note_place("still", &basin.place.child("still"));
            return yes("a fall breaks into spray");
        }
    }
    for run in plan.lines.values().flat_map(|line| line.runs.values()) {
        let Some(discharge) = run.discharge.given() else {
            continue;
        };
        let free = discharge.form.value() == Some(&DischargeForm::Free);
        let below = run.to.value().and_then(|to| plan.basins.get(to));
        let still = below.and_then(|basin| basin.still.value());
        if let (true, Some(level), Some(still)) = (free, discharge.level.value(), still)
            && at_least(level.0 - still.0, SPRAY_DROP)
        {
            sheet.note_place("discharge", &discharge.place);
            return yes("a spout breaks into spray");
        }
        if let (true, Some(extra)) = (free, run.extra_k.given()) {
            let (velocity, inputs) = sheet.aside(|sheet| sheet.figure("v", &RUN_VELOCITY, &run.place));
            if velocity.is_ok_and(|v| at_least(extra.value * v * v / (2.0 * STANDARD_GRAVITY), SPRAY_DROP)) {
                sheet.take(&inputs);
                sheet.note_place("extra_k", &extra.place);
                return yes("a nozzle throws the water up");
            }
        }
    }
    not("no water falls far enough to spray")
}

fn leaves_caught(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let mut near = plan.excavations.values().filter_map(|dig| {
        let tree = dig.tree.given()?;
        let (distance, crown) = (tree.distance.value()?, tree.crown_radius.value()?);
        (distance.0 < 2.0 * crown.0).then_some(tree)
    });
    let Some(tree) = near.next() else {
        return Err(does_not_apply("no tree is shown to stand near"));
    };
    sheet.note_place("tree", &tree.place);
    let skims = |basin: &Given<Basin>| basin.skimmer.given().is_some();
    let mouths = plan.drains.values().filter_map(|drain| drain.mouth.given());
    let mut forms = mouths.filter_map(|mouth| mouth.form.value());
    if plan.basins.values().any(skims) || forms.any(|form| *form == MouthForm::Skimmer) {
        return yes("a skimmer takes leaves off the surface");
    }
    let root = Place::root();
    let upkeep = part(&plan.upkeep, &root, "upkeep")?;
    given(
        sheet,
        &upkeep.leaves,
        &upkeep.place,
        "leaves",
        "trees stand near, and nothing keeps leaves out",
    )
}

/// Words for waters that fish and plants may live on in, in the text of an outfall.
const WATERS: [&str; 9] = [
    "stream", "brook", "river", "creek", "lake", "race", "ditch", "canal", "pond",
];

/// Only a plan whose outfall sounds like open water is asked where the surplus ends.
fn escape_stopped(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let overflow = part(&basin.overflow, &basin.place, "overflow")
        .map_err(|_| does_not_apply("no overflow is shown"))?;
    only_for_fish(sheet)?;
    let at = &overflow.place;
    match overflow.into_stream.yes() {
        Some(true) => {}
        Some(false) => return Err(does_not_apply("the surplus reaches no open water")),
        None => {
            let outfall = overflow
                .outfall
                .value()
                .map(|text| text.to_lowercase())
                .unwrap_or_default();
            let mut words = outfall.split(|c: char| !c.is_alphabetic());
            return Err(if words.any(|word| WATERS.contains(&word)) {
                missing(at.child("into_stream"))
            } else {
                does_not_apply("the surplus is not said to reach open water")
            });
        }
    }
    sheet.note_place("into_stream", &at.child("into_stream"));
    said(
        sheet,
        &overflow.screened,
        at,
        "screened",
        "nothing keeps fish and plants from leaving with the overflow",
    )
}

fn lime_cured(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let concrete = basin.construction.given();
    let concrete = concrete.filter(|shell| shell.kind.value() == Some(&ConstructionKind::ConcreteShell));
    let shell = concrete.ok_or_else(|| does_not_apply("it is no concrete shell"))?;
    if matches!(basin.lining, Shown::Is(_)) {
        return Err(does_not_apply("a sheet keeps the water off the concrete"));
    }
    only_for_fish(sheet)?;
    given(
        sheet,
        &shell.cured,
        &shell.place,
        "cured",
        "fresh lime reaches the fish",
    )
}

fn boulder_padded(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let light = || does_not_apply("no boulder of a ton is shown on the lining");
    let lining = basin.lining.given().ok_or_else(light)?;
    let mass = lining.boulder_mass.value().ok_or_else(light)?;
    if !at_least(mass.0, HEAVY_BOULDER) {
        return Err(light());
    }
    let at = &lining.place;
    sheet.given("M", &lining.boulder_mass, at, "boulder_mass")?;
    given(
        sheet,
        &lining.boulder_pad,
        at,
        "boulder_pad",
        "nothing spreads the load of a boulder of a ton or more",
    )
}

fn entry_planned(sheet: &mut Worksheet<'_>, plan: &Plan, basin: &Given<Basin>) -> Answer {
    let none = || does_not_apply("nothing that a person fits into is 4 ft (1.2 m) deep");
    let rim = basin.rim.value().ok_or_else(none)?;
    let well = basin.clean_out_well.given();
    let well = well.filter(|well| well.bore.value().is_some_and(|bore| at_least(bore.0, ENTERABLE)));
    let well_floor = well.and_then(|well| well.floor.value());
    let open = basin.kind.value() == Some(&BasinKind::Reservoir) && basin.layers.is_empty();
    let floor = well_floor
        .or_else(|| basin.floor.value().filter(|_| open))
        .ok_or_else(none)?;
    if at_most(rim.0 - floor.0, 4.0 * FOOT - 0.5 * INCH) {
        return Err(none());
    }
    sheet.note_place("rim", &basin.place.child("rim"));
    let root = Place::root();
    let upkeep = part(&plan.upkeep, &root, "upkeep")?;
    any([given(
        sheet,
        &upkeep.vault_entry,
        &upkeep.place,
        "vault_entry",
        "nothing says that nobody enters the well or vault",
    )])
}
