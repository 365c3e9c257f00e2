//! The files that a review is written to: which were asked for, where they go, and what is in them.

use std::path::{Path, PathBuf};

use clap::Args;

#[cfg(not(feature = "pdf"))]
use super::super::paper::no_typesetter;
use super::super::{
    Failure, Status,
    output::ForceArgument,
    paper::PaperArgument,
    problems::{ProblemForm, with_problems},
};
use crate::{
    answers::write_text,
    engine::{Engine, Opened},
    report::{cells, json, sarif},
    review::Review,
    text::shown_path,
};

/// The files to write.
#[derive(Debug, Args)]
pub(in crate::cli) struct OutputArguments {
    /// Write the review as a PDF to this file, `-` for standard output; a folder for several plans.
    #[arg(long, value_name = "FILE")]
    pdf: Option<PathBuf>,
    /// Paper size [default: Letter for US units, A4 for SI].
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    paper: Option<PaperArgument>,
    /// Write the review as JSON to this file, `-` for standard output; a folder for several plans.
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Write the findings and questions as SARIF 2.1.0 to this file; a folder for several plans.
    #[arg(long, value_name = "FILE")]
    sarif: Option<PathBuf>,
    /// Write the log of findings and questions as comma-separated text to this file; a folder for several plans.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write findings, questions and figures as a workbook to this file; a folder for several plans.
    #[arg(long, value_name = "FILE")]
    xlsx: Option<PathBuf>,
    /// Print the review in this form.
    #[arg(long, value_name = "FORM", default_value = "text", ignore_case = true)]
    format: FormatArgument,
    /// Write a form for the designer’s answers to this file: fields to fill in for .pdf, plain text for .txt.
    #[arg(long, value_name = "FILE")]
    form: Option<PathBuf>,
    /// Write the changes that close the review to this file, as a merge patch for `--with`.
    #[arg(long, value_name = "FILE")]
    cure: Option<PathBuf>,
    /// Leave out what takes many trials: changes that close the review, tolerances, what answers change.
    #[arg(long, conflicts_with = "cure")]
    fast: bool,
    #[command(flatten)]
    pub force: ForceArgument,
}

/// A form that a review is printed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(in crate::cli) enum FormatArgument {
    /// For a reader.
    Text,
    /// As JSON.
    Json,
    /// As SARIF 2.1.0.
    Sarif,
    /// The log as comma-separated text.
    Csv,
}

impl FormatArgument {
    const fn form(self) -> Option<Form> {
        match self {
            Self::Text => None,
            Self::Json => Some(Form::Json),
            Self::Sarif => Some(Form::Sarif),
            Self::Csv => Some(Form::Csv),
        }
    }
}

/// A form that a review is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Form {
    Pdf,
    Json,
    Sarif,
    Csv,
    Xlsx,
    Answers,
    Cure,
}

impl Form {
    const fn argument(self) -> &'static str {
        match self {
            Self::Pdf => "--pdf",
            Self::Json => "--json",
            Self::Sarif => "--sarif",
            Self::Csv => "--csv",
            Self::Xlsx => "--xlsx",
            Self::Answers => "--form",
            Self::Cure => "--cure",
        }
    }

    /// Whether it shows what takes many trials.
    const fn shows_depth(self) -> bool {
        matches!(self, Self::Pdf | Self::Json | Self::Cure)
    }

    const fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Json => "json",
            Self::Sarif => "sarif",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
            Self::Answers => "form.pdf",
            Self::Cure => "cure.json",
        }
    }
}

/// One file to write for one plan.
#[derive(Clone, Debug)]
pub(in crate::cli) struct Wanted {
    pub form: Form,
    pub path: PathBuf,
}

impl Wanted {
    /// The argument that asks for it, and where it goes.
    pub fn claim(&self) -> (&'static str, &Path) {
        (self.form.argument(), &self.path)
    }
}

