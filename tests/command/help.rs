//! Help: in groups, the page first, no page over a screen and a half.

use crate::core::{folder, output, thincut};

/// Every command, as it is typed.
const COMMANDS: [&str; 51] = [
    "explore",
    "shot",
    "choose",
    "choose check",
    "choose draw",
    "lesson",
    "lesson new",
    "lesson check",
    "ladder",
    "ladder marks",
    "ladder spot",
    "ladder next",
    "aims",
    "stroke",
    "chart",
    "sheet",
    "sheet ladder",
    "sheet marks",
    "sheet lesson",
    "sheet card",
    "sheet margin-strip",
    "sheet scale",
    "sheet pocket",
    "sheet jaws",
    "sheet cue",
    "sheet readings",
    "log",
    "log add",
    "log enter",
    "log import",
    "log export",
    "log list",
    "log undo",
    "log students",
    "skill",
    "budget",
    "level",
    "survey",
    "table",
    "table list",
    "table show",
    "table check",
    "table pockets",
    "table compare",
    "table measure",
    "table jaws",
    "table rails",
    "table cue",
    "batch",
    "completions",
    "man",
];

fn say(line: &str) -> String {
    let folder = folder();
    output(thincut(folder.path()).args(line.split(' ')), 0).0
}

#[test]
fn no_help_is_a_wall() {
    for command in COMMANDS {
        let help = say(&format!("{command} --help"));
        let lines = help.lines().count();
        assert!(lines <= 50, "{command}: {lines} lines\n{help}");
        assert!(help.contains("Usage: thincut"), "{command}: {help}");
    }
    let all = say("--help");
    assert!(all.lines().count() <= 45, "{all}");
}

#[test]
fn commands_stand_in_groups_the_page_first() {
    let help = say("--help");
    let groups = [
        "At the table:",
        "Teaching:",
        "Students:",
        "Your table:",
        "For programs:",
    ];
    let at = |what: &str| help.find(what).unwrap_or_else(|| panic!("{what}: {help}"));
    assert!(groups.map(at).is_sorted(), "{help}");
    let top = COMMANDS.iter().filter(|c| !c.contains(' '));
    for command in top.filter(|c| !["completions", "man"].contains(c)) {
        let listed = help
            .lines()
            .any(|l| l.trim_start().starts_with(&format!("{command} ")));
        assert!(listed, "{command}: {help}");
    }
    let first = help.lines().skip_while(|l| *l != "At the table:").nth(1);
    assert!(
        first.is_some_and(|l| l.trim_start().starts_with("explore")),
        "{help}"
    );
}

/// An option that is left out of a command's page stands on one of its own.
#[test]
fn shared_options_have_a_page() {
    let shot = say("shot --help");
    assert!(shot.contains("player-options"), "{shot}");
    assert!(!shot.contains("--stroke-spread"), "{shot}");
    let page = say("help player-options");
    assert!(
        page.contains("--stroke-spread") && page.contains("--since"),
        "{page}"
    );
    for name in ["shot", "stroke", "table", "game", "method", "reading"] {
        let page = say(&format!("help {name}-options"));
        assert!(
            page.contains("--") && page.lines().count() <= 80,
            "{name}: {page}"
        );
    }
    // What is not shown is taken.
    say(
        "shot --cut half-ball --cue-to-object 4ft --to-pocket 3ft --stroke-spread 0.3deg --sighting-spread 2mm",
    );
    assert!(say("help shot").contains("Usage: thincut shot"));
}
