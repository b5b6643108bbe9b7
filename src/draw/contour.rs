//! Regions and contour lines of a value on a grid, blank places allowed (marching squares).
//!
//! Along an edge between two known values the crossing is linear; towards a blank place it lies
//! half-way, at the border of the grid on the border. A saddle is joined when the mean of its four
//! corners is inside. Regions are closed rings, so they can be filled one above the other without
//! seams; contour lines are the same rings without their parts along blanks and borders.

use std::collections::HashMap;

use kurbo::Point;

/// Values over a rectangle of places, `NaN` for "none here".
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    xs: Vec<f64>,
    ys: Vec<f64>,
    values: Vec<f64>,
}

/// A grid whose parts do not fit together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a grid of {columns} x {rows} places needs at least 2 x 2, rising, with {} values; {values} given", columns * rows)]
pub struct GridError {
    /// Places along x.
    pub columns: usize,
    /// Places along y.
    pub rows: usize,
    /// Values.
    pub values: usize,
}

impl Grid {
    /// `values` row by row: all x of the first y first.
    ///
    /// # Errors
    /// [`GridError`] unless both axes rise and the count is right.
    pub fn new(xs: Vec<f64>, ys: Vec<f64>, values: Vec<f64>) -> Result<Self, GridError> {
        let rising = |v: &[f64]| v.len() > 1 && v.windows(2).all(|w| w[0] < w[1]);
        if !rising(&xs) || !rising(&ys) || values.len() != xs.len() * ys.len() {
            return Err(GridError {
                columns: xs.len(),
                rows: ys.len(),
                values: values.len(),
            });
        }
        Ok(Self { xs, ys, values })
    }

    /// Places along x.
    #[must_use]
    pub fn xs(&self) -> &[f64] {
        &self.xs
    }

    /// The value at column `i` of row `j`, NaN where there is none or no such place.
    #[must_use]
    pub fn value(&self, i: usize, j: usize) -> f64 {
        if i >= self.xs.len() {
            return f64::NAN;
        }
        let at = j * self.xs.len() + i;
        self.values.get(at).copied().unwrap_or(f64::NAN)
    }

    /// Places along y.
    #[must_use]
    pub fn ys(&self) -> &[f64] {
        &self.ys
    }

    /// Values, row by row.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Least and largest known value.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        let known = || self.values.iter().copied().filter(|v| v.is_finite());
        let low = known().reduce(f64::min)?;
        Some((low, known().reduce(f64::max)?))
    }

    /// A node of the grid with one ring of outside nodes around it.
    fn node(&self, i: usize, j: usize) -> Node {
        let (nx, ny) = (self.xs.len(), self.ys.len());
        let (ci, cj) = (i.clamp(1, nx) - 1, j.clamp(1, ny) - 1);
        let outside = i == 0 || j == 0 || i > nx || j > ny;
        Node {
            at: Point::new(self.xs[ci], self.ys[cj]),
            value: if outside {
                f64::NAN
            } else {
                self.values[cj * nx + ci]
            },
            outside,
        }
    }
}

#[derive(Clone, Copy)]
struct Node {
    at: Point,
    value: f64,
    outside: bool,
}

/// A point of a ring; `edge` when it lies along a blank or the border of the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingPoint {
    /// Where, in the grid's units.
    pub at: Point,
    /// Not a true contour here.
    pub edge: bool,
}

/// Identifies an edge of the padded grid: its lower node and whether it runs along y.
type EdgeId = (usize, usize, bool);

/// Rings around all places with a value of at least `level`, inside on the left.
#[must_use]
pub fn region(grid: &Grid, level: f64) -> Vec<Vec<RingPoint>> {
    let (nx, ny) = (grid.xs.len(), grid.ys.len());
    let mut follow: HashMap<EdgeId, (EdgeId, RingPoint)> = HashMap::new();
    let mut starts = Vec::new();
    for j in 0..=ny {
        for i in 0..=nx {
            for (from, to, point) in cell(grid, i, j, level) {
                follow.insert(from, (to, point));
                starts.push(from);
            }
        }
    }
    let mut rings = Vec::new();
    for start in starts {
        let mut ring = Vec::new();
        let mut at = start;
        while let Some((next, point)) = follow.remove(&at) {
            ring.push(point);
            at = next;
        }
        if ring.len() > 2 {
            rings.push(ring);
        }
    }
    rings
}

