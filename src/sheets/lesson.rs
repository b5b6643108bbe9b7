//! Everything for a lesson that a binder takes: a page to carry, diagrams in two columns, a game from marks
//! on a page of its own, a page to take home, and for a group a grid of everybody's homework.

use self::charts::{chart_size, place_chart};
use self::close_up::CloseUp;
use self::columns::{Columns, Section, Setting, column_mm};
pub use self::shots::shots;
use self::shots::{Solved, drills};
use self::study::Study;
use super::fault::BookletError;
use super::game::Game;
use super::marks::{SMALLEST, fits, lines_mm, print_turns, scores, turns_mm};
use super::page::Sheet;
use super::parts::{Style, Table, table};
use super::why_thin;
use super::words::cut::care;
use super::words::ladder::code;
use super::words::lesson as words;
use crate::charts::margins::{Asked, MarginTable};
use crate::draw::text::{self, Weight};
use crate::field::Hint;
use crate::gear::Gear;
use crate::ladder::Topic;
use crate::lesson::{Lesson, Part, PartKind, TopicWords, part_name, part_plain, topic_words};
use crate::player::{AimError, Player};
use crate::pocket::PocketKind;
use crate::speech::{MARKS, PRACTICE, first_large};
use crate::window::Stroke;

pub(crate) mod charts;
mod close_up;
mod columns;
mod grid;
mod plain;
mod shots;
pub(crate) mod study;
mod tens;

/// Lowest and highest height of the chart, mm (for the eye).
const CHART_MM: (f64, f64) = (48.0, 80.0);
/// Most parts of a lesson (assumption: the page to carry has no room for more).
const MOST_PARTS: usize = 12;
/// Most lines of a part in the plan; more go on in a row of their own.
const MOST_LINES: usize = 12;

/// The pack of a lesson, with the code under which its shots are kept in the practice log.
///
/// # Errors
/// [`BookletError`]: another gear, a lesson without shots or with a fault, too many parts, labels
/// too long.
pub fn lesson_sheet(
    gear: &Gear,
    lesson: &Lesson,
    code: Option<&str>,
    style: &Style,
) -> Result<Sheet, BookletError> {
    style.printed_on(gear, |style| laid_out(gear, lesson, code, style))
}

fn laid_out(
    gear: &Gear,
    lesson: &Lesson,
    code: Option<&str>,
    style: &Style,
) -> Result<Sheet, BookletError> {
    lesson.check(gear)?;
    if lesson.parts.iter().all(|p| p.shots.is_empty()) {
        return Err(BookletError::shot(
            "part",
            format!(
                "no part has a shot; add [[part.shot]] tables{}",
                Hint::DrawUpLesson
            ),
        ));
    }
    if lesson.parts.len() > MOST_PARTS {
        let problem = format!(
            "{} parts; a pack has at most {MOST_PARTS}",
            lesson.parts.len()
        );
        return Err(BookletError::shot("part", &problem));
    }
    let marked = lesson.parts.iter().flat_map(|p| &p.shots);
    for label in lesson
        .students
        .iter()
        .chain(marked.filter_map(|s| s.student.as_ref()))
    {
        fits(label)?;
    }
    let solved = drills(gear, lesson, style)?;
    let pack = Pack {
        gear,
        lesson,
        code,
        style,
        words: topic_words(lesson.topic),
        study: Study {
            gear,
            player: AimError::new(lesson.arm_deg.to_radians(), 1e-3 * lesson.picture_mm)
                .map_err(|e| BookletError::shot("arm_deg and picture_mm", e))?
                .with_nearest_scatter(),
            topic: lesson.topic,
            units: style.units,
        },
    };
    pack.sheet(&solved)
}

/// A lesson on thin cuts first shows how the margin shrinks with the hit and the distance.
fn lesson_opens_with_margins(topic: Topic) -> bool {
    topic == Topic::ThinCuts
}

struct Pack<'a> {
    gear: &'a Gear,
    lesson: &'a Lesson,
    code: Option<&'a str>,
    style: &'a Style,
    words: &'static TopicWords,
    study: Study<'a>,
}

