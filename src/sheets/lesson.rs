//! Everything for a lesson: its question, three pictures and a shot at true size that answer it, the
//! parts with diagrams and boxes, homework, and a page in plain words to take home.

use self::charts::{chart_size, parts_chart, place_chart};
use self::close_up::CloseUp;
pub use self::shots::shots;
use self::shots::{Solved, drills};
use self::study::Study;
use super::drill::{Drill, Drills, first_mm, print_all};
use super::fault::BookletError;
use super::game::Game;
use super::marks::{SMALLEST, fits, lines_mm, print_turns, scores, scores_mm};
use super::page::Sheet;
use super::parts::{Style, Table, row_mm, table};
use super::why_thin;
use super::words::cut::care;
use super::words::ladder::code;
use super::words::lesson as words;
use crate::charts::margins::{Asked, MarginTable};
use crate::field::Hint;
use crate::gear::Gear;
use crate::ladder::Topic;
use crate::lesson::{
    CAUTION_PLAIN, Lesson, Part, PartKind, TopicWords, part_name, part_plain, topic_words,
};
use crate::player::{AimError, Player};
use crate::pocket::PocketKind;
use crate::speech::MARKS;
use crate::speech::first_large;
use crate::window::Stroke;

pub(crate) mod charts;
mod close_up;
mod plain;
mod shots;
pub(crate) mod study;
mod tens;

/// Largest height of a chart, mm (for the eye).
const CHART_MM: f64 = 72.0;
/// Most parts of a lesson (assumption: more do not fit their chart).
const MOST_PARTS: usize = 12;

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
        drills: drills(gear, lesson, style)?,
    };
    pack.sheet()
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
    drills: Vec<Solved>,
}

