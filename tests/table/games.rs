//! Games: what is on, what the rules say, what comes next, where colours return to, and states that
//! cannot be.

use kurbo::Point;
use thincut::game::{
    Colour, CueLies, Foul, FoulKind, Game, GameRequest, Ruling, Situation, in_the_d, numbered,
    on_words, respotted, ruling_words, state_words,
};
use thincut::gear::{Gear, Preset};
use thincut::speech::{Speech, WordSet};
use thincut::units::UnitSystem;

const POSITIONS: &str = include_str!("../data/games.csv");

fn request(state: &str) -> GameRequest {
    let mut request = GameRequest::default();
    for line in state.split(';') {
        assert!(request.take(&format!("# {}", line.trim())), "{line}");
    }
    request
}

fn situation(state: &str, balls: &str) -> Situation {
    let labels: Vec<&str> = balls.split(' ').collect();
    request(state).situation(labels, None).unwrap().unwrap()
}

fn written(ruling: Ruling) -> String {
    let away = |foul: Foul| foul.penalty.map_or_else(String::new, |p| format!(" {p}"));
    match ruling {
        Ruling::Legal { points } => format!("legal {points}"),
        Ruling::Wins { points } => format!("wins {points}"),
        Ruling::TurnEnds => "ends".to_owned(),
        Ruling::Unsettled => "unsettled".to_owned(),
        Ruling::Loses => "loses".to_owned(),
        Ruling::Foul(foul) if foul.kind == FoulKind::WrongBallFirst => {
            format!("foul first{}", away(foul))
        }
        Ruling::Foul(foul) => format!("foul made{}", away(foul)),
    }
}

#[test]
fn twenty_positions_a_game() {
    let mut counts = std::collections::BTreeMap::new();
    let rows = POSITIONS.lines().filter(|l| !l.starts_with('#')).skip(1);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let [state, balls, on, first, made, ruling, next] = cells[..] else {
            panic!("{row}");
        };
        let labels: Vec<&str> = balls.split(' ').collect();
        let index = |label: &str| labels.iter().position(|l| *l == label).unwrap();
        let said = |s: &Situation| {
            let legal: Vec<&str> = s.legal_first().into_iter().map(|i| labels[i]).collect();
            legal.join(" ")
        };
        let before = situation(state, balls);
        assert_eq!(said(&before), on, "on: {row}");
        let found = before.ruling(index(first), index(made));
        assert_eq!(written(found), ruling, "ruling: {row}");
        if matches!(found, Ruling::Legal { .. }) {
            assert_eq!(said(&before.after(index(made))), next, "next: {row}");
        }
        *counts.entry(before.game.name()).or_insert(0) += 1;
    }
    for game in Game::ALL {
        assert!(
            counts[game.name()] >= 20,
            "{}: {}",
            game.name(),
            counts[game.name()]
        );
    }
}

/// A frame cleared: fifteen reds with blacks, then the colours: 147.
#[test]
fn a_break_of_147() {
    let mut labels: Vec<String> = vec!["red".to_owned(); 15];
    labels.extend(Colour::IN_ORDER.map(|c| c.name().to_owned()));
    let labels = numbered(&labels);
    assert_eq!(labels[14], "red-15");
    let mut now = request("game: snooker")
        .situation(labels.iter().map(String::as_str), None)
        .unwrap()
        .unwrap();
    let black = labels.len() - 1;
    for red in 0..15 {
        assert!(now.ruling(red, red).is_legal());
        now = now.after(red);
        assert_eq!(now.ruling(black, black), Ruling::Legal { points: 7 });
        assert!(
            now.returns(black),
            "a colour goes back, after the last red too"
        );
        now = now.after(black);
    }
    for colour in 15..21 {
        assert_eq!(now.legal_first(), [colour]);
        assert!(!now.returns(colour));
        now = now.after(colour);
    }
    assert_eq!(now.run, 147);
    assert!(now.is_over());
}

