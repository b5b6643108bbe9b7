//! `thincut` for Python: windows of shots on NumPy arrays.
//!
//! What Python sees is described, with types, in `thincut/__init__.pyi`. Nothing is computed here: arrays
//! become shots, the library solves them, answers become arrays. Work on arrays runs without Python's lock.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use numpy::{IntoPyArray, PyReadonlyArrayDyn};
use pyo3::exceptions::{PyTypeError, PyValueError};
use pyo3::prelude::*;
use pyo3::types::PyDict;
use thincut::window::{NoWindow, Stroke, accept_shot, solve_accepted, solve_with};
use thincut::{
    AbstractShot, Acceptance, AimError, Angle, Gear, Length, Level, NoAcceptance, PocketKind, Shot,
    Solution, Speed, chance_of_solution,
};

/// More acceptances than this are forgotten all at once, so that memory stays flat (about 1 kB each).
const MOST_ACCEPTANCES: usize = 16_384;

/// What the column `status` counts: 0 is an answer, the last a row that cannot stand.
const STATUSES: [&str; 8] = [
    "ok",
    "no-drop",
    "too-steep",
    "in-the-jaws",
    "out-of-reach",
    "too-close",
    "blocked",
    "invalid",
];
const INVALID: u8 = 7;

fn status(no: NoWindow) -> u8 {
    let at = STATUSES.iter().position(|name| *name == no.name());
    at.and_then(|at| u8::try_from(at).ok()).unwrap_or(INVALID)
}

fn bad(message: impl ToString) -> PyErr {
    PyValueError::new_err(message.to_string())
}

fn kind(name: &str) -> PyResult<PocketKind> {
    match name {
        "corner" => Ok(PocketKind::Corner),
        "side" => Ok(PocketKind::Side),
        other => Err(bad(format!(
            "pocket is {other:?}; it must be \"corner\" or \"side\""
        ))),
    }
}

fn level_named(name: &str) -> PyResult<AimError> {
    let level: Level = name.parse().map_err(|e| bad(format!("level: {e}")))?;
    Ok(level.aim_error())
}

/// Bed, pockets, balls, cloth and cushions.
#[pyclass(frozen, module = "thincut")]
#[derive(Debug)]
struct Table {
    gear: Arc<Gear>,
}

#[pymethods]
impl Table {
    #[new]
    #[pyo3(signature = (preset="pool-9ft", changes=Vec::new()))]
    fn new(preset: &str, changes: Vec<String>) -> PyResult<Self> {
        let gear = Gear::preset(preset).map_err(bad)?;
        Ok(Self {
            gear: Arc::new(gear.with_overrides(&changes).map_err(bad)?),
        })
    }

    #[staticmethod]
    fn from_toml(text: &str) -> PyResult<Self> {
        let gear = Gear::from_toml_str(text).map_err(bad)?;
        Ok(Self {
            gear: Arc::new(gear),
        })
    }

    #[staticmethod]
    fn from_file(path: &str) -> PyResult<Self> {
        let gear = Gear::load(path).map_err(bad)?;
        Ok(Self {
            gear: Arc::new(gear),
        })
    }

    #[getter]
    fn name(&self) -> &str {
        &self.gear.name
    }

    fn to_toml(&self) -> String {
        self.gear.to_toml()
    }

    fn __repr__(&self) -> String {
        format!("Table({:?})", self.gear.name)
    }
}

/// One shot as asked for.
#[derive(Debug, Clone, Copy)]
struct Asked {
    cut_deg: f64,
    apart_m: f64,
    to_pocket_m: f64,
    approach_deg: f64,
    pace_m_s: f64,
}

