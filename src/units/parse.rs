//! Text to quantity and back.
//!
//! Guarantee: a text is read as one finite number of the SI unit, or refused; nothing is guessed.

use std::borrow::Cow;

use crate::error::UnitError;
use crate::shown::quoted;

/// One unit of a quantity; SI = value · `numerator` / `denominator`.
#[derive(Debug)]
pub(super) struct Unit {
    pub(super) names: &'static [&'static str],
    numerator: f64,
    denominator: f64,
}

impl Unit {
    pub(super) const fn new(
        names: &'static [&'static str],
        numerator: f64,
        denominator: f64,
    ) -> Self {
        Self {
            names,
            numerator,
            denominator,
        }
    }

    fn to_si(&self, value: f64) -> f64 {
        value * self.numerator / self.denominator
    }

    fn of_si(&self, si: f64) -> f64 {
        si * self.denominator / self.numerator
    }

    fn is_si(&self) -> bool {
        (self.numerator - self.denominator).abs() < f64::EPSILON
    }
}

/// What a text may be read as.
#[derive(Debug)]
pub(super) struct Quantity {
    /// With its article, for messages.
    pub(super) name: &'static str,
    /// Units to propose for a bare number.
    pub(super) hint: &'static [&'static str],
    /// A text that works.
    pub(super) example: &'static str,
    /// First name of each is the one written.
    pub(super) units: &'static [Unit],
}

impl Quantity {
    fn unit(&self, name: &str) -> Option<&Unit> {
        // Case is ignored except where it would be a different unit (none of ours).
        let known = |is_it: &dyn Fn(&str) -> bool| {
            let mut units = self.units.iter();
            units.find(|unit| unit.names.iter().any(|name| is_it(name)))
        };
        if name.is_ascii() {
            return known(&|unit| unit.eq_ignore_ascii_case(name));
        }
        let name = name.to_lowercase();
        known(&|unit| unit == name)
    }

    fn known(&self) -> String {
        let names: Vec<&str> = self
            .units
            .iter()
            .filter_map(|unit| unit.names.first().copied())
            .collect();
        names.join(", ")
    }

    fn not_one(&self, text: &str) -> UnitError {
        UnitError::NotAQuantity {
            value: quoted(text),
            quantity: self.name,
            example: self.example.to_owned(),
        }
    }
}

/// More decimals than this are never looked for before falling back to the SI unit, which is exact.
const MOST_DECIMALS: usize = 9;

/// Shortest text that [`quantity`] reads back as exactly `si`.
pub(super) fn exact_text(si: f64, of: &Quantity) -> String {
    let mut best: Option<String> = None;
    for unit in of.units {
        let Some(name) = unit.names.first() else {
            continue;
        };
        let value = unit.of_si(si);
        let text = (0..=MOST_DECIMALS)
            .map(|decimals| format!("{value:.decimals$}"))
            .find(|t| {
                t.parse::<f64>()
                    .is_ok_and(|v| unit.to_si(v).to_bits() == si.to_bits())
            })
            .or_else(|| unit.is_si().then(|| si.to_string()))
            .map(|number| format!("{number}{name}"));
        if let Some(text) = text
            && best
                .as_ref()
                .is_none_or(|b| text.chars().count() < b.chars().count())
        {
            best = Some(text);
        }
    }
    best.unwrap_or_else(|| si.to_string())
}

/// Reads `number unit`, or feet followed by inches.
///
/// # Errors
/// Every way a text can fail to be one finite quantity.
pub(super) fn quantity(text: &str, of: &Quantity) -> Result<f64, UnitError> {
    let plain = normalised(text);
    let (negative, body) = match plain.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, plain.strip_prefix('+').unwrap_or(&plain)),
    };
    let mut rest = body.trim_start();
    let mut terms: Vec<(f64, &Unit)> = Vec::new();
    while !rest.is_empty() {
        let Some((value, after)) = number(rest) else {
            return Err(if is_decimal_comma(text) {
                UnitError::DecimalComma {
                    value: quoted(text),
                }
            } else {
                of.not_one(text)
            });
        };
        let (name, after) = unit_name(after.trim_start());
        if name.is_empty() {
            return Err(bare_or_garbled(text, after, of));
        }
        let Some(unit) = of.unit(name) else {
            return Err(UnitError::UnknownUnit {
                value: quoted(text),
                unit: quoted(name),
                quantity: of.name,
                known: of.known(),
            });
        };
        terms.push((value, unit));
        rest = after.trim_start();
    }
    let feet_and_inches =
        |first: &Unit, second: &Unit| first.names.contains(&"ft") && second.names.contains(&"in");
    let sum = match terms.as_slice() {
        [(value, unit)] => unit.to_si(*value),
        // 12·feet + inches first, so that 4' 6" and 54in are the same number.
        [(feet, ft), (inches, inch)] if feet_and_inches(ft, inch) => {
            inch.to_si(feet * 12.0 + inches)
        }
        _ => return Err(of.not_one(text)),
    };
    if !sum.is_finite() {
        return Err(UnitError::NotFinite {
            value: quoted(text),
            quantity: of.name,
            example: of.example.to_owned(),
        });
    }
    Ok(if negative { -sum } else { sum })
}

