//! Sentence, picture and verdict name the same reason.

use thincut::answer::{Beside, ShotAnswer, not_playable_words, reason, shot_lines};
use thincut::charts::{self, Request};
use thincut::draw::Size;
use thincut::gear::Gear;
use thincut::player::factors::Factor;
use thincut::pocket::PocketKind;
use thincut::speech::Speech;
use thincut::units::{Angle, Length};
use thincut::window::{AbstractShot, Shot, Stroke, solve};

use super::svg::{labels, parse};

/// What the trade calls a factor.
fn named(factor: Factor) -> &'static str {
    match factor {
        Factor::ObjectDistance => "the object ball's distance",
        Factor::PocketAngle => "the angle into the pocket",
        Factor::Pace => "the pace",
        Factor::CueDistance => "the cue ball's distance",
        Factor::Cut => "the cut",
        Factor::Throw => "throw",
        Factor::Others => "what stands in the way",
        Factor::DiesShort => "die short",
    }
}

#[test]
fn sixty_shots_have_one_reason_each() {
    let gear = Gear::preset("pool-9ft").expect("built in");
    let chart = charts::find("why").expect("registered");
    let mut seen = 0;
    let mut reasons = std::collections::BTreeSet::new();
    for kind in [PocketKind::Corner, PocketKind::Side] {
        for cut in [0.0, 30.0, 45.0, 60.0, 75.0] {
            for apart in [1.0, 3.0, 6.0] {
                for far in [1.0, 3.0] {
                    let mut asked = AbstractShot::new(
                        Angle::from_deg(cut),
                        Length::from_ft(apart),
                        Length::from_ft(far),
                    );
                    asked.kind = kind;
                    let shot = Shot::from_angles(&gear, &asked, Stroke::default()).expect("a shot");
                    let solution = solve(&gear, &shot).expect("solved");
                    let answer = ShotAnswer::new(&gear, &shot, &solution, None);
                    let reason = reason(&answer, Speech::default()).expect("a reason");
                    let lines = shot_lines(&answer, &Beside::default(), Speech::default());
                    assert!(
                        lines.iter().any(|l| l.starts_with(&reason)),
                        "{reason}: {lines:?}"
                    );
                    for factor in &answer.why.as_ref().expect("a verdict").main {
                        assert!(reason.contains(named(*factor)), "{factor:?}: {reason}");
                        reasons.insert(named(*factor));
                    }
                    let mut request = Request::new(gear.clone(), Size::default());
                    request.shot = Some(shot);
                    let svg = chart.draw(&request).expect("drawn").svg;
                    let doc = parse(&svg);
                    let drawn: Vec<String> =
                        labels(&doc).iter().map(|l| l.content.to_string()).collect();
                    let title = drawn.join(" ");
                    // What nobody can set up or play has that for its title.
                    let reason = not_playable_words(&answer, request.units).unwrap_or(reason);
                    let first = reason.split(':').next().unwrap_or_default();
                    assert!(
                        title.contains(first.trim_end_matches('.')),
                        "{reason}: {title}"
                    );
                    seen += 1;
                }
            }
        }
    }
    assert_eq!(seen, 60);
    assert!(reasons.len() >= 3, "{reasons:?}");
}
