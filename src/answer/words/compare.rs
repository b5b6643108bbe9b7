//! Shots compared on several tables, in words.

use crate::answer::compare::{CompareAnswer, ComparedShot};
use crate::field::Hint;
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
            "Room each side{}: {}\n",
            if self.rows.iter().any(|r| r.least_share() < 0.995) {
                ", largest loss first"
            } else {
                ""
            },
            self.gears.join("  |  ")
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

    /// Shares of the first gear's room on gear `k`, of the shots that have them.
    fn shares(&self, k: usize) -> Vec<f64> {
        self.rows
            .iter()
            .filter_map(|r| r.on.get(k)?.share_of_first)
            .collect()
    }

    /// How much more room gear `k` leaves than the first, in the mean over the shots, percent.
    fn change_percent(&self, k: usize) -> Option<f64> {
        let shares = self.shares(k);
        if shares.is_empty() {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "a few dozen shots")]
        let mean = shares.iter().sum::<f64>() / shares.len() as f64;
        Some(100.0 * (mean - 1.0))
    }

    /// `GEAR leaves 8 % less room than FIRST`.
    #[must_use]
    pub fn verdict(&self, k: usize) -> Option<String> {
        let change = self.change_percent(k)?;
        let said = if change.abs() < 0.5 {
            "as much room as".to_owned()
        } else if change < 0.0 {
            format!("{:.0} % less room than", -change)
        } else {
            format!("{change:.0} % more room than")
        };
        let (name, first) = (self.gears.get(k)?, self.gears.first()?);
        Some(format!("{name} leaves {said} {first}"))
    }

    fn conclusion(&self, k: usize, name: &str) -> String {
        let Some(verdict) = self.verdict(k) else {
            return format!("{name}: no shot of these can be compared.\n");
        };
        let (low, high) = self
            .shares(k)
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(l, h), s| (l.min(*s), h.max(*s)));
        let what = "in degrees, untouched or off the jaws";
        if self.rows.len() == 1 {
            return format!("{verdict} on this shot ({what}).\n");
        }
        if low > 0.995 && high < 1.005 {
            return format!("{verdict} over these shots, on every one of them ({what}).\n");
        }
        format!(
            "{verdict} over these shots, from {:.0} % to {:.0} % of it ({what}).\n",
            100.0 * low,
            100.0 * high
        )
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
