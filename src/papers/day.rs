//! A day at the pond: levels, flow, what the power costs, and the water that is lost and made up, season by season.

use super::{
    document::{Block, Cell, Column, FieldPaper, Row, SheetTable},
    imprint::PlanImprint,
    words::{basin_name, is_disinfected, site_level},
};
use crate::{
    formulas::evaporation::from_weather,
    plan::{Measure, Shown, name_of},
    quantity::{Kind, own_first, show_computed, show_estimate},
    read::Place,
    review::{Review, ReviewContext},
};

/// Share of the water that falls in a day that splashes out of it, least and most (common practice, no source).
const SPLASH: (f64, f64) = (0.0001, 0.001);
/// A day, s; a year, days; a kilowatt hour, J.
const DAY: f64 = 86_400.0;
const YEAR_DAYS: f64 = 365.25;
/// Air half saturated, and a wind of 5 mph (2.2 m/s), where the site tells neither: as the review assumes.
const HUMIDITY: f64 = 0.5;
const WIND: f64 = 5.0 * 0.447_04;

/// The water lost in a day of a season, m³.
#[derive(Clone, Debug, PartialEq)]
pub struct SeasonLoss {
    /// The season.
    pub season: &'static str,
    /// Temperature of the water, K.
    pub water: f64,
    /// Evaporation.
    pub evaporation: f64,
    /// Splash, least and most.
    pub splash: (f64, f64),
}

/// The day sheet with what its chart shows.
pub struct DaySheet {
    /// The paper.
    pub paper: FieldPaper,
    /// Losses by season; none where the plan does not show its water.
    pub losses: Vec<SeasonLoss>,
}

/// Makes the day sheet of a plan.
pub fn day_sheet(context: &ReviewContext<'_>, review: &Review) -> DaySheet {
    let losses = losses(context);
    let mut blocks = vec![Block::Heading {
        text: "Levels".to_owned(),
    }];
    blocks.push(Block::Table(levels(context)));
    blocks.push(Block::Heading {
        text: "Flow and power".to_owned(),
    });
    blocks.push(Block::Table(power(context)));
    blocks.push(Block::Heading {
        text: "Water lost and made up in a day".to_owned(),
    });
    if losses.is_empty() {
        blocks.push(Block::Note {
            text: "The plan does not show what evaporation is worked out from: coldest and warmest water, open surfaces.".to_owned(),
        });
    } else {
        blocks.push(Block::Table(water(context, &losses)));
        blocks.push(Block::Drawing { name: "day" });
    }
    let chlorine = match is_disinfected(context.plan) {
        Some(false) => "",
        Some(true) | None => " Make-up of tap water brings its chlorine along.",
    };
    blocks.push(Block::Caution {
        text: format!(
            "A meter on the make-up tells a leak: where it counts more than the range for the season, switch off, mark the levels, and \
             look for the basin that falls.{chlorine}"
        ),
    });
    let imprint = PlanImprint::of(&review.subject, context.date, &context.tree.root, context.units);
    let sheets = vec![("A day at the pond".to_owned(), blocks)];
    DaySheet {
        paper: FieldPaper::new(("day", 'D', "A day at the pond"), imprint, sheets),
        losses,
    }
}

fn levels(context: &ReviewContext<'_>) -> SheetTable {
    let level = |si: Option<f64>| {
        si.map_or(Cell::Empty, |si| Cell::Quantity {
            si,
            text: site_level(si, context.units),
        })
    };
    let rows = context.plan.basins.iter().map(|(id, basin)| {
        let figure = |name: &str| context.ledger.quantity(&basin.place, name);
        Row::of(vec![
            Cell::text(basin_name(context.plan, id)),
            level(basin.still.value().map(|still| still.si())),
            level(figure("start-up-level")),
            level(figure("running-level")),
            level(figure("power-off-level")),
            level(basin.rim.value().map(|rim| rim.si())),
        ])
    });
    let columns = vec![
        Column::words("basin", 1.6),
        Column::figures("pumps off", 1.0),
        Column::figures("lowest at start", 1.1),
        Column::figures("running", 1.0),
        Column::figures("after power-off", 1.1),
        Column::figures("rim", 0.9),
    ];
    SheetTable::plain("levels", columns, rows.collect())
}

