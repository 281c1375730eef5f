#!/usr/bin/env python3
"""Slips of the hand: captures that are well formed and still not what the bench needs. No wrong label comes of any; the
bench says what it made of them, and one answer puts it right."""
import json
import unittest

from bench import PROFILE, Bench, bodies, in_fresh_folder, labels, with_check_sum
from programs import power_lines

R, L = ("R", -1.25, -0.5, 85), ("L", -1.5)
KEPT = ("R −1.25 −0.50 × 085", "L −1.50 DS")


def number(quantity, lens=1, width=6):
    return {"number": quantity, "lens": lens, "sign": "always", "width": width, "decimals": 2, "point": ".",
            "padding": ["zeros"]}


def axis(lens=1):
    return {"number": "axis", "lens": lens, "width": 3, "padding": ["zeros"]}


def profile_of(folder, items):
    """A profile with the frame of the demonstration's and other items; its path."""
    profile = json.loads(PROFILE.read_text(encoding="utf-8"))
    profile["shapes"] = [{"says": "reading", "items": items + ["~", {"check_sum": "xor", "written": "hex_upper", "until": 1},
                                                               "\r\n"]}]
    path = folder / "own.profile.json"
    path.write_text(json.dumps(profile), encoding="utf-8")
    return str(path)


def both_eyes(folder):
    items = ["B "]
    for lens in (1, 2):
        items += [number("sphere", lens), number("cylinder", lens), "/", axis(lens), ";"]
    return profile_of(folder, items)


def both(right, left):
    return with_check_sum("B " + "".join(f"{sphere:+06.2f}{cylinder:+06.2f}/{axis_:03d};" for sphere, cylinder, axis_ in (right, left)))


def with_addition(folder):
    return profile_of(folder, [{"word": "eye", "right": "R", "left": "L"}, number("sphere"), " A", number("addition", width=5), " "])


def lens_with_addition(eye, sphere, addition):
    return with_check_sum(f"{eye}{sphere:+06.2f} A{addition:+05.2f} ")


class Slips(unittest.TestCase):
    def check(self, folder, *lines):
        """These labels lie on the disk, each once."""
        self.assertEqual(power_lines(labels(folder)) if lines else labels(folder), list(lines))
        self.assertEqual(len(bodies(folder, "numbered")), len(lines))

    @in_fresh_folder
    def test_left_before_right_is_taken_as_left_and_said(self, folder):
        with Bench(folder) as bench:
            bench.measure(*L)
            bench.told("said", "The left lens was measured before the right one; it is taken as the left")
            bench.measure(*R)
            bench.labelled(1)
        self.check(folder, KEPT)

    @in_fresh_folder
    def test_a_third_reading_begins_the_next_pair_and_labels_nothing(self, folder):
        with Bench(folder) as bench:
            for lens in (R, L, ("R", 2.0)):
                bench.measure(*lens)
            bench.labelled(1)
        self.check(folder, KEPT)
        self.assertEqual(len(bodies(folder, "reading")), 3)

    @in_fresh_folder
    def test_the_same_lens_twice_counts_once_the_newer_one(self, folder):
        with Bench(folder) as bench:
            bench.measure("R", -1.25, -0.5, 84)
            bench.measure(*R)
            bench.told("said", "The right lens was measured again and agrees; the newer reading counts")
            bench.measure(*L)
            bench.labelled(1)
        self.check(folder, KEPT)

    @in_fresh_folder
    def test_the_eye_key_left_on_right_asks_and_the_answer_makes_the_right_label(self, folder):
        with Bench(folder) as bench:
            bench.measure(*R)
            bench.measure("R", -1.75)
            self.assertIn("Is it the same lens again, the other lens,", bench.told("said", "The right lens was measured twice")["say"])
            bench.lit("ask")
            bench.pass_time(5)
            self.assertEqual(labels(folder), [])
            bench.mark("--answer", "other-lens")
            bench.labelled(1)
            bench.lit("keep")
        self.check(folder, ("R −1.25 −0.50 × 085", "L −1.75 DS"))

    @in_fresh_folder
    def test_an_instrument_that_prints_the_left_of_the_pair_before_is_held_and_asks(self, folder):
        with Bench(folder, profile=both_eyes(folder)) as bench:
            bench.print(both((-1.25, -0.5, 85), (-1.5, 0, 0)))
            bench.labelled(1)
            bench.print(both((2.0, 0, 0), (-1.5, 0, 0)))
            self.assertIn("was the instrument cleared?", bench.told("said", "exactly as that of the pair before")["say"])
            bench.lit("ask")
            bench.pass_time(5)
            self.assertEqual(len(labels(folder)), 1)
            bench.press("go")  # the first answer: it is measured again
            bench.print(both((2.0, 0, 0), (2.25, 0, 0)))
            bench.lit("keep")
            bench.told("pair", "+2.25")
            bench.pass_time(1)
        self.check(folder, KEPT, ("R +2.00 DS", "L +2.25 DS"))

    @in_fresh_folder
    def test_nothing_on_the_stop_asks_for_one_lens_and_keeps_no_pair_of_two(self, folder):
        with Bench(folder) as bench:
            bench.measure("R", 0.0)
            bench.measure("L", -3.0)
            said = bench.told("pair", pair=1)
            self.assertEqual(said["state"], "asking")
            self.assertIn("was nothing on the stop?", said["say"])
            bench.lit("ask")
            bench.measure("R", 0.0)
            bench.dark("ask")  # no old verdict stands beside a new lens
            bench.measure("L", 0.0)
            self.assertEqual(bench.told("pair", "Neither lens has a power", pair=2)["state"], "turned-down")
            bench.lit("discard")
        self.check(folder)

    @in_fresh_folder
    def test_an_addition_is_turned_down_with_its_reason_and_tray(self, folder):
        with Bench(folder, profile=with_addition(folder)) as bench:
            for eye in "RL":
                bench.print(lens_with_addition(eye, -1.25, 2.0))
                bench.lit("accepted")
                bench.dark("accepted")
            said = bench.told("pair", "The lenses have an addition for near", pair=1)
            self.assertIn("additions", said["say"])
            bench.lit("discard")
        self.check(folder)

    @in_fresh_folder
    def test_where_additions_are_kept_a_label_without_their_kind_is_refused_until_it_is_marked(self, folder):
        rules = {"name": "Keep all", "date": "2026-01-01", "take_for_granted": {"looked_over": True}, "rules": []}
        (folder / "rules.json").write_text(json.dumps(rules), encoding="utf-8")
        with Bench(folder, profile=with_addition(folder), rules=str(folder / "rules.json")) as bench:
            for eye in "RL":
                bench.print(lens_with_addition(eye, -1.25, 2.0))
                bench.lit("accepted")
                bench.dark("accepted")
            self.assertIn("mark the pair as segment or progressive", bench.told("refused", "pair 1: ")["say"])
            bench.lit("ask")
            self.assertEqual(labels(folder), [])
            bench.mark("lens_type=segment")
            bench.labelled(1)
            bench.lit("keep")
        self.check(folder, ("R −1.25 DS", "L −1.25 DS"))


if __name__ == "__main__":
    unittest.main()
