//! What the adviser has to know of a game: which balls are on, what a make is worth, what is on next.
//!
//! A layout keeps its order of balls: those that are gone are only put off the table, so a ball has one
//! index throughout.

use std::fmt;
use std::sync::Arc;

use kurbo::Point;

/// In what a run is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scores {
    /// Balls.
    Balls,
    /// Points.
    Points,
}

/// The rules as far as advice goes.
pub trait Legal: fmt::Debug + Send + Sync {
    /// Whether a ball may be hit first.
    fn on(&self, ball: usize) -> bool;

    /// What making `made` scores with `first` hit first; 0 where that is no legal make.
    fn worth(&self, first: usize, made: usize) -> f64;

    /// What is on for the same player after a legal make.
    fn after(&self, made: usize) -> Arc<dyn Legal>;

    /// What is on for the other player when the turn passes.
    fn opponent(&self) -> Arc<dyn Legal>;

    /// Where a ball that was made is put back; `None` where it stays down.
    fn put_back(&self, _made: usize, _up: &[Point]) -> Option<Point> {
        None
    }

    /// Whether some ball has to reach a cushion (or drop) after the first contact.
    fn needs_cushion(&self) -> bool;

    /// In what a run is counted.
    fn scores(&self) -> Scores {
        Scores::Balls
    }
}

/// No game: any ball into any pocket, one point each; a ball has to reach a cushion, as in pool.
#[derive(Debug, Clone, Default)]
pub struct FreePlay {
    /// Balls that may be hit first; all when empty.
    targets: Vec<usize>,
}

impl FreePlay {
    /// With these balls on; all when empty. What is on next is what is left of them, or all.
    #[must_use]
    pub fn new(targets: &[usize]) -> Self {
        Self {
            targets: targets.to_vec(),
        }
    }
}

impl Legal for FreePlay {
    fn on(&self, ball: usize) -> bool {
        self.targets.is_empty() || self.targets.contains(&ball)
    }

    fn worth(&self, first: usize, _made: usize) -> f64 {
        f64::from(u8::from(self.on(first)))
    }

    fn after(&self, made: usize) -> Arc<dyn Legal> {
        let left = self.targets.iter().copied().filter(|&b| b != made);
        Arc::new(Self {
            targets: left.collect(),
        })
    }

    fn opponent(&self) -> Arc<dyn Legal> {
        Arc::new(Self::default())
    }

    fn needs_cushion(&self) -> bool {
        true
    }
}
