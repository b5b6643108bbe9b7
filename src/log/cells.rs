//! An attempt as a row of cells: the one form that files, the database and checksums share.
//!
//! Numbers are written as the shortest decimal that reads back as the same number, so nothing is
//! lost on the way.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::hash::Hasher;
use std::str::FromStr;
use std::sync::LazyLock;

use serde::ser::SerializeMap as _;
use serde::{Serialize, Serializer};
use siphasher::sip::SipHasher24;

use super::attempt::{Attempt, MissSides, ShotEntered};
use super::texts;
use super::windows::{Allowed, Room, Windows, allowed_text};
use crate::shown::quoted;
use crate::units::Side;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Whole,
    Real,
}

/// How many columns an attempt has had from the first.
pub(super) const FIRST_COLUMNS: usize = 41;

/// Columns that an attempt has had from the first, each one of the table too: name, kind, and what the
/// table asks of it besides. Their order is that of checksums, which stays.
const FIRST: [(&str, Kind, &str); FIRST_COLUMNS] = [
    ("id", Kind::Text, "NOT NULL UNIQUE"),
    ("student", Kind::Text, ""),
    ("when", Kind::Text, "NOT NULL"),
    ("session", Kind::Text, ""),
    ("sheet", Kind::Text, ""),
    ("rung", Kind::Whole, ""),
    ("cue", Kind::Text, ""),
    ("object", Kind::Text, ""),
    ("pocket", Kind::Text, ""),
    ("cut", Kind::Text, ""),
    ("apart", Kind::Text, ""),
    ("to_pocket", Kind::Text, ""),
    ("approach", Kind::Text, ""),
    ("kind", Kind::Text, ""),
    ("cut_side", Kind::Text, ""),
    ("pace", Kind::Text, ""),
    ("roll", Kind::Text, ""),
    ("hit", Kind::Text, ""),
    ("side", Kind::Text, ""),
    ("bridge", Kind::Text, ""),
    ("gear", Kind::Text, "NOT NULL"),
    ("set", Kind::Text, ""),
    (
        "cut_direction",
        Kind::Text,
        "NOT NULL CHECK (cut_direction IN ('left', 'right'))",
    ),
    ("tries", Kind::Whole, "NOT NULL"),
    ("made", Kind::Whole, "NOT NULL"),
    ("full", Kind::Whole, ""),
    ("thin", Kind::Whole, ""),
    ("short", Kind::Whole, ""),
    ("scratch", Kind::Whole, ""),
    ("not_seen", Kind::Whole, ""),
    ("clean_thick_deg", Kind::Real, ""),
    ("clean_thin_deg", Kind::Real, ""),
    ("direct_thick_deg", Kind::Real, ""),
    ("direct_thin_deg", Kind::Real, ""),
    ("drop_thick_deg", Kind::Real, ""),
    ("drop_thin_deg", Kind::Real, ""),
    ("cue_travel_mm", Kind::Real, ""),
    ("cut_deg", Kind::Real, ""),
    ("cue_speed_m_s", Kind::Real, ""),
    ("allowed", Kind::Text, ""),
    ("note", Kind::Text, ""),
];

/// Columns of an attempt: the first ones, and behind them, by name, the texts of a shot that its
/// request has been given since. Those stand together in one column of the table, as JSON.
pub(super) fn columns() -> &'static [(&'static str, Kind)] {
    static COLUMNS: LazyLock<Vec<(&str, Kind)>> = LazyLock::new(|| {
        let first = FIRST.map(|(name, kind, _)| (name, kind));
        let mut since: Vec<(&str, Kind)> = texts::names()
            .filter(|name| first.iter().all(|(column, _)| column != name))
            .map(|name| (name, Kind::Text))
            .collect();
        since.sort_unstable_by_key(|(name, _)| *name);
        [&first[..], &since].concat()
    });
    &COLUMNS
}

/// The first ones.
pub(super) fn first_columns() -> &'static [(&'static str, Kind)] {
    &columns()[..FIRST_COLUMNS]
}

/// The texts of a shot that came since.
pub(super) fn later_texts() -> impl Iterator<Item = &'static str> {
    columns()[FIRST_COLUMNS..].iter().map(|(name, _)| *name)
}

/// The first ones as a table defines them; the student is another table's.
pub(super) fn definitions() -> String {
    let own = FIRST.iter().filter(|(name, ..)| *name != "student");
    let lines = own.map(|(name, kind, besides)| {
        let kind = match kind {
            Kind::Text => "TEXT",
            Kind::Whole => "INTEGER",
            Kind::Real => "REAL",
        };
        format!("\"{name}\" {kind} {besides}").trim_end().to_owned()
    });
    lines.collect::<Vec<_>>().join(",\n    ")
}

