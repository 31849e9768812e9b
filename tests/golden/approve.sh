#!/bin/sh
# Rewrites what the golden tests and the test of the traps expect with what the program prints now. Read the diff as
# carefully as code.
# usage: tests/golden/approve.sh [path of the program]
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
program=${1:-$root/build-release/backfield}
export BACKFIELD_SOURCE_DIR="$root" BACKFIELD_CLI="$program"
python3 -B "$root/tests/golden/cases_test.py" --approve
python3 -B "$root/tests/golden/nearby_test.py" --approve
python3 -B "$root/tests/golden/runways_test.py" --approve
python3 -B "$root/tests/cli/traps_test.py" --approve
git -C "$root" diff --stat -- cases tests/golden README.md || true
