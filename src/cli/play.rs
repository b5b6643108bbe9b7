//! How a layout is played: stroke, player, hand and reach; shared by choose and choose draw.

use clap::Args;
use thincut::answer::or_club;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Layout, Prefer, ReachRequest, played};
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
        let (player, right) = self.players()?;
        let (stroke, tip) = played(&self.stroke, gear)?;
        let options = ChooseOptions {
            on_right_cuts: Some(right.error).filter(|right| *right != player.error),
            player: player.error,
            stroke,
            tip,
            reach: self.reach.reach().map_err(Fault::input)?,
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