/// Columns that a solver fills: the rest is what somebody saw and wrote.
pub(super) const SOLVED: std::ops::Range<usize> = 30..40;

/// The columns that a solver fills.
pub(super) fn solved_cells() -> &'static [(&'static str, Kind)] {
    &columns()[SOLVED]
}

/// Columns of the misses.
pub(super) const MISSES: [&str; 5] = ["full", "thin", "short", "scratch", "not_seen"];

fn optional(value: Option<impl Display>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

/// The cells, in the order of [`columns`]; an absent value is an empty cell.
pub(super) fn to_cells(attempt: &Attempt) -> Vec<String> {
    let mut cells = vec![
        optional(attempt.id.as_deref()),
        attempt.student.clone(),
        attempt.when.to_string(),
        optional(attempt.session.as_deref()),
        optional(attempt.sheet.as_deref()),
        optional(attempt.rung),
    ];
    let mut texts = texts::of(&attempt.shot.request);
    cells.extend(
        FIRST_TEXTS
            .iter()
            .map(|k| texts[*k].take().unwrap_or_default()),
    );
    cells.push(attempt.shot.gear.clone());
    cells.push(attempt.shot.set.join(";"));
    cells.push(attempt.cut.name().to_owned());
    cells.push(attempt.tries.to_string());
    cells.push(attempt.made.to_string());
    let m = attempt.misses;
    cells.extend([
        optional(m.map(|m| m.full)),
        optional(m.map(|m| m.thin)),
        optional(m.map(|m| m.short)),
        optional(m.map(|m| m.scratch)),
        optional(m.map(|m| m.not_seen)),
    ]);
    let w = attempt.windows.clone().map(Windows::normal);
    let w = w.as_ref();
    for room in [
        w.and_then(|w| w.clean),
        w.and_then(|w| w.direct),
        w.and_then(|w| w.drop),
    ] {
        cells.push(optional(room.map(|r| r.thick_deg)));
        cells.push(optional(room.map(|r| r.thin_deg)));
    }
    cells.push(optional(w.map(|w| w.cue_travel_mm)));
    cells.push(optional(w.map(|w| w.cut_deg)));
    cells.push(optional(w.map(|w| w.cue_speed_m_s)));
    cells.push(w.map(|w| allowed_text(&w.allowed)).unwrap_or_default());
    cells.push(optional(attempt.note.as_deref()));
    cells.extend(
        LATER_TEXTS
            .iter()
            .map(|k| texts[*k].take().unwrap_or_default()),
    );
    cells
}

/// Where the texts of these columns stand among those of a request.
fn among_texts(columns: &[(&str, Kind)]) -> Vec<usize> {
    let at = |(name, _): &(&str, Kind)| texts::names().position(|text| text == *name);
    columns.iter().filter_map(at).collect()
}

/// Of those that have a column of their own from the first.
static FIRST_TEXTS: LazyLock<Vec<usize>> = LazyLock::new(|| among_texts(first_columns()));

/// Of those that came since.
static LATER_TEXTS: LazyLock<Vec<usize>> =
    LazyLock::new(|| among_texts(&columns()[FIRST_COLUMNS..]));

/// The texts that came since as the table has them: JSON of those that are there, if any are.
pub(super) fn later_json(cells: &[String]) -> Option<String> {
    let filled = later_texts().zip(cells.iter().skip(FIRST_COLUMNS));
    let filled: BTreeMap<&str, &String> = filled.filter(|(_, cell)| !cell.is_empty()).collect();
    // Texts by name are always JSON.
    (!filled.is_empty()).then(|| serde_json::to_string(&filled).unwrap_or_default())
}

/// Reads them; one of another name is a later version's.
pub(super) fn read_later(json: &str) -> Result<Vec<String>, LaterText> {
    let mut filled: BTreeMap<String, String> = serde_json::from_str(json).unwrap_or_default();
    let cells = later_texts()
        .map(|name| filled.remove(name).unwrap_or_default())
        .collect();
    match filled.into_keys().next() {
        None => Ok(cells),
        Some(name) => Err(LaterText(name)),
    }
}

/// A text of a shot that a later version knows.
#[derive(Debug, thiserror::Error)]
#[error("a row says \"{}\" of its shot", quoted(.0))]
pub(super) struct LaterText(pub(super) String);

/// Reads `left` or `right`.
pub(super) fn read_cut(text: &str) -> Result<Side, String> {
    Side::from_name(text)
        .ok_or_else(|| format!("cut_direction = \"{}\": write left or right", quoted(text)))
}

/// Reads cells by column name (`""` where there is none) into a checked attempt.
///
/// An error names the column and the value.
pub(super) fn from_cells<'a>(cell: &dyn Fn(&str) -> &'a str) -> Result<Attempt, String> {
    let text = |name: &str| Some(cell(name).to_owned()).filter(|t| !t.is_empty());
    let shot = ShotEntered {
        request: texts::request(cell)?,
        gear: cell("gear").to_owned(),
        set: cell("set")
            .split(';')
            .filter(|t| !t.is_empty())
            .map(str::to_owned)
            .collect(),
    };
    let noted = MISSES.iter().any(|name| !cell(name).is_empty());
    let count = |name| whole(name, cell(name)).map(Option::unwrap_or_default);
    let attempt = Attempt {
        id: text("id"),
        student: cell("student").to_owned(),
        when: needed("when", cell("when"))?
            .parse()
            .map_err(|e| format!("when = {e}"))?,
        session: text("session"),
        sheet: text("sheet"),
        rung: whole("rung", cell("rung"))?,
        shot,
        cut: read_cut(needed("cut_direction", cell("cut_direction"))?)?,
        tries: whole("tries", needed("tries", cell("tries"))?)?.unwrap_or_default(),
        made: whole("made", needed("made", cell("made"))?)?.unwrap_or_default(),
        misses: if noted {
            Some(MissSides {
                full: count("full")?,
                thin: count("thin")?,
                short: count("short")?,
                scratch: count("scratch")?,
                not_seen: count("not_seen")?,
            })
        } else {
            None
        },
        windows: windows(cell)?,
        note: text("note"),
    };
    attempt.problem().map_or(Ok(attempt), Err)
}

