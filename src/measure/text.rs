//! A measured table in words.

use super::effect::ShotEffect;
use super::quantity::Instrument;
use super::reading::{Instruments, said};
use super::table::MeasuredTable;
use super::values::{TableValue, not_measured};
use crate::answer::{shot_words, tenths};
use crate::player::in_ten;

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
}

impl Words<'_> {
    /// For people: the shot that changes most, what to measure again, the other shots, the
    /// values, what is assumed.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
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
            } else {
                ""
            };
            out.push_str(&format!(
                "  {:<28} {}{} {} ({}{}){again}\n",
                value.key,
                value.number(value.value),
                value.unit_words(),
                value.reach_words(),
                value.number(value.standard),
                value.unit_words(),
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
        let count = if now == was {
            format!("{now} on both")
        } else {
            format!("{now}, not {was}")
        };
        let told = if effect.low <= effect.standard && effect.standard <= effect.high {
            ": these readings cannot tell the two apart"
        } else {
            ""
        };
        format!(
            "{start} {}, {}: {count} for a {} ({} against {}, 95 times in 100 between {} and {}){told}.\n",
            self.base(),
            shot_words(&effect.shot, kind),
            self.who,
            tenths(effect.chance),
            tenths(effect.standard),
            tenths(effect.low),
            tenths(effect.high),
        )
    }

    fn not_measured(&self) -> String {
        let missing: Vec<&str> = not_measured(self.values)
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
                use super::quantity::Quantity::{Lag, Run, Throw};
                let also = match input.quantity {
                    Lag => *instrument == Instrument::Tape,
                    Run => *instrument == Instrument::Count,
                    Throw => false,
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
                "two readings in three within {} (--good-to); ",
                good.join(", ")
            )
        };
        format!(
            "Assumed: {good}standard bounce of jaws and facings, which nobody can measure so.\n"
        )
    }
}

/// The reading to repeat.
fn advice(effect: &ShotEffect) -> String {
    let Some(repeat) = effect.repeat else {
        return "Nothing measured moves this shot.\n".to_owned();
    };
    format!(
        "Measure again: {}. It makes {:.0} % of the doubt; {} more readings would narrow it to {:.0} % of its width.\n",
        repeat.quantity,
        100.0 * repeat.share,
        repeat.more,
        100.0 * repeat.width_left
    )
}
