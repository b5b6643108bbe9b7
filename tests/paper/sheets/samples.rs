//! One of every sheet.

use std::sync::OnceLock;

use thincut::charts::margins::Strip;
use thincut::draw::Paper;
use thincut::field::{Face, Hint, spoken_by};
use thincut::gear::Gear;
use thincut::ladder::{
    LadderAnswer, MarksAnswer, MarksWishes, Topic, Wishes, ladder, marks, rotation, students,
};
use thincut::lesson::{CAUTION, LESSON_FORMAT, Lesson, LessonShot, Part, PartKind, Skill};
use thincut::player::{AimError, Level, Player, chance_of_solution};
use thincut::pocket::PocketKind;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::jaws::jaws_sheet;
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::margin_strip::margin_strip_sheet;
use thincut::sheets::marks::marks_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::readings::readings_sheet;
use thincut::sheets::scale::scale_sheet;
use thincut::sheets::{Sheet, Style};
use thincut::speech::Speech;
use thincut::units::UnitSystem;
use thincut::window::{Stroke, solve};

/// A face that says what a sheet says of what to do next.
const ALOUD: Face = Face {
    field: Face::PLAIN.field,
    hint: |hint, f| match *hint {
        Hint::EnterTally { code, tally, .. } => write!(
            f,
            " For the practice log: type the code {code} and what was counted, {tally}."
        ),
        Hint::ReadStroke { distance } => write!(
            f,
            " What they say of the arm: type all the readings, and that they are over {distance}."
        ),
        Hint::MeasureGear {
            gear,
            kind,
            throat_depth,
        } => {
            let depth = throat_depth.unwrap_or("the shelf's depth");
            write!(
                f,
                "For a gear of your own: start from {gear}, give the mouth, the throat and the shelf of a {kind} pocket, the throat at {depth}, and what the other page has."
            )
        }
        Hint::TakeRolls { gear, kind, mark } => {
            write!(
                f,
                "For the jaws of {gear}: type what dropped at a {kind}, {mark} first."
            )
        }
        Hint::TypeForm => f.write_str("For a table of your own: type these readings."),
        _ => Ok(()),
    },
};

/// Sheets with what they say of what to do next.
pub(crate) fn aloud<T>(sheets: impl FnOnce() -> T) -> T {
    spoken_by(ALOUD, sheets)
}

pub(crate) fn gear() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

pub(crate) fn club() -> Player {
    Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    }
}

/// Both papers, full and plain.
pub(crate) fn styles() -> impl Iterator<Item = Style> {
    styles_in(UnitSystem::Metric)
}

pub(crate) fn styles_in(units: UnitSystem) -> impl Iterator<Item = Style> {
    [Paper::A4, Paper::Letter]
        .into_iter()
        .flat_map(move |paper| {
            [false, true].map(|plain| Style {
                paper,
                plain,
                units,
                words: None,
            })
        })
}

pub(crate) fn ladder_answer() -> LadderAnswer {
    static ONE: OnceLock<LadderAnswer> = OnceLock::new();
    let draw = || {
        let wishes = Wishes::new(Level::Club.aim_error());
        let ladder = ladder(&gear(), &wishes).unwrap();
        LadderAnswer::new(&gear(), &ladder, &club(), UnitSystem::Metric)
    };
    ONE.get_or_init(draw).clone()
}

/// Makes in ten of a lesson's shot for an aim.
pub(crate) fn chance_in_ten(shot: &LessonShot, arm_deg: f64, picture_mm: f64) -> f64 {
    let table = gear();
    let played = shot.request().shot(&table).unwrap();
    let solution = solve(&table, &played).unwrap();
    let aim = AimError::new(arm_deg.to_radians(), 1e-3 * picture_mm)
        .unwrap()
        .with_nearest_scatter();
    10.0 * chance_of_solution(&table, &played, &solution, &aim)
}

pub(crate) fn booklet() -> Booklet {
    let kept = LadderAnswer {
        code: Some("K7Q2".to_owned()),
        ..ladder_answer()
    };
    Booklet::new(&kept)
}

