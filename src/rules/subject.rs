//! What a rule looks at: a value of the plan, or a figure.

use crate::{
    ledger::{Definition, Scope},
    read::{Node, Place, Value},
};

/// What a test is made on.
#[derive(Clone, Debug)]
pub enum Subject {
    /// A value of the plan, by its path from the object, or from the root with a leading `/`.
    Field {
        /// The path.
        path: String,
        /// Its name in the schema.
        title: String,
    },
    /// A figure of the object.
    Figure(&'static Definition),
}

impl Subject {
    /// Its name in words.
    pub fn title(&self) -> &str {
        match self {
            Self::Field { title, .. } => title,
            Self::Figure(definition) => definition.title,
        }
    }
}

/// What the plan says at a place.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact<'a> {
    /// Nothing: this place, the first on the way, is left out.
    NotShown(Place),
    /// That there is none, at this place or at one that would hold it.
    None(Place),
    /// This.
    Is(&'a Node, Place),
}

/// What the plan says along a path from an object, or from the root with a leading `/`.
pub fn fact<'a>(root: &'a Node, object: &Place, path: &str) -> Fact<'a> {
    let whole = place_of(object, path);
    let mut node = root;
    let mut at = Place::root();
    for part in whole.parts() {
        let inner = at.child(&part);
        match node.get(&part) {
            Some(next) if says_none(next) => return Fact::None(inner),
            Some(next) => node = next,
            None => return Fact::NotShown(inner),
        }
        at = inner;
    }
    Fact::Is(node, at)
}

/// The place a path names.
pub(super) fn place_of(object: &Place, path: &str) -> Place {
    if path.starts_with('/') {
        Place::from_pointer(path)
    } else {
        object.join(path)
    }
}

fn says_none(node: &Node) -> bool {
    node.value == Value::Bool(false) || node.text() == Some("none")
}

/// The objects of a scope, and the collections that hold none because they are left out.
pub(super) struct Objects {
    pub found: Vec<Place>,
    pub missing: Vec<Place>,
}

/// Every object of a scope, in the plan's order.
pub(super) fn objects(root: &Node, scope: Scope) -> Objects {
    let mut objects = Objects {
        found: Vec::new(),
        missing: Vec::new(),
    };
    gather(root, Place::root(), scope.pattern(), &mut objects);
    if !expected(scope) {
        objects.missing.clear();
    }
    objects
}

/// Whether a plan that leaves the collection out must be asked for it. Not every job has walls or a stream.
fn expected(scope: Scope) -> bool {
    match scope {
        Scope::Basins
        | Scope::Pumps
        | Scope::Lines
        | Scope::Runs
        | Scope::Falls
        | Scope::Circuits
        | Scope::Excavations => true,
        Scope::Plan
        | Scope::Layers
        | Scope::Streams
        | Scope::Reaches
        | Scope::Walls
        | Scope::Species
        | Scope::Drains => false,
    }
}

fn gather(node: &Node, at: Place, pattern: &[&str], objects: &mut Objects) {
    match pattern {
        [] => objects.found.push(at),
        ["*", rest @ ..] => {
            let Value::Object(members) = &node.value else {
                return;
            };
            for (key, member) in members.iter().filter(|(key, _)| !key.starts_with("x-")) {
                gather(&member.node, at.child(key), rest, objects);
            }
        }
        // A part that is said to be none holds no objects.
        [_, ..] if says_none(node) => {}
        [key, rest @ ..] => match node.get(key) {
            Some(inner) => gather(inner, at.child(key), rest, objects),
            None => objects.missing.push(at.child(key)),
        },
    }
}
