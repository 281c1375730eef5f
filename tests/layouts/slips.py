"""Mistakes of the person who types what the screen shows."""
import copy


def flipped(number):
    return None if not number else -number


def other_digit(number, unit, random):
    """The number with one digit changed: the power is still on a hundredth, the axis within 180."""
    while True:
        whole = str(abs(round(number * unit)))
        at = random.randrange(len(whole))
        changed = int(whole[:at] + random.choice("0123456789") + whole[at + 1:]) / unit
        if changed != abs(number):
            return changed * (-1 if number < 0 else 1)


def axis_slip(axis, random):
    while True:
        changed = int(other_digit(axis, 1, random))
        if 1 <= changed <= 180:
            return changed


def slips(samples, random):
    """Yields (what slipped, at which sample, samples with it), each kind once where it can happen."""
    spoken = [at for at, (_, shown) in enumerate(samples) if shown]

    def with_one(name, possible, change):
        places = [(at, lens) for at in spoken for lens in range(len(samples[at][1])) if possible(at, lens)]
        if not places:
            return
        at, lens = random.choice(places)
        typed = copy.deepcopy(samples)
        change(typed, at, lens)
        if typed[at][1] != samples[at][1]:
            yield name, at, typed

    def put(name, key, value):
        return with_one(name, lambda at, lens: samples[at][1][lens].get(key),
                        lambda typed, at, lens: typed[at][1][lens].update({key: value(typed[at][1][lens][key])}))

    power = lambda value: other_digit(value, 1000 if round(value * 1000) % 10 else 100, random)
    yield from put("sphere digit", "sphere", power)
    yield from put("sphere sign", "sphere", flipped)
    yield from put("cylinder digit", "cylinder", power)
    yield from put("cylinder sign", "cylinder", flipped)
    yield from put("axis", "axis", lambda value: axis_slip(value, random))
    yield from put("addition", "add", power)
    yield from with_one("eye", lambda at, lens: len(samples[at][1]) == 1 and samples[at][1][0]["eye"],
                        lambda typed, at, lens: typed[at][1][0].update(eye="left" if typed[at][1][0]["eye"] == "right" else "right"))

    def exchange(typed, at, _):
        one, two = typed[at][1]
        typed[at][1][:] = [two | {"eye": one["eye"]}, one | {"eye": two["eye"]}]
    yield from with_one("lenses exchanged", lambda at, lens: len(samples[at][1]) == 2, exchange)

    def previous(typed, at, lens):
        before = max(one for one in spoken if one < at)
        typed[at][1][lens]["sphere"] = samples[before][1][-1]["sphere"]
    yield from with_one("value of the lens before", lambda at, lens: any(one < at for one in spoken), previous)
