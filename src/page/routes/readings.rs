//! `POST /api/v1/form`, `/readings` and `/form-sheet`: the measuring form on the page, what readings make
//! of a table, and the form on paper.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::draw::pdf::Stamp;
use crate::field::{Face, Field, spoken_by};
use crate::gear::{LoadedGear, Origin, POCKETS};
use crate::log::When;
use crate::measure::bounce::Said;
use crate::measure::rails::SPEED_M_S;
use crate::measure::words::{bounce as words, value_name};
use crate::measure::{
    Instruments, MeasureError, MeasuredTable, Quantity, RailRoll, RampRun, Reading, Rubber, gear,
    rail_fit, read_at_45, read_straight, readings, values,
};
use crate::page::ask::{Rest, at_most, paper};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, File, Route};
use crate::page::state::{GearRequest, Setup};
use crate::pocket::PocketKind;
use crate::request::pocket_name;
use crate::sheets::Style;
use crate::sheets::readings::{
    ScreenForm, of_pockets, of_table, readings_sheet, screen_form, throat_depth,
};
use crate::shown::quoted;
use crate::speech::Speech;

/// Most readings at once (assumption: a form with every box filled in several times).
const MOST_READINGS: usize = 200;
/// A table that nobody has named.
const UNNAMED: &str = "my-table";

/// Readings by the names that the form has, without what only files and commands have.
const FORM: Face = Face {
    field: |field, f| match Quantity::ALL.iter().find(|q| q.field() == field) {
        // Where the form does not say how deep, the throat is measured as deep as the shelf.
        Some(Quantity::ThroatDepth(kind)) => f.write_str(&Quantity::Shelf(*kind).spoken()),
        Some(quantity) => f.write_str(&quantity.spoken()),
        None => f.write_str(match field {
            Field::RampRun => "ramp",
            Field::RailStraight => "straight roll",
            Field::RailAt45 => "roll at 45°",
            _ => field.name(),
        }),
    },
    hint: |_, _| Ok(()),
};

/// Which table the form is of.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct FormAsk {
    #[serde(flatten)]
    gear: GearRequest,
    /// Of a PDF: `a4` or `letter`.
    paper: Option<String>,
    #[serde(flatten)]
    rest: Rest,
}

/// Readings of a table.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct Ask {
    /// The table they are compared with; what is not measured stays its own.
    #[serde(flatten)]
    gear: GearRequest,
    /// What the table is to be called.
    name: String,
    /// Day of measuring; today when empty.
    date: String,
    /// Unit of sizes of pockets that are written without one: `mm`, `cm` or `in`; none is taken when empty.
    unit: String,
    /// The readings.
    readings: Vec<Given>,
    #[serde(flatten)]
    rest: Rest,
}

/// What stands in one field.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields, expecting = "an object")]
#[schemars(inline)]
struct Given {
    /// What was measured: `corner-mouth`, `roll-out`, `straight`, …
    of: String,
    /// At which pocket.
    pocket: Option<String>,
    /// Whether that pocket differs from its kind, so that its mouth counts by itself.
    alone: bool,
    /// As read, with its unit; several with commas between.
    text: String,
}

/// What is wrong with one field.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct At {
    /// What it is of; `name` and `date` of the table's own.
    of: String,
    /// At which pocket.
    pocket: Option<String>,
    /// What is wrong, and what would work.
    message: String,
}

/// A value that follows from the readings.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Found {
    /// What it is.
    what: String,
    /// Measured, with its unit.
    value: String,
    /// Half width of its interval, 95 in 100.
    reach: String,
    /// The table's it is compared with.
    standard: String,
    /// Whether readings disagree by more than they should.
    scattered: bool,
}

#[derive(Debug, Default, Serialize, JsonSchema)]
#[schemars(rename = "Measured")]
struct Answer {
    /// Fields that cannot be read.
    faults: Vec<At>,
    /// What is wrong with the readings together.
    wrong: Vec<String>,
    /// What some of them still need beside them.
    needs: Vec<String>,
    /// What is not measured yet.
    missing: Vec<String>,
    /// What follows.
    values: Vec<Found>,
    /// What rolls off a rail tell of the cushions.
    cushions: Option<String>,
    /// The table's name.
    name: String,
    /// Its file, once all that was given can be used.
    file: Option<String>,
    /// The same as changes to the table it was compared with, as `set` takes them.
    set: Vec<String>,
}

