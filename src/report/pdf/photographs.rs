//! Photographs and sheets that a plan refers to: made small, and shown beside what they show.

use std::io::Cursor;

use image::{DynamicImage, ImageDecoder, ImageReader, Limits, codecs::jpeg::JpegEncoder};
use serde::Serialize;

use crate::{read::Place, review::Review};

/// The longer side of a picture as it is printed, pixels: 300 to the inch at the width of a column.
const LONGEST: u32 = 760;
/// Quality of the picture as it is printed, of 100.
const QUALITY: u8 = 82;
/// The longest side that is decoded, pixels, and the most memory that decoding may take.
const MOST_PIXELS: u32 = 20_000;
const MOST_MEMORY: u64 = 400_000_000;

/// A photograph or sheet.
#[derive(Clone, Debug)]
pub struct Photograph {
    /// The file as the plan names it.
    pub file: String,
    /// What it shows, in the designer's words.
    pub caption: Option<String>,
    /// What of the plan it shows, and that in words.
    pub shows: Option<(Place, String)>,
    /// The fingerprint of the file.
    pub sha256: Option<String>,
    /// What is printed of it.
    pub content: Content,
}

/// What is printed of a photograph or sheet.
#[derive(Clone, Debug)]
pub enum Content {
    /// A picture, small, as JPEG.
    Picture(Vec<u8>),
    /// A sheet that is a PDF of its own: named, not shown.
    Sheet,
    /// The file is not there.
    Missing,
}

/// Why a file is no picture.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct NotAPicture(String);

/// A PNG or JPEG file made small: upright as its camera says, and without what else it says of camera, place and time.
///
/// # Errors
/// What is neither, is broken, or is too large to decode.
pub fn small(bytes: &[u8]) -> Result<Vec<u8>, NotAPicture> {
    let refused = |error: image::ImageError| NotAPicture(error.to_string());
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| NotAPicture(error.to_string()))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_PIXELS);
    limits.max_image_height = Some(MOST_PIXELS);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(refused)?;
    let upright = decoder.orientation().map_err(refused)?;
    let picture = DynamicImage::from_decoder(decoder).map_err(refused)?;
    let mut picture = if picture.width().max(picture.height()) > LONGEST {
        picture.thumbnail(LONGEST, LONGEST)
    } else {
        picture
    };
    picture.apply_orientation(upright);
    let mut out = Vec::new();
    on_white(&picture)
        .write_with_encoder(JpegEncoder::new_with_quality(&mut out, QUALITY))
        .map_err(refused)?;
    Ok(out)
}

/// A picture without transparency, over white paper.
fn on_white(picture: &DynamicImage) -> DynamicImage {
    let mut solid = picture.to_rgba8();
    for pixel in solid.pixels_mut() {
        let alpha = u32::from(pixel.0[3]);
        for part in &mut pixel.0[..3] {
            let over = (u32::from(*part) * alpha + 255 * (255 - alpha)) / 255;
            *part = u8::try_from(over).unwrap_or(u8::MAX);
        }
    }
    DynamicImage::ImageRgb8(DynamicImage::ImageRgba8(solid).to_rgb8())
}

/// A photograph as the template reads it.
#[derive(Debug, Serialize)]
pub(super) struct Printed<'a> {
    /// The picture's name among the files of the typesetter.
    picture: Option<String>,
    file: &'a str,
    caption: Option<&'a str>,
    shows: Option<&'a str>,
    sha256: Option<&'a str>,
    note: Option<&'static str>,
    /// The findings at what it shows.
    findings: Vec<&'a str>,
    /// What it is, for who can't see it.
    alt: String,
}

/// The photographs as the template reads them, and the pictures by name.
pub(super) fn printed<'a>(
    photographs: &'a [Photograph],
    review: &'a Review,
) -> (Vec<Printed<'a>>, Vec<(String, Vec<u8>)>) {
    let mut pictures = Vec::new();
    let mut all = Vec::new();
    for (photograph, number) in photographs.iter().zip(1..) {
        let shows = photograph.shows.as_ref();
        let here = |place: &Place| shows.is_some_and(|(shown, _)| shown.holds(place));
        let findings = review.findings.iter().filter(|finding| here(&finding.place));
        let mut picture = None;
        let note = match &photograph.content {
            Content::Picture(bytes) => {
                let name = format!("photograph-{number}.jpg");
                pictures.push((name.clone(), bytes.clone()));
                picture = Some(name);
                None
            }
            Content::Sheet => Some("a sheet of its own, not shown here"),
            Content::Missing => Some("the file is not there"),
        };
        let named = photograph.caption.as_deref().unwrap_or(&photograph.file);
        let of = shows.map(|(_, name)| format!(", of {name}")).unwrap_or_default();
        all.push(Printed {
            picture,
            file: &photograph.file,
            caption: photograph.caption.as_deref(),
            shows: shows.map(|(_, name)| name.as_str()),
            sha256: photograph.sha256.as_deref(),
            note,
            findings: findings.map(|finding| finding.number.as_str()).collect(),
            alt: format!("Photograph{of}: {named}"),
        });
    }
    (all, pictures)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use image::{ImageFormat, RgbaImage};

    fn png(width: u32, height: u32, alpha: u8) -> Vec<u8> {
        let picture = RgbaImage::from_pixel(width, height, image::Rgba([10, 20, 30, alpha]));
        let mut bytes = Cursor::new(Vec::new());
        picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn a_picture_is_made_small_and_keeps_its_proportions() {
        let small = image::load_from_memory(&small(&png(3000, 1500, 255)).unwrap()).unwrap();
        assert_eq!((small.width(), small.height()), (LONGEST, LONGEST / 2));
    }

    #[test]
    fn what_can_be_seen_through_stands_on_white() {
        let small = image::load_from_memory(&small(&png(16, 16, 0)).unwrap()).unwrap();
        assert!(small.to_rgb8().get_pixel(8, 8).0.iter().all(|part| *part > 250));
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        for bytes in [&b""[..], b"plain text", b"GIF89a", &png(20, 20, 255)[..40]] {
            assert!(small(bytes).is_err());
        }
    }
}
