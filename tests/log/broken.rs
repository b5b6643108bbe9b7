//! Places that cannot be written, other files, newer logs, damage.

use std::fs;
use std::path::{Path, PathBuf};

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use tempfile::TempDir;
use thincut::log::{Attempt, Filter, Log, LogError, Sheet, Student};
use thincut::units::Hand;

use crate::{attempt, entry, folder, ladder, new_log, when};

#[test]
fn places_that_cannot_be_written_are_named() {
    let folder = folder();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    // The tests may run as root, whom no mode stops: a file as folder, a folder as file, and the
    // kernel's own folder stop everybody.
    let places: [PathBuf; 4] = [
        file.join("practice.sqlite"),
        folder.path().to_owned(),
        folder.path().join("none/practice.sqlite"),
        PathBuf::from("/proc/practice.sqlite"),
    ];
    for place in places {
        let fault = Log::open(&place).unwrap_err();
        let text = fault.to_string();
        assert!(
            matches!(
                fault,
                LogError::CannotOpen { .. } | LogError::ReadOnly { .. }
            ),
            "{text}"
        );
        assert!(text.contains(&place.display().to_string()), "{text}");
        assert!(!fault.is_bad_input());
    }
    let missing = folder.path().join("none.sqlite");
    assert!(matches!(
        Log::open_existing(&missing),
        Err(LogError::Missing(_))
    ));
    assert!(!missing.exists());
}

fn refused(path: &Path) -> LogError {
    let before = fs::read(path).expect("a file");
    let fault = Log::open(path).expect_err("must be refused");
    assert_eq!(
        fs::read(path).expect("a file"),
        before,
        "{fault}: the file was changed"
    );
    fault
}

#[test]
fn other_files_and_newer_logs_are_left_alone() {
    let folder = folder();
    let path = folder.path().join("x.sqlite");
    fs::write(&path, "student,tries\nA,10\n").unwrap();
    assert!(matches!(refused(&path), LogError::NotALog { .. }));

    fs::remove_file(&path).unwrap();
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute_batch("CREATE TABLE song (name TEXT);")
        .unwrap();
    drop(other);
    assert!(matches!(refused(&path), LogError::NotALog { .. }));

    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let path = log.path().to_owned();
    drop(log);
    let later = rusqlite::Connection::open(&path).unwrap();
    later.pragma_update(None, "user_version", 99).unwrap();
    drop(later);
    let fault = refused(&path);
    assert!(
        matches!(fault, LogError::Newer { found: 99, .. }),
        "{fault}"
    );
    assert!(fault.to_string().contains("update thincut"), "{fault}");
}

/// Everything a log says.
pub(crate) type Said = (Vec<Attempt>, Vec<Student>, Sheet);

fn everything(log: &Log, code: &str) -> Result<Said, LogError> {
    let (_, sheet) = log.find_sheet(code)?;
    Ok((log.attempts(&Filter::default())?, log.students()?, sheet))
}

/// A closed log of 40 rows, a sheet and three students: its folder, bytes, sheet's code and all it says.
pub(crate) fn sound_log() -> (TempDir, Vec<u8>, String, Said) {
    let folder = folder();
    let mut log = new_log(&folder);
    let left = Student {
        label: "Lefty".to_owned(),
        hand: Some(Hand::Left),
        reach_mm: Some(712.5),
    };
    log.set_student(&left, &when("2025-11-25"))
        .expect("a student");
    let code = log.save_sheet(&ladder(2)).expect("a sheet");
    for k in 0..40 {
        let mut row = attempt("Lefty", 10, k % 10);
        row.note = Some(format!("note {k}"));
        row.sheet = Some(code.clone());
        log.add(&entry(vec![row])).expect("a row");
    }
    let path = log.path().to_owned();
    // The last one to close brings the journal into the file.
    drop(log);
    let said = everything(&Log::open(&path).expect("sound"), &code).expect("sound");
    let bytes = fs::read(&path).expect("a file");
    (folder, bytes, code, said)
}

