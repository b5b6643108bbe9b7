//! Where balls of snooker return to, and where a cue ball in hand may lie.

use kurbo::Point;

use super::balls::Colour;
use crate::gear::Bed;
use crate::units::Spot;

impl Colour {
    /// Its spot in snooker; a red has none.
    #[must_use]
    pub const fn spot(self) -> Option<Spot> {
        match self {
            Self::Red => None,
            Self::Yellow => Some(Spot::Yellow),
            Self::Green => Some(Spot::Green),
            Self::Brown => Some(Spot::Brown),
            Self::Blue => Some(Spot::Blue),
            Self::Pink => Some(Spot::Pink),
            Self::Black => Some(Spot::Black),
        }
    }
}

/// Balls nearer than touching by less than this still leave a spot free, m (rounding).
const SLACK_M: f64 = 1e-9;

/// Where a colour goes that was made: its own spot, else the free spot of the highest value, else as near
/// to its own as can be on the line to the top cushion, else on the other side (WPBSA; from memory).
#[must_use]
pub fn respotted(bed: &Bed, colour: Colour, others: &[Point], touch_m: f64) -> Option<Point> {
    let free = |at: Point| {
        others
            .iter()
            .all(|o| (*o - at).hypot() >= touch_m - SLACK_M)
    };
    let own = bed.spot(colour.spot()?);
    if free(own) {
        return Some(own);
    }
    let by_value = Colour::IN_ORDER.into_iter().rev();
    let spots = by_value.filter_map(|c| Some(bed.spot(c.spot()?)));
    if let Some(at) = spots.into_iter().find(|at| free(*at)) {
        return Some(at);
    }
    // The first free place on the line lies where a ball just touches one of the others.
    let along = |sign: f64| {
        let ends = others.iter().filter_map(|o| {
            let (dx, dy) = (o.x - own.x, o.y - own.y);
            let reach = touch_m * touch_m - dy * dy;
            (reach > 0.0).then(|| Point::new(own.x + dx + sign * reach.sqrt(), own.y))
        });
        let ahead = ends.filter(|at| sign * (at.x - own.x) > 0.0 && free(*at));
        let on_bed = ahead.filter(|at| at.x > 0.5 * touch_m && at.x < bed.length_m - 0.5 * touch_m);
        on_bed.min_by(|a, b| (a.x - own.x).abs().total_cmp(&(b.x - own.x).abs()))
    };
    along(1.0).or_else(|| along(-1.0))
}

/// Whether a cue ball lies in the D, its edge counted in (WPBSA; memory).
#[must_use]
pub fn in_the_d(bed: &Bed, cue: Point) -> bool {
    let (line_m, middle) = (bed.baulk_m(), Point::new(bed.baulk_m(), 0.5 * bed.width_m));
    cue.x <= line_m + SLACK_M && (cue - middle).hypot() <= bed.d_radius_m() + SLACK_M
}
