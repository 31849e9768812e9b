#!/usr/bin/env python3
"""The arrows of this tree are right, and a wrong one would be seen."""

import pathlib
import tempfile
import unittest

import arrows

# A small tree in which every arrow is right.
CLEAN = {
    "include/backfield/base/units.hpp": "#include <cmath>\n",
    "include/backfield/earth/wind.hpp": '#include "backfield/base/units.hpp"\n#include <vector>\n',
    "include/backfield/flight/glide.hpp": '#include "backfield/earth/wind.hpp"\n',
    "include/backfield/decision/case.hpp": '#include "backfield/flight/glide.hpp"\n',
    "include/backfield/study/matrix.hpp": '#include "backfield/decision/case.hpp"\n',
    "include/backfield/report/text.hpp": '#include "backfield/study/matrix.hpp"\n#include <string>\n',
    "include/backfield/io/files.hpp": '#include "backfield/decision/case.hpp"\n#include <filesystem>\n',
    "src/earth/geodesy.cpp": '#include "backfield/earth/wind.hpp"\n#include <GeographicLib/Geodesic.hpp>\n',
    "src/flight/glide.cpp": '#include "backfield/flight/glide.hpp"\n#include <algorithm>\n',
    "src/decision/ground.cpp": "#include <boost/geometry.hpp>\n",
    "src/report/json.cpp": '#include "backfield/report/text.hpp"\n#include <nlohmann/json.hpp>\n#include <fmt/core.h>\n',
    "src/io/private.hpp": "#include <string>\n",
    "src/io/files.cpp": '#include "private.hpp"\n#include <yaml-cpp/yaml.h>\n#include <sqlite3.h>\n#include <fstream>\n',
    "src/cli/main.cpp": '#include "backfield/io/files.hpp"\n#include "backfield/report/text.hpp"\n'
    "#include <CLI/CLI.hpp>\n",
}

# file, line planted in it, part of the reason that must be given
PLANTED = [
    ("include/backfield/base/units.hpp", '#include "backfield/earth/wind.hpp"', "base must not know earth"),
    ("include/backfield/earth/wind.hpp", '#include "backfield/flight/glide.hpp"', "earth must not know flight"),
    ("src/flight/glide.cpp", '#include "backfield/decision/case.hpp"', "flight must not know decision"),
    ("src/decision/ground.cpp", '#include "backfield/study/matrix.hpp"', "decision must not know study"),
    ("src/decision/ground.cpp", '#include "backfield/io/files.hpp"', "decision must not know io"),
    ("src/decision/ground.cpp", "#include <backfield/io/files.hpp>", "decision must not know io"),
    ("src/report/json.cpp", '#include "backfield/io/files.hpp"', "report must not know io"),
    ("src/report/json.cpp", '#include "src/io/private.hpp"', "report must not know io"),
    ("src/io/files.cpp", '#include "backfield/report/text.hpp"', "io must not know report"),
    ("src/io/files.cpp", '  #  include "backfield/report/text.hpp"', "io must not know report"),
    ("src/io/files.cpp", '#include "backfield/report/lost.hpp"', "no such header"),
    ("src/io/files.cpp", '#include "lost.hpp"', "no such header"),
    ("include/backfield/base/units.hpp", "#include <fmt/core.h>", "public header"),
    ("include/backfield/io/files.hpp", "#include <yaml-cpp/yaml.h>", "public header"),
    ("include/backfield/earth/wind.hpp", "#include <GeographicLib/Geodesic.hpp>", "public header"),
    ("include/backfield/io/files.hpp", '#include "private.hpp"', "public header"),
    ("src/io/files.cpp", "#include <CLI/CLI.hpp>", "allowed only in cli"),
    ("src/report/json.cpp", "#include <yaml-cpp/yaml.h>", "allowed only in io"),
    ("src/report/json.cpp", "#include <sqlite3.h>", "allowed only in io"),
    ("src/cli/main.cpp", "#include <nlohmann/json.hpp>", "allowed only in"),
    ("src/flight/glide.cpp", "#include <GeographicLib/Geodesic.hpp>", "allowed only in earth, io"),
    ("src/earth/geodesy.cpp", "#include <boost/geometry/index/rtree.hpp>", "one source only"),
    ("src/earth/geodesy.cpp", "#include <Eigen/Core>", "without a seam"),
    ("src/report/json.cpp", "#include <fstream>", "business of io"),
    ("src/lost/glide.cpp", '#include "backfield/base/units.hpp"', "lies in no layer"),
]
PLANTED += [
    (file, f"#include <{header}>", "is pure")
    for file in ("src/flight/glide.cpp", "include/backfield/flight/glide.hpp", "src/decision/ground.cpp",
                 "include/backfield/study/matrix.hpp")
    for header in ("filesystem", "fstream", "chrono", "random", "iostream")
]


class Arrows(unittest.TestCase):
    def judged(self, planted_in=None, line=""):
        tree = dict(CLEAN)
        if planted_in:
            tree[planted_in] = tree.get(planted_in, "") + line + "\n"
        with tempfile.TemporaryDirectory() as root:
            for name, text in tree.items():
                file = pathlib.Path(root, name)
                file.parent.mkdir(parents=True, exist_ok=True)
                file.write_text(text, encoding="utf-8")
            return arrows.wrong_arrows(root)

    def test_a_clean_tree_has_none(self):
        self.assertEqual(self.judged(), (len(CLEAN), []))

    def test_every_planted_one_is_seen_with_its_place_and_reason(self):
        for file, line, reason in PLANTED:
            with self.subTest(file=file, line=line):
                _, wrong = self.judged(file, line)
                planted_at = CLEAN.get(file, "").count("\n") + 1
                seen = [arrow for arrow in wrong if (arrow.file, arrow.line) == (file, planted_at)]
                self.assertEqual(len(seen), 1, wrong)
                self.assertIn(reason, seen[0].why)

    def test_this_tree_has_none(self):
        count, wrong = arrows.wrong_arrows(pathlib.Path(__file__).resolve().parents[2])
        self.assertGreater(count, 0)
        self.assertEqual([str(arrow) for arrow in wrong], [])


if __name__ == "__main__":
    unittest.main()
