//! `thincut ladder`: graded drills, marks for a group, a fair race.

use std::io::Write;

use clap::{Args, Subcommand};
use thincut::answer::or_club;
use thincut::gear::DEFAULT_PRESET;
use thincut::ladder::{
    LadderAnswer, LadderError, LadderRequest, MarksAnswer, MarksWishes, PassRule, Student, in_ten,
    ladder, ladder_text, marks, marks_text, rotation, spot, students, write_csv,
};
use thincut::log::{SheetKind, ShotEntered};
use thincut::player::{Player, PlayerRequest, chance_of_solution, in_ten as spoken};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest, number, pocket_name};
use thincut::units::Position;
use thincut::window::solve;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::ladder_log::{KeepArgs, NextCommand};
use crate::output::{Format, json};

/// Which shots lead a player up evenly, from easy to hard?
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  \
        thincut ladder --level club\n  \
        thincut ladder --level starting --practise thin-cuts --rungs 6 --from 8 --to 3\n  \
        thincut ladder --level club --format csv > scores.csv    a score sheet to fill in\n  \
        thincut ladder marks --students A=starting,B=club,C=league --chance 7"
)]
pub(crate) struct LadderCommand {
    #[command(subcommand)]
    other: Option<Other>,
    #[command(flatten)]
    request: LadderRequest,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    keep: KeepArgs,
    /// text, json or csv
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
    #[command(flatten)]
    units: UnitArgs,
}

#[derive(Debug, Subcommand)]
enum Other {
    Marks(Box<MarksCommand>),
    Next(Box<NextCommand>),
    Spot(Box<SpotCommand>),
}

/// `--tries`, `--confidence`, `--margin`.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "When a rung is passed")]
pub(crate) struct PassArgs {
    /// Tries a rung
    #[arg(long, value_name = "COUNT", default_value_t = 10)]
    tries: u32,
    /// How sure to be, percent
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "80",
        allow_hyphen_values = true
    )]
    confidence: String,
    /// Rule out a player this many makes in ten worse
    #[arg(
        long,
        value_name = "MAKES",
        default_value = "2",
        allow_hyphen_values = true
    )]
    margin: String,
}

impl PassArgs {
    pub(crate) fn rule(&self) -> Result<PassRule, Fault> {
        let confidence = number("--confidence", &self.confidence)?;
        let margin = number("--margin", &self.margin)?;
        Ok(PassRule::new(self.tries, 0.01 * confidence, 0.1 * margin)?)
    }
}

/// Nobody named: a club player, marked as assumed.
pub(crate) fn player_or_club(request: &PlayerRequest) -> Result<Player, Fault> {
    Ok(or_club(request.player()?))
}

impl LadderCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match &self.other {
            Some(Other::Marks(c)) => return c.run(defaults, out),
            Some(Other::Next(c)) => return c.run(out),
            Some(Other::Spot(c)) => return c.run(defaults, out),
            None => {}
        }
        let gear = self.gear.load(defaults)?.gear;
        let player = player_or_club(&self.player)?;
        let mut wishes = self.request.wishes(&gear, player.error, &self.stroke)?;
        wishes.pass = self.pass.rule()?;
        let ladder = ladder(&gear, &wishes)?;
        let answer = LadderAnswer::new(&gear, &ladder, &player, self.units.pick(defaults));
        let entered = |cue: &str, object: &str, pocket: &str| {
            entered(&self.gear, defaults, &self.stroke, (cue, object, pocket))
        };
        let shots = answer.rungs.iter();
        let shots = shots.map(|r| (None, entered(&r.cue, &r.object, &r.pocket)));
        let title = format!("{} for {}", answer.practise, answer.player);
        let code = self.keep.keep(SheetKind::Ladder, title, shots.collect())?;
        match self.format {
            Format::Text => {
                out.write_all(ladder_text(&answer).as_bytes())?;
                code_line(out, code.as_deref(), "\"3: A 6/10, B 4/10\"")
            }
            Format::Json => json(out, &answer),
            Format::Csv => Ok(write_csv(out, &answer, &self.stroke, code.as_deref())?),
        }
    }
}

/// `--students`.
#[derive(Debug, Clone, Args)]
pub(crate) struct GroupArgs {
    /// The students and how good each is: A=starting,B=club,C=0.3deg/2mm (a level, or arm/picture)
    #[arg(long, value_name = "LIST", required = true, visible_alias = "group")]
    students: Vec<String>,
}

impl GroupArgs {
    pub(crate) fn read(&self) -> Result<Vec<Student>, LadderError> {
        students(&self.students, &|_| {
            Err("nothing is known of that student".to_owned())
        })
    }
}

