//! How a layout is played: stroke, player, hand and reach; shared by choose and choose draw.

use std::io::Write as _;

use clap::Args;
use thincut::advice::Open;
use thincut::answer::or_club;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Layout, QUESTIONED_REACH_M, ReachRequest, played};
use thincut::player::Player;
use thincut::request::StrokeRequest;
use thincut::units::Side;

use crate::fault::Fault;
use crate::student::WhoArgs;

/// Stroke, player, hand and reach.
#[derive(Debug, Args)]
pub(crate) struct PlayArgs {
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    reach: ReachRequest,
}

impl PlayArgs {
    /// What to look for among all shots, and who plays.
    pub(crate) fn options(&self, gear: &Gear) -> Result<(ChooseOptions, String), Fault> {
        question_reach(&self.reach)?;
        let (player, right) = self.players()?;
        let (stroke, tip) = played(&self.stroke, gear)?;
        let options = ChooseOptions {
            on_right_cuts: Some(right.error).filter(|right| *right != player.error),
            stroke,
            tip,
            reach: self.reach.reach().map_err(Fault::input)?,
            ..ChooseOptions::new(player.error)
        };
        Ok((options, player.who))
    }

    /// What of the stroke was left open.
    pub(crate) fn open(&self) -> Open {
        Open::of(&self.stroke)
    }

    /// Who aims, on cuts to the left and to the right; a club player where nobody is named.
    fn players(&self) -> Result<(Player, Player), Fault> {
        let on = |cut| {
            let named = self.who.player(cut)?;
            Ok::<_, Fault>(or_club(named))
        };
        Ok((on(Side::Left)?, on(Side::Right)?))
    }
}

/// The ball of that label; `option` names itself in the fault.
pub(crate) fn ball_index(option: Field, layout: &Layout, label: &str) -> Result<usize, Fault> {
    layout.index_of(label.trim()).ok_or_else(|| {
        let known: Vec<&str> = layout.balls.iter().map(|b| b.label.as_str()).collect();
        Fault::input(format!(
            "{option}: there is no ball `{label}`; this layout has {}",
            known.join(", ")
        ))
    })
}

/// Asks back, on standard error, where somebody is said to reach farther than people do.
pub(crate) fn question_reach(reach: &ReachRequest) -> Result<(), Fault> {
    let far = reach.reach_or(None).map_err(Fault::input)?;
    if let Some(far) = far.filter(|far| far.reach_m > QUESTIONED_REACH_M) {
        writeln!(
            std::io::stderr(),
            "{} {:.2} m: is that right? Few reach beyond {QUESTIONED_REACH_M} m with one foot on the floor; use the rest rather than stretch.",
            Field::Reach,
            far.reach_m
        )?;
    }
    Ok(())
}
