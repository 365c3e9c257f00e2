//! Shots: rows of readings matched with the marks of a plan, and turned into levels.

use std::collections::HashMap;

use super::misread::{Misread, misread};
use crate::{
    formulas::levelling,
    papers::{
        grid::{Grid, GridColumn, GridProblem, GridRow},
        marks::{CLOSING_ID, Mark, backsight_id, foresight_id},
    },
    quantity::{Kind, Unit},
    read::{ProblemKind, nearest},
    text::shown,
};

/// A mark that was shot.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Which mark, from 0.
    pub mark: usize,
    /// The row of the file.
    pub row: usize,
    /// Its level as built, m.
    pub level: f64,
    /// How far it stands above where it must, m.
    pub off: f64,
    /// Why it is not believed, where it is not.
    pub misread: Option<Misread>,
}

/// The shots of a file.
#[derive(Clone, Debug, Default)]
pub struct Shots {
    /// Each mark that was shot, in the order of the marks.
    pub all: Vec<Shot>,
    /// How far the last sight, on the first mark again, is off, m; none where it was not shot.
    pub closing: Option<f64>,
    /// How many set-ups were used.
    pub set_ups: usize,
}

/// The most set-ups that one file may have.
const MOST_SET_UPS: usize = 50;

/// Reads shots: rows with the ids of a grade sheet and readings, or levels in a column “level shot”. `believed` are ids whose
/// shots are taken as they are, however far off. `height` is that of the instrument, m, where the rows do not give it.
///
/// # Errors
/// Every row and column that can't be taken.
pub fn read_shots(
    grid: &Grid,
    marks: &[Mark],
    fingerprint: &str,
    believed: &[String],
    height: Option<f64>,
) -> Result<Shots, Vec<GridProblem>> {
    let mut reader = Reader::new(grid, marks).map_err(|problem| vec![problem])?;
    reader.of_this_plan(fingerprint);
    let rows = reader.rows();
    reader.one_system(&rows);
    let heights = match &reader.levels {
        Some(_) => Vec::new(),
        None => reader.heights(&rows, height),
    };
    let shots = reader.shots(&rows, &heights, believed);
    let mut unknown = believed
        .iter()
        .filter(|id| !marks.iter().any(|mark| mark.id == **id))
        .map(|id| GridProblem {
            kind: ProblemKind::UnknownName,
            row: None,
            column: None,
            message: format!("no mark has the id `{}` that is to be believed", shown(id)),
            help: near(id, marks),
        })
        .collect();
    reader.problems.append(&mut unknown);
    if reader.problems.is_empty() {
        Ok(shots)
    } else {
        Err(reader.problems)
    }
}

/// The id most like an unknown one.
fn near(id: &str, marks: &[Mark]) -> Option<String> {
    let close = nearest(id, marks.iter().map(|mark| mark.id.as_str()), 0.8);
    close.map(|close| format!("the nearest id is `{close}`"))
}

/// A row of sights: its id and its cells.
struct SightRow<'g> {
    id: &'g str,
    row: &'g GridRow,
}

struct Reader<'g> {
    grid: &'g Grid,
    marks: &'g [Mark],
    ids: GridColumn,
    /// Readings; where levels were exported, these.
    shots: GridColumn,
    levels: Option<GridColumn>,
    problems: Vec<GridProblem>,
}

impl<'g> Reader<'g> {
    fn new(grid: &'g Grid, marks: &'g [Mark]) -> Result<Self, GridProblem> {
        let levels = grid.column("level shot");
        let shots = match &levels {
            Some(levels) => levels.clone(),
            None => grid.required("shot")?,
        };
        Ok(Self {
            grid,
            marks,
            ids: grid.required("id")?,
            shots,
            levels,
            problems: Vec::new(),
        })
    }

    /// Whether the rows are of this plan: a sheet made from another, or from another revision, says so.
    fn of_this_plan(&mut self, fingerprint: &str) {
        let Some(column) = self.grid.column("plan") else {
            return;
        };
        let other = self.grid.body().find(|row| {
            let text = row.text(&column);
            !text.is_empty() && !text.eq_ignore_ascii_case(fingerprint)
        });
        if let Some(row) = other {
            let said = shown(row.text(&column));
            let message = format!(
                "the sheet was made from another plan or revision: {said}; this plan is {fingerprint}"
            );
            let help =
                "name the plan that the sheet was made from, with the same patches, or make the sheet again";
            let problem = row.problem(&column, message).of(ProblemKind::NotAccepted);
            self.problems.push(problem.help(help));
        }
    }

