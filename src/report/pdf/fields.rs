//! Fields of a form: where the typeset page has a link that names a field, the finished PDF gets the field itself.
//!
//! The typesetter knows where each box came to stand and writes it as a link over the box; so the places of the fields
//! are those of the layout, whatever the page holds.

use std::collections::HashMap;

use lopdf::{
    Dictionary, Document, Object, ObjectId, Stream, StringFormat,
    content::{Content, Operation},
    dictionary, text_string,
};

use super::PdfError;
use crate::answers::Takes;

/// How a link names a field; what follows is the name, and for a button of a ring its value after `#`.
pub(super) const SCHEME: &str = "field:";
/// Size of what is written in a field, pt.
const SIZE: f32 = 9.0;

/// One field to make.
#[derive(Clone, Debug)]
pub(super) struct Field {
    /// Its name.
    pub name: String,
    /// What it is, for who can’t see it.
    pub told: String,
    /// What stands in it.
    pub value: String,
    /// What it takes.
    pub kind: FieldKind,
}

/// What a field is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum FieldKind {
    /// A line or several of text.
    Text { lines: bool },
    /// Text that is read and not written.
    Fixed,
    /// A list to choose from; other text may be written.
    Choice(Vec<String>),
    /// A ring of buttons of which one may be pressed.
    Ring(Vec<String>),
}

impl FieldKind {
    /// The kind of field that takes these values.
    pub(super) fn of(takes: &Takes) -> Self {
        match takes {
            Takes::Text => Self::Text { lines: false },
            Takes::OneOf(values) => Self::Choice(values.clone()),
        }
    }
}

/// Where a field, or a button of a ring, came to stand.
struct Box {
    annotation: ObjectId,
    page: ObjectId,
    rect: [f32; 4],
    /// The value of a button.
    button: Option<String>,
}

/// Puts the fields in the places of the links that name them.
///
/// # Errors
/// A PDF that can’t be read back, or a field without a place; a fault of the program.
pub(super) fn put(pdf: &[u8], fields: &[Field]) -> Result<Vec<u8>, PdfError> {
    let failed = |error: lopdf::Error| PdfError::Export(error.to_string());
    let mut document = Document::load_mem(pdf).map_err(failed)?;
    let mut boxes = boxes(&document);
    let font = document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "Type1",
        "BaseFont" => "Helvetica",
        "Encoding" => "WinAnsiEncoding",
    });
    let mut made = Vec::new();
    let mut annotations = Vec::new();
    for field in fields {
        let places = boxes
            .remove(&field.name)
            .ok_or_else(|| PdfError::Export(format!("no place for the field {}", field.name)))?;
        annotations.extend(places.iter().map(|place| place.annotation));
        made.push(Object::Reference(put_field(&mut document, field, places, font)));
    }
    retag(&mut document, &annotations);
    let form = document.add_object(dictionary! {
        "Fields" => made,
        "DA" => Object::String(format!("/Helv {SIZE} Tf 0 g").into_bytes(), StringFormat::Literal),
        "DR" => dictionary! { "Font" => dictionary! { "Helv" => font } },
    });
    document.catalog_mut().map_err(failed)?.set("AcroForm", form);
    let mut bytes = Vec::new();
    document
        .save_to(&mut bytes)
        .map_err(|error| PdfError::Export(error.to_string()))?;
    Ok(bytes)
}

/// The links that name fields, by the names.
fn boxes(document: &Document) -> HashMap<String, Vec<Box>> {
    let mut boxes: HashMap<String, Vec<Box>> = HashMap::new();
    for page in document.get_pages().into_values() {
        for annotation in annotations_of(document, page) {
            let Ok(dictionary) = document.get_dictionary(annotation) else {
                continue;
            };
            let Some((name, button)) = named(document, dictionary) else {
                continue;
            };
            let Some(rect) = rect_of(document, dictionary) else {
                continue;
            };
            boxes.entry(name).or_default().push(Box {
                annotation,
                page,
                rect,
                button,
            });
        }
    }
    boxes
}

