//! The rule library in the terminal: a list by discipline, or one card.

use super::paint::Paint;
use crate::{
    read::Sources,
    rules::{Card, Effect, HouseRule, Source},
};

/// Rules to list.
pub struct Listed<'a> {
    /// The cards, by discipline.
    pub cards: Vec<&'a Card>,
    /// What a house made of the library.
    pub house: &'a [HouseRule],
}

/// Rules, by discipline.
pub fn list(listed: &Listed<'_>, paint: Paint) -> String {
    let mut out = String::new();
    let mut current = "";
    for card in &listed.cards {
        if card.discipline != current {
            current = &card.discipline;
            out.push_str(&paint.ruled(current));
        }
        let first = format!("{} {:<6} ", card.severity.mark(), card.severity.word());
        let house = if card.house.is_some() { " (house)" } else { "" };
        out.push_str(&paint.fill(
            &format!("{}: {}{house}", card.id, card.title),
            &first,
            "           ",
        ));
        out.push('\n');
    }
    for rule in listed.house.iter().filter(|rule| rule.effect == Effect::Off) {
        out.push_str(&paint.item(&format!(
            "{}: switched off by the house. {}",
            rule.card.id, rule.reason
        )));
    }
    let count = listed.cards.len();
    let plural = if count == 1 { "" } else { "s" };
    out.push_str(&format!("\n{count} rule{plural}; `bywash rules ID` shows one.\n"));
    out
}

/// A house's rule, and what its examples showed against it.
pub struct Tried<'a> {
    /// The rule.
    pub rule: &'a HouseRule,
    /// What failed, a line each.
    pub failures: Vec<String>,
}

/// How a house's rules came out by their own examples.
pub fn tried(sources: &Sources, tried: &[Tried<'_>], paint: Paint) -> String {
    let mut out = String::new();
    let mut failed = 0;
    for Tried { rule, failures } in tried {
        let word = match (failures.is_empty(), rule.effect, rule.examples.len()) {
            (false, _, _) => "fails",
            (true, Effect::Off, _) => "off",
            (true, _, 0) => "no examples",
            (true, ..) => "holds",
        };
        failed += usize::from(!failures.is_empty());
        let examples = match rule.examples.len() {
            0 => String::new(),
            1 => ", 1 example".to_owned(),
            many => format!(", {many} examples"),
        };
        let text = format!("{}: {}{examples}", rule.card.id, rule.effect.word());
        out.push_str(&paint.fill(&text, &format!("{word:<11} "), "            "));
        out.push('\n');
        let (line, _) = sources.line_column(rule.span);
        for failure in failures {
            let at = format!("{}:{line}: {failure}", sources.name(rule.span.source));
            out.push_str(&paint.fill(&at, "            ", "            "));
            out.push('\n');
        }
    }
    let count = tried.len();
    let plural = if count == 1 { "" } else { "s" };
    out.push_str(&format!(
        "\n{count} page{plural} of the house, {failed} with examples that fail.\n"
    ));
    out
}

/// One card.
pub fn card(sources: &Sources, card: &Card, paint: Paint) -> String {
    let mut out = paint.ruled(&card.id);
    out.push_str(&paint.labelled("title", &card.title));
    let people = if card.protects_people {
        ", protects people; can’t be accepted by name"
    } else {
        ""
    };
    out.push_str(&format!(
        "{}\n",
        paint.tone(
            card.severity.into(),
            &format!("{} {}{people}", card.severity.mark(), card.severity.word())
        )
    ));
    out.push_str(&paint.labelled("requires", &card.asks.to_string()));
    out.push_str(&paint.labelled("where", &card.conditions(None)));
    out.push_str(&paint.labelled("why", &card.why));
    out.push_str(&paint.labelled("cure", &card.cure));
    let levers: Vec<&str> = card.levers.iter().map(|lever| lever.words.as_str()).collect();
    out.push_str(&paint.labelled("change", &levers.join("; ")));
    for source in &card.sources {
        out.push_str(&paint.labelled("source", &Source::line(source)));
    }
    out.push_str(&paint.labelled("house", card.house.as_deref().unwrap_or_default()));
    out.push_str(&paint.labelled("page", sources.name(card.bound_span.source)));
    out
}
