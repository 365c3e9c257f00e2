//! Figures with their worked lines: formula in symbols, the same with numbers, and the result.

use super::words::first_named;
use crate::{
    ledger::{Figure, Found, Gap, Input, Origin},
    quantity::{Kind, show, show_computed, show_limit},
    review::{FigureLine, InputLine, ReviewContext, Value},
};

/// Inputs of a figure that are listed; further ones are counted. A pump rests on everything in its circuit.
const MOST_INPUTS: usize = 100;

/// Every figure of the plan, worked.
pub fn figure_lines(context: &ReviewContext<'_>) -> Vec<FigureLine> {
    context
        .ledger
        .iter()
        .map(|figure| line(context, figure))
        .collect()
}

fn line(context: &ReviewContext<'_>, figure: &Figure) -> FigureLine {
    let definition = figure.definition;
    let value = value(context, figure);
    FigureLine {
        name: definition.name.to_owned(),
        title: context.words(definition.title),
        object: figure.at.clone(),
        object_name: context.name(&figure.at),
        gap: figure.answer.as_ref().err().map(|gap| why_none(context, gap)),
        words: context.words(definition.words),
        symbols: context.words(definition.symbols),
        worked: with_numbers(context, figure),
        inputs: figure
            .inputs
            .iter()
            .take(MOST_INPUTS)
            .map(|input| input_line(context, input))
            .collect(),
        inputs_left_out: figure.inputs.count().saturating_sub(MOST_INPUTS),
        source: definition.source.to_owned(),
        range: context.words(definition.range),
        value,
    }
}

/// The values that a figure compares, in words; none where it has no such words, or a value is not noted.
pub(super) fn compared(context: &ReviewContext<'_>, figure: &Figure) -> Option<String> {
    let definition = figure.definition;
    let zero = matches!(figure.answer, Ok(Found::Quantity(si)) if si == 0.0);
    let words = if zero && !definition.compared_at_zero.is_empty() {
        definition.compared_at_zero
    } else {
        definition.compared
    };
    if words.is_empty() {
        return None;
    }
    let mut out = String::new();
    let mut rest = words;
    while let Some((before, after)) = rest.split_once('{') {
        let (symbol, after) = after.split_once('}')?;
        out.push_str(before);
        out.push_str(&number_of(context, figure, symbol)?);
        rest = after;
    }
    out.push_str(rest);
    Some(out)
}

/// The lines a finding shows: the formula, and the same with numbers.
pub(super) fn worked(context: &ReviewContext<'_>, figure: &Figure) -> Vec<String> {
    let Some(numbers) = with_numbers(context, figure) else {
        return Vec::new();
    };
    vec![context.words(figure.definition.symbols), numbers]
}

fn value(context: &ReviewContext<'_>, figure: &Figure) -> Option<Value> {
    match &figure.answer {
        Ok(found @ (Found::Quantity(_) | Found::Stated { .. })) => {
            let (si, kind) = (found.quantity_in(context.units)?, figure.definition.kind?);
            let text = match found {
                Found::Stated { .. } => show_limit(si, kind, context.units),
                _ => show_computed(si, kind, context.units),
            };
            Some(Value {
                text: in_currency(context, kind, text),
                si: Some(si),
            })
        }
        Ok(Found::Verdict { holds, because, .. }) => {
            let answer = if *holds { "yes" } else { "no" };
            Some(Value {
                text: format!("{answer}: {}", context.words(because)),
                si: None,
            })
        }
        Err(_) => None,
    }
}

/// Values that are named one by one where many are missing; the rest are counted.
const NAMED: usize = 12;

pub(super) fn why_none(context: &ReviewContext<'_>, gap: &Gap) -> String {
    match gap {
        Gap::NotShown(places) => {
            let names = first_named(places, NAMED, |place| Some(context.name(place)));
            format!("not shown: {}", names.join("; "))
        }
        Gap::DoesNotApply(why) => format!("does not apply: {}", context.words(why)),
        Gap::NotComputed(why) => format!("not computed: {}", context.words(why)),
    }
}

fn input_line(context: &ReviewContext<'_>, input: &Input) -> InputLine {
    let (from, place) = match &input.origin {
        Origin::Plan(place) => (context.name(place), Some(place.clone())),
        Origin::Figure(at, name) => {
            let title = context
                .ledger
                .get(at, name)
                .map_or(*name, |figure| figure.definition.title);
            (format!("{}: {}", context.name(at), context.words(title)), None)
        }
        Origin::Assumed(why) => (format!("assumed: {}", context.words(why)), None),
        Origin::Worked => ("intermediate result".to_owned(), None),
    };
    InputLine {
        symbol: input.symbol.to_owned(),
        shown: shown(context, input).unwrap_or_default(),
        si: input.value.map(|(si, _)| si),
        from,
        place,
    }
}

