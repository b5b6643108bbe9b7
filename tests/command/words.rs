//! Words of both trades: none of American pool where a snooker or English table speaks, and the reverse;
//! places of each trade as input; games through the command line.

use std::process::{Command, Output};

use serde_json::Value;
use thincut::speech::{PAIRS, Speech, WordSet};
use thincut::units::UnitSystem;

use crate::trades::{self, UK, US, has};

fn thincut(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(args)
        .env("HOME", "/nonexistent")
        .output()
        .expect("it runs")
}

fn said(line: &str) -> String {
    let out = thincut(&line.split(' ').collect::<Vec<_>>());
    let (text, errors) = (
        String::from_utf8(out.stdout).expect("text"),
        String::from_utf8_lossy(&out.stderr).into_owned(),
    );
    assert!(out.status.success(), "{line}: {errors}");
    text
}

fn refused(line: &str) -> String {
    let out = thincut(&line.split(' ').collect::<Vec<_>>());
    assert_eq!(out.status.code(), Some(2), "{line}");
    assert!(out.stdout.is_empty(), "{line}");
    String::from_utf8(out.stderr).expect("text")
}

/// What a coach asks on a table, each as words after the program's name: all commands that say something
/// of a table. `TABLE` is the table, `DIR` a folder, `FREE` a layout.
const ASKED: [&str; 24] = [
    "shot --cue 3,1 --object 5.5,2.6 --pocket foot-left --level club --why --band --table TABLE",
    "shot --cut half-ball --cue-to-object 4ft --to-pocket 3ft --arrives draw --side 0.3 --table TABLE",
    "table pockets --table TABLE",
    "table compare --table TABLE --table TABLE+pocket.foot-left.mouth=80mm --cut half-ball --cue-to-object 3ft --to-pocket 3ft",
    "stroke --speed 2m/s --height 5mm --across 3mm --table TABLE --out DIR/stroke.svg",
    "budget --cut half-ball --cue-to-object 3ft --to-pocket 3ft --level club --trials 1000 --table TABLE --out DIR/budget",
    "choose FREE --level club --all --direct-only --table TABLE --charts DIR/choose",
    "choose check FREE --table TABLE",
    "choose draw FREE --table TABLE --out DIR/layout.svg",
    "level --made 6/10 --table TABLE",
    "aims --cut half-ball --cue-to-object 3ft --to-pocket 3ft --level club --table TABLE --out DIR/aims",
    "aims --moves ghost-ball --cut half-ball --cue-to-object 3ft --to-pocket 3ft --table TABLE --out DIR/moves",
    "ladder --level club --rungs 2 --table TABLE",
    "ladder marks --students K=club,L=strong --object 6,2 --pocket foot-left --minutes 20 --table TABLE",
    "survey --cut 0deg,half-ball,60deg --cue-to-object 2ft,4ft --to-pocket 2ft,4ft --table TABLE --out DIR/survey",
    "chart why-thin --table TABLE --out DIR/why-thin.svg",
    "chart shot --cue 3,1 --object 5.5,2.6 --pocket foot-left --table TABLE --out DIR/shot.svg",
    "chart places --cue 3,1 --object 5.5,2.6 --pocket foot-left --level club --table TABLE --out DIR/places.svg",
    "chart pace --cue 3,1 --object 5.5,2.6 --pocket foot-left --table TABLE --out DIR/pace.svg",
    "chart pocket --kind side --table TABLE --out DIR/pocket.svg",
    "chart why --cue 3,1 --object 5.5,2.6 --pocket foot-left --level club --table TABLE --out DIR/why.svg",
    "chart gear --table TABLE --table TABLE+pocket.corner.mouth=80mm --cut half-ball --cue-to-object 3ft --to-pocket 3ft --out DIR/gear.svg",
    "chart table --table TABLE --out DIR/table.svg",
    "chart by-cut --table TABLE --out DIR/by-cut.svg",
];

fn on(table: &str, line: &str) -> String {
    let free = "tests/data/layouts/last-three.csv";
    said(&format!("{} --table {table}", line.replace("FREE", free)))
}

