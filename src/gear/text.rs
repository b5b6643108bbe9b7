//! The text of a gear file: comments as sources, faults by line, and writing.

use std::collections::BTreeMap;

use toml::Value;

use super::Marks;
use super::keys::Kind;
use crate::shown::bounded;

/// A value as TOML: a number bare, a quantity in quotes.
pub(super) fn written(kind: Kind, si: f64, text: &str) -> String {
    match kind {
        Kind::Number => si.to_string(),
        _ => Value::String(text.to_owned()).to_string(),
    }
}

pub(super) fn document(
    name: &str,
    note: Option<&str>,
    marks: Marks,
    lines: impl Iterator<Item = (&'static str, String, Option<String>)>,
) -> String {
    let quoted = |text: &str| Value::String(text.to_owned()).to_string();
    let mut out = format!("name = {}\n", quoted(name));
    if let Some(note) = note {
        out.push_str(&format!("note = {}\n", quoted(note)));
    }
    if marks != Marks::default() {
        out.push_str(&format!("marks = {}\n", quoted(marks.name())));
    }
    let mut open = "";
    for (path, value, comment) in lines {
        let (section, key) = path.rsplit_once('.').unwrap_or(("", path));
        if section != open {
            out.push_str(&format!("\n[{section}]\n"));
            open = section;
        }
        let comment = comment.map_or_else(String::new, |c| format!("  # {}", c.replace('\n', " ")));
        out.push_str(&format!("{key} = {value}{comment}\n"));
    }
    out
}

/// One line: where, and what is wrong.
pub(super) fn syntax_message(text: &str, error: &toml::de::Error) -> String {
    let message = bounded(&error.message().replace('\n', " "));
    error.span().map_or_else(
        || message.clone(),
        |span| {
            let before = text.get(..span.start).unwrap_or(text);
            format!("line {}: {message}", before.matches('\n').count() + 1)
        },
    )
}

/// A key with its sections, its value, and the comment beside it.
pub(super) type PlainLine<'t> = (String, Value, Option<&'t str>);

/// The values of a file that is written as the built-in ones are: sections, and on a line of its own
/// each key with a number or a text in quotes. `None` where anything else is in it: a
/// built-in table is then read without all that TOML may hold.
pub(super) fn plain_lines(text: &str) -> Option<Vec<PlainLine<'_>>> {
    let mut section = "";
    let mut lines: Vec<PlainLine<'_>> = Vec::with_capacity(text.len() / 32);
    for line in text.lines().map(str::trim) {
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(name) = line.strip_prefix('[') {
            section = name.strip_suffix(']').filter(|name| is_plain_key(name))?;
            continue;
        }
        let (key, rest) = line.split_once('=')?;
        let (key, rest) = (key.trim(), rest.trim());
        let (value, after) = match rest.strip_prefix('"') {
            Some(rest) => {
                let (value, after) = rest.split_once('"')?;
                let plain = !value.contains('\\');
                (plain.then(|| Value::String(value.to_owned()))?, after)
            }
            None => {
                let end = rest.find([' ', '#']).unwrap_or(rest.len());
                let (number, after) = rest.split_at(end);
                let is_number = number.starts_with(|c: char| c.is_ascii_digit());
                let value = number.parse().ok().filter(|_| is_number)?;
                (Value::Float(value), after)
            }
        };
        let after = after.trim();
        let comment = match after.strip_prefix('#') {
            Some(comment) => Some(comment.trim()).filter(|c| !c.is_empty()),
            None if after.is_empty() => None,
            None => return None,
        };
        let path = match section {
            "" => key.to_owned(),
            section => format!("{section}.{key}"),
        };
        if !is_plain_key(key) || lines.iter().any(|(known, ..)| *known == path) {
            return None;
        }
        lines.push((path, value, comment));
    }
    Some(lines)
}

/// A key of TOML without quotes, or several with dots between.
fn is_plain_key(key: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '.');
    !key.is_empty() && key.chars().all(plain)
}

/// The comment after each `key = value` line, by dotted key: sources live there.
pub(super) fn comments(text: &str) -> BTreeMap<String, String> {
    let mut section = String::new();
    let mut found = BTreeMap::new();
    for line in text.lines().map(str::trim) {
        if let Some(inner) = line.strip_prefix('[') {
            section = inner
                .split(']')
                .next()
                .unwrap_or_default()
                .trim()
                .to_owned();
        } else if let (Some((key, _)), Some(comment)) = (line.split_once('='), comment_of(line)) {
            let key = key.trim();
            let path = if section.is_empty() {
                key.to_owned()
            } else {
                format!("{section}.{key}")
            };
            found.insert(path, comment.to_owned());
        }
    }
    found
}

/// What follows the first `#` outside quotes.
fn comment_of(line: &str) -> Option<&str> {
    let mut quote = None;
    for (at, c) in line.char_indices() {
        match (quote, c) {
            (None, '#') => return Some(line[at + 1..].trim()).filter(|c| !c.is_empty()),
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), c) if open == c => quote = None,
            _ => {}
        }
    }
    None
}
