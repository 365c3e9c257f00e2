//! The ladder of controls of a pump basin: intake and the water it needs, cut-off, lowest ordinary water, make-up,
//! still water, skimmer lip, overflow and rim, each of which has to stand above the one before it. Each control that is
//! out of its place is one failing figure, which points at that control and names both levels.

use super::{
    facts::{parts::all, pumps::LEAST_COVER},
    levels::{RUNNING_LEVEL, START_UP_LEVEL},
    pumping::suction::SUBMERGENCE_NEEDED,
};
use crate::{
    ledger::{Answer, Definition, Gap, Ledger, Scope, Worksheet, no, quantity, yes},
    plan::{
        Basin, Given, Level, MakeUp, Measure, Mount, Overflow, Plan, Pump, Shown, Skimmer,
        connections::pumps_in,
    },
    quantity::{Kind, agree, both_levels},
    read::Place,
};

static COVERED_LEVEL: Definition = Definition::quantity(
    Scope::Pumps,
    "covered-level",
    "lowest water that covers the intake",
    Kind::Level,
)
.by(
    "intake level plus the least water over it: the maker’s; else, for a dry pump, what its suction mouth needs; else 2 in \
     (50 mm)",
    "z_cover = z_intake + s",
);
static CUT_OFF_IN_ORDER: Definition = Definition::verdict(
    Scope::Pumps,
    "cut-off-in-order",
    "low-level cut-off between the covered intake and the lowest water",
)
.by(
    "the cut-off stands above the intake, no lower than the maker’s least submergence over it, below the lowest level at \
     start-up and below the level that make-up keeps",
    "z_intake + s_min ≤ z_cut-off < min(z_start-up, z_make-up)",
);
static CUT_OFF_KEEPS_COVER: Definition = Definition::verdict(
    Scope::Pumps,
    "cut-off-keeps-cover",
    "low-level cut-off at or above the lowest water that covers the intake",
)
.by(
    "where the maker states no least submergence, the cut-off stands no lower than the water that the intake needs",
    "z_cut-off ≥ z_cover",
);
static MAKE_UP_IN_ORDER: Definition = Definition::verdict(
    Scope::Plan,
    "make-up-in-order",
    "make-up level above the intake, below the overflow and the rim",
)
.by(
    "the level that automatic make-up keeps stands above the pump’s intake, below the overflow and below the rim",
    "z_intake < z_make-up < min(z_overflow, z_rim)",
);
static SKIMMER_IN_ORDER: Definition = Definition::verdict(
    Scope::Basins,
    "skimmer-in-order",
    "skimmer lip no higher than still and running water",
)
.by(
    "the lip stands no higher than still water, and no higher than the running level",
    "z_lip ≤ min(z_still, z_running)",
);
static OVERFLOW_IN_ORDER: Definition = Definition::verdict(
    Scope::Basins,
    "overflow-in-order",
    "overflow above still water and no higher than the rim",
)
.by(
    "the overflow stands above still water and no higher than the rim",
    "z_still < z_overflow ≤ z_rim",
);

pub(super) static DEFINITIONS: &[&Definition] = &[
    &COVERED_LEVEL,
    &CUT_OFF_IN_ORDER,
    &CUT_OFF_KEEPS_COVER,
    &MAKE_UP_IN_ORDER,
    &SKIMMER_IN_ORDER,
    &OVERFLOW_IN_ORDER,
];

/// A level of the ladder, in the order they have to stand, from the lowest up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Control {
    /// Top of a pump's intake.
    Intake,
    /// Lowest water that covers the intake.
    Cover,
    /// Low-level cut-off.
    CutOff,
    /// Lowest level at start-up, the lowest of the ordinary states.
    LowestOrdinary,
    /// Level that automatic make-up keeps.
    MakeUp,
    /// Still water.
    Still,
    /// Lip of the skimmer.
    SkimmerLip,
    /// Overflow.
    Overflow,
    /// Rim.
    Rim,
}

/// A control, or a level that bounds one, at its level.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// What it is.
    pub control: Control,
    /// From the benchmark, m.
    pub level: f64,
    /// The value of the plan; none for a computed level.
    pub place: Option<Place>,
    /// The pump it belongs to, where it belongs to one.
    pub pump: Option<Place>,
}

