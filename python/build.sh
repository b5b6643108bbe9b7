#!/usr/bin/env bash
# Builds the wheel, installs it into a fresh environment, and runs its tests, its types and its example there.
# Usage: bash python/build.sh [FOLDER FOR THE WHEEL]        Needs Rust, Python with venv, and PyPI.
set -euo pipefail
cd "$(dirname "$0")"
out=$(realpath -m "${1:-target/wheels}")
fresh=$(mktemp -d)
trap 'rm -rf "$fresh"' EXIT
python3 -m venv "$fresh/build"
"$fresh/build/bin/pip" install --quiet 'maturin>=1.7,<2'
"$fresh/build/bin/maturin" build --release --quiet --out "$out"
python3 -m venv "$fresh/use"
"$fresh/use/bin/pip" install --quiet "$(ls -t "$out"/thincut-*.whl | head -1)" dask mypy pytest
here=$PWD
cd "$fresh" # the sources here would be found before the wheel
"$fresh/use/bin/python" -m pytest -q "$here/tests"
"$fresh/use/bin/python" -m mypy.stubtest thincut
"$fresh/use/bin/python" "$here/examples/dask_rows.py" "${THINCUT_ROWS:-1000000}"