fn bare_or_garbled(text: &str, after: &str, of: &Quantity) -> UnitError {
    if is_decimal_comma(text) {
        return UnitError::DecimalComma {
            value: quoted(text),
        };
    }
    if !after.is_empty() {
        return of.not_one(text);
    }
    let bare = quoted(text.trim());
    let choices: Vec<String> = of.hint.iter().map(|unit| format!("{bare}{unit}")).collect();
    UnitError::MissingUnit {
        value: quoted(text),
        quantity: of.name,
        example: choices.join(" or "),
    }
}

/// Reads a number without a unit: `0.85`, `1.4e-2`, `1/2`, `1½`.
///
/// # Errors
/// [`UnitError::NotANumber`], [`UnitError::DecimalComma`].
pub fn parse_number(text: &str) -> Result<f64, UnitError> {
    let plain = normalised(text);
    let (sign, body) = match plain.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, plain.strip_prefix('+').unwrap_or(&plain)),
    };
    match number(body.trim_start()) {
        Some((value, after)) if after.trim().is_empty() && value.is_finite() => Ok(sign * value),
        _ if is_decimal_comma(text) => Err(UnitError::DecimalComma {
            value: quoted(text),
        }),
        _ => Err(UnitError::NotANumber {
            value: quoted(text),
        }),
    }
}

/// Typographic marks to the plain ones; one-character fractions spelled out.
pub(super) fn normalised(text: &str) -> Cow<'_, str> {
    // Nearly every text is plain already.
    if text.is_ascii() && !text.contains('\'') {
        return Cow::Borrowed(text.trim());
    }
    let mut plain = String::with_capacity(text.len() + 4);
    for c in text.trim().chars() {
        match c {
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅓' => plain.push_str(" 1/3"),
            '⅔' => plain.push_str(" 2/3"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            '⁄' => plain.push('/'),
            '−' | '–' => plain.push('-'),
            '’' | '′' => plain.push('\''),
            '”' | '″' => plain.push('"'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' => plain.push(' '),
            other => plain.push(other),
        }
    }
    Cow::Owned(plain.replace("''", "\"").trim().to_owned())
}

fn is_decimal_comma(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes
        .windows(3)
        .any(|w| matches!(w, [a, b',', c] if a.is_ascii_digit() && c.is_ascii_digit()))
}

/// An unsigned number at the start: decimal with exponent, fraction, or whole and fraction.
fn number(text: &str) -> Option<(f64, &str)> {
    let (whole, after) = decimal(text)?;
    // A unit straight behind it: no fraction.
    if after.is_empty() || after.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return Some((whole, after));
    }
    if let Some((bottom, rest)) = after.strip_prefix('/').and_then(digits) {
        let (top, left) = digits(text)?;
        return (left.len() == after.len() && bottom > 0.0).then_some((top / bottom, rest));
    }
    let is_whole = digits(text).is_some_and(|(_, left)| left.len() == after.len());
    let next = after.trim_start().trim_start_matches('-').trim_start();
    let fraction = digits(next).and_then(|(top, left)| {
        let (bottom, rest) = digits(left.strip_prefix('/')?)?;
        (bottom > 0.0).then_some((top / bottom, rest))
    });
    match fraction {
        Some((part, rest)) if is_whole && next.len() < after.len() => Some((whole + part, rest)),
        _ => Some((whole, after)),
    }
}

fn decimal(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let run = |from: usize| {
        bytes[from..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let whole = run(0);
    let mut end = whole;
    if bytes.get(end) == Some(&b'.') {
        let decimals = run(end + 1);
        if whole + decimals == 0 {
            return None;
        }
        end += 1 + decimals;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        if bytes.get(end + 1 + sign).is_some_and(u8::is_ascii_digit) {
            end += 1 + sign + run(end + 1 + sign);
        }
    }
    if end == 0 {
        return None;
    }
    Some((text[..end].parse().ok()?, &text[end..]))
}

fn digits(text: &str) -> Option<(f64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    if end == 0 {
        return None;
    }
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// The unit at the start: one mark, or letters, with a slash and an exponent after it.
fn unit_name(text: &str) -> (&str, &str) {
    if text.starts_with(['\'', '"', '°']) {
        let end = text.chars().next().map_or(0, char::len_utf8);
        return text.split_at(end);
    }
    let mut end = 0;
    let mut slash = false;
    for (at, c) in text.char_indices() {
        let exponent = slash && (c == '^' || c == '²' || c.is_ascii_digit());
        if !(c.is_alphabetic() || c == '/' || exponent) {
            break;
        }
        slash |= c == '/';
        end = at + c.len_utf8();
    }
    text.split_at(end)
}
