#!/usr/bin/env python3
"""Reads every #include of include/ and src/ and reports those that go against the layers.

    arrows.py [root]        exit 0: all arrows are right; 1: the wrong ones are listed

A layer may include itself and the layers before it. `report` and `io` stand side by side and do not know each other.
A library of others has a few layers it may be seen in, and none of them is a public header. What computes (flight,
decision, study) does not look at files, clocks, dice or the terminal.
"""

import pathlib
import re
import sys
from typing import NamedTuple

RANK = {"base": 0, "earth": 1, "aircraft": 2, "flight": 3, "decision": 4, "study": 5, "report": 6, "io": 6, "cli": 7}

# Start of the path between the angle brackets -> layers whose sources may name it.
LIBRARIES = {
    "CLI/": {"cli"},
    "GeographicLib/": {"earth", "io"},
    "boost/": set(RANK),
    "fmt/": set(RANK),
    "nlohmann/": {"io", "report"},
    "sqlite3.h": {"io"},
    "tbb/": {"base"},
    "yaml-cpp/": {"io"},
    # POSIX
    "fcntl.h": {"io", "cli"},
    "sys/": {"io", "cli"},
    "unistd.h": {"io", "cli"},
}

# Boost.Geometry costs 7 to 9 seconds wherever it is included, so one source hides it from all others.
ONE_SOURCE = "boost/geometry"

PURE = {"flight", "decision", "study"}
IMPURE = {"chrono", "cstdio", "ctime", "filesystem", "fstream", "iostream", "random"}
# Files are touched by io alone; the command line may still pass their names on.
FILES = {"fstream": {"io"}, "filesystem": {"io", "cli"}}

# The headers of C++20 as GCC 12 has them.
STANDARD = set(
    """algorithm any array atomic barrier bit bitset cassert cctype cerrno cfenv cfloat charconv chrono cinttypes
    climits clocale cmath compare complex concepts condition_variable coroutine csetjmp csignal cstdarg cstddef cstdint
    cstdio cstdlib cstring ctime cuchar cwchar cwctype deque exception execution filesystem forward_list fstream
    functional future initializer_list iomanip ios iosfwd iostream istream iterator latch limits list locale map memory
    memory_resource mutex new numbers numeric optional ostream queue random ranges ratio regex scoped_allocator
    semaphore set shared_mutex source_location span sstream stack stdexcept stop_token streambuf string string_view
    syncstream system_error thread tuple type_traits typeindex typeinfo unordered_map unordered_set utility valarray
    variant vector version""".split()
)

INCLUDE = re.compile(r'^\s*#\s*include\s*(?:<([^>]+)>|"([^"]+)")')


class Wrong(NamedTuple):
    file: str
    line: int
    included: str
    why: str

    def __str__(self):
        return f"{self.file}:{self.line}: includes {self.included}: {self.why}"


def layer_of(path):
    """Layer of include/backfield/<layer>/... or src/<layer>/..., or None."""
    parts = pathlib.PurePosixPath(path).parts
    for top in (("include", "backfield"), ("src",)):
        if parts[: len(top)] == top and len(parts) > len(top) + 1 and parts[len(top)] in RANK:
            return parts[len(top)]
    return None


def against_layers(layer, target):
    if target is None:
        return "names no layer"
    if target != layer and RANK[target] >= RANK[layer]:
        return f"{layer} must not know {target}"
    return None


def against_seams(path, layer, name):
    if name in STANDARD:
        if layer in PURE and name in IMPURE:
            return f"{layer} is pure: no files, clock, dice or terminal"
        if layer not in FILES.get(name, set(RANK)):
            return f"files are the business of io, not of {layer}"
        return None
    if path.startswith("include/"):
        return "a public header includes only the standard library and backfield"
    for library, layers in LIBRARIES.items():
        if name.startswith(library):
            return None if layer in layers else f"allowed only in {', '.join(sorted(layers, key=RANK.get))}"
    return "a library without a seam: see LIBRARIES in tests/tools/arrows.py"


def why_wrong(root, path, angled, quoted):
    layer = layer_of(path)
    if layer is None:
        return "the including file lies in no layer"
    name = angled or quoted
    if name.startswith("backfield/"):
        if not (root / "include" / name).is_file():
            return "no such header"
        return against_layers(layer, layer_of("include/" + name))
    if angled:
        return against_seams(path, layer, angled)
    if path.startswith("include/"):
        return "a public header includes only the standard library and backfield"
    # A private header, named from the root or from beside the source.
    for candidate in (root / quoted, (root / path).parent / quoted):
        if candidate.is_file():
            return against_layers(layer, layer_of(candidate.resolve().relative_to(root).as_posix()))
    return "no such header"


def wrong_arrows(root):
    root = pathlib.Path(root).resolve()
    files = sorted(p for top in ("include", "src") for p in (root / top).rglob("*") if p.suffix in (".hpp", ".cpp"))
    wrong = []
    with_geometry = []
    for file in files:
        path = file.relative_to(root).as_posix()
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
            match = INCLUDE.match(line)
            if not match:
                continue
            angled, quoted = match.groups()
            included = f"<{angled}>" if angled else f'"{quoted}"'
            why = why_wrong(root, path, angled, quoted)
            if why:
                wrong.append(Wrong(path, number, included, why))
            elif (angled or "").startswith(ONE_SOURCE):
                with_geometry.append(Wrong(path, number, included, "Boost.Geometry belongs in one source only"))
    if len({arrow.file for arrow in with_geometry}) > 1:
        wrong += with_geometry
    return len(files), wrong


def main():
    root = sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).resolve().parents[2]
    count, wrong = wrong_arrows(root)
    for arrow in wrong:
        print(arrow)
    print(f"{count} files, {len(wrong)} wrong arrows")
    return 1 if wrong or not count else 0


if __name__ == "__main__":
    sys.exit(main())
