#!/usr/bin/env python3
"""A disk without room, a real one: small file systems in memory, in a name space of this test's own. Where the system
does not allow that, the tests are skipped by name."""
import contextlib
import os
import shutil
import subprocess
import sys
import unittest

from adapter import FakeAdapter, event
from bench import Bench, bodies, in_fresh_folder, labels
from programs import power_lines

INSIDE = "PAIRMARK_FULL_DISK_INSIDE"


def allowed():
    try:
        return subprocess.run(["unshare", "-rm", "true"], capture_output=True, check=False).returncode == 0
    except FileNotFoundError:
        return False


@contextlib.contextmanager
def small_disk(path, kilobytes, ballast):
    """A disk of that size, all but `kilobytes - ballast` of it taken."""
    path.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "none", path], check=True)
    (path / "ballast").write_bytes(bytes(ballast * 1024))
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", path], check=True)


class LimitedFile(unittest.TestCase):
    @unittest.skipUnless(shutil.which("prlimit"), "prlimit is not installed")
    @in_fresh_folder
    def test_a_store_that_may_not_grow_is_reported_and_ends_nothing(self, folder):
        with FakeAdapter(folder, wrap=["prlimit", "--fsize=300000:"]) as adapter:
            number = 0
            while not adapter.all("trouble"):
                number += 1
                self.assertLess(number, 2000)
                adapter.say(event(number, "R", -600))
                adapter.echo()
            self.assertIn("there is no room for the store", adapter.all("trouble")[0])
            self.assertIn(str(folder / "pairmark.db"), adapter.all("trouble")[0])
            subprocess.run(["prlimit", "--pid", str(adapter.daemon.pid), "--fsize=100000000:"], check=True)
            adapter.measure(number, "R", -600)
            adapter.stop()
        self.assertEqual([body["id"]["number"] for body in bodies(folder, "reading")], list(range(1, number + 1)))


@unittest.skipUnless(os.environ.get(INSIDE), "this system allows no name space of one's own (unshare -rm)")
class FullDisk(unittest.TestCase):
    @in_fresh_folder
    def test_what_a_full_store_cannot_keep_stays_in_the_adapter_and_is_taken_when_there_is_room(self, folder):
        disk = folder / "disk"
        with (small_disk(disk, 1024, 600),
              FakeAdapter(folder, database=str(disk / "pairmark.db"), labels=str(folder / "labels"),
                          rules=str(self.turn_all_down(folder))) as adapter):
            number = 0
            while not adapter.all("trouble"):
                number += 1
                self.assertLess(number, 2000)
                self.say_once(adapter, number)
            self.assertEqual([heard for heard in adapter.every if "@ACK" in heard and f" n={number} " in heard], [])
            for _ in range(3):  # an adapter says again what is not acknowledged
                self.say_once(adapter, number)
            self.assertEqual(len(adapter.all("trouble")), 1)
            said = adapter.all("trouble")[0]
            for part in ("there is no room for the store", str(disk / "pairmark.db"), "free some space on this disk"):
                self.assertIn(part, said)
            self.assertEqual(self.last_lamp(adapter), "show=printer")
            (disk / "ballast").unlink()
            for again in (number, number + 1):
                adapter.measure(again, "RL"[again % 2], -600)
            adapter.stop()
            self.assertNotEqual(self.last_lamp(adapter), "show=printer")
            readings = [body["id"]["number"] for body in bodies(folder, "reading")]
            self.assertEqual(readings, list(range(1, number + 2)))

    def last_lamp(self, adapter):
        """What the printer's lamp was asked for last: the verdicts leave it as it is."""
        cues = [heard.split()[2] for heard in adapter.every if heard.startswith("@CUE")]
        return [cue for cue in cues if cue in ("show=printer", "show=clear")][-1]

    def turn_all_down(self, folder):
        """Rules that keep nothing: this test is about readings, and labels would fill the disk first."""
        rules = folder / "rules.json"
        rules.write_text('{"name": "None", "date": "2026-01-01", "take_for_granted": {"addition": 0}, "rules": [{"id": "all",'
                         ' "when": {"quantity": "strongest_power", "lens": "either", "over": 0}, "verdict": "discard",'
                         ' "say": "none"}]}', encoding="utf-8")
        return rules

    def say_once(self, adapter, number):
        adapter.say(event(number, "RL"[number % 2], -600))
        adapter.echo()

    @in_fresh_folder
    def test_a_label_for_which_the_folder_has_no_room_comes_by_itself_when_there_is(self, folder):
        with small_disk(folder / "labels", 64, 60), Bench(folder) as bench:
            bench.measure("R", -1.25)
            bench.measure("L", -1.5)
            number = bench.told("pair", pair=1)["number"]
            bench.lit("printer")
            bench.pass_time(40)
            self.assertEqual(len(bench.all("trouble")), 1)
            for part in (f"label {number}: ", str(folder / "labels" / number), "No space left on device",
                         "make room on that disk", "tried again every 10 s"):
                self.assertIn(part, bench.all("trouble")[0])
            self.assertEqual(list((folder / "labels").iterdir()), [folder / "labels" / "ballast"])
            # The bench is not kept by it.
            bench.measure("R", 2.0)
            bench.measure("L", 2.25)
            second = bench.told("pair", pair=2)["number"]
            (folder / "labels" / "ballast").unlink()
            self.assertEqual(bench.labelled(1), number)
            self.assertEqual(bench.labelled(2), second)
            self.assertEqual(power_lines(labels(folder)), [("R −1.25 DS", "L −1.50 DS"), ("R +2.00 DS", "L +2.25 DS")])
            bench.kill()
            self.assertEqual([body["outcome"] for body in bodies(folder, "printed")], ["failed", "failed", "printed", "printed"])


if __name__ == "__main__":
    if not os.environ.get(INSIDE) and allowed():
        os.environ[INSIDE] = "1"
        os.execvp("unshare", ["unshare", "-rm", sys.executable, *sys.argv])
    unittest.main()
