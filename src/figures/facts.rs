//! Yes-or-no figures over what the plan says, where a rule asks for more than one value at once.

use super::{
    definition::{Definition, Scope},
    ledger::{Answer, Found, Gap, Ledger, Sheet, quantity},
};
use crate::{
    plan::{Basin, BasinKind, Fill, Given, Line, Material, Plan, Pump, Shown},
    quantity::Kind,
    read::Place,
};

static BARRIER_OR_WAIVER: Definition = Definition::verdict(
    Scope::Plan,
    "barrier-or-waiver",
    "barrier, or the authority's word that none is required",
)
.by("a barrier is given, or a record that none is required", "");
static BENCHMARK_KEPT: Definition =
    Definition::verdict(Scope::Plan, "benchmark-kept", "benchmark named and protected")
        .by("the mark is named, and how it is protected", "");
static FLUSH_PLANNED: Definition =
    Definition::verdict(Scope::Basins, "flush-planned", "flushing provided and planned")
        .by("a provision for flushing and an interval are given", "");
static HAS_MODULES: Definition =
    Definition::verdict(Scope::Basins, "has-modules", "void modules in the basin")
        .by("a layer is made of void modules", "");
static NEEDS_OVERFLOW: Definition =
    Definition::verdict(Scope::Basins, "needs-overflow", "basin that needs an overflow").by(
        "no fall leaves it and it is open to rain, or automatic make-up fills it",
        "",
    );
static MEMBRANE_THICKNESS: Definition = Definition::verdict(
    Scope::Basins,
    "membrane-thickness",
    "membrane thick enough for its material",
)
.by(
    "PVC and LLDPE 20 mil (0.5 mm), HDPE 30 mil (0.75 mm), EPDM 45 mil (1.1 mm) or more",
    "",
);
static SUBGRADE_CLEAN: Definition = Definition::verdict(
    Scope::Basins,
    "subgrade-clean",
    "subgrade raked clean and free of large stone",
)
.by(
    "raked clean; the largest stone left 3/4 in (19 mm) with an underlay, 3/8 in (10 mm) without",
    "",
);
static IN_BED: Definition =
    Definition::verdict(Scope::Layers, "in-bed", "layer of a bed").by("its basin is a bed", "");
static LEAST_COVER: Definition = Definition::quantity(
    Scope::Pumps,
    "least-cover",
    "least water over the intake",
    Kind::Length,
)
.by("the maker's least submergence, else 2 in (50 mm)", "s_min");
static SCREEN_VELOCITY_ALLOWED: Definition = Definition::quantity(
    Scope::Pumps,
    "screen-velocity-allowed",
    "velocity that fish can stand at a screen",
    Kind::Velocity,
)
.by(
    "0.5 ft/s (0.15 m/s); 0.2 ft/s (0.06 m/s) where fry are kept",
    "v_max",
);
static CARRIES_UNSCREENED: Definition = Definition::verdict(
    Scope::Runs,
    "carries-unscreened",
    "run that carries unscreened water",
)
.by("its line does", "");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &BARRIER_OR_WAIVER,
    &BENCHMARK_KEPT,
    &FLUSH_PLANNED,
    &HAS_MODULES,
    &NEEDS_OVERFLOW,
    &MEMBRANE_THICKNESS,
    &SUBGRADE_CLEAN,
    &IN_BED,
    &LEAST_COVER,
    &SCREEN_VELOCITY_ALLOWED,
    &CARRIES_UNSCREENED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    let root = Place::root();
    ledger.enter(&BARRIER_OR_WAIVER, &root, |_| barrier_or_waiver(plan));
    ledger.enter(&BENCHMARK_KEPT, &root, |_| benchmark_kept(plan));
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&NEEDS_OVERFLOW, at, |_| needs_overflow(plan, id, basin));
        ledger.enter(&HAS_MODULES, at, |_| has_modules(basin));
        if basin.kind.value() == Some(&BasinKind::Bed) {
            ledger.enter(&FLUSH_PLANNED, at, |_| flush_planned(plan, basin));
        }
        ledger.enter(&MEMBRANE_THICKNESS, at, |sheet| membrane_thickness(sheet, basin));
        ledger.enter(&SUBGRADE_CLEAN, at, |sheet| subgrade_clean(sheet, basin));
        for layer in basin.layers.values() {
            ledger.enter(&IN_BED, &layer.place, |_| {
                Ok(yes_or_no(
                    basin.kind.value() == Some(&BasinKind::Bed),
                    "it lies in a bed",
                    "it lies in no bed",
                ))
            });
        }
    }
    for pump in plan.pumps.values() {
        ledger.enter(&LEAST_COVER, &pump.place, |sheet| match &pump.least_submergence {
            Shown::Is(least) => {
                sheet.note_given("s_min", least);
                quantity(least.value.0)
            }
            _ => quantity(sheet.assumed(
                "s_min",
                0.0508,
                Kind::Length,
                "2 in (50 mm) of water over an intake whose maker's minimum is not shown (common practice)",
            )),
        });
        ledger.enter(&SCREEN_VELOCITY_ALLOWED, &pump.place, |_| {
            screen_velocity_allowed(plan, pump)
        });
    }
    for line in plan.lines.values() {
        for run in line.runs.values() {
            ledger.enter(&CARRIES_UNSCREENED, &run.place, |_| carries_unscreened(line));
        }
    }
}

