#!/usr/bin/env python3
"""What `backfield nearby` prints, byte for byte. `--approve` rewrites what is expected; read the diff as code."""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
EXPECTED = ROOT / "tests/golden/nearby"
WRITTEN = 1771200000            # 2026-02-16, the day the CSV files get; the shipped extract has the same
ASKED = WRITTEN + 40 * 86400

QUESTIONS = {
    "antimeridian": ["17.5 S, 180 E", "--catalogue", "catalogue"],
    "pole": ["90 S, 0 E", "--catalogue", "catalogue", "--within", "1 NM"],
    "own-file": ["ZZDA", "--catalogue", "catalogue", "--aerodrome", "home.yaml", "--within", "5 km"],
    "europe": ["EDQA", "--within", "12 NM"],
    "pacific": ["NFFN", "--within", "60 NM"],
    "none": ["10.91 N, 49.92 E", "--within", "15 NM"],
}


def answers():
    environment = dict(os.environ, SOURCE_DATE_EPOCH=str(ASKED))
    with tempfile.TemporaryDirectory() as folder:
        here = pathlib.Path(folder)
        shutil.copytree(ROOT / "tests/data/catalogue", here / "catalogue")
        shutil.copy(ROOT / "tests/data/good/home.yaml", here)
        for path in here.glob("catalogue/*"):
            os.utime(path, (WRITTEN, WRITTEN))
        for name, arguments in QUESTIONS.items():
            done = subprocess.run([PROGRAM, "nearby", *arguments], cwd=here, env=environment, capture_output=True,
                                  text=True, timeout=60, check=False)
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
    print(f"{len(QUESTIONS)} questions, {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
