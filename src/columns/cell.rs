//! One cell.

/// One value of a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    /// A number.
    Number(f64),
    /// A word, or several with spaces between.
    Text(&'a str),
    /// Nothing.
    Absent,
}

impl Cell<'_> {
    /// As written in CSV: shortest text that reads back, empty where absent.
    #[must_use]
    pub fn csv(&self) -> String {
        self.with_csv(str::to_owned)
    }

    /// Hands that text on without keeping it.
    pub fn with_csv<T>(&self, take: impl FnOnce(&str) -> T) -> T {
        match self {
            Self::Number(x) => with_shortest(*x, take),
            Self::Text(t) => take(t),
            Self::Absent => take(""),
        }
    }
}

/// A cell that is kept until its turn.
#[derive(Debug, Clone)]
pub(super) enum Kept {
    Number(f64),
    Text(String),
    Absent,
}

impl Kept {
    pub(super) fn cell(&self) -> Cell<'_> {
        match self {
            Self::Number(x) => Cell::Number(*x),
            Self::Text(t) => Cell::Text(t),
            Self::Absent => Cell::Absent,
        }
    }
}

impl From<Cell<'_>> for Kept {
    fn from(cell: Cell<'_>) -> Self {
        match cell {
            Cell::Number(x) => Self::Number(x),
            Cell::Text(t) => Self::Text(t.to_owned()),
            Cell::Absent => Self::Absent,
        }
    }
}

/// The text of `f64::to_string`, several times as fast: half of a long table's time is spent here.
#[must_use]
pub fn shortest(x: f64) -> String {
    with_shortest(x, str::to_owned)
}

/// Numbers from here to there are written without an exponent.
const PLAIN_FROM: f64 = 1e-4;
const PLAIN_TO: f64 = 1e15;

fn with_shortest<T>(x: f64, take: impl FnOnce(&str) -> T) -> T {
    // Very large and very small ones would get an exponent there.
    if !(PLAIN_FROM..PLAIN_TO).contains(&x.abs()) && x.abs() > 0.0 || !x.is_finite() {
        return take(&x.to_string());
    }
    let mut buffer = zmij::Buffer::new();
    let text = buffer.format(x);
    take(text.strip_suffix(".0").unwrap_or(text))
}
