//! What a filled form says, as a merge patch over the plan it is of.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json};

use super::{FieldName, form::replies};
use crate::{
    check::{SchemaBook, Shape},
    plan::Date,
    quantity::Quantity,
    read::{Node, Place, Value},
    text::shown,
};

/// What was read from a form.
#[derive(Clone, Debug, Default)]
pub struct Answered {
    /// The merge patch: the values that were answered, and the replies beside them.
    pub patch: Map<String, Json>,
    /// Findings and questions with an answer.
    pub answered: usize,
    /// Findings and questions without one, by number.
    pub open: Vec<String>,
    /// What could not be read, and where.
    pub unread: Vec<String>,
    /// What was read, and needs a word.
    pub notes: Vec<String>,
}

/// What a form says of one finding or question.
#[derive(Default)]
struct Item {
    reply: Option<&'static str>,
    reason: String,
    /// The values as written, by place.
    values: Vec<(Place, String)>,
    is_finding: bool,
}

/// Reads the fields of a form into a patch over the plan that it is of.
pub fn answers(fields: &BTreeMap<String, String>, tree: &Node, book: &SchemaBook) -> Answered {
    let mut answered = Answered::default();
    let (mut revision, mut date, mut by) = (String::new(), None, String::new());
    let mut items: BTreeMap<String, Item> = BTreeMap::new();
    for (name, value) in fields {
        let value = value.trim();
        match FieldName::parse(name) {
            Some(FieldName::Revision) => value.clone_into(&mut revision),
            Some(FieldName::By) => value.clone_into(&mut by),
            Some(FieldName::Date) if !value.is_empty() => match Date::parse(value) {
                Some(read) => date = Some(read),
                None => answered.unread.push(format!(
                    "date: `{}` is no date; write it as 2026-05-10",
                    shown(value)
                )),
            },
            Some(FieldName::Reply(number)) => {
                let item = items.entry(number.clone()).or_default();
                item.is_finding = true;
                let known = replies()
                    .into_iter()
                    .find(|word| word.eq_ignore_ascii_case(value));
                // A ring of buttons of which none is pressed is off.
                if known.is_none() && !value.is_empty() && value != "Off" {
                    let all = replies().join(", ");
                    answered
                        .unread
                        .push(format!("{number}, reply: `{}` is none of {all}", shown(value)));
                }
                item.reply = known;
            }
            Some(FieldName::Reason(number)) => value.clone_into(&mut items.entry(number).or_default().reason),
            Some(FieldName::Value(number, place)) => {
                items
                    .entry(number)
                    .or_default()
                    .values
                    .push((place, value.to_owned()));
            }
            Some(_) => {}
            None => answered
                .unread
                .push(format!("field `{}` is not of this form", shown(name))),
        }
    }
    let mut replied = Map::new();
    let mut given = BTreeMap::new();
    for (number, item) in &items {
        let reader = ItemReader {
            number,
            item,
            tree,
            book,
        };
        match reader.read(&mut answered, &mut given) {
            None => answered.open.push(number.clone()),
            Some(mut entry) => {
                if !by.is_empty() {
                    entry.insert("by".to_owned(), by.clone().into());
                }
                if let Some(date) = date {
                    entry.insert("date".to_owned(), date.to_string().into());
                }
                answered.answered += 1;
                replied.insert(number.clone(), Json::Object(entry));
            }
        }
    }
    if !replied.is_empty() {
        answered.patch.insert("answers".to_owned(), Json::Object(replied));
    }
    let mut project = Map::new();
    if !revision.is_empty() {
        project.insert("revision".to_owned(), revision.into());
    }
    if let Some(date) = date {
        project.insert("date".to_owned(), date.to_string().into());
    }
    if !project.is_empty() {
        answered.patch.insert("project".to_owned(), Json::Object(project));
    }
    answered
}

/// The values that were given so far: under which number, and as what.
type Given = BTreeMap<Place, (String, String)>;

/// One item of a form over the plan.
struct ItemReader<'a> {
    number: &'a str,
    item: &'a Item,
    tree: &'a Node,
    book: &'a SchemaBook,
}

