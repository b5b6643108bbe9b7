//! A measured table in words.

pub mod bounce;
pub mod pivot;

use crate::answer::{shot_words, to_a_tenth};
use crate::field::Hint;
use crate::measure::effect::ShotEffect;
use crate::measure::quantity::{Instrument, Quantity};
use crate::measure::reading::{Instruments, said};
use crate::measure::table::MeasuredTable;
use crate::measure::values::{TableValue, not_measured};
use crate::player::in_ten;
use crate::speech::Speech;

/// Everything to say.
#[derive(Debug)]
pub struct Words<'a> {
    /// The table.
    pub table: &'a MeasuredTable,
    /// Its values.
    pub values: &'a [TableValue],
    /// The shots, the largest change first.
    pub effects: &'a [ShotEffect],
    /// Who aims.
    pub who: &'a str,
    /// What the readings were taken with.
    pub instruments: &'a Instruments,
    /// To whom it is said.
    pub speech: Speech,
}

/// Cushions give back at most this of a rolling ball's speed; published range, D. G. Alciatore, Colorado
/// State University, physical properties.
const LIVELIEST: f64 = 0.9;

impl Words<'_> {
    /// For people: the shot that changes most, what to measure again, the other shots, the
    /// values, what is assumed.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!("Chances for: {}.\n", self.who);
        if let Some((first, rest)) = self.effects.split_first() {
            out.push_str(&self.effect(first, "Your table against"));
            out.push_str(&advice(first));
            for other in rest {
                out.push_str(&self.effect(other, "Against"));
            }
        }
        out.push_str(&format!(
            "Measured, right 95 times in 100 ({} in brackets):\n",
            self.base()
        ));
        for value in self.values {
            let again = if value.scattered {
                "; the readings disagree by more than they should"
            } else if value.key == "cushion.restitution" && value.value > LIVELIEST {
                "; livelier than any cushion published (0.6 to 0.9): roll and time again before you trust it"
            } else {
                ""
            };
            let [found, reach, standard] = value.digits(self.speech);
            out.push_str(&format!(
                "  {:<28} {found} {reach} ({standard}){again}\n",
                value.key
            ));
        }
        out.push_str(&self.not_measured());
        out.push_str(&self.assumed());
        out
    }

    fn base(&self) -> &str {
        &self.table.base.gear.name
    }

    fn effect(&self, effect: &ShotEffect, start: &str) -> String {
        let kind = effect.shot.places.kind.as_deref().unwrap_or("corner");
        let (now, was) = (in_ten(effect.chance), in_ten(effect.standard));
        let apart = effect.standard < effect.low || effect.standard > effect.high;
        // Rounded to tenths alike, so that nothing tells them apart for a reader.
        let alike = bare(effect.chance) == bare(effect.standard);
        let apart = apart && !alike;
        let count = match (apart, now == was) {
            (false, false) if alike => format!("{now} on both, near enough"),
            (true, true) => format!("{now} on both, rounded"),
            (true, false) => format!("{now}, not {was}"),
            (false, true) => format!("{now} on both"),
            (false, false) => format!("{now} here, {was} there"),
        };
        let told = if effect.repeat.is_none() {
            ": nothing measured bears on it"
        } else if !apart {
            ": these readings cannot tell the two apart"
        } else {
            ""
        };
        format!(
            "{start} {}, {}: {count} ({} against {}; 95 times in 100 between {} and {}){told}.\n",
            self.base(),
            shot_words(&effect.shot, kind),
            bare(effect.chance),
            to_a_tenth(effect.standard),
            bare(effect.low),
            to_a_tenth(effect.high),
        )
    }

    fn not_measured(&self) -> String {
        let missing: Vec<&str> = not_measured(self.values, &self.table.base.gear)
            .into_iter()
            .map(|key| key.trim_start_matches("pocket."))
            .collect();
        if missing.is_empty() {
            return String::new();
        }
        format!(
            "Not measured, so {}'s: {}.\n",
            self.base(),
            missing.join(", ")
        )
    }

    fn assumed(&self) -> String {
        let used = |instrument: &Instrument| {
            self.table.inputs.iter().any(|input| {
                let also = match input.quantity {
                    Quantity::Lag => *instrument == Instrument::Tape,
                    Quantity::Run => *instrument == Instrument::Count,
                    _ => false,
                };
                also || input.quantity.instrument() == *instrument
            })
        };
        let good: Vec<String> = self
            .instruments
            .assumed()
            .filter(used)
            .map(|i| format!("{} ±{}", i.name(), said(i, i.good_to())))
            .collect();
        let good = if good.is_empty() {
            String::new()
        } else {
            format!(
                "two readings in three within {}{}; ",
                good.join(", "),
                Hint::SayGoodTo
            )
        };
        format!(
            "Assumed: {good}bounce and rub of jaws and facings, and rub of cushions, as on {}.\n",
            self.base()
        )
    }
}

/// A value of a table's file, as people say it: `corner mouth`, `cloth rolling friction`.
#[must_use]
pub fn value_name(key: &str) -> String {
    match key {
        "bed.length" => "table length".to_owned(),
        "bed.width" => "table width".to_owned(),
        "ball.object_diameter" => "ball diameter".to_owned(),
        "ball.object_mass" => "ball weight".to_owned(),
        "ball.cue_diameter" => "cue ball diameter".to_owned(),
        "ball.cue_mass" => "cue ball weight".to_owned(),
        "ball.contact.friction_scale" => "friction between balls, 1 usual".to_owned(),
        "cushion.restitution" => "bounce of the cushions".to_owned(),
        _ => {
            let key = key.trim_start_matches("pocket.");
            key.replace(['.', '_', '-'], " ")
        }
    }
}

/// The first of two rates, whose unit stands at the second.
fn bare(rate: f64) -> String {
    to_a_tenth(rate).trim_end_matches(" in 10").to_owned()
}

/// The reading to repeat.
fn advice(effect: &ShotEffect) -> String {
    let Some(repeat) = effect.repeat else {
        return String::new();
    };
    format!(
        "Measure again: {}. It makes {:.0} % of the doubt; {} more readings would narrow it to {:.0} % of its width.\n",
        repeat.quantity,
        100.0 * repeat.share,
        repeat.more,
        100.0 * repeat.width_left
    )
}
