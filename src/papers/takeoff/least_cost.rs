//! The cheapest amounts of several loads that cover several needs: a small linear program, solved exactly by the dual simplex
//! method (Lemke 1954; any text on linear programming).

/// Pivots after which a program is given up; it ends in far fewer, as every pivot raises the cost.
const MOST_PIVOTS: usize = 10_000;
/// What counts as nothing.
const HAIR: f64 = 1e-9;

/// Least-cost amounts `x` with `shares·x ≥ needs` and `0 ≤ x ≤ most`, at `prices·x`; none where no amounts cover the needs.
/// `shares[need][load]`; all values not negative.
pub fn least_cost(shares: &[Vec<f64>], needs: &[f64], most: &[f64], prices: &[f64]) -> Option<Vec<f64>> {
    let loads = prices.len();
    // Rows: −shares·x + slack = −needs, x + slack = most. The slacks are the first basis; prices are not negative, so it is
    // dual feasible.
    let mut rows: Vec<Vec<f64>> = Vec::new();
    let slacks = needs.len() + loads;
    let row = |left: Vec<f64>, index: usize, right: f64| {
        let mut row = left;
        row.extend((0..slacks).map(|slack| f64::from(u8::from(slack == index))));
        row.push(right);
        row
    };
    for (index, (share, need)) in shares.iter().zip(needs).enumerate() {
        rows.push(row(share.iter().map(|share| -share).collect(), index, -need));
    }
    for (index, most) in most.iter().enumerate() {
        let unit = (0..loads)
            .map(|load| f64::from(u8::from(load == index)))
            .collect();
        rows.push(row(unit, needs.len() + index, *most));
    }
    let width = loads + slacks;
    let mut cost: Vec<f64> = prices.to_vec();
    cost.extend(vec![0.0; slacks]);
    let mut basis: Vec<usize> = (loads..width).collect();
    for _ in 0..MOST_PIVOTS {
        let worst = (0..rows.len())
            .filter(|&at| rows[at][width] < -HAIR)
            .min_by(|&a, &b| rows[a][width].total_cmp(&rows[b][width]));
        let Some(out) = worst else {
            let mut amounts = vec![0.0; loads];
            for (row, &column) in rows.iter().zip(&basis) {
                if column < loads {
                    amounts[column] = row[width].max(0.0);
                }
            }
            return Some(amounts);
        };
        let ratio = |column: usize| cost[column] / -rows[out][column];
        let enter = (0..width)
            .filter(|&column| rows[out][column] < -HAIR)
            .min_by(|&a, &b| ratio(a).total_cmp(&ratio(b)))?;
        pivot(&mut rows, &mut cost, out, enter);
        basis[out] = enter;
    }
    None
}

fn pivot(rows: &mut [Vec<f64>], cost: &mut [f64], out: usize, enter: usize) {
    let by = rows[out][enter];
    for value in &mut rows[out] {
        *value /= by;
    }
    let pivoted = rows[out].clone();
    for (index, row) in rows.iter_mut().enumerate() {
        let times = row[enter];
        if index != out && times != 0.0 {
            for (value, taken) in row.iter_mut().zip(&pivoted) {
                *value -= times * taken;
            }
        }
    }
    let times = cost[enter];
    for (value, taken) in cost.iter_mut().zip(&pivoted) {
        *value -= times * taken;
    }
}

#[cfg(test)]
mod tests {
    use super::least_cost;

    /// A diet problem worked by its corners: x + 2y ≥ 8 and 3x + y ≥ 9, at 4x + 3y: the corner (2, 3) costs 17, (0, 9) 27, (8, 0) 32.
    #[test]
    fn the_cheapest_corner_is_found() {
        let shares = [vec![1.0, 2.0], vec![3.0, 1.0]];
        let amounts = least_cost(&shares, &[8.0, 9.0], &[100.0, 100.0], &[4.0, 3.0]);
        assert!(amounts.is_some_and(|found| (found[0] - 2.0).abs() < 1e-9 && (found[1] - 3.0).abs() < 1e-9));
        // With no more than 2 of the second, 4 of the first are needed: 4 + 4 and 12 + 2.
        let amounts = least_cost(&shares, &[8.0, 9.0], &[100.0, 2.0], &[4.0, 3.0]);
        assert!(amounts.is_some_and(|found| (found[0] - 4.0).abs() < 1e-9 && (found[1] - 2.0).abs() < 1e-9));
        assert_eq!(least_cost(&shares, &[8.0, 9.0], &[1.0, 1.0], &[4.0, 3.0]), None);
        assert_eq!(least_cost(&[vec![0.0]], &[1.0], &[9.0], &[1.0]), None);
    }
}
