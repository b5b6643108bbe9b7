//! Files read and written with care: strangers' files are bounded, results are whole or not there.
//!
//! Everything that is read from a path comes through [`text`], [`open()`] or [`text_from`]: plain
//! files only, up to a stated size. Everything that is written goes through [`Batch`] or
//! [`write_whole`]: under a temporary name until it is complete, and gone without a trace when the
//! program is interrupted and calls [`discard_unfinished`].

mod pending;
mod read;
mod rows;
mod write;

pub use pending::discard_unfinished;
pub use read::{LAYOUT_BYTES, LINE_BYTES, ReadError, TABLE_BYTES, open, text, text_from};
pub use rows::{RowFault, Rows, guarded, unguarded, with_decimal_point};
pub use write::{Batch, FileError, may_write, write_streamed, write_whole};
