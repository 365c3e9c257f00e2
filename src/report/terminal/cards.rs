//! The rule library in the terminal: a list by discipline, or one card.

use super::paint::Paint;
use crate::{
    read::Sources,
    rules::{Card, Library, Source},
};

/// Every rule, by discipline.
pub fn list(library: &Library, discipline: Option<&str>, paint: Paint) -> String {
    let mut out = String::new();
    let mut current = "";
    let wanted = library
        .cards
        .iter()
        .filter(|card| discipline.is_none_or(|wanted| wanted == card.discipline));
    let mut count = 0;
    for card in wanted {
        if card.discipline != current {
            current = &card.discipline;
            out.push_str(&paint.ruled(current));
        }
        count += 1;
        let first = format!("{} {:<6} ", card.severity.mark(), card.severity.word());
        out.push_str(&paint.fill(&format!("{}: {}", card.id, card.title), &first, "           "));
        out.push('\n');
    }
    out.push_str(&format!("\n{count} rules; `bywash rules ID` shows one.\n"));
    out
}

/// One card.
pub fn card(sources: &Sources, card: &Card, paint: Paint) -> String {
    let mut out = paint.ruled(&card.id);
    out.push_str(&paint.fill(&card.title, "", ""));
    let people = if card.protects_people {
        ", protects people; can't be accepted by name"
    } else {
        ""
    };
    out.push_str(&format!(
        "\n{}\n\n",
        paint.tone(
            card.severity.into(),
            &format!("{} {}{people}", card.severity.mark(), card.severity.word())
        )
    ));
    out.push_str(&paint.labelled("judges", card.asks.subject.title()));
    out.push_str(&paint.labelled("asks", &card.asks.bound.to_string()));
    let conditions: Vec<String> = card
        .when
        .iter()
        .map(|test| format!("{} {}", test.subject.title(), test.bound))
        .collect();
    out.push_str(&paint.labelled("where", &conditions.join("; ")));
    out.push_str(&paint.labelled("why", &card.why));
    out.push_str(&paint.labelled("cure", &card.cure));
    out.push_str(&paint.labelled("change", &card.levers.join("; ")));
    for source in &card.sources {
        out.push_str(&paint.labelled("source", &Source::line(source)));
    }
    out.push_str(&paint.labelled("page", sources.name(card.bound_span.source)));
    out
}
