//! Short codes for sheets: read off paper and typed at the table, so a slip must be noticed.
//!
//! 31 characters, without those that look alike in print (0 and O; 1, I and L). The last one is a
//! check character: with the others' values `a₁ … aₙ` from the left, `Σ (n + 2 − i)·aᵢ + c` is a
//! multiple of 31. This is the scheme of the ten-digit ISBN (ISO 2108:1992, modulus 11) with
//! a larger prime. Because 31 is prime and the weights run through 1, 2, 3 …, every single wrong
//! character changes the sum by a non-zero product, and every swap of two different characters
//! (neighbours or not) by a non-zero difference of weights times a non-zero difference of values
//! (derived). Slips that change the length are caught in 30 of 31 cases only.

use crate::shown::quoted;
use thiserror::Error;

/// The characters of a code.
pub const ALPHABET: &[u8; 31] = b"23456789ABCDEFGHJKMNPQRSTUVWXYZ";

/// Fewest and most characters with the check character. Beyond 31 the weights would repeat.
pub const CODE_CHARS: (usize, usize) = (3, 12);

/// The modulus, prime.
const PRIME: u64 = 31;

/// A code that cannot be right.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum CodeError {
    /// Too short or too long.
    #[error(
        "\"{code}\" is no sheet code: a code has {} to {} characters, as printed on the sheet",
        CODE_CHARS.0,
        CODE_CHARS.1
    )]
    Length {
        /// As given.
        code: String,
    },
    /// A character outside the alphabet.
    #[error(
        "\"{code}\" is no sheet code: {found:?} is not used in codes (letters but I, L, O; digits 2 to 9)"
    )]
    Character {
        /// As given.
        code: String,
        /// The first such character.
        found: char,
    },
    /// A slip.
    #[error("\"{code}\" is mistyped: its check character does not fit; look at the sheet again")]
    Mistyped {
        /// As given.
        code: String,
    },
}

fn value(byte: u8) -> Option<u64> {
    let upper = byte.to_ascii_uppercase();
    (0..PRIME)
        .zip(ALPHABET)
        .find(|(_, a)| **a == upper)
        .map(|(k, _)| k)
}

/// `Σ weight·value` with weights 1, 2, 3 … from the right.
fn weighted(values: impl DoubleEndedIterator<Item = u64>, first_weight: u64) -> u64 {
    values
        .rev()
        .zip(first_weight..)
        .fold(0, |sum, (v, weight)| (sum + v * (weight % PRIME)) % PRIME)
}

/// Reads a code: upper case, check character verified.
///
/// # Errors
/// [`CodeError`].
pub fn read_code(text: &str) -> Result<String, CodeError> {
    let code = || quoted(text);
    let text = text.trim();
    let mut values = Vec::with_capacity(text.len());
    for c in text.chars() {
        let v = u8::try_from(c)
            .ok()
            .and_then(value)
            .ok_or_else(|| CodeError::Character {
                code: code(),
                found: c,
            })?;
        values.push(v);
    }
    if !(CODE_CHARS.0..=CODE_CHARS.1).contains(&values.len()) {
        return Err(CodeError::Length { code: code() });
    }
    if weighted(values.into_iter(), 1) == 0 {
        Ok(text.to_ascii_uppercase())
    } else {
        Err(CodeError::Mistyped { code: code() })
    }
}

/// The code of `payload` characters that stands for `number` (taken modulo 31 to that power).
#[must_use]
pub fn make_code(number: u64, payload: usize) -> String {
    let mut rest = number;
    let mut values: Vec<u64> = (0..payload)
        .map(|_| {
            let v = rest % PRIME;
            rest /= PRIME;
            v
        })
        .collect();
    values.reverse();
    let check = (PRIME - weighted(values.iter().copied(), 2)) % PRIME;
    values.push(check);
    values
        .into_iter()
        .filter_map(|v| usize::try_from(v).ok())
        .map(|v| char::from(ALPHABET[v]))
        .collect()
}
