//! How the page is started, and why it cannot be.

use std::io;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;

use thiserror::Error;

use crate::field::Field;
use crate::gear::LoadedGear;
use crate::log::{LogError, Since, When, WhenError};
use crate::speech::WordSet;
use crate::units::UnitSystem;

/// Shortest token: 22 letters and digits can carry 128 bits.
pub(super) const SHORTEST_TOKEN: usize = 22;

/// Tells the time here, with its offset.
pub type Clock = fn() -> Result<When, WhenError>;

/// Everything `serve` needs to know.
#[derive(Debug, Clone)]
pub struct Options {
    /// Equipment to start with.
    pub gear: LoadedGear,
    /// How that equipment is asked for: preset or file, and changes to it.
    pub asked: (String, Vec<String>),
    /// Units of texts.
    pub units: UnitSystem,
    /// Whose words; those of each table where nobody says.
    pub words: Option<WordSet>,
    /// The practice log, made when missing; without one there are no students and no tally.
    pub log: Option<PathBuf>,
    /// From when on a student's attempts count.
    pub since: Since,
    /// Tells the time.
    pub clock: Clock,
    /// Address to listen at.
    pub bind: IpAddr,
    /// Port, 0 for any free one.
    pub port: u16,
    /// Secret that every request to the interface must carry; needed beyond this machine. It is the
    /// coach's and opens everything.
    pub token: Option<String>,
    /// Another secret that only counts tries and looks at shots, for the phones; only beside `token`.
    pub phones: Option<String>,
    /// More host names under which the page may be asked for, without port.
    pub hosts: Vec<String>,
}

/// A server that cannot start.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ExplorerError {
    /// An address others can reach, without a token.
    #[error(
        "{bind} {0} can be reached from other machines: add {token}, and the page opens only with the link it shows",
        bind = Field::Bind,
        token = Field::Token
    )]
    TokenNeeded(IpAddr),
    /// A token anybody can guess.
    #[error(
        "{field}: a token of {length} characters; use at least {SHORTEST_TOKEN} letters, digits, - and _, or let the program make one"
    )]
    WeakToken {
        /// The coach's or the phones'.
        field: Field,
        /// Its length; the token itself is not shown.
        length: usize,
    },
    /// The phones' token without the coach's, or the same.
    #[error(
        "{}: give it beside {}, and another one than that",
        Field::Phones,
        Field::Token
    )]
    PhonesToken,
    /// A host name that cannot stand in a link.
    #[error(
        "{host} {0}: give a plain host name or address without port, such as table-pc.local",
        host = Field::Host
    )]
    BadHost(String),
    /// The address cannot be listened at.
    #[error(
        "cannot listen at {address}: {fault}; choose another {} (0 takes a free one) or {}",
        Field::Port,
        Field::Bind
    )]
    Listen {
        /// Address and port.
        address: SocketAddr,
        /// What the system says.
        fault: io::Error,
    },
    /// The practice log cannot be used.
    #[error(transparent)]
    Log(#[from] LogError),
    /// The system's word once it runs.
    #[error("the page's server failed: {0}")]
    Io(#[from] io::Error),
}

impl ExplorerError {
    /// Whether different flags would help.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Io(_) => false,
            Self::Log(e) => e.is_bad_input(),
            _ => true,
        }
    }
}

/// An address as it stands in a link.
pub(super) fn bracketed(address: IpAddr) -> String {
    match address {
        IpAddr::V4(v4) => v4.to_string(),
        IpAddr::V6(v6) => format!("[{v6}]"),
    }
}
