#!/usr/bin/env python3
"""Files that cannot be used: the daemon does not start, and says in one message which file, where in it, and what was
expected. A store that it refuses stays as it was."""
import json
import os
import sqlite3
import unittest

from adapter import FakeAdapter
from bench import PROFILE, bodies, in_fresh_folder, labels, write_config
from programs import pairmark, power_lines

RULES = {"name": "Ours", "date": "2026-01-01", "rules": []}


class BadFiles(unittest.TestCase):
    def check_refused(self, folder, *parts, status=None):
        run = pairmark("run", "--allow-root", "--config", folder / "bench.json", timeout=30)
        self.assertNotEqual(run.returncode, 0)
        if status is not None:
            self.assertEqual(run.returncode, status)
        self.assertTrue(run.stderr.startswith("pairmark: "), run.stderr)
        self.assertEqual(run.stdout, "")
        for part in parts:
            self.assertIn(str(part), run.stderr)
        return run.stderr

    @in_fresh_folder
    def test_a_broken_configuration_is_refused_with_its_place(self, folder):
        rows = [
            ("{", ("bench.json", "JSON")),
            ("[]", ("bench.json", "object")),
            ('{"half_pair_minutes": 0}', ("half_pair_minutes", "1 to 120")),
            ('{"half_pair_minutes": "five"}', ("half_pair_minutes", "1 to 120")),
            ('{"bench": "too long"}', ("bench", "1 to 4")),
            ('{"looked_over": "never"}', ("looked_over", "earlier")),
            ('{"bensh": "A1"}', ("bensh",)),
            ('{"programme": 7, "late_seconds": 0}', ("programme", "late_seconds")),
        ]
        for text, parts in rows:
            with self.subTest(text):
                (folder / "bench.json").write_text(text, encoding="utf-8")
                self.check_refused(folder, "bench.json", *parts, status=2)
        (folder / "bench.json").unlink()
        self.check_refused(folder, "bench.json", "check its name and its permissions", status=2)
        self.assertEqual(list(folder.iterdir()), [])  # nothing was made on the way

    @in_fresh_folder
    def test_a_broken_rules_file_is_refused_with_its_place(self, folder):
        write_config(folder, rules="rules.json")
        rows = [
            ("", ("JSON",)),
            (json.dumps(RULES)[:-9], ("JSON",)),
            (json.dumps(RULES | {"rules": [{"id": "x", "when": {"quantity": "cylindre", "over": 1}, "verdict": "discard",
                                            "say": "x"}]}), ("rules[0]", "cylindre", "cylinder")),
            (json.dumps(RULES | {"rules": [{"id": "x", "when": {"mark": "broken", "is": ["yes"]}, "verdict": "burn",
                                            "say": "x"}]}), ("rules[0]", "burn")),
            (json.dumps(RULES | {"rules": {}}), ("/rules",)),
        ]
        for text, parts in rows:
            with self.subTest(text):
                (folder / "rules.json").write_text(text, encoding="utf-8")
                self.check_refused(folder, "rules.json", *parts)
        (folder / "rules.json").unlink()
        self.check_refused(folder, "rules.json", "check its name")

    @in_fresh_folder
    def test_a_broken_profile_is_refused_with_its_place(self, folder):
        write_config(folder, profile="own.profile.json")
        good = json.loads(PROFILE.read_text(encoding="utf-8"))
        rows = [
            ("{", ("JSON",)),
            (json.dumps(good | {"step": "third"}), ("step", "third")),
            (json.dumps(good | {"shapes": []}), ("shapes",)),
            (json.dumps(good | {"serial": good["serial"] | {"baud": 1234567}}), ("serial", "baud")),
            (json.dumps(good | {"shapes": [{"says": "reading", "items": [{"number": "weight", "width": 3}]}]}),
             ("shapes", "items", "weight")),
        ]
        for text, parts in rows:
            with self.subTest(text):
                (folder / "own.profile.json").write_text(text, encoding="utf-8")
                self.check_refused(folder, "own.profile.json", *parts)
        (folder / "own.profile.json").unlink()
        self.check_refused(folder, "own.profile.json", "check its name")

    @in_fresh_folder
    def test_a_store_of_a_newer_version_is_refused_and_left_as_it_was(self, folder):
        with FakeAdapter(folder) as adapter:
            adapter.measure(1, "R", -125)
            adapter.stop()
            store = sqlite3.connect(folder / "pairmark.db")
            version = store.execute("PRAGMA user_version").fetchone()[0]
            store.execute("PRAGMA user_version = 99")
            store.close()
            before = (folder / "pairmark.db").read_bytes()
            self.check_refused(folder, "a newer version of the program wrote this store (form 99;", folder / "pairmark.db",
                               "install the newer version again, or put back a copy")
            self.assertEqual((folder / "pairmark.db").read_bytes(), before)
            store = sqlite3.connect(folder / "pairmark.db")
            store.execute(f"PRAGMA user_version = {version}")
            store.close()
            adapter.pull()
            adapter.plug_in()
            adapter.start()
            adapter.measure(2, "L", -150)
            adapter.told("pair", pair=1)
            adapter.stop()
        self.assertEqual(power_lines(labels(folder)), [("R −1.25 DS", "L −1.50 DS")])
        self.assertEqual(len(bodies(folder, "reading")), 2)

    @in_fresh_folder
    def test_what_is_no_store_is_refused_and_left_as_it_was(self, folder):
        write_config(folder)
        store = folder / "pairmark.db"
        store.write_bytes(b"a letter to the printer, not a database\n" * 200)
        before = store.read_bytes()
        self.check_refused(folder, store, "keep the files as they are")
        self.assertEqual(store.read_bytes(), before)
        store.unlink()
        other = sqlite3.connect(store)
        other.execute("CREATE TABLE recipe (cake TEXT)")
        other.close()
        self.check_refused(folder, store, "not a store of pairmark", "name another file")
        store.unlink()
        (folder / "elsewhere").write_bytes(b"")
        store.symlink_to(folder / "elsewhere")
        self.check_refused(folder, store, "is a link", "name the file that it points to")
        store.unlink()
        store.mkdir()
        self.check_refused(folder, store, "name a file")

    @in_fresh_folder
    def test_folders_that_are_not_there_are_named(self, folder):
        write_config(folder, database="nowhere/pairmark.db")
        self.check_refused(folder, folder / "nowhere", "make the folder, or name another place")
        write_config(folder, labels=str(folder / "bench.json" / "labels"))
        self.check_refused(folder, folder / "bench.json" / "labels", "make it, or name another")

    @in_fresh_folder
    def test_a_second_daemon_on_the_same_store_is_refused_and_names_the_first(self, folder):
        with FakeAdapter(folder) as adapter:
            self.check_refused(folder, "in use by another process, number " + str(adapter.daemon.pid), folder / "pairmark.db",
                               "stop that one first")
            # and the first works on
            adapter.measure(1, "R", -125)
            adapter.measure(2, "L", -150)
            adapter.told("pair", pair=1)
        self.assertEqual(power_lines(labels(folder)), [("R −1.25 DS", "L −1.50 DS")])

    @in_fresh_folder
    def test_the_superusers_account_is_refused(self, folder):
        if os.geteuid() != 0:
            self.skipTest("this is not the superuser's account")
        write_config(folder)
        run = pairmark("run", "--config", folder / "bench.json", timeout=30)
        self.assertEqual(run.returncode, 2)
        self.assertIn("run the bench as a user of its own", run.stderr)


if __name__ == "__main__":
    unittest.main()