/// Spots to the millimetre (WPBSA), and where a colour goes whose spot is taken.
#[test]
fn spots_and_respotting() {
    let gear = Gear::standard(Preset::Snooker12Ft).unwrap();
    let mm = |p: Point| [1e3 * p.x, 1e3 * p.y];
    for (colour, want) in [
        (Colour::Brown, [737.0, 889.0]),
        (Colour::Yellow, [737.0, 597.0]),
        (Colour::Green, [737.0, 1181.0]),
        (Colour::Blue, [1784.5, 889.0]),
        (Colour::Pink, [2676.75, 889.0]),
        (Colour::Black, [3245.0, 889.0]),
    ] {
        let found = mm(respotted(&gear.bed, colour, &[], 0.0525).unwrap());
        let close = (found[0] - want[0]).abs() < 1e-6 && (found[1] - want[1]).abs() < 1e-6;
        assert!(close, "{colour:?}: {found:?}");
    }
    let spot = |c: Colour| respotted(&gear.bed, c, &[], 0.0525).unwrap();
    // Blue's spot taken: the black spot is the highest that is free.
    let to = respotted(&gear.bed, Colour::Blue, &[spot(Colour::Blue)], 0.0525).unwrap();
    assert_eq!(to, spot(Colour::Black));
    // All taken: as near to its own as can be, towards the top cushion, touching nothing.
    let all: Vec<Point> = Colour::IN_ORDER.iter().map(|c| spot(*c)).collect();
    let to = respotted(&gear.bed, Colour::Pink, &all, 0.0525).unwrap();
    assert!(
        (to.x - spot(Colour::Pink).x - 0.0525).abs() < 1e-9,
        "{to:?}"
    );
    let d = |x: f64, y: f64| in_the_d(&gear.bed, Point::new(1e-3 * x, 1e-3 * y));
    assert!(d(737.0, 597.0) && d(445.0, 889.0) && d(600.0, 889.0));
    assert!(!d(738.0, 889.0) && !d(444.0, 889.0) && !d(737.0, 596.0));
}

#[test]
fn what_cannot_be_is_refused_with_what_would_do() {
    for (state, balls, says) in [
        ("on: red", "1 2", ["part of a game", "snooker"]),
        ("game: billiards", "1 2", ["billiards", "8-ball"]),
        (
            "game: snooker; on: colour",
            "red-1 red-2",
            ["no colour is left", "black-spot"],
        ),
        (
            "game: snooker; on: red",
            "yellow black",
            ["no red is left", "the yellow is on"],
        ),
        (
            "game: snooker; nominated: pink",
            "red black",
            ["pink is not on the table", "black"],
        ),
        (
            "game: snooker; nominated: red",
            "red black",
            ["red", "yellow, green"],
        ),
        (
            "game: snooker; on: black",
            "yellow black",
            ["the yellow is on", "nominated black"],
        ),
        (
            "game: snooker; on: red; nominated: black",
            "red black",
            ["when a colour is on", "leave it out"],
        ),
        (
            "game: snooker; on: colour; free-ball: yes",
            "red black",
            ["follows a foul", "leave out"],
        ),
        (
            "game: snooker; in-hand: kitchen",
            "red black",
            ["not placed there", "write D"],
        ),
        ("game: snooker", "red 7", ["no ball `7`", "black"]),
        (
            "game: snooker",
            "red black black",
            ["1 of the balls called black", "take 1 out"],
        ),
        (
            "game: snooker; break: 200",
            "red black",
            ["200", "0 to 155"],
        ),
        (
            "game: snooker; group: reds",
            "red black",
            ["knows no such thing", "leave it out"],
        ),
        (
            "game: snooker; rules: world",
            "red black",
            ["one set of rules", "leave it out"],
        ),
        (
            "game: english",
            "red black",
            ["international, world or blackball", "differ"],
        ),
        (
            "game: english; rules: world; free-ball: yes",
            "red black",
            ["only blackball", "leave it out"],
        ),
        (
            "game: english; rules: world; group: solids",
            "red black",
            ["other balls", "reds or yellows"],
        ),
        (
            "game: 9-ball; on: 3",
            "3 9",
            ["knows no such thing", "follows from the balls"],
        ),
        ("game: 9-ball", "3 12", ["no ball `12`", "1 to 9"]),
        (
            "game: 9-ball; free-ball: yes",
            "3 9",
            ["pool has none", "in hand"],
        ),
        (
            "game: 8-ball; group: reds",
            "3 9",
            ["other balls", "solids or stripes"],
        ),
        (
            "game: 8-ball; free-ball: perhaps",
            "3 9",
            ["perhaps", "yes, no"],
        ),
    ] {
        let labels: Vec<&str> = balls.split(' ').collect();
        let error = request(state)
            .situation(labels, None)
            .unwrap_err()
            .to_string();
        for part in says {
            assert!(error.contains(part), "{state}: {error}");
        }
    }
    // The place of a cue ball in hand.
    let gear = Gear::standard(Preset::Snooker12Ft).unwrap();
    let asked = request("game: snooker; in-hand: D");
    let at = |x: f64| {
        asked.situation(
            ["red", "black"],
            Some(CueLies {
                at: Point::new(x, 0.889),
                bed: &gear.bed,
            }),
        )
    };
    assert!(at(0.7).is_ok());
    let error = at(1.0).unwrap_err().to_string();
    assert!(
        error.contains("292 mm") && error.contains("brown spot"),
        "{error}"
    );
}

