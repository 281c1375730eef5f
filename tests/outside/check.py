#!/usr/bin/env python3
"""Fails unless tests/outside/README.md has every row of the published values, and every test that it names exists.

A row says its ids ("T1 to T16", "V1, V2"), what they are, their status, and either tests, as `file` *name* (a name may end with ...
where only its beginning is given), or "none:" and the reason. What must hold:
  R1  every id of ROWS stands in exactly one row, and no other id does;
  R2  every file named exists, seen from this folder, and has every test named after it;
  R3  where a row names files of this folder, each of its ids stands in one of them;
  R4  rows that can be tested (TESTED), and whose status is not memory alone, name a test;
  R5  where the status is memory, a test that is named says "from memory".

Usage: check.py ROOT [--self-test]. The self-test plants one fault after another in copies of the page and expects each to be found.
Only Python's standard library is used.
"""
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), os.pardir))
sys.dont_write_bytecode = True
from catch_names import is_named, names_in_file  # noqa: E402

HERE = "tests/outside"
HEAD = "test, or why none"
ROWS = {"T": 30, "V": 8, "C": 15, "B": 9, "P": 19, "X": 9, "F": 17, "A": 13, "I": 12, "G": 12}
TESTED = "TVCPXA"


def ids_in(cell):
    """["T1", "T2", "T3"] of "T1 to T3" or "T1, T2, T3"; nothing where the cell is none of these."""
    ids = []
    for part in cell.split(","):
        words = part.split()
        ends = [re.fullmatch(r"([A-Z])(\d+)", word) for word in words if word != "to"]
        if not ends or None in ends or len(words) != 2 * len(ends) - 1 or len(ends) > 2 or ends[0][1] != ends[-1][1]:
            return []
        ids += [f"{ends[0][1]}{n}" for n in range(int(ends[0][2]), int(ends[-1][2]) + 1)]
    return ids


def rows_in(text):
    """(line number, ids, status, last cell) of each row under a head whose last cell is HEAD."""
    inside = False
    for number, line in enumerate(text.splitlines(), 1):
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")] if line.startswith("|") else []
        if not cells:
            inside = False
        elif cells[-1] == HEAD:
            inside = True
        elif inside and not set(cells[-1]) <= set("-"):
            yield number, ids_in(cells[0]), cells[2] if len(cells) == 4 else "", cells[-1]


def faults_in_proof(number, ids, status, proof, root):
    faults, files, names, file = [], {}, [], None
    for token in re.findall(r"`[^`]+\.cpp`|\*[^*]+\*", proof):
        if token.startswith("`"):
            file = token.strip("`")
            path = os.path.join(root, HERE, file)
            if not os.path.isfile(path):
                return [f"{number}: there is no file {file}"]
            files[file] = path
        elif file is None:
            faults.append(f"{number}: no file stands before {token}")
        else:
            names.append(token.strip("*"))
            if not is_named(names[-1], names_in_file(files[file])):
                faults.append(f"{number}: {file} has no test \"{names[-1]}\"")
    if files and not names:
        faults.append(f"{number}: names a file and no test in it")
    if not names and not proof.startswith("none: "):
        faults.append(f"{number}: names no test and gives no reason")
    if not names and status != "memory" and any(one[0] in TESTED for one in ids):
        faults.append(f"{number}: {ids[0]} can be tested and names no test")
    if names and status == "memory" and not any("from memory" in name for name in names):
        faults.append(f"{number}: no test named says \"from memory\"")
    here = [path for name, path in files.items() if not name.startswith("..")]
    texts = [open(path, encoding="utf-8").read() for path in here]
    for one in ids if here else []:
        if not any(re.search(rf"\b{one}\b", text) for text in texts):
            faults.append(f"{number}: {one} stands in none of {', '.join(files)}")
    return faults


def faults_in(text, root):
    faults, seen = [], []
    for number, ids, status, proof in rows_in(text):
        if not ids or not status:
            faults.append(f"{number}: is no row: ids, what, status, tests or reason")
            continue
        seen += ids
        faults += faults_in_proof(number, ids, status, proof, root)
    wanted = [f"{letter}{n}" for letter, last in ROWS.items() for n in range(1, last + 1)]
    faults += [f"{one} is missing" for one in wanted if one not in seen]
    faults += [f"{one} is not known" for one in set(seen) - set(wanted)]
    faults += [f"{one} stands twice" for one in set(seen) if seen.count(one) > 1]
    return faults


# What is changed in the page, and what must be said of it.
PLANTED = [
    ("| T1 to T16 |", "| T1 to T15 |", "T16 is missing"),
    ("| V1, V2 |", "| V1, V2, V3 |", "V3 stands twice"),
    ("| G9 |", "| G13 |", "G13 is not known"),
    ("*Axis: 180 is written, never 0*", "*Axis: 180 is written, ever*", "has no test"),
    ("*Axis: zero, direction and viewpoint ...*", "*Axis: zero, direction and taste ...*", "has no test"),
    ("*Axis: 180 is written, never 0*", "*Axis: 180 is written*", "has no test"),
    ("`optics_prism.cpp` *Prism base: its names", "`optics_prisms.cpp` *Prism base: its names", "there is no file"),
    ("`optics_writing.cpp` *Step: ", "`optics_tolerances.cpp` *Tolerance on prism: ...*; `optics_writing.cpp` *Stop: ", "has no test"),
    ("`optics_power_vectors.cpp` *Spherical equivalent: ...*", "`optics_prism.cpp` *Prism: decentred lenses ...*", "T19 stands in none"),
    ("`optics_tolerances.cpp` *Tolerance on the addition: ...*", "none: too dull", "A6 can be tested"),
    ("| none: no acuity is handled |", "| perhaps |", "gives no reason"),
    ("*Tolerance, ISO 21987, from memory: on the cylinder*", "*Tolerance, ISO ...*", "from memory"),
    ("| T26 | steps of 0.25 D | read |", "| T26 | read |", "is no row"),
]


def self_test(text, root):
    clean = not faults_in(text, root)
    for before, after, said in PLANTED:
        if text.count(before) < 1:
            print(f"cannot plant: the page does not say {before}")
            clean = False
        elif not any(said in fault for fault in faults_in(text.replace(before, after, 1), root)):
            print(f"a planted fault is not seen: {after}")
            clean = False
    return 0 if clean else 1


def main():
    root = sys.argv[1]
    with open(os.path.join(root, HERE, "README.md"), encoding="utf-8") as file:
        text = file.read()
    if "--self-test" in sys.argv:
        return self_test(text, root)
    faults = faults_in(text, root)
    print("\n".join(f"{HERE}/README.md:{fault}" for fault in faults) or f"{sum(ROWS.values())} rows, every named test exists")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
