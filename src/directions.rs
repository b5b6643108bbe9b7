//! Sets of directions: sorted, disjoint, tagged intervals of angles.
//!
//! Angles are radians relative to a reference the caller keeps; sets never wrap round the circle.

/// One interval of directions with a tag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span<T> {
    /// Lower end, rad.
    pub from_rad: f64,
    /// Upper end, rad.
    pub to_rad: f64,
    /// What holds in it.
    pub tag: T,
}

impl<T> Span<T> {
    /// Width in rad.
    #[must_use]
    pub fn width_rad(&self) -> f64 {
        self.to_rad - self.from_rad
    }
}

/// A sorted list of disjoint intervals.
#[derive(Debug, Clone, PartialEq)]
pub struct Directions<T> {
    spans: Vec<Span<T>>,
}

impl<T> Default for Directions<T> {
    fn default() -> Self {
        Self { spans: Vec::new() }
    }
}

impl<T: Copy + PartialEq> Directions<T> {
    /// The empty set.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// From intervals in any order; empty ones are dropped, overlaps are cut in favour of the one
    /// that starts first, and touching intervals with the same tag become one.
    #[must_use]
    pub fn from_spans(mut spans: Vec<Span<T>>) -> Self {
        spans.retain(|s| s.to_rad > s.from_rad);
        spans.sort_by(|a, b| a.from_rad.total_cmp(&b.from_rad));
        let mut out: Vec<Span<T>> = Vec::with_capacity(spans.len());
        for mut span in spans {
            if let Some(last) = out.last_mut() {
                span.from_rad = span.from_rad.max(last.to_rad);
                if span.from_rad >= span.to_rad {
                    continue;
                }
                if last.tag == span.tag && span.from_rad <= last.to_rad {
                    last.to_rad = span.to_rad;
                    continue;
                }
            }
            out.push(span);
        }
        Self { spans: out }
    }

    /// The intervals in order.
    #[must_use]
    pub fn spans(&self) -> &[Span<T>] {
        &self.spans
    }

    /// The intervals without their tags, from and to, rad.
    #[must_use]
    pub fn intervals_rad(&self) -> Vec<(f64, f64)> {
        let both = self.spans.iter().map(|s| (s.from_rad, s.to_rad));
        both.collect()
    }

    /// Whether the set is empty.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.spans.is_empty()
    }

    /// Total width, rad.
    #[must_use]
    pub fn measure_rad(&self) -> f64 {
        self.spans.iter().map(Span::width_rad).sum()
    }

    /// The tag at an angle, if it lies in the set.
    #[must_use]
    pub fn tag_at(&self, angle_rad: f64) -> Option<T> {
        self.spans
            .iter()
            .find(|s| s.from_rad <= angle_rad && angle_rad <= s.to_rad)
            .map(|s| s.tag)
    }

    /// Both sets together; where they overlap `self` keeps its tag.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        let mut spans = self.spans.clone();
        for gap in other
            .subtract_spans(self.spans.iter().map(|s| (s.from_rad, s.to_rad)))
            .spans
        {
            spans.push(gap);
        }
        Self::from_spans(spans)
    }

    /// The set without the given intervals.
    #[must_use]
    pub fn subtract(&self, blocked: &[(f64, f64)]) -> Self {
        self.subtract_spans(blocked.iter().copied())
    }

    fn subtract_spans(&self, blocked: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut spans = self.spans.clone();
        for (lo, hi) in blocked {
            if hi <= lo {
                continue;
            }
            let mut next = Vec::with_capacity(spans.len() + 1);
            for s in spans {
                if s.to_rad <= lo || s.from_rad >= hi {
                    next.push(s);
                    continue;
                }
                if s.from_rad < lo {
                    next.push(Span { to_rad: lo, ..s });
                }
                if s.to_rad > hi {
                    next.push(Span { from_rad: hi, ..s });
                }
            }
            spans = next;
        }
        Self { spans }
    }

    /// The image under a strictly monotone map; a falling map turns the order round.
    #[must_use]
    pub fn map_monotone(&self, map: impl Fn(f64) -> f64) -> Self {
        let mut spans: Vec<Span<T>> = self
            .spans
            .iter()
            .map(|s| {
                let (a, b) = (map(s.from_rad), map(s.to_rad));
                Span {
                    from_rad: a.min(b),
                    to_rad: a.max(b),
                    tag: s.tag,
                }
            })
            .collect();
        spans.sort_by(|a, b| a.from_rad.total_cmp(&b.from_rad));
        Self { spans }
    }
}

/// Where was looked, and what was found there: one end of a stretch that is halved.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sample<T> {
    pub(crate) at: f64,
    pub(crate) found: T,
}

/// Narrower gaps are rounding, rad: a ball frozen to a rail and sent along it is held against it up to
/// 1e-6 m/s across (see the module `motion`), and what it meets at the end of the rail is then decided by
/// the last bit.
const HAIR_RAD: f64 = 1e-6;

/// Takes out gaps narrower than [`HAIR_RAD`] between intervals whose edges are good to `edge_rad`.
pub(crate) fn close_hairs<T>(spans: &mut [Span<T>], edge_rad: f64) {
    for k in 1..spans.len() {
        let from_rad = spans[k].from_rad;
        let gap = from_rad - spans[k - 1].to_rad;
        if gap > 2.0 * edge_rad && gap < HAIR_RAD {
            spans[k - 1].to_rad = from_rad;
        }
    }
}

/// The spans of directions on which `look` gives the same answer; `None` is left out.
///
/// `stations` are sorted; between two of them with different answers the gap is halved to
/// `accuracy_rad`. A change that reverts between two stations is missed.
#[must_use]
pub fn spans_of<T: Copy + PartialEq>(
    stations: &[f64],
    accuracy_rad: f64,
    look: &impl Fn(f64) -> Option<T>,
) -> Vec<Span<T>> {
    let mut collector = Collector {
        spans: Vec::new(),
        open: None,
    };
    let Some((&first, rest)) = stations.split_first() else {
        return Vec::new();
    };
    let sample = |at: f64| Sample {
        at,
        found: look(at),
    };
    let mut before = sample(first);
    collector.reach(first, before.found);
    for &at in rest {
        let now = sample(at);
        refine(before, now, accuracy_rad, look, &mut collector);
        before = now;
    }
    collector.reach(before.at, None);
    collector.spans
}

struct Collector<T> {
    spans: Vec<Span<T>>,
    open: Option<(f64, T)>,
}

impl<T: Copy + PartialEq> Collector<T> {
    /// From `at` on, the answer is `tag`.
    fn reach(&mut self, at: f64, tag: Option<T>) {
        if self.open.map(|(_, t)| t) == tag {
            return;
        }
        if let Some((from_rad, tag)) = self.open.take() {
            self.spans.push(Span {
                from_rad,
                to_rad: at,
                tag,
            });
        }
        self.open = tag.map(|t| (at, t));
    }
}

fn refine<T: Copy + PartialEq>(
    lo: Sample<Option<T>>,
    hi: Sample<Option<T>>,
    accuracy_rad: f64,
    look: &impl Fn(f64) -> Option<T>,
    out: &mut Collector<T>,
) {
    if lo.found == hi.found {
        return;
    }
    let middle = 0.5 * (lo.at + hi.at);
    if hi.at - lo.at <= accuracy_rad {
        out.reach(middle, hi.found);
        return;
    }
    let found = Sample {
        at: middle,
        found: look(middle),
    };
    refine(lo, found, accuracy_rad, look, out);
    refine(found, hi, accuracy_rad, look, out);
}
