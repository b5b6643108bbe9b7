//! What a lesson says in plain words: how many of ten go in, the page to take home, and the homework of all.

use kurbo::Point;

use super::columns::Setting;
use super::grid::Grid;
use super::tens::{TENS_MM, tens};
use super::{BookletError, Own, Pack};
use crate::lesson::{CAUTION_PLAIN, PartKind};
use crate::sheets::drill::Drill;
use crate::sheets::page::Sheet;
use crate::sheets::parts::{Style, blanks, row_mm};
use crate::sheets::words::lesson as words;

/// Shots beside each other at home, and grids of students.
const SHOTS_ACROSS: usize = 3;
const GRIDS_ACROSS: usize = 2;
/// Between them, mm.
const APART_MM: f64 = 5.0;
/// Lowest diagram to take home, mm.
const LOW_MM: f64 = 22.0;
/// Days in a grid to take home, and in each of a group or in large letters.
const DAYS: u8 = 4;
const DAYS_EACH: u8 = 3;

/// Homework with the numbers of its shots.
struct Home<'a> {
    drills: Vec<&'a Drill>,
    numbers: Vec<usize>,
}

impl Pack<'_> {
    /// The style of these words, whatever the rest is set in.
    fn plain_style(&self) -> Style {
        Style {
            plain: true,
            ..*self.style
        }
    }

    /// The steps in plain words, with what is measured along them.
    fn step_names(&self) -> [String; 3] {
        let steps =
            std::array::from_fn::<_, 3, _>(|k| (self.words.steps[k], self.study.steps()[k]));
        let style = self.plain_style();
        steps.map(|(said, x)| words::plain_step(self.lesson.topic, said, x, &style))
    }

    /// Where the balls lie along the steps.
    fn step_places(&self) -> String {
        let (study, plain) = (&self.study, self.plain_style());
        let line = study.telling_line();
        words::most_likely(&words::plain_places(
            self.lesson.topic,
            line,
            study.held_m(),
            &plain,
        ))
    }

    /// So many of ten at each step: where the balls lie, and a row of ten for each.
    fn of_ten(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let study = &self.study;
        let line = study.telling_line();
        sheet.paragraph(&self.step_places())?;
        let chances = study.steps().map(|x| study.chance(x, line));
        let rows: Vec<(String, f64)> = self.step_names().into_iter().zip(chances).collect();
        tens(sheet, self.style, &rows)?;
        Ok(())
    }

    /// The same on the page to carry, where it has room for them; whether it had.
    pub(super) fn plain_pictures(&self, sheet: &mut Sheet) -> Result<bool, BookletError> {
        let high = 3.0 * TENS_MM + sheet.paragraph_mm(&self.step_places());
        if !sheet.has_room(high) {
            return Ok(false);
        }
        self.of_ten(sheet)?;
        Ok(true)
    }

    fn home<'a>(&'a self, parts: &'a [Own<'a>]) -> Home<'a> {
        let own = parts.iter().filter(|o| o.part.kind == PartKind::Homework);
        let shots = own.flat_map(|o| (o.first..).zip(o.shots));
        let (numbers, drills) = shots.map(|(number, s)| (number, &s.drill)).unzip();
        Home { drills, numbers }
    }

    /// For the pocket: in plain words whatever the rest is set in.
    pub(super) fn take_home(
        &self,
        sheet: &mut Sheet,
        parts: &[Own<'_>],
        shown: bool,
    ) -> Result<(), BookletError> {
        let plain = self.plain_style();
        sheet.break_page();
        sheet.heading(words::TAKE_HOME)?;
        blanks(sheet, self.style, words::NAME_AND_DATE)?;
        sheet.space(3.0);
        // Large letters leave no room for what the page to carry asks as well.
        if !self.style.plain {
            sheet.heading(self.words.ask_plain)?;
        }
        sheet.paragraph(self.words.answer)?;
        if !shown {
            self.of_ten(sheet)?;
            sheet.space(2.0);
        }
        sheet.heading(words::REMEMBER)?;
        for (k, said) in (1..).zip(self.words.remember) {
            sheet.paragraph(&format!("{k}. {said}"))?;
        }
        let home = self.home(parts);
        if home.drills.is_empty() {
            return Ok(sheet.paragraph(CAUTION_PLAIN)?);
        }
        sheet.space(2.0);
        sheet.heading(words::HOMEWORK)?;
        sheet.paragraph(words::DO_HOMEWORK)?;
        sheet.paragraph(words::count_at_home(&plain))?;
        let grid = Grid {
            name: "",
            shots: &home.numbers,
            days: if self.style.plain { DAYS_EACH } else { DAYS },
            size_mm: self.style.body_mm(),
            row_mm: row_mm(self.style),
        };
        let below = grid.high_mm() + 3.0 + sheet.paragraph_mm(CAUTION_PLAIN);
        self.home_shots(sheet, &home, below)?;
        let (canvas, strip) = sheet.reserve("a grid of days", grid.high_mm() + 3.0)?;
        grid.draw(canvas, strip.origin(), strip.width());
        Ok(sheet.paragraph(CAUTION_PLAIN)?)
    }

    /// The shots beside each other, as high as the page allows with so much below them.
    fn home_shots(
        &self,
        sheet: &mut Sheet,
        home: &Home<'_>,
        below_mm: f64,
    ) -> Result<(), BookletError> {
        #[expect(clippy::cast_precision_loss, reason = "a few shots")]
        let (across, rows) = (
            SHOTS_ACROSS as f64,
            home.drills.len().div_ceil(SHOTS_ACROSS) as f64,
        );
        let width_mm = (sheet.room().width() - (across - 1.0) * APART_MM) / across;
        let setting = Setting {
            gear: self.gear,
            style: self.style,
            size_mm: self.style.body_mm(),
            width_mm,
            home: true,
        };
        let mut words_mm: f64 = 0.0;
        for drill in &home.drills {
            words_mm = words_mm.max(setting.words_mm(drill)?);
        }
        let left = (sheet.left_mm() - below_mm) / rows - words_mm;
        let diagram_mm = left.clamp(LOW_MM, setting.full_mm());
        for drills in home.drills.chunks(SHOTS_ACROSS) {
            let (canvas, strip) = sheet.reserve("shots for home", words_mm + diagram_mm)?;
            let mut x = strip.x0;
            for drill in drills {
                setting.draw(canvas, drill, Point::new(x, strip.y0), diagram_mm)?;
                x += width_mm + APART_MM;
            }
        }
        Ok(())
    }

    /// A grid for each of a group, for the coach.
    pub(super) fn grids(&self, sheet: &mut Sheet, parts: &[Own<'_>]) -> Result<(), BookletError> {
        let home = self.home(parts);
        if home.drills.is_empty() || self.lesson.students.len() < 2 {
            return Ok(());
        }
        sheet.break_page();
        sheet.heading(words::EVERYBODY)?;
        sheet.paragraph(words::days(self.style))?;
        if let Some(code) = self.code_line() {
            sheet.paragraph(&code)?;
        }
        sheet.space(2.0);
        #[expect(clippy::cast_precision_loss, reason = "two")]
        let across = GRIDS_ACROSS as f64;
        let width_mm = (sheet.room().width() - (across - 1.0) * APART_MM) / across;
        for names in self.lesson.students.chunks(GRIDS_ACROSS) {
            let grid = |name| Grid {
                name,
                shots: &home.numbers,
                days: DAYS_EACH,
                size_mm: self.style.body_mm(),
                row_mm: row_mm(self.style),
            };
            let high = grid("").high_mm() + APART_MM;
            let (canvas, strip) = sheet.reserve("grids of students", high)?;
            let mut at = strip.origin();
            for name in names {
                grid(name).draw(canvas, at, width_mm);
                at.x += width_mm + APART_MM;
            }
        }
        Ok(())
    }
}
