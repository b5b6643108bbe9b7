//! One shot in words: at most six lines, untouched first.

use crate::answer::easier::Change;
use crate::answer::shot::{ShotAnswer, WindowAnswer};
use crate::field::Hint;
use crate::player::in_ten;
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};
use crate::window::{Flags, NoWindow, roll_words};

/// Thickness of a bank card, mm (published: ISO/IEC 7810, ID-1 cards).
const BANK_CARD_MM: f64 = 0.76;
/// Sides that differ by less than this share count as even (assumption: nobody feels it).
const EVEN_SHARE: f64 = 0.08;
/// A cue ball's travel that counts as near when factors are compared, m (assumption: two diamonds
/// of a nine-foot table).
const NEAR_TRAVEL_M: f64 = 0.635;

fn room(part: &WindowAnswer, speech: Speech) -> String {
    let each = 0.5 * (part.thick_ghost_mm + part.thin_ghost_mm);
    let length = |mm| speak::small_length(Length::from_mm(mm), speech);
    let deg = speak::room_degrees(Angle::from_deg(0.5 * part.total_deg));
    if part.thick_ghost_mm.min(part.thin_ghost_mm) < 0.0 {
        return format!(
            "{} in all at the ghost ball, not round the middle ({deg} each way)",
            length(2.0 * each)
        );
    }
    format!("about {} each side at the ghost ball ({deg})", length(each))
}

fn sides(part: &WindowAnswer, speech: Speech) -> String {
    let length = |mm| speak::small_length(Length::from_mm(mm), speech);
    let (full, thin) = (part.thick_ghost_mm, part.thin_ghost_mm);
    let more = if (full - thin).abs() <= EVEN_SHARE * (full + thin) {
        "as much room on both sides"
    } else if full > thin {
        "more room on the full side"
    } else {
        "more room on the thin side"
    };
    format!(
        "{} too full (undercut), {} too thin (overcut): {more}",
        length(full),
        length(thin)
    )
}

/// A small change: `cue ball one diamond closer`.
#[must_use]
pub fn change_words(change: Change, speech: impl Into<Speech>) -> String {
    match change {
        Change::CueCloser => format!("cue ball one {} closer", speech.into().nouns().diamond),
        Change::Softer => "half the speed at the pocket".to_owned(),
    }
}

/// What is said of a shot besides its answer, and how.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'a> {
    /// A first line about a player, where one is named.
    pub chance: Option<&'a str>,
    /// What would make it easier.
    pub easier: Option<&'a str>,
    /// What a pocket is that no hit sends the object ball to. Where people also say how far an arm
    /// reaches, "out of reach" would be taken for that.
    pub out_of_reach: &'a str,
}

impl Default for Beside<'_> {
    fn default() -> Self {
        Self {
            chance: None,
            easier: None,
            out_of_reach: "Out of reach",
        }
    }
}

/// The answer in at most six lines.
#[must_use]
pub fn shot_lines(
    answer: &ShotAnswer,
    beside: &Beside<'_>,
    speech: impl Into<Speech>,
) -> Vec<String> {
    let speech = speech.into();
    let mut lines: Vec<String> = Vec::with_capacity(6);
    lines.extend(beside.chance.map(str::to_owned));
    let too_fast = too_fast_words(answer);
    match (
        &answer.clean,
        answer.direct.as_ref().or(answer.drop.as_ref()),
    ) {
        (None, None) => lines.push(no_window_line(answer, beside.out_of_reach)),
        (Some(clean), _) => {
            let cards = (clean.thick_ghost_mm + clean.thin_ghost_mm) / BANK_CARD_MM;
            let goes = if too_fast.is_empty() {
                "Goes"
            } else {
                "It would go"
            };
            lines.push(format!(
                "{too_fast}{goes} in untouched with {}, {}.",
                room(clean, speech),
                in_cards(cards)
            ));
        }
        (None, Some(part)) => {
            lines.push(format!(
                "{too_fast}Never untouched; off the jaws or a rail it goes in with {}.",
                room(part, speech)
            ));
        }
    }
    lines.extend(still_goes(answer, speech));
    if answer.clean.is_some() || answer.drop.is_some() {
        lines.push(cut_line(answer));
        lines.extend(factor_line(answer));
    }
    lines.extend(beside.easier.map(|e| format!("Easier: {e}.")));
    if lines.len() < 6 {
        lines.push(assumed_line(answer));
    } else if let Some(last) = lines.last_mut() {
        last.push_str(&format!(" {}", assumed_line(answer)));
    }
    lines
}

fn flagged(answer: &ShotAnswer, flag: Flags) -> bool {
    let named = |name: &str| answer.flags.iter().any(|f| f == name);
    flag.names().all(named)
}