impl Asked {
    fn shot(
        &self,
        gear: &Gear,
        kind: PocketKind,
        roll: Option<f64>,
        side: f64,
    ) -> Result<Shot, String> {
        for (name, value) in [
            ("cut_deg", self.cut_deg),
            ("apart_m", self.apart_m),
            ("to_pocket_m", self.to_pocket_m),
            ("approach_deg", self.approach_deg),
            ("pace_m_s", self.pace_m_s),
        ] {
            if !value.is_finite() {
                return Err(format!("{name} is {value}; it must be a number"));
            }
        }
        let asked = AbstractShot {
            kind,
            ..AbstractShot::new(
                Angle::from_deg(self.cut_deg),
                Length::from_m(self.apart_m),
                Length::from_m(self.to_pocket_m),
            )
        };
        let asked = asked.approached(Angle::from_deg(self.approach_deg));
        let pace = Speed::from_m_s(self.pace_m_s);
        let stroke = match roll {
            Some(roll) => Stroke::at_pace(pace).arriving(roll, side),
            None if side != 0.0 => {
                return Err("side without roll: give the roll that arrives, too".to_owned());
            }
            None => Stroke {
                pace_m_s: self.pace_m_s,
                ..Stroke::centre_ball()
            },
        };
        Shot::from_angles(gear, &asked, stroke).map_err(|e| {
            format!(
                "{e} (cut_deg {}, apart_m {}, to_pocket_m {}, approach_deg {}, pace_m_s {})",
                self.cut_deg, self.apart_m, self.to_pocket_m, self.approach_deg, self.pace_m_s
            )
        })
    }
}

/// What an acceptance depends on besides table and pocket: object ball and pace.
type Key = [u64; 3];
type Accepted = Arc<Result<Acceptance, NoAcceptance>>;

fn key(shot: &Shot) -> Key {
    [shot.object.x, shot.object.y, shot.stroke.pace_m_s].map(f64::to_bits)
}

/// Solves shots on one table and keeps what its pockets take.
#[pyclass(frozen, module = "thincut")]
#[derive(Debug)]
struct Solver {
    gear: Arc<Gear>,
    kind: PocketKind,
    kept: Mutex<HashMap<Key, Accepted>>,
}

impl Solver {
    /// Kept, or solved and kept.
    fn accepted(&self, shot: &Shot) -> Result<Accepted, String> {
        let key = key(shot);
        let lock = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = lock().get(&key) {
            return Ok(Arc::clone(known));
        }
        let found = Arc::new(accept_shot(&self.gear, shot).map_err(|e| e.to_string())?);
        let mut kept = lock();
        if kept.len() >= MOST_ACCEPTANCES {
            kept.clear();
        }
        kept.insert(key, Arc::clone(&found));
        Ok(found)
    }

    fn solution(&self, shot: &Shot) -> Result<Solution, String> {
        Ok(match &*self.accepted(shot)? {
            Ok(acceptance) => solve_accepted(&self.gear, shot, acceptance.clone()),
            Err(no) => Solution {
                acceptance: None,
                window: Err((*no).into()),
            },
        })
    }
}

/// A column's values: one for each row, or one for all.
#[derive(Debug)]
enum Values {
    Each(Vec<f64>),
    All(f64),
}

impl Values {
    fn read(py: Python<'_>, name: &str, given: &Bound<'_, PyAny>) -> PyResult<Self> {
        let numpy = py.import("numpy")?;
        let array = numpy
            .call_method1("asarray", (given, numpy.getattr("float64")?))
            .map_err(|_| {
                PyTypeError::new_err(format!(
                    "{name}: {given} is not a number or an array of numbers; its unit is in its name"
                ))
            })?;
        let array: PyReadonlyArrayDyn<'_, f64> = array.extract()?;
        let array = array.as_array();
        match array.ndim() {
            0 => Ok(Self::All(array.iter().copied().sum())),
            1 => Ok(Self::Each(array.iter().copied().collect())),
            many => Err(bad(format!(
                "{name} has {many} dimensions; it must be a number or have one dimension"
            ))),
        }
    }

    fn at(&self, row: usize) -> f64 {
        match self {
            Self::Each(values) => values[row],
            Self::All(value) => *value,
        }
    }
}

/// The length all columns share.
fn rows(columns: &[(&str, &Values)]) -> PyResult<usize> {
    let mut found: Option<(&str, usize)> = None;
    for (name, values) in columns {
        let Values::Each(values) = values else {
            continue;
        };
        match found {
            Some((first, count)) if count != values.len() => {
                return Err(bad(format!(
                    "{name} has {} values and {first} {count}: all must have as many, or be one number",
                    values.len()
                )));
            }
            Some(_) => {}
            None => found = Some((name, values.len())),
        }
    }
    Ok(found.map_or(1, |(_, count)| count))
}

