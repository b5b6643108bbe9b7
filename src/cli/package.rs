//! `thincut completions` and `thincut man`: what a package installs beside the program.

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, CommandFactory};
use clap_complete::Shell;
use thincut::files::Batch;

use crate::Cli;
use crate::fault::Fault;

/// Print the completions of a shell
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut completions bash > thincut.bash")]
pub(crate) struct CompletionsCommand {
    /// bash, elvish, fish, powershell or zsh
    #[arg(value_enum, hide_possible_values = true)]
    shell: Shell,
}

impl CompletionsCommand {
    pub(crate) fn run(&self, out: &mut dyn Write) -> Result<(), Fault> {
        // Through memory, since the generator panics when its writer fails (a closed pipe).
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut Cli::command(), "thincut", &mut script);
        Ok(out.write_all(&script)?)
    }
}

/// Write the manual pages, one for each command
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut man --out man && man -l man/thincut-shot.1")]
pub(crate) struct ManCommand {
    /// Folder for the pages
    #[arg(long, value_name = "DIR", default_value = "man")]
    out: PathBuf,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
}

impl ManCommand {
    pub(crate) fn run(&self, out: &mut dyn Write) -> Result<(), Fault> {
        let mut files = Batch::new(&self.out, self.force)?;
        let mut command = Cli::command().flatten_help(false);
        command.build();
        pages(&command, "thincut", &mut files)?;
        for path in files.keep()? {
            writeln!(out, "{}", path.display())?;
        }
        Ok(())
    }
}

fn pages(command: &clap::Command, name: &str, files: &mut Batch) -> Result<(), Fault> {
    let page = clap_mangen::Man::new(command.clone()).title(name.to_uppercase());
    let mut writer = files.file(&format!("{name}.1"))?;
    page.render(&mut writer)?;
    writer.flush()?;
    for inner in command.get_subcommands().filter(|c| c.get_name() != "help") {
        pages(inner, &format!("{name}-{}", inner.get_name()), files)?;
    }
    Ok(())
}
