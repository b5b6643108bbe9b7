//! A ladder or a marks sheet kept in the practice log, drawn up again for print.
//!
//! The log keeps the shots, and what passes them. For whom a ladder was drawn up it keeps only in the
//! title, so the player is given again, with the rule for ladders kept before their marks were and for
//! another rule than the usual one; nor does it keep the turns of marks.

use super::booklet::{Booklet, Code};
use super::drill::Drill;
use super::fault::BookletError;
use super::game::Game;
use super::marks::game_sheet;
use super::words::drill as words;
use super::{Sheet, Style};
use crate::gear::Gear;
use crate::ladder::{Pass, PassRule};
use crate::log::{PassMark, Rung, Sheet as Kept, SheetKind};
use crate::player::{AimError, Player, chance_of_solution};
use crate::speech::{Speech, place_words};
use crate::units::{Position, Side};
use crate::window::solve;

/// Who climbs a ladder.
#[derive(Debug, Clone, Copy)]
pub struct Climbs<'a> {
    /// The player, with the aim on left cuts.
    pub player: &'a Player,
    /// The aim on right cuts, where it is another.
    pub right: Option<&'a AimError>,
}

/// The booklet of a kept ladder for a player: with the marks it was kept with where the rule is the usual
/// one, else with those of this rule.
///
/// # Errors
/// [`BookletError`]: a marks sheet, a shot without places, a chance nobody can be ruled out at.
pub fn kept_ladder(
    gear: &Gear,
    code: &str,
    kept: &Kept,
    climbs: &Climbs<'_>,
    rule: &PassRule,
) -> Result<Booklet, BookletError> {
    if kept.kind != SheetKind::Ladder {
        return Err(BookletError::Kind {
            code: code.to_owned(),
            kind: kept.kind.name(),
        });
    }
    let rungs = (1..).zip(&kept.rungs);
    let topic = kept.title.split(" for ").next().unwrap_or(&kept.title);
    Ok(Booklet {
        gear: gear.name.clone(),
        topic: topic.replace('-', " "),
        player: climbs.player.who.clone(),
        code: Some(code.to_owned()),
        kept: true,
        stands: None,
        stroke_lengths: None,
        obstacles: Vec::new(),
        rungs: rungs
            .map(|(number, rung)| drill(gear, number, rung, climbs, rule))
            .collect::<Result<_, _>>()?,
    })
}

/// The marks sheet of kept marks.
///
/// # Errors
/// [`BookletError`]: a ladder, or marks that are not those of one shot.
pub fn kept_marks(
    gear: &Gear,
    code: &str,
    kept: &Kept,
    style: &Style,
) -> Result<Sheet, BookletError> {
    if kept.kind != SheetKind::Marks {
        return Err(BookletError::Kind {
            code: code.to_owned(),
            kind: kept.kind.name(),
        });
    }
    // As the sheet was titled: "marks at 7.0 in 10".
    let title = kept.title.strip_prefix("marks at ");
    let chance = title.and_then(|t| t.strip_suffix(" in 10")?.parse().ok());
    let game = Game::of_kept(gear, &kept.rungs, chance)?.ok_or_else(|| BookletError::Marks {
        code: code.to_owned(),
        problem: "its marks do not lie on one string from one object ball".to_owned(),
    })?;
    game_sheet(gear, &game, Some(Code::kept(code)), &[], style)
}

fn drill(
    gear: &Gear,
    number: usize,
    rung: &Rung,
    climbs: &Climbs<'_>,
    rule: &PassRule,
) -> Result<Drill, BookletError> {
    let name = words::rung(number);
    let fault = |problem: String| BookletError::Shot {
        place: name.clone(),
        problem,
    };
    let request = &rung.shot.request;
    let place = |given: &Option<String>, what: &str| {
        given
            .clone()
            .ok_or_else(|| fault(format!("it has no {what}; only places on the table print")))
    };
    let cue = place(&request.places.cue, "cue ball")?;
    let object = place(&request.places.object, "object ball")?;
    let pocket = place(&request.places.pocket, "pocket")?;
    let shot = request.shot(gear).map_err(|e| fault(e.to_string()))?;
    let solution = solve(gear, &shot).map_err(|e| fault(e.to_string()))?;
    let cut_right = solution
        .window
        .as_ref()
        .is_ok_and(|w| w.cut_side == Side::Right);
    let error = climbs.right.filter(|_| cut_right);
    let error = error.unwrap_or(&climbs.player.error);
    let chance = chance_of_solution(gear, &shot, &solution, error);
    let pass = match rung.pass.filter(|_| *rule == PassRule::default()) {
        Some(kept) => kept,
        None => {
            let Pass { makes, tries, .. } = rule.pass(chance)?;
            PassMark { makes, tries }
        }
    };
    Ok(Drill {
        cue_words: place_words(cue.parse::<Position>()?, &gear.bed, Speech::of(&gear.bed)),
        object_words: place_words(
            object.parse::<Position>()?,
            &gear.bed,
            Speech::of(&gear.bed),
        ),
        cut: Drill::cut_of(&solution),
        name,
        cue,
        object,
        pocket,
        makes_in_ten: 10.0 * chance,
        pass: Some(words::passes(pass.makes, pass.tries)),
        awkward: Vec::new(),
        boxes: vec![(String::new(), pass.tries)],
    })
}
