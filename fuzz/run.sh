#!/usr/bin/env bash
# Fuzzes one target for so many seconds: api, gear, layout, log_import or quantities.
# Usage: bash fuzz/run.sh gear 1800        Rust as it is, a C++ compiler, and no tool besides.
set -euo pipefail
cd "$(dirname "$0")"
target=$1 seconds=${2:-600}
# What libFuzzer is led by: which edges are taken, and what is compared with what.
export RUSTFLAGS="--cfg fuzzing -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares"
host=$(rustc -vV | sed -n 's/^host: //p')
# With a target named, scripts and macros of the build are left alone.
cargo build --quiet --locked --release --target "$host" --bins
mkdir -p "corpus/$target" "artifacts/$target"
exec "${CARGO_TARGET_DIR:-target}/$host/release/$target" "corpus/$target" "../tests/corpus/$target" \
  -artifact_prefix="artifacts/$target/" -max_total_time="$seconds" -timeout=60 \
  -entropic_scale_per_exec_time=1 -print_final_stats=1