fn power(context: &ReviewContext<'_>) -> SheetTable {
    let currency = context
        .plan
        .electrical
        .value()
        .and_then(|electrical| electrical.tariff.value())
        .and_then(|tariff| tariff.currency.value());
    let mut total = 0.0;
    let mut rows: Vec<Row> = Vec::new();
    for (id, pump) in &context.plan.pumps {
        let figure = |name: &str| context.ledger.quantity(&pump.place, name);
        let shown = |si: Option<f64>, kind: Kind| {
            si.map_or(Cell::Empty, |si| Cell::Quantity {
                si,
                text: show_computed(si, kind, context.units),
            })
        };
        let energy = figure("yearly-energy").map(|energy| energy / YEAR_DAYS);
        let cost = figure("yearly-cost").map(|cost| cost / YEAR_DAYS);
        total += cost.unwrap_or(0.0);
        rows.push(Row::of(vec![
            Cell::text(name_of(id, &pump.name)),
            shown(figure("duty-flow"), Kind::Flow),
            shown(figure("duty-flow").map(|flow| flow * DAY), Kind::Volume),
            shown(energy, Kind::Energy),
            cost.map_or(Cell::Empty, |cost| Cell::Number {
                value: cost,
                text: money(cost, currency),
            }),
        ]));
    }
    let cost = Column::figures("cost in a day", 1.2);
    let columns = vec![
        Column::words("pump", 1.8),
        Column::figures("flow", 1.0),
        Column::figures("lifted in a day", 1.2),
        Column::figures("energy in a day", 1.2),
        if total > 0.0 { cost } else { cost.only_in_files() },
    ];
    let mut table = SheetTable::plain("power", columns, rows);
    if total > 0.0 {
        table.note = format!(
            "All pumps: {} in a day, {} in a year, running day and night.",
            money(total, currency),
            // To whole units: the price will have changed within the year.
            of_currency(&format!("{:.0}", total * YEAR_DAYS), currency)
        );
    } else {
        table
            .note
            .push_str("Running day and night. The plan gives no price of a kWh, so no cost is worked out.");
    }
    table
}

fn money(amount: f64, currency: Option<&String>) -> String {
    of_currency(&format!("{amount:.2}"), currency)
}

fn of_currency(number: &str, currency: Option<&String>) -> String {
    let number = crate::quantity::grouped(number);
    currency.map_or(number.clone(), |currency| format!("{number} {currency}"))
}

/// Losses by season: evaporation as the review has it for the warmest water, in other seasons by the vapour pressure of the water then.
fn losses(context: &ReviewContext<'_>) -> Vec<SeasonLoss> {
    let Some(water) = context.plan.water.value() else {
        return Vec::new();
    };
    let (Some(coldest), Some(warmest)) = (water.coldest.value(), water.warmest.value()) else {
        return Vec::new();
    };
    let Some(summer) = context.ledger.quantity(&Place::root(), "evaporation") else {
        return Vec::new();
    };
    let (coldest, warmest) = (coldest.si(), warmest.si());
    let site = context.plan.site.value();
    let humidity = site
        .and_then(|site| site.humidity.value())
        .map_or(HUMIDITY, |humidity| humidity.si());
    let wind = match site.map(|site| &site.wind) {
        Some(Shown::Is(wind)) => wind.si(),
        Some(Shown::None(_)) => 0.0,
        _ => WIND,
    };
    let rate = |water: f64| from_weather(water, water, humidity, wind);
    let falling: f64 = context
        .plan
        .falls
        .values()
        .filter_map(|fall| context.ledger.quantity(&fall.place, "fall-flow"))
        .sum();
    let seasons = [
        ("winter", coldest),
        ("spring", f64::midpoint(coldest, warmest)),
        ("summer", warmest),
        ("fall", f64::midpoint(coldest, warmest)),
    ];
    seasons
        .into_iter()
        .filter_map(|(season, water)| {
            let share = rate(water) / rate(warmest);
            share.is_finite().then_some(SeasonLoss {
                season,
                water,
                evaporation: summer * share * DAY,
                splash: (falling * DAY * SPLASH.0, falling * DAY * SPLASH.1),
            })
        })
        .collect()
}

fn water(context: &ReviewContext<'_>, losses: &[SeasonLoss]) -> SheetTable {
    let volume = |si: f64| show_estimate(si, Kind::Volume, context.units);
    let cell = |si: f64| Cell::Quantity { si, text: volume(si) };
    let rows = losses.iter().map(|loss| {
        let (least, most) = (loss.evaporation + loss.splash.0, loss.evaporation + loss.splash.1);
        Row::of(vec![
            Cell::text(loss.season),
            Cell::Quantity {
                si: loss.water,
                text: show_computed(loss.water, Kind::Temperature, context.units),
            },
            cell(loss.evaporation),
            Cell::Text(format!("{} to {}", volume(loss.splash.0), volume(loss.splash.1))),
            cell(least),
            cell(most),
            Cell::Blank,
        ])
    });
    let columns = vec![
        Column::words("season", 0.8),
        Column::figures("water", 0.8),
        Column::figures("evaporation", 1.0),
        Column::figures("splash", 1.5),
        Column::figures("make-up, least", 1.1),
        Column::figures("make-up, most", 1.1),
        Column::words("metered", 1.0),
    ];
    let mut table = SheetTable::plain("water", columns, rows.collect());
    let reserve = context
        .plan
        .pumps
        .values()
        .filter_map(|pump| context.ledger.quantity(&pump.place, "reserve-time"))
        .reduce(f64::min);
    let reserve = reserve.map_or_else(String::new, |time| {
        format!(
            " Without make-up the first pump reaches its cut-off after {}.",
            show_estimate(time, Kind::Time, context.units)
        )
    });
    let after = own_first(
        "Evaporation after ASHRAE, air as warm as the water, humidity and wind as the site gives them, else 50 % and 5 mph (2.2 m/s). \
         Splash 0.01 to 0.1 % of the water that falls (common practice). Rain is not counted.",
        context.units,
    );
    table.note = after + &reserve;
    table
}
