//! Stone on hand: which layers each load of the yard can build, as it is or sorted, and the cheapest set that builds them all.

use super::{
    least_cost::least_cost,
    lines::{SoldBy, figure, stone_size},
};
use crate::{
    papers::{
        document::{Block, Cell, Column, Row, SheetTable},
        grid::{Grid, GridColumn, GridProblem, GridRow},
        level_changes::BuiltValue,
        words::basin_name,
    },
    plan::{Fill, Given, Layer, Measure, Shown},
    quantity::{Kind, UnitSystem},
    read::{Place, ProblemKind},
    review::{Review, ReviewContext},
    rules::{Card, RuleOutcome, Severity, judge},
    text::shown,
};

/// Stone lost, and water that it brings along, as in the materials list.
const ALLOWANCE: f64 = 1.10 * 1.05;

/// A load in the yard.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// What the yard calls it.
    pub name: String,
    /// Its sizes, m.
    pub sizes: (f64, f64),
    /// Whether it is angular.
    pub angular: bool,
    /// Whether it is washed.
    pub washed: bool,
    /// Price of a ton, short or metric as the units of the plan have it.
    pub price: f64,
    /// How much there is, kg.
    pub mass: f64,
}

/// A layer that stone is wanted for.
struct Want<'a> {
    name: String,
    layer: &'a Given<Layer>,
    sizes: (f64, f64),
    /// kg, with waste and moisture.
    mass: f64,
}

/// Reads the loads of a yard: columns “load”, “smallest”, “largest”, “shape”, “washed”, “price” and “tons”.
///
/// # Errors
/// Every row and column that can't be taken.
pub fn read_yard(grid: &Grid, units: UnitSystem) -> Result<Vec<Load>, Vec<GridProblem>> {
    let mut missing = Vec::new();
    let mut column = |name: &str| match grid.required(name) {
        Ok(column) => Some(column),
        Err(problem) => {
            missing.push(problem);
            None
        }
    };
    let columns = [
        column("load"),
        column("smallest"),
        column("largest"),
        column("shape"),
        column("washed"),
        column("price"),
        column("tons"),
    ];
    let [
        Some(name),
        Some(least),
        Some(most),
        Some(shape),
        Some(washed),
        Some(price),
        Some(tons),
    ] = columns
    else {
        return Err(missing);
    };
    let ton = SoldBy::of(Kind::Mass, units).unit;
    let (mut loads, mut problems): (Vec<Load>, Vec<GridProblem>) = (Vec::new(), Vec::new());
    for row in grid.body() {
        let take = || -> Result<Load, GridProblem> {
            let load = row.text(&name);
            if load.is_empty() {
                let problem = row.problem(&name, "a load without a name");
                return Err(problem.of(ProblemKind::MissingCell));
            }
            if loads.iter().any(|other| other.name == load) {
                let problem = row.problem(&name, format!("`{}` is in the list twice", shown(load)));
                return Err(problem.of(ProblemKind::RowGivenTwice));
            }
            let sizes = (size(row, &least)?, size(row, &most)?);
            if sizes.0 > sizes.1 {
                let problem = row.problem(&most, "the largest stone is smaller than the smallest");
                return Err(problem.of(ProblemKind::NotAccepted));
            }
            let angular = match row.text(&shape).to_lowercase().as_str() {
                "round" | "subangular" => false,
                "angular" => true,
                other => {
                    let problem = row.problem(&shape, format!("`{}` is no shape", shown(other)));
                    return Err(problem.help("round, subangular or angular"));
                }
            };
            let washed = match row.text(&washed).to_lowercase().as_str() {
                "yes" | "true" => true,
                "no" | "false" => false,
                other => {
                    return Err(row.problem(&washed, format!("`{}` is neither yes nor no", shown(other))));
                }
            };
            Ok(Load {
                name: load.to_owned(),
                sizes,
                angular,
                washed,
                price: amount(row, &price)?,
                mass: ton.to_si(amount(row, &tons)?),
            })
        };
        match take() {
            Ok(load) => loads.push(load),
            Err(problem) => problems.push(problem),
        }
    }
    if loads.len() > MOST_LOADS {
        problems.push(GridProblem {
            kind: ProblemKind::OutOfRange,
            row: None,
            column: None,
            message: format!(
                "{} loads; {MOST_LOADS} are the most that are weighed against each other",
                loads.len()
            ),
            help: Some("leave out what is angular or too far away".to_owned()),
        });
    }
    if problems.is_empty() {
        Ok(loads)
    } else {
        Err(problems)
    }
}

