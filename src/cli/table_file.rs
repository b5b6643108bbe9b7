//! The file that a measured table is written to.

use std::io::Write;
use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use jiff::Zoned;
use jiff::civil::Date;
use thincut::files::{may_write, write_whole};
use thincut::gear::LoadedGear;

use crate::fault::Fault;

/// `--name`, `--date`, `--out` and `--force` of commands that measure.
#[derive(Debug, Clone, Args)]
pub(crate) struct FileArgs {
    /// Name of the measured table [default: the form's, or that of --out, or my-table]
    #[arg(long, value_name = "NAME", help_heading = "The file")]
    name: Option<String>,
    /// Day of measuring [default: the form's, or today]
    #[arg(long, value_name = "DATE", help_heading = "The file")]
    date: Option<String>,
    /// Write the file
    #[arg(long, value_name = "FILE.toml", help_heading = "The file")]
    pub(crate) out: Option<PathBuf>,
    /// Replace a file that exists
    #[arg(long, requires = "out", help_heading = "The file")]
    force: bool,
}

impl FileArgs {
    /// Whether the file may be written; asked before anything is worked out.
    pub(crate) fn check(&self) -> Result<(), Fault> {
        match &self.out {
            Some(path) => Ok(may_write(path, self.force)?),
            None => Ok(()),
        }
    }

    /// The name given, else the form's, else the file's.
    pub(crate) fn name(&self, of_form: &str) -> String {
        let of_file = self.out.as_deref().and_then(std::path::Path::file_stem);
        match &self.name {
            Some(name) => name.clone(),
            None if !of_form.is_empty() => of_form.to_owned(),
            None => of_file.map_or_else(
                || "my-table".to_owned(),
                |stem| stem.to_string_lossy().into_owned(),
            ),
        }
    }

    /// The day given, else the form's, else today.
    pub(crate) fn day(&self, of_form: &str) -> Result<String, Fault> {
        let given = self.date.as_deref().unwrap_or(of_form);
        if given.is_empty() {
            return Ok(Zoned::now().date().to_string());
        }
        let day = Date::from_str(given).map_err(|_| {
            Fault::input(format!(
                "--date \"{given}\" is no day: write one such as 2025-11-25"
            ))
        })?;
        Ok(day.to_string())
    }

    /// Writes the table.
    pub(crate) fn write(&self, table: &LoadedGear) -> Result<(), Fault> {
        match &self.out {
            Some(path) => Ok(write_whole(path, table.to_toml().as_bytes(), self.force)?),
            None => Ok(()),
        }
    }

    /// What to do with the file.
    pub(crate) fn say(&self, out: &mut dyn Write) -> Result<(), Fault> {
        if let Some(path) = &self.out {
            let path = path.display();
            writeln!(out, "{path}: use it anywhere with --table {path}")?;
        }
        Ok(())
    }
}
