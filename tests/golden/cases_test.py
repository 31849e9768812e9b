#!/usr/bin/env python3
"""Every case of the tree against its expected brief (byte for byte) and its expected JSON (numbers with a tolerance).

A change of wording moves the text alone; a change of physics moves the numbers too. `--approve` rewrites what is expected,
and the example in README.md; read the diff as carefully as code.
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
TOLERANCE = 0.5          # in the unit of the number: half a foot, half a second; printed figures are coarser
PAGE = (66, 80)
BEGIN, END = "<!-- demo:begin -->", "<!-- demo:end -->"


def cases():
    for path in sorted(ROOT.glob("cases/*/*.yaml")):
        if path.parent.name == "traps":
            continue  # tests/cli has those: most of them are refused
        text = path.read_text(encoding="utf-8")
        if text.startswith("backfield: case/1"):
            yield path


def run(case):
    """The brief and the JSON of one case, with paths as seen from the root of the tree."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "brief.json"
        done = subprocess.run([PROGRAM, "brief", str(case.relative_to(ROOT)), "--json", str(out)], cwd=ROOT,
                              capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise SystemExit(f"{case}: exit {done.returncode}\n{done.stderr}")
        return done.stdout, json.loads(out.read_text(encoding="utf-8"))


def differences(found, expected, where=""):
    if isinstance(expected, dict) and isinstance(found, dict):
        for key in sorted(set(found) | set(expected)):
            if key not in found or key not in expected:
                yield f"{where}.{key}: only in one of them"
            else:
                yield from differences(found[key], expected[key], f"{where}.{key}")
    elif isinstance(expected, list) and isinstance(found, list):
        if len(found) != len(expected):
            yield f"{where}: {len(found)} items, expected {len(expected)}"
        for i, (a, b) in enumerate(zip(found, expected)):
            yield from differences(a, b, f"{where}[{i}]")
    elif isinstance(expected, (int, float)) and not isinstance(expected, bool) and isinstance(found, (int, float)):
        if not math.isclose(found, expected, rel_tol=0, abs_tol=TOLERANCE):
            yield f"{where}: {found}, expected {expected}"
    elif found != expected:
        yield f"{where}: {found!r}, expected {expected!r}"


def first_page(text):
    """Page one: up to the line that names the continuation."""
    lines = text.split("\n")
    for i, line in enumerate(lines):
        if line.lstrip("\f").startswith("page 2 of "):
            return [row.rstrip("\f") for row in lines[:i]]
    return lines


def readme(text):
    """README.md with the demo's first page between the markers; None while there are no markers."""
    path = ROOT / "README.md"
    before = path.read_text(encoding="utf-8")
    if BEGIN not in before or END not in before:
        return None, before
    page = "\n".join(first_page(text)).rstrip("\n\f")
    head, rest = before.split(BEGIN, 1)
    tail = rest.split(END, 1)[1]
    return f"{head}{BEGIN}\n```\n{page}\n```\n{END}{tail}", before


def main():
    approve = "--approve" in sys.argv[1:]
    failures = 0
    count = 0

    def fail(text):
        nonlocal failures
        failures += 1
        print("FAILED " + text)

    for case in cases():
        count += 1
        text, data = run(case)
        name = str(case.relative_to(ROOT))
        folder = case.parent / "expected"
        golden_text, golden_data = folder / f"{case.stem}.txt", folder / f"{case.stem}.json"
        rows = first_page(text)
        if len(rows) > PAGE[0] or max(map(len, rows)) > PAGE[1]:
            fail(f"{name}: page one is {len(rows)} lines of up to {max(map(len, rows))} columns")
        if approve:
            folder.mkdir(exist_ok=True)
            golden_text.write_text(text, encoding="utf-8")
            golden_data.write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
        else:
            if not golden_text.exists() or not golden_data.exists():
                fail(f"{name}: nothing is expected yet; run tests/golden/approve.sh and read what it writes")
                continue
            for line in list(differences(data, json.loads(golden_data.read_text(encoding="utf-8"))))[:10]:
                fail(f"{name}: number {line}")
            if text != golden_text.read_text(encoding="utf-8"):
                fail(f"{name}: text differs from {golden_text.relative_to(ROOT)}")
        if case.parent.name == "demo":
            again, _ = run(case)
            if again != text:
                fail(f"{name}: two runs, two texts")
            wanted, stands = readme(text)
            if wanted is None:
                fail("README.md has no place for the demo brief")
            elif approve:
                (ROOT / "README.md").write_text(wanted, encoding="utf-8")
            elif wanted != stands:
                fail("README.md does not show what the demo prints")
    if count < 6:
        fail(f"only {count} cases found")
    print(f"{count} cases, {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
