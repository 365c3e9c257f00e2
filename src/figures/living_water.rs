//! Living water: ammonia made and turned over, what of it harms, and oxygen on the warmest night.

use super::{beds::stone::STONE_AREA, falls::FALL_FLOW};
use crate::{
    formulas::{water, water_quality as life},
    hydraulics::{
        storage::{self, Storages},
        temperature,
    },
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, does_not_apply, missing, quantity},
    plan::{
        Basin, BasinKind, Fall, Fill, FilterKind, Fish, Given, Measure, Plan, Shown, Water,
        connections::{falls_into, falls_left_out, receiver, source_stream},
    },
    quantity::Kind,
    read::Place,
};

const TIMMONS: &str = "Timmons and Ebeling, Recirculating Aquaculture (from memory)";
/// Protein in pond feed where nobody says.
const PROTEIN: f64 = 0.40;
const PROTEIN_WHY: &str = "feed of 40 % protein where its label is not shown";
/// Oxygen that fish need at least, g/m³.
const LEAST_OXYGEN: f64 = 5.0e-3;
/// A day, s.
const DAY: f64 = 86_400.0;

static AMMONIA_MADE: Definition = Definition::quantity(
    Scope::Plan,
    "ammonia-made",
    "ammonia nitrogen made from the feed",
    Kind::MassRate,
)
.by(
    "feed of each basin times its protein times 0.092",
    "P = ΣF·PC·0.092",
)
.from(TIMMONS);
static NITRIFYING_CAPACITY: Definition = Definition::quantity(
    Scope::Plan,
    "nitrifying-capacity",
    "ammonia nitrogen that beds and filters can nitrify",
    Kind::MassRate,
)
.by(
    "surface of the stone of all beds, and of the media of other filters, times the rate at the water’s mean temperature, \
     T_mean in °C; a filter rated by its feed counts the ammonia of that feed at 40 % protein",
    "C = A·k·1.07^(T_mean − 20) + C_rated",
)
.from("rate of 0.15 g/(m²·d) at 20 °C, our default; with the ammonia below 1 mg/L (Malone and Pfeiffer 2006)")
.within("4 to 30 °C; the rate may be half or twice as much");
static NITRIFYING_SHARE: Definition = Definition::quantity(
    Scope::Plan,
    "nitrifying-share",
    "nitrification capacity as a multiple of the ammonia produced",
    Kind::Ratio,
)
.by(
    "capacity of the beds divided by the ammonia produced",
    "r = C / P",
)
.comparing("{C} nitrification capacity, {P} ammonia produced");
static ALKALINITY_USED: Definition = Definition::quantity(
    Scope::Plan,
    "alkalinity-used",
    "alkalinity used by nitrification",
    Kind::MassRate,
)
.by("7.14 times the ammonia nitrified, as CaCO₃", "A_used = 7.14·P")
.from("stoichiometry of nitrification");
static UN_IONISED: Definition = Definition::quantity(
    Scope::Plan,
    "un-ionised-ammonia",
    "un-ionized ammonia in the warmest water at the highest pH",
    Kind::Concentration,
)
.by(
    "measured total ammonia times the share that is un-ionized in the warmest water, in kelvin, at the highest pH",
    "c = TAN / (10^(0.09018 + 2729.92/T_kelvin − pH) + 1)",
)
.from("Emerson, Russo, Lund and Thurston (1975)")
.within("0 to 30 °C, pH 6 to 10, fresh water; as nitrogen");
static OXYGEN_SATURATION: Definition = Definition::quantity(
    Scope::Plan,
    "oxygen-saturation",
    "oxygen saturation of the warmest water",
    Kind::Concentration,
)
.by(
    "in balance with air at the warmest water and the altitude",
    "C_s = C_s(T, P)",
)
.from("Benson and Krause (1984)");
static OXYGEN_DEMAND: Definition = Definition::quantity(
    Scope::Basins,
    "oxygen-demand",
    "oxygen demand of fish, nitrification and decay",
    Kind::MassRate,
)
.by("1.25 times the feed", "D = 1.25·F")
.from("Boyd, oxygen demand of feed");
static OXYGEN_SUPPLY: Definition = Definition::quantity(
    Scope::Basins,
    "oxygen-supply",
    "oxygen supplied with the water at 5 mg/L",
    Kind::MassRate,
)
.by(
    "oxygen that each fall into the basin adds to water of 5 mg/L, oxygen that the surface takes up, and oxygen of diffused \
     air: 0.278 kg in a m³, 3 % of it for each metre of depth, in the measure of the deficit against 9.09 mg/L",
    "S = ΣQ·(C_s − 5)·(1 − 1/r) + 0.3 m/d·A·(C_s − 5) + 0.278 kg/m³·Q_air·0.03·d_air·(C_s − 5)/9.09",
)
.from("falls after Butts and Evans (1983), as in the SWAT+ documentation; surface: common practice")
.within("falls to 4 m over a straight lip; plants are not counted; of diffused air the double or two thirds may pass");
static OXYGEN_SHARE: Definition = Definition::quantity(
    Scope::Basins,
    "oxygen-share",
    "oxygen supplied as a multiple of the demand",
    Kind::Ratio,
)
.by("supply divided by demand on the warmest night", "r = S / D")
.comparing("{S} oxygen supplied, {D} demand");

