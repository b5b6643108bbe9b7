//! Text from files and requests as it is shown: short, and never able to drive a terminal.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::io::{self, Write};

/// Most characters of somebody's text that an error quotes (assumption: a line of a terminal).
pub const MOST_QUOTED: usize = 80;

/// Most characters of a word that is compared with known ones for "did you mean" (assumption: twice
/// the longest name there is; comparing takes the product of the lengths).
const LONGEST_WORD: usize = 64;

/// A text from outside as an error quotes it: control characters escaped, and at most
/// [`MOST_QUOTED`] characters, the last of them … where something was left out.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut out = String::new();
    let mut count = 0;
    for (k, c) in text.chars().enumerate() {
        let piece = if c.is_control() {
            escape(c)
        } else {
            c.to_string()
        };
        let rest = text.chars().nth(k + 1).is_some();
        let room = MOST_QUOTED - count - usize::from(rest);
        let long = piece.chars().count();
        if long > room {
            out.push('…');
            return out;
        }
        out.push_str(&piece);
        count += long;
    }
    out
}

/// Whether a word is short enough to be a slip of the keyboard away from a name.
#[must_use]
pub fn may_be_a_slip(word: &str) -> bool {
    word.chars().nth(LONGEST_WORD).is_none()
}

/// Names less alike than this are other words (assumption, tried on the keys of a gear file, names of
/// charts and labels of students).
const ALIKE: f64 = 0.75;

/// The known name most like what was given, for "did you mean"; none where it reads as another word.
/// Large and small letters are alike. Measure: Jaro–Winkler.
///
/// ```
/// use thincut::shown::nearest;
///
/// assert_eq!(nearest("gost-ball", ["ghost-ball", "shadow"]), Some("ghost-ball"));
/// assert_eq!(nearest("zzz", ["ghost-ball", "shadow"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let given = given.to_lowercase();
    nearest_by(&given, known, |name| {
        strsim::jaro_winkler(&given, &name.to_lowercase())
    })
}

/// The same by another measure of how much a known name is like what was given, 0 to 1; of equals the
/// first.
#[must_use]
pub fn nearest_by<'a>(
    given: &str,
    known: impl IntoIterator<Item = &'a str>,
    alike: impl Fn(&str) -> f64,
) -> Option<&'a str> {
    if !may_be_a_slip(given) {
        return None;
    }
    let mut best: Option<(f64, &str)> = None;
    for name in known {
        let alike = alike(name);
        if alike >= ALIKE && best.is_none_or(|(most, _)| alike > most) {
            best = Some((alike, name));
        }
    }
    best.map(|(_, name)| name)
}

/// ` (did you mean X?)` for the nearest of `known`, or nothing where none is near.
#[must_use]
pub fn suggestion<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(given, known).map_or_else(String::new, |near| format!(" (did you mean {near}?)"))
}

/// Most characters of a line in a library's message about a file, beside what it quotes (assumption:
/// the longest list of known keys, twice).
const MOST_IN_A_LINE: usize = 400;

/// What a library says about a file: every line bounded, and what it quotes, or shows of the file, as
/// by [`quoted`].
#[must_use]
pub fn bounded(message: &str) -> String {
    // Such a message has a handful of lines of its own; more come from what it shows.
    const MOST_LINES: usize = 8;
    let lines = message.lines().take(MOST_LINES).map(|line| {
        if line.contains(" | ") {
            return quoted(line);
        }
        let mut out = String::new();
        let mut pieces = line.split_inclusive(['"', '`']);
        let mut within = false;
        for piece in pieces.by_ref() {
            if out.chars().count() > MOST_IN_A_LINE {
                out.push('…');
                break;
            }
            if within {
                let (text, mark) = piece.split_at(piece.trim_end_matches(['"', '`']).len());
                out.push_str(&quoted(text));
                out.push_str(mark);
            } else {
                out.extend(piece.chars().take(MOST_IN_A_LINE));
            }
            within = !within;
        }
        out
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// A message of one or more lines with every other control character escaped.
#[must_use]
pub fn plain(text: &str) -> Cow<'_, str> {
    let drives = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    if !text.contains(drives) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if drives(c) {
            out.push_str(&escape(c));
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

/// `\u001b`, which JSON reads as the same character.
fn escape(c: char) -> String {
    let mut text = String::new();
    // Writing into a String does not fail.
    let _ = write!(text, "\\u{:04x}", u32::from(c));
    text
}

/// Writes text on, with control characters other than line ends and tabs escaped.
#[derive(Debug)]
pub struct Plain<W: Write> {
    to: W,
    /// The first byte of a two-byte control character (U+0080 to U+009F) may end a piece.
    held: bool,
}

/// First byte of U+0080 to U+00BF in UTF-8.
const TWO_BYTES: u8 = 0xc2;

impl<W: Write> Plain<W> {
    /// In front of `to`.
    pub fn new(to: W) -> Self {
        Self { to, held: false }
    }

    fn put(&mut self, piece: &[u8]) -> io::Result<()> {
        let mut done = 0;
        for (k, &byte) in piece.iter().enumerate() {
            let second = std::mem::take(&mut self.held);
            let control = if second && (0x80..0xa0).contains(&byte) {
                true
            } else {
                if second {
                    self.to.write_all(&[TWO_BYTES])?;
                }
                byte == 0x7f || byte < 0x20 && !matches!(byte, b'\n' | b'\t')
            };
            self.held = byte == TWO_BYTES;
            if control || self.held {
                self.to.write_all(&piece[done..k])?;
                done = k + 1;
            } else if second {
                // Its first byte has gone out just now.
                done = k;
            }
            if control {
                self.to.write_all(escape(char::from(byte)).as_bytes())?;
            }
        }
        self.to.write_all(&piece[done..])
    }
}

impl<W: Write> Write for Plain<W> {
    fn write(&mut self, piece: &[u8]) -> io::Result<usize> {
        self.put(piece)?;
        Ok(piece.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}