/// A part with its shots.
struct Own<'a> {
    part: &'a Part,
    shots: &'a [Solved],
    /// Number of the first.
    first: usize,
    /// The game that its shots are.
    game: Option<Game>,
}

impl Pack<'_> {
    fn sheet(&self, solved: &[Solved]) -> Result<Sheet, BookletError> {
        let title = &self.lesson.title;
        let mut sheet = self
            .style
            .sheet(words::known(self.code, &words::title(title)), words::ABOUT);
        sheet.run_head(words::known(self.code, &first_large(title)));
        sheet.size_matters(false);
        let parts = self.parts(solved)?;
        let shown = self.carry(&mut sheet, &parts)?;
        self.diagrams(&mut sheet, &parts)?;
        for own in &parts {
            if let Some(game) = &own.game {
                self.game(&mut sheet, own.part, game)?;
            }
        }
        self.take_home(&mut sheet, &parts, shown)?;
        self.grids(&mut sheet, &parts)?;
        Ok(sheet)
    }

    /// The parts, their shots numbered through.
    fn parts<'a>(&'a self, solved: &'a [Solved]) -> Result<Vec<Own<'a>>, BookletError> {
        let mut out = Vec::new();
        let mut first = 0;
        for part in &self.lesson.parts {
            let shots = &solved[first..first + part.shots.len()];
            let game = match part.kind {
                PartKind::Marks => Game::of_part(self.gear, &part.shots, first + 1)?,
                _ => None,
            };
            out.push(Own {
                part,
                shots,
                first: first + 1,
                game,
            });
            first += part.shots.len();
        }
        Ok(out)
    }

    /// The margins of hits and distances for these students, where the lesson opens with them.
    fn margins(&self) -> Result<Option<MarginTable>, BookletError> {
        if self.style.plain || !lesson_opens_with_margins(self.lesson.topic) {
            return Ok(None);
        }
        let asked = Asked {
            kind: PocketKind::Corner,
            to_pocket_m: None,
            approach_rad: 0.0,
            stroke: Stroke::centre_ball(),
            player: Some(Player {
                error: self.study.player,
                who: words::LESSONS_PLAYER.to_owned(),
                assumed: false,
            }),
            units: self.style.units,
        };
        let table = MarginTable::new(self.gear, &asked)
            .map_err(|e| BookletError::shot("the margins of hits and distances", e))?;
        Ok(table.ends_m().is_some().then_some(table))
    }

    fn ask(&self) -> &'static str {
        if self.style.plain {
            self.words.ask_plain
        } else {
            self.words.ask
        }
    }

    /// The page to carry: question, answer, plan with what to say, one picture that answers, the caution.
    /// Whether rows of ten are the picture.
    fn carry(&self, sheet: &mut Sheet, parts: &[Own<'_>]) -> Result<bool, BookletError> {
        let margins = self.margins()?;
        let mut trial = sheet.next_page();
        self.plan(&mut trial, parts)?;
        let left_mm = trial.left_mm();
        if trial.page_count() == 1
            && let Some(margins) = &margins
        {
            sheet.size_matters(true);
            let room = sheet.next_page().left_mm();
            sheet.size_matters(false);
            let bars_mm = sheet.next_page().left_mm() - room;
            let high = left_mm - bars_mm - 0.5;
            if high >= why_thin::least_mm(sheet, self.gear, margins, self.style) {
                sheet.size_matters(true);
                self.plan(sheet, parts)?;
                sheet.size_matters(false);
                why_thin::print_low(sheet, self.gear, margins, self.style)?;
                return Ok(false);
            }
        }
        self.plan(sheet, parts)?;
        if self.style.plain {
            return self.plain_pictures(sheet);
        }
        let high = (sheet.left_mm() - 1.0).min(CHART_MM.1);
        if high >= CHART_MM.0 {
            let size = chart_size(sheet.room().width(), high);
            let chart = self.study.chance_chart(self.words.axis, self.style, size)?;
            place_chart(sheet, &chart)?;
        }
        Ok(false)
    }

    /// Question, answer in numbers, what is needed, the plan, the caution.
    fn plan(&self, sheet: &mut Sheet, parts: &[Own<'_>]) -> Result<(), BookletError> {
        let (lesson, plain) = (self.lesson, self.style.plain);
        sheet.heading(&first_large(&lesson.title))?;
        sheet.space(1.0);
        sheet.heading(self.ask())?;
        if plain {
            sheet.paragraph(self.words.answer)?;
        } else {
            sheet.paragraph(&self.answer())?;
        }
        if let Some(why) = lesson.because.as_ref().filter(|_| !plain) {
            sheet.paragraph(&words::because(why))?;
        }
        let balls = lesson.parts.iter().map(|p| p.balls).max().unwrap_or(2);
        let takes = words::Takes {
            students: &lesson.students,
            minutes: lesson.minutes,
            homework: self.homework_minutes(),
            balls,
            gear: &self.gear.spoken(),
            player: &self.study.player,
        };
        sheet.paragraph(&words::takes(&takes, self.style))?;
        self.plan_table(sheet, parts)?;
        sheet.space(3.0);
        // Whatever the file says: these are printed.
        let game = lesson.parts.iter().any(|p| p.kind == PartKind::Marks);
        sheet.paragraph(&care(if game { MARKS } else { PRACTICE }, self.style))?;
        // In plain words they say as much as ours.
        let own = lesson.caution.trim();
        if !own.is_empty() && !plain {
            sheet.paragraph(own)?;
        }
        // Plain sheets say no more than the words to know them by, which every page has.
        if let Some(code) = self.code_line().filter(|_| !plain) {
            sheet.paragraph(&code)?;
        }
        sheet.space(2.0);
        Ok(())
    }

    /// Minutes that are not spent in the lesson.
    fn homework_minutes(&self) -> Option<u32> {
        let parts = self.lesson.parts.iter();
        let home = parts.filter(|p| p.kind == PartKind::Homework);
        let minutes: u32 = home.map(|p| p.minutes).sum();
        (minutes > 0).then_some(minutes)
    }

    /// Part and time, numbers of the shots and how hard they are, what to say.
    fn plan_table(&self, sheet: &mut Sheet, parts: &[Own<'_>]) -> Result<(), BookletError> {
        let plain = self.style.plain;
        let (columns, head): (&[f64], Vec<String>) = if plain {
            (&[0.0, 0.31], words::PLAIN_PLAN.map(str::to_owned).into())
        } else {
            (&[0.0, 0.2, 0.4], words::PLAN.map(str::to_owned).into())
        };
        let say_mm = (1.0 - columns[columns.len() - 1]) * sheet.room().width() - 1.0;
        let mut rows = Vec::new();
        for own in parts {
            let part = own.part;
            let said = match own.game {
                Some(_) if !plain => words::GAME,
                _ if plain => part_plain(part),
                _ => &part.say,
            };
            let lines = text::wrap(said, self.style.body_mm(), Weight::Regular, say_mm);
            for (k, lines) in lines.chunks(MOST_LINES).enumerate() {
                let mut row = vec![String::new(); columns.len() - 1];
                if k == 0 {
                    row[0] = words::timed(part_name(part.kind), part.kind, part.minutes);
                    if !plain {
                        row[1] = how_hard(own);
                    }
                }
                row.push(lines.join(" "));
                rows.push(row);
            }
        }
        table(
            sheet,
            self.style,
            &Table {
                columns,
                head: &head,
                rows: &rows,
            },
        )?;
        Ok(())
    }

    /// The answer with its numbers.
    fn answer(&self) -> String {
        let (style, study) = (self.style, &self.study);
        let line = study.lines()[1];
        let steps = study.steps().map(|x| {
            words::step(
                self.words.axis,
                &study.step_words(x, style),
                &study.room_words(x, line, style),
                study.chance(x, line),
            )
        });
        let places = study.places(line, style);
        words::answer(self.words.answer, study.topic, &places, &steps)
    }

    /// It has a code only when its shots are kept.
    fn code_line(&self) -> Option<String> {
        let tally = words::tally(self.lesson.students.first().map(String::as_str));
        Some(code(self.code?, true, &tally, self.style))
    }

    /// The shots of all parts but games and homework, in two columns.
    fn diagrams(&self, sheet: &mut Sheet, parts: &[Own<'_>]) -> Result<(), BookletError> {
        let at_table = |o: &&Own<'_>| o.game.is_none() && o.part.kind != PartKind::Homework;
        let sections: Vec<Section<'_>> = parts
            .iter()
            .filter(at_table)
            .filter(|o| !o.shots.is_empty())
            .map(|o| self.section(o))
            .collect();
        let width_mm = column_mm(sheet);
        let fitting = |c: &CloseUp| c.width_mm(self.style) <= width_mm;
        let columns = Columns {
            setting: Setting {
                gear: self.gear,
                style: self.style,
                size_mm: self.style.body_mm(),
                width_mm,
                home: false,
            },
            sections: &sections,
            legend: words::diagrams(self.style),
            close_up: close_up(parts).filter(fitting),
        };
        columns.print(sheet)
    }

    fn section<'a>(&self, own: &Own<'a>) -> Section<'a> {
        let part = own.part;
        let mut intro = part.turns.clone();
        if part.kind == PartKind::Test && !self.style.plain {
            intro.push(words::TEST_BOXES.to_owned());
        }
        Section {
            heading: words::part(part_name(part.kind), part.minutes),
            intro,
            shots: own.shots.iter().map(|s| &s.drill).collect(),
        }
    }

    /// A game from marks on a page of its own: the string, a line for each student, the turns.
    fn game(&self, sheet: &mut Sheet, part: &Part, game: &Game) -> Result<(), BookletError> {
        let style = self.style;
        sheet.break_page();
        sheet.heading(&words::part(part_name(part.kind), part.minutes))?;
        if style.plain {
            sheet.paragraph(part_plain(part))?;
            sheet.paragraph(&game.set_up(self.gear, style))?;
            sheet.paragraph(&game.needs())?;
        } else {
            sheet.paragraph(&part.say)?;
        }
        sheet.space(2.0);
        // A little smaller where that keeps all of it on the page, or the students' lines at least.
        let usual = game.high_mm(sheet, style);
        let left = sheet.left_mm() - 4.0 - 0.1;
        let turns = turns_mm(sheet, &part.turns);
        let lines = lines_mm(sheet, game, style);
        let fitting = [left - lines - turns, left - lines];
        let high = fitting
            .into_iter()
            .find(|high| *high >= SMALLEST * usual)
            .map_or(usual, |high| high.min(usual));
        game.draw(sheet, self.gear, style, high)?;
        sheet.space(4.0);
        scores(sheet, game, style)?;
        Ok(print_turns(sheet, &part.turns)?)
    }
}

/// Numbers of a part's shots, and makes in ten of the easiest and the hardest.
fn how_hard(own: &Own<'_>) -> String {
    let numbers = words::numbers(own.first, own.shots.len());
    if own.shots.is_empty() {
        return numbers;
    }
    let makes = || own.shots.iter().map(|s| s.drill.makes_in_ten);
    let low = makes().fold(f64::INFINITY, f64::min);
    let high = makes().fold(0.0, f64::max);
    words::how_hard(&numbers, &words::spread(low, high, own.shots.len()))
}

/// The margin of the last shot of the topic that has one, else of the last of any part at the table.
fn close_up(parts: &[Own<'_>]) -> Option<CloseUp> {
    let of = |o: &Own<'_>| {
        o.shots.iter().rev().find_map(|s| {
            let window = s.solution.window.as_ref().ok()?;
            CloseUp::new(&s.drill.name, window)
        })
    };
    let own = |topic: bool| {
        parts
            .iter()
            .rev()
            .filter(|o| o.part.kind != PartKind::Homework && o.game.is_none())
            .filter(|o| !topic || o.part.kind == PartKind::Topic)
            .find_map(of)
    };
    own(true).or_else(|| own(false))
}