/// Writes a damaged copy, checks and reads it; `None` when it was refused or found damaged. Even
/// then no row is told but as it was.
fn read_damaged(folder: &TempDir, bytes: &[u8], code: &str, sound: &Said) -> Option<Said> {
    let copy = folder.path().join("copy.sqlite");
    for beside in ["copy.sqlite-wal", "copy.sqlite-shm"] {
        let _ = fs::remove_file(folder.path().join(beside));
    }
    fs::write(&copy, bytes).expect("written");
    let read = || -> Result<Option<Said>, LogError> {
        let log = Log::open_reading(&copy)?;
        for row in log.attempts(&Filter::default())? {
            assert!(sound.0.contains(&row), "{row:?}");
        }
        if !log.check()?.problems.is_empty() {
            return Ok(None);
        }
        everything(&log, code).map(Some)
    };
    match read() {
        Ok(said) => said,
        Err(fault) => {
            let expected = matches!(
                fault,
                LogError::Damaged { .. }
                    | LogError::NotALog { .. }
                    | LogError::Newer { .. }
                    | LogError::CannotOpen { .. }
                    | LogError::Io { .. }
                    | LogError::UnknownSheet { .. }
                    | LogError::Database { .. }
            );
            assert!(expected, "{fault}");
            None
        }
    }
}

/// Much of a file is unused room, where damage does no harm; everywhere else a check finds it.
#[test]
fn a_damaged_log_is_refused_or_reads_as_it_was() {
    let (folder, bytes, code, said) = sound_log();
    let mut random = Pcg64Mcg::seed_from_u64(11);
    let mut refusals = 0;
    for at in (0..bytes.len()).step_by(97) {
        let mut damaged = bytes.clone();
        let end = (at + 16).min(damaged.len());
        random.fill(&mut damaged[at..end]);
        match read_damaged(&folder, &damaged, &code, &said) {
            Some(now) => assert_eq!(now, said, "misread after damage at byte {at}"),
            None => refusals += 1,
        }
    }
    assert!(refusals > 0);
}

/// One changed byte in what was recorded is noticed wherever it lives. (A page that was split keeps
/// dead copies of rows; changing those changes nothing that is said.)
#[test]
fn a_changed_byte_in_a_record_is_noticed() {
    let (folder, bytes, code, said) = sound_log();
    // With how many living copies there are at least: 40 rows, 2 rungs, 1 student and its indexes.
    for (record, least) in [
        ("note ", 40),
        ("half-ball", 42),
        ("pool-9ft", 42),
        ("2025-11-25", 40),
        ("Lefty", 3),
        ("Leftyleft", 2),
        ("Tuesday", 1),
    ] {
        let places = (0..bytes.len()).filter(|k| bytes[*k..].starts_with(record.as_bytes()));
        let mut noticed = 0;
        for at in places {
            let mut damaged = bytes.clone();
            damaged[at + record.len() - 1] ^= 0x01;
            match read_damaged(&folder, &damaged, &code, &said) {
                Some(now) => assert_eq!(now, said, "{record} misread after byte {at}"),
                None => noticed += 1,
            }
        }
        assert!(noticed >= least, "{record}: {noticed} of {least} noticed");
    }
}

#[test]
fn a_log_cut_short_is_refused() {
    let (folder, bytes, _, _) = sound_log();
    let copy = folder.path().join("copy.sqlite");
    for length in [100, 4096, bytes.len() / 2, bytes.len() - 4096] {
        fs::write(&copy, &bytes[..length]).unwrap();
        let fault = refused(&copy);
        assert!(
            matches!(fault, LogError::Damaged { .. }),
            "{length}: {fault}"
        );
    }
    // Emptied, with the journal still there.
    fs::write(&copy, "").unwrap();
    fs::write(folder.path().join("copy.sqlite-wal"), "journal").unwrap();
    assert!(matches!(refused(&copy), LogError::Damaged { .. }));
    assert!(folder.path().join("copy.sqlite-wal").exists());
}
