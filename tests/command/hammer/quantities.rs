//! Everything people type as one value: read or refused with words, finite, and the same again
//! when written and read back.

use std::fmt::Display;
use std::str::FromStr;

use thincut::error::UnitError;
use thincut::field::Field;
use thincut::log::{When, read_tally};
use thincut::request::{angles, cuts, lengths, pace_m_s, stroke_lengths};
use thincut::units::{Angle, Length, Mass, Position, Speed, parse_cut, parse_number};

fn reads_back<T>(text: &str)
where
    T: FromStr<Err = UnitError> + Display + PartialEq + Copy + std::fmt::Debug,
{
    match text.parse::<T>() {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(value) => {
            let written = value.to_string();
            assert!(
                !written.contains("NaN") && !written.contains("inf"),
                "{written}"
            );
            assert_eq!(written.parse::<T>().ok(), Some(value), "{written}");
        }
    }
}

/// One input.
pub(crate) fn check(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else {
        return;
    };
    reads_back::<Length>(text);
    reads_back::<Angle>(text);
    reads_back::<Speed>(text);
    reads_back::<Mass>(text);
    reads_back::<Position>(text);
    for value in [
        parse_number(text).ok(),
        parse_cut(text).ok().map(Angle::rad),
        pace_m_s(Field::Pace, text).ok(),
        stroke_lengths(Field::Stroke, text).ok(),
    ] {
        assert!(value.is_none_or(f64::is_finite), "{value:?}");
    }
    if let Ok(position) = text.parse::<Position>()
        && let Ok(point) = position.resolve(2.54, 1.27, 0.0275)
    {
        assert!((0.0..=2.54).contains(&point.x) && (0.0..=1.27).contains(&point.y));
    }
    // A range of a million values is allowed and slow.
    if !text.contains("..") {
        let _ = (
            angles(Field::Cuts, text),
            cuts(Field::Cuts, text),
            lengths(Field::Apart, text),
        );
    }
    if let Ok(when) = text.parse::<When>() {
        assert_eq!(when.day().len(), 10);
    }
    let _ = read_tally(text, &["A", "B"]);
}
