"""Lenses on an invented instrument's stop, and what its screen shows of them. Powers are whole thousandths of a dioptre, prism
hundredths of a prism dioptre (base in and base up are plus), centres tenths of a millimetre."""
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Lens:
    eye: str | None = None
    sphere: int = 0
    cylinder: int = 0
    axis: int = 0
    add: int | None = None
    prism: tuple[int, int] | None = None

    def shown(self, centres=None):
        """As a person types it from the screen, and as `pairmark decode` must give it."""
        said = {"eye": self.eye, "sphere": self.sphere / 1000, "cylinder": self.cylinder / 1000, "axis": self.axis}
        if self.add is not None:
            said["add"] = self.add / 1000
        if self.prism is not None:
            horizontal, vertical = self.prism
            said["prism"] = {"horizontal": abs(horizontal) / 100, "horizontal_base": "out" if horizontal < 0 else "in",
                             "vertical": abs(vertical) / 100, "vertical_base": "down" if vertical < 0 else "up"}
        if centres is not None:
            said["centres"] = centres / 10
        return said


@dataclass(frozen=True)
class Measured:
    """What one capture is about: lenses in the order right, left; none for a message that there is no reading."""
    lenses: tuple = ()
    centres: int | None = None
    message: str | None = None

    def shown(self):
        return [lens.shown(self.centres) for lens in self.lenses]


def key_of(reading):
    """Readings that say the same have the same key, however no prism's base is written."""
    prism = reading.get("prism")
    if prism is not None:
        prism = (round(prism["horizontal"] * 100) * (-1 if prism.get("horizontal_base") == "out" else 1),
                 round(prism["vertical"] * 100) * (-1 if prism.get("vertical_base") == "down" else 1))
    number = lambda name, unit: None if reading.get(name) is None else round(reading[name] * unit, 6)
    return (reading["eye"], number("sphere", 1000), number("cylinder", 1000), reading["axis"], number("add", 1000), prism,
            number("centres", 10))


def same(answer, measured):
    return [key_of(one) for one in answer] == [key_of(one) for one in measured.shown()]


def cut(power):
    """An eighth, not below zero, as an instrument writes it that cuts behind the second decimal."""
    return power // 10 * 10


class Shelf:
    """The lenses that a technician has at hand, drawn from a seed; `want` as `need` of pairmark learn says it. What the
    instrument cannot show is left out of it."""

    def __init__(self, layout, random):
        self.layout, self.random = layout, random

    def power(self, least, most):
        """On the instrument's step, cut where it cuts; both limits in thousandths."""
        step = self.layout.step
        power = self.random.randint(-(-least // step), most // step) * step
        return cut(power) if self.layout.cuts else power

    def sphere(self, want):
        biggest = self.layout.max_sphere
        if want == "large":
            return self.power(10000, biggest) * self.random.choice((1, -1))
        if want in ("plus", "minus"):
            return self.power(self.layout.step, min(7000, biggest)) * (1 if want == "plus" else -1)
        kind = self.random.random()
        if kind < 0.04:
            return 0
        if kind < 0.12 and biggest > 10000:
            return self.sphere("large")
        return self.sphere(self.random.choice(("plus", "minus")))

    def cylinder(self, want):
        if want == "none" or (want is None and self.random.random() < 0.2):
            return 0
        most = min(self.layout.max_cylinder, 4500 if self.random.random() < 0.9 else 12000)
        power = self.power(max(250, self.layout.step), most)
        return power if self.layout.plus_cylinder else -power

    def axis(self, want):
        if want == 180:
            return 180
        kind = want if want in (1, 2, 3) else self.random.choice((1, 2, 2, 2, 3, 3, 3))
        return self.random.randint(*{1: (1, 9), 2: (10, 99), 3: (100, 180)}[kind])

    def prism(self, want):
        layout = self.layout
        amount = lambda: self.random.randint(1, layout.max_prism // 25) * 25
        horizontal, vertical = (amount() * self.random.choice((1, -1)) for _ in range(2))
        if want in ("in", "out"):
            horizontal = abs(horizontal) * (1 if want == "in" else -1)
        if want in ("up", "down"):
            vertical = abs(vertical) * (1 if want == "up" else -1)
        return horizontal, vertical

    def lens(self, eye, want):
        layout = self.layout
        asked_axis = want.get("axis") is not None
        cylinder = self.cylinder(want.get("cylinder") or ("some" if asked_axis else None))
        lens = Lens(eye, self.sphere(want.get("sphere")), cylinder, self.axis(want.get("axis")) if cylinder else 0)
        if layout.has_add and (want.get("add") or layout.has_add == "always" or self.random.random() < 0.2):
            lens = replace(lens, add=self.power(750, 3500))
        if layout.has_prism and (want.get("prism") or layout.has_prism == "always" or self.random.random() < 0.2):
            lens = replace(lens, prism=self.prism(want.get("prism")))
        return lens

    def measured(self, want, kind=None):
        """One act at the instrument: a lens or a pair, whatever it can; `kind` is "one" or "pair", if somebody chose."""
        layout, eye = self.layout, want.get("eye")
        if layout.captures != "either":
            kind = layout.captures
        elif eye in ("right", "left"):
            kind = "one"
        elif eye == "both":
            kind = "pair"
        elif kind is None:
            kind = self.random.choice(("one", "pair"))
        if kind == "one":
            if layout.names_eyes:
                eye = eye if eye in ("right", "left") else self.random.choice(("right", "left"))
            else:
                eye = None
            lenses = (self.lens(eye, want),)
        else:
            named = ("right", "left") if layout.names_eyes else (None, None)
            # What is asked of one eye is asked of that eye's lens only; else of both.
            lenses = tuple(self.lens(one, want if eye not in ("right", "left") or one == eye else {}) for one in named)
        centres = None
        if layout.has_centres and (layout.has_centres == "always" or self.random.random() < 0.5) and len(lenses) == 2:
            centres = self.random.randint(500, 740)
        return Measured(lenses, centres)

    def ordinary(self):
        return self.measured({"eye": "right" if self.layout.captures == "one" else None, "sphere": "minus", "cylinder": "some",
                              "axis": 2})