/// Loads weighed against each other, at most.
const MOST_LOADS: usize = 60;

fn size(row: &GridRow, column: &GridColumn) -> Result<f64, GridProblem> {
    match row.measured(column, Kind::Length)? {
        Some(size) if size.si > 0.0 => Ok(size.si),
        Some(_) => Err(row
            .problem(column, "a size is more than nothing")
            .of(ProblemKind::OutOfRange)),
        None => Err(row.problem(column, "no size").of(ProblemKind::MissingCell)),
    }
}

fn amount(row: &GridRow, column: &GridColumn) -> Result<f64, GridProblem> {
    let text = row.text(column);
    let number = text.replace(',', "").parse::<f64>().ok();
    number
        .filter(|number| number.is_finite() && *number >= 0.0 && *number < 1e9)
        .ok_or_else(|| {
            row.problem(column, format!("`{}` is no amount", shown(text)))
                .help("a plain number, such as 12.5")
        })
}

/// What the yard can do for a plan.
pub(super) struct YardFound {
    pub blocks: Vec<Block>,
    /// Sizes of layers that would let loads of the yard build them, as values of the plan; none where nothing need change or nothing helps.
    pub changes: Vec<BuiltValue>,
}

/// Weighs the loads of a yard against the layers of a plan.
pub(super) fn yard(
    context: &ReviewContext<'_>,
    review: &Review,
    cards: &[Card],
    loads: &[Load],
) -> YardFound {
    let wants = wants(context, review);
    let units = context.units;
    let usable = |load: &Load| if load.angular || !load.washed { 0.0 } else { 1.0 };
    let shares: Vec<Vec<f64>> = wants
        .iter()
        .map(|want| {
            loads
                .iter()
                .map(|load| usable(load) * share(load, want.sizes))
                .collect()
        })
        .collect();
    let ton = SoldBy::of(Kind::Mass, units);
    let mut blocks = vec![
        Block::Note {
            text: "A load serves a layer by the share of it that lies between the layer’s sizes; the sizes of a load are taken to be spread \
                   evenly by their logarithm, and a sieve test decides. Angular and unwashed stone serves no layer as it is."
                .to_owned(),
        },
        Block::Table(uses(&wants, loads, &shares, units)),
    ];
    // Layers that no load can build are set aside, so that the others still get their set.
    let able: Vec<usize> = (0..wants.len())
        .filter(|&at| {
            let there: f64 = shares[at]
                .iter()
                .zip(loads)
                .map(|(share, load)| share * load.mass)
                .sum();
            there + 1e-9 >= wants[at].mass
        })
        .collect();
    let needs: Vec<f64> = able.iter().map(|&at| wants[at].mass).collect();
    let of_able: Vec<Vec<f64>> = able.iter().map(|&at| shares[at].clone()).collect();
    let most: Vec<f64> = loads.iter().map(|load| load.mass).collect();
    let prices: Vec<f64> = loads.iter().map(|load| load.price / ton.unit.factor).collect();
    blocks.push(Block::Heading {
        text: "Cheapest set".to_owned(),
    });
    let amounts = if able.is_empty() {
        None
    } else {
        least_cost(&of_able, &needs, &most, &prices)
    };
    match amounts {
        Some(amounts) => {
            let named: Vec<&str> = able.iter().map(|&at| wants[at].name.as_str()).collect();
            blocks.push(Block::Table(set(loads, &amounts, &of_able, &named, ton)));
        }
        None => blocks.push(Block::Note {
            text: "No set of these loads builds the layers together.".to_owned(),
        }),
    }
    let mut changes = Vec::new();
    let short: Vec<&Want<'_>> = (0..wants.len())
        .filter(|at| !able.contains(at))
        .map(|at| &wants[at])
        .collect();
    if !short.is_empty() {
        blocks.push(Block::Heading {
            text: "What no load builds, and what to change".to_owned(),
        });
        let rows: Vec<Row> = short
            .iter()
            .map(|want| {
                let instead = instead(context, cards, want, loads);
                let said = match &instead {
                    Some((load, values)) => {
                        changes.extend(values.iter().cloned());
                        format!(
                            "Build it of “{}”, {} to {}: no rule that stops or revises falls short then.",
                            load.name,
                            stone_size(load.sizes.0, units),
                            stone_size(load.sizes.1, units)
                        )
                    }
                    None => "Nothing in the yard: order it elsewhere, or wait.".to_owned(),
                };
                Row::of(vec![
                    Cell::text(want.name.clone()),
                    Cell::text(ton.show(want.mass)),
                    Cell::Text(said),
                ])
            })
            .collect();
        let columns = vec![
            Column::words("layer", 1.4),
            Column::figures("needed", 0.8),
            Column::words("instead", 3.6),
        ];
        blocks.push(Block::Table(SheetTable::plain("yard-changes", columns, rows)));
    }
    YardFound { blocks, changes }
}