fn yes_or_no(holds: bool, yes: &str, no: &str) -> Found {
    Found::Verdict {
        holds,
        because: if holds { yes } else { no }.to_owned(),
        at: None,
    }
}

fn no(because: &str, at: Place) -> Answer {
    Ok(Found::Verdict {
        holds: false,
        because: because.to_owned(),
        at: Some(at),
    })
}

/// A value that must be given: said to be none it fails at its place, left out it is asked for.
fn required<T>(value: &Shown<T>, missing: Place, none: &str) -> Result<Option<Answer>, Gap> {
    match value {
        Shown::Is(_) => Ok(None),
        Shown::None(place) => Ok(Some(no(none, place.clone()))),
        Shown::NotShown => Err(Gap::NotShown(vec![missing])),
    }
}

fn barrier_or_waiver(plan: &Plan) -> Answer {
    let at = Place::from_pointer("/site/barrier");
    let site = plan.site.value();
    match (
        site.map(|site| &site.barrier),
        site.map(|site| &site.barrier_not_required),
    ) {
        (Some(Shown::Is(_)), _) => Ok(yes_or_no(true, "a barrier is given", "")),
        (_, Some(Shown::Is(_))) => Ok(yes_or_no(
            true,
            "the authority's word that none is required is on record",
            "",
        )),
        (Some(Shown::None(place)), _) => no(
            "there is no barrier, and no record that none is required",
            place.clone(),
        ),
        _ => Err(Gap::NotShown(vec![at])),
    }
}

fn benchmark_kept(plan: &Plan) -> Answer {
    let at = Place::from_pointer("/benchmark");
    let benchmark = plan
        .benchmark
        .value()
        .ok_or_else(|| Gap::NotShown(vec![at.clone()]))?;
    if matches!(benchmark.mark, Shown::NotShown) {
        return Err(Gap::NotShown(vec![at.child("mark")]));
    }
    match required(
        &benchmark.protected,
        at.child("protected"),
        "the mark is not protected",
    )? {
        Some(fails) => fails,
        None => Ok(yes_or_no(true, "named and protected", "")),
    }
}

fn flush_planned(plan: &Plan, basin: &Given<Basin>) -> Answer {
    if let Some(fails) = required(
        &basin.flush,
        basin.place.child("flush"),
        "there is no provision for flushing",
    )? {
        return fails;
    }
    let interval = plan.upkeep.value().map(|upkeep| &upkeep.flush_interval);
    let missing = Place::from_pointer("/upkeep/flush_interval");
    let interval = interval.ok_or_else(|| Gap::NotShown(vec![missing.clone()]))?;
    match required(interval, missing, "no interval is planned")? {
        Some(fails) => fails,
        None => Ok(yes_or_no(true, "provision and interval are given", "")),
    }
}

fn has_modules(basin: &Given<Basin>) -> Answer {
    if basin.layers.is_empty() && basin.kind.value() == Some(&BasinKind::Bed) {
        return Err(Gap::NotShown(vec![basin.place.child("layers")]));
    }
    let modules = basin
        .layers
        .values()
        .any(|layer| layer.fill.value() == Some(&Fill::Modules));
    Ok(yes_or_no(
        modules,
        "it holds void modules",
        "it holds no void modules",
    ))
}

fn needs_overflow(plan: &Plan, id: &String, basin: &Given<Basin>) -> Answer {
    let make_up = plan.water.value().and_then(|water| water.make_up.value());
    let filled = make_up.is_some_and(|m| m.basin.value() == Some(id) && m.automatic.yes() == Some(true));
    let spills = plan.falls.values().any(|fall| fall.from.value() == Some(id));
    match (filled, spills, basin.open_to_rain.yes()) {
        (true, ..) => Ok(yes_or_no(true, "automatic make-up fills it", "")),
        (_, true, _) => Ok(yes_or_no(false, "", "a fall leaves it")),
        (_, _, Some(open)) => Ok(yes_or_no(
            open,
            "the lowest basin, open to rain",
            "no rain reaches it",
        )),
        (_, _, None) => Err(Gap::NotShown(vec![basin.place.child("open_to_rain")])),
    }
}