/// The controls of one pump basin, from the lowest level up; at one level in the order they have to stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// The basin.
    pub basin: Place,
    /// Its rungs.
    pub rungs: Vec<Rung>,
}

/// The ladder of every basin that a pump draws from, as far as its levels are shown or computed.
pub fn ladders(plan: &Plan, ledger: &Ledger) -> Vec<Ladder> {
    let drawn = plan
        .basins
        .iter()
        .filter(|(id, _)| pumps_of(plan, id).next().is_some());
    drawn.map(|(id, basin)| ladder(plan, ledger, id, basin)).collect()
}

fn ladder(plan: &Plan, ledger: &Ledger, id: &str, basin: &Given<Basin>) -> Ladder {
    let mut rungs = Vec::new();
    let mut shown = |control, level: Option<&Given<Level>>, pump: Option<&Place>| {
        rungs.extend(level.map(|level| Rung {
            control,
            level: level.si(),
            place: Some(level.place.clone()),
            pump: pump.cloned(),
        }));
    };
    for pump in pumps_of(plan, id) {
        shown(Control::Intake, pump.intake.given(), Some(&pump.place));
        shown(Control::CutOff, pump.low_level_cut_off.given(), Some(&pump.place));
    }
    let make_up = make_up_of(plan, id);
    shown(Control::MakeUp, make_up.and_then(|it| it.level.given()), None);
    shown(Control::Still, basin.still.given(), None);
    let skimmer = basin.skimmer.given();
    shown(Control::SkimmerLip, skimmer.and_then(|it| it.level.given()), None);
    let overflow = basin.overflow.given();
    shown(Control::Overflow, overflow.and_then(|it| it.level.given()), None);
    shown(Control::Rim, basin.rim.given(), None);
    let mut computed = |control, level: Option<f64>, pump: Option<&Place>| {
        rungs.extend(level.map(|level| Rung {
            control,
            level,
            place: None,
            pump: pump.cloned(),
        }));
    };
    let lowest = ledger.quantity(&basin.place, START_UP_LEVEL.name);
    computed(Control::LowestOrdinary, lowest, None);
    for pump in pumps_of(plan, id) {
        let cover = ledger.quantity(&pump.place, COVERED_LEVEL.name);
        computed(Control::Cover, cover, Some(&pump.place));
    }
    rungs.sort_by(|a, b| a.level.total_cmp(&b.level).then(a.control.cmp(&b.control)));
    Ladder {
        basin: basin.place.clone(),
        rungs,
    }
}

/// The pumps that draw from a basin.
fn pumps_of<'p>(plan: &'p Plan, id: &'p str) -> impl Iterator<Item = &'p Given<Pump>> {
    pumps_in(plan, id).filter(move |pump| pump.draws_from(id))
}

/// The automatic make-up of a basin: a plan of one basin need not say which it feeds.
fn make_up_of<'p>(plan: &'p Plan, id: &str) -> Option<&'p Given<MakeUp>> {
    let make_up = plan.water.value()?.make_up.given()?;
    let fed = make_up
        .basin
        .value()
        .map_or(plan.basins.len() == 1, |fed| fed == id);
    (fed && make_up.automatic.yes() == Some(true)).then_some(make_up)
}

