//! Some rows of a table, without a string for each cell.

/// Rows of cells, all in one text.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Block {
    text: String,
    /// Where each cell ends in the text.
    ends: Vec<usize>,
    /// How many cells there are up to the end of each row.
    rows: Vec<usize>,
}

/// The cells of one row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row<'a> {
    text: &'a str,
    from: usize,
    ends: &'a [usize],
}

impl Block {
    /// Adds a row.
    pub fn push<'c>(&mut self, cells: impl IntoIterator<Item = &'c str>) {
        for cell in cells {
            self.text.push_str(cell);
            self.ends.push(self.text.len());
        }
        self.rows.push(self.ends.len());
    }

    /// How many rows there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Forgets all rows, but not the room they took.
    pub fn clear(&mut self) {
        self.text.clear();
        self.ends.clear();
        self.rows.clear();
    }

    /// A row by its place from 0; one of no cells past the last.
    #[must_use]
    pub fn row(&self, place: usize) -> Row<'_> {
        let end = |k: usize| self.rows.get(k).copied().unwrap_or(self.ends.len());
        let first = place.checked_sub(1).map_or(0, end);
        let from = first.checked_sub(1).map_or(0, |cell| self.ends[cell]);
        Row {
            text: &self.text,
            from,
            ends: &self.ends[first..end(place).max(first)],
        }
    }
}

impl<'a> Row<'a> {
    /// How many cells it has.
    #[must_use]
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether it has none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// Its cells in order.
    pub fn cells(&self) -> impl Iterator<Item = &'a str> + use<'a> {
        let (text, mut from) = (self.text, self.from);
        self.ends.iter().map(move |&end| {
            let cell = &text[from..end];
            from = end;
            cell
        })
    }
}
