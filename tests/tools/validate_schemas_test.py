"""The JSON Schemas against the files they describe.

Every shipped file and every good test file has to pass; so has every file in tests/data/bad/sense, whose form is right
and whose figures contradict each other or the day; every file in tests/data/bad/form has to fail. Of the traps in
cases/traps one is of form, the others are of sense.

YAML is read by the rules of YAML 1.2 (core schema), as editors that use the schemas do: there `yes` is a text and `09`
an integer.
"""

import json
import os
import pathlib
import re
import unittest

import jsonschema
import yaml

ROOT = pathlib.Path(os.environ.get("BACKFIELD_SOURCE_DIR", pathlib.Path(__file__).resolve().parents[2]))
KINDS = ("case", "aircraft", "aerodrome", "policy")
TRAP_OF_FORM = "cases/traps/wind-without-north.yaml"


class CoreLoader(yaml.BaseLoader):
    """BaseLoader takes every scalar for a text; these are the only other types of the core schema."""


for tag, pattern, first in (
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", list("tTfF")),
    ("int", r"^[-+]?[0-9]+$", list("-+0123456789")),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", list("-+.0123456789")),
):
    CoreLoader.add_implicit_resolver("tag:yaml.org,2002:" + tag, re.compile(pattern), first)
CoreLoader.add_constructor("tag:yaml.org,2002:null", lambda loader, node: None)
CoreLoader.add_constructor("tag:yaml.org,2002:bool", lambda loader, node: node.value.lower() == "true")
CoreLoader.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(node.value))
CoreLoader.add_constructor("tag:yaml.org,2002:float", lambda loader, node: float(node.value))


def schema(kind):
    return json.loads((ROOT / "src/io/schema" / (kind + ".schema.json")).read_text(encoding="utf-8"))


def kind_of(path):
    """The kind by the first line, or by the file's name where that line is the one at fault."""
    match = re.search(r"^backfield: (\w+)/1$", path.read_text(encoding="utf-8"), re.MULTILINE)
    return match.group(1) if match and match.group(1) in KINDS else path.stem.split("_")[0]


def errors(path):
    with open(path, encoding="utf-8") as file:
        content = yaml.load(file, CoreLoader)
    validator = jsonschema.Draft202012Validator(schema(kind_of(path)))
    return [e.json_path + ": " + e.message for e in validator.iter_errors(content)]


def files(*patterns):
    return sorted(path for pattern in patterns for path in ROOT.glob(pattern))


class Schemas(unittest.TestCase):
    def test_each_is_a_schema_of_draft_2020_12(self):
        for kind in KINDS:
            with self.subTest(kind=kind):
                jsonschema.Draft202012Validator.check_schema(schema(kind))

    def test_good_files_pass(self):
        good = files("aircraft/*.yaml", "cases/policy/*.yaml", "cases/*/*.yaml", "tests/data/good/*.yaml",
                     "tests/data/bad/sense/*.yaml")
        self.assertGreater(len(good), 20)
        for path in good:
            if path == ROOT / TRAP_OF_FORM:
                continue
            with self.subTest(file=str(path.relative_to(ROOT))):
                self.assertEqual(errors(path), [])

    def test_ground_files(self):
        validator = jsonschema.Draft202012Validator(schema("ground"))
        jsonschema.Draft202012Validator.check_schema(schema("ground"))
        for path in files("cases/*/*.geojson", "tests/data/good/*.geojson"):
            with self.subTest(file=path.name):
                self.assertEqual([e.message for e in validator.iter_errors(json.loads(path.read_text()))], [])
        # Right in form: what is wrong with these is their geometry, or that of the aerodrome. Not JSON: the last two.
        of_sense = {"crosses_itself", "swapped", "far_away", "antimeridian", "longer_than_outline", "name_twice",
                    "hole_outside", "over_the_runway", "other_datum", "unclosed", "cut_off", "not_json"}
        bad = files("tests/data/bad/ground/*.geojson")
        self.assertGreater(len(bad), len(of_sense))
        for path in bad:
            if path.stem not in of_sense:
                with self.subTest(file=path.name):
                    self.assertFalse(validator.is_valid(json.loads(path.read_text())))

    def test_files_of_bad_form_fail(self):
        bad = files("tests/data/bad/form/*.yaml", TRAP_OF_FORM)
        self.assertGreater(len(bad), 20)
        for path in bad:
            with self.subTest(file=str(path.relative_to(ROOT))):
                self.assertNotEqual(errors(path), [])


if __name__ == "__main__":
    unittest.main()
