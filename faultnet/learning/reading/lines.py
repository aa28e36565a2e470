"""Closed cases out of a file with a case a line, in JSON; read in stretches of bytes."""

from pathlib import Path

import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.gathering import Gathering
from faultnet.learning.reading.row import name_in
from faultnet.learning.reading.trouble import unreadable
from faultnet.learning.source import Batch, SetAside

STRETCH = 64 * 1024
"""Bytes of a part, to the end of the line: some dozens of cases, to be shared evenly."""

LARGEST = 4 * 1024 * 1024
"""Bytes of a line; a case of a thousand answers has less than a tenth of it."""

_MARK = b"\xef\xbb\xbf"
"""What some programs put before a text in UTF-8."""

_CASE = msgspec.json.Decoder(ClosedCase)


class LinesSource(msgspec.Struct, frozen=True):
    """A file with a case a line."""

    path: str

    def parts(self) -> "tuple[LinesPart, ...]":
        """Return the stretches of the file; each begins and ends with a line.

        The file is read once for it. Raises ``SourceError``.
        """
        found: list[LinesPart] = []
        start, line = 0, 1
        try:
            with Path(self.path).open("rb") as stream:
                while data := stream.read(STRETCH):
                    length, count = len(data), data.count(b"\n")
                    while not data.endswith(b"\n") and (data := stream.readline(STRETCH)):
                        length += len(data)
                        count += data.endswith(b"\n")
                    found.append(LinesPart(self.path, start, start + length, line))
                    start, line = start + length, line + count
        except OSError as error:
            raise unreadable(self.path, error) from error
        return tuple(found)


class LinesPart(msgspec.Struct, frozen=True):
    """A stretch of bytes of such a file; ``line`` is the number (from 1) of its first line."""

    path: str
    start: int
    end: int
    line: int

    def read(self) -> Batch:
        """Return the cases of the stretch; raise ``SourceError`` where the file is gone."""
        found = Gathering()
        try:
            with Path(self.path).open("rb") as stream:
                stream.seek(self.start)
                number, left = self.line, self.end - self.start
                while left > 0 and (line := stream.readline(min(left, LARGEST + 1))):
                    left -= len(line)
                    if len(line) > LARGEST and not line.endswith(b"\n"):
                        reason = f"the line is longer than any case ({LARGEST // 1024**2} MiB)"
                        found.aside(SetAside(self._at(number), "too-long", reason))
                        while left > 0 and not line.endswith(b"\n"):
                            line = stream.readline(min(left, LARGEST))
                            left -= len(line)
                    elif line.strip():
                        self._take(line, number, found)
                    number += 1
        except OSError as error:
            raise unreadable(self.path, error) from error
        return found.batch

    def _take(self, line: bytes, number: int, found: Gathering) -> None:
        text = line.removeprefix(_MARK) if number == 1 else line
        found.row(self._at(number), lambda: _CASE.decode(text), lambda: name_in(text))

    def _at(self, number: int) -> str:
        return f"{self.path}:{number}"
