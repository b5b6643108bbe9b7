//! Advice: the first choice against simulated tries, strokes against the shot alone, safeties, and what the
//! text says of them.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use thincut::advice::{
    AdviceAnswer, AdviceOptions, AdvisedShot, AfterFoul, Ahead, FreePlay, MissLeftAnswer, Open,
    StrokeAnswer, advice_text, advise, legal_on,
};
use thincut::forwards::Miss;
use thincut::game::GameRequest;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, CueEnd, Family, Forward, Layout, Reach, Table};
use thincut::player::{Level, normal, side_spread_rad};
use thincut::pocket::PocketName;
use thincut::speech::WordSet;
use thincut::stop::Stop;
use thincut::units::{Hand, UnitSystem};
use thincut::window::Stroke;
use thincut::{BedShot, Shot, Side, Speech, chance_of_solution, solve};

/// Layouts drawn, and tries of the first choice on each; and the same where there is time.
const LAYOUTS: usize = 8;
const TRIES: u32 = 300;
const MANY_LAYOUTS: usize = 30;
const MANY_TRIES: u32 = 10_000;
/// Scratches and leaves are counted over as many even tries.
const EVEN_TRIES: f64 = 480.0;
/// A centre-ball stroke is solved in rounds, what it brings is taken as it is.
const SAME_CHANCE: f64 = 2e-3;

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("a preset")
}

fn options(table: &Table<'_>, level: Level) -> AdviceOptions {
    let choose = ChooseOptions {
        banks: false,
        combinations: false,
        kicks: false,
        ..ChooseOptions::new(level.aim_error())
    };
    AdviceOptions {
        safeties: false,
        ..AdviceOptions::new(table, choose)
    }
}

/// A layout of three balls and the cue ball, anywhere.
fn drawn(gear: &Gear, rng: &mut Pcg64Mcg) -> Layout {
    loop {
        let mut text = "ball,x,y\n".to_owned();
        for name in ["cue", "1", "2", "3"] {
            let (x, y): (f64, f64) = (rng.random_range(0.3..7.7), rng.random_range(0.3..3.7));
            text.push_str(&format!("{name},{x:.3},{y:.3}\n"));
        }
        if let Ok(layout) = Layout::parse(&text, gear) {
            return layout;
        }
    }
}

/// Make, scratch, and what a make leaves: the cue ball free, or into another ball.
#[test]
fn the_first_choice_does_what_is_said_of_it() {
    first_choices_tried(LAYOUTS, TRIES);
}

#[test]
#[ignore = "300,000 tries take minutes"]
fn the_first_choice_does_what_is_said_of_it_on_many_layouts() {
    first_choices_tried(MANY_LAYOUTS, MANY_TRIES);
}

fn first_choices_tried(layouts: usize, tries: u32) {
    let gear = gear();
    let mut rng = Pcg64Mcg::seed_from_u64(7);
    let mut looked = 0;
    for k in 0..layouts {
        let layout = drawn(&gear, &mut rng);
        let table = Table::new(&gear, &layout);
        let options = options(&table, Level::Club);
        let aims = options.choose.player;
        let advice = advise(&table, &options, &|_| {}).expect("a good pace");
        let Some(first) = advice.shots.first() else {
            continue;
        };
        looked += 1;
        let (shot, said) = (&first.ranked.shot, &first.ranked);
        let mut forward = Forward::new(&table, shot);
        // Side that is misjudged spreads the aim as well.
        let window = shot.window().expect("a direct shot");
        let side_rad = side_spread_rad(&gear, window, &aims.scatter);
        let sigma_rad = said.sigma_rad.hypot(side_rad);
        let (mut made, mut scratched, mut kept, mut touched) = (0_u32, 0_u32, 0_u32, 0_u32);
        for _ in 0..tries {
            let share = 1.0 + aims.scatter.speed_share * normal::sample(&mut rng);
            let off = normal::sample(&mut rng);
            if !forward.strike(share) {
                continue;
            }
            let outcome = forward.outcome(sigma_rad * off, false);
            let (makes, drops) = (
                forward.made(&outcome),
                matches!(outcome.cue.end, CueEnd::Scratch(_)),
            );
            made += u32::from(makes);
            scratched += u32::from(drops);
            kept += u32::from(makes && !drops);
            touched += u32::from(makes && matches!(outcome.cue.end, CueEnd::Ball(_)));
        }
        let agrees = |what: &str, said: f64, seen: u32, of: u32| {
            let of = f64::from(of.max(1));
            let seen = f64::from(seen) / of;
            // Both are counts, but a chance to make it is solved.
            let ours = match what {
                "made" => 0.0,
                _ => EVEN_TRIES.recip(),
            };
            let spread = (0.5 * (said + seen)).clamp(0.002, 0.998);
            let error = (spread * (1.0 - spread) * (of.recip() + ours)).sqrt();
            assert!(
                (seen - said).abs() <= 3.0 * error,
                "layout {k}, {what}: said {said}, seen {seen}, {layout:?}"
            );
        };
        agrees("made", said.chance, made, tries);
        agrees("made and kept", said.chance_and_keep, kept, tries);
        agrees("scratched", said.scratch, scratched, tries);
        agrees("touches another", first.touched, touched, kept);
    }
    assert!(looked > layouts / 2, "{looked}");
}

