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
    let inputs: Vec<String> = line
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
    out.push_str(&paint.labelled("from", &inputs.join("; ")));
    out.push_str(&paint.labelled("source", &line.source));
    out.push_str(&paint.labelled("holds", &line.range));
    out.push('\n');
    out
}
