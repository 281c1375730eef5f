#!/usr/bin/env python3
"""No two files define a type of the same name in the same namespace.

Two such types in one program are undefined behaviour, and no compiler or linker says so: each file is right by itself. A nested
class of one file's own (Table::Machine) and a definition of what a header only names are no second type.

Usage: one_definition.py SOURCE_TREE [--self-test]. Only Python's standard library is used.
"""
import collections
import os
import re
import sys

ROOTS = ("protocol", "firmware", "host", "demo", "tests")
OPENS = re.compile(r"(?:inline )?namespace(?: ([\w:]+))? \{")
CLOSES = re.compile(r"\}\s*// namespace")
DEFINES = re.compile(r"(?:struct|class|enum class|enum|union) (?:\[\[\w+\]\] )?(\w+)(?: final)?(?: :[^:;].*)? \{")


def definitions(lines):
    """(namespace, name) of each type that is defined outside of any other and of unnamed namespaces."""
    spaces = []
    for line in lines:
        opened = OPENS.match(line)
        if opened:
            spaces.append(opened.group(1) or "")
        elif CLOSES.match(line) and spaces:
            spaces.pop()
        else:
            defined = DEFINES.match(line)  # at the line's beginning: the formatter indents what is nested
            if defined and "" not in spaces and spaces:
                yield "::".join(spaces), defined.group(1)


def doubles(files):
    """files: name to lines. A sentence for each type that two files define."""
    seen = collections.defaultdict(set)
    for name, lines in files.items():
        for one in definitions(lines):
            seen[one].add(name)
    return [f"{space}::{name} is defined in {' and in '.join(sorted(where))}; give one of them a name of its own"
            for (space, name), where in sorted(seen.items()) if len(where) > 1]


def tree(root):
    files = {}
    for top in ROOTS:
        for at, _, names in os.walk(os.path.join(root, top)):
            for name in names:
                if name.endswith((".hpp", ".cpp")):
                    path = os.path.join(at, name)
                    with open(path, encoding="utf-8") as file:
                        files[os.path.relpath(path, root)] = file.read().splitlines()
    return files


def self_test(root):
    files = tree(root)
    files["planted.hpp"] = ["namespace pairmark::optics {", "struct Power {", "};", "}  // namespace pairmark::optics"]
    files["innocent.cpp"] = ["namespace pairmark::optics {", "namespace {", "struct Dioptre {", "};", "}  // namespace",
                             "class PowerVector;", "}  // namespace pairmark::optics"]
    found = doubles(files)
    if len(found) != 1 or not found[0].startswith("pairmark::optics::Power is defined in host/optics/power.hpp and in planted.hpp"):
        print("the planted second definition was not found alone:", found)
        return 1
    print("the planted second definition is found")
    return 0


def main():
    root = sys.argv[1]
    if "--self-test" in sys.argv:
        return self_test(root)
    files = tree(root)
    found = doubles(files)
    print("\n".join(found) or f"{len(files)} files, every type is defined once")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
