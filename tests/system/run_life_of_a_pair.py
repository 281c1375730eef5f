#!/usr/bin/env python3
"""docs/pairs.md walked through on the real firmware: what the lamps show, what the bench says, which numbers stand and which
are void. Lamps are looked at on the board, keys pressed on it; time is the simulator's."""
import json
import unittest

from bench import Bench, bodies, events, in_fresh_folder, labels
from programs import pairmark, power_lines

R, L = ("R", -1.25, -0.5, 85), ("L", -1.5)
KEPT = ("R −1.25 −0.50 × 085", "L −1.50 DS")


class Life(unittest.TestCase):
    def measure_pair(self, bench, right=R, left=L):
        bench.measure(*right)
        bench.measure(*left)

    def check_verdict(self, bench, lamp):
        """This verdict and no other is lit, and stays."""
        bench.lit(lamp)
        bench.pass_time(3)
        for other in ("keep", "discard", "ask"):
            self.assertEqual(bench.is_lit(other), other == lamp, bench.lamps)

    def check_no_verdict(self, bench):
        bench.until(lambda: bench.lamps[:3] == "000", "no verdict")
        bench.pass_time(3)
        self.assertEqual(bench.lamps[:3], "000")

    def torn_up(self, bench, number):
        said = bench.told("void", word=number)["say"]
        self.assertEqual(said, "tear up label " + number)

    def check_numbers(self, folder, *standing, void=()):
        """The numbers that stand and those that are void, by the events alone; none was given twice."""
        given = [body["number"] for body in bodies(folder, "numbered")]
        self.assertEqual(len(set(given)), len(given))
        self.assertEqual([body["counter"] for body in bodies(folder, "numbered")], list(range(1, len(given) + 1)))
        replayed = json.loads(pairmark("replay", folder / "exported.jsonl", "--json").stdout)
        self.assertEqual({pair["number"] for pair in replayed["all"] if pair["number"]}, set(standing))
        self.assertEqual(set(given), {*standing, *void})

    @in_fresh_folder
    def test_undo_after_the_label_voids_it_and_measuring_again_gives_a_new_number(self, folder):
        with Bench(folder) as bench:
            self.measure_pair(bench)
            first = bench.labelled(1)
            self.check_verdict(bench, "keep")
            bench.press("undo")
            self.torn_up(bench, first)
            self.check_no_verdict(bench)  # the lamp no longer says that it is kept
            bench.measure("L", -1.75)
            second = bench.labelled(1)
            self.check_verdict(bench, "keep")
            bench.press("undo")
            bench.press("undo")
            self.torn_up(bench, second)
            self.measure_pair(bench)
            third = bench.labelled(2)
        self.check_numbers(folder, third, void=(first, second))
        self.assertEqual(power_lines(labels(folder)), [KEPT, ("R −1.25 −0.50 × 085", "L −1.75 DS"), KEPT])

    @in_fresh_folder
    def test_a_mark_after_the_label_voids_it_and_the_rules_are_asked_anew(self, folder):
        with Bench(folder) as bench:
            self.measure_pair(bench)
            first = bench.labelled(1)
            self.assertIn("tear up label " + first, bench.mark("tint=light"))
            self.torn_up(bench, first)
            second = bench.labelled(1)
            self.check_verdict(bench, "keep")
            self.assertIn("tear up label " + second, bench.mark("tint=dark"))
            self.torn_up(bench, second)
            self.assertEqual(bench.told("pair", "sunglasses", pair=1)["state"], "turned-down")
            self.check_verdict(bench, "discard")
            bench.mark("--undo")
            third = bench.labelled(1)
            self.check_verdict(bench, "keep")
        self.check_numbers(folder, third, void=(first, second))

    @in_fresh_folder
    def test_a_long_undo_takes_the_whole_pair_back(self, folder):
        with Bench(folder) as bench:
            self.measure_pair(bench)
            first = bench.labelled(1)
            bench.press("undo", 1.2)
            self.torn_up(bench, first)
            bench.told("said", "Pair 1 was taken back whole")
            self.check_no_verdict(bench)
            self.measure_pair(bench)
            second = bench.labelled(2)
        self.check_numbers(folder, second, void=(first,))

    @in_fresh_folder
    def test_set_aside_and_turn_down_by_key_before_and_after_measuring(self, folder):
        with Bench(folder) as bench:
            bench.press("down")  # by sight, one press
            self.assertEqual(bench.told("pair", pair=1)["state"], "turned-down")
            self.check_verdict(bench, "discard")
            bench.press("undo")
            self.check_no_verdict(bench)
            bench.measure(*R)
            bench.press("aside")
            self.assertEqual(bench.told("pair", "set aside by hand", pair=2)["state"], "asking")
            self.check_verdict(bench, "ask")
            bench.press("undo")  # back at the bench
            self.check_no_verdict(bench)
            bench.measure(*L)
            number = bench.labelled(2)
            bench.press("aside")  # the labelled one is done: this is the next, by sight
            self.assertEqual(bench.told("pair", pair=3)["state"], "asking")
            self.check_verdict(bench, "ask")
            self.assertIn("tear up label " + number, bench.mark("--pair", "2", "--turn-down"))
        self.check_numbers(folder, void=(number,))

    @in_fresh_folder
    def test_a_pair_is_decided_when_it_was_looked_over(self, folder):
        with Bench(folder, looked_over="key") as bench:
            self.measure_pair(bench)
            bench.pass_time(5)
            self.assertEqual(labels(folder), [])
            self.check_no_verdict(bench)
            bench.press("go")
            first = bench.labelled(1)
            self.check_verdict(bench, "keep")
            bench.press("undo")
            self.torn_up(bench, first)
            self.check_no_verdict(bench)
            bench.press("go")
            second = bench.labelled(1)
            self.measure_pair(bench)
            bench.measure("R", 2.0)  # the next is begun before anybody looked this one over
            bench.told("pair", "Look it over", pair=2)
            bench.lit("ask")
        self.check_numbers(folder, second, void=(first,))

    @in_fresh_folder
    def test_half_a_pair_that_grows_old_asks_never_prints_and_goes_on_when_told(self, folder):
        with Bench(folder, half_pair_minutes=1) as bench:
            bench.measure(*R)
            bench.pass_time(50)
            self.assertEqual(bench.all("said"), [])
            self.check_no_verdict(bench)
            said = bench.told("said", "One lens was measured a while ago and the other never")["say"]
            self.assertIn("Go on with this pair?", said)
            self.check_verdict(bench, "ask")
            bench.measure(*L)  # never joins it: another pair
            bench.press("down")
            self.assertEqual(bench.told("pair", pair=2)["state"], "turned-down")
            bench.mark("--pair", "1", "--answer", "go-on-with-it")
            bench.measure(*L)
            number = bench.labelled(1)
            self.check_verdict(bench, "keep")
        self.check_numbers(folder, number)
        self.assertEqual([body["pair"] for body in bodies(folder, "time-out")], [1])
        self.assertEqual(power_lines(labels(folder)), [KEPT])

    @in_fresh_folder
    def test_an_adapter_that_starts_again_in_the_middle_of_a_pair_asks(self, folder):
        with Bench(folder) as bench:
            bench.measure(*R)
            bench.socket.sendall(b"reset\n")
            bench.told("profile", word="in-force")
            bench.measure(*L)
            bench.told("said", "The adapter started again while half a pair was measured")
            bench.lit("ask")
            self.assertEqual(labels(folder), [])
            bench.press("go")  # the first answer: it is the same pair
            number = bench.labelled(1)
            self.check_verdict(bench, "keep")
        self.check_numbers(folder, number)

    @in_fresh_folder
    def test_what_was_measured_while_no_computer_answered_is_held_until_a_person_releases_it(self, folder):
        with Bench(folder) as bench:
            bench.kill()
            self.measure_pair(bench)
            bench.lit("host absent")
            bench.pass_time(40)
            bench.start()
            said = bench.told("said", "pair 1 is held: a reading of it came late")["say"]
            self.assertIn("release it or measure it again", said)
            bench.dark("host absent")
            self.check_verdict(bench, "ask")
            self.assertEqual(labels(folder), [])
            bench.mark("--release")
            number = bench.labelled(1)
            self.check_verdict(bench, "keep")
        self.check_numbers(folder, number)
        self.assertEqual(len([event for event in events(folder) if event["kind"] == "reading"]), 2)


if __name__ == "__main__":
    unittest.main()
