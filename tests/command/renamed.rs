//! Names of the first edition: refused where they are typed, with the name of today; read in files.

use std::fs;

use crate::core::{folder, output, thincut};

#[track_caller]
fn told(line: &str, now: &str) {
    let folder = folder();
    let words = line.split(' ');
    let (out, err) = output(thincut(folder.path()).args(words.clone()), 2);
    assert!(out.is_empty(), "{line}: {out}");
    assert!(
        err.starts_with("error: ") && err.lines().count() == 1 && err.contains(now),
        "{line}: {err}"
    );
    let as_json = words.chain(["--format", "json"]);
    let (_, err) = output(thincut(folder.path()).args(as_json), 2);
    let value: serde_json::Value = serde_json::from_str(&err).expect("JSON");
    let message = value["error"]["message"].as_str().unwrap_or_default();
    assert!(message.contains(now), "{line}: {err}");
}

#[test]
fn an_option_of_the_first_edition_is_refused_by_its_name_of_today() {
    for (line, now) in [
        ("shot --gear pool-7ft", "--table"),
        ("shot --cut 30deg --apart 4ft", "--cue-to-object"),
        ("survey --aparts 1ft,2ft", "--cue-to-object"),
        ("survey --cuts 0deg,30deg", "--cut"),
        ("aims --to-pockets 3ft", "--to-pocket"),
        ("shot --hit stun", "--arrives"),
        ("shot --roll 0.4", "--arrives"),
        ("shot --stroke 2lengths", "--lengths"),
        ("skill K --stroke 1,2,3", "--stroke-test"),
        ("shot --arm 0.3deg", "--stroke-spread"),
        ("shot --picture 3mm", "--sighting-spread"),
        ("shot --sigma 0.3deg", "--aim-spread"),
        ("shot --bias 0.1deg", "--steady-error"),
        ("shot --arm-growth 0", "--stroke-growth"),
        ("ladder --margin 2", "--weaker-by"),
        ("ladder marks --tables 2", "--playing-on"),
        ("chart grid --room mm", "--margin"),
        ("aims --ways quarters", "--methods"),
        ("table measure --lag 3m", "--roll-out"),
        ("table measure --run 4lengths", "--roll-lengths"),
    ] {
        told(line, now);
    }
}

#[test]
fn a_command_of_the_first_edition_is_refused_by_its_name_of_today() {
    for (line, now) in [
        ("gear list", "thincut table"),
        ("pocket", "thincut table pockets"),
        ("compare", "thincut table compare"),
        ("layout check five.csv", "thincut choose check"),
    ] {
        told(line, now);
    }
}

#[test]
fn files_are_read_by_either_name() {
    let here = folder();
    let path = here.path();
    let answers = |header: &str| {
        let row = "half-ball,4ft,3ft,pool-7ft,0.3deg,3mm,firm,2";
        fs::write(path.join("rows.csv"), format!("{header}\n{row}\n")).expect("written");
        let (out, _) = output(thincut(path).args(["batch", "rows.csv"]), 0);
        out.lines().skip(1).map(str::to_owned).collect::<Vec<_>>()
    };
    let now = answers("cut,cue-to-object,to-pocket,table,stroke-spread,sighting-spread,pace,id");
    assert_eq!(now, answers("cut,apart,to-pocket,gear,arm,picture,pace,id"));
    assert_eq!(now.len(), 1);
    assert!(
        now[0].contains("2,solved,pool-7ft") || now[0].contains("pool-7ft"),
        "{now:?}"
    );

    // The log keeps the names it began with, and takes a row by today's too.
    let rows = "student,when,table,cut,cue_to_object,to_pocket,tries,made\n\
        K,2025-10-07,pool-9ft,half-ball,4ft,3ft,10,6\n";
    fs::write(path.join("day.csv"), rows).expect("written");
    let log = ["--log", "k.sqlite"];
    output(
        thincut(path).args(["log", "import", "day.csv"]).args(log),
        0,
    );
    let (list, _) = output(
        thincut(path)
            .args(["log", "list", "--format", "json"])
            .args(log),
        0,
    );
    assert!(
        list.contains("\"apart\": \"4ft\"") && list.contains("\"gear\": \"pool-9ft\""),
        "{list}"
    );

    // Defaults and the environment.
    for key in ["table", "gear"] {
        fs::write(path.join("thincut.toml"), format!("{key} = \"pool-7ft\"\n")).expect("written");
        let (shown, _) = output(thincut(path).args(["table", "show"]), 0);
        assert!(shown.contains("\"pool-7ft\""), "{shown}");
    }
    for variable in ["THINCUT_TABLE", "THINCUT_GEAR"] {
        let mut command = thincut(path);
        let (shown, _) = output(
            command
                .env(variable, "snooker-12ft")
                .args(["table", "show"]),
            0,
        );
        assert!(shown.contains("\"snooker-12ft\""), "{variable}: {shown}");
    }
}
