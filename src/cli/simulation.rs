//! Options of commands that draw random numbers.

use clap::Args;

/// Where the random numbers start.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "The simulation")]
pub(crate) struct SeedArgs {
    /// Start of the random numbers: the same number gives the same answer
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub(crate) seed: u64,
}
