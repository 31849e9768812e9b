#!/usr/bin/env python3
"""What `backfield nearby` prints, byte for byte."""
import os
import pathlib
import shutil
import sys
import tempfile

from printed import ROOT, compare, printed

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
            yield name, printed(name, "nearby", *arguments, cwd=here, env=environment)


if __name__ == "__main__":
    sys.exit(compare("nearby", answers()))
