#!/usr/bin/env bash
# Installs what the tests need and runs all of them.
# Usage: bash tests/run.sh        On Debian or Ubuntu with Rust; uses sudo when not root.
set -euo pipefail
cd "$(dirname "$0")/.."
# What somebody has set for themselves is no part of the tests.
unset THINCUT_GEAR THINCUT_UNITS THINCUT_LOG

as_root() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi; }

# command -> Debian package
missing=()
need() { command -v "$1" >/dev/null 2>&1 || missing+=("$2"); }
need pdftoppm poppler-utils
need qpdf qpdf
need cc build-essential
need parallel parallel
need chromedriver chromium-driver
need firefox firefox-esr
need node nodejs
need npm npm
command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1 || missing+=(chromium)
if [ "${#missing[@]}" -gt 0 ]; then
  echo "installing: ${missing[*]}"
  as_root apt-get update -qq
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
fi

# Debian has no driver for Firefox; cargo keeps it where it keeps all it installs.
export PATH="$PATH:${CARGO_HOME:-$HOME/.cargo}/bin"
if ! command -v geckodriver >/dev/null 2>&1; then
  echo "installing: geckodriver"
  cargo install --quiet --locked --debug geckodriver
fi

# Checker of the page's accessibility: development only, pinned by its lock file.
if [ -f tests/page/package-lock.json ]; then
  (cd tests/page && npm ci --silent --no-audit --no-fund)
fi

# Built once and thrown away or kept whole: nothing here is for a debugger or for the next small edit.
# In one piece a crate costs a fifth less than in sixteen, each of which has its own copies of what is small.
export CARGO_INCREMENTAL=0 CARGO_PROFILE_DEV_DEBUG=0 CARGO_PROFILE_DEV_CODEGEN_UNITS=1
# One process for each group of tests: what they look at together (a ladder, a drawn sheet, the letters of
# a font) is worked out once, not once for each.
run() { cargo test --quiet --no-fail-fast "$@"; }
run --tests
cargo test --quiet --doc
# The library alone: whoever uses it so builds none of what draws, keeps or serves.
CARGO_PROFILE_DEV_OPT_LEVEL=0 run --no-default-features --test library
# Parquet is no part of the usual build. There is little to compute in its test, so little is spent on
# building the library and the program once more, and so for the library alone.
CARGO_PROFILE_DEV_OPT_LEVEL=0 run --features parquet --test parquet
