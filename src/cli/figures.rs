//! `bywash figures`.

use std::path::PathBuf;

use clap::Args;

use super::{
    Failure, Status,
    input::{PlanArguments, engine_under},
    print::{paint, say},
    selection::unknown,
};
use crate::{
    report::terminal,
    review::{FigureLine, figure_lines, report_cases},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Plan file.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Show only these figures or the figures of these objects, such as `crest-head`, `pond` or `/basins/pond`; a figure
    /// that is named is shown with its worked line and source.
    #[arg(value_name = "NAME")]
    names: Vec<String>,
    /// Show every figure with its worked line, inputs and source, and the levels in every case.
    #[arg(long)]
    full: bool,
    #[command(flatten)]
    with: PlanArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let options = arguments.with.options()?;
    let mut engine = engine_under(&[])?;
    let opened = arguments.with.open(&mut engine, &arguments.plan)?;
    let context = engine.context(&opened, options);
    let lines = figure_lines(&context);
    for name in &arguments.names {
        known(&lines, name)?;
    }
    let text = if arguments.names.is_empty() {
        if arguments.full {
            let cases = report_cases(&context, &[]);
            terminal::figures(&lines, &context.assumptions(), paint()) + &terminal::cases(&cases, paint())
        } else {
            terminal::figure_list(&lines, paint())
        }
    } else {
        named(arguments, &lines)
    };
    say(&text)?;
    Ok(Status::Clear)
}

/// The figures that were asked for: those of an object in short, one by its name in full.
fn named(arguments: &Arguments, lines: &[FigureLine]) -> String {
    let mut text = String::new();
    for name in &arguments.names {
        let of_name: Vec<FigureLine> = lines.iter().filter(|line| line.name == *name).cloned().collect();
        let of_object: Vec<FigureLine> = lines.iter().filter(|line| is_of(line, name)).cloned().collect();
        if of_name.is_empty() && !arguments.full {
            text.push_str(&terminal::figure_list(&of_object, paint()));
        } else {
            let lines = if of_name.is_empty() { of_object } else { of_name };
            text.push_str(&terminal::figures(&lines, &[], paint()));
        }
    }
    text
}

/// Whether a figure is of an object, named by its pointer, its id or in words.
fn is_of(line: &FigureLine, name: &str) -> bool {
    let id = line.object.parts().last();
    line.object.as_str() == name.trim_end_matches('/')
        || line.object_name == name
        || id.as_deref() == Some(name)
}

fn known(lines: &[FigureLine], name: &str) -> Result<(), Failure> {
    if lines.iter().any(|line| line.name == name || is_of(line, name)) {
        return Ok(());
    }
    let names = lines.iter().flat_map(|line| {
        [
            line.name.as_str(),
            line.object_name.as_str(),
            line.object.as_str(),
        ]
    });
    let all = "`bywash figures PLAN --full` shows all";
    Err(unknown("figure or object of this plan", name, names, all))
}
