//! Labels that keep out of each other's way.

/// Moves label middles apart so that neighbours are at least `gap` from each other and all stay
/// within `low..=high`, each as near to where it wanted to be as that allows (least squares, by
/// pooling). The order of wishes is kept. When there is no room for all gaps they shrink evenly.
#[must_use]
pub fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let n = wanted.len();
    if n == 0 {
        return Vec::new();
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
    let spaces = count(n - 1);
    let gap = if spaces > 0.0 {
        gap.min((high - low).max(0.0) / spaces)
    } else {
        0.0
    };
    // With z_i = y_i − i·gap the constraint is z non-decreasing: pool adjacent violators.
    let mut pools: Vec<(f64, f64)> = Vec::with_capacity(n);
    for (rank, &i) in order.iter().enumerate() {
        let mut pool = (wanted[i] - count(rank) * gap, 1.0);
        while let Some(&(mean, weight)) = pools.last() {
            if mean <= pool.0 {
                break;
            }
            pools.pop();
            let sum = weight + pool.1;
            pool = ((mean * weight + pool.0 * pool.1) / sum, sum);
        }
        pools.push(pool);
    }
    let mut out = vec![0.0; n];
    let mut rank = 0;
    for (mean, weight) in pools {
        let z = mean.clamp(low, (high - spaces * gap).max(low));
        let mut left = weight;
        while left > 0.5 {
            out[order[rank]] = z + count(rank) * gap;
            rank += 1;
            left -= 1.0;
        }
    }
    out
}

#[expect(clippy::cast_precision_loss, reason = "a handful of labels")]
fn count(n: usize) -> f64 {
    n as f64
}
