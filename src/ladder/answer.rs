//! A ladder as data: JSON, and a CSV score sheet whose columns are named like the shot's options.

use std::io::Write;

use serde::{Deserialize, Serialize};

use super::pass::makes_in_ten;
use super::pick::{Ladder, Rung};
use super::wishes::Topic;
use super::words::raised;
use crate::columns::{Cell, Columns};
use crate::field::Field;
use crate::gear::Gear;
use crate::player::{Player, range_is_said};
use crate::request::StrokeRequest;
use crate::speech::{Speech, place_words};

/// What passes a rung.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PassAnswer {
    /// Makes needed.
    pub makes: u32,
    /// Out of these tries.
    pub tries: u32,
    /// Makes in ten of the player that is ruled out.
    pub ruled_out_in_ten: f64,
    /// How often that player would pass by luck, 0 to 1.
    pub by_luck: f64,
    /// How often a student whose chance is the rung's passes, 0 to 1.
    pub passes: f64,
}

/// One rung.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RungAnswer {
    /// From 1.
    pub rung: usize,
    /// Cue ball, as `cue` takes it.
    pub cue: String,
    /// Object ball, as `object` takes it.
    pub object: String,
    /// Pocket.
    pub pocket: String,
    /// The cue ball's place in words.
    pub cue_words: String,
    /// The object ball's place in words.
    pub object_words: String,
    /// Chance, 0 to 1.
    #[serde(default)]
    pub chance: f64,
    /// The least it is over how jaws and rails may bounce.
    #[serde(default)]
    pub chance_low: Option<f64>,
    /// The most.
    #[serde(default)]
    pub chance_high: Option<f64>,
    /// The same times ten, as the first edition wrote it.
    #[serde(default, skip_serializing)]
    #[cfg_attr(feature = "page", schemars(skip))]
    pub makes_in_ten: Option<f64>,
    /// Makes in ten asked for.
    pub asked_in_ten: f64,
    /// Whether the chance is near enough to what was asked for; else this is the nearest.
    pub met: bool,
    /// Throw-free cut, degrees.
    pub cut_deg: f64,
    /// `left`, `right` or `straight`.
    pub cut_side: String,
    /// Cue ball to ghost ball, mm.
    pub cue_travel_mm: f64,
    /// Object ball to the middle of the mouth, mm.
    pub to_pocket_mm: f64,
    /// Off square to the pocket, degrees.
    pub off_square_deg: f64,
    /// Fewest makes in ten with the balls a quarter of an inch off.
    pub set_off_low_in_ten: f64,
    /// Most makes in ten with the balls a quarter of an inch off.
    pub set_off_high_in_ten: f64,
    /// Whether it stays this rung when so set.
    pub steady: bool,
    /// Why it is harder than the rung before.
    pub harder: Vec<String>,
    /// What passes it.
    pub pass: PassAnswer,
    /// Object-ball speed at the pocket on this rung.
    #[serde(default)]
    pub pace_m_s: f64,
    /// Share of the room that obstacle balls take, 0 to 1.
    #[serde(default)]
    pub blocked_share: f64,
    /// Least gap between a ball in the way and the ways of the balls, mm, negative where the middle
    /// of the way is closed; absent without such a ball.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_mm: Option<f64>,
    /// What is awkward about the stance, in words; empty where nobody said how they stand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub awkward: Vec<String>,
}

/// A ladder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct LadderAnswer {
    /// Name of the gear.
    pub gear: String,
    /// Who climbs.
    pub player: String,
    /// Whether that is an assumption.
    pub player_assumed: bool,
    /// What it practises.
    pub practise: Topic,
    /// Whether it is mirrored about the long middle line.
    pub mirrored: bool,
    /// Seed.
    pub seed: u64,
    /// Object-ball speed at the pocket, of the first rung where each has its own.
    pub pace_m_s: f64,
    /// Confidence of the pass rule, 0 to 1.
    pub confidence: f64,
    /// Makes in ten by which the player to be ruled out is worse.
    pub margin_in_ten: f64,
    /// Code with its check character, to enter tallies by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub code: Option<String>,
    /// The stroke in table lengths, where it was asked for that way; each rung has its own pace.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stroke_lengths: Option<f64>,
    /// `left` or `right`, where somebody said how the player stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand: Option<String>,
    /// Reach over the table, mm, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach_mm: Option<f64>,
    /// Balls that stand in the way, as `obstacle` takes them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub obstacles: Vec<String>,
    /// The same in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub obstacle_words: Vec<String>,
    /// The rungs, easiest first.
    pub rungs: Vec<RungAnswer>,
}

