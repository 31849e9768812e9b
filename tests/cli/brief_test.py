"""The program as a shell sees it: exit codes, what goes where, and JSON that its schema accepts."""

import json
import os
import pathlib
import re
import stat
import subprocess
import tempfile
import unittest

import jsonschema

from answers import FORBIDDEN, unfit

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
GOOD = "tests/data/good/case.yaml"
NO_LDA = "cases/traps/reciprocal-without-lda.yaml"
SCHEMA = json.loads((ROOT / "src/io/schema/brief.schema.json").read_text(encoding="utf-8"))


def run(*arguments, **options):
    return subprocess.run([PROGRAM, *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, timeout=120,
                          **options)


def is_root():
    return os.geteuid() == 0


class Folder(unittest.TestCase):
    """Each test has an empty folder, and may copy the good case there with changes."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def case(self, *changes):
        text = (ROOT / GOOD).read_text(encoding="utf-8")
        text = text.replace("../../../aircraft", str(ROOT / "aircraft"))
        text = text.replace("[home.yaml]", "[" + str(ROOT / "tests/data/good/home.yaml") + "]")
        for old, new in changes:
            self.assertIn(old, text)
            text = text.replace(old, new)
        path = self.folder / "case.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    def short(self):
        """A case with neither runway ahead nor one to return to: 450 m of runway, and turnbacks are not trained."""
        home = (ROOT / "tests/data/good/home.yaml").read_text(encoding="utf-8").replace("2400 m", "450 m")
        home = re.sub(r"\n\s*marks: .*", "", home)
        (self.folder / "home.yaml").write_text(home, encoding="utf-8")
        return self.case((str(ROOT / "tests/data/good/home.yaml"), "home.yaml"), ("15 kt", "4 kt"),
                         ("turnback: trained", "turnback: not_trained"), ("mass: 1070 kg", "mass: 1050 kg"))


class ExitCodes(Folder):
    def test_an_answer_is_0_and_goes_to_standard_output_alone(self):
        result = run("brief", GOOD)
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        self.assertTrue(result.stdout.startswith("BACKFIELD"))

    def test_none_is_an_answer(self):
        result = run("brief", self.short())
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("*** NO TURNBACK TODAY ***", result.stdout)

    def test_a_required_option_that_is_missing_is_3_and_the_brief_is_printed_all_the_same(self):
        result = run("brief", self.short(), "--require-option")
        self.assertEqual(result.returncode, 3, result.stdout)
        self.assertIn("NO TURNBACK TODAY", result.stdout)
        self.assertIn("nothing but the ground ahead", result.stderr)

    def test_a_required_option_that_is_there_is_0(self):
        self.assertEqual(run("brief", GOOD, "--require-option").returncode, 0)

    def test_bad_input_is_2_with_all_findings_and_nothing_written(self):
        json_file = self.folder / "out.json"
        case = self.case(("mass: 1070 kg", "mass: 1070"), ("oat: 15 C", "oat: 15 X"))
        result = run("brief", case, "--json", json_file)
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertIn(str(case) + ":5:", result.stderr)
        self.assertIn(": mass: found", result.stderr)
        self.assertIn("weather.oat: found", result.stderr)
        self.assertFalse(json_file.exists())

    def test_bad_usage_is_2(self):
        for arguments in ([], ["brief"], ["brief", GOOD, "--no-such-flag"], ["no-such-command"], ["check"],
                          ["brief", GOOD, "--json"], ["brief", GOOD, "second.yaml"]):
            with self.subTest(arguments=arguments):
                result = run(*arguments)
                self.assertEqual(result.returncode, 2)
                self.assertEqual(result.stdout, "")
                self.assertNotEqual(result.stderr, "")

    def test_a_case_that_cannot_be_read_is_74(self):
        for path in (self.folder / "none.yaml", self.folder):
            with self.subTest(path=path.name):
                result = run("brief", path)
                self.assertEqual((result.returncode, result.stdout), (74, ""))
                self.assertIn(str(path), result.stderr)
                self.assertEqual(run("check", path).returncode, 74)

    def test_a_file_that_the_case_names_wrongly_is_2(self):
        result = run("brief", self.case(("trainer.yaml", "no-such.yaml")))
        self.assertEqual(result.returncode, 2)
        self.assertIn("no-such.yaml", result.stderr)

    @unittest.skipUnless(os.path.exists("/dev/full"), "needs /dev/full")
    def test_a_full_disk_under_standard_output_is_74(self):
        with open("/dev/full", "w", encoding="ascii") as full:
            result = subprocess.run([PROGRAM, "brief", GOOD], cwd=ROOT, stdout=full, stderr=subprocess.PIPE, text=True,
                                    timeout=120, check=False)
        self.assertEqual(result.returncode, 74)
        self.assertIn("standard output", result.stderr)


class Warnings(Folder):
    def warned(self):
        return self.case(("mass: 1070 kg", "mass: 1090 kg"))  # more than 0.98 of the maximum

    def test_are_on_the_brief_and_in_the_json(self):
        json_file = self.folder / "out.json"
        result = run("brief", self.warned(), "--json", json_file)
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        self.assertRegex(result.stdout, r"mass:\s+found\s+1090 kg|mass:\s+found\s+\"1090 kg\"")
        self.assertTrue(any("mass" in w for w in json.loads(json_file.read_text())["warnings"]))

    def test_are_errors_with_strict_and_nothing_is_written(self):
        json_file = self.folder / "out.json"
        result = run("brief", self.warned(), "--strict", "--json", json_file)
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertIn("warning: mass", result.stderr)
        self.assertFalse(json_file.exists())

    def test_of_the_computation_count_for_strict_too(self):
        result = run("brief", GOOD, "--strict")  # lands with 15 kt of tailwind where 10 kt are demonstrated
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertIn("tailwind", result.stderr)

    def test_none_are_no_trouble_for_strict(self):
        self.assertEqual(run("brief", self.case(("15 kt", "5 kt")), "--strict").returncode, 0)


class Check(Folder):
    def test_says_that_a_good_file_has_no_errors(self):
        for path in (GOOD, "aircraft/trainer.yaml", "cases/policy/default.yaml", "tests/data/good/home.yaml"):
            with self.subTest(path=path):
                result = run("check", path)
                self.assertEqual(result.returncode, 0, result.stderr)
                self.assertIn(path + ": no errors", result.stdout)

    def test_names_the_key_of_a_bad_one(self):
        result = run("check", self.case(("altimeter: qnh", "altimeter: qne")))
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertIn("altimeter: found", result.stderr)


class Help(unittest.TestCase):
    def test_has_the_cautions(self):
        for arguments in (["--help"], ["brief", "--help"]):
            result = run(*arguments)
            self.assertEqual((result.returncode, result.stderr), (0, ""))
            self.assertIn("Planning estimate", result.stdout)
            self.assertIn("turnbacks have killed", result.stdout)

    def test_version(self):
        result = run("--version")
        self.assertEqual(result.returncode, 0)
        self.assertRegex(result.stdout, r"^backfield \d+\.\d+\.\d+\n$")


class Json(Folder):
    def errors(self, path):
        content = json.loads(path.read_text(encoding="utf-8"), parse_constant=self.fail)
        return unfit(content, SCHEMA), content

    def test_the_schema_is_one(self):
        jsonschema.Draft202012Validator.check_schema(SCHEMA)

    def test_answers_pass_the_schema(self):
        target = self.folder / "out.json"
        cases = [ROOT / GOOD, ROOT / NO_LDA, *sorted(ROOT.glob("cases/*/case.yaml")), self.short()]
        for case in cases:
            with self.subTest(case=str(case)):
                result = run("brief", case, "--json", target)
                self.assertEqual(result.returncode, 0, result.stderr)
                errors, content = self.errors(target)
                self.assertEqual(errors, [])
                self.assertEqual(list(content)[0], "backfield")

    def test_the_schema_notices_what_is_wrong(self):
        target = self.folder / "out.json"
        run("brief", GOOD, "--json", target)
        _, good = self.errors(target)
        validator = jsonschema.Draft202012Validator(SCHEMA)

        def spoiled(change):
            content = json.loads(json.dumps(good))
            change(content)
            return not validator.is_valid(content)

        self.assertTrue(spoiled(lambda c: c.update(extra=1)))
        self.assertTrue(spoiled(lambda c: c.pop("gaps")))
        self.assertTrue(spoiled(lambda c: c["cautions"].clear()))
        self.assertTrue(spoiled(lambda c: c["windows"][0].update(side="both")))
        self.assertTrue(spoiled(lambda c: c["windows"][0].update(open_above=not c["windows"][0]["open_above"])))
        self.assertTrue(spoiled(lambda c: c["gates"][0].update(kind="shut")))
        self.assertTrue(spoiled(lambda c: c.update(refusal="no")))

    def test_numbers_have_one_decimal_so_that_bytes_are_the_same_again(self):
        first, second = self.folder / "1.json", self.folder / "2.json"
        run("brief", GOOD, "--json", first)
        run("brief", GOOD, "--json", second)
        self.assertEqual(first.read_bytes(), second.read_bytes())
        self.assertIsNone(re.search(r"\d\.\d{4,}|e-\d", first.read_text()))

    def test_replaces_a_file_whole_and_keeps_link_and_permissions(self):
        target, link = self.folder / "target.json", self.folder / "link.json"
        target.write_text("old")
        target.chmod(0o640)
        link.symlink_to("target.json")
        self.assertEqual(run("brief", GOOD, "--json", link).returncode, 0)
        self.assertTrue(link.is_symlink())
        self.assertEqual(stat.S_IMODE(target.stat().st_mode), 0o640)
        self.assertEqual(self.errors(target)[0], [])
        self.assertEqual(sorted(p.name for p in self.folder.iterdir()), ["link.json", "target.json"])

    def test_a_place_that_cannot_be_written_is_74_without_a_brief(self):
        places = [self.folder, self.folder / "no" / "such.json", "/dev/null"]
        if not is_root():  # root may write anywhere
            locked = self.folder / "locked"
            locked.mkdir(mode=0o500)
            places.append(locked / "out.json")
        for place in places:
            with self.subTest(place=str(place)):
                result = run("brief", GOOD, "--json", place)
                self.assertEqual((result.returncode, result.stdout), (74, ""))
                self.assertIn("cannot write " + str(place), result.stderr)
        self.assertTrue(stat.S_ISCHR(os.stat("/dev/null").st_mode))

    def test_never_replaces_the_case(self):
        case = self.case()
        before = case.read_bytes()
        result = run("brief", case, "--json", case)
        self.assertEqual(result.returncode, 2)
        self.assertEqual(case.read_bytes(), before)


class Page(Folder):
    def pages(self, case):
        result = run("brief", case)
        self.assertEqual(result.returncode, 0, result.stderr)
        return result.stdout.split("\f")

    def test_every_page_fits_paper_and_is_plain(self):
        for case in [ROOT / GOOD, ROOT / NO_LDA, *sorted(ROOT.glob("cases/*/case.yaml")), self.short()]:
            with self.subTest(case=str(case)):
                pages = self.pages(case)
                self.assertIn("Continued: page", pages[0].splitlines()[-1])
                for page in pages:
                    self.assertTrue(page.isascii())
                    self.assertLessEqual(len(page.splitlines()), 66)
                    self.assertLessEqual(max(map(len, page.splitlines())), 80)
                    self.assertIsNone(re.search(FORBIDDEN, page))
                self.assertIn("INVENTED DATA", pages[0])
                self.assertIn("turnbacks have killed", re.sub(r"\s+", " ", pages[0]))

    def test_a_file_cannot_draw_on_the_terminal(self):
        case = self.case(("title: Long runway, headwind", r'title: "\e[31mred\a\u009b31m Z\u00fcrich \u2588"'))
        result = run("brief", case)
        if result.returncode == 0:  # the reader may refuse such a title as well
            self.assertIsNone(re.search(r"[^\x20-\x7e\n\f]", result.stdout))
            self.assertIn("Zurich", result.stdout)
        else:
            self.assertEqual(result.returncode, 2)


if __name__ == "__main__":
    unittest.main()
