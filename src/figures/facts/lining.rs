//! Linings: sheet, ground below, stone above, edges and holes.

use super::{
    basins::is_bed,
    parts::{Measured, all, any, noted, part, said},
};
use crate::{
    figures::levels::RUNNING_LEVEL,
    ledger::{
        Answer, Definition, Gap, Ledger, Scope, Worksheet, at_least, at_most, does_not_apply, missing, no,
        not, quantity, verdict, yes,
    },
    plan::{Basin, Drain, Fill, Given, Layer, Lining, Material, Mount, Plan, Pump, Shown},
    quantity::{INCH, Kind, agree},
};

static MEMBRANE_THICKNESS: Definition = Definition::verdict(
    Scope::Basins,
    "membrane-thickness",
    "membrane thick enough for its material",
)
.by(
    "PVC and LLDPE 20 mil (0.5 mm), under boulders 30 mil (0.75 mm); HDPE and butyl 30 mil (0.75 mm); EPDM 40 mil \
     (1.0 mm) or more",
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
static STONE_ON_LINING: Definition =
    Definition::verdict(Scope::Basins, "stone-on-lining", "lining under stone").by(
        "void modules, stone over 3/8 in (10 mm) or boulders stand on it",
        "",
    );
static PENETRATIONS_SEALED: Definition = Definition::verdict(
    Scope::Basins,
    "penetrations-sealed",
    "pipes through the lining clamped and sealed",
)
.by(
    "how each is sealed is given; a bottom drain, a gravity line below the rim and a suction below the rim go through \
     the lining",
    "",
);
static EDGE_ABOVE_RUNNING: Definition = Definition::quantity(
    Scope::Basins,
    "edge-above-running",
    "lining behind the edge stone over the water",
    Kind::Length,
)
.by(
    "level of the sheet behind edge stone less the higher of still and running level",
    "d = z_edge − max(z_still, z_running)",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &MEMBRANE_THICKNESS,
    &SUBGRADE_CLEAN,
    &STONE_ON_LINING,
    &PENETRATIONS_SEALED,
    &EDGE_ABOVE_RUNNING,
];

/// A mil, m.
const MIL: f64 = INCH / 1000.0;
/// Stone up to this size lies on a sheet like gravel, m.
const SMALL_STONE: f64 = 0.375 * INCH;

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for (id, basin) in &plan.basins {
        let at = &basin.place;
        ledger.enter(&MEMBRANE_THICKNESS, at, |sheet| membrane_thickness(sheet, basin));
        ledger.enter(&SUBGRADE_CLEAN, at, |sheet| subgrade_clean(sheet, basin));
        ledger.enter(&STONE_ON_LINING, at, |sheet| stone_on_lining(sheet, basin));
        ledger.enter(&PENETRATIONS_SEALED, at, |sheet| {
            penetrations_sealed(sheet, plan, id, basin)
        });
        ledger.enter(&EDGE_ABOVE_RUNNING, at, |sheet| edge_above_running(sheet, basin));
    }
}

fn lining(basin: &Given<Basin>) -> Result<&Given<Lining>, Gap> {
    part(&basin.lining, &basin.place, "lining")
}

/// Least thickness by material, m.
const fn least_thickness(material: Material, under_boulders: bool) -> Option<(f64, &'static str)> {
    match material {
        Material::Pvc | Material::Lldpe if under_boulders => {
            Some((0.75e-3, "30 mil (0.75 mm) under boulders"))
        }
        Material::Pvc | Material::Lldpe => Some((0.5e-3, "20 mil (0.5 mm)")),
        Material::Hdpe | Material::Butyl => Some((0.75e-3, "30 mil (0.75 mm)")),
        Material::Epdm => Some((1.0e-3, "40 mil (1.0 mm)")),
        Material::Rpe => None,
    }
}

/// A material as the trade calls it.
const fn named(material: Material) -> &'static str {
    match material {
        Material::Pvc => "PVC",
        Material::Lldpe => "LLDPE",
        Material::Hdpe => "HDPE",
        Material::Epdm => "EPDM",
        Material::Rpe => "reinforced polyethylene",
        Material::Butyl => "butyl rubber",
    }
}