/// The stone layers of a plan with what they need.
fn wants<'a>(context: &ReviewContext<'a>, review: &Review) -> Vec<Want<'a>> {
    let plan = context.plan;
    let mut wants = Vec::new();
    for (id, basin) in &plan.basins {
        for (layer_id, layer) in &basin.layers {
            let (Shown::Is(least), Shown::Is(most)) = (&layer.smallest, &layer.largest) else {
                continue;
            };
            let mass = figure(review, &layer.place, "stone-mass").and_then(|found| found.si);
            if layer.fill.value().is_none_or(|fill| *fill == Fill::Stone)
                && let Some(mass) = mass
            {
                wants.push(Want {
                    name: format!("{}, {layer_id}", basin_name(plan, id)),
                    layer,
                    sizes: (least.si(), most.si()),
                    mass: mass * ALLOWANCE,
                });
            }
        }
    }
    wants
}

/// The share of a load between two sizes, by the logarithm of size.
fn share(load: &Load, (least, most): (f64, f64)) -> f64 {
    let hair = 1e-6;
    let (from, to) = (load.sizes.0.max(least), load.sizes.1.min(most));
    let whole = (load.sizes.1 / load.sizes.0).ln();
    if whole < hair {
        // One size: all of it or nothing.
        return f64::from(u8::from(
            load.sizes.0 >= least - hair && load.sizes.1 <= most + hair,
        ));
    }
    ((to / from).ln() / whole).clamp(0.0, 1.0)
}

