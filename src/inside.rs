//! Parts that tests look at by themselves. Nothing else uses them, and they change without notice.

pub use crate::bed::course::BedCourse;
pub use crate::columns::{read, shortest};
pub use crate::contact::lane::{Lane, MOST_LANES};
pub use crate::contact::near::{small_atan, small_sin_cos};
pub use crate::layout::direct::balls_alone;
pub use crate::layout::play::FRICTIONS;
pub use crate::layout::scratch::evenly_likely;
pub use crate::motion::outline::{Held, Met, Way};
pub use crate::motion::roots::first_fall_below_zero;
pub use crate::motion::surroundings::Surroundings;
pub use crate::motion::trace::{trace_among, trace_sent_off};
pub use crate::pocket::acceptance::{Course, accepted};

/// Sheets.
#[cfg(feature = "paper")]
pub mod paper {
    use crate::gear::Gear;
    use crate::ladder::Topic;
    use crate::player::AimError;
    use crate::sheets::Style;
    use crate::sheets::lesson::study::Study;
    use crate::sheets::words::scale;
    use crate::units::UnitSystem;

    pub use crate::sheets::game::apart;
    pub use crate::sheets::parts::of_ten;
    pub use crate::sheets::words::lesson::spread;

    /// A width on a sheet.
    #[must_use]
    pub fn small(style: &Style, m: f64) -> String {
        style.small(m)
    }

    /// A distance on a tape.
    #[must_use]
    pub fn tape(style: &Style, m: f64) -> String {
        style.tape(m)
    }

    /// A distance as it is typed.
    #[must_use]
    pub fn typed(m: f64, units: UnitSystem) -> String {
        scale::typed(m, units)
    }

    /// Whole makes of ten that plain pages show for the three steps of a lesson's topic.
    #[must_use]
    pub fn plain_steps(gear: &Gear, player: AimError, topic: Topic, units: UnitSystem) -> [f64; 3] {
        let study = Study {
            gear,
            player: player.with_nearest_scatter(),
            topic,
            units,
        };
        let line = study.telling_line();
        study.steps().map(|x| of_ten(study.chance(x, line)))
    }

    /// Chance and room (rad) of the easy, the middle and the hard step of a lesson's topic.
    #[must_use]
    pub fn steps(
        gear: &Gear,
        player: AimError,
        topic: Topic,
        units: UnitSystem,
    ) -> [(f64, f64); 3] {
        let study = Study {
            gear,
            player,
            topic,
            units,
        };
        let line = study.lines()[1];
        study
            .steps()
            .map(|x| (study.chance(x, line), study.room_rad(x, line)))
    }
}

/// The log's database.
#[cfg(feature = "log")]
pub mod log {
    use rusqlite::Connection;
    use rusqlite::types::Value;

    use crate::log::practice::counting_sql;
    use crate::log::{Filter, Log, LogError};

    /// The log's own connection.
    #[must_use]
    pub fn connection(log: &Log) -> &Connection {
        &log.connection
    }

    /// The query by which tries are counted, and its values.
    ///
    /// # Errors
    /// As [`Log::attempts`].
    pub fn counting(log: &Log, filter: &Filter) -> Result<(String, Vec<Value>), LogError> {
        let (condition, values) = log.condition(filter)?;
        Ok((counting_sql(&condition), values))
    }
}
