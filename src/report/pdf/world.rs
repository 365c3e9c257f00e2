//! What the typesetter may see: one template, its data, the embedded typefaces. No file, network or clock.

use std::sync::LazyLock;

use typst::{
    Library, LibraryExt, World, WorldExt,
    diag::{FileError, FileResult, SourceDiagnostic},
    foundations::{Bytes, Datetime, Duration},
    syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot},
    text::{Font, FontBook},
    utils::LazyHash,
};
use typst_kit::fonts::{FontStore, embedded};

/// The embedded typefaces, loaded once.
pub(super) static FACES: LazyLock<FontStore> = LazyLock::new(|| {
    let mut store = FontStore::new();
    store.extend(embedded());
    store
});
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// The desk a document is set on.
pub(super) struct Desk {
    template: Source,
    files: Vec<(FileId, Bytes)>,
    /// What the template takes for today.
    today: Option<Datetime>,
}

impl Desk {
    /// A template with files beside it, each under a fixed name.
    pub fn new(template: &str, files: Vec<(&'static str, Bytes)>, today: Option<Datetime>) -> Self {
        let named = |(name, bytes)| Some((file_id(name)?, bytes));
        let main = file_id("main.typ");
        Self {
            template: main.map_or_else(
                || Source::detached(template),
                |main| Source::new(main, template.to_owned()),
            ),
            files: files.into_iter().filter_map(named).collect(),
            today,
        }
    }

    /// The line of the template a diagnostic points at, from 1.
    pub fn line_of(&self, diagnostic: &SourceDiagnostic) -> Option<usize> {
        let range = self.range(diagnostic.span)?;
        self.template
            .lines()
            .byte_to_line(range.start)
            .map(|line| line + 1)
    }
}

/// The id of a virtual file; ids are kept for ever, so names are fixed.
fn file_id(name: &str) -> Option<FileId> {
    let path = VirtualPath::new(name).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        FACES.book()
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() {
            Ok(self.template.clone())
        } else {
            Err(missing(id))
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let found = self.files.iter().find(|(file, _)| *file == id);
        found.map(|(_, bytes)| bytes.clone()).ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FACES.font(index)
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        self.today
    }
}
