//! What went wrong, and with which exit code.

use std::fmt::Display;
use std::io::{ErrorKind, IsTerminal, Write};
use std::process::ExitCode;

use serde_json::json;
use thincut::shown::plain;

/// A fault with its exit code.
#[derive(Debug)]
pub(crate) enum Fault {
    /// Bad usage or input: exit code 2.
    Input(String),
    /// Something failed while running: exit code 1.
    Running(String),
    /// Interrupted, with the best so far already said: exit code 130, as for Ctrl-C anywhere.
    Interrupted,
    /// The reader went away: not an error.
    ClosedPipe,
}

impl Fault {
    /// Bad input in these words.
    pub(crate) fn input(message: impl Display) -> Self {
        Self::Input(message.to_string())
    }

    /// A failure at run time in these words.
    pub(crate) fn running(message: impl Display) -> Self {
        Self::Running(message.to_string())
    }

    /// Writes it to standard error and gives the exit code.
    pub(crate) fn report(&self, as_json: bool) -> ExitCode {
        let (message, code) = match self {
            Self::ClosedPipe => return ExitCode::SUCCESS,
            Self::Interrupted => return ExitCode::from(130),
            Self::Input(m) => (m, 2),
            Self::Running(m) => (m, 1),
        };
        write_error(message, code, as_json);
        ExitCode::from(code)
    }
}

/// Usage errors and `--help` as the argument parser words them.
pub(crate) fn usage(error: &clap::Error, as_json: bool) -> ExitCode {
    if as_json && error.use_stderr() {
        let text = error.to_string();
        let message = text
            .trim_start_matches("error: ")
            .split("\n\n")
            .next()
            .unwrap_or_default();
        write_error(message.trim(), 2, true);
        return ExitCode::from(2);
    }
    // A closed pipe while printing help is no error either.
    let _ = error.print();
    if error.use_stderr() {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    }
}

fn write_error(message: &str, code: u8, as_json: bool) {
    let mut err = std::io::stderr().lock();
    let message = plain(message);
    // Nothing is left to tell if even standard error is gone.
    let _ = if as_json {
        writeln!(
            err,
            "{}",
            json!({"error": {"message": message, "exit_code": code}})
        )
    } else if err.is_terminal() && std::env::var_os("NO_COLOR").is_none() {
        writeln!(err, "\u{1b}[1;31merror\u{1b}[0m: {message}")
    } else {
        writeln!(err, "error: {message}")
    };
}

impl From<std::io::Error> for Fault {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == ErrorKind::BrokenPipe {
            Self::ClosedPipe
        } else {
            Self::running(error)
        }
    }
}

impl From<csv::Error> for Fault {
    fn from(error: csv::Error) -> Self {
        match error.into_kind() {
            csv::ErrorKind::Io(e) => e.into(),
            other => Self::running(format!("writing CSV: {other:?}")),
        }
    }
}

impl From<serde_json::Error> for Fault {
    fn from(error: serde_json::Error) -> Self {
        match error.io_error_kind() {
            Some(kind) => std::io::Error::from(kind).into(),
            None => Self::running(error),
        }
    }
}

impl From<crate::defaults::DefaultsError> for Fault {
    fn from(error: crate::defaults::DefaultsError) -> Self {
        Self::input(error)
    }
}

macro_rules! fault {
    ($($error:ty => $told:expr,)*) => {$(
        impl From<$error> for Fault {
            fn from(error: $error) -> Self {
                let told: fn(&$error) -> bool = $told;
                if told(&error) {
                    Self::input(error)
                } else {
                    Self::running(error)
                }
            }
        }
    )*};
}

thincut::bad_inputs!(fault);
