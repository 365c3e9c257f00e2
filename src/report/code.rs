//! The code on a sheet of paper, which a camera reads: a QR code as runs of dark modules.

use qrcode::{Color, EcLevel, QrCode};
use serde::Serialize;

/// A square code.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Code {
    /// Modules along a side, without the quiet zone.
    pub size: usize,
    /// Runs of dark modules: column and row of the first, from the top left, and how many.
    pub runs: Vec<[usize; 3]>,
}

impl Code {
    /// The code of a text, readable with a quarter of it covered by mud; none for a text that no code holds.
    pub fn of(text: &str) -> Option<Self> {
        let code = QrCode::with_error_correction_level(text, EcLevel::Q).ok()?;
        let size = code.width();
        let colors = code.into_colors();
        let mut runs: Vec<[usize; 3]> = Vec::new();
        for (index, color) in colors.into_iter().enumerate() {
            if color != Color::Dark {
                continue;
            }
            let (row, column) = (index / size, index % size);
            match runs.last_mut() {
                Some([start, line, count]) if *line == row && *start + *count == column => *count += 1,
                _ => runs.push([column, row, 1]),
            }
        }
        Some(Self { size, runs })
    }
}
