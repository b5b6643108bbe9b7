//! The margins of usual hits and distances, carried to the tip.
//!
//! A gap is the whole of the directions that go in clean, over the length of the bridge: what the tip
//! may be off from too full to too thin.

use kurbo::{Point, Rect, Vec2};

use crate::answer::or_club;
use crate::gear::Gear;
use crate::player::Player;
use crate::pocket::{PocketKind, PocketName};
use crate::survey::{Grid, Row, survey};
use crate::units::{Angle, UnitSystem};
use crate::window::{ShotError, Stroke};

/// Hits of the columns, as fractions of a ball.
pub const HITS: [f64; 5] = [1.0, 0.75, 0.5, 0.25, 0.125];
/// Between the balls, row by row, m: metric, and 1, 2, 4, 8 ft.
const APARTS_M: [[f64; 4]; 2] = [[0.3, 0.6, 1.2, 2.4], [0.3048, 0.6096, 1.2192, 2.4384]];
/// Object ball to the pocket, m: so near that all of them can be set up on nine feet (assumption).
const TO_POCKET_M: [f64; 2] = [0.3, 0.3048];
/// What is called a half, as a share of what it is a half of.
const HALF: std::ops::RangeInclusive<f64> = 0.42..=0.58;
/// One shot of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell {
    /// The tip's whole gap, m, and how often the player makes it.
    Gap {
        /// From too full to too thin, m.
        gap_m: f64,
        /// 0 to 1, where somebody is named.
        chance: Option<f64>,
    },
    /// It goes in off the jaws at best, or not at all.
    NotClean,
    /// The table is too short for it.
    OffTable,
}

impl Cell {
    /// The gap, where there is one.
    #[must_use]
    pub fn gap_m(self) -> Option<f64> {
        match self {
            Self::Gap { gap_m, .. } => Some(gap_m),
            Self::NotClean | Self::OffTable => None,
        }
    }
}

/// What a row's distance leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leads {
    /// From the cue ball to the object ball.
    ToObject,
    /// From the object ball to the pocket.
    ToPocket,
}

/// What halves the gap, of what is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Halves {
    /// Twice as far between the balls.
    TwiceApart,
    /// Twice as far from the pocket.
    TwiceToPocket,
    /// An eighth of a ball instead of a full one.
    FullToEighth,
}

/// The margins of hits and distances.
#[derive(Debug, Clone, PartialEq)]
pub struct MarginTable {
    /// Between the balls, m, a row each.
    pub aparts_m: [f64; 4],
    /// The cells, row by row.
    pub cells: [[Cell; 5]; 4],
    /// What halves the gap.
    pub halves: Vec<Halves>,
    /// Object ball to the pocket, m.
    pub to_pocket_m: f64,
    /// How far off straight in, rad.
    pub approach_rad: f64,
    /// The kind of pocket.
    pub kind: PocketKind,
    /// How it is hit, with the bridge.
    pub stroke: Stroke,
    /// Whose makes.
    pub player: Player,
    /// Units of the words.
    pub units: UnitSystem,
}

/// What a table of margins is asked for.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Corner or side.
    pub kind: PocketKind,
    /// Object ball to the pocket, m; a foot, or 30 cm, where nothing is said.
    pub to_pocket_m: Option<f64>,
    /// How far off straight in, rad.
    pub approach_rad: f64,
    /// How it is hit.
    pub stroke: Stroke,
    /// Whose makes; a club player's where nobody is named.
    pub player: Option<Player>,
    /// Units of distances and words.
    pub units: UnitSystem,
}

impl MarginTable {
    /// Solves them all on a table.
    ///
    /// # Errors
    /// [`ShotError`] for a distance or a stroke that no shot can have.
    pub fn new(gear: &Gear, asked: &Asked) -> Result<Self, ShotError> {
        let player = or_club(asked.player.clone());
        let units = usize::from(asked.units == UnitSystem::Inches);
        let aparts_m = APARTS_M[units];
        let to_pocket_m = asked.to_pocket_m.unwrap_or(TO_POCKET_M[units]);
        let cuts_rad = HITS.map(|hit| Angle::from_ball_fraction(hit).rad());
        let grid = Grid {
            cuts_rad: cuts_rad.to_vec(),
            aparts_m: aparts_m.to_vec(),
            to_pockets_m: vec![to_pocket_m],
            kind: asked.kind,
            approach_rad: asked.approach_rad,
            stroke: asked.stroke,
            player: Some(player.error),
        };
        let bridge_m = asked.stroke.bridge_m;
        let mut cells = [[Cell::NotClean; 5]; 4];
        let mut all = cells.iter_mut().flatten();
        survey(gear, &grid, |row| -> Result<(), ShotError> {
            if let Some(cell) = all.next() {
                *cell = cell_of(gear, asked, row, bridge_m);
            }
            Ok(())
        })?;
        // The half-ball hit from the second distance, and from twice as far to the pocket.
        let twice = Grid {
            cuts_rad: vec![cuts_rad[2]],
            aparts_m: vec![aparts_m[1]],
            to_pockets_m: vec![2.0 * to_pocket_m],
            player: None,
            ..grid
        };
        let mut far_m = None;
        survey(gear, &twice, |row| -> Result<(), ShotError> {
            far_m = gap_m(row, bridge_m);
            Ok(())
        })?;
        Ok(Self {
            halves: halves(&cells, far_m),
            aparts_m,
            cells,
            to_pocket_m,
            approach_rad: asked.approach_rad,
            kind: asked.kind,
            stroke: asked.stroke,
            player,
            units: asked.units,
        })
    }