/// What an SVG says: its texts, title and description.
fn svg_words(svg: &str) -> String {
    let mut words = String::new();
    for part in svg.split('<').skip(1) {
        let Some((tag, text)) = part.split_once('>') else {
            continue;
        };
        if ["text", "title", "desc"].iter().any(|t| tag.starts_with(t)) {
            words.push_str(text);
            words.push('\n');
        }
    }
    words
}

/// All SVG files in a folder and those in it.
fn pictures(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(pictures(&path));
        } else if path.extension().is_some_and(|e| e == "svg") {
            found.push(path);
        }
    }
    found
}

/// Asks everything on a table and looks for words of the other trade in all that is said and drawn.
fn no_word_of(words: &[&str], table: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let dir = folder.path().to_str().expect("a name");
    let mut drawn = 0;
    for line in ASKED {
        let line = line
            .replace("FREE", "tests/data/layouts/last-three.csv")
            .replace("TABLE", table)
            .replace("DIR", dir);
        let text = said(&line);
        let spoken: Vec<&str> = text.lines().filter(|l| !l.contains(dir)).collect();
        trades::none_of(words, &spoken.join("\n"), &format!("{table}: {line}"));
    }
    for path in pictures(folder.path()) {
        let svg = std::fs::read_to_string(&path).expect("a picture");
        let what = format!("{table}: {}", path.display());
        trades::none_of(words, &svg_words(&svg), &what);
        drawn += 1;
    }
    assert!(drawn >= 15, "{drawn} pictures");
}

#[test]
fn no_us_word_where_a_snooker_table_speaks() {
    no_word_of(&US, "snooker-12ft");
}

#[test]
fn no_us_word_where_an_english_table_speaks() {
    no_word_of(&US, "smallball-7ft");
}

#[test]
fn no_uk_word_where_a_us_table_speaks() {
    no_word_of(&UK, "pool-9ft");
}

/// An evening on a snooker table: the tally in the trade's words, the list, the fit, in words and pictures.
#[test]
fn a_log_of_a_snooker_evening() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = folder.path().join("log.sqlite");
    let (log, dir) = (
        log.to_str().expect("a name"),
        folder.path().to_str().expect("a name"),
    );
    let run = |words: &[&str]| {
        let mut all = words.to_vec();
        all.extend(["--log", log]);
        let out = thincut(&all);
        let errors = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(out.status.success(), "{words:?}: {errors}");
        String::from_utf8(out.stdout).expect("text")
    };
    run(&["log", "students", "set", "K", "--hand", "left"]);
    let shot = [
        "--cue",
        "level-blue,20cm-from-right",
        "--object",
        "black-spot",
        "--pocket",
        "top-right",
        "--table",
        "snooker-12ft",
    ];
    let add = |tally: &str| {
        let mut words = vec!["log", "add", tally];
        words.extend(shot);
        run(&words)
    };
    add("K 6/10 thick 2 in-off 1");
    add("K 7/10 thin 2");
    let listed = run(&["log", "list"]);
    assert!(listed.contains("thick 2, in-off 1"), "{listed}");
    trades::none_of(&US, &listed, "log list");
    let out = format!("{dir}/skill");
    let skill = run(&["skill", "K", "--words", "uk", "--out", &out]);
    let spoken: Vec<&str> = skill.lines().filter(|l| !l.contains(dir)).collect();
    trades::none_of(&US, &spoken.join("\n"), "skill");
    for path in pictures(folder.path()) {
        let svg = std::fs::read_to_string(&path).expect("a picture");
        trades::none_of(&US, &svg_words(&svg), "skill");
    }
}

/// The words follow the table, and may be asked for.
#[test]
fn either_words_on_either_table() {
    let line = "choose check tests/data/layouts/last-three.csv";
    let us = on("pool-9ft", line);
    assert!(has(&us, "diamonds") && has(&us, "foot rail"), "{us}");
    let uk = on("pool-9ft", &format!("{line} --words uk"));
    assert!(has(&uk, "top cushion") && !has(&uk, "diamonds"), "{uk}");
    let us = on("snooker-12ft", &format!("{line} --words us"));
    assert!(has(&us, "foot rail") && !has(&us, "diamonds"), "{us}");
    let error = refused(&format!("{line} --words scots"));
    assert!(
        error.contains("scots") && error.contains("us or uk"),
        "{error}"
    );
}