/// A shot of the ranking, asked for alone by its pace, roll and side, has the same chance.
#[test]
fn every_stroke_is_that_of_the_shot_alone() {
    let gear = gear();
    let text = "ball,x,y\ncue,3,1.5\n1,5,2.4\n2,2,3.2\n3,6.8,0.6\n";
    let layout = Layout::parse(text, &gear).expect("a layout");
    let table = Table::new(&gear, &layout);
    let mut options = options(&table, Level::League);
    options.choose.reach.reach_m = 3.0;
    let advice = advise(&table, &options, &|_| {}).expect("a good pace");
    let answer = AdviceAnswer::new(&table, &advice, &options, "league", None);
    let mut compared = 0;
    for shot in &answer.shots {
        let at_ease = (shot.shot.stance.arm_factor - 1.0).abs() < 1e-9;
        if shot.shot.family != Family::Direct || !at_ease || shot.shot.blocked_share > 0.0 {
            continue;
        }
        let stroke = shot.stroke.as_ref().expect("a stroke");
        let (roll, side) = (stroke.roll.expect("roll"), stroke.side.expect("side"));
        let pace_m_s = shot.shot.pace_m_s.expect("a pace");
        let stroke = Stroke {
            pace_m_s,
            straight_side: shot.shot.cut_side,
            ..Stroke::default().arriving(roll, side)
        };
        let index = layout.index_of(&shot.shot.ball).expect("a ball");
        let places = BedShot {
            cue: layout.cue,
            object: layout.balls[index].at,
            pocket: shot.shot.pocket,
        };
        let alone = Shot::on_bed(&gear, &places, stroke).expect("a shot");
        let solution = solve(&gear, &alone).expect("solved");
        let chance = chance_of_solution(&gear, &alone, &solution, &options.choose.player);
        assert!(
            (chance - shot.shot.chance).abs() < SAME_CHANCE,
            "{chance} {shot:?}"
        );
        compared += 1;
    }
    assert!(compared >= 3, "{answer:?}");
}

fn advised(
    text: &str,
    level: Level,
    change: impl FnOnce(&mut AdviceOptions),
) -> (AdviceAnswer, String) {
    let gear = gear();
    let layout = Layout::parse(text, &gear).expect("a layout");
    let table = Table::new(&gear, &layout);
    let mut options = options(&table, level);
    change(&mut options);
    let advice = advise(&table, &options, &|_| {}).expect("a good pace");
    let answer = AdviceAnswer::new(&table, &advice, &options, &level.spoken(), None);
    let said = advice_text(&answer, &gear, Speech::default(), false);
    (answer, said)
}

fn stroke(shot: &AdvisedShot) -> &StrokeAnswer {
    shot.stroke
        .as_ref()
        .expect("a shot that is on has a stroke")
}

