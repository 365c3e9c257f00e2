//! What keeps stone out of a pump, what air an air inlet lets in, and which pump needs a union to come out.

use super::parts::part;
use crate::{
    formulas::air_inlet::{self, AIR_DENSITY, WATER_DENSITY},
    hydraulics::inside_diameter,
    ledger::{Answer, Definition, Ledger, Scope, Worksheet, does_not_apply, missing, not, quantity, yes},
    plan::{DischargeForm, Fill, Given, Line, Mount, PipeMaterial, Plan, Pump, Run, Shown},
    quantity::Kind,
};

static STONE_OVER_SCREEN: Definition = Definition::quantity(
    Scope::Pumps,
    "stone-over-screen",
    "smallest stone round the pump as a multiple of the screen opening",
    Kind::Ratio,
)
.by(
    "smallest stone of the layers in the pump’s basin divided by the width of a screen opening",
    "r = d_min / w",
);
static AIR_INLET_SHARE: Definition = Definition::quantity(
    Scope::Lines,
    "air-inlet-share",
    "air through the inlet as a multiple of the water it has to stop",
    Kind::Ratio,
)
.by(
    "air drawn through the bore by the velocity head and entrance loss of the siphoning water, divided by that water; \
     the velocity cancels out, so that only the bores count",
    "r = 0.6·(d / D)²·√(1.5·ρ_water / ρ_air)",
)
.from("orifice flow, coefficient 0.6; entrance loss of half a velocity head")
.within("an inlet just under the surface; below 1 the water carries the air off as fast as it comes in");
static SIPHON_HEIGHT: Definition = Definition::quantity(
    Scope::Lines,
    "siphon-height",
    "still water above that of the pump, at the ends under water",
    Kind::Length,
)
.by(
    "still level of the highest basin that the line ends in under water, less that of the basin its pump draws from",
    "h = z_upper − z_lower",
);
static UNION_NEEDED: Definition = Definition::verdict(
    Scope::Lines,
    "union-needed",
    "pump that comes out only at a union",
)
.by(
    "the pump stands dry, or its line is of rigid pipe; a submerged pump on a hose comes out with its hose",
    "",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &STONE_OVER_SCREEN,
    &AIR_INLET_SHARE,
    &SIPHON_HEIGHT,
    &UNION_NEEDED,
];

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for pump in plan.pumps.values() {
        ledger.enter(&STONE_OVER_SCREEN, &pump.place, |sheet| {
            stone_over_screen(sheet, plan, pump)
        });
    }
    for line in plan.lines.values() {
        if matches!(line.air_inlet, Shown::Is(_)) {
            ledger.enter(&AIR_INLET_SHARE, &line.place, |sheet| {
                air_inlet_share(sheet, line)
            });
        }
        ledger.enter(&SIPHON_HEIGHT, &line.place, |sheet| {
            siphon_height(sheet, plan, line)
        });
        ledger.enter(&UNION_NEEDED, &line.place, |sheet| {
            union_needed(sheet, plan, line)
        });
    }
}

fn stone_over_screen(sheet: &mut Worksheet<'_>, plan: &Plan, pump: &Given<Pump>) -> Answer {
    let basin = part(&pump.basin, &pump.place, "basin")?;
    let basin = plan
        .basins
        .get(&basin.value)
        .ok_or_else(|| missing(Plan::basin_place(&basin.value)))?;
    let stone = |fill: &Shown<Fill>| fill.value() == Some(&Fill::Stone);
    let stone: Vec<_> = basin.layers.values().filter(|layer| stone(&layer.fill)).collect();
    if stone.is_empty() {
        return Err(does_not_apply("no stone lies in its basin"));
    }
    let screen = part(&pump.screen, &pump.place, "screen")?;
    let opening = sheet.given("w", &screen.opening, &screen.place, "opening")?;
    let mut smallest = f64::INFINITY;
    for layer in stone {
        smallest = smallest.min(sheet.given("d_min", &layer.smallest, &layer.place, "smallest")?);
    }
    quantity(smallest / opening)
}

/// Against the widest of the ends that stand under water: all of them siphon at once.
fn air_inlet_share(sheet: &mut Worksheet<'_>, line: &Given<Line>) -> Answer {
    let inlet = part(&line.air_inlet, &line.place, "air_inlet")?;
    let bore = sheet.given("d", &inlet.bore, &inlet.place, "bore")?;
    let mut widest: Option<f64> = None;
    for run in line.runs.values() {
        let form = run.discharge.value().and_then(|end| end.form.value());
        if form == Some(&DischargeForm::Submerged) {
            let inside = inside_diameter(sheet, run)?;
            widest = Some(widest.map_or(inside, |widest| widest.max(inside)));
        }
    }
    let widest = widest.ok_or_else(|| does_not_apply("no end of the line stands under water"))?;
    let why = "water of 62.4 lb/ft³ (1,000 kg/m³) and air of 0.075 lb/ft³ (1.2 kg/m³) at an air inlet";
    sheet.assumed("ρ_water", WATER_DENSITY, Kind::Density, why);
    sheet.assumed("ρ_air", AIR_DENSITY, Kind::Density, why);
    quantity(air_inlet::air_over_water(bore, widest))
}

fn siphon_height(sheet: &mut Worksheet<'_>, plan: &Plan, line: &Given<Line>) -> Answer {
    let ids = line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
    let pump = ids.iter().find_map(|id| plan.pumps.get(id));
    let lower = pump.and_then(|pump| plan.basins.get(pump.basin.value()?));
    let lower = lower.ok_or_else(|| missing(line.place.child("from")))?;
    let below = sheet.given("z_lower", &lower.still, &lower.place, "still")?;
    let mut highest: Option<f64> = None;
    for run in line.runs.values() {
        let Some(upper) = run.to.value().and_then(|to| plan.basins.get(to)) else {
            continue;
        };
        let end = part(&run.discharge, &run.place, "discharge")?;
        if part(&end.form, &end.place, "form")?.value == DischargeForm::Submerged {
            let above = sheet.given("z_upper", &upper.still, &upper.place, "still")?;
            highest = Some(highest.map_or(above, |highest| highest.max(above)));
        }
    }
    let highest = highest.ok_or_else(|| does_not_apply("no end of the line stands under water"))?;
    quantity(highest - below)
}

fn union_needed(sheet: &mut Worksheet<'_>, plan: &Plan, line: &Given<Line>) -> Answer {
    let ids = line.from.value().map_or(&[][..], |ids| ids.0.as_slice());
    for pump in ids.iter().filter_map(|id| plan.pumps.get(id)) {
        if pump.mount.value() == Some(&Mount::Dry) {
            sheet.note_place("mount", &pump.place.child("mount"));
            return yes("its pump stands dry");
        }
    }
    let hose = |material: Option<&PipeMaterial>| {
        matches!(
            material,
            Some(PipeMaterial::FlexiblePvc | PipeMaterial::RubberHose)
        )
    };
    let soft = |run: &Given<Run>| hose(run.pipe.value().and_then(|pipe| pipe.material.value()));
    if !line.runs.is_empty() && line.runs.values().all(soft) {
        return not("a submerged pump on a hose comes out with its hose");
    }
    yes("its line is of rigid pipe")
}
