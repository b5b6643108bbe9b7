//! What the charts over many shots share: a grid with one of its two distances held.

use super::words::room as words;
use super::{ChartError, Over, Request, RoomUnit};
use crate::draw::Size;
use crate::field::Field;
use crate::survey::{Grid, Row, survey};
use crate::window::{AimWindow, ShotError, Window};

/// Cuts, the distance that varies and the one that is held.
pub(super) struct Slice<'a> {
    request: &'a Request,
    chart: &'static str,
    /// Rising, two at least, rad.
    pub(super) cuts_rad: Vec<f64>,
    /// Rising, m.
    pub(super) distances_m: Vec<f64>,
    /// The middle of the other distance's values, m.
    held_m: f64,
}

impl<'a> Slice<'a> {
    /// Of the request's grid.
    ///
    /// # Errors
    /// [`ChartError::NeedsRange`] with fewer than two cuts or no distance.
    pub(super) fn of(request: &'a Request, chart: &'static str) -> Result<Self, ChartError> {
        let grid = &request.grid;
        let (vary, hold) = match request.options.over {
            Over::Apart => (&grid.aparts_m, &grid.to_pockets_m),
            Over::ToPocket => (&grid.to_pockets_m, &grid.aparts_m),
        };
        let hold = sorted(hold);
        let slice = Self {
            request,
            chart,
            cuts_rad: sorted(&grid.cuts_rad),
            distances_m: sorted(vary),
            held_m: hold.get(hold.len() / 2).copied().unwrap_or(f64::NAN),
        };
        slice.need(&slice.cuts_rad, Field::Cut, 2)?;
        slice.need(&slice.distances_m, slice.distance_option(), 1)?;
        slice.need(&hold, slice.held_option(), 1)?;
        Ok(slice)
    }

    /// Both distances' ends, or the sentence that two are needed.
    pub(super) fn distance_ends_m(&self) -> Result<(f64, f64), ChartError> {
        self.need(&self.distances_m, self.distance_option(), 2)?;
        Ok((
            self.distances_m[0],
            self.distances_m[self.distances_m.len() - 1],
        ))
    }

    /// First and last cut, degrees.
    pub(super) fn cut_ends_deg(&self) -> (f64, f64) {
        let last = self.cuts_rad.len() - 1;
        (
            self.cuts_rad[0].to_degrees(),
            self.cuts_rad[last].to_degrees(),
        )
    }

    fn need(&self, values: &[f64], option: Field, at_least: usize) -> Result<(), ChartError> {
        if values.len() < at_least {
            return Err(ChartError::NeedsRange {
                chart: self.chart,
                option,
            });
        }
        Ok(())
    }

    fn distance_option(&self) -> Field {
        match self.request.options.over {
            Over::Apart => Field::Apart,
            Over::ToPocket => Field::ToPocket,
        }
    }

    fn held_option(&self) -> Field {
        match self.request.options.over {
            Over::Apart => Field::ToPocket,
            Over::ToPocket => Field::Apart,
        }
    }

    /// Solves cuts at distances of one's own: distance by distance, each by cut.
    ///
    /// # Errors
    /// [`ChartError::Shot`] for a value no shot can have.
    pub(super) fn rows(
        &self,
        cuts_rad: &[f64],
        distances_m: &[f64],
    ) -> Result<Vec<Row>, ChartError> {
        let (aparts_m, to_pockets_m) = match self.request.options.over {
            Over::Apart => (distances_m.to_vec(), vec![self.held_m]),
            Over::ToPocket => (vec![self.held_m], distances_m.to_vec()),
        };
        let grid = Grid {
            cuts_rad: cuts_rad.to_vec(),
            aparts_m,
            to_pockets_m,
            player: None,
            ..self.request.grid.clone()
        };
        let mut out = Vec::new();
        survey(&self.request.gear, &grid, |row| -> Result<(), ShotError> {
            out.push(row.clone());
            Ok(())
        })?;
        Ok(out)
    }

    /// What is held fixed, for the line below the title.
    pub(super) fn subtitle(&self) -> String {
        let grid = &self.request.grid;
        let gear = self.request.gear.spoken();
        let over = self.request.options.over;
        words::held(grid.kind, grid.approach_rad, over, self.held_m, &gear)
    }

    /// What is assumed.
    pub(super) fn footer(&self) -> String {
        self.request
            .footer_without(words::assumed(&self.request.grid.stroke))
    }

    /// Size of the picture.
    pub(super) fn size(&self) -> Size {
        self.request.size
    }
}

fn sorted(values: &[f64]) -> Vec<f64> {
    let mut out = values.to_vec();
    out.sort_by(f64::total_cmp);
    out.dedup();
    out
}

impl RoomUnit {
    /// Half of a part of a row's window, NaN where there is none, or where nobody can set the shot up or
    /// play it.
    pub(super) fn each_side(self, row: &Row, pick: fn(&AimWindow) -> Option<Window>) -> f64 {
        let window = row.window.as_ref().ok().filter(|_| row.is_playable());
        let part = window.and_then(|w| Some((w, 0.5 * pick(w)?.total_rad())));
        part.map_or(f64::NAN, |(window, each_rad)| self.of(window, each_rad))
    }

    /// An angle of a window.
    pub(super) fn of(self, window: &AimWindow, each_rad: f64) -> f64 {
        match self {
            Self::Degrees => each_rad.to_degrees(),
            Self::Mm => 1e3 * window.ghost_offset_m(each_rad),
        }
    }
}