pub(super) fn enter(ledger: &mut Ledger, plan: &Plan) {
    for pump in plan.pumps.values() {
        ledger.enter(&COVERED_LEVEL, &pump.place, |sheet| covered_level(sheet, pump));
        let basin = pump.basin.value().and_then(|id| plan.basins.get_key_value(id));
        if let (Shown::Is(cut_off), Some((id, basin))) = (&pump.low_level_cut_off, basin)
            && pump.draws_from(id)
        {
            ledger.enter(&CUT_OFF_IN_ORDER, &pump.place, |sheet| {
                cut_off_in_order(sheet, plan, pump, cut_off, (id, basin))
            });
            ledger.enter(&CUT_OFF_KEEPS_COVER, &pump.place, |sheet| {
                cut_off_keeps_cover(sheet, pump, cut_off)
            });
        }
    }
    for (id, basin) in &plan.basins {
        if let Shown::Is(overflow) = &basin.overflow {
            ledger.enter(&OVERFLOW_IN_ORDER, &basin.place, |sheet| {
                overflow_in_order(sheet, basin, overflow)
            });
        }
        if let Shown::Is(skimmer) = &basin.skimmer {
            ledger.enter(&SKIMMER_IN_ORDER, &basin.place, |sheet| {
                skimmer_in_order(sheet, basin, skimmer)
            });
        }
        if let Some(make_up) = make_up_of(plan, id) {
            ledger.enter(&MAKE_UP_IN_ORDER, &Place::root(), |sheet| {
                make_up_in_order(sheet, plan, make_up, (id, basin))
            });
        }
    }
}

/// Whether a level stands under another; two that differ only by rounding are at one level.
fn under(level: f64, other: f64) -> bool {
    level < other && !agree(level, other)
}

/// The part that a control is above a level, or at it where that will do.
fn above(control: (&str, f64, &Place), other: (&str, f64), at_will_do: bool) -> Answer {
    let ((name, level, place), (other_name, other)) = (control, other);
    let at = agree(level, other);
    let holds = if at { at_will_do } else { level > other };
    if holds {
        return yes("in order");
    }
    let how = if at { "at" } else { "below" };
    stands(name, level, how, (other_name, other), place)
}

/// The part that a control is below a level, or at it where that will do.
fn below(control: (&str, f64, &Place), other: (&str, f64), at_will_do: bool) -> Answer {
    let ((name, level, place), (other_name, other)) = (control, other);
    let at = agree(level, other);
    let holds = if at { at_will_do } else { level < other };
    if holds {
        return yes("in order");
    }
    let how = if at { "at" } else { "above" };
    stands(name, level, how, (other_name, other), place)
}

fn stands(name: &str, level: f64, how: &str, (other_name, other): (&str, f64), place: &Place) -> Answer {
    let (level, other) = (both_levels(level), both_levels(other));
    no(
        format!("the {name}, {level}, is {how} {other_name}, {other}"),
        place,
    )
}

fn covered_level(sheet: &mut Worksheet<'_>, pump: &Given<Pump>) -> Answer {
    let intake = sheet.given("z_intake", &pump.intake, &pump.place, "intake")?;
    let stated = matches!(pump.least_submergence, Shown::Is(_));
    let needed = if pump.mount.value() == Some(&Mount::Dry) && !stated {
        &SUBMERGENCE_NEEDED
    } else {
        &LEAST_COVER
    };
    quantity(intake + sheet.figure("s", needed, &pump.place)?)
}

/// An intake that is not under still water is a fault of its own, and so is make-up that keeps no water over it.
fn cut_off_in_order(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    pump: &Given<Pump>,
    cut_off: &Given<Level>,
    (id, basin): (&str, &Given<Basin>),
) -> Answer {
    sheet.note_given("z_cut-off", cut_off);
    let control = ("low-level cut-off", cut_off.si(), &cut_off.place);
    let still = sheet.given("z_still", &basin.still, &basin.place, "still");
    let intake = sheet.given("z_intake", &pump.intake, &pump.place, "intake");
    let mut parts = Vec::new();
    match (&intake, &still) {
        (Ok(intake), Ok(still)) if !under(*intake, *still) => {}
        (Ok(intake), _) => {
            parts.push(above(control, ("the pump’s intake", *intake), false));
            if matches!(pump.least_submergence, Shown::Is(_)) {
                let cover = sheet.figure("z_cover", &COVERED_LEVEL, &pump.place);
                let name = "the least submergence that the maker states";
                parts.push(cover.and_then(|cover| above(control, (name, cover), true)));
            }
        }
        (Err(gap), _) => parts.push(Err(gap.clone())),
    }
    let lowest = sheet.figure("z_start-up", &START_UP_LEVEL, &basin.place);
    let name = "the lowest water at start-up";
    parts.push(lowest.and_then(|lowest| below(control, (name, lowest), false)));
    if let Some(level) = make_up_of(plan, id).and_then(|make_up| make_up.level.given())
        && !intake.is_ok_and(|intake| !under(intake, level.si()))
    {
        sheet.note_given("z_make-up", level);
        let name = "the level that make-up keeps";
        parts.push(below(control, (name, level.si()), false));
    }
    all("the cut-off is in order", parts)
}

