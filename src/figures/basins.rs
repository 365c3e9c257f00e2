//! Basins at rest: volumes, depths, freeboard at still water, the order of their levels, fish.

use crate::{
    hydraulics::storage::{self, Storages},
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, greatest, missing, quantity, verdict, yes},
    plan::{Basin, BasinKind, Given, Layer, Level, Plan, Shown},
    quantity::{Kind, agree},
    read::Place,
};

pub(super) static STILL_VOLUME: Definition = Definition::quantity(
    Scope::Basins,
    "still-volume",
    "water at still level",
    Kind::Volume,
)
.by(
    "the integral of the area of water from floor to still level; stone and modules count by their voids",
    "V = ∫ n(z)·A(z) dz, z_floor to z_still",
);
pub(super) static DEEPEST_WATER: Definition =
    Definition::quantity(Scope::Basins, "deepest-water", "deepest water", Kind::Length)
        .by("still level less floor level", "d = z_still − z_floor");
static OPEN_WATER_DEPTH: Definition = Definition::quantity(
    Scope::Basins,
    "open-water-depth",
    "deepest open water",
    Kind::Length,
)
.by(
    "deepest water less what lies under it up to the top of the highest stone, the void modules below that \
         stone included; modules with no stone over them count as open water",
    "d_open = max(0, d − Σt)",
);
static FREEBOARD_STILL: Definition = Definition::quantity(
    Scope::Basins,
    "freeboard-still",
    "freeboard at still water",
    Kind::Length,
)
.by("rim level less still level", "F = z_rim − z_still");
static STATED_VOLUME_AGREEMENT: Definition = Definition::quantity(
    Scope::Basins,
    "stated-volume-agreement",
    "stated volume compared with computed volume",
    Kind::Share,
)
.by(
    "stated volume divided by computed volume, less one",
    "Δ = V_stated / V − 1",
)
.comparing("{V_stated} stated, {V} computed");
static LEVELS_IN_ORDER: Definition =
    Definition::verdict(Scope::Basins, "levels-in-order", "levels in order").by("floor below still below rim, or at still where its water runs out at the floor; contours rising; a pump’s intake between floor and still; the still level of a \
    spilling basin within 1/2 in (13 mm) of its lowest crest", "z_floor < z_still < z_rim");
static FISH_LOAD: Definition = Definition::quantity(
    Scope::Basins,
    "fish-load",
    "adult fish per volume",
    Kind::Stocking,
)
.by(
    "number of fish times the adult mass of one, divided by the water at still level",
    "ρ_fish = N·m / V",
);
static DEEPEST_WATER_ANYWHERE: Definition = Definition::quantity(
    Scope::Plan,
    "deepest-water-anywhere",
    "deepest open water of the plan",
    Kind::Length,
)
.by(
    "the most open water of any basin; one over 24 in (0.6 m) decides, else that of every basin has to be known",
    "d_max",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &STILL_VOLUME,
    &DEEPEST_WATER,
    &OPEN_WATER_DEPTH,
    &FREEBOARD_STILL,
    &STATED_VOLUME_AGREEMENT,
    &LEVELS_IN_ORDER,
    &FISH_LOAD,
    &DEEPEST_WATER_ANYWHERE,
];

/// The still level of a spilling basin may stand this far from its lowest crest, m: half an inch.
const CREST_AGREEMENT: f64 = 0.0127;
/// Open water deeper than this asks for a barrier, m: 24 in.
const DEEP: f64 = 24.0 * 0.0254;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&STILL_VOLUME, at, |sheet| {
            let still = sheet.given("z_still", &basin.still, at, "still")?;
            let vessel = storage::of(vessels, id)?;
            sheet.share(&vessel.inputs);
            quantity(vessel.storage.volume(still))
        });
        ledger.enter(&DEEPEST_WATER, at, |sheet| {
            let still = sheet.given("z_still", &basin.still, at, "still")?;
            quantity(still - floor(sheet, basin)?)
        });
        ledger.enter(&OPEN_WATER_DEPTH, at, |sheet| open_water_depth(sheet, basin));
        ledger.enter(&FREEBOARD_STILL, at, |sheet| {
            let rim = sheet.given("z_rim", &basin.rim, at, "rim")?;
            quantity(rim - sheet.given("z_still", &basin.still, at, "still")?)
        });
        if matches!(basin.stated_volume, Shown::Is(_)) {
            ledger.enter(&STATED_VOLUME_AGREEMENT, at, |sheet| {
                let stated = sheet.given("V_stated", &basin.stated_volume, at, "stated_volume")?;
                quantity(stated / sheet.figure("V", &STILL_VOLUME, at)? - 1.0)
            });
        }
        ledger.enter(&LEVELS_IN_ORDER, at, |sheet| {
            levels_in_order(sheet, plan, id, basin)
        });
        if let Shown::Is(fish) = &basin.fish {
            ledger.enter(&FISH_LOAD, at, |sheet| {
                let count = fish
                    .count
                    .given()
                    .ok_or_else(|| missing(fish.place.child("count")))?;
                sheet.note_value("N", f64::from(count.value), Kind::Ratio, &count.place);
                let mass = sheet.given("m", &fish.adult_mass, &fish.place, "adult_mass")?;
                quantity(f64::from(count.value) * mass / sheet.figure("V", &STILL_VOLUME, at)?)
            });
        }
    }
    ledger.enter(&DEEPEST_WATER_ANYWHERE, &Place::root(), |sheet| {
        deepest_anywhere(sheet, plan)
    });
}

