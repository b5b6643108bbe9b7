//! In which form answers come: one option for every command, with what each can write.

use clap::{Args, ValueEnum};

/// `--format`, from among `F`.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "What to show")]
pub(crate) struct FormatArgs<F: Forms> {
    #[arg(
        id = "format",
        long = "format",
        value_name = "FORMAT",
        value_enum,
        default_value_t,
        hide_possible_values = true,
        help = names::<F>()
    )]
    pub(crate) asked: F,
}

/// Forms that a command can write.
pub(crate) trait Forms: ValueEnum + Default + Clone + Send + Sync + 'static {}

impl<F: ValueEnum + Default + Clone + Send + Sync + 'static> Forms for F {}

/// With rows for a spreadsheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Format {
    /// Sentences for people
    #[default]
    Text,
    /// Stable, documented, for programs
    Json,
    /// For spreadsheets
    Csv,
}

/// Where there are no rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum TextOrJson {
    /// Sentences for people
    #[default]
    Text,
    /// Stable, documented, for programs
    Json,
}

/// `text, json or csv`
fn names<F: Forms>() -> String {
    let values = F::value_variants().iter().filter_map(F::to_possible_value);
    let names: Vec<String> = values.map(|value| value.get_name().to_owned()).collect();
    match names.as_slice() {
        [before @ .., last] if !before.is_empty() => format!("{} or {last}", before.join(", ")),
        only => only.concat(),
    }
}

/// Whether the raw arguments ask for JSON, so that even usage errors come as JSON.
pub(crate) fn json_asked_for(args: impl Iterator<Item = String>) -> bool {
    let args: Vec<String> = args.collect();
    args.iter().any(|a| a == "--format=json")
        || args
            .windows(2)
            .any(|w| w[0] == "--format" && w[1] == "json")
}
