//! Shaft widths: the aim line moved from the object ball's centre or edge by multiples of the
//! shaft's diameter, measured across the line of sight at the object ball. Numbers only.

use super::error::{AimsError, require};
use super::{CannotAim, Eye, Scene, Way};
use crate::field::Field;

/// Where the widths are counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// The object ball's centre.
    Centre,
    /// Its edge on the side that is hit, outwards positive.
    Edge,
}

/// Which multiples are used.
#[derive(Debug, Clone, PartialEq)]
pub enum Multiples {
    /// The nearest multiple of this step.
    Step(f64),
    /// The nearest of a list (one alone is "as chosen").
    List(Vec<f64>),
}

/// The aim line moved by shaft widths.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftWidths {
    diameter_m: f64,
    from: From,
    multiples: Multiples,
    apparent: Option<Eye>,
}

impl ShaftWidths {
    /// A common shaft, m (common practice: playing shafts run from 12 to 13 mm).
    pub const DEFAULT_DIAMETER_M: f64 = 0.013;
    /// Half widths, when nothing is said (assumption).
    pub const DEFAULT_STEP: f64 = 0.5;

    /// Widths of a shaft of `diameter_m`; with an eye, as wide as the shaft at the cue ball looks
    /// at the object ball's distance.
    ///
    /// # Errors
    /// [`AimsError::OutOfRange`] for a shaft or a step that is not above zero, [`AimsError::Empty`].
    pub fn new(
        diameter_m: f64,
        from: From,
        multiples: Multiples,
        apparent: Option<Eye>,
    ) -> Result<Self, AimsError> {
        require(
            diameter_m > 0.0 && diameter_m <= 0.05,
            Field::Shaft,
            || format!("{}mm", diameter_m * 1e3),
            "above 0 and at most 50mm, such as 13mm",
        )?;
        match &multiples {
            Multiples::Step(step) => require(
                *step > 0.0 && step.is_finite(),
                Field::ShaftStep,
                || step.to_string(),
                "above 0, such as 0.5",
            )?,
            Multiples::List(list) if list.is_empty() => {
                return Err(AimsError::Empty {
                    what: Field::ShaftMultiples,
                    example: "0,0.5,1,1.5",
                });
            }
            Multiples::List(list) => {
                if let Some(bad) = list.iter().find(|m| !m.is_finite()) {
                    require(
                        false,
                        Field::ShaftMultiples,
                        || bad.to_string(),
                        "finite numbers",
                    )?;
                }
            }
        }
        Ok(Self {
            diameter_m,
            from,
            multiples,
            apparent,
        })
    }

    /// One width across the line of sight at the object ball, m.
    #[must_use]
    pub fn width_m(&self, scene: &Scene<'_>) -> f64 {
        self.apparent.map_or(1.0, |eye| apparent_factor(scene, eye)) * self.diameter_m
    }

    /// The multiple used for a shot.
    pub(crate) fn multiple(&self, scene: &Scene<'_>) -> f64 {
        // tan a = offset/d, a the ghost ball's aim
        let wanted_m = scene.apart_m() * scene.ghost().aim_rad.abs().tan();
        let wanted = (wanted_m - self.start_m(scene)) / self.width_m(scene);
        match &self.multiples {
            Multiples::Step(step) => (wanted / step).round() * step,
            Multiples::List(list) => list
                .iter()
                .copied()
                .min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()))
                .unwrap_or(0.0),
        }
    }

    fn start_m(&self, scene: &Scene<'_>) -> f64 {
        match self.from {
            From::Centre => 0.0,
            From::Edge => scene.gear.object_radius_m(),
        }
    }
}

/// How much wider a shaft held at the cue ball looks at the object ball's distance: the ratio of the
/// eye's distances to the object ball and to the tip (at the cue ball's back, at mid-height).
#[must_use]
pub fn apparent_factor(scene: &Scene<'_>, eye: Eye) -> f64 {
    let (cue, object) = (scene.gear.cue_radius_m(), scene.gear.object_radius_m());
    let to_object = (eye.behind_m() + scene.apart_m()).hypot(eye.height_m() - object);
    let to_tip = (eye.behind_m() - cue).hypot(eye.height_m() - cue);
    to_object / to_tip
}

impl Way for ShaftWidths {
    fn name(&self) -> String {
        match self.from {
            From::Centre => "shaft-centre".into(),
            From::Edge => "shaft-edge".into(),
        }
    }

    fn rule(&self) -> String {
        let start = match self.from {
            From::Centre => "centre",
            From::Edge => "edge",
        };
        let which = match &self.multiples {
            Multiples::Step(step) => format!("the nearest multiple of {step} shaft widths"),
            Multiples::List(list) => {
                let list: Vec<String> = list.iter().map(f64::to_string).collect();
                format!("the nearest of {} shaft widths", list.join(", "))
            }
        };
        format!("aim {which} from the object ball's {start}")
    }

    fn assumes(&self) -> Vec<String> {
        let shaft = format!("a shaft of {:.1} mm", self.diameter_m * 1e3);
        match self.apparent {
            None => vec![format!("{shaft}, its true width laid at the object ball")],
            Some(eye) => vec![
                format!("{shaft}, as wide as it looks at the object ball"),
                eye.says(),
            ],
        }
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let offset = self.start_m(scene) + self.multiple(scene) * self.width_m(scene);
        Ok(scene.aim_beside_rad(offset))
    }
}
