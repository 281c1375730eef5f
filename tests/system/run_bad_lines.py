#!/usr/bin/env python3
"""What an adapter should not say. Nothing of a damaged or foreign line is used, each is said once, with the port and what
to do; and the readings between them are stored once each."""
import unittest

from adapter import IDENTITY, FakeAdapter, event, line
from bench import bodies, in_fresh_folder, labels
from programs import power_lines

KEPT = ("R −1.25 −0.50 × 085", "L −1.50 DS")


class BadLines(unittest.TestCase):
    def check_one_pair(self, adapter, folder, first=1):
        adapter.measure(first, "R", -125, -50, 85)
        adapter.measure(first + 1, "L", -150)
        number = adapter.until(lambda: adapter.find("pair", pair=1))["number"]
        adapter.stop()
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual([pdf.stem for pdf in labels(folder)], [number])
        self.assertEqual([body["id"]["number"] for body in bodies(folder, "reading")], [first, first + 1])

    def check_said_once(self, adapter, *parts):
        said = [say for say in adapter.all("trouble") if all(part in say for part in parts)]
        self.assertEqual(len(said), 1, adapter.all("trouble"))
        self.assertIn(str(adapter.port), said[0])
        return said[0]

    @in_fresh_folder
    def test_damaged_lines_are_not_used_and_said_once_a_kind(self, folder):
        good = event(1, "R", -125, -50, 85)
        wrong = good.replace(b"s=-125", b"s=+125")
        rows = [
            ("garbage", b"\x00\xfe\x80 anything \x07\r\n", "not a line"),
            ("a wrong check sum", wrong, "wrong check sum"),
            ("half a line", good[:40] + b"\r\n", "no check sum"),
            ("half a line, then another", good[:40], "malformed line"),
            ("an over-long line", b"@EVENT " + b"x=1 " * 200 + b"*00000000\r\n", "line too long"),
            ("a line without its CR", good.replace(b"\r", b""), "malformed line"),
            ("no check sum at all", b"@EVENT id=1 \r\n", "no check sum"),
        ]
        with FakeAdapter(folder) as adapter:
            for name, data, _ in rows:
                with self.subTest(name):
                    for _ in range(2):
                        adapter.say(data)
                        adapter.echo()
            self.assertEqual(adapter.all("reading"), [])
            for why in sorted({row[2] for row in rows}):
                said = self.check_said_once(adapter, f"no line of the adapter's protocol ({why})")
                self.assertIn("look at its cable", said)
            self.check_one_pair(adapter, folder)

    @in_fresh_folder
    def test_an_event_cut_at_any_byte_is_no_event(self, folder):
        good = event(1, "R", -125, -50, 85)
        with FakeAdapter(folder) as adapter:
            for cut in range(1, len(good)):
                adapter.say(good[:cut])
                adapter.say(good[cut + 1:])  # one byte is lost: the cut is inside the line, and all else there
                adapter.echo()
            self.assertEqual(adapter.all("reading"), [])
            self.check_one_pair(adapter, folder)

    @in_fresh_folder
    def test_an_unknown_kind_is_answered_and_said_once(self, folder):
        with FakeAdapter(folder) as adapter:
            for _ in range(3):
                adapter.say(line("WEATHER", rain=1))
                adapter.hears("@ERROR what=unknown kind=WEATHER")
            said = self.check_said_once(adapter, "of a kind that this program does not know (WEATHER)")
            self.assertIn("bring both to the same release", said)
            self.check_one_pair(adapter, folder)

    @in_fresh_folder
    def test_an_event_outside_its_ranges_is_not_acknowledged_and_said_once(self, folder):
        rows = [({"axis": 181}, "a"), ({"axis": 0}, "a"), ({"sphere": 9999}, "s"), ({"cylinder": 1201}, "c"),
                ({"e": "X"}, "e"), ({"step": "third"}, "step"), ({"d": 601}, "d"), ({"k": "poem"}, "k"), ({"n": 0}, "n"),
                ({"ep": 65536}, "ep"), ({"rec": "12"}, "rec"), ({"id": "42"}, "id")]
        with FakeAdapter(folder) as adapter:
            for changes, field in rows:
                with self.subTest(changes):
                    values = {"sphere": -125, "cylinder": -50, "axis": 85} | changes
                    more = {name: value for name, value in values.items() if name not in ("sphere", "cylinder", "axis")}
                    bad = event(1, "R", values["sphere"], values["cylinder"], values["axis"], **more)
                    for _ in range(2):  # it is not acknowledged, so it comes again
                        adapter.say(bad)
                        adapter.echo()
                    said = self.check_said_once(adapter, f'cannot be right (its "{field}")')
                    self.assertIn("stays in the adapter; ask the technician", said)
                    adapter.messages.clear()
                    adapter.seen = 0
                    self.say_hello_again(adapter)
            self.assertFalse([heard for heard in adapter.every if heard.startswith("@ACK")])
            self.check_one_pair(adapter, folder)

    def say_hello_again(self, adapter):
        adapter.say(line("HELLO", proto=1, fw="0.1.0", board="bench", id=IDENTITY, ep=1, boot=3, why="power", buf=256, wait=0,
                         next=1, store="none", acked=0, prof="none"))
        adapter.hears("@GREET")
        adapter.say(line("READY", id=IDENTITY, ep=1, next=1, wait=0, prof="none"))
        adapter.told("profile")

    @in_fresh_folder
    def test_the_same_event_many_times_counts_once_and_another_under_its_number_is_kept_apart(self, folder):
        with FakeAdapter(folder) as adapter:
            for _ in range(3):
                adapter.measure(1, "R", -125, -50, 85)
            other = event(1, "R", -500, rec="0BADCAFE")
            for _ in range(2):
                adapter.say(other)
                adapter.echo()
            said = [say for say in adapter.all("trouble") if "two adapters answer to the same name" in say]
            self.assertEqual(len(said), 1)
            self.assertIn("ask the technician", said[0])
            adapter.measure(2, "L", -150)
            adapter.told("pair", pair=1)
            adapter.stop()
        self.assertEqual(power_lines(labels(folder)), [KEPT])
        self.assertEqual(len(bodies(folder, "reading")), 2)

    @in_fresh_folder
    def test_what_comes_before_the_greeting_is_not_taken_and_another_protocol_is_named(self, folder):
        adapter = FakeAdapter(folder)
        adapter.plug_in()
        adapter.greet = lambda: adapter.told("link", "is open")
        adapter.start()
        adapter.say(event(1, "R", -125))
        adapter.say(line("HELLO", proto=2, fw="9", board="bench", id=IDENTITY, ep=1, boot=1, store="none", acked=0, prof="none"))
        said = adapter.told("trouble", "speaks protocol version 2, this program version 1")["say"]
        self.assertIn("bring both to the same release", said)
        adapter.stop()
        adapter.pull()
        self.assertEqual(adapter.every, [])
        self.assertEqual(bodies(folder, "reading"), [])


if __name__ == "__main__":
    unittest.main()
