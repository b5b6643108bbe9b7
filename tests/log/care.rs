//! Looking after a log: checks, backups, a backup put back, what can be saved of damage, reading
//! where nothing can be written.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use tempfile::TempDir;
use thincut::log::backup::backup_folder;
use thincut::log::{Attempt, Filter, Log, LogError, Student, backups, replaced, restore, salvage};

use crate::broken::sound_log;
use crate::growth::guarded_rows;
use crate::processes::program;
use crate::{all, attempt, entry, export, folder, new_log, when};

/// A log of schema 1, and its export by the program of that time.
const FIRST: &str = "tests/data/editions/first/practice.sqlite";
const FIRST_EXPORT: &str = "tests/data/editions/first/export.csv";

fn add(log: &mut Log, note: &str) {
    let mut row = attempt("A", 10, 6);
    row.note = Some(note.to_owned());
    log.add(&entry(vec![row])).expect("a row");
}

fn notes(log: &Log) -> Vec<String> {
    all(log).into_iter().filter_map(|a| a.note).collect()
}

fn beside(path: &Path, suffix: &str) -> PathBuf {
    PathBuf::from(format!("{}{suffix}", path.display()))
}

/// A closed log with rows named by a day.
fn log_of(folder: &TempDir, note: &str) -> PathBuf {
    let mut log = new_log(folder);
    add(&mut log, note);
    log.path().to_owned()
}

fn files(log: &Path) -> Vec<String> {
    let found = backups(log).expect("readable");
    let name = |p: &PathBuf| p.file_name().unwrap().to_str().unwrap().to_owned();
    found.iter().map(name).collect()
}

/// Changes the hand of a student in the table, whose copy in an index then differs: nothing but the
/// check of the whole file can know.
fn damage(path: &Path) {
    let mut bytes = fs::read(path).unwrap();
    let at = (0..bytes.len())
        .find(|k| bytes[*k..].starts_with(b"Leftyleft"))
        .expect("a student");
    bytes[at + 5..at + 9].copy_from_slice(b"LEFT");
    fs::write(path, bytes).unwrap();
}

/// Bytes this thread has read and written so far.
#[cfg(target_os = "linux")]
fn moved() -> u64 {
    let text = fs::read_to_string("/proc/thread-self/io").expect("the kernel counts");
    let count = |name| {
        let line = text.lines().find_map(|l| l.strip_prefix(name)).unwrap();
        line.trim().parse::<u64>().unwrap()
    };
    count("rchar:") + count("wchar:")
}

/// Opening a log and recording a row moves the pages that lead to a row, not the log.
#[cfg(target_os = "linux")]
#[test]
fn recording_costs_the_same_in_a_large_log() {
    let cost = |rows: u32| {
        let folder = folder();
        let path = log_of(&folder, "first");
        let filled = rusqlite::Connection::open(&path).unwrap();
        let columns: Vec<String> = filled
            .prepare(
                "SELECT name FROM pragma_table_info('attempt') WHERE name NOT IN ('number', 'id')",
            )
            .unwrap()
            .query_map([], |row| Ok(format!("\"{}\"", row.get::<_, String>(0)?)))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let columns = columns.join(", ");
        filled
            .execute_batch(&format!(
                "WITH RECURSIVE k (k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM k WHERE k < {rows})
                 INSERT INTO attempt (id, {columns}) SELECT 'x' || k, {columns} FROM attempt, k;
                 PRAGMA wal_checkpoint(TRUNCATE);"
            ))
            .unwrap();
        drop(filled);
        let before = moved();
        let mut log = Log::open_existing(&path).unwrap();
        // With a look for the same tries, as the command has it.
        log.add_once(&entry(vec![attempt("A", 10, 5)])).unwrap();
        drop(log);
        moved() - before
    };
    let (small, large) = (cost(100), cost(50_000));
    // Trees of a large log are a page or two deeper; the log is five hundred times as large.
    assert!(large < 3 * small, "{small} bytes, {large} bytes");
}

/// What an end by force leaves: the log and its journal.
fn cut_off(folder: &TempDir) -> PathBuf {
    let left = Student {
        hand: Some(thincut::units::Hand::Left),
        ..Student::named("Lefty")
    };
    let mut log = new_log(folder);
    log.set_student(&left, &when("2025-11-25")).unwrap();
    let path = log.path().to_owned();
    drop(log);
    let mut log = Log::open_existing(&path).unwrap();
    add(&mut log, "in the journal");
    let copy = folder.path().join("copy.sqlite");
    fs::copy(&path, &copy).unwrap();
    fs::copy(beside(&path, "-wal"), beside(&copy, "-wal")).unwrap();
    copy
}

