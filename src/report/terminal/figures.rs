//! Every computed figure with its worked line.

use super::paint::{CARRIED, Paint, Tone};
use crate::review::FigureLine;

/// Figures as text, object by object.
pub fn figures(lines: &[FigureLine], assumptions: &[String], paint: Paint) -> String {
    let mut out = String::new();
    let mut object = None;
    for line in lines {
        if object != Some(&line.object) {
            object = Some(&line.object);
            out.push_str(&paint.ruled(&line.object_name));
        }
        out.push_str(&figure(line, paint));
    }
    if !assumptions.is_empty() {
        out.push_str(&paint.ruled("Assumptions where the plan shows nothing"));
        for assumption in assumptions {
            out.push_str(&paint.item(assumption));
        }
    }
    out
}

fn figure(line: &FigureLine, paint: Paint) -> String {
    let value = line.value.as_ref().map(|value| value.text.as_str());
    let value = value.or(line.gap.as_deref()).unwrap_or_default();
    let head = format!("{}: {value}", line.title);
    let mut out =
        paint
            .fill(&head, "", CARRIED)
            .replacen(&line.title, &paint.tone(Tone::Strong, &line.title), 1);
    out.push_str(&format!("\n  {}\n", paint.tone(Tone::Faint, &line.name)));
    out.push_str(&paint.labelled("formula", &line.words));
    out.push_str(&paint.labelled("", &line.symbols));
    out.push_str(&paint.labelled("worked", line.worked.as_deref().unwrap_or_default()));
    let mut inputs: Vec<String> = line
        .inputs
        .iter()
        .map(|input| {
            if input.shown.is_empty() {
                format!("{}: {}", input.symbol, input.from)
            } else {
                format!("{} = {}: {}", input.symbol, input.shown, input.from)
            }
        })
        .collect();
    if line.inputs_left_out > 0 {
        inputs.push(format!("and {} more", line.inputs_left_out));
    }
    out.push_str(&paint.labelled("from", &inputs.join("; ")));
    out.push_str(&paint.labelled("source", &line.source));
    out.push_str(&paint.labelled("holds", &line.range));
    out.push('\n');
    out
}

/// Figures in short, object by object: name and value on a line each; yes-or-no figures and gaps are counted.
pub fn figure_list(lines: &[FigureLine], paint: Paint) -> String {
    let measured = |line: &&FigureLine| line.value.as_ref().is_some_and(|value| value.si.is_some());
    let shown: Vec<&FigureLine> = lines.iter().filter(measured).collect();
    let mut out = String::new();
    let mut object = None;
    for line in &shown {
        if object != Some(&line.object) {
            object = Some(&line.object);
            out.push_str(&paint.ruled(&line.object_name));
        }
        let value = line.value.as_ref().map_or("", |value| value.text.as_str());
        out.push_str(&paint.fill(&format!("{}: {value}", line.title), "", CARRIED));
        out.push('\n');
    }
    let gaps = lines.iter().filter(|line| line.value.is_none()).count();
    let facts = lines.len() - shown.len() - gaps;
    let told = format!(
        "{} figures; {facts} read as yes or no and {gaps} without a value are left out. `--full` shows all with \
        their worked lines, a name shows one.",
        shown.len()
    );
    out.push('\n');
    out.push_str(&paint.fill(&told, "", ""));
    out.push('\n');
    out
}
