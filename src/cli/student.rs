//! Who aims: by a level or numbers, or a student of the practice log.

use std::io::Write as _;
use std::path::PathBuf;
use std::sync::Once;

use clap::Args;
use thincut::answer::or_club;
use thincut::diagnosis::Diagnosis;
use thincut::field::Field;
use thincut::ladder;
use thincut::layout::Reach;
use thincut::log::{Log, LogError, Since, Unknown, as_player, diagnosis_of, known};
use thincut::player::{AimError, Player, PlayerRequest};
use thincut::units::Side;

use crate::fault::Fault;
use crate::log::here_and_now;
use crate::log_words;
use crate::output::progress;

/// Who aims, said either way.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct WhoArgs {
    #[command(flatten)]
    pub(crate) request: PlayerRequest,
    #[command(flatten)]
    pub(crate) student: StudentArgs,
}

/// Who aims, from the practice log.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The player, from the practice log")]
pub(crate) struct StudentArgs {
    /// A student, with the spread and lean that fit the practice log
    #[arg(long, value_name = "LABEL")]
    student: Option<String>,
    /// Of the student's tries only those from this day on, also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", requires = "student", value_parser = since)]
    since: Option<Since>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

/// Opens a log that must be there, to read it.
pub(crate) fn open_reading(log: Option<&PathBuf>) -> Result<Log, LogError> {
    match log {
        Some(path) => Log::open_reading(path),
        None => Log::open_reading(&Log::default_path()?),
    }
}

/// Opens a log that must be there, to read what fits rest on: windows of an earlier edition are solved
/// again first, and it is said how the fits moved.
pub(crate) fn open_for_fits(log: Option<&PathBuf>) -> Result<Log, LogError> {
    static SAID: Once = Once::new();
    let path = log.map_or_else(Log::default_path, |path| Ok(path.clone()))?;
    let mut bar = None;
    let (log, done) = Log::open_solved(&path, &mut |gone, all| {
        bar.get_or_insert_with(|| {
            progress(
                Some(all),
                "solving the log's shots again {bar:30} {pos}/{len} rows",
            )
        })
        .set_position(gone);
    })?;
    if let Some(bar) = bar {
        bar.finish_and_clear();
    }
    if let Some(text) = log_words::solved_again(&done) {
        // Nobody who hears of it is no reason to stop.
        SAID.call_once(|| drop(writeln!(std::io::stderr(), "{text}")));
    }
    Ok(log)
}

impl WhoArgs {
    /// The player named by either kind of option; on this cut, since a lean may change with it.
    pub(crate) fn player(&self, cut: Side) -> Result<Option<Player>, Fault> {
        let Self { request, student } = self;
        let Some(label) = &student.student else {
            return Ok(request.player()?);
        };
        for (option, value) in [
            (Field::Level, &request.level),
            (Field::Arm, &request.arm),
            (Field::Picture, &request.picture),
            (Field::Sigma, &request.sigma),
        ] {
            if value.is_some() {
                return Err(Fault::input(format!(
                    "--student and {option} both say who aims; give one of them"
                )));
            }
        }
        let log = open_for_fits(student.log.as_ref())?;
        let since = student.since();
        let practice = log.practice(label, since.when())?;
        let known = known(label, &practice, &since).map_err(|e| match e {
            Unknown::Fit(e) => e.into(),
            untold => Fault::input(untold),
        })?;
        let player = as_player(label, &known, cut);
        Ok(Some(Player {
            error: request.adjusted(player.error)?,
            ..player
        }))
    }

    /// The same with the aim on right cuts and how the student stands, where the log knows; nobody
    /// named is a club player, marked as assumed.
    pub(crate) fn climber(&self) -> Result<Climber, Fault> {
        let player = or_club(self.player(Side::Left)?);
        let Some(label) = self.student.label() else {
            return Ok(Climber {
                player,
                right: None,
                reach: None,
            });
        };
        let right = self.player(Side::Right)?.map(|p| p.error);
        Ok(Climber {
            right: right.filter(|r| *r != player.error),
            player,
            reach: open_reading(self.student.log())?.student(label)?.reach(),
        })
    }
}

/// Reads a period as of today.
pub(crate) fn since(text: &str) -> Result<Since, String> {
    let today = here_and_now().map_err(|e| e.to_string())?;
    Since::read(text, &today).map_err(|e| e.to_string())
}

impl StudentArgs {
    fn since(&self) -> Since {
        self.since.clone().unwrap_or_default()
    }

    /// The same log, for a student.
    pub(crate) fn of(&self, label: &str) -> Self {
        Self {
            student: Some(label.to_owned()),
            ..self.clone()
        }
    }

    /// Whether a student is named.
    pub(crate) fn named(&self) -> bool {
        self.student.is_some()
    }

    /// The student's label.
    pub(crate) fn label(&self) -> Option<&str> {
        self.student.as_deref()
    }

    /// What costs the student most, where one is named.
    pub(crate) fn diagnosis(&self) -> Result<Option<Diagnosis>, Fault> {
        let Some(label) = &self.student else {
            return Ok(None);
        };
        let practice = open_for_fits(self.log.as_ref())?.practice(label, None)?;
        Ok(Some(diagnosis_of(label, &practice, &self.since())?))
    }

    /// The log named.
    pub(crate) fn log(&self) -> Option<&PathBuf> {
        self.log.as_ref()
    }
}

/// Who climbs a ladder.
#[derive(Debug, Clone)]
pub(crate) struct Climber {
    /// The player, with the aim on left cuts.
    pub(crate) player: Player,
    /// The aim on right cuts, where it differs.
    pub(crate) right: Option<AimError>,
    /// Hand and reach, where the log knows the reach.
    pub(crate) reach: Option<Reach>,
}

/// Labels of a group: those without a skill of their own get theirs from the log.
pub(crate) fn group(
    texts: &[String],
    log: Option<&PathBuf>,
    since: &Since,
) -> Result<Vec<ladder::Student>, Fault> {
    let opened = std::cell::OnceCell::new();
    let from_log = |label: &str| -> Result<ladder::Student, String> {
        let log = opened.get_or_init(|| open_for_fits(log).map_err(|e| e.to_string()));
        let practice = log
            .as_ref()
            .map_err(Clone::clone)?
            .practice(label, since.when());
        let practice = practice.map_err(|e| e.to_string())?;
        let known = known(label, &practice, since).map_err(|e| match e {
            Unknown::NotTold { why, .. } => why,
            other => other.to_string(),
        })?;
        let (left, right) = (known.fit.player(Side::Left), known.fit.player(Side::Right));
        Ok(ladder::Student {
            label: label.to_owned(),
            error: left,
            right: (left != right).then_some(right),
            who: as_player(label, &known, Side::Left).who,
            assumed: false,
        })
    };
    Ok(ladder::students(texts, &from_log)?)
}
