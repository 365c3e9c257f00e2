//! `bywash grades`.

use clap::{ArgGroup, Args};

use super::{Failure, Status, field_paper::FieldPaperArguments, input::quantity_argument, print::say_error};
use crate::{
    formulas::levelling,
    papers::{BELOW_FOOT, GradeOptions, Rod, SetUps, TWO_SIGHTS, grade_sheet, two_sights},
    quantity::Kind,
    report::drawing::grade_drawings,
    text::shown,
};

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("set-up").required(true).args(["hi", "backsight"])))]
pub(super) struct Arguments {
    /// Height of the instrument’s line of sight above the benchmark, such as `4 ft 2 in`.
    #[arg(long, value_name = "LEVEL", allow_hyphen_values = true)]
    hi: Option<String>,
    /// What the rod reads on the benchmark, such as `4 ft 2 in` or `1.274 m`.
    #[arg(long, value_name = "READING")]
    backsight: Option<String>,
    /// Level of the mark that the backsight stands on, where it is not the benchmark.
    #[arg(long = "on", value_name = "LEVEL", allow_hyphen_values = true)]
    mark: Option<String>,
    /// Sights on a turning point, from the set-up before it and from the one after: `1 ft 3 in / 6 ft 2 in`; repeatable.
    #[arg(long = "turn", value_name = "FORESIGHT/BACKSIGHT")]
    turns: Vec<String>,
    /// How the rod is marked [default: feet-inches for US units, metric for SI].
    #[arg(long, value_name = "ROD", ignore_case = true)]
    rod: Option<RodArgument>,
    /// Length of the rod [default: 16 ft, or 5 m].
    #[arg(long, value_name = "LENGTH")]
    rod_length: Option<String>,
    #[command(flatten)]
    paper: FieldPaperArguments,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum RodArgument {
    /// Feet and inches, read to 1/8 in.
    FeetInches,
    /// Feet and tenths, read to 0.01 ft.
    Tenths,
    /// Metres, read to 1 mm.
    Metric,
}

impl From<RodArgument> for Rod {
    fn from(rod: RodArgument) -> Self {
        match rod {
            RodArgument::FeetInches => Self::FeetInches,
            RodArgument::Tenths => Self::Tenths,
            RodArgument::Metric => Self::Metric,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let sights = Sights::of(arguments)?;
    let outputs = arguments.paper.claim(None, [])?;
    let plan = outputs.reviewed()?;
    let context = plan.context();
    let grades = GradeOptions {
        set_ups: sights.set_ups(
            arguments
                .rod
                .map_or_else(|| Rod::usual(context.units), Into::into),
        ),
        mark: sights.mark,
    };
    let sheet = grade_sheet(&context, &plan.review.subject, &plan.rules(), &grades);
    let drawn = || grade_drawings(&context, &plan.review, &grades.set_ups);
    outputs.write(&sheet.paper, drawn, None)?;
    if sheet.unread.is_empty() {
        return Ok(Status::Clear);
    }
    say_error(&format!(
        "no set-up reads these marks; add a turning point with --turn:\n  {}\n",
        sheet.unread.join("\n  ")
    ));
    Ok(Status::Revise)
}

/// What the arguments say of the set-ups, m.
struct Sights {
    height: f64,
    mark: f64,
    turns: Vec<(f64, f64)>,
    length: Option<f64>,
}

impl Sights {
    fn of(arguments: &Arguments) -> Result<Self, Failure> {
        let mark = arguments
            .mark
            .as_deref()
            .map_or(Ok(0.0), |text| quantity("--on", text, Kind::Level))?;
        let height = match (&arguments.hi, &arguments.backsight) {
            (Some(height), _) => quantity("--hi", height, Kind::Level)?,
            (None, Some(backsight)) => {
                levelling::height_of_instrument(mark, reading("--backsight", backsight)?)
            }
            // One of them is required.
            (None, None) => 0.0,
        };
        let turns = arguments
            .turns
            .iter()
            .map(|text| turn(text))
            .collect::<Result<_, _>>()?;
        let length = arguments.rod_length.as_deref();
        let length = length.map(|text| reading("--rod-length", text)).transpose()?;
        if length.is_some_and(|length| length <= 0.0) {
            return Err(Failure::Argument {
                message: "--rod-length is nothing".to_owned(),
                help: "give the length of the rod, such as `16 ft`".to_owned(),
            });
        }
        Ok(Self {
            height,
            mark,
            turns,
            length,
        })
    }

    fn set_ups(&self, rod: Rod) -> SetUps {
        SetUps::new(
            rod,
            self.length.unwrap_or(rod.usual_length()),
            self.height,
            &self.turns,
        )
    }
}

fn turn(text: &str) -> Result<(f64, f64), Failure> {
    let Some((foresight, backsight)) = two_sights(text) else {
        return Err(Failure::Argument {
            message: format!("--turn `{}` is not two sights", shown(text)),
            help: TWO_SIGHTS.to_owned(),
        });
    };
    Ok((reading("--turn", foresight)?, reading("--turn", backsight)?))
}

/// A reading of the rod, not below its foot.
fn reading(argument: &str, text: &str) -> Result<f64, Failure> {
    let si = quantity(argument, text, Kind::Length)?;
    if si >= 0.0 {
        return Ok(si);
    }
    Err(Failure::Argument {
        message: format!("{argument} `{}` is below the foot of the rod", shown(text)),
        help: BELOW_FOOT.to_owned(),
    })
}

fn quantity(argument: &str, text: &str, kind: Kind) -> Result<f64, Failure> {
    quantity_argument(argument, text, kind, "`4 ft 7-1/8 in`, `4.59 ft` or `1.400 m`")
}
