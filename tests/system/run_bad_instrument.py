#!/usr/bin/env python3
"""What an instrument should not print: through the real firmware, nothing of it becomes a reading, each attempt is said
with its place and what to do, and the pair measured next is as good as ever."""
import json
import unittest

from bench import PROFILE, Bench, bodies, capture, in_fresh_folder, labels, with_check_sum
from programs import power_lines

GOOD = capture("R", -1.25, -0.5, 85)
KEPT = ("R −1.25 −0.50 × 085", "L −1.50 DS")


def profile_without(folder, **changes):
    profile = json.loads(PROFILE.read_text(encoding="utf-8")) | changes
    path = folder / "changed.profile.json"
    path.write_text(json.dumps(profile), encoding="utf-8")
    return str(path)


class BadCaptures(unittest.TestCase):
    def check_one_pair(self, bench, folder):
        """A pair measured after all that gets its label, and nothing else was stored."""
        bench.measure("R", -1.25, -0.5, 85)
        bench.measure("L", -1.5)
        number = bench.labelled(1)
        bench.kill()
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual([pdf.stem for pdf in labels(folder)], [number])
        readings = bodies(folder, "reading")
        self.assertEqual([reading["id"]["number"] for reading in readings], [1, 2])

    def check_sentence(self, said, why, length, at=r"\d+"):
        self.assertRegex(said, rf"refused what the instrument sent: {why} \(at byte {at} of {length}\); measure again$")

    @in_fresh_folder
    def test_no_damaged_capture_becomes_a_reading(self, folder):
        rows = [
            ("garbage", b"\x00\xff~~~ not a lens \x80\r\n", "no known word", 0),
            ("half a line", GOOD[:12], "cut short", 12),
            ("two lines run together", GOOD[:-2] + GOOD, "other text expected", 28),
            ("a longer line than any capture", b"R= " + b"7" * 400 + b"\r\n", "too long", 256),
            ("a wrong check sum", GOOD.replace(b"085", b"086"), "check sum wrong", 26),
            ("an axis of 181", capture("R", -1.25, -0.5, 181), "no such number", 21),
            ("an axis of 999", capture("R", -1.25, -0.5, 999), "no such number", 21),
            ("a power of 99.99", capture("R", 99.99), "no such number", 3),
            ("a power of -99.99", capture("R", -99.99), "no such number", 3),
            ("a cylinder of 99.99", capture("R", -1.25, 99.99, 85), "no such number", 12),
            ("an eye that is none", capture("X", -1.25), "no known word", 0),
            ("a number that is none", with_check_sum("R= -01.Z5 & -00.50 @ 085 "), "no such number", 3),
            ("a sign too many", with_check_sum("R= --1.25 & -00.50 @ 085 "), "no such number", 3),
        ]
        with Bench(folder) as bench:
            for name, data, why, at in rows:
                with self.subTest(name):
                    self.check_sentence(bench.refuse(data), why, len(data), at)
            self.assertEqual(len(bench.all("refused")), len(rows))
            self.check_one_pair(bench, folder)

    @in_fresh_folder
    def test_a_capture_cut_at_any_byte_is_refused_from_either_side(self, folder):
        with Bench(folder) as bench:
            # Without its last byte, or both, the line has no end: silence ends it.
            for cut in range(1, len(GOOD)):
                self.check_sentence(bench.refuse(GOOD[:cut]), "cut short", cut, cut)
            for cut in range(1, len(GOOD) - 1):
                self.check_sentence(bench.refuse(GOOD[cut:]), "no known word", len(GOOD) - cut, 0)
            self.assertEqual(len(bench.all("refused")), 2 * len(GOOD) - 3)
            self.check_one_pair(bench, folder)

    @in_fresh_folder
    def test_a_capture_in_two_halves_with_a_pause_between_is_no_reading(self, folder):
        with Bench(folder) as bench:
            for cut in (1, 9, 21, len(GOOD) - 1):
                bench.refuse(GOOD[:cut], "cut short")
                bench.refuse(GOOD[cut:])
            self.check_one_pair(bench, folder)

    @in_fresh_folder
    def test_a_profile_that_does_not_match_says_so_after_three_captures(self, folder):
        with Bench(folder) as bench:
            for value in ("-1.25", "-1.50", "+0.25"):
                bench.refuse(f"SPH {value} CYL -0.50 AX 85 E=R\r\n".encode(), "no known word")
            said = bench.told("trouble", "3 captures in a row")["say"]
            self.assertIn("instrument.profile.json", said)
            self.assertIn("technician", said)
            bench.refuse(b"SPH -1.25 CYL -0.50 AX 85 E=R\r\n")
            self.assertEqual(len(bench.all("trouble")), 1)
            self.check_one_pair(bench, folder)

    @in_fresh_folder
    def test_axis_0_is_180_only_where_the_profile_says_so(self, folder):
        with Bench(folder) as bench:
            bench.measure("R", -1.25, -0.5, 0)
            bench.measure("L", -1.5, -0.25, 180)
            bench.labelled(1)
        self.assertEqual(power_lines(labels(folder)), [("R −1.25 −0.50 × 180", "L −1.50 −0.25 × 180")])

    @in_fresh_folder
    def test_axis_0_is_refused_elsewhere(self, folder):
        with Bench(folder, profile=profile_without(folder, axis_0_means_180=False)) as bench:
            self.check_sentence(bench.refuse(capture("R", -1.25, -0.5, 0)), "cylinder without axis", len(GOOD))
            self.check_one_pair(bench, folder)


if __name__ == "__main__":
    unittest.main()
