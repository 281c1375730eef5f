"""Check sums of common kinds, from their definitions."""


def crc(data, bits, polynomial, initial, final, reflected):
    mask, value = (1 << bits) - 1, initial
    flip = lambda number, width: int(f"{number:0{width}b}"[::-1], 2)
    for byte in data:
        value ^= (flip(byte, 8) if reflected else byte) << (bits - 8)
        for _ in range(8):
            value = (value << 1 ^ polynomial if value >> (bits - 1) else value << 1) & mask
    return (flip(value, bits) if reflected else value) ^ final


def xor(data):
    value = 0
    for byte in data:
        value ^= byte
    return value


KINDS = {
    "sum": (8, lambda data: sum(data)), "sum7": (7, lambda data: sum(data)), "sum16": (16, lambda data: sum(data)),
    "xor": (8, xor), "negated_sum": (8, lambda data: -sum(data)), "negated_sum16": (16, lambda data: -sum(data)),
    "crc8": (8, lambda data: crc(data, 8, 0x07, 0, 0, False)),
    "crc8-maxim": (8, lambda data: crc(data, 8, 0x31, 0, 0, True)),
    "crc16-xmodem": (16, lambda data: crc(data, 16, 0x1021, 0, 0, False)),
    "crc16-ibm-3740": (16, lambda data: crc(data, 16, 0x1021, 0xFFFF, 0, False)),
    "crc16-arc": (16, lambda data: crc(data, 16, 0x8005, 0, 0, True)),
    "crc16-modbus": (16, lambda data: crc(data, 16, 0x8005, 0xFFFF, 0, True)),
    "crc16-kermit": (16, lambda data: crc(data, 16, 0x1021, 0, 0, True)),
}


def written(kind, how, data):
    """The check sum's own bytes. `how`: hex, HEX, decimal, raw; with "-low" behind it, of two bytes the low one first."""
    bits, find = KINDS[kind]
    value = find(data) & ((1 << bits) - 1)
    size = 2 if bits == 16 else 1
    number = value.to_bytes(size, "little" if how.endswith("-low") else "big")
    how = how.removesuffix("-low")
    if how == "raw":
        return number
    if how == "decimal":
        return b"%0*d" % (5 if size == 2 else 3, value)
    return (number.hex().upper() if how == "HEX" else number.hex()).encode()