/// A thickness in both systems, `45 mil (1.1 mm)`: what is sold by whole mils, 40 to a millimetre, as the trade does.
fn both_thicknesses(thickness: f64) -> String {
    let mils = thickness / MIL;
    if agree(mils.round() * MIL, thickness) {
        let mm = mils.round() / 40.0;
        let digits = if mm < 1.0 { 100.0 } else { 10.0 };
        format!("{} mil ({} mm)", mils.round(), (mm * digits).round() / digits)
    } else {
        format!("{mils:.1} mil ({:.2} mm)", thickness * 1e3)
    }
}

fn membrane_thickness(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = lining(basin)?;
    let membrane = part(&lining.membrane, &lining.place, "membrane")?;
    let material = noted(sheet, &membrane.material, &membrane.place, "material")?;
    let boulders = lining.boulder_seats.given();
    if let Some(seats) = boulders {
        sheet.note_place("boulder_seats", &seats.place);
    }
    let Some((least, required)) = least_thickness(material.value, boulders.is_some()) else {
        return Err(does_not_apply(
            "no least thickness is published for this material",
        ));
    };
    let thickness = sheet.given("t", &membrane.thickness, &membrane.place, "thickness")?;
    let holds = at_least(thickness, least);
    let is = if holds { "enough" } else { "too thin" };
    let because = format!(
        "{} is {is} for {}; at least {required} is required",
        both_thicknesses(thickness),
        named(material.value)
    );
    verdict(holds, because, Some(membrane.place.child("thickness")))
}

fn subgrade_clean(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = lining(basin)?;
    let subgrade = part(&lining.subgrade, &lining.place, "subgrade")?;
    let at = &subgrade.place;
    let raked = said(
        sheet,
        &subgrade.raked_clean,
        at,
        "raked_clean",
        "the subgrade is not raked clean",
    );
    let limit = match &lining.underlay {
        Shown::Is(_) => Ok((
            0.75 * INCH,
            "stone over 3/4 in (19 mm) is left under the underlay",
        )),
        Shown::None(_) => Ok((
            0.375 * INCH,
            "stone over 3/8 in (10 mm) is left where there is no underlay",
        )),
        Shown::NotShown => Err(missing(lining.place.child("underlay"))),
    };
    // A subgrade that is said to hold no stone has none that is too large.
    let small = if subgrade.largest_stone.is_none() {
        yes("no stone is left")
    } else {
        limit.and_then(|(limit, otherwise)| {
            let stone = Measured {
                symbol: "d",
                value: &subgrade.largest_stone,
                object: at,
                field: "largest_stone",
            };
            stone.passes(sheet, |d| at_most(d, limit), otherwise)
        })
    };
    all("raked clean, and no large stone is left", [raked, small])
}

fn stone_on_lining(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = lining(basin)?;
    let mut parts = vec![match &lining.boulder_seats {
        Shown::Is(seats) => {
            sheet.note_place("boulder_seats", &seats.place);
            yes("boulders stand on it")
        }
        Shown::None(_) => not("no stone stands on it"),
        Shown::NotShown => Err(missing(lining.place.child("boulder_seats"))),
    }];
    if basin.layers.is_empty() && is_bed(basin) {
        parts.insert(0, Err(missing(basin.place.child("layers"))));
    }
    parts.extend(basin.layers.values().map(|layer| bears_on(sheet, layer)));
    any(parts)
}

/// Whether a layer holds what presses on a sheet.
fn bears_on(sheet: &mut Worksheet<'_>, layer: &Given<Layer>) -> Answer {
    let fill = noted(sheet, &layer.fill, &layer.place, "fill")?;
    match fill.value {
        Fill::Modules => yes("void modules stand on it"),
        Fill::Stone => {
            let largest = sheet.given("d", &layer.largest, &layer.place, "largest")?;
            if at_most(largest, SMALL_STONE) {
                not("no stone over 3/8 in (10 mm) lies on it")
            } else {
                yes("stone over 3/8 in (10 mm) lies on it")
            }
        }
        Fill::Soil | Fill::Fabric => not("no stone stands on it"),
    }
}