#[test]
fn a_log_is_checked_after_an_end_that_was_not_clean_and_only_then() {
    let folder = folder();
    let sound = cut_off(&folder);
    let log = Log::open_existing(&sound).unwrap();
    assert_eq!(notes(&log), ["in the journal"]);
    drop(log);
    assert!(!beside(&sound, "-wal").exists(), "taken in");

    // Closed well, a log is opened without a look at all of it; a check finds what is wrong.
    damage(&sound);
    let log = Log::open_existing(&sound).unwrap();
    assert!(!log.check().unwrap().problems.is_empty());
    drop(log);

    let folder = crate::folder();
    let broken = cut_off(&folder);
    damage(&broken);
    let before = fs::read(&broken).unwrap();
    for _ in 0..2 {
        let fault = Log::open_existing(&broken).unwrap_err();
        assert!(matches!(fault, LogError::Damaged { .. }), "{fault}");
        // Who only reads is told what can be read, and leaves all as it is.
        let log = Log::open_reading(&broken).unwrap();
        assert_eq!(notes(&log), ["in the journal"]);
    }
    // Whoever wanted to write is told what can be done.
    let told = said(program(&broken).args(["log", "undo"]), 1);
    assert!(
        told.contains("log restore") && told.contains("log salvage"),
        "{told}"
    );
    assert_eq!(fs::read(&broken).unwrap(), before);
    assert!(beside(&broken, "-wal").exists());
}

/// The tally is recorded all the same; who asks for the backup is told why there is none.
#[test]
fn a_place_that_takes_no_backup_is_named() {
    let folder = folder();
    let log = new_log(&folder);
    let place = backup_folder(log.path());
    if place.is_dir() {
        fs::remove_dir_all(&place).unwrap();
    }
    fs::write(&place, "a file").unwrap();
    let fault = log.back_up_daily(&when("2025-11-26")).unwrap_err();
    assert!(matches!(fault, LogError::Backup { .. }), "{fault}");
    assert!(fault.to_string().contains(&*place.to_string_lossy()));
}

#[test]
fn a_journal_of_a_program_at_work_is_no_unclean_end() {
    let folder = folder();
    let mut first = new_log(&folder);
    add(&mut first, "one");
    assert!(beside(first.path(), "-wal").exists());
    let mut second = Log::open_existing(first.path()).unwrap();
    add(&mut second, "two");
    drop(second);
    add(&mut first, "three");
    assert_eq!(notes(&first), ["one", "two", "three"]);
    assert_eq!(first.check().unwrap().problems, [""; 0]);
}

#[test]
fn a_day_of_use_leaves_a_backup_and_five_are_kept() {
    let folder = folder();
    let empty = Log::open(&folder.path().join("empty.sqlite")).unwrap();
    assert_eq!(empty.back_up_daily(&when("2025-11-01")).unwrap(), None);

    let path = log_of(&folder, "before");
    for day in 1..=7 {
        let mut log = Log::open_existing(&path).unwrap();
        let today = when(&format!("2025-11-0{day}"));
        let made = log.back_up_daily(&today).unwrap().expect("one");
        assert_eq!(log.back_up_daily(&today).unwrap(), None, "once a day");
        add(&mut log, &format!("day {day}"));
        let copy = Log::open_reading(&made).unwrap();
        let last = (1..day).map(|d| format!("day {d}"));
        let wanted: Vec<String> = std::iter::once("before".to_owned()).chain(last).collect();
        assert_eq!(notes(&copy), wanted);
    }
    let kept = [7, 6, 5, 4, 3].map(|d| format!("2025-11-0{d}.sqlite"));
    assert_eq!(files(&path), kept);
}

#[test]
fn a_backup_before_a_migration_bears_schema_and_day() {
    let folder = folder();
    let path = log_of(&folder, "old");
    let log = Log::open_existing(&path).unwrap();
    let made = log.back_up_before_migration(1).unwrap();
    assert_eq!(files(&path), ["2025-11-25-schema-1.sqlite"]);
    assert_eq!(notes(&Log::open_reading(&made).unwrap()), ["old"]);
}

#[test]
fn copies_of_a_damaged_log_do_not_push_out_sound_ones() {
    let folder = folder();
    let (inside, bytes, _, _) = sound_log();
    let path = inside.path().join("practice.sqlite");
    let log = Log::open_existing(&path).unwrap();
    log.back_up_daily(&when("2025-11-01")).unwrap();
    drop(log);
    fs::write(&path, bytes).unwrap();
    damage(&path);
    let log = Log::open_existing(&path).unwrap();
    let fault = log.back_up_daily(&when("2025-11-02")).unwrap_err();
    assert!(matches!(fault, LogError::Damaged { .. }), "{fault}");
    assert_eq!(files(&path), ["2025-11-01.sqlite"]);
    drop((folder, log));
}