/// Straight in: a rolling ball follows the object ball down, a stunned one stays for the next.
#[test]
fn a_straight_shot_near_the_pocket_is_stunned() {
    let (answer, said) = advised("ball,x,y\ncue,6,2\n1,7,3\n2,7,1.2\n", Level::Club, |_| {});
    let first = &answer.shots[0];
    let roll = stroke(first).roll.expect("roll");
    assert_eq!(first.shot.ball, "1", "{said}");
    assert!(roll < 0.5, "{roll}: {said}");
    assert!(first.shot.scratch_chance < 0.05, "{said}");
    assert!(said.contains("stun") || said.contains("draw"), "{said}");
}

/// Nothing to make, one ball to hide behind: a safety is found, legal, and worth more than the shot.
#[test]
fn a_safety_is_found_where_nothing_goes() {
    let text = "ball,x,y\ncue,4,2\n8,7.85,2.0\n5,4.4,2.6\n3,0.3,2.0\n";
    let (answer, said) = advised(text, Level::Starting, |o| {
        o.safeties = true;
        o.legal = std::sync::Arc::new(FreePlay::new(&[0]));
        o.choose.targets = vec![0];
    });
    let go = answer.go.as_ref();
    assert!(!answer.safeties.is_empty(), "{said}");
    let best = &answer.safeties[0];
    assert_eq!(best.ball, "8", "{said}");
    assert!((0.5..=4.0).contains(&best.stroke_lengths), "{best:?}");
    assert!((2.0 * best.stroke_lengths).fract().abs() < 1e-9, "{best:?}");
    for other in &answer.safeties {
        assert!(other.value <= best.value, "{other:?}");
    }
    if let Some(go) = go {
        assert_eq!(go.go, go.safe_value.is_none_or(|safe| go.go_value >= safe));
        let line = if go.go {
            "Go for it"
        } else {
            "Play safe: hit the 8 "
        };
        assert!(said.contains(line), "{said}");
    }
}

/// What a foul gives is each game's own: with a scratch, and without.
#[test]
fn a_foul_gives_what_the_game_gives() {
    use AfterFoul::{
        AsItLies, BehindTheString, FreeShot, FromTheD, InHand, TwoVisits, TwoVisitsFromBaulk,
    };
    let games = [
        ("8-ball", "", "1", [InHand, InHand]),
        ("9-ball", "", "1", [InHand, InHand]),
        ("straight", "", "1", [BehindTheString, AsItLies]),
        ("snooker", "", "red", [FromTheD, AsItLies]),
        ("english", "world", "red", [TwoVisitsFromBaulk, TwoVisits]),
        ("english", "blackball", "red", [FreeShot, FreeShot]),
        ("english", "international", "red", [InHand, InHand]),
    ];
    for (game, rules, ball, gives) in games {
        let gear = gear();
        let text = format!("ball,x,y\ncue,3,1\n{ball},5,2\n");
        let layout = Layout::parse(&text, &gear).expect("a layout");
        let asked = GameRequest {
            game: Some(game.to_owned()),
            rules: Some(rules.to_owned()).filter(|rules| !rules.is_empty()),
            ..GameRequest::default()
        };
        let situation = asked.situation(layout.labels(), None).expect("a game");
        let table = Table::new(&gear, &layout).in_game(situation);
        let legal = legal_on(&table, &[]);
        let found = [true, false].map(|dropped| legal.after_foul(dropped));
        assert_eq!(found, gives, "{game} {rules}");
    }
}