fn penetrations_sealed(sheet: &mut Worksheet<'_>, plan: &Plan, id: &str, basin: &Given<Basin>) -> Answer {
    let lining = lining(basin)?;
    let said_none = match &lining.penetrations {
        Shown::Is(sealed) => {
            sheet.note_place("penetrations", &sealed.place);
            return yes("how each is sealed is given");
        }
        Shown::None(place) => place,
        Shown::NotShown => return Err(missing(lining.place.child("penetrations"))),
    };
    sheet.note_place("penetrations", said_none);
    let mut gap: Option<Gap> = None;
    for through in pipes_through(sheet, plan, id, basin) {
        match through {
            Ok(Some(because)) => return no(because, said_none),
            Ok(None) => {}
            Err(next) => {
                gap = Some(match gap {
                    Some(before) => before.and(next),
                    None => next,
                });
            }
        }
    }
    Err(gap.unwrap_or_else(|| does_not_apply("nothing goes through the lining")))
}

/// Of everything that may go through a lining: why it does, or none where it goes over the rim.
fn pipes_through(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    id: &str,
    basin: &Given<Basin>,
) -> Vec<Result<Option<&'static str>, Gap>> {
    let mut pipes = vec![match &basin.bottom_drain {
        Shown::Is(drain) => {
            sheet.note_place("bottom_drain", &drain.place);
            Ok(Some(
                "a bottom drain goes through the lining, and how it is sealed is not said",
            ))
        }
        Shown::None(_) => Ok(None),
        Shown::NotShown => Err(missing(basin.place.child("bottom_drain"))),
    }];
    let here = |end: &Shown<String>| end.value().is_some_and(|at| at == id);
    for drain in plan.drains.values().filter(|drain| here(&drain.from)) {
        sheet.note_place("from", &drain.place.child("from"));
        pipes.push(Ok(Some(
            "a gravity line leaves through the lining, and how it is sealed is not said",
        )));
    }
    for drain in plan.drains.values().filter(|drain| here(&drain.to)) {
        pipes.push(enters_through(sheet, basin, drain));
    }
    let dry = |pump: &&Given<Pump>| pump.mount.value() == Some(&Mount::Dry) && pump.draws_from(id);
    for pump in plan.pumps.values().filter(dry) {
        pipes.push(draws_through(sheet, basin, pump));
    }
    pipes
}

/// A gravity line only falls: one that begins below a rim enters through the lining, unless it ends above the rim.
fn enters_through(
    sheet: &mut Worksheet<'_>,
    basin: &Given<Basin>,
    drain: &Given<Drain>,
) -> Result<Option<&'static str>, Gap> {
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    let end = drain.run.value().and_then(|run| run.discharge.value());
    if let Some(end) = end
        && let Shown::Is(level) = &end.level
        && at_least(level.value.0, rim)
    {
        return Ok(None);
    }
    let mouth = part(&drain.mouth, &drain.place, "mouth")?;
    let mouth = sheet.given("z_mouth", &mouth.level, &mouth.place, "level")?;
    Ok((mouth < rim).then_some("a gravity line enters through the lining, and how it is sealed is not said"))
}

/// The suction of a pump that stands over the rim goes over it, and so does one whose highest point lies over the rim;
/// any other goes through the lining.
fn draws_through(
    sheet: &mut Worksheet<'_>,
    basin: &Given<Basin>,
    pump: &Given<Pump>,
) -> Result<Option<&'static str>, Gap> {
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim")?;
    if let Shown::Is(highest) = &pump.suction_high_point
        && at_least(highest.value.0, rim)
    {
        sheet.note_given("z_highest", highest);
        return Ok(None);
    }
    let wheel = sheet.given("z_pump", &pump.level, &pump.place, "level")?;
    Ok((wheel < rim).then_some(
        "a pump beside it stands below the rim, and how its suction goes through or over the lining is not said",
    ))
}

fn edge_above_running(sheet: &mut Worksheet<'_>, basin: &Given<Basin>) -> Answer {
    let lining = lining(basin)?;
    let edges = part(&lining.edges, &lining.place, "edges")?;
    let edge = sheet.given("z_edge", &edges.behind_stone, &edges.place, "behind_stone")?;
    let still = sheet.given("z_still", &basin.still, &basin.place, "still")?;
    let running = sheet.figure("z_running", &RUNNING_LEVEL, &basin.place)?;
    quantity(edge - still.max(running))
}
