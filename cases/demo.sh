#!/usr/bin/env bash
# Builds the program, without its tests, and briefs the demonstration case. The case is invented.
#
# Works from any directory, on Debian 12 as root or with sudo. Missing packages are installed first.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

tests/tools/install-packages.sh build

if command -v ccache >/dev/null; then export CMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
log="$(mktemp)"
trap 'rm -f "$log"' EXIT
# A tree configured for the tests is used as it is; they need packages that the program does not.
if ! {
  { [[ -f build-release/build.ninja ]] || cmake --preset release -DBUILD_TESTING=OFF; } &&
    cmake --build build-release -j "$(nproc)" --target backfield_cli
} >"$log" 2>&1; then
  cat "$log" >&2
  exit 1
fi

build-release/backfield brief cases/demo/case.yaml