/// Places of a lesson's shots: cue ball, object ball, pocket.
const PLACES: [(&str, &str, &str); 4] = [
    ("4,2", "6,3", "foot-left"),
    ("3,1", "5,0.5", "foot-right"),
    ("3,1.5", "3.5,3", "side-left"),
    ("2,2.5", "6.5,1", "foot-right"),
];

/// A lesson on a preset, its parts and minutes as `lesson new` draws them up, its shots set by hand.
pub(crate) fn lesson_for(gear: &str, group: &[&str], topic: Topic) -> Lesson {
    let table = Gear::preset(gear).unwrap();
    let player = Level::Starting.aim_error();
    let part = |(kind, minutes, shots, tries): (PartKind, u32, usize, u32)| Part {
        kind,
        minutes,
        balls: 2,
        say: format!("Said by the coach in part {minutes}."),
        turns: Vec::new(),
        shots: PLACES
            .iter()
            .cycle()
            .take(shots)
            .map(|(cue, object, pocket)| {
                let request = ShotRequest {
                    places: PlacesRequest {
                        cue: Some((*cue).to_owned()),
                        object: Some((*object).to_owned()),
                        pocket: Some((*pocket).to_owned()),
                        ..PlacesRequest::default()
                    },
                    ..ShotRequest::default()
                };
                let shot = request.shot(&table).unwrap();
                let solution = solve(&table, &shot).unwrap();
                LessonShot {
                    cue: (*cue).to_owned(),
                    object: (*object).to_owned(),
                    pocket: (*pocket).to_owned(),
                    tries,
                    pass: (kind == PartKind::Test).then_some(if group.len() > 1 { 1 } else { 4 }),
                    makes_in_ten: 10.0 * chance_of_solution(&table, &shot, &solution, &player),
                    student: None,
                    along: None,
                }
            })
            .collect(),
    };
    let parts = [
        (PartKind::WarmUp, 9, 2, 6),
        (PartKind::Test, 12, 3, 6),
        (PartKind::Topic, 21, 3, 7),
        (PartKind::Drill, 18, 3, 6),
        (PartKind::Homework, 20, 3, 10),
    ];
    Lesson {
        format: LESSON_FORMAT.to_owned(),
        title: format!(
            "{} for {}",
            thincut::ladder::topic_words(topic, Speech::default()),
            group.join(", ")
        ),
        students: group.iter().map(|s| (*s).to_owned()).collect(),
        topic,
        minutes: 60,
        tables: 1,
        gear: gear.to_owned(),
        arm_deg: player.arm_rad.to_degrees(),
        picture_mm: 1e3 * player.picture_m,
        lean_deg: None,
        because: Some("most misses of the last weeks were thin cuts".to_owned()),
        caution: CAUTION.to_owned(),
        skills: Vec::new(),
        parts: parts.map(part).into(),
    }
}

/// Students of an evening, and the marks from which one shot is equally hard for all.
fn marks_of(text: &str, chance: f64, (tables, minutes): (u32, u32)) -> MarksAnswer {
    let group = students(&[text.to_owned()], &|_| Err("unknown".to_owned())).unwrap();
    let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
    let wishes = MarksWishes {
        chance,
        object: None,
        pocket: None,
        stroke: Stroke::centre_ball(),
    };
    let turns = rotation(&labels, tables, minutes).unwrap();
    let marks = marks(&gear(), &group, &wishes).unwrap();
    MarksAnswer {
        code: Some("M4T9".to_owned()),
        ..MarksAnswer::new(&gear(), &marks, &group, turns, UnitSystem::Metric)
    }
}

pub(crate) fn marks_answer() -> MarksAnswer {
    static ONE: OnceLock<MarksAnswer> = OnceLock::new();
    let draw = || marks_of("K=first-evening,L=starting,M=club,N=club", 0.7, (2, 30));
    ONE.get_or_init(draw).clone()
}

