//! Colours of the pictures, and the arithmetic that shows they can be told apart.
//!
//! References: Okabe & Ito, "Color Universal Design", 2008 (line colours); Nuñez, Anderton &
//! Renslow, PLoS ONE 13(7), 2018 (cividis); W3C, WCAG 2.2 (relative luminance, contrast ratio);
//! Machado, Oliveira & Fernandes, IEEE TVCG 15(6), 2009 (simulated colour-vision deficiency).

use std::fmt;

/// A colour in sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// A kind of colour-vision deficiency, at full severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deficiency {
    /// No long-wave cones.
    Protanopia,
    /// No middle-wave cones.
    Deuteranopia,
}

impl Deficiency {
    /// Machado et al. 2009, table of matrices at severity 1.0, on linear RGB (published; entered
    /// from memory, each row sums to 1 within 1e-6, which a test checks).
    #[must_use]
    pub fn matrix(self) -> [[f64; 3]; 3] {
        match self {
            Self::Protanopia => [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
            Self::Deuteranopia => [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
        }
    }
}

/// sRGB transfer function (published: IEC 61966-2-1), 0..1 to linear.
fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.040_45 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

/// Inverse of [`linear`], rounded to the nearest step.
fn encoded(linear: f64) -> u8 {
    let l = linear.clamp(0.0, 1.0);
    let c = if l <= 0.003_130_8 {
        12.92 * l
    } else {
        1.055 * l.powf(1.0 / 2.4) - 0.055
    };
    byte(255.0 * c)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded and clamped to 0..=255 just before"
)]
fn byte(value: f64) -> u8 {
    value.round().clamp(0.0, 255.0) as u8
}

impl Rgb {
    /// White, the paper.
    pub const WHITE: Self = Self(255, 255, 255);
    /// Black.
    pub const BLACK: Self = Self(0, 0, 0);

    /// Relative luminance, 0 black to 1 white (WCAG 2.2, definition of relative luminance).
    #[must_use]
    pub fn luminance(self) -> f64 {
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast ratio, 1 to 21 (WCAG 2.2): `(L1 + 0.05)/(L2 + 0.05)`, the lighter on top.
    #[must_use]
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// CIE lightness L*, 0 to 100 (published: CIE 15:2004): what is left of a colour in grey print.
    #[must_use]
    pub fn lightness(self) -> f64 {
        let y = self.luminance();
        if y > 216.0 / 24389.0 {
            116.0 * y.cbrt() - 16.0
        } else {
            24389.0 / 27.0 * y
        }
    }

    /// As someone with this deficiency sees it.
    #[must_use]
    pub fn simulated(self, deficiency: Deficiency) -> Self {
        let c = [linear(self.0), linear(self.1), linear(self.2)];
        let m = deficiency.matrix();
        let row = |r: [f64; 3]| encoded(r[0] * c[0] + r[1] * c[1] + r[2] * c[2]);
        Self(row(m[0]), row(m[1]), row(m[2]))
    }

    /// `share` of the way to `other`, channel by channel.
    #[must_use]
    pub fn mix(self, other: Self, share: f64) -> Self {
        let between = |a: u8, b: u8| byte(f64::from(a) + share * (f64::from(b) - f64::from(a)));
        Self(
            between(self.0, other.0),
            between(self.1, other.1),
            between(self.2, other.2),
        )
    }

    /// Black or white, whichever reads better on this colour.
    #[must_use]
    pub fn ink_on(self) -> Self {
        if self.contrast(Self::WHITE) >= self.contrast(INK) {
            Self::WHITE
        } else {
            INK
        }
    }
}

impl fmt::Display for Rgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02X}{:02X}{:02X}", self.0, self.1, self.2)
    }
}

/// Text and axes: nearly black.
pub const INK: Rgb = Rgb(0x1F, 0x24, 0x28);
/// Second-rank text: 4.5:1 on white and more.
pub const SOFT_INK: Rgb = Rgb(0x4A, 0x52, 0x58);
/// Grid lines, which may recede.
pub const GRID: Rgb = Rgb(0xDD, 0xE1, 0xE4);

