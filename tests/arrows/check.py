#!/usr/bin/env python3
"""Fails on any include line that the table of rooms (rooms.json) does not allow.

Usage: check.py ROOT [--self-test]. The self-test plants forbidden includes in a copy of the table's world and expects each
to be found, so that the check itself cannot go blind.
"""
import json
import os
import re
import sys
import tempfile

INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]')


def room_of(path, rooms):
    best = None
    for room in rooms:
        if path.startswith(room + "/") and (best is None or len(room) > len(best)):
            best = room
    return best


def allowed(target, uses):
    return any(target == use or (use.endswith("/*") and target.startswith(use[:-1])) for use in uses)


def faults(root, table):
    rooms = table["rooms"]
    found, seen = [], 0
    for top in ("protocol", "firmware", "host", "demo"):
        for folder, _, files in os.walk(os.path.join(root, top)):
            for name in sorted(files):
                if not name.endswith((".cpp", ".hpp", ".h", ".in")):
                    continue
                path = os.path.relpath(os.path.join(folder, name), root)
                room = room_of(path, rooms)
                if room is None:
                    found.append(f"{path}: lies in no room of the table")
                    continue
                seen += 1
                with open(os.path.join(folder, name), encoding="utf-8") as text:
                    for number, line in enumerate(text, 1):
                        match = INCLUDE.match(line)
                        if match:
                            fault = judge(match.group(2), path, room, table, root)
                            if fault:
                                found.append(f"{path}:{number}: {fault}")
    return found, seen


def judge(target, path, room, table, root):
    other = room_of(target, table["rooms"])
    if other is not None and os.path.exists(os.path.join(root, target)):
        if other != room and not allowed(other, table["rooms"][room]):
            return f"{room} may not use {other} ({target})"
        return None
    # The longest matching library decides: boost/beast before boost/.
    keys = [key for key in table["libraries"] if target.startswith(key)]
    if keys and room not in table["libraries"][max(keys, key=len)]:
        return f"{room} may not include {target}"
    excepted = table["pure"]["except"].get(path, [])
    if room in table["pure"]["rooms"] and target in table["pure"]["never"] and target not in excepted:
        return f"{room} is pure and may not include {target}"
    return None


def self_test(table):
    planted = {
        "host/optics/a.cpp": '#include "host/store/b.hpp"',
        "host/pairing/a.cpp": "#include <sqlite3.h>",
        "host/grading/a.cpp": "#include <fstream>",
        "host/link/a.cpp": "#include <boost/beast/core.hpp>",
        "protocol/a.cpp": '#include "host/store/b.hpp"',
        "host/cellar/a.cpp": "#include <vector>",
    }
    with tempfile.TemporaryDirectory() as root:
        for path, text in {**planted, "host/store/b.hpp": "#pragma once"}.items():
            os.makedirs(os.path.dirname(os.path.join(root, path)), exist_ok=True)
            with open(os.path.join(root, path), "w", encoding="utf-8") as file:
                file.write(text + "\n")
        found, _ = faults(root, table)
    missed = [path for path in planted if not any(fault.startswith(path) for fault in found)]
    return missed, len(found) == len(planted)


def main():
    root = sys.argv[1]
    with open(os.path.join(root, "tests/arrows/rooms.json"), encoding="utf-8") as file:
        table = json.load(file)
    if "--self-test" in sys.argv:
        missed, exact = self_test(table)
        print("planted and not found:", missed or "none")
        return 0 if not missed and exact else 1
    found, seen = faults(root, table)
    print("\n".join(found) if found else f"{seen} files, every include allowed")
    return 1 if found or seen < 20 else 0


if __name__ == "__main__":
    sys.exit(main())
