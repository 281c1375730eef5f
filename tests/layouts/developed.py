"""Layouts that the learner was developed on. All are invented; none is a maker's."""
from instrument import Layout, Number

Z6 = Number("always", 6, "zeros")
AXIS = Number("none", 3, "zeros", "", 0)
FREE_AXIS = Number("none", 0, "", "", 0)
BLANK_AXIS = Number("none", 3, "blanks", "", 0)

LAYOUTS = [
    Layout("plain-columns", "{eye}= {s} & {c} @ {a} ", "{1}{until}~{check}\r\n", sphere=Z6, cylinder=Z6, step=10,
           check=("xor", "HEX")),
    Layout("free-line", "{eye}:{s};{c};{a}", "{1}\r\n", sphere=Number("minus"), cylinder=Number("minus"), axis=FREE_AXIS),
    Layout("tags-behind", "{eye} {s}SPH {c}CYL {a}AX", "{1}\r", eyes=("OD", "OS"), axis=BLANK_AXIS,
           sphere=Number("always", 6, "blanks"), cylinder=Number("always", 6, "blanks")),
    Layout("pair-left-first", "{eye} {s} {c} {a}\r\n", pair="\x02{1}{2}\x03", first="left", eyes=("RE", "LE"),
           sphere=Number("always", 6, "gap"), cylinder=Number("always", 6, "gap"), axis=BLANK_AXIS, step=125, cuts=True),
    Layout("unnamed-lines", "{s}\r{c}\r{a}\r", "{1}\n", eyes=None, sphere=Number("blank", 6, "gap", ","),
           cylinder=Number("blank", 6, "gap", ","), axis=BLANK_AXIS),
    Layout("implied-blank-plus", "{eye}{s}{c}{a}", "\x02{1}\x03{check}", sphere=Number("blank", 5, "zeros", ""),
           cylinder=Number("blank", 5, "zeros", ""), check=("sum", "HEX"), step=250),
    Layout("three-places", "{eye} S{s} C{c} A{a}\r\n", "{1}", step=125, sphere=Number("always", 7, "zeros", decimals=3),
           cylinder=Number("always", 7, "zeros", decimals=3)),
    Layout("high-bytes", "\x8b{eye}\x90{s}\x91{c}\x92{a}\xb0", "\x80{1}\xff\r", sphere=Number("minus"), cylinder=Number("minus"),
           axis=FREE_AXIS, eyes=("\xd2", "\xcc"), step=10),
    Layout("printer", "\x1bE{eye}\x1bF\n SPH {s} D\n CYL {c} D\n AXS {a} \xf8\n", "\x1b@No.{count}\n{1}\x1bd\x03",
           eyes=("<R>", "<L>"), sphere=Number("always", 7, "blanks"), cylinder=Number("always", 7, "blanks"), axis=BLANK_AXIS),
    Layout("sign-apart", "{eye} {ss} {s} / {cs} {c} x {a}", "{1}\r\n", sphere=Number("apart", 5, "zeros"),
           cylinder=Number("apart", 5, "zeros")),
    Layout("words-for-signs", "{eye}: {ss} {s}, {cs} {c} AT {a}.", "{1}\n", signs=("PLUS", "MINUS"), sphere=Number("apart"),
           cylinder=Number("apart"), axis=FREE_AXIS),
    Layout("axis-first", "{eye}|{a}|{c}|{s}|", "#{count}|{1}{check}\r\n", check=("crc8", "hex"), sphere=Number("always"),
           cylinder=Number("always"), axis=FREE_AXIS, step=10),
    Layout("blank-cylinder", "{eye} {s} {c} {a}", "{1}\r\n", sphere=Number("always", 6, "blanks"),
           cylinder=Number("always", 6, "blanks", zero=" " * 6), axis=Number("none", 3, "blanks", "", 0, zero="   ")),
    Layout("absent-cylinder", "{eye} {s}{ca};", "{date} {1}\r\n", astigmatic=" {c} x{a}", no_cylinder="", axis=FREE_AXIS,
           cylinder=Number("always")),
    Layout("plus-cylinder-pair", "{eye} {s} {c} {a} Q{quality}\r\n", pair="{serial}\r\n{1}{2}END\r\n", plus_cylinder=True,
           sphere=Z6, cylinder=Z6, step=10),
    Layout("either-pair", "{eye}{s}{c}{a}", "\x01{1}\x04{check}\r", "\x01{1}{2}\x04{check}\r", sphere=Z6, cylinder=Z6,
           check=("sum16", "hex")),
    Layout("optional-add", "{eye} {s} {c} {a}{add}\r\n", "{1}\x04", add=" A{d}", has_add="sometimes", sphere=Z6, cylinder=Z6),
    Layout("optional-prism-centres", "{eye} {s} {c} {a} {prism}\n", pair="{time}\n{1}{2}{pd}\x03\n", sphere=Z6, cylinder=Z6,
           prism="P {h}{hb} {v}{vb}", no_prism="-", has_prism="sometimes", prism_number=Number("none", 5, "zeros"),
           pd="PD {p}\n", has_centres="sometimes"),
    Layout("crc16-raw", "{eye}{s}{c}{a}", "\x02{1}{quality}{check}", sphere=Number("blank", 5, "gap", ""),
           cylinder=Number("blank", 5, "gap", ""), axis=BLANK_AXIS, check=("crc16-modbus", "raw-low"), step=10),
    Layout("messages", "{eye} {s} {c} {a} ", "{1}{check}\r\n", sphere=Z6, cylinder=Z6, check=("negated_sum", "decimal"),
           messages=("CLEAN LENS {check}\r\n", "RE-SEAT {check}\r\n", "CLEARED {check}\r\n")),
    Layout("axis-zero-is-180", "{eye},{s},{c},{a},", "{1}{serial}{check}\r\n", sphere=Number("always"), cylinder=Number("always"),
           axis=FREE_AXIS, zero_axis=True, check=("xor", "decimal")),
    Layout("carriage-returns", "{eye} {s} {c} {a}\r", "{1}\n", sphere=Number("always"), cylinder=Number("always"),
           axis=FREE_AXIS),
]
