#!/usr/bin/env python3
"""What `backfield runways` prints, byte for byte. `--approve` rewrites what is expected; read the diff as code."""
import os
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
EXPECTED = ROOT / "tests/golden/runways"
CASES = ["demo"]


def answers():
    for name in CASES:
        done = subprocess.run([PROGRAM, "runways", f"cases/{name}/case.yaml"], cwd=ROOT, capture_output=True, text=True,
                              timeout=120, check=False)
        if done.returncode != 0:
            raise SystemExit(f"{name}: exit {done.returncode}\n{done.stderr}")
        yield name, done.stdout


def main():
    approve = "--approve" in sys.argv[1:]
    failures = 0
    for name, found in answers():
        path = EXPECTED / (name + ".txt")
        if approve:
            EXPECTED.mkdir(exist_ok=True)
            path.write_text(found, encoding="utf-8")
        elif not path.exists() or path.read_text(encoding="utf-8") != found:
            failures += 1
            print(f"{path.relative_to(ROOT)}: differs; found:\n{found}")
    print(f"{len(CASES)} cases, {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
