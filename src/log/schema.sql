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

CREATE TABLE attempt (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    student_id INTEGER NOT NULL REFERENCES student (id),
    day TEXT NOT NULL,
    instant_us INTEGER,
    checksum INTEGER NOT NULL,
    "id" TEXT NOT NULL UNIQUE,
    "when" TEXT NOT NULL,
    "session" TEXT,
    "sheet" TEXT,
    "rung" INTEGER,
    "cue" TEXT,
    "object" TEXT,
    "pocket" TEXT,
    "cut" TEXT,
    "apart" TEXT,
    "to_pocket" TEXT,
    "approach" TEXT,
    "kind" TEXT,
    "cut_side" TEXT,
    "pace" TEXT,
    "roll" TEXT,
    "hit" TEXT,
    "side" TEXT,
    "bridge" TEXT,
    "gear" TEXT NOT NULL,
    "set" TEXT,
    "cut_direction" TEXT NOT NULL CHECK (cut_direction IN ('left', 'right')),
    "tries" INTEGER NOT NULL,
    "made" INTEGER NOT NULL,
    "full" INTEGER,
    "thin" INTEGER,
    "short" INTEGER,
    "scratch" INTEGER,
    "not_seen" INTEGER,
    "clean_thick_deg" REAL,
    "clean_thin_deg" REAL,
    "direct_thick_deg" REAL,
    "direct_thin_deg" REAL,
    "drop_thick_deg" REAL,
    "drop_thin_deg" REAL,
    "cue_travel_mm" REAL,
    "cut_deg" REAL,
    "cue_speed_m_s" REAL,
    "allowed" TEXT,
    "note" TEXT,
    CHECK (tries >= 1 AND made BETWEEN 0 AND tries),
    CHECK (coalesce("full", 0) + coalesce(thin, 0) + coalesce(short, 0) + coalesce(scratch, 0) + coalesce(not_seen, 0) <= tries - made)
) STRICT;

CREATE INDEX attempt_student ON attempt (student_id, day, instant_us);
CREATE INDEX attempt_entry ON attempt (entry_id);

-- A second copy of what no checksum covers: the integrity check compares the two.
CREATE INDEX entry_whole ON entry (id, kind, recorded, before);
CREATE INDEX student_whole ON student (label, hand, reach_mm, entry_id);
