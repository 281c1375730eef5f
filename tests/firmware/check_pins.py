#!/usr/bin/env python3
"""Compares the hardware pages with the firmware's source: pins, fuses, and the protocol lines that a technician copies.

Usage: check_pins.py ROOT [--self-test]. The self-test plants one mistake after another in copies of the pages and expects each
to be found, so that the check itself cannot go blind. Only Python's standard library is used.
"""
import os
import re
import sys
import zlib

PAGES = ("README.md", "parts.md", "interface.md", "flashing.md", "bring-up.md", "wiring.svg")
SOURCES = {
    "main": "firmware/board/atmega2560/main.cpp",
    "serial": "firmware/board/atmega2560/serial.cpp",
    "board": "firmware/core/board.hpp",
    "cues": "firmware/core/cues.hpp",
    "rhythms": "firmware/core/cues.cpp",
}

# ATmega2560 data sheet, "Alternate Port Functions" (from memory): where the chip's serial ports and timer 3 come out.
RXD, TXD = {"0": "PE0", "1": "PD2"}, {"0": "PE1", "1": "PD3"}
OC3A = "PE3"
# What common boards print beside their header.
HEADER = {"PE0": "0", "PE1": "1", "PD2": "19", "PD3": "18", "PE3": "5"}
HEADER.update({f"PA{n}": str(22 + n) for n in range(8)})
HEADER.update({f"PK{n}": f"A{8 + n}" for n in range(4)})
KEY_WORDS = {"key_go": "looked over / go on", "key_down": "turn down", "key_undo": "undo", "key_aside": "set aside"}


def one(pattern, text, what):
    found = re.search(pattern, text, re.S)
    if not found:
        raise SystemExit(f"check_pins: cannot find {what} in the source; this check must be brought up to date")
    return found.group(1)


def pins_of(source):
    """{pin: what the page must say about it}, from the board's source."""
    pins = {}
    lamps = one(r"void set_lamps\(uint8_t lamps\)[^{]*\{\s*PORT([A-L]) = lamps;", source["main"], "the lamps' port")
    one(rf"(DDR{lamps} = 0xFF;)", source["main"], "the lamps' direction")
    cues = one(r"enum class Cue : uint8_t \{([^}]*)\}", source["cues"], "the cues").split(",")
    for place, name in enumerate(cues):
        pins[f"P{lamps}{place}"] = f"lamp {place + 1}, {name.strip().replace('_', ' ')}"
    keys = one(r"uint8_t keys\(\)[^{]*\{ return static_cast<uint8_t>\(~PIN([A-L])\) & 0x0F;", source["main"], "the keys' port")
    one(rf"(PORT{keys} = 0x0F;)", source["main"], "the keys' pull-ups")
    for name, bit in re.findall(r"(key_\w+) = (\d+)", source["board"]):
        number = int(bit).bit_length()
        pins[f"P{keys}{number - 1}"] = f"key {number}, {KEY_WORDS[name]}"
    one(r"(OCR3A = .*TCCR3A = _BV\(COM3A0\);)", source["main"], "the sounder's timer")
    pins["P" + one(rf"DDRE \|= _BV\(P({OC3A[1:]})\)", source["main"], "the sounder's pin")] = "sounder"
    host = one(r"divider_for\(115200\);\s*UBRR(\d) = ", source["serial"], "the computer's port")
    instrument = one(r"divider_for\(settings\.baud\);\s*UBRR(\d) = ", source["serial"], "the instrument's port")
    pins[RXD[host]] = "from the computer"
    pins[TXD[host]] = "to the computer"
    pins[RXD[instrument]] = "from the instrument"
    pins[TXD[instrument]] = "leave open"
    return pins


