"""A trial on its way, kept in a file: a line for what it is, then a line for every block.

A line that was cut off, or that is not what was written, is done again with all after it: what
comes out in the end is the same, bit for bit, as with no interruption.
"""

import os
from collections.abc import Iterator
from hashlib import blake2b
from pathlib import Path

import msgspec

from faultnet.learning.trials.outcome import Outcome
from faultnet.learning.trials.trial import Calls, Trial
from faultnet.sharing.sharing import Sharing


class Head(msgspec.Struct, frozen=True):
    """The first line: what the trial is."""

    trial: str
    policies: tuple[str, ...]
    seed: int


class Line(msgspec.Struct, frozen=True):
    """A block: its place, what came of each call by policy, and a sum over both."""

    block: int
    calls: list[tuple[Outcome, ...]]
    sum: str


class OtherTrialError(ValueError):
    """A file that holds another trial."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"{path}: {reason} Name another file, or give the settings and the knowledge "
            "that it was begun with."
        )


class Kept:
    """A trial in a file. ``again`` says what had to be done again, for whoever asks."""

    def __init__(self, path: Path, trial: Trial) -> None:
        """Read what is there. Raises ``OtherTrialError`` and ``OSError``."""
        self.path, self.trial = path, trial
        self.again = ""
        self.had: list[Calls] = []
        self._good = 0
        if path.exists():
            self._read()

    def all(self, sharing: Sharing) -> Iterator[Calls]:
        """Yield every block, those that were kept first; each is kept before it is yielded."""
        yield from self.had
        with self.path.open("r+b" if self.path.exists() else "wb") as file:
            file.truncate(self._good)
            file.seek(self._good)
            if not self._good:
                head = Head(self.trial.digest, self.trial.policies, self.trial.seed)
                _write(file.fileno(), msgspec.json.encode(head))
            for block, calls in enumerate(self.trial.done(sharing, len(self.had)), len(self.had)):
                _write(file.fileno(), msgspec.json.encode(Line(block, calls, _sum(block, calls))))
                yield calls

    def _read(self) -> None:
        lines = self.path.read_bytes().split(b"\n")
        if len(lines) < 2:
            if lines[0]:
                self._torn(1, lines[0])
            return
        self._open(lines[0])
        self._good = len(lines[0]) + 1
        for number, line in enumerate(lines[1:-1]):
            calls = self._block(number, line)
            if calls is None:
                self._torn(number + 2, line)
                return
            self.had.append(calls)
            self._good += len(line) + 1
        if lines[-1]:
            self._torn(len(lines), lines[-1])

    def _open(self, line: bytes) -> None:
        try:
            head = msgspec.json.decode(line, type=Head)
        except msgspec.DecodeError:
            raise OtherTrialError(self.path, "This is no file of a trial.") from None
        if head.trial != self.trial.digest:
            raise OtherTrialError(self.path, "This file was begun by another trial.")

    def _block(self, number: int, line: bytes) -> Calls | None:
        """The calls of a line; none where it is not whole, or not what is wanted there."""
        try:
            found = msgspec.json.decode(line, type=Line)
        except msgspec.DecodeError:
            return None
        if found.block != number or found.sum != _sum(number, found.calls):
            return None
        first, end = ([*self.trial.blocks, (0, 0)])[min(number, len(self.trial.blocks))]
        return found.calls if len(found.calls) == end - first else None

    def _torn(self, number: int, line: bytes) -> None:
        if number == 1 and not msgspec.json.encode(
            Head(self.trial.digest, self.trial.policies, self.trial.seed)
        ).startswith(line):
            raise OtherTrialError(self.path, "This is no file of a trial.")
        self.again = f"{self.path}:{number}: this line is not whole; it is done again from there."


def _sum(block: int, calls: Calls) -> str:
    return blake2b(msgspec.json.encode((block, calls)), digest_size=8).hexdigest()


def _write(descriptor: int, line: bytes) -> None:
    """Write a line, and see to it that it is on the disk."""
    os.write(descriptor, line + b"\n")
    os.fsync(descriptor)
