//! What all field papers are made from and where they go: a plan under its patches and a house; PDF, cells, workbook, JSON,
//! or the terminal.

use std::{
    borrow::Cow,
    path::{Path, PathBuf},
};

use clap::Args;

#[cfg(not(feature = "pdf"))]
use super::paper::no_typesetter;
use super::{
    Failure, Status,
    input::{HouseArgument, PlanArguments, engine_under},
    output::{ForceArgument, Outputs},
    paper::PaperArgument,
    print::{paint, say},
    problems::{ProblemForm, with_problems},
};
use crate::{
    engine::{Engine, Opened, ReviewOptions},
    papers::FieldPaper,
    report::{cells, json, terminal},
    review::{Review, ReviewContext},
    rules::Library,
};

pub(super) use crate::report::drawing::NamedScenes;

/// What all commands of field papers take.
#[derive(Debug, Args)]
pub(super) struct FieldPaperArguments {
    /// Plan file.
    #[arg(value_name = "PLAN", index = 1)]
    plan: PathBuf,
    #[command(flatten)]
    house: HouseArgument,
    #[command(flatten)]
    outputs: PaperOutputArguments,
    #[command(flatten)]
    with: PlanArguments,
}

/// Where a field paper goes.
#[derive(Debug, Args)]
struct PaperOutputArguments {
    /// Write the paper as a PDF to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Write its table as comma-separated text to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write all its tables as a workbook to this file.
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
    /// Write the paper as JSON to this file; `-` is standard output.
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Paper size [default: Letter for US units, A4 for SI].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    #[command(flatten)]
    force: ForceArgument,
}

/// The places of a field paper's outputs, taken before anything is computed.
pub(super) struct FieldPaperOutputs<'a> {
    asked: &'a FieldPaperArguments,
    options: ReviewOptions,
    pages: Vec<PathBuf>,
    outputs: Outputs,
}

/// A plan opened and reviewed for a field paper.
pub(super) struct Reviewed {
    pub engine: Engine,
    pub opened: Opened,
    pub review: Review,
    options: ReviewOptions,
}

impl FieldPaperArguments {
    /// An outcome; where the paper was to be printed as JSON and an input can't be used, its problems are printed as JSON.
    ///
    /// # Errors
    /// The failure as it was, or that standard output takes no text.
    pub fn with_problems(&self, outcome: Result<Status, Failure>) -> Result<Status, Failure> {
        let printed = self.outputs.json.as_deref() == Some(Path::new("-"));
        with_problems(outcome, printed.then_some(ProblemForm::Json))
    }

    /// Takes the places of the outputs, and of one more file where there is one; none of them may be the plan, a patch, a page
    /// of the house or one of the other inputs.
    pub fn claim<'a>(
        &'a self,
        further: Option<(&'static str, &'a Path)>,
        inputs: impl IntoIterator<Item = &'a PathBuf>,
    ) -> Result<FieldPaperOutputs<'a>, Failure> {
        // Cures are worked out for no paper: they take several times as long as all else.
        let options = ReviewOptions {
            cures: false,
            ..self.with.options()?
        };
        let pages = self.house.pages()?;
        let named = [
            ("--pdf", &self.outputs.pdf),
            ("--csv", &self.outputs.csv),
            ("--xlsx", &self.outputs.xlsx),
            ("--json", &self.outputs.json),
        ];
        let own = named
            .into_iter()
            .filter_map(|(argument, path)| Some((argument, path.as_deref()?)));
        let outputs = Outputs::claim(own.chain(further), self.outputs.force.in_the_way())?;
        let mut read: Vec<&Path> = vec![&self.plan];
        read.extend(self.with.patches());
        read.extend(pages.iter().map(PathBuf::as_path));
        for path in inputs {
            read.push(path);
        }
        outputs.spare(read)?;
        Ok(FieldPaperOutputs {
            asked: self,
            options,
            pages,
            outputs,
        })
    }
}

impl FieldPaperOutputs<'_> {
    /// The plan opened under its patches and the house, and reviewed.
    pub fn reviewed(&self) -> Result<Reviewed, Failure> {
        let mut engine = engine_under(&self.pages)?;
        let opened = self.asked.with.open(&mut engine, &self.asked.plan)?;
        let review = engine.review(&opened, self.options);
        Ok(Reviewed {
            engine,
            opened,
            review,
            options: self.options,
        })
    }

    /// Writes a paper to the places asked for, and the further file; prints it unless standard output carries one.
    pub fn write(
        self,
        paper: &FieldPaper,
        scenes: impl FnOnce() -> NamedScenes,
        further: Option<Vec<u8>>,
    ) -> Result<(), Failure> {
        let report = |error: &dyn std::fmt::Display| Failure::Report(error.to_string());
        let asked = &self.asked.outputs;
        let mut contents = Vec::new();
        if asked.pdf.is_some() {
            contents.push(typeset(paper, &scenes(), asked.paper)?);
        }
        if asked.csv.is_some() {
            contents.push(cells::csv(paper).map_err(|error| report(&error))?);
        }
        if asked.xlsx.is_some() {
            contents.push(cells::workbook(paper).map_err(|error| report(&error))?);
        }
        if asked.json.is_some() {
            contents.push(json::render(paper).map_err(|error| report(&error))?.into_bytes());
        }
        contents.extend(further);
        let carried = self.outputs.take_stdout();
        let printed = contents.is_empty();
        self.outputs.write(&contents)?;
        if printed && !carried {
            say(&terminal::field_paper(paper, paint()))?;
        }
        Ok(())
    }
}

impl Reviewed {
    /// The rules that it was reviewed by.
    pub fn rules(&self) -> Cow<'_, Library> {
        self.engine.rules_for(&self.opened)
    }

    /// The plan laid out for review.
    pub fn context(&self) -> ReviewContext<'_> {
        self.engine.context(&self.opened, self.options)
    }
}

/// A paper as a PDF, on the sheet asked for, else the one usual where its units are.
#[cfg(feature = "pdf")]
pub(super) fn typeset(
    paper: &FieldPaper,
    scenes: &NamedScenes,
    size: Option<PaperArgument>,
) -> Result<Vec<u8>, Failure> {
    let size = PaperArgument::chosen(size, paper.plan.units);
    crate::report::pdf::field_paper(paper, scenes, size).map_err(|error| Failure::Report(error.to_string()))
}

#[cfg(not(feature = "pdf"))]
pub(super) fn typeset(_: &FieldPaper, _: &NamedScenes, _: Option<PaperArgument>) -> Result<Vec<u8>, Failure> {
    Err(no_typesetter())
}
