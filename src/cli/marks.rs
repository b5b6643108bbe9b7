//! `thincut ladder marks` and `thincut ladder spot`: fair games on one shot.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::ladder::{
    MarksAnswer, MarksWishes, Student, chance_of_makes, marks, marks_text, rotation, spot,
};
use thincut::log::{SheetKind, Since};
use thincut::player::{chance_of_solution, in_ten as spoken};
use thincut::request::{Places, ShotRequest, StrokeRequest, pocket_name};
use thincut::units::Position;
use thincut::window::{Shot, Solution, solve};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::ladder::entered;
use crate::ladder_log::{KeepArgs, NewSheet, rung_of};
use crate::output::json;
use crate::student;
use crate::table::GearArgs;

/// `--students`.
#[derive(Debug, Clone, Args)]
pub(crate) struct GroupArgs {
    /// The students: K,L as the practice log knows them, or K=starting,M=0.3deg/2mm (a level, or stroke/sighting)
    #[arg(long, value_name = "LIST", required = true, visible_alias = "group")]
    students: Vec<String>,
    /// Of tries in the log only those from this day on, also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", value_parser = student::since)]
    since: Option<Since>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

impl GroupArgs {
    fn read(&self) -> Result<Vec<Student>, Fault> {
        let since = self.since.clone().unwrap_or_default();
        student::group(&self.students, self.log.as_ref(), &since)
    }
}

/// From where is one shot equally hard for everybody?
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut ladder marks --students K=first-evening,L=starting,M=club --chance 7 --playing-on 2 --minutes 30")]
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
    playing_on: u32,
    /// Minutes for the turns; without it no turns are drawn up
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<u32>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    keep: KeepArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

impl MarksCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let group = self.group.read()?;
        let wishes = MarksWishes {
            chance: chance_of_makes(Field::Chance, &self.chance)?,
            object: match &self.object {
                Some(text) => Some(text.parse::<Position>()?),
                None => None,
            },
            pocket: match &self.pocket {
                Some(name) => Some(pocket_name(Field::Pocket, name)?),
                None => None,
            },
            stroke: self.stroke.stroke(&gear)?,
        };
        let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
        let turns = match self.minutes {
            Some(minutes) => rotation(&labels, self.playing_on, minutes)?,
            None => Vec::new(),
        };
        let sheet = marks(&gear, &group, &wishes)?;
        let mut answer = MarksAnswer::new(
            &gear,
            &sheet,
            &group,
            turns,
            self.units.pick(defaults, &gear),
        );
        let rungs = answer.marks.iter().map(|m| {
            let places = Places {
                cue: &m.cue,
                object: &answer.object,
                pocket: &answer.pocket,
            };
            let shot = entered(&self.gear, defaults, &self.stroke, places);
            rung_of(Some(m.student.clone()), shot)
        });
        let rungs = rungs.collect::<Result<Vec<_>, _>>()?;
        let title = format!("marks at {:.1} in 10", answer.asked_in_ten);
        let kind = SheetKind::Marks;
        let sheet = NewSheet { kind, title, rungs };
        let kept = self.keep.keep(sheet, self.group.log.as_ref())?;
        answer.code = Some(kept.code.clone());
        match self.format.asked {
            TextOrJson::Json => json(out, &answer),
            TextOrJson::Text => {
                let speech = self.units.pick(defaults, &gear);
                out.write_all(
                    speech
                        .said(&marks_text(&answer, &gear.bed, speech))
                        .as_bytes(),
                )?;
                Ok(writeln!(out, "{}", kept.line_below(&tally(&answer)))?)
            }
        }
    }
}

/// Which start makes a race on one shot fair for two players?
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut ladder spot --students K=starting,L=club --race 5 --cue 4,2 --object 6,2.5 --pocket foot-left")]
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
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
}

impl SpotCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let group = self.group.read()?;
        let [a, b] = group.as_slice() else {
            return Err(Fault::input(format!(
                "--students: {} students; a race takes two",
                group.len()
            )));
        };
        let shot = self.shot.shot(&gear)?;
        let solution = solve(&gear, &shot)?;
        let of = |s: &Student| chance_of(&gear, &shot, &solution, s);
        let ((weak, p), (strong, q)) = if of(a) <= of(b) {
            ((a, of(a)), (b, of(b)))
        } else {
            ((b, of(b)), (a, of(a)))
        };
        let fair = spot(p, q, self.race)?;
        if self.format.asked == TextOrJson::Json {
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

/// A tally of this sheet to copy: its first two students.
fn tally(answer: &MarksAnswer) -> String {
    let one = |(k, m): (usize, &thincut::ladder::MarkAnswer)| match k {
        0 => format!("{} 6/10", m.student),
        _ => format!("{} 4/10 thin 3", m.student),
    };
    let items: Vec<String> = answer.marks.iter().take(2).enumerate().map(one).collect();
    format!("\"{}\"", items.join(", "))
}

/// A student's chance of a solved shot, 0 where there is no window.
fn chance_of(gear: &Gear, shot: &Shot, solution: &Solution, student: &Student) -> f64 {
    let Ok(window) = &solution.window else {
        return 0.0;
    };
    let aim = student.aims()[window.cut_side.index()];
    chance_of_solution(gear, shot, solution, &aim)
}
