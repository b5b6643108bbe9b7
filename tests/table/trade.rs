//! Positions whose answer coaches agree on (common practice, no source), each with its reason.

use thincut::advice::{Advice, AdviceOptions, Kind, advise};
use thincut::game::{CueLies, GameRequest};
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Family, Layout, Table};
use thincut::player::Level;

/// What is played first.
enum First {
    /// This ball into this pocket, with a stroke of one of these kinds; any when empty.
    Shot(&'static str, &'static str, &'static [Kind]),
    /// The same, no harder than a medium pace.
    Gently(&'static str, &'static str),
    /// This ball off another.
    Combination(&'static str),
    /// No shot: a safety.
    Safe,
    /// A safety that leaves the cue ball behind this ball.
    Behind(&'static str),
    /// A safety after which the cue ball lies within the first quarter of the table.
    BackToTheHead,
    /// A safety off a cushion first.
    OffACushion,
}

use First::{BackToTheHead, Behind, Combination, Gently, OffACushion, Safe, Shot};
use Kind::{Centre, Draw, Follow, Stun};

struct Position {
    because: &'static str,
    table: &'static str,
    level: Level,
    /// Header lines and balls, separated by semicolons.
    balls: &'static str,
    first: First,
}

const POOL: &str = "pool-9ft";
const SNOOKER: &str = "snooker-12ft";
const ENGLISH: &str = "smallball-7ft";

const POSITIONS: &[Position] = &[
    Position {
        because: "stun to stay: straight in, and the next ball is straight from where it stops",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,5,2;8,6.6,3;9,7.05,1.3",
        first: Shot("8", "foot-left", &[Stun]),
    },
    Position {
        because: "follow to go through: the next ball lies ahead, and a ball that stays has a thin cut on it",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,3.5,0.8;8,5.2,0.75;9,7.7,2.9",
        first: Shot("8", "foot-right", &[Follow, Centre]),
    },
    Position {
        because: "draw to come back: the next ball lies behind",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,3.75,0.9;8,3.9,2.7;9,5.2,0.55",
        first: Shot("8", "side-left", &[Draw]),
    },
    Position {
        because: "straight at a pocket: follow goes down after the ball",
        table: POOL,
        level: Level::Club,
        balls: "cue,4,1.6;5,4,3.1;6,6.5,1.2",
        first: Shot("5", "side-left", &[Stun, Draw]),
    },
    Position {
        because: "the hanger first where it frees: it stands before the pocket of the ball that is next",
        table: POOL,
        level: Level::Club,
        balls: "# game: 8-ball;# group: solids;cue,6,0.5;1,7.72,0.28;2,7.05,0.95;8,1,2",
        first: Shot("1", "foot-right", &[]),
    },
    Position {
        because: "a hanger that frees nothing waits: the shot that is easy now would be a long one after it",
        table: POOL,
        level: Level::Club,
        balls: "# game: 8-ball;# group: solids;cue,2.4,1.3;4,1.2,0.75;2,7.75,3.75;8,6,2.4;11,4,3",
        first: Shot("4", "head-right", &[]),
    },
    Position {
        because: "a ball frozen to the rail goes along it, not hard",
        table: POOL,
        level: Level::Club,
        balls: "cue,4.6,2.9;3,6.2,frozen-left;7,2,0.6",
        first: Gently("3", "foot-left"),
    },
    Position {
        because: "nothing goes: safe, the length of the table from it",
        table: POOL,
        level: Level::Starting,
        balls: "# game: 9-ball;cue,4,2;2,7.85,2.0;5,4.4,2.6;9,0.3,2.0",
        first: Safe,
    },
    Position {
        because: "near and nearly straight before long and thin",
        table: POOL,
        level: Level::Club,
        balls: "cue,5,2;1,6.2,2.9;2,1.2,3.2",
        first: Shot("1", "foot-left", &[]),
    },
    Position {
        because: "of two pockets the one it is straight for",
        table: POOL,
        level: Level::Club,
        balls: "# game: 9-ball;cue,4.5,1;9,6.3,2.5",
        first: Shot("9", "foot-left", &[]),
    },
    Position {
        because: "a cut that is on before a bank",
        table: POOL,
        level: Level::Club,
        balls: "# game: 9-ball;cue,5,1.5;9,6.5,1.2",
        first: Shot("9", "foot-right", &[]),
    },
    Position {
        because: "two balls that touch and point at the pocket go wherever the first is hit",
        table: POOL,
        level: Level::Club,
        balls: "# game: 9-ball;cue,5,3.2;3,7.0,1.0;9,7.1273,0.8727",
        first: Combination("9"),
    },
    Position {
        because: "in 9-ball the 9 over the pocket behind the ball that is on wins at once",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,5.9,1.9;4,7.2,0.75;9,7.75,0.25;6,1,3;7,3,1;8,2,2",
        first: Combination("9"),
    },
    Position {
        because: "the black when it is easy: it is worth most, and on its spot again",
        table: SNOOKER,
        level: Level::Strong,
        balls: "# game: snooker;# on: colour;cue,3000mm,450mm;red,3250mm,500mm;blue,blue-spot;pink,pink-spot;black,black-spot",
        first: Shot("black", "foot-left", &[]),
    },
    Position {
        because: "not the far black but the blue that is near and straight",
        table: SNOOKER,
        level: Level::Club,
        balls: "# game: snooker;# on: colour;cue,1700mm,420mm;red,2500mm,1000mm;blue,blue-spot;black,black-spot",
        first: Shot("blue", "side-left", &[]),
    },
    Position {
        because: "the red with the easy cut, which leaves the black",
        table: SNOOKER,
        level: Level::Strong,
        balls: "# game: snooker;# on: red;cue,2750mm,1250mm;red,3250mm,1480mm;red,900mm,300mm;blue,blue-spot;black,black-spot",
        first: Shot("red-1", "foot-left", &[]),
    },
    Position {
        because: "own balls first, the black last, however easy it lies",
        table: ENGLISH,
        level: Level::Club,
        balls: "# game: english;# rules: world;# group: reds;cue,1300mm,500mm;red,1650mm,750mm;black,2050mm,80mm;yellow,400mm,400mm",
        first: Shot("red", "foot-left", &[]),
    },
    Position {
        because: "an easy shot is taken: no safety is worth more",
        table: POOL,
        level: Level::Club,
        balls: "# game: 9-ball;cue,6,2.6;8,7,3.2;9,2,1",
        first: Shot("8", "foot-left", &[]),
    },
    Position {
        because: "a thin cut the length of the table is no shot for a starting player",
        table: POOL,
        level: Level::Starting,
        balls: "# game: 9-ball;cue,1,0.6;8,6.2,1.0;9,4,3.2",
        first: Safe,
    },
    Position {
        because: "the last ball: nothing follows, so a plain stroke",
        table: POOL,
        level: Level::Club,
        balls: "# game: 8-ball;# group: stripes;cue,5.2,2.4;8,6.6,2.9;3,2,2;4,1,1",
        first: Shot("8", "foot-left", &[Centre]),
    },
    Position {
        because: "the ball at this end first: left behind it costs a way back up the table",
        table: POOL,
        level: Level::Club,
        balls: "# game: 8-ball;# group: solids;cue,2.3,2.2;1,1.0,3.2;6,6.9,3.0;8,7.2,1.0;10,4.2,1.0",
        first: Shot("1", "head-left", &[Draw]),
    },
    Position {
        because: "draw back a diamond: from where the ball lay the next is a half-ball cut",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,5.0,1.5;7,6.9,3.3;8,7.0,0.8;9,4.0,0.5",
        first: Shot("7", "foot-left", &[Draw]),
    },
    Position {
        because: "a quarter of the ball, off the end rail and back behind the ball in between: safe",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,5,1.2;5,7.6,2.0;8,6.2,2.35;9,1,3.5",
        first: Behind("8"),
    },
    Position {
        because: "the ball that is on lies behind another: off a cushion, and safe",
        table: POOL,
        level: Level::League,
        balls: "# game: 9-ball;cue,6.5,1.0;3,0.5,2.1;6,3.6,1.5;7,3.9,2.4;9,7,3",
        first: OffACushion,
    },
    Position {
        because: "the red by the black's pocket, with stun, which leaves the black",
        table: SNOOKER,
        level: Level::Strong,
        balls: "# game: snooker;# on: red;cue,2500mm,600mm;red,3150mm,420mm;red,2200mm,1500mm;red,700mm,300mm;yellow,yellow-spot;green,green-spot;brown,brown-spot;blue,blue-spot;pink,pink-spot;black,black-spot",
        first: Shot("red-1", "foot-right", &[Stun, Centre]),
    },
    Position {
        because: "screw back a foot for the green: from where the yellow lay it is a half-ball cut",
        table: SNOOKER,
        level: Level::Strong,
        balls: "# game: snooker;# on: yellow;cue,1050mm,800mm;yellow,yellow-spot;green,green-spot;brown,brown-spot;blue,blue-spot;pink,pink-spot;black,black-spot",
        first: Shot("yellow", "head-right", &[Draw, Stun]),
    },
    Position {
        because: "the last ball, tight on the cushion: along it, a plain ball",
        table: ENGLISH,
        level: Level::Club,
        balls: "# game: english;# rules: world;# group: reds;cue,1150mm,850mm;black,1600mm,frozen-left;yellow,500mm,300mm;yellow,1000mm,200mm",
        first: Gently("black", "foot-left"),
    },
    Position {
        because: "a thin cut the length of the table, the others in between: safe",
        table: ENGLISH,
        level: Level::Starting,
        balls: "# game: english;# rules: world;# group: reds;cue,350mm,540mm;red,1900mm,540mm;black,1000mm,900mm;yellow,1300mm,300mm;yellow,1650mm,700mm",
        first: Safe,
    },
    Position {
        because: "nothing out of a closed pack: thin off its end and back to baulk",
        table: SNOOKER,
        level: Level::Club,
        balls: "# game: snooker;# on: red;cue,900mm,1100mm;red,2731mm,889mm;red,2776.6mm,862.6mm;red,2776.6mm,915.4mm;red,2822.3mm,836.3mm;red,2822.3mm,889mm;red,2822.3mm,941.7mm;red,2867.9mm,809.9mm;red,2867.9mm,862.6mm;red,2867.9mm,915.4mm;red,2867.9mm,968.1mm;yellow,yellow-spot;green,green-spot;brown,brown-spot;blue,blue-spot;pink,pink-spot;black,black-spot",
        first: BackToTheHead,
    },
];

fn advised(gear: &Gear, position: &Position) -> (Layout, Advice) {
    let lines: Vec<&str> = position.balls.split(';').collect();
    let (header, balls): (Vec<&str>, Vec<&str>) = lines.iter().partition(|l| l.starts_with('#'));
    let text = format!("{}\nball,x,y\n{}\n", header.join("\n"), balls.join("\n"));
    let layout = Layout::parse(text.trim_start(), gear).expect("a layout");
    let lies = CueLies {
        at: layout.cue,
        bed: &gear.bed,
    };
    let game = GameRequest::of_text(&text).expect("a state");
    let situation = game.situation(layout.labels(), Some(lies)).expect("a game");
    let table = Table::new(gear, &layout).in_game(situation);
    let choose = ChooseOptions::new(position.level.aim_error());
    let advice = advise(&table, &AdviceOptions::new(&table, choose), &|_| {});
    let advice = advice.expect("a good pace");
    (layout, advice)
}

/// What speaks against an answer; nothing where the trade agrees.
fn against(position: &Position, gear: &Gear, layout: &Layout, advice: &Advice) -> Option<String> {
    let length_m = gear.bed.length_m;
    let label = |ball: usize| layout.balls[ball].label.as_str();
    let goes = !advice.no_shot() && advice.compared.is_none_or(|c| c.goes());
    let first = advice.shots.first();
    let said = first.map_or_else(String::new, |w| {
        let shot = &w.ranked.shot;
        format!(
            "{} {} into {}, {:?} at {:?} m/s, {:.2}, value {:.2}, go {:?}, safe {:?}",
            shot.family.name(),
            label(shot.ball),
            shot.pocket.name(),
            w.kind,
            shot.pace_m_s,
            w.ranked.chance,
            w.value(),
            advice.compared,
            advice.safeties.first()
        )
    });
    let safety = advice.safeties.first().filter(|_| !goes);
    let agrees = match (&position.first, first) {
        (Safe, _) => safety.is_some(),
        (Behind(ball), _) => {
            safety.is_some_and(|s| s.behind.is_some_and(|behind| label(behind) == *ball))
        }
        (BackToTheHead, _) => safety.is_some_and(|s| s.cue_at.x < 0.25 * length_m),
        (OffACushion, _) => safety.is_some_and(|s| s.off.is_some()),
        (Gently(ball, pocket), Some(w)) => {
            let shot = &w.ranked.shot;
            let gently = shot.pace_m_s.is_some_and(|pace| pace < 1.5);
            let same = label(shot.ball) == *ball && shot.pocket.name() == *pocket;
            goes && same && gently && shot.family == Family::Direct
        }
        (Shot(ball, pocket, kinds), Some(w)) => {
            let shot = &w.ranked.shot;
            let kind = kinds.is_empty() || w.kind.is_some_and(|k| kinds.contains(&k));
            let same = label(shot.ball) == *ball && shot.pocket.name() == *pocket;
            goes && same && kind && shot.family == Family::Direct
        }
        (Combination(ball), Some(w)) => {
            let shot = &w.ranked.shot;
            let through = matches!(shot.family, Family::Combination { .. });
            goes && through && label(shot.ball) == *ball
        }
        (_, None) => false,
    };
    (!agrees).then(|| format!("{}: {said}", position.because))
}

/// A layout is changed only where it is not what its reason says.
#[test]
fn what_coaches_agree_on() {
    let mut wrong = Vec::new();
    for position in POSITIONS {
        let gear = Gear::preset(position.table).expect("a preset");
        let (layout, advice) = advised(&gear, position);
        wrong.extend(against(position, &gear, &layout, &advice));
    }
    assert!(POSITIONS.len() >= 20);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