#[test]
fn a_backup_takes_the_place_of_a_damaged_log() {
    let folder = folder();
    let path = log_of(&folder, "kept");
    assert!(matches!(
        restore(&path, &folder.path().join("none.sqlite")),
        Err(LogError::Missing(_))
    ));
    let mut log = Log::open_existing(&path).unwrap();
    let backup = log.back_up_daily(&when("2025-11-25")).unwrap().unwrap();
    add(&mut log, "later");
    let fault = restore(&path, &backup).unwrap_err();
    assert!(matches!(fault, LogError::InUse { .. }), "{fault}");
    assert_eq!(notes(&log), ["kept", "later"]);
    drop(log);

    let later = fs::read(&path).unwrap();
    let done = restore(&path, &backup).unwrap();
    assert_eq!((done.rows, done.from.as_path()), (1, backup.as_path()));
    let aside = done.replaced.unwrap();
    assert_eq!(fs::read(&aside).unwrap(), later);
    assert_eq!(replaced(&path).unwrap(), std::slice::from_ref(&aside));
    assert_eq!(notes(&Log::open_existing(&path).unwrap()), ["kept"]);
    // What was put aside can be put back in the same way.
    restore(&path, &aside).unwrap();
    assert_eq!(
        notes(&Log::open_existing(&path).unwrap()),
        ["kept", "later"]
    );

    // Whatever state the log is in, an emptied one included, and its journal goes with it.
    for broken in [&b""[..], b"garbage", &later[..5000]] {
        fs::write(&path, broken).unwrap();
        fs::write(beside(&path, "-wal"), "journal").unwrap();
        let done = restore(&path, &backup).unwrap();
        assert_eq!(fs::read(done.replaced.unwrap()).unwrap(), broken);
        assert_eq!(notes(&Log::open_existing(&path).unwrap()), ["kept"]);
    }
    // No log at all.
    fs::remove_file(&path).unwrap();
    assert_eq!(restore(&path, &backup).unwrap().replaced, None);
    // A broken backup changes nothing.
    fs::write(&backup, &later[..5000]).unwrap();
    restore(&path, &backup).unwrap_err();
    assert_eq!(notes(&Log::open_existing(&path).unwrap()), ["kept"]);
}

/// What a salvage of these bytes saves, each row as it was recorded; and how many.
fn saved(folder: &TempDir, bytes: &[u8], said: &[Attempt]) -> usize {
    let broken = folder.path().join("broken.sqlite");
    let new = folder.path().join("saved.sqlite");
    let _ = fs::remove_file(&new);
    fs::write(&broken, bytes).expect("written");
    let done = salvage(&broken, &new, &when("2025-11-26")).expect("salvaged");
    assert_eq!(fs::read(&broken).expect("a file"), bytes, "left as it is");
    let log = Log::open_existing(&new).expect("a log");
    assert_eq!(log.check().expect("read").problems, [""; 0]);
    let rows = all(&log);
    assert_eq!(rows.len(), done.rows);
    for row in &rows {
        assert!(said.contains(row), "{row:?}");
    }
    done.rows
}

#[test]
fn what_can_be_read_of_a_damaged_log_is_saved() {
    let (folder, bytes, code, said) = sound_log();
    let rows = said.0.len();
    assert_eq!(saved(&folder, &bytes, &said.0), rows);
    let log = Log::open_existing(&folder.path().join("saved.sqlite")).unwrap();
    let whole = Log::open_existing(&folder.path().join("practice.sqlite")).unwrap();
    assert_eq!(export(&log), export(&whole));
    assert_eq!(log.students().unwrap(), said.1);
    assert_eq!(log.find_sheet(&code).unwrap().1, said.2);
    drop((log, whole));

    // Any page lost: what was on it is lost, and nothing else.
    let mut random = Pcg64Mcg::seed_from_u64(7);
    let pages = bytes.len() / 4096;
    let mut lost = 0;
    for page in 0..pages {
        let mut damaged = bytes.clone();
        random.fill(&mut damaged[page * 4096..][..4096]);
        lost += rows - saved(&folder, &damaged, &said.0);
    }
    assert_eq!(lost, rows, "each row is on one page");
    // Flipped bits cost a row at most, or the few of a page.
    for _ in 0..60 {
        let mut damaged = bytes.clone();
        let at = random.random_range(0..bytes.len());
        damaged[at] ^= 1 << random.random_range(0..8);
        assert!(saved(&folder, &damaged, &said.0) + 12 >= rows, "byte {at}");
    }
    // A file cut short by a page.
    assert!(saved(&folder, &bytes[..(pages - 1) * 4096], &said.0) > 0);
}

