//! How arm and picture may stand to each other, as far as tries tell: a chance is a mean over it.

/// How many ratios are kept.
pub const RATIOS: usize = 13;

/// One ratio: factors on a player's arm and picture, and how likely it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// Weight; all weights add up to 1.
    pub weight: f64,
    /// Factor on the arm.
    pub arm: f64,
    /// Factor on the picture.
    pub picture: f64,
}

impl Parts {
    /// Arm and picture as they are.
    pub const AS_THEY_ARE: Self = Self {
        weight: 1.0,
        arm: 1.0,
        picture: 1.0,
    };

    const NONE: Self = Self {
        weight: 0.0,
        ..Self::AS_THEY_ARE
    };
}

/// Ratios of picture to arm, the smallest first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratios([Parts; RATIOS]);

impl Ratios {
    /// The one that a player has.
    pub const KNOWN: Self = {
        let mut parts = [Parts::NONE; RATIOS];
        parts[0] = Parts::AS_THEY_ARE;
        Self(parts)
    };

    /// These, as likely as they are to each other; the one that a player has where none is likely.
    #[must_use]
    pub fn new(mut parts: [Parts; RATIOS]) -> Self {
        let sum: f64 = parts.iter().map(|p| p.weight).sum();
        if !(sum.is_finite() && sum > 0.0) {
            return Self::KNOWN;
        }
        for part in &mut parts {
            part.weight /= sum;
        }
        Self(parts)
    }

    /// Those that count.
    pub fn iter(&self) -> impl Iterator<Item = &Parts> {
        self.0.iter().filter(|p| p.weight > 0.0)
    }
}

impl Default for Ratios {
    fn default() -> Self {
        Self::KNOWN
    }
}
