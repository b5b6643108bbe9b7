//! Drawing up a lesson: how the minutes are shared out, and shots for every part.
//!
//! Shares are common practice of a one-hour lesson, not measured; chances are assumptions. Shots are
//! for the student in the middle of a group, marks for each student.

use super::file::{
    LESSON_FORMAT, Lesson, LessonError, LessonShot, MINUTES_A_TRY, Part, Skill, aims,
};
use super::part::{LeftOut, PartKind};
use super::words::{
    CAUTION, game_words, left_out_words, part_words, title, tries_each, turn_words,
};
use crate::field::Field;
use crate::gear::Gear;
use crate::ladder::{
    Ladder, LadderError, Marks, MarksWishes, Pass, Student, Topic, Wishes, ladder, marks, rotation,
};
use crate::pocket::PocketName;
use crate::units::{Length, UnitSystem};
use crate::window::Stroke;

/// Shortest lesson, minutes (assumption: less leaves no part two tries).
const SHORTEST_MIN: u32 = 20;
/// Longest lesson, minutes (assumption: a day).
const LONGEST_MIN: u32 = 480;

/// Shots of a part.
#[derive(Clone, Copy)]
struct Rungs {
    count: usize,
    /// Chance of the first and of the last.
    from: f64,
    to: f64,
}

const fn rungs(count: usize, from: f64, to: f64) -> Rungs {
    Rungs { count, from, to }
}

/// Widest cut to warm up with, rad (assumption: a quarter of a right angle is still nearly straight).
const WARM_UP_CUT_RAD: f64 = std::f64::consts::FRAC_PI_8;

/// What kind of part, its share of the lesson, and its shots.
type Slot = (PartKind, f64, Rungs);

/// For one student.
const ALONE: [Slot; 4] = [
    (PartKind::WarmUp, 0.15, rungs(2, 0.9, 0.8)),
    (PartKind::Test, 0.2, rungs(3, 0.7, 0.5)),
    (PartKind::Topic, 0.35, rungs(3, 0.8, 0.5)),
    (PartKind::Drill, 0.3, rungs(3, 0.7, 0.4)),
];
/// For a group: everybody waits more, so a game keeps them at it.
const TOGETHER: [Slot; 5] = [
    (PartKind::WarmUp, 0.15, rungs(2, 0.9, 0.8)),
    (PartKind::Test, 0.2, rungs(2, 0.7, 0.5)),
    (PartKind::Topic, 0.25, rungs(3, 0.8, 0.5)),
    (PartKind::Marks, 0.2, rungs(1, 0.6, 0.6)),
    (PartKind::Drill, 0.2, rungs(3, 0.7, 0.4)),
];
/// Homework: minutes and shots.
const HOMEWORK: (u32, Rungs) = (20, rungs(3, 0.8, 0.5));
/// Chances at which one string is looked for that does for everybody, the best game first.
const GAMES: [f64; 5] = [0.6, 0.7, 0.5, 0.8, 0.4];
/// Fewest tries of each student at a shot: fewer shots rather than fewer tries.
const TRIES_EACH: u32 = 2;
/// Fewest tries of a student after which a pass score says anything.
const TRIES_TO_PASS: u32 = 3;

/// Chance of making all tries from which on all of them may be the pass score (assumption: as likely as not).
const ALL_IS_FAIR: f64 = 0.5;

/// A game from marks on one string, and who has none.
struct Game {
    marks: Marks,
    left_out: LeftOut,
}

/// What a lesson is to be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LessonWishes {
    /// What it is about.
    pub topic: Topic,
    /// Into one pocket only, where that is the weakness.
    pub pocket: Option<PocketName>,
    /// Why, for the coach.
    pub because: Option<String>,
    /// Minutes at the table.
    pub minutes: u32,
    /// Tables played on at the same time, at least 1.
    pub tables: u32,
    /// Units of the tape, for marks.
    pub units: UnitSystem,
}

