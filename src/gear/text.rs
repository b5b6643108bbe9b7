//! The text of a gear file: comments as sources, faults by line, and writing.

use std::collections::BTreeMap;

use toml::Value;

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
    lines: impl Iterator<Item = (&'static str, String, Option<String>)>,
) -> String {
    let quoted = |text: &str| Value::String(text.to_owned()).to_string();
    let mut out = format!("name = {}\n", quoted(name));
    if let Some(note) = note {
        out.push_str(&format!("note = {}\n", quoted(note)));
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
