//! Shots compared on several tables, in words.

use crate::answer::compare::{CompareAnswer, ComparedShot};
use crate::field::Hint;
use crate::gear::{is_changed_from, spoken_gear, the_spoken_gear};
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};

impl CompareAnswer {
    /// One sentence of conclusion for each gear against the first, then the shots, largest loss
    /// first, at most `most` of them.
    #[must_use]
    pub fn text(&self, most: usize, speech: impl Into<Speech>) -> String {
        let speech = speech.into();
        let mut out = String::new();
        for (k, name) in self.gears.iter().enumerate().skip(1) {
            out.push_str(&self.conclusion(k, name));
        }
        out.push_str(&format!(
            "Margin either side{}: {}\n",
            if self.rows.iter().any(|r| r.least_share() < 0.995) {
                ", largest loss first"
            } else {
                ""
            },
            self.spoken().join("  |  ")
        ));
        let shown = self.rows.iter().take(most);
        let wide = shown
            .clone()
            .map(|r| r.shot.chars().count())
            .max()
            .unwrap_or(0);
        for row in shown {
            let cells: Vec<String> = row.on.iter().map(|s| cell(s, speech)).collect();
            out.push_str(&format!("  {:<wide$}  {}\n", row.shot, cells.join("  |  ")));
        }
        if self.rows.len() > most {
            out.push_str(&format!(
                "  and {} more shots{}\n",
                self.rows.len() - most,
                Hint::ShowAll
            ));
        }
        out
    }

    /// The tables as people call them.
    #[must_use]
    pub fn spoken(&self) -> Vec<String> {
        self.gears.iter().map(|name| spoken_gear(name)).collect()
    }

    /// Shares of the first gear's margin on gear `k`, of the shots of one kind that have them.
    fn shares(&self, k: usize, kind: &str) -> Vec<f64> {
        self.rows
            .iter()
            .filter(|r| r.kind == kind)
            .filter_map(|r| r.on.get(k)?.share_of_first)
            .collect()
    }

    /// What gear `k` does to the shots of each kind of pocket: of each kind the mean of its own shots,
    /// so that shots it does not touch thin nothing out.
    fn groups(&self, k: usize) -> Vec<Group> {
        [("corner", "corners"), ("side", "sides")]
            .into_iter()
            .filter_map(|(kind, name)| {
                let shares = self.shares(k, kind);
                if shares.is_empty() {
                    return None;
                }
                #[expect(clippy::cast_precision_loss, reason = "a few dozen shots")]
                let mean = shares.iter().sum::<f64>() / shares.len() as f64;
                let low = shares.iter().copied().fold(f64::INFINITY, f64::min);
                let high = shares.iter().copied().fold(0.0, f64::max);
                Some(Group {
                    name,
                    percent: 100.0 * (mean - 1.0),
                    percent_low: 100.0 * (low - 1.0),
                    percent_high: 100.0 * (high - 1.0),
                })
            })
            .collect()
    }

    /// `On the 7-foot bar table, against the 9-foot pool table, corners lose 16 %, sides nothing`; a
    /// changed table is held against itself without a word.
    #[must_use]
    pub fn verdict(&self, k: usize) -> Option<String> {
        let groups = self.groups(k);
        let (name, first) = (self.gears.get(k)?, self.gears.first()?);
        let said = match groups.as_slice() {
            [] => return None,
            [only] if self.rows.len() == 1 => format!("this shot {}", only.one()),
            [a, b] if a.like(b) => format!("corners and sides {}", a.change()),
            [first, rest @ ..] => {
                let mut said = format!("{} {}", first.name, first.change());
                for group in rest {
                    said.push_str(&format!(", {} {}", group.name, group.after(first)));
                }
                said
            }
        };
        let on = the_spoken_gear(name);
        if is_changed_from(name, first) {
            return Some(format!("On {on}, {said}"));
        }
        Some(format!(
            "On {on}, against {}, {said}",
            the_spoken_gear(first)
        ))
    }

    fn conclusion(&self, k: usize, name: &str) -> String {
        let Some(verdict) = self.verdict(k) else {
            return format!("{}: no shot of these can be compared.\n", spoken_gear(name));
        };
        let what = "of the margin in degrees, clean or off the jaws";
        if self.rows.len() == 1 {
            return format!("{verdict} ({what}).\n");
        }
        let ranges: Vec<String> = self
            .groups(k)
            .iter()
            .filter(|g| !g.is_even())
            .map(|g| {
                format!(
                    "{} from {} to {} %",
                    g.name,
                    signed(g.percent_low),
                    signed(g.percent_high)
                )
            })
            .collect();
        if ranges.is_empty() {
            return format!("{verdict}, on every one of these shots ({what}).\n");
        }
        format!("{verdict} ({what}; by the shot: {}).\n", ranges.join(", "))
    }
}

/// What a table does to the shots into one kind of pocket, percent of the margin.
struct Group {
    name: &'static str,
    percent: f64,
    percent_low: f64,
    percent_high: f64,
}

/// A change that rounds to nothing, percent.
const NOTHING_PERCENT: f64 = 0.5;

impl Group {
    /// No shot of it changes.
    fn is_even(&self) -> bool {
        self.percent_low.abs() < NOTHING_PERCENT && self.percent_high.abs() < NOTHING_PERCENT
    }

    /// The same change, as it is rounded.
    fn like(&self, other: &Self) -> bool {
        signed(self.percent) == signed(other.percent)
    }

    /// `lose 16 %`, `gain 4 %`, `lose nothing`.
    fn change(&self) -> String {
        match self.percent {
            p if p.abs() < NOTHING_PERCENT => "lose nothing".to_owned(),
            p if p < 0.0 => format!("lose {:.0} %", -p),
            p => format!("gain {p:.0} %"),
        }
    }

    /// The same of one shot.
    fn one(&self) -> String {
        match self.percent {
            p if p.abs() < NOTHING_PERCENT => "loses nothing".to_owned(),
            p if p < 0.0 => format!("loses {:.0} %", -p),
            p => format!("gains {p:.0} %"),
        }
    }

    /// After another group: without the verb where it is the same.
    fn after(&self, first: &Self) -> String {
        let down = |g: &Self| g.percent < NOTHING_PERCENT;
        match self.percent {
            p if p.abs() < NOTHING_PERCENT && down(first) => "nothing".to_owned(),
            p if p < 0.0 && first.percent <= -NOTHING_PERCENT => format!("{:.0} %", -p),
            p if p >= NOTHING_PERCENT && first.percent >= NOTHING_PERCENT => format!("{p:.0} %"),
            _ => self.change(),
        }
    }
}

/// A percentage with its sign, a true minus; zero has none.
fn signed(percent: f64) -> String {
    match percent.round() {
        p if p.abs() < 0.5 => "0".to_owned(),
        p if p < 0.0 => format!("\u{2212}{:.0}", -p),
        p => format!("+{p:.0}"),
    }
}

fn cell(shot: &ComparedShot, speech: Speech) -> String {
    let Some(deg) = shot.direct_each_deg else {
        return "no window".to_owned();
    };
    let made = shot
        .chance
        .map_or(String::new(), |p| format!("{:.1} in 10, ", 10.0 * p));
    let room = speak::small_length(Length::from_mm(shot.direct_each_mm.unwrap_or(0.0)), speech);
    format!(
        "{made}{room} ({})",
        speak::room_degrees(Angle::from_deg(deg))
    )
}
