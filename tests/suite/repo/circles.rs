//! No circles: no file of the source imports, through others, from itself.
//!
//! A module that only declares or re-exports its parts (`mod part; pub use part::Thing;`) imports nothing from them, and
//! an import of `Thing` through it is one from the part. A module that uses a part, and a part that uses what its module
//! defines, are a circle: what both use belongs in a file of its own.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use super::{files, root, shipped};

type Module = Vec<String>;

/// What a file says of others.
#[derive(Default)]
struct File {
    /// Paths it uses, as written.
    uses: Vec<Vec<String>>,
    /// Names it re-exports, and the path of each.
    exports: BTreeMap<String, Vec<String>>,
    /// Modules all of whose names it re-exports.
    globs: Vec<Vec<String>>,
    /// Modules it declares.
    parts: BTreeSet<String>,
    /// Names it defines.
    items: BTreeSet<String>,
}

/// Folders in which circles still stand; none spans two of them, and none is added elsewhere.
const STANDING: [&str; 3] = ["cli", "report/drawing", "review"];

#[test]
fn no_source_file_imports_from_itself_through_others() {
    let house = house();
    let arrows = arrows(&house);
    let ahead: BTreeMap<&Module, BTreeSet<Module>> = arrows
        .keys()
        .map(|start| (start, reached(&arrows, start)))
        .collect();
    let mut circles: BTreeSet<BTreeSet<&Module>> = ahead
        .iter()
        .filter(|(start, ahead)| ahead.contains(**start))
        .map(|(start, others)| {
            others
                .iter()
                .filter(|other| ahead[other].contains(*start))
                .collect()
        })
        .collect();
    circles.retain(|circle| {
        let stands = |folder: &&str| {
            let folder = module(folder);
            circle.iter().all(|file| file.starts_with(&folder))
        };
        !STANDING.iter().any(stands)
    });
    let imports: Vec<String> = circles
        .iter()
        .flat_map(|circle| {
            let inside = |from: &&Module| {
                let to: Vec<String> = arrows[*from]
                    .iter()
                    .filter(|to| circle.contains(to))
                    .map(|to| to.join("/"))
                    .collect();
                format!("{} imports {}", from.join("/"), to.join(", "))
            };
            circle
                .iter()
                .map(inside)
                .chain([String::new()])
                .collect::<Vec<_>>()
        })
        .collect();
    assert!(circles.is_empty(), "files in a circle:\n{}", imports.join("\n"));
}

/// A circle is seen: two files that import from each other, one of them through a re-export.
#[test]
fn a_circle_through_a_re_export_is_seen() {
    let file = |text: &str| read(text);
    let house = BTreeMap::from([
        (module("room"), file("mod a;\nmod b;\npub use a::Chair;\n")),
        (
            module("room/a"),
            file("use super::b::Table;\npub struct Chair(Table);\n"),
        ),
        (
            module("room/b"),
            file("use crate::room::Chair;\npub struct Table;\nfn f(_: Chair) {}\n"),
        ),
    ]);
    let arrows = arrows(&house);
    assert!(reached(&arrows, &module("room/a")).contains(&module("room/a")));
    assert!(!reached(&arrows, &module("room")).contains(&module("room")));
}

fn module(path: &str) -> Module {
    path.split('/').map(str::to_owned).collect()
}

/// Every file of the source but tests, by the module it is.
fn house() -> BTreeMap<Module, File> {
    let mut house = BTreeMap::new();
    for path in files("src", "rs") {
        let within = path.strip_prefix(root().join("src")).unwrap().with_extension("");
        let mut parts: Module = within
            .iter()
            .map(|part| part.to_string_lossy().into_owned())
            .collect();
        if parts.iter().any(|part| part == "tests") || parts == ["main"] {
            continue;
        }
        if parts.last().is_some_and(|last| last == "mod" || last == "lib") {
            parts.pop();
        }
        house.insert(parts, read(shipped(&fs::read_to_string(&path).unwrap())));
    }
    house
}

fn read(text: &str) -> File {
    let code: Vec<&str> = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect();
    let code = code.join("\n");
    let mut file = File::default();
    let mut rest = String::new();
    let mut statements = code.split_inclusive('\n').peekable();
    while let Some(line) = statements.next() {
        let bare = line.trim_start();
        let (public, after) = visibility(bare);
        if let Some(opened) = after.strip_prefix("use ") {
            let mut whole = opened.to_owned();
            while !whole.contains(';') {
                let Some(next) = statements.next() else { break };
                whole.push_str(next);
            }
            let whole = whole.split(';').next().unwrap_or_default();
            for path in expanded(whole) {
                file.import(&path, public);
            }
        } else {
            if let Some(name) = after
                .strip_prefix("mod ")
                .and_then(|name| name.trim_end().strip_suffix(';'))
            {
                file.parts.insert(name.to_owned());
            }
            rest.push_str(after);
        }
    }
    file.define_and_use(&rest);
    file
}

