"""A whole bench for the runs: the real firmware on a simulated board, an instrument's line, the daemon. Time is the
simulator's: it stands still while nobody waits for it, so nothing here depends on how fast the computer is."""
import json
import os
import select
import shutil
import signal
import socket
import subprocess
import time

from programs import BUILT, FIRMWARE, SOURCE, Folder, pairmark

PATIENCE = int(os.environ.get("PAIRMARK_PATIENCE", "120"))  # seconds of a clock; only a hang ever waits so long
LONG = 60  # seconds of the board's time in which a thing that is waited for must happen
LAMPS = ["keep", "discard", "ask", "accepted", "refused", "host absent", "memory full", "printer"]
PROFILE = SOURCE / "demo" / "instrument.profile.json"


def with_check_sum(text):
    check = 0
    for byte in text.encode():
        check ^= byte
    return text.encode() + b"~%02X\r\n" % check


def capture(eye, sphere, cylinder=0.0, axis=0):
    """What the demonstration's instrument prints. Values that no lens has are printed like any other."""
    return with_check_sum(f"{eye}= {sphere:+06.2f} & {cylinder:+06.2f} @ {axis:03d} ")


def write_config(folder, **more):
    config = {"programme": "Reading Room", "bench": "RR1", "port": str(folder / "port"), "profile": str(PROFILE), **more}
    (folder / "bench.json").write_text(json.dumps(config), encoding="utf-8")
    return folder / "bench.json"


def events(folder):
    """The stored events, by an export of the database."""
    out = folder / "exported.jsonl"
    run = pairmark("session", "export", "--config", folder / "bench.json", "--out", out)
    if run.returncode != 0:
        raise AssertionError(run.stderr)
    return [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()[1:-1]]


def bodies(folder, kind):
    return [event["body"] for event in events(folder) if event["kind"] == kind]


def labels(folder):
    return sorted((folder / "labels").glob("*.pdf"))


class Listener:
    """What the daemon tells. `until` is given by the bench: it lets things happen."""

    def __init__(self):
        self.messages = []
        self.seen = 0  # what came before was waited for already

    def hear(self, stream):
        """Reads once. False at the stream's end."""
        bytes_ = os.read(stream.fileno(), 65536)
        self.partial = getattr(self, "partial", b"") + bytes_
        *lines, self.partial = self.partial.split(b"\n")
        self.messages += [json.loads(line) for line in lines]
        return bool(bytes_)

    def find(self, kind, part="", **fields):
        for at in range(self.seen, len(self.messages)):
            message = self.messages[at]
            if (message["tell"] == kind and part in message["say"]
                    and all(message.get(name) == value for name, value in fields.items())):
                self.seen = at + 1
                return message
        return None

    def all(self, kind):
        return [message["say"] for message in self.messages if message["tell"] == kind]