/// The segments of one cell: from edge, to edge, starting point.
fn cell(grid: &Grid, i: usize, j: usize, level: f64) -> Vec<(EdgeId, EdgeId, RingPoint)> {
    let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)].map(|(a, b)| grid.node(a, b));
    let edges: [EdgeId; 4] = [
        (i, j, false),
        (i + 1, j, true),
        (i, j + 1, false),
        (i, j, true),
    ];
    let inside = corners.map(|n| n.value >= level);
    let mut exits = Vec::new();
    let mut enters = Vec::new();
    for k in 0..4 {
        match (inside[k], inside[(k + 1) % 4]) {
            (true, false) => exits.push(k),
            (false, true) => enters.push(k),
            _ => {}
        }
    }
    let joined = exits.len() == 2 && {
        let mean = corners.iter().map(|n| n.value).sum::<f64>() / 4.0;
        mean >= level
    };
    exits
        .iter()
        .filter_map(|&x| {
            // Going round, the next way in joins the corners, the last one before keeps them apart.
            let round = |e: usize| {
                if joined {
                    (e + 4 - x) % 4
                } else {
                    (x + 4 - e) % 4
                }
            };
            let e = enters.iter().copied().min_by_key(|&e| round(e))?;
            let point = crossing(&corners[x], &corners[(x + 1) % 4], level);
            Some((edges[x], edges[e], point))
        })
        .collect()
}

/// Where the level lies between a node inside and one that is not.
fn crossing(inside: &Node, other: &Node, level: f64) -> RingPoint {
    if other.outside {
        return RingPoint {
            at: inside.at,
            edge: true,
        };
    }
    if !other.value.is_finite() || !level.is_finite() {
        return RingPoint {
            at: inside.at.midpoint(other.at),
            edge: true,
        };
    }
    let t = ((inside.value - level) / (inside.value - other.value)).clamp(0.0, 1.0);
    RingPoint {
        at: inside.at.lerp(other.at, t),
        edge: false,
    }
}

/// A ring's points with the steps along blank places evened out: each such point moves to the
/// weighted mean of itself and its neighbours, less than a step of the grid. Borders stay.
#[must_use]
pub fn softened(grid: &Grid, ring: &[RingPoint]) -> Vec<Point> {
    let ends = |v: &[f64]| (v.first().copied(), v.last().copied());
    let (x, y) = (ends(&grid.xs), ends(&grid.ys));
    let on_border = |p: Point| {
        let at = |v: f64, (low, high): (Option<f64>, Option<f64>)| {
            [low, high]
                .iter()
                .flatten()
                .any(|e| e.to_bits() == v.to_bits())
        };
        at(p.x, x) || at(p.y, y)
    };
    let n = ring.len();
    let moves: Vec<bool> = (0..n)
        .map(|k| {
            let around = [&ring[(k + n - 1) % n], &ring[k], &ring[(k + 1) % n]];
            around.iter().all(|p| p.edge) && !on_border(ring[k].at)
        })
        .collect();
    let mut points: Vec<Point> = ring.iter().map(|p| p.at).collect();
    // Three rounds even out steps as wide as five places.
    for _ in 0..3 {
        let before = points.clone();
        for k in (0..n).filter(|k| moves[*k]) {
            let sides = before[(k + n - 1) % n].midpoint(before[(k + 1) % n]);
            points[k] = before[k].midpoint(sides);
        }
    }
    points
}

/// The true contour lines among rings: pieces between edges, or whole rings (closed: first point
/// repeated at the end).
#[must_use]
pub fn lines(rings: &[Vec<RingPoint>]) -> Vec<Vec<Point>> {
    let mut out = Vec::new();
    for ring in rings {
        let Some(first_edge) = ring.iter().position(|p| p.edge) else {
            let mut whole: Vec<Point> = ring.iter().map(|p| p.at).collect();
            whole.extend(whole.first().copied());
            out.push(whole);
            continue;
        };
        let turned = ring[first_edge..].iter().chain(&ring[..first_edge]);
        let mut piece = Vec::new();
        for p in turned {
            if p.edge {
                out.push(std::mem::take(&mut piece));
            } else {
                piece.push(p.at);
            }
        }
        out.push(piece);
    }
    out.retain(|l| l.len() > 1);
    out
}
