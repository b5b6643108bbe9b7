//! How a layout is played: stroke, player, hand and reach; shared by choose and layout draw.

use clap::Args;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Hand, Layout, Prefer, Reach, Tip};
use thincut::player::{Cut, Level, Player, PlayerRequest};
use thincut::request::{StrokeRequest, quantity};
use thincut::units::Length;

use crate::fault::Fault;
use crate::student::StudentArgs;

/// Stroke, player, hand and reach.
#[derive(Debug, Args)]
pub(crate) struct PlayArgs {
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    student: StudentArgs,
    #[command(flatten)]
    reach: ReachArgs,
}

/// How far the player gets.
#[derive(Debug, Args)]
#[command(next_help_heading = "Reach")]
struct ReachArgs {
    /// Playing hand: left or right [default: right]
    #[arg(long, value_name = "HAND")]
    hand: Option<String>,
    /// Rail's outer edge to the farthest cue ball without a rest [default: 1m, seated 700mm, assumed]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    reach: Option<String>,
    /// The player plays seated
    #[arg(long)]
    seated: bool,
}

impl PlayArgs {
    /// What to look for among all shots, and who plays.
    pub(crate) fn options(&self, gear: &Gear) -> Result<(ChooseOptions, String), Fault> {
        let (player, right) = self.players()?;
        let lengths = self.stroke.lengths()?;
        // with a stroke the pace is that of the next shots, and where a search begins
        let paced = StrokeRequest {
            stroke: None,
            ..self.stroke.clone()
        };
        let options = ChooseOptions {
            on_right_cuts: Some(right.error).filter(|right| *right != player.error),
            player: player.error,
            stroke: paced.stroke()?,
            tip: lengths
                .map(|lengths| Tip::new(gear, lengths))
                .transpose()
                .map_err(Fault::input)?,
            reach: self.reach.reach()?,
            targets: Vec::new(),
            banks: true,
            combinations: true,
            kicks: true,
            prefer: Prefer::Make,
        };
        Ok((options, player.who))
    }

    /// Who aims, on cuts to the left and to the right; a club player where nobody is named.
    fn players(&self) -> Result<(Player, Player), Fault> {
        let on = |cut| {
            let named = self.student.player(&self.player, cut)?;
            Ok::<_, Fault>(named.unwrap_or_else(|| Player {
                error: Level::Club.aim_error(),
                who: Level::Club.spoken(),
                assumed: true,
            }))
        };
        Ok((on(Cut::Left)?, on(Cut::Right)?))
    }
}

impl ReachArgs {
    fn reach(&self) -> Result<Reach, Fault> {
        let hand = match self.hand.as_deref() {
            None | Some("right") => Hand::Right,
            Some("left") => Hand::Left,
            Some(other) => {
                return Err(Fault::input(format!(
                    "--hand: `{other}` is not one of left, right"
                )));
            }
        };
        let usual = if self.seated {
            Reach::seated(hand)
        } else {
            Reach::standing(hand)
        };
        match quantity::<Length>("--reach", self.reach.as_deref())? {
            Some(reach) if reach.m() > 0.0 => Ok(Reach {
                reach_m: reach.m(),
                ..usual
            }),
            Some(reach) => Err(Fault::input(format!(
                "--reach: {reach} must be more than 0, such as 700mm"
            ))),
            None => Ok(usual),
        }
    }
}

/// The ball of that label; `option` names itself in the fault.
pub(crate) fn ball_index(option: &str, layout: &Layout, label: &str) -> Result<usize, Fault> {
    layout.index_of(label.trim()).ok_or_else(|| {
        let known: Vec<&str> = layout.balls.iter().map(|b| b.label.as_str()).collect();
        Fault::input(format!(
            "{option}: there is no ball `{label}`; this layout has {}",
            known.join(", ")
        ))
    })
}
