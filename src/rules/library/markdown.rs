//! A page cut into heading, prose and fenced blocks, and its examples read.

use std::ops::Range;

use crate::{
    read::{Place, Problem, ProblemKind, SourceId, Sources, Span, parse_part},
    rules::card::{Example, Expect},
};

/// A fenced block: its info string and where its content stands.
pub(super) struct Fence {
    pub info: String,
    pub content: Range<usize>,
    pub span: Span,
}

/// What a page is made of.
pub(super) struct Parts {
    pub title: String,
    pub why: String,
    pub cure: String,
    pub fences: Vec<Fence>,
    /// Its first line.
    pub whole: Span,
}

impl Parts {
    /// The block of this kind of data.
    pub fn data(&self, info: &str) -> Option<&Fence> {
        self.fences.iter().find(|fence| fence.info == info)
    }
}

/// The examples of a page: every block but its data, which is marked `data`.
pub(super) fn examples(
    sources: &Sources,
    source: SourceId,
    parts: &Parts,
    data: &str,
    problems: &mut Vec<Problem>,
) -> Vec<Example> {
    let mut examples = Vec::new();
    for fence in parts.fences.iter().filter(|fence| fence.info != data) {
        let expect = match fence.info.strip_prefix("json falls short at ") {
            Some(place) => Expect::FallsShort(Place::from_pointer(place.trim().trim_end_matches('/'))),
            None if fence.info == "json meets" => Expect::Meets,
            None => {
                let accepted = format!("`{data}`, `json falls short at PLACE` or `json meets`");
                problems.push(
                    Problem::at(
                        ProblemKind::RulePage,
                        fence.span,
                        format!("a block marked `{}`", fence.info),
                        "unknown block",
                    )
                    .help(format!("a page holds {accepted}")),
                );
                continue;
            }
        };
        match parse_part(sources, source, fence.content.clone()) {
            Ok(patch) => examples.push(Example { patch, expect }),
            Err(found) => problems.extend(found),
        }
    }
    examples
}

/// Cuts a page into heading, sections and fenced blocks.
pub(super) fn parts(text: &str, source: SourceId) -> Parts {
    let span = |start: usize, end: usize| Span { source, start, end };
    let first_line = text.find('\n').unwrap_or(text.len());
    let mut parts = Parts {
        title: String::new(),
        why: String::new(),
        cure: String::new(),
        fences: Vec::new(),
        whole: span(0, first_line),
    };
    let mut section = "";
    let mut open: Option<(String, usize, Span)> = None;
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let (start, bare) = (at, line.trim_end());
        at += line.len();
        match (&open, bare.strip_prefix("```")) {
            (Some((info, content, fence)), Some("")) => {
                parts.fences.push(Fence {
                    info: info.clone(),
                    content: *content..start,
                    span: *fence,
                });
                open = None;
            }
            (Some(_), _) => {}
            (None, Some(info)) => open = Some((info.trim().to_owned(), at, span(start, start + bare.len()))),
            (None, None) => {
                if let Some(title) = bare.strip_prefix("# ") {
                    title.trim().clone_into(&mut parts.title);
                } else if let Some(name) = bare.strip_prefix("## ") {
                    section = name.trim();
                } else if !bare.is_empty() {
                    match section {
                        "Why" => add_line(&mut parts.why, bare),
                        "Cure" => add_line(&mut parts.cure, bare),
                        _ => {}
                    }
                }
            }
        }
    }
    parts
}

fn add_line(text: &mut String, line: &str) {
    if !text.is_empty() {
        text.push(' ');
    }
    text.push_str(line.trim());
}
