//! Sheets cut from roll goods: strips with laps across one basin, and the sheets of several basins side by side on a roll.

/// A piece on a roll, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is cut for.
    pub name: String,
    /// Where it begins, along the roll.
    pub along: f64,
    /// Where it begins, across the roll.
    pub across: f64,
    /// Its size along the roll.
    pub length: f64,
    /// Its size across the roll.
    pub width: f64,
}

/// Pieces laid out on goods of one width, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// What it shows.
    pub title: String,
    /// Width of the goods.
    pub width: f64,
    /// Length that is drawn off.
    pub length: f64,
    /// The pieces.
    pub pieces: Vec<Piece>,
    /// Laps between strips; none where pieces lie side by side.
    pub lap: f64,
}

/// Strips that cover a basin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strips {
    /// How many.
    pub count: usize,
    /// Length of each, m.
    pub length: f64,
    /// Width that they cover with their laps, m.
    pub covers: f64,
    /// Goods drawn off, m².
    pub area: f64,
}

/// Strips of roll goods over a rectangle, each lapping the one before: laid along the side that takes the least goods.
/// None where the lap leaves the roll no width.
pub fn strips(length: f64, width: f64, roll: f64, lap: f64) -> Option<Strips> {
    if !(roll > lap && lap >= 0.0 && length > 0.0 && width > 0.0) {
        return None;
    }
    let laid = |along: f64, across: f64| {
        let step = roll - lap;
        // One strip covers its width, each further one a width less its lap.
        let count = ((across - roll) / step).max(0.0);
        let count = (count - 1e-9).ceil().max(0.0) as usize + 1;
        Strips {
            count,
            length: along,
            covers: roll + (count - 1) as f64 * step,
            area: count as f64 * along * roll,
        }
    };
    let (along, across) = (laid(length, width), laid(width, length));
    Some(if along.area <= across.area { along } else { across })
}

/// Rectangles, each a name with its two sides, cut from goods of one width: in rows across the roll, the longest first, turned
/// whichever way draws off less. What is wider than the roll both ways is left over, by name.
pub fn nest(sheets: &[(String, f64, f64)], roll: f64) -> (Layout, Vec<String>) {
    let fits = |side: f64| side <= roll + 1e-9;
    let (cut, left): (Vec<_>, Vec<_>) = sheets.iter().partition(|(_, a, b)| fits(a.min(*b)));
    let short_across: Vec<Piece> = cut
        .iter()
        .map(|(name, a, b)| piece(name, a.max(*b), a.min(*b)))
        .collect();
    let long_across: Vec<Piece> = cut
        .iter()
        .map(|(name, a, b)| {
            let (long, short) = (a.max(*b), a.min(*b));
            if fits(long) {
                piece(name, short, long)
            } else {
                piece(name, long, short)
            }
        })
        .collect();
    let (one, other) = (in_rows(short_across, roll), in_rows(long_across, roll));
    let best = if one.length <= other.length { one } else { other };
    (best, left.into_iter().map(|(name, ..)| name.clone()).collect())
}

fn piece(name: &str, length: f64, width: f64) -> Piece {
    Piece {
        name: name.to_owned(),
        along: 0.0,
        across: 0.0,
        length,
        width,
    }
}

/// Pieces in rows across the roll, the longest first, each in the first row that has room.
fn in_rows(mut pieces: Vec<Piece>, roll: f64) -> Layout {
    pieces.sort_by(|a, b| b.length.total_cmp(&a.length).then(b.width.total_cmp(&a.width)));
    // Where a row begins, and how much of its width is taken.
    let mut rows: Vec<(f64, f64)> = Vec::new();
    let mut end = 0.0;
    for piece in &mut pieces {
        let room = rows
            .iter()
            .position(|(_, taken)| taken + piece.width <= roll + 1e-9);
        let row = room.unwrap_or_else(|| {
            rows.push((end, 0.0));
            end += piece.length;
            rows.len() - 1
        });
        let (along, taken) = &mut rows[row];
        piece.along = *along;
        piece.across = *taken;
        *taken += piece.width;
    }
    Layout {
        title: String::new(),
        width: roll,
        length: end,
        pieces,
        lap: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(name: &str, a: f64, b: f64) -> (String, f64, f64) {
        (name.to_owned(), a, b)
    }

    /// By hand: 7 m across strips of 2 m lapped 0.3 m are covered by 2 + 3 · 1.7 = 7.1 m, four strips.
    #[test]
    fn strips_cover_a_basin_with_their_laps() {
        let laid = strips(9.0, 7.0, 2.0, 0.3);
        assert_eq!(laid.map(|laid| (laid.count, laid.length)), Some((4, 9.0)));
        assert!(
            laid.is_some_and(|laid| (laid.covers - 7.1).abs() < 1e-12 && (laid.area - 72.0).abs() < 1e-9)
        );
        assert_eq!(strips(5.0, 2.0, 2.0, 0.3).map(|laid| laid.count), Some(1));
        assert_eq!(strips(5.0, 2.0, 0.3, 0.3), None);
    }

    /// By hand: on a roll of 10, two of 6 by 4 stand abreast, then one of 5 by 9 the long way across, or 9 along beside none.
    #[test]
    fn sheets_stand_abreast_where_the_roll_has_room() {
        let (layout, left) = nest(
            &[
                sheet("a", 6.0, 4.0),
                sheet("b", 4.0, 6.0),
                sheet("c", 5.0, 9.0),
                sheet("d", 11.0, 12.0),
            ],
            10.0,
        );
        assert_eq!(left, ["d"]);
        assert!((layout.length - 13.0).abs() < 1e-9, "{layout:?}");
        for (index, one) in layout.pieces.iter().enumerate() {
            assert!(one.across + one.width <= 10.0 + 1e-9 && one.along + one.length <= layout.length + 1e-9);
            for other in &layout.pieces[index + 1..] {
                let apart = one.along + one.length <= other.along + 1e-9
                    || other.along + other.length <= one.along + 1e-9
                    || one.across + one.width <= other.across + 1e-9
                    || other.across + other.width <= one.across + 1e-9;
                assert!(apart, "{one:?} {other:?}");
            }
        }
    }
}