fn windows<'a>(cell: &dyn Fn(&str) -> &'a str) -> Result<Option<Windows>, String> {
    let mut names = solved_cells().iter().map(|(name, _)| *name);
    let Some(given) = names.find(|name| !cell(name).is_empty()) else {
        return Ok(None);
    };
    let real = |name: &str| number::<f64>(name, cell(name), "a number").map(|x| x.map(|x| x + 0.0));
    let must = |name: &str| {
        real(name)?.ok_or_else(|| {
            format!("{name} is empty, but {given} is not: give all of the windows or none")
        })
    };
    let room = |thick: &str, thin: &str| match (real(thick)?, real(thin)?) {
        (Some(thick_deg), Some(thin_deg)) => Ok(Some(Room {
            thick_deg,
            thin_deg,
        })),
        (None, None) => Ok(None),
        _ => Err(format!("{thick} and {thin} go together: give both or none")),
    };
    Ok(Some(Windows {
        clean: room("clean_thick_deg", "clean_thin_deg")?,
        direct: room("direct_thick_deg", "direct_thin_deg")?,
        drop: room("drop_thick_deg", "drop_thin_deg")?,
        cue_travel_mm: must("cue_travel_mm")?,
        cut_deg: must("cut_deg")?,
        cue_speed_m_s: must("cue_speed_m_s")?,
        allowed: cell("allowed")
            .split_whitespace()
            .map(str::parse::<Allowed>)
            .collect::<Result<_, _>>()
            .map_err(|e| format!("allowed: {e}"))?,
    }))
}

fn needed<'a>(name: &str, text: &'a str) -> Result<&'a str, String> {
    if text.is_empty() {
        Err(format!("{name} is empty: every try needs one"))
    } else {
        Ok(text)
    }
}

fn whole(name: &str, text: &str) -> Result<Option<u32>, String> {
    number(name, text, "a whole number")
}

fn number<T: FromStr>(name: &str, text: &str, what: &str) -> Result<Option<T>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = text
        .parse()
        .map_err(|_| format!("{name} = \"{}\" is not {what}", quoted(text)))?;
    Ok(Some(read))
}

/// A checksum of cells, the same on every machine and in every version: SipHash-2-4 with a zero key.
pub(super) fn checksum<'a>(cells: impl IntoIterator<Item = &'a str>) -> u64 {
    let mut hasher = SipHasher24::new();
    for cell in cells {
        // Lengths keep `ab|c` apart from `a|bc`.
        hasher.write_u64(cell.len() as u64);
        hasher.write(cell.as_bytes());
    }
    hasher.finish()
}