/// Rolls from a ramp.
#[derive(Default)]
struct Rolls {
    run: Option<RampRun>,
    rolls: Vec<RailRoll>,
}

/// The form as it was filled in.
#[derive(Default)]
struct Filled {
    readings: Vec<(Quantity, Reading)>,
    rolls: Rolls,
    faults: Vec<At>,
}

impl Filled {
    /// Reads every field; those that cannot be read are told one by one.
    fn read(asked: &Ask) -> Result<Self, ApiFault> {
        let mut out = Self::default();
        for given in asked.readings.iter().filter(|g| !g.text.trim().is_empty()) {
            if let Err(message) = out.field(given, &asked.unit)? {
                out.faults.push(At {
                    of: given.of.clone(),
                    pocket: given.pocket.clone(),
                    message,
                });
            }
        }
        Ok(out)
    }

    /// One field, or what is wrong with it; a field that no form has is the caller's fault.
    fn field(&mut self, given: &Given, unit: &str) -> Result<Result<(), String>, ApiFault> {
        let text = [given.text.clone()];
        let told = |error: MeasureError| error.to_string();
        let rolled = |rolls: &mut Vec<RailRoll>, read: Result<Vec<RailRoll>, MeasureError>| {
            read.map(|r| rolls.extend(r)).map_err(told)
        };
        if given.of == Field::RampRun.name() {
            let run = RampRun::read(&given.text).map_err(told);
            return Ok(run.map(|run| self.rolls.run = Some(run)));
        }
        if given.of == Field::RailStraight.name() {
            return Ok(rolled(&mut self.rolls.rolls, read_straight(&text)));
        }
        if given.of == Field::RailAt45.name() {
            return Ok(rolled(&mut self.rolls.rolls, read_at_45(&text)));
        }
        let mut known = Quantity::ALL.into_iter();
        let quantity = known.find(|q| q.field().name() == given.of);
        let Some(mut quantity) = quantity else {
            return Err(ApiFault::value(format!(
                "of: nothing to measure is called {}; /api/v1/form lists what is",
                quoted(&given.of)
            )));
        };
        let mut text = given.text.clone();
        if let Some(pocket) = &given.pocket {
            let pocket = pocket_name(Field::Pocket, pocket)?;
            text = with_unit(&text, unit);
            match (quantity, given.alone) {
                (Quantity::Mouth(_), true) => {
                    let place = POCKETS.iter().position(|(name, _)| *name == pocket.name());
                    quantity = place.map_or(quantity, Quantity::MouthOf);
                }
                (Quantity::Gap(_), true) => {
                    return Ok(Err(
                        "a pocket that differs is measured by its mouth alone: leave the gap empty"
                            .to_owned(),
                    ));
                }
                _ => {}
            }
        }
        let read = readings(quantity, &text).map_err(told);
        Ok(read.map(|own| {
            let own = own.into_iter().map(|reading| (quantity, reading));
            self.readings.extend(own);
        }))
    }

    /// The depth of a throat goes without saying where the form says how deep.
    fn deep(&mut self, base: &LoadedGear, style: &Style) {
        for kind in [PocketKind::Corner, PocketKind::Side] {
            let has = |q: Quantity| self.readings.iter().any(|(own, _)| *own == q);
            let depth = Quantity::ThroatDepth(kind);
            if has(Quantity::Throat(kind)) && !has(depth) {
                let text = throat_depth(&base.gear, kind, style);
                let own = text.and_then(|text| readings(depth, &text).ok());
                self.readings
                    .extend(own.into_iter().flatten().map(|reading| (depth, reading)));
            }
        }
    }

