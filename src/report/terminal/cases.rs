//! Levels in every case: one table for each basin, then what moved, and the worst.

use unicode_width::UnicodeWidthStr;

use super::paint::{CARRIED, Paint, Tone, cut};
use crate::{
    review::{CaseBasin, CaseReport, Cases, Worst},
    text::visible,
};

/// Widths of the columns of numbers: highest, lowest, freeboard, over the rim.
const COLUMNS: [usize; 4] = [12, 12, 11, 9];
/// Narrowest and widest column of names.
const NAMES: (usize, usize) = (10, 34);

/// The cases as text.
pub fn cases(cases: &Cases, paint: Paint) -> String {
    let mut out = paint.ruled("Levels in every case");
    let all: Vec<&CaseReport> = cases.cases.iter().chain(&cases.asked).collect();
    let first = all.iter().find(|case| !case.basins.is_empty());
    for (index, basin) in first.iter().flat_map(|case| case.basins.iter().enumerate()) {
        out.push_str(&table(&basin.object_name, &all, index, paint));
        out.push('\n');
    }
    for missing in &cases.missing {
        out.push_str(&paint.item(missing));
    }
    out.push_str(&happenings(&all, paint));
    for (label, worst) in [
        ("Worst case", &cases.worst),
        ("Worst credible combination", &cases.combined),
    ] {
        if let Some(worst) = worst {
            out.push_str(&worst_told(label, worst, paint));
        }
    }
    for note in &cases.notes {
        out.push_str(&paint.item(note));
    }
    out.push('\n');
    out
}

fn table(name: &str, cases: &[&CaseReport], index: usize, paint: Paint) -> String {
    // A basin's name is no line of ours, and looks like none.
    let name = format!("Basin {}", visible(name));
    let head = [name.as_str(), "highest", "lowest", "freeboard", "over rim"];
    let mut out = paint.tone(Tone::Strong, &row(head, paint));
    out.push('\n');
    for case in cases {
        let Some(basin) = case.basins.get(index) else {
            continue;
        };
        let line = row_of(&case.title, basin, paint);
        let over = basin.over_rim.is_some();
        out.push_str(&if over { paint.tone(Tone::Stop, &line) } else { line });
        out.push('\n');
    }
    out
}

fn row_of(title: &str, basin: &CaseBasin, paint: Paint) -> String {
    let over = basin.over_rim.as_ref().map(|over| over.text.as_str());
    let freeboard = basin.freeboard.as_ref().map(|freeboard| freeboard.text.as_str());
    let freeboard = freeboard.or(over.map(|_| "none")).unwrap_or("?");
    let (highest, lowest) = (&basin.highest.text, &basin.lowest.text);
    row([title, highest, lowest, freeboard, over.unwrap_or("·")], paint)
}

/// The name to the left, the numbers to the right of their columns.
fn row([name, numbers @ ..]: [&str; 5], paint: Paint) -> String {
    let numbers_take: usize = COLUMNS.iter().sum();
    let room = paint.width.saturating_sub(numbers_take).clamp(NAMES.0, NAMES.1);
    let name = cut(name, room);
    let mut line = name.clone() + &" ".repeat(room.saturating_sub(name.width()));
    for (number, width) in numbers.iter().zip(COLUMNS) {
        line.push_str(&" ".repeat(width.saturating_sub(number.width())));
        line.push_str(number);
    }
    line
}

fn happenings(cases: &[&CaseReport], paint: Paint) -> String {
    let mut out = String::new();
    let mut gaps: Vec<&str> = Vec::new();
    for case in cases {
        let mut told: Vec<String> = case.told.clone();
        told.extend(case.unsettled.clone());
        if let Some(after) = case.settled_after.as_ref().filter(|after| after.si > Some(0.0)) {
            told.push(format!("settled after {}", after.text));
        }
        if let Some(gap) = case.gap.as_deref().filter(|gap| !gaps.contains(gap)) {
            gaps.push(gap);
        }
        if !case.told.is_empty() || case.unsettled.is_some() {
            out.push_str(&item(&case.title, &told.join("; "), paint));
        }
    }
    for gap in gaps {
        let alike = cases.iter().filter(|case| case.gap.as_deref() == Some(gap));
        let titles: Vec<&str> = alike.map(|case| case.title.as_str()).collect();
        let titles = if titles.len() == cases.len() {
            "no case can be simulated".to_owned()
        } else {
            titles.join(", ")
        };
        out.push_str(&item(&titles, gap, paint));
    }
    out
}

fn item(title: &str, text: &str, paint: Paint) -> String {
    let filled = paint.item(&format!("{title}: {text}"));
    filled.replacen(title, &paint.tone(Tone::Strong, title), 1)
}

fn worst_told(label: &str, worst: &Worst, paint: Paint) -> String {
    let mut told = format!(
        "{label}: {}; {}",
        worst.case.title,
        worst.reason(worst.object_name.as_deref())
    );
    if worst.case.name.contains('+') && !worst.case.told.is_empty() {
        told.push_str(&format!(". {}", worst.case.told.join("; ")));
    }
    let text = paint.fill(&told, "", CARRIED);
    text.replacen(label, &paint.tone(Tone::Strong, label), 1) + "\n"
}
