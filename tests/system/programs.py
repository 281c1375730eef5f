"""The built programs, and what they leave behind, for whole runs."""
import json
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

BUILT = Path(os.environ["PAIRMARK_BUILT"])
SOURCE = Path(os.environ["PAIRMARK_SOURCE"])
SANITIZED = bool(os.environ.get("PAIRMARK_SANITIZED"))
FIRMWARE = BUILT / "firmware" / "pairmark-adapter.elf"


class Folder:
    """A temporary folder that goes with the test."""

    def __enter__(self):
        self.path = Path(tempfile.mkdtemp(prefix="pairmark-test-"))
        return self.path

    def __exit__(self, *_):
        shutil.rmtree(self.path)


def pairmark(*words, text=None, timeout=120):
    return subprocess.run([BUILT / "pairmark", *map(str, words)], input=text, capture_output=True, text=True,
                          timeout=timeout, check=False)


def play(out, *words, firmware=FIRMWARE, timeout=900):
    """A day in the simulator's own time."""
    return subprocess.run([BUILT / "demo" / "sorting-day", "--built", BUILT, "--scenes", SOURCE / "demo", "--out", out,
                           "--headless", "--fast", "--firmware", firmware, *map(str, words)],
                          capture_output=True, text=True, timeout=timeout, check=False)


def summary(out):
    return json.loads((out / "summary.json").read_text(encoding="utf-8"))


def session(out):
    """The exported events, header and end line left out."""
    lines = (out / "session.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines[1:-1]]


def label_files(out):
    return sorted((out / "labels").glob("*.pdf"))


def power_lines(pdfs):
    """The two power lines of each label, in order, as pdftotext reads them. Many at once: a process a label would take
    longer than the day itself."""
    found = []
    with Folder() as folder:
        for first in range(0, len(pdfs), 100):
            batch = pdfs[first:first + 100]
            joined = folder / "joined.pdf"
            # A single file cannot be joined with nothing.
            subprocess.run(["pdfunite", *batch, *batch[-1:], joined], capture_output=True, check=True)
            text = subprocess.run(["pdftotext", joined, "-"], capture_output=True, check=True).stdout.decode("utf-8")
            for page in text.split("\f")[:len(batch)]:
                found.append(tuple(line for line in page.splitlines() if re.match(r"^[RL] [+−0-9]", line)))
    return found


def forget_database(out):
    for file in out.glob("day.db*"):
        file.unlink()
