//! The as-built check as sheets.

use super::{
    found::{AsBuiltOptions, Found, MarkStanding, Moved},
    holds,
    misread::Misread,
};
use crate::{
    papers::{
        document::{Block, Cell, Column, Row, SheetTable},
        words::{long_unit, site_length, site_level},
    },
    quantity::UnitSystem,
    review::ReviewContext,
    rules::Severity,
};

/// The sheets of an as-built check: what to do first, every shot, what is new in the review.
pub(super) fn sheets(
    found: &Found<'_>,
    context: &ReviewContext<'_>,
    options: &AsBuiltOptions<'_>,
) -> Vec<(String, Vec<Block>)> {
    let mut sheets = vec![(
        "Before water goes in".to_owned(),
        first(found, context.units, options),
    )];
    sheets.push((
        "Every shot".to_owned(),
        vec![Block::Table(every_shot(found, context.units))],
    ));
    if !found.new.is_empty() {
        sheets.push((
            "New in the review".to_owned(),
            vec![Block::Table(new_findings(found))],
        ));
    }
    sheets
}

fn first(found: &Found<'_>, units: UnitSystem, options: &AsBuiltOptions<'_>) -> Vec<Block> {
    let closing = found.shots.closing.map_or_else(
        || "the first mark was not shot again".to_owned(),
        |error| {
            let allowed = site_length(found.closing_allowed, units);
            match off_words(error, units) {
                None => format!("none, {allowed} allowed"),
                Some(off) => format!("{off}, {allowed} allowed"),
            }
        },
    );
    let action = |review: &crate::review::Review| review.action.words.to_owned();
    let mut blocks = vec![Block::Facts {
        rows: vec![
            (
                "shots".to_owned(),
                format!("{} of {} marks", found.shots.all.len(), found.marks.len()),
            ),
            ("closing error".to_owned(), closing),
            ("review as drawn".to_owned(), action(options.drawn)),
            (
                "review as built".to_owned(),
                found
                    .review
                    .as_ref()
                    .map_or_else(|| "not to be reviewed: levels out of order".to_owned(), action),
            ),
        ],
    }];
    let doubted: Vec<&Moved<'_>> = of(found, MarkStanding::Misread).collect();
    if !doubted.is_empty() {
        blocks.push(Block::Heading {
            text: "Shoot again before anything is believed".to_owned(),
        });
        let columns = vec![
            Column::figures("no.", 0.4),
            Column::words("mark", 2.6),
            Column::figures("row", 0.4),
            Column::figures("off by", 1.0).within(long_unit(units)),
            Column::words("why", 3.0),
            Column::words("shot again", 1.0),
            Column::words("id", 1.0).only_in_files(),
        ];
        let rows = doubted.into_iter().map(|moved| {
            let why = moved.shot.misread.map_or_else(String::new, Misread::words);
            Row::strong(vec![
                Cell::count(moved.mark.number),
                Cell::text(moved.mark.name.clone()),
                Cell::count(moved.shot.row),
                off_by(moved, units),
                Cell::Text(why),
                Cell::Blank,
                Cell::text(moved.mark.id.clone()),
            ])
        });
        let mut table = SheetTable::plain("shoot-again", columns, rows.collect());
        table.note.push_str("These marks are reviewed as drawn. Where a second shot says the same, name the mark with --believe.");
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Heading {
        text: "Over tolerance".to_owned(),
    });
    let over: Vec<Row> = of(found, MarkStanding::Over)
        .map(|moved| over_row(moved, units))
        .collect();
    if over.is_empty() {
        blocks.push(Block::Note {
            text: "No mark that was shot stands farther off than it may.".to_owned(),
        });
    } else {
        let columns = vec![
            Column::figures("no.", 0.35),
            Column::words("mark", 1.8),
            Column::figures("off by", 0.9).within(long_unit(units)),
            Column::figures("may be", 0.8).within(long_unit(units)),
            Column::words("what it does", 3.0),
            Column::words("before water goes in", 2.7),
            Column::words("id", 1.0).only_in_files(),
        ];
        let mut table = SheetTable::plain("over-tolerance", columns, over);
        table.note.push_str(
            "What each does by itself, all other marks as drawn; what they do together is new in the review.",
        );
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Heading {
        text: "Hold points".to_owned(),
    });
    let columns = vec![
        Column::words("hold point", 3.2),
        Column::words("stands", 1.0),
        Column::words("because", 2.0),
    ];
    let rows = holds::all(found).into_iter().map(|hold| {
        let stands = match hold.passed {
            Some(true) => "passed",
            Some(false) => "not passed",
            None => "not shown",
        };
        let cells = vec![
            Cell::Text(hold.what),
            Cell::text(stands),
            Cell::Text(hold.because),
        ];
        if hold.passed == Some(false) {
            Row::strong(cells)
        } else {
            Row::of(cells)
        }
    });
    blocks.push(Block::Table(SheetTable::plain(
        "hold-points",
        columns,
        rows.collect(),
    )));
    blocks.push(Block::Signature {
        labels: vec!["shot by".to_owned(), "checked by".to_owned(), "date".to_owned()],
    });
    blocks
}

