//! The grade sheet: every level in build order with its rod reading, how far it may drift, and a blank for the shot.

use super::{
    document::{Block, Cell, Column, FieldPaper, Part, Row, SheetTable},
    drift::{MarkDrift, MarkDrifts, Side},
    imprint::PlanImprint,
    marks::{CLOSING_ID, Crew, Mark, backsight_id, foresight_id, marks},
    rod::{Rod, SetUps, Sight},
    words::{long_unit, site_length, site_level},
};
use crate::{
    formulas::levelling,
    quantity::UnitSystem,
    review::{ReviewContext, Subject},
    rules::Library,
};

/// What a grade sheet is made for.
#[derive(Clone, Debug)]
pub struct GradeOptions {
    /// The set-ups of the instrument.
    pub set_ups: SetUps,
    /// Level of the mark that the first backsight stands on, m from the benchmark.
    pub mark: f64,
}

/// The grade sheet of a plan.
pub struct GradeSheet {
    /// The paper.
    pub paper: FieldPaper,
    /// Marks that no set-up reads, by name.
    pub unread: Vec<String>,
}

/// How far a mark may drift down and up.
type Drifts = (MarkDrift, MarkDrift);

/// Makes the grade sheet of a plan.
pub fn grade_sheet(
    context: &ReviewContext<'_>,
    subject: &Subject,
    library: &Library,
    options: &GradeOptions,
) -> GradeSheet {
    let all = marks(context.plan, context.ledger);
    let trials = MarkDrifts::new(context, library);
    let drifts = all.iter().map(|mark| {
        let side = |side| trials.of(&all, mark, side);
        side(Side::Low).zip(side(Side::High))
    });
    let drifts: Vec<Option<Drifts>> = drifts.collect();
    let unread = unread(&all, &options.set_ups);
    let imprint = PlanImprint::of(subject, context.date, &context.tree.root, context.units);
    let mut sheets = vec![(
        "Set-ups and section".to_owned(),
        first_sheet(options, context.units, &unread, &imprint.fingerprint),
    )];
    for crew in Crew::ALL {
        let rows: Vec<Row> = all
            .iter()
            .zip(&drifts)
            .filter(|(mark, _)| mark.crew == crew)
            .map(|(mark, drifts)| {
                row(
                    mark,
                    drifts.as_ref(),
                    options,
                    context.units,
                    &imprint.fingerprint,
                )
            })
            .collect();
        if rows.is_empty() {
            continue;
        }
        let table = SheetTable {
            name: "marks",
            columns: columns(options, context.units),
            parts: vec![Part {
                title: String::new(),
                rows,
            }],
            note: room_note(context.units),
        };
        let caution = Block::Caution {
            text: crew.reminder().to_owned(),
        };
        let signature = Block::Signature {
            labels: vec!["set and shot by".to_owned(), "date".to_owned()],
        };
        sheets.push((
            crew.title().to_owned(),
            vec![caution, Block::Table(table), signature],
        ));
    }
    let named = ("grades", 'G', "Grade sheet");
    GradeSheet {
        paper: FieldPaper::new(named, imprint, sheets),
        unread,
    }
}

/// What parts a tie of rounding and is seen nowhere else, m.
const TIE: f64 = 1e-9;

/// What the columns of drift say.
fn room_note(units: UnitSystem) -> String {
    let far = match units {
        UnitSystem::Us => "2 in",
        UnitSystem::Si => "50 mm",
    };
    format!(
        "May be low, may be high: how far this mark may stand off, all others as drawn, before the review stops or revises the work; \
         “{far} +” where it may stand off that far and more, “none” where there is no room. Set every mark as near as the work is set."
    )
}

/// The marks that no set-up reads, and why.
fn unread(all: &[Mark], set_ups: &SetUps) -> Vec<String> {
    let told = |mark: &Mark| {
        let name = format!("{} {}", mark.number, mark.name);
        match set_ups.sight(mark.level) {
            Sight::Read(..) => None,
            Sight::Above(by) => Some(format!(
                "{name} lies {} above the instrument",
                set_ups.rod.show(by)
            )),
            Sight::Below(by) => Some(format!(
                "{name} lies {} below the foot of the rod",
                set_ups.rod.show(by)
            )),
        }
    };
    all.iter().filter_map(told).collect()
}

fn first_sheet(
    options: &GradeOptions,
    units: UnitSystem,
    unread: &[String],
    fingerprint: &str,
) -> Vec<Block> {
    let table = SheetTable {
        name: "marks",
        columns: columns(options, units),
        parts: vec![Part {
            title: String::new(),
            rows: sights(options, units, fingerprint),
        }],
        note: "A shot that differs from its reading here means that the instrument stands elsewhere: make the sheet again, or \
               work every reading out anew, before one is used."
            .to_owned(),
    };
    let mut blocks = vec![
        Block::Note {
            text: "Reading = line of sight − level. A larger reading than the sheet’s means too low: add; a smaller one means \
                   too high: cut. Shoot the first mark again at the end; a level that has been knocked shows there and \
                   nowhere else."
                .to_owned(),
        },
        Block::Table(table),
    ];
    if !unread.is_empty() {
        blocks.push(Block::Caution {
            text: format!(
                "No set-up reads {} of the marks: {}. Turn the instrument up or down over a turning point, and make this sheet \
                 again with its two sights.",
                unread.len(),
                unread.join("; ")
            ),
        });
    }
    blocks.push(Block::Drawing { name: "section" });
    blocks
}