    /// What the form asks for and nobody has measured yet.
    fn missing(&self, base: &LoadedGear) -> Vec<String> {
        let has = |q: &Quantity| {
            let same = |own: &Quantity| match (own, q) {
                (Quantity::Mouth(a) | Quantity::Gap(a), Quantity::Mouth(b) | Quantity::Gap(b)) => {
                    a == b
                }
                (Quantity::MouthOf(index), Quantity::Mouth(b) | Quantity::Gap(b)) => {
                    POCKETS[*index].1 == (*b == PocketKind::Corner)
                }
                _ => own == q,
            };
            self.readings.iter().any(|(own, _)| same(own))
        };
        let kinds = [PocketKind::Corner, PocketKind::Side];
        let pockets = kinds
            .into_iter()
            .flat_map(|kind| of_pockets(&base.gear, kind));
        let mut out: Vec<String> = pockets
            .chain(of_table(&base.gear))
            // The gap is another way to the mouth.
            .filter(|q| !matches!(q, Quantity::Gap(_)) && !has(q))
            .map(Quantity::spoken)
            .collect();
        if self.rolls.rolls.is_empty() {
            out.push("rolls off a rail".to_owned());
        }
        out
    }

    fn is_empty(&self) -> bool {
        self.readings.is_empty() && self.rolls.rolls.is_empty()
    }
}

/// Bare numbers of a list with a unit behind them.
fn with_unit(text: &str, unit: &str) -> String {
    if unit.is_empty() {
        return text.to_owned();
    }
    let parts = text.split([',', ';']).map(|part| {
        let part = part.trim();
        if part.parse::<f64>().is_ok() {
            format!("{part}{unit}")
        } else {
            part.to_owned()
        }
    });
    parts.collect::<Vec<_>>().join(", ")
}

impl Answer {
    /// What stands in the way of a table.
    fn stopped(&mut self, error: &MeasureError) {
        let list = match error {
            MeasureError::Needs { .. } => &mut self.needs,
            _ => &mut self.wrong,
        };
        list.push(error.to_string());
    }

    fn at(&mut self, of: &str, message: String) {
        self.faults.push(At {
            of: of.to_owned(),
            pocket: None,
            message,
        });
    }
}

fn measured(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    ask.rest.none()?;
    at_most("readings", ask.readings.len(), MOST_READINGS)?;
    if !["", "mm", "cm", "in"].contains(&ask.unit.as_str()) {
        return Err(ApiFault::value(format!(
            "unit: {} is none of mm, cm, in",
            quoted(&ask.unit)
        )));
    }
    let base = setup.gear(&ask.gear)?;
    let today = (setup.clock)().map_err(ApiFault::value)?;
    spoken_by(FORM, || {
        let mut filled = Filled::read(&ask)?;
        filled.deep(&base, &style(setup, None)?);
        let speech = setup.speech(&base.gear);
        let mut out = Answer {
            missing: filled.missing(&base),
            faults: std::mem::take(&mut filled.faults),
            name: match ask.name.trim() {
                "" => UNNAMED.to_owned(),
                name => name.to_owned(),
            },
            ..Answer::default()
        };
        let day = match ask.date.trim() {
            "" => today.day().to_owned(),
            given => match given.parse::<When>() {
                Ok(when) => when.day().to_owned(),
                Err(error) => {
                    out.at("date", error.to_string());
                    String::new()
                }
            },
        };
        if !filled.is_empty() {
            let table = table(&base, &filled, &day, &mut out, setup);
            let whole = out.faults.is_empty() && out.wrong.is_empty() && out.needs.is_empty();
            if let Some(table) = table.filter(|_| whole) {
                let own = table
                    .rows
                    .iter()
                    .filter(|row| row.origin == Origin::Measured);
                out.set = own
                    .map(|row| format!("{}={}", row.key, row.value))
                    .collect();
                out.file = Some(table.to_toml());
            }
        }
        let said = |words: &mut Vec<String>| {
            for line in words {
                *line = speech.said(line);
            }
        };
        said(&mut out.wrong);
        said(&mut out.needs);
        said(&mut out.missing);
        Ok(out)
    })
}

