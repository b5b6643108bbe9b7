//! Rows on one axis of values: a name on the left, a note on the right, a mark between them.

use kurbo::Rect;

use super::fault::DrawError;
use super::plot::{Axis, Frame, Room};
use super::text::{self, Weight};
use super::theme::Theme;

/// How names and notes are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lettering {
    /// How large.
    pub(super) size: f64,
    /// Names are broken to this share of the width.
    pub(super) share: f64,
}

/// Rows of equal height, laid out.
#[derive(Debug)]
pub(super) struct Rows {
    /// The axis of values across them.
    pub(super) frame: Frame,
    /// From one row to the next.
    pub(super) pitch: f64,
    names: Vec<Vec<String>>,
}

impl Rows {
    /// Leaves room for names and for notes.
    ///
    /// # Errors
    /// Those of [`Frame::fit`].
    pub(super) fn fit<'a>(
        theme: &Theme,
        body: Rect,
        axis: &Axis,
        words: impl Iterator<Item = (&'a str, &'a str)>,
        lettering: Lettering,
    ) -> Result<Self, DrawError> {
        let Lettering { size, share } = lettering;
        let width = |line: &str| text::width(line, size, Weight::Regular);
        let (mut names, mut notes) = (Vec::new(), 0.0_f64);
        for (name, note) in words {
            names.push(text::wrap(
                name,
                size,
                Weight::Regular,
                share * body.width(),
            ));
            notes = notes.max(width(note));
        }
        let widest = names.iter().flatten().map(|l| width(l)).fold(0.0, f64::max);
        let room = Room {
            left: widest + theme.label,
            right: if notes > 0.0 {
                notes + theme.label
            } else {
                0.0
            },
            top: 0.0,
        };
        #[expect(clippy::cast_precision_loss, reason = "a few rows")]
        let count = names.len() as f64;
        let rows = Axis::linear("", 0.0, count).with_ticks(vec![(0.0, String::new())]);
        let frame = Frame::fit(theme, body, axis.clone(), rows, room)?;
        let pitch = frame.plot.height() / count;
        Ok(Self {
            frame,
            pitch,
            names,
        })
    }

    /// Middle of each row and the lines of its name, top to bottom.
    pub(super) fn places(&self) -> impl Iterator<Item = (f64, &[String])> {
        let first = self.frame.plot.y0 + 0.5 * self.pitch;
        self.names.iter().scan(first, |y, name| {
            let at = *y;
            *y += self.pitch;
            Some((at, name.as_slice()))
        })
    }
}
