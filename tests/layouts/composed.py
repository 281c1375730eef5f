"""A layout composed at random of the features that instruments have, from its seed alone. Even seeds are for developing,
odd ones for trying only."""
from random import Random

from instrument import Layout, Number

SEPARATORS = (" ", "  ", ",", ";", "/", "|", "\t", "\r\n", "\x1c", "\xb7", " \x1bJ ")
TAGS = (("S", "C", "A"), ("SPH ", "CYL ", "AXS "), ("s=", "c=", "a="), ("\xb1", "\xb2", "\xb3"), ("F1:", "F2:", "F3:"),
        ("\x1bK1", "\x1bK2", "\x1bK3"), ("", "", ""))
EYES = (("R", "L"), ("OD", "OS"), ("RIGHT", "LEFT"), ("<r>", "<l>"), ("\xe1", "\xe2"), ("1", "2"), ("Re.", "Li."), None)
CHECKS = ("sum", "sum7", "sum16", "xor", "negated_sum", "negated_sum16", "crc8", "crc8-maxim", "crc16-xmodem", "crc16-ibm-3740",
          "crc16-arc", "crc16-modbus", "crc16-kermit")
ENDS = ("\r\n", "\r", "\n", "\x03", "\x04\r", "END\r\n", "\x1bi", "\xff\xfe")
STARTS = ("", "", "\x02", "\x01", "\x1b@", ">>", "\xaa")
CHANGING = ("#{count} ", "{date} ", "{time} ", "{serial} ", "Q{quality} ", "{date} {time} no.{count} ")


def numbers(random, step, cuts):
    """How sphere and cylinder are written, and whether every one has the same width."""
    point = random.choice((".", ".", ",", ""))
    decimals = 3 if step == 125 and not cuts else 2
    sign = random.choice(("always", "always", "minus", "blank", "apart"))
    fixed = point == "" or random.random() < 0.6
    pad = random.choice({"minus": ("blanks",), "blank": ("zeros", "gap")}.get(sign, ("zeros", "blanks"))) if fixed else ""
    if not fixed and sign == "blank":
        sign = "minus"
    if point == "":
        pad = "zeros" if sign != "minus" else "blanks"
    width = 2 + decimals + (1 if point else 0) + (0 if sign == "apart" else 1)
    return Number(sign, width if pad else 0, pad, point, decimals), fixed


def composed(seed):
    random = Random(f"layout {seed}")
    pick = random.choice
    step = pick((250, 250, 10, 125, 125))
    cuts = step == 125 and random.random() < 0.5
    sphere, fixed = numbers(random, step, cuts)
    cylinder = sphere
    axis = Number("none", 3, pick(("zeros", "blanks")), "", 0) if fixed else Number("none", 0, "", "", 0)
    between = pick(SEPARATORS)
    tags = pick(TAGS)
    if tags[0] == "" and between in ("\xb7",):
        between = " "
    eyes = pick(EYES)
    behind = tags[0] != "" and random.random() < 0.3
    put = lambda tag, sign, number: f"{sign}{number}{tag.strip() or tag}" if behind else f"{tag}{sign}{number}"
    apart = pick(("{} ", "{}", "{}= ")) if sphere.sign == "apart" else ""
    s = put(tags[0], apart.format("{ss}") if apart else "", "{s}")
    c = put(tags[1], apart.format("{cs}") if apart else "", "{c}")
    a = put(tags[2], "", "{a}")
    more = {}
    if random.random() < 0.15:
        c, a = a, c
    rest = c + between + a
    if random.random() < 0.3:
        kind = pick(("blank", "absent")) if not fixed else "blank"
        if kind == "absent":
            more |= {"astigmatic": between + rest, "no_cylinder": ""}
            rest = None
        elif fixed:
            width = len(rest.format(cs="+", c="0" * cylinder.width, a="000"))
            more |= {"astigmatic": rest, "no_cylinder": pick((" ", "-", "*")) * width}
    body = s + ("{ca}" if rest is None else between + ("{ca}" if more else rest))
    eye = "" if eyes is None else "{eye}"
    block = (eye + pick((" ", ": ", between)) + body) if eye and random.random() < 0.8 else body + between + eye if eye else body
    block += pick((between, ";\r\n", "\r\n", "}"))
    if random.random() < 0.2:
        optional = random.random() < 0.6
        more |= {"add": "AD{d} ", "has_add": "sometimes" if optional else "always",
                 "no_add": "" if not fixed else " " * 8, "add_number": Number("always", 5, "zeros", sphere.point or ".")}
        block += "{add}" + pick(("\r\n", "|"))
    if random.random() < 0.15:
        more |= {"prism": "P{hb}{h} {vb}{v} ", "has_prism": pick(("sometimes", "always")), "no_prism": "P- ",
                 "bases": pick((("I", "O", "U", "D"), ("IN", "OUT", "UP", "DOWN"))), "prism_number": Number("none", 5, "zeros")}
        block += "{prism}"
    how = pick(("one", "one", "pair", "pair", "either"))
    start, end = pick(STARTS), pick(ENDS)
    change = "".join(random.sample(CHANGING, pick((0, 1, 1, 2))))
    front = change if random.random() < 0.5 else ""
    check = ""
    if random.random() < 0.55:
        kind = pick(CHECKS)
        raw = random.random() < 0.2
        low = "-low" if raw and random.random() < 0.5 and "16" in kind else ""
        more["check"] = (kind, "raw" + low if raw else pick(("HEX", "hex", "decimal")))
        check = pick(("", "*{until}", "{until}~", "{until}CS=")) + "{check}"
        if pick((False, False, True)) and start:
            start += "{from}"
    middle = "" if front else change
    whole = lambda blocks: f"{start}{front}{blocks}{middle}{check}{end}"
    pd = ""
    if how == "pair" and random.random() < 0.25:
        more |= {"pd": "PD{p} ", "no_pd": pick(("", "PD--.- ")), "has_centres": "sometimes"}
        pd = "{pd}"
    if random.random() < 0.15:
        more["messages"] = tuple(f"{start}{word} {check}{end}" for word in ("CLEAN", "RE-SEAT"))
    return Layout(f"seed-{seed}", block, whole("{1}") if how != "pair" else None,
                  whole("{1}{2}" + pd) if how != "one" else None, sphere=sphere, cylinder=cylinder, axis=axis, step=step, cuts=cuts,
                  plus_cylinder=random.random() < 0.2, eyes=eyes, first=pick(("right", "right", "left")),
                  signs=pick((("+", "-"), ("p", "m"), ("PLUS", "MINUS"))) if sphere.sign == "apart" else ("+", "-"),
                  zero_axis=random.random() < 0.15, **more)
