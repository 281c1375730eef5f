"""An invented instrument: how it writes what it measured. A layout is data; `Instrument` makes captures of it."""
import re
from dataclasses import dataclass, replace

import sums


@dataclass(frozen=True)
class Number:
    """How a number is written. sign: "always", "minus" (nothing for plus), "blank" (a blank for plus), "none", "apart" (stands
    elsewhere in the block). pad: "zeros" or "blanks" in front to `width` (of sign, digits and point), "" for as long as it is;
    "gap": blanks between sign and digits. point: ".", "," or "" (implied). zero: what stands for 0 in its place, None: 0 itself."""
    sign: str = "always"
    width: int = 0
    pad: str = ""
    point: str = "."
    decimals: int = 2
    zero: str | None = None
    plus_zero: str = "+"  # how a zero's sign is written where a sign always stands

    def write(self, value, unit):
        """`value` in 1/unit."""
        if value == 0 and self.zero is not None:
            return self.zero
        digits = f"{abs(value) * 10 ** self.decimals // unit:0{self.decimals + 1}d}"
        if self.decimals and self.point:
            digits = digits[:-self.decimals] + self.point + digits[-self.decimals:]
        sign = {"always": "-" if value < 0 else "+" if value > 0 else self.plus_zero, "minus": "-" if value < 0 else "",
                "blank": "-" if value < 0 else " "}.get(self.sign, "")
        room = self.width - len(sign) - len(digits)
        assert room >= 0 or not self.pad, f"{value} does not fit into {self}"
        if self.pad == "zeros":
            return sign + "0" * room + digits
        if self.pad == "gap":
            return sign + " " * room + digits
        if self.pad == "blanks":
            return " " * room + sign + digits
        return sign + digits


@dataclass(frozen=True)
class Layout:
    """Templates are text with {fields}; characters U+0000 to U+00FF are one byte each.
    capture: {1} the first lens's block, {2} the second's, {count} {date} {time} {serial} {quality} changing parts, {pd} the
    centres' part, {check} the check sum of what stands between {from} (or the start) and {until} (or itself).
    block: {eye} {s} {c} {a} numbers, {ss} {cs} their signs where apart, {add} {prism} parts that may be absent."""
    name: str
    block: str
    single: str | None = None
    pair: str | None = None
    sphere: Number = Number()
    cylinder: Number = Number()
    axis: Number = Number("none", 3, "zeros", "", 0)
    step: int = 250
    cuts: bool = False
    plus_cylinder: bool = False
    eyes: tuple | None = ("R", "L")      # words for right and left; None: not named
    first: str = "right"                  # of a pair
    signs: tuple = ("+", "-")             # where apart
    max_sphere: int = 25000
    max_cylinder: int = 9750
    astigmatic: str = ""                  # template with {c} {a} {cs}, put where the block has {ca}
    no_cylinder: str | None = None        # what stands there without a cylinder; None: as with one
    zero_axis: bool = False               # an axis of 180 is sent as 0
    add: str | None = None                # template with {d}
    add_number: Number = Number("always")
    no_add: str = ""
    has_add: str = ""                     # "", "sometimes", "always"
    prism: str | None = None              # template with {h} {hb} {v} {vb}
    prism_number: Number = Number("none")
    bases: tuple = ("I", "O", "U", "D")
    no_prism: str = ""
    has_prism: str = ""
    max_prism: int = 500
    pd: str | None = None                 # template with {p}
    no_pd: str = ""
    has_centres: str = ""
    pd_number: Number = Number("none", 4, "zeros", ".", 1)
    check: tuple | None = None            # kind, how
    messages: tuple = ()                  # whole captures that are no reading, check sum apart
    counter: str = "04d"

    @property
    def captures(self):
        return "either" if self.single and self.pair else "one" if self.single else "pair"

    @property
    def names_eyes(self):
        return self.eyes is not None


class Instrument:
    """One device: its serial number is fixed, its counter and clock go on."""

    def __init__(self, layout, random):
        self.layout, self.random = layout, random
        self.count = random.randint(1, 900)
        self.serial = f"{random.randint(100000, 999999)}"
        self.minutes = random.randint(0, 500000)

    def capture(self, measured):
        layout = self.layout
        self.count += 1
        self.minutes += self.random.randint(1, 700)
        day, minute = divmod(self.minutes, 1440)
        month, day = divmod(day, 28)
        fields = {"count": format(self.count % 10000, layout.counter), "serial": self.serial,
                  "date": f"{2020 + month // 12 % 10}-{month % 12 + 1:02d}-{day + 1:02d}",
                  "time": f"{minute // 60:02d}:{minute % 60:02d}", "quality": f"{self.random.randint(0, 99):02d}"}
        if measured.message is not None:
            return self.finish(measured.message, fields)
        order = list(measured.lenses)
        if layout.first == "left":
            order.reverse()
        fields |= {str(at): self.block(lens) for at, lens in enumerate(order, 1)}
        if layout.pd is not None:
            fields["pd"] = (layout.no_pd if measured.centres is None
                            else fill(layout.pd, {"p": layout.pd_number.write(measured.centres, 10)}))
        return self.finish(layout.single if len(order) == 1 else layout.pair, fields)

    def finish(self, template, fields):
        marks = {"from": "\ue000", "until": "\ue001", "check": "\ue002"}
        text = fill(template, fields | marks)
        start = text.find("\ue000")
        begin = 0 if start < 0 else start
        text = text.replace("\ue000", "")
        end = text.find("\ue001")
        text = text.replace("\ue001", "")
        at = text.find("\ue002")
        if at < 0:
            return text.encode("latin-1")
        data = text[begin:end if end >= 0 else at].encode("latin-1")
        before, after = text[:at].encode("latin-1"), text[at + 1:].encode("latin-1")
        return before + sums.written(*self.layout.check, data) + after

    def block(self, lens):
        layout = self.layout
        sign = lambda value: layout.signs[1 if value < 0 else 0]
        axis = 0 if layout.zero_axis and lens.axis == 180 else lens.axis
        fields = {"s": layout.sphere.write(lens.sphere, 1000), "ss": sign(lens.sphere),
                  "c": layout.cylinder.write(lens.cylinder, 1000), "cs": sign(lens.cylinder),
                  "a": layout.axis.write(axis, 1) if lens.cylinder == 0 else replace(layout.axis, zero=None).write(axis, 1)}
        fields["quality"] = f"{self.random.randint(0, 99):02d}"
        if layout.eyes is not None:
            fields["eye"] = layout.eyes[0 if lens.eye == "right" else 1]
        if layout.astigmatic:
            fields["ca"] = fill(layout.astigmatic, fields) if lens.cylinder or layout.no_cylinder is None else layout.no_cylinder
        if layout.add is not None:
            fields["add"] = (layout.no_add if lens.add is None
                             else fill(layout.add, {"d": layout.add_number.write(lens.add, 1000)}))
        if layout.prism is not None:
            fields["prism"] = layout.no_prism if lens.prism is None else self.prism(lens.prism)
        return fill(layout.block, fields)

    def prism(self, prism):
        layout, (horizontal, vertical) = self.layout, prism
        return fill(layout.prism, {
            "h": layout.prism_number.write(abs(horizontal), 100), "hb": layout.bases[1 if horizontal < 0 else 0],
            "v": layout.prism_number.write(abs(vertical), 100), "vb": layout.bases[3 if vertical < 0 else 2]})


def fill(template, fields):
    return re.sub(r"\{(\w+)\}", lambda found: fields[found.group(1)], template)
