//! `bywash answers`.

use std::{collections::BTreeMap, path::PathBuf};

use clap::Args;

use super::{
    Failure, Status,
    input::{PlanArguments, engine_under, unreadable},
    output::{ForceArgument, Outputs},
    print::{paint, say, say_error},
};
use crate::{
    answers::{FieldName, Fields, answers, read_text},
    engine::{Engine, Opened},
    read::{PdfFile, is_pdf, parse, read_bytes},
    report::{json, terminal},
    text::{pasted, shown_path},
};

#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// Filled form: the PDF or text that `review --form` wrote.
    #[arg(value_name = "FORM")]
    form: PathBuf,
    /// Plan that the form is of; under the patches it was reviewed with.
    #[arg(long, value_name = "PLAN")]
    onto: PathBuf,
    /// Write the answers as a merge patch to this file [default: standard output].
    #[arg(long, value_name = "FILE")]
    patch: Option<PathBuf>,
    #[command(flatten)]
    with: PlanArguments,
    #[command(flatten)]
    force: ForceArgument,
}

pub(super) fn run(arguments: &Arguments) -> Result<Status, Failure> {
    let patch = arguments.patch.as_deref().map(|path| ("--patch", path));
    let outputs = Outputs::claim(patch, arguments.force.in_the_way())?;
    let inputs = [arguments.form.as_path(), arguments.onto.as_path()];
    outputs.spare(inputs.into_iter().chain(arguments.with.patches()))?;
    let (fields, odd) = fields(arguments)?;
    let mut engine = engine_under(&[])?;
    let opened = arguments.with.open(&mut engine, &arguments.onto)?;
    of_this_plan(arguments, &engine, &opened, &fields)?;
    let mut answered = answers(&fields, &opened.tree.root, engine.book());
    let lines = odd
        .into_iter()
        .map(|(line, text)| format!("line {line}: `{}`", crate::text::shown(&text)));
    answered.unread.extend(lines);
    let text = json::render(&answered.patch).map_err(|error| Failure::Report(error.to_string()))?;
    holds(&mut engine, &opened, &text)?;
    let told = terminal::answered(&answered, paint());
    let status = if answered.unread.is_empty() && answered.open.is_empty() {
        Status::Clear
    } else {
        Status::Revise
    };
    if arguments.patch.is_none() {
        say(&text)?;
        say_error(&told);
        return Ok(status);
    }
    let carried = outputs.take_stdout();
    outputs.write(&[text.into_bytes()])?;
    if !carried {
        say(&(told + &next(arguments)))?;
    }
    Ok(status)
}

/// What to do with the patch.
fn next(arguments: &Arguments) -> String {
    let plan = pasted(&shown_path(&arguments.onto));
    let patches = arguments.with.patches().chain(arguments.patch.as_deref());
    let with: Vec<String> = patches
        .map(|path| format!("--with {}", pasted(&shown_path(path))))
        .collect();
    format!(
        "Review it with `bywash review {plan} {} --previous REVIEW`.\n",
        with.join(" ")
    )
}

/// What stands in the fields of a form.
fn fields(arguments: &Arguments) -> Result<Fields, Failure> {
    let file = shown_path(&arguments.form);
    let no_form = |why: String| Failure::Argument {
        message: format!("`{file}` is no form of answers: {why}"),
        help: "name the PDF or the text that `bywash review PLAN --form FILE` wrote, filled in and saved"
            .to_owned(),
    };
    let bytes = read_bytes(&arguments.form)?;
    let read: Fields = if is_pdf(&bytes) {
        let pdf = PdfFile::open(&bytes).map_err(|error| no_form(error.to_string()))?;
        let fields = pdf
            .fields()
            .ok_or_else(|| no_form("it has no fields".to_owned()))?;
        (fields, Vec::new())
    } else {
        let text =
            String::from_utf8(bytes).map_err(|_| no_form("it is neither a PDF nor text".to_owned()))?;
        read_text(&text).ok_or_else(|| no_form("it does not begin as one does".to_owned()))?
    };
    if !read.0.contains_key(&FieldName::Sheets.to_string()) {
        return Err(no_form("it does not say which plan it is of".to_owned()));
    }
    Ok(read)
}

/// Whether the form is of the plan as it is.
fn of_this_plan(
    arguments: &Arguments,
    engine: &Engine,
    opened: &Opened,
    fields: &BTreeMap<String, String>,
) -> Result<(), Failure> {
    let sheets = engine.sheets(opened);
    let here: Vec<&str> = sheets.iter().map(|sheet| sheet.sha256.as_str()).collect();
    let said = fields
        .get(&FieldName::Sheets.to_string())
        .map_or("", String::as_str);
    if said.split_whitespace().eq(here.iter().copied()) {
        return Ok(());
    }
    let project = fields
        .get(&FieldName::Project.to_string())
        .map_or("", |project| project.trim());
    let of = if project.is_empty() {
        String::new()
    } else {
        format!(" It says it is of {}.", crate::text::shown(project))
    };
    Err(Failure::Argument {
        message: format!(
            "`{}` is a form of another plan or revision than `{}`",
            shown_path(&arguments.form),
            shown_path(&arguments.onto)
        ),
        help: format!(
            "name the plan exactly as it was reviewed, with the same --with and --set.{of} Nothing was written"
        ),
    })
}

/// Whether the plan can still be reviewed with the answers in it.
fn holds(engine: &mut Engine, opened: &Opened, patch: &str) -> Result<(), Failure> {
    let source = engine.sources.add("answers", patch);
    let node = parse(&engine.sources, source).map_err(|problems| unreadable(engine, &problems))?;
    let mut tree = opened.tree.clone();
    tree.apply(node);
    engine
        .plan_of(&tree.root)
        .map(|_| ())
        .map_err(|problems| unreadable(engine, &problems))
}