/// The sights that carry the height of the instrument, in the columns of the marks.
fn sights(options: &GradeOptions, units: UnitSystem, fingerprint: &str) -> Vec<Row> {
    let set_ups = &options.set_ups;
    let rod = set_ups.rod;
    let sight = |id: String, name: String, set_up: usize, (level, reading): (f64, f64)| {
        Row::of(vec![
            Cell::Empty,
            Cell::Text(name),
            Cell::Quantity {
                si: level,
                text: site_level(level, units),
            },
            Cell::count(set_up),
            Cell::Quantity {
                si: reading,
                text: rod.show(reading),
            },
            Cell::Empty,
            Cell::Empty,
            Cell::Blank,
            Cell::Text(rod.show(reading)),
            Cell::Empty,
            Cell::Empty,
            Cell::Text(id),
            Cell::text(fingerprint),
        ])
    };
    let mark = if options.mark == 0.0 { "benchmark" } else { "mark" };
    let mut rows = Vec::new();
    let mut height = 0.0;
    for (index, set_up) in set_ups.all.iter().enumerate() {
        let number = index + 1;
        if let Some((foresight, backsight)) = set_up.turn {
            let level = levelling::level(height, foresight);
            let name = format!("turning point {index}");
            rows.push(sight(
                foresight_id(index),
                format!("{name}: foresight"),
                index,
                (level, foresight),
            ));
            rows.push(sight(
                backsight_id(number),
                format!("{name}: backsight"),
                number,
                (level, backsight),
            ));
        } else {
            let reading = levelling::reading(set_up.height, options.mark);
            let name = format!("{mark}: first backsight");
            rows.push(sight(backsight_id(number), name, number, (options.mark, reading)));
        }
        height = set_up.height;
    }
    let reading = levelling::reading(height, options.mark);
    let name = format!("{mark} again, when all is shot");
    rows.push(sight(
        CLOSING_ID.to_owned(),
        name,
        set_ups.all.len(),
        (options.mark, reading),
    ));
    rows
}

fn columns(options: &GradeOptions, units: UnitSystem) -> Vec<Column> {
    let shot = match options.set_ups.rod {
        Rod::FeetInches => Column::words("shot", 1.15),
        _ => Column::words("shot", 1.15).within(options.set_ups.rod.unit()),
    };
    vec![
        Column::figures("no.", 0.4),
        Column::words("mark", 3.5),
        Column::figures("level", 0.95).within(long_unit(units)),
        Column::figures("set-up", 0.65),
        Column::figures("reading", 1.15).within(options.set_ups.rod.unit()),
        Column::figures("may be low", 1.05).within(long_unit(units)),
        Column::figures("may be high", 1.1).within(long_unit(units)),
        shot,
        Column::words("on the rod", 1.0).only_in_files(),
        Column::words("first rule below", 1.0).only_in_files(),
        Column::words("first rule above", 1.0).only_in_files(),
        Column::words("id", 1.0).only_in_files(),
        Column::words("plan", 1.0).only_in_files(),
    ]
}

fn row(
    mark: &Mark,
    drifts: Option<&Drifts>,
    options: &GradeOptions,
    units: UnitSystem,
    fingerprint: &str,
) -> Row {
    let rod = options.set_ups.rod;
    let sight = options.set_ups.sight(mark.level);
    let (set_up, reading, on_rod) = match sight {
        Sight::Read(index, reading) => {
            // A level halfway between two marks of the rod is printed as the farther from the benchmark: so is its reading, and the
            // two add up to the line of sight.
            let text = rod.show((reading - mark.level.signum() * TIE).max(0.0));
            let cell = Cell::Quantity {
                si: reading,
                text: text.clone(),
            };
            (Cell::count(index + 1), cell, text)
        }
        Sight::Above(_) => (
            Cell::Empty,
            Cell::text("above"),
            "above the instrument".to_owned(),
        ),
        Sight::Below(_) => (Cell::Empty, Cell::text("too deep"), "below the rod".to_owned()),
    };
    let room = |drift: fn(&Drifts) -> &MarkDrift| {
        drifts.map_or(Cell::Empty, |drifts| drift_cell(drift(drifts), units))
    };
    let first = |drift: fn(&Drifts) -> &MarkDrift| {
        let rule = drifts.and_then(|drifts| drift(drifts).first.clone());
        Cell::Text(rule.unwrap_or_default())
    };
    Row {
        strong: !matches!(sight, Sight::Read(..)),
        cells: vec![
            Cell::count(mark.number),
            Cell::text(mark.name.clone()),
            Cell::Quantity {
                si: mark.level,
                text: site_level(mark.level, units),
            },
            set_up,
            reading,
            room(|(low, _)| low),
            room(|(_, high)| high),
            Cell::Blank,
            Cell::Text(on_rod),
            first(|(low, _)| low),
            first(|(_, high)| high),
            Cell::text(mark.id.clone()),
            Cell::text(fingerprint),
        ],
    }
}

fn drift_cell(drift: &MarkDrift, units: UnitSystem) -> Cell {
    let text = if drift.room == 0.0 {
        "none".to_owned()
    } else if drift.is_widest {
        format!("{} +", site_length(drift.room, units))
    } else {
        site_length(drift.room, units)
    };
    Cell::Quantity { si: drift.room, text }
}
