//! Sheets the review is set on.

use serde::{Serialize, Serializer, ser::SerializeStruct};

use crate::report::drawing;

/// Points in an inch.
const POINTS_PER_INCH: f64 = 72.0;
const MILLIMETRES_PER_INCH: f64 = 25.4;

/// A sheet, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 8-1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// Width and height, pt.
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (8.5 * POINTS_PER_INCH, 11.0 * POINTS_PER_INCH),
            Self::A4 => {
                let points = POINTS_PER_INCH / MILLIMETRES_PER_INCH;
                (210.0 * points, 297.0 * points)
            }
        }
    }

    /// Left and right margin, pt: what the drawings leave.
    fn side(self) -> f64 {
        (self.size().0 - drawing::WIDTH) / 2.0
    }
}

impl Serialize for Paper {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (width, height) = self.size();
        let mut sheet = serializer.serialize_struct("Paper", 3)?;
        sheet.serialize_field("width", &width)?;
        sheet.serialize_field("height", &height)?;
        sheet.serialize_field("side", &self.side())?;
        sheet.end()
    }
}

#[cfg(test)]
mod tests {
    use super::Paper;

    #[test]
    fn both_sheets_keep_a_margin_beside_the_drawings() {
        assert!((Paper::Letter.side() - 56.0).abs() < 1e-9);
        assert!((Paper::A4.side() - 47.6378).abs() < 1e-3);
    }
}