/// The answer's columns of numbers.
const COLUMNS: [&str; 11] = [
    "cut_deg",
    "throw_deg",
    "cue_speed_m_s",
    "clean_thick_deg",
    "clean_thin_deg",
    "direct_thick_deg",
    "direct_thin_deg",
    "drop_thick_deg",
    "drop_thin_deg",
    "clean_thick_mm",
    "clean_thin_mm",
];

fn numbers(window: &thincut::AimWindow) -> [f64; 11] {
    let part = |part: Option<thincut::Window>| {
        part.map_or((f64::NAN, f64::NAN), |w| (w.thick_rad, w.thin_rad))
    };
    let (clean, direct, drop) = (part(window.clean), part(window.direct), part(window.drop));
    [
        window.cut_rad.to_degrees(),
        window.throw_fuller_rad().to_degrees(),
        window.cue_speed_m_s,
        clean.0.to_degrees(),
        clean.1.to_degrees(),
        direct.0.to_degrees(),
        direct.1.to_degrees(),
        drop.0.to_degrees(),
        drop.1.to_degrees(),
        1e3 * window.ghost_offset_m(clean.0),
        1e3 * window.ghost_offset_m(clean.1),
    ]
}

/// Many answers, column by column.
struct Answers {
    status: Vec<u8>,
    columns: [Vec<f64>; 11],
    chance: Option<Vec<f64>>,
}

impl Solver {
    fn answers(&self, shots: &[Option<Shot>], player: Option<&AimError>) -> Answers {
        let nothing = || vec![f64::NAN; shots.len()];
        let mut answers = Answers {
            status: vec![INVALID; shots.len()],
            columns: std::array::from_fn(|_| nothing()),
            chance: player.map(|_| nothing()),
        };
        // Rows that share an acceptance ask for it once.
        let mut groups: HashMap<Key, usize> = HashMap::new();
        let mut members: Vec<Vec<usize>> = Vec::new();
        for (row, shot) in shots.iter().enumerate() {
            if let Some(shot) = shot {
                let group = *groups.entry(key(shot)).or_insert_with(|| {
                    members.push(Vec::new());
                    members.len() - 1
                });
                members[group].push(row);
            }
        }
        for group in &members {
            let of = |row: &usize| shots[*row].as_ref();
            let Some(first) = group.first().and_then(of) else {
                continue;
            };
            let Ok(accepted) = self.accepted(first) else {
                continue; // the object ball would stand in a cushion
            };
            let acceptance = match &*accepted {
                Ok(acceptance) => acceptance,
                Err(no) => {
                    for row in group {
                        answers.status[*row] = status((*no).into());
                    }
                    continue;
                }
            };
            for row in group {
                let Some(shot) = of(row) else { continue };
                // Each by itself: side by side, the last bits would hang on which rows are neighbours, and
                // pieces of a table would not give the bytes of the whole.
                let window = solve_with(&self.gear, acceptance, shot.cue, &shot.stroke);
                answers.status[*row] = match &window {
                    Ok(window) => {
                        for (column, value) in answers.columns.iter_mut().zip(numbers(window)) {
                            column[*row] = value;
                        }
                        0
                    }
                    Err(no) => status(*no),
                };
                if let (Some(player), Some(chance)) = (player, &mut answers.chance) {
                    let solution = Solution {
                        acceptance: Some(acceptance.clone()),
                        window,
                    };
                    chance[*row] = chance_of_solution(&self.gear, shot, &solution, player);
                }
            }
        }
        answers
    }
}

#[pymethods]
impl Solver {
    #[new]
    #[pyo3(signature = (table, pocket="corner"))]
    fn new(table: &Table, pocket: &str) -> PyResult<Self> {
        Ok(Self {
            gear: Arc::clone(&table.gear),
            kind: kind(pocket)?,
            kept: Mutex::default(),
        })
    }

    #[getter]
    fn kept(&self) -> usize {
        self.kept
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .len()
    }