/// What a review is written from.
#[derive(Clone, Copy)]
#[cfg_attr(not(feature = "pdf"), allow(dead_code))]
pub(super) struct Written<'a> {
    pub arguments: &'a OutputArguments,
    pub engine: &'a Engine,
    pub opened: &'a Opened,
    pub review: &'a Review,
    /// Everything goes into the PDF, or only what is read first.
    pub full: bool,
}

impl OutputArguments {
    fn asked(&self) -> impl Iterator<Item = (Form, &Path)> {
        let asked = [
            (Form::Pdf, &self.pdf),
            (Form::Json, &self.json),
            (Form::Sarif, &self.sarif),
            (Form::Csv, &self.csv),
            (Form::Xlsx, &self.xlsx),
            (Form::Answers, &self.form),
            (Form::Cure, &self.cure),
        ];
        asked
            .into_iter()
            .filter_map(|(form, path)| Some((form, path.as_deref()?)))
            .chain(self.format.form().map(|form| (form, Path::new("-"))))
    }

    /// An outcome; where JSON or SARIF was to be printed and an input can't be used, its problems are printed in that form.
    ///
    /// # Errors
    /// The failure as it was, or that standard output takes no text.
    pub fn with_problems(&self, outcome: Result<Status, Failure>) -> Result<Status, Failure> {
        let printed = self.asked().find_map(|(form, path)| {
            let form = match form {
                Form::Json => ProblemForm::Json,
                Form::Sarif => ProblemForm::Sarif,
                _ => return None,
            };
            (path == Path::new("-")).then_some(form)
        });
        with_problems(outcome, printed)
    }

    /// Whether any form was asked for that shows the cases.
    pub fn shows_cases(&self) -> bool {
        self.pdf.is_some() || self.json.is_some() || self.format == FormatArgument::Json
    }

    /// Whether what takes many trials is worked out: a form that shows it is asked for.
    pub fn in_depth(&self) -> bool {
        !self.fast && self.asked().any(|(form, _)| form.shows_depth())
    }

    /// Whether files are asked for.
    pub fn is_any(&self) -> bool {
        self.asked().next().is_some()
    }

    /// The files to write, plan by plan.
    ///
    /// # Errors
    /// Several plans and one file; two plans whose files would have one name; a form of answers in a file of another kind.
    pub fn wanted(&self, plans: &[PathBuf]) -> Result<Vec<Vec<Wanted>>, Failure> {
        for (form, path) in self.asked() {
            if plans.len() > 1 && !path.is_dir() {
                return Err(Failure::Argument {
                    message: format!(
                        "{} names one file for {} plans: `{}`",
                        form.argument(),
                        plans.len(),
                        shown_path(path)
                    ),
                    help: "name a folder that is there; each plan gets a file of its own name in it"
                        .to_owned(),
                });
            }
        }
        let into_folder = plans.len() > 1;
        if let Some(path) = self.form.as_deref().filter(|_| !into_folder) {
            form_by_ending(path)?;
        }
        let stems: Vec<String> = plans.iter().map(|plan| stem(plan)).collect();
        if into_folder && self.is_any() {
            one_name_each(plans, &stems)?;
        }
        let of_plan = |stem: &String| {
            let wanted = self.asked().map(|(form, path)| Wanted {
                form,
                path: if into_folder {
                    path.join(format!("{stem}.{}", form.ending()))
                } else {
                    path.to_owned()
                },
            });
            wanted.collect()
        };
        Ok(stems.iter().map(of_plan).collect())
    }
}

