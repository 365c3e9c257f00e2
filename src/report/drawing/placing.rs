//! Placing texts and marks so that none lies on another.

use super::scene::{Bounds, Point};

/// The places that are taken.
#[derive(Debug, Default)]
pub struct Taken {
    boxes: Vec<Bounds>,
    lines: Vec<[Point; 2]>,
}

impl Taken {
    /// Whether nothing lies in a box yet.
    pub fn free(&self, bounds: &Bounds) -> bool {
        let met = self.boxes.iter().any(|taken| taken.meets(bounds));
        !met && !self.lines.iter().any(|line| bounds.crossed_by(line))
    }

    /// Takes a box.
    pub fn claim(&mut self, bounds: Bounds) {
        self.boxes.push(bounds);
    }

    /// Takes what a line runs through.
    pub fn claim_line(&mut self, points: &[Point]) {
        self.lines
            .extend(points.windows(2).map(|pair| [pair[0], pair[1]]));
    }

    /// Whether a line passes between a point on one and another point.
    pub fn parted(&self, from: Point, to: Point) -> bool {
        const CLEAR: f64 = 3.5;
        let long = (to[0] - from[0]).hypot(to[1] - from[1]);
        if long <= CLEAR {
            return false;
        }
        let start = [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * CLEAR / long);
        let between = Bounds {
            left: start[0].min(to[0]) - 0.05,
            top: start[1].min(to[1]) - 0.05,
            right: start[0].max(to[0]) + 0.05,
            bottom: start[1].max(to[1]) + 0.05,
        };
        self.lines.iter().any(|line| between.crossed_by(line))
    }

    /// The stretches between two sides that lines run through, from the top down.
    pub fn crossings(&self, left: f64, right: f64) -> Vec<(f64, f64)> {
        let mut stretches: Vec<(f64, f64)> = self
            .lines
            .iter()
            .filter_map(|line| stretch(line, left, right))
            .collect();
        stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
        stretches
    }

    /// The free box of a size nearest to a point and inside a frame, taken at once; none where all is full.
    /// Looks round the point in rings, upward and to the right first.
    pub fn nearest(&mut self, to: Point, size: Point, frame: &Bounds) -> Option<Bounds> {
        self.nearest_where(to, size, frame, |_| true)
    }

    /// The same of the boxes that suit.
    pub fn nearest_where(
        &mut self,
        to: Point,
        size: Point,
        frame: &Bounds,
        suits: impl Fn(&Bounds) -> bool,
    ) -> Option<Bounds> {
        const STEP: f64 = 4.0;
        const RINGS: i32 = 28;
        let centred =
            |dx: f64, dy: f64| Bounds::at([to[0] + dx - size[0] / 2.0, to[1] + dy - size[1] / 2.0], size);
        let fits = |bounds: &Bounds| frame.holds(bounds) && self.free(bounds) && suits(bounds);
        let found = (0..=RINGS).find_map(|ring| {
            let reach = f64::from(ring) * STEP;
            let count = (ring * 6).max(1);
            (0..count).find_map(|step| {
                let turn = f64::from(step) / f64::from(count) * std::f64::consts::TAU - 0.8;
                let bounds = centred(reach * turn.cos(), reach * turn.sin());
                fits(&bounds).then_some(bounds)
            })
        })?;
        self.claim(found);
        Some(found)
    }
}

/// How high and low a line reaches between two sides, where it comes between them.
fn stretch([a, b]: &[Point; 2], left: f64, right: f64) -> Option<(f64, f64)> {
    let (from, to) = if a[0] <= b[0] { (a, b) } else { (b, a) };
    if to[0] < left || from[0] > right {
        return None;
    }
    let at = |x: f64| {
        let share = (x - from[0]) / (to[0] - from[0]).max(1e-9);
        from[1] + (to[1] - from[1]) * share.clamp(0.0, 1.0)
    };
    let (y, z) = if to[0] - from[0] < 1e-9 {
        (from[1], to[1])
    } else {
        (at(left), at(right))
    };
    Some((y.min(z), y.max(z)))
}

/// Middles for labels of one height in a column that lines cross: between the lines, each on the side of the line on
/// which it is wanted while there is room for it there. `crossings` lie in order from the top down.
pub fn spread_between(
    wanted: &[f64],
    height: f64,
    (top, bottom): (f64, f64),
    crossings: &[(f64, f64)],
) -> Vec<f64> {
    let mut bands = vec![(top, bottom)];
    for &(upper, lower) in crossings {
        let Some(last) = bands.pop() else { break };
        if lower < last.0 || upper > last.1 {
            bands.push(last);
            continue;
        }
        bands.extend([(last.0, upper), (lower.max(last.0), last.1)]);
    }
    bands.retain(|(top, bottom)| bottom - top >= height);
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    let mut placed = vec![0.0; wanted.len()];
    let mut members = shared_out(wanted, &order, height, &bands);
    if members.is_empty() {
        (bands, members) = (vec![(top, bottom)], vec![order]);
    }
    for ((top, bottom), members) in bands.into_iter().zip(members) {
        let here: Vec<f64> = members.iter().map(|&index| wanted[index]).collect();
        for (index, middle) in members.into_iter().zip(spread(&here, height, top, bottom)) {
            placed[index] = middle;
        }
    }
    placed
}

