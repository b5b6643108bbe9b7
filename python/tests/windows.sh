#!/usr/bin/env bash
# Writes windows.csv anew: what the Rust program gives for the shots of shots.csv.
# Usage: bash python/tests/windows.sh        from anywhere in the repository, with cargo
set -euo pipefail
cd "$(dirname "$0")"
cargo run --quiet --manifest-path ../../Cargo.toml -- batch shots.csv --level club |
  python3 -c '
import csv, sys
parts = [f"{part}_{side}_deg" for part in ("clean", "direct", "drop") for side in ("thick", "thin")]
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["pocket", "cut_deg", "apart_m", "to_pocket_m", "approach_deg", "pace_m_s", "roll", "throw_deg", *parts, "club"])
for row in csv.DictReader(sys.stdin):
    assert row["status"] == "ok", row
    bare = [row[name].lstrip(chr(39)).rstrip("degm/s") for name in ("cut", "cue-to-object", "to-pocket", "approach", "pace")]
    roll = {"": "", "roll": "1", "stun": "0"}[row["arrives"]]
    out.writerow([row["kind"], *bare, roll, row["throw_deg"], *(row[name] for name in parts), row["chance"]])
' >windows.csv
