#!/usr/bin/env bash
# Installs from Debian what is missing, and says nothing when all is there.
#
#   install-packages.sh build            to compile the program
#   install-packages.sh build tests      ... and to run the tests
#   install-packages.sh build tests lint ... and to check format and style
set -euo pipefail

root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"

wanted=()
for purpose in "$@"; do
  case "$purpose" in
    build)
      wanted+=(g++ cmake ninja-build pkg-config libgeographiclib-dev libyaml-cpp-dev nlohmann-json3-dev libfmt-dev
               libsqlite3-dev libtbb-dev libcli11-dev)
      # 150 MB of headers, so only while a source includes one.
      if grep -rqs '^#include <boost/' "$root/src"; then wanted+=(libboost-dev); fi
      ;;
    tests)
      wanted+=(catch2 libbenchmark-dev python3 python3-jsonschema python3-yaml)
      if grep -rqs '^#include <boost/' "$root/tests"; then wanted+=(libboost-dev); fi
      ;;
    lint) wanted+=(clang-format clang-tidy) ;;
    *)
      echo "install-packages.sh: found \"$purpose\", accepted: build, tests, lint" >&2
      exit 2
      ;;
  esac
done

missing=()
for package in "${wanted[@]}"; do
  status="$(dpkg-query --show --showformat='${Status}' "$package" 2>/dev/null || true)"
  if [[ "$status" != "install ok installed" ]]; then missing+=("$package"); fi
done
if ((${#missing[@]} == 0)); then exit 0; fi

echo "installing from Debian: ${missing[*]}"
as_root=()
if ((EUID != 0)); then
  if ! command -v sudo >/dev/null; then
    echo "install-packages.sh: neither root nor sudo; as root: apt-get install ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi
# A machine that is still busy with its own updates holds the lock for a while.
apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=300)
log="$(mktemp)"
trap 'rm -f "$log"' EXIT
if ! { "${apt[@]}" update && "${apt[@]}" install -y --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
  cat "$log" >&2
  exit 1
fi
