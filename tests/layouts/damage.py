"""What a cable does to a capture. Every damaged form comes with the answer that alone may be given besides a refusal."""
DIGITS = b"0123456789"
# Bytes that another reading of the same instrument may have in that place: without a check sum nobody can tell.
PLAUSIBLE = DIGITS + b"+- .,"


def words_of(layout):
    """Bytes of the words that carry a meaning: in place of another they are another lens."""
    words = [*(layout.eyes or ()), *(layout.bases if layout.prism else ()), *(layout.signs if "{ss}" in layout.block else ())]
    return set("".join(words).encode("latin-1"))


def damaged(layout, data, random, tries, fixed):
    """`fixed`: every capture of the instrument has this one's length. Yields (what was done, damaged bytes, whether the
    instrument itself could send this for other values)."""
    checked = layout.check is not None
    for length in range(1, len(data)):
        yield f"cut to {length} bytes", data[:length], False
    plausible = set(PLAUSIBLE) | words_of(layout)
    for _ in range(tries):
        at, junk = random.randrange(len(data) + 1), random.randrange(256)
        yield f"{junk:#04x} put in at {at}", data[:at] + bytes([junk]) + data[at:], not checked and junk in plausible
        at, junk = random.randrange(len(data)), random.randrange(256)
        if junk != data[at]:
            yield (f"{junk:#04x} in place of byte {at}", data[:at] + bytes([junk]) + data[at + 1:],
                   not checked and junk in plausible)
    if fixed or checked:
        for at in range(len(data)):
            yield f"byte {at} lost", data[:at] + data[at + 1:], False
    for at, byte in enumerate(data):
        if byte in DIGITS:
            for other in DIGITS if checked else random.sample(DIGITS, 2):
                if other != byte:
                    yield f"digit {at} changed to {chr(other)}", data[:at] + bytes([other]) + data[at + 1:], not checked
