//! Tests of the first month, and upkeep by season.

use crate::{
    papers::{
        document::{Block, Cell, Column, Row, SheetTable},
        words::holds_fish,
    },
    plan::{Measure, Plan, Shown, name_of},
    quantity::{Kind, UnitSystem, own_first, show_computed},
    review::ReviewContext,
};

/// Days of the first month on which water is tested (common practice for a filter that is still empty of life).
const DAYS: [u32; 10] = [1, 2, 3, 5, 7, 10, 14, 18, 22, 28];

/// The sheet of start-up and first-month tests.
pub(super) fn first_month(context: &ReviewContext<'_>) -> Vec<Block> {
    let stocked = holds_fish(context.plan);
    let columns = vec![
        Column::figures("day", 0.5),
        Column::words("water temp.", 1.0),
        Column::words("pH", 0.8),
        Column::words("total ammonia", 1.0),
        Column::words("nitrite", 0.9),
        Column::words("alkalinity", 1.0),
        Column::words("oxygen", 0.9),
        Column::words("flow or crest head", 1.2),
        Column::words("by", 0.7),
    ];
    let rows = DAYS.map(|day| {
        let mut cells = vec![Cell::count(day as usize)];
        cells.extend(vec![Cell::Blank; 8]);
        Row::of(cells)
    });
    let water = context.plan.water.value();
    let ph = water.and_then(|water| Some((*water.lowest_ph.value()?, *water.highest_ph.value()?)));
    let ph = ph.map_or_else(
        || "6.5 to 9.0".to_owned(),
        |(low, high)| format!("{low} to {high}, as the plan has it"),
    );
    let alkalinity = water
        .and_then(|water| water.alkalinity.value())
        .map(|alkalinity| {
            format!(
                "; the plan counts on {}",
                show_computed(alkalinity.si(), Kind::Concentration, context.units)
            )
        });
    let mut blocks = vec![
        Block::Facts {
            rows: vec![
                ("pH".to_owned(), ph),
                (
                    "ammonia".to_owned(),
                    "un-ionized ammonia below 0.02 mg/L (Texas Parks & Wildlife), harm from 0.05 mg/L (UF/IFAS FA16): the share grows with pH \
                     and warmth"
                        .to_owned(),
                ),
                ("nitrite".to_owned(), "none that a kit shows once the filter works (common practice)".to_owned()),
                ("oxygen".to_owned(), "above 5 mg/L at dawn, when it is lowest (Texas Parks & Wildlife)".to_owned()),
                (
                    "alkalinity".to_owned(),
                    format!("40 mg/L or more keeps the filter working{}", alkalinity.unwrap_or_default()),
                ),
            ],
        },
        Block::Table(SheetTable::plain("first-month", columns, rows.to_vec())),
    ];
    if stocked {
        blocks.push(Block::Caution {
            text: "Where ammonia or nitrite rises: stop feeding, add air, and change a tenth of the water with treated water of the same \
                   temperature. Feed little until two tests a week apart are clean."
                .to_owned(),
        });
    }
    let mut labels = vec!["tests kept by".to_owned()];
    labels.extend(stocked.then(|| "telephone if fish gasp".to_owned()));
    blocks.push(Block::Signature { labels });
    blocks
}

/// The sheet of upkeep by season.
pub(super) fn upkeep(context: &ReviewContext<'_>) -> Vec<Block> {
    let plan = context.plan;
    let has_inlet = plan
        .lines
        .values()
        .any(|line| matches!(line.air_inlet, Shown::Is(_)));
    let has_valve = plan
        .lines
        .values()
        .any(|line| matches!(line.check_valve, Shown::Is(_)))
        || plan
            .pumps
            .values()
            .any(|pump| matches!(pump.check_valve, Shown::Is(_)));
    let monthly = [
        Some("Press the test button of each ground-fault device and reset it."),
        has_inlet.then_some("Rod the air inlet."),
        has_valve.then_some("Switch off and see the check valve hold."),
    ];
    let monthly: Vec<&str> = monthly.into_iter().flatten().collect();
    let feeding = if holds_fish(plan) {
        own_first(
            " First feed only when the water stays above 50 °F (10 °C).",
            context.units,
        )
    } else {
        String::new()
    };
    let mut rows: Vec<(&str, String)> = vec![
        ("every week", "Empty baskets and screens. Look at every level from the same spot; a fall that make-up hides shows on its meter.".to_owned()),
        ("every month", monthly.join(" ")),
    ];
    rows.extend(flushing(plan, context.units));
    rows.push(("spring", "Pump and gear looked at with the power locked out. Crest levelled under running water again: ground moves in winter.".to_owned() + &feeding));
    rows.push(("summer", "Top up with treated water. Most air on warm nights. Cut plants back before they cover more than the plan has.".to_owned()));
    rows.push(("fall", "Net over the water while leaves fall. Cut what dies back and take it out. Shoot rims and crests against the as-built sheet.".to_owned()));
    let winter = plan.upkeep.value().and_then(|upkeep| upkeep.winter.value());
    rows.push(("winter", match winter {
        Some(plan) => format!("{}. Nobody steps on the ice.", capital(plan)),
        None => "The plan shows no winter plan: ask the designer before the first frost. Nobody steps on the ice.".to_owned(),
    }));
    if let Some(spare) = plan
        .pumps
        .iter()
        .find_map(|(id, pump)| Some((name_of(id, &pump.name), pump.spare.value()?)))
    {
        rows.push((
            "when it fails",
            format!("{}: {}. Lock out before the pump is lifted.", spare.0, spare.1),
        ));
    }
    let rows = rows
        .into_iter()
        .map(|(when, what)| Row::of(vec![Cell::text(when), Cell::Text(what), Cell::Blank]));
    let columns = vec![
        Column::words("when", 0.9),
        Column::words("what", 4.6),
        Column::words("done, date", 1.1),
    ];
    vec![
        Block::Caution {
            text: "Water and a cut cord kill: lock the switch before a hand goes in. Do not work alone over deep or icy water.".to_owned(),
        },
        Block::Table(SheetTable::plain("upkeep", columns, rows.collect())),
        Block::Signature {
            labels: vec!["owner".to_owned(), "kept by".to_owned(), "year".to_owned()],
        },
    ]
}

fn flushing(plan: &Plan, units: UnitSystem) -> Option<(&'static str, String)> {
    let interval = plan.upkeep.value()?.flush_interval.value()?;
    Some((
        "flush",
        format!(
            "Every {}: flush each bed through its well until the water runs clear.",
            show_computed(interval.si(), Kind::Time, units)
        ),
    ))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
