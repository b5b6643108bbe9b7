#!/usr/bin/env bash
# Growth: time and memory for 10^4 to 10^WINDOWS windows, and for tables of 10^4 to 10^ROWS rows of both
# kinds, ten columns each: rows that share acceptances, and (to a tenth of ROWS) rows that share none.
# Usage: bash benches/growth.sh [WINDOWS [ROWS]]   Default 8 and 7, minutes. Needs GNU time: apt-get install time
set -euo pipefail
cd "$(dirname "$0")/.."
[ -x /usr/bin/time ] || { echo "GNU time is missing: apt-get install time" >&2; exit 1; }
most_windows=${1:-8}
most_rows=${2:-7}
target=${CARGO_TARGET_DIR:-$PWD/target}
work=$target/growth
mkdir -p "$work"
windows=$(cargo bench --bench growth --no-run 2>&1 | sed -n 's/.*Executable.*(\([^)]*\)).*/\1/p')
cargo build --release --quiet
columns=aim_deg,cut_deg,throw_deg,cue_speed_m_s,cue_travel_mm,clean_thick_deg,clean_thin_deg,direct_total_deg,drop_total_deg,drop_thick_contact_mm

# Runs a command and prints a row: what, seconds, µs each by the clock and of the processor, memory.
measured() {
  local count=$1 what=$2
  shift 2
  /usr/bin/time -f '%e %U %S %M' -o "$work/time" "$@" > /dev/null
  awk -v n="$count" -v what="$what" '{
    printf "| %s | %.2f s | %.2f µs | %.2f µs | %.0f MB |\n", what, $1, $1 / n * 1e6, ($2 + $3) / n * 1e6, $4 / 1024
  }' "$work/time"
}

# Rows with cuts, distances and places of the object ball, which share acceptances.
sharing() {
  awk -v rows="$1" 'BEGIN {
    print "cut,apart,to-pocket,approach"
    for (n = 0; n < rows; n++)
      printf "%.1fdeg,%dmm,%dmm,%ddeg\n", n % 600 / 10, 300 + n % 997, 400 + 20 * (n % 50), n % 21
  }'
}

# The same with a place of the object ball for each.
different() {
  awk -v rows="$1" 'BEGIN {
    print "cut,apart,to-pocket,approach"
    for (n = 0; n < rows; n++) {
      far = n * 0.618034; off = n * 0.324718
      printf "%.1fdeg,%dmm,%.4fmm,%.5fdeg\n", n % 600 / 10, 300 + n % 997, 400 + 1000 * (far - int(far)), 20 * (off - int(off))
    }
  }'
}

# Tables of one kind of rows.
tables() {
  local kind=$1 what=$2 most=$3
  for power in $(seq 4 "$most"); do
    "$kind" "$((10 ** power))" > "$work/shots.csv"
    measured "$((10 ** power))" "10^$power rows, $what" \
      "$target/release/thincut" batch "$work/shots.csv" --columns "$columns"
  done
}

echo "| work | time | each, by the clock | each, of the processor | memory |"
echo "|---|---|---|---|---|"
for power in $(seq 4 "$most_windows"); do
  measured "$((10 ** power))" "10^$power windows" "$windows" "$power"
done
tables sharing "shared acceptances" "$most_rows"
tables different "all different" "$((most_rows - 1))"
rm -f "$work/shots.csv" "$work/time"
