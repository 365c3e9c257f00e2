//! The sheet of water over a fall: its depth on the brink, where it lands, what the crest can carry.

use super::{
    super::{
        definition::{Definition, Scope},
        ledger::{Answer, Found, Gap, Ledger, Sheet, quantity},
        levels::RUNNING_LEVEL,
        system::{System, note_size, receiver},
    },
    FLOW_PER_WIDTH,
    crest::no_level_crest,
};
use crate::{
    formulas::{nappe, weir},
    plan::{Edge, Fall, Form, Given, Plan, Shown},
    quantity::Kind,
    read::Place,
};

static BRINK_DEPTH: Definition = Definition::quantity(
    Scope::Falls,
    "brink-depth",
    "depth of the sheet on the brink",
    Kind::Length,
)
.by(
    "0.715 of the critical depth; not the head upstream, which is about twice as much: a number read on the brink \
     passes about 2.8 times the flow of the same number read upstream",
    "y_b = 0.715·(q² / g)^(1/3)",
)
.from("Rouse 1936")
.within("level brink with the sheet springing clear, water upstream slower than critical");
static LANDING_THICKNESS: Definition = Definition::quantity(
    Scope::Falls,
    "landing-thickness",
    "thickness of the sheet where it lands",
    Kind::Length,
)
.by(
    "flow per width divided by the speed the sheet has reached",
    "t = q / √(v_b² + 2·g·d)",
)
.from("free fall from the brink")
.within("an unbroken sheet in still air");
static THROW: Definition = Definition::quantity(
    Scope::Falls,
    "throw",
    "distance from the brink to where the sheet lands",
    Kind::Length,
)
.by(
    "speed on the brink times the time to fall from the middle of the sheet to the running level below",
    "x = (q / y_b)·√(2·(d + y_b / 2) / g)",
)
.from("free fall from the brink; brink depth by Rouse 1936")
.within("level brink, still air; a light sheet clings to the stone or breaks up and lands nearer");
static SHEET_LANDS_INSIDE: Definition = Definition::verdict(
    Scope::Falls,
    "sheet-lands-inside",
    "sheet that lands in the basin below",
)
.by(
    "throw no more than the shortest way across the basin below, with the brink at its edge",
    "x ≤ W",
);
static SHEET_WANTED: Definition =
    Definition::verdict(Scope::Falls, "sheet-wanted", "crest that is to throw a sheet").by(
        "a thin lip or broad stone, where the plan does not say that no clear sheet is wanted",
        "",
    );
static CAPACITY_AT_RIM: Definition = Definition::quantity(
    Scope::Falls,
    "crest-capacity",
    "flow the crest can carry",
    Kind::Flow,
)
.by(
    "flow over the crest with the water above at the freeboard of 2 in (50 mm) below the rim",
    "Q_max: Q_weir(z_rim − F − z_crest, b)",
)
.from(super::WEIR)
.within("within the range of the crest's law; a free, unblocked crest");
static CAPACITY_SHARE: Definition = Definition::quantity(
    Scope::Falls,
    "crest-capacity-share",
    "flow as a share of what the crest can carry",
    Kind::Share,
)
.by("flow over the crest divided by its capacity", "r = Q / Q_max");

pub(in crate::figures) static DEFINITIONS: &[&Definition] = &[
    &BRINK_DEPTH,
    &CAPACITY_AT_RIM,
    &CAPACITY_SHARE,
    &THROW,
    &LANDING_THICKNESS,
    &SHEET_LANDS_INSIDE,
    &SHEET_WANTED,
];

/// Freeboard kept over a running crest, m: 2 in.
const FREEBOARD: f64 = 0.0508;