/// A whole evening: eight students, some of them alike, at one table.
pub(crate) fn marks_of_eight() -> MarksAnswer {
    static ONE: OnceLock<MarksAnswer> = OnceLock::new();
    let draw = || {
        let who = "K=first-evening,L=first-evening,M=0.8deg/5mm,N=starting,P=starting,Q=0.4deg/3mm,R=0.35deg/3mm,S=club";
        marks_of(who, 0.6, (1, 60))
    };
    ONE.get_or_init(draw).clone()
}

/// A lesson of four with a game from marks, whose numbers are those of [`marks_answer`].
pub(crate) fn group_lesson() -> Lesson {
    let answer = marks_answer();
    let mut lesson = lesson_for("pool-9ft", &["K", "L", "M", "N"], Topic::ThinCuts);
    let level = |label: &str| match label {
        "K" => Level::FirstEvening,
        "L" => Level::Starting,
        _ => Level::Club,
    };
    lesson.skills = ["K", "L", "M", "N"]
        .map(|label| {
            let error = level(label).aim_error();
            Skill {
                student: label.to_owned(),
                who: level(label).spoken(),
                arm_deg: error.arm_rad.to_degrees(),
                picture_mm: 1e3 * error.picture_m,
                lean_deg: None,
            }
        })
        .into();
    let shots = answer.marks.iter().map(|mark| LessonShot {
        cue: mark.cue.clone(),
        object: answer.object.clone(),
        pocket: answer.pocket.clone(),
        tries: 5,
        pass: None,
        makes_in_ten: mark.makes_of_ten(),
        student: Some(mark.student.clone()),
        along: None,
    });
    let game = Part {
        kind: PartKind::Marks,
        minutes: 14,
        balls: 2,
        say: "A fair game: the most makes win.".to_owned(),
        turns: vec!["0–7 min table 1: K (L sets); rest: M, N".to_owned()],
        shots: shots.collect(),
    };
    lesson.minutes += game.minutes;
    lesson.parts.insert(3, game);
    lesson
}

/// One student's lesson, drawn up once.
pub(crate) fn thin_cuts() -> &'static Lesson {
    static ONE: OnceLock<Lesson> = OnceLock::new();
    ONE.get_or_init(|| lesson_for("pool-9ft", &["K"], Topic::ThinCuts))
}

/// All sheets in a style, with the number of pages each must have.
pub(crate) fn sheets(style: &Style) -> Vec<(&'static str, Sheet, usize)> {
    let (gear, card) = (
        gear(),
        Card {
            player: Some(club()),
            ..Card::default()
        },
    );
    vec![
        ("pocket", pocket_sheet(&gear, style).unwrap(), 2),
        (
            "strip",
            margin_strip_sheet(&gear, &Strip::default(), style).unwrap(),
            1,
        ),
        ("scale", scale_sheet(&gear, 1.0, style).unwrap(), 1),
        (
            "jaws",
            jaws_sheet(&gear, PocketKind::Corner, style).unwrap(),
            2,
        ),
        (
            "readings",
            readings_sheet(&gear, style).unwrap(),
            if style.plain { 3 } else { 2 },
        ),
        (
            "room",
            card_sheet(&gear, &Card::default(), style).unwrap(),
            1,
        ),
        ("card", card_sheet(&gear, &card, style).unwrap(), 1),
        (
            "ladder",
            ladder_sheet(&gear, &booklet(), style).unwrap(),
            if style.plain { 4 } else { 3 },
        ),
        (
            "lesson",
            lesson_sheet(&gear, thin_cuts(), Some("M9U"), style).unwrap(),
            4,
        ),
        (
            "group",
            lesson_sheet(&gear, &group_lesson(), Some("M9U"), style).unwrap(),
            // In large letters the shorter paper takes one more.
            if style.plain && style.paper == Paper::Letter {
                7
            } else {
                6
            },
        ),
        (
            "marks",
            marks_sheet(&gear, &marks_answer(), style).unwrap(),
            1,
        ),
        (
            "evening",
            marks_sheet(&gear, &marks_of_eight(), style).unwrap(),
            2,
        ),
    ]
}