/// Whether a line starts with `pub`, and the line after that.
fn visibility(line: &str) -> (bool, &str) {
    let Some(after) = line.strip_prefix("pub") else {
        return (false, line);
    };
    let after = match after.strip_prefix('(').and_then(|inner| inner.split_once(')')) {
        Some((_, after)) => after,
        None => after,
    };
    (true, after.trim_start())
}

/// `a::{b, c::{d}}` as `a::b` and `a::c::d`.
fn expanded(tree: &str) -> Vec<String> {
    let tree = tree.trim();
    let Some((before, inner)) = tree.split_once('{') else {
        return vec![tree.split_whitespace().collect::<Vec<_>>().join(" ")];
    };
    let inner = inner.rsplit_once('}').map_or(inner, |(inner, _)| inner);
    let (mut depth, mut start, mut out) = (0, 0, Vec::new());
    for (at, c) in inner.char_indices().chain([(inner.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                let item = inner[start..at].trim();
                if !item.is_empty() {
                    out.extend(
                        expanded(item)
                            .into_iter()
                            .map(|end| format!("{}{end}", before.trim())),
                    );
                }
                start = at + 1;
            }
            _ => {}
        }
    }
    out
}

impl File {
    fn import(&mut self, path: &str, public: bool) {
        let (path, name) = path
            .split_once(" as ")
            .map_or((path, None), |(path, name)| (path, Some(name)));
        let mut parts: Vec<String> = path.split("::").map(str::to_owned).collect();
        if parts.last().is_some_and(|last| last == "self") {
            parts.pop();
        }
        let name = name.map_or_else(|| parts.last().cloned().unwrap_or_default(), str::to_owned);
        if !public {
            self.uses.push(parts);
        } else if name == "*" {
            parts.pop();
            self.globs.push(parts);
        } else {
            self.exports.insert(name, parts);
        }
    }

    fn define_and_use(&mut self, code: &str) {
        const KEYWORDS: [&str; 7] = ["fn", "struct", "enum", "trait", "type", "const", "static"];
        let words: Vec<&str> = code
            .split(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | ':')))
            .filter(|word| !word.is_empty())
            .collect();
        for pair in words.windows(2) {
            if KEYWORDS.contains(&pair[0]) {
                self.items.insert(pair[1].trim_end_matches(':').to_owned());
            }
        }
        for word in words {
            let parts: Vec<String> = word.split("::").map(str::to_owned).collect();
            if parts.len() > 1 && parts.iter().all(|part| !part.is_empty() && !part.contains(':')) {
                self.uses.push(parts);
            }
        }
    }
}

/// The files that each file imports from.
fn arrows(house: &BTreeMap<Module, File>) -> BTreeMap<Module, BTreeSet<Module>> {
    house
        .iter()
        .map(|(from, file)| {
            let known = file.uses.iter().filter_map(|path| {
                let full = absolute(from, file, path)?;
                defined_in(house, &full, &mut Vec::new())
            });
            (from.clone(), known.filter(|to| to != from).collect())
        })
        .collect()
}

/// A path from the root of the source; none where it starts at another package or at something imported.
fn absolute(from: &Module, file: &File, path: &[String]) -> Option<Module> {
    let up = path.iter().take_while(|part| *part == "super").count();
    match path.first()?.as_str() {
        "crate" => Some(path[1..].to_vec()),
        "self" => Some([from.as_slice(), &path[1..]].concat()),
        "super" => Some([from.get(..from.len().checked_sub(up)?)?, &path[up..]].concat()),
        part if file.parts.contains(part) => Some([from.as_slice(), path].concat()),
        _ => None,
    }
}

/// The file that defines what a path names, through re-exports.
fn defined_in(house: &BTreeMap<Module, File>, path: &[String], seen: &mut Vec<Module>) -> Option<Module> {
    if seen.iter().any(|known| known == path) {
        return None;
    }
    seen.push(path.to_vec());
    let length = (0..=path.len())
        .rev()
        .find(|&length| house.contains_key(&path[..length]))?;
    let module = path[..length].to_vec();
    let file = &house[&module];
    let Some(name) = path.get(length).filter(|name| *name != "*") else {
        return Some(module);
    };
    if let Some(exported) = file.exports.get(name)
        && let Some(full) = absolute(&module, file, exported)
        && let Some(found) = defined_in(house, &full, seen)
    {
        return Some(found);
    }
    if !file.items.contains(name) {
        for glob in &file.globs {
            let Some(mut full) = absolute(&module, file, glob) else {
                continue;
            };
            full.push(name.clone());
            if let Some(found) = defined_in(house, &full, seen)
                && house[&found].items.contains(name)
            {
                return Some(found);
            }
        }
    }
    Some(module)
}

/// Every file that can be come to from one.
fn reached(arrows: &BTreeMap<Module, BTreeSet<Module>>, start: &Module) -> BTreeSet<Module> {
    let mut found = BTreeSet::new();
    let mut open: Vec<&Module> = arrows[start].iter().collect();
    while let Some(next) = open.pop() {
        if found.insert(next.clone()) {
            open.extend(&arrows[next]);
        }
    }
    found
}
