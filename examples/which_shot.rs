//! Which of the balls left on the table to play, for a starting player.
//!
//! `cargo run --example which_shot`

use std::error::Error;

use thincut::advice::{AdviceOptions, advise};
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Layout, Table};
use thincut::player::{Level, in_ten};

pub(crate) const LAYOUT: &str = "ball,x,y
cue,3.2,1.4
2,6.1,2.9
7,7.2,0.8
9,5.0,0.6
8,foot-spot
";

pub(crate) fn answer() -> Result<Vec<String>, Box<dyn Error>> {
    let gear = Gear::preset("pool-9ft")?;
    let layout = Layout::parse(LAYOUT, &gear)?;
    let options = ChooseOptions {
        banks: false,
        combinations: false,
        kicks: false,
        ..ChooseOptions::new(Level::Starting.aim_error())
    };
    let table = Table::new(&gear, &layout);
    let advice = advise(&table, &AdviceOptions::new(&table, options), &|_stage| {})?;
    Ok(advice
        .shots
        .iter()
        .take(3)
        .map(|s| {
            let shot = &s.ranked.shot;
            let (ball, pocket) = (&layout.balls[shot.ball].label, shot.pocket.name());
            format!("the {ball} into {pocket}: {}", in_ten(s.ranked.chance))
        })
        .collect())
}

fn main() -> Result<(), Box<dyn Error>> {
    for line in answer()? {
        println!("{line}");
    }
    Ok(())
}