    #[pyo3(signature = (cut_deg, apart_m, to_pocket_m, *, approach_deg=0.0, pace_m_s=1.0, roll=None, side=0.0))]
    #[expect(clippy::too_many_arguments, reason = "keywords of Python")]
    fn window(
        &self,
        cut_deg: f64,
        apart_m: f64,
        to_pocket_m: f64,
        approach_deg: f64,
        pace_m_s: f64,
        roll: Option<f64>,
        side: f64,
    ) -> PyResult<Window> {
        let asked = Asked {
            cut_deg,
            apart_m,
            to_pocket_m,
            approach_deg,
            pace_m_s,
        };
        let shot = asked.shot(&self.gear, self.kind, roll, side).map_err(bad)?;
        let solution = self.solution(&shot).map_err(bad)?;
        match solution.window {
            Ok(found) => Ok(Window {
                gear: Arc::clone(&self.gear),
                shot,
                found,
                solution,
            }),
            Err(no) => Err(bad(format!("no window: {}", no.name()))),
        }
    }

    #[pyo3(signature = (cut_deg, apart_m, to_pocket_m, *, approach_deg=None, pace_m_s=None, roll=None, side=0.0, level=None))]
    #[expect(clippy::too_many_arguments, reason = "keywords of Python")]
    fn solve_many<'py>(
        &self,
        py: Python<'py>,
        cut_deg: &Bound<'py, PyAny>,
        apart_m: &Bound<'py, PyAny>,
        to_pocket_m: &Bound<'py, PyAny>,
        approach_deg: Option<&Bound<'py, PyAny>>,
        pace_m_s: Option<&Bound<'py, PyAny>>,
        roll: Option<f64>,
        side: f64,
        level: Option<&str>,
    ) -> PyResult<Bound<'py, PyDict>> {
        if roll.is_none() && side != 0.0 {
            return Err(bad("side without roll: give the roll that arrives, too"));
        }
        let usual = |name, given: Option<&Bound<'py, PyAny>>, usual| match given {
            Some(given) => Values::read(py, name, given),
            None => Ok(Values::All(usual)),
        };
        let cut = Values::read(py, "cut_deg", cut_deg)?;
        let apart = Values::read(py, "apart_m", apart_m)?;
        let to_pocket = Values::read(py, "to_pocket_m", to_pocket_m)?;
        let approach = usual("approach_deg", approach_deg, 0.0)?;
        let pace = usual("pace_m_s", pace_m_s, 1.0)?;
        let count = rows(&[
            ("cut_deg", &cut),
            ("apart_m", &apart),
            ("to_pocket_m", &to_pocket),
            ("approach_deg", &approach),
            ("pace_m_s", &pace),
        ])?;
        let player = level.map(level_named).transpose()?;
        let answers = py.detach(|| {
            let shots: Vec<Option<Shot>> = (0..count)
                .map(|row| {
                    let asked = Asked {
                        cut_deg: cut.at(row),
                        apart_m: apart.at(row),
                        to_pocket_m: to_pocket.at(row),
                        approach_deg: approach.at(row),
                        pace_m_s: pace.at(row),
                    };
                    asked.shot(&self.gear, self.kind, roll, side).ok()
                })
                .collect();
            self.answers(&shots, player.as_ref())
        });
        let table = PyDict::new(py);
        table.set_item("status", answers.status.into_pyarray(py))?;
        for (name, column) in COLUMNS.into_iter().zip(answers.columns) {
            table.set_item(name, column.into_pyarray(py))?;
        }
        if let Some(chance) = answers.chance {
            table.set_item("chance", chance.into_pyarray(py))?;
        }
        Ok(table)
    }
}

/// The directions of the cue ball that make one shot.
#[pyclass(frozen, module = "thincut")]
#[derive(Debug)]
struct Window {
    gear: Arc<Gear>,
    shot: Shot,
    found: thincut::AimWindow,
    solution: Solution,
}

fn pair_deg(part: Option<thincut::Window>) -> Option<(f64, f64)> {
    part.map(|w| (w.thick_rad.to_degrees(), w.thin_rad.to_degrees()))
}

