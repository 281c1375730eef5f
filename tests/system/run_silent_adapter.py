#!/usr/bin/env python3
"""What the day says when it cannot be played: a firmware that hangs, a table that is none."""
import time
import unittest

from programs import BUILT, Folder, play


class SilentAdapter(unittest.TestCase):
    def check_silent(self, image):
        with Folder() as out:
            began = time.monotonic()
            run = play(out, firmware=BUILT / "tests" / "faults" / image, timeout=90)
            self.assertNotEqual(run.returncode, 0)
            self.assertIn("the adapter is silent", run.stderr)
            # The promise is part of the interface: a script must not hang.
            self.assertLess(time.monotonic() - began, 60)

    def test_a_firmware_that_loops_for_ever_is_reported_as_a_silent_adapter(self):
        self.check_silent("hang.elf")

    def test_a_firmware_that_sleeps_for_ever_likewise(self):
        self.check_silent("dead.elf")

    def test_a_file_that_is_no_firmware_is_named(self):
        with Folder() as out:
            (out / "no.elf").write_text("not an image", encoding="utf-8")
            run = play(out / "day", firmware=out / "no.elf", timeout=60)
            self.assertNotEqual(run.returncode, 0)
            self.assertIn("no.elf", run.stderr)


class BadTables(unittest.TestCase):
    def play_table(self, text):
        with Folder() as out:
            (out / "pairs.csv").write_text(text, encoding="utf-8")
            return play(out / "day", "--pairs", out / "pairs.csv", timeout=60)

    def test_a_missing_column_is_named(self):
        run = self.play_table("right_sphere,right_cylinder,right_axis,left_sphere,left_cylinder\n1,0,0,1,0\n")
        self.assertEqual(run.returncode, 1)
        self.assertIn("left_axis", run.stderr)

    def test_a_value_that_is_no_number_is_named_with_its_line(self):
        header = "right_sphere,right_cylinder,right_axis,left_sphere,left_cylinder,left_axis\n"
        run = self.play_table(header + "1,0,0,1,0,0\n1,0,0,one,0,0\n")
        self.assertEqual(run.returncode, 1)
        self.assertIn("line 3", run.stderr)


if __name__ == "__main__":
    unittest.main()
