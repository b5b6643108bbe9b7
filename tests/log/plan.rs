//! How the database reads a long log.

use thincut::inside::log::{connection, counting};
use thincut::log::{Filter, Log};

use crate::{folder, new_log, when};

fn plan(log: &Log, sql: &str, values: usize) -> String {
    let mut query = connection(log)
        .prepare(&format!("EXPLAIN QUERY PLAN {sql}"))
        .unwrap();
    let values = vec![rusqlite::types::Value::Integer(1); values];
    query
        .query_map(rusqlite::params_from_iter(values), |row| {
            row.get::<_, String>(3)
        })
        .unwrap()
        .collect::<rusqlite::Result<Vec<_>>>()
        .unwrap()
        .join("; ")
}

/// Neither the rows themselves nor a sort of them: what makes a long log cost what its index does.
#[test]
fn long_logs_are_read_in_the_order_of_an_index() {
    let folder = folder();
    let log = new_log(&folder);
    let filter = Filter {
        student: Some("A".to_owned()),
        since: Some(when("2025-11-25")),
        ..Filter::default()
    };
    let (query, values) = counting(&log, &filter).unwrap();
    let counting = plan(&log, &query, values.len());
    assert!(
        counting.contains("USING COVERING INDEX attempt_counts") && !counting.contains("SORT"),
        "{counting}"
    );
    assert!(!counting.contains("TEMP B-TREE"), "{counting}");
    let rows = "SELECT number FROM attempt CROSS JOIN student ON student.id = student_id WHERE";
    for condition in ["1", "1 AND attempt.student_id = ?1"] {
        let values = usize::from(condition != "1");
        let listing = plan(&log, &format!("{rows} {condition} ORDER BY number"), values);
        assert!(!listing.contains("TEMP B-TREE"), "{condition}: {listing}");
    }
}