/// Draws up a lesson; shots are for the student in the middle.
///
/// # Errors
/// [`LessonError::Ladder`]: an empty group, too few minutes, or shots that cannot be had.
pub fn lesson(
    gear: &Gear,
    gear_name: &str,
    group: &[Student],
    wishes: &LessonWishes,
) -> Result<Lesson, LessonError> {
    let middle = middle(group).ok_or(LadderError::EmptyGroup)?;
    check(wishes)?;
    let skills: Vec<Skill> = group.iter().map(skill).collect();
    let LessonWishes {
        topic,
        minutes,
        tables,
        ..
    } = *wishes;
    let own = skill(middle);
    let plan = Plan {
        gear,
        group,
        own: &own,
        wishes,
    };
    let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
    Ok(Lesson {
        format: LESSON_FORMAT.to_owned(),
        title: title(topic, &labels),
        students: labels,
        topic,
        minutes,
        tables,
        gear: gear_name.to_owned(),
        arm_deg: own.arm_deg,
        picture_mm: own.picture_mm,
        lean_deg: own.lean_deg,
        because: wishes.because.clone(),
        caution: CAUTION.to_owned(),
        skills,
        parts: plan.parts()?,
    })
}

fn check(wishes: &LessonWishes) -> Result<(), LadderError> {
    if !(SHORTEST_MIN..=LONGEST_MIN).contains(&wishes.minutes) {
        return Err(LadderError::TooShort {
            minutes: wishes.minutes,
            need: format!("a lesson has {SHORTEST_MIN} to {LONGEST_MIN}"),
        });
    }
    if !(1..=100).contains(&wishes.tables) {
        return Err(LadderError::Word {
            option: Field::PlayingOn,
            value: wishes.tables.to_string(),
            choices: "whole numbers from 1 to 100",
        });
    }
    Ok(())
}

/// The student in the middle by the spread at one metre.
fn middle(group: &[Student]) -> Option<&Student> {
    let mut order: Vec<&Student> = group.iter().collect();
    let spread = |s: &Student| s.error.sigma_rad(1.0, 1.0);
    order.sort_by(|a, b| spread(a).total_cmp(&spread(b)));
    order.get(order.len() / 2).copied()
}

/// As the file keeps a student: rounded to what a person reads, so that a check finds the same.
fn skill(student: &Student) -> Skill {
    let [left, right] = student.aims();
    let lean = [left, right].map(|a| thousandths(a.bias_rad.to_degrees()));
    Skill {
        student: student.label.clone(),
        who: student.who.clone(),
        arm_deg: thousandths(left.arm_rad.to_degrees()),
        picture_mm: thousandths(1e3 * left.picture_m),
        lean_deg: lean.iter().any(|l| l.abs() > 0.0).then_some(lean),
    }
}

fn thousandths(x: f64) -> f64 {
    (1e3 * x).round() / 1e3 + 0.0
}

/// What every part is drawn up from.
struct Plan<'a> {
    gear: &'a Gear,
    group: &'a [Student],
    own: &'a Skill,
    wishes: &'a LessonWishes,
}

