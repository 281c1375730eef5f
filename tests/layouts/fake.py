#!/usr/bin/env python3
"""A program with the commands of pairmark that knows one layout by heart, and can be told to be wrong in one way: what the trial
must find. Used by self_test.py only; FAKE says how."""
import base64
import json
import os
import re
import sys

import sums

FAKE = os.environ.get("FAKE", "")
LINE = re.compile(rb"([RL])= ([+-]\d\d\.\d\d) & ([+-]\d\d\.\d\d) @ (\d\d\d) ~(..)\r\n")


def reading(data):
    """What it makes of a capture; None: refused."""
    junk = FAKE == "overlooks junk" and max(data, default=0) > 127
    if junk:
        data = bytes(byte for byte in data if byte < 128)
    found = LINE.fullmatch(data)
    if not found and FAKE == "takes a cut end":
        found = LINE.fullmatch(data + b"\r\n")
    if not found or (FAKE != "no check sum" and found.group(5) != sums.written("xor", "HEX", data[:data.index(b"~")])):
        return None
    eye, sphere, cylinder, axis = found.group(1), float(found.group(2)), float(found.group(3)), int(found.group(4))
    if FAKE == "sign lost" and sphere > 0:
        sphere = -sphere
    if FAKE == "eyes exchanged":
        eye = b"L" if eye == b"R" else b"R"
    if junk:
        sphere += 1
    return {"eye": "right" if eye == b"R" else "left", "sphere": sphere, "cylinder": cylinder, "axis": axis}


def decode():
    for line in sys.stdin:
        said = reading(base64.b64decode(json.loads(line)["capture"]))
        if said and FAKE == "large refused" and abs(said["sphere"]) >= 10:
            said = None
        print(json.dumps({"readings": [said]} if said else {"refused": "no"}))


def learn(samples, out):
    wrong = [at for at, sample in enumerate(samples)
             if [reading(base64.b64decode(sample["capture"]))] != sample["shown"]]
    if wrong and FAKE not in ("believes anybody", "sign lost", "eyes exchanged"):
        print(json.dumps({"status": "contradiction", "say": f"sample {wrong[0] + 1} does not fit"}))
        return 4
    if len(samples) < (99 if FAKE == "never content" else 3):
        need = {"colour": "blue"} if FAKE == "asks for what is not there" else {"sphere": "plus", "eye": "left"}
        print(json.dumps({"status": "more", "need": need, "say": "more"}))
        return 3
    with open(out, "w", encoding="utf-8") as file:
        file.write("{}")
    print(json.dumps({"status": "learned", "say": "learned"}))
    return 0


def main(words):
    option = lambda name: words[words.index(name) + 1]
    if words[0] == "decode":
        decode()
        return 0
    with open(option("--samples"), encoding="utf-8") as file:
        return learn(json.load(file)["samples"], option("--out"))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
