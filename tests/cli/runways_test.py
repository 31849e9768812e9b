"""`backfield runways` as a shell sees it: exit codes, messages, and JSON that its schema accepts."""

import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

import jsonschema

from answers import checked

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
SCHEMA = json.loads((ROOT / "src/io/schema/runways.schema.json").read_text(encoding="utf-8"))
DEMO = ROOT / "cases/demo"


def run(*arguments):
    return subprocess.run([PROGRAM, "runways", *map(str, arguments)], cwd=ROOT, capture_output=True, text=True,
                          timeout=120, check=False)


class Runways(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name) / "cases" / "demo"
        shutil.copytree(DEMO, self.folder)
        shutil.copytree(ROOT / "aircraft", self.folder.parent.parent / "aircraft")
        self.case = self.folder / "case.yaml"

    def change(self, name, old, new):
        path = self.folder / name
        text = path.read_text(encoding="utf-8")
        self.assertIn(old, text)
        path.write_text(text.replace(old, new), encoding="utf-8")

    def answer(self, *arguments, code=0):
        path = self.folder / "out.json"
        done = run(self.case, "--json", path, *arguments)
        self.assertEqual(done.returncode, code, done.stderr)
        content = checked(self, done.stdout, path, SCHEMA)
        self.assertIn("INVENTED DATA", done.stdout)
        return content, done

    def refused(self, code, *arguments):
        done = run(*arguments)
        self.assertEqual((done.returncode, done.stdout), (code, ""), done.stderr)
        return done.stderr

    def test_the_schema_is_one(self):
        jsonschema.Draft202012Validator.check_schema(SCHEMA)

    def test_every_end_and_intersection_is_a_row(self):
        content, _ = self.answer()
        self.assertEqual(sorted((r["runway"], r["from"], r["start_m"]) for r in content["rows"]),
                         [("09", "B", 1300), ("09", "C", 800), ("09", "full length", 0),
                          ("27", "B", 500), ("27", "C", 1000), ("27", "full length", 0)])
        self.assertEqual([r["as_stated"] for r in content["rows"]].count(True), 1)

    def test_the_downwind_end_is_not_chosen(self):
        self.change("case.yaml", "25011KT", "27020KT")
        content, done = self.answer()
        self.assertEqual(content["chosen"]["runway"], "27")
        for row in content["rows"]:
            self.assertEqual("tailwind" in row["fails"], row["runway"] == "09" and row["not_assessed"] is None)
        self.assertIn("NOT CHOSEN", done.stdout)

    def test_none_is_an_answer_and_three_only_when_asked(self):
        self.change("case.yaml", "25011KT", "18040KT")  # more crosswind than the aircraft file has
        content, done = self.answer()
        self.assertIsNone(content["chosen"])
        self.assertIn("NONE TODAY", done.stdout)
        self.assertIn("meets what must hold", self.answer("--require-one", code=3)[1].stderr)

    def test_a_stated_runway_that_is_too_short_is_a_row(self):
        self.change("case.yaml", "from: full length", "from: 1700 m")
        self.assertEqual(subprocess.run([PROGRAM, "brief", self.case], capture_output=True, timeout=60,
                                        check=False).returncode, 2)
        content, _ = self.answer()
        stated = next(r for r in content["rows"] if r["as_stated"])
        self.assertIn("the roll takes", stated["not_assessed"])
        self.assertIsNone(stated["gap_s"])
        self.assertEqual(content["rows"][-1], stated)
        self.assertIsNotNone(content["chosen"])

    def test_a_policy_without_an_order_is_refused_by_name(self):
        text = (ROOT / "cases/policy/plain.yaml").read_text(encoding="utf-8")
        (self.folder / "own.yaml").write_text(re.sub(r"(?m)^runway_choice:.*\n", "", text), encoding="utf-8")
        self.change("case.yaml", "policy: default", "policy: own.yaml")
        self.assertIn("runway_choice", self.refused(2, self.case))

    def test_bad_input_and_files(self):
        self.assertIn("runway", self.refused(2, ROOT / "tests/data/bad/form/case_key_misspelt.yaml"))
        self.refused(74, self.folder / "absent.yaml")
        self.assertIn("names the case itself", self.refused(2, self.case, "--json", self.case))
        self.refused(74, self.case, "--json", self.folder / "no" / "such" / "folder.json")
        self.assertEqual(run().returncode, 2)

    def test_warnings_count_when_asked(self):
        self.change("case.yaml", "mass: 980 kg", "mass: 1090 kg")
        content, done = self.answer()
        self.assertGreater(len(content["warnings"]), 0)
        self.assertIn("WARNING", done.stdout)
        self.assertIn("warning", self.refused(2, self.case, "--strict"))


if __name__ == "__main__":
    unittest.main()
