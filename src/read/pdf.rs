//! What a PDF carries besides its pages: the files attached to it, and what was written into the fields of its form.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document, LoadOptions, Object, ObjectId, decode_text_string};

/// The most that a stream of a PDF may unpack to, in bytes.
const MOST_UNPACKED: usize = 64_000_000;
/// Fields within fields are followed so far down.
const DEEPEST: usize = 16;
/// Fields that are looked at, at most.
const MOST_FIELDS: usize = 20_000;

/// How a PDF begins; some bytes may stand before it.
const START: &[u8] = b"%PDF-";

/// Why a PDF can't be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("it can’t be read as a PDF: {0}")]
pub struct NotPdf(String);

/// A PDF that was opened.
#[derive(Debug)]
pub struct PdfFile(Document);

/// Whether bytes are those of a PDF.
pub fn is_pdf(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(1024)];
    head.windows(START.len()).any(|window| window == START)
}

impl PdfFile {
    /// Opens a PDF.
    ///
    /// # Errors
    /// Bytes that are no PDF, one that is damaged beyond repair, encrypted, or unpacks to more than is read.
    pub fn open(bytes: &[u8]) -> Result<Self, NotPdf> {
        let options = LoadOptions {
            max_decompressed_size: Some(MOST_UNPACKED),
            ..LoadOptions::default()
        };
        let document =
            Document::load_mem_with_options(bytes, options).map_err(|error| NotPdf(error.to_string()))?;
        if document.is_encrypted() {
            return Err(NotPdf("it is encrypted".to_owned()));
        }
        Ok(Self(document))
    }

    /// The file of a name that is attached; none where there is none.
    ///
    /// # Errors
    /// One that can't be unpacked, or to more than is read.
    pub fn attached(&self, name: &str) -> Result<Option<Vec<u8>>, NotPdf> {
        for object in self.0.objects.values() {
            let Ok(specification) = object.as_dict() else {
                continue;
            };
            if self
                .file_name(specification)
                .as_deref()
                .map(|known| known.trim_start_matches('/'))
                != Some(name)
            {
                continue;
            }
            let Some(stream) = self
                .inner(specification, b"EF")
                .and_then(|files| files.get(b"F").or_else(|_| files.get(b"UF")).ok())
                .and_then(|file| self.0.dereference(file).ok())
                .and_then(|(_, file)| file.as_stream().ok())
            else {
                continue;
            };
            let bytes = stream
                .get_plain_content_with_limit(MOST_UNPACKED)
                .map_err(|error| NotPdf(error.to_string()))?;
            return Ok(Some(bytes));
        }
        Ok(None)
    }

    fn file_name(&self, specification: &Dictionary) -> Option<String> {
        specification.get(b"EF").ok()?;
        let name = specification
            .get(b"UF")
            .or_else(|_| specification.get(b"F"))
            .ok()?;
        self.text(name)
    }

    fn text(&self, object: &Object) -> Option<String> {
        let (_, object) = self.0.dereference(object).ok()?;
        match object {
            Object::Name(name) => Some(String::from_utf8_lossy(name).into_owned()),
            Object::String(..) => decode_text_string(object).ok(),
            _ => None,
        }
    }

    fn inner<'d>(&'d self, holder: &'d Dictionary, key: &[u8]) -> Option<&'d Dictionary> {
        let (_, object) = self.0.dereference(holder.get(key).ok()?).ok()?;
        object.as_dict().ok()
    }

    /// What stands in the fields of the form, by their full names; an empty text for a field that was left empty. None
    /// where the PDF has no form.
    pub fn fields(&self) -> Option<BTreeMap<String, String>> {
        let form = self.inner(self.0.catalog().ok()?, b"AcroForm")?;
        let (_, roots) = self.0.dereference(form.get(b"Fields").ok()?).ok()?;
        let mut fields = BTreeMap::new();
        let mut seen = 0;
        for root in roots.as_array().ok()? {
            self.gather(root, "", None, DEEPEST, &mut seen, &mut fields);
        }
        Some(fields)
    }

    fn gather(
        &self,
        field: &Object,
        above: &str,
        inherited: Option<&Object>,
        deeper: usize,
        seen: &mut usize,
        into: &mut BTreeMap<String, String>,
    ) {
        *seen += 1;
        let Some(dictionary) = self
            .0
            .dereference(field)
            .ok()
            .and_then(|(_, field)| field.as_dict().ok())
        else {
            return;
        };
        if deeper == 0 || *seen > MOST_FIELDS {
            return;
        }
        let name = match dictionary.get(b"T").ok().and_then(|name| self.text(name)) {
            Some(own) if above.is_empty() => own,
            Some(own) => format!("{above}.{own}"),
            None => above.to_owned(),
        };
        let value = dictionary.get(b"V").ok().or(inherited);
        let kids = dictionary
            .get(b"Kids")
            .ok()
            .and_then(|kids| self.0.dereference(kids).ok())
            .and_then(|(_, kids)| kids.as_array().ok());
        let named_kids = kids.is_some_and(|kids| kids.iter().any(|kid| self.is_named(kid)));
        if let (Some(kids), true) = (kids, named_kids) {
            for kid in kids {
                self.gather(kid, &name, value, deeper - 1, seen, into);
            }
            return;
        }
        let text = value.and_then(|value| self.text(value)).unwrap_or_default();
        into.insert(name, text);
    }

    fn is_named(&self, field: &Object) -> bool {
        let dictionary = self
            .0
            .dereference(field)
            .ok()
            .and_then(|(_, field)| field.as_dict().ok());
        dictionary.is_some_and(|dictionary| dictionary.has(b"T"))
    }

    /// The ids of the pages, in order.
    pub fn pages(&self) -> Vec<ObjectId> {
        self.0.get_pages().into_values().collect()
    }
}
