//! Which phone counted which try, so that a phone takes back its own and no other.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use axum::http::StatusCode;

use super::fault::ApiFault;
use crate::log::When;

/// A phone takes back its tries for so long, µs: ten minutes (assumption: a wrong touch is seen
/// within a turn or two; what is older is the evening's record).
const TAKE_BACK_US: i64 = 600_000_000;
/// Lengths of a phone's secret: 22 characters carry 128 bits.
const SECRET: std::ops::RangeInclusive<usize> = 22..=64;

/// The tries counted by phones in the last ten minutes. Kept in memory: after a restart only the
/// coach takes back.
#[derive(Debug, Default)]
pub(super) struct Taps(Mutex<HashMap<i64, Tapped>>);

#[derive(Debug)]
struct Tapped {
    phone: String,
    at_us: i64,
}

/// A phone's secret, checked.
pub(super) fn secret(phone: Option<&str>) -> Result<&str, ApiFault> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    phone
        .filter(|p| SECRET.contains(&p.len()) && p.chars().all(plain))
        .ok_or_else(|| {
            ApiFault::value(
                "phone: give 22 to 64 letters and digits that are this phone's own; it takes back its own tries by them",
            )
        })
}

impl Taps {
    /// Remembers who counted an entry; one that is remembered stays its phone's.
    pub(super) fn counted(&self, entry: i64, phone: &str, now: &When) {
        let at_us = now.instant_us().unwrap_or_default();
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|_, tapped| at_us - tapped.at_us <= TAKE_BACK_US);
        all.entry(entry).or_insert_with(|| Tapped {
            phone: phone.to_owned(),
            at_us,
        });
    }

    /// Refuses whatever this phone did not count itself in the last ten minutes.
    pub(super) fn own(&self, entry: i64, phone: &str, now: &When) -> Result<(), ApiFault> {
        let now_us = now.instant_us().unwrap_or_default();
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let own = all
            .get(&entry)
            .is_some_and(|t| t.phone == phone && now_us - t.at_us <= TAKE_BACK_US);
        if own {
            return Ok(());
        }
        Err(ApiFault::new(
            StatusCode::FORBIDDEN,
            format!(
                "entry {entry} is no try that this phone counted in the last ten minutes; the coach's link takes back others"
            ),
        ))
    }
}
