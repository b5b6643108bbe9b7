//! Which drills to set up? Booklets of ladders.
//!
//! Each shot is a diagram of the table to scale, the places in words and diamonds, what passes and
//! boxes for the tries. Shots are read from the answers of [`crate::ladder`] or from a ladder kept in
//! the practice log, so a booklet prints what was computed, or an edited file of it.

use super::drill::Drill;
use super::page::{Sheet, SheetError};
use super::parts::Style;
use crate::error::UnitError;
use crate::gear::Gear;
use crate::ladder::{LadderAnswer, LadderError, LessonError};
use crate::layout::with_article;

/// A booklet that cannot be printed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BookletError {
    /// Made for other equipment.
    #[error("this was drawn up for {was}, not for {now}; print it with --gear {was}")]
    Gear {
        /// In the file.
        was: String,
        /// The gear to print with.
        now: String,
    },
    /// A place.
    #[error("{0}")]
    Place(#[from] UnitError),
    /// A pocket.
    #[error("{0}")]
    Pocket(String),
    /// A lesson with a fault.
    #[error(transparent)]
    Lesson(#[from] LessonError),
    /// A shot that cannot be had.
    #[error("{place}: {problem}")]
    Shot {
        /// Which.
        place: String,
        /// Why.
        problem: String,
    },
    /// What passes.
    #[error(transparent)]
    Ladder(#[from] LadderError),
    /// A kept sheet of another kind.
    #[error(
        "{code} is a {kind} sheet; print it from what thincut ladder {kind} --keep --format json wrote"
    )]
    Kind {
        /// Its code.
        code: String,
        /// What it is.
        kind: &'static str,
    },
    /// The paper.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}

/// A ladder to print.
#[derive(Debug, Clone, PartialEq)]
pub struct Booklet {
    /// Name of the gear it was drawn up for.
    pub gear: String,
    /// What it practises.
    pub topic: String,
    /// Who climbs.
    pub player: String,
    /// Its code in the practice log, when it is kept there.
    pub code: Option<String>,
    /// The stroke of every rung in table lengths, where it was asked for.
    pub stroke_lengths: Option<f64>,
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
            topic: ladder.practise.replace('-', " "),
            player: ladder.player.clone(),
            code: ladder.code.clone(),
            stroke_lengths: ladder.stroke_lengths,
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
    same_gear(gear, &ladder.gear)?;
    let topic = &ladder.topic;
    let mut sheet = style.sheet(
        format!("Ladder: {topic}"),
        "A ladder of shots, each with a diagram, places in words and boxes for the tries.",
    );
    if ladder.rungs.is_empty() {
        return Err(SheetError::Empty("ladder".to_owned()).into());
    }
    sheet.heading(&format!("A ladder: {topic}"))?;
    sheet.paragraph(&if style.plain {
        "Start at rung 1. Try each shot once for each box. Tick what goes in. Enough ticks? Go up! In the pictures the head of the table is on the left; the white ball is the cue ball.".to_owned()
    } else {
        format!(
            "For {}, on {}. Play each rung as often as it has boxes, tick what goes in, and go up when it is passed. In the diagrams the head is left, the white ball is the cue ball and the dashed line its way; places count diamonds from the head rail, then from the right rail.",
            with_article(&ladder.player),
            ladder.gear
        )
    })?;
    code_line(&mut sheet, ladder.code.as_deref(), "\"3: A 6/10\"", style)?;
    if let Some(lengths) = ladder.stroke_lengths {
        sheet.paragraph(&format!(
            "The same stroke on every rung: it would send the cue ball {lengths} table lengths up and down with nothing in the way."
        ))?;
    }
    if !ladder.obstacles.is_empty() {
        let words: Vec<&str> = ladder.obstacles.iter().map(|(_, w)| w.as_str()).collect();
        sheet.paragraph(&format!(
            "In the way on every rung, dark in the diagrams: a ball {}.",
            words.join("; a ball ")
        ))?;
    }
    let obstacles: Vec<&str> = ladder.obstacles.iter().map(|(p, _)| p.as_str()).collect();
    for rung in &ladder.rungs {
        sheet.space(4.0);
        rung.print(&mut sheet, gear, (style, &obstacles))?;
    }
    Ok(sheet)
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
    code: Option<&str>,
    tally: &str,
    style: &Style,
) -> Result<(), SheetError> {
    match (code, style.plain) {
        (Some(code), true) => sheet.paragraph(&format!("Code: {code}")),
        (Some(code), false) => sheet.paragraph(&format!(
            "Code of this sheet: {code}. For the practice log: thincut log enter {code} {tally} (once kept there, with --keep)"
        )),
        (None, _) => Ok(()),
    }
}
