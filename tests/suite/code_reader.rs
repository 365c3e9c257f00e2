//! Codes read by a library that did not make them.

use bywash::report::code::Code;

/// Pixels of a module, and modules of the quiet zone.
const MODULE: usize = 4;
const QUIET: usize = 4;

/// What a reader of codes sees in a square of modules.
pub fn read_code(size: usize, is_dark: impl Fn(usize, usize) -> bool) -> String {
    let side = (size + 2 * QUIET) * MODULE;
    let within = QUIET..size + QUIET;
    let gray = |x: usize, y: usize| {
        let (column, row) = (x / MODULE, y / MODULE);
        let dark = within.contains(&column) && within.contains(&row) && is_dark(column - QUIET, row - QUIET);
        if dark { 0 } else { 255 }
    };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, gray);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

/// What it sees in a code.
pub fn drawn_code(code: &Code) -> String {
    read_code(code.size, |column, row| {
        let runs = code.runs.iter();
        runs.clone()
            .any(|&[start, line, count]| line == row && (start..start + count).contains(&column))
    })
}