fn annotations_of(document: &Document, page: ObjectId) -> Vec<ObjectId> {
    let list = document
        .get_dictionary(page)
        .and_then(|page| page.get(b"Annots"))
        .and_then(|list| document.dereference(list))
        .and_then(|(_, list)| list.as_array());
    list.into_iter()
        .flatten()
        .filter_map(|one| one.as_reference().ok())
        .collect()
}

/// The field, and the value of a button, that a link names.
fn named(document: &Document, link: &Dictionary) -> Option<(String, Option<String>)> {
    let (_, action) = document.dereference(link.get(b"A").ok()?).ok()?;
    let address = action.as_dict().ok()?.get(b"URI").ok()?.as_str().ok()?;
    let address = String::from_utf8_lossy(address);
    let name = address.strip_prefix(SCHEME)?;
    Some(match name.split_once('#') {
        Some((name, button)) => (name.replace('+', " "), Some(button.to_owned())),
        None => (name.replace('+', " "), None),
    })
}

fn rect_of(document: &Document, link: &Dictionary) -> Option<[f32; 4]> {
    let (_, rect) = document.dereference(link.get(b"Rect").ok()?).ok()?;
    let numbers: Vec<f32> = rect
        .as_array()
        .ok()?
        .iter()
        .filter_map(|number| number.as_float().ok())
        .collect();
    numbers.try_into().ok()
}

fn put_field(document: &mut Document, field: &Field, places: Vec<Box>, font: ObjectId) -> ObjectId {
    let mut dictionary = dictionary! {
        "T" => text_string(&field.name),
        "TU" => text_string(&field.told),
        "DA" => Object::String(format!("/Helv {SIZE} Tf 0 g").into_bytes(), StringFormat::Literal),
    };
    match &field.kind {
        FieldKind::Text { lines } => {
            dictionary.set("FT", "Tx");
            dictionary.set("Ff", if *lines { 1 << 12 } else { 0 });
        }
        FieldKind::Fixed => {
            dictionary.set("FT", "Tx");
            dictionary.set("Ff", 1);
        }
        FieldKind::Choice(values) => {
            dictionary.set("FT", "Ch");
            dictionary.set("Ff", (1 << 17) | (1 << 18));
            let values: Vec<Object> = values.iter().map(|value| text_string(value)).collect();
            dictionary.set("Opt", values);
        }
        FieldKind::Ring(_) => {
            dictionary.set("FT", "Btn");
            dictionary.set("Ff", 1 << 15);
            dictionary.set("V", "Off");
        }
    }
    if let FieldKind::Ring(_) = field.kind {
        let parent = document.new_object_id();
        let mut kids = Vec::new();
        for place in places {
            let button = place.button.clone().unwrap_or_default();
            let mut kid = widget(document, &place);
            kid.set("Parent", parent);
            kid.set("AS", "Off");
            kid.set("MK", dictionary! { "CA" => Object::string_literal("l") });
            let (on, off) = (circle(document, &place, true), circle(document, &place, false));
            let mut states = Dictionary::new();
            states.set(button.clone(), on);
            states.set("Off", off);
            kid.set("AP", dictionary! { "N" => states });
            document.set_object(place.annotation, kid);
            kids.push(Object::Reference(place.annotation));
        }
        dictionary.set("Kids", kids);
        document.set_object(parent, dictionary);
        return parent;
    }
    dictionary.set("V", text_string(&field.value));
    let Some(place) = places.into_iter().next() else {
        return document.add_object(dictionary);
    };
    let mut both = widget(document, &place);
    both.extend(&dictionary);
    let shown = written(document, &place, &field.value, font);
    both.set("AP", dictionary! { "N" => shown });
    document.set_object(place.annotation, both);
    place.annotation
}

/// The field as it stands on its page; what the link said of its place in the structure is kept.
fn widget(document: &Document, place: &Box) -> Dictionary {
    let mut widget = dictionary! {
        "Type" => "Annot",
        "Subtype" => "Widget",
        "Rect" => place.rect.iter().map(|number| Object::Real(*number)).collect::<Vec<_>>(),
        "F" => 4,
        "P" => place.page,
    };
    let parent = document
        .get_dictionary(place.annotation)
        .and_then(|link| link.get(b"StructParent"));
    if let Ok(parent) = parent {
        widget.set("StructParent", parent.clone());
    }
    widget
}

