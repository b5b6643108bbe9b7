//! Ctrl-C: no temporary file stays, and the exit code says that the work was not done.

use std::sync::{Mutex, PoisonError};

use thincut::stop::Stop;

/// Work that says the best so far when it is interrupted.
static STOPS_FIRST: Mutex<Option<Stop>> = Mutex::new(None);

/// The first Ctrl-C from now on asks this work to stop and say what it has; the next one ends the program.
pub(crate) fn stop_first() -> Stop {
    let stop = Stop::new();
    *STOPS_FIRST.lock().unwrap_or_else(PoisonError::into_inner) = Some(stop.clone());
    stop
}

/// Asks what wants to be asked; `false` where there is nothing of the kind.
#[cfg(unix)]
fn asked_to_stop() -> bool {
    let taken = STOPS_FIRST
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .take();
    taken.is_some_and(|stop| {
        stop.ask();
        true
    })
}

/// From now on an interruption takes unfinished files away before the program ends with 128 and the
/// signal's number, 130 for Ctrl-C.
pub(crate) fn leave_nothing_behind() {
    #[cfg(unix)]
    {
        use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
        use signal_hook::iterator::Signals;

        let mut wanted = vec![SIGINT, SIGTERM];
        // `nohup` asks for the end of the terminal to be survived.
        if !is_ignored(SIGHUP) {
            wanted.push(SIGHUP);
        }
        // Without it the program works all the same; an interruption then leaves files behind.
        let Ok(mut signals) = Signals::new(wanted) else {
            return;
        };
        std::thread::spawn(move || {
            for signal in signals.forever() {
                if signal == SIGINT && asked_to_stop() {
                    continue;
                }
                thincut::files::discard_unfinished();
                std::process::exit(128 + signal);
            }
        });
    }
}

/// Whether whoever started the program set the signal to be ignored; unknown counts as yes.
#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status
        .lines()
        .find_map(|line| line.strip_prefix("SigIgn:"))
        .and_then(|hex| u64::from_str_radix(hex.trim(), 16).ok());
    mask.is_none_or(|mask| mask >> (signal - 1) & 1 == 1)
}