/// First of all where nobody can play it.
fn too_fast_words(answer: &ShotAnswer) -> String {
    if !flagged(answer, Flags::TOO_FAST) {
        return String::new();
    }
    format!(
        "Not to be played: the cue ball would need {:.1} m/s, faster than anyone controls. ",
        answer.cue_speed_m_s.unwrap_or(0.0)
    )
}

fn in_cards(cards: f64) -> String {
    match cards {
        c if c < 0.35 => "in all a fraction of a bank card's thickness".to_owned(),
        c if c < 1.3 => "in all about a bank card's thickness".to_owned(),
        c => format!(
            "in all about {c:.0} bank cards thick",
            c = c.round().max(2.0)
        ),
    }
}

fn no_window_line(answer: &ShotAnswer, out_of_reach: &str) -> String {
    let is = |no: NoWindow| answer.flags.iter().any(|f| f == no.name());
    if is(NoWindow::NoDrop) {
        format!(
            "Does not drop in any direction: coming {} off square at {} m/s, the jaws turn it away or it dies before the hole.",
            speak::degrees(Angle::from_deg(answer.approach_deg.abs())),
            answer.pace_m_s
        )
    } else if is(NoWindow::InTheJaws) {
        "The object ball lies on or past the mouth line: it hangs in the jaws, and almost any hit drops it.".to_owned()
    } else if is(NoWindow::OutOfReach) {
        format!("{out_of_reach}: even the thinnest hit sends the object ball past the pocket.")
    } else if is(NoWindow::Blocked) {
        "Blocked: other balls close every way.".to_owned()
    } else {
        "Too close: with the balls this near, turning the aim no longer turns the object ball steadily.".to_owned()
    }
}

fn still_goes(answer: &ShotAnswer, speech: Speech) -> Option<String> {
    let (direct, drop) = (answer.direct.as_ref(), answer.drop.as_ref());
    if let Some(direct) = direct
        && answer.clean.is_some()
    {
        let rail = drop
            .filter(|d| d.total_deg > 1.001 * direct.total_deg)
            .map_or(String::new(), |d| {
                format!(
                    "; off the rail as well, {} in all",
                    speak::degrees(Angle::from_deg(d.total_deg))
                )
            });
        return Some(format!(
            "It still goes in off the jaws up to {}{rail}.",
            sides(direct, speech)
        ));
    }
    let part = direct.or(drop)?;
    Some(format!("That is {}.", sides(part, speech)))
}

fn cut_line(answer: &ShotAnswer) -> String {
    let cut = Angle::from_deg(answer.cut_deg.unwrap_or(0.0));
    let side = if cut.deg() < 0.05 {
        String::new()
    } else {
        format!(" to the {}", answer.cut_side.as_deref().unwrap_or("left"))
    };
    let throw = answer.throw_deg.unwrap_or(0.0);
    let allowed = if throw.abs() < 0.005 {
        "no throw to allow for".to_owned()
    } else {
        let which = if throw > 0.0 { "fuller" } else { "thinner" };
        format!(
            "throw makes it {} {which}, and the aim allows for it",
            speak::degrees(Angle::from_deg(throw.abs()))
        )
    };
    let reach = if flagged(answer, Flags::OUT_OF_REACH) {
        "; the middle of the pocket is out of reach, this is the part that can be hit".to_owned()
    } else if flagged(answer, Flags::TRUNCATED) {
        "; the thin side ends where the cue ball misses".to_owned()
    } else {
        String::new()
    };
    format!("The cut is {}{side}; {allowed}{reach}.", speak::cut(cut))
}

/// The factor that costs most, against a near, straight shot into a pocket taken square.
fn factor_line(answer: &ShotAnswer) -> Option<String> {
    let why = answer.why.as_ref()?;
    let travel_mm = answer.cue_travel_mm?;
    let near = NEAR_TRAVEL_M * 1e3 / travel_mm;
    let balls = 1.0 / why.distance_factor;
    let percent = |f: f64| format!("{:.0} %", 100.0 * (1.0 - f));
    Some(if near <= why.cut_factor && near < 1.0 {
        format!(
            "Hard mostly for the distance: the cue ball runs {balls:.0} ball widths, so {} of pocket leave {} of aim in all.",
            speak::degrees(Angle::from_deg(why.pocket_opening_deg)),
            speak::degrees(Angle::from_deg(why.first_order_deg))
        )
    } else if why.cut_factor < 0.97 {
        format!(
            "Hard mostly for the cut: it takes {} of the room a straight shot has.",
            percent(why.cut_factor)
        )
    } else {
        format!(
            "Nothing weighs much: {} of pocket leave {} of aim in all.",
            speak::degrees(Angle::from_deg(why.pocket_opening_deg)),
            speak::degrees(Angle::from_deg(why.first_order_deg))
        )
    })
}

