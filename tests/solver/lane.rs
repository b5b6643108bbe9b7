//! Sine, arctangent and exponential on several numbers at once.

use pulp::{Arch, Simd, WithSimd};
use thincut::inside::{Lane, MOST_LANES};

struct Check;

impl WithSimd for Check {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) {
        let lane = |x: f64| Lane::of(simd, x);
        for k in 0..=4000 {
            let x = f64::from(k) * 1e-2;
            let off = lane(x).exp_of_minus().first() - (-x).exp();
            assert!(off.abs() < 1e-15, "exp(-{x}) off by {off:e}");
            let turn = (f64::from(k) - 2000.0) * 1e-3 * std::f64::consts::FRAC_PI_2;
            let (s, c) = turn.sin_cos();
            let off = Lane::atan2(lane(2.5 * s), lane(2.5 * c)).first() - s.atan2(c);
            assert!(off.abs() < 2e-15, "atan2 at {turn} off by {off:e}");
        }
        for k in -160..=160 {
            let x = f64::from(k) * 1e-2;
            let (sin, cos) = lane(x).sin_cos();
            let off = (sin.first() - x.sin())
                .abs()
                .max((cos.first() - x.cos()).abs());
            assert!(off < 1e-15, "sine or cosine of {x} off by {off:e}");
        }
        let mut all = [0.0; MOST_LANES];
        lane(3.0).store(&mut all);
        assert!(all[..S::F64_LANES].iter().all(|x| (x - 3.0).abs() < 1e-300));
    }
}

#[test]
fn lanes_agree_with_the_library() {
    Arch::new().dispatch(Check);
    Check.with_simd(pulp::Scalar);
}
