-- Tables of schema 1. Every row of a log belongs to the entry that brought it, so an entry can be undone whole.

CREATE TABLE entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL CHECK (kind IN ('add', 'enter', 'import', 'student')),
    recorded TEXT NOT NULL,
    -- JSON of the student as it was, for an entry that changed one.
    before TEXT
) STRICT;

CREATE TABLE student (
    id INTEGER PRIMARY KEY,
    label TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (length(label) BETWEEN 1 AND 12),
    hand TEXT CHECK (hand IN ('left', 'right')),
    reach_mm REAL CHECK (reach_mm > 0),
    entry_id INTEGER NOT NULL REFERENCES entry (id)
) STRICT;

CREATE TABLE sheet (
    code TEXT PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('ladder', 'marks', 'lesson')),
    body TEXT NOT NULL,
    checksum INTEGER NOT NULL,
    -- None for a sheet that was made here rather than imported: undo leaves those.
    entry_id INTEGER REFERENCES entry (id)
) STRICT;

-- Its columns beside these are listed in `log/cells.rs`.
CREATE TABLE attempt (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    student_id INTEGER NOT NULL REFERENCES student (id),
    day TEXT NOT NULL,
    instant_us INTEGER,
    checksum INTEGER NOT NULL,
    COLUMNS,
    CHECK (tries >= 1 AND made BETWEEN 0 AND tries),
    CHECK (coalesce("full", 0) + coalesce(thin, 0) + coalesce(short, 0) + coalesce(scratch, 0) + coalesce(not_seen, 0) <= tries - made)
) STRICT;

CREATE INDEX attempt_student ON attempt (student_id, day, instant_us);
CREATE INDEX attempt_entry ON attempt (entry_id);

-- A second copy of what no checksum covers: the integrity check compares the two.
CREATE INDEX entry_whole ON entry (id, kind, recorded, before);
CREATE INDEX student_whole ON student (label, hand, reach_mm, entry_id);