impl Pack<'_> {
    fn sheet(&self) -> Result<Sheet, BookletError> {
        let title = &self.lesson.title;
        let mut sheet = self
            .style
            .sheet(words::known(self.code, &words::title(title)), words::ABOUT);
        sheet.run_head(words::known(self.code, &first_large(title)));
        self.plan(&mut sheet)?;
        sheet.break_page();
        if lesson_opens_with_margins(self.lesson.topic) {
            self.margins(&mut sheet)?;
        }
        if self.style.plain {
            self.plain_pictures(&mut sheet)?;
        } else {
            self.charts(&mut sheet)?;
        }
        sheet.break_page();
        self.close_up(&mut sheet)?;
        let mut first = 0;
        let parts = &self.lesson.parts;
        for (k, part) in parts.iter().enumerate() {
            if part.kind == PartKind::Homework {
                sheet.break_page();
            }
            // Homework and what follows the last part begin pages of their own, and marks mostly do.
            let next = parts.get(k + 1);
            let alone = |p: &Part| matches!(p.kind, PartKind::Homework | PartKind::Marks);
            let own = Own {
                shots: &self.drills[first..first + part.shots.len()],
                first: first + 1,
                last: next.is_none_or(alone),
            };
            self.part(&mut sheet, part, &own)?;
            first += part.shots.len();
        }
        sheet.break_page();
        self.take_home(&mut sheet)?;
        Ok(sheet)
    }

    /// How far the tip may be off, for these students, on a page of its own.
    fn margins(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
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
        if table.ends_m().is_some() {
            why_thin::print(sheet, self.gear, &table, self.style)?;
            sheet.break_page();
        }
        Ok(())
    }

    fn ask(&self) -> &'static str {
        if self.style.plain {
            self.words.ask_plain
        } else {
            self.words.ask
        }
    }

    /// Question, answer in numbers, what is needed, the plan, the caution.
    fn plan(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let (lesson, plain) = (self.lesson, self.style.plain);
        sheet.heading(&first_large(&lesson.title))?;
        sheet.space(3.0);
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
        self.plan_table(sheet)?;
        sheet.space(4.0);
        // Whatever the file says: these are printed.
        sheet.paragraph(&care(MARKS, self.style))?;
        let own = if plain {
            CAUTION_PLAIN
        } else {
            lesson.caution.trim()
        };
        if !own.is_empty() {
            sheet.paragraph(own)?;
        }
        if let Some(code) = self.code_line() {
            sheet.paragraph(&code)?;
        }
        sheet.paragraph(words::diagrams(self.style))?;
        Ok(())
    }

    /// Minutes that are not spent in the lesson.
    fn homework_minutes(&self) -> Option<u32> {
        let parts = self.lesson.parts.iter();
        let home = parts.filter(|p| p.kind == PartKind::Homework);
        let minutes: u32 = home.map(|p| p.minutes).sum();
        (minutes > 0).then_some(minutes)
    }

    /// Part, time, number of shots.
    fn plan_table(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let row = |p: &Part| {
            vec![
                part_name(p.kind).to_owned(),
                words::time(p.kind, p.minutes),
                words::shots(p.shots.len()),
            ]
        };
        let rows: Vec<Vec<String>> = self.lesson.parts.iter().map(row).collect();
        let head = words::PLAN.map(str::to_owned);
        table(
            sheet,
            self.style,
            &Table {
                columns: &[0.0, 0.36, 0.62],
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

    fn charts(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let axis = self.words.axis;
        sheet.heading(words::PICTURES)?;
        // All three on this page, whatever the paper.
        let high = (0.5 * (sheet.left_mm() - self.parts_mm())).min(CHART_MM);
        let size = chart_size(sheet.room().width(), high - 0.2);
        for chart in [
            self.study.chance_chart(axis, self.style, size)?,
            self.study.room_chart(axis, self.style, size)?,
            parts_chart(
                &self.makes(),
                chart_size(sheet.room().width(), self.parts_mm()),
            )?,
        ] {
            place_chart(sheet, &chart)?;
        }
        Ok(())
    }

    /// Height of the chart of parts, mm.
    fn parts_mm(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a few parts")]
        let parts = self.makes().len() as f64;
        (30.0 + 7.0 * parts).max(CHART_MM - 9.0)
    }

    /// Makes in ten of the shots of each part that has some.
    fn makes(&self) -> Vec<(String, Vec<f64>)> {
        let with_shots = self.lesson.parts.iter().filter(|p| !p.shots.is_empty());
        with_shots
            .map(|p| {
                let makes = p.shots.iter().map(|s| s.makes_in_ten).collect();
                (part_name(p.kind).to_owned(), makes)
            })
            .collect()
    }

    /// It has a code only when its shots are kept.
    fn code_line(&self) -> Option<String> {
        let tally = words::tally(self.lesson.students.first().map(String::as_str));
        Some(code(self.code?, true, &tally, self.style))
    }

    /// The hardest shot of the topic: on the table, and its room at true size.
    fn close_up(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let Some(shown) = self.shown() else {
            return Err(BookletError::shot(
                "part",
                "no shot of the lesson has a window to draw",
            ));
        };
        let Some(close) = shown.solution.window.as_ref().ok().and_then(CloseUp::new) else {
            return Ok(());
        };
        close.print(sheet, &shown.drill, self.gear, self.style)
    }

    /// The last shot of the topic part that has a window, else the last of any part.
    fn shown(&self) -> Option<&Solved> {
        let kinds = self
            .lesson
            .parts
            .iter()
            .flat_map(|p| p.shots.iter().map(|_| p.kind));
        let mut all: Vec<(PartKind, &Solved)> = kinds.zip(&self.drills).collect();
        all.retain(|(_, s)| s.solution.window.is_ok());
        let of_topic = all.iter().rfind(|(kind, _)| *kind == PartKind::Topic);
        of_topic.or(all.last()).map(|(_, solved)| *solved)
    }

    fn part(&self, sheet: &mut Sheet, part: &Part, own: &Own<'_>) -> Result<(), BookletError> {
        let (gear, style) = (self.gear, self.style);
        let Own { shots, first, last } = *own;
        let heading = words::part(part_name(part.kind), part.minutes);
        let drills: Vec<&Drill> = shots.iter().map(|s| &s.drill).collect();
        let game = match part.kind {
            PartKind::Marks => Game::of_part(gear, &part.shots, first)?,
            _ => None,
        };
        let intro = self.intro(part, game.as_ref());
        let days = (part.kind == PartKind::Homework).then(|| self.days());
        // A game has them below its boxes.
        let turns: &[String] = if game.is_some() { &[] } else { &part.turns };
        let lines = intro.iter().chain(turns);
        let mut above: f64 = lines.map(|line| sheet.paragraph_mm(line)).sum();
        #[expect(clippy::cast_precision_loss, reason = "a few students")]
        if let Some(days) = &days {
            above += (days.len() + 1) as f64 * row_mm(style);
        }
        let mut high = 0.0;
        let block = match &game {
            Some(game) => {
                // A little smaller where that keeps the game on one page.
                let lines = 6.0 + lines_mm(sheet, game, style);
                let usual = game.high_mm(sheet, style);
                let most = sheet.page_mm() - sheet.heading_mm(&heading) - above - lines - 0.1;
                high = usual.min(most.max(SMALLEST * usual));
                high + if high <= most {
                    lines
                } else {
                    6.0 + scores_mm(sheet, game, style)
                }
            }
            None => first_mm(sheet, gear, &drills, last, style)?,
        };
        sheet.space(5.0);
        // A heading stays with the first thing to set up.
        sheet.heading_with(&heading, above + block)?;
        for line in &intro {
            sheet.paragraph(line)?;
        }
        let Some(game) = game else {
            for turn in turns {
                sheet.paragraph(turn)?;
            }
            if let Some(rows) = days {
                print_days(sheet, style, &rows)?;
            }
            let all = Drills {
                shots: &drills,
                last,
                obstacles: &[],
            };
            return print_all(sheet, gear, &all, style);
        };
        sheet.space(2.0);
        game.draw(sheet, gear, style, high)?;
        sheet.space(4.0);
        scores(sheet, &game, style)?;
        Ok(print_turns(sheet, &part.turns)?)
    }

    /// What stands between a part's heading and its shots.
    fn intro(&self, part: &Part, game: Option<&Game>) -> Vec<String> {
        let plain = self.style.plain;
        let mut out = vec![if plain {
            part_plain(part).to_owned()
        } else {
            part.say.clone()
        }];
        if plain && let Some(game) = game {
            out.push(game.set_up(self.gear, self.style));
            out.push(game.needs());
        }
        if part.kind == PartKind::Test && !plain {
            out.push(words::TEST_BOXES.to_owned());
        }
        if part.kind == PartKind::Homework {
            out.push(words::days(self.style).to_owned());
            out.extend(self.code_line());
        }
        out
    }

    /// A row for each student, a cell for each day.
    fn days(&self) -> Vec<Vec<String>> {
        let row = |name: &String| vec![name.clone(), String::new(), String::new(), String::new()];
        self.lesson.students.iter().map(row).collect()
    }
}

/// The shots of one part.
#[derive(Clone, Copy)]
struct Own<'a> {
    shots: &'a [Solved],
    /// Number of the first.
    first: usize,
    /// Whether nothing follows on its last page.
    last: bool,
}

/// A column for each day, with its date above.
fn print_days(sheet: &mut Sheet, style: &Style, rows: &[Vec<String>]) -> Result<(), BookletError> {
    let days = Table {
        columns: &[0.0, 0.4, 0.6, 0.8],
        head: &words::DAYS.map(str::to_owned),
        rows,
    };
    Ok(table(sheet, style, &days)?)
}