impl LadderAnswer {
    /// The ladder of a player as data.
    #[must_use]
    pub fn new(gear: &Gear, ladder: &Ladder, player: &Player, speech: impl Into<Speech>) -> Self {
        let speech = speech.into();
        let wishes = &ladder.wishes;
        let first_pace = ladder.rungs.first().map_or(0.0, |r| r.shot.pace_m_s);
        Self {
            gear: gear.name.clone(),
            player: player.who.clone(),
            player_assumed: player.assumed,
            practise: wishes.topic,
            mirrored: wishes.mirrored,
            seed: wishes.seed,
            pace_m_s: first_pace,
            confidence: wishes.pass.confidence,
            margin_in_ten: makes_in_ten(wishes.pass.margin),
            code: None,
            stroke_lengths: wishes.stroke_lengths,
            hand: wishes.reach.map(|r| r.hand.name().to_owned()),
            reach_mm: wishes.reach.map(|r| (1e6 * r.reach_m).round() / 1e3),
            obstacles: wishes.obstacles.iter().map(ToString::to_string).collect(),
            obstacle_words: wishes
                .obstacles
                .iter()
                .map(|p| place_words(*p, &gear.bed, speech))
                .collect(),
            rungs: (1..)
                .zip(&ladder.rungs)
                .map(|(number, rung)| rung_answer(gear, number, rung, speech))
                .collect(),
        }
    }
}

impl RungAnswer {
    /// The range of the chance where it is wide enough to be said.
    #[must_use]
    pub fn range_said(&self) -> Option<std::ops::Range<f64>> {
        let (low, high) = (self.chance_low?, self.chance_high?);
        range_is_said(low, high).then_some(low..high)
    }

    /// Makes in ten, whichever edition wrote it.
    #[must_use]
    pub fn makes_of_ten(&self) -> f64 {
        self.makes_in_ten.unwrap_or(10.0 * self.chance)
    }
}

fn rung_answer(gear: &Gear, number: usize, rung: &Rung, speech: Speech) -> RungAnswer {
    let (shot, pass) = (&rung.shot, &rung.pass);
    RungAnswer {
        rung: number,
        cue: shot.cue.to_string(),
        object: shot.object.to_string(),
        pocket: shot.pocket.name().to_owned(),
        cue_words: place_words(shot.cue, &gear.bed, speech),
        object_words: place_words(shot.object, &gear.bed, speech),
        chance: shot.chance,
        chance_low: rung.range.map(|r| r.low),
        chance_high: rung.range.map(|r| r.high),
        makes_in_ten: None,
        asked_in_ten: makes_in_ten(rung.target),
        met: rung.met,
        cut_deg: shot.cut_rad.abs().to_degrees(),
        cut_side: match super::find::side(shot.cut_rad) {
            0 => "straight",
            s if s < 0 => "left",
            _ => "right",
        }
        .to_owned(),
        cue_travel_mm: 1e3 * shot.travel_m,
        to_pocket_mm: 1e3 * shot.to_pocket_m,
        off_square_deg: shot.off_square_rad.to_degrees(),
        set_off_low_in_ten: 10.0 * rung.set_off.0,
        set_off_high_in_ten: 10.0 * rung.set_off.1,
        steady: rung.steady,
        harder: rung.harder.iter().map(|h| h.words(speech)).collect(),
        pass: PassAnswer {
            makes: pass.makes,
            tries: pass.tries,
            ruled_out_in_ten: pass.ruled_out_in_ten,
            by_luck: pass.by_luck,
            passes: pass.passes,
        },
        pace_m_s: shot.pace_m_s,
        blocked_share: shot.blocked_share,
        gap_mm: shot.gap_m.is_finite().then_some(1e3 * shot.gap_m),
        awkward: (shot.over_rail || shot.over_ball)
            .then(|| raised(shot.over_ball, speech))
            .into_iter()
            .collect(),
    }
}

