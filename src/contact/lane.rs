//! Numbers side by side: the same arithmetic on as many as the processor takes at once.
//!
//! Which instructions there are is found when the program runs; without any, a lane is one number.

use std::ops::{Add, BitAnd, BitOr, Div, Mul, Neg, Not, Sub};

use pulp::Simd;

/// Most numbers side by side on any processor that is told apart.
pub const MOST_LANES: usize = 8;

/// As many numbers as go side by side.
#[derive(Debug, Clone, Copy)]
pub struct Lane<S: Simd> {
    simd: S,
    x: S::f64s,
}

/// Where something holds.
#[derive(Debug, Clone, Copy)]
pub struct Mask<S: Simd> {
    simd: S,
    m: S::m64s,
}

impl<S: Simd> Lane<S> {
    /// One number in every place.
    #[inline(always)]
    pub fn of(simd: S, x: f64) -> Self {
        Self {
            simd,
            x: simd.splat_f64s(x),
        }
    }

    /// The first numbers of a buffer.
    #[inline(always)]
    pub fn load(simd: S, from: &[f64; MOST_LANES]) -> Self {
        Self {
            simd,
            x: S::as_simd_f64s(from).0[0],
        }
    }

    /// Into the first places of a buffer.
    #[inline(always)]
    pub fn store(self, to: &mut [f64; MOST_LANES]) {
        S::as_mut_simd_f64s(to).0[0] = self.x;
    }

    /// The number in the first place.
    #[inline(always)]
    pub fn first(self) -> f64 {
        let mut to = [0.0; MOST_LANES];
        self.store(&mut to);
        to[0]
    }

    /// The same number in every place, of the same kind.
    #[inline(always)]
    pub fn like(self, x: f64) -> Self {
        Self::of(self.simd, x)
    }

    /// `self · by + more`, rounded once where the processor can.
    #[inline(always)]
    pub fn times_plus(self, by: Self, more: Self) -> Self {
        let x = self.simd.mul_add_e_f64s(self.x, by.x, more.x);
        Self { x, ..self }
    }

    /// Square roots.
    #[inline(always)]
    pub fn sqrt(self) -> Self {
        let x = self.simd.sqrt_f64s(self.x);
        Self { x, ..self }
    }

    /// Sizes without their signs.
    #[inline(always)]
    pub fn abs(self) -> Self {
        let x = self.simd.abs_f64s(self.x);
        Self { x, ..self }
    }

    /// Where these are below others.
    #[inline(always)]
    pub fn below(self, other: Self) -> Mask<S> {
        Mask {
            simd: self.simd,
            m: self.simd.less_than_f64s(self.x, other.x),
        }
    }

    /// `exp(−self)` of numbers that are not negative, to a few 1e-16.
    #[inline(always)]
    pub fn exp_of_minus(self) -> Self {
        // exp(−y) − 1 of a 256th, by its series, then squared eight times; what is left of the series
        // is below rounding where exp(−y) is above 1e-15.
        const FAR: f64 = 60.0;
        const EIGHT_HALVINGS: f64 = -1.0 / 256.0;
        const SERIES: [f64; 9] = [
            1.0 / 362_880.0,
            1.0 / 40_320.0,
            1.0 / 5040.0,
            1.0 / 720.0,
            1.0 / 120.0,
            1.0 / 24.0,
            1.0 / 6.0,
            0.5,
            1.0,
        ];
        let near = self.below(self.like(FAR)).pick(self, self.like(FAR));
        let z = near * self.like(EIGHT_HALVINGS);
        let mut e = self.like(SERIES[0]);
        for c in &SERIES[1..] {
            e = e.times_plus(z, self.like(*c));
        }
        e = e * z;
        for _ in 0..8 {
            e = e.times_plus(e, e + e);
        }
        e + self.like(1.0)
    }

    /// Arc tangent of numbers up to [`ATAN_TO`] in size, to rounding.
    #[inline(always)]
    pub fn small_atan(self) -> Self {
        let q = self * self;
        let mut p = self.like(ATAN[0]);
        for c in &ATAN[1..] {
            p = p.times_plus(q, self.like(*c));
        }
        p * self
    }

    /// Sine and cosine of angles up to a right angle and a little more, by their series, to rounding.
    #[inline(always)]
    pub fn sin_cos(self) -> (Self, Self) {
        let q = self * self;
        let series = |terms: &[f64]| {
            let mut p = q.like(terms[0]);
            for c in &terms[1..] {
                p = p.times_plus(q, q.like(*c));
            }
            p
        };
        (series(&SIN) * self, series(&COS))
    }

