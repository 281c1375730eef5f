#!/usr/bin/env python3
"""The scenario, from the instrument's bytes to the labels, on the real firmware image."""
import json
import unittest

from programs import Folder, forget_database, label_files, pairmark, play, power_lines, session, summary

# Worked out by hand from demo/day.txt: transposed to minus cylinder; every value there stands on the 0.25 D grid.
KEPT = [
    ("R −1.25 −0.50 × 085", "L −1.50 −0.25 × 095"),
    ("R +2.00 DS", "L +2.25 DS"),
    ("R −2.00 −1.00 × 120", "L −2.00 −0.75 × 060"),
    ("R −2.25 −0.50 × 168", "L −2.00 −0.75 × 012"),
    ("R −0.75 −0.50 × 090", "L −1.00 −0.25 × 088"),
    ("R +1.25 −0.75 × 010", "L +1.50 −0.50 × 172"),
    ("R −0.50 −0.25 × 045", "L −0.75 DS"),  # undone after its label: the number is void
    ("R −5.25 −1.25 × 178", "L −5.50 −1.00 × 002"),
]


class SortingDay(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = Folder()
        cls.out = cls.folder.__enter__()
        cls.run_ = play(cls.out)

    @classmethod
    def tearDownClass(cls):
        cls.folder.__exit__()

    def test_it_plays_to_its_end_with_the_counts_that_the_scenario_says(self):
        self.assertEqual(self.run_.returncode, 0, self.run_.stderr)
        expected = {"readings": 26, "pairs": 13, "skipped": 0, "keep": 7, "discard": 3, "ask": 3, "labels": 7, "refused": 1}
        self.assertEqual(summary(self.out), expected)

    def test_every_label_says_what_was_measured(self):
        self.assertEqual(power_lines(label_files(self.out)), KEPT)

    def test_every_reading_is_stored_once(self):
        numbers = [event["body"]["id"]["number"] for event in session(self.out) if event["kind"] in ("reading", "key")]
        self.assertEqual(numbers, list(range(1, len(numbers) + 1)))
        self.assertEqual(sum(event["kind"] == "reading" for event in session(self.out)), 26)

    def test_an_undone_label_is_void_and_its_number_is_not_given_again(self):
        numbers = [event["body"]["number"] for event in session(self.out) if event["kind"] == "numbered"]
        self.assertEqual(len(numbers), len(set(numbers)))
        replayed = json.loads(pairmark("replay", self.out / "session.jsonl", "--json").stdout)
        in_force = {pair["number"] for pair in replayed["all"] if pair["number"]}
        self.assertEqual(len(numbers) - len(in_force), 1)

    def test_replay_without_the_database_gives_the_same_label_bytes(self):
        forget_database(self.out)
        with Folder() as again:
            run = pairmark("replay", self.out / "session.jsonl", "--labels", again / "labels", "--json")
            self.assertEqual(run.returncode, 0, run.stderr)
            live = {pdf.name: pdf.read_bytes() for pdf in label_files(self.out)}
            self.assertEqual({pdf.name: pdf.read_bytes() for pdf in label_files(again)}, live)
            self.assertEqual(json.loads(run.stdout)["keep"], summary(self.out)["keep"])

    def test_replay_with_stricter_rules_names_the_pairs_that_would_change(self):
        with Folder() as folder:
            rules = {"name": "Stricter", "date": "2026-01-01", "take_for_granted": {"looked_over": True, "addition": 0},
                     "rules": [{"id": "any-cylinder", "when": {"quantity": "cylinder", "lens": "either", "over": 0.5},
                                "verdict": "discard", "say": "a cylinder over 0.50"}]}
            (folder / "rules.json").write_text(json.dumps(rules), encoding="utf-8")
            run = pairmark("replay", self.out / "session.jsonl", "--rules", folder / "rules.json", "--json")
            self.assertEqual(run.returncode, 0, run.stderr)
            lost = [change for change in json.loads(run.stdout)["changes"]
                    if change["before"]["verdict"] == "keep" and change["after"]["verdict"] == "discard"]
            # By hand: of the kept pairs, those with a cylinder over 0.50 are the 3rd, 4th, 6th and 8th.
            self.assertEqual(len(lost), 4)

    def test_a_changed_or_cut_session_is_refused(self):
        whole = (self.out / "session.jsonl").read_bytes()
        with Folder() as folder:
            for name, data in (("cut", whole[:-20]), ("changed", whole.replace(b"-1.25", b"-1.50", 1))):
                (folder / name).write_bytes(data)
                run = pairmark("replay", folder / name)
                self.assertEqual(run.returncode, 2, name)
                self.assertIn(name, run.stderr)


if __name__ == "__main__":
    unittest.main()