/// What checksums take of the texts that came since: those that are there, with their names, so that a
/// row without any has the sum it always had.
fn later(cells: &[String]) -> impl Iterator<Item = &str> {
    let filled = later_texts().zip(cells.iter().skip(FIRST_COLUMNS));
    let filled = filled.filter(|(_, cell)| !cell.is_empty());
    filled.flat_map(|(name, cell)| [name, cell.as_str()])
}

/// Checksum of a row.
pub(super) fn row_sum(cells: &[String]) -> i64 {
    let first = cells.iter().take(FIRST_COLUMNS).map(String::as_str);
    checksum(first.chain(later(cells))).cast_signed()
}

/// Columns of the shot as it was entered, with its gear and the side it cuts to.
const SHOT: std::ops::Range<usize> = 6..23;

/// Checksum of a shot and its windows: rows that share it are tries at the same shot.
pub(super) fn shot_sum(cells: &[String]) -> i64 {
    let kept = cells[SHOT].iter().chain(&cells[SOLVED]);
    checksum(kept.map(String::as_str).chain(later(cells))).cast_signed()
}

/// What a fit counts of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Counts {
    pub(super) tries: i64,
    pub(super) made: i64,
    /// Too full and too thin, where sides were noted.
    pub(super) sides: Option<(i64, i64)>,
}

impl Counts {
    pub(super) fn of(cells: &[String]) -> Self {
        let count = |name| cell(cells, name).parse().unwrap_or_default();
        let noted = !cell(cells, "full").is_empty();
        Self {
            tries: count("tries"),
            made: count("made"),
            sides: noted.then(|| (count("full"), count("thin"))),
        }
    }

    /// Their checksum, with whose they are, when, and at what shot.
    pub(super) fn sum(&self, label: &str, day: &str, shot: i64) -> i64 {
        let mut hasher = SipHasher24::new();
        for text in [label, day] {
            hasher.write_u64(text.len() as u64);
            hasher.write(text.as_bytes());
        }
        // Misses of no side and no misses are not the same.
        let (full, thin) = self.sides.unwrap_or((-1, -1));
        for number in [shot, self.tries, self.made, full, thin] {
            hasher.write_i64(number);
        }
        hasher.finish().cast_signed()
    }
}

/// Checksum of what somebody saw and wrote: without the id and without what a solver adds.
pub(super) fn content(cells: &[String]) -> u64 {
    let kept = cells
        .iter()
        .take(FIRST_COLUMNS)
        .enumerate()
        .filter(|(k, _)| *k != 0 && !SOLVED.contains(k));
    checksum(kept.map(|(_, cell)| cell.as_str()).chain(later(cells)))
}

/// The `n`-th (from 1) row with this content.
pub(super) fn id_for(content: u64, n: u64) -> String {
    if n == 1 {
        format!("{content:016x}")
    } else {
        format!("{content:016x}-{n}")
    }
}

/// The first column in which two rows differ; windows count only when both have them and the new row
/// was `given` them: a later solver may know better than the one that filled the log.
pub(super) fn difference(
    old: &[String],
    new: &[String],
    given: bool,
) -> Option<(&'static str, String, String)> {
    let solved = |cells: &[String]| cells[SOLVED].iter().any(|c| !c.is_empty());
    let compare_solved = given && solved(old) && solved(new);
    columns()
        .iter()
        .zip(old.iter().zip(new))
        .enumerate()
        .filter(|(k, _)| *k != 0 && (compare_solved || !SOLVED.contains(k)))
        .find(|(_, (_, (a, b)))| a != b)
        .map(|(_, ((name, _), (a, b)))| (*name, a.clone(), b.clone()))
}

/// The cell of a column, `""` when there is no such column.
pub(super) fn cell<'a>(cells: &'a [String], name: &str) -> &'a str {
    let at = columns().iter().position(|(column, _)| *column == name);
    at.and_then(|k| cells.get(k)).map_or("", String::as_str)
}

/// By column, absent values as null: the same names as in CSV.
impl Serialize for Attempt {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(Some(columns().len()))?;
        for ((name, kind), cell) in columns().iter().zip(to_cells(self)) {
            let text = Some(cell.as_str()).filter(|c| !c.is_empty());
            match kind {
                Kind::Text => map.serialize_entry(name, &text)?,
                Kind::Whole => {
                    map.serialize_entry(name, &text.and_then(|t| t.parse::<u32>().ok()))?;
                }
                Kind::Real => {
                    map.serialize_entry(name, &text.and_then(|t| t.parse::<f64>().ok()))?;
                }
            }
        }
        map.end()
    }
}