#[test]
fn logs_of_both_schemas_are_saved() {
    let folder = folder();
    let wanted = guarded_rows(&fs::read_to_string(FIRST_EXPORT).unwrap());
    let bytes = fs::read(FIRST).unwrap();
    let rows = wanted.lines().filter(|l| l.starts_with("attempt,")).count();
    let from = |name: &str, bytes: &[u8]| {
        let old = folder.path().join(name);
        let new = folder.path().join(format!("new-{name}"));
        fs::write(&old, bytes).unwrap();
        let done = salvage(&old, &new, &when("2025-12-01")).unwrap();
        let saved = Log::open_existing(&new).unwrap();
        // What a fit counts is there too.
        for student in saved.students().unwrap() {
            saved.practice(&student.label, None).unwrap();
        }
        (done.rows, export(&saved))
    };
    // Sound, and without its first page, which says what schema it has.
    assert_eq!(from("whole.sqlite", &bytes), (rows, wanted.clone()));
    let mut headless = bytes.clone();
    headless[..4096].fill(0);
    assert_eq!(from("headless.sqlite", &headless), (rows, wanted.clone()));
    // The same once it was brought to the newest.
    let path = folder.path().join("newest.sqlite");
    fs::write(&path, &bytes).unwrap();
    drop(Log::open_existing(&path).unwrap());
    let mut headless = fs::read(&path).unwrap();
    headless[..4096].fill(0);
    assert_eq!(from("newest-headless.sqlite", &headless), (rows, wanted));
}

#[test]
fn what_was_taken_back_is_not_saved() {
    let folder = folder();
    let mut log = new_log(&folder);
    for k in 0..60 {
        add(&mut log, &format!("row {k}"));
    }
    for _ in 0..50 {
        log.undo().unwrap();
    }
    let wanted = export(&log);
    let (path, new) = (log.path().to_owned(), folder.path().join("new.sqlite"));
    drop(log);
    let done = salvage(&path, &new, &when("2025-11-26")).unwrap();
    assert_eq!((done.rows, done.lost), (10, 0));
    assert_eq!(export(&Log::open_existing(&new).unwrap()), wanted);
    assert!(matches!(
        salvage(&path, &new, &when("2025-11-26")),
        Err(LogError::Taken(_))
    ));
}

