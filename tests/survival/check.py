#!/usr/bin/env python3
"""Fails unless every row of docs/survival.md names at least one test, and every test that it names exists.

A row names tests as *the first words of a test's name ...* or *a whole name*; `tests/ROOM` before them says where they are, the
section's first line where nothing stands there. A room alone (`tests/pairing`) must exist and hold tests.

Usage: check.py ROOT [--self-test].
"""
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), os.pardir))
sys.dont_write_bytecode = True
from catch_names import is_named, names_in_file  # noqa: E402

USUAL_ROOM = "tests/faults"


def names_in(root, room, known):
    if room not in known:
        found = []
        folder = os.path.join(root, room)
        for name in sorted(os.listdir(folder)) if os.path.isdir(folder) else []:
            if name.endswith(".cpp"):
                found += names_in_file(os.path.join(folder, name))
        known[room] = found
    return known[room]


def faults_in(text, root):
    faults, rows, known = [], 0, {}
    proves = False  # in a table whose last column names tests
    for number, line in enumerate(text.splitlines(), 1):
        if not line.startswith("|"):
            proves = False
            continue
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if cells[-1] == "proved by":
            proves = True
            continue
        if not proves or set(cells[-1]) <= set("-"):
            continue
        rows += 1
        room, named = USUAL_ROOM, 0
        for token in re.findall(r"`tests/\w+`|\*[^*]+\*", cells[-1]):
            if token.startswith("`"):
                room = token.strip("`")
                if not names_in(root, room, known):
                    faults.append(f"{number}: {room} holds no tests")
                named += 1
                continue
            words = token.strip("*").strip()
            named += 1
            if not is_named(words, names_in(root, room, known)):
                faults.append(f"{number}: {room} has no test \"{words}\"")
        if named == 0:
            faults.append(f"{number}: names no test: {line[:60]}")
    return faults, rows


def main():
    root = sys.argv[1]
    with open(os.path.join(root, "docs/survival.md"), encoding="utf-8") as file:
        text = file.read()
    if "--self-test" in sys.argv:
        planted = [("*wherever the power goes ", "*wherever the wind goes "), ("`tests/printing`", "`tests/cellar`")]
        for before, after in planted:
            table = f"| x | proved by |\n|---|---|\n| y | {before if before[0] == '`' else before + '...*'} |\n"
            if faults_in(table, root)[0] or not faults_in(table.replace(before, after), root)[0]:
                print(f"a planted fault is not seen: {after}")
                return 1
        return 0 if faults_in("| x | proved by |\n|---|---|\n| y | nothing |\n", root)[0] else 1
    faults, rows = faults_in(text, root)
    print("\n".join(f"docs/survival.md:{fault}" for fault in faults) or f"{rows} rows, every named test exists")
    return 1 if faults or rows < 40 else 0


if __name__ == "__main__":
    sys.exit(main())
