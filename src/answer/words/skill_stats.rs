//! What only a statistician asks for: fit, tests, and predictions by band.

use crate::answer::skill::SkillAnswer;
use crate::player::aim_fit::FitOutcome;
use crate::player::profile::RatioTest;

fn test_line(name: &str, test: Option<&RatioTest>) -> String {
    test.map_or_else(
        || format!("  {name:<34} cannot be tested with these tries\n"),
        |t| {
            format!(
                "  {name:<34} likelihood ratio {:.3} on {}, {}\n",
                t.statistic,
                t.df,
                p(t.p_value)
            )
        },
    )
}

fn p(value: f64) -> String {
    if value < 1e-4 {
        "p < 0.0001".to_owned()
    } else {
        format!("p = {value:.4}")
    }
}

/// The block of statistics, without a line end.
pub(super) fn stats_text(answer: &SkillAnswer) -> String {
    let report = &answer.report;
    let FitOutcome::Fitted(fit) = &report.outcome else {
        return "Statistics: no fit with these tries.".to_owned();
    };
    let mut out = "Statistics (maximum likelihood, 95 % profile intervals):\n".to_owned();
    let g = &fit.goodness;
    out.push_str(&format!(
        "  ln L {:.4}; deviance {:.3}, {}; Pearson {:.3}, {}; {} degrees of freedom{}\n",
        fit.ln_likelihood,
        g.deviance,
        p(g.deviance_p),
        g.pearson,
        p(g.pearson_p),
        g.df,
        if g.sparse {
            "; counts are small, so p is rough"
        } else {
            ""
        }
    ));
    out.push_str(&format!(
        "  scale {:.4}, standard error {}\n",
        fit.scale.value,
        fit.scale
            .standard_error
            .map_or("none".to_owned(), |e| format!("{e:.4}"))
    ));
    out.push_str(&test_line(
        "stroke and sighting apart",
        fit.parts_test.as_ref(),
    ));
    out.push_str(&test_line("some strokes wild", fit.tail_test.as_ref()));
    out.push_str(&test_line("a steady error", fit.bias_test.as_ref()));
    out.push_str(&test_line(
        "a steady error for each cut",
        fit.cut_test.as_ref(),
    ));
    let trend = report.trend.as_ref().and_then(|c| c.test.as_ref());
    out.push_str(&test_line("later against earlier spread", trend));
    let sides = report.left_right.as_ref().and_then(|c| c.test.as_ref());
    out.push_str(&test_line("left against right cuts", sides));
    out.push_str("  predicted   made        95 in 100     tries");
    for band in &report.bands {
        out.push_str(&format!(
            "\n  {:>4.1} in 10  {:>4.1} in 10  {:>4.1} to {:<4.1}  {:>6}{}",
            10.0 * band.predicted,
            10.0 * band.observed,
            10.0 * band.interval.low,
            10.0 * band.interval.high,
            band.tries,
            if band.holds() { "" } else { "  off" }
        ));
    }
    out
}
