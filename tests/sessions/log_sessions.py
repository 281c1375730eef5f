#!/usr/bin/env python3
"""Logs the sessions beside this file anew: the real program at the real firmware on the simulated board. Only when what a
session holds has changed; the trials read the files, not this.

    tests/sessions/log_sessions.py [NAME ...]     needs build/release: pairmark, pairmark-simboard, pairmark_firmware_image

All pairs are invented. A session's expected outcome lies beside it; the trial in tests/steps writes it (its header says how).
"""
import os
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
os.environ.setdefault("PAIRMARK_SOURCE", str(ROOT))
os.environ.setdefault("PAIRMARK_BUILT", str(ROOT / "build" / "release"))
sys.path.insert(0, str(HERE.parent / "system"))

from bench import Bench  # noqa: E402
from programs import Folder, pairmark  # noqa: E402


def pair(bench, right, left):
    bench.measure("R", *right)
    bench.measure("L", *left)


def ordinary(bench):
    """A morning: kept, turned down by the rules and by hand, one tray for questions, plus cylinder, an addition of nothing."""
    pair(bench, (-1.25, -0.5, 85), (-1.5, -0.25, 95))
    pair(bench, (2.0,), (2.25,))
    pair(bench, (-3.0, 1.0, 30), (-2.75, 0.75, 150))
    pair(bench, (0.5, -4.5, 178), (0.25, -1.0, 5))
    pair(bench, (-1.0,), (-4.25, -0.5, 170))
    bench.press("down")
    bench.measure("L", -2.0, -0.75, 12)
    bench.measure("R", -2.25, -0.5, 168)
    pair(bench, (0.0,), (-0.75, -0.25, 90))
    bench.pass_time(40)
    pair(bench, (1.25, -0.75, 10), (1.5, -0.5, 172))
    pair(bench, (-5.25, -1.25, 178), (-5.5, -1.0, 2))
    pair(bench, (3.0,), (2.75, -0.25, 60))
    pair(bench, (-0.5, -0.5, 45), (-0.75,))


def doubts(bench):
    """Questions and answers, undo after the label, set aside, marks that void a label, the same lens again, a half pair that
    grew old."""
    pair(bench, (-1.25, -0.5, 85), (-1.5,))
    bench.labelled(1)
    bench.press("undo")
    bench.measure("L", -1.75)
    bench.labelled(1)
    bench.measure("R", -0.75, -0.5, 91)
    bench.measure("R", -0.75, -0.5, 90)
    bench.measure("L", -1.0, -0.25, 88)
    bench.labelled(2)
    bench.mark("tint=light")
    bench.labelled(2)
    bench.mark("tint=dark")
    bench.mark("--undo")
    bench.labelled(2)
    bench.measure("R", -4.0, -0.25, 35)
    bench.measure("R", -2.0, -1.0, 140)
    bench.mark("--pair", "3", "--answer", "same-lens")
    bench.measure("L", -2.25, -0.75, 40)
    pair(bench, (-0.5, -0.25, 45), (-0.75,))
    bench.press("undo", 1.2)
    bench.measure("R", 1.0)
    bench.press("aside")
    pair(bench, (2.5, -0.5, 20), (2.25, -0.25, 160))
    bench.measure("R", 1.75)
    bench.pass_time(310)
    bench.measure("L", 1.5)
    bench.mark("--turn-down", "--because", "the bridge is cracked")
    pair(bench, (-3.5,), (-3.25,))


def restarts(bench):
    """The adapter is reset within a pair and between pairs, the daemon stopped and started likewise."""
    pair(bench, (-1.25, -0.5, 85), (-1.5, -0.25, 95))
    bench.labelled(1)
    bench.measure("R", 2.0)
    reset(bench)
    bench.measure("L", 2.25)
    bench.told("said", "started again")
    bench.mark("--answer", "same-pair")
    bench.labelled(2)
    reset(bench)
    pair(bench, (-3.0,), (-3.25,))
    bench.labelled(3)
    bench.measure("R", -2.25, -0.5, 168)
    bench.kill()
    start(bench)
    bench.measure("L", -2.0, -0.75, 12)
    bench.labelled(4)
    bench.kill()
    bench.measure("R", 0.75)  # waits in the adapter, and is late
    bench.pass_time(4)
    start(bench)
    bench.measure("L", 1.0)
    bench.told("said", "is held")
    bench.mark("--release")
    bench.labelled(5)
    bench.press("down")
    reset(bench)
    bench.measure("R", -0.5)
    bench.kill()
    reset(bench, daemon=False)
    start(bench)
    bench.measure("L", -0.75)
    bench.told("said", "started again")
    bench.press("go")
    pair(bench, (4.0, -1.0, 5), (4.25, -1.25, 175))


def start(bench):
    """The board's time runs ahead of the computer's, and a daemon begins by the computer's clock: it is not to be set back."""
    time.sleep(max(0, bench.us / 1e6 - (time.monotonic() - bench.began)))
    bench.start()


def reset(bench, daemon=True):
    bench.pass_time(1)  # what is cued is cued to its end, and not again
    bench.until(lambda: bench.owes_answer, "the board's time")
    bench.socket.sendall(b"reset\n")
    if daemon:
        bench.told("profile", word="in-force")
    else:
        bench.pass_time(2)


def log(name, act):
    with Folder() as folder:
        began = time.monotonic()
        with Bench(folder, late_seconds=2) as bench:
            bench.began = began
            act(bench)
            bench.pass_time(3)
        out = HERE / f"{name}.jsonl"
        out.unlink(missing_ok=True)
        run = pairmark("session", "export", "--config", folder / "bench.json", "--out", out)
        assert run.returncode == 0, run.stderr
        print(f"{name}: {len(out.read_text(encoding='utf-8').splitlines()) - 2} events")


if __name__ == "__main__":
    sessions = {act.__name__: act for act in (ordinary, doubts, restarts)}
    for wanted in sys.argv[1:] or sessions:
        log(wanted, sessions[wanted])
