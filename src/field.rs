//! What an input is called, and what to do next, by whoever speaks.
//!
//! An error that is about an input holds a [`Field`], and a sentence that ends in something to do
//! holds a [`Hint`]. Neither knows how it is written: each face of the program (the command line, the
//! page, a table of shots, a form) has a [`Face`] that does, and speaks through it for the time of
//! [`spoken_by`]. Where nobody speaks, a field is its plain name and a hint is left out, so sentences
//! are worded to stand without it.

use std::cell::Cell;
use std::fmt;

/// One list of fields: the variant and its plain name.
macro_rules! fields {
    ($($variant:ident $name:literal)*) => {
        /// An input: a value somebody gives, whatever it is called there.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        #[expect(missing_docs, reason = "the names say it; requests say what each is")]
        pub enum Field {
            $($variant),*
        }

        impl Field {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// The plain name: `to-pocket`.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name),*
                }
            }
        }
    };
}

fields! {
    // a shot
    Cue "cue"
    Object "object"
    Pocket "pocket"
    Cut "cut"
    Apart "cue-to-object"
    ToPocket "to-pocket"
    Approach "approach"
    Kind "kind"
    CutSide "cut-side"
    Pace "pace"
    Stroke "lengths"
    Roll "roll"
    Hit "hit"
    Side "side"
    Bridge "bridge"
    Band "band"
    // equipment
    Gear "table"
    Set "set"
    // a player
    Level "level"
    Arm "stroke-spread"
    Picture "sighting-spread"
    Sigma "aim-spread"
    Bias "steady-error"
    ArmGrowth "stroke-growth"
    Tip "tip"
    Arrives "arrives"
    TipSpread "tip-spread"
    SpeedSpread "speed-spread"
    BallSpread "ball-spread"
    Hand "hand"
    Reach "reach"
    Seated "seated"
    StrokeDistance "stroke-distance"
    StrokeSpeed "stroke-speed"
    // a stroke by itself
    Speed "speed"
    Across "across"
    Height "height"
    Elevation "elevation"
    // many shots
    Cuts "cuts"
    Approaches "approaches"
    Distance "distance"
    // a game
    Game "game"
    On "on"
    Nominated "nominated"
    FreeBall "free-ball"
    InHand "in-hand"
    Group "group"
    Rules "rules"
    Break "break"
    // a layout
    Targets "targets"
    Shot "shot"
    Leave "leave"
    WinMake "win-make"
    WinMiss "win-miss"
    WinSafe "win-safe"
    // ways of aiming
    Fractions "fractions"
    Allowance "allowance"
    Shaft "shaft"
    ShaftMultiples "shaft-multiples"
    ShaftStep "shaft-step"
    EyeBehind "eye-behind"
    EyeHeight "eye-height"
    LampHeight "lamp-height"
    LampAhead "lamp-ahead"
    LampLeft "lamp-left"
    LampAt "lamp-at"
    Own "own"
    Pivot "pivot"
    Squirt "squirt"
    // ladders, marks, lessons
    Rungs "rungs"
    From "from"
    To "to"
    Practise "practise"
    Topic "topic"
    Pockets "pockets"
    CutsTo "cuts-to"
    Obstacle "obstacle"
    Seed "seed"
    Tries "tries"
    Confidence "confidence"
    WeakerBy "weaker-by"
    Chance "chance"
    Students "students"
    PlayingOn "playing-on"
    Race "race"
    // readings of a table
    TableLength "table-length"
    TableWidth "table-width"
    BallDiameter "ball-diameter"
    BallWeight "ball-weight"
    CueBallDiameter "cue-ball-diameter"
    CueBallWeight "cue-ball-weight"
    CornerMouth "corner-mouth"
    CornerGap "corner-gap"
    CornerThroat "corner-throat"
    CornerThroatDepth "corner-throat-depth"
    CornerShelf "corner-shelf"
    CornerFall "corner-fall"
    CornerRounding "corner-rounding"
    SideMouth "side-mouth"
    SideGap "side-gap"
    SideThroat "side-throat"
    SideThroatDepth "side-throat-depth"
    SideShelf "side-shelf"
    SideFall "side-fall"
    SideRounding "side-rounding"
    HeadLeftMouth "head-left-mouth"
    HeadRightMouth "head-right-mouth"
    SideLeftMouth "side-left-mouth"
    SideRightMouth "side-right-mouth"
    FootLeftMouth "foot-left-mouth"
    FootRightMouth "foot-right-mouth"
    RollOut "roll-out"
    RollLengths "roll-lengths"
    Throw "throw"
    GoodTo "good-to"
    Rolls "rolls"
    RampRun "ramp-run"
    RampAt "ramp-at"
    RailStraight "straight"
    RailAt45 "at-45"
    PivotTest "pivot-test"
    TipOff "tip-off"
    // pictures and paper
    Size "size"
    Paper "paper"
    // the log
    Log "log"
    Keep "keep"
    // the page
    Bind "bind"
    Token "token"
    Phones "phones"
    Host "host"
    Port "port"
}

/// What inputs were called in the first edition, and what they are called now. Files, logs and links
/// that say the former are read for good.
pub const FIRST_EDITION: &[(&str, Field)] = &[
    ("apart", Field::Apart),
    ("stroke", Field::Stroke),
    ("gear", Field::Gear),
    ("arm", Field::Arm),
    ("picture", Field::Picture),
    ("sigma", Field::Sigma),
    ("bias", Field::Bias),
    ("arm-growth", Field::ArmGrowth),
    ("lag", Field::RollOut),
    ("run", Field::RollLengths),
];

