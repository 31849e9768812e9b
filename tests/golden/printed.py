"""Compares what a command prints, byte for byte; for the golden tests of this folder."""
import os
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]


def printed(name, *arguments, cwd=ROOT, env=None):
    """What the program prints; ends the test where it fails."""
    done = subprocess.run([PROGRAM, *arguments], cwd=cwd, env=env, capture_output=True, text=True, timeout=120,
                          check=False)
    if done.returncode != 0:
        raise SystemExit(f"{name}: exit {done.returncode}\n{done.stderr}")
    return done.stdout


def compare(folder, answers):
    """answers: names and what was printed. `--approve` rewrites what is expected; read the diff as code."""
    approve = "--approve" in sys.argv[1:]
    asked = failures = 0
    for name, found in answers:
        asked += 1
        path = ROOT / "tests/golden" / folder / (name + ".txt")
        if approve:
            path.parent.mkdir(exist_ok=True)
            path.write_text(found, encoding="utf-8")
        elif not path.exists() or path.read_text(encoding="utf-8") != found:
            failures += 1
            print(f"{path.relative_to(ROOT)}: differs; found:\n{found}")
    print(f"{asked} asked, {failures} failures")
    return 1 if failures or not asked else 0
