//! What is recorded together, and taken back together.

use super::attempt::Attempt;
use super::when::When;

/// How an entry came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// Rows given one by one.
    Add,
    /// A tally of a sheet.
    Enter,
    /// A file.
    Import,
    /// A student added or changed.
    Student,
}

/// Rows to record together; they can be undone together.
#[derive(Debug, Clone, PartialEq)]
pub struct NewEntry {
    /// How it came about.
    pub kind: EntryKind,
    /// When it is recorded, which need not be when it was played.
    pub recorded: When,
    /// The rows; students must be known. Their ids are given by the log.
    pub attempts: Vec<Attempt>,
}

/// What was recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Recorded {
    /// Number of the entry.
    pub entry: i64,
    /// Rows in it.
    pub rows: usize,
}

impl EntryKind {
    /// `add`, `enter`, `import` or `student`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Add => "add",
            Self::Enter => "enter",
            Self::Import => "import",
            Self::Student => "student",
        }
    }

    pub(super) fn read(name: &str) -> Option<Self> {
        [Self::Add, Self::Enter, Self::Import, Self::Student]
            .into_iter()
            .find(|k| k.name() == name)
    }
}