/// Least thickness by material, m.
const fn least_thickness(material: Material) -> Option<(f64, &'static str)> {
    match material {
        Material::Pvc | Material::Lldpe => Some((0.508e-3, "20 mil (0.5 mm)")),
        Material::Hdpe => Some((0.762e-3, "30 mil (0.75 mm)")),
        Material::Epdm => Some((1.1e-3, "45 mil (1.1 mm)")),
        Material::Rpe | Material::Butyl => None,
    }
}

fn membrane_thickness(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = match &basin.lining {
        Shown::Is(lining) => lining,
        Shown::None(_) => return Err(Gap::DoesNotApply("it has no lining".to_owned())),
        Shown::NotShown => return Err(Gap::NotShown(vec![basin.place.child("lining")])),
    };
    let missing = lining.place.child("membrane");
    let membrane = lining
        .membrane
        .given()
        .ok_or_else(|| Gap::NotShown(vec![missing.clone()]))?;
    let material = membrane
        .material
        .given()
        .ok_or_else(|| Gap::NotShown(vec![missing.child("material")]))?;
    sheet.note_place("material", &material.place);
    let Some((least, words)) = least_thickness(material.value) else {
        return Err(Gap::DoesNotApply(
            "no least thickness is published for this material".to_owned(),
        ));
    };
    let thickness = sheet.given("t", &membrane.thickness, &membrane.place, "thickness")?;
    let because = format!("{words} is the least for this material");
    let at = Some(membrane.place.child("thickness"));
    Ok(Found::Verdict {
        holds: thickness >= least - 1e-9,
        because,
        at,
    })
}

fn subgrade_clean(sheet: &mut Sheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = match &basin.lining {
        Shown::Is(lining) => lining,
        Shown::None(_) => return Err(Gap::DoesNotApply("it has no lining".to_owned())),
        Shown::NotShown => return Err(Gap::NotShown(vec![basin.place.child("lining")])),
    };
    let missing = lining.place.child("subgrade");
    let subgrade = lining
        .subgrade
        .given()
        .ok_or_else(|| Gap::NotShown(vec![missing]))?;
    match subgrade.raked_clean.yes() {
        Some(false) => {
            return no(
                "the subgrade is not raked clean",
                subgrade.place.child("raked_clean"),
            );
        }
        None => return Err(Gap::NotShown(vec![subgrade.place.child("raked_clean")])),
        Some(true) => {}
    }
    let largest = sheet.given("d", &subgrade.largest_stone, &subgrade.place, "largest_stone")?;
    let (allowed, words) = match &lining.underlay {
        Shown::Is(_) => (0.75 * 0.0254, "3/4 in (19 mm) may be left under an underlay"),
        Shown::None(_) => (
            0.375 * 0.0254,
            "3/8 in (10 mm) may be left where there is no underlay",
        ),
        Shown::NotShown => return Err(Gap::NotShown(vec![lining.place.child("underlay")])),
    };
    let at = Some(subgrade.place.child("largest_stone"));
    Ok(Found::Verdict {
        holds: largest <= allowed + 1e-9,
        because: words.to_owned(),
        at,
    })
}

fn screen_velocity_allowed(plan: &Plan, pump: &Given<Pump>) -> Answer {
    let missing = || Gap::NotShown(vec![pump.place.child("basin")]);
    let basin = pump
        .basin
        .value()
        .and_then(|id| plan.basins.get(id))
        .ok_or_else(missing)?;
    let fish = match &basin.fish {
        Shown::Is(fish) => fish,
        Shown::None(_) => return Err(Gap::DoesNotApply("there are no fish at the pump".to_owned())),
        Shown::NotShown => return Err(Gap::NotShown(vec![basin.place.child("fish")])),
    };
    match fish.fry.yes() {
        Some(true) => quantity(0.2 * 0.3048),
        Some(false) => quantity(0.5 * 0.3048),
        None => Err(Gap::NotShown(vec![fish.place.child("fry")])),
    }
}

fn carries_unscreened(line: &Given<Line>) -> Answer {
    let unscreened = line
        .unscreened
        .yes()
        .ok_or_else(|| Gap::NotShown(vec![line.place.child("unscreened")]))?;
    Ok(yes_or_no(
        unscreened,
        "mud and leaves can enter it",
        "its water is screened",
    ))
}