/// A miss as a coach says it, fouls in the words of the game, in both trades.
#[test]
fn misses_are_said_as_the_trade_says_them() {
    let (mut answer, _) = advised("ball,x,y\ncue,6,2\n1,7,3\n2,7,1.2\n", Level::Club, |_| {});
    let miss = |side, gives: Option<AfterFoul>, penalty| MissLeftAnswer {
        side,
        chance: 0.3,
        foul: gives.is_some(),
        in_hand: gives.is_some_and(|g| g != AfterFoul::AsItLies),
        gives,
        penalty,
        opponent: 0.4,
    };
    let (full, thin, none) = (Miss::TooFull, Miss::TooThin, Miss::NoBall);
    let hand = Some(AfterFoul::InHand);
    let said = [
        (
            vec![miss(full, None, 0), miss(thin, hand, 0)],
            "Missed too full it leaves the opponent 4 in 10; missed too thin it gives away ball in hand.",
            "Missed too thick it leaves the opponent 4 in 10; missed too thin it gives away ball in hand.",
        ),
        (
            vec![miss(none, Some(AfterFoul::TwoVisits), 0)],
            "Missing the ball altogether gives away two visits.",
            "Missing the ball altogether gives away two visits.",
        ),
        (
            vec![miss(thin, Some(AfterFoul::FromTheD), 4)],
            "Missed too thin it gives away 4 points and ball in hand in the D.",
            "Missed too thin it gives away 4 points and ball in hand in the D.",
        ),
        (
            vec![miss(none, Some(AfterFoul::AsItLies), 4)],
            "Missing the ball altogether gives away 4 points and leaves 4 in 10.",
            "Missing the ball altogether gives away 4 points and leaves 4 in 10.",
        ),
        (
            vec![miss(full, None, 0), miss(thin, None, 0)],
            "A miss leaves the opponent 4 in 10.",
            "A miss leaves the opponent 4 in 10.",
        ),
    ];
    for (misses, us, uk) in said {
        let stroke = answer.shots[0].stroke.as_mut().expect("a stroke");
        stroke.misses_leave = misses;
        for (words, expected) in [(WordSet::Us, us), (WordSet::Uk, uk)] {
            let speech = Speech::new(words, UnitSystem::Metric);
            let text = speech.said(&advice_text(&answer, &gear(), speech, false));
            assert!(text.contains(expected), "{expected}: {text}");
        }
    }
}

/// Two balls that touch: why it is played is said, and the cue ball runs into nothing that has dropped.
#[test]
fn a_combination_says_why_and_runs_into_no_ball_that_is_gone() {
    let text = "ball,x,y\ncue,5,3.2\n3,7.0,1.0\n9,7.1273,0.8727\n";
    let (answer, said) = advised(text, Level::Club, |o| {
        o.choose.combinations = true;
        o.legal = std::sync::Arc::new(FreePlay::new(&[0]));
        o.choose.targets = vec![0];
    });
    let first = &answer.shots[0].shot;
    assert_eq!(
        (first.first.as_str(), first.ball.as_str()),
        ("3", "9"),
        "{said}"
    );
    assert!(!said.contains("runs into the 9"), "{said}");
    assert!(
        said.contains("Combination, because the 3 and the 9 touch: "),
        "{said}"
    );
}

