//! A disk without room.

use thincut::inside::log::connection;
use thincut::log::{Attempt, Filter, Log, LogError};

use crate::{attempt, entry, folder, new_log};

/// A limit on pages gives the same answer (SQLITE_FULL) as a disk without room.
#[test]
fn a_full_disk_loses_only_the_entry_that_did_not_fit() {
    let folder = folder();
    let mut log = new_log(&folder);
    let limit = |log: &Log, more: i64| {
        let pages: i64 = connection(log)
            .pragma_query_value(None, "page_count", |r| r.get(0))
            .unwrap();
        connection(log)
            .pragma_update_and_check(None, "max_page_count", pages + more, |_| Ok(()))
            .unwrap();
    };
    limit(&log, 2);
    let long = || {
        let note = Some("n".repeat(400));
        entry(vec![Attempt {
            note,
            ..attempt("A", 10, 6)
        }])
    };
    let mut kept = 0;
    let fault = loop {
        match log.add(&long()) {
            Ok(_) => kept += 1,
            Err(fault) => break fault,
        }
    };
    assert!(matches!(fault, LogError::Full { .. }), "{fault}");
    assert!(fault.to_string().contains("is full"), "{fault}");
    assert!(!fault.is_bad_input());
    assert!(kept > 0);
    assert_eq!(log.attempts(&Filter::default()).unwrap().len(), kept);
    limit(&log, 1000);
    log.add(&long()).unwrap();
    assert_eq!(log.attempts(&Filter::default()).unwrap().len(), kept + 1);
}