/// Water over the fill of a basin; none in a reservoir under a cover that a child can't lift. Stone with an area of its own leaves open water beside it.
fn open_water_depth(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let depth = sheet.figure("d", &DEEPEST_WATER, &basin.place)?;
    if let (Some(BasinKind::Reservoir), Shown::Is(cover)) = (basin.kind.value(), &basin.covers) {
        sheet.note_place("covers", &cover.place);
        return quantity(0.0);
    }
    if basin.layers.is_empty() && basin.kind.value() == Some(&BasinKind::Bed) {
        return Err(missing(basin.place.child("layers")));
    }
    let layers: Vec<&Given<Layer>> = basin.layers.values().collect();
    if let Some(layer) = layers.iter().find(|layer| layer.fill.value().is_none()) {
        return Err(missing(layer.place.child("fill")));
    }
    let covers = |layer: &&Given<Layer>| layer.is_stone() && !matches!(layer.area, Shown::Is(_));
    let filled = layers.iter().rposition(covers).map_or(0, |top| top + 1);
    if filled == 0 {
        sheet.worked("t", 0.0, Kind::Length);
    }
    let mut open = depth;
    for layer in layers.iter().take(filled) {
        open -= sheet.given("t", &layer.thickness, &layer.place, "thickness")?;
    }
    quantity(open.max(0.0))
}

fn deepest_anywhere(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let depths: Vec<_> = plan
        .basins
        .values()
        .map(|basin| sheet.aside(|sheet| sheet.figure("d_max", &OPEN_WATER_DEPTH, &basin.place)))
        .collect();
    let deep = |depth| depth > DEEP && !agree(depth, DEEP);
    let left_out = || missing(Place::root().child("basins"));
    quantity(greatest(sheet, depths, deep)?.ok_or_else(left_out)?)
}

/// The floor as given, or as the shape's depth below the rim.
fn floor(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Result<f64, Gap> {
    if let (Shown::NotShown, Shown::NotShown, Some(shape)) =
        (&basin.floor, &basin.contours, basin.shape.given())
        && let Shown::Is(depth) = &shape.depth
    {
        sheet.note_given("d", depth);
        return Ok(sheet.given("z_rim", &basin.rim, &basin.place, "rim")? - depth.value.0);
    }
    if let (Shown::NotShown, Some(contours)) = (&basin.floor, basin.contours.given())
        && let Some(lowest) = contours.first().and_then(|contour| contour.level.given())
    {
        sheet.note_given("z_floor", lowest);
        return Ok(lowest.value.0);
    }
    sheet.given("z_floor", &basin.floor, &basin.place, "floor")
}

/// Whether a crest or the mouth of a gravity line lies at a level of a basin, as that of a paving that stands dry once the
/// pump stops.
fn leaves_at(plan: &Plan, id: &str, level: f64) -> bool {
    let from = |basin: &Shown<String>| basin.value().is_some_and(|from| from == id);
    let crests = plan.falls.values().filter(|fall| from(&fall.from));
    let crests = crests.filter_map(|fall| fall.crest.value());
    let drains = plan.drains.values().filter(|drain| from(&drain.from));
    let mouths = drains.filter_map(|drain| drain.mouth.value()?.level.value());
    crests.chain(mouths).any(|lip| agree(lip.0, level))
}

/// Levels that can be built: each pair that is shown is compared.
fn levels_in_order(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let floor = floor(sheet, basin)?;
    let failing = |because: &str, at: Place| verdict(false, because, Some(at));
    let not_above = |upper: f64, lower: f64| upper <= lower || agree(upper, lower);
    let runs_dry = agree(still, floor) && leaves_at(plan, id, floor);
    if not_above(still, floor) && !runs_dry {
        return failing(
            "the still level is not above the floor",
            basin.place.child("still"),
        );
    }
    if not_above(rim, still) {
        return failing("the rim is not above the still level", basin.place.child("rim"));
    }
    if let Shown::Is(contours) = &basin.contours {
        let level = |index: usize| contours.get(index)?.level.value().map(|level| level.0);
        let not_above_last = |i: usize| {
            level(i)
                .zip(level(i - 1))
                .is_some_and(|(upper, lower)| not_above(upper, lower))
        };
        let falls = (1..contours.len()).find(|&i| not_above_last(i));
        if let Some(index) = falls {
            return failing(
                "a contour does not lie above the one before it",
                contours.place.child(&index.to_string()),
            );
        }
    }
    for pump in plan
        .pumps
        .values()
        .filter(|pump| pump.basin.value().is_some_and(|basin| basin == id))
    {
        if let Shown::Is(intake) = &pump.intake {
            sheet.note_given("z_intake", intake);
            if intake.value.0 <= floor || intake.value.0 >= still {
                return failing(
                    "the pump’s intake does not lie between floor and still level",
                    intake.place.clone(),
                );
            }
        }
    }
    let crests = plan
        .falls
        .values()
        .filter(|fall| fall.from.value().is_some_and(|from| from == id));
    let crests = crests.filter_map(|fall| fall.crest.given());
    let lowest = crests.min_by(|a, b| a.value.0.total_cmp(&b.value.0));
    if let Some(Given {
        value: Level(crest),
        place,
    }) = lowest
    {
        sheet.note_given(
            "z_crest",
            &Given {
                value: Level(*crest),
                place: place.clone(),
            },
        );
        if (still - crest).abs() > CREST_AGREEMENT {
            return failing(
                "the still level is not at the lowest crest within 1/2 in (13 mm)",
                place.clone(),
            );
        }
    }
    yes("all levels shown are in order")
}