fn shown(context: &ReviewContext<'_>, input: &Input) -> Option<String> {
    let (si, kind) = input.value?;
    let text = match input.origin {
        Origin::Plan(_) | Origin::Assumed(_) => show(si, kind, context.units),
        Origin::Figure(..) | Origin::Worked => show_computed(si, kind, context.units),
    };
    Some(in_currency(context, kind, text))
}

/// An amount of money with the currency the plan names; anything else as it is.
fn in_currency(context: &ReviewContext<'_>, kind: Kind, text: String) -> String {
    let electrical = context.plan.electrical.value();
    let tariff = electrical.and_then(|electrical| electrical.tariff.value());
    match tariff.and_then(|tariff| tariff.currency.value()) {
        Some(currency) if kind == Kind::Money => format!("{text} {currency}"),
        _ => text,
    }
}

/// The formula with the symbols of its inputs replaced by their values, and the result: `6 in = −6 in − (−12 in)`.
fn with_numbers(context: &ReviewContext<'_>, figure: &Figure) -> Option<String> {
    let result = match figure.answer {
        Ok(Found::Quantity(_) | Found::Stated { .. }) => value(context, figure)?.text,
        _ => return None,
    };
    let symbols = figure.definition.symbols;
    // `z: V(z) = …` seeks a value by an equation.
    if let Some((own, equation)) = symbols.split_once(": ") {
        let numbers = replaced(context, figure, equation);
        return Some(if numbers == equation {
            format!("{own} = {result}")
        } else {
            format!("{own}: {numbers}; {own} = {result}")
        });
    }
    let Some((own, formula)) = symbols.split_once(" = ") else {
        let own = symbols.split([':', ' ']).next().unwrap_or_default();
        return Some(if own.is_empty() {
            result
        } else {
            format!("{own} = {result}")
        });
    };
    let numbers = replaced(context, figure, formula);
    // A sum of one value is that value.
    Some(if numbers == formula || numbers == result {
        format!("{own} = {result}")
    } else {
        format!("{own} = {numbers} = {result}")
    })
}

/// Replaces each symbol that an input bears; `Σ` before a symbol takes all inputs that bear it. A symbol that stands
/// for several values, such as one for each layer, stays as it is.
fn replaced(context: &ReviewContext<'_>, figure: &Figure, formula: &str) -> String {
    let mut out = String::new();
    let mut token = String::new();
    for c in formula.chars().chain(std::iter::once(' ')) {
        if (c.is_alphanumeric() && !matches!(c, '²' | '³')) || matches!(c, '_' | '-') {
            token.push(c);
            continue;
        }
        if !token.is_empty() {
            let after_sign = out.trim_end().ends_with(['+', '\u{2212}', '·', '/']);
            // What stands before a bracket names a function, even where an input bears the same letter.
            let number = (c != '(').then(|| number_of(context, figure, &token)).flatten();
            let number = number.map(|number| {
                if matches!(c, '²' | '³' | '^') {
                    format!("({number})")
                } else if after_sign {
                    in_brackets(number)
                } else {
                    number
                }
            });
            out.push_str(&number.unwrap_or_else(|| token.clone()));
            token.clear();
        }
        out.push(c);
    }
    out.trim_end().to_owned()
}

fn number_of(context: &ReviewContext<'_>, figure: &Figure, token: &str) -> Option<String> {
    let (symbol, all) = token
        .strip_prefix('Σ')
        .map_or((token, false), |symbol| (symbol, true));
    // In a list as long as that, a symbol stands for many values.
    let lists = figure.inputs.lists().filter(|list| list.len() <= MOST_INPUTS);
    let bearing = lists.flatten().filter(|input| input.symbol == symbol);
    let mut values: Vec<String> = bearing.filter_map(|input| shown(context, input)).collect();
    if !all {
        values.dedup();
    }
    match values.as_slice() {
        [only] => Some(only.clone()),
        several if all && !several.is_empty() => Some(format!("({})", several.join(" + "))),
        _ => None,
    }
}

/// A signed value in brackets, so that signs don't meet.
fn in_brackets(value: String) -> String {
    if value.starts_with(['+', '\u{2212}']) {
        format!("({value})")
    } else {
        value
    }
}