impl ItemReader<'_> {
    /// The answer as the plan keeps it; none where nothing was answered. The values go into the patch.
    fn read(&self, answered: &mut Answered, given: &mut Given) -> Option<Map<String, Json>> {
        let item = self.item;
        let filled: Vec<&(Place, String)> = item.values.iter().filter(|(_, text)| !text.is_empty()).collect();
        if item.is_finding && item.reply.is_none() {
            if !item.reason.is_empty() {
                answered
                    .unread
                    .push(format!("{}: a reason without a reply; tick one", self.number));
            }
            return None;
        }
        if !item.is_finding && filled.is_empty() && item.reason.is_empty() {
            return None;
        }
        let applies = item.reply != Some("disagree");
        let mut set = 0;
        if applies {
            for (place, text) in &filled {
                if contradicts(place, &filled) {
                    let name = self.book.title_of(place);
                    let told = format!("{}, {name}: none at all, and values of it below", self.number);
                    answered.unread.push(told);
                    continue;
                }
                if let Some((other, said)) = given.get(place)
                    && said != text
                {
                    let (name, number) = (self.book.title_of(place), self.number);
                    answered.unread.push(format!(
                        "{number}, {name}: `{}`, and under {other} `{}`; the first is taken",
                        shown(text),
                        shown(said)
                    ));
                    continue;
                }
                given.insert(place.clone(), (self.number.to_owned(), text.clone()));
                match self.value(place, text) {
                    Ok(Some(value)) => {
                        insert(&mut answered.patch, place, value);
                        set += 1;
                    }
                    // As the plan has it already.
                    Ok(None) => {}
                    Err(why) => answered.unread.push(why),
                }
            }
        }
        if item.is_finding && applies && set == 0 {
            let reply = item.reply.unwrap_or_default();
            answered
                .notes
                .push(format!("{}: {reply}, and no value is changed by it", self.number));
        }
        let mut entry = Map::new();
        if let Some(reply) = item.reply {
            entry.insert("reply".to_owned(), reply.into());
        }
        if !item.reason.is_empty() {
            entry.insert("reason".to_owned(), item.reason.clone().into());
        }
        Some(entry)
    }

    /// The value that a text is at a place; none where the plan has it so already.
    fn value(&self, place: &Place, text: &str) -> Result<Option<Json>, String> {
        let name = self.book.title_of(place);
        let refused = |why: String| format!("{}, {name}: {why}", self.number);
        let Some(field) = self.book.field_at(place) else {
            return Err(refused("the plan has no such place".to_owned()));
        };
        if self.within_list(place) {
            return Err(refused("a value within a list is changed on the plan".to_owned()));
        }
        let said = text.to_lowercase();
        let value = if field.may_be_none && said == "none" {
            Json::String("none".to_owned())
        } else if field.shape == Shape::YesNo {
            match said.as_str() {
                "yes" | "true" | "y" => Json::Bool(true),
                "no" | "false" | "n" => Json::Bool(false),
                _ => return Err(refused(format!("`{}` is neither yes nor no", shown(text)))),
            }
        } else if let Some(kind) = field.kind {
            Quantity::parse(text, kind).map_err(|error| refused(format!("{error}; {}", error.help())))?;
            Json::String(text.to_owned())
        } else if !field.values.is_empty() {
            let known = field.values.iter().find(|value| value.to_lowercase() == said);
            let all = || {
                refused(format!(
                    "`{}` is none of {}",
                    shown(text),
                    field.values.join(", ")
                ))
            };
            Json::String(known.ok_or_else(all)?.clone())
        } else if matches!(field.shape, Shape::Number | Shape::Whole) {
            let number: Option<serde_json::Number> = text.parse().ok();
            Json::Number(number.ok_or_else(|| refused(format!("`{}` is no number", shown(text))))?)
        } else if text.starts_with(['[', '{']) {
            serde_json::from_str(text).map_err(|error| refused(format!("`{}`: {error}", shown(text))))?
        } else {
            Json::String(text.to_owned())
        };
        let same = self.tree.at(place).is_some_and(|node| node.to_json() == value);
        Ok((!same).then_some(value))
    }

    fn within_list(&self, place: &Place) -> bool {
        let mut above = place.parent();
        while let Some(holder) = above {
            if self
                .tree
                .at(&holder)
                .is_some_and(|node| matches!(node.value, Value::List(_)))
            {
                return true;
            }
            above = holder.parent();
        }
        false
    }
}

/// Whether a place is said to be none at all while a value within it is given.
fn contradicts(place: &Place, filled: &[&(Place, String)]) -> bool {
    filled
        .iter()
        .any(|(other, _)| place != other && place.holds(other))
}

/// Puts a value into a patch at a place.
fn insert(patch: &mut Map<String, Json>, place: &Place, value: Json) {
    let mut parts: Vec<String> = place.parts().collect();
    let Some(last) = parts.pop() else { return };
    let mut holder = patch;
    for part in parts {
        let inner = holder.entry(part).or_insert_with(|| Json::Object(Map::new()));
        if !inner.is_object() {
            *inner = Json::Object(Map::new());
        }
        let Json::Object(members) = inner else { return };
        holder = members;
    }
    holder.insert(last, value);
}
