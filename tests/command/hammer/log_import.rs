//! Imports into a practice log: all of a file or nothing, what went in comes out and is known the
//! second time, and undo takes it back.

use std::cell::RefCell;

use tempfile::TempDir;
use thincut::log::{Filter, Log, When, solve_entered};

thread_local! {
    static LOG: RefCell<(TempDir, Log)> = RefCell::new(new_log());
}

fn new_log() -> (TempDir, Log) {
    let folder = tempfile::tempdir().expect("a folder");
    let log = Log::open(&folder.path().join("practice.sqlite")).expect("a new log");
    (folder, log)
}

fn export(log: &Log) -> Vec<u8> {
    let mut out = Vec::new();
    log.export_csv(&Filter::default(), &mut out)
        .expect("it is exported");
    out
}

/// One input.
pub(crate) fn check(file: &[u8]) {
    let now: When = "2025-11-25T19:30:00Z".parse().expect("a time");
    LOG.with_borrow_mut(|(_, log)| {
        let solve = |entered: &_| solve_entered(entered).map_err(|e| e.to_string());
        match log.import_csv(file, &now, Some(&solve)) {
            Err(error) => assert!(!error.to_string().is_empty()),
            Ok(done) => {
                let out = export(log);
                let again = log.import_csv(&out, &now, None).expect("its own export");
                assert!(again.added == 0 && again.entry.is_none(), "{again:?}");
                assert_eq!(again.known, done.added);
                if done.entry.is_some() {
                    log.undo().expect("undone").expect("there was an entry");
                }
            }
        }
        assert!(
            log.attempts(&Filter::default())
                .expect("readable")
                .is_empty()
        );
        assert!(log.students().expect("readable").is_empty());
    });
}
