//! `thincut batch --format parquet` holds what `--format csv` says.

use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;

/// More than one group of rows; bad cells, a bad row, a cell of another alphabet.
const ROWS: usize = 20_000;

fn table() -> String {
    let mut table = String::from("status,cut,apart,to-pocket,gear,level\n");
    for n in 0..ROWS {
        match n {
            17 => table.push_str("bad,30,4ft,3ft,,\n"),
            18 => table.push_str("short,30deg\n"),
            19 => table.push_str("long,30deg,4ft,3ft,pool-7ft,club,more\n"),
            20 => table.push_str("\"日, \"\"½\"\"\",30deg,4ft,3ft,pool-7ft,club\n"),
            n => {
                // A player now and then: a chance over all speeds takes many times as long as the rest.
                let level = if n % 50 == 0 { "club" } else { "" };
                let (cut, apart) = (n % 80, 400 + n % 50);
                table.push_str(&format!("{n},{cut}deg,{apart}mm,900mm,,{level}\n"));
            }
        }
    }
    table
}

fn batch(format: &str, input: &Path, output: &Path) -> Option<i32> {
    Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["batch", "--format", format])
        .arg(input)
        .stdout(File::create(output).expect("a file"))
        .stderr(Stdio::null())
        .status()
        .expect("it runs")
        .code()
}

/// As CSV writes it; null as nothing.
fn text(field: &Field) -> String {
    match field {
        Field::Null => String::new(),
        Field::Str(text) => text.clone(),
        Field::Double(number) => number.to_string(),
        other => panic!("neither text nor number: {other}"),
    }
}

#[test]
fn parquet_reads_back_as_csv() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    File::create(at("shots.csv"))
        .and_then(|mut f| f.write_all(table().as_bytes()))
        .expect("written");
    for (format, file) in [("csv", "a.csv"), ("parquet", "a.parquet")] {
        assert_eq!(
            batch(format, &at("shots.csv"), &at(file)),
            Some(1),
            "{format}"
        );
    }
    let mut csv = csv::ReaderBuilder::new()
        .flexible(true)
        .from_path(at("a.csv"))
        .expect("CSV");
    let names: Vec<String> = csv
        .headers()
        .expect("names")
        .iter()
        .map(str::to_owned)
        .collect();
    // The input has a column called status and one called gear.
    for taken in ["answer_status", "answer_gear"] {
        assert!(names.iter().any(|n| n == taken), "{names:?}");
    }
    let file = File::open(at("a.parquet")).expect("Parquet");
    let reader = SerializedFileReader::new(file).expect("Parquet");
    assert_eq!(reader.metadata().num_row_groups(), 2);
    let mut numbers = 0;
    let mut count = 0;
    for (record, row) in csv.records().zip(reader.get_row_iter(None).expect("rows")) {
        let (record, row) = (record.expect("a record"), row.expect("a row"));
        let columns: Vec<(&String, &Field)> = row.get_column_iter().collect();
        assert!(
            columns.iter().map(|(n, _)| *n).eq(&names),
            "the same columns"
        );
        numbers += columns
            .iter()
            .filter(|(_, f)| matches!(f, Field::Double(_)))
            .count();
        if count != 18 && count != 19 {
            let cells: Vec<String> = columns.iter().map(|(_, f)| text(f)).collect();
            assert!(
                record.iter().eq(&cells),
                "row {count}: {record:?} {cells:?}"
            );
        }
        count += 1;
    }
    assert_eq!(count, ROWS);
    assert!(numbers > 50 * (ROWS - 3), "numbers are numbers: {numbers}");
    let mut rows = reader.get_row_iter(None).expect("rows").skip(18);
    for cells in [2, 7] {
        let row = rows.next().expect("there").expect("a row");
        let status = row
            .get_column_iter()
            .find(|(n, _)| *n == "answer_status")
            .map(|(_, f)| text(f));
        assert_eq!(
            status,
            Some(format!("error: {cells} cells under 6 columns"))
        );
    }
}

#[test]
fn no_rows_are_a_table_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("none.csv"), "cut,apart,to-pocket\n").expect("written");
    assert_eq!(batch("parquet", &at("none.csv"), &at("a.parquet")), Some(0));
    let reader = SerializedFileReader::new(File::open(at("a.parquet")).expect("a file"));
    let reader = reader.expect("Parquet");
    assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
    let schema = reader.metadata().file_metadata().schema_descr();
    assert_eq!(schema.column(3).name(), "status");
    assert!(schema.num_columns() > 70);
}