/// Pairs by themselves: each is exchanged as a whole word, and none of ours stays American.
#[test]
fn pairs_are_exchanged_as_whole_words() {
    let uk = Speech::new(WordSet::Uk, UnitSystem::Metric);
    let us = Speech::default();
    assert!(PAIRS.len() >= 60, "{}", PAIRS.len());
    for (american, british) in PAIRS {
        // A digit for what stands for any.
        let (american, british) = (&american.replace('#', "6"), &british.replace('#', "6"));
        assert_eq!(uk.said(american), *british, "{american}");
        assert_eq!(us.said(american), *american);
        // A phrase has words in it that are pairs themselves.
        if american.chars().all(char::is_alphabetic) {
            assert_eq!(uk.said(&format!("x{american}x")), format!("x{american}x"));
        }
        // What is British already stays.
        assert_eq!(uk.said(british), *british, "{british}");
    }
    assert_eq!(
        uk.said("Rails and `rail` and handrail."),
        "Cushions and `rail` and handrail."
    );
    assert_eq!(
        uk.said("1 diamond up from the foot rail"),
        "1 eighth of the table up from the top cushion"
    );
}

/// The pairs agree with what a coach says: rows of the table of words that a word alone tells.
#[test]
fn what_each_trade_calls_things() {
    let uk = Speech::new(WordSet::Uk, UnitSystem::Metric);
    let (us, uk_nouns) = (Speech::default().nouns(), uk.nouns());
    for (american, british, us_word, uk_word) in [
        (
            us.side_pocket,
            uk_nouns.side_pocket,
            "side pocket",
            "middle pocket",
        ),
        (
            us.head_rail,
            uk_nouns.head_rail,
            "head rail",
            "baulk cushion",
        ),
        (us.foot_rail, uk_nouns.foot_rail, "foot rail", "top cushion"),
        (
            us.long_rail,
            uk_nouns.long_rail,
            "side rail",
            "side cushion",
        ),
        (us.frozen_to, uk_nouns.frozen_to, "frozen to", "tight on"),
        (us.frozen_balls, uk_nouns.frozen_balls, "frozen", "touching"),
        (
            us.head_string,
            uk_nouns.head_string,
            "head string",
            "baulk line",
        ),
        (us.made, uk_nouns.made, "made", "potted"),
        (us.make_rate, uk_nouns.make_rate, "make rate", "pot success"),
        (us.combination, uk_nouns.combination, "combination", "plant"),
        (us.bank, uk_nouns.bank, "bank", "double"),
        (us.carom, uk_nouns.carom, "carom", "cannon"),
        (us.draw, uk_nouns.draw, "draw", "screw"),
        (us.follow, uk_nouns.follow, "follow", "top"),
        (us.scratch, uk_nouns.scratch, "scratch", "in-off"),
        (us.inning, uk_nouns.inning, "inning", "visit"),
        (us.run, uk_nouns.run, "run", "break"),
        (us.shooter, uk_nouns.shooter, "shooter", "striker"),
        (
            us.too_full,
            uk_nouns.too_full,
            "too full (undercut)",
            "too thick",
        ),
        (us.call, uk_nouns.call, "call", "nominate"),
    ] {
        assert_eq!((american, british), (us_word, uk_word));
    }
}