fn size(place: &Box) -> (f32, f32) {
    let [left, bottom, right, top] = place.rect;
    (right - left, top - bottom)
}

/// What stands in a field, as it is seen before a viewer draws it anew.
fn written(document: &mut Document, place: &Box, value: &str, font: ObjectId) -> ObjectId {
    let (width, height) = size(place);
    let baseline = (height - SIZE) / 2.0 + 2.0;
    let mut operations = vec![Operation::new("BMC", vec!["Tx".into()])];
    if !value.is_empty() {
        let bytes: Vec<u8> = value
            .chars()
            .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'))
            .collect();
        operations.extend([
            Operation::new("q", vec![]),
            Operation::new("BT", vec![]),
            Operation::new("Tf", vec!["Helv".into(), SIZE.into()]),
            Operation::new("g", vec![0.into()]),
            Operation::new("Td", vec![2.into(), baseline.into()]),
            Operation::new("Tj", vec![Object::String(bytes, StringFormat::Literal)]),
            Operation::new("ET", vec![]),
            Operation::new("Q", vec![]),
        ]);
    }
    operations.push(Operation::new("EMC", vec![]));
    let resources = dictionary! { "Font" => dictionary! { "Helv" => font } };
    appearance(document, (width, height), resources, operations)
}

/// A button: a disc where it is pressed; the circle around it is printed on the page.
fn circle(document: &mut Document, place: &Box, pressed: bool) -> ObjectId {
    let (width, height) = size(place);
    let radius = width.min(height) / 2.0 - 0.5;
    let mut operations = Vec::new();
    if pressed {
        operations.extend(ring(width / 2.0, height / 2.0, radius * 0.55));
        operations.push(Operation::new("f", vec![]));
    }
    appearance(document, (width, height), Dictionary::new(), operations)
}

/// A circle of four curves.
fn ring(x: f32, y: f32, radius: f32) -> Vec<Operation> {
    // The usual share of the radius at which four curves come within a thousandth of a circle.
    let bend = radius * 0.5523;
    let curve = |points: [f32; 6]| Operation::new("c", points.into_iter().map(Object::Real).collect());
    vec![
        Operation::new("m", vec![(x + radius).into(), y.into()]),
        curve([x + radius, y + bend, x + bend, y + radius, x, y + radius]),
        curve([x - bend, y + radius, x - radius, y + bend, x - radius, y]),
        curve([x - radius, y - bend, x - bend, y - radius, x, y - radius]),
        curve([x + bend, y - radius, x + radius, y - bend, x + radius, y]),
        Operation::new("h", vec![]),
    ]
}

fn appearance(
    document: &mut Document,
    (width, height): (f32, f32),
    resources: Dictionary,
    operations: Vec<Operation>,
) -> ObjectId {
    let dictionary = dictionary! {
        "Type" => "XObject",
        "Subtype" => "Form",
        "BBox" => vec![0.into(), 0.into(), Object::Real(width), Object::Real(height)],
        "Resources" => resources,
    };
    let content = Content { operations }.encode().unwrap_or_default();
    document.add_object(Stream::new(dictionary, content))
}

/// Calls the parts of the structure that hold fields what they are now.
fn retag(document: &mut Document, annotations: &[ObjectId]) {
    let is_ours = |kid: &Object| {
        let holder = kid.as_dict().ok();
        let target = holder.and_then(|holder| holder.get(b"Obj").ok()?.as_reference().ok());
        target.is_some_and(|target| annotations.contains(&target))
    };
    for object in document.objects.values_mut() {
        let Ok(element) = object.as_dict_mut() else {
            continue;
        };
        let is_link = element
            .get(b"S")
            .and_then(Object::as_name)
            .is_ok_and(|name| name == b"Link");
        let holds = element.get(b"K").is_ok_and(|kids| match kids {
            Object::Array(kids) => kids.iter().any(is_ours),
            kid => is_ours(kid),
        });
        if is_link && holds {
            element.set("S", "Form");
        }
    }
}
