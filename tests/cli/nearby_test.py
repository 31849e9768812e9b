"""`backfield nearby` as a shell sees it: exit codes, messages, and JSON that its schema accepts."""

import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import unittest

import jsonschema

from answers import checked, one_line

ROOT = pathlib.Path(os.environ["BACKFIELD_SOURCE_DIR"])
PROGRAM = os.environ["BACKFIELD_CLI"]
INVENTED = "tests/data/catalogue"
HOME = "tests/data/good/home.yaml"  # ZZDA at 0 N, 0 E
SCHEMA = json.loads((ROOT / "src/io/schema/nearby.schema.json").read_text(encoding="utf-8"))
DAY = 86400
STAMP = 1771200000  # 2026-02-16, the day of the shipped extract


def run(*arguments, epoch=STAMP + 20 * DAY):
    environment = dict(os.environ, SOURCE_DATE_EPOCH=str(epoch))
    return subprocess.run([PROGRAM, "nearby", *map(str, arguments)], cwd=ROOT, capture_output=True, text=True,
                          timeout=120, env=environment, check=False)


class Nearby(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def answer(self, *arguments, **options):
        """The JSON of an answer, held against its schema; the text went to standard output alone."""
        path = self.folder / "out.json"
        done = run(*arguments, "--json", path, **options)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        content = checked(self, done.stdout, path, SCHEMA)
        self.assertIn(content["catalogue"]["attribution"], one_line(done.stdout))
        return content

    def ids(self, content):
        return [a["id"] for a in content["aerodromes"]]

    def refused(self, code, *arguments):
        done = run(*arguments)
        self.assertEqual((done.returncode, done.stdout), (code, ""), done.stderr)
        return done.stderr

    # Answers.

    def test_real_places_on_five_continents_have_neighbours_in_order(self):
        # Outside North America; distances are held against a spherical Earth, good to 0.6 %.
        for place in ("EDQA", "FACT", "SBGR", "RJTT", "YSSY", "NFFN"):
            with self.subTest(place=place):
                content = self.answer(place, "--within", "60 NM")
                distances = [a["distance_m"] for a in content["aerodromes"]]
                self.assertEqual(self.ids(content)[0], place)
                self.assertIsNone(content["aerodromes"][0]["bearing_deg_true"])
                self.assertEqual(distances, sorted(distances))
                self.assertGreater(len(distances), 1)
                for a in content["aerodromes"][1:]:
                    expected, bearing = sphere(content, a)
                    self.assertAlmostEqual(a["distance_m"], expected, delta=0.006 * expected)
                    off = (a["bearing_deg_true"] - bearing + 180) % 360 - 180
                    self.assertLess(abs(off), 0.4)

    def test_ends_surfaces_lights_and_frequencies_are_those_of_the_files(self):
        a = self.answer("ZZEA", "--catalogue", INVENTED)["aerodromes"][0]
        self.assertEqual(a["frequency"], "118.9 MHz")
        self.assertEqual([f["service"] for f in a["frequencies"]], ["tower", "ATIS"])
        runway = a["runways"][0]
        self.assertEqual((runway["surface"], runway["surface_as_written"], runway["lit"]), ("asphalt", "ASPH-G", True))
        self.assertEqual([e["designator"] for e in runway["ends"]], ["09", "27"])
        self.assertEqual(runway["ends"][1]["behind_threshold_m"], round((3484 - 300) * 0.3048, 1))
        self.assertEqual(a["runways_left_out"], 4)

    def test_the_antimeridian_is_a_place_like_others_however_it_is_written(self):
        for place in ("17.5 S, 180 E", "17.5 S, 180 W", "17.5S,179.9999W"):
            with self.subTest(place=place):
                content = self.answer(place, "--catalogue", INVENTED)
                self.assertEqual(self.ids(content)[:2], ["ZZEA", "ZZEB"])
                self.assertAlmostEqual(content["aerodromes"][1]["bearing_deg_true"], 90, delta=0.1)

    def test_at_a_pole_there_are_distances_and_no_bearings(self):
        content = self.answer("90 S, 77 E", "--catalogue", INVENTED, "--within", "2 km")
        self.assertEqual(self.ids(content), ["ZZEP"])
        self.assertIsNone(content["aerodromes"][0]["bearing_deg_true"])
        # 0.01 degree of the meridian at the pole is 1,116.9 m (WGS 84: a / sqrt(1 - e2)).
        self.assertAlmostEqual(content["aerodromes"][0]["distance_m"], 1116.9, delta=0.05)
        self.assertTrue(any("pole" in w for w in content["warnings"]))

    def test_runways_left_out_are_counted_by_reason(self):
        left_out = {x["reason"]: x["runways"] for x in self.answer("ZZEA", "--catalogue", INVENTED)["left_out"]}
        for reason in ("aerodrome closed", "runway closed", "coordinates of one end only", "no coordinates of its ends",
                       "length below 600 or above 20,000 ft", "headings do not match the coordinates", "water"):
            self.assertEqual(left_out.get(reason), 1, reason)

    def test_none_is_an_answer_and_names_the_nearest_beyond(self):
        content = self.answer("10 S, 20 W", "--within", "5 NM")
        self.assertEqual(content["aerodromes"], [])
        self.assertGreater(content["nearest_beyond"]["distance_m"], 5 * 1852)
        done = run("10 S, 20 W", "--within", "5 NM", "--require-one")
        self.assertEqual(done.returncode, 3)
        self.assertIn("NONE", done.stdout)
        self.assertIn("no aerodrome", done.stderr)
        self.assertEqual(run("EDQA", "--require-one").returncode, 0)

    def test_an_own_file_takes_the_place_of_the_catalogue_s_entry(self):
        own = self.folder / "own.yaml"
        text = (ROOT / HOME).read_text(encoding="utf-8").replace("id: ZZDA", "id: ZZEA").replace("lit: yes", "lit: no")
        own.write_text(text.replace('"0.0 N, 0.0 E"', '"17.5 S, 179.99 E"'), encoding="utf-8")
        content = self.answer("17.5 S, 180 E", "--catalogue", INVENTED, "--aerodrome", own)
        self.assertEqual(sorted(self.ids(content)), sorted(["ZZEA", "ZZEB", "ZZ-0005", "ZZED"]))
        mine = content["aerodromes"][0]
        self.assertTrue(mine["from_own_file"])
        self.assertEqual((mine["frequency"], mine["source"]), ("122.800 MHz", "invented"))
        self.assertEqual(mine["runways"][0]["ends"][0]["lda_m"], 2400)
        self.assertEqual(self.answer("ZZDA", "--aerodrome", HOME)["centre"], "ZZDA Demo field (invented)")

    def test_swapped_figures_are_noticed_where_nothing_is_near_them(self):
        # Bamberg is near 49.92 N, 10.91 E.
        content = self.answer("10.91 N, 49.92 E", "--within", "15 NM")
        self.assertEqual(content["aerodromes"], [])
        self.assertTrue(any("EDQA" in w and "swapped" in w for w in content["warnings"]), content["warnings"])
        self.assertEqual(self.answer("49.92 N, 10.91 E", "--within", "15 NM")["warnings"], [])
        self.assertIn("swapped", self.refused(2, "10.91 N, 49.92 E", "--strict", "--within", "15 NM"))

    def test_age_counts_from_the_day_of_the_data(self):
        for days in (0, 28, 29, 400):
            content = self.answer("EDQA", epoch=STAMP + days * DAY)
            self.assertEqual(content["catalogue"]["age_days"], days)
            self.assertEqual(any("AIRAC" in c for c in content["cautions"]), days > 28)
        self.assertTrue(any("later than today" in c for c in self.answer("EDQA", epoch=STAMP - 1)["cautions"]))

    def test_frequencies_and_own_files_reach_the_brief(self):
        case = (ROOT / "tests/data/good/case.yaml").read_text(encoding="utf-8")
        shutil.copy(ROOT / HOME, self.folder / "home.yaml")
        for name in ("airports", "runways", "airport-frequencies"):
            text = (ROOT / INVENTED / (name + ".csv")).read_text(encoding="utf-8")
            # ZZEA becomes a second ZZDA and ZZEB lies 3 NM from the home of the case.
            text = text.replace("ZZEA", "ZZDA").replace("-17.5,180,", "0,0,").replace("-17.5,-179.9,", "0,0.05,")
            text = text.replace("-17.5,-179.905", "0,0.045").replace("-17.5,-179.895", "0,0.055")
            text = text.replace("3484,60", "3652,60")
            (self.folder / (name + ".csv")).write_text(text, encoding="utf-8")
        case = case.replace("../../../aircraft", str(ROOT / "aircraft"))
        case = case.replace("weather:", "catalogue: {file: ., aerodromes_within: 20 NM}\nweather:")
        (self.folder / "case.yaml").write_text(case, encoding="utf-8")
        path = self.folder / "brief.json"
        done = subprocess.run([PROGRAM, "brief", self.folder / "case.yaml", "--json", path], capture_output=True,
                              text=True, timeout=120, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        options = json.loads(path.read_text(encoding="utf-8"))["options"]
        frequencies = {o["aerodrome"]: o["frequency"] for o in options}
        self.assertEqual(frequencies, {"ZZDA": "122.800 MHz", "ZZEB": "122.8 MHz"})
        self.assertEqual({o["provenance"] for o in options if o["aerodrome"] == "ZZDA"}, {"stated"})
        self.assertIn("frequency 122.8 MHz", one_line(done.stdout))

    # Refusals.

    def test_a_place_that_is_none_is_2_and_says_what_would_be(self):
        for place, hint in (("46.1, 7.5", "letter"), ("7.5 E, 46.1 N", "comes first"), ("95 N, 7 E", "swapped"),
                            ("46.1 N 7.5 E", "comma"), ("46.1 N, 181 E", "at most 180"), ("-46 N, 7 E", "no signs"),
                            ("46\N{DEGREE SIGN}10' N, 7 E", ""), ("nan N, 7 E", ""), ("", "")):
            with self.subTest(place=place):
                message = self.refused(2, place)
                self.assertIn("PLACE: found", message)
                self.assertIn("46.1234 N, 7.5000 E", message)
                self.assertIn(hint, message)
        self.assertIn('no aerodrome "ZZZZ"', self.refused(2, "ZZZZ"))

    def test_a_distance_needs_its_unit_and_has_bounds(self):
        for within in ("20", "20 nm", "0 NM", "-5 NM", "1001 NM", "nan NM", "1e999 m"):
            with self.subTest(within=within):
                self.assertIn("--within: found", self.refused(2, "EDQA", "--within", within))

    def test_bad_usage_is_2(self):
        for arguments in ([], ["EDQA", "LFPG"], ["EDQA", "--no-such-flag"], ["EDQA", "--within"]):
            with self.subTest(arguments=arguments):
                self.assertNotEqual(self.refused(2, *arguments), "")
        self.assertIn("each aerodrome once", self.refused(2, "ZZDA", "--aerodrome", HOME, "--aerodrome", HOME))

    def test_files_that_cannot_be_read_are_74_and_damaged_ones_2(self):
        missing = self.folder / "none.csv"
        self.assertIn(str(missing), self.refused(74, "EDQA", "--catalogue", missing))
        self.assertIn("none.csv", self.refused(74, "EDQA", "--aerodrome", missing))
        self.assertIn("without airports.csv", self.refused(2, "EDQA", "--catalogue", self.folder))
        damaged = self.folder / "damaged"
        shutil.copytree(ROOT / INVENTED, damaged)
        whole = (damaged / "runways.csv").read_text(encoding="utf-8")
        (damaged / "runways.csv").write_text(whole[:-40], encoding="utf-8")
        message = self.refused(2, "ZZEA", "--catalogue", damaged)
        self.assertIn("damaged/runways.csv:17: found", message)
        self.assertIn("cut off", message)

    def test_json_that_cannot_be_written_is_74_and_files_that_are_read_are_kept(self):
        done = run("EDQA", "--json", self.folder / "no" / "such.json")
        self.assertEqual((done.returncode, done.stdout), (74, ""))
        own = self.folder / "own.yaml"
        shutil.copy(ROOT / HOME, own)
        self.refused(2, "ZZDA", "--aerodrome", own, "--json", own)
        self.assertEqual(own.read_bytes(), (ROOT / HOME).read_bytes())

    def test_the_schema_notices_what_is_wrong(self):
        good = self.answer("ZZEA", "--catalogue", INVENTED)
        validator = jsonschema.Draft202012Validator(SCHEMA)
        validator.check_schema(SCHEMA)
        for change in (lambda c: c.update(extra=1), lambda c: c.pop("cautions"), lambda c: c["cautions"].clear(),
                       lambda c: c["aerodromes"][0]["runways"].clear(), lambda c: c.update(latitude_deg=91),
                       lambda c: c["aerodromes"][1].update(bearing_deg_true=360),
                       lambda c: c["aerodromes"][0]["runways"][0]["ends"].pop()):
            content = json.loads(json.dumps(good))
            change(content)
            self.assertFalse(validator.is_valid(content))


def sphere(content, aerodrome):
    """Distance and bearing on a sphere of 6,371 km: spherical law of cosines' well-behaved form (haversine)."""
    from math import asin, atan2, cos, degrees, radians, sin, sqrt
    lat1, lon1 = radians(content["latitude_deg"]), radians(content["longitude_deg"])
    lat2, lon2 = radians(aerodrome["latitude_deg"]), radians(aerodrome["longitude_deg"])
    east = lon2 - lon1
    haversine = sin((lat2 - lat1) / 2) ** 2 + cos(lat1) * cos(lat2) * sin(east / 2) ** 2
    bearing = atan2(sin(east) * cos(lat2), cos(lat1) * sin(lat2) - sin(lat1) * cos(lat2) * cos(east))
    return 2 * 6371e3 * asin(sqrt(haversine)), degrees(bearing)


if __name__ == "__main__":
    unittest.main()
