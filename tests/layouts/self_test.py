#!/usr/bin/env python3
"""That the trial has teeth: a program that is right passes it, and one that is wrong in one way is found."""
import os
import sys
import tempfile
import unittest
from pathlib import Path
from random import Random

from composed import composed
from developed import LAYOUTS
from held_back import LAYOUTS as HELD_BACK
from instrument import Instrument
from lenses import Measured, Shelf
from programs import Programs
from sums import written
from technician import Technician
from trial import Size, try_layout

LAYOUT = next(layout for layout in LAYOUTS if layout.name == "plain-columns")


def tried(how):
    """The outcome of a trial of the fake that is wrong in this way."""
    os.environ["FAKE"] = how
    with tempfile.TemporaryDirectory() as folder:
        programs = Programs([sys.executable, Path(__file__).with_name("fake.py")], Path(folder))
        return try_layout(LAYOUT, programs, Size(fresh=100, damaged=3, junk=25), "")[0]


class Teeth(unittest.TestCase):
    def test_a_right_program_passes(self):
        outcome = tried("")
        self.assertFalse(outcome.failed, outcome)
        self.assertTrue(outcome.learned and outcome.samples == 3)
        self.assertEqual((outcome.fresh, outcome.decoded, outcome.apart), (100, 100, 0))
        self.assertGreater(outcome.damaged, 500)
        self.assertEqual(outcome.slips, 7)

    def wrong(self, how, part):
        outcome = tried(how)
        self.assertTrue(outcome.failed)
        self.assertTrue(any(part in row for row in outcome.wrong), (how, outcome.wrong[:3]))

    def test_a_sign_that_is_lost_is_found(self):
        self.wrong("sign lost", "fresh")

    def test_exchanged_eyes_are_found(self):
        self.wrong("eyes exchanged", "fresh")

    def test_a_check_sum_that_is_not_enforced_is_found(self):
        self.wrong("no check sum", "digit")

    def test_a_reading_in_spite_of_junk_is_found(self):
        self.wrong("overlooks junk", "put in")

    def test_large_powers_refused_are_found(self):
        outcome = tried("large refused")
        self.assertTrue(outcome.failed and outcome.undone and not outcome.wrong)

    def test_one_that_believes_slips_is_found(self):
        outcome = tried("believes anybody")
        self.assertEqual(len(outcome.slipped), outcome.slips)
        self.assertTrue(outcome.failed and not outcome.wrong)

    def test_one_that_is_never_content_is_found(self):
        outcome = tried("never content")
        self.assertTrue(outcome.failed and not outcome.learned)
        self.assertEqual(outcome.samples, 8)

    def test_a_need_outside_its_keys_is_found(self):
        self.assertIn("colour", tried("asks for what is not there").broken)

    def test_the_right_reading_of_a_capture_that_was_cut_is_no_fault(self):
        self.assertFalse(any("cut to" in row for row in tried("takes a cut end").wrong))


class Layouts(unittest.TestCase):
    def test_names_are_unique_and_both_sets_hold_twenty(self):
        names = [layout.name for layout in LAYOUTS + HELD_BACK]
        self.assertEqual(len(names), len(set(names)))
        self.assertGreaterEqual(min(len(LAYOUTS), len(HELD_BACK)), 20)

    def test_every_instrument_writes_every_lens_it_has_in_256_bytes(self):
        for layout in LAYOUTS + HELD_BACK + [composed(seed) for seed in range(60)]:
            with self.subTest(layout.name):
                shelf, instrument = Shelf(layout, Random(1)), Instrument(layout, Random(2))
                for want in [{}] * 100 + [{"sphere": "large"}, {"axis": 180}, {"cylinder": "none"}, {"add": True, "prism": "out"}]:
                    self.assertLessEqual(len(instrument.capture(shelf.measured(want))), 256)
                for message in layout.messages:
                    instrument.capture(Measured(message=message))

    def test_different_lenses_are_written_differently(self):
        """Else nobody could tell them apart, and the trial would ask for the impossible."""
        for layout in LAYOUTS + HELD_BACK + [composed(seed) for seed in range(60)]:
            with self.subTest(layout.name):
                shelf, seen = Shelf(layout, Random(3)), {}
                for _ in range(300):
                    measured = shelf.measured({})
                    data = Instrument(layout, Random(4)).capture(measured)
                    self.assertEqual(seen.setdefault(data, measured.shown()), measured.shown())

    def test_a_composed_layout_depends_on_its_seed_alone(self):
        self.assertEqual(composed(7), composed(7))
        self.assertNotEqual(composed(7), composed(9))

    def test_a_technician_measures_what_is_asked(self):
        for layout in LAYOUTS:
            technician = Technician(layout, 1)
            technician.begin()
            technician.supply({"sphere": "large", "axis": 3, "eye": "left"})
            last = technician.samples[-1][1]
            mine = last if len(last) == 1 or not layout.names_eyes else [one for one in last if one["eye"] == "left"]
            self.assertTrue(all(abs(one["sphere"]) >= 9.99 and one["axis"] >= 100 for one in mine), (layout.name, last))


class CheckSums(unittest.TestCase):
    def test_crcs_have_the_check_values_of_the_catalogue(self):
        for kind, value in (("crc8", "F4"), ("crc8-maxim", "A1"), ("crc16-xmodem", "31C3"), ("crc16-ibm-3740", "29B1"),
                            ("crc16-arc", "BB3D"), ("crc16-modbus", "4B37"), ("crc16-kermit", "2189")):
            self.assertEqual(written(kind, "HEX", b"123456789").decode(), value)

    def test_sums_are_written_in_every_way(self):
        self.assertEqual(written("sum", "decimal", b"\xff\x02"), b"001")
        self.assertEqual(written("sum16", "raw-low", b"\xff\x02"), b"\x01\x01")
        self.assertEqual(written("negated_sum", "hex", b"\x01"), b"ff")
        self.assertEqual(written("xor", "HEX", b"\x0f\xf0"), b"FF")


if __name__ == "__main__":
    unittest.main()