    /// Direction of `(x, y)`, in (−π, π].
    #[inline(always)]
    pub fn atan2(y: Self, x: Self) -> Self {
        use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};
        let zero = x.like(0.0);
        let (b, a) = (y.abs(), x.abs());
        let steep = a.below(b);
        let (low, high) = (steep.pick(a, b), steep.pick(b, a));
        let far = (high * x.like(ATAN_TO)).below(low);
        let up = far.pick(low - high, low);
        let across = far.pick(low + high, high);
        let turned = (up / across).small_atan() + far.pick(x.like(FRAC_PI_4), zero);
        let turned = steep.pick(x.like(FRAC_PI_2) - turned, turned);
        let turned = x.below(zero).pick(x.like(PI) - turned, turned);
        y.below(zero).pick(-turned, turned)
    }
}

/// tan(π/8): up to here the arc tangent's polynomial goes.
pub(crate) const ATAN_TO: f64 = 0.414_213_562_373_095_05;
/// Arc tangent over its argument in powers of its square, highest first: interpolation at Chebyshev
/// nodes, within 1e-16 up to [`ATAN_TO`].
const ATAN: [f64; 11] = [
    0.021_135_373_157_693_243,
    -0.043_480_522_157_162_21,
    0.056_883_492_268_090_106,
    -0.066_402_339_304_294_08,
    0.076_899_534_963_068_57,
    -0.090_907_730_748_084_14,
    0.111_111_061_804_559_46,
    -0.142_857_141_809_764_67,
    0.199_999_999_988_551_1,
    -0.333_333_333_333_284_4,
    1.0,
];

/// Sine over its argument, and cosine, in powers of the square, highest first (Taylor's series; what
/// is left out at 1.6 rad is below 1e-17).
const SIN: [f64; 11] = [
    1.0 / 51_090_942_171_709_440_000.0,
    -1.0 / 121_645_100_408_832_000.0,
    1.0 / 355_687_428_096_000.0,
    -1.0 / 1_307_674_368_000.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 39_916_800.0,
    1.0 / 362_880.0,
    -1.0 / 5040.0,
    1.0 / 120.0,
    -1.0 / 6.0,
    1.0,
];
const COS: [f64; 12] = [
    -1.0 / 1_124_000_727_777_607_680_000.0,
    1.0 / 2_432_902_008_176_640_000.0,
    -1.0 / 6_402_373_705_728_000.0,
    1.0 / 20_922_789_888_000.0,
    -1.0 / 87_178_291_200.0,
    1.0 / 479_001_600.0,
    -1.0 / 3_628_800.0,
    1.0 / 40_320.0,
    -1.0 / 720.0,
    1.0 / 24.0,
    -0.5,
    1.0,
];

impl<S: Simd> Mask<S> {
    /// `yes` where it holds, else `no`.
    #[inline(always)]
    pub fn pick(self, yes: Lane<S>, no: Lane<S>) -> Lane<S> {
        Lane {
            simd: self.simd,
            x: self.simd.select_f64s(self.m, yes.x, no.x),
        }
    }

    /// Whether it holds in every place.
    #[inline(always)]
    pub fn all(self) -> bool {
        self.simd.first_true_m64s((!self).m) == S::F64_LANES
    }
}

impl<S: Simd> BitAnd for Mask<S> {
    type Output = Self;
    #[inline(always)]
    fn bitand(self, other: Self) -> Self {
        let m = self.simd.and_m64s(self.m, other.m);
        Self { m, ..self }
    }
}

impl<S: Simd> Not for Mask<S> {
    type Output = Self;
    #[inline(always)]
    fn not(self) -> Self {
        let m = self.simd.not_m64s(self.m);
        Self { m, ..self }
    }
}

impl<S: Simd> BitOr for Mask<S> {
    type Output = Self;
    #[inline(always)]
    fn bitor(self, other: Self) -> Self {
        let m = self.simd.or_m64s(self.m, other.m);
        Self { m, ..self }
    }
}

impl<S: Simd> Add for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        let x = self.simd.add_f64s(self.x, other.x);
        Self { x, ..self }
    }
}

impl<S: Simd> Sub for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        let x = self.simd.sub_f64s(self.x, other.x);
        Self { x, ..self }
    }
}

impl<S: Simd> Mul for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        let x = self.simd.mul_f64s(self.x, other.x);
        Self { x, ..self }
    }
}

impl<S: Simd> Div for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        let x = self.simd.div_f64s(self.x, other.x);
        Self { x, ..self }
    }
}

impl<S: Simd> Neg for Lane<S> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        let x = self.simd.neg_f64s(self.x);
        Self { x, ..self }
    }
}
