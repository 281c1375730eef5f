#!/usr/bin/env python3
"""A computer that misbehaves: ports that go and come, two daemons at one port, folders that cannot be written, a clock set
back. Nothing is lost or doubled, and each fault is one message that says what, where and the next step."""
import datetime
import os
import sqlite3
import unittest

from adapter import FakeAdapter
from bench import Bench, bodies, events, in_fresh_folder, labels, write_config
from programs import power_lines

KEPT = ("R −1.25 DS", "L −1.50 DS")
NOBODY = 65534


def measure_pair(bench, right=-1.25, left=-1.5):
    bench.measure("R", right)
    bench.measure("L", left)


class Ports(unittest.TestCase):
    @in_fresh_folder
    def test_a_port_that_goes_and_comes_again_loses_and_doubles_nothing(self, folder):
        with FakeAdapter(folder) as adapter:
            adapter.measure(1, "R", -125)
            adapter.pull()
            said = adapter.told("link", "is gone", word="absent")["say"]
            self.assertIn(str(adapter.port), said)
            self.assertIn("plug it in again, nothing is lost", said)
            adapter.plug_in()
            adapter.greet()
            adapter.measure(1, "R", -125)  # its acknowledgement may have been lost with the port
            adapter.measure(2, "L", -150)
            number = adapter.told("pair", pair=1)["number"]
            adapter.stop()
            self.assertEqual(len([say for say in adapter.all("link") if "is gone" in say]), 1)
        self.assertEqual([pdf.stem for pdf in labels(folder)], [number])
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual(len(bodies(folder, "reading")), 2)

    @in_fresh_folder
    def test_a_second_daemon_at_the_same_port_says_who_has_it_and_takes_over_when_it_is_free(self, folder):
        (folder / "second").mkdir()
        with FakeAdapter(folder) as adapter:
            second = FakeAdapter(folder / "second")
            second.port = adapter.port
            write_config(folder / "second", port=str(adapter.port))
            second.greet = lambda: None
            second.start()
            try:
                said = second.told("link", word="absent")["say"]
                self.assertIn(f"{adapter.port} is in use by another program", said)
                self.assertIn("close the other program (or the other Pairmark)", said)
                adapter.measure(1, "R", -125)
                adapter.measure(2, "L", -150)
                adapter.told("pair", pair=1)
                adapter.stop()
                second.told("link", "is open", word="opening")
            finally:
                second.stop()
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual(bodies(folder / "second", "reading"), [])


class ReadOnlyFolder(unittest.TestCase):
    @in_fresh_folder
    def test_labels_that_cannot_be_written_wait_and_come_by_themselves(self, folder):
        # Rights bind nobody who is root: then the daemon runs as somebody who is not.
        wrap = ["setpriv", "--reuid", str(NOBODY), "--clear-groups"] if os.geteuid() == 0 else []
        bench = Bench(folder, wrap=wrap, user=NOBODY if wrap else None)
        (folder / "labels").mkdir(mode=0o555)
        with bench:
            measure_pair(bench)
            number = bench.told("pair", pair=1)["number"]
            self.assertEqual(len(bench.all("trouble")), 1)
            said = bench.all("trouble")[0]
            for part in (f"label {number}: ", f"{folder}/labels/{number}.pdf: Permission denied", "let the program's user write there",
                         "tried again every 10 s"):
                self.assertIn(part, said)
            bench.lit("printer")
            bench.pass_time(60)
            self.assertEqual(len(bench.all("trouble")), 1)  # said once, however often it was tried
            self.assertEqual(labels(folder), [])
            bench.allow_labels()
            self.assertEqual(bench.labelled(1), number)
            bench.pass_time(2)
            self.assertFalse(any(lamps[7] == "1" for us, lamps in bench.shown if us > bench.us - 1_500_000))
            bench.lit("keep")
        self.assertEqual([pdf.stem for pdf in labels(folder)], [number])
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual([body["outcome"] for body in bodies(folder, "printed")], ["failed", "printed"])


class ClockSetBack(unittest.TestCase):
    def pretend_newest(self, folder, moment):
        """As if the newest event had been recorded at that moment."""
        store = sqlite3.connect(folder / "pairmark.db")
        store.execute("UPDATE event SET at = ? WHERE seq = (SELECT max(seq) FROM event)",
                      (moment.strftime("%Y-%m-%dT%H:%M:%S.000Z"),))
        store.commit()
        store.close()

    def hold_one(self, bench, folder, ahead):
        measure_pair(bench)
        bench.labelled(1)
        bench.kill()
        newest = datetime.datetime.now(datetime.timezone.utc) + ahead
        self.pretend_newest(folder, newest)
        bench.start()
        measure_pair(bench, 2.0, 2.25)
        said = bench.told("pair", pair=2)
        self.assertEqual((said["state"], said["file"]), ("labelled", ""))
        trouble = [say for say in bench.all("trouble") if f"label {said['number']}: held: this computer's clock is behind" in say]
        self.assertEqual(len(trouble), 1)
        self.assertIn(newest.strftime("(%Y-%m-%dT%H:%M:%S.000Z)"), trouble[0])
        self.assertIn("set the clock and the label comes by itself", trouble[0])
        bench.lit("printer")
        self.assertEqual(len(labels(folder)), 1)
        return said["number"], newest

    def check(self, folder, day):
        self.assertEqual(power_lines(labels(folder)), [KEPT, ("R +2.00 DS", "L +2.25 DS")])
        numbered = bodies(folder, "numbered")
        self.assertEqual([body["counter"] for body in numbered], [1, 2])
        # No earlier day than was recorded already stands on the label.
        self.assertGreaterEqual(numbered[1]["date"], day)
        self.assertEqual([body["outcome"] for body in bodies(folder, "printed")], ["printed", "held", "printed"])
        self.assertEqual(len(bodies(folder, "reading")), 4)

    @in_fresh_folder
    def test_labels_are_held_while_the_clock_is_behind_and_come_by_themselves_after(self, folder):
        with Bench(folder) as bench:
            number, newest = self.hold_one(bench, folder, datetime.timedelta(minutes=2))
            bench.pass_time(30)
            self.assertEqual(len(labels(folder)), 1)
            bench.pass_time(75)
            self.assertEqual(bench.labelled(2), number)
            self.assertEqual(len([say for say in bench.all("trouble") if "clock" in say]), 1)
        self.check(folder, newest.astimezone().strftime("%Y-%m-%d"))

    @in_fresh_folder
    def test_a_person_says_that_the_clock_is_right_and_that_holds_over_a_restart(self, folder):
        with Bench(folder) as bench:
            number, _ = self.hold_one(bench, folder, datetime.timedelta(days=9000))
            bench.kill()
            bench.start()
            # The new daemon says it once more.
            self.assertEqual(len([say for say in bench.all("trouble") if f"label {number}: held" in say]), 2)
            self.assertFalse([say for say in bench.all("link") if "silent" in say])
            self.assertEqual(len(labels(folder)), 1)
            self.assertIn("the clock counts as right", bench.mark("--release"))
            self.assertEqual(bench.labelled(2), number)
            bench.kill()
            bench.start()
            measure_pair(bench, -3.0, -3.25)
            bench.labelled(3)
        self.assertEqual(len(labels(folder)), 3)
        self.assertEqual([event["body"]["what"] for event in events(folder) if event["kind"] == "note"], ["clock-right"])


if __name__ == "__main__":
    unittest.main()
