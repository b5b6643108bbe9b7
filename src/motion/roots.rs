//! First time a polynomial becomes negative.

/// Depth of halving before a touch without crossing is given up as no contact: 2⁻⁵² of the leg.
const MAX_DEPTH: u32 = 52;

/// First `t` in `(0, span]` at which `c0 + c1 t + … + c4 t⁴` falls below zero, the polynomial
/// being non-negative just after 0. `None` if it never does; a touch without crossing (a double
/// root) counts as none. Accurate to a few ulps of `span`. Coefficients that are no numbers have none.
///
/// The polynomial is written in Bernstein form on the span: without a negative coefficient it
/// has no negative value; with one change of sign it has one root, which Halley's steps then find
/// inside its bracket; otherwise the span is halved.
#[must_use]
#[inline(always)]
pub fn first_fall_below_zero(c: [f64; 5], span: f64) -> Option<f64> {
    let [b0, mut b1, mut b2, mut b3, mut b4] = c;
    let mut power = span;
    b1 *= power;
    power *= span;
    b2 *= power;
    power *= span;
    b3 *= power;
    power *= span;
    b4 *= power;
    let bernstein = [
        b0,
        b0 + b1 / 4.0,
        b0 + b1 / 2.0 + b2 / 6.0,
        b0 + 0.75 * b1 + b2 / 2.0 + b3 / 4.0,
        b0 + b1 + b2 + b3 + b4,
    ];
    match looked_at(&c, &bernstein, 0.0, span) {
        Some(found) => found,
        None => halved(&c, bernstein, 0.0, span, MAX_DEPTH),
    }
}

/// What the coefficients say by themselves: no fall, or one and when; `None` where they do not tell.
#[inline(always)]
fn looked_at(c: &[f64; 5], b: &[f64; 5], lo: f64, hi: f64) -> Option<Option<f64>> {
    // So asked, a coefficient that is no number ends the search as well.
    if !b.iter().any(|&x| x < 0.0) {
        return Some(None);
    }
    if b[0] >= 0.0 && b[4] < 0.0 {
        let mut changes = 0;
        let mut negative = false;
        for &x in &b[1..] {
            if (x < 0.0) != negative && x != 0.0 {
                changes += 1;
                negative = x < 0.0;
            }
        }
        if changes == 1 {
            let guess = lo + (hi - lo) * polygon_falls_at(b);
            return Some(Some(refine(c, lo, hi, guess)));
        }
    }
    None
}

fn search(c: &[f64; 5], b: [f64; 5], lo: f64, hi: f64, depth: u32) -> Option<f64> {
    match looked_at(c, &b, lo, hi) {
        Some(found) => found,
        None => halved(c, b, lo, hi, depth),
    }
}

fn halved(c: &[f64; 5], b: [f64; 5], lo: f64, hi: f64, depth: u32) -> Option<f64> {
    if depth == 0 {
        return (b[4] < 0.0).then_some(hi);
    }
    let (left, right) = halve(b);
    let mid = 0.5 * (lo + hi);
    search(c, left, lo, mid, depth - 1).or_else(|| search(c, right, mid, hi, depth - 1))
}

/// De Casteljau at one half.
fn halve(b: [f64; 5]) -> ([f64; 5], [f64; 5]) {
    let mut row = b;
    let mut left = [0.0; 5];
    let mut right = [0.0; 5];
    for k in 0..5 {
        left[k] = row[0];
        right[4 - k] = row[4 - k];
        for j in 0..4 - k {
            row[j] = 0.5 * (row[j] + row[j + 1]);
        }
    }
    (left, right)
}

/// Where the polygon through the Bernstein coefficients falls through zero, as a share of the span: a
/// first guess that is off by the bend alone.
#[inline(always)]
fn polygon_falls_at(b: &[f64; 5]) -> f64 {
    let mut at = 3.0;
    let (mut above, mut below) = (b[3], b[4]);
    for k in (0..3).rev() {
        if b[k + 1] < 0.0 {
            (at, above, below) = (k as f64, b[k], b[k + 1]);
        }
    }
    0.25 * (at + above / (above - below))
}

/// Halley's steps inside the bracket `[lo, hi]`, from a guess, where it falls through zero once.
#[inline(always)]
fn refine(c: &[f64; 5], mut lo: f64, mut hi: f64, guess: f64) -> f64 {
    // A step cubes the error, so that one so small, as a share of the time, was the last.
    const LAST: f64 = 1e-8;
    let mut t = guess;
    for _ in 0..64 {
        let f = c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4])));
        if f >= 0.0 {
            lo = t;
        } else {
            hi = t;
        }
        let slope = c[1] + t * (2.0 * c[2] + t * (3.0 * c[3] + t * 4.0 * c[4]));
        let half_bend = c[2] + t * (3.0 * c[3] + t * 6.0 * c[4]);
        let halley = t - f * slope / (slope * slope - f * half_bend);
        let inside = halley > lo && halley < hi;
        let next = if inside { halley } else { 0.5 * (lo + hi) };
        let step = (next - t).abs();
        if inside && step <= LAST * t.abs() || hi - lo <= f64::EPSILON * hi {
            return next;
        }
        t = next;
    }
    t
}
