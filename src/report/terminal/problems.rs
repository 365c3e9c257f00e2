//! What keeps an input from being used, with its lines.

use super::{
    paint::{CARRIED, Paint, Tone},
    snippet::{Mark, render},
};
use crate::read::{Problem, Sources};

/// Problems as text, each with its place, what was found and what is accepted.
pub fn problems(sources: &Sources, problems: &[Problem], paint: Paint) -> String {
    let mut out = String::new();
    for problem in problems {
        let first = format!("{} ", paint.tone(Tone::Stop, "✗ error:"));
        let wrapped = Paint {
            colour: false,
            ..paint
        }
        .fill(&problem.message, "✗ error: ", CARRIED);
        out.push_str(&wrapped.replacen("✗ error: ", &first, 1));
        out.push('\n');
        let main = problem.at.iter().map(|(span, text)| Mark {
            span: *span,
            text,
            primary: true,
        });
        let also = problem.also.iter().map(|(span, text)| Mark {
            span: *span,
            text,
            primary: false,
        });
        let marks: Vec<Mark<'_>> = main.chain(also).collect();
        if !marks.is_empty() {
            out.push_str(&render(sources, &marks, Tone::Stop, paint));
        }
        if let Some(help) = &problem.help {
            out.push_str(&paint.labelled("help", help));
        }
        out.push('\n');
    }
    out
}
