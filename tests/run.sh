#!/usr/bin/env bash
# Builds backfield and runs its tests.
#
#   tests/run.sh        release build, all tests
#   tests/run.sh all    also: format, clang-tidy, and the unit and law tests under the address and undefined-behaviour
#                       sanitizers; the release tests come last
#
# Works from any directory, on Debian 12 as root or with sudo. Missing packages are installed first.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

what="${1:-}"
if (($# > 1)) || [[ "$what" != "" && "$what" != all ]]; then
  echo "usage: tests/run.sh [all]" >&2
  exit 2
fi

step() { printf '\n== %s (after %d s)\n' "$1" "$SECONDS"; }

configure() {
  # The interpreter the packages of python3-* belong to, should there be others.
  cmake --preset "$1" -DPython3_EXECUTABLE=/usr/bin/python3 >"$configure_log" 2>&1 || {
    cat "$configure_log" >&2
    return 1
  }
}

configure_log="$(mktemp)"
trap 'rm -f "$configure_log"' EXIT
if command -v ccache >/dev/null; then export CMAKE_CXX_COMPILER_LAUNCHER=ccache; fi
jobs="$(nproc)"

tests/tools/install-packages.sh build tests ${what:+lint}

step "release build"
configure release
cmake --build build-release -j "$jobs"

# A check that fails does not keep the others from being run; the verdict comes at the end.
failed=()
if [[ "$what" == all ]]; then
  step "format"
  find include src tests \( -name '*.hpp' -o -name '*.cpp' \) -print0 | xargs -0 clang-format --dry-run -Werror ||
    failed+=(format)

  step "clang-tidy"
  configure tidy
  cmake --build --preset tidy || failed+=(clang-tidy)

  step "unit and law tests under sanitizers"
  configure dev
  { cmake --build build-sanitized -j "$jobs" --target unit laws &&
    ctest --test-dir build-sanitized --output-on-failure --no-tests=error -j "$jobs" -L '^(unit|laws)$'; } ||
    failed+=(sanitizers)
fi

step "release tests"
ctest --test-dir build-release --output-on-failure --no-tests=error -j "$jobs" || failed+=(tests)

if ((${#failed[@]} > 0)); then
  echo "failed: ${failed[*]}" >&2
  exit 1
fi
