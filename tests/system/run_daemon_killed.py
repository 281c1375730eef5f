#!/usr/bin/env python3
"""The daemon killed between two pairs, in real time: what the adapter accepted meanwhile is on a label afterwards. And the
bench's commands, asked of the running daemon."""
import json
import os
import select
import signal
import socket
import subprocess
import time
import unittest

from programs import BUILT, FIRMWARE, SOURCE, Folder, pairmark, power_lines

PATIENCE = 120  # seconds; only a hang ever waits so long


def capture(eye, sphere, cylinder, axis):
    line = f"{eye}= {sphere:+06.2f} & {cylinder:+06.2f} @ {axis:03d} ".encode()
    check = 0
    for byte in line:
        check ^= byte
    return line + b"~%02X\r\n" % check


class Lines:
    """Lines from a stream, one after the other; what came behind a wanted line stays for the next wait."""

    def __init__(self, read):
        self.read = read
        self.pending = b""

    def until(self, wanted):
        while True:
            while b"\n" in self.pending:
                line, self.pending = self.pending.split(b"\n", 1)
                if wanted(line.decode("utf-8")):
                    return line.decode("utf-8")
            more = self.read()
            if not more:
                raise AssertionError("it ended, and what was waited for never came")
            self.pending += more


class Bench:
    """A simulated adapter in real time, an instrument's line, and a daemon that can be killed."""

    def __init__(self, folder):
        self.folder = folder
        config = {"programme": "Reading Room", "bench": "RR1", "port": str(folder / "host"),
                  "profile": str(SOURCE / "demo" / "instrument.profile.json")}
        (folder / "bench.json").write_text(json.dumps(config), encoding="utf-8")
        self.board = subprocess.Popen([BUILT / "pairmark-simboard", "--firmware", FIRMWARE, "--socket", folder / "board",
                                       "--host-port", folder / "host", "--instrument-port", folder / "instrument"])
        self.watch = socket.socket(socket.AF_UNIX)
        end = time.monotonic() + PATIENCE
        while self.watch.connect_ex(str(folder / "board")) != 0:
            assert time.monotonic() < end, "the simulated board did not start"
            select.select([], [], [], 0.05)
        self.watch.settimeout(PATIENCE)
        self.watch.sendall(b"join watcher\n")
        self.ticks = Lines(lambda: self.watch.recv(4096))
        self.instrument = os.open(folder / "instrument", os.O_RDWR | os.O_NOCTTY)
        self.daemon = None
        self.start_daemon()

    def start_daemon(self):
        self.daemon = subprocess.Popen([BUILT / "pairmark", "run", "--allow-root", "--json", "--config",
                                        self.folder / "bench.json"], stdout=subprocess.PIPE)
        self.messages = Lines(self.read_daemon)
        self.told(lambda message: message["tell"] == "profile" and message.get("word") == "in-force")

    def read_daemon(self):
        ready, _, _ = select.select([self.daemon.stdout], [], [], PATIENCE)
        return os.read(self.daemon.stdout.fileno(), 65536) if ready else b""

    def told(self, wanted):
        return json.loads(self.messages.until(lambda line: wanted(json.loads(line))))

    def pair(self, number):
        return self.told(lambda message: message["tell"] == "pair" and message["pair"] == number and message["number"])

    def measure(self, *lens):
        """The volunteer's act: press the button, wait for the accepted lamp (the fourth), and for its going out."""
        os.write(self.instrument, capture(*lens))
        for state in "10":
            self.ticks.until(lambda line, lit=state: line.split("lamps=")[-1][3:4] == lit)

    def kill(self):
        self.daemon.send_signal(signal.SIGKILL)
        self.daemon.wait()
        self.daemon.stdout.close()

    def end(self):
        if self.daemon.poll() is None:
            self.daemon.send_signal(signal.SIGTERM)
            assert self.daemon.wait(PATIENCE) == 0
            self.daemon.stdout.close()
        self.board.terminate()
        self.board.wait(PATIENCE)
        self.watch.close()
        os.close(self.instrument)


class DaemonKilled(unittest.TestCase):
    def test_what_was_accepted_without_a_daemon_is_labelled_after_its_return(self):
        with Folder() as folder:
            bench = Bench(folder)
            try:
                bench.measure("R", -1.25, -0.5, 85)
                bench.measure("L", -1.5, -0.25, 95)
                first = bench.pair(1)
                bench.kill()
                bench.measure("R", 2.0, 0, 0)
                bench.measure("L", 2.25, 0, 0)
                bench.start_daemon()
                second = bench.pair(2)
            finally:
                bench.end()
            files = sorted((folder / "labels").glob("*.pdf"))
            self.assertEqual(power_lines(files), [("R −1.25 −0.50 × 085", "L −1.50 −0.25 × 095"), ("R +2.00 DS", "L +2.25 DS")])
            self.assertEqual(files[0].stem, first["number"])
            self.assertEqual(files[1].stem, second["number"])
            out = folder / "session.jsonl"
            self.assertEqual(pairmark("session", "export", "--config", folder / "bench.json", "--out", out).returncode, 0)
            counts = json.loads(pairmark("replay", out, "--json").stdout)
            self.assertEqual((counts["readings"], counts["pairs"], counts["labels"]), (4, 2, 2))


class Commands(unittest.TestCase):
    def test_the_running_daemon_takes_marks_and_undo_and_says_what_follows(self):
        with Folder() as folder:
            bench = Bench(folder)
            try:
                bench.measure("R", -1.25, -0.5, 85)
                bench.measure("L", -1.5, -0.25, 95)
                number = bench.pair(1)["number"]
                run = pairmark("mark", "--config", folder / "bench.json", "tint=dark")
                self.assertEqual(run.returncode, 0, run.stderr)
                self.assertIn("tear up label " + number, run.stdout)
                run = pairmark("mark", "--config", folder / "bench.json", "--undo")
                self.assertEqual(run.returncode, 0, run.stderr)
                again = bench.pair(1)["number"]
                self.assertNotEqual(again, number)
                run = pairmark("mark", "--config", folder / "bench.json", "tint=drak")
                self.assertEqual(run.returncode, 2)
                self.assertIn("dark", run.stderr)
                second = pairmark("run", "--allow-root", "--config", folder / "bench.json")
                self.assertEqual(second.returncode, 1)
                self.assertIn("in use", second.stderr)
            finally:
                bench.end()

    def test_without_a_daemon_a_command_says_how_to_start_one(self):
        with Folder() as folder:
            (folder / "bench.json").write_text("{}", encoding="utf-8")
            run = pairmark("mark", "--config", folder / "bench.json", "--undo")
            self.assertEqual(run.returncode, 1)
            self.assertIn("pairmark run", run.stderr)


if __name__ == "__main__":
    unittest.main()
