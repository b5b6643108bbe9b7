//! How long recording and reading take. The log lies in the system's temporary folder: the figures
//! are those of its disk.

use divan::Bencher;
use tempfile::TempDir;
use thincut::log::{
    Attempt, EntryKind, Filter, Log, NewEntry, ShotEntered, Student, When, solve_entered,
};

fn main() {
    divan::main();
}

fn when() -> When {
    "2025-11-25".parse().expect("a date")
}

fn entry(rows: u32) -> NewEntry {
    let mut shot = ShotEntered {
        gear: "pool-9ft".to_owned(),
        ..ShotEntered::default()
    };
    shot.request.places.cut = Some("half-ball".to_owned());
    shot.request.places.apart = Some("4ft".to_owned());
    shot.request.places.to_pocket = Some("3ft".to_owned());
    let solved = solve_entered(&shot).expect("a shot");
    let row = |k| Attempt {
        id: None,
        student: "K".to_owned(),
        when: when(),
        session: None,
        sheet: None,
        rung: None,
        shot: shot.clone(),
        cut: solved.cut,
        tries: 10,
        made: 6,
        misses: None,
        windows: solved.windows.clone(),
        note: Some(format!("row {k}")),
    };
    NewEntry {
        kind: EntryKind::Add,
        recorded: when(),
        attempts: (0..rows).map(row).collect(),
    }
}

fn log_with(rows: u32) -> (TempDir, Log) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut log = Log::open(&folder.path().join("practice.sqlite")).expect("a log");
    log.set_student(&Student::named("K"), &when())
        .expect("a student");
    if rows > 0 {
        log.add(&entry(rows)).expect("recorded");
    }
    (folder, log)
}

/// One entry of one row, on the disk when it returns, in a log that holds so many already.
#[divan::bench(args = [0, 10_000], sample_count = 50, sample_size = 1)]
fn record_one(bencher: Bencher<'_, '_>, rows: u32) {
    let (_folder, mut log) = log_with(rows);
    let one = |k: &mut u32| {
        *k += 1;
        let mut e = entry(1);
        e.attempts[0].note = Some(format!("new {k}"));
        e
    };
    let mut k = 0;
    bencher
        .with_inputs(|| one(&mut k))
        .bench_local_values(|e| log.add(&e));
}

/// Opening a log costs the same however long it is.
#[divan::bench(args = [0, 10_000], sample_count = 10, sample_size = 1)]
fn open(bencher: Bencher<'_, '_>, rows: u32) {
    let (_folder, log) = log_with(rows);
    let path = log.path().to_owned();
    bencher.bench_local(|| Log::open_existing(&path));
}

/// Reading every row, checksums verified.
#[divan::bench(args = [10_000], sample_count = 10, sample_size = 1)]
fn read_all(bencher: Bencher<'_, '_>, rows: u32) {
    let (_folder, log) = log_with(rows);
    bencher.bench_local(|| log.attempts(&Filter::default()));
}

/// A file of so many rows into an empty log.
#[divan::bench(args = [10_000], sample_count = 5, sample_size = 1)]
fn import(bencher: Bencher<'_, '_>, rows: u32) {
    let (_folder, log) = log_with(rows);
    let mut file = Vec::new();
    log.export_csv(&Filter::default(), &mut file)
        .expect("written");
    bencher
        .with_inputs(|| {
            let folder = tempfile::tempdir().expect("a folder");
            let log = Log::open(&folder.path().join("practice.sqlite")).expect("a log");
            (folder, log)
        })
        .bench_local_values(|(folder, mut log)| {
            log.import_csv(&file, &when(), None).expect("imported");
            (folder, log)
        });
}

/// How the log grows: one entry more, everything exported, and what a fit counts, at each number of
/// rows. A million: `THINCUT_ROWS=1000000 cargo bench --bench log growth`.
mod growth {
    use super::{Bencher, Filter, entry, log_with};

    /// Row counts, given as `THINCUT_ROWS=1000,100000`.
    fn rows() -> Vec<u32> {
        let given = std::env::var("THINCUT_ROWS").unwrap_or_else(|_| "1000,10000".to_owned());
        let count = |text: &str| text.trim().parse().expect("THINCUT_ROWS: whole numbers");
        given.split(',').map(count).collect()
    }

    #[divan::bench(args = rows(), sample_count = 20, sample_size = 1)]
    fn add(bencher: Bencher<'_, '_>, rows: u32) {
        let (_folder, mut log) = log_with(rows);
        let mut k = 0_u32;
        bencher
            .with_inputs(|| {
                k += 1;
                let mut one = entry(1);
                one.attempts[0].note = Some(format!("new {k}"));
                one
            })
            .bench_local_values(|one| log.add(&one));
    }

    #[divan::bench(args = rows(), sample_count = 3, sample_size = 1)]
    fn export(bencher: Bencher<'_, '_>, rows: u32) {
        let (_folder, log) = log_with(rows);
        bencher.bench_local(|| log.export_csv(&Filter::default(), &mut std::io::sink()));
    }

    #[divan::bench(args = rows(), sample_count = 3, sample_size = 1)]
    fn practice(bencher: Bencher<'_, '_>, rows: u32) {
        let (_folder, log) = log_with(rows);
        bencher.bench_local(|| log.practice("K", None));
    }
}