/// The name of today for one of the first edition; any other as it is.
#[must_use]
pub fn today(name: &str) -> &str {
    let known = FIRST_EDITION.iter().find(|(first, _)| *first == name);
    known.map_or(name, |(_, field)| field.name())
}

impl fmt::Display for Field {
    /// As the face that speaks calls it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (FACE.get().field)(*self, f)
    }
}

/// Several fields that go together: `cue, object and pocket`; with `{:#}` `cue object pocket`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fields(pub &'static [Field]);

impl Fields {
    /// What makes a shot on the table.
    pub const ON_TABLE: Self = Self(&[Field::Cue, Field::Object, Field::Pocket]);
    /// What makes a shot by angles.
    pub const BY_ANGLES: Self = Self(&[Field::Cut, Field::Apart, Field::ToPocket]);
}

impl fmt::Display for Fields {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (k, field) in self.0.iter().enumerate() {
            let between = match self.0.len() - k {
                _ if k == 0 => "",
                _ if f.alternate() => " ",
                1 => " and ",
                _ => ", ",
            };
            write!(f, "{between}{field}")?;
        }
        Ok(())
    }
}

/// Something to do next, which not every face has a way for. A face writes it with the marks that
/// join it to its sentence, or leaves it out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Hint<'a> {
    /// See how far the assumed bounce of jaws and rails matters.
    SeeBand,
    /// Let a file be replaced.
    Replace,
    /// Show every row.
    ShowAll,
    /// Ask for shots that would tell more about a student.
    TellMore,
    /// Test the stroke alone.
    TestStroke,
    /// Record tries at a shot that would tell more.
    Record {
        /// Who shoots.
        student: &'a str,
        /// Cue ball.
        cue: &'a str,
        /// Object ball.
        object: &'a str,
        /// Pocket.
        pocket: &'a str,
    },
    /// Ask what can be said of a student.
    AskSkill {
        /// Who.
        student: &'a str,
    },
    /// Say how good the instruments are.
    SayGoodTo,
    /// Have an empty form of readings.
    EmptyForm,
    /// Find a reading in the file of the form.
    InForm {
        /// Its section.
        section: &'a str,
        /// Its key there.
        key: &'a str,
    },
    /// Turn the filled-in form into a gear.
    TakeForm,
    /// Have the chance of a shot worked out.
    AskChance,
    /// Print marks from the answer that has all of them.
    PrintAnswer,
    /// Enter what a sheet counted.
    EnterTally {
        /// The sheet's code.
        code: &'a str,
        /// A tally, such as `"3: K 6/10"`.
        tally: &'a str,
        /// Whether the log is known to keep the sheet.
        kept: bool,
    },
    /// Ask what the readings of a stroke test say.
    ReadStroke {
        /// Where the readings were taken, as an option takes it.
        distance: &'a str,
    },
    /// Make a gear of measured pockets.
    MeasureGear {
        /// The gear it starts from.
        gear: &'a str,
        /// Corner or side.
        kind: &'a str,
        /// Where the throat was measured, when not at the shelf.
        throat_depth: Option<&'a str>,
    },
    /// Say what the readings of the pivot test tell of a cue.
    ReadCue,
    /// Type what was written on the measuring form.
    TypeForm,
    /// Say what rolls at the edges of a mouth tell of its jaws.
    TakeRolls {
        /// The gear they were rolled on.
        gear: &'a str,
        /// Corner or side.
        kind: &'a str,
        /// A mark of the test, such as `L36`.
        mark: &'a str,
    },
    /// Say that a file is an export of one's own, whose rows may name tables by their paths.
    OwnExport,
    /// Name the file of the log.
    NameLog,
    /// Record tries that are in the log already.
    Again,
    /// Add a student to the log, or change one.
    SetStudent {
        /// Who.
        label: &'a str,
    },
    /// Take the last entry back.
    Undo,
    /// See all keys of a gear file.
    ShowKeys,
    /// See all charts.
    ListCharts,
    /// See the tables that are built in.
    ListTables,
    /// Check a lesson's file.
    CheckLesson,
    /// Have a lesson drawn up.
    DrawUpLesson,
    /// Take the answer that marks a string.
    TakeMarks,
    /// Print a kept sheet.
    PrintSheet {
        /// What it is.
        kind: &'a str,
        /// Its code.
        code: &'a str,
    },
    /// Put a backup of the log back.
    RestoreLog,
    /// Put a backup of the log back, or save what can be read of it.
    MendLog,
}

impl fmt::Display for Hint<'_> {
    /// As the face that speaks says it, or nothing.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (FACE.get().hint)(self, f)
    }
}

/// How one face of the program calls fields and says hints.
#[derive(Debug, Clone, Copy)]
pub struct Face {
    /// Writes a field's name.
    pub field: fn(Field, &mut fmt::Formatter<'_>) -> fmt::Result,
    /// Writes a hint, or nothing.
    pub hint: fn(&Hint<'_>, &mut fmt::Formatter<'_>) -> fmt::Result,
}

impl Face {
    /// Plain names and no hints: where nobody speaks.
    pub const PLAIN: Self = Self {
        field: |field, f| f.write_str(field.name()),
        hint: |_, _| Ok(()),
    };
}

thread_local! {
    static FACE: Cell<Face> = const { Cell::new(Face::PLAIN) };
}

/// Runs `speak` with fields and hints written by a face. Threads it starts speak plainly until they
/// are told otherwise.
pub fn spoken_by<T>(face: Face, speak: impl FnOnce() -> T) -> T {
    /// Gives the word back, by whichever way `speak` ends.
    struct Before(Face);
    impl Drop for Before {
        fn drop(&mut self) {
            FACE.set(self.0);
        }
    }
    let _before = Before(FACE.replace(face));
    speak()
}
