//! `thincut shot`: one shot's window.

use std::io::Write;

use clap::Args;
use thincut::answer::{
    Aims, Beside, Easier, Easing, ShotAnswer, Solving, band_text, chance_line, change_words,
    differences_text, pocket_differences, shot_lines, why_text, width_rad,
};
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::layout::{ReachRequest, Stance, StanceAnswer, stance_alone, stance_words};
use thincut::player::{AimError, Player, Straights};
use thincut::request::{RequestError, ShotRequest};
use thincut::speech::Speech;
use thincut::units::{Angle, speak};
use thincut::window::{Shot, Solution, band, solve};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::output::json;
use crate::play::question_reach;
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// How much may this shot's aim be off and still go?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut shot --cue 3,1 --object 5,2.4 --pocket foot-left\n  \
    thincut shot --cut half-ball --cue-to-object 4ft --to-pocket 3ft --arrives stun --why\n\n\
    A diamond is an eighth of the table's length, a quarter of its width: 6,2 is the foot spot.\n\
    The margin is of the cue ball's line, not the stick's. Clean comes first; what goes in off the\n\
    jaws or a rail rests on assumed cushions, and --band shows how much that matters.")]
pub(crate) struct ShotCommand {
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    reach: ReachRequest,
    #[command(flatten)]
    gear: GearArgs,
    /// Show the factors that make the window
    #[arg(long, help_heading = "What to show")]
    why: bool,
    /// Solve again over the assumed bounce and friction of jaws and rails
    #[arg(long, help_heading = "What to show")]
    band: bool,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    units: UnitArgs,
}

impl ShotCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        question_reach(&self.reach)?;
        let shot = self.request.shot(&gear)?;
        let solution = solve(&gear, &shot)?;
        let band = if self.band {
            Some(band(&gear, &shot)?)
        } else {
            None
        };
        let cut = solution
            .window
            .as_ref()
            .map_or(shot.stroke.straight_side, |w| w.cut_side);
        let player = self.who.player(cut)?;
        let answer = ShotAnswer::new(&gear, &shot, &solution, band.as_ref());
        let stance = self.stance(&gear, &shot, &solution)?;
        let arm_times = stance.as_ref().map_or(1.0, Stance::arm_factor);
        let solving = Solving {
            shot: &shot,
            solution: &solution,
        };
        let who = player.as_ref().map(|player| Who { player, arm_times });
        let (answer, easing) = self.played(&gear, &solving, answer, who);
        match self.format.asked {
            Format::Json => json(out, &answer),
            Format::Csv => csv_row(&answer, out),
            Format::Text => {
                let units = self.units.pick(defaults, &gear);
                let now = match &player {
                    Some(_) => answer.chance,
                    None => width_rad(&solution),
                };
                let easier = easing.and_then(|e| e.beside(now));
                let easier = easier.and_then(|e| easier_words(&e, player.is_some(), &gear, units));
                let mut text = self.said(&answer, easier.as_deref(), stance, units);
                text += &units.said(&differ(&gear, &shot, units));
                Ok(out.write_all(text.as_bytes())?)
            }
        }
    }

    /// What the player makes of it, and where it is asked for what would be easier; neither waits for the other.
    fn played(
        &self,
        gear: &Gear,
        solving: &Solving<'_>,
        answer: ShotAnswer,
        who: Option<Who<'_>>,
    ) -> (ShotAnswer, Option<Easing>) {
        let easing = |player: Option<&AimError>| {
            let wanted = self.format.asked == Format::Text;
            wanted.then(|| Easing::of(gear, solving.shot, solving.solution, player))
        };
        let Some(Who { player, arm_times }) = who else {
            return (answer, easing(None));
        };
        let straights = Straights::new(gear, &player.error, &solving.shot.stroke);
        let aims = Aims {
            player,
            arm_times,
            open_rad: None,
            with_range: true,
        };
        let there = player.error.with_arm_times(arm_times);
        rayon::join(
            || answer.with_aims(gear, &straights, solving, &aims),
            || easing(Some(&there)),
        )
    }

    /// The answer in words.
    fn said(
        &self,
        answer: &ShotAnswer,
        easier: Option<&str>,
        stance: Option<Stance>,
        units: Speech,
    ) -> String {
        let chance = chance_line(answer, units);
        let beside = Beside {
            chance: chance.as_deref(),
            easier,
            ..Beside::default()
        };
        let mut text = String::new();
        for line in shot_lines(answer, &beside, units) {
            text += &units.said(&line);
            text.push('\n');
        }
        // How one has to stand counts where somebody plays.
        let stance = stance.filter(|_| answer.player.is_some());
        if let Some(line) = stance.and_then(|s| stance_words(&StanceAnswer::alone(&s), units)) {
            text += &line;
            text.push('\n');
        }
        if self.why {
            text += &units.said(&why_text(answer));
        }
        text += &units.said(&band_text(answer));
        text
    }
}

/// Who plays, from which stance.
struct Who<'a> {
    player: &'a Player,
    arm_times: f64,
}

/// Which pockets differ from their kind; a shot given by angles goes into none of the table's.
fn differ(gear: &Gear, shot: &Shot, units: Speech) -> String {
    match shot.frame.name {
        Some(_) => differences_text(&pocket_differences(gear), units),
        None => String::new(),
    }
}

impl ShotCommand {
    /// How the player stands, for a shot on the table.
    fn stance(
        &self,
        gear: &Gear,
        shot: &Shot,
        solution: &Solution,
    ) -> Result<Option<Stance>, Fault> {
        let reach = self.reach.reach().map_err(Fault::input)?;
        if let (Some(one), None) = (self.reach.first_given(), shot.frame.name) {
            let other = Field::Cut;
            return Err(Fault::input(RequestError::Mixed { one, other }));
        }
        Ok(stance_alone(gear, shot, solution, reach))
    }
}

/// "cue ball one diamond closer: 4 → 6 in 10", or with degrees where nobody aims.
fn easier_words(easier: &Easier, played: bool, gear: &Gear, speech: Speech) -> Option<String> {
    let said = |worth: f64| {
        if played {
            format!("{:.1}", 10.0 * worth)
        } else {
            speak::degrees(Angle::from_rad(0.5 * worth))
        }
    };
    let (now, then) = (said(easier.worth.0), said(easier.worth.1));
    let unit = if played {
        "in 10"
    } else {
        "either side, jaws counted"
    };
    (now != then).then(|| {
        format!(
            "{}: {now} → {then} {unit}",
            change_words(easier.change, &gear.bed, speech)
        )
    })
}

/// One record with all columns; pieces are for JSON.
fn csv_row(answer: &ShotAnswer, out: &mut dyn Write) -> Result<(), Fault> {
    let mut writer = csv::Writer::from_writer(out);
    let columns = ShotAnswer::columns();
    writer.write_record(columns.names())?;
    let mut cells = Vec::new();
    columns.cells(answer, |cell| cells.push(cell.csv()));
    writer.write_record(cells)?;
    Ok(writer.flush()?)
}
