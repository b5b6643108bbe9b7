//! Whether a ball can be played on such a table: values one by one, then how they fit together.

use super::keys::{Kind, all, find};
use super::{Gear, POCKETS, PocketSpec};
use crate::error::GearError;

/// A pocket with what messages need.
struct Pocket<'a> {
    spec: &'a PocketSpec,
    /// Facing angle of parallel facings: 135° at a corner, 90° at a side.
    square_rad: f64,
    keys: PocketKeys,
}

struct PocketKeys {
    mouth: &'static str,
    facing_angle: &'static str,
    cutout_radius: &'static str,
    jaw_radius: &'static str,
}

impl PocketKeys {
    /// The keys of a section: `corner`, `side` or one of [`POCKETS`].
    fn of(section: &str) -> Self {
        let key =
            |word: &str| find(&format!("pocket.{section}.{word}")).map_or("pocket", |k| k.path);
        Self {
            mouth: key("mouth"),
            facing_angle: key("facing_angle"),
            cutout_radius: key("cutout_radius"),
            jaw_radius: key("jaw_radius"),
        }
    }
}

impl Gear {
    /// Checks every value and how they fit; whatever [`Gear::load`] returns has passed.
    ///
    /// # Errors
    /// [`GearError::OutOfRange`] for a value alone (also not finite), [`GearError::DoesNotFit`] for
    /// a mouth no wider than a ball, facings that close before the drop or lead past the hole, a
    /// jaw rounding that ends beyond it, a nose that misses the cue ball, pockets that overlap.
    pub fn check(&self) -> Result<(), GearError> {
        for key in all() {
            let Some(si) = (key.get)(self) else { continue };
            if !key.range.holds(si) {
                return Err(GearError::OutOfRange {
                    key: key.path,
                    value: key.kind.text(si),
                    range: key.range.text(key.kind),
                    reason: key.range.reason,
                });
            }
        }
        self.check_cue_ball()?;
        let right_angle_rad = std::f64::consts::FRAC_PI_2;
        let square_rad = |corner| if corner { 1.5 } else { 1.0 } * right_angle_rad;
        let kinds = [("corner", true, self.corner), ("side", false, self.side)];
        let singles = (0..)
            .zip(POCKETS)
            .filter(|(index, _)| !self.single[*index].is_none())
            .map(|(index, (name, corner))| (name, corner, self.single_pocket(index)));
        for (section, corner, spec) in kinds.into_iter().chain(singles) {
            let pocket = Pocket {
                spec: &spec,
                square_rad: square_rad(corner),
                keys: PocketKeys::of(section),
            };
            self.check_mouth(&pocket)?;
            for rho_m in [self.object_contact_radius_m(), self.cue_contact_radius_m()] {
                pocket.check_throat(rho_m)?;
            }
        }
        self.check_lines()?;
        self.check_measured()?;
        self.check_rails()
    }

    /// What was measured of bounce and rub goes together: one without the other says too little.
    fn check_measured(&self) -> Result<(), GearError> {
        let pairs = [
            (
                self.measured.facings,
                "measured.facing_restitution",
                "measured.facing_friction",
            ),
            (
                self.measured.cushions,
                "measured.cushion_restitution",
                "measured.cushion_friction",
            ),
        ];
        for (reach, bounce, rub) in pairs {
            let (has, value, lacks) = match (reach.restitution, reach.friction) {
                (Some(value), None) => (bounce, value, rub),
                (None, Some(value)) => (rub, value, bounce),
                _ => continue,
            };
            return Err(GearError::DoesNotFit {
                key: has,
                value: Kind::Number.text(value),
                problem: "bounce and rub were measured together".to_owned(),
                remedy: format!("give {lacks} too"),
            });
        }
        Ok(())
    }

    /// The nose must meet the cue ball too, between its middle and its top.
    fn check_cue_ball(&self) -> Result<(), GearError> {
        let nose_m = self.nose_height_m();
        let (low_m, high_m) = (self.cue_radius_m(), self.balls.cue_diameter_m);
        if nose_m >= low_m && nose_m < high_m {
            return Ok(());
        }
        Err(GearError::DoesNotFit {
            key: "ball.cue_diameter",
            value: length(self.balls.cue_diameter_m),
            problem: format!(
                "the nose is {} high and must meet the cue ball between its middle and its top",
                above(nose_m)
            ),
            remedy: format!(
                "use more than {} and at most {}",
                above(nose_m),
                below(2.0 * nose_m)
            ),
        })
    }

    fn check_mouth(&self, pocket: &Pocket<'_>) -> Result<(), GearError> {
        let widest_m = self.balls.object_diameter_m.max(self.balls.cue_diameter_m);
        if pocket.spec.mouth_m > widest_m {
            return Ok(());
        }
        Err(GearError::DoesNotFit {
            key: pocket.keys.mouth,
            value: length(pocket.spec.mouth_m),
            problem: "the mouth is no wider than the ball".to_owned(),
            remedy: format!("use more than {}", length(widest_m)),
        })
    }

