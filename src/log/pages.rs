//! Records out of the pages of an SQLite file, without its directories: what a salvage reads when
//! the file can no longer be walked from its root.
//!
//! Every leaf of a table holds whole records, so a record is found wherever its page lies, however
//! broken the pages that lead there are. What was deleted is left alone: the pages of the file's
//! list of free ones, and room inside a page that its index of records does not name.
//!
//! Reference: SQLite, Database File Format, 1.5 to 2.1 (sqlite.org).

use std::collections::HashSet;

/// First byte of a leaf of a table.
const TABLE_LEAF: u8 = 0x0d;
/// First byte of a leaf of an index, whose records have no number of their own.
const INDEX_LEAF: u8 = 0x0a;
/// Bytes of the file's own header, at the start of the first page.
pub(super) const HEADER: usize = 100;

/// A value of a record.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Null,
    Whole(i64),
    Real(f64),
    Text(String),
    Blob,
}

/// A record.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Record {
    /// Its number in its table; none in an index.
    pub(super) number: Option<i64>,
    pub(super) cells: Vec<Cell>,
}

/// The pages of a file.
#[derive(Debug)]
pub(super) struct Pages<'a> {
    bytes: &'a [u8],
    size: usize,
}

/// Big-endian number of up to eight bytes.
fn number(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0, |sum, b| (sum << 8) | u64::from(*b))
}

fn index(bytes: Option<&[u8]>) -> Option<usize> {
    usize::try_from(number(bytes?)).ok()
}

/// A number of one to nine bytes, seven bits in each but the ninth, and what follows it.
fn varint(bytes: &[u8]) -> Option<(u64, &[u8])> {
    let mut sum = 0;
    for (k, byte) in bytes.iter().take(9).enumerate() {
        if k == 8 {
            return Some(((sum << 8) | u64::from(*byte), &bytes[9..]));
        }
        sum = (sum << 7) | u64::from(byte & 0x7f);
        if byte & 0x80 == 0 {
            return Some((sum, &bytes[k + 1..]));
        }
    }
    None
}

impl<'a> Pages<'a> {
    pub(super) fn new(bytes: &'a [u8], size: usize) -> Self {
        Self { bytes, size }
    }

    fn count(&self) -> usize {
        self.bytes.len() / self.size
    }

    /// A page by its number, from 1.
    fn page(&self, page: usize) -> Option<&'a [u8]> {
        let from = page.checked_sub(1)?.checked_mul(self.size)?;
        self.bytes.get(from..from.checked_add(self.size)?)
    }

    /// Pages on the list of free ones, as far as it can be followed.
    fn free(&self) -> HashSet<usize> {
        let mut free = HashSet::new();
        let mut trunk = index(self.bytes.get(32..36)).unwrap_or(0);
        while let Some(page) = self.page(trunk) {
            if !free.insert(trunk) {
                break;
            }
            let leaves = index(page.get(4..8)).unwrap_or(0);
            // 8 bytes at the start of a trunk, then four for each leaf.
            let leaves = page[8..].chunks_exact(4).take(leaves);
            free.extend(leaves.filter_map(|leaf| index(Some(leaf))));
            trunk = index(page.get(..4)).unwrap_or(0);
        }
        free
    }

    /// All records of all tables and indexes that can be read, in the order of their pages.
    pub(super) fn records(&self) -> impl Iterator<Item = Record> + '_ {
        let free = self.free();
        (1..=self.count())
            .filter(move |k| !free.contains(k))
            .flat_map(|k| self.leaf(k))
    }

    fn leaf(&self, at: usize) -> Vec<Record> {
        let Some(page) = self.page(at) else {
            return Vec::new();
        };
        let start = if at == 1 { HEADER } else { 0 };
        let in_table = match page[start] {
            TABLE_LEAF => true,
            INDEX_LEAF => false,
            _ => return Vec::new(),
        };
        let count = index(page.get(start + 3..start + 5)).unwrap_or(0);
        let places = page[start + 8..].chunks_exact(2).take(count);
        places
            .filter_map(|place| self.record(page.get(index(Some(place))?..)?, in_table))
            .collect()
    }

    fn record(&self, cell: &[u8], in_table: bool) -> Option<Record> {
        let (length, mut rest) = varint(cell)?;
        let length = usize::try_from(length).ok()?;
        let mut number = None;
        if in_table {
            let (row, more) = varint(rest)?;
            number = Some(row.cast_signed());
            rest = more;
        }
        let payload = self.payload(length, rest, in_table)?;
        Some(Record {
            number,
            cells: cells(&payload)?,
        })
    }

    /// A record's bytes: all in its leaf, or the rest in a chain of other pages.
    fn payload(&self, length: usize, rest: &[u8], in_table: bool) -> Option<Vec<u8>> {
        if length > self.bytes.len() {
            return None;
        }
        // Of a page of U bytes a leaf keeps of a record at most U − 35 in a table and
        // (U − 12)·64/255 − 23 in an index, and at least (U − 12)·32/255 − 23.
        let most = if in_table {
            self.size - 35
        } else {
            (self.size - 12) * 64 / 255 - 23
        };
        if length <= most {
            return rest.get(..length).map(<[u8]>::to_vec);
        }
        let least = (self.size - 12) * 32 / 255 - 23;
        let fitting = least + (length - least) % (self.size - 4);
        let here = if fitting <= most { fitting } else { least };
        let mut payload = rest.get(..here)?.to_vec();
        let mut next = index(rest.get(here..here + 4))?;
        while payload.len() < length {
            let page = self.page(next)?;
            let more = (length - payload.len()).min(self.size - 4);
            payload.extend_from_slice(&page[4..4 + more]);
            next = index(page.get(..4))?;
        }
        Some(payload)
    }
}

/// The values of a record: a header with their types, then the values.
fn cells(payload: &[u8]) -> Option<Vec<Cell>> {
    let (header, rest) = varint(payload)?;
    let header = usize::try_from(header).ok()?;
    let mut types = payload.get(payload.len() - rest.len()..header)?;
    let mut body = payload.get(header..)?;
    let mut cells = Vec::new();
    while !types.is_empty() {
        let (kind, more) = varint(types)?;
        types = more;
        let length = match kind {
            0 | 8 | 9 => 0,
            1..=4 => kind,
            5 => 6,
            6 | 7 => 8,
            10 | 11 => return None,
            _ => (kind - 12) / 2,
        };
        let length = usize::try_from(length).ok()?;
        let bytes = body.get(..length)?;
        body = &body[length..];
        cells.push(match kind {
            0 => Cell::Null,
            8 => Cell::Whole(0),
            9 => Cell::Whole(1),
            1..=6 => {
                let unused = 64 - 8 * u32::try_from(length).ok()?;
                // Two's complement of so many bytes.
                Cell::Whole((number(bytes) << unused).cast_signed() >> unused)
            }
            7 => Cell::Real(f64::from_bits(number(bytes))),
            text if text % 2 == 1 => Cell::Text(String::from_utf8(bytes.to_vec()).ok()?),
            _ => Cell::Blob,
        });
    }
    Some(cells)
}
