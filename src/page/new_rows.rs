//! Rows of tables that are not in the plan yet: empty or half filled. A row is taken into the plan once it is complete and
//! the table has as many rows as its schema asks for, so that nothing is judged before it was typed.

use std::collections::BTreeMap;

use super::pen::Pen;
use crate::{check::Shape, read::Place};

/// Rows that are being typed, by the place of their list. They stand after the rows of the plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewRows(BTreeMap<String, Vec<NewRow>>);

/// What was typed into the cells of a row, by their keys.
pub type NewRow = BTreeMap<String, String>;

/// A cell of a row that is not in the plan: its list, the row among the new ones, and its key.
struct NewCell {
    list: Place,
    row: usize,
    key: String,
}

impl NewRows {
    /// The rows of a list that are shown after those of the plan: those that are being typed; of a list without any row, as
    /// many empty ones as it needs.
    pub fn shown(&self, list: &Place, in_plan: usize, least: usize) -> Vec<NewRow> {
        let mut rows = self.0.get(list.as_str()).cloned().unwrap_or_default();
        let wanted = if in_plan == 0 { least.max(1) } else { 0 };
        if rows.len() < wanted {
            rows.resize(wanted, NewRow::new());
        }
        rows
    }

    /// Adds an empty row, unless there is one; gives the place of the first cell of the empty row.
    pub fn add(&mut self, pen: &Pen<'_>, list: &Place) -> Place {
        let in_plan = pen.items(list);
        let mut rows = self.shown(list, in_plan, least(pen, list));
        let empty = rows.iter().position(BTreeMap::is_empty).unwrap_or_else(|| {
            rows.push(NewRow::new());
            rows.len() - 1
        });
        self.put(list, rows);
        let row = list.child(&(in_plan + empty).to_string());
        row.child(pen.keys(&row).first().unwrap_or(&"0"))
    }

    /// Takes what was typed into a cell of a new row. `None` where the place is no such cell; else its list, and the
    /// rows that are now complete, which the plan takes.
    pub fn set(
        &mut self,
        pen: &Pen<'_>,
        at: &Place,
        text: &str,
        typing: bool,
    ) -> Option<(Place, Vec<NewRow>)> {
        let cell = new_cell(pen, at)?;
        let in_plan = pen.items(&cell.list);
        let least = least(pen, &cell.list);
        let mut rows = self.shown(&cell.list, in_plan, least);
        let row = rows.get_mut(cell.row)?;
        if text.trim().is_empty() {
            row.remove(&cell.key);
        } else {
            row.insert(cell.key, text.trim().to_owned());
        }
        let complete = rows
            .iter()
            .take_while(|row| is_complete(pen, &cell.list, row))
            .count();
        let taken = if typing || in_plan + complete < least {
            0
        } else {
            complete
        };
        let rest = rows.split_off(taken);
        self.put(&cell.list, rest);
        Some((cell.list, rows))
    }

    /// Takes a new row away; whether the place was one.
    pub fn forget(&mut self, pen: &Pen<'_>, at: &Place) -> bool {
        let Some((list, row)) = new_row(pen, at) else {
            // What is typed into an object goes with it.
            self.0.retain(|list, _| !at.holds(&Place::from_pointer(list)));
            return false;
        };
        let mut rows = self.shown(&list, pen.items(&list), least(pen, &list));
        if row < rows.len() {
            rows.remove(row);
        }
        self.put(&list, rows);
        true
    }

    /// Rows of an object that was renamed are typed on under its new name.
    pub fn moved(&mut self, from: &Place, to: &Place) {
        let rows = std::mem::take(&mut self.0).into_iter();
        let moved = rows.map(|(key, rows)| match key.strip_prefix(from.as_str()) {
            Some(rest) if rest.starts_with('/') => (format!("{to}{rest}"), rows),
            _ => (key, rows),
        });
        self.0 = moved.collect();
    }

    fn put(&mut self, list: &Place, rows: Vec<NewRow>) {
        if rows.is_empty() {
            self.0.remove(list.as_str());
        } else {
            self.0.insert(list.as_str().to_owned(), rows);
        }
    }
}

fn least(pen: &Pen<'_>, list: &Place) -> usize {
    pen.book.field_at(list).map_or(0, |field| field.least_items)
}

/// The list of a row that is not in the plan, and its number among the new ones.
fn new_row(pen: &Pen<'_>, row: &Place) -> Option<(Place, usize)> {
    let list = row.parent()?;
    let number: usize = row.parts().last()?.parse().ok()?;
    let is_list = pen.book.field_at(&list)?.shape == Shape::List;
    let after = number.checked_sub(pen.items(&list))?;
    is_list.then_some((list, after))
}

fn new_cell(pen: &Pen<'_>, at: &Place) -> Option<NewCell> {
    let (list, row) = new_row(pen, &at.parent()?)?;
    let key = at.parts().last()?;
    pen.book.field_at(at)?;
    Some(NewCell { list, row, key })
}