pub(super) static DEFINITIONS: &[&Definition] = &[
    &AMMONIA_MADE,
    &NITRIFYING_CAPACITY,
    &NITRIFYING_SHARE,
    &ALKALINITY_USED,
    &UN_IONISED,
    &OXYGEN_SATURATION,
    &OXYGEN_DEMAND,
    &OXYGEN_SUPPLY,
    &OXYGEN_SHARE,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, vessels: &Storages) {
    let root = Place::root();
    ledger.enter(&AMMONIA_MADE, &root, |sheet| ammonia_made(sheet, plan));
    ledger.enter(&NITRIFYING_CAPACITY, &root, |sheet| {
        nitrifying_capacity(sheet, plan)
    });
    ledger.enter(&NITRIFYING_SHARE, &root, |sheet| {
        let made = sheet.figure("P", &AMMONIA_MADE, &Place::root())?;
        quantity(sheet.figure("C", &NITRIFYING_CAPACITY, &Place::root())? / made)
    });
    ledger.enter(&ALKALINITY_USED, &root, |sheet| {
        quantity(life::nitrifying_alkalinity(sheet.figure(
            "P",
            &AMMONIA_MADE,
            &Place::root(),
        )?))
    });
    ledger.enter(&UN_IONISED, &root, |sheet| un_ionised(sheet, plan));
    ledger.enter(&OXYGEN_SATURATION, &root, |sheet| oxygen_saturation(sheet, plan));
    for (id, basin) in &plan.basins {
        let Shown::Is(fish) = &basin.fish else { continue };
        let at = &basin.place;
        ledger.enter(&OXYGEN_DEMAND, at, |sheet| {
            quantity(life::oxygen_for_feed(feed(sheet, fish)? / DAY))
        });
        ledger.enter(&OXYGEN_SUPPLY, at, |sheet| {
            oxygen_supply(sheet, plan, vessels, id, basin)
        });
        ledger.enter(&OXYGEN_SHARE, at, |sheet| {
            let demand = sheet.figure("D", &OXYGEN_DEMAND, at)?;
            quantity(sheet.figure("S", &OXYGEN_SUPPLY, at)? / demand)
        });
    }
}

/// Feed of a day, kg.
fn feed(sheet: &mut Worksheet<'_>, fish: &Given<Fish>) -> Result<f64, Gap> {
    sheet.given("F", &fish.feed, &fish.place, "feed")
}

/// The part of the plan that tells of the water.
pub(super) fn water_of(plan: &Plan) -> Result<&Given<Water>, Gap> {
    plan.water
        .given()
        .ok_or_else(|| missing(Place::root().child("water")))
}

/// Why a plan in which no basin is known to hold fish has no figure for them; a bed that does not say holds none.
pub(super) fn no_fish(plan: &Plan) -> Gap {
    let silent = |basin: &&Given<Basin>| {
        matches!(basin.fish, Shown::NotShown) && basin.kind.value() != Some(&BasinKind::Bed)
    };
    let silent = plan.basins.values().filter(silent);
    let places: Vec<_> = silent.map(|basin| basin.place.child("fish")).collect();
    if places.is_empty() {
        does_not_apply("no basin holds fish")
    } else {
        Gap::NotShown(places)
    }
}

fn ammonia_made(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let mut made = None;
    for basin in plan.basins.values() {
        if let Shown::Is(fish) = &basin.fish {
            let feed = feed(sheet, fish)? / DAY;
            let protein = match &fish.protein {
                Shown::Is(_) => sheet.given("PC", &fish.protein, &fish.place, "protein")?,
                _ => sheet.assumed("PC", PROTEIN, Kind::Share, PROTEIN_WHY),
            };
            made = Some(made.unwrap_or(0.0) + life::ammonia_made(feed, protein));
        }
    }
    quantity(made.ok_or_else(|| no_fish(plan))?)
}

