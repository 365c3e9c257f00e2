//! `bywash takeoff`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    field_paper::FieldPaperArguments,
    grid_file::{grid_file, refused_grid},
    input::quantity_argument,
    print::say_error,
};
use crate::{
    papers::{TakeoffOptions, read_prices, read_yard, takeoff},
    quantity::{Kind, UnitSystem},
    report::drawing::takeoff_drawings,
    text::visible,
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// A firm’s prices: CSV or workbook with the columns “item” and “price”, and “currency” where there is one.
    #[arg(long, value_name = "FILE")]
    prices: Option<PathBuf>,
    /// Stone on hand: CSV or workbook with the columns “load”, “smallest”, “largest”, “shape”, “washed”, “price” (of a ton) and “tons”.
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// Write the merge patch by which layers are built of what the yard has to this file.
    #[arg(long, value_name = "FILE", requires = "yard")]
    patch: Option<PathBuf>,
    /// Width of the rolls that underlay and cushion come on [default: 12 ft 6 in, or 2 m].
    #[arg(long, value_name = "WIDTH")]
    fabric_roll: Option<String>,
    /// Lap of strips of fabric [default: 12 in, or 300 mm].
    #[arg(long, value_name = "LENGTH")]
    lap: Option<String>,
    /// Width of the rolls that membranes are cut from; without it each basin has a sheet of its own.
    #[arg(long, value_name = "WIDTH")]
    liner_roll: Option<String>,
    /// Length that pipe is sold in [default: 20 ft, or 5 m].
    #[arg(long, value_name = "LENGTH")]
    pipe_stock: Option<String>,
    #[command(flatten)]
    paper: FieldPaperArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    arguments.paper.with_problems(listed(arguments))
}

fn listed(arguments: &Arguments) -> Result<Status, Failure> {
    // Before the plan is read, so that a slip on the command line is told at once.
    arguments.sizes(TakeoffOptions::usual(UnitSystem::Us))?;
    let patch = arguments.patch.as_deref().map(|path| ("--patch", path));
    let inputs = arguments.prices.iter().chain(&arguments.yard);
    let outputs = arguments.paper.claim(patch, inputs)?;
    let prices = match &arguments.prices {
        None => Vec::new(),
        Some(path) => {
            let grid = grid_file(path)?;
            read_prices(&grid).map_err(|problems| refused_grid(&grid, &problems))?
        }
    };
    let plan = outputs.reviewed()?;
    let context = plan.context();
    let mut sizes = arguments.sizes(TakeoffOptions::usual(context.units))?;
    sizes.prices = prices;
    sizes.yard = match &arguments.yard {
        None => None,
        Some(path) => {
            let grid = grid_file(path)?;
            Some(read_yard(&grid, context.units).map_err(|problems| refused_grid(&grid, &problems))?)
        }
    };
    let list = takeoff(&context, &plan.review, &plan.rules().cards, &sizes);
    let drawn = || takeoff_drawings(&list, context.units);
    let further = arguments
        .patch
        .as_ref()
        .map(|_| list.yard_patch.clone().into_bytes());
    outputs.write(&list.paper, drawn, further)?;
    if !list.unused_prices.is_empty() {
        say_error(&format!(
            "no line of this list is one of these items of the price list: {}\n",
            visible(&list.unused_prices.join(", "))
        ));
    }
    Ok(Status::Clear)
}

impl Arguments {
    /// The usual sizes with those of the command line.
    fn sizes(&self, usual: TakeoffOptions) -> Result<TakeoffOptions, Failure> {
        let fabric_roll = size("--fabric-roll", self.fabric_roll.as_deref())?.unwrap_or(usual.fabric_roll);
        let lap = match self.lap.as_deref() {
            Some(text) => length("--lap", text)?,
            None => usual.lap,
        };
        if lap < 0.0 || lap >= fabric_roll {
            return Err(Failure::Argument {
                message: "the lap leaves the roll no width".to_owned(),
                help: "give a lap that is less than the width of the roll".to_owned(),
            });
        }
        Ok(TakeoffOptions {
            fabric_roll,
            lap,
            liner_roll: size("--liner-roll", self.liner_roll.as_deref())?,
            pipe_stock: size("--pipe-stock", self.pipe_stock.as_deref())?.unwrap_or(usual.pipe_stock),
            ..usual
        })
    }
}

/// The least width or length that goods are sold in, m.
const LEAST: f64 = 0.1;

fn size(argument: &str, text: Option<&str>) -> Result<Option<f64>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let si = length(argument, text)?;
    if si >= LEAST {
        return Ok(Some(si));
    }
    Err(Failure::Argument {
        message: format!("{argument} is too small to be sold"),
        help: "give 4 in (100 mm) or more".to_owned(),
    })
}

fn length(argument: &str, text: &str) -> Result<f64, Failure> {
    quantity_argument(argument, text, Kind::Length, "`12 ft 6 in` or `2 m`")
}