/// The name of a plan’s file without its ending.
fn stem(plan: &Path) -> String {
    plan.file_stem()
        .map_or_else(|| "plan".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

fn one_name_each(plans: &[PathBuf], stems: &[String]) -> Result<(), Failure> {
    let mut seen: std::collections::HashMap<String, usize> = std::collections::HashMap::new();
    for (index, stem) in stems.iter().enumerate() {
        // Some systems take two cases of a letter for one.
        if let Some(other) = seen.insert(stem.to_lowercase(), index) {
            return Err(Failure::Argument {
                message: format!(
                    "`{}` and `{}` would be written to one file",
                    shown_path(&plans[other]),
                    shown_path(&plans[index])
                ),
                help: "give the plans names of their own, or review them apart".to_owned(),
            });
        }
    }
    Ok(())
}

/// Whether a form of answers is text, by the ending of its file.
fn is_text(path: &Path) -> bool {
    has_ending(path, "txt")
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension()
        .is_some_and(|written| written.eq_ignore_ascii_case(ending))
}

/// Holds the file of a form of answers against the endings it may have. A device or a pipe has none, and gets the PDF.
fn form_by_ending(path: &Path) -> Result<(), Failure> {
    let is_stream = path == Path::new("-") || path.metadata().is_ok_and(|there| !there.is_file());
    if is_stream || is_text(path) || has_ending(path, "pdf") {
        return Ok(());
    }
    Err(Failure::Argument {
        message: format!("--form writes no file with the ending of `{}`", shown_path(path)),
        help: "name a file in .pdf for fields to fill in, or in .txt for plain text; nothing was written"
            .to_owned(),
    })
}

impl Written<'_> {
    /// The bytes of a form.
    ///
    /// # Errors
    /// A review that can't be laid out; none is known.
    pub fn bytes(&self, wanted: &Wanted) -> Result<Vec<u8>, Failure> {
        match wanted.form {
            Form::Answers if is_text(&wanted.path) => Ok(write_text(&self.form()).into_bytes()),
            #[cfg(feature = "pdf")]
            Form::Answers => {
                let paper = PaperArgument::chosen(self.arguments.paper, self.review.subject.units);
                crate::report::pdf::form(&self.form(), paper)
                    .map_err(|error| Failure::Report(error.to_string()))
            }
            #[cfg(not(feature = "pdf"))]
            Form::Answers => Err(no_typesetter()),
            Form::Json => json::render(self.review)
                .map(String::into_bytes)
                .map_err(|error| Failure::Report(error.to_string())),
            Form::Sarif => sarif::render(self.review, &self.engine.rules_for(self.opened))
                .map(String::into_bytes)
                .map_err(|error| Failure::Report(error.to_string())),
            Form::Csv => cells::review_csv(self.review).map_err(|error| Failure::Report(error.to_string())),
            Form::Xlsx => {
                cells::review_workbook(self.review).map_err(|error| Failure::Report(error.to_string()))
            }
            Form::Cure => {
                let closing = self.review.closing.as_ref();
                let set = closing.and_then(|closing| closing.sets.first());
                let nothing = serde_json::Value::Object(serde_json::Map::new());
                let patch = set.map_or(&nothing, |set| &set.patch);
                let text = json::render(patch).map_err(|error| Failure::Report(error.to_string()))?;
                Ok(text.into_bytes())
            }
            #[cfg(feature = "pdf")]
            Form::Pdf => self.pdf(),
            #[cfg(not(feature = "pdf"))]
            Form::Pdf => Err(no_typesetter()),
        }
    }

    fn form(&self) -> crate::answers::Form {
        let units = self.review.subject.units;
        crate::answers::Form::of(self.review, &self.opened.tree.root, self.engine.book(), units)
    }

    #[cfg(feature = "pdf")]
    fn pdf(&self) -> Result<Vec<u8>, Failure> {
        use super::super::photographs;
        use crate::report::pdf::{Job, render};
        let paper = PaperArgument::chosen(self.arguments.paper, self.review.subject.units);
        let drawings = crate::report::drawing::drawings(&self.opened.plan, &self.opened.ledger, self.review);
        let photographs = photographs::photographs(self.engine, self.opened)?;
        let job = Job {
            photographs: &photographs,
            review: self.review,
            drawings: &drawings,
            plan: self.engine.sources.text(self.opened.source),
            paper,
            full: self.full,
        };
        render(&job).map_err(|error| Failure::Report(error.to_string()))
    }
}
