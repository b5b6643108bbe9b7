//! When a rung is passed and what comes next.

use approx::assert_relative_eq;
use thincut::ladder::{LadderError, Next, PassRule, RungResult, Standing, at_least};

/// Upper tails. n = 10 and p = ½: exact, 56/1024 and 176/1024. The others: 1 − P(X ≤ k−1) from the
/// cumulative binomial table found in most statistics textbooks, four decimals, recalled from
/// memory and confirmed by exact rational arithmetic.
const TAILS: [(u32, u32, f64, f64, f64); 4] = [
    (8, 10, 0.5, 56.0 / 1024.0, 1e-13),
    (7, 10, 0.5, 176.0 / 1024.0, 1e-13),
    (9, 20, 0.3, 1.0 - 0.8867, 5e-5),
    (10, 15, 0.7, 1.0 - 0.2784, 5e-5),
];

#[test]
fn the_pass_rule_follows_the_exact_binomial() {
    for (k, n, p, tail, tolerance) in TAILS {
        assert_relative_eq!(at_least(k, n, p), tail, epsilon = tolerance);
    }
    let rule = PassRule::default();
    for tenth in 1..10 {
        let p = 0.1 * f64::from(tenth);
        let pass = rule.pass(p).unwrap();
        let p0 = rule.ruled_out(p);
        assert!(at_least(pass.makes, 10, p0) <= 0.2 + 1e-9);
        assert!(at_least(pass.makes - 1, 10, p0) > 0.2);
    }
    let strict = PassRule::new(2, 0.95, 0.2).unwrap();
    assert!(matches!(
        strict.pass(0.9),
        Err(LadderError::TooFewTries { need: 9, .. })
    ));
}

#[test]
fn what_to_try_next_follows_the_results() {
    let rule = PassRule::default();
    let at = |chance, made, tries| RungResult {
        chance,
        made,
        tries,
    };
    let untried = at(0.4, 0, 0);
    assert_eq!(rule.next(&[untried]), Next::Up(0));
    assert_eq!(rule.standing(&at(0.9, 9, 10)), Standing::Passed);
    assert_eq!(rule.next(&[at(0.9, 9, 10), untried]), Next::Up(1));
    assert_eq!(rule.next(&[at(0.9, 9, 10), at(0.6, 5, 10)]), Next::Again(1));
    assert_eq!(rule.next(&[at(0.9, 9, 10), at(0.6, 1, 10)]), Next::Down(0));
    assert_eq!(rule.next(&[at(0.9, 1, 10), untried]), Next::Easier);
    assert_eq!(rule.next(&[at(0.9, 10, 10)]), Next::Done);
}

/// Upper tails Σ from r to n, seven decimals: National Bureau of Standards, Tables of the Binomial
/// Probability Distribution, Applied Mathematics Series 6 (1950), its table 2; recalled from
/// memory, and each confirmed below by exact whole-number arithmetic.
const NBS_TAILS: [(u32, u32, u32, f64); 6] = [
    (10, 8, 5, 0.054_687_5),
    (10, 7, 5, 0.171_875_0),
    (10, 5, 3, 0.150_268_3),
    (10, 4, 2, 0.120_873_9),
    (5, 2, 1, 0.081_460_0),
    (20, 11, 4, 0.127_521_2),
];

/// `Σ C(n,i) kⁱ (10−k)ⁿ⁻ⁱ / 10ⁿ` in whole numbers: exact for a chance of k tenths up to 20 tries.
fn exact_tail(makes: u32, tries: u32, tenths: u32) -> f64 {
    let mut sum = 0_u128;
    let mut choose = 1_u128;
    for i in 0..=tries {
        if i >= makes {
            sum += choose * u128::from(tenths).pow(i) * u128::from(10 - tenths).pow(tries - i);
        }
        choose = choose * u128::from(tries - i) / u128::from(i + 1);
    }
    sum as f64 / 10_f64.powi(i32::try_from(tries).unwrap())
}

#[test]
fn tails_agree_with_tables_and_with_whole_numbers() {
    for (n, r, tenths, table) in NBS_TAILS {
        assert!((exact_tail(r, n, tenths) - table).abs() < 5.1e-8, "{n} {r}");
    }
    for n in 1..=20 {
        for r in 0..=n {
            for tenths in 1..10 {
                let exact = exact_tail(r, n, tenths);
                let p = f64::from(tenths) / 10.0;
                assert_relative_eq!(at_least(r, n, p), exact, max_relative = 1e-11);
            }
        }
    }
}

/// The least makes that somebody two in ten worse reaches at most one time in five (and one in
/// twenty), searched for in whole numbers.
#[test]
fn pass_scores_are_the_least_that_rule_out_luck() {
    for (confidence, luck) in [(0.8, 0.2), (0.95, 0.05)] {
        for tries in [5, 8, 10, 15, 20] {
            let rule = PassRule::new(tries, confidence, 0.2).unwrap();
            for tenths in 3..=9 {
                let wanted = (1..=tries).find(|&r| exact_tail(r, tries, tenths - 2) <= luck);
                let pass = rule.pass_in(f64::from(tenths) / 10.0, tries);
                assert_eq!(pass.map(|p| p.makes), wanted, "{tries} {tenths}");
            }
        }
    }
}