def faults(source, pages):
    found = []
    expected = pins_of(source)
    rows = re.findall(r"^\| (P[A-L]\d)(?: \w+)? \| (\w+) \| ([^|]*) \|", pages["README.md"], re.M)
    table = {pin: (header, what.strip()) for pin, header, what in rows}
    if len(rows) != len(table):
        found.append("README.md: a pin stands twice in the table")
    for pin in sorted(set(expected) | set(table)):
        if pin not in table or pin not in expected:
            found.append(f"README.md: {pin} is only in the {'source' if pin in expected else 'table'}")
            continue
        header, what = table[pin]
        if not what.startswith(expected[pin]):
            found.append(f"README.md: {pin} says \"{what}\", the source \"{expected[pin]}\"")
        if header != HEADER[pin]:
            found.append(f"README.md: {pin} has header {header}, common boards {HEADER[pin]}")
    drawn = dict(re.findall(r"\b(P[A-L]\d)(?: [A-Z0-9]+)? \((\w+)\)", pages["wiring.svg"]))
    for pin, header in drawn.items():
        if HEADER.get(pin) != header:
            found.append(f"wiring.svg: {pin} ({header}), expected ({HEADER.get(pin)})")
    found += [f"wiring.svg: {pin} is not drawn" for pin in expected if pin not in drawn]
    tones = [int(hz) for hz in re.findall(r"Then::\w+, (\d+),", source["rhythms"]) if hz != "0"]
    if f"{min(tones)} to {max(tones)} Hz" not in pages["README.md"]:
        found.append(f"README.md: the sounder's range is {min(tones)} to {max(tones)} Hz")
    return found + fuse_faults(pages) + line_faults(pages)


def fuse_faults(pages):
    found, byte = [], {"low": {}, "high": {}, "extended": {}}
    for name, bit, value in re.findall(r"^\| (low|high|extended) \| (\d) \| \S+ \| ([01]) \|", pages["flashing.md"], re.M):
        byte[name][int(bit)] = int(value)
    values = {}
    for name, bits in byte.items():
        if sorted(bits) != list(range(8)):
            found.append(f"flashing.md: the {name} fuse byte's table has not each of its eight bits once")
        values[name[0]] = sum(value << bit for bit, value in bits.items())
    commands = re.findall(r"([lhe])fuse:[wv]:0x([0-9A-F]{2})", pages["flashing.md"])
    if len(commands) < 6:
        found.append("flashing.md: the commands that write and verify the fuses are gone")
    for which, value in commands:
        if int(value, 16) != values[which]:
            found.append(f"flashing.md: a command has {which}fuse 0x{value}, the table 0x{values[which]:02X}")
    return found


def line_faults(pages):
    found, seen = [], 0
    for page, text in pages.items():
        for line, crc in re.findall(r"(@[A-Z]+ [^*\n`]*)\*([0-9A-F]{8})", text):
            seen += 1
            if zlib.crc32(line.encode()) != int(crc, 16):
                found.append(f"{page}: wrong check sum in {line}*{crc}")
    if seen < 8:
        found.append("the lines to copy are gone from the pages")
    return found


def read(root):
    source = {name: open(os.path.join(root, path), encoding="utf-8").read() for name, path in SOURCES.items()}
    pages = {name: open(os.path.join(root, "firmware/hardware", name), encoding="utf-8").read() for name in PAGES}
    return source, pages


MISTAKES = (
    ("README.md", "| PA0 | 22 | lamp 1, keep", "| PA0 | 22 | lamp 1, ask"),
    ("README.md", "| PK2 | A10 | key 3, undo", "| PK2 | A11 | key 3, undo"),
    ("README.md", "| PD2 RXD1 | 19 | from the instrument", "| PD2 RXD1 | 19 | to the instrument"),
    ("README.md", "| PE3 OC3A | 5 | sounder", "| PE4 OC3A | 5 | sounder"),
    ("README.md", "400 to 2000 Hz", "400 to 3000 Hz"),
    ("wiring.svg", "PA3 (25)", "PA3 (26)"),
    ("wiring.svg", "PK1 (A9)", "nothing"),
    ("flashing.md", "| high | 3 | EESAVE | 0 |", "| high | 3 | EESAVE | 1 |"),
    ("flashing.md", "| high | 0 | BOOTRST | 1 |", "| high | 1 | BOOTRST | 1 |"),
    ("flashing.md", "efuse:w:0xFC", "efuse:w:0xFD"),
    ("bring-up.md", "@CUE n=1 show=keep", "@CUE n=1 show=kept"),
)


def self_test(source, pages):
    blind = []
    for page, good, bad in MISTAKES:
        if good not in pages[page] or not faults(source, {**pages, page: pages[page].replace(good, bad)}):
            blind.append(f"{page}: \"{bad}\" in place of \"{good}\" was not found")
    swapped = {**source, "cues": source["cues"].replace("{ keep, discard,", "{ discard, keep,")}
    if not faults(swapped, pages):
        blind.append("cues.hpp: two exchanged lamps were not found")
    return blind


def main():
    source, pages = read(sys.argv[1])
    found = self_test(source, pages) if "--self-test" in sys.argv[2:] else faults(source, pages)
    for line in found:
        print(line)
    sys.exit(1 if found else 0)


if __name__ == "__main__":
    main()
