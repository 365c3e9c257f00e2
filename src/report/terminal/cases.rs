//! Levels in every case: one table for each basin, then what moved, and the worst.

use unicode_width::UnicodeWidthStr;

use super::paint::{Paint, Tone};
use crate::review::{CaseBasin, CaseTold, Cases, Worst};

/// Widths of the columns: case, highest, lowest, freeboard, over the rim.
const COLUMNS: [usize; 5] = [34, 12, 12, 11, 9];

/// The cases as text.
pub fn cases(cases: &Cases, paint: Paint) -> String {
    let mut out = paint.ruled("Levels in every case");
    let all: Vec<&CaseTold> = cases.cases.iter().chain(&cases.asked).collect();
    let first = all.iter().find(|case| !case.basins.is_empty());
    for (index, basin) in first.iter().flat_map(|case| case.basins.iter().enumerate()) {
        out.push_str(&table(&basin.object_name, &all, index, paint));
        out.push('\n');
    }
    for missing in &cases.missing {
        out.push_str(&paint.fill(missing, "· ", "  "));
        out.push('\n');
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
        out.push_str(&paint.fill(note, "· ", "  "));
        out.push('\n');
    }
    out.push('\n');
    out
}

fn table(name: &str, cases: &[&CaseTold], index: usize, paint: Paint) -> String {
    let head = [name, "highest", "lowest", "freeboard", "over rim"];
    let mut out = paint.tone(Tone::Strong, &row(head));
    out.push('\n');
    for case in cases {
        let Some(basin) = case.basins.get(index) else {
            continue;
        };
        let line = row_of(&case.title, basin);
        let over = basin.over_rim.is_some();
        out.push_str(&if over { paint.tone(Tone::Stop, &line) } else { line });
        out.push('\n');
    }
    out
}

fn row_of(title: &str, basin: &CaseBasin) -> String {
    let over = basin.over_rim.as_ref().map(|over| over.text.as_str());
    let freeboard = basin.freeboard.as_ref().map(|freeboard| freeboard.text.as_str());
    row([
        title,
        &basin.highest.text,
        &basin.lowest.text,
        freeboard.or(over.map(|_| "none")).unwrap_or("?"),
        over.unwrap_or("·"),
    ])
}

/// The first cell to the left, the others to the right of their columns.
fn row(cells: [&str; 5]) -> String {
    let mut line = String::new();
    for (index, (cell, width)) in cells.into_iter().zip(COLUMNS).enumerate() {
        let cell = if index == 0 {
            shortened(cell, width)
        } else {
            cell.to_owned()
        };
        let room = " ".repeat(width.saturating_sub(cell.width()));
        line.push_str(&if index == 0 { cell + &room } else { room + &cell });
    }
    line.trim_end().to_owned()
}

/// A text cut to a width, so that a long name keeps the table straight.
fn shortened(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        if out.width() + 2 > width {
            break;
        }
        out.push(c);
    }
    out + "…"
}

fn happenings(cases: &[&CaseTold], paint: Paint) -> String {
    let mut out = String::new();
    for case in cases {
        let mut told: Vec<String> = case.told.clone();
        told.extend(case.unsettled.clone());
        told.extend(case.gap.clone());
        if told.is_empty() {
            continue;
        }
        if let Some(after) = case.settled_after.as_ref().filter(|after| after.si > Some(0.0)) {
            told.push(format!("settled after {}", after.text));
        }
        let text = format!("{}: {}", case.title, told.join("; "));
        out.push_str(&paint.fill(&text, "· ", "  ").replacen(
            &case.title,
            &paint.tone(Tone::Strong, &case.title),
            1,
        ));
        out.push('\n');
    }
    out
}

fn worst_told(label: &str, worst: &Worst, paint: Paint) -> String {
    let mut told = format!("{label}: {}; {}", worst.case.title, worst.because);
    if worst.case.name.contains('+') && !worst.case.told.is_empty() {
        told.push_str(&format!(". {}", worst.case.told.join("; ")));
    }
    let text = paint.fill(&told, "", "  ");
    text.replacen(label, &paint.tone(Tone::Strong, label), 1) + "\n"
}