fn of<'f>(found: &'f Found<'f>, standing: MarkStanding) -> impl Iterator<Item = &'f Moved<'f>> {
    found.moved.iter().filter(move |moved| moved.standing == standing)
}

/// How far a shot is off, in words: `3/8 in low`.
fn off_by(moved: &Moved<'_>, units: UnitSystem) -> Cell {
    let off = moved.shot.off;
    let text = off_words(off, units).unwrap_or_else(|| "as drawn".to_owned());
    Cell::Quantity { si: off, text }
}

/// How far something is off, in words; none where that is nothing that is read on a rod.
fn off_words(off: f64, units: UnitSystem) -> Option<String> {
    let size = site_length(off.abs(), units);
    match size.as_str() {
        "0 in" | "0 mm" => None,
        _ if off < 0.0 => Some(format!("{size} low")),
        _ => Some(format!("{size} high")),
    }
}

fn over_row(moved: &Moved<'_>, units: UnitSystem) -> Row {
    let mark = moved.mark;
    let mut does: Vec<String> = moved
        .breaks
        .iter()
        .map(|finding| format!("{}: {}", finding.severity.word(), finding.headline))
        .collect();
    if does.is_empty() {
        does.clone_from(&moved.changes);
    }
    if does.is_empty() {
        does.push("outside the plan’s own tolerance; no rule and no watched figure changes".to_owned());
    }
    let back = format!(
        "{} it by {} to {}",
        if moved.shot.off < 0.0 { "Raise" } else { "Lower" },
        site_length(moved.shot.off.abs(), units),
        site_level(mark.level, units)
    );
    let cure = moved
        .breaks
        .iter()
        .find(|finding| finding.severity != Severity::Advise)
        .map_or_else(
            || format!("{back}."),
            |finding| format!("{back}, or: {}", finding.cure),
        );
    let room = moved.room.as_ref().map_or(Cell::Empty, |room| {
        let text = if room.room == 0.0 {
            "none".to_owned()
        } else {
            site_length(room.room, units)
        };
        Cell::Quantity { si: room.room, text }
    });
    Row::of(vec![
        Cell::count(mark.number),
        Cell::text(mark.name.clone()),
        off_by(moved, units),
        room,
        Cell::Text(does.join("; ")),
        Cell::Text(cure),
        Cell::text(mark.id.clone()),
    ])
}

fn every_shot(found: &Found<'_>, units: UnitSystem) -> SheetTable {
    let columns = vec![
        Column::figures("no.", 0.4),
        Column::words("mark", 3.2),
        Column::figures("as drawn", 1.0).within(long_unit(units)),
        Column::figures("as built", 1.0).within(long_unit(units)),
        Column::figures("off by", 1.1).within(long_unit(units)),
        Column::words("stands", 1.3),
        Column::words("id", 1.0).only_in_files(),
    ];
    let rows = found.marks.iter().enumerate().map(|(index, mark)| {
        let moved = found.moved.iter().find(|moved| moved.shot.mark == index);
        let stands = match moved.map(|moved| moved.standing) {
            None => "not shot",
            Some(MarkStanding::Set) => "set",
            Some(MarkStanding::Off) => "off, within room",
            Some(MarkStanding::Over) => "over tolerance",
            Some(MarkStanding::Misread) => "shoot again",
        };
        let level = |level: f64| Cell::Quantity {
            si: level,
            text: site_level(level, units),
        };
        let cells = vec![
            Cell::count(mark.number),
            Cell::text(mark.name.clone()),
            level(mark.level),
            moved.map_or(Cell::Empty, |moved| level(moved.shot.level)),
            moved.map_or(Cell::Empty, |moved| off_by(moved, units)),
            Cell::text(stands),
            Cell::text(mark.id.clone()),
        ];
        match moved.map(|moved| moved.standing) {
            Some(MarkStanding::Over | MarkStanding::Misread) => Row::strong(cells),
            _ => Row::of(cells),
        }
    });
    SheetTable::plain("shots", columns, rows.collect())
}

fn new_findings(found: &Found<'_>) -> SheetTable {
    let columns = vec![
        Column::words("severity", 0.6),
        Column::words("where", 1.4),
        Column::words("found", 2.4),
        Column::words("cure", 2.6),
        Column::words("rule", 1.0).only_in_files(),
    ];
    let rows = found.new.iter().map(|finding| {
        Row::of(vec![
            Cell::text(finding.severity.word()),
            Cell::text(finding.place_name.clone()),
            Cell::text(finding.headline.clone()),
            Cell::text(finding.cure.clone()),
            Cell::text(finding.rule.clone()),
        ])
    });
    SheetTable::plain("new-findings", columns, rows.collect())
}
