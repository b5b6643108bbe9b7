//! Tables of cells, read row by row with bounded memory, whichever spreadsheet saved them.

use std::borrow::Cow;
use std::io::{self, Cursor, Read};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use csv::ByteRecord;

use super::read::LINE_BYTES;

/// Rows of a table in CSV. Cells may be parted by commas, semicolons or tabs, as the first line shows,
/// and a byte-order mark is skipped.
#[derive(Debug)]
pub struct Rows<R: Read> {
    reader: csv::Reader<Bounded<R>>,
    since_row: Arc<AtomicUsize>,
    delimiter: u8,
}

/// A table that cannot be read on.
#[derive(Debug)]
pub struct RowFault {
    /// The line in the file, from 1.
    pub line: u64,
    /// What is wrong, and what would do.
    pub problem: String,
}

impl<R: Read> Rows<R> {
    /// Looks at the first line; with `comments`, lines that start with # are left out.
    ///
    /// # Errors
    /// From reading.
    pub fn new(mut input: R, comments: bool) -> io::Result<Self> {
        let mut head = Vec::new();
        let mut chunk = [0; CHUNK];
        let line = loop {
            match first_line(&head, comments) {
                Some(line) => break line.to_vec(),
                None if head.len() > LINE_BYTES => break Vec::new(),
                None => {}
            }
            match input.read(&mut chunk) {
                Ok(0) => break last_line(&head, comments).to_vec(),
                Ok(n) => head.extend_from_slice(&chunk[..n]),
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e),
            }
        };
        let delimiter = delimiter(&line);
        if head.starts_with(MARK) {
            head.drain(..MARK.len());
        }
        let since_row = Arc::new(AtomicUsize::new(0));
        let bounded = Bounded {
            input: Cursor::new(head).chain(input),
            since_row: Arc::clone(&since_row),
        };
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .comment(comments.then_some(b'#'))
            .from_reader(bounded);
        Ok(Self {
            reader,
            since_row,
            delimiter,
        })
    }

    /// Whether numbers may have a comma for the decimal point, since no comma parts the cells.
    #[must_use]
    pub fn has_decimal_commas(&self) -> bool {
        self.delimiter != b','
    }

    /// Reads the next row into `row`; `false` after the last.
    ///
    /// # Errors
    /// [`RowFault`]: a row longer than [`LINE_BYTES`], or a fault of the system.
    pub fn read(&mut self, row: &mut ByteRecord) -> Result<bool, RowFault> {
        let line = self.reader.position().line();
        let read = self.reader.read_byte_record(row);
        let too_long = self.since_row.swap(0, Ordering::Relaxed) > MOST_BETWEEN;
        let mb = LINE_BYTES / 1_000_000;
        read.map_err(|e| RowFault {
            line,
            problem: if too_long {
                format!(
                    "the row is longer than {mb} MB: at most that much of one is read; a quotation mark that is not closed makes rows run together"
                )
            } else {
                e.to_string()
            },
        })
    }
}

/// Bytes read at a time while looking for the first line.
const CHUNK: usize = 8192;
/// The reader takes this much at a time, so that many bytes of the next rows may be read with a row.
const AHEAD: usize = 8192;
const MOST_BETWEEN: usize = LINE_BYTES + AHEAD;
/// Byte-order mark: spreadsheets put it before the first cell.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// The input, which fails instead of handing on one row without end.
#[derive(Debug)]
struct Bounded<R> {
    input: io::Chain<Cursor<Vec<u8>>, R>,
    /// Bytes read since a row was complete.
    since_row: Arc<AtomicUsize>,
}

impl<R: Read> Read for Bounded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.since_row.load(Ordering::Relaxed) > MOST_BETWEEN {
            return Err(io::Error::other("a row without end"));
        }
        let read = self.input.read(buffer)?;
        self.since_row.fetch_add(read, Ordering::Relaxed);
        Ok(read)
    }
}

/// The first line that is neither empty nor a comment, once its end is there.
fn first_line(head: &[u8], comments: bool) -> Option<&[u8]> {
    let mut rest = head.strip_prefix(MARK).unwrap_or(head);
    while let Some(end) = rest.iter().position(|b| *b == b'\n') {
        let line = rest[..end].trim_ascii();
        let comment = comments && line.starts_with(b"#");
        if !line.is_empty() && !comment {
            return Some(line);
        }
        rest = &rest[end + 1..];
    }
    None
}

/// The same where the file ends without a line end.
fn last_line(head: &[u8], comments: bool) -> &[u8] {
    let line = head.rsplit(|b| *b == b'\n').next().unwrap_or_default();
    let line = line.strip_prefix(MARK).unwrap_or(line);
    if comments && line.starts_with(b"#") {
        b""
    } else {
        line
    }
}

/// What parts the cells of a line outside quotes: a comma wherever there is one.
fn delimiter(line: &[u8]) -> u8 {
    let mut within = false;
    let mut found = b',';
    for &byte in line {
        match byte {
            b'"' => within = !within,
            b',' if !within => return b',',
            b';' | b'\t' if !within && found == b',' => found = byte,
            _ => {}
        }
    }
    found
}

/// A cell of one number, `2,5ft`, with a point for its decimal comma.
#[must_use]
pub fn with_decimal_point(cell: &str) -> Cow<'_, str> {
    let mut parts = cell.split(',');
    match (parts.next(), parts.next(), parts.next()) {
        (Some(before), Some(after), None)
            if before.ends_with(|c: char| c.is_ascii_digit())
                && after.starts_with(|c: char| c.is_ascii_digit())
                && !cell.contains('.') =>
        {
            Cow::Owned(format!("{before}.{after}"))
        }
        _ => Cow::Borrowed(cell),
    }
}

/// Whether a spreadsheet would take a cell that begins like this for a formula, or hide that it does.
fn is_formula(cell: &str) -> bool {
    cell.starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// A text cell for a file that a spreadsheet may open: what it would run as a formula gets an
/// apostrophe before it, numbers stay numbers. [`unguarded`] takes it away again.
#[must_use]
pub fn guarded(cell: &str) -> Cow<'_, str> {
    let is_number = cell.starts_with(['+', '-']) && cell.parse::<f64>().is_ok_and(f64::is_finite);
    // Apostrophes before such a beginning get one more, so that taking one away is always right.
    if is_formula(cell.trim_start_matches('\'')) && !is_number {
        Cow::Owned(format!("'{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// A cell as it was before [`guarded`].
#[must_use]
pub fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if is_formula(rest.trim_start_matches('\'')) => rest,
        _ => cell,
    }
}
