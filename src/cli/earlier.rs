//! The review before the one that is made.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{Failure, input::unreadable};
use crate::{
    backcheck::{Earlier, against, changes},
    engine::{Engine, Opened, ReviewOptions},
    quantity::{Kind, Quantity},
    read::{PdfFile, is_pdf, read_bytes, read_file},
    review::Review,
    text::{shown, shown_path},
};

/// What the machine form of a review is called where a PDF carries it.
pub(super) const ATTACHED: &str = "review.json";
/// How far a level may move before it is marked: common practice, no source.
const USUAL_TOLERANCE: &str = "1/4 in";

/// How an earlier review is compared.
#[derive(Debug, Args)]
pub(super) struct CompareArguments {
    /// Mark levels that moved by more than this [default: 1/4 in].
    #[arg(long, value_name = "LENGTH")]
    tolerance: Option<String>,
    /// Compare even if the two plans are of different projects by name or by their basins.
    #[arg(long)]
    same_project: bool,
}

/// A review before.
#[derive(Debug, Args)]
pub(super) struct PreviousArguments {
    /// Earlier review (PDF or JSON) or plan; its numbers are kept and its findings followed up.
    #[arg(long, value_name = "FILE")]
    pub previous: Option<PathBuf>,
    #[command(flatten)]
    pub compare: CompareArguments,
}

impl PreviousArguments {
    /// The review held against the one before, where one is named.
    pub fn apply(
        &self,
        engine: &mut Engine,
        opened: &Opened,
        review: Review,
        options: ReviewOptions,
    ) -> Result<Review, Failure> {
        match &self.previous {
            None => Ok(review),
            Some(path) => self.compare.against(engine, path, opened, review, options),
        }
    }
}

impl CompareArguments {
    /// A review held against an earlier one.
    ///
    /// # Errors
    /// An earlier one that can't be read, or is of another project.
    pub fn against(
        &self,
        engine: &mut Engine,
        path: &Path,
        opened: &Opened,
        review: Review,
        options: ReviewOptions,
    ) -> Result<Review, Failure> {
        let tolerance = self.tolerance()?;
        let options = ReviewOptions {
            units: Some(review.subject.units),
            date: None,
            ..options
        };
        let earlier = read(engine, path, options)?;
        if !self.same_project {
            of_one_project(&earlier, &review, path)?;
        }
        let compared = changes(
            &earlier.plan,
            &review.plan,
            engine.book(),
            review.subject.units,
            tolerance,
        );
        Ok(against(review, &earlier, compared, &opened.plan))
    }

    /// The tolerance of levels, m.
    fn tolerance(&self) -> Result<f64, Failure> {
        let text = self.tolerance.as_deref().unwrap_or(USUAL_TOLERANCE);
        match Quantity::parse(text, Kind::Length) {
            Ok(length) if length.si >= 0.0 => Ok(length.si),
            _ => Err(Failure::Argument {
                message: format!("`{}` is no tolerance of a level", shown(text)),
                help: "write it as a length, such as `1/4 in` or `6 mm`".to_owned(),
            }),
        }
    }
}

/// An earlier review: of a PDF that carries it, of its JSON form, or of a plan that is reviewed here.
fn read(engine: &mut Engine, path: &Path, options: ReviewOptions) -> Result<Earlier, Failure> {
    let file = shown_path(path);
    if let Some(text) = machine_form(path)? {
        return Earlier::from_json(&file, &text).map_err(|error| Failure::Argument {
            message: format!("`{file}` is no earlier review: {error}"),
            help: "name a plan, or the PDF or JSON of a review that this version wrote".to_owned(),
        });
    }
    let opened = open_plan(engine, path)?;
    Ok(Earlier {
        file,
        ..Earlier::of(&engine.review(
            &opened,
            ReviewOptions {
                cures: false,
                cases: false,
                ..options
            },
        ))
    })
}

/// The machine form of a review that a file is, or carries; none where it is a plan.
///
/// # Errors
/// A file that can't be read, or a PDF that carries none.
pub(super) fn machine_form(path: &Path) -> Result<Option<String>, Failure> {
    let bytes = read_bytes(path)?;
    let file = shown_path(path);
    if is_pdf(&bytes) {
        let refused = |why: String| Failure::Argument {
            message: format!("`{file}` is no earlier review: {why}"),
            help: "name the PDF as the review wrote it; printing it to another PDF takes the review out"
                .to_owned(),
        };
        let pdf = PdfFile::open(&bytes).map_err(|error| refused(error.to_string()))?;
        let attached = pdf
            .attached(ATTACHED)
            .map_err(|error| refused(error.to_string()))?;
        let bytes = attached.ok_or_else(|| refused("no review is attached to it".to_owned()))?;
        let text =
            String::from_utf8(bytes).map_err(|_| refused("the attached review is not UTF-8".to_owned()))?;
        return Ok(Some(text));
    }
    // A plan never holds this format; a review says it in its first member.
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(200)]).into_owned();
    if !head.contains("\"bywash review") {
        return Ok(None);
    }
    String::from_utf8(bytes).map(Some).map_err(|_| Failure::Argument {
        message: format!("`{file}` is not UTF-8 text"),
        help: "save it as UTF-8".to_owned(),
    })
}

/// A plan by itself, or the one that a review carries.
pub(super) fn open_plan(engine: &mut Engine, path: &Path) -> Result<Opened, Failure> {
    let source = match machine_form(path)? {
        None => read_file(&mut engine.sources, path)?,
        Some(text) => {
            let file = shown_path(path);
            let earlier = Earlier::from_json(&file, &text).map_err(|error| Failure::Argument {
                message: format!("`{file}` is no review: {error}"),
                help: "name a plan, or the PDF or JSON of a review that this version wrote".to_owned(),
            })?;
            let plan = serde_json::to_string_pretty(&earlier.plan);
            let plan = plan.map_err(|error| Failure::Report(error.to_string()))?;
            engine.sources.add(file, plan)
        }
    };
    engine
        .open(source, Vec::new())
        .map_err(|problems| unreadable(engine, &problems))
}

/// Whether two reviews are of one project: by its name, or where one gives none by a basin they share.
fn of_one_project(earlier: &Earlier, review: &Review, path: &Path) -> Result<(), Failure> {
    let name = |plan: &serde_json::Value| {
        let name = plan.pointer("/project/name").and_then(serde_json::Value::as_str);
        name.map(|name| name.trim().to_lowercase())
    };
    let basins = |plan: &serde_json::Value| -> Vec<String> {
        let basins = plan.get("basins").and_then(serde_json::Value::as_object);
        basins
            .into_iter()
            .flat_map(|basins| basins.keys().cloned())
            .collect()
    };
    let why = match (name(&earlier.plan), name(&review.plan)) {
        (Some(before), Some(now)) if before != now => {
            format!(
                "it is of “{}”, and the plan is of “{}”",
                earlier.name, review.subject.name
            )
        }
        (Some(_), Some(_)) => return Ok(()),
        _ => {
            let (before, now) = (basins(&earlier.plan), basins(&review.plan));
            if before.is_empty() || now.is_empty() || before.iter().any(|id| now.contains(id)) {
                return Ok(());
            }
            "the two plans have no basin in common".to_owned()
        }
    };
    Err(Failure::Argument {
        message: format!("`{}` is of another project: {}", shown_path(path), crate::text::visible(&why)),
        help: "name an earlier review of this project; or, where the project got another name, add --same-project"
            .to_owned(),
    })
}
