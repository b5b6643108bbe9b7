#!/usr/bin/env bash
# Growth: time and memory for 10^4 to 10^MAX windows, and for tables of up to 10^(MAX-2) rows.
# Usage: bash benches/growth.sh [MAX]      Default 8, minutes. Needs GNU time: apt-get install time
set -euo pipefail
cd "$(dirname "$0")/.."
[ -x /usr/bin/time ] || { echo "GNU time is missing: apt-get install time" >&2; exit 1; }
most=${1:-8}
work=target/growth
mkdir -p "$work"
windows=$(cargo bench --bench growth --no-run 2>&1 | sed -n 's/.*(\(target[^)]*\)).*/\1/p')
cargo build --release --quiet

# Runs a command and prints a row: what, seconds, µs each, memory.
measured() {
  local count=$1 what=$2
  shift 2
  /usr/bin/time -f '%e %U %M' -o "$work/time" "$@" > "$work/out"
  awk -v n="$count" -v what="$what" '{
    printf "| %s | %.2f s | %.2f µs | %.0f MB |\n", what, $1, $2 / n * 1e6, $3 / 1024
  }' "$work/time"
}

# Rows with cuts, distances and places of the object ball, which share acceptances.
table() {
  awk -v rows="$1" 'BEGIN {
    print "cut,apart,to-pocket,approach"
    for (n = 0; n < rows; n++)
      printf "%.1fdeg,%dmm,%dmm,%ddeg\n", n % 600 / 10, 300 + n % 997, 400 + 20 * (n % 50), n % 21
  }'
}

echo "| work | time | processor time each | memory |"
echo "|---|---|---|---|"
for power in $(seq 4 "$most"); do
  measured "$((10 ** power))" "10^$power windows" "$windows" "$power"
done
for power in $(seq 4 $((most - 2))); do
  table "$((10 ** power))" > "$work/shots.csv"
  measured "$((10 ** power))" "10^$power rows through \`batch\`" \
    target/release/thincut batch "$work/shots.csv" --level club
done
