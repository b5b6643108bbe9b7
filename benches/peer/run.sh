#!/usr/bin/env bash
# Speed against NumPy, numba, C and SciPy on this machine: bash benches/peer/run.sh
# Prints one table of ratios, one core each, from one run; below it what ours took. All solve the same file of
# windows; the peers are given the cue ball's speed, ours finds it. Needs cc and python3-venv.
set -euo pipefail
cd "$(dirname "$0")/../.."
work=${CARGO_TARGET_DIR:-$PWD/target}/peer
mkdir -p "$work"
if [ ! -x "$work/venv/bin/python" ]; then
  python3 -m venv "$work/venv" 2>/dev/null || {
    echo "python3-venv is missing: apt-get install python3-venv" >&2
    exit 1
  }
fi
"$work/venv/bin/python" -c 'import numba, numpy, scipy' 2>/dev/null ||
  "$work/venv/bin/pip" install -q numpy scipy numba
v3="-std=gnu11 -O3 -march=x86-64-v3"
cc -std=gnu11 -O3 -fno-tree-vectorize benches/peer/windows.c -o "$work/windows-c" -lm
cc $v3 -ffast-math -fopenmp-simd benches/peer/windows.c -o "$work/windows-avx2" -lm
cc $v3 benches/peer/acceptance.c -o "$work/acceptance-c" -lm
PEER_WINDOWS="$work/windows.csv" cargo bench --quiet --bench peer > "$work/ours.csv"
export OMP_NUM_THREADS=1
"$work/venv/bin/python" benches/peer/windows.py "$work/windows.csv" > "$work/windows.out"
"$work/windows-c" "$work/windows.csv" 'Newton in C, `-O3`' >> "$work/windows.out"
"$work/windows-avx2" "$work/windows.csv" "Newton in C four at once with AVX2" >> "$work/windows.out"
"$work/acceptance-c" | sed 's/^acceptance/events in C/' > "$work/acceptance.out"
"$work/venv/bin/python" benches/peer/acceptance.py | sed 's/^acceptance/events of an ODE in SciPy/' >> "$work/acceptance.out"
"$work/venv/bin/python" benches/peer/table.py "$work"