    /// The rows with an id, each id once.
    fn rows(&mut self) -> Vec<SightRow<'g>> {
        let mut rows: Vec<SightRow<'g>> = Vec::new();
        let mut seen: HashMap<&str, usize> = HashMap::new();
        for row in self.grid.body() {
            let id = row.text(&self.ids);
            let is_shot = !row.text(&self.shots).is_empty();
            if id.is_empty() {
                if is_shot {
                    let problem = row.problem(&self.ids, "a shot without an id");
                    self.problems.push(problem.of(ProblemKind::MissingCell));
                }
                continue;
            }
            if let Some(first) = seen.insert(id, row.number) {
                let message = format!("`{}` stands in row {first} too", shown(id));
                let problem = row.problem(&self.ids, message).of(ProblemKind::RowGivenTwice);
                self.problems.push(problem.help("keep one row for each mark"));
                continue;
            }
            let known =
                id == CLOSING_ID || id.starts_with("set-up ") || self.marks.iter().any(|mark| mark.id == id);
            if !known {
                let problem = row.problem(
                    &self.ids,
                    format!("no mark of this plan has the id `{}`", shown(id)),
                );
                let help =
                    near(id, self.marks).unwrap_or_else(|| "the grade sheet’s CSV lists the ids".to_owned());
                self.problems
                    .push(problem.of(ProblemKind::UnknownName).help(help));
                continue;
            }
            rows.push(SightRow { id, row });
        }
        rows
    }

    /// Whether all shots are in one system of units: feet beside metres in one column are a slip of the pen.
    fn one_system(&mut self, rows: &[SightRow<'_>]) {
        let mut first: Option<(bool, usize)> = None;
        for SightRow { row, .. } in rows {
            let Ok(Some(measured)) = row.measured(&self.shots, Kind::Length) else {
                continue;
            };
            let metric = is_metric(measured.unit);
            match first {
                None => first = Some((metric, row.number)),
                Some((system, number)) if system != metric => {
                    let message =
                        format!("this shot and the one in row {number} are in different systems of units");
                    let problem = row.problem(&self.shots, message).of(ProblemKind::NotAccepted);
                    self.problems
                        .push(problem.help("keep one column in feet and inches, or in metres"));
                    return;
                }
                Some(_) => {}
            }
        }
        if let (Some(unit), Some((metric, number))) = (self.shots.unit, first)
            && is_metric(unit) != metric
        {
            self.problems.push(GridProblem {
                kind: ProblemKind::NotAccepted,
                row: Some(number),
                column: Some(self.shots.heading.clone()),
                message: "the shot and the heading of its column are in different systems of units"
                    .to_owned(),
                help: Some("keep one column in feet and inches, or in metres".to_owned()),
            });
        }
    }

    /// A sight of a row: the shot, else the reading that the sheet was made with.
    fn sight(&mut self, row: &GridRow) -> Option<f64> {
        let columns = [Some(self.shots.clone()), self.grid.column("reading")];
        for column in columns.into_iter().flatten() {
            match row.measured(&column, Kind::Length) {
                Ok(Some(measured)) if measured.si < 0.0 => {
                    let problem = row.problem(&column, "the reading is below the foot of the rod");
                    self.problems.push(problem.of(ProblemKind::OutOfRange));
                    return None;
                }
                Ok(Some(measured)) => return Some(measured.si),
                Ok(None) => {}
                Err(problem) => {
                    self.problems.push(problem);
                    return None;
                }
            }
        }
        None
    }

    /// The height of the instrument at each set-up, m, and the level of the first mark.
    fn heights(&mut self, rows: &[SightRow<'_>], given: Option<f64>) -> Vec<f64> {
        let find = |id: &str| rows.iter().find(|sight| sight.id == id).map(|sight| sight.row);
        let mut heights = Vec::new();
        if let Some(height) = given {
            heights.push(height);
        } else if let Some(row) = find(&backsight_id(1)) {
            let mark = self.mark_level(row);
            if let Some(backsight) = self.sight(row) {
                heights.push(levelling::height_of_instrument(mark, backsight));
            }
        }
        while let Some(height) = heights.last().copied().filter(|_| heights.len() < MOST_SET_UPS) {
            let turn = (
                find(&foresight_id(heights.len())),
                find(&backsight_id(heights.len() + 1)),
            );
            let (Some(foresight), Some(backsight)) = turn else {
                break;
            };
            let (Some(foresight), Some(backsight)) = (self.sight(foresight), self.sight(backsight)) else {
                break;
            };
            heights.push(levelling::turned(height, foresight, backsight));
        }
        if heights.is_empty() && self.problems.is_empty() {
            self.problems.push(GridProblem {
                kind: ProblemKind::MissingCell,
                row: None,
                column: None,
                message: format!(
                    "no row is `{}`, so the height of the instrument is not known",
                    backsight_id(1)
                ),
                help: Some("keep the set-up rows of the grade sheet, or give --hi or --backsight".to_owned()),
            });
        }
        heights
    }

    /// The level of the mark that a sight is on; the benchmark where the row does not say.
    fn mark_level(&mut self, row: &GridRow) -> f64 {
        let Some(column) = self.grid.column("level") else {
            return 0.0;
        };
        match row.measured(&column, Kind::Level) {
            Ok(level) => level.map_or(0.0, |level| level.si),
            Err(problem) => {
                self.problems.push(problem);
                0.0
            }
        }
    }

    fn shots(&mut self, rows: &[SightRow<'_>], heights: &[f64], believed: &[String]) -> Shots {
        let mut shots = Shots {
            set_ups: heights.len(),
            ..Shots::default()
        };
        for (index, mark) in self.marks.iter().enumerate() {
            let Some(sight) = rows.iter().find(|sight| sight.id == mark.id) else {
                continue;
            };
            let Some((level, height)) = self.level(sight.row, heights) else {
                continue;
            };
            let off = level - mark.level;
            let is_believed = believed.contains(&mark.id);
            shots.all.push(Shot {
                mark: index,
                row: sight.row.number,
                level,
                off,
                misread: (!is_believed)
                    .then(|| misread(height.map(|height| height - mark.level), off))
                    .flatten(),
            });
        }
        let closing = rows.iter().find(|sight| sight.id == CLOSING_ID);
        if let (Some(sight), Some(last)) = (closing, heights.last())
            && let Ok(Some(reading)) = sight.row.measured(&self.shots, Kind::Length)
        {
            let mark = self.mark_level(sight.row);
            shots.closing = Some(levelling::level(*last, reading.si) - mark);
        }
        shots
    }

    /// The level of a mark by its row, and the height of the instrument that it was read from; none where it was not shot.
    fn level(&mut self, row: &GridRow, heights: &[f64]) -> Option<(f64, Option<f64>)> {
        let kind = if self.levels.is_some() {
            Kind::Level
        } else {
            Kind::Length
        };
        let measured = match row.measured(&self.shots, kind) {
            Ok(measured) => measured?,
            Err(problem) => {
                self.problems.push(problem);
                return None;
            }
        };
        if self.levels.is_some() {
            return Some((measured.si, None));
        }
        if measured.si < 0.0 {
            let problem = row.problem(
                &self.shots,
                "the reading is below the foot of the rod: the mark lies above the instrument",
            );
            let help = "turn the instrument up, and name the set-up in its column";
            self.problems.push(problem.of(ProblemKind::OutOfRange).help(help));
            return None;
        }
        let height = *self.height(row, heights)?;
        Some((levelling::level(height, measured.si), Some(height)))
    }

    /// The height of the instrument that a row was read from.
    fn height<'h>(&mut self, row: &GridRow, heights: &'h [f64]) -> Option<&'h f64> {
        let column = self.grid.column("set-up");
        let text = column.as_ref().map_or("", |column| row.text(column));
        let number = if text.is_empty() {
            Ok(1)
        } else {
            text.parse::<f64>().map(|number| number as usize)
        };
        let found = number.ok().and_then(|number| heights.get(number.checked_sub(1)?));
        if found.is_none() && !heights.is_empty() {
            let column = column.unwrap_or_else(|| self.shots.clone());
            let problem = row.problem(&column, format!("there is no set-up `{}`", shown(text)));
            let last = heights.len();
            self.problems
                .push(problem.of(ProblemKind::UnknownName).help(format!(
                    "the rows give set-ups 1 to {last}; a further one needs its foresight and backsight"
                )));
        }
        found
    }
}

/// Whether a unit of length is metric.
fn is_metric(unit: &Unit) -> bool {
    !matches!(unit.symbol, "in" | "ft" | "yd" | "mil")
}