/// A rung on the score sheet; the columns of the stroke stand behind it.
#[derive(Debug, Serialize, Deserialize)]
struct ScoreRung {
    /// For the coach to fill in, as `when` and `made`.
    student: Option<String>,
    when: Option<String>,
    sheet: Option<String>,
    rung: Option<usize>,
    cue: String,
    object: String,
    pocket: String,
}

/// What stands behind the stroke.
#[derive(Debug, Serialize, Deserialize)]
struct ScoreTries {
    gear: String,
    set: String,
    tries: u32,
    made: Option<u32>,
    note: String,
}

/// Columns of a stroke that a score sheet has filled or not; any other it has where it is filled.
const ALWAYS: [&str; 5] = ["pace", "roll", "hit", "side", "bridge"];

/// What a score sheet says of every rung alike.
#[derive(Debug, Clone, Copy)]
pub struct ScoreSheet<'a> {
    /// The stroke as asked for.
    pub stroke: &'a StrokeRequest,
    /// The gear as named: a preset or a file.
    pub gear: &'a str,
    /// Changes to it, `KEY=VALUE`.
    pub set: &'a [String],
    /// Whether the practice log keeps the sheet: it knows rungs of its own sheets only, and
    /// otherwise the code and the rung stand in the note.
    pub kept: bool,
}

/// Writes the score sheet: a row a rung, tries filled in, makes left empty.
///
/// # Errors
/// From `out`.
pub fn write_csv(
    out: &mut dyn Write,
    answer: &LadderAnswer,
    sheet: &ScoreSheet<'_>,
) -> Result<(), csv::Error> {
    let has_cell = |name: &str| {
        let mut filled = false;
        Columns::of::<StrokeRequest>().named_cells(sheet.stroke, |column, cell| {
            filled |= column == name && cell != Cell::Absent;
        });
        filled
    };
    let in_lengths = answer.stroke_lengths.is_some();
    let strokes = Columns::of::<StrokeRequest>().only(|name| {
        ALWAYS.contains(&name) || has_cell(name) && !(in_lengths && name == Field::Stroke.name())
    });
    let (rungs, tries) = (Columns::of::<ScoreRung>(), Columns::of::<ScoreTries>());
    let mut writer = csv::Writer::from_writer(out);
    let names = rungs.names().chain(strokes.names()).chain(tries.names());
    writer.write_record(names.map(|name| name.replace('-', "_")))?;
    let code = answer.code.clone().unwrap_or_default();
    for rung in &answer.rungs {
        let mut stroke = sheet.stroke.clone();
        if in_lengths {
            stroke.pace = Some(format!("{}m/s", rung.pace_m_s));
        }
        let note = format!(
            "{code} rung {}: {:.1} in 10; pass {} of {}",
            rung.rung,
            rung.makes_of_ten(),
            rung.pass.makes,
            rung.pass.tries
        );
        let place = ScoreRung {
            student: None,
            when: None,
            sheet: sheet.kept.then(|| code.clone()),
            rung: sheet.kept.then_some(rung.rung),
            cue: rung.cue.clone(),
            object: rung.object.clone(),
            pocket: rung.pocket.clone(),
        };
        let tried = ScoreTries {
            gear: sheet.gear.to_owned(),
            set: sheet.set.join(";"),
            tries: rung.pass.tries,
            made: None,
            note: note.trim_start().to_owned(),
        };
        let mut record = Vec::new();
        let mut push = |cell: Cell<'_>| record.push(cell.csv());
        rungs.cells(&place, &mut push);
        strokes.cells(&stroke, &mut push);
        tries.cells(&tried, &mut push);
        writer.write_record(&record)?;
    }
    Ok(writer.flush()?)
}
