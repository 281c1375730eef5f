#!/usr/bin/env python3
"""Real glasses through the whole chain: the lens-meter readings of the United States National Health and Nutrition
Examination Survey (NHANES; National Center for Health Statistics), vision files VIX to VIX_D, 1999-2006, published at
https://wwwn.cdc.gov/nchs/nhanes/ (public domain). The data is not part of the project.

Every label is compared with powers recomputed here from the table, in another way than the program's: fractions of
Python, candidates by exhaustive search.
"""
import csv
import os
import unittest
from fractions import Fraction

from programs import SANITIZED, Folder, label_files, play, power_lines, session, summary

DATA = os.environ.get("PAIRMARK_NHANES_DIR")
COLUMNS = ["right_sphere", "right_cylinder", "right_axis", "left_sphere", "left_cylinder", "left_axis"]
QUARTER = Fraction(1, 4)


def nearest(value):
    """The nearest quarter, or both where the value lies half way."""
    below = value / QUARTER // 1 * QUARTER
    distances = {below: value - below, below + QUARTER: below + QUARTER - value}
    return [quarter for quarter, distance in distances.items() if distance == min(distances.values())]


def on_label(sphere, cylinder, axis):
    if cylinder > 0:
        sphere, cylinder, axis = sphere + cylinder, -cylinder, axis + 90
    axis = (axis - 1) % 180 + 1
    equivalent = sphere + cylinder / 2
    candidates = [(s, c) for s in nearest(sphere) for c in nearest(cylinder)]
    return min(candidates, key=lambda lens: (abs(lens[0] + lens[1] / 2 - equivalent), abs(lens[1]), -lens[0])) + (axis,)


def text(eye, lens):
    sphere, cylinder, axis = lens

    def power(value):
        return f"{'+' if value > 0 else '−' if value < 0 else ''}{abs(float(value)):.2f}"

    return f"{eye} {power(sphere)}" + (f" {power(cylinder)} × {axis:03d}" if cylinder else " DS")


def complete_rows():
    with open(os.path.join(DATA, "lens-readings.csv"), newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if all(row[column] for column in COLUMNS):
                yield [Fraction(row[column]) for column in COLUMNS]


@unittest.skipUnless(DATA, "PAIRMARK_NHANES_DIR is not set; the data is published at https://wwwn.cdc.gov/nchs/nhanes/")
class Survey(unittest.TestCase):
    def test_every_reading_is_stored_once_and_every_label_is_right(self):
        rows = list(complete_rows())
        self.assertEqual(len(rows), 8053)
        with Folder() as out:
            table = os.path.join(DATA, "lens-readings.csv")
            if SANITIZED:  # the sanitized programs take many times as long: a part of the table
                rows = rows[:300]
                table = out / "part.csv"
                with open(table, "w", encoding="utf-8") as file:
                    file.write(",".join(COLUMNS) + "\n")
                    file.writelines(",".join(str(float(value)) for value in row) + "\n" for row in rows)
            run = play(out, "--pairs", table, timeout=1400)
            self.assertEqual(run.returncode, 0, run.stderr[-2000:])
            counts = summary(out)
            self.assertEqual(counts["readings"], 2 * len(rows))
            self.assertEqual(counts["pairs"], len(rows))
            self.assertEqual(counts["skipped"], 0 if SANITIZED else 9)
            self.assertEqual(counts["keep"] + counts["discard"] + counts["ask"], len(rows))
            self.assertEqual(counts["labels"], counts["keep"])
            if not SANITIZED:
                self.assertTrue(0.20 <= counts["keep"] / len(rows) <= 0.98, counts)
            self.check_readings(out, rows)
            self.check_labels(out, rows)
            print(counts)

    def check_readings(self, out, rows):
        readings = [event["body"]["reading"]["lenses"][0] for event in session(out) if event["kind"] == "reading"]
        wanted = []
        for row in rows:
            wanted += [("right", *row[:3]), ("left", *row[3:])]
        self.assertEqual(len(readings), len(wanted))
        for got, (eye, sphere, cylinder, axis) in zip(readings, wanted):
            self.assertEqual(got["eye"], eye)
            self.assertEqual(Fraction(str(got["sphere"])), sphere)
            self.assertEqual(Fraction(str(got["cylinder"])), cylinder)
            if cylinder:
                self.assertEqual(got["axis"], axis or 180)

    def check_labels(self, out, rows):
        numbered = {event["body"]["number"]: event["body"]["pair"] for event in session(out) if event["kind"] == "numbered"}
        files = label_files(out)
        self.assertEqual([pdf.stem for pdf in files], sorted(numbered))
        for pdf, lines in zip(files, power_lines(files)):
            row = rows[numbered[pdf.stem] - 1]
            wanted = (text("R", on_label(row[0], row[1], int(row[2]))), text("L", on_label(row[3], row[4], int(row[5]))))
            self.assertEqual(lines, wanted, pdf.stem)


if __name__ == "__main__":
    unittest.main()