/// What each load does for each layer.
fn uses(wants: &[Want<'_>], loads: &[Load], shares: &[Vec<f64>], units: UnitSystem) -> SheetTable {
    let size = |si: f64| stone_size(si, units);
    let rows = loads.iter().enumerate().map(|(at, load)| {
        let mut used = 0.0;
        let mut words = Vec::new();
        for (want, share) in wants.iter().zip(shares) {
            let share = share[at];
            if share <= 0.0 {
                continue;
            }
            used += share;
            if share >= 1.0 - 1e-6 {
                words.push(format!("{}: as it is", want.name));
                continue;
            }
            let mut screens = Vec::new();
            if load.sizes.1 > want.sizes.1 {
                screens.push(format!("through {}", size(want.sizes.1)));
            }
            if load.sizes.0 < want.sizes.0 {
                screens.push(format!("over {}", size(want.sizes.0)));
            }
            words.push(format!(
                "{}: {:.0} % of it, screened {}",
                want.name,
                share * 100.0,
                screens.join(" and ")
            ));
        }
        let why = match (load.angular, load.washed, words.is_empty()) {
            (true, ..) => "none: angular stone interlocks and holds mud".to_owned(),
            (_, false, _) => "none until it is washed".to_owned(),
            (.., true) => "none: no layer has its sizes".to_owned(),
            _ => words.join("; "),
        };
        let left = (1.0 - used).clamp(0.0, 1.0);
        Row::of(vec![
            Cell::text(load.name.clone()),
            Cell::Text(format!("{} to {}", size(load.sizes.0), size(load.sizes.1))),
            Cell::Text(why),
            Cell::Quantity {
                si: left,
                text: format!("{:.0} %", left * 100.0),
            },
        ])
    });
    let columns = vec![
        Column::words("load", 1.4),
        Column::words("sizes", 1.2),
        Column::words("layers it can build", 3.6),
        Column::figures("left over", 0.7),
    ];
    SheetTable::plain("yard", columns, rows.collect())
}

/// The loads to buy, rounded up to what is sold, no more than there is.
fn set(loads: &[Load], amounts: &[f64], shares: &[Vec<f64>], names: &[&str], ton: SoldBy) -> SheetTable {
    let mut total = 0.0;
    let mut rows: Vec<Row> = loads
        .iter()
        .enumerate()
        .zip(amounts)
        .filter(|(_, amount)| **amount > 1e-6)
        .map(|((at, load), amount)| {
            let tons = ton.order(*amount).amount.min(ton.unit.from_si(load.mass));
            let cost = tons * load.price;
            total += cost;
            let serves: Vec<&str> = names
                .iter()
                .zip(shares)
                .filter(|(_, share)| share[at] > 0.0)
                .map(|(name, _)| *name)
                .collect();
            Row::of(vec![
                Cell::text(load.name.clone()),
                Cell::Number {
                    value: tons,
                    text: format!("{tons} {}", ton.unit.symbol),
                },
                Cell::Number {
                    value: cost,
                    text: crate::quantity::grouped(&format!("{cost:.2}")),
                },
                Cell::text(serves.join(", ")),
            ])
        })
        .collect();
    rows.push(Row::strong(vec![
        Cell::text("all"),
        Cell::Empty,
        Cell::Number {
            value: total,
            text: crate::quantity::grouped(&format!("{total:.2}")),
        },
        Cell::Empty,
    ]));
    let columns = vec![
        Column::words("load", 1.6),
        Column::figures("buy", 0.9),
        Column::figures("cost", 0.9),
        Column::words("for", 3.0),
    ];
    let mut table = SheetTable::plain("yard-set", columns, rows);
    table
        .note
        .push_str("Least cost by linear programming over the shares above, with 10 % waste and 5 % moisture; then rounded up to what is sold.");
    table
}

/// The nearest load that could build a layer instead, where no rule falls short with its sizes.
fn instead<'l>(
    context: &ReviewContext<'_>,
    cards: &[Card],
    want: &Want<'_>,
    loads: &'l [Load],
) -> Option<(&'l Load, Vec<BuiltValue>)> {
    let middle = |sizes: (f64, f64)| (sizes.0 * sizes.1).sqrt().ln();
    let mut near: Vec<&Load> = loads
        .iter()
        .filter(|load| !load.angular && load.washed && load.mass + 1e-9 >= want.mass)
        .collect();
    let far = |load: &Load| (middle(load.sizes) - middle(want.sizes)).abs();
    near.sort_by(|a, b| far(a).total_cmp(&far(b)));
    let short = |tree: &crate::read::Node, ledger: &crate::ledger::Ledger| -> Vec<(String, Place)> {
        judge(cards, tree, ledger)
            .into_iter()
            .filter(|judged| {
                judged.card.severity != Severity::Advise
                    && matches!(judged.outcome, RuleOutcome::FallsShort(_))
            })
            .map(|judged| (judged.card.id.clone(), judged.object))
            .collect()
    };
    let before = short(&context.tree.root, context.ledger);
    near.into_iter().find_map(|load| {
        let set = |field: &str, metres: f64| BuiltValue {
            place: want.layer.place.child(field),
            metres,
        };
        let values = vec![set("smallest", load.sizes.0), set("largest", load.sizes.1)];
        let changes: Vec<_> = values.iter().map(|value| value.change(context.units)).collect();
        let built = context.changed(&changes)?;
        let after = short(&built.tree.root, &built.ledger);
        after
            .iter()
            .all(|one| before.contains(one))
            .then_some((load, values))
    })
}