/// A safety says where both balls go, what the opponent has, and what an off stroke changes: a sentence each.
#[test]
fn a_safety_says_where_both_balls_go() {
    let text = "ball,x,y\ncue,4,2\n8,7.85,2.0\n5,4.4,2.6\n3,0.3,2.0\n";
    let (mut answer, _) = advised(text, Level::Starting, |o| {
        o.safeties = true;
        o.legal = std::sync::Arc::new(FreePlay::new(&[0]));
        o.choose.targets = vec![0];
    });
    answer.go = None;
    let safety = &mut answer.safeties[0];
    safety.object_meets = None;
    safety.object_over = None;
    safety.behind = Some("5".to_owned());
    (safety.cue_cushions, safety.object_cushions) = (1, 2);
    (safety.best_chance, safety.if_hard, safety.if_soft) = (0.1, None, Some(0.7));
    safety.foul = 0.3;
    let read = |answer: &AdviceAnswer| advice_text(answer, &gear(), Speech::default(), false);
    let said = read(&answer);
    for part in [
        " The cue ball comes off one rail and stops behind the 5. The 8 runs two rails and stops ",
        " Struck 10 % too hard it is a foul, too soft it leaves a shot of 7 in 10. You foul 3 in 10.",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let safety = &mut answer.safeties[0];
    safety.object_over = Some(PocketName::FootLeft);
    safety.pushed_back = 0.8;
    let said = read(&answer);
    for part in [
        "The 8 runs two rails and hangs in the foot-left pocket.",
        "The pack pushes back, so where the cue ball stops is a guess.",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

/// The way of the ball that is hit is the one it goes.
#[test]
fn cushions_of_a_safety_are_those_of_the_way() {
    // Alone on the table: full at the end rail from the middle, the ball comes straight back.
    let text = "ball,x,y\ncue,6,2\n8,7,2\n9,0.5,3.6\n";
    let (answer, said) = advised(text, Level::Starting, |o| {
        o.safeties = true;
        o.legal = std::sync::Arc::new(FreePlay::new(&[0]));
        o.choose.targets = vec![0];
    });
    assert!(!answer.safeties.is_empty(), "{said}");
    for safety in &answer.safeties {
        let near_foot = safety.object.x_mm > 7.0 / 8.0 * 2540.0;
        // Sent at the foot rail it cannot lie nearer the head than it did without a rail.
        assert!(near_foot || safety.object_cushions > 0, "{safety:?}");
        assert!(safety.object_meets.is_none() || safety.object_moved_mm > 0.0);
    }
}

/// Whatever is given of the stroke is kept.
#[test]
fn what_is_given_of_the_stroke_is_kept() {
    let (answer, _) = advised("ball,x,y\ncue,6,2\n1,7,3\n2,7,1.2\n", Level::Club, |o| {
        o.open = Open::NONE;
        o.choose.stroke = Stroke::default().arriving(1.0, 0.0);
    });
    for shot in &answer.shots {
        assert!((shot.shot.pace_m_s.expect("a pace") - 1.0).abs() < 1e-9);
        assert!((stroke(shot).roll.expect("roll") - 1.0).abs() < 1e-9);
    }
    assert!(!answer.shots.is_empty());
}

/// Two balls ahead are worth at least what the next is, and at most two.
#[test]
fn two_balls_ahead_are_looked_at() {
    let text = "ball,x,y\ncue,6,2\n1,7,3\n2,7,1.2\n";
    let (one, _) = advised(text, Level::Club, |_| {});
    let (two, _) = advised(text, Level::Club, |o| o.ahead = Ahead::Two);
    let follows = |a: &AdviceAnswer| stroke(&a.shots[0]).follows;
    assert!(follows(&two) > 0.0 && follows(&two) <= 2.0);
    assert!(follows(&one) <= 1.0);
}

/// Who is asked to stop says the best so far.
#[test]
fn a_search_that_is_stopped_says_so() {
    let gear = gear();
    let layout = Layout::parse("ball,x,y\ncue,6,2\n1,7,3\n2,7,1.2\n", &gear).expect("a layout");
    let stop = Stop::new();
    stop.ask();
    let table = Table::new(&gear, &layout).until(stop);
    let options = options(&table, Level::Club);
    let advice = advise(&table, &options, &|_| {}).expect("a good pace");
    assert!(advice.stopped && !advice.shots.is_empty());
    let answer = AdviceAnswer::new(&table, &advice, &options, "club", None);
    let said = advice_text(&answer, &gear, Speech::default(), false);
    assert!(said.contains("Stopped before all was looked at"), "{said}");
}

/// Left and right change places in the answer where they do on the table.
#[test]
fn a_mirror_image_has_the_mirror_answer() {
    let gear = gear();
    let text = "ball,x,y\ncue,3,1.5\n1,5,2.4\n2,2,3.2\n3,6.8,0.6\n";
    let layout = Layout::parse(text, &gear).expect("a layout");
    let mirrored = layout.mirrored(&gear);
    let first = |layout: &Layout, hand: Hand| {
        let table = Table::new(&gear, layout);
        let mut options = options(&table, Level::Club);
        options.choose.reach = Reach::standing(hand);
        let advice = advise(&table, &options, &|_| {}).expect("a good pace");
        let first = advice.shots[0].clone();
        let side = first.ranked.shot.cut_side();
        (
            first.ranked.shot.ball,
            first.ranked.chance,
            first.value(),
            side,
        )
    };
    let one = first(&layout, Hand::Right);
    let other = first(&mirrored, Hand::Left);
    assert_eq!(one.0, other.0);
    // What it is ranked by is a mean over cases of the table, which are looked at roughly.
    assert!(
        (one.1 - other.1).abs() < 1e-6 && (one.2 - other.2).abs() < 3e-3,
        "{one:?} {other:?}"
    );
    assert_ne!(one.3 == Side::Left, other.3 == Side::Left);
}
