//! What the local page keeps in the log beside the tries: shots by name, in an order, and of which period a
//! student's tries count there. Neither is an entry: undoing leaves both alone, and an export holds neither.

use rusqlite::{OptionalExtension as _, Transaction, TransactionBehavior, params};

use super::attempt::TEXT_CHARS;
use super::error::LogError;
use super::handle::Log;
use super::since::Since;
use super::when::When;

/// Shots at most. Assumption: more than anybody goes through.
pub const MOST_SHOTS: usize = 200;
/// Letters of an address at most. Assumption: 22 balls and every option take half of it.
pub const ADDRESS_CHARS: usize = 2000;

/// A shot of the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfShot {
    /// Its number, which stays.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// The shot as an address of the page, from its question mark on.
    pub shot: String,
}

/// A change of the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ShelfChange {
    /// Shots behind those that are there: names and addresses.
    Add(Vec<NewShot>),
    /// Another name for the shot of this number.
    Rename(i64, String),
    /// That shot goes.
    Remove(i64),
    /// That shot and the one before it change places.
    Earlier(i64),
    /// That shot and the one after it do.
    Later(i64),
}

/// A shot to keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewShot {
    /// What it is called.
    pub name: String,
    /// Its address, from the question mark on.
    pub shot: String,
}

impl NewShot {
    fn problem(&self) -> Option<String> {
        let address = self.shot.starts_with('?')
            && self.shot.len() <= ADDRESS_CHARS
            && self.shot.bytes().all(|b| b.is_ascii_graphic());
        name_problem(&self.name).or_else(|| {
            (!address).then(|| {
                format!(
                    "shot: give what follows the page's address, from its question mark on, up to {ADDRESS_CHARS} letters"
                )
            })
        })
    }
}

fn name_problem(name: &str) -> Option<String> {
    let most = TEXT_CHARS.1;
    let fits = !name.trim().is_empty()
        && name.chars().count() <= most
        && !name.chars().any(char::is_control);
    (!fits).then(|| format!("name: give 1 to {most} letters in one line"))
}

impl Log {
    /// The shelf in its order.
    ///
    /// # Errors
    /// The faults of reading.
    pub fn shelf(&self) -> Result<Vec<ShelfShot>, LogError> {
        let read = || {
            self.connection
                .prepare_cached("SELECT id, name, shot FROM shelf ORDER BY place, id")?
                .query_map([], |row| {
                    Ok(ShelfShot {
                        id: row.get(0)?,
                        name: row.get(1)?,
                        shot: row.get(2)?,
                    })
                })?
                .collect::<rusqlite::Result<Vec<_>>>()
        };
        read().map_err(|e| self.fault(&e))
    }

    /// Changes the shelf. A shot that is not there any more is left at that: somebody else was first.
    ///
    /// # Errors
    /// [`LogError::Shelf`] for what cannot be kept, and the faults of writing. Nothing is changed then.
    pub fn change_shelf(&mut self, change: &ShelfChange) -> Result<(), LogError> {
        let shelf = |problem| LogError::Shelf { problem };
        let problem = match change {
            ShelfChange::Add(shots) => shots.iter().find_map(NewShot::problem),
            ShelfChange::Rename(_, name) => name_problem(name),
            _ => None,
        };
        if let Some(problem) = problem {
            return Err(shelf(problem));
        }
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let lock = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        if let ShelfChange::Add(shots) = change {
            let count: usize = lock
                .query_row("SELECT count(*) FROM shelf", [], |row| row.get(0))
                .map_err(fault)?;
            let all = count + shots.len();
            if all > MOST_SHOTS {
                return Err(shelf(format!(
                    "with it the shelf would hold {all} shots, and it holds {MOST_SHOTS}"
                )));
            }
        }
        written(&lock, change).map_err(fault)?;
        lock.commit().map_err(fault)
    }

    /// The period whose tries count on the page for a student, as it was asked for, if it was.
    ///
    /// # Errors
    /// The faults of reading.
    pub fn period_asked(&self, label: &str) -> Result<Option<String>, LogError> {
        self.connection
            .query_row(
                "SELECT since FROM period WHERE label = ?1",
                [label],
                |row| row.get(0),
            )
            .optional()
            .map_err(|e| self.fault(&e))
    }