    /// Straight rail must be left between neighbouring pockets.
    fn check_rails(&self) -> Result<(), GearError> {
        // A corner's jaw point lies mouth/√2 along each rail, a side's mouth/2 from the middle.
        let taken_m = |index: usize| {
            let spec = self.single_pocket(index);
            let share = if POCKETS[index].1 {
                std::f64::consts::FRAC_1_SQRT_2
            } else {
                0.5
            };
            spec.mouth_m * share + spec.jaw_tangent_m()
        };
        let [
            head_left,
            head_right,
            side_left,
            side_right,
            foot_left,
            foot_right,
        ] = [0, 1, 2, 3, 4, 5].map(taken_m);
        let most = |needs: [f64; 4]| needs.into_iter().fold(0.0, f64::max);
        let long_m = most([
            2.0 * (head_left + side_left),
            2.0 * (foot_left + side_left),
            2.0 * (head_right + side_right),
            2.0 * (foot_right + side_right),
        ]);
        let short_m = (head_left + head_right).max(foot_left + foot_right);
        let rails = [
            ("bed.length", self.bed.length_m, long_m, "long"),
            ("bed.width", self.bed.width_m, short_m, "short"),
        ];
        for (key, have_m, need_m, rail) in rails {
            if have_m <= need_m {
                return Err(GearError::DoesNotFit {
                    key,
                    value: length(have_m),
                    problem: format!("the pockets leave no straight cushion on the {rail} rails"),
                    remedy: format!("use more than {}", above(need_m)),
                });
            }
        }
        Ok(())
    }

    /// Lines and spots lie on the bed.
    fn check_lines(&self) -> Result<(), GearError> {
        let lines = [
            ("lines.baulk", self.bed.lines.baulk_m, self.bed.length_m),
            (
                "lines.d_radius",
                self.bed.lines.d_radius_m,
                0.5 * self.bed.width_m,
            ),
            (
                "lines.black_spot",
                self.bed.lines.black_spot_m,
                self.bed.length_m,
            ),
        ];
        for (key, value, most_m) in lines {
            if let Some(m) = value.filter(|m| *m >= most_m) {
                return Err(GearError::DoesNotFit {
                    key,
                    value: length(m),
                    problem: "it would lie off the bed".to_owned(),
                    remedy: format!("use less than {}", below(most_m)),
                });
            }
        }
        Ok(())
    }
}

impl Pocket<'_> {
    /// Follows the centre of a ball that slides along a facing, down to the cut-out.
    ///
    /// Pocket frame: origin at the mouth's middle, x into the pocket. A facing closes in by β, so
    /// the line offset by ρ begins at (−ρ sin β, mouth/2 − ρ cos β) and runs along (cos β, −sin β).
    fn check_throat(&self, rho_m: f64) -> Result<(), GearError> {
        let spec = self.spec;
        let (sin_b, cos_b) = (spec.facing_angle_rad - self.square_rad).sin_cos();
        let (start_x, start_y) = (-rho_m * sin_b, 0.5 * spec.mouth_m - rho_m * cos_b);
        // Towards the cut-out's centre, split along and across the offset facing.
        let (to_x, to_y) = (spec.shelf_m + spec.cutout_radius_m - start_x, -start_y);
        let along_m = to_x * cos_b - to_y * sin_b;
        let across_m = to_x * sin_b + to_y * cos_b;
        // Where the offset facing reaches the pocket's axis: closed if the hole begins deeper.
        let axis_x = if sin_b > 0.0 {
            start_x + start_y * cos_b / sin_b
        } else {
            f64::INFINITY
        };
        if start_y <= 0.0 || axis_x <= spec.shelf_m {
            return Err(self.closed(rho_m));
        }
        // |start + t·direction − centre| = r, smaller root: t = along − √(r² − across²)
        let inside = spec.cutout_radius_m * spec.cutout_radius_m - across_m * across_m;
        if inside <= 0.0 {
            return Err(self.past_the_hole(across_m.abs()));
        }
        // A rounding that ends on the facing or inside the hole leads a ball into it; one that ends
        // beyond would lead it past.
        let far_m = along_m + inside.sqrt();
        let tangent_m = spec.jaw_tangent_m();
        if tangent_m >= far_m {
            let most_m = far_m * (0.5 * spec.facing_angle_rad).tan();
            return Err(GearError::DoesNotFit {
                key: self.keys.jaw_radius,
                value: length(spec.jaw_radius_m),
                problem: "the rounding ends beyond the hole".to_owned(),
                remedy: format!("use less than {}", below(most_m)),
            });
        }
        Ok(())
    }

    fn closed(&self, rho_m: f64) -> GearError {
        let spec = self.spec;
        let beta_rad = spec.facing_angle_rad - self.square_rad;
        // Half mouth at the drop: mouth/2 − ρ/cos β − shelf·tan β > 0
        let least_m = 2.0 * (rho_m / beta_rad.cos() + spec.shelf_m * beta_rad.tan());
        GearError::DoesNotFit {
            key: self.keys.facing_angle,
            value: Kind::Angle.text(spec.facing_angle_rad),
            problem: format!(
                "the facings close on the ball before the drop, {} behind the mouth",
                length(spec.shelf_m)
            ),
            remedy: format!(
                "use a smaller angle, a shorter shelf, or {} above {}",
                self.keys.mouth,
                above(least_m)
            ),
        }
    }

    fn past_the_hole(&self, reach_m: f64) -> GearError {
        GearError::DoesNotFit {
            key: self.keys.cutout_radius,
            value: length(self.spec.cutout_radius_m),
            problem: "a ball along a facing would pass beside the hole".to_owned(),
            remedy: format!("use more than {}", above(reach_m)),
        }
    }
}

fn length(m: f64) -> String {
    Kind::Length.text(m)
}

/// A computed limit, which has no short exact text; rounded up, so that the text itself works.
fn above(m: f64) -> String {
    format!("{:.1}mm", (10_000.0 * m).ceil() / 10.0)
}

/// As [`above`], rounded down.
fn below(m: f64) -> String {
    format!("{:.1}mm", (10_000.0 * m).floor() / 10.0)
}
