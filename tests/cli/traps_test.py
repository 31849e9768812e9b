#!/usr/bin/env python3
"""The traps of cases/traps: what the program says to each, byte for byte, and that it objects to the trap alone.

A refusal has one finding, which names file, line and column of what was typed, and leaves neither a brief nor a JSON
file. With what was meant in the place of what was typed the program gives a brief. `--approve` rewrites what is
expected; read the diff as carefully as code.
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
TRAPS = pathlib.Path("cases/traps")

# For each trap: the file it is in, what was typed, what was meant, and what the answer must name. (36 C was meant; the
# other value is the end of the table, up to which the program answers.)
REFUSED = {
    "qnh-in-inches": ("qnh-in-inches.yaml", "29.92 hPa", "29.92 inHg", ("hPa", "inHg")),
    "hotter-than-the-table": ("hotter-than-the-table.yaml", "36 C", "30 C", ("temperature", "36 C", "ends at 30 C")),
    "wind-without-north": ("wind-without-north.yaml", "260 deg 12 kt", "260 deg magnetic 12 kt", ("true", "magnetic")),
    "runway-backwards": ("runway-backwards-field.yaml", "270 deg magnetic", "090 deg magnetic", ("09", "270")),
    "toda-below-tora": ("toda-below-tora-field.yaml", "1200 m\n        toda: 1000 m", "1000 m\n        toda: 1200 m",
                        ("toda", "1000 m", "1200 m")),
    "pounds-as-kilograms": ("pounds-as-kilograms.yaml", "2400 kg", "2400 lb", ("2400 kg", "1100 kg", "pounds")),
    "feet-as-metres": ("feet-as-metres-field.yaml", "3000 m", "3000 ft", ("3000 m", "914 m", "feet")),
}
LDA = "reciprocal-without-lda"
LDA_STATED = (LDA + "-field.yaml", "threshold: 200 m\n", "threshold: 200 m\n        lda: 1000 m\n")

failures = 0


def check(name, holds, text):
    global failures
    if not holds:
        failures += 1
        print(f"FAILED {name}: {text}")


def brief(name, root=ROOT):
    """Exit code, standard output, standard error, and the JSON or None; paths are as seen from `root`."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "brief.json"
        done = subprocess.run([PROGRAM, "brief", str(TRAPS / (name + ".yaml")), "--json", str(out)], cwd=root,
                              capture_output=True, text=True, timeout=120, check=False)
        left = sorted(path.name for path in pathlib.Path(folder).iterdir())
        check(name, left in ([], ["brief.json"]), f"left {left} behind")
        return done.returncode, done.stdout, done.stderr, json.loads(out.read_text(encoding="utf-8")) if left else None


def brief_as_meant(name, file, typed, meant):
    """The same with `meant` in the place of `typed`, in a copy of the folder."""
    with tempfile.TemporaryDirectory() as folder:
        root = pathlib.Path(folder)
        for part in (TRAPS, pathlib.Path("aircraft")):
            shutil.copytree(ROOT / part, root / part)
        path = root / TRAPS / file
        text = path.read_text(encoding="utf-8")
        check(name, typed in text, f"{file} does not have {typed!r}")
        path.write_text(text.replace(typed, meant), encoding="utf-8")
        return brief(name, root)


def check_refusal(name, file, typed, meant, named):
    code, text, message, data = brief(name)
    check(name, code == 2, f"exit {code}")
    check(name, text == "" and data is None, "a brief all the same")
    places = re.findall(r"^(\S+):(\d+):(\d+): (?!warning)", message, re.MULTILINE)
    if len(places) != 1 or len(re.findall(r"^\S+:.* found ", message, re.MULTILINE)) != 1:
        check(name, False, f"not one finding with file, line and column:\n{message}")
    else:
        where, line, column = places[0]
        check(name, where == str(TRAPS / file), f"the trap is in {file}")
        at = (ROOT / where).read_text(encoding="utf-8").splitlines()[int(line) - 1][int(column) - 1:]
        check(name, at == typed.rsplit(": ", maxsplit=1)[-1], f"the place named is that of {at!r}")
    for word in named:
        check(name, word in message, f"the message does not name {word}")
    code, text, trouble, data = brief_as_meant(name, file, typed, meant)
    check(name, code == 0 and text != "" and data is not None, f"refused as meant, too:\n{trouble}")
    return message


def briefed(data, runway):
    """Everything in the answer that could send somebody to this runway end."""
    return ([w for w in data["briefed_windows"] + data["windows"] if w["runway"] == runway] +
            [g for g in data["gates"] if g["action"].endswith("land runway " + runway)])


def check_lda(name):
    code, text, message, data = brief(name)
    check(name, code == 0 and message == "" and data is not None, f"exit {code}\n{message}")
    if data is None:
        return message
    end, = [option for option in data["options"] if option["runway"] == "09"]
    check(name, end["reciprocal"] and end["lda_m"] is None, f"LDA {end['lda_m']} m, which nobody has stated")
    check(name, end["reasons"] == ["not briefed: LDA not stated"], f"reasons {end['reasons']}")
    check(name, end["not_assessed"] == "LDA not stated" and end["sides"] == [] and end["landings"] == [], "assessed")
    check(name, briefed(data, "09") == [], "briefed")
    check(name, "ZZTA 09: not assessed, LDA not stated" in text.split("\f")[0], "page one does not say so")
    _, _, trouble, data = brief_as_meant(name, *LDA_STATED)
    check(name, data is not None and any(w["runway"] == "09" for w in data["briefed_windows"]),
          f"with its LDA the end is not briefed either:\n{trouble}")
    return text


def main():
    approve = "--approve" in sys.argv[1:]
    names = {path.stem for path in (ROOT / TRAPS).glob("*.yaml")
             if path.read_text(encoding="utf-8").startswith("backfield: case/1")}
    check("cases/traps", names == {LDA, *REFUSED}, f"it has {sorted(names)}")
    said = {name: check_refusal(name, *trap) for name, trap in REFUSED.items()}
    said[LDA] = check_lda(LDA)
    for name, text in said.items():
        golden = ROOT / TRAPS / "expected" / (name + ".txt")
        if approve:
            golden.parent.mkdir(exist_ok=True)
            golden.write_text(text, encoding="utf-8")
        elif not golden.exists():
            check(name, False, "nothing is expected yet; run tests/golden/approve.sh and read what it writes")
        else:
            check(name, text == golden.read_text(encoding="utf-8"), f"differs from {golden.relative_to(ROOT)}")
    expected = {path.name for path in (ROOT / TRAPS / "expected").iterdir()}
    check("cases/traps", expected == {name + ".txt" for name in said}, f"expected/ has {sorted(expected)}")
    print(f"{len(names)} traps, {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
