//! Which drills to set up? Booklets of ladders.
//!
//! Each shot is a diagram of the table to scale, the places in words and diamonds, what passes and
//! boxes for the tries. Shots are read from the answers of [`crate::ladder`] or from a ladder kept in
//! the practice log, so a booklet prints what was computed, or an edited file of it.

use super::drill::{Drill, Drills, print_all};
use super::fault::{BookletError, SheetError};
use super::page::Sheet;
use super::parts::Style;
use super::words::cut::care;
use super::words::ladder as words;
use crate::answer::who_is_words;
use crate::gear::Gear;
use crate::ladder::LadderAnswer;
use crate::speech::PRACTICE;

/// A ladder to print.
#[derive(Debug, Clone, PartialEq)]
pub struct Booklet {
    /// Name of the gear it was drawn up for.
    pub gear: String,
    /// What it practises.
    pub topic: String,
    /// Who climbs.
    pub player: String,
    /// Its code in the practice log.
    pub code: Option<String>,
    /// Whether the log is known to keep it.
    pub kept: bool,
    /// The stroke of every rung in table lengths, where it was asked for.
    pub stroke_lengths: Option<f64>,
    /// `left` or `right`, and reach over the table in m, where rungs were left out for them.
    pub stands: Option<(String, f64)>,
    /// Balls that stand in the way of every rung, and where in words.
    pub obstacles: Vec<(String, String)>,
    /// The rungs, easiest first.
    pub rungs: Vec<Drill>,
}

impl Booklet {
    /// An answer.
    #[must_use]
    pub fn new(ladder: &LadderAnswer) -> Self {
        Self {
            gear: ladder.gear.clone(),
            topic: ladder.practise.name().replace('-', " "),
            player: ladder.player.clone(),
            code: ladder.code.clone(),
            kept: false,
            stroke_lengths: ladder.stroke_lengths,
            stands: ladder.hand.clone().zip(ladder.reach_mm.map(|mm| 1e-3 * mm)),
            obstacles: std::iter::zip(&ladder.obstacles, &ladder.obstacle_words)
                .map(|(place, words)| (place.clone(), words.clone()))
                .collect(),
            rungs: ladder.rungs.iter().map(Drill::from).collect(),
        }
    }
}

/// The booklet's pages.
///
/// # Errors
/// [`BookletError`].
pub fn ladder_sheet(gear: &Gear, ladder: &Booklet, style: &Style) -> Result<Sheet, BookletError> {
    style.printed_on(gear, |style| laid_out(gear, ladder, style))
}

fn laid_out(gear: &Gear, ladder: &Booklet, style: &Style) -> Result<Sheet, BookletError> {
    same_gear(gear, &ladder.gear)?;
    let topic = &ladder.topic;
    let known = words::coded(&words::title(topic), ladder.code.as_deref());
    let mut sheet = style.sheet(known.clone(), words::ABOUT);
    sheet.size_matters(false);
    sheet.run_head(known);
    if ladder.rungs.is_empty() {
        return Err(SheetError::Empty("ladder".to_owned()).into());
    }
    sheet.heading(&words::heading(topic))?;
    sheet.paragraph(&words::how_to_play(&ladder.player, &ladder.gear, style))?;
    if let Some(who) = who_is_words(gear, &ladder.player, style.speech()).filter(|_| !style.plain) {
        sheet.paragraph(&who)?;
    }
    sheet.paragraph(&care(PRACTICE, style))?;
    let code = ladder.code.as_deref().map(|text| Code {
        text,
        kept: ladder.kept,
    });
    code_line(&mut sheet, code, words::TALLY, style)?;
    if let Some(lengths) = ladder.stroke_lengths {
        sheet.paragraph(&words::same_stroke(lengths))?;
    }
    if let Some((hand, reach_m)) = &ladder.stands {
        sheet.paragraph(&words::stands(hand, *reach_m, style))?;
    }
    if !ladder.obstacles.is_empty() {
        let places: Vec<&str> = ladder.obstacles.iter().map(|(_, w)| w.as_str()).collect();
        sheet.paragraph(&words::in_the_way(&places))?;
    }
    let obstacles: Vec<&str> = ladder.obstacles.iter().map(|(p, _)| p.as_str()).collect();
    let rungs: Vec<&Drill> = ladder.rungs.iter().collect();
    let all = Drills {
        shots: &rungs,
        last: true,
        obstacles: &obstacles,
    };
    print_all(&mut sheet, gear, &all, style)?;
    Ok(sheet)
}

/// The code of a sheet in the practice log, and whether the log is known to keep it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Code<'a> {
    pub(super) text: &'a str,
    pub(super) kept: bool,
}

impl<'a> Code<'a> {
    /// In the log.
    pub(super) fn kept(text: &'a str) -> Self {
        Self { text, kept: true }
    }
}

pub(super) fn same_gear(gear: &Gear, was: &str) -> Result<(), BookletError> {
    if gear.name == was {
        return Ok(());
    }
    Err(BookletError::Gear {
        was: was.to_owned(),
        now: gear.name.clone(),
    })
}

pub(super) fn code_line(
    sheet: &mut Sheet,
    code: Option<Code<'_>>,
    tally: &str,
    style: &Style,
) -> Result<(), SheetError> {
    match code {
        Some(Code { text, kept }) => sheet.paragraph(&words::code(text, kept, tally, style)),
        None => Ok(()),
    }
}
