//! Answers as Parquet: the columns of CSV, numbers as doubles, text as UTF-8, absent as null.
//!
//! Rows wait until a group of them is full, so memory stays flat however many there are. A row
//! with more cells than columns keeps those that have one; its status says so.
//!
//! Reference: Apache Parquet file format, github.com/apache/parquet-format.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::Type;
use thincut::batch::Outcome;
use thincut::columns::{Cell, Columns};

use super::write::Answers;
use crate::fault::Fault;

/// Rows in a group: some 15 MB of answers (assumption: readers want large groups, workers have
/// little memory).
const ROWS_IN_A_GROUP: u64 = 16_384;

/// Values of one column that wait for their group; `present` has 1 for a value, 0 for null.
#[derive(Debug)]
pub(super) struct Column {
    values: Values,
    present: Vec<i16>,
}

#[derive(Debug)]
enum Values {
    Text(Vec<ByteArray>),
    Number(Vec<f64>),
}

impl Column {
    pub(super) fn new(is_number: bool) -> Self {
        let values = if is_number {
            Values::Number(Vec::new())
        } else {
            Values::Text(Vec::new())
        };
        Self {
            values,
            present: Vec::new(),
        }
    }

    fn schema(&self, name: &str) -> Result<Type, ParquetError> {
        let physical = match self.values {
            Values::Text(_) => Physical::BYTE_ARRAY,
            Values::Number(_) => Physical::DOUBLE,
        };
        let logical = matches!(self.values, Values::Text(_)).then_some(LogicalType::String);
        Type::primitive_type_builder(name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical)
            .build()
    }

    fn push_text(&mut self, text: Option<&str>) {
        self.present.push(text.is_some().into());
        if let (Values::Text(values), Some(text)) = (&mut self.values, text) {
            values.push(text.into());
        }
    }

    fn push(&mut self, cell: Cell<'_>) {
        match cell {
            Cell::Number(number) => {
                self.present.push(1);
                if let Values::Number(values) = &mut self.values {
                    values.push(number);
                }
            }
            Cell::Text(text) => self.push_text(Some(text)),
            Cell::Absent => self.present.push(0),
        }
    }

    /// Puts the values of another behind its own.
    fn append(&mut self, mut more: Self) {
        self.present.append(&mut more.present);
        match (&mut self.values, &mut more.values) {
            (Values::Text(mine), Values::Text(more)) => mine.append(more),
            (Values::Number(mine), Values::Number(more)) => mine.append(more),
            _ => {}
        }
    }

    fn write(&mut self, group: &mut SerializedRowGroupWriter<'_, Vec<u8>>) -> Result<(), Fault> {
        let mut column = group
            .next_column()?
            .ok_or_else(|| Fault::running("writing Parquet: a column too many"))?;
        let present = Some(self.present.as_slice());
        match &mut self.values {
            Values::Text(values) => {
                column
                    .typed::<ByteArrayType>()
                    .write_batch(values, present, None)?;
                values.clear();
            }
            Values::Number(values) => {
                column
                    .typed::<DoubleType>()
                    .write_batch(values, present, None)?;
                values.clear();
            }
        }
        self.present.clear();
        Ok(column.close()?)
    }
}

/// Puts what became of a row into the columns, of which the first `inputs` came in.
pub(super) fn push(
    columns: &mut [Column],
    inputs: usize,
    outcome: &Outcome<'_>,
    answers: &Columns,
) {
    let (came, rest) = columns.split_at_mut(inputs);
    let mut cells = outcome.row.cells();
    for column in came {
        column.push_text(cells.next());
    }
    if let Some((status, rest)) = rest.split_first_mut() {
        status.push_text(Some(&outcome.status()));
        let mut columns = rest.iter_mut();
        match &outcome.answer {
            Ok(answer) => answers.cells(answer, |cell| {
                if let Some(column) = columns.next() {
                    column.push(cell);
                }
            }),
            Err(_) => columns.for_each(|column| column.push(Cell::Absent)),
        }
    }
}

/// Writes answers in groups of rows.
pub(super) struct Parquet<'a> {
    out: &'a mut dyn Write,
    /// Into memory, emptied after each group.
    writer: SerializedFileWriter<Vec<u8>>,
    /// The input columns, status, the answer's columns.
    columns: Vec<Column>,
    rows: u64,
}

impl<'a> Parquet<'a> {
    pub(super) fn new(answers: &Answers, out: &'a mut dyn Write) -> Result<Self, Fault> {
        let (columns, names) = (answers.empty_columns(), answers.names());
        let fields = names
            .zip(&columns)
            .map(|(name, column)| column.schema(&name).map(Arc::new))
            .collect::<Result<Vec<_>, _>>()?;
        let schema = Type::group_type_builder("shots")
            .with_fields(fields)
            .build()?;
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_created_by(concat!("thincut ", env!("CARGO_PKG_VERSION")).to_owned())
            .build();
        let writer = SerializedFileWriter::new(Vec::new(), Arc::new(schema), Arc::new(properties))?;
        Ok(Self {
            out,
            writer,
            columns,
            rows: 0,
        })
    }

    pub(super) fn write(&mut self, part: Vec<Column>, rows: u64) -> Result<(), Fault> {
        for (column, more) in self.columns.iter_mut().zip(part) {
            column.append(more);
        }
        self.rows += rows;
        if self.rows >= ROWS_IN_A_GROUP {
            self.write_group()?;
        }
        Ok(())
    }

    fn write_group(&mut self) -> Result<(), Fault> {
        let mut group = self.writer.next_row_group()?;
        for column in &mut self.columns {
            column.write(&mut group)?;
        }
        group.close()?;
        self.rows = 0;
        // The writer counts bytes itself, so what is written may leave memory.
        self.out.write_all(self.writer.inner())?;
        self.writer.inner_mut().clear();
        Ok(())
    }

    /// The last group and the end of the file.
    pub(super) fn finish(mut self) -> Result<(), Fault> {
        if self.rows > 0 {
            self.write_group()?;
        }
        let rest = self.writer.into_inner()?;
        self.out.write_all(&rest)?;
        Ok(self.out.flush()?)
    }
}

impl From<ParquetError> for Fault {
    fn from(error: ParquetError) -> Self {
        Self::running(format!("writing Parquet: {error}"))
    }
}
