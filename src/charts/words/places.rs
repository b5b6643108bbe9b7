//! What the map of cue-ball places says.

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::pocket::PocketName;
use crate::speech::Speech;
use crate::window::{Stroke, stroke_word};

/// The map, where it has no values.
pub(crate) const MAP: &str = "the map of places";
/// Why it has none.
pub(crate) const EMPTY: &str = "the table has no room for the cue ball";

/// What makes strips of the map dark.
const DARK: &str = " Darker strips: the cue is raised over a rail, or it takes the rest.";

/// What the map shows.
pub(crate) struct Mapped<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) stroke: &'a Stroke,
    pub(crate) pocket: Option<PocketName>,
    /// What the colour means, or whose chances it gives.
    pub(crate) meaning: &'a str,
    /// The legend's title.
    pub(crate) legend: &'a str,
    /// A stance counts.
    pub(crate) stance: bool,
}

/// The words round the map.
pub(crate) fn caption(map: &Mapped<'_>) -> Caption {
    let pocket = map
        .pocket
        .map_or("pocket", |name| Speech::default().pocket(name));
    Caption {
        title: "From where is this ball easy to pocket?".to_owned(),
        subtitle: format!(
            "Cue ball anywhere, object ball as drawn, into the {pocket}; {}; {}",
            map.meaning,
            map.gear.spoken()
        ),
        footer: format!(
            "Blank: it cannot be hit from there.{} Assumed: {} m/s at the pocket, {}, standard bounce of jaws and rails.",
            if map.stance { DARK } else { "" },
            map.stroke.pace_m_s,
            stroke_word(map.stroke, Speech::default())
        ),
        desc: format!(
            "The table from above, coloured by {} with the cue ball at each place, for the {pocket}.",
            map.legend
        ),
    }
}
