"""The commands on trial, run as a person runs them."""
import base64
import json
import subprocess


def as_text(data):
    return base64.b64encode(data).decode()


class Programs:
    """`command`: the words that begin every call, e.g. ["build/release/pairmark"]."""

    def __init__(self, command, folder, via=()):
        self.command, self.folder, self.via = [str(word) for word in command], folder, list(via)

    def learn(self, samples):
        """(exit status, what it said). The profile then lies in `profile`."""
        file, self.profile = self.folder / "samples.json", self.folder / "learned.profile.json"
        self.profile.unlink(missing_ok=True)
        file.write_text(json.dumps({"samples": [
            {"capture": as_text(data), "shown": shown} for data, shown in samples]}), encoding="utf-8")
        run = subprocess.run([*self.command, "learn", "--json", "--samples", str(file), "--out", str(self.profile)],
                             capture_output=True, text=True, timeout=120, check=False)
        if run.returncode not in (0, 3, 4):
            raise AssertionError(f"pairmark learn ended with {run.returncode}: {run.stderr or run.stdout}")
        if (run.returncode == 0) != self.profile.exists():
            raise AssertionError(f"pairmark learn ended with {run.returncode}, and a profile "
                                 f"{'was' if self.profile.exists() else 'was not'} written")
        return run.returncode, json.loads(run.stdout)

    def decode(self, captures):
        """The answers, one a capture, by the profile learned last."""
        lines = "".join(json.dumps({"capture": as_text(data)}) + "\n" for data in captures)
        run = subprocess.run([*self.command, "decode", "--profile", str(self.profile), *self.via], input=lines,
                             capture_output=True, text=True, timeout=600, check=False)
        answers = [json.loads(line) for line in run.stdout.splitlines()]
        if run.returncode != 0 or len(answers) != len(captures):
            raise AssertionError(f"pairmark decode ended with {run.returncode} after {len(answers)} of {len(captures)} answers: "
                                 f"{run.stderr}")
        return answers
