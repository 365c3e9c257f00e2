//! The closed world of the typesetter: the template, the data and the embedded faces; no file, no network, no clock.

use std::sync::LazyLock;

use typst::{
    Library, LibraryExt, World, WorldExt,
    diag::{FileError, FileResult, SourceDiagnostic},
    foundations::{Bytes, Datetime, Duration},
    syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot},
    text::{Font, FontBook},
    utils::LazyHash,
};

/// The templates, by file name.
pub(super) const TEMPLATE: [(&str, &str); 15] = [
    ("review.typ", include_str!("template/review.typ")),
    ("page.typ", include_str!("template/page.typ")),
    ("front.typ", include_str!("template/front.typ")),
    ("log.typ", include_str!("template/log.typ")),
    ("form.typ", include_str!("template/form.typ")),
    ("photographs.typ", include_str!("template/photographs.typ")),
    ("cards.typ", include_str!("template/cards.typ")),
    ("in-depth.typ", include_str!("template/in-depth.typ")),
    ("closing.typ", include_str!("template/closing.typ")),
    ("tables.typ", include_str!("template/tables.typ")),
    ("drawing.typ", include_str!("template/drawing.typ")),
    ("handbook.typ", include_str!("template/handbook.typ")),
    ("drill.typ", include_str!("template/drill.typ")),
    ("field.typ", include_str!("template/field.typ")),
    ("key.typ", include_str!("template/key.typ")),
];

/// The embedded faces.
pub(super) struct Fonts {
    book: LazyHash<FontBook>,
    /// The faces, in the order of the book.
    pub(super) faces: Vec<Font>,
}

/// The embedded faces, read once.
pub(super) static FONTS: LazyLock<Fonts> = LazyLock::new(|| {
    let faces: Vec<Font> = typst_kit::fonts::embedded().map(|(font, _)| font).collect();
    Fonts {
        book: LazyHash::new(FontBook::from_fonts(&faces)),
        faces,
    }
});

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// A template and what it reads.
pub(super) struct Files {
    /// The template that is run.
    pub(super) main: &'static str,
    /// Data by file name.
    pub(super) data: Vec<(&'static str, String)>,
    /// Pictures by file name; their names are few, and the same from run to run.
    pub(super) pictures: Vec<(String, Vec<u8>)>,
}

/// Template and data of one document.
pub(super) struct ClosedWorld {
    main: FileId,
    sources: Vec<Source>,
    data: Vec<(FileId, Bytes)>,
}

impl ClosedWorld {
    /// The world in which a template runs over its data; none where the template has no name a file may have.
    pub(super) fn new(files: Files) -> Option<Self> {
        let data = files
            .data
            .into_iter()
            .map(|(name, text)| (name.to_owned(), Bytes::from_string(text)));
        let pictures = files.pictures.into_iter();
        let pictures = pictures.map(|(name, bytes)| (name, Bytes::new(bytes)));
        Some(Self {
            main: file_id(files.main)?,
            sources: TEMPLATE
                .iter()
                .filter_map(|(name, text)| Some(Source::new(file_id(name)?, (*text).to_owned())))
                .collect(),
            data: data
                .chain(pictures)
                .filter_map(|(name, bytes)| Some((file_id(&name)?, bytes)))
                .collect(),
        })
    }

    /// A message of the typesetter with its place in the template.
    pub(super) fn explain(&self, diagnostic: &SourceDiagnostic) -> String {
        let place = self.sources.iter().find_map(|source| {
            let range = self.range(diagnostic.span)?;
            (diagnostic.span.id()? == source.id()).then(|| {
                let line = source
                    .lines()
                    .byte_to_line(range.start)
                    .map_or(0, |line| line + 1);
                format!("{}:{line}: ", source.id().vpath().get_without_slash())
            })
        });
        format!("{}{}", place.unwrap_or_default(), diagnostic.message)
    }

    /// Every message on a line of its own.
    pub(super) fn explain_all(&self, diagnostics: &[SourceDiagnostic]) -> String {
        let lines: Vec<String> = diagnostics.iter().map(|one| self.explain(one)).collect();
        lines.join("\n")
    }
}

/// The id of a file of this world; ids are interned for ever, so only fixed names come here.
fn file_id(name: &str) -> Option<FileId> {
    let path = VirtualPath::new(name).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for ClosedWorld {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.sources
            .iter()
            .find(|source| source.id() == id)
            .cloned()
            .ok_or_else(|| missing(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.data
            .iter()
            .find(|(name, _)| *name == id)
            .map(|(_, bytes)| bytes.clone())
            .ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.faces.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
