"""The script that makes the extract: refuses another file, repeats its bytes, and what it writes is what went in."""

import csv
import hashlib
import os
import pathlib
import sqlite3
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(os.environ.get("BACKFIELD_SOURCE_DIR", pathlib.Path(__file__).resolve().parents[2]))
SCRIPT = ROOT / "cases" / "open-data" / "make-extract.py"

# Invented. 0.01 degree of longitude on the equator is 1,113.19 m = 3,652 ft (WGS 84).
SCHEMA = """
CREATE TABLE airports(id INTEGER PRIMARY KEY, icao, name, type, latitude, longitude, elevation_ft, country_code, updated_at);
CREATE TABLE runways(id INTEGER PRIMARY KEY, airport_id, length_ft, width_ft, surface, lighted);
CREATE TABLE runway_ends(id INTEGER PRIMARY KEY, runway_id, ident, heading_degT, latitude_deg, longitude_deg,
                         displaced_threshold_ft, elevation_ft);
CREATE TABLE frequencies(airport_id, tower, unicom);
INSERT INTO airports VALUES(1, 'ZZDA', 'Home, "old"' || char(9) || 'field', 'small_airport', 0, 0.005, 100, 'ZZ', '2026-02-16 17:16:16');
INSERT INTO airports VALUES(2, 'ZZDC', 'Closed', 'closed', 0, 0.005, 100, 'ZZ', '2026-02-15 17:16:16');
INSERT INTO frequencies VALUES(1, NULL, '122.8');
INSERT INTO runways VALUES(1, 1, 3652, 98, 'unknown', 1);
INSERT INTO runways VALUES(2, 1, 5000, 98, 'grass', 0);
INSERT INTO runways VALUES(3, 2, 3652, 98, 'grass', 0);
INSERT INTO runway_ends VALUES(1, 1, '09', 90.0, 0, 0, NULL, 100);
INSERT INTO runway_ends VALUES(2, 1, '27', 270.0, 0, 0.010000001, 300, NULL);
INSERT INTO runway_ends VALUES(3, 2, '09', 90.0, 0, 0, NULL, NULL);
INSERT INTO runway_ends VALUES(4, 2, '27', 270.0, 0, 0.01, NULL, NULL);
INSERT INTO runway_ends VALUES(5, 3, '09', 90.0, 0, 0, NULL, NULL);
INSERT INTO runway_ends VALUES(6, 3, '27', 270.0, 0, 0.01, NULL, NULL);
"""


class MakeExtract(unittest.TestCase):
    def setUp(self):
        self.directory = tempfile.TemporaryDirectory()
        self.addCleanup(self.directory.cleanup)
        self.source = os.path.join(self.directory.name, "a b?.sqlite")
        db = sqlite3.connect(self.source)
        db.executescript(SCHEMA)
        db.close()
        self.sha256 = hashlib.sha256(pathlib.Path(self.source).read_bytes()).hexdigest()

    def run_script(self, *options, out="out.csv"):
        path = os.path.join(self.directory.name, out)
        done = subprocess.run([sys.executable, "-B", str(SCRIPT), self.source, "--out", path, *options],
                              capture_output=True, text=True, check=False)
        return done, pathlib.Path(path)

    def test_a_file_with_another_checksum_is_refused_and_nothing_written(self):
        done, path = self.run_script()
        self.assertEqual(done.returncode, 2)
        self.assertIn(self.sha256, done.stderr)
        self.assertFalse(path.exists())

    def test_what_is_kept_and_what_is_left_out(self):
        done, path = self.run_script("--sha256", self.sha256)
        self.assertEqual(done.returncode, 0, done.stderr)
        lines = path.read_text(encoding="utf-8").splitlines()
        self.assertEqual(lines[1], "# stamped: 2026-02-16")
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
        self.assertEqual(len(rows), 1)
        row = rows[0]
        self.assertEqual(row["name"], 'Home, "old" field')
        self.assertEqual(row["frequency_mhz"], "122.8")
        self.assertEqual(row["left_out"], "1")
        self.assertEqual(row["surface"], "")
        self.assertEqual((row["end1"], row["end1_displaced_ft"], row["end1_elevation_ft"]), ("09", "", "100"))
        self.assertEqual((row["end2"], row["end2_longitude_deg"], row["end2_displaced_ft"]), ("27", "0.01", "300"))
        self.assertIn("| left out: aerodrome closed | 1 |", done.stdout)
        self.assertIn("| left out: length does not match the coordinates | 1 |", done.stdout)
        self.assertIn("| runway ends kept | 2 |", done.stdout)

    def test_the_same_input_gives_the_same_bytes(self):
        _, first = self.run_script("--sha256", self.sha256, out="first.csv")
        _, second = self.run_script("--sha256", self.sha256, out="second.csv")
        self.assertEqual(first.read_bytes(), second.read_bytes())

    def test_the_shipped_extract_is_what_the_package_gives(self):
        package = os.environ.get("BACKFIELD_CATALOGUE_SQLITE")
        if not package:
            self.skipTest("set BACKFIELD_CATALOGUE_SQLITE to the package's airports.sqlite")
        self.source = package
        done, path = self.run_script()
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertEqual(path.read_bytes(), (SCRIPT.parent / "runways.csv").read_bytes())
        notice = (SCRIPT.parent / "NOTICE.md").read_text(encoding="utf-8")
        for line in done.stdout.splitlines():
            self.assertIn(line, notice)


if __name__ == "__main__":
    unittest.main()