/// From where is one shot equally hard for everybody?
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut ladder marks --students A=first-evening,B=starting,C=club --chance 7 --tables 2 --minutes 30")]
pub(crate) struct MarksCommand {
    #[command(flatten)]
    group: GroupArgs,
    /// Makes in ten for everybody
    #[arg(
        long,
        value_name = "MAKES",
        default_value = "7",
        allow_hyphen_values = true
    )]
    chance: String,
    /// Object ball [default: where the marks lie well apart]
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    object: Option<String>,
    /// Pocket [default: foot-left or foot-right]
    #[arg(long, value_name = "POCKET")]
    pocket: Option<String>,
    /// Tables for the turns; with --minutes
    #[arg(long, value_name = "COUNT", default_value_t = 1)]
    tables: u32,
    /// Minutes for the turns; without it no turns are drawn up
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<u32>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    keep: KeepArgs,
    /// text or json
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
    #[command(flatten)]
    units: UnitArgs,
}

impl MarksCommand {
    fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let group = self.group.read()?;
        let wishes = MarksWishes {
            chance: in_ten("--chance", &self.chance)?,
            object: match &self.object {
                Some(text) => Some(text.parse::<Position>()?),
                None => None,
            },
            pocket: match &self.pocket {
                Some(name) => Some(pocket_name("--pocket", name)?),
                None => None,
            },
            stroke: self.stroke.stroke()?,
        };
        let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
        let turns = match self.minutes {
            Some(minutes) => rotation(&labels, self.tables, minutes)?,
            None => Vec::new(),
        };
        let sheet = marks(&gear, &group, &wishes)?;
        let answer = MarksAnswer::new(&gear, &sheet, &group, turns);
        let shots = answer.marks.iter().map(|m| {
            let places = (
                m.cue.as_str(),
                answer.object.as_str(),
                answer.pocket.as_str(),
            );
            let shot = entered(&self.gear, defaults, &self.stroke, places);
            (Some(m.student.clone()), shot)
        });
        let title = format!("marks at {:.1} in 10", answer.asked_in_ten);
        let code = self.keep.keep(SheetKind::Marks, title, shots.collect())?;
        match self.format {
            Format::Json => json(out, &answer),
            Format::Text => {
                out.write_all(marks_text(&answer, self.units.pick(defaults)).as_bytes())?;
                code_line(out, code.as_deref(), "\"A 6/10, B 4/10 thin 3\"")
            }
            Format::Csv => Err(Fault::input(
                "--format csv: a marks sheet comes as text or json",
            )),
        }
    }
}

/// Which start makes a race on one shot fair for two players?
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut ladder spot --students A=starting,B=club --race 5 --cue 4,2 --object 6,2.5 --pocket foot-left")]
pub(crate) struct SpotCommand {
    #[command(flatten)]
    group: GroupArgs,
    /// Makes to win
    #[arg(long, value_name = "MAKES", default_value_t = 5)]
    race: u32,
    #[command(flatten)]
    shot: ShotRequest,
    #[command(flatten)]
    gear: GearArgs,
    /// text or json
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
}

impl SpotCommand {
    fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let group = self.group.read()?;
        let [a, b] = group.as_slice() else {
            return Err(Fault::input(format!(
                "--students: {} students; a race takes two",
                group.len()
            )));
        };
        let solution = solve(&gear, &self.shot.shot(&gear)?)?;
        let of = |s: &Student| chance_of_solution(&solution, &s.error);
        let ((weak, p), (strong, q)) = if of(a) <= of(b) {
            ((a, of(a)), (b, of(b)))
        } else {
            ((b, of(b)), (a, of(a)))
        };
        let fair = spot(p, q, self.race)?;
        if self.format == Format::Json {
            return json(out, &fair);
        }
        writeln!(
            out,
            "{} makes this shot {}, {} {}: in a race to {} {} starts with {} and wins {:.0} races in 100 ({:.0} without a start).",
            weak.label,
            spoken(p),
            strong.label,
            spoken(q),
            fair.race,
            weak.label,
            fair.start,
            100.0 * fair.weaker_wins,
            100.0 * fair.level_wins
        )?;
        if (fair.weaker_wins - 0.5).abs() > 0.1 {
            writeln!(
                out,
                "No start makes it even; a longer race (--race) or a mark each (thincut ladder marks) does."
            )?;
        }
        Ok(())
    }
}

/// A shot of the sheet as the log keeps it.
fn entered(
    gear: &GearArgs,
    defaults: &Defaults,
    stroke: &StrokeRequest,
    (cue, object, pocket): (&str, &str, &str),
) -> ShotEntered {
    let name = gear.gear.as_deref().or(defaults.gear.as_deref());
    ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some(object.to_owned()),
                pocket: Some(pocket.to_owned()),
                ..PlacesRequest::default()
            },
            stroke: stroke.clone(),
        },
        gear: name.unwrap_or(DEFAULT_PRESET).to_owned(),
        set: gear.set.clone(),
    }
}

fn code_line(out: &mut dyn Write, code: Option<&str>, tally: &str) -> Result<(), Fault> {
    match code {
        Some(code) => Ok(writeln!(
            out,
            "Code {code}: thincut log enter {code} {tally}"
        )?),
        None => Ok(()),
    }
}