    /// Asks for such a period, in the words of [`Since::read`]; none is that of everybody again.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`], [`LogError::Period`], and the faults of writing.
    pub fn ask_period(
        &mut self,
        label: &str,
        since: Option<&str>,
        today: &When,
    ) -> Result<(), LogError> {
        self.student(label)?;
        let written = match since {
            None => self
                .connection
                .execute("DELETE FROM period WHERE label = ?1", [label]),
            Some(text) => {
                Since::read(text, today)?;
                self.connection.execute(
                    "INSERT INTO period (label, since) VALUES (?1, ?2)
                     ON CONFLICT (label) DO UPDATE SET since = ?2",
                    [label, text.trim()],
                )
            }
        };
        written.map(|_| ()).map_err(|e| self.fault(&e))
    }
}

fn written(lock: &Transaction<'_>, change: &ShelfChange) -> rusqlite::Result<()> {
    match change {
        ShelfChange::Add(shots) => {
            let mut add = lock.prepare(
                "INSERT INTO shelf (place, name, shot)
                 SELECT coalesce(max(place), 0) + 1, ?1, ?2 FROM shelf",
            )?;
            for NewShot { name, shot } in shots {
                add.execute([name.trim(), shot])?;
            }
        }
        ShelfChange::Rename(id, name) => {
            lock.execute(
                "UPDATE shelf SET name = ?1 WHERE id = ?2",
                params![name.trim(), id],
            )?;
        }
        ShelfChange::Remove(id) => {
            lock.execute("DELETE FROM shelf WHERE id = ?1", [id])?;
        }
        ShelfChange::Earlier(id) => swap(lock, *id, "place < ?1 ORDER BY place DESC")?,
        ShelfChange::Later(id) => swap(lock, *id, "place > ?1 ORDER BY place")?,
    }
    Ok(())
}

/// Exchanges the places of a shot and of its neighbour, where it has one.
fn swap(lock: &Transaction<'_>, id: i64, neighbour: &str) -> rusqlite::Result<()> {
    let place = |sql: &str, of: i64| {
        lock.query_row(sql, [of], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()
    };
    let own: Option<(i64, i64)> = place("SELECT id, place FROM shelf WHERE id = ?1", id)?;
    let Some((_, here)) = own else { return Ok(()) };
    let sql = format!("SELECT id, place FROM shelf WHERE {neighbour} LIMIT 1");
    let next: Option<(i64, i64)> = place(&sql, here)?;
    if let Some((other, there)) = next {
        for (id, place) in [(id, there), (other, here)] {
            lock.execute("UPDATE shelf SET place = ?1 WHERE id = ?2", [place, id])?;
        }
    }
    Ok(())
}

/// A student out of the shelf: shots that were played by them keep their places and lose their player.
pub(super) fn without(lock: &rusqlite::Connection, label: &str) -> rusqlite::Result<()> {
    lock.execute("DELETE FROM period WHERE label = ?1", [label])?;
    let shots: Vec<(i64, String)> = lock
        .prepare("SELECT id, shot FROM shelf")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<rusqlite::Result<_>>()?;
    for (id, shot) in shots {
        let theirs = |pair: &&str| {
            let value = pair.strip_prefix("student=");
            value.is_some_and(|v| unescaped(v) == label)
        };
        let pairs: Vec<&str> = shot.trim_start_matches('?').split('&').collect();
        if !pairs.iter().any(theirs) {
            continue;
        }
        let left: Vec<&str> = pairs.into_iter().filter(|p| !theirs(p)).collect();
        lock.execute(
            "UPDATE shelf SET shot = ?1 WHERE id = ?2",
            params![format!("?{}", left.join("&")), id],
        )?;
    }
    Ok(())
}

/// `%C3%84` is Ä (RFC 3986 §2.1).
fn unescaped(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut k = 0;
    while k < bytes.len() {
        let code = (bytes[k] == b'%')
            .then(|| u8::from_str_radix(text.get(k + 1..k + 3)?, 16).ok())
            .flatten();
        match code {
            Some(byte) => {
                out.push(byte);
                k += 3;
            }
            None => {
                out.push(bytes[k]);
                k += 1;
            }
        }
    }
    String::from_utf8_lossy(&out).into_owned()
}
