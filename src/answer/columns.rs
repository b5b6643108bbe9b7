//! A shot's answer as flat columns, for CSV and Parquet.

use super::shot::{BandAnswer, FirstOrderAnswer, RangeAnswer, ShotAnswer, WindowAnswer};

/// One value of a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell<'a> {
    /// A number, absent where there is none.
    Number(Option<f64>),
    /// A word, absent where there is none.
    Text(Option<&'a str>),
    /// Several words.
    Words(&'a [String]),
}

impl Cell<'_> {
    /// As written in CSV: shortest text that reads back, empty where absent.
    #[must_use]
    pub fn csv(&self) -> String {
        match self {
            Self::Number(x) => x.map_or_else(String::new, shortest),
            Self::Text(t) => t.unwrap_or_default().to_owned(),
            Self::Words(words) => words.join(" "),
        }
    }
}

/// The text of `f64::to_string`, several times as fast: half of a long table's time is spent here.
#[must_use]
pub fn shortest(x: f64) -> String {
    let mut buffer = zmij::Buffer::new();
    let text = buffer.format(x);
    if text.contains(['e', 'N', 'i']) {
        return x.to_string();
    }
    text.strip_suffix(".0").unwrap_or(text).to_owned()
}

/// A column: its name and how to read it off an answer.
pub type Column = (&'static str, fn(&ShotAnswer) -> Cell<'_>);

fn window<'a>(part: &'a Option<WindowAnswer>, read: fn(&WindowAnswer) -> f64) -> Cell<'a> {
    Cell::Number(part.as_ref().map(read))
}

fn why(answer: &ShotAnswer, read: fn(&FirstOrderAnswer) -> f64) -> Cell<'_> {
    Cell::Number(answer.first_order.as_ref().map(read))
}

/// The columns of one window.
macro_rules! window_columns {
    ($part:ident: $($field:ident),*) => {
        [$((concat!(stringify!($part), "_", stringify!($field)), |a| window(&a.$part, |w| w.$field))),*]
    };
}

/// The twelve columns of a window, under its name.
macro_rules! whole_window {
    ($name:ident, $part:ident) => {
        const $name: [Column; 12] = window_columns!($part: thick_deg, thin_deg, total_deg, thick_ghost_mm,
            thin_ghost_mm, thick_contact_mm, thin_contact_mm, thick_tip_mm, thin_tip_mm, from_deg,
            to_deg, effective_pocket_mm);
    };
}

whole_window!(CLEAN, clean);
whole_window!(DIRECT, direct);
whole_window!(DROP, drop);

const FRONT: [Column; 31] = [
    ("gear", |a| Cell::Text(Some(&a.gear))),
    ("pocket", |a| Cell::Text(a.pocket.as_deref())),
    ("kind", |a| Cell::Text(Some(&a.kind))),
    ("pace_m_s", |a| Cell::Number(Some(a.pace_m_s))),
    ("stroke_lengths", |a| Cell::Number(a.stroke_lengths)),
    ("roll", |a| Cell::Number(Some(a.roll))),
    ("side", |a| Cell::Number(Some(a.side))),
    ("approach_deg", |a| Cell::Number(Some(a.approach_deg))),
    ("cut_deg", |a| Cell::Number(a.cut_deg)),
    ("cut_side", |a| Cell::Text(a.cut_side.as_deref())),
    ("apart_mm", |a| Cell::Number(Some(a.apart_mm))),
    ("cue_travel_mm", |a| Cell::Number(a.cue_travel_mm)),
    ("object_to_mouth_mm", |a| {
        Cell::Number(Some(a.object_to_mouth_mm))
    }),
    ("centre_pocket_line_deg", |a| {
        Cell::Number(Some(a.centre_pocket_line_deg))
    }),
    ("target_offset_deg", |a| Cell::Number(a.target_offset_deg)),
    ("aim_deg", |a| Cell::Number(a.aim_deg)),
    ("centre_pocket_aim_deg", |a| {
        Cell::Number(a.centre_pocket_aim_deg)
    }),
    ("throw_deg", |a| Cell::Number(a.throw_deg)),
    ("cue_speed_m_s", |a| Cell::Number(a.cue_speed_m_s)),
    ("object_speed_m_s", |a| Cell::Number(a.object_speed_m_s)),
    ("ghost_ball_x_mm", |a| {
        Cell::Number(a.ghost_ball_mm.map(|p| p[0]))
    }),
    ("ghost_ball_y_mm", |a| {
        Cell::Number(a.ghost_ball_mm.map(|p| p[1]))
    }),
    ("player", |a| Cell::Text(a.player.as_deref())),
    ("sigma_deg", |a| Cell::Number(a.sigma_deg)),
    ("chance", |a| Cell::Number(a.chance)),
    ("chance_low", |a| Cell::Number(a.chance_low)),
    ("chance_high", |a| Cell::Number(a.chance_high)),
    ("best_aim_deg", |a| Cell::Number(a.best_aim_deg)),
    ("best_aim_gain", |a| Cell::Number(a.best_aim_gain)),
    ("equal_straight_mm", |a| Cell::Number(a.equal_straight_mm)),
    ("flags", |a| Cell::Words(&a.flags)),
];

const WHY: [Column; 6] = [
    ("why_of", |a| {
        Cell::Text(a.first_order.as_ref().map(|w| w.of.as_str()))
    }),
    ("why_pocket_opening_deg", |a| {
        why(a, |w| w.pocket_opening_deg)
    }),
    ("why_distance_factor", |a| why(a, |w| w.distance_factor)),
    ("why_cut_factor", |a| why(a, |w| w.cut_factor)),
    ("why_throw_factor", |a| why(a, |w| w.throw_factor)),
    ("why_first_order_deg", |a| why(a, |w| w.first_order_deg)),
];

fn band(
    answer: &ShotAnswer,
    pick: fn(&BandAnswer) -> &Option<RangeAnswer>,
    high: bool,
) -> Cell<'_> {
    let range = answer.band.as_ref().and_then(|b| pick(b).as_ref());
    Cell::Number(range.map(|r| if high { r.high_deg } else { r.low_deg }))
}

const BAND: [Column; 6] = [
    ("band_clean_low_deg", |a| band(a, |b| &b.clean, false)),
    ("band_clean_high_deg", |a| band(a, |b| &b.clean, true)),
    ("band_direct_low_deg", |a| band(a, |b| &b.direct, false)),
    ("band_direct_high_deg", |a| band(a, |b| &b.direct, true)),
    ("band_drop_low_deg", |a| band(a, |b| &b.drop, false)),
    ("band_drop_high_deg", |a| band(a, |b| &b.drop, true)),
];

/// All columns in order.
pub fn columns() -> impl Iterator<Item = Column> {
    FRONT
        .into_iter()
        .chain(CLEAN)
        .chain(DIRECT)
        .chain(DROP)
        .chain(WHY)
        .chain(BAND)
}
