#!/usr/bin/env bash
# Speed against NumPy, SciPy, numba and C on this machine: bash benches/peer/run.sh
# Prints a table of work, ours on one core, ours on all cores, the peer, and the ratio. All solve the same
# file of windows; the peers are given the cue ball's speed, ours finds it.
set -euo pipefail
cd "$(dirname "$0")/../.."
work=target/peer
mkdir -p "$work"
if [ ! -x "$work/venv/bin/python" ]; then
  python3 -m venv "$work/venv" 2>/dev/null || {
    echo "python3-venv is missing: apt-get install python3-venv" >&2
    exit 1
  }
  "$work/venv/bin/pip" install -q numpy scipy numba
fi
cc -std=gnu11 -O3 -fno-tree-vectorize benches/peer/windows.c -o "$work/windows-c" -lm
cc -std=gnu11 -O3 -march=x86-64-v3 -ffast-math -fopenmp-simd benches/peer/windows.c -o "$work/windows-avx2" -lm
PEER_WINDOWS="$PWD/$work/windows.csv" cargo bench --quiet --bench peer > "$work/ours.csv"
export OMP_NUM_THREADS=1
"$work/venv/bin/python" benches/peer/windows.py "$work/windows.csv" > "$work/windows.out"
"$work/windows-c" "$work/windows.csv" "Newton in C" >> "$work/windows.out"
"$work/windows-avx2" "$work/windows.csv" "Newton in C four at once with AVX2" >> "$work/windows.out"
"$work/venv/bin/python" benches/peer/acceptance.py > "$work/acceptance.out"
"$work/venv/bin/python" - "$work" <<'PY'
import csv, sys
work = sys.argv[1]
ours = {r[0]: r[1:] for r in csv.reader(open(f"{work}/ours.csv"))}
one, every = float(ours["ours-one-core"][1]), float(ours["ours-all-cores"][1])
def ratio(x):
    return f"{x:.1f}" if x < 10 else f"{float(f'{x:.2g}'):,.0f}"
print("| work | ours, one core | ours, all cores | peer | ratio to one core |")
print("|---|---|---|---|---|")
for name, _, micros, worst in csv.reader(open(f"{work}/windows.out")):
    print(f"| one aim window, {name} (agrees to {float(worst):.0e} rad) | {one:.2f} µs | {every:.2f} µs | {float(micros):.1f} µs | {ratio(float(micros) / one)} |")
_, seconds, clean, jaw = next(csv.reader(open(f"{work}/acceptance.out")))
mine = float(ours["ours-acceptance"][0])
print(f"| one acceptance, event-driven ODE in SciPy ({clean}°, {jaw}°) | {mine * 1e6:.0f} µs | | {float(seconds):.1f} s | {ratio(float(seconds) / mine)} |")
PY