/// Blue (Okabe & Ito 2008).
pub const BLUE: Rgb = Rgb(0x00, 0x72, 0xB2);
/// Vermillion (Okabe & Ito 2008).
pub const VERMILLION: Rgb = Rgb(0xD5, 0x5E, 0x00);
/// Bluish green (Okabe & Ito 2008).
pub const GREEN: Rgb = Rgb(0x00, 0x9E, 0x73);
/// Reddish purple (Okabe & Ito 2008).
pub const PURPLE: Rgb = Rgb(0xCC, 0x79, 0xA7);

/// The object ball of a picture, with its number; no other thing has it. 8.6:1 on white.
pub const OBJECT_BALL: Rgb = Rgb(0x83, 0x38, 0x6C);

/// The five line colours in order of use; the fifth is Okabe & Ito's black.
pub const LINE_COLOURS: [Rgb; 5] = [BLUE, VERMILLION, GREEN, PURPLE, Rgb::BLACK];

/// Cividis at every fifth of its 256 steps (published: Nuñez et al. 2018; values read from the
/// colour map of that name in matplotlib 3.11). Between them linear, within 4 of 255 per channel.
const CIVIDIS: [u32; 52] = [
    0x00224E, 0x002656, 0x002A5F, 0x002D68, 0x003070, 0x083370, 0x163770, 0x203A6F, 0x273E6E,
    0x2E416D, 0x34456C, 0x3A486C, 0x3F4C6C, 0x444F6C, 0x49536C, 0x4E566C, 0x535A6D, 0x575D6D,
    0x5C616E, 0x60646F, 0x656870, 0x696B71, 0x6D6F72, 0x727274, 0x767676, 0x7A7A78, 0x7E7D78,
    0x838179, 0x888578, 0x8D8878, 0x928C78, 0x969077, 0x9B9476, 0xA09875, 0xA59C74, 0xAAA073,
    0xAFA471, 0xB5A86F, 0xBAAC6D, 0xBFB06B, 0xC4B468, 0xC9B965, 0xCFBD62, 0xD4C15F, 0xDAC65B,
    0xDFCA57, 0xE5CF52, 0xEAD34C, 0xF0D846, 0xF6DD3F, 0xFCE236, 0xFEE838,
];

fn from_hex(hex: u32) -> Rgb {
    let [_, r, g, b] = hex.to_be_bytes();
    Rgb(r, g, b)
}

/// Cividis from 0 (dark blue) to 1 (yellow); outside, the nearer end.
#[must_use]
pub fn cividis(share: f64) -> Rgb {
    let last = CIVIDIS.len() - 1;
    #[expect(clippy::cast_precision_loss, reason = "a table of 52")]
    let at = share.clamp(0.0, 1.0) * last as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 ≤ at ≤ 51"
    )]
    let i = (at.floor() as usize).min(last - 1);
    #[expect(clippy::cast_precision_loss, reason = "a table of 52")]
    let t = at - i as f64;
    from_hex(CIVIDIS[i]).mix(from_hex(CIVIDIS[i + 1]), t)
}

/// A fill and the edge drawn around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fill {
    /// The area.
    pub area: Rgb,
    /// Its outline, at least 3:1 on white.
    pub edge: Rgb,
}

/// Fills of the ways a ball drops, and of the parts of any stack: lightness falls in steps that
/// survive grey print, hue follows the line colours.
#[must_use]
pub fn part_fill(index: usize) -> Fill {
    const TINTS: [f64; 4] = [0.0, 0.42, 0.70, 0.90];
    let edge = LINE_COLOURS[index % TINTS.len()];
    Fill {
        area: edge.mix(Rgb::WHITE, TINTS[index % TINTS.len()]),
        edge,
    }
}