/// Whether a row says all that its schema requires; of a pair, both.
fn is_complete(pen: &Pen<'_>, list: &Place, row: &NewRow) -> bool {
    let field = pen.book.field_at(&list.child("0"));
    let required = field.map_or(&[][..], |field| &field.required);
    if required.is_empty() {
        return ["0", "1"].iter().all(|key| row.contains_key(*key));
    }
    required.iter().all(|key| row.contains_key(key))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use serde_json::{Value as Json, json};

    use crate::page::{Desk, Document, Edit};

    const CURVE: &str = "/pumps/pump/curve";

    struct Table(Desk, Document);

    impl Table {
        fn turn(&mut self, edit: &Json) -> String {
            let document = std::mem::take(&mut self.1);
            let turn = self.0.turn(document, Edit::read(&edit.to_string()).unwrap());
            self.1 = turn.document;
            turn.html.into_iter().map(|(_, html)| html).collect()
        }

        fn cell(&mut self, at: &str, text: &str) -> String {
            self.turn(&json!({ "do": "set", "at": format!("{CURVE}/{at}"), "text": text }))
        }

        /// The curve as the plan has it.
        fn curve(&self) -> Json {
            let assessed = self.1.assessed.as_ref().unwrap();
            assert!(assessed.is_current(), "{:?}", assessed.problems);
            let tree = assessed.tree.as_ref().unwrap().to_json();
            tree.pointer(CURVE).cloned().unwrap_or_default()
        }
    }

    fn begun() -> Table {
        let mut table = Table(Desk::new().unwrap(), Document::default());
        table.turn(&json!({ "do": "begin", "start": "pond-bed", "units": "US" }));
        let html = table.turn(&json!({ "do": "fold", "at": "/pumps", "open": true }));
        // Two points make a curve: two empty rows stand there.
        assert_eq!(html.matches("data-set=\"/pumps/pump/curve/").count(), 4);
        table
    }

    /// Nothing is judged, and the plan stays as it is, until the rows say what a curve needs.
    #[test]
    fn rows_are_taken_once_there_are_enough_and_each_is_complete() {
        let mut table = begun();
        let text = table.1.text.clone();
        for (at, typed) in [("0/0", "0 gph"), ("0/1", "20 ft"), ("1/0", "2000 gph")] {
            let html = table.cell(at, typed);
            assert!(html.contains("once 2 of them are complete") && !html.contains("class=\"error\""));
            assert_eq!((table.curve(), &table.1.text), (Json::Null, &text));
        }
        table.turn(&json!({ "do": "set", "at": format!("{CURVE}/1/1"), "text": "1", "typing": true }));
        assert_eq!(table.curve(), Json::Null);
        table.cell("1/1", "15 ft");
        let two = json!([["0 gph", "20 ft"], ["2000 gph", "15 ft"]]);
        assert_eq!(table.curve(), two);
        // A third row stands empty, is typed half, is still there when the page is loaded again, and goes with a press.
        table.turn(&json!({ "do": "add", "at": CURVE }));
        table.turn(&json!({ "do": "add", "at": CURVE }));
        table.cell("2/0", "3600 gph");
        let html = table.turn(&json!({ "do": "show" }));
        assert_eq!(html.matches("data-set=\"/pumps/pump/curve/").count(), 6);
        assert!(html.contains("value=\"3600 gph\""));
        assert_eq!(table.curve(), two);
        table.turn(&json!({ "do": "rename", "at": "/pumps/pump", "id": "one" }));
        table.turn(&json!({ "do": "rename", "at": "/pumps/one", "id": "pump" }));
        table.cell("2/1", "8 ft");
        assert_eq!(
            table.curve(),
            json!([["0 gph", "20 ft"], ["2000 gph", "15 ft"], ["3600 gph", "8 ft"]])
        );
        table.turn(&json!({ "do": "add", "at": CURVE }));
        let html = table.turn(&json!({ "do": "forget", "at": format!("{CURVE}/3") }));
        assert_eq!(html.matches("data-set=\"/pumps/pump/curve/").count(), 6);
    }

    #[test]
    fn a_cell_that_is_emptied_keeps_its_column_and_the_last_one_takes_the_row_along() {
        let mut table = begun();
        for (at, typed) in [
            ("0/0", "0"),
            ("0/1", "20 ft"),
            ("1/0", "900 gph"),
            ("1/1", "9 ft"),
            ("2/0", "1800 gph"),
            ("2/1", "2 ft"),
        ] {
            if at == "2/0" {
                table.turn(&json!({ "do": "add", "at": CURVE }));
            }
            table.cell(at, typed);
        }
        let html = table.cell("1/0", " ");
        assert!(html.contains("class=\"error\""));
        let tree = table.1.assessed.as_ref().unwrap().tree.clone().unwrap();
        assert_eq!(tree.to_json().pointer(CURVE).unwrap()[1], json!(["", "9 ft"]));
        table.cell("1/1", "");
        assert_eq!(table.curve(), json!([["0", "20 ft"], ["1800 gph", "2 ft"]]));
    }

    /// Rows of named values: an order of work takes one as soon as its step is chosen.
    #[test]
    fn a_row_of_named_values_needs_those_the_schema_requires() {
        let mut table = begun();
        let order = "/filling/order";
        let set = |table: &mut Table, key: &str, text: &str| {
            table.turn(&json!({ "do": "set", "at": format!("{order}/0/{key}"), "text": text }))
        };
        set(&mut table, "day", "3");
        let plan = |table: &Table| {
            let assessed = table.1.assessed.as_ref().unwrap();
            assessed.tree.as_ref().unwrap().to_json().pointer(order).cloned()
        };
        assert_eq!(plan(&table), None);
        set(&mut table, "step", "dig");
        assert_eq!(plan(&table), Some(json!([{ "step": "dig", "day": 3 }])));
    }
}