/// What rests on the flow alone.
pub(super) fn enter(ledger: &mut Ledger, plan: &Plan, system: &System, fall: &Given<Fall>) {
    let at = &fall.place;
    ledger.enter(&SHEET_WANTED, at, |sheet| sheet_wanted(sheet, fall));
    ledger.enter(&BRINK_DEPTH, at, |sheet| {
        clear_brink(fall)?;
        quantity(weir::brink_depth(sheet.figure("q", &FLOW_PER_WIDTH, at)?))
    });
    let above = fall.from.value().and_then(|id| plan.basins.get(id));
    if let Some(above) = above {
        ledger.enter(&CAPACITY_AT_RIM, at, |sheet| {
            let state = match system.falls.get(at) {
                Some(state) => state.as_ref().map_err(Clone::clone)?,
                None => return Err(Gap::NotShown(vec![at.child("from")])),
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
            let flow = sheet.figure("Q", &super::FALL_FLOW, at)?;
            let most = sheet.figure("Q_max", &CAPACITY_AT_RIM, at)?;
            if most <= 0.0 {
                return Err(Gap::NotComputed(
                    "the rim leaves no room over the crest for any flow".to_owned(),
                ));
            }
            quantity(flow / most)
        });
    }
}

/// Water that is meant to cling to a wall or drip along a rill throws no sheet.
fn sheet_wanted(sheet: &mut Sheet<'_>, fall: &Given<Fall>) -> Answer {
    let verdict = |holds: bool, because: &str| {
        Ok(Found::Verdict {
            holds,
            because: because.to_owned(),
            at: None,
        })
    };
    let at = &fall.place;
    match fall.edge.value() {
        Some(Edge::ThinLip | Edge::BroadStone) => {}
        Some(_) => return verdict(false, "over rough stone and through a notch no sheet falls"),
        None => return Err(Gap::NotShown(vec![at.child("edge")])),
    }
    if fall.clear_sheet.yes() == Some(false) {
        sheet.note_place("clear_sheet", &at.child("clear_sheet"));
        return verdict(false, "no clear sheet is wanted");
    }
    verdict(true, "a lip or flat stone that is to throw its water")
}

/// What rests on the level below; a stream that takes the water has none of its own.
pub(super) fn enter_against_levels(ledger: &mut Ledger, plan: &Plan, fall: &Given<Fall>) {
    if fall.to.value().is_some_and(|to| plan.streams.contains_key(to)) {
        return;
    }
    let at = &fall.place;
    ledger.enter(&THROW, at, |sheet| {
        let (flow, drop) = falling(sheet, plan, fall)?;
        quantity(nappe::throw(flow, drop))
    });
    ledger.enter(&LANDING_THICKNESS, at, |sheet| {
        let (flow, drop) = falling(sheet, plan, fall)?;
        sheet.assumed(
            "v_b",
            nappe::brink_velocity(flow),
            Kind::Velocity,
            "the sheet leaves the brink at flow per width divided by its depth there",
        );
        quantity(nappe::landing_thickness(flow, drop))
    });
    ledger.enter(&SHEET_LANDS_INSIDE, at, |sheet| lands_inside(sheet, plan, fall));
}

/// Flow per width, and the drop from the crest to the running level below.
fn falling(sheet: &mut Sheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Result<(f64, f64), Gap> {
    clear_brink(fall)?;
    let at = &fall.place;
    let flow = sheet.figure("q", &FLOW_PER_WIDTH, at)?;
    sheet.figure("y_b", &BRINK_DEPTH, at)?;
    let crest = sheet.given("z_crest", &fall.crest, at, "crest")?;
    let drop = crest - sheet.figure("z_running", &RUNNING_LEVEL, &below(plan, fall)?)?;
    if drop <= 0.0 {
        return Err(Gap::DoesNotApply(
            "the water below stands over the crest, so no sheet falls".to_owned(),
        ));
    }
    let why = "a sheet falls from its crest to the running level below";
    Ok((flow, sheet.assumed("d", drop, Kind::Length, why)))
}

/// Rough stone breaks the sheet up.
fn clear_brink(fall: &Given<Fall>) -> Result<(), Gap> {
    match fall.edge.value() {
        Some(Edge::VNotch) => Err(no_level_crest()),
        Some(Edge::RoughStone) => Err(Gap::NotComputed(
            "over rough stone the water breaks up; no law holds for a sheet".to_owned(),
        )),
        Some(_) => Ok(()),
        None => Err(Gap::NotShown(vec![fall.place.child("edge")])),
    }
}

fn below(plan: &Plan, fall: &Given<Fall>) -> Result<Place, Gap> {
    let to = receiver(plan, fall).ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")]))?;
    Ok(Plan::basin_place(to))
}

fn lands_inside(sheet: &mut Sheet<'_>, plan: &Plan, fall: &Given<Fall>) -> Answer {
    let throw = sheet.figure("x", &THROW, &fall.place)?;
    let basin = receiver(plan, fall).and_then(|id| plan.basins.get(id));
    let basin = basin.ok_or_else(|| Gap::NotShown(vec![fall.place.child("to")]))?;
    let Shown::Is(shape) = &basin.shape else {
        return Err(Gap::NotComputed(
            "the basin below has no simple shape to measure across".to_owned(),
        ));
    };
    let length = sheet.given("L", &shape.length, &shape.place, "length")?;
    let across = if shape.form.value() == Some(&Form::Circle) {
        length
    } else {
        length.min(sheet.given("W", &shape.width, &shape.place, "width")?)
    };
    sheet.assumed(
        "x_0",
        0.0,
        Kind::Length,
        "the brink of a fall stands at the edge of the basin below",
    );
    let holds = throw <= across;
    let because = if holds {
        "the basin reaches further than the sheet is thrown"
    } else {
        "the sheet is thrown further than the basin reaches"
    };
    Ok(Found::Verdict {
        holds,
        because: because.to_owned(),
        at: Some(fall.place.child("width")),
    })
}
