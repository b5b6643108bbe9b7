//! `thincut explore`: the local page.

use std::io::{ErrorKind, Write};
use std::net::{IpAddr, Ipv4Addr};
use std::path::PathBuf;

use clap::Args;
use rand::TryRngCore as _;
use rand::rngs::OsRng;
use thincut::log::{Log, Since};
use thincut::page::{Explorer, ExplorerError, Options, qr_text};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::log::here_and_now;
use crate::student::{open_for_fits, since};
use crate::table::GearArgs;

/// The same at every start, so that links and what the browser keeps of the page stay good
/// (assumption: little else listens there).
const PORT: u16 = 8147;

/// Drag the balls in a browser and see the margin
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut explore --open\n  \
    thincut explore --log practice.sqlite --open\n  \
    thincut explore --log practice.sqlite --bind 0.0.0.0 --port 8080 --token\n      \
    for the hall: a link for the coach, and one with a QR code for the phones,\n      \
    which counts tries and looks at shots\n\n\
    Works without a network. Stop it with Ctrl-C.\n\n\
    A shared page goes over the hall's network in the clear: others on that network could read\n\
    what is shown and counted, and both links. Share it on a network of your own, use labels\n\
    instead of names, and stop it after the evening; every start makes new links.")]
pub(crate) struct ExploreCommand {
    /// Port, 0 for any free one [default: 8147, or a free one where that is taken]
    #[arg(long, value_name = "PORT", hide_default_value = true)]
    port: Option<u16>,
    /// Open the page in the browser
    #[arg(long)]
    open: bool,
    /// Address to listen at; beyond this machine it needs --token
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    bind: IpAddr,
    /// Answer only with a token, which is the coach's: one is made unless given (22 letters and digits or more)
    #[arg(long, value_name = "TOKEN", num_args = 0..=1, default_missing_value = "")]
    token: Option<String>,
    /// The token of the phones' link, made unless given: counts tries and looks, takes back its own
    #[arg(long, value_name = "TOKEN", requires = "token")]
    phones: Option<String>,
    /// Another name the page may be opened under, without port; may be repeated
    #[arg(long, value_name = "NAME")]
    host: Vec<String>,
    /// The practice log: its students as players, and tallies from the table; made when missing
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    /// Of a student's attempts only those from this day on, also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", value_parser = since)]
    since: Option<Since>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    units: UnitArgs,
}

impl ExploreCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let token = match self.token.as_deref() {
            Some("") => Some(new_token()?),
            other => other.map(str::to_owned),
        };
        let phones = match &self.phones {
            None if token.is_some() => Some(new_token()?),
            given => given.clone(),
        };
        let options = Options {
            gear: self.gear.load(defaults)?,
            asked: (self.gear.name(defaults), self.gear.set.clone()),
            units: self.units.units_alone(defaults),
            words: self.units.words.or(defaults.words),
            bind: self.bind,
            port: self.port.unwrap_or(PORT),
            token,
            phones,
            hosts: self.host.clone(),
            log: self.log.clone(),
            since: self.since.clone().unwrap_or_default(),
            clock: here_and_now,
        };
        // Before anybody waits for an answer; a log that is not there yet is made by the page.
        let log = self.log.clone().map_or_else(Log::default_path, Ok);
        if log.is_ok_and(|path| path.exists()) {
            open_for_fits(self.log.as_ref())?;
        }
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .enable_all()
            .build()?;
        runtime.block_on(self.serve(options, out))
    }

    /// At the port asked for; where nobody asked and the usual one is taken, at a free one.
    async fn listen(&self, options: Options) -> Result<Explorer, Fault> {
        match Explorer::bind(options.clone()).await {
            Err(ExplorerError::Listen { address, fault })
                if self.port.is_none() && fault.kind() == ErrorKind::AddrInUse =>
            {
                writeln!(
                    std::io::stderr(),
                    "Port {} is taken, perhaps by another thincut explore; this page has a free one.",
                    address.port()
                )?;
                Ok(Explorer::bind(Options { port: 0, ..options }).await?)
            }
            bound => Ok(bound?),
        }
    }

    async fn serve(&self, options: Options, out: &mut dyn Write) -> Result<(), Fault> {
        let explorer = self.listen(options).await?;
        links(&explorer, out)?;
        if self.open
            && let Err(error) = open::that_detached(explorer.link())
        {
            writeln!(
                std::io::stderr(),
                "no browser could be opened ({error}); open the link yourself"
            )?;
        }
        explorer.serve(stop_asked()).await?;
        writeln!(std::io::stderr(), "Stopped.")?;
        Ok(())
    }
}

/// The links on standard output, one a line; what they are for, and a code to scan, beside them.
fn links(explorer: &Explorer, out: &mut dyn Write) -> Result<(), Fault> {
    let mut err = std::io::stderr().lock();
    let phones = explorer.phones_link();
    if phones.is_some() {
        writeln!(err, "For you, the coach; it opens everything:")?;
    }
    writeln!(out, "{}", explorer.link())?;
    out.flush()?;
    if let Some(phones) = phones {
        writeln!(
            err,
            "For the phones; it counts tries, looks at shots, and takes back a phone's own tries for ten minutes:"
        )?;
        writeln!(out, "{phones}")?;
        out.flush()?;
        if let Some(code) = qr_text(phones) {
            writeln!(err, "{code}")?;
        }
    }
    let above = if phones.is_some() { "links" } else { "link" };
    writeln!(
        err,
        "The page is open at the {above} above until you press Ctrl-C."
    )?;
    Ok(())
}

/// 128 random bits of the system as hexadecimal digits.
fn new_token() -> Result<String, Fault> {
    let mut bytes = [0_u8; 16];
    OsRng.try_fill_bytes(&mut bytes).map_err(Fault::running)?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}

/// Ctrl-C, or a polite end from the system.
async fn stop_asked() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut term) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = term.recv() => {}
            }
            return;
        }
    }
    // Without signals the program runs until it is ended.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}

impl From<ExplorerError> for Fault {
    fn from(error: ExplorerError) -> Self {
        if error.is_bad_input() {
            Self::input(error)
        } else {
            Self::running(error)
        }
    }
}
