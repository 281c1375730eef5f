"""An adapter made of Python, for what a real one never says. It speaks protocol/SPEC.md over a pseudo-terminal, and then
misbehaves."""
import os
import pty
import select
import signal
import subprocess
import time
import tty
import zlib

from bench import PATIENCE, Listener, write_config
from programs import BUILT

IDENTITY = "00112233AABBCCDD"


def line(kind, **fields):
    text = "@" + " ".join([kind, *(f"{name}={value}" for name, value in fields.items())]) + " "
    return (text + "*%08X\r\n" % zlib.crc32(text.encode())).encode()


def event(number, eye, sphere, cylinder=0, axis=0, **more):
    """An EVENT with a reading of one lens; powers in hundredths."""
    fields = {"id": IDENTITY, "ep": 1, "n": number, "rec": f"{number:08X}", "age": 100, "k": "reading", "step": "hundredth",
              "e": eye, "s": sphere, "c": cylinder, "a": axis, **more}
    return line("EVENT", **fields)


class FakeAdapter(Listener):
    """An adapter that is plugged in, and a daemon on the computer's clock."""

    def __init__(self, folder, wrap=(), **config):
        super().__init__()
        self.folder, self.port = folder, folder / "port"
        write_config(folder, **config)
        self.command = [*wrap, BUILT / "pairmark", "run", "--allow-root", "--json", "--config", folder / "bench.json"]
        self.master = self.daemon = None
        self.heard = []  # lines of the daemon that nobody waited for yet
        self.every = []  # all of them
        self.rest = b""

    def __enter__(self):
        self.plug_in()
        self.start()
        return self

    def __exit__(self, *_):
        if self.daemon is not None:
            self.stop()
        if self.master is not None:
            self.pull()

    def plug_in(self):
        self.master, slave = pty.openpty()
        tty.setraw(slave)
        self.port.symlink_to(os.ttyname(slave))
        self.slave = slave  # open until the daemon has it, or the master would see a hang-up

    def pull(self):
        self.port.unlink()
        os.close(self.slave)
        os.close(self.master)
        self.master = None

    def start(self):
        self.daemon = subprocess.Popen(self.command, stdout=subprocess.PIPE)
        self.greet()

    def greet(self):
        self.told("link", "is open")
        self.say(line("HELLO", proto=1, fw="0.1.0", board="bench", id=IDENTITY, ep=1, boot=3, why="power", buf=256, wait=0,
                      next=1, store="none", acked=0, prof="none"))
        self.hears("GREET")
        self.say(line("READY", id=IDENTITY, ep=1, next=1, wait=0, prof="none"))
        self.told("profile")

    def stop(self):
        self.daemon.send_signal(signal.SIGTERM)
        status = self.daemon.wait(PATIENCE)
        while self.hear(self.daemon.stdout):
            pass
        self.daemon.stdout.close()
        self.daemon = None
        assert status == 0, f"the daemon ended with status {status}"

    def say(self, data):
        os.write(self.master, data)

    def step(self):
        sources = [self.daemon.stdout] + ([self.master] if self.master is not None else [])
        ready, _, _ = select.select(sources, [], [], PATIENCE)
        assert ready, f"nothing happens; the daemon said {self.messages[-5:]}"
        if self.daemon.stdout in ready and not self.hear(self.daemon.stdout):
            raise AssertionError(f"the daemon ended; it said {self.messages[-3:]}")
        if self.master in ready:
            *lines, self.rest = (self.rest + os.read(self.master, 65536)).split(b"\r\n")
            for heard in lines:
                words = heard.decode().split()
                self.heard.append(heard.decode())
                self.every.append(heard.decode())
                answer = {"@PING": "PONG", "@CUE": "CUED"}.get(words[0])
                if answer:
                    self.say(line(answer, n=words[1].partition("=")[2]))

    def until(self, condition):
        end = time.monotonic() + PATIENCE
        while not (found := condition()):
            assert time.monotonic() < end, f"it does not come; the daemon said {self.messages[-5:]}, and sent {self.heard[-5:]}"
            self.step()
        return found

    def told(self, kind, part="", **fields):
        return self.until(lambda: self.find(kind, part, **fields))

    def hears(self, *parts):
        """Waits for a line of the daemon with all these parts, after those waited for before."""
        def found():
            for at, heard in enumerate(self.heard):
                if all(part in heard for part in parts):
                    del self.heard[:at + 1]
                    return heard
            return None
        return self.until(found)

    def all(self, kind):
        return [say for say in super().all(kind) if "(PROBE)" not in say]  # see echo

    def measure(self, number, *lens):
        """A reading that the daemon keeps."""
        self.say(event(number, *lens))
        self.hears("@ACK", f" n={number} ")

    def echo(self):
        """Waits until everything said so far was read: the daemon answers a kind that it does not know."""
        self.say(line("PROBE"))
        self.hears("@ERROR", "kind=PROBE")