/// Labels in order by the band in which each is wanted; what is too much for one goes to the next that has room.
fn shared_out(wanted: &[f64], order: &[usize], height: f64, bands: &[(f64, f64)]) -> Vec<Vec<usize>> {
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); bands.len()];
    for &index in order {
        let far = |&(top, bottom): &(f64, f64)| (top - wanted[index]).max(wanted[index] - bottom).max(0.0);
        let nearest = bands
            .iter()
            .enumerate()
            .min_by(|(_, a), (_, b)| far(a).total_cmp(&far(b)));
        if let Some(band) = nearest.and_then(|(at, _)| members.get_mut(at)) {
            band.push(index);
        }
    }
    let room = |at: usize| ((bands[at].1 - bands[at].0) / height + 1e-9) as usize;
    for at in (1..members.len()).rev() {
        let excess = members[at].len().saturating_sub(room(at));
        let moved: Vec<usize> = members[at].drain(..excess).collect();
        members[at - 1].extend(moved);
    }
    for at in 1..members.len() {
        let kept = members[at - 1].len().min(room(at - 1));
        let moved = members[at - 1].split_off(kept);
        members[at].splice(0..0, moved);
    }
    members
}

/// Middles for labels of one height in a column, each as near to where it is wanted as the others let it, in the
/// order wanted. They stay between `top` and `bottom` while these hold them all; past that they go below `bottom`.
pub fn spread(wanted: &[f64], height: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    // Blocks of labels that touch: how many, and the middle of the first that serves them best on average.
    let mut blocks: Vec<(usize, f64)> = Vec::new();
    for &index in &order {
        let mut block = (1, wanted[index]);
        while let Some(&(count, first)) = blocks.last() {
            if first + count as f64 * height <= block.1 {
                break;
            }
            let pulled = block.1 - count as f64 * height;
            let both = count + block.0;
            block = (
                both,
                (first * count as f64 + pulled * block.0 as f64) / both as f64,
            );
            blocks.pop();
        }
        blocks.push(block);
    }
    let middles = blocks
        .into_iter()
        .flat_map(|(count, first)| (0..count).map(move |step| first + step as f64 * height));
    let mut middles: Vec<f64> = middles.collect();
    let mut limit = bottom - height / 2.0;
    for middle in middles.iter_mut().rev() {
        *middle = middle.min(limit);
        limit = *middle - height;
    }
    let mut limit = top + height / 2.0;
    for middle in &mut middles {
        *middle = middle.max(limit);
        limit = *middle + height;
    }
    let mut placed = vec![0.0; wanted.len()];
    for (&index, middle) in order.iter().zip(middles) {
        placed[index] = middle;
    }
    placed
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn labels_with_room_stay_where_they_are_wanted() {
        assert_eq!(spread(&[50.0, 20.0], 8.0, 0.0, 100.0), [50.0, 20.0]);
        assert_eq!(spread(&[50.0, 50.0], 8.0, 0.0, 100.0), [46.0, 54.0]);
        assert!(spread(&[], 8.0, 0.0, 100.0).is_empty());
    }

    #[test]
    fn a_box_is_kept_off_lines() {
        let mut taken = Taken::default();
        taken.claim_line(&[[0.0, 0.0], [40.0, 40.0], [80.0, 40.0]]);
        assert!(taken.free(&Bounds::at([0.0, 10.0], [8.0, 8.0])));
        assert!(!taken.free(&Bounds::at([10.0, 10.0], [8.0, 8.0])));
        assert!(!taken.free(&Bounds::at([50.0, 36.0], [8.0, 8.0])));
        assert_eq!(taken.crossings(10.0, 20.0), [(10.0, 20.0)]);
        assert_eq!(taken.crossings(50.0, 60.0), [(40.0, 40.0)]);
        assert!(taken.crossings(90.0, 99.0).is_empty());
    }

    proptest! {
        #[test]
        fn labels_never_overlap(wanted in prop::collection::vec(-50.0..250.0f64, 0..30)) {
            let mut placed = spread(&wanted, 8.0, 0.0, 200.0);
            placed.sort_by(f64::total_cmp);
            prop_assert!(placed.windows(2).all(|pair| pair[1] - pair[0] > 8.0 - 1e-9));
            prop_assert!(placed.first().is_none_or(|first| *first >= 4.0 - 1e-9));
            if wanted.len() <= 25 {
                prop_assert!(placed.last().is_none_or(|last| *last <= 196.0 + 1e-9));
            }
        }

        #[test]
        fn labels_keep_clear_of_lines(
            wanted in prop::collection::vec(0.0..200.0f64, 0..14),
            lines in prop::collection::vec(0.0..190.0f64, 0..4),
        ) {
            let mut crossings: Vec<(f64, f64)> = lines.iter().map(|y| (*y, y + 4.0)).collect();
            crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut placed = spread_between(&wanted, 8.0, (0.0, 200.0), &crossings);
            for middle in &placed {
                let (over, under) = (middle - 4.0 + 1e-9, middle + 4.0 - 1e-9);
                let clear = crossings.iter().all(|(upper, lower)| under <= *upper || over >= *lower);
                prop_assert!(clear, "{} among {:?}", middle, crossings);
            }
            placed.sort_by(f64::total_cmp);
            prop_assert!(placed.windows(2).all(|pair| pair[1] - pair[0] > 8.0 - 1e-9));
        }

        #[test]
        fn boxes_never_overlap(points in prop::collection::vec((0.0..300.0f64, 0.0..200.0f64), 0..80)) {
            let frame = Bounds::at([0.0, 0.0], [300.0, 200.0]);
            let mut taken = Taken::default();
            let boxes: Vec<Bounds> = points
                .iter()
                .filter_map(|&(x, y)| taken.nearest([x, y], [22.0, 9.0], &frame))
                .collect();
            for (index, one) in boxes.iter().enumerate() {
                prop_assert!(frame.holds(one));
                prop_assert!(boxes[index + 1..].iter().all(|other| !one.meets(other)));
            }
        }
    }
}
