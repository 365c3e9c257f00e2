//! The structure of a typeset review, as two libraries read it that know nothing of each other.

use lopdf::{Document, Object, decode_text_string};
use pdf_reader::{
    file::FileOptions,
    object::{PlainRef, Resolve},
    primitive::Primitive,
};

use super::{Paper, courtyard_on};

/// An element of the structure: its kind, and the words for who can't see it.
type Element = (String, Option<String>);

/// The elements below one, in their order, as one library reads them.
fn by_one(pdf: &Document, at: &Object, found: &mut Vec<Element>) {
    let at = match at {
        Object::Reference(id) => pdf.get_object(*id).unwrap(),
        other => other,
    };
    if let Object::Array(all) = at {
        for kid in all {
            by_one(pdf, kid, found);
        }
    } else if let Object::Dictionary(element) = at {
        if let Ok(kind) = element.get(b"S").and_then(Object::as_name) {
            let alt = element
                .get(b"Alt")
                .ok()
                .map(|alt| decode_text_string(alt).unwrap());
            found.push((String::from_utf8(kind.to_vec()).unwrap(), alt));
        }
        if let Ok(kids) = element.get(b"K") {
            by_one(pdf, kids, found);
        }
    }
}

/// The same as another library reads them.
fn by_another(resolver: &impl Resolve, at: &Primitive, found: &mut Vec<Element>) {
    match at.clone().resolve(resolver).unwrap() {
        Primitive::Array(all) => {
            for kid in &all {
                by_another(resolver, kid, found);
            }
        }
        Primitive::Dictionary(element) => {
            if let Some(Primitive::Name(kind)) = element.get("S") {
                let alt = element.get("Alt").map(|alt| match alt.clone().resolve(resolver) {
                    Ok(Primitive::String(text)) => text.to_string().unwrap(),
                    other => panic!("{other:?}"),
                });
                found.push((kind.to_string(), alt));
            }
            if let Some(kids) = element.get("K") {
                by_another(resolver, kids, found);
            }
        }
        _ => {}
    }
}

#[test]
fn two_libraries_read_the_same_structure_and_words_for_every_drawing() {
    let bytes = courtyard_on(Paper::Letter);
    let pdf = Document::load_mem(bytes).unwrap();
    let root = pdf.trailer.get(b"Root").unwrap().as_reference().unwrap();
    let mut one = Vec::new();
    by_one(
        &pdf,
        pdf.catalog().unwrap().get(b"StructTreeRoot").unwrap(),
        &mut one,
    );
    let file = FileOptions::uncached().load(bytes.to_vec()).unwrap();
    let resolver = file.resolver();
    let catalog = resolver
        .resolve(PlainRef {
            id: root.0.into(),
            r#gen: root.1.into(),
        })
        .unwrap();
    let Primitive::Dictionary(catalog) = catalog else {
        panic!("no catalog")
    };
    let mut another = Vec::new();
    by_another(&resolver, catalog.get("StructTreeRoot").unwrap(), &mut another);
    assert_eq!(one, another);
    let count = |kind: &str| one.iter().filter(|(of, _)| of == kind).count();
    assert!(one.len() > 1000, "{}", one.len());
    assert!(count("Figure") >= 4 && count("H1") >= 8 && count("Table") > 3);
    for (kind, alt) in &one {
        assert!(
            kind != "Figure" || alt.as_ref().is_some_and(|alt| alt.len() > 20),
            "{alt:?}"
        );
    }
}
