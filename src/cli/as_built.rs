//! `bywash as-built`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    field_paper::{FieldPaperArguments, NamedScenes},
    grid_file::{grid_file, refused_grid},
    input::{HouseArgument, PlanArguments, engine_under},
};
use crate::{
    engine::ReviewOptions,
    papers::{AsBuiltOptions, as_built, fingerprint, marks, read_shots},
    quantity::{Kind, Quantity},
    text::shown_path,
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan file.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Shots: the grade sheet’s CSV or workbook with its column “shot” filled in.
    #[arg(value_name = "SHOTS")]
    shots: PathBuf,
    /// Height of the instrument above the benchmark, where the shots do not give it.
    #[arg(long, value_name = "LEVEL", allow_hyphen_values = true)]
    hi: Option<String>,
    /// Believe the shot of this mark, however far off it is; repeatable.
    #[arg(long, value_name = "ID")]
    believe: Vec<String>,
    /// Write the merge patch that makes the plan the plan as built to this file, for `review --as-built`.
    #[arg(long, value_name = "FILE")]
    patch: Option<PathBuf>,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    outputs: FieldPaperArguments,
    #[command(flatten)]
    with: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let options = ReviewOptions {
        cures: false,
        ..arguments.with.options()?
    };
    let height = arguments.hi.as_deref().map(height).transpose()?;
    let pages = arguments.house.pages()?;
    let inputs = pages.iter().chain([&arguments.plan, &arguments.shots]);
    let patch = arguments.patch.as_deref().map(|path| ("--patch", path));
    let outputs = arguments.outputs.claim(
        patch,
        inputs.map(PathBuf::as_path).chain(arguments.with.patches()),
    )?;
    let grid = grid_file(&arguments.shots)?;
    let mut engine = engine_under(&pages)?;
    let opened = arguments.with.open(&mut engine, &arguments.plan)?;
    let drawn = engine.review(&opened, options);
    let context = engine.context(&opened, options);
    let all = marks(context.plan, context.ledger);
    let imprint = fingerprint(&context.tree.root);
    let shots = read_shots(&grid, &all, &imprint, &arguments.believe, height)
        .map_err(|problems| refused_grid(&grid, &problems))?;
    let file = shown_path(&arguments.shots);
    let check = AsBuiltOptions {
        library: &engine.rules_for(&opened),
        drawn: &drawn,
        file: &file,
    };
    let found = as_built(&context, &all, &shots, &check);
    let further = arguments.patch.as_ref().map(|_| found.patch.into_bytes());
    outputs.write(&found.paper, NamedScenes::new, further)?;
    Ok(if found.holds_water {
        Status::Clear
    } else {
        Status::Revise
    })
}

fn height(text: &str) -> Result<f64, Failure> {
    Quantity::parse(text, Kind::Level)
        .map(|quantity| quantity.si)
        .map_err(|error| Failure::Argument {
            message: format!("--hi: {error}"),
            help: "write it with its unit, such as `4 ft 7-1/8 in` or `1.400 m`".to_owned(),
        })
}
