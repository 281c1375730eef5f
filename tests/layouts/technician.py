"""A careful technician: measures what `need` asks, as far as the instrument can, and types what its screen shows. Knows nothing
of the learner but the keys of KEYS."""
from random import Random

from instrument import Instrument
from lenses import Measured, Shelf

MOST_SAMPLES = 8
KEYS = {"eye", "sphere", "cylinder", "axis", "add", "prism", "centres"}


class Technician:
    def __init__(self, layout, seed):
        self.layout, self.random = layout, Random(f"{layout.name} {seed}")
        self.shelf, self.instrument = Shelf(layout, self.random), Instrument(layout, self.random)
        self.samples, self.asked, self.unknown = [], [], set()

    def measure(self, measured):
        self.samples.append((self.instrument.capture(measured), measured.shown()))

    def begin(self):
        self.measure(self.shelf.ordinary())
        # A message comes by itself while one learns to seat a lens.
        for message in self.layout.messages[:1]:
            self.measure(Measured(message=message))

    def supply(self, need):
        self.unknown |= set(need) - KEYS
        # Where the instrument can do both, one lens or the pair is measured in turn unless an eye is named.
        kind = ("one", "pair")[len(self.samples) % 2]
        self.measure(self.shelf.measured(need, kind))

    def may_go_on(self):
        return len(self.samples) < MOST_SAMPLES

    def teach(self, programs, slipped=None):
        """The exit status and what was said last. `slipped`: samples to begin with in place of his own."""
        if slipped is not None:
            self.samples = list(slipped)
        elif not self.samples:
            self.begin()
        while True:
            status, said = programs.learn(self.samples)
            self.asked.append(said)
            if status != 3 or not self.may_go_on():
                return status, said
            self.supply(said.get("need") or {})