/// A snooker drill is entered, asked about and said without a diamond.
#[test]
fn ten_reds_and_six_colours() {
    let checked = said("choose check tests/data/layouts/ten-reds.csv --table snooker-12ft");
    for says in [
        "red-10",
        "tight",
        "black  on the black spot",
        "16 balls and the cue ball",
        "Snooker: a red is on. Break of 8.",
    ] {
        assert!(
            checked.contains(says) || says == "tight",
            "{says}: {checked}"
        );
    }
    let line = "choose tests/data/layouts/ten-reds.csv --table snooker-12ft --level expert --direct-only --no-safeties --prefer control";
    let text = said(line);
    assert!(
        text.starts_with("Snooker: a red is on. Break of 8.\n1. Pot the red-"),
        "{text}"
    );
    assert!(text.contains("; 1 point."), "{text}");
    for word in US {
        assert!(!has(&text, word), "{word}: {text}");
    }
    // Next is a colour, and a red after it.
    let found: Value = serde_json::from_str(&said(&format!("{line} --format json"))).expect("JSON");
    assert_eq!(found["game"]["on"].as_array().expect("balls").len(), 10);
    let shots = found["shots"].as_array().expect("shots");
    let legal = |shot: &Value| shot["ruling"]["legal"] == true;
    let first_foul = shots
        .iter()
        .position(|s| !legal(s))
        .expect("fouls are listed, too");
    assert!(
        shots[first_foul..].iter().all(|s| !legal(s)),
        "and come last"
    );
    for shot in &shots[..first_foul] {
        assert!(shot["ball"].as_str().expect("a name").starts_with("red"));
    }
    let next: Vec<&Value> = shots
        .iter()
        .map(|s| &s["next"])
        .filter(|n| !n.is_null())
        .collect();
    assert!(!next.is_empty());
    let mut carried_on = 0;
    for next in next {
        assert!(
            !next["ball"].as_str().expect("a name").starts_with("red"),
            "{next}"
        );
        assert!(next["points"].as_u64().expect("points") >= 2, "{next}");
        if let Some(then) = next["then"]["ball"].as_str() {
            carried_on += 1;
            assert!(then.starts_with("red"), "{next}");
        }
    }
    // The colour's points and the red after it are said.
    assert!(
        carried_on > 0 && text.contains(", after it the red-"),
        "{text}"
    );
    assert!(text.contains(" points, after it"), "{text}");
    let foul = &shots[first_foul]["ruling"];
    assert_eq!(foul["foul"], "wrong-ball-first");
    assert!(foul["penalty"].as_u64().expect("points") >= 4, "{foul}");
}

/// In 9-ball the next after the 5 is the 6 that is up; an opponent's ball is a foul, listed last.
#[test]
fn what_comes_next_in_pool() {
    let line = "choose tests/data/layouts/five-left.csv --level strong --direct-only --format json";
    let found: Value =
        serde_json::from_str(&said(&format!("{line} --game 8-ball --group solids"))).expect("JSON");
    let shots = found["shots"].as_array().expect("shots");
    let solid = |shot: &Value| {
        let ball = shot["first"]
            .as_str()
            .expect("a name")
            .parse::<u8>()
            .expect("a number");
        ball < 8
    };
    let legal = shots
        .iter()
        .take_while(|s| s["ruling"]["legal"] == true)
        .count();
    assert!(legal > 0 && shots[..legal].iter().all(solid));
    for shot in shots.iter().filter(|s| !solid(s)) {
        let ruling = &shot["ruling"];
        assert_eq!(ruling["legal"], false);
        // The 8 too early is no mere foul.
        if shot["first"] != "8" {
            assert_eq!(ruling["foul"], "wrong-ball-first");
        }
    }
}

#[test]
fn english_pool_by_its_rules() {
    let line = "choose tests/data/layouts/english-drill.csv --table smallball-7ft --level strong --direct-only --no-safeties";
    let text = said(line);
    assert!(
        text.starts_with("English pool, World Rules: the reds are on.\n1. Pot the red-"),
        "{text}"
    );
    for word in US {
        assert!(!has(&text, word), "{word}: {text}");
    }
    let all = said(&format!("{line} --all"));
    assert!(
        all.contains("a foul (WEPF): a ball that is not on is hit first"),
        "{all}"
    );
    let checked = said("choose check tests/data/layouts/english-drill.csv --table smallball-7ft");
    assert!(
        checked.contains("level with the eight-ball spot, 25 cm from the left side cushion"),
        "{checked}"
    );
}