fn assumed_line(answer: &ShotAnswer) -> String {
    format!(
        "Assumed: {}, {}, standard bounce of jaws and rails (nobody publishes it{}).",
        roll_words(answer.roll),
        pace_words(answer.pace_m_s, answer.stroke_lengths),
        Hint::SeeBand
    )
}

/// Both ways of saying how hard: `1 m/s at the pocket (a stroke of 1.3 table lengths)`.
#[must_use]
pub fn pace_words(pace_m_s: f64, lengths: Option<f64>) -> String {
    // to a centimetre per second: nobody strokes closer
    let pace = format!("{} m/s at the pocket", (100.0 * pace_m_s).round() / 100.0);
    match lengths {
        Some(lengths) => format!("{pace} ({})", stroke_words(lengths)),
        None => pace,
    }
}

/// `a stroke of 1.3 table lengths`.
#[must_use]
pub fn stroke_words(lengths: f64) -> String {
    let said = format!("{lengths:.1}");
    let unit = if said == "1.0" { "length" } else { "lengths" };
    format!("a stroke of {} table {unit}", said.trim_end_matches(".0"))
}

/// First line about a player: chance and the straight shot that is as hard; none where there is no
/// window to take it from.
#[must_use]
pub fn chance_line(answer: &ShotAnswer, speech: impl Into<Speech>) -> Option<String> {
    let speech = speech.into();
    let (who, tenths) = (answer.player.as_ref()?, answer.makes_in_ten?);
    if answer.drop.is_none() {
        return Some("Never made, whoever aims.".to_owned());
    }
    let made = in_ten(tenths / 10.0);
    let equal = match answer.equal_straight_mm {
        Some(mm) => {
            let x = speak::distance(Length::from_mm(mm), speech);
            format!("as hard as a straight shot with {x} between the balls and {x} to the pocket")
        }
        None if tenths > 5.0 => "easier than any straight shot".to_owned(),
        None => "harder than any straight shot on this table".to_owned(),
    };
    let aim = match answer.best_aim_gain_in_ten {
        Some(gain) if gain > WORTH_SAYING_IN_TEN => {
            format!("; aiming {} gains {gain:.1} in 10", best_aim_words(answer))
        }
        _ => String::new(),
    };
    Some(format!("Made {made} ({who}): {equal}{aim}."))
}

/// Gains below this are not worth a word, makes in ten (assumption).
const WORTH_SAYING_IN_TEN: f64 = 0.15;

fn best_aim_words(answer: &ShotAnswer) -> String {
    let (Some(best), Some(aim)) = (answer.best_aim_deg, answer.aim_deg) else {
        return "elsewhere".to_owned();
    };
    let turn = (best - aim + 540.0).rem_euclid(360.0) - 180.0;
    // turning left is fuller on a left cut
    let fuller = (turn > 0.0) == (answer.cut_side.as_deref() == Some("left"));
    format!(
        "{} {}",
        speak::degrees(Angle::from_deg(turn.abs())),
        if fuller { "fuller" } else { "thinner" }
    )
}

/// The factors, one a line.
#[must_use]
pub fn why_text(answer: &ShotAnswer) -> String {
    let Some(why) = &answer.why else {
        return String::new();
    };
    let total = answer
        .clean
        .as_ref()
        .or(answer.direct.as_ref())
        .or(answer.drop.as_ref());
    format!(
        "Why ({} window):\n  pocket opening      {:>8.4}°   directions of the object ball\n  distance            x{:>8.5}   ball width over the cue ball's travel\n  cut                 x{:>8.5}   cosine of the cut\n  throw               x{:>8.5}\n  first order         {:>8.4}°   exact {:.4}°\n",
        if why.of == "clean" {
            "untouched"
        } else {
            why.of.as_str()
        },
        why.pocket_opening_deg,
        why.distance_factor,
        why.cut_factor,
        why.throw_factor,
        why.first_order_deg,
        total.map_or(0.0, |w| w.total_deg),
    )
}

/// The band of the assumptions, one window a line.
#[must_use]
pub fn band_text(answer: &ShotAnswer) -> String {
    let Some(band) = &answer.band else {
        return String::new();
    };
    let mut out = String::from(
        "If jaws and rails bounce 0.1 more or less and rub half or twice as much (assumed range):\n",
    );
    for (name, range) in [
        ("untouched", &band.clean),
        ("off the jaws", &band.direct),
        ("off the rail", &band.drop),
    ] {
        match range {
            Some(r) => out.push_str(&format!(
                "  {name:<13} {:.4}° to {:.4}°\n",
                r.low_deg, r.high_deg
            )),
            None => out.push_str(&format!("  {name:<13} none\n")),
        }
    }
    out
}