pub(crate) fn said(command: &mut Command, code: i32) -> String {
    let done = command.output().expect("the program starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let said = format!("{}{}", text(&done.stdout), text(&done.stderr));
    assert_eq!(done.status.code(), Some(code), "{said}");
    said
}

#[test]
fn a_log_is_looked_after_from_the_command_line() {
    let (folder, bytes, _, _) = sound_log();
    let path = folder.path().join("practice.sqlite");
    let run = |args: &[&str], code| said(program(&path).arg("log").args(args), code);
    assert_eq!(
        run(&["check"], 0),
        "Sound: 40 rows, 3 students and 1 sheet, all as they were recorded.\nNo backup yet.\n"
    );
    let none = LogError::NoBackup { path: path.clone() };
    assert!(run(&["restore"], 2).contains(&none.to_string()));
    run(&["undo"], 0);
    assert!(run(&["check"], 0).contains("39 rows") && run(&["check"], 0).contains("1 backup"));
    assert!(run(&["restore"], 0).contains("40 rows"));

    fs::write(&path, &bytes).unwrap();
    damage(&path);
    let told = run(&["check"], 1);
    assert!(
        told.starts_with("Damaged; 40 rows") && told.contains("salvage"),
        "{told}"
    );
    let told = run(&["salvage", "saved.sqlite"], 0);
    assert!(
        told.starts_with("Saved 40 rows, 3 students and 1 sheet into saved.sqlite.\n"),
        "{told}"
    );
    assert!(run(&["salvage", "saved.sqlite"], 2).contains("already"));
    assert!(run(&["restore", "saved.sqlite"], 0).contains("40 rows"));
    assert!(run(&["check"], 0).starts_with("Sound"));
}

#[test]
fn an_emptied_log_is_refused() {
    let folder = folder();
    let path = log_of(&folder, "gone");
    fs::write(&path, "").unwrap();
    for args in [&["list"][..], &["students", "set", "A"], &["export"]] {
        let told = said(program(&path).arg("log").args(args), 1);
        assert!(
            told.contains("is empty") && told.contains("restore"),
            "{told}"
        );
    }
    assert_eq!(fs::read(&path).unwrap(), b"");
}

#[test]
fn first_commands_that_race_make_one_log() {
    let folder = folder();
    let path = folder.path().join("new.sqlite");
    let labels: Vec<String> = (0..6).map(|k| format!("S{k}")).collect();
    let started: Vec<_> = labels
        .iter()
        .map(|label| {
            let mut command = program(&path);
            command
                .args(["log", "students", "set", label])
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in started {
        assert!(child.wait().unwrap().success());
    }
    let students = Log::open_existing(&path).unwrap().students().unwrap();
    assert_eq!(students.len(), labels.len());
    let left: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.starts_with('.'))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[cfg(unix)]
fn mode(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt as _;
    fs::metadata(path).expect("there").permissions().mode() & 0o777
}

#[cfg(unix)]
fn set_mode(path: &Path, mode: u32) {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("ours");
}

#[cfg(unix)]
#[test]
fn a_log_is_its_owners_only() {
    let folder = folder();
    let path = log_of(&folder, "one");
    assert_eq!(mode(&path), 0o600);
    // One that an earlier edition made.
    set_mode(&path, 0o644);
    let mut log = Log::open_existing(&path).unwrap();
    add(&mut log, "two");
    assert_eq!(mode(&path), 0o600);
    assert_eq!(mode(&beside(&path, "-wal")), 0o600);
    let backup = log.back_up_daily(&when("2025-11-25")).unwrap().unwrap();
    assert_eq!(mode(&backup), 0o600);
    assert_eq!(mode(backup.parent().unwrap()), 0o700);
    let new = folder.path().join("saved.sqlite");
    salvage(&path, &new, &when("2025-11-26")).unwrap();
    assert_eq!(mode(&new), 0o600);
}

/// A file and a folder closed to writing. The superuser may write anywhere, so the program then runs
/// as somebody else.
#[cfg(unix)]
#[test]
fn a_log_that_cannot_be_written_can_be_read() {
    use std::os::unix::fs::MetadataExt as _;
    use std::os::unix::process::CommandExt as _;
    const NOBODY: u32 = 65_534;
    let folder = folder();
    let path = log_of(&folder, "one");
    // One of schema 1, which cannot be brought to the newest where it lies.
    let old = folder.path().join("old.sqlite");
    fs::copy(FIRST, &old).unwrap();
    let first = fs::read(&old).unwrap();
    let superuser = fs::metadata("/proc/self").is_ok_and(|m| m.uid() == 0);
    if superuser {
        for log in [&path, &old] {
            std::os::unix::fs::chown(log, Some(NOBODY), None).unwrap();
        }
    }
    let program = folder.path().join("thincut");
    fs::copy(env!("CARGO_BIN_EXE_thincut"), &program).unwrap();
    set_mode(&program, 0o755);
    set_mode(&path, 0o400);
    set_mode(folder.path(), 0o555);
    let run_with = |log: &Path, args: &[&str], code| {
        let mut command = Command::new(&program);
        command.arg("log").args(args).env("THINCUT_LOG", log);
        // No settings of whoever runs the tests.
        command.env("HOME", "/").env_remove("XDG_CONFIG_HOME");
        command.current_dir("/");
        if superuser {
            command.uid(NOBODY);
        }
        said(&mut command, code)
    };
    let run = |args: &[&str], code| run_with(&path, args, code);
    // The file closed, then only its folder: no backup can be made, so it is not changed.
    for mode in [0o400, 0o600] {
        set_mode(&old, mode);
        let told = run_with(&old, &["export"], 0);
        assert_eq!(
            told,
            guarded_rows(&fs::read_to_string(FIRST_EXPORT).unwrap())
        );
        assert_eq!(fs::read(&old).unwrap(), first);
    }
    assert!(run(&["list"], 0).contains("A"));
    assert_eq!(run(&["students"], 0), "A\nB\n");
    assert!(run(&["export"], 0).contains("one"));
    let told = run(&["undo"], 1);
    assert!(told.contains("cannot be written"), "{told}");
    // With a backup folder it could not make, too.
    assert!(run(&["check"], 0).starts_with("Sound: 1 row"));
    set_mode(folder.path(), 0o755);
    assert_eq!(all(&Log::open_reading(&path).unwrap()).len(), 1);
    let filter = Filter::default();
    assert_eq!(
        Log::open_reading(&path)
            .unwrap()
            .attempts(&filter)
            .unwrap()
            .len(),
        1
    );
}