fn nitrifying_capacity(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let beds = || {
        plan.basins
            .values()
            .filter(|basin| basin.kind.value() == Some(&BasinKind::Bed))
    };
    let filters = || plan.basins.values().filter_map(|basin| basin.filter.given());
    if beds().next().is_none() && filters().next().is_none() {
        return Err(does_not_apply("the plan has no bed and no other filter"));
    }
    let (mut area, mut rated) = (0.0, 0.0);
    for filter in filters() {
        if let Some(kind) = filter.kind.given() {
            sheet.note_place("kind", &kind.place);
        }
        match (filter.kind.value(), &filter.media_area) {
            (Some(FilterKind::Drum), _) => {}
            (_, Shown::Is(_)) => {
                area += sheet.given("A_media", &filter.media_area, &filter.place, "media_area")?;
            }
            _ => {
                let feed = sheet.given("F_rated", &filter.rated_feed, &filter.place, "rated_feed")? / DAY;
                rated += life::ammonia_made(feed, PROTEIN);
            }
        }
    }
    for bed in beds() {
        if bed.layers.is_empty() {
            return Err(missing(bed.place.child("layers")));
        }
        for layer in bed.layers.values() {
            match layer.fill.value() {
                Some(Fill::Stone) => area += sheet.figure("A_stone", &STONE_AREA, &layer.place)?,
                Some(_) => {}
                None => return Err(missing(layer.place.child("fill"))),
            }
        }
    }
    let temperature = temperature(plan);
    sheet.take(&temperature.inputs);
    let area = sheet.worked("A", area, Kind::Area);
    let rated = sheet.worked("C_rated", rated, Kind::MassRate);
    quantity(life::nitrifying_capacity(area, temperature.item) + rated)
}

fn un_ionised(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let water = water_of(plan)?;
    let at = &water.place;
    // Nobody is asked for a measurement before there is water to measure.
    let Shown::Is(total) = &water.total_ammonia else {
        return Err(does_not_apply("no ammonia has been measured"));
    };
    sheet.note_given("TAN", total);
    let warmest = sheet.given("T", &water.warmest, at, "warmest")?;
    let ph = water
        .highest_ph
        .given()
        .ok_or_else(|| missing(at.child("highest_ph")))?;
    sheet.note_value("pH", ph.value, Kind::Ratio, &ph.place);
    // To the tenth, as the exponent needs it.
    let kelvin = (warmest * 10.0).round() / 10.0;
    sheet.note_value("T_kelvin", kelvin, Kind::Ratio, &at.child("warmest"));
    quantity(total.si() * life::un_ionised_share(warmest, ph.value))
}

fn oxygen_saturation(sheet: &mut Worksheet<'_>, plan: &Plan) -> Answer {
    let water = water_of(plan)?;
    let warmest = sheet.given("T", &water.warmest, &water.place, "warmest")?;
    let altitude = match plan.project.value().and_then(|project| project.altitude.given()) {
        Some(altitude) => {
            sheet.note_given("h", altitude);
            altitude.si()
        }
        None => sheet.assumed("h", 0.0, Kind::Length, "sea level where no altitude is shown"),
    };
    // mg/L is g/m³.
    quantity(life::oxygen_saturation(warmest, water::atmospheric_pressure(altitude)) / 1000.0)
}

fn oxygen_supply(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    vessels: &Storages,
    id: &str,
    basin: &Given<Basin>,
) -> Answer {
    let saturation = sheet.figure("C_s", &OXYGEN_SATURATION, &Place::root())?;
    let deficit = (saturation - LEAST_OXYGEN).max(0.0);
    let warmest = match water_of(plan)?.warmest.given() {
        Some(warmest) => warmest.si(),
        None => return Err(missing(Place::from_pointer("/water/warmest"))),
    };
    if let Some(falls) = falls_left_out(plan) {
        return Err(missing(falls));
    }
    let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
    let mut supply = 0.0;
    for fall in plan
        .falls
        .values()
        .filter(|fall| receiver(plan, fall) == Some(id) && !below_another(plan, fall))
    {
        let flow = sheet.figure("Q", &FALL_FLOW, &fall.place)?;
        let crest = sheet.given("z_crest", &fall.crest, &fall.place, "crest")?;
        let ratio = life::deficit_ratio(crest - still, warmest);
        supply += flow * deficit * (1.0 - 1.0 / ratio);
    }
    let area = storage::of(vessels, id)?.storage.area(still);
    let mut blown = 0.0;
    if let Some(air) = basin.air.given() {
        let flow = sheet.given("Q_air", &air.flow, &air.place, "flow")?;
        let depth = sheet.given("d_air", &air.depth, &air.place, "depth")?;
        blown = life::diffused_oxygen(flow, depth, LEAST_OXYGEN, saturation);
    }
    quantity(supply + life::SURFACE_UPTAKE * area * deficit + blown)
}

/// Whether a fall leaves a stream that another fall feeds: the drop of that one counts the whole way down.
fn below_another(plan: &Plan, fall: &Fall) -> bool {
    source_stream(plan, fall).is_some_and(|(stream, _)| falls_into(plan, stream).next().is_some())
}