/// The table that the readings make, as far as they make one.
fn table(
    base: &LoadedGear,
    filled: &Filled,
    day: &str,
    out: &mut Answer,
    setup: &Setup,
) -> Option<LoadedGear> {
    let speech = setup.speech(&base.gear);
    let instruments = Instruments::default();
    let mut table = base.clone();
    if !filled.readings.is_empty() {
        let own = match MeasuredTable::new(base.clone(), &filled.readings, &instruments) {
            Ok(own) => own,
            Err(error) => {
                out.stopped(&error);
                return None;
            }
        };
        let found = values(&own);
        out.values = found
            .iter()
            .map(|value| {
                let [measured, reach, standard] = value.digits(speech);
                Found {
                    what: speech.said(&value_name(value.key)),
                    value: measured,
                    reach,
                    standard,
                    scattered: value.scattered,
                }
            })
            .collect();
        match gear(&own, &found, &out.name, day) {
            Ok(gear) => table = gear,
            Err(error) => {
                out.stopped(&error);
                return None;
            }
        }
    }
    if filled.rolls.rolls.is_empty() {
        return Some(table);
    }
    cushions(&table, &filled.rolls, day, out, speech)
}

/// The same table with cushions as rolls off a rail tell of them.
fn cushions(
    table: &LoadedGear,
    rolls: &Rolls,
    day: &str,
    out: &mut Answer,
    speech: Speech,
) -> Option<LoadedGear> {
    let instruments = Instruments::default();
    let run = rolls.run;
    let run = run.unwrap_or_else(|| RampRun::that_fits(&table.gear, SPEED_M_S));
    let from = format!("{} rolls off a rail", rolls.rolls.len());
    let (note, value) = (
        format!("Cushions measured on {day}."),
        format!("{day}, {from}"),
    );
    let said = Said {
        note: &note,
        value: &value,
        reach: "half width, 95 in 100",
    };
    let fitted = rail_fit(&table.gear, &run, &rolls.rolls, &instruments);
    let fitted = fitted.and_then(|bounce| {
        let written = bounce.written(table, Rubber::Cushions, &out.name, &said)?;
        Ok((bounce, written))
    });
    match fitted {
        Ok((bounce, written)) => {
            let line = words::found_line(&bounce, Rubber::Cushions, &from, speech);
            out.cushions = Some(speech.said(line.trim_end()));
            Some(written)
        }
        Err(error) => {
            out.stopped(&error);
            None
        }
    }
}

fn style(setup: &Setup, asked: Option<String>) -> Result<Style, ApiFault> {
    Ok(Style {
        paper: paper(asked)?,
        plain: false,
        units: setup.units,
        words: setup.words,
    })
}

fn form(setup: &Setup, ask: FormAsk) -> Result<ScreenForm, ApiFault> {
    ask.rest.none()?;
    let base = setup.gear(&ask.gear)?;
    Ok(screen_form(&base.gear, &style(setup, ask.paper)?))
}

fn sheet(setup: &Setup, ask: FormAsk) -> Result<File, ApiFault> {
    ask.rest.none()?;
    let base = setup.gear(&ask.gear)?;
    let pdf = readings_sheet(&base.gear, &style(setup, ask.paper)?)?.pdf(Stamp::from_env()?)?;
    Ok(("application/pdf", pdf))
}

pub(super) fn form_route() -> Route {
    let about = About::new(
        "/api/v1/form",
        "The measuring form: what is measured of a table, with sketches",
        json!({"table": "pool-9ft"}),
    );
    Route::solving(about, Lane::Light, form)
}

pub(super) fn readings_route() -> Route {
    let about = About::new(
        "/api/v1/readings",
        "What readings make of a table: its file, and what is still missing",
        json!({"table": "pool-9ft", "name": "hall-2", "date": "2025-11-25", "readings": [
            {"of": "corner-mouth", "pocket": "foot-left", "text": "114mm, 113.5mm"},
            {"of": "roll-out", "text": "3.2m 8.1s"}
        ]}),
    );
    Route::solving(about, Lane::Long, measured)
}

pub(super) fn sheet_route() -> Route {
    let about = About::new(
        "/api/v1/form-sheet",
        "The measuring form on paper",
        json!({"table": "pool-9ft"}),
    );
    Route::drawing(about, &["application/pdf"], sheet)
}