#[pymethods]
impl Window {
    #[getter]
    fn cut_deg(&self) -> f64 {
        self.found.cut_rad.to_degrees()
    }

    #[getter]
    fn throw_deg(&self) -> f64 {
        self.found.throw_fuller_rad().to_degrees()
    }

    #[getter]
    fn cue_speed_m_s(&self) -> f64 {
        self.found.cue_speed_m_s
    }

    #[getter]
    fn clean_deg(&self) -> Option<(f64, f64)> {
        pair_deg(self.found.clean)
    }

    #[getter]
    fn direct_deg(&self) -> Option<(f64, f64)> {
        pair_deg(self.found.direct)
    }

    #[getter]
    fn drop_deg(&self) -> Option<(f64, f64)> {
        pair_deg(self.found.drop)
    }

    #[getter]
    fn clean_mm(&self) -> Option<(f64, f64)> {
        let mm = |rad| 1e3 * self.found.ghost_offset_m(rad);
        self.found.clean.map(|w| (mm(w.thick_rad), mm(w.thin_rad)))
    }
}

/// How often a shot is made.
#[pyfunction]
#[pyo3(signature = (window, level=None, *, arm_deg=None, picture_mm=None))]
fn chance(
    window: &Window,
    level: Option<&str>,
    arm_deg: Option<f64>,
    picture_mm: Option<f64>,
) -> PyResult<f64> {
    let player = match (level, arm_deg, picture_mm) {
        (Some(level), None, None) => level_named(level)?,
        (None, Some(arm_deg), picture_mm) => {
            AimError::new(arm_deg.to_radians(), 1e-3 * picture_mm.unwrap_or(0.0)).map_err(bad)?
        }
        (None, None, Some(_)) => return Err(bad("picture_mm without arm_deg: give both")),
        (None, None, None) => return Err(bad("give a level, or arm_deg and picture_mm")),
        (Some(_), _, _) => return Err(bad("give a level or spreads, not both")),
    };
    Ok(chance_of_solution(
        &window.gear,
        &window.shot,
        &window.solution,
        &player,
    ))
}

/// What a pocket takes.
#[pyfunction]
#[pyo3(signature = (table, to_pocket_m, *, pocket="corner", approach_deg=0.0, pace_m_s=1.0))]
fn acceptance(
    table: &Table,
    to_pocket_m: f64,
    pocket: &str,
    approach_deg: f64,
    pace_m_s: f64,
) -> PyResult<Vec<(f64, f64, &'static str)>> {
    let asked = Asked {
        cut_deg: 0.0,
        apart_m: 2.0 * table.gear.contact_distance_m(),
        to_pocket_m,
        approach_deg,
        pace_m_s,
    };
    let shot = asked
        .shot(&table.gear, kind(pocket)?, Some(1.0), 0.0)
        .map_err(bad)?;
    Ok(match accept_shot(&table.gear, &shot).map_err(bad)? {
        Ok(found) => found
            .pieces
            .spans()
            .iter()
            .map(|s| (s.from_rad.to_degrees(), s.to_rad.to_degrees(), s.tag.name()))
            .collect(),
        Err(_) => Vec::new(),
    })
}

/// Names of the standard tables.
#[pyfunction]
fn presets() -> Vec<&'static str> {
    Gear::preset_names().to_vec()
}

/// Names of the assumed players.
#[pyfunction]
fn levels() -> Vec<&'static str> {
    Level::ALL.iter().map(|level| level.name()).collect()
}

/// The solver of cue-sport shots.
#[pymodule]
fn _thincut(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add(
        "STATUSES",
        pyo3::types::PyTuple::new(module.py(), STATUSES)?,
    )?;
    module.add_class::<Table>()?;
    module.add_class::<Solver>()?;
    module.add_class::<Window>()?;
    module.add_function(wrap_pyfunction!(chance, module)?)?;
    module.add_function(wrap_pyfunction!(acceptance, module)?)?;
    module.add_function(wrap_pyfunction!(presets, module)?)?;
    module.add_function(wrap_pyfunction!(levels, module)?)?;
    Ok(())
}