class Bench(Listener):
    def __init__(self, folder, wrap=(), user=None, **config):
        """`wrap`: words before the daemon's command; `user`: by number, the one as whom it then runs."""
        super().__init__()
        self.folder, self.wrap, self.user = folder, list(wrap), user
        self.program = BUILT / "pairmark"
        write_config(folder, **config)
        self.board = subprocess.Popen(
            [BUILT / "pairmark-simboard", "--firmware", FIRMWARE, "--socket", folder / "board", "--host-port",
             folder / "port", "--instrument-port", folder / "instrument", "--fast", "--expect", "2"])
        self.socket = socket.socket(socket.AF_UNIX)
        end = time.monotonic() + PATIENCE
        while self.socket.connect_ex(str(folder / "board")) != 0:
            assert time.monotonic() < end, "the simulated board did not start"
            select.select([], [], [], 0.02)
        self.socket.sendall(b"join instrument timed\n")
        if user is not None:
            self.program = shutil.copy(self.program, folder / "pairmark")
            write_config(folder, profile=shutil.copy(PROFILE, folder), **config)
            for path in (folder, folder / "board", folder / "port"):
                os.chown(path, user, -1)
        self.instrument = os.open(folder / "instrument", os.O_RDWR | os.O_NOCTTY)
        self.daemon = None
        self.ticks = b""
        self.us = self.wrote = 0
        self.lamps = "00000000"
        self.shown = []  # (microseconds, lamps) since the start
        self.owes_answer = False

    def __enter__(self):
        try:
            self.start()
            return self
        except BaseException:
            self.__exit__()
            raise

    def __exit__(self, *_):
        if self.daemon is not None:
            self.kill(signal.SIGTERM)
        if self.user is not None:
            for path in self.folder.rglob("*"):
                os.chown(path, os.geteuid(), -1, follow_symlinks=False)
        self.board.terminate()
        self.board.wait(PATIENCE)
        self.socket.close()
        os.close(self.instrument)

    def start(self):
        """Starts the daemon and lets it greet the adapter."""
        self.daemon = subprocess.Popen(
            [*self.wrap, self.program, "run", "--allow-root", "--json", "--config", self.folder / "bench.json",
             "--board-time", self.folder / "board"], stdout=subprocess.PIPE)
        # Time stands still until the daemon is there: it joins the board's time just behind this message.
        while not self.find("link"):
            ready, _, _ = select.select([self.daemon.stdout], [], [], PATIENCE)
            assert ready and self.hear(self.daemon.stdout), "the daemon did not start"
        self.told("profile", word="in-force")

    def kill(self, how=signal.SIGKILL):
        self.daemon.send_signal(how)
        status = self.daemon.wait(PATIENCE)
        while self.hear(self.daemon.stdout):
            pass
        self.daemon.stdout.close()
        self.daemon = None
        assert status == (-how if how == signal.SIGKILL else 0), f"the daemon ended with status {status}"

    def step(self, wake_us):
        """Lets something happen: time goes on to `wake_us` at most."""
        if self.owes_answer:
            self.socket.sendall(f"idle wrote={self.wrote} wake={max(wake_us, self.us + 1)}\n".encode())
            self.owes_answer = False
        sources = [self.socket] + ([self.daemon.stdout] if self.daemon else [])
        ready, _, _ = select.select(sources, [], [], PATIENCE)
        assert ready, "neither board nor daemon says anything"
        if self.socket in ready:
            more = self.socket.recv(65536)
            assert more, "the simulated board ended"
            *lines, self.ticks = (self.ticks + more).split(b"\n")
            for line in lines:
                words = dict(word.split("=") for word in line.decode().split()[1:])
                self.us, self.lamps, self.owes_answer = int(words["t"]), words["lamps"], True
                self.shown.append((self.us, self.lamps))
        elif not self.hear(self.daemon.stdout):
            raise AssertionError(f"the daemon ended; it said {self.messages[-3:]}")

    def until(self, condition, what):
        end = self.us + LONG * 1_000_000
        while not (found := condition()):
            assert self.us < end, f"{what} did not come; the daemon said {self.messages[-5:]}, lamps {self.lamps}"
            self.step(min(end, self.us + 100_000))
        return found

    def told(self, kind, part="", **fields):
        """Waits for a message that was not waited for before."""
        return self.until(lambda: self.find(kind, part, **fields), f"{kind}: {part} {fields}")

    def pass_time(self, seconds):
        end = self.us + int(seconds * 1_000_000)
        while self.us < end:
            self.step(min(end, self.us + 1_000_000))

    def is_lit(self, lamp):
        return self.lamps[LAMPS.index(lamp)] == "1"

    def lit(self, lamp):
        self.until(lambda: self.is_lit(lamp), f"the lamp {lamp}")

    def dark(self, lamp):
        self.until(lambda: not self.is_lit(lamp), f"the end of the lamp {lamp}")

    def print(self, data):
        """The instrument prints."""
        self.until(lambda: self.owes_answer, "the board's time")
        os.write(self.instrument, data)
        self.wrote += len(data)

    def measure(self, *lens):
        """The volunteer's act: the instrument prints, the lamp says that the reading is kept, and goes out."""
        self.print(capture(*lens))
        self.lit("accepted")
        self.dark("accepted")

    def refuse(self, data, part=""):
        """What is printed is refused, with lamp and words."""
        self.print(data)
        said = self.told("refused", part)["say"]
        self.lit("refused")
        return said

    def press(self, key, seconds=0.15):
        self.until(lambda: self.owes_answer, "the board's time")
        self.socket.sendall(f"key {key} down\n".encode())
        self.pass_time(seconds)
        self.socket.sendall(f"key {key} up\n".encode())
        self.lit("accepted")
        self.dark("accepted")

    def labelled(self, pair):
        """Waits until the pair has a label that came out, and gives its number."""
        return self.until(lambda: next((m for m in [self.find("pair", pair=pair)] if m and m["file"]), None),
                          f"the label of pair {pair}")["number"]

    def allow_labels(self):
        """The folder of labels is made the daemon's own."""
        (self.folder / "labels").chmod(0o755)
        if self.user is not None:
            os.chown(self.folder / "labels", self.user, -1)

    def mark(self, *words):
        """A command asked of the running daemon, which answers only while time may go on."""
        run = subprocess.Popen([BUILT / "pairmark", "mark", "--config", self.folder / "bench.json", *words],
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        while run.poll() is None:
            self.step(self.us + 1000)
        answer = run.communicate()[0]
        assert run.returncode == 0, answer
        return answer


def in_fresh_folder(test):
    """Gives the test a folder of its own, short enough for sockets."""
    def run(self):
        with Folder() as folder:
            test(self, folder)
    run.__name__ = test.__name__
    return run