    /// The widest and the narrowest gap of those that can be played, m.
    #[must_use]
    pub fn ends_m(&self) -> Option<(f64, f64)> {
        let gaps = self.cells.iter().flatten().filter_map(|cell| cell.gap_m());
        gaps.fold(None, |ends, gap| {
            let (most, least) = ends.unwrap_or((gap, gap));
            Some((gap.max(most), gap.min(least)))
        })
    }

    /// Whether the table is too short for some of them.
    #[must_use]
    pub fn some_off_table(&self) -> bool {
        self.cells.iter().flatten().any(|c| *c == Cell::OffTable)
    }
}

fn gap_m(row: &Row, bridge_m: f64) -> Option<f64> {
    let clean = row.window.as_ref().ok()?.clean?;
    let (low, high) = clean.interval_rad();
    Some(bridge_m * (high.tan() - low.tan()))
}

fn cell_of(gear: &Gear, asked: &Asked, row: &Row, bridge_m: f64) -> Cell {
    if !fits(gear, asked.kind, row) {
        return Cell::OffTable;
    }
    match (gap_m(row, bridge_m), row.chance) {
        (Some(gap_m), chance) if row.is_within_reach() => Cell::Gap { gap_m, chance },
        _ => Cell::NotClean,
    }
}

/// What halves the half-ball hit's gap from the second distance; the full one's as an eighth.
fn halves(cells: &[[Cell; 5]; 4], twice_to_pocket_m: Option<f64>) -> Vec<Halves> {
    let gap = |row: usize, column: usize| cells[row][column].gap_m();
    let known = [
        (Halves::TwiceApart, gap(2, 2), gap(1, 2)),
        (Halves::TwiceToPocket, twice_to_pocket_m, gap(1, 2)),
        (Halves::FullToEighth, gap(1, 4), gap(1, 0)),
    ];
    let halved = |(_, less, more): &(Halves, Option<f64>, Option<f64>)| {
        less.zip(*more)
            .is_some_and(|(less, more)| HALF.contains(&(less / more)))
    };
    known.into_iter().filter(halved).map(|k| k.0).collect()
}

/// Whether a shot by angles can be set up on the table: from some angle into the pocket both balls lie
/// between the rails.
fn fits(gear: &Gear, kind: PocketKind, row: &Row) -> bool {
    let frame = match kind {
        PocketKind::Corner => PocketName::FootLeft.frame(gear),
        PocketKind::Side => PocketName::SideLeft.frame(gear),
    };
    let bed = Rect::new(0.0, 0.0, gear.bed.length_m, gear.bed.width_m);
    let inside = |p: Point, radius: f64| bed.inset(-radius).contains(frame.to_plan(p));
    let (object_m, cue_m) = (gear.object_radius_m(), gear.cue_radius_m());
    // Every degree, and cut to either side.
    (-89..=89).any(|degrees| {
        let way = f64::from(degrees).to_radians();
        let object = Point::ORIGIN - Vec2::from_angle(way) * row.to_pocket_m;
        let cue = |cut: f64| object - Vec2::from_angle(way + cut) * row.apart_m;
        inside(object, object_m)
            && [row.cut_rad, -row.cut_rad]
                .into_iter()
                .any(|cut| inside(cue(cut), cue_m))
    })
}

/// Margins at the ghost ball, by hit and by distance to the pocket; there they hardly depend on the
/// distance between the balls, since the window's angle shrinks as that grows.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Corner or side.
    pub kind: PocketKind,
    /// Object ball to the pocket, m, a row each.
    pub to_pocket_m: [f64; 3],
    /// Between the balls, m.
    pub apart_m: f64,
    /// How it is hit.
    pub stroke: Stroke,
}

impl Default for Strip {
    /// Corner pocket at 0.4, 0.8 and 1.6 m, 1 m between the balls (assumptions).
    fn default() -> Self {
        Self {
            kind: PocketKind::Corner,
            to_pocket_m: [0.4, 0.8, 1.6],
            apart_m: 1.0,
            stroke: Stroke::centre_ball(),
        }
    }
}

impl Strip {
    /// The gap that the cue ball's middle has at the ghost ball, row by row.
    ///
    /// # Errors
    /// [`ShotError`] for distances or a stroke out of range.
    pub fn cells(&self, gear: &Gear) -> Result<[[Cell; 5]; 3], ShotError> {
        let grid = Grid {
            cuts_rad: HITS
                .map(|hit| Angle::from_ball_fraction(hit).rad())
                .to_vec(),
            aparts_m: vec![self.apart_m],
            to_pockets_m: self.to_pocket_m.to_vec(),
            kind: self.kind,
            approach_rad: 0.0,
            stroke: self.stroke,
            player: None,
        };
        let mut cells = [[Cell::NotClean; 5]; 3];
        let mut all = cells.iter_mut().flatten();
        survey(gear, &grid, |row| -> Result<(), ShotError> {
            let Some(cell) = all.next() else {
                return Ok(());
            };
            let travel_m = row.window.as_ref().ok().map(|w| w.aim.travel_m);
            *cell = match travel_m.and_then(|travel_m| gap_m(row, travel_m)) {
                _ if !fits(gear, self.kind, row) => Cell::OffTable,
                Some(gap_m) if row.is_within_reach() => Cell::Gap {
                    gap_m,
                    chance: None,
                },
                _ => Cell::NotClean,
            };
            Ok(())
        })?;
        Ok(cells)
    }
}