impl Plan<'_> {
    fn parts(&self) -> Result<Vec<Part>, LessonError> {
        let game = if self.group.len() > 1 {
            self.game()
        } else {
            None
        };
        let slots: &[Slot] = if self.group.len() > 1 {
            &TOGETHER
        } else {
            &ALONE
        };
        let mut parts = Vec::with_capacity(slots.len() + 1);
        let mut left = self.wishes.minutes;
        for (seed, &(kind, share, rungs)) in (1..).zip(slots) {
            let minutes = if kind == PartKind::Drill {
                left
            } else {
                rounded(share * f64::from(self.wishes.minutes))
            };
            if kind == PartKind::Marks {
                if let Some(sheet) = &game {
                    parts.push(self.marks(sheet, minutes));
                    left -= minutes;
                }
                continue;
            }
            left -= minutes;
            let rungs = Rungs {
                count: rungs.count.min(self.most_shots(minutes)),
                ..rungs
            };
            let (topic, ladder) = if kind == PartKind::WarmUp {
                (Topic::Mixed, self.warm_up(seed, rungs)?)
            } else {
                let topic = self.wishes.topic;
                (topic, self.ladder(topic, seed, rungs)?)
            };
            parts.push(self.part(kind, minutes, topic, &ladder));
        }
        let (minutes, rungs) = HOMEWORK;
        let topic = self.wishes.topic;
        let ladder = self.ladder(topic, 9, rungs)?;
        parts.push(self.part(PartKind::Homework, minutes, topic, &ladder));
        Ok(parts)
    }

    fn ladder(&self, topic: Topic, seed: u64, rungs: Rungs) -> Result<Ladder, LessonError> {
        Ok(ladder(self.gear, &self.wishes(topic, seed, rungs)?)?)
    }

    /// Nearly straight shots, where there are such with these chances.
    fn warm_up(&self, seed: u64, rungs: Rungs) -> Result<Ladder, LessonError> {
        let mut wishes = self.wishes(Topic::Mixed, seed, rungs)?;
        wishes.cuts_rad.1 = wishes.cuts_rad.1.min(WARM_UP_CUT_RAD);
        ladder(self.gear, &wishes).or_else(|_| self.ladder(Topic::Mixed, seed, rungs))
    }

    fn wishes(&self, topic: Topic, seed: u64, rungs: Rungs) -> Result<Wishes, LessonError> {
        let own = self.own;
        let [left, right] =
            aims(own.arm_deg, own.picture_mm, own.lean_deg).map_err(LadderError::from)?;
        let mut wishes = Wishes::new(left);
        wishes.right = (left != right).then_some(right);
        let own = self.wishes.pocket;
        wishes
            .pockets
            .retain(|p| topic.wants_pocket(p.kind()) && own.is_none_or(|own| own == *p));
        wishes.rungs = rungs.count;
        (wishes.from_chance, wishes.to_chance) = (rungs.from, rungs.to);
        wishes.topic = topic;
        wishes.seed = seed;
        Ok(wishes)
    }

    /// Tries of all tables together in so many minutes.
    fn tries_in(&self, minutes: u32) -> f64 {
        f64::from(minutes * self.wishes.tables) / MINUTES_A_TRY
    }

    fn students(&self) -> u32 {
        u32::try_from(self.group.len()).unwrap_or(u32::MAX)
    }

    /// Shots of a part, so that everybody gets enough tries at each.
    fn most_shots(&self, minutes: u32) -> usize {
        let each = self.tries_in(minutes) / f64::from(self.students() * TRIES_EACH);
        usize::try_from(rounded(each.floor())).unwrap_or(1).max(1)
    }

    fn part(&self, kind: PartKind, minutes: u32, topic: Topic, ladder: &Ladder) -> Part {
        let shots = f64::from(u32::try_from(ladder.rungs.len()).unwrap_or(1));
        let home = kind == PartKind::Homework;
        // homework is done alone
        let (all, people) = if home {
            (f64::from(minutes) / MINUTES_A_TRY, 1)
        } else {
            (self.tries_in(minutes), self.students())
        };
        let each = rounded((all / shots / f64::from(people)).floor()).max(1);
        let counted = matches!(kind, PartKind::Test | PartKind::Drill | PartKind::Homework);
        let passes: Vec<Option<u32>> = ladder
            .rungs
            .iter()
            .map(|r| {
                let pass = ladder.wishes.pass.pass_in(r.shot.chance, each);
                let enough = counted && each >= TRIES_TO_PASS;
                // Nobody is asked for all of them who would seldom make them all.
                let fits = |p: &Pass| p.makes < each || p.passes >= ALL_IS_FAIR;
                pass.filter(|p| enough && fits(p)).map(|p| p.makes)
            })
            .collect();
        let passed = passes.iter().all(Option::is_some);
        let tables = if home { 1 } else { self.wishes.tables };
        Part {
            kind,
            minutes,
            balls: 2 * tables,
            say: part_words(kind, topic, passed, &tries_each(each, people)),
            turns: Vec::new(),
            shots: ladder
                .rungs
                .iter()
                .zip(passes)
                .map(|(r, pass)| LessonShot {
                    cue: r.shot.cue.to_string(),
                    object: r.shot.object.to_string(),
                    pocket: r.shot.pocket.name().to_owned(),
                    // a large group at one table: not everybody gets a turn at each shot
                    tries: (each * people).min(rounded((all / shots).floor())).max(1),
                    pass,
                    makes_in_ten: (1e3 * r.shot.chance).round() / 100.0,
                    student: None,
                    along: None,
                })
                .collect(),
        }
    }

    /// One string for everybody; where there is none, without whoever is farthest from the middle, as long as
    /// two in three play (assumption: of fewer it is no game of the group).
    fn game(&self) -> Option<Game> {
        let spread = |s: &Student| s.error.sigma_rad(1.0, 1.0);
        let middle = spread(middle(self.group)?);
        let mut players: Vec<&Student> = self.group.iter().collect();
        let mut left_out = LeftOut::default();
        loop {
            if let Some(marks) = self.marks_for(&players) {
                return Some(Game { marks, left_out });
            }
            let off = |s: &&Student| (spread(s) / middle).ln().abs();
            let farthest = (0..players.len())
                .max_by(|a, b| off(&players[*a]).total_cmp(&off(&players[*b])))?;
            if 3 * (players.len() - 1) < 2 * self.group.len() || players.len() < 3 {
                return None;
            }
            let out = players.remove(farthest);
            let beside = if spread(out) > middle {
                &mut left_out.weaker
            } else {
                &mut left_out.better
            };
            beside.push(out.label.clone());
        }
    }

    /// One string for these, at the first chance at which there is one.
    fn marks_for(&self, players: &[&Student]) -> Option<Marks> {
        let rounded: Vec<Student> = players
            .iter()
            .filter_map(|&student| {
                let s = skill(student);
                let [left, right] = aims(s.arm_deg, s.picture_mm, s.lean_deg).ok()?;
                Some(Student {
                    error: left,
                    right: Some(right),
                    ..student.clone()
                })
            })
            .collect();
        GAMES.into_iter().find_map(|chance| {
            let wishes = MarksWishes {
                chance,
                object: None,
                pocket: None,
                stroke: Stroke::centre_ball(),
            };
            marks(self.gear, &rounded, &wishes).ok()
        })
    }

    fn marks(&self, game: &Game, minutes: u32) -> Part {
        let sheet = &game.marks;
        let labels: Vec<String> = sheet.marks.iter().map(|m| m.label.clone()).collect();
        let tables = self.wishes.tables;
        let turns = rotation(&labels, tables, minutes).unwrap_or_default();
        let players = u32::try_from(labels.len()).unwrap_or(u32::MAX).max(1);
        let each = rounded((self.tries_in(minutes) / f64::from(players)).floor()).max(1);
        let most = rounded(self.tries_in(minutes).floor());
        let bed = &self.gear.bed;
        let mut order: Vec<_> = sheet.marks.iter().collect();
        order.sort_by(|a, b| a.distance_m.total_cmp(&b.distance_m));
        Part {
            kind: PartKind::Marks,
            minutes,
            balls: 2 * tables,
            say: game_words(sheet, bed, each, self.wishes.units) + &left_out_words(&game.left_out),
            turns: turns.iter().map(turn_words).collect(),
            shots: order
                .iter()
                .map(|m| LessonShot {
                    cue: format!("{:.1}mm,{:.1}mm", 1e3 * m.at.x, 1e3 * m.at.y),
                    object: sheet.object.to_string(),
                    pocket: sheet.pocket.name().to_owned(),
                    tries: each.min(most / players).max(1),
                    pass: None,
                    makes_in_ten: (1e3 * m.chance).round() / 100.0,
                    student: Some(m.label.clone()),
                    along: Some(self.tape(m.distance_m)),
                })
                .collect(),
        }
    }
}

impl Plan<'_> {
    /// A length as a tape shows it and a file takes it: `52.5cm`, `20.75in`.
    fn tape(&self, m: f64) -> String {
        match self.wishes.units {
            UnitSystem::Metric => format!("{}cm", (1e3 * m).round() / 10.0),
            UnitSystem::Inches => {
                format!("{}in", (4.0 * Length::from_m(m).inches()).round() / 4.0)
            }
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "minutes and tries of a lesson"
)]
fn rounded(x: f64) -> u32 {
    x.round() as u32
}
