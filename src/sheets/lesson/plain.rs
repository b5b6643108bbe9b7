//! The pages of a lesson in plain words: how many of ten go in, and the page to take home.

use super::tens::tens;
use super::{BookletError, Pack};
use crate::lesson::{CAUTION_PLAIN, PartKind};
use crate::sheets::page::{PLAIN_PT, Sheet};
use crate::sheets::parts::{Style, blanks, of_ten};
use crate::sheets::words::lesson as words;

impl Pack<'_> {
    /// The style of these pages, whatever the rest is set in.
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

    /// A row of ten for each step, all on the middle line.
    fn by_step(&self) -> Vec<(String, f64)> {
        let study = &self.study;
        let line = study.lines()[1];
        let chances = study.steps().map(|x| study.chance(x, line));
        self.step_names().into_iter().zip(chances).collect()
    }

    /// Where the balls lie in those rows.
    fn step_places(&self) -> String {
        let (study, style) = (&self.study, self.plain_style());
        words::plain_places(self.lesson.topic, study.lines()[1], study.held_m(), &style)
    }

    pub(super) fn plain_pictures(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        sheet.heading(words::OF_TEN)?;
        sheet.paragraph(&self.step_places())?;
        tens(sheet, self.style, &self.by_step())?;
        sheet.space(4.0);
        self.farther(sheet)?;
        sheet.space(4.0);
        sheet.heading(words::TODAY)?;
        let parts: Vec<(String, f64)> = self
            .makes()
            .into_iter()
            .map(|(name, makes)| {
                #[expect(clippy::cast_precision_loss, reason = "a few shots")]
                let middle = makes.iter().sum::<f64>() / makes.len() as f64;
                (name, 0.1 * middle)
            })
            .collect();
        tens(sheet, self.style, &parts)?;
        Ok(())
    }

    /// The same from three distances, at the step where they differ most to see.
    fn farther(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let (study, style) = (&self.study, self.plain_style());
        let chances = |k: usize| {
            let step = study.steps()[k];
            study.far_lines().map(|m| study.chance(step, m))
        };
        let fall = |k: usize| of_ten(chances(k)[0]) - of_ten(chances(k)[2]);
        // The middle one belongs to the topic more than the easiest.
        let k = usize::from(fall(0) <= fall(1));
        let step = &self.step_names()[k];
        let topic = self.lesson.topic;
        sheet.heading(words::farther(topic))?;
        sheet.paragraph(&words::farther_at(topic, step, study.held_m(), &style))?;
        let names = study.far_lines().map(|m| words::far(topic, m, &style));
        let rows: Vec<(String, f64)> = names.into_iter().zip(chances(k)).collect();
        tens(sheet, self.style, &rows)?;
        if fall(k) < 0.5 {
            sheet.paragraph(words::HARDLY_HARDER)?;
        }
        Ok(())
    }

    /// For the pocket: in plain words whatever the rest is set in.
    pub(super) fn take_home(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let style = self.plain_style();
        sheet.set_body(PLAIN_PT);
        sheet.heading(words::TAKE_HOME)?;
        blanks(sheet, &style, words::NAME_AND_DATE)?;
        sheet.space(5.0);
        sheet.heading(self.words.ask_plain)?;
        sheet.paragraph(self.words.answer)?;
        sheet.paragraph(&words::most_likely(&self.step_places()))?;
        tens(sheet, &style, &self.by_step())?;
        sheet.space(5.0);
        sheet.heading(words::REMEMBER)?;
        for (k, said) in (1..).zip(self.words.remember) {
            sheet.paragraph(&format!("{k}. {said}"))?;
        }
        let parts = &self.lesson.parts;
        if parts.iter().any(|p| p.kind == PartKind::Homework) {
            sheet.space(3.0);
            sheet.heading(words::HOMEWORK)?;
            sheet.paragraph(words::DO_HOMEWORK)?;
        }
        sheet.paragraph(CAUTION_PLAIN)?;
        Ok(())
    }
}
