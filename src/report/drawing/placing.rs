//! Placing texts and marks so that none lies on another.

use super::scene::{Bounds, Point};

/// The places that are taken.
#[derive(Debug, Default)]
pub struct Taken(Vec<Bounds>);

impl Taken {
    /// Whether nothing lies in a box yet.
    pub fn free(&self, bounds: &Bounds) -> bool {
        !self.0.iter().any(|taken| taken.meets(bounds))
    }

    /// Takes a box.
    pub fn claim(&mut self, bounds: Bounds) {
        self.0.push(bounds);
    }

    /// The free box of a size nearest to a point and inside a frame, taken at once; none where all is full.
    /// Looks round the point in rings, upward and to the right first.
    pub fn nearest(&mut self, to: Point, size: Point, frame: &Bounds) -> Option<Bounds> {
        const STEP: f64 = 4.0;
        const RINGS: i32 = 28;
        let centred =
            |dx: f64, dy: f64| Bounds::at([to[0] + dx - size[0] / 2.0, to[1] + dy - size[1] / 2.0], size);
        let fits = |bounds: &Bounds| frame.holds(bounds) && self.free(bounds);
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