#[test]
fn said_in_words() {
    let uk = Speech::new(WordSet::Uk, UnitSystem::Metric);
    let us = Speech::default();
    let now = situation(
        "game: snooker; nominated: black; break: 17",
        "red-1 blue black",
    );
    assert_eq!(
        state_words(&now, uk),
        "Snooker: the black is on, nominated. Break of 17."
    );
    assert_eq!(
        ruling_words(&now.told(now.ruling(2, 2)), uk).unwrap(),
        "7 points"
    );
    assert_eq!(
        ruling_words(&now.told(now.ruling(1, 1)), uk).unwrap(),
        "a foul (WPBSA): a ball that is not on is hit first, 7 away"
    );
    let now = situation("game: 9-ball", "5 6 7 9");
    assert_eq!(on_words(&now, us), "the 5 is to be hit first");
    assert_eq!(ruling_words(&now.told(now.ruling(0, 0)), us), None);
    assert_eq!(
        ruling_words(&now.told(now.ruling(1, 1)), us).unwrap(),
        "a foul (WPA): a ball that is not on is hit first"
    );
    let now = situation(
        "game: english; rules: world; group: reds",
        "red-1 yellow-1 black",
    );
    assert_eq!(
        state_words(&now, uk),
        "English pool, World Rules: the reds are on."
    );
    assert!(!Game::Snooker.wants_a_cushion() && Game::EightBall.wants_a_cushion());
}

/// What is on when the turn passes, and what a foul gives away.
#[test]
fn the_other_player_comes_to_the_table() {
    for (state, balls, on) in [
        ("game: snooker; on: colour", "red-1 blue black", "red-1"),
        ("game: snooker; nominated: black", "yellow black", "yellow"),
        ("game: 8-ball; group: solids", "1 2 9 8", "9"),
        ("game: 8-ball; group: solids", "1 2 8", "8"),
        (
            "game: english; rules: world; group: reds",
            "red yellow black",
            "yellow",
        ),
        ("game: 9-ball", "3 5 9", "3"),
    ] {
        let passed = situation(state, balls).passed();
        let labels: Vec<&str> = balls.split(' ').collect();
        let said: Vec<&str> = passed
            .legal_first()
            .into_iter()
            .map(|i| labels[i])
            .collect();
        assert_eq!(said.join(" "), on, "{state}");
    }
    let now = situation("game: snooker; on: red", "red blue black");
    assert_eq!(now.penalty(None), Some(4));
    assert_eq!(now.penalty(Some(0)), Some(4), "in-off from the red");
    assert_eq!(
        (now.penalty(Some(1)), now.penalty(Some(2))),
        (Some(5), Some(7))
    );
    assert_eq!(situation("game: 9-ball", "3 5 9").penalty(Some(1)), None);
}

/// Options over header lines, header lines over nothing.
#[test]
fn options_win_over_the_file() {
    let file = request("game: snooker; on: colour; break: 8");
    let asked = request("nominated: blue");
    let both = asked.over(&file);
    assert_eq!(both.nominated.as_deref(), Some("blue"));
    assert_eq!(both.run.as_deref(), Some("8"));
    let mut request = GameRequest::default();
    assert!(!request.take("# the third rack of the evening"));
    assert!(!request.take("# note: nothing"));
    assert!(request.take("#game:snooker") && !request.take("ball,x,y"));
}
