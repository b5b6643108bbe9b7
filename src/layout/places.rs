//! One shot from many places of the cue ball: what each leaves, past the other balls and as the
//! player has to stand there.

use kurbo::Point;

use super::candidate::Candidate;
use super::chance::{Plays, as_intended};
use super::direct::{direct_from, windows};
use super::stance::{Reach, Stance, stance};
use super::table::{DropSet, Table};
use crate::player::AimError;
use crate::window::{AimWindow, NoWindow, Stroke};

/// A ball and a pocket, to be played from many places.
#[derive(Debug, Clone, Copy)]
pub struct FromPlaces<'a> {
    /// The balls; where its cue ball lies plays no part.
    pub table: &'a Table<'a>,
    /// What the pocket takes past the others.
    pub set: &'a DropSet,
    /// How the cue ball is hit.
    pub stroke: &'a Stroke,
    /// Whose chance.
    pub player: Option<&'a AimError>,
    /// How far the player gets; a stance does not count where nobody says it.
    pub reach: Option<Reach>,
}

/// What one place of the cue ball leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct FromPlace {
    /// The shot from there.
    pub played: Candidate,
    /// How the player stands, where a reach was given.
    pub stance: Option<Stance>,
    /// The player's chance.
    pub chance: Option<f64>,
}

impl FromPlaces<'_> {
    /// From each of these places (m); `None` where the cue ball has no room or the shot is not on.
    pub fn along(&self, places: impl IntoIterator<Item = Point>) -> Vec<Option<FromPlace>> {
        let mut layout = self.table.layout.clone();
        let places: Vec<Point> = places.into_iter().collect();
        let windows = windows(self.table, self.set, self.stroke, &places);
        let places = places.into_iter().zip(windows).map(|(cue, window)| {
            layout.cue = cue;
            self.one(&self.table.with_layout(&layout), window)
        });
        places.collect()
    }

    fn one(&self, table: &Table<'_>, window: Result<AimWindow, NoWindow>) -> Option<FromPlace> {
        let cue = table.layout.cue;
        let taken = |at: Point| (at - cue).hypot() < table.cue_object_m;
        if table.others(None).any(|(_, at)| taken(at)) {
            return None;
        }
        let (played, _) = direct_from(table, self.set, self.stroke, window).ok()?;
        let stance = self.reach.map(|reach| stance(table, played.aim_rad, reach));
        let chance = self.player.map(|player| {
            let arm_factor = stance.as_ref().map_or(1.0, Stance::arm_factor);
            as_intended(
                table,
                &played,
                &Plays {
                    aims: player,
                    arm_factor,
                },
            )
        });
        Some(FromPlace {
            played,
            stance,
            chance,
        })
    }
}
