//! Opening plans with the patches that the command line asks for.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{Failure, UnitsArgument, failure::error_paint};
use crate::{
    engine::{Engine, Opened, ReviewOptions},
    plan::{Date, Plan},
    quantity::{Kind, Quantity},
    read::{Node, Problem, SourceId, assignment, files_in, parse, read_file},
    report::{input_problems::InputProblem, terminal},
    text::shown,
};

/// What changes a plan before it is reviewed, and how it is printed.
#[derive(Debug, Args)]
pub(super) struct PlanArguments {
    /// Apply this JSON merge patch (RFC 7396) to the plan first; repeatable.
    #[arg(long = "with", value_name = "PATCH")]
    with: Vec<PathBuf>,
    /// Change one value first, such as `/basins/bed/rim=+12 in`; repeatable.
    #[arg(long = "set", value_name = "PATH=VALUE")]
    set: Vec<String>,
    /// Apply a merge patch with the surveyed levels.
    #[arg(long, value_name = "PATCH")]
    as_built: Option<PathBuf>,
    #[command(flatten)]
    options: OptionArguments,
}

/// What a review is made for.
#[derive(Debug, Args)]
pub(super) struct OptionArguments {
    /// Date of the review, such as 2026-04-30 [default: the date of the plan].
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// Units to print in [default: the units of the plan].
    #[arg(long, value_name = "UNITS", ignore_case = true)]
    units: Option<UnitsArgument>,
}

impl OptionArguments {
    /// Units and date requested.
    pub fn options(&self) -> Result<ReviewOptions, Failure> {
        let date = match &self.date {
            None => None,
            Some(text) => Some(Date::parse(text).ok_or_else(|| Failure::Argument {
                message: format!("`{}` is no date", shown(text)),
                help: "write it as 2026-04-30".to_owned(),
            })?),
        };
        Ok(ReviewOptions {
            units: self.units.map(Into::into),
            date,
            cures: true,
            cases: false,
            in_depth: false,
        })
    }
}

impl PlanArguments {
    /// Units and date requested.
    pub fn options(&self) -> Result<ReviewOptions, Failure> {
        self.options.options()
    }

    /// The files of patches.
    pub fn patches(&self) -> impl Iterator<Item = &Path> {
        self.with.iter().chain(&self.as_built).map(PathBuf::as_path)
    }

    /// Opens a plan under the patches: those of `--with`, then `--as-built`, then `--set`, each in the order given.
    pub fn open(&self, engine: &mut Engine, plan: &Path) -> Result<Opened, Failure> {
        let source = read_file(&mut engine.sources, plan)?;
        let patches = self.read_patches(engine)?;
        engine
            .open(source, patches)
            .map_err(|problems| unreadable(engine, &problems))
    }

    /// Whether a plan can be reviewed under the patches, without computing anything; and the files that it refers to.
    pub fn check(&self, engine: &mut Engine, plan: &Path) -> Result<Vec<PathBuf>, Failure> {
        let source = read_file(&mut engine.sources, plan)?;
        let patches = self.read_patches(engine)?;
        engine
            .model(source, patches.into_iter().map(|(_, patch)| patch))
            .map(|(_, plan)| beside(engine, source, &plan))
            .map_err(|problems| unreadable(engine, &problems))
    }

    fn read_patches(&self, engine: &mut Engine) -> Result<Vec<(String, Node)>, Failure> {
        let mut patches: Vec<(String, Node)> = Vec::new();
        for path in self.patches() {
            let patch = read_file(&mut engine.sources, path)?;
            let node = parse(&engine.sources, patch).map_err(|problems| unreadable(engine, &problems))?;
            patches.push((path.to_string_lossy().into_owned(), node));
        }
        for written in &self.set {
            let node =
                assignment(&mut engine.sources, written).map_err(|problem| unreadable(engine, &[problem]))?;
            patches.push((format!("--set {written}"), node));
        }
        Ok(patches)
    }
}

/// The photographs and sheets that a plan refers to: they lie beside it.
pub(super) fn beside(engine: &Engine, source: SourceId, plan: &Plan) -> Vec<PathBuf> {
    let file = Path::new(engine.sources.name(source));
    let folder = file.parent().unwrap_or(Path::new(""));
    let attachments = plan.attachments.values();
    attachments
        .filter_map(|attachment| attachment.file.value())
        .map(|file| folder.join(file))
        .collect()
}

/// A quantity as an argument writes it, in SI; `such` are examples of what is accepted.
pub(super) fn quantity_argument(argument: &str, text: &str, kind: Kind, such: &str) -> Result<f64, Failure> {
    Quantity::parse(text, kind)
        .map(|quantity| quantity.si)
        .map_err(|error| Failure::Argument {
            message: format!("{argument}: {error}"),
            help: format!("write it with its unit, such as {such}"),
        })
}

/// A firm's own rules.
#[derive(Debug, Args)]
pub(super) struct HouseArgument {
    /// Folder of the firm’s own rules and its overrides of the built-in rules.
    #[arg(long = "house", value_name = "DIR")]
    folder: Option<PathBuf>,
}

impl HouseArgument {
    /// The pages of the house, none where none is named.
    pub fn pages(&self) -> Result<Vec<PathBuf>, Failure> {
        self.folder.as_deref().map_or(Ok(Vec::new()), pages_of)
    }
}

/// The pages of a house.
pub(super) fn pages_of(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    Ok(files_in(folder, "md")?)
}

/// An engine with the library that comes with the program, and the pages of a house over it.
pub(super) fn engine_under(house: &[PathBuf]) -> Result<Engine, Failure> {
    let (mut engine, outcome) = Engine::new();
    outcome.map_err(|problems| unreadable(&engine, &problems))?;
    if !house.is_empty() {
        let pages = house
            .iter()
            .map(|path| read_file(&mut engine.sources, path))
            .collect::<Result<Vec<_>, _>>()?;
        engine
            .take_house(&pages)
            .map_err(|problems| unreadable(&engine, &problems))?;
    }
    Ok(engine)
}

/// Problems, laid out for standard error.
pub(super) fn unreadable(engine: &Engine, problems: &[Problem]) -> Failure {
    let listed = problems
        .iter()
        .map(|problem| InputProblem::of(&engine.sources, problem));
    Failure::Problems {
        count: problems.len(),
        listed: listed.collect(),
        told: terminal::problems(&engine.sources, problems, error_paint()),
    }
}