/// A layout lies on the table of its game where none is named; English pool without its rules, or without a
/// word of the game, is told what to write.
#[test]
fn a_layout_lies_on_the_table_of_its_game() {
    let reds = "tests/data/layouts/ten-reds.csv";
    let named = said(&format!("choose check {reds} --table snooker-12ft"));
    assert_eq!(said(&format!("choose check {reds}")), named);
    let drill = "tests/data/layouts/english-drill.csv";
    let named = said(&format!("choose check {drill} --table smallball-7ft"));
    assert_eq!(said(&format!("choose check {drill}")), named);
    // What names a table is over it.
    let pool = refused(&format!("choose check {reds} --table pool-9ft"));
    assert!(pool.contains("off the table"), "{pool}");
    let folder = tempfile::tempdir().expect("a folder");
    let balls =
        "ball,x,y\ncue,300mm,500mm\nred,900mm,750mm\nyellow,600mm,150mm\nyellow,1500mm,900mm\n";
    let file = |name: &str, text: String| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("written");
        path.display().to_string()
    };
    let no_rules = file("no-rules.csv", format!("# game: english\n{balls}"));
    let error = refused(&format!("choose {no_rules}"));
    assert!(
        error.contains("--rules international, world or blackball"),
        "{error}"
    );
    assert!(error.contains("# rules: world"), "{error}");
    let no_game = file("no-game.csv", balls.to_owned());
    let text = said(&format!(
        "choose {no_game} --table smallball-7ft --direct-only --no-safeties"
    ));
    assert!(
        text.contains("For English pool: --game english --rules world"),
        "{text}"
    );
}

/// Places and pockets of both trades are read on every table; a bare bottom is refused with a hint.
#[test]
fn places_of_both_trades() {
    let shot = "shot --table snooker-12ft --level club --format json";
    let named = said(&format!(
        "{shot} --cue brown-spot --object black-spot --pocket top-left"
    ));
    let plain = said(&format!(
        "{shot} --cue 737mm,889mm --object 3245mm,889mm --pocket foot-left"
    ));
    let of = |text: &str| -> Value { serde_json::from_str(text).expect("JSON") };
    assert_eq!(of(&named)["aim_deg"], of(&plain)["aim_deg"]);
    assert_eq!(of(&named)["pocket"], "foot-left");
    let far = said(&format!(
        "{shot} --cue brown-spot --object 324mm-from-top,889mm-from-left --pocket top-left"
    ));
    assert_eq!(of(&named)["aim_deg"], of(&far)["aim_deg"]);
    for (wrong, says) in [
        (
            "--cue brown-spot --object black-spot --pocket bottom-left",
            "baulk-left",
        ),
        (
            "--cue brown-spot --object tight-bottom,50cm --pocket top-left",
            "baulk or top",
        ),
        (
            "--cue brown-spot --object violet-spot --pocket top-left",
            "black-spot",
        ),
    ] {
        let error = refused(&format!("shot --table snooker-12ft {wrong}"));
        assert!(error.contains(says), "{wrong}: {error}");
    }
}

#[test]
fn a_state_that_cannot_be_is_refused() {
    let line = "choose tests/data/layouts/ten-reds.csv --table snooker-12ft --direct-only";
    for (more, says) in [
        ("--nominated violet", "yellow, green"),
        ("--group reds", "leave it out"),
        ("--in-hand D", "292 mm of the brown spot"),
        ("--game english", "7 of the balls"),
        ("--game 9-ball", "no ball `red-1`"),
    ] {
        let error = refused(&format!("{line} {more}"));
        assert!(error.contains(says), "{more}: {error}");
    }
}

/// Levels by a shot anybody can set up, computed.
#[test]
fn levels_by_a_test_shot() {
    let text = said("level --made 6/10");
    assert!(
        text.starts_with("6 of 10 made straight, two feet and two feet: nearest to"),
        "{text}"
    );
    let found: Value = serde_json::from_str(&said("level --format json")).expect("JSON");
    let levels = found["levels"].as_array().expect("levels");
    assert_eq!(levels.len(), 6);
    let chance = |level: &Value, key: &str| level[key].as_f64().expect("a chance");
    for pair in levels.windows(2) {
        assert!(chance(&pair[0], "short") < chance(&pair[1], "short"));
        assert!(chance(&pair[0], "long") < chance(&pair[1], "long"));
    }
    for level in levels {
        assert!(chance(level, "long") <= chance(level, "short"));
    }
    // A level fits what it makes itself, and is the nearest to it.
    for level in levels {
        let made = (100.0 * chance(level, "long")).round();
        let line = format!("level --made {made}/100 --four-feet --format json");
        let found: Value = serde_json::from_str(&said(&line)).expect("JSON");
        assert_eq!(found["nearest"], level["level"]);
    }
    for wrong in ["6", "11/10", "0/0", "six/10"] {
        let error = refused(&format!("level --made {wrong}"));
        assert!(error.contains("6/10"), "{error}");
    }
}
