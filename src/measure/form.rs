//! The form: an empty one to print and fill in, and a filled-in one read back. It is TOML, so that
//! paper and file are the same thing.

use toml::{Table, Value};

use super::quantity::{Instrument, Quantity};
use super::reading::{Instruments, MeasureError, Reading, readings, said};
use crate::field::{Face, Field, Hint, spoken_by, today};
use crate::gear::DEFAULT_PRESET;
use crate::shown::{bounded, quoted};

/// A filled-in form.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Form {
    /// Name of the table; empty when not filled in.
    pub name: String,
    /// Standard table; empty when not filled in.
    pub base: String,
    /// Day of measuring; empty when not filled in.
    pub date: String,
    /// Readings in the order of the form.
    pub readings: Vec<(Quantity, Reading)>,
    /// How good the instruments are said to be.
    pub instruments: Instruments,
}

/// Section of the instruments.
const GOOD_TO: &str = "good-to";
/// The key that names the standard table.
const BASE: &str = "base";
/// Words before the first section.
const HEAD: [(&str, &str); 3] = [
    ("name", "of your table, such as \"hall-2\""),
    (BASE, "the standard table it is compared with"),
    ("date", "such as 2025-11-25; empty: today"),
];

/// An empty form.
#[must_use]
pub fn empty_form() -> String {
    let mut out = "\
# Your table, measured. Fill in what you measured, with units, and leave the rest empty.
# Several readings of one thing make it surer; put commas between: mouth = \"116mm, 115.5mm\"
"
    .to_owned();
    let then = Hint::TakeForm.to_string();
    if !then.is_empty() {
        out.push_str(&format!("# {then}\n"));
    }
    out.push_str("# Keep fingers out of the way of rolling balls.\n\n");
    let line = |out: &mut String, key: &str, about: &str| {
        let field = format!("{key} = \"\"");
        out.push_str(&format!("{field:<20}# {about}\n"));
    };
    for (key, about) in HEAD {
        let about = match key {
            BASE => format!("{about}{}; empty: {DEFAULT_PRESET}", Hint::ListTables),
            _ => about.to_owned(),
        };
        line(&mut out, key, &about);
    }
    let mut open = "";
    for quantity in Quantity::ALL {
        let (section, key) = quantity.place();
        if section != open {
            out.push_str(&format!("\n[{section}]\n"));
            open = section;
        }
        line(&mut out, key, quantity.how());
    }
    out.push_str(&format!(
        "\n[{GOOD_TO}]  # two readings in three are this near the truth; empty: as assumed\n"
    ));
    for instrument in Instrument::ALL {
        let about = format!(
            "{}; assumed {}",
            instrument.reads(),
            said(instrument, instrument.good_to())
        );
        line(&mut out, instrument.name(), &about);
    }
    out
}

/// A form speaks of its sections and keys.
const FORM: Face = Face {
    field: |field, f| {
        if field == Field::GoodTo {
            return write!(f, "[{GOOD_TO}]");
        }
        match Quantity::ALL.iter().find(|q| q.field() == field) {
            Some(quantity) => {
                let (section, key) = quantity.place();
                write!(f, "[{section}] {key}")
            }
            None => f.write_str(field.name()),
        }
    },
    hint: |_, _| Ok(()),
};

/// Reads a filled-in form; `origin` is its file, for messages.
///
/// # Errors
/// [`MeasureError`] naming file, key and what would work.
pub fn read_form(text: &str, origin: &str) -> Result<Form, MeasureError> {
    let fault = |problem: String| MeasureError::Form {
        origin: origin.to_owned(),
        problem,
    };
    let table: Table = text.parse().map_err(|error: toml::de::Error| {
        let line = error
            .span()
            .and_then(|span| text.get(..span.start))
            .map_or(1, |before| before.matches('\n').count() + 1);
        let own = text.lines().nth(line - 1).unwrap_or_default();
        // The mark for inches ends the text.
        let inches = own.contains("\"\"") && own.contains(|c: char| c.is_ascii_digit());
        fault(format!(
            "line {line} is not as the form has it ({}): write key = \"reading\", in quotes{}",
            bounded(&error.message().replace('\n', " ")),
            if inches {
                ", and in for inches, such as \"4 1/4in\""
            } else {
                ""
            }
        ))
    })?;
    let mut form = Form::default();
    for (key, value) in &table {
        match value {
            Value::Table(section) => form.section(key, section, &fault)?,
            _ => {
                let text = written(key, value, &fault)?;
                match key.as_str() {
                    "name" => form.name = text,
                    "base" => form.base = text,
                    "date" => form.date = text,
                    _ => return Err(fault(unknown(key, "one of name, base, date"))),
                }
            }
        }
    }
    Ok(form)
}

impl Form {
    fn section(
        &mut self,
        section: &str,
        table: &Table,
        fault: &impl Fn(String) -> MeasureError,
    ) -> Result<(), MeasureError> {
        for (key, value) in table {
            let path = format!("[{section}] {key}");
            let text = written(&path, value, fault)?;
            let of_form = |e: MeasureError| fault(spoken_by(FORM, || e.to_string()));
            if section == GOOD_TO {
                if !text.trim().is_empty() {
                    self.instruments.set(key, &text).map_err(of_form)?;
                }
                continue;
            }
            let known = Quantity::ALL
                .into_iter()
                .find(|quantity| quantity.place() == (section, today(key)));
            let Some(quantity) = known else {
                return Err(fault(unknown(&path, &places(section))));
            };
            let own = readings(quantity, &text).map_err(of_form)?;
            self.readings
                .extend(own.into_iter().map(|reading| (quantity, reading)));
        }
        Ok(())
    }
}

fn unknown(key: &str, known: &str) -> String {
    format!("the form has no {}: use {known}", quoted(key))
}

/// Keys of a section, or the sections.
fn places(section: &str) -> String {
    let keys: Vec<&str> = Quantity::ALL
        .into_iter()
        .map(Quantity::place)
        .filter(|(own, _)| *own == section)
        .map(|(_, key)| key)
        .collect();
    if keys.is_empty() {
        return "the sections [table], [ball], [cue-ball], [corner], [side], [mouth-of], [strokes], [good-to]"
            .to_owned();
    }
    format!("one of {}", keys.join(", "))
}

/// A text, or a list of texts as if separated by commas.
fn written(
    key: &str,
    value: &Value,
    fault: &impl Fn(String) -> MeasureError,
) -> Result<String, MeasureError> {
    let text = |value: &Value| value.as_str().map(str::to_owned);
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Array(list) => list
            .iter()
            .map(text)
            .collect::<Option<Vec<_>>>()
            .map(|list| list.join(",")),
        Value::Datetime(day) => Some(day.to_string()),
        // Only the count of lengths has no unit.
        Value::Float(_) | Value::Integer(_) if key.ends_with(Instrument::Count.name()) => {
            Some(value.to_string())
        }
        _ => None,
    }
    .ok_or_else(|| {
        fault(format!(
            "{} = {} is no text: write it in quotes, with its unit",
            quoted(key),
            quoted(&value.to_string())
        ))
    })
}