fn cut_off_keeps_cover(sheet: &mut Worksheet<'_>, pump: &Given<Pump>, cut_off: &Given<Level>) -> Answer {
    if matches!(pump.least_submergence, Shown::Is(_)) {
        let why = "the maker states the least submergence";
        return Err(Gap::DoesNotApply(why.to_owned()));
    }
    sheet.note_given("z_cut-off", cut_off);
    let cover = sheet.figure("z_cover", &COVERED_LEVEL, &pump.place)?;
    above(
        ("low-level cut-off", cut_off.si(), &cut_off.place),
        ("the lowest water that covers the intake", cover),
        true,
    )
}

/// Held against an overflow that is itself in order; else against the rim.
fn make_up_in_order(
    sheet: &mut Worksheet<'_>,
    plan: &Plan,
    make_up: &Given<MakeUp>,
    (id, basin): (&str, &Given<Basin>),
) -> Answer {
    let level = sheet.given("z_make-up", &make_up.level, &make_up.place, "level")?;
    let place = make_up.place.child("level");
    let control = ("make-up level", level, &place);
    let mut parts = Vec::new();
    for pump in pumps_of(plan, id) {
        if let Shown::Is(intake) = &pump.intake {
            sheet.note_given("z_intake", intake);
            parts.push(above(control, ("the pump’s intake", intake.si()), false));
        }
    }
    let rim = sheet.given("z_rim", &basin.rim, &basin.place, "rim");
    let still = sheet.given("z_still", &basin.still, &basin.place, "still");
    let overflow = basin.overflow.given().and_then(|overflow| overflow.level.given());
    match (overflow, still, rim) {
        (Some(overflow), Ok(still), Ok(rim)) if under(still, overflow.si()) && !under(rim, overflow.si()) => {
            sheet.note_given("z_overflow", overflow);
            parts.push(below(control, ("the overflow", overflow.si()), false));
        }
        (_, _, Ok(rim)) => parts.push(below(control, ("the rim", rim), false)),
        (_, _, Err(gap)) => parts.push(Err(gap)),
    }
    all("the make-up level is in order", parts)
}

fn skimmer_in_order(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, skimmer: &Given<Skimmer>) -> Answer {
    let at = &basin.place;
    let lip = sheet.given("z_lip", &skimmer.level, &skimmer.place, "level")?;
    let place = skimmer.place.child("level");
    let control = ("skimmer lip", lip, &place);
    let still = sheet
        .given("z_still", &basin.still, at, "still")
        .and_then(|still| below(control, ("still water", still), true));
    let running = sheet
        .figure("z_running", &RUNNING_LEVEL, at)
        .and_then(|running| below(control, ("the running level", running), true));
    all("the skimmer lip is in order", [still, running])
}

/// Still water at the rim is a fault of the rim.
fn overflow_in_order(sheet: &mut Worksheet<'_>, basin: &Given<Basin>, overflow: &Given<Overflow>) -> Answer {
    let at = &basin.place;
    let level = sheet.given("z_overflow", &overflow.level, &overflow.place, "level")?;
    let place = overflow.place.child("level");
    let control = ("overflow", level, &place);
    let rim = sheet.given("z_rim", &basin.rim, at, "rim");
    let still = sheet.given("z_still", &basin.still, at, "still");
    if let (Ok(rim), Ok(still)) = (&rim, &still)
        && !under(*still, *rim)
    {
        let why = "still water does not stand below the rim";
        return Err(Gap::DoesNotApply(why.to_owned()));
    }
    let parts = [
        rim.and_then(|rim| below(control, ("the rim", rim), true)),
        still.and_then(|still| above(control, ("still water", still), false)),
    ];
    all("the overflow is in order", parts)
}
